/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file cycle_study.h
 * One cycle looked at from inside: at the steady state, or the first ones of a bed as delivered.
 */
#ifndef BRINEFRONT_CYCLE_STUDY_H
#define BRINEFRONT_CYCLE_STUDY_H

#include "brinefront/dose_curve.h"
#include "brinefront/trace.h"

#ifdef __cplusplus
extern "C" {
#endif

typedef struct bf_cycle_study {
    double dose_kg_per_m3;
    size_t cells;
    bf_recipe recipe;        /**< with its dose set */
    bf_steady_result steady; /**< how the steady cycle was found; zero when from new */
    size_t cycle_count;      /**< cycles kept: 1 at the steady state, more from new */
    bf_cycle_result *cycle;  /**< owned */
    bf_trace *trace;         /**< of cycle[0]; owned */
} bf_cycle_study;

/**
 * Run to the steady state and trace one more cycle; or, with `new_cycles` above 0, trace the first
 * cycle of a bed as delivered and keep the results of that many.
 *
 * @param out  free with bf_cycle_study_free(), in every case
 * @return BF_OK; BF_E_RANGE, BF_E_MEMORY, BF_E_SOLVER
 */
BF_API BF_MUST_CHECK bf_status bf_cycle_study_run(const bf_rating_spec *spec, double dose_kg_per_m3,
                                                  size_t new_cycles, bf_cycle_study *out,
                                                  bf_error *err);
BF_API void bf_cycle_study_free(bf_cycle_study *study);

#ifdef __cplusplus
}
#endif
#endif
