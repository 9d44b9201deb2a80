/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A rating per bed volume, counted for the resin in the vessel: pieces a user buys, fills and pays
 * for. Arithmetic only. */
#include "brinefront/convert.h"
#include "brinefront/tank.h"

#include <math.h>

bf_tank_rating bf_tank_rating_of(const bf_rating_spec *rating, const bf_dose_point *point)
{
    const bf_cycle_result *cycle = &point->steady.cycle;
    const double resin_m3 = bf_bed_volume_m3(&rating->bed);
    const double rated = cycle->outcome == BF_RATED ? 1.0 : (double)NAN;
    bf_tank_rating pieces = {
        .capacity_kg = rated * cycle->capacity_eq_per_m3 * resin_m3 * 1e-3 * BF_G_CACO3_PER_EQ,
        .salt_kg = point->dose_kg_per_m3 * resin_m3,
        .water_m3 = rated * cycle->throughput_bed_volumes * resin_m3,
    };
    pieces.efficiency_kg_per_kg = pieces.capacity_kg / pieces.salt_kg;
    pieces.waste_m3_per_kg = cycle->water_bed_volumes * resin_m3 / pieces.capacity_kg;
    return pieces;
}
