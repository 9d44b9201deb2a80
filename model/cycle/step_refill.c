/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Refill: water put to the salt for the next brine.
 *
 *     bed volumes = dose/(kg salt per m3 of water that saturates on it)
 *
 * The rest of the brine's water dilutes it on its way to the bed. All of it counts with the brine.
 */
#include "cycle/step.h"

static bf_status needs_refill(const bf_step *step, const bf_site *site, bf_step_needs *out,
                              bf_error *err)
{
    const double temperature_K = site->water.temperature_K;
    bf_brine brine;
    double saturated = 0.0;
    bf_status status = bf_brine_saturation(step->salt, temperature_K, &saturated, err);
    if (status == BF_OK) {
        status = bf_brine_of_mass_fraction(step->salt, saturated, temperature_K, &brine, err);
    }
    if (status == BF_OK) {
        bf__step_needs_flow(step, site, step->dose_kg_per_m3 / brine.salt_per_water_kg_per_m3, 0.0,
                            out);
        out->drain_m_per_s = 0.0;
    }
    return status;
}

static bf_status run_refill(const bf_step *step, const bf_site *site, bf_bed *bed,
                            bf_step_result *out, bf_error *err)
{
    (void)bed;
    bf_step_needs needs;
    bf_status status = needs_refill(step, site, &needs, err);
    if (status == BF_OK) {
        bf__step_record(step, &needs, &(bf_passage){0}, out);
    }
    return status;
}

const bf_step_type bf_step_refill = {
    .name = "refill",
    .word = "refill",
    .role = BF_ROLE_REFILL,
    .scaling = BF_SCALES_WITH_BED,
    .fields = BF_STEP_VELOCITY,
    .check = bf__step_check_dose,
    .needs = needs_refill,
    .run = run_refill,
};
