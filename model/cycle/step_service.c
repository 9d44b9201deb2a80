/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Service: the feed passes until its hardness comes through, or until a volume has passed. */
#include "cycle/account.h"
#include "cycle/step.h"

#include <math.h>

static bf_status check_service(const bf_step *step, bf_error *err)
{
    const char *where = step->type->name;
    double end = step->end_hardness_eq_per_m3;
    double stop = step->stop_hardness_eq_per_m3;
    if (isnan(end) && isnan(step->bed_volumes)) {
        return bf_error_set(err, BF_E_RANGE, where,
                            "service has neither an end point nor a volume; state one of them");
    }
    if (!isnan(end) && !(end > 0.0)) {
        return bf_error_set(err, BF_E_RANGE, where,
                            "end point is %g eq/m3 of hardness; it must be above zero", end);
    }
    if (!isnan(stop) && !(stop > end)) {
        return bf_error_set(err, BF_E_RANGE, where,
                            "the hardness at which service stops, %g eq/m3, must lie above the end "
                            "point, %g eq/m3",
                            stop, end);
    }
    if (!isnan(step->bed_volumes)) {
        return bf__step_check_volume(step, err);
    }
    return bf__step_check_velocity(step, err);
}

static bf_status needs_service(const bf_step *step, const bf_site *site, bf_step_needs *out,
                               bf_error *err)
{
    bf_status status = bf__step_needs_water(step, site, out, err);
    out->drain_m_per_s = 0.0; /* it goes to the house */
    return status;
}

/* The longest a service can sensibly last. Without it a dose whose effluent never falls below the
 * end point would run for ever. No source: a bed takes up its total capacity once, so three times
 * that is beyond every end point; ten bed volumes more rinse a bed that has next to no capacity. */
double bf__longest_service(const bf_step *step, const bf_site *site)
{
    double bound =
        3.0 * site->resin.total_capacity_eq_per_m3 / site->water.hardness_eq_per_m3 + 10.0;
    return isnan(step->bed_volumes) ? bound : step->bed_volumes;
}

static bf_status run_service(const bf_step *step, const bf_site *site, bf_bed *bed,
                             bf_step_result *out, bf_error *err)
{
    double longest = bf__longest_service(step, site);
    const double s_per_bed_volume = site->depth_m / step->velocity_m_per_s;
    bf__relay relay;
    bf_flow flow = bf__step_flow(step, longest * s_per_bed_volume, &relay);
    bf_site_supply(site, step->supply, flow.inlet_eq_per_m3);
    flow.end_hardness_eq_per_m3 = step->end_hardness_eq_per_m3;
    bf_status status = bf_fluid_of_water(site->water.temperature_K, &flow.fluid, err);
    if (status != BF_OK) {
        return status;
    }
    bf_passage counted;
    status = bf_bed_run(bed, &flow, &counted, err);
    if (status != BF_OK) {
        return status;
    }
    bf_passage whole = counted;
    double left = longest - counted.bed_volumes;
    /* 1e-9: numerical choice, a rest that is only rounding is none. */
    if (!isnan(step->stop_hardness_eq_per_m3) && counted.reached_end_hardness && left > 1e-9) {
        relay.earlier_s = counted.duration_s;
        relay.earlier_bed_volumes = counted.bed_volumes;
        flow.duration_s = left * s_per_bed_volume;
        flow.end_hardness_eq_per_m3 = step->stop_hardness_eq_per_m3;
        bf_passage deeper;
        status = bf_bed_run(bed, &flow, &deeper, err);
        if (status != BF_OK) {
            return status;
        }
        bf__passage_join(&counted, &deeper, &whole);
    }
    /* How long it lasted is known only now. */
    bf_step_needs needs;
    bf__step_needs_flow(step, site, whole.bed_volumes, whole.bed_volumes, &needs);
    needs.duration_s = whole.duration_s;
    bf__step_record(step, &needs, &whole, out);
    out->counted = counted;
    return BF_OK;
}

const bf_step_type bf_step_service = {
    .name = "service",
    .word = "service",
    .role = BF_ROLE_SERVICE,
    .scaling = BF_SCALES_WITH_BED,
    .fields = BF_STEP_VELOCITY | BF_STEP_VOLUME | BF_STEP_SUPPLY | BF_STEP_DIRECTION,
    .check = check_service,
    .needs = needs_service,
    .run = run_service,
};
