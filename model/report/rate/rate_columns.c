/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The quantities of a rating. */
#include "report/rate/rate_columns.h"

#include "brinefront/convert.h"

#include <math.h>

/* Shown in the table, in CSV and JSON, or in both. */
#define COLUMN(us, si, text, columns_wide, what, us_decimals, si_decimals)                         \
    {                                                                                              \
        .name = {us, si}, .head = {text, NULL}, .width = columns_wide,                             \
        .kind = BF__QUANTITY_##what, .decimals = {                                                 \
            us_decimals,                                                                           \
            si_decimals                                                                            \
        }                                                                                          \
    }

/* clang-format off */
const bf__column bf__rate_columns[BF__RATE_COLUMNS] = {
    COLUMN("dose_lb_per_ft3", "dose_g_per_L", "salt", 7, DOSE, 2, 1),
    COLUMN("capacity_kgr_per_ft3", "capacity_eq_per_L", "capacity", 9, CAPACITY, 2, 3),
    COLUMN("salt_efficiency_gr_per_lb", NULL, "per salt", 9, EFFICIENCY, 0, 0),
    COLUMN(NULL, "salt_efficiency_eq_per_eq", NULL, 0, PLAIN, 0, 0),
    COLUMN(NULL, "leakage_mean_mg_per_L_CaCO3", "leak mean", 10, LEAKAGE, 2, 2),
    COLUMN(NULL, "leakage_first_mg_per_L_CaCO3", "first", 7, LEAKAGE, 2, 2),
    COLUMN(NULL, "leakage_low_mg_per_L_CaCO3", "lowest", 7, LEAKAGE, 2, 2),
    COLUMN(NULL, "throughput_BV", "run", 8, BED_VOLUMES, 0, 1),
    COLUMN(NULL, "regeneration_water_BV", "water", 8, BED_VOLUMES, 1, 2),
    COLUMN(NULL, "regeneration_min", NULL, 0, MINUTES, 0, 0),
    COLUMN(NULL, NULL, "water", 8, WASTE, 2, 1),
    COLUMN(NULL, NULL, "cycles", 7, PLAIN, 0, 0),
};
/* clang-format on */

void bf__rate_values(const bf_dose_point *point, double values[BF__RATE_COLUMNS])
{
    const bf_cycle_result *cycle = &point->steady.cycle;
    const double rated = cycle->outcome == BF_RATED ? 1.0 : (double)NAN;
    const double held_kg_per_m3 = rated * cycle->capacity_eq_per_m3 * 1e-3 * BF_G_CACO3_PER_EQ;
    const double all[BF__RATE_COLUMNS] = {
        point->dose_kg_per_m3,
        rated * cycle->capacity_eq_per_m3,
        held_kg_per_m3 / point->dose_kg_per_m3,
        rated * point->efficiency_eq_per_eq,
        rated * cycle->leakage_mean_eq_per_m3,
        rated * cycle->leakage_first_eq_per_m3,
        rated * cycle->leakage_low_eq_per_m3,
        rated * cycle->throughput_bed_volumes,
        rated * cycle->water_bed_volumes,
        rated * cycle->regeneration_s,
        cycle->water_bed_volumes / held_kg_per_m3,
        rated * (double)point->steady.cycles,
    };
    for (size_t c = 0; c < BF__RATE_COLUMNS; c++) {
        values[c] = all[c];
    }
}
