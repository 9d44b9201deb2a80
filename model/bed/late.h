/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What leaves a vessel whose freeboard lies in layers above an upward flow: what left the bed, late
 * by the volume of the freeboard. */
#ifndef BF_BED_LATE_H
#define BF_BED_LATE_H

#include "bed/column.h"

typedef struct bf__late bf__late;

/* Of a run whose state (turned, effluent integrals zero) is about to start. */
BF_MUST_CHECK bf_status bf__late_create(const bf__column *column, double freeboard_ratio,
                                        const double *state, bf__late **out, bf_error *err);
void bf__late_free(bf__late *late);

/* For bf__integrator_run(): keeps what left the bed up to this moment. Allocates, between steps. */
void bf__late_watch(void *late, double time_s, const double *state);

/* After the run: the layers as they then stand, and the integrals of what left the vessel in place of
 * what left the bed. @return BF_E_MEMORY where the moments found no room */
BF_MUST_CHECK bf_status bf__late_finish(const bf__late *late, double *state, bf_error *err);

/* The moments kept, the start first. @return the time of one; its effluent: C, c_1 .. c_E */
size_t bf__late_count(const bf__late *late);
double bf__late_moment(const bf__late *late, size_t moment, double *effluent);

/* What leaves the vessel at a time. */
void bf__late_effluent(const bf__late *late, double time_s, double *effluent);

#endif
