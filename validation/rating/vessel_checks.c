/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Correlations and constants behind a vessel's sheet against values worked
 * outside this program. */
#include "outcome.h"
#include "try.h"

#include "brinefront/convert.h"
#include "brinefront/hydraulics.h"
#include "brinefront/tank.h"

#include <math.h>
#include <string.h>

/* A vessel of 1 m3 of resin that is given one dose of salt. */
static bf_status one_cubic_metre(bf_salt salt, double dose_kg_per_m3, bf_rating_spec *out,
                                 bf_error *err)
{
    bf_water_analysis analysis = bf_water_analysis_default();
    analysis.hardness_eq_per_m3 = 8.0;
    analysis.temperature_K = BF_K_AT_0_C + 20.0;
    memset(out, 0, sizeof *out);
    out->bed = bf_bed_spec_default();
    out->bed.diameter_m = 1.0;
    out->bed.depth_m = 1.0 / bf_bed_area_m2(&out->bed);
    out->steady = bf_steady_spec_default();
    const bf_step plain = {.velocity_m_per_s = 1e-3,
                           .bed_volumes = (double)NAN,
                           .end_hardness_eq_per_m3 = (double)NAN,
                           .stop_hardness_eq_per_m3 = (double)NAN,
                           .salt = salt,
                           .dose_kg_per_m3 = dose_kg_per_m3,
                           .mass_fraction = 0.1};
    out->recipe.count = 2;
    out->recipe.step[0] = plain;
    out->recipe.step[0].type = &bf_step_service;
    out->recipe.step[0].end_hardness_eq_per_m3 = 0.3;
    out->recipe.step[1] = plain;
    out->recipe.step[1].type = &bf_step_brine;
    return bf_water_complete(&analysis, &out->water, NULL, err);
}

/* 0.8 mm, void 0.4, 1 mm/s of 1000 kg/m3 and 1 mPa s. */
static bf_status ergun(int variant, outcome *out, bf_error *err)
{
    const bf_fluid fluid = {.density_kg_per_m3 = 1000.0, .viscosity_Pa_s = 1e-3};
    (void)variant, (void)err;
    outcome_add(out, 0.0, bf_pressure_gradient_Pa_per_m(&fluid, 1e-3, 0.8e-3, 0.4), 1338.8671875);
    return BF_OK;
}

/* Rise in per cent at 10, 15, 20, 25 m/h; 1280 kg/m3, settled void 0.37. */
static bf_status expansion(int variant, outcome *out, bf_error *err)
{
    static const struct {
        double temperature_C, bead_m, rise[4];
    } table[] = {{20.0, 0.6e-3, {28, 47, 67, 89}},
                 {5.0, 0.6e-3, {44, 71, 99, 131}},
                 {20.0, 0.7e-3, {18.5, 34, 50, 66}}};
    bf_status status = BF_OK;
    bf_resin resin = bf_resin_gel_8();
    (void)variant;
    resin.bead_density_kg_per_m3 = 1280.0;
    resin.void_fraction = 0.37;
    for (size_t t = 0; t < sizeof table / sizeof *table; t++) {
        bf_fluid water;
        TRY(bf_fluid_of_water(BF_K_AT_0_C + table[t].temperature_C, &water, err));
        resin.bead_diameter_m = table[t].bead_m;
        for (int k = 0; k < 4; k++) {
            const double m_per_h = 10.0 + 5.0 * k;
            outcome_add(out, m_per_h,
                        100.0 * bf_graded_rise(&water, &resin, 1, m_per_h / BF_S_PER_H),
                        table[t].rise[k]);
        }
    }
done:
    return status;
}

/* Beads of 0.6 mm in water of 20 C at 3.6, 18 and 36 m/h; m2/s. */
static bf_status dispersion(int variant, outcome *out, bf_error *err)
{
    static const double table[][2] = {{3.6, 2.88e-6}, {18.0, 1.37e-5}, {36.0, 2.66e-5}};
    bf_status status = BF_OK;
    bf_fluid water;
    (void)variant;
    TRY(bf_fluid_of_water(BF_K_AT_0_C + 20.0, &water, err));
    for (size_t k = 0; k < sizeof table / sizeof *table; k++) {
        outcome_add(out, table[k][0],
                    bf_dispersion_m2_per_s(&water, table[k][0] / BF_S_PER_H, 0.6e-3), table[k][1]);
    }
done:
    return status;
}

/* Beads of 0.6 mm and 1280 kg/m3 in water of 20 and 5 C; m/s. */
static bf_status falling(int variant, outcome *out, bf_error *err)
{
    static const double table[][2] = {{20.0, 0.0273}, {5.0, 0.0218}};
    bf_status status = BF_OK;
    (void)variant;
    for (size_t k = 0; k < sizeof table / sizeof *table; k++) {
        bf_fluid water;
        TRY(bf_fluid_of_water(BF_K_AT_0_C + table[k][0], &water, err));
        outcome_add(out, table[k][0], bf_terminal_velocity_m_per_s(&water, 0.6e-3, 1280.0),
                    table[k][1]);
    }
done:
    return status;
}

/* mPa s over C. */
static bf_status water_viscosity(int variant, outcome *out, bf_error *err)
{
    static const double table[][2] = {{0, 1.787},   {10, 1.307},  {20, 1.002}, {25, 0.8904},
                                      {30, 0.7975}, {40, 0.6529}, {50, 0.5468}};
    bf_status status = BF_OK;
    (void)variant;
    for (size_t k = 0; k < sizeof table / sizeof *table; k++) {
        bf_fluid water;
        TRY(bf_fluid_of_water(BF_K_AT_0_C + table[k][0], &water, err));
        outcome_add(out, table[k][0], 1e3 * water.viscosity_Pa_s, table[k][1]);
    }
done:
    return status;
}

/* Of NaCl at 20 C over wt%. variant 0: density in kg/m3; 1: viscosity in mPa s.
 */
static bf_status brine_properties(int variant, outcome *out, bf_error *err)
{
    static const double density[][2] = {{1, 1005.3},  {2, 1012.2},  {4, 1026.8},  {6, 1041.3},
                                        {8, 1055.9},  {10, 1070.7}, {12, 1085.7}, {14, 1100.9},
                                        {16, 1116.2}, {18, 1131.9}, {20, 1147.8}, {22, 1164.0},
                                        {24, 1180.4}, {26, 1197.2}};
    static const double viscosity[][2] = {{1, 1.020},  {5, 1.085},  {10, 1.193},
                                          {15, 1.351}, {20, 1.557}, {25, 1.902}};
    const size_t count =
        variant == 0 ? sizeof density / sizeof *density : sizeof viscosity / sizeof *viscosity;
    bf_status status = BF_OK;
    for (size_t k = 0; k < count; k++) {
        const double *row = variant == 0 ? density[k] : viscosity[k];
        bf_brine brine;
        TRY(bf_brine_of_mass_fraction(BF_SALT_NACL, 1e-2 * row[0], BF_K_AT_0_C + 20.0, &brine,
                                      err));
        outcome_add(out, row[0],
                    variant == 0 ? brine.fluid.density_kg_per_m3 : 1e3 * brine.fluid.viscosity_Pa_s,
                    row[1]);
    }
done:
    return status;
}

/* Grains of hardness per pound where every equivalent of the salt is used. */
static bf_status stoichiometric(int variant, outcome *out, bf_error *err)
{
    static const double gr_per_lb[BF_SALT_COUNT] = {
        [BF_SALT_NACL] = 5994.0, [BF_SALT_KCL] = 4699.0};
    bf_status status = BF_OK;
    (void)variant;
    for (int salt = 0; salt < BF_SALT_COUNT; salt++) {
        bf_rating_spec rating;
        bf_dose_point all_used = {.dose_kg_per_m3 = 137.0};
        TRY(one_cubic_metre((bf_salt)salt, all_used.dose_kg_per_m3, &rating, err));
        all_used.steady.cycle.capacity_eq_per_m3 = bf_recipe_dose_eq_per_m3(&rating.recipe);
        outcome_add(out, salt,
                    bf_tank_rating_of(&rating, &all_used).efficiency_kg_per_kg * BF_KG_PER_LB /
                        BF_KG_PER_GRAIN,
                    gr_per_lb[salt]);
    }
done:
    return status;
}

/* variant 0: strength and density; 1: salt per m3 of brine and of water, worked
 * by hand; 2: the same as the trade has it. All at 20 C (assumed). */
static bf_status saturated(int variant, outcome *out, bf_error *err)
{
    const double dose_kg_per_m3 = 120.0;
    const double temperature_K = BF_K_AT_0_C + 20.0;
    bf_status status = BF_OK;
    const bf_tank_spec tank = bf_tank_spec_default();
    bf_rating_spec rating;
    bf_tank_sheet sheet;
    bf_brine brine;
    double strength = 0.0;
    TRY(bf_brine_saturation(BF_SALT_NACL, temperature_K, &strength, err));
    TRY(bf_brine_of_mass_fraction(BF_SALT_NACL, strength, temperature_K, &brine, err));
    TRY(one_cubic_metre(BF_SALT_NACL, dose_kg_per_m3, &rating, err));
    TRY(bf_tank_sheet_of(&tank, &rating, &sheet, err));
    const double per_brine = dose_kg_per_m3 * sheet.resin_m3 / sheet.brine_m3;
    const double per_water = dose_kg_per_m3 * sheet.resin_m3 / sheet.refill_m3;
    const double lb_per_gal = BF_KG_PER_LB / BF_M3_PER_GAL;
    if (variant == 0) {
        outcome_add(out, 0.0, 100.0 * strength, 26.4);
        outcome_add(out, 1.0, 1e-3 * brine.fluid.density_kg_per_m3, 1.20);
    } else if (variant == 1) {
        outcome_add(out, 0.0, per_brine, 317.0);
        outcome_add(out, 1.0, per_water, 359.0);
    } else {
        outcome_add(out, 0.0, per_brine / lb_per_gal, 2.6);
        outcome_add(out, 1.0, per_water / lb_per_gal, 3.0);
    }
done:
    return status;
}

const comparison vessel_checks_comparisons[] = {{"ergun", ergun, 0},
                                                {"expansion", expansion, 0},
                                                {"dispersion", dispersion, 0},
                                                {"falling", falling, 0},
                                                {"water_viscosity", water_viscosity, 0},
                                                {"brine_density", brine_properties, 0},
                                                {"brine_viscosity", brine_properties, 1},
                                                {"stoichiometric", stoichiometric, 0},
                                                {"saturated_brine", saturated, 0},
                                                {"saturated_per_volume", saturated, 1},
                                                {"saturated_trade", saturated, 2},
                                                {NULL, NULL, 0}};
