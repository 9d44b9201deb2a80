/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Backwash: upward water that lifts the bed, and mixes it.
 *
 * Exchange goes on while the water passes, computed as in a settled bed: a lifted bed has the same
 * beads and water, and its film differs little. Afterwards a share of the resin is mixed.
 */
#include "cycle/step.h"

#include "brinefront/hydraulics.h"

#include <math.h>

static bf_status check_backwash(const bf_step *step, bf_error *err)
{
    if (!(step->mix_share >= 0.0 && step->mix_share <= 1.0)) {
        return bf_error_set(
            err, BF_E_RANGE, step->type->name,
            "share of the resin mixed in backwash is %g; accepted are 0 (none) to 1 "
            "(fully mixed)",
            step->mix_share);
    }
    return bf__step_check_volume(step, err);
}

static bf_status run_backwash(const bf_step *step, const bf_site *site, bf_bed *bed,
                              bf_step_result *out, bf_error *err)
{
    bf_fluid water;
    bf_status status = bf_fluid_of_water(site->water.temperature_K, &water, err);
    if (status != BF_OK) {
        return status;
    }
    const double depth_ratio =
        bf_bed_depth_ratio(&water, step->velocity_m_per_s, site->resin.bead_diameter_m,
                           site->resin.bead_density_kg_per_m3, site->resin.void_fraction);
    if (isinf(depth_ratio)) {
        return bf_error_set(
            err, BF_E_RANGE, step->type->name,
            "backwash at %.3g m/h carries beads of %.3g mm out of the vessel; lower "
            "the flow",
            3600.0 * step->velocity_m_per_s, 1e3 * site->resin.bead_diameter_m);
    }
    status = bf__step_run_water(step, site, bed, out, err);
    if (status == BF_OK) {
        bf_bed_mix(bed, step->mix_share);
        out->depth_ratio = depth_ratio;
    }
    return status;
}

const bf_step_type bf_step_backwash = {
    .name = "backwash",
    .word = "backwash",
    .role = BF_ROLE_BACKWASH,
    .scaling = BF_SCALES_WITH_AREA,
    .fields = BF_STEP_VELOCITY | BF_STEP_VOLUME | BF_STEP_SUPPLY | BF_STEP_MIXING,
    .check = check_backwash,
    .needs = bf__step_needs_water,
    .run = run_backwash,
    .divide = bf__step_divide_volume,
};
