/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Beds for the comparisons: one equilibrium, one bed, and reading its effluent;
 * and every case in cases/ in turn. */
#ifndef BF_VALIDATION_RIG_H
#define BF_VALIDATION_RIG_H

#include "try.h"

#include "brinefront/bed.h"

typedef struct rig {
    bf_selectivity *selectivity;
    bf_bed *bed;
} rig;

/** 0.76 m of resin, void 0.38, 2000 eq/m3, beads of 0.6 mm whose diffusivities
 * do not follow the temperature; no freeboard, no dispersion; tolerances 1e-8
 * and 1e-8 eq/m3. */
bf_bed_spec rig_bed_spec(bf_rate_law law, size_t cells, size_t shells);

/** One ion against Na. */
bf_selectivity_spec rig_pair(bf_equilibrium_law law, bf_ion ion, double constant);

/** Start from {0}; rig_free() also after a failure. */
BF_MUST_CHECK bf_status rig_build(const bf_selectivity_spec *equilibrium, const bf_bed_spec *spec,
                                  rig *out, bf_error *err);
void rig_free(rig *bed);

/** Water of 20 C, downward, no end point. */
bf_flow rig_flow(double velocity_m_per_s, double duration_s);

/** Run on until each of `count` times since now; exit[i]: what leaves of `ion`
 * then. */
BF_MUST_CHECK bf_status rig_exits(bf_bed *bed, bf_flow *flow, bf_ion ion, size_t count,
                                  const double *time_s, double *exit_eq_per_m3, bf_error *err);

/** Call `look` with the file name of each case in cases/, in alphabetical
 * order, until one fails. *count: how many were looked at. @return what `look`
 * returned last; BF_E_FILE: there is none */
BF_MUST_CHECK bf_status rig_every_case(bf_status (*look)(const char *name, void *context,
                                                         bf_error *err),
                                       void *context, size_t *count, bf_error *err);

#endif
