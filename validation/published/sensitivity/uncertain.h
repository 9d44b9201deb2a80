/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The constants behind a rating, each with the limits its sources leave it, and
 * a rating with some of them moved. Public headers only.
 *
 * Two things the case of a rating cannot say are moved through steps of our
 * own: a step may run in a second bed of the same shape that has another axial
 * dispersion, another equilibrium or other diffusivities, and hands the state
 * back. */
#ifndef BF_VALIDATION_UNCERTAIN_H
#define BF_VALIDATION_UNCERTAIN_H

#include "brinefront/dose_curve.h"

typedef struct uncertain_bed {
    bf_rating_spec rating;
    double heat_J_per_mol;    /* of exchange of a divalent ion for Na; moves K with
                            temperature */
    double dispersion_factor; /* on Chung & Wen, at each step's own velocity; 1:
                               as computed */
    double brine_selectivity; /* factor on K of Ca and Mg in brine and slow rinse */
    double brine_diffusivity; /* factor on every diffusivity in the bead in the
                               same steps */
    double dose_factor;
    int constant_coefficients; /* nonzero: K_N 2.6 and 1.66 at every strength, no
                                activities */
} uncertain_bed;

typedef struct uncertain {
    const char *name;
    const char *low, *assumed, *high; /* as the page says them */
    const char *grounds;              /* where the limits come from */
    int in_band;                      /* nonzero: sampled for the band */
} uncertain;

size_t uncertain_count(void);
const uncertain *uncertain_get(size_t which);

/** The bed of a published source as it stands: nothing moved. */
BF_MUST_CHECK bf_status uncertain_bed_of(const char *source, uncertain_bed *out, bf_error *err);

/** Move one constant: 0 to its low limit, 1 to its high one, between them
 * evenly, or evenly in the logarithm where the limits are factors. */
void uncertain_set(uncertain_bed *bed, size_t which, double position);

/** The steady cycle at one dose. */
BF_MUST_CHECK bf_status uncertain_rate(const uncertain_bed *bed, double dose_kg_per_m3,
                                       bf_steady_result *out, bf_error *err);

#endif
