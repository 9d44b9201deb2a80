/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Time, water and brine of a regeneration.
 *
 *     time of a step    bed volumes * depth/velocity; of a hold as stated; of steps that serve 0
 *     brine             bed volumes = dose/(kg salt per m3 of brine), as cycle/step.c runs it
 *     water of a step   what enters and what holds the bed down; of brine the water in it
 *     saturated brine   dose/(kg salt per m3 of saturated brine), drawn from the salt
 *     its water         dose/(kg salt per m3 of water that saturates on it), put to the salt
 *
 * Assumes that brine is drawn saturated and diluted on its way to the bed, and that the salt has
 * the temperature of the water.
 * Source: time to saturate up to 3 h, depending on temperature: R. Slovak, WC&P, Mar 2004; no law
 * of it is known to us, so its bound is told.
 */
#include "rating/tank/regeneration_needs.h"

#include "brinefront/convert.h"

#include <math.h>

static const double longest_saturation_s = 3.0 * BF_S_PER_H;

/* What one brine step draws from the salt, per m3 of bed. */
static bf_status draw(const bf_step *step, double temperature_K, bf__regeneration_needs *to,
                      bf_error *err)
{
    double strength = 0.0;
    bf_brine saturated;
    bf_status status = bf_brine_saturation(step->salt, temperature_K, &strength, err);
    if (status == BF_OK) {
        status = bf_brine_of_mass_fraction(step->salt, strength, temperature_K, &saturated, err);
    }
    if (status == BF_OK) {
        to->brine_m3 += step->dose_kg_per_m3 / saturated.salt_per_solution_kg_per_m3;
        to->refill_m3 += step->dose_kg_per_m3 / saturated.salt_per_water_kg_per_m3;
        to->saturate_s = longest_saturation_s;
    }
    return status;
}

/* Bed volumes of liquid and of water that a step sends through the vessel, or to the salt. */
static bf_status volumes(const bf_step *step, double temperature_K, double *liquid, double *water,
                         bf_error *err)
{
    bf_status status = BF_OK;
    *liquid = step->type == &bf_step_hold ? 0.0 : step->bed_volumes;
    *water = *liquid;
    if (step->type == &bf_step_brine && step->supply == BF_SUPPLY_SEA) {
        *liquid = step->dose_kg_per_m3 / bf_sea_salt_kg_per_m3();
        *water = 0.0; /* no fresh water */
    } else if (step->type == &bf_step_brine || step->type == &bf_step_refill) {
        double strength = step->mass_fraction;
        bf_brine brine;
        bf_fluid plain;
        if (step->type == &bf_step_refill) {
            status = bf_brine_saturation(step->salt, temperature_K, &strength, err);
        }
        if (status == BF_OK) {
            status = bf_brine_of_mass_fraction(step->salt, strength, temperature_K, &brine, err);
        }
        if (status == BF_OK) {
            status = bf_fluid_of_water(temperature_K, &plain, err);
        }
        if (status == BF_OK && step->type == &bf_step_brine) {
            *liquid = step->dose_kg_per_m3 / brine.salt_per_solution_kg_per_m3;
            *water = *liquid * brine.water_per_solution_kg_per_m3 / plain.density_kg_per_m3;
        } else if (status == BF_OK) {
            *liquid = step->dose_kg_per_m3 / brine.salt_per_water_kg_per_m3;
            *water = 0.0; /* counts with the brine */
        }
    }
    return status;
}

double bf__drain_m_per_s(const bf_step *step)
{
    const int drains =
        !step->type->serves && step->type != &bf_step_hold && step->type != &bf_step_refill;
    return drains ? step->velocity_m_per_s + step->blocking_velocity_m_per_s : 0.0;
}

bf_status bf__regeneration_needs_of(const bf_rating_spec *rating, bf__regeneration_needs *out,
                                    bf_error *err)
{
    const bf_recipe *recipe = &rating->recipe;
    const double depth_m = rating->bed.depth_m;
    const double area_m2 = bf_bed_area_m2(&rating->bed);
    const double temperature_K = rating->water.temperature_K;
    bf_status status = BF_OK;
    *out = (bf__regeneration_needs){0};
    for (size_t s = 0; s < recipe->count && status == BF_OK; s++) {
        const bf_step *step = &recipe->step[s];
        double liquid = 0.0;
        double water = 0.0;
        if (step->type->serves) {
            continue;
        }
        status = volumes(step, temperature_K, &liquid, &water, err);
        if (status == BF_OK && step->type == &bf_step_hold) {
            out->step_s[s] = step->duration_s;
        } else if (status == BF_OK) {
            out->step_s[s] = liquid * depth_m / step->velocity_m_per_s;
            out->m3 += water + step->blocking_velocity_m_per_s * out->step_s[s] / depth_m;
            out->drain_m3_per_s = fmax(out->drain_m3_per_s, area_m2 * bf__drain_m_per_s(step));
        }
        if (status == BF_OK && step->type == &bf_step_brine && step->supply == BF_SUPPLY_SEA) {
            out->brine_m3 += liquid;
        } else if (status == BF_OK && step->type == &bf_step_brine) {
            status = draw(step, temperature_K, out, err);
        }
        out->s += out->step_s[s];
    }
    const double resin_m3 = area_m2 * depth_m;
    out->m3 *= resin_m3;
    out->brine_m3 *= resin_m3;
    out->refill_m3 *= resin_m3;
    return status;
}
