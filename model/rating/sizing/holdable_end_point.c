/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The lowest end point that a dose can hold.
 *
 * With c1(E) the hardness after half a bed volume at the cyclic steady state of runs to E, a rating
 * exists where c1(E) < E; the answer is the root of
 *
 *     ln(E/c1(E)) = 0.
 *
 * A lower E ends the runs sooner and leaves less hardness at the foot of the bed, so that c1 falls
 * with E, but by less than E itself: E/c1(E) rises.
 */
#include "rating/curve/one_rating.h"
#include "rating/sizing/probe.h"

#include <math.h>

typedef struct wish {
    bf_rating_spec rating;
    const bf_selectivity *selectivity;
    double dose_kg_per_m3;
} wish;

static bf_status rate(void *context, double end_point, double *value, bf_dose_point *point,
                      bf_error *err)
{
    wish *of = context;
    of->rating.recipe.step[0].end_hardness_eq_per_m3 = end_point;
    bf_status status = bf__rate_dose(&of->rating, of->selectivity, of->dose_kg_per_m3, point, err);
    const bf_cycle_result *cycle = &point->steady.cycle;
    *value = cycle->outcome == BF_RATED
                 ? log(end_point / fmax(cycle->leakage_first_eq_per_m3, 1e-9))
                 : (double)NAN;
    return status;
}

bf_status bf_holdable_end_point(const bf_rating_spec *rating, double dose_kg_per_m3, bf_sizing *out,
                                bf_error *err)
{
    const char *where = "bf_holdable_end_point";
    wish of = {.rating = *rating, .dose_kg_per_m3 = dose_kg_per_m3};
    bf_step *service = &of.rating.recipe.step[0];
    bf_selectivity *selectivity = NULL;
    bf__probe *probe = NULL;
    bf__sizing_start(rating, out);
    bf_status status = bf__sizing_check_above_zero(where, "the dose", dose_kg_per_m3, "kg/m3", err);
    if (status == BF_OK) {
        status = bf__sizing_check(rating, dose_kg_per_m3, err);
    }
    if (status == BF_OK) {
        status = bf__sizing_check_above_zero(where, "hardness of the feed",
                                             rating->water.hardness_eq_per_m3, "eq/m3", err);
    }
    if (status == BF_OK) {
        status = bf_rating_selectivity(rating, &selectivity, err);
        of.selectivity = selectivity;
    }
    if (status == BF_OK) {
        probe = bf__probe_create(rate, &of, err);
        status = probe != NULL ? BF_OK : BF_E_MEMORY;
    }
    if (status == BF_OK) {
        const double feed = rating->water.hardness_eq_per_m3;
        /* A run may go on beyond its end point, but not end before it. */
        const double high = fmin(0.95 * feed, isnan(service->stop_hardness_eq_per_m3)
                                                  ? 0.95 * feed
                                                  : 0.999 * service->stop_hardness_eq_per_m3);
        const double end = service->end_hardness_eq_per_m3;
        const double guess = isnan(end) ? 0.1 * feed : end;
        probe->short_by = 0.0; /* the answer is to have a rating */
        probe->close = 5e-3;   /* leakage is no sharper */
        probe->x_tolerance = 5e-3;
        status = bf__probe_least(probe, 1e-3 * feed, high, guess);
    }
    if (status == BF_OK) {
        const int at_foot = probe->enough_x <= 1e-3 * rating->water.hardness_eq_per_m3;
        bf__sizing_take(probe, at_foot ? BF_BINDING_SIZE : BF_BINDING_LEAKAGE, BF_BINDING_LEAKAGE,
                        out);
    }
    bf__probe_free(probe);
    bf_selectivity_free(selectivity);
    return status;
}
