/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A dose curve from plain structs: what a program does that has no case file. Prints every number
 * with all of its bits. */
#include "brinefront/dose_curve.h"

#include <math.h>
#include <stdio.h>

static bf_step step_of(const bf_step_type *type, bf_supply supply, double bed_volumes_per_h,
                       double bed_volumes, double depth_m)
{
    return (bf_step){.type = type,
                     .direction = BF_FLOW_DOWN,
                     .supply = supply,
                     .velocity_m_per_s = bed_volumes_per_h * depth_m / 3600.0,
                     .bed_volumes = bed_volumes,
                     .end_hardness_eq_per_m3 = (double)NAN,
                     .stop_hardness_eq_per_m3 = (double)NAN,
                     .salt = BF_SALT_NACL,
                     .mass_fraction = 0.10};
}

static bf_status describe(bf_rating_spec *out, bf_error *err)
{
    const double unset = (double)NAN;
    bf_water_analysis analysis = bf_water_analysis_default();
    analysis.hardness_eq_per_m3 = 6.0;
    analysis.calcium_to_magnesium = 2.0;
    analysis.temperature_K = 288.15;
    *out = (bf_rating_spec){.bed = bf_bed_spec_default(), .steady = bf_steady_spec_default()};
    out->bed.depth_m = 0.75;
    out->bed.cells = 24;
    out->bed.shells = 2;
    const double depth_m = out->bed.depth_m;
    bf_step *step = out->recipe.step;
    step[0] = step_of(&bf_step_service, BF_SUPPLY_RAW, 16.0, unset, depth_m);
    step[0].end_hardness_eq_per_m3 = 0.2;
    step[1] = step_of(&bf_step_brine, BF_SUPPLY_RAW, 4.0, unset, depth_m);
    step[2] = step_of(&bf_step_slow_rinse, BF_SUPPLY_RAW, 4.0, 2.0, depth_m);
    step[3] = step_of(&bf_step_fast_rinse, BF_SUPPLY_RAW, 12.0, 2.0, depth_m);
    out->recipe.count = 4;
    return bf_water_complete(&analysis, &out->water, NULL, err);
}

int main(void)
{
    static const double doses[] = {80.0, 160.0, 240.0};
    enum { DOSES = sizeof doses / sizeof *doses };
    const bf_dose_curve_spec curve = {.dose_kg_per_m3 = doses, .count = DOSES, .threads = 2};
    bf_dose_point points[DOSES];
    bf_rating_spec spec;
    bf_error err = {0};
    bf_status status = describe(&spec, &err);
    if (status == BF_OK) {
        status = bf_dose_curve(&spec, &curve, points, NULL, &err);
    }
    if (status != BF_OK) {
        (void)fprintf(stderr, "%s: %s\n", err.where, err.message);
        return 1;
    }
    for (size_t d = 0; d < DOSES; d++) {
        const bf_cycle_result *cycle = &points[d].steady.cycle;
        (void)printf("%g kg/m3: %s, %a eq/m3, %a eq/m3, %a eq/eq\n", doses[d],
                     bf_outcome_words(cycle->outcome), cycle->capacity_eq_per_m3,
                     cycle->leakage_mean_eq_per_m3, points[d].efficiency_eq_per_eq);
    }
    return 0;
}
