/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The least of something that is enough, where each try costs a steady cycle.
 *
 * value(x) is to rise with x; what is wanted has value >= 0. Its scale is that of a logarithm: 0.01
 * is 1 % more than enough. A try without a rating has the value NAN and counts as too little. */
#ifndef BF_RATING_SIZING_PROBE_H
#define BF_RATING_SIZING_PROBE_H

#include "base/parallel.h"
#include "brinefront/sizing.h"

enum { BF__PROBE_TRIES = 96 };

/* Rate at x. */
typedef bf_status bf__try(void *context, double x, double *value, bf_dose_point *point,
                          bf_error *err);

typedef struct bf__probe {
    bf__try *rate;
    void *context;
    bf__part part;      /* of the whole search: the try that runs */
    double short_by;    /* so little below 0 is enough: the noise of a rating */
    double close;       /* so little above 0 is no more than enough */
    double x_tolerance; /* relative, where the value jumps */
    double slope;       /* about d value/d ln x, to find a bracket by */
    /* kept */
    bf_status status;
    bf_error *err;
    size_t tries;
    double x[BF__PROBE_TRIES], value[BF__PROBE_TRIES];
    double enough_x; /* the least that is enough; NAN: none yet */
    bf_dose_point enough;
    bf_dose_point highest; /* rating at the highest x tried, which is ... */
    double highest_x;      /* ... this */
} bf__probe;

/* On the heap, for a point is large. *out is NULL where memory ran out. */
BF_MUST_CHECK bf_status bf__probe_create(bf__try *rate, void *context, bf_watch watch,
                                         bf__probe **out, bf_error *err);
void bf__probe_free(bf__probe *probe);

/* Value at x; a second question is answered from memory. NAN also after an error, which stays in
 * probe->status. */
double bf__probe_value(bf__probe *probe, double x);
/* For what a try itself watches. */
bf_watch bf__probe_watch(bf__probe *probe);
int bf__probe_is_enough(const bf__probe *probe, double value);
/* Nonzero where the least that is enough is more than enough: there the value jumps, or the range
 * ends. */
int bf__probe_jumps(const bf__probe *probe);

/* Find the least x within low .. high that is enough, starting near `guess`; it is then in
 * enough_x. Where none is, enough_x stays NAN and `highest` is the rating at `high`. */
BF_MUST_CHECK bf_status bf__probe_least(bf__probe *probe, double low, double high, double guess);

/* Where a function is lowest, given three places of which the middle is lowest; by Brent's method
 * until they lie within `width`, or the outer ones within `noise` (relative) of the lowest. */
double bf__lowest_between(double (*function)(double, void *), void *context, double low,
                          double middle, double high, double width, double noise);

#endif
