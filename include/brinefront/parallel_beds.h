/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file parallel_beds.h
 * Uneven flow: a bed as several beds side by side, each at a velocity of its own, whose effluents
 * mix.
 */
#ifndef BRINEFRONT_PARALLEL_BEDS_H
#define BRINEFRONT_PARALLEL_BEDS_H

#include "brinefront/dose_curve.h"

#ifdef __cplusplus
extern "C" {
#endif

enum { BF_PARALLEL_BEDS = 9 };

typedef struct bf_uneven_flow {
    double velocity_spread; /**< standard deviation over the mean, 0 .. 0.3; normal distribution */
    double wall_share;      /**< share of the cross-section at the wall, 0 .. 0.5, and ... */
    double wall_excess;     /**< ... how much faster the water runs there, 0 .. 1 */
    size_t beds;            /**< 1 .. BF_PARALLEL_BEDS */
} bf_uneven_flow;

/** No spread, no wall effect, one bed. */
BF_API bf_uneven_flow bf_uneven_flow_default(void);
/** Wall effect of a vessel: a ring of one bead diameter whose void is larger.
 *  Source in parallel_beds.c. */
BF_API void bf_uneven_flow_wall(const bf_bed_spec *bed, bf_uneven_flow *out);
BF_API BF_MUST_CHECK bf_status bf_uneven_flow_check(const bf_uneven_flow *uneven, bf_error *err);

/** Rate a dose with uneven flow in service and regeneration. @return as bf_steady_run() */
BF_API BF_MUST_CHECK bf_status bf_parallel_beds_rate(const bf_rating_spec *rating,
                                                     const bf_uneven_flow *uneven,
                                                     double dose_kg_per_m3, bf_dose_point *out,
                                                     bf_error *err);

#ifdef __cplusplus
}
#endif
#endif
