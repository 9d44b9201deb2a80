/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Slow and fast rinse: water for a fixed number of bed volumes. */
#include "cycle/step.h"

const bf_step_type bf_step_slow_rinse = {
    .name = "slow rinse",
    .word = "slow_rinse",
    .role = BF_ROLE_SLOW_RINSE,
    .scaling = BF_SCALES_WITH_BED,
    .fields = BF_STEP_VELOCITY | BF_STEP_VOLUME | BF_STEP_SUPPLY | BF_STEP_DIRECTION,
    .check = bf__step_check_volume,
    .needs = bf__step_needs_water,
    .run = bf__step_run_water,
    .divide = bf__step_divide_volume,
};

const bf_step_type bf_step_fast_rinse = {
    .name = "fast rinse",
    .word = "fast_rinse",
    .role = BF_ROLE_FAST_RINSE,
    .scaling = BF_SCALES_WITH_BED,
    .fields = BF_STEP_VELOCITY | BF_STEP_VOLUME | BF_STEP_SUPPLY | BF_STEP_DIRECTION,
    .check = bf__step_check_volume,
    .needs = bf__step_needs_water,
    .run = bf__step_run_water,
    .divide = bf__step_divide_volume,
};
