/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The bed whose constants are moved. Invented. */
#ifndef BF_TESTS_HARD_BED_H
#define BF_TESTS_HARD_BED_H

#include "brinefront/band.h"
#include "coarse_bed.h"
#include "simple_bed.h"

#include <string.h>

/* A bed on hard water, on a grid too coarse to trust and quick to run. */
static inline bf_rating_spec hard_bed(double temperature_K)
{
    bf_error err = {0};
    bf_rating_spec spec = {.bed = simple_bed(), .steady = bf_steady_spec_default()};
    bf_water_analysis analysis = bf_water_analysis_default();
    analysis.hardness_eq_per_m3 = 9.83;
    analysis.calcium_to_magnesium = 1.93;
    analysis.ion_eq_per_m3[BF_ION_NA] = 2.07;
    analysis.temperature_K = temperature_K;
    assert_ok(bf_water_complete(&analysis, &spec.water, NULL, &err));
    spec.bed.depth_m = 0.731;
    spec.bed.freeboard_m = 0.35;
    spec.bed.cells = 24;
    spec.bed.shells = 2;
    add_step(&spec, &bf_step_service, 19.3)->end_hardness_eq_per_m3 = 0.342;
    add_step(&spec, &bf_step_brine, 4.1);
    add_step(&spec, &bf_step_slow_rinse, 4.1)->bed_volumes = 1.9;
    add_step(&spec, &bf_step_fast_rinse, 11.7)->bed_volumes = 2.1;
    add_step(&spec, &bf_step_refill, 2.2);
    for (size_t s = 0; s < spec.recipe.count; s++) {
        spec.recipe.step[s].mass_fraction = 0.0973;
    }
    return spec;
}

static inline size_t constant_named(const char *name)
{
    size_t k = 0;
    while (k < bf_uncertain_count() && strcmp(bf_uncertain_get(k).name, name) != 0) {
        k++;
    }
    ck_assert_msg(k < bf_uncertain_count(), "no constant \"%s\"", name);
    return k;
}

#endif
