/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Integration of one run in time. integrate.c is the only file that drives CVODE. */
#ifndef BF_BED_INTEGRATE_H
#define BF_BED_INTEGRATE_H

#include "bed/column.h"
#include "bed/newton.h"

typedef struct bf__integrator bf__integrator;

/* `tolerance` holds one absolute tolerance per state; it is copied. */
BF_MUST_CHECK bf_status bf__integrator_create(const bf__newton_kind *kind, const bf__layout *layout,
                                              int with_sources, double relative_tolerance,
                                              const double *tolerance, bf__integrator **out,
                                              bf_error *err);
void bf__integrator_free(bf__integrator *integrator);

typedef struct bf__integration {
    double start_s;                /* in: on the clock of the whole run */
    double duration_s;             /* in: the longest; out: how long it was */
    double end_hardness_eq_per_m3; /* in: rising through it ends the run; NAN: never */
    double first_at_s;             /* in: when to read the first leakage */
    int reached_end_hardness;      /* out */
    double hardness_first_eq_per_m3, hardness_low_eq_per_m3, hardness_last_eq_per_m3; /* out */
    long steps;                                                                       /* out */
} bf__integration;

/* Advance `state` (in flow order, effluent integrals zero) in place. On failure it is undefined. */
BF_MUST_CHECK bf_status bf__integrator_run(bf__integrator *integrator, const bf__column *column,
                                           double *state, bf__integration *run,
                                           void (*observe)(void *context, double time_s,
                                                           const double *state),
                                           void *context, bf_error *err);

#endif
