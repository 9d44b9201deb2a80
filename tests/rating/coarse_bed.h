/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A bed on hard water, on a grid too coarse to trust and quick to run. Invented. */
#ifndef BF_TESTS_COARSE_BED_H
#define BF_TESTS_COARSE_BED_H

#include "brinefront/dose_curve.h"
#include "simple_bed.h"
#include "support.h"

#include <math.h>

static inline bf_step *add_step(bf_rating_spec *spec, const bf_step_type *type,
                                double bed_volumes_per_h)
{
    bf_step *step = &spec->recipe.step[spec->recipe.count++];
    *step = (bf_step){.type = type,
                      .direction = BF_FLOW_DOWN,
                      .supply = BF_SUPPLY_RAW,
                      .velocity_m_per_s = bed_volumes_per_h * spec->bed.depth_m / 3600.0,
                      .bed_volumes = (double)NAN,
                      .end_hardness_eq_per_m3 = (double)NAN,
                      .stop_hardness_eq_per_m3 = (double)NAN,
                      .salt = BF_SALT_NACL,
                      .mass_fraction = 0.1027};
    return step;
}

static inline bf_rating_spec coarse_bed(void)
{
    bf_error err = {0};
    bf_rating_spec spec = {.bed = simple_bed(), .steady = bf_steady_spec_default()};
    bf_water_analysis analysis = bf_water_analysis_default();
    analysis.hardness_eq_per_m3 = 8.71;
    analysis.calcium_to_magnesium = 2.13;
    analysis.ion_eq_per_m3[BF_ION_NA] = 1.87;
    analysis.temperature_K = 292.6;
    assert_ok(bf_water_complete(&analysis, &spec.water, NULL, &err));
    spec.bed.diameter_m = 0.247;
    spec.bed.depth_m = 0.743;
    spec.bed.freeboard_m = 0.36;
    spec.bed.cells = 24;
    spec.bed.shells = 2;
    add_step(&spec, &bf_step_service, 17.9)->end_hardness_eq_per_m3 = 0.342;
    add_step(&spec, &bf_step_brine, 4.3);
    add_step(&spec, &bf_step_slow_rinse, 4.3)->bed_volumes = 1.9;
    add_step(&spec, &bf_step_fast_rinse, 11.7)->bed_volumes = 2.1;
    add_step(&spec, &bf_step_refill, 2.2);
    return spec;
}

/* One dose by the public curve: what an answer is put back into. */
static inline bf_dose_point rate_at(const bf_rating_spec *spec, double dose_kg_per_m3)
{
    bf_error err = {0};
    bf_dose_point point;
    bf_dose_curve_spec curve = {.dose_kg_per_m3 = &dose_kg_per_m3, .count = 1, .threads = 1};
    assert_ok(bf_dose_curve(spec, &curve, &point, NULL, &err));
    return point;
}

#endif
