/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One dose at its own cyclic steady state: what curve, sizing and uneven flow are made of. */
#ifndef BF_RATING_CURVE_RATE_DOSE_H
#define BF_RATING_CURVE_RATE_DOSE_H

#include "brinefront/dose_curve.h"

/* The spec is to have been checked with the dose set. @param selectivity  borrowed */
BF_MUST_CHECK bf_status bf__rate_dose(const bf_rating_spec *spec, const bf_selectivity *selectivity,
                                      double dose_kg_per_m3, bf_dose_point *out, bf_error *err);

#endif
