/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Hold: what is in the bed stays there for a time. */
#include "cycle/step.h"

static bf_status check_hold(const bf_step *step, bf_error *err)
{
    /* Common practice, no source: four months. */
    if (!(step->duration_s > 0.0 && step->duration_s <= 1e7)) {
        return bf_error_set(err, BF_E_RANGE, step->type->name,
                            "the bed stands for %g s; accepted are times above 0 up to 1e7 s",
                            step->duration_s);
    }
    return BF_OK;
}

static bf_status needs_hold(const bf_step *step, const bf_site *site, bf_step_needs *out,
                            bf_error *err)
{
    (void)site, (void)err;
    *out = (bf_step_needs){.duration_s = step->duration_s};
    return BF_OK;
}

static bf_status run_hold(const bf_step *step, const bf_site *site, bf_bed *bed,
                          bf_step_result *out, bf_error *err)
{
    bf__relay relay;
    bf_step_needs needs;
    bf_passage passage;
    bf_flow flow = bf__step_flow(step, step->duration_s, &relay);
    flow.velocity_m_per_s = 0.0;
    bf_site_supply(site, step->supply, flow.inlet_eq_per_m3); /* nothing enters; a valid water */
    bf_status status = needs_hold(step, site, &needs, err);
    if (status == BF_OK) {
        status = bf_fluid_of_water(site->water.temperature_K, &flow.fluid, err);
    }
    if (status == BF_OK) {
        status = bf_bed_run(bed, &flow, &passage, err);
    }
    if (status == BF_OK) {
        bf__step_record(step, &needs, &passage, out);
    }
    return status;
}

static void divide_time(bf_step *step, double parts)
{
    step->duration_s /= parts;
}

const bf_step_type bf_step_hold = {
    .name = "hold",
    .word = "hold",
    .role = BF_ROLE_HOLD,
    .scaling = BF_SCALES_WITH_BED,
    .fields = BF_STEP_TIME,
    .check = check_hold,
    .needs = needs_hold,
    .run = run_hold,
    .divide = divide_time,
};
