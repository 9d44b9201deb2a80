/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file first_minutes.h
 * The softened water of the first ten minutes of a run, as a published test samples it.
 */
#ifndef BRINEFRONT_FIRST_MINUTES_H
#define BRINEFRONT_FIRST_MINUTES_H

#include "brinefront/dose_curve.h"

#ifdef __cplusplus
extern "C" {
#endif

enum { BF_FIRST_MINUTES = 10 };

typedef struct bf_first_minutes {
    bf_dose_point point; /**< the steady cycle at that flow */
    /** Hardness at the end of each minute of the last run; NAN beyond its end. */
    double sample_eq_per_m3[BF_FIRST_MINUTES];
    double highest_eq_per_m3; /**< of the samples, and of the end of a run that is shorter; NAN
                                 where no steady cycle tells it */
} bf_first_minutes;

/**
 * Rate a dose at a flow of its own and sample its run minute by minute.
 *
 * Observers of the recipe's service are not called.
 *
 * @param m3_per_s  of the service, above zero
 * @return BF_OK also without a rating; BF_E_RANGE, BF_E_MEMORY, BF_E_SOLVER
 * Cost: that of a rating.
 * Source of the ten samples: NSF/ANSI 44 as R. Andrew describes it, WC&P 2013, 2014, 2021.
 */
BF_API BF_MUST_CHECK bf_status bf_first_minutes_rate(const bf_rating_spec *rating,
                                                     double dose_kg_per_m3, double m3_per_s,
                                                     bf_first_minutes *out, bf_error *err);

#ifdef __cplusplus
}
#endif
#endif
