/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file trace.h
 * A look inside a cycle: what leaves the vessel during every step, and how the bed stands at its
 * end.
 */
#ifndef BRINEFRONT_TRACE_H
#define BRINEFRONT_TRACE_H

#include "brinefront/cycle.h"

#ifdef __cplusplus
extern "C" {
#endif

/** One moment of a step. */
typedef struct bf_trace_point {
    double time_s;      /**< since the start of the step */
    double bed_volumes; /**< passed since the start of the step */
    double hardness_eq_per_m3;
    double normality_eq_per_m3;
    double effluent_eq_per_m3[BF_CATION_COUNT];
} bf_trace_point;

typedef struct bf_trace bf_trace;

/** @param cells of the beds that will be traced: bf_bed_cell_count() */
BF_API BF_MUST_CHECK bf_status bf_trace_create(size_t cells, bf_trace **out, bf_error *err);
BF_API void bf_trace_free(bf_trace *trace); /* NULL is fine */

/** Make every step of a recipe report to the trace. What it held before is dropped. */
BF_API void bf_trace_attach(bf_trace *trace, bf_recipe *recipe);

/** BF_OK, or BF_E_MEMORY when points were lost while the cycle ran. */
BF_API BF_MUST_CHECK bf_status bf_trace_check(const bf_trace *trace, bf_error *err);

/** Steps that have ended. */
BF_API size_t bf_trace_step_count(const bf_trace *trace);

/** The moments of a step, in order; borrowed. `count` may be 0 for a step that does not touch the
 *  bed. */
BF_API const bf_trace_point *bf_trace_points(const bf_trace *trace, size_t step, size_t *count);

/** The effluent at a volume within a step, linear between moments; volumes outside are read at the
 *  nearest end. @param step must have points */
BF_API bf_trace_point bf_trace_at(const bf_trace *trace, size_t step, double bed_volumes);

/** Profiles at the end of a step, from the top down, `cells` values; borrowed. */
BF_API const double *bf_trace_resin_fraction(const bf_trace *trace, size_t step, bf_ion ion);
BF_API const double *bf_trace_pore_eq_per_m3(const bf_trace *trace, size_t step, bf_ion ion);

#ifdef __cplusplus
}
#endif
#endif
