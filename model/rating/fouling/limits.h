/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What limits a fouling bed, and since when: as expected and at either end of the range. */
#ifndef BF_RATING_FOULING_LIMITS_H
#define BF_RATING_FOULING_LIMITS_H

#include "rating/fouling/years.h"

typedef enum bf__limit_kind {
    BF__LIMIT_RATING,      /* capacity to the end point below the rating stated, eq/m3 */
    BF__LIMIT_NEED,        /* ... below the hardness that arrives between regenerations, eq/m3 */
    BF__LIMIT_LEAKS,       /* above the end point from the start of a run: no capacity to it */
    BF__LIMIT_SITES,       /* total capacity of the resin below four fifths of new, eq/m3 */
    BF__LIMIT_HARD_AT_END, /* hardness above the end point as the bed is regenerated, eq/m3 */
    BF__LIMIT_HARD_MEAN,   /* ... on the average of a run, eq/m3 */
    BF__LIMIT_IRON,        /* of the softened water, g/m3 */
    BF__LIMIT_MANGANESE,   /* the same */
    BF__LIMIT_PRESSURE,    /* drop of the bed alone, Pa */
    BF__LIMIT_ALKALINITY,  /* used up, eq/m3 */
    BF__LIMIT_MOISTURE,    /* of the resin, - */
    BF__LIMIT_SPENT,       /* no bed any more */
    BF__LIMITS
} bf__limit_kind;

typedef struct bf__limit {
    bf__limit_kind kind;
    double bound;                  /* in the unit of its kind; that of the first day */
    double day[BF_FOULING_SERIES]; /* first beyond it; 0: from the start; NAN: never */
} bf__limit;

/* What the limits of a bed hang on besides its campaign. */
typedef struct bf__limit_case {
    const bf_campaign_spec *spec;
    double rating_eq_per_m3; /* stated; NAN: none */
    int states_alkalinity;   /* zero: anions that were made up say nothing of it */
} bf__limit_case;

/* All that apply to a campaign, the earliest first, those that are never met last.
 * @param out  room for BF__LIMITS  @return how many */
size_t bf__limits_find(const bf__limit_case *bed, const bf_campaign_series *series, bf__limit *out);

/* The earliest and the latest day of the three; INFINITY: never. */
double bf__limit_earliest(const bf__limit *limit);
double bf__limit_latest(const bf__limit *limit);

#endif
