/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The quantities of a rating. */
#include "report/rate/rate_columns.h"

#include "brinefront/convert.h"

#include <math.h>

/* clang-format off */
const bf__column bf__rate_columns[BF__RATE_COLUMNS] = {
    BF__COLUMN("dose_lb_per_ft3", "dose_g_per_L", "salt", "", DOSE, "", 7, 2, 1),
    BF__COLUMN("capacity_kgr_per_ft3", "capacity_eq_per_L", "capacity", "", CAPACITY, "", 9, 2, 3),
    BF__COLUMN("salt_efficiency_gr_per_lb", NULL, "per salt", "", EFFICIENCY, "", 9, 0, 0),
    BF__COLUMN(NULL, "salt_efficiency_eq_per_eq", "", "", PLAIN, "", 0, 0, 0),
    BF__COLUMN(NULL, "leakage_mean_mg_per_L_CaCO3", "leak mean", "", LEAKAGE, "", 10, 2, 2),
    BF__COLUMN(NULL, "leakage_first_mg_per_L_CaCO3", "first", "", LEAKAGE, "", 7, 2, 2),
    BF__COLUMN(NULL, "leakage_low_mg_per_L_CaCO3", "lowest", "", LEAKAGE, "", 7, 2, 2),
    BF__COLUMN(NULL, "throughput_BV", "run", "", BED_VOLUMES, "", 8, 0, 1),
    BF__COLUMN(NULL, "regeneration_water_BV", "water", "", BED_VOLUMES, "", 8, 1, 2),
    BF__COLUMN(NULL, "regeneration_min", "", "", MINUTES, "", 0, 0, 0),
    BF__COLUMN(NULL, NULL, "water", "", WASTE, "", 8, 2, 1),
    BF__COLUMN(NULL, NULL, "cycles", "", PLAIN, "", 7, 0, 0),
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
