/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The bed, its water and its draws that the targets of fouling were written for: one cubic foot,
 * 300 gal/d of 20 gpg, 3 mg/L of iron, pH 7.5, 1 mg/L of oxygen, 12 C; on 30 cells and 2 shells. */
#ifndef BF_TESTS_IRON_TRIAL_H
#define BF_TESTS_IRON_TRIAL_H

#include "brinefront/campaign.h"
#include "brinefront/convert.h"
#include "simple_bed.h"
#include "support.h"

#include <math.h>

/* Bed volumes an hour, as superficial velocity in the default bed. */
static inline double pace(double bed_volumes_per_h)
{
    return bed_volumes_per_h * simple_bed().depth_m / BF_S_PER_H;
}

static inline bf_recipe recipe(double dose_lb_per_ft3)
{
    return (bf_recipe){
        .step = {{.type = &bf_step_service,
                  .velocity_m_per_s = pace(20.0),
                  .bed_volumes = (double)NAN,
                  .end_hardness_eq_per_m3 = BF_EQ_PER_M3_PER_GPG,
                  .stop_hardness_eq_per_m3 = (double)NAN},
                 {.type = &bf_step_backwash,
                  .direction = BF_FLOW_UP,
                  .velocity_m_per_s = pace(16.0),
                  .bed_volumes = 2.7}, /* ten minutes */
                 {.type = &bf_step_brine,
                  .supply = BF_SUPPLY_SOFT,
                  .velocity_m_per_s = pace(4.0),
                  .salt = BF_SALT_NACL,
                  .dose_kg_per_m3 = dose_lb_per_ft3 * BF_KG_PER_M3_PER_LB_PER_FT3,
                  .mass_fraction = 0.10},
                 {.type = &bf_step_slow_rinse, .velocity_m_per_s = pace(4.0), .bed_volumes = 2.0},
                 {.type = &bf_step_fast_rinse, .velocity_m_per_s = pace(12.0), .bed_volumes = 2.0}},
        .count = 5};
}

static inline void set_water(bf_campaign_spec *spec, double hardness_gpg, double iron_mg_per_L,
                             double pH, double oxygen_mg_per_L)
{
    bf_error err = {0};
    bf_water_analysis analysis = bf_water_analysis_default();
    analysis.hardness_eq_per_m3 = hardness_gpg * BF_EQ_PER_M3_PER_GPG;
    analysis.calcium_to_magnesium = 2.0;
    analysis.ion_eq_per_m3[BF_ION_NA] = 2.0;
    analysis.ion_eq_per_m3[BF_ION_FE] = iron_mg_per_L / bf_ion_equivalent_mass_g_per_eq(BF_ION_FE);
    analysis.ion_eq_per_m3[BF_ION_HCO3] = 4.0;
    analysis.temperature_K = 285.15;
    analysis.pH = pH;
    assert_ok(bf_water_complete(&analysis, &spec->water, NULL, &err));
    spec->oxygen_mol_per_m3 = oxygen_mg_per_L / BF_OXYGEN_G_PER_MOL;
}

static inline bf_campaign_spec trial(double dose_lb_per_ft3)
{
    bf_campaign_spec spec = bf_campaign_spec_default();
    spec.bed.cells = 30;
    spec.bed.shells = 2;
    spec.recipe = recipe(dose_lb_per_ft3);
    set_water(&spec, 20.0, 3.0, 7.5, 1.0);
    return spec;
}

#endif
