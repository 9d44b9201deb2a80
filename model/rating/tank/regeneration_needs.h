/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a regeneration takes, from its recipe alone. */
#ifndef BF_RATING_TANK_REGENERATION_NEEDS_H
#define BF_RATING_TANK_REGENERATION_NEEDS_H

#include "brinefront/dose_curve.h"

typedef struct bf__regeneration_needs {
    double step_s[BF_RECIPE_STEPS];
    double duration_s;
    double water_m3;
    double brine_m3, refill_m3, saturate_s;
    double drain_m3_per_s;
} bf__regeneration_needs;

/** @return BF_OK; BF_E_RANGE from brine */
BF_MUST_CHECK bf_status bf__regeneration_needs_of(const bf_rating_spec *rating,
                                                  bf__regeneration_needs *out, bf_error *err);

#endif
