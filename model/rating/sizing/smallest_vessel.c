/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The smallest common vessel for a flow and an interval: each size in turn, smallest cross-section
 * first, asked for the bed that does it (smallest_bed.c) until one has room.
 *
 * Passed over without a rating: sizes that could not hold the resin if every site of it were used,
 *
 *     area * deepest bed that can be lifted (tank.c) < interval * hardness/total capacity
 */
#include "brinefront/convert.h"
#include "brinefront/sizing.h"
#include "rating/tank/tank_fill.h"

#include <math.h>

/* The smallest cross-section of those that are larger than `smaller`, the lower of two alike first;
 * the count where there is none. */
static size_t next_size(const bf_tank_size *smaller)
{
    const size_t count = bf_tank_size_count();
    size_t found = count;
    for (size_t k = 0; k < count; k++) {
        const bf_tank_size size = bf_tank_size_get(k);
        const int is_larger =
            smaller == NULL || size.diameter_m > smaller->diameter_m ||
            (size.diameter_m == smaller->diameter_m && size.height_m > smaller->height_m);
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
                             const bf_sizing_spec *spec, size_t *size, bf_sizing *out,
                             bf_error *err)
{
    const double least_m3 =
        interval_m3 * rating->water.hardness_eq_per_m3 / rating->bed.resin.total_capacity_eq_per_m3;
    bf_status status = bf_tank_spec_check(tank, err); /* before sizes are passed over for it */
    size_t ratings = 0;
    for (*size = next_size(NULL); *size < bf_tank_size_count() && status == BF_OK;) {
        const bf_tank_size tried = bf_tank_size_get(*size);
        bf_tank_spec vessel = *tank;
        vessel.diameter_m = tried.diameter_m;
        vessel.height_m = tried.height_m;
        const double area_m2 = 0.25 * BF_PI * tried.diameter_m * tried.diameter_m;
        if (area_m2 * bf__tank_deepest_lifted_m(&vessel) >= least_m3) {
            status = bf_smallest_bed(rating, &vessel, dose_kg_per_m3, interval_m3, flow_m3_per_s,
                                     spec, out, err);
            ratings += out->ratings;
            out->ratings = ratings;
            if (status == BF_OK && out->binding == BF_BINDING_NONE) {
                return BF_OK;
            }
        }
        *size = next_size(&tried);
    }
    return status;
}
