/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What was measured against what was computed for that day. */
#ifndef BF_REPORT_OBSERVED_OBSERVED_H
#define BF_REPORT_OBSERVED_OBSERVED_H

#include "report/foul/foul_read.h"

/* One measured value; all in the SI unit of bf_observed. */
typedef struct bf__residual {
    const bf_observation *row;
    bf_observed what;
    double observed;
    bf__span computed;
    double residual;    /* observed less expected */
    double of_its_side; /* residual over the distance from expected to the end of the range on
                           that side; NAN where there is none */
    int is_told;        /* nonzero where the campaign reaches that day */
    int has_range;      /* zero where the uncertain parameter hardly moves the quantity */
    int is_inside;      /* of the range; zero where there is none */
    int is_wide;        /* the range spans so much that nearly anything lies in it */
} bf__residual;

/* The values of an observation, those that are not told left out.
 * @param out  room for BF_OBSERVED_COUNT */
size_t bf__residuals(const bf_foul_report *report, size_t observation, bf__residual *out);

typedef struct bf__residual_count {
    size_t told;      /* for their day */
    size_t has_range; /* of those */
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

/* "capacity", "pressure drop", "iron on resin", "moisture", "hardness", "iron"; unit and value on a
 * page */
const char *bf__observed_word(bf_observed what);
const char *bf__observed_unit(bf_observed what, bf_unit_system units);
double bf__observed_show(bf_observed what, bf_unit_system units, double value);

#endif
