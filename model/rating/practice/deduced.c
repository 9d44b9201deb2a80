/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What follows from a specification before anything is simulated: geometry, brine, and what the
 * correlations of hydraulics.h say of service and backwash. */
#include "brinefront/hydraulics.h"
#include "brinefront/practice.h"

#include <math.h>

bf_status bf_deduce(const bf_rating_spec *spec, bf_deduced *out, bf_error *err)
{
    const bf_bed_spec *bed = &spec->bed;
    bf_fluid water;
    bf_status status = bf_fluid_of_water(spec->water.temperature_K, &water, err);
    if (status != BF_OK) {
        return status;
    }
    *out = (bf_deduced){.backwash_depth_ratio = (double)NAN,
                        .brine_normality_eq_per_m3 = (double)NAN,
                        .brine_density_kg_per_m3 = (double)NAN,
                        .brine_saturation = (double)NAN,
                        .brine_bed_volumes_per_kg_per_m3 = (double)NAN,
                        .brine_s_per_kg_per_m3 = (double)NAN,
                        .salt_to_hold_all_kg_per_m3 = (double)NAN};
    out->area_m2 = bf_bed_area_m2(bed);
    out->resin_m3 = bf_bed_volume_m3(bed);
    const bf_step *service = &spec->recipe.step[0];
    out->empty_bed_contact_s = bed->depth_m / service->velocity_m_per_s;
    out->service_pressure_Pa =
        bed->depth_m * bf_pressure_gradient_Pa_per_m(&water, service->velocity_m_per_s,
                                                     bed->resin.bead_diameter_m,
                                                     bed->resin.void_fraction);
    const bf_step *backwash = bf_recipe_find(&spec->recipe, BF_ROLE_BACKWASH);
    if (backwash != NULL) {
        out->backwash_depth_ratio =
            bf_bed_depth_ratio(&water, backwash->velocity_m_per_s, bed->resin.bead_diameter_m,
                               bed->resin.bead_density_kg_per_m3, bed->resin.void_fraction);
    }
    const bf_step *step = bf_recipe_find(&spec->recipe, BF_ROLE_BRINE);
    if (step != NULL && step->supply == BF_SUPPLY_SEA) {
        double sea[BF_ION_COUNT];
        bf_site site = bf_rating_site(spec);
        bf_site_supply(&site, BF_SUPPLY_SEA, sea);
        out->brine_normality_eq_per_m3 = 0.0;
        for (size_t i = 0; i < BF_CATION_COUNT; i++) {
            out->brine_normality_eq_per_m3 += sea[i];
        }
        out->brine_bed_volumes_per_kg_per_m3 = 1.0 / bf_sea_salt_kg_per_m3();
        out->brine_s_per_kg_per_m3 =
            out->brine_bed_volumes_per_kg_per_m3 * bed->depth_m / step->velocity_m_per_s;
    } else if (step != NULL) {
        bf_brine brine;
        status = bf_brine_of_mass_fraction(step->salt, step->mass_fraction,
                                           spec->water.temperature_K, &brine, err);
        if (status != BF_OK) {
            return status;
        }
        out->brine_normality_eq_per_m3 = brine.normality_eq_per_m3;
        out->brine_density_kg_per_m3 = brine.fluid.density_kg_per_m3;
        out->brine_saturation = brine.saturation;
        out->brine_bed_volumes_per_kg_per_m3 = 1.0 / brine.salt_per_solution_kg_per_m3;
        out->brine_s_per_kg_per_m3 =
            out->brine_bed_volumes_per_kg_per_m3 * bed->depth_m / step->velocity_m_per_s;
        out->salt_to_hold_all_kg_per_m3 = bed->resin.total_capacity_eq_per_m3 * 1e-3 *
                                          bf_salt_equivalent_mass_g_per_eq(step->salt);
    }
    return BF_OK;
}
