/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What was measured against what was computed for that day. */
#ifndef BF_REPORT_FOUL_OBSERVED_H
#define BF_REPORT_FOUL_OBSERVED_H

#include "report/foul_read.h"

/* One measured value; all in the SI unit of bf_observed. */
typedef struct bf__residual {
    const bf_observation *row;
    bf_observed what;
    double observed;
    bf__span computed;
    double residual;       /* observed less expected */
    double per_half_range; /* residual over half the range; NAN where the range has no width */
    int is_told;           /* nonzero where the campaign reaches that day */
    int is_inside;         /* of the range */
} bf__residual;

/* The values of an observation, those that are not told left out.
 * @param out  room for BF_OBSERVED_COUNT */
size_t bf__residuals(const bf_foul_report *report, size_t observation, bf__residual *out);

/* How many were told for their day, and how many of those lie inside the range. */
void bf__residuals_count(const bf_foul_report *report, size_t *told, size_t *inside);

/* "capacity", "pressure drop", "iron on resin", "moisture"; unit and value on a page */
const char *bf__observed_word(bf_observed what);
const char *bf__observed_unit(bf_observed what, bf_unit_system units);
double bf__observed_show(bf_observed what, bf_unit_system units, double value);

#endif
