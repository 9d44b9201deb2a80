/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The quantities of a comparison. */
#include "report/compare/compare_columns.h"

#define COLUMN(us, si, text, what, us_decimals, si_decimals)                                       \
    {                                                                                              \
        .name = {us, si}, .head = {NULL, text}, .kind = BF__QUANTITY_##what,                       \
        .width = BF__COMPARE_WIDTH, .decimals = {                                                  \
            us_decimals,                                                                           \
            si_decimals                                                                            \
        }                                                                                          \
    }

/* clang-format off */
const bf__column bf__compare_columns[BF_COMPARED_COUNT] = {
    [BF_COMPARED_CAPACITY] = COLUMN("capacity_kgr_per_ft3", "capacity_eq_per_L", "capacity", CAPACITY, 2, 3),
    [BF_COMPARED_HELD] = COLUMN("held_kgr", "held_eq", "holds", HELD, 1, 1),
    [BF_COMPARED_LEAKAGE] = COLUMN(NULL, "leakage_mean_mg_per_L_CaCO3", "leak mean", LEAKAGE, 2, 2),
    [BF_COMPARED_EFFICIENCY] = COLUMN(NULL, "salt_efficiency_percent", "of salt", SHARE, 1, 1),
    [BF_COMPARED_SALT] = COLUMN("salt_lb", "salt_kg", "salt", MASS, 2, 2),
    [BF_COMPARED_WASTE] = COLUMN("waste_gal_per_kgr", "waste_L_per_kg_CaCO3", "waste", WASTE_PER_EQ, 2, 1),
    [BF_COMPARED_PRESSURE] = COLUMN("pressure_psi", "pressure_kPa", "pressure", PRESSURE, 2, 1),
};
/* clang-format on */
