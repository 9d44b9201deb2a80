/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Parallel beds whose effluents mix: what uneven flow, or beads of several
 * sizes each in a bed of its own, make of a rating. Service ends when the
 * MIXTURE reaches the end point. */
#ifndef BF_VALIDATION_LANES_H
#define BF_VALIDATION_LANES_H

#include "brinefront/dose_curve.h"

enum { LANES = 8 };

typedef struct lanes {
    size_t count;
    double share[LANES];    /* of the bed; their sum is 1 */
    double velocity[LANES]; /* over the mean */
    double bead_m[LANES];
    int service_only; /* nonzero: the brine and the rinses run evenly */
} lanes;

/** Steady cycle at one dose; capacity per volume of all beds. NAN where there
 * is no rating. */
BF_MUST_CHECK bf_status lanes_rate(const bf_rating_spec *spec, const lanes *group,
                                   double dose_kg_per_m3, double *capacity_eq_per_m3,
                                   double *leakage_eq_per_m3, bf_error *err);

#endif
