/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file stagnation.h
 * Service as water is used: drawn, left to stagnate, drawn again, until a draw passes the end point.
 */
#ifndef BRINEFRONT_STAGNATION_H
#define BRINEFRONT_STAGNATION_H

#include "brinefront/dose_curve.h"

#ifdef __cplusplus
extern "C" {
#endif

typedef struct bf_stagnation {
    double draw_bed_volumes; /**< of each draw, 0.01 .. 1e5, at the service's own velocity */
    double stagnation_s;     /**< the water stands between two draws, 1 .. 1e7 */
} bf_stagnation;

/** @return BF_OK; BF_E_RANGE naming the field. */
BF_API BF_MUST_CHECK bf_status bf_stagnation_check(const bf_stagnation *stagnation, bf_error *err);

typedef struct bf_stagnation_point {
    bf_dose_point point; /**< the steady cycle; stagnation counts as no regeneration time */
    size_t draws;        /**< of the last run */
    /** Mean hardness of the first void volume of a draw, the water that stood in the bed, and of
     *  what comes after it, over the draws that follow stagnation and end in the first half of the run,
     *  where the front is still far. NAN where there is none, and for `later` where no draw is
     *  larger than the void. */
    double first_eq_per_m3, later_eq_per_m3;
} bf_stagnation_point;

/**
 * Rate a dose on service in draws of equal size with equal stagnation between, at its steady cycle.
 *
 * While water stands, ions go on moving between bead and water and inside the beads, so that water
 * at the outlet comes to equilibrium with what brine left in the beads there: the first of a draw
 * leaks more, and a run holds a little more or less than without. A run ends where a draw
 * rises through the end point, or with a draw that is above it from first to last.
 *
 * Not modelled: natural convection and back-diffusion into the freeboard; iron (campaign.h).
 * Observers of the recipe's steps are not called. Without a stop beyond the end point.
 *
 * @return BF_OK also without a rating; BF_E_RANGE, BF_E_MEMORY, BF_E_SOLVER
 * Cost: some two to five times a rating: every draw and every stagnation starts the integrator anew.
 */
BF_API BF_MUST_CHECK bf_status bf_stagnation_rate(const bf_rating_spec *rating,
                                                  const bf_stagnation *stagnation,
                                                  double dose_kg_per_m3, bf_stagnation_point *out,
                                                  bf_error *err);

#ifdef __cplusplus
}
#endif
#endif
