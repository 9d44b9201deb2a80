/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The smallest common vessel for a flow and an interval: each size in turn, smallest cross-section
 * first, asked for the bed that does it (smallest_bed.c) until one has room.
 *
 * Passed over without a rating: sizes that could not hold the resin if every site of it were used,
 *
 *     V < interval * hardness/total capacity,   V = area (height - underbedding)/((1 + s)(1 + e))
 *
 * s swelling, e wanted expansion.
 */
#include "brinefront/sizing.h"

#include <math.h>

static double or_none(double value)
{
    return isnan(value) ? 0.0 : value;
}

static double most_resin_m3(const bf_tank_spec *tank, const bf_tank_size *size)
{
    const double area_m2 = 0.25 * acos(-1.0) * size->diameter_m * size->diameter_m;
    return area_m2 * (size->height_m - or_none(tank->underbedding_m)) /
           ((1.0 + or_none(tank->swelling)) * (1.0 + or_none(tank->expansion)));
}

/* The smallest cross-section of those that are larger than `than`, the lower of two alike first;
 * the count where there is none. */
static size_t next_size(const bf_tank_size *than)
{
    const size_t count = bf_tank_size_count();
    size_t found = count;
    for (size_t k = 0; k < count; k++) {
        const bf_tank_size size = bf_tank_size_get(k);
        const int is_larger =
            than == NULL || size.diameter_m > than->diameter_m ||
            (size.diameter_m == than->diameter_m && size.height_m > than->height_m);
        if (!is_larger) {
            continue;
        }
        const bf_tank_size best = bf_tank_size_get(found < count ? found : k);
        if (found == count || size.diameter_m < best.diameter_m ||
            (size.diameter_m == best.diameter_m && size.height_m < best.height_m)) {
            found = k;
        }
    }
    return found;
}

bf_status bf_smallest_vessel(const bf_rating_spec *rating, const bf_tank_spec *tank,
                             double dose_kg_per_m3, double interval_m3, double flow_m3_per_s,
                             size_t *size, bf_sizing *out, bf_error *err)
{
    const double least_m3 =
        interval_m3 * rating->water.hardness_eq_per_m3 / rating->bed.resin.capacity_eq_per_m3;
    bf_status status = BF_OK;
    size_t ratings = 0;
    for (*size = next_size(NULL); *size < bf_tank_size_count() && status == BF_OK;) {
        const bf_tank_size of = bf_tank_size_get(*size);
        bf_tank_spec vessel = *tank;
        vessel.diameter_m = of.diameter_m;
        vessel.height_m = of.height_m;
        if (most_resin_m3(&vessel, &of) >= least_m3) {
            status = bf_smallest_bed(rating, &vessel, dose_kg_per_m3, interval_m3, flow_m3_per_s,
                                     out, err);
            ratings += out->ratings;
            out->ratings = ratings;
            if (status == BF_OK && out->binding == BF_BINDING_NONE) {
                return BF_OK;
            }
        }
        *size = next_size(&of);
    }
    return status;
}
