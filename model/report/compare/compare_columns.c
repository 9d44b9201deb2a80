/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/compare/compare_columns.h"

#include "brinefront/convert.h"

#define KG_CACO3_PER_EQ (1e-3 * BF_G_CACO3_PER_EQ)
#define KGR_PER_EQ (KG_CACO3_PER_EQ / (1e3 * BF_KG_PER_GRAIN))

const bf__compare_column bf__compare_columns[BF_COMPARED_COUNT] = {
    [BF_COMPARED_CAPACITY] = {"capacity",
                              {"kgr/ft3", "eq/L"},
                              {1.0 / BF_EQ_PER_M3_PER_KGR_PER_FT3, 1e-3},
                              {2, 3},
                              {"capacity_kgr_per_ft3", "capacity_eq_per_L"}},
    [BF_COMPARED_HELD] =
        {"holds", {"kgr", "eq"}, {KGR_PER_EQ, 1.0}, {1, 1}, {"held_kgr", "held_eq"}},
    [BF_COMPARED_LEAKAGE] = {"leak mean",
                             {"mg/L", "mg/L"},
                             {BF_G_CACO3_PER_EQ, BF_G_CACO3_PER_EQ},
                             {2, 2},
                             {NULL, "leakage_mean_mg_per_L_CaCO3"}},
    [BF_COMPARED_EFFICIENCY] =
        {"of salt", {"%", "%"}, {100.0, 100.0}, {1, 1}, {NULL, "salt_efficiency_percent"}},
    [BF_COMPARED_SALT] =
        {"salt", {"lb", "kg"}, {1.0 / BF_KG_PER_LB, 1.0}, {2, 2}, {"salt_lb", "salt_kg"}},
    [BF_COMPARED_WASTE] = {"waste",
                           {"gal/kgr", "L/kg"},
                           {1.0 / BF_M3_PER_GAL / KGR_PER_EQ, 1e3 / KG_CACO3_PER_EQ},
                           {2, 1},
                           {"waste_gal_per_kgr", "waste_L_per_kg_CaCO3"}},
    [BF_COMPARED_PRESSURE] = {"pressure",
                              {"psi", "kPa"},
                              {1.0 / BF_PA_PER_PSI, 1e-3},
                              {2, 1},
                              {"pressure_psi", "pressure_kPa"}},
};
