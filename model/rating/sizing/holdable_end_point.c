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
#include "rating/sizing/search.h"

#include <math.h>

static const char *const where = "bf_holdable_end_point";

typedef struct target {
    bf__search search;
    bf_rating_spec rating; /* its end point moves */
    double dose_kg_per_m3;
} target;

static bf_status rate(void *context, double end_point_eq_per_m3, double *value,
                      bf_dose_point *point, bf_error *err)
{
    target *wanted = context;
    wanted->rating.recipe.step[0].end_hardness_eq_per_m3 = end_point_eq_per_m3;
    bf_status status = bf__rate_dose(&wanted->rating, wanted->search.selectivity,
                                     wanted->dose_kg_per_m3, point, err);
    const bf_cycle_result *cycle = &point->steady.cycle;
    *value = cycle->outcome == BF_RATED
                 ? log(end_point_eq_per_m3 / fmax(cycle->leakage_first_eq_per_m3, 1e-9))
                 : (double)NAN;
    return status;
}

static bf_status look_for(target *wanted)
{
    const double feed = wanted->rating.water.hardness_eq_per_m3;
    const bf_step *service = &wanted->search.rating->recipe.step[0];
    const double stop = service->stop_hardness_eq_per_m3;
    const double end = service->end_hardness_eq_per_m3;
    bf__probe *probe = wanted->search.probe;
    probe->short_by = 0.0; /* the answer is to have a rating */
    probe->close = 5e-3;   /* leakage is no sharper */
    probe->x_tolerance = 5e-3;
    /* A run may go on beyond its end point, but not end before it. fmin() passes over NAN. */
    return bf__probe_least(probe, 1e-3 * feed, fmin(0.95 * feed, 0.999 * stop),
                           isnan(end) ? 0.1 * feed : end);
}

bf_status bf_holdable_end_point(const bf_rating_spec *rating, double dose_kg_per_m3,
                                const bf_sizing_spec *spec, bf_sizing *out, bf_error *err)
{
    target wanted = {.rating = *rating, .dose_kg_per_m3 = dose_kg_per_m3};
    const double feed = rating->water.hardness_eq_per_m3;
    bf__sizing_start(rating, out);
    bf_status status =
        bf__search_open(where, rating, spec, dose_kg_per_m3, rate, &wanted, &wanted.search, err);
    if (status == BF_OK) {
        status = bf__sizing_check_above_zero(where, "hardness of the feed", feed, "eq/m3", err);
    }
    if (status == BF_OK) {
        status = look_for(&wanted);
    }
    if (wanted.search.probe != NULL && (status == BF_OK || status == BF_E_STOPPED)) {
        const int is_lowest = wanted.search.probe->enough_x <= 1e-3 * feed;
        bf__search_take(&wanted.search, status, is_lowest ? BF_BINDING_SIZE : BF_BINDING_LEAKAGE,
                        BF_BINDING_LEAKAGE, out);
    }
    bf__search_close(&wanted.search);
    return status;
}
