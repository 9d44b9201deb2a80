/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "iron/trial.h"

#include "brinefront/convert.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

double trial_pace(double bed_volumes_per_h)
{
    return bed_volumes_per_h * bf_bed_spec_default().depth_m / BF_S_PER_H;
}

bf_status trial_water(bf_campaign_spec *spec, double hardness_gpg, double iron_mg_per_L, double pH,
                      double oxygen_mg_per_L, bf_error *err)
{
    bf_water_analysis analysis = bf_water_analysis_default();
    analysis.hardness_eq_per_m3 = hardness_gpg * BF_EQ_PER_M3_PER_GPG;
    analysis.calcium_to_magnesium = 2.0;
    analysis.ion_eq_per_m3[BF_ION_NA] = 2.0;
    analysis.ion_eq_per_m3[BF_ION_FE] = iron_mg_per_L / bf_ion_equivalent_mass_g_per_eq(BF_ION_FE);
    analysis.ion_eq_per_m3[BF_ION_HCO3] = 4.0;
    analysis.temperature_K = BF_K_AT_0_C + 12.0;
    analysis.pH = pH;
    spec->oxygen_mol_per_m3 = oxygen_mg_per_L / BF_OXYGEN_G_PER_MOL;
    return bf_water_complete(&analysis, &spec->water, NULL, err);
}

bf_status trial_spec(double dose_lb_per_ft3, bf_campaign_spec *out, bf_error *err)
{
    const bf_recipe recipe = {
        .step = {{.type = &bf_step_service,
                  .velocity_m_per_s = trial_pace(20.0),
                  .bed_volumes = (double)NAN,
                  .end_hardness_eq_per_m3 = BF_EQ_PER_M3_PER_GPG,
                  .stop_hardness_eq_per_m3 = (double)NAN},
                 {.type = &bf_step_backwash,
                  .direction = BF_FLOW_UP,
                  .velocity_m_per_s = trial_pace(16.0),
                  .bed_volumes = 16.0 / 6.0}, /* ten minutes */
                 {.type = &bf_step_brine,
                  .supply = BF_SUPPLY_SOFT,
                  .velocity_m_per_s = trial_pace(4.0),
                  .salt = BF_SALT_NACL,
                  .dose_kg_per_m3 = dose_lb_per_ft3 * BF_KG_PER_M3_PER_LB_PER_FT3,
                  .mass_fraction = 0.10},
                 {.type = &bf_step_slow_rinse,
                  .velocity_m_per_s = trial_pace(4.0),
                  .bed_volumes = 2.0},
                 {.type = &bf_step_fast_rinse,
                  .velocity_m_per_s = trial_pace(12.0),
                  .bed_volumes = 2.0}},
        .count = 5};
    *out = bf_campaign_spec_default();
    out->bed.cells = 30;
    out->bed.shells = 2;
    out->skip_tolerance = 0.0; /* every cycle is simulated */
    out->recipe = recipe;
    return trial_water(out, 20.0, 3.0, 7.5, 1.0, err);
}

bf_status trial_run(const bf_campaign_spec *spec, bf_campaign_cycle **cycles, bf_error *err)
{
    size_t done = 0;
    *cycles = calloc(spec->cycles, sizeof **cycles);
    if (*cycles == NULL) {
        return bf_error_set(err, BF_E_MEMORY, "trial_run", "memory ran out");
    }
    bf_status status = bf_campaign_run(spec, *cycles, &done, err);
    if (status == BF_OK && done < spec->cycles) {
        status = bf_error_set(err, BF_E_RANGE, "trial_run", "spent after %zu of %zu cycles", done,
                              spec->cycles);
    }
    return status;
}

bf_status trial_last(const bf_campaign_spec *spec, bf_campaign_cycle *last, bf_error *err)
{
    bf_campaign_cycle *cycles = NULL;
    bf_status status = trial_run(spec, &cycles, err);
    if (status == BF_OK) {
        *last = cycles[spec->cycles - 1];
    }
    free(cycles);
    return status;
}

void trial_add(outcome *result, const char *point, const char *target, const char *unit,
               double computed)
{
    outcome_label label;
    (void)snprintf(label.point, sizeof label.point, "%s", point);
    (void)snprintf(label.unit, sizeof label.unit, "%s", unit);
    (void)snprintf(label.published, sizeof label.published, "%s", target);
    outcome_add_published(result, &label, computed);
}

double trial_ratio(double first, double second)
{
    return first == second ? (double)NAN : first / second;
}
