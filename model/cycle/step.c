/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the types of steps share; each type has a file of its own (step_brine.c, ...).
 *
 *     time of a step    bed volumes * depth/velocity
 *     water             what enters, and what holds the bed down: blocking velocity * time/depth
 *     to the drain      velocity + blocking velocity while it runs
 */
#include "cycle/step.h"

#include "cycle/account.h"

#include <math.h>

int bf_step_serves(const bf_step *step)
{
    return step->type->role == BF_ROLE_SERVICE || step->type->role == BF_ROLE_EXHAUST;
}

int bf_step_is_brining(const bf_step *step)
{
    return step->type->role == BF_ROLE_BRINE || step->type->role == BF_ROLE_SLOW_RINSE ||
           step->type->role == BF_ROLE_HOLD;
}

const bf_step *bf_recipe_find(const bf_recipe *recipe, bf_step_role role)
{
    for (size_t s = 0; s < recipe->count; s++) {
        if (recipe->step[s].type->role == role) {
            return &recipe->step[s];
        }
    }
    return NULL;
}

/* ---- checks ---------------------------------------------------------------------------------- */

bf_status bf__step_check_velocity(const bf_step *step, bf_error *err)
{
    if (!(step->velocity_m_per_s > 0.0 && step->velocity_m_per_s <= 1.0)) {
        return bf_error_set(err, BF_E_RANGE, step->type->name,
                            "velocity of the %s step is %g m/s; accepted are velocities above 0 up "
                            "to 1 m/s",
                            step->type->name, step->velocity_m_per_s);
    }
    return BF_OK;
}

bf_status bf__step_check_blocking(const bf_step *step, bf_error *err)
{
    double blocking = step->blocking_velocity_m_per_s;
    if (!(blocking >= 0.0 && blocking <= 1.0) ||
        (blocking > 0.0 && step->direction != BF_FLOW_UP)) {
        return bf_error_set(err, BF_E_RANGE, step->type->name,
                            "blocking velocity of the %s step is %g m/s; accepted are 0 to 1 m/s, "
                            "and only with upward flow",
                            step->type->name, blocking);
    }
    return BF_OK;
}

bf_status bf__step_check_volume(const bf_step *step, bf_error *err)
{
    /* Common practice, no source: beyond any service. */
    if (!(step->bed_volumes > 0.0 && step->bed_volumes <= 1e4)) {
        return bf_error_set(err, BF_E_RANGE, step->type->name,
                            "volume of the %s step is %g bed volumes; accepted are volumes above 0 "
                            "up to 10000",
                            step->type->name, step->bed_volumes);
    }
    if (step->supply == BF_SUPPLY_SEA) {
        return bf_error_set(err, BF_E_RANGE, step->type->name,
                            "the %s step takes sea water; only a brine step can", step->type->name);
    }
    bf_status status = bf__step_check_blocking(step, err);
    return status == BF_OK ? bf__step_check_velocity(step, err) : status;
}

bf_status bf__step_check_dose(const bf_step *step, bf_error *err)
{
    /* Common practice, no source: beyond any dose of the trade. */
    if (!(step->dose_kg_per_m3 > 0.0 && step->dose_kg_per_m3 <= 2000.0)) {
        return bf_error_set(err, BF_E_RANGE, step->type->name,
                            "salt dose is %g kg per m3 of resin; accepted are doses above 0 up to "
                            "2000",
                            step->dose_kg_per_m3);
    }
    return bf__step_check_velocity(step, err);
}

/* ---- needs ----------------------------------------------------------------------------------- */

void bf__step_needs_flow(const bf_step *step, const bf_site *site, double liquid_bed_volumes,
                         double water_bed_volumes, bf_step_needs *out)
{
    const double blocking = step->blocking_velocity_m_per_s;
    *out = (bf_step_needs){0};
    out->duration_s = liquid_bed_volumes * site->depth_m / step->velocity_m_per_s;
    out->liquid_bed_volumes = liquid_bed_volumes;
    out->water_bed_volumes = water_bed_volumes + blocking * out->duration_s / site->depth_m;
    out->drain_m_per_s = step->velocity_m_per_s + blocking;
}

bf_status bf__step_needs_water(const bf_step *step, const bf_site *site, bf_step_needs *out,
                               bf_error *err)
{
    (void)err;
    bf__step_needs_flow(step, site, step->bed_volumes, step->bed_volumes, out);
    return BF_OK;
}

/* ---- runs ------------------------------------------------------------------------------------ */

static void pass_on(void *context, const bf_moment *moment)
{
    const bf__relay *relay = context;
    bf_moment shifted = *moment;
    shifted.time_s += relay->earlier_s;
    shifted.bed_volumes += relay->earlier_bed_volumes;
    relay->step->observe(relay->step->observer, relay->step, &shifted);
}

bf_flow bf__step_flow(const bf_step *step, double duration_s, bf__relay *relay)
{
    bf_flow flow = {.direction = step->direction,
                    .velocity_m_per_s = step->velocity_m_per_s,
                    .duration_s = duration_s,
                    .end_hardness_eq_per_m3 = NAN,
                    .bypass_freeboard = step->blocking_velocity_m_per_s > 0.0,
                    .observe = step->observe != NULL ? pass_on : NULL,
                    .context = relay};
    *relay = (bf__relay){.step = step};
    return flow;
}

void bf__step_record(const bf_step *step, const bf_step_needs *needs, const bf_passage *passage,
                     bf_step_result *out)
{
    *out = (bf_step_result){.name = step->type->name,
                            .duration_s = needs->duration_s,
                            .bed_volumes = needs->liquid_bed_volumes,
                            .water_bed_volumes = needs->water_bed_volumes,
                            .salt_kg_per_m3 = needs->salt_kg_per_m3,
                            .passage = *passage,
                            .depth_ratio = 1.0};
}

bf_status bf__step_run_water(const bf_step *step, const bf_site *site, bf_bed *bed,
                             bf_step_result *out, bf_error *err)
{
    bf_step_needs needs;
    bf_passage passage;
    bf__relay relay;
    bf_status status = bf__step_needs_water(step, site, &needs, err);
    if (status != BF_OK) {
        return status;
    }
    bf_flow flow = bf__step_flow(step, needs.duration_s, &relay);
    bf_site_supply(site, step->supply, flow.inlet_eq_per_m3);
    status = bf_fluid_of_water(site->water.temperature_K, &flow.fluid, err);
    if (status == BF_OK) {
        status = bf_bed_run(bed, &flow, &passage, err);
    }
    if (status == BF_OK) {
        bf__step_record(step, &needs, &passage, out);
    }
    return status;
}

void bf__step_divide_volume(bf_step *step, double parts)
{
    step->bed_volumes /= parts;
}

void bf__passage_join(const bf_passage *first, const bf_passage *second, bf_passage *whole)
{
    *whole = *first;
    whole->duration_s += second->duration_s;
    whole->bed_volumes += second->bed_volumes;
    whole->reached_end_hardness = second->reached_end_hardness;
    whole->hardness_low_eq_per_m3 =
        fmin(first->hardness_low_eq_per_m3, second->hardness_low_eq_per_m3);
    whole->hardness_last_eq_per_m3 = second->hardness_last_eq_per_m3;
    whole->imbalance_eq_per_m3 += second->imbalance_eq_per_m3;
    whole->steps += second->steps;
    for (size_t i = 0; i < BF_ION_COUNT; i++) {
        whole->in_eq_per_m3[i] += second->in_eq_per_m3[i];
        whole->out_eq_per_m3[i] += second->out_eq_per_m3[i];
        whole->stored_eq_per_m3[i] += second->stored_eq_per_m3[i];
    }
}
