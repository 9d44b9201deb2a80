/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What limits a fouling bed, and since when.
 *
 * A limit is an excess e of each cycle, above zero when it is passed. The day is where a straight
 * line between two cycles passes zero, so that skipped cycles do not postpone it.
 */
#include "rating/fouling/limits.h"

#include "brinefront/convert.h"

#include <math.h>
#include <stdlib.h>

/* Figures of practice and of standards. */
static const double iron_mg_per_L = 0.3;       /* US EPA secondary standards, 40 CFR 143.3 */
static const double manganese_mg_per_L = 0.05; /* the same */
static const double sites_left = 0.8;          /* of new resin; trade, Reskem 2011 */
static const double drop_psi = 15.0;           /* NSF/ANSI 44 as articles of certifiers put it */
static const double moisture_of_worn_resin = 0.60; /* from memory */

/* NAN where the limit does not apply. */
static double bound_of(const bf__limit_case *bed, bf__limit_kind kind)
{
    const bf_campaign_spec *spec = bed->spec;
    const double none = (double)NAN;
    switch (kind) {
    case BF__LIMIT_RATING: return bed->rating_eq_per_m3;
    case BF__LIMIT_NEED: return bf__campaign_need_eq_per_m3(spec, 0.0);
    case BF__LIMIT_SITES: return sites_left * spec->bed.resin.total_capacity_eq_per_m3;
    case BF__LIMIT_HARD_AT_END:
    case BF__LIMIT_HARD_MEAN: return spec->recipe.step[0].end_hardness_eq_per_m3;
    case BF__LIMIT_IRON: return bf__campaign_brings(spec, BF_ION_FE) ? iron_mg_per_L : none;
    case BF__LIMIT_MANGANESE:
        return bf__campaign_brings(spec, BF_ION_MN) ? manganese_mg_per_L : none;
    case BF__LIMIT_PRESSURE: return drop_psi * BF_PA_PER_PSI;
    case BF__LIMIT_ALKALINITY:
        return bf__campaign_brings(spec, BF_ION_FE) && bed->states_alkalinity ? 0.0 : none;
    case BF__LIMIT_MOISTURE: return bf__campaign_has_chlorine(spec) ? moisture_of_worn_resin : none;
    default: return 0.0;
    }
}

static double excess_of(const bf__limit_case *bed, const bf__limit *limit,
                        const bf_campaign_cycle *cycle)
{
    switch (limit->kind) {
    case BF__LIMIT_RATING: return limit->bound - cycle->potential_eq_per_m3;
    case BF__LIMIT_NEED:
        return bf__campaign_need_eq_per_m3(bed->spec, cycle->day) - cycle->potential_eq_per_m3;
    case BF__LIMIT_LEAKS:
        if (isnan(cycle->potential_eq_per_m3)) {
            return (double)NAN;
        }
        return cycle->potential_outcome == BF_LEAKS_FROM_THE_START ? 1.0 : -1.0;
    case BF__LIMIT_SITES: return limit->bound - cycle->total_capacity_eq_per_m3;
    case BF__LIMIT_HARD_AT_END: return cycle->hardness_last_eq_per_m3 - limit->bound;
    case BF__LIMIT_HARD_MEAN: return cycle->hardness_mean_eq_per_m3 - limit->bound;
    case BF__LIMIT_IRON: return cycle->iron_mean_g_per_m3 - limit->bound;
    case BF__LIMIT_MANGANESE: return cycle->manganese_mean_g_per_m3 - limit->bound;
    case BF__LIMIT_PRESSURE:
        return cycle->pressure_ratio * bf__campaign_clean_drop_Pa(bed->spec, cycle->day) -
               limit->bound;
    case BF__LIMIT_ALKALINITY: return limit->bound - cycle->alkalinity_low_eq_per_m3;
    case BF__LIMIT_MOISTURE: return cycle->moisture - limit->bound;
    default: return (double)NAN;
    }
}

static double first_day(const bf__limit_case *bed, const bf__limit *limit,
                        const bf_campaign_series *series)
{
    double day = (double)NAN;
    double before = (double)NAN;
    if (limit->kind == BF__LIMIT_SPENT) {
        return series->state == BF_CAMPAIGN_SPENT && series->count > 0
                   ? series->cycle[series->count - 1].day
                   : (double)NAN;
    }
    for (size_t c = 0; c < series->count; c++) {
        const bf_campaign_cycle *cycle = &series->cycle[c];
        const double now = excess_of(bed, limit, cycle);
        if (isnan(now)) {
            continue;
        }
        if (now > 0.0) {
            return isnan(before) ? 0.0 : day + (cycle->day - day) * before / (before - now);
        }
        day = cycle->day;
        before = now;
    }
    return (double)NAN;
}

double bf__limit_earliest(const bf__limit *limit)
{
    double day = (double)INFINITY;
    for (size_t s = 0; s < BF_FOULING_SERIES; s++) {
        day = fmin(day, limit->day[s]);
    }
    return day;
}

double bf__limit_latest(const bf__limit *limit)
{
    double day = 0.0;
    for (size_t s = 0; s < BF_FOULING_SERIES; s++) {
        day = isnan(limit->day[s]) ? (double)INFINITY : fmax(day, limit->day[s]);
    }
    return day;
}

static double order(double day)
{
    return isnan(day) ? 1e300 : fmin(day, 1e300);
}

static int earlier_first(const void *a, const void *b)
{
    const bf__limit *left = a;
    const bf__limit *right = b;
    const double expected[2] = {order(left->day[BF_FOULING_EXPECTED]),
                                order(right->day[BF_FOULING_EXPECTED])};
    const double earliest[2] = {order(bf__limit_earliest(left)), order(bf__limit_earliest(right))};
    if (expected[0] != expected[1]) {
        return expected[0] < expected[1] ? -1 : 1;
    }
    if (earliest[0] != earliest[1]) {
        return earliest[0] < earliest[1] ? -1 : 1;
    }
    return left->kind < right->kind ? -1 : 1;
}

size_t bf__limits_find(const bf__limit_case *bed, const bf_campaign_series *series, bf__limit *out)
{
    size_t count = 0;
    for (size_t k = 0; k < BF__LIMITS; k++) {
        bf__limit *limit = &out[count];
        limit->kind = (bf__limit_kind)k;
        limit->bound = bound_of(bed, limit->kind);
        if (isnan(limit->bound)) {
            continue;
        }
        for (size_t s = 0; s < BF_FOULING_SERIES; s++) {
            limit->day[s] = first_day(bed, limit, &series[s]);
        }
        count++;
    }
    qsort(out, count, sizeof *out, earlier_first);
    return count;
}
