/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The quantities of a comparison. */
#include "report/compare/compare_columns.h"

const bf__column bf__compare_columns[BF_COMPARED_COUNT] = {
    [BF_COMPARED_CAPACITY] = BF__COLUMN("capacity_kgr_per_ft3", "capacity_eq_per_L", "", "capacity",
                                        CAPACITY, "", 10, 2, 3),
    [BF_COMPARED_HELD] = BF__COLUMN("held_kgr", "held_eq", "", "holds", HELD, "", 10, 1, 1),
    [BF_COMPARED_LEAKAGE] =
        BF__COLUMN(NULL, "leakage_mean_mg_per_L_CaCO3", "", "leak mean", LEAKAGE, "", 10, 2, 2),
    [BF_COMPARED_EFFICIENCY] =
        BF__COLUMN(NULL, "salt_efficiency_percent", "", "of salt", SHARE, "", 10, 1, 1),
    [BF_COMPARED_SALT] = BF__COLUMN("salt_lb", "salt_kg", "", "salt", MASS, "", 10, 2, 2),
    [BF_COMPARED_WASTE] = BF__COLUMN("waste_gal_per_kgr", "waste_L_per_kg_CaCO3", "", "waste",
                                     WASTE_PER_EQ, "", 10, 2, 1),
    [BF_COMPARED_PRESSURE] =
        BF__COLUMN("pressure_psi", "pressure_kPa", "", "pressure", PRESSURE, "", 10, 2, 1),
};
