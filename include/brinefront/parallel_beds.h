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
    double wall_excess;     /**< ... how much faster the water runs there than inside, 0 .. 1 */
    size_t beds; /**< inside, of equal cross-section, 1 .. BF_PARALLEL_BEDS; a spread needs 2 */
} bf_uneven_flow;

/** No spread, no wall effect, one bed. */
BF_API bf_uneven_flow bf_uneven_flow_default(void);
/** Wall effect of a vessel: what runs faster in a ring of one bead diameter, whose void is larger,
 *  spread over as much of the bed as water crosses sideways on its way down. Sets wall_share and
 *  wall_excess and leaves the rest. Sources in uneven_flow.c. */
BF_API void bf_uneven_flow_wall(const bf_bed_spec *bed, bf_uneven_flow *out);
BF_API BF_MUST_CHECK bf_status bf_uneven_flow_check(const bf_uneven_flow *uneven, bf_error *err);

/** The beds side by side: the ring at the wall, where there is one, comes last.
 *  @param share     out: of the cross-section, BF_PARALLEL_BEDS + 1 places; their sum is 1
 *  @param velocity  out: over the mean, as many; the mean by cross-section is 1
 *  @return how many there are */
BF_API size_t bf_uneven_flow_beds(const bf_uneven_flow *uneven, double *share, double *velocity);

/**
 * Rate a dose with uneven flow in service and regeneration.
 *
 * Service ends when the mixture reaches the end point. Each bed gets brine and rinse water in
 * proportion to its velocity; backwash lifts and evens out, and runs evenly. Nothing crosses from
 * bed to bed, neither water nor beads: in a vessel both do, so that this is an upper bound of what
 * a spread does. One bed alone is bf_dose_curve()'s rating, to the bit.
 *
 * Results are per volume of all beds. Of steps other than service `passage` has no first and no
 * lowest hardness (NAN). Observers of the recipe's steps are not called.
 *
 * @param threads  0: as many as there are processors; the same bits for any
 * @return BF_OK also without a rating; BF_E_RANGE, BF_E_MEMORY, BF_E_SOLVER
 * Cost: about twice a rating for each bed.
 */
BF_API BF_MUST_CHECK bf_status bf_parallel_beds_rate(const bf_rating_spec *rating,
                                                     const bf_uneven_flow *uneven,
                                                     double dose_kg_per_m3, int threads,
                                                     bf_dose_point *out, bf_error *err);

#ifdef __cplusplus
}
#endif
#endif
