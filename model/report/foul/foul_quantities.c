/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/foul/foul_quantities.h"

#include "brinefront/convert.h"

const bf__foul_quantity bf__foul_quantities[BF__FOUL_QUANTITIES] = {
    {"capacity_eq_per_L", BF_CAMPAIGN_POTENTIAL, 1e-3},
    {"capacity_kgr_per_ft3", BF_CAMPAIGN_POTENTIAL, 1.0 / BF_EQ_PER_M3_PER_KGR_PER_FT3},
    {"hardness_mg_per_L_CaCO3", BF_CAMPAIGN_HARDNESS, BF_G_CACO3_PER_EQ},
    {"iron_mg_per_L", BF_CAMPAIGN_IRON, 1.0},
    {"manganese_mg_per_L", BF_CAMPAIGN_MANGANESE, 1.0},
    {"pressure_drop_per_clean", BF_CAMPAIGN_PRESSURE, 1.0},
    {"loose_iron_g_per_L_bed", BF_CAMPAIGN_LOOSE, 1.0},
    {"bound_iron_g_per_L_bed", BF_CAMPAIGN_BOUND, 1.0},
    {"bound_iron_g_per_ft3_bed", BF_CAMPAIGN_BOUND, 1e3 * BF_M3_PER_FT3},
    {"bound_iron_top_tenth_g_per_L_bed", BF_CAMPAIGN_BOUND_TOP, 1.0},
    {"retention_percent", BF_CAMPAIGN_RETENTION, 100.0},
    {"resin_capacity_eq_per_L", BF_CAMPAIGN_CAPACITY, 1e-3},
    {"alkalinity_lowest_meq_per_L", BF_CAMPAIGN_ALKALINITY, 1.0},
    {"moisture_percent", BF_CAMPAIGN_MOISTURE, 100.0},
};
