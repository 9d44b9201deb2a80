/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What was measured against what was computed for that day. */
#ifndef BF_REPORT_OBSERVED_OBSERVED_H
#define BF_REPORT_OBSERVED_OBSERVED_H

#include "base/quantities.h"
#include "brinefront/report.h"
#include "rating/fouling/years.h"

/* One measured value; all in the SI unit of bf_observed. */
typedef struct bf__residual {
    const bf_observation *row;
    bf_observed what;
    double observed;
    bf__span computed;
    double residual;         /* observed less expected */
    double residual_of_side; /* residual over the distance from expected to the end of the range on
                           that side; NAN where there is none */
    int is_computed;         /* nonzero where the campaign reaches that day */
    int has_range;           /* zero where the uncertain parameter hardly moves the quantity */
    int is_inside;           /* of the range; zero where there is none */
    int is_wide;             /* the range spans so much that nearly anything lies in it */
} bf__residual;

/* The values of an observation, those that were not read left out.
 * @param out  room for BF_OBSERVED_COUNT */
size_t bf__residuals(const bf_foul_report *report, size_t observation, bf__residual *out);

typedef struct bf__residual_count {
    size_t has_range; /* computed for their day, with a range */
    size_t inside;    /* of those */
    size_t wide;      /* inside a range that is wide */
} bf__residual_count;

bf__residual_count bf__residuals_count(const bf_foul_report *report);

/* Readings of a kind that have no range to be compared with: how many, and the least and the most
 * that they are off by, over what was computed. */
typedef struct bf__rangeless {
    size_t count;
    double least, most;
} bf__rangeless;

bf__rangeless bf__residuals_rangeless(const bf_foul_report *report, bf_observed what);

/* A kind of reading on a page. */
typedef struct bf__observed_quantity {
    const char *word;
    const char *name; /* in CSV, with its unit */
    const char *unit; /* in JSON */
    bf__quantity kind;
    int decimals[2];             /* by bf_unit_system */
    bf_campaign_quantity source; /* what it is compared with */
    double scale;                /* from there to the SI unit of what was observed */
} bf__observed_quantity;

extern const bf__observed_quantity bf__observed_quantities[BF_OBSERVED_COUNT];

#endif
