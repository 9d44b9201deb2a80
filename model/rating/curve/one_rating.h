/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One dose at its own cyclic steady state: what every rating is made of. */
#ifndef BF_RATING_CURVE_ONE_RATING_H
#define BF_RATING_CURVE_ONE_RATING_H

#include "brinefront/dose_curve.h"
#include "cycle/approach.h"

/* A spec with its dose set, the first of a list; each is to be above zero.
 * @param where  what an error names
 * @return BF_OK; BF_E_RANGE */
BF_MUST_CHECK bf_status bf__dosed_spec(const char *where, const bf_rating_spec *spec,
                                       const double *dose_kg_per_m3, size_t count,
                                       bf_rating_spec *out, bf_error *err);

/* A point that is still to be computed. @param dosed  with the dose set */
bf_dose_point bf__point_start(const bf_rating_spec *dosed, double dose_kg_per_m3);

/* A bed exhausted by the feed and regenerated: a few percent from its steady cycle. *out is the
 * caller's, also after an error. */
BF_MUST_CHECK bf_status bf__regenerated_bed(const bf_rating_spec *dosed,
                                            const bf_selectivity *selectivity, bf_bed **out,
                                            bf_error *err);

/* Repeat a cycle until it is steady, and tell what came of it. The cycle is `run`. */
BF_MUST_CHECK bf_status bf__settle(const bf_rating_spec *dosed, double dose_kg_per_m3,
                                   bf__run_cycle *run, void *context, bf_dose_point *out,
                                   bf_error *err);

/* The same for the recipe's own cycle on one bed. */
BF_MUST_CHECK bf_status bf__settle_bed(const bf_rating_spec *dosed, double dose_kg_per_m3,
                                       bf_bed *bed, bf_dose_point *out, bf_error *err);

/* All of it. The spec is to have been checked with the dose set. @param selectivity  borrowed */
BF_MUST_CHECK bf_status bf__rate_dose(const bf_rating_spec *spec, const bf_selectivity *selectivity,
                                      double dose_kg_per_m3, bf_dose_point *out, bf_error *err);

#endif
