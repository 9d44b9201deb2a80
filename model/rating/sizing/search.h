/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What every search shares: a rating that is tried again and again, and what becomes of the tries. */
#ifndef BF_RATING_SIZING_SEARCH_H
#define BF_RATING_SIZING_SEARCH_H

#include "rating/curve/one_rating.h"
#include "rating/sizing/probe.h"

typedef struct bf__search {
    const bf_rating_spec *rating;
    const bf_sizing_spec *spec;  /* NULL: all zero */
    bf_selectivity *selectivity; /* owned */
    bf__probe *probe;            /* owned */
    double ratio;          /* practical over nominal capacity, of the last band; 1 before it */
    double ratio_of_least; /* of the least x that was enough; NAN before there is one */
    double least;
} bf__search;

/* Nothing found yet. */
void bf__sizing_start(const bf_rating_spec *rating, bf_sizing *out);

BF_MUST_CHECK bf_status bf__sizing_check_above_zero(const char *where, const char *what,
                                                    double value, const char *unit, bf_error *err);

/* @param dose_kg_per_m3  what the spec is checked with
 * @param rate, context   as in probe.h
 * @param out             close it in any case */
BF_MUST_CHECK bf_status bf__search_open(const char *where, const bf_rating_spec *rating,
                                        const bf_sizing_spec *spec, double dose_kg_per_m3,
                                        bf__try *rate, void *context, bf__search *out,
                                        bf_error *err);
void bf__search_close(bf__search *search);

/* What forbids an answer, told from a rating. */
bf_binding bf__binding_of(const bf_dose_point *point, bf_binding where_rated);

/* The answer found, or the limit; bed and `nearest` are the caller's. After a stop the least that
 * was enough so far. */
void bf__search_take(const bf__search *search, bf_status status, bf_binding decided,
                     bf_binding forbids, bf_sizing *out);

/* From the value of a rating, a logarithm that is above zero where it is more than enough, to that
 * of the practical one, where one is searched for; NAN where the quantile falls among samples
 * without a rating. A band is computed where the rating itself is about enough; below, the last
 * ratio serves. */
BF_MUST_CHECK bf_status bf__practical_value(bf__search *search, const bf_rating_spec *rating,
                                            double x, double dose_kg_per_m3, double *value,
                                            bf_error *err);

#endif
