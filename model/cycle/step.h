/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the types of steps share: checks of the fields of bf_step, the flow through the bed, and the
 * record of what was done. */
#ifndef BF_CYCLE_STEP_H
#define BF_CYCLE_STEP_H

#include "brinefront/cycle.h"

/* Hands a bed's moments on to the step's observer, shifted by what an earlier stretch of the same
 * step has passed already. */
typedef struct bf__relay {
    const bf_step *step;
    double earlier_s;
    double earlier_bed_volumes;
} bf__relay;

BF_MUST_CHECK bf_status bf__step_check_velocity(const bf_step *step, bf_error *err);
BF_MUST_CHECK bf_status bf__step_check_blocking(const bf_step *step, bf_error *err);
BF_MUST_CHECK bf_status bf__step_check_volume(const bf_step *step, bf_error *err);
BF_MUST_CHECK bf_status bf__step_check_dose(const bf_step *step, bf_error *err);

/* What a step needs whose liquid is known: the time it takes to flow, and what goes to the drain. */
void bf__step_needs_flow(const bf_step *step, const bf_site *site, double liquid_bed_volumes,
                         double water_bed_volumes, bf_step_needs *out);

/* `bed_volumes` of the step's supply. */
BF_MUST_CHECK bf_status bf__step_needs_water(const bf_step *step, const bf_site *site,
                                             bf_step_needs *out, bf_error *err);
BF_MUST_CHECK bf_status bf__step_run_water(const bf_step *step, const bf_site *site, bf_bed *bed,
                                           bf_step_result *out, bf_error *err);
void bf__step_divide_volume(bf_step *step, double parts);

/* The flow of a step; composition and fluid are left to the caller. */
bf_flow bf__step_flow(const bf_step *step, double duration_s, bf__relay *relay);

/* What was done: as much as was needed, and what passed through the bed. */
void bf__step_record(const bf_step *step, const bf_step_needs *needs, const bf_passage *passage,
                     bf_step_result *out);

#endif
