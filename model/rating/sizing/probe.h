/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The least of something that is enough, where each try costs a steady cycle.
 *
 * value(x) is to rise with x; what is wanted has value >= 0. Its scale is that of a logarithm: 0.01
 * is 1 % more than enough. A try without a rating has the value NAN and counts as too little. */
#ifndef BF_RATING_SIZING_PROBE_H
#define BF_RATING_SIZING_PROBE_H

#include "brinefront/sizing.h"

enum { BF__PROBE_TRIES = 96 };

typedef struct bf__probe {
    /* Rate at x. */
    bf_status (*rate)(void *context, double x, double *value, bf_dose_point *point, bf_error *err);
    void *context;
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

/* On the heap, for a point is large. NULL where memory ran out, which err says. */
bf__probe *bf__probe_create(bf_status (*rate)(void *, double, double *, bf_dose_point *,
                                              bf_error *),
                            void *context, bf_error *err);
void bf__probe_free(bf__probe *probe);

/* Value at x; a second question is answered from memory. NAN also after an error, which stays in
 * probe->status. */
double bf__probe_value(bf__probe *probe, double x);
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

/* What forbids an answer, told from a rating. */
bf_binding bf__binding_of(const bf_dose_point *point, bf_binding where_rated);

/* Without an answer yet. */
void bf__sizing_start(const bf_rating_spec *rating, bf_sizing *out);
/* The answer found, or the limit: bed and `nearest` are the caller's. */
void bf__sizing_take(const bf__probe *probe, bf_binding decided, bf_binding forbids,
                     bf_sizing *out);

/* The spec as it will be rated at a dose. */
BF_MUST_CHECK bf_status bf__sizing_check(const bf_rating_spec *rating, double dose_kg_per_m3,
                                         bf_error *err);
BF_MUST_CHECK bf_status bf__sizing_check_above_zero(const char *where, const char *what,
                                                    double value, const char *unit, bf_error *err);

#endif
