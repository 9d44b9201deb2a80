/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Where every mole goes: the accounts of a campaign and of the source term, and that iron which is
 * not there does nothing. */
#include "iron/trial.h"
#include "published/source.h"
#include "try.h"

#include "brinefront/convert.h"
#include "brinefront/iron_source.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ---- a campaign ------------------------------------------------------------------------------ */

/* Floc, deposit at the start, mixing, cleanings, chlorine, manganese, all at once, on a water that
 * fouls fast. variant 0: the tolerance of a bed as it comes, 1: 1e-9. */
static bf_status campaign_closes(int variant, outcome *out, bf_error *err)
{
    bf_campaign_spec spec;
    bf_campaign_cycle *cycles = NULL;
    bf_status status = BF_OK;
    TRY(trial_spec(10.0, &spec, err));
    TRY(trial_water(&spec, 20.0, 6.0, 7.8, 3.0, err));
    spec.water.ion_eq_per_m3[BF_ION_MN] = 0.02;
    spec.water.ion_eq_per_m3[BF_ION_CL] += 0.02;
    spec.water.normality_eq_per_m3 += 0.02;
    spec.contact_s = 120.0;
    spec.free_chlorine_g_per_m3 = 0.5;
    spec.deposit = (bf_iron_deposit){.loose_kg_per_m3 = 0.2, .bound_kg_per_m3 = 3.0};
    spec.cleaning.every_days = variant == 0 ? 60.0 : 3.0;
    spec.recipe.step[1].mix_share = 0.3;
    spec.iron.brine_removal = 0.001;
    spec.cycles = variant == 0 ? 61 : 3;
    if (variant == 1) {
        spec.bed.relative_tolerance = 1e-9;
        spec.bed.hardness_tolerance_eq_per_m3 = 1e-9;
    }
    TRY(trial_run(&spec, &cycles, err));
    for (size_t k = 0; k < spec.cycles; k++) {
        outcome_add(out, (double)k, bf_campaign_account_error(&cycles[k].iron), 0.0);
        outcome_add(out, (double)k, bf_campaign_account_error(&cycles[k].manganese), 0.0);
    }
    (void)snprintf(out->note, sizeof out->note, "%.0f mol/m3 of iron came in %zu cycles",
                   cycles[spec.cycles - 1].iron.in, spec.cycles);
done:
    free(cycles);
    return status;
}

/* ---- the source term ------------------------------------------------------------------------- */

typedef struct service {
    double oxidised; /* mol of Fe per m3 of bed, what deposit and floc won */
    double lost_iron, lost_charge, used_oxygen, used_alkalinity;
} service;

static double mean_local(const bf_bed *bed, bf_iron_local which, double *room)
{
    bf_error err = {0};
    double sum = 0.0;
    const size_t count = bf_bed_cell_count(bed);
    if (bf_bed_local(bed, which, room, &err) != BF_OK) {
        return (double)NAN;
    }
    for (size_t k = 0; k < count; k++) {
        sum += room[k] / (double)count;
    }
    return sum;
}

static double total(const double *per_ion)
{
    double sum = 0.0;
    for (size_t i = 0; i < BF_CATION_COUNT; i++) {
        sum += per_ion[i];
    }
    return sum;
}

enum { SOURCE_CELLS = 20 };

/* 150 bed volumes of 2.8 mg/L of Fe and 0.4 mg/L of floc at pH 7.9 with 3 mg/L of oxygen. */
static bf_status serve(double tolerance, service *result, bf_error *err)
{
    const double passed = 150.0;
    double room[SOURCE_CELLS];
    bf_iron_source *iron_term = NULL;
    bf_selectivity *selectivity = NULL;
    bf_bed *bed = NULL;
    bf_passage passage;
    bf_status status = BF_OK;
    const bf_iron_spec iron = bf_iron_spec_default();
    bf_iron_water water = bf_iron_water_default();
    water.pH = 7.9;
    water.oxygen_mol_per_m3 = 3.0 / BF_OXYGEN_G_PER_MOL;
    water.colloidal_iron_g_per_m3 = 0.4;
    bf_bed_spec spec = bf_bed_spec_default();
    spec.cells = SOURCE_CELLS;
    spec.temperature_K = water.temperature_K;
    spec.relative_tolerance = tolerance;
    spec.hardness_tolerance_eq_per_m3 = 1e-9;
    bf_flow flow = {
        .direction = BF_FLOW_DOWN,
        .velocity_m_per_s = trial_pace(20.0),
        .duration_s = passed / 20.0 * BF_S_PER_H,
        .inlet_eq_per_m3 =
            {[BF_ION_NA] = 1.9, [BF_ION_CA] = 2.6, [BF_ION_MG] = 1.4, [BF_ION_FE] = 0.1},
        .fluid = {.density_kg_per_m3 = 998.2, .viscosity_Pa_s = 1.002e-3},
        .end_hardness_eq_per_m3 = (double)NAN};
    const double *waters[] = {flow.inlet_eq_per_m3};
    bf_selectivity_spec equilibrium = {.law = BF_EQUILIBRIUM_MASS_ACTION,
                                       .ions = bf_ion_set_of(waters, 1),
                                       .total_capacity_eq_per_m3 =
                                           spec.resin.total_capacity_eq_per_m3,
                                       .temperature_K = spec.temperature_K};
    memcpy(equilibrium.constant, spec.resin.selectivity, sizeof equilibrium.constant);
    TRY(bf_selectivity_create(&equilibrium, &selectivity, err));
    TRY(bf_iron_source_create(&iron, &water, &spec, &equilibrium.ions, &iron_term, err));
    TRY(bf_iron_source_set_velocity(iron_term, flow.velocity_m_per_s, err));
    const bf_source term = bf_iron_source_term(iron_term);
    spec.sources = &term;
    spec.source_count = 1;
    TRY(bf_bed_create(&spec, selectivity, &bed, err));
    TRY(bf_bed_run(bed, &flow, &passage, err));
    result->oxidised =
        mean_local(bed, BF_IRON_LOOSE, room) + mean_local(bed, BF_IRON_BOUND, room) +
        mean_local(bed, BF_IRON_SUSPENDED_OUT, room) -
        passed * water.colloidal_iron_g_per_m3 / bf_ion_get(BF_ION_FE)->molar_mass_g_per_mol;
    result->lost_iron = 0.5 * (passage.in_eq_per_m3[BF_ION_FE] - passage.out_eq_per_m3[BF_ION_FE] -
                               passage.stored_eq_per_m3[BF_ION_FE]);
    result->lost_charge = total(passage.in_eq_per_m3) - total(passage.out_eq_per_m3) -
                          total(passage.stored_eq_per_m3);
    result->used_oxygen =
        passed * water.oxygen_mol_per_m3 - mean_local(bed, BF_IRON_OXYGEN_OUT, room);
    result->used_alkalinity =
        passed * water.alkalinity_eq_per_m3 - mean_local(bed, BF_IRON_ALKALINITY_OUT, room);
done:
    bf_bed_free(bed);
    bf_iron_source_free(iron_term);
    bf_selectivity_free(selectivity);
    return status;
}

/* Run once for the rows that look at it. variant 0: iron and charge, over the iron that came; 1:
 * oxygen and alkalinity per mole that oxidised; 2: those in the printed figures. */
static bf_status source_closes(int variant, outcome *out, bf_error *err)
{
    static service result;
    static int done_before;
    const double fe = bf_ion_get(BF_ION_FE)->molar_mass_g_per_mol;
    const double came = 150.0 * (0.05 + 0.4 / fe);
    bf_status status = BF_OK;
    if (!done_before) {
        TRY(serve(1e-9, &result, err));
        done_before = 1;
    }
    if (variant == 0) {
        outcome_add(out, 0.0, (result.lost_iron - result.oxidised) / came, 0.0);
        outcome_add(out, 1.0, (0.5 * result.lost_charge - result.oxidised) / came, 0.0);
    } else if (variant == 1) {
        outcome_add(out, 0.0, result.used_oxygen / result.oxidised, 0.25);
        outcome_add(out, 1.0, result.used_alkalinity / result.oxidised, 2.0);
    } else {
        trial_add(out, "oxygen per iron in a bed", "0.1432 to 0.1434", "mg/mg",
                  result.used_oxygen * BF_OXYGEN_G_PER_MOL / (result.oxidised * fe));
        trial_add(out, "alkalinity per iron in a bed", "1.78 to 1.80", "mg CaCO3/mg",
                  result.used_alkalinity * BF_G_CACO3_PER_EQ / (result.oxidised * fe));
    }
    (void)snprintf(out->note, sizeof out->note, "%.3f of %.3f mol/m3 of iron oxidised",
                   result.oxidised, came);
done:
    return status;
}

/* ---- no iron --------------------------------------------------------------------------------- */

enum { PLAIN_CYCLES = 3 };

/* A bed of the rating run without any of campaign's code, cycle by cycle of one volume; after
 * each, a copy of it runs to the end point. */
static bf_status plain_cycles(const bf_rating_spec *rating, double bed_volumes,
                              double capacity[PLAIN_CYCLES], bf_cycle_result results[PLAIN_CYCLES],
                              bf_error *err)
{
    bf_selectivity *selectivity = NULL;
    bf_bed *bed = NULL;
    bf_bed *twin = NULL;
    bf_status status = BF_OK;
    const bf_site site = bf_rating_site(rating);
    bf_recipe by_volume = rating->recipe;
    by_volume.step[0].bed_volumes = bed_volumes;
    by_volume.step[0].end_hardness_eq_per_m3 = (double)NAN;
    TRY(bf_rating_selectivity(rating, &selectivity, err));
    TRY(bf_rating_bed(rating, selectivity, &bed, err));
    TRY(bf_rating_bed(rating, selectivity, &twin, err));
    for (size_t k = 0; k < PLAIN_CYCLES; k++) {
        bf_cycle_result to_end;
        TRY(bf_cycle_run(&by_volume, &site, bed, &results[k], err));
        TRY(bf_bed_copy(twin, bed, err));
        TRY(bf_cycle_run(&rating->recipe, &site, twin, &to_end, err));
        capacity[k] = to_end.capacity_eq_per_m3;
    }
done:
    bf_bed_free(bed);
    bf_bed_free(twin);
    bf_selectivity_free(selectivity);
    return status;
}

static bf_status same_at_dose(const bf_rating_spec *rating, double pounds, outcome *out,
                              bf_error *err)
{
    bf_campaign_cycle *cycles = NULL;
    bf_dose_point steady;
    bf_rating_spec at_dose = *rating;
    double capacity[PLAIN_CYCLES];
    bf_cycle_result plain[PLAIN_CYCLES];
    bf_status status = BF_OK;
    const double dose_kg_per_m3 = pounds * BF_KG_PER_M3_PER_LB_PER_FT3;
    const bf_dose_curve_spec curve = {.dose_kg_per_m3 = &dose_kg_per_m3, .count = 1, .threads = 1};
    bf_campaign_spec spec = bf_campaign_spec_default();
    TRY(bf_dose_curve(rating, &curve, &steady, NULL, err));
    bf_recipe_set_dose(&at_dose.recipe, dose_kg_per_m3);
    spec.water = at_dose.water;
    spec.bed = at_dose.bed;
    spec.recipe = at_dose.recipe;
    spec.days_between = (double)NAN;
    spec.service_bed_volumes = steady.steady.cycle.throughput_bed_volumes;
    spec.cycles = PLAIN_CYCLES;
    spec.potential_every = 1;
    TRY(trial_run(&spec, &cycles, err));
    TRY(plain_cycles(&at_dose, spec.service_bed_volumes, capacity, plain, err));
    for (size_t k = 0; k < PLAIN_CYCLES; k++) {
        outcome_add(out, pounds, cycles[k].potential_eq_per_m3, capacity[k]);
        outcome_add(out, pounds, cycles[k].hardness_mean_eq_per_m3,
                    plain[k].leakage_mean_eq_per_m3);
        outcome_add(out, pounds, cycles[k].hardness_last_eq_per_m3,
                    plain[k].step[0].passage.hardness_last_eq_per_m3);
        outcome_add(out, pounds, cycles[k].water_bed_volumes, plain[k].water_bed_volumes);
    }
    size_t length = strlen(out->note);
    (void)snprintf(out->note + length, sizeof out->note - length, "%s%g lb/ft3 %.2f",
                   length > 0 ? "; " : "to the end point in kgr/ft3: ", pounds,
                   cycles[PLAIN_CYCLES - 1].potential_eq_per_m3 / BF_EQ_PER_M3_PER_KGR_PER_FT3);
done:
    free(cycles);
    return status;
}

static bf_status without_iron(int variant, outcome *out, bf_error *err)
{
    static source result; /* too large for the stack */
    bf_rating_spec rating;
    bf_status status = BF_OK;
    (void)variant;
    TRY(source_read("resin_bulletin", &result, err));
    TRY(source_rating(result.case_text, &rating, err));
    for (size_t row = 0; (row = source_next(&result, "capacity", row)) > 0;) {
        TRY(same_at_dose(&rating, source_number(&result, row, "dose_lb_per_ft3"), out, err));
    }
done:
    return status;
}

const comparison iron_accounts_comparisons[] = {{"campaign_closes", campaign_closes, 0},
                                                {"campaign_closes_tight", campaign_closes, 1},
                                                {"source_closes", source_closes, 0},
                                                {"source_stoichiometry", source_closes, 1},
                                                {"source_figures", source_closes, 2},
                                                {"without_iron", without_iron, 0},
                                                {NULL, NULL, 0}};
