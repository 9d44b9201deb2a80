/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One comparison over the rows of a source that state a dose: compute each
 * row's bed, measure one thing, and set it against the published number. */
#ifndef BF_VALIDATION_AGAINST_H
#define BF_VALIDATION_AGAINST_H

#include "source.h"

typedef double measure(const bf_dose_point *point);

typedef struct against {
    const char *source; /* folder */
    const char *row;    /* first cell of the rows that belong to the comparison */
    const char *column; /* the published numbers */
    const char *unit;
    measure *measure;
    int is_ratio; /* nonzero: over the bed that column "base" describes */
} against;

/** Columns "change" and "base" change the case of a row (source_change()); a
 * ratio is taken over the latter. The dose stands in dose_lb_per_ft3 or
 * dose_g_per_L. */
BF_MUST_CHECK bf_status against_run(const against *series, outcome *out, bf_error *err);

/** Dose of a row in kg/m3 and as text. NAN where there is none. */
double against_dose(const source *data, size_t row, char *text, size_t room);

double measure_capacity_eq(const bf_dose_point *point);
double measure_capacity_kgr(const bf_dose_point *point);
double measure_capacity_g(const bf_dose_point *point);    /* as CaCO3, per litre of bed */
double measure_leakage_mg(const bf_dose_point *point);    /* mean over the run, as CaCO3 */
double measure_leakage_share(const bf_dose_point *point); /* of the feed, % */
double measure_efficiency_gr(const bf_dose_point *point); /* grains per pound of salt */

#endif
