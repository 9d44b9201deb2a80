/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A cycle: the steps of a recipe in order, and what they come to.
 *
 *     capacity       sum over hardness ions of (in - out) of service, up to the counted end point
 *     mean leakage   hardness out over the volume passed
 *     balance error  largest |in - out - stored| of any step over the capacity
 */
#include "cycle/account.h"

#include <math.h>
#include <string.h>

bf_status bf_recipe_check(const bf_recipe *recipe, bf_error *err)
{
    if (recipe->count == 0 || recipe->count > BF_RECIPE_STEPS) {
        return bf_error_set(err, BF_E_RANGE, "recipe",
                            "a recipe of %zu steps; accepted are 1 to %d", recipe->count,
                            BF_RECIPE_STEPS);
    }
    for (size_t s = 0; s < recipe->count; s++) {
        const bf_step *step = &recipe->step[s];
        if ((step->type->role == BF_ROLE_SERVICE) != (s == 0)) {
            return bf_error_set(err, BF_E_RANGE, "recipe",
                                "step %zu of the recipe is %s; a recipe has one service, and it "
                                "comes first",
                                s + 1, step->type->name);
        }
        bf_status status = step->type->check(step, err);
        if (status != BF_OK) {
            return status;
        }
    }
    return BF_OK;
}

bf_ion_set bf_recipe_ions(const bf_recipe *recipe, const double water_eq_per_m3[BF_ION_COUNT])
{
    double salts[BF_ION_COUNT] = {0};
    for (size_t s = 0; s < recipe->count; s++) {
        const bf_step *step = &recipe->step[s];
        if (step->type->role == BF_ROLE_BRINE && step->supply == BF_SUPPLY_SEA) {
            bf_site_supply(&(bf_site){0}, BF_SUPPLY_SEA, salts);
        }
    }
    for (size_t s = 0; s < recipe->count; s++) {
        const bf_step *step = &recipe->step[s];
        if (step->type->role == BF_ROLE_BRINE && step->salt == BF_SALT_KCL) {
            salts[BF_ION_K] = 1.0;
        }
    }
    const double *waters[] = {water_eq_per_m3, salts};
    return bf_ion_set_of(waters, 2);
}

double bf_recipe_dose_kg_per_m3(const bf_recipe *recipe)
{
    double total = 0.0;
    for (size_t s = 0; s < recipe->count; s++) {
        if (recipe->step[s].type->role == BF_ROLE_BRINE) {
            total += recipe->step[s].dose_kg_per_m3;
        }
    }
    return total;
}

/* Equivalents of monovalent cations, which are what regenerates, per kg of salt. */
static double eq_per_kg(const bf_step *brine)
{
    if (brine->supply == BF_SUPPLY_SEA) {
        double sea[BF_ION_COUNT];
        bf_site_supply(&(bf_site){0}, BF_SUPPLY_SEA, sea);
        return (sea[BF_ION_NA] + sea[BF_ION_K]) / bf_sea_salt_kg_per_m3();
    }
    return 1000.0 / bf_salt_equivalent_mass_g_per_eq(brine->salt);
}

double bf_recipe_dose_eq_per_m3(const bf_recipe *recipe)
{
    double total = 0.0;
    for (size_t s = 0; s < recipe->count; s++) {
        const bf_step *step = &recipe->step[s];
        if (step->type->role == BF_ROLE_BRINE) {
            total += step->dose_kg_per_m3 * eq_per_kg(step);
        }
    }
    return total;
}

void bf_recipe_set_dose(bf_recipe *recipe, double dose_kg_per_m3)
{
    double total = bf_recipe_dose_kg_per_m3(recipe);
    size_t brines = 0;
    for (size_t s = 0; s < recipe->count; s++) {
        brines += recipe->step[s].type->role == BF_ROLE_BRINE ? 1 : 0;
    }
    for (size_t s = 0; s < recipe->count; s++) {
        bf_step *step = &recipe->step[s];
        if (step->type->role == BF_ROLE_BRINE) {
            double share = total > 0.0 ? step->dose_kg_per_m3 / total : 1.0 / (double)brines;
            step->dose_kg_per_m3 = share * dose_kg_per_m3;
        } else if (step->type->role == BF_ROLE_REFILL) {
            step->dose_kg_per_m3 = dose_kg_per_m3;
        }
    }
}

const char *bf_outcome_words(bf_outcome outcome)
{
    switch (outcome) {
    case BF_RATED: return "rated";
    case BF_LEAKS_FROM_THE_START: return "no rating: leakage above the end point from the start";
    case BF_END_NOT_REACHED: return "no rating: end point not reached";
    case BF_NOT_STEADY: return "no rating: no steady cycle";
    case BF_NOT_COMPUTED: return "not computed";
    }
    return "unknown";
}

/* Judge a service by its leakage after half a bed volume, not by whether the effluent dipped below
 * the end point for a moment. */
static bf_outcome judge(const bf_step *service, const bf_passage *counted)
{
    double end = service->end_hardness_eq_per_m3;
    if (isnan(end)) {
        return BF_RATED; /* a service by volume is what it is */
    }
    int too_soon = counted->reached_end_hardness && isnan(counted->hardness_first_eq_per_m3);
    if (too_soon || counted->hardness_low_eq_per_m3 >= end ||
        counted->hardness_first_eq_per_m3 >= end) {
        return BF_LEAKS_FROM_THE_START;
    }
    return counted->reached_end_hardness ? BF_RATED : BF_END_NOT_REACHED;
}

void bf__cycle_account(const bf_recipe *recipe, bf_cycle_result *out)
{
    const bf_passage *counted = &out->step[0].counted;
    double out_eq_per_m3 = bf_ion_hardness(counted->out_eq_per_m3);
    out->outcome = judge(&recipe->step[0], counted);
    out->capacity_eq_per_m3 = bf_ion_hardness(counted->in_eq_per_m3) - out_eq_per_m3;
    out->leakage_mean_eq_per_m3 = out_eq_per_m3 / counted->bed_volumes;
    out->leakage_first_eq_per_m3 = counted->hardness_first_eq_per_m3;
    out->leakage_low_eq_per_m3 = counted->hardness_low_eq_per_m3;
    out->throughput_bed_volumes = counted->bed_volumes;
    double worst = 0.0;
    for (size_t s = 0; s < out->step_count; s++) {
        const bf_step_result *step = &out->step[s];
        worst = fmax(worst, step->passage.imbalance_eq_per_m3);
        if (!bf_step_serves(&recipe->step[s])) {
            out->water_bed_volumes += step->water_bed_volumes;
            out->salt_kg_per_m3 += step->salt_kg_per_m3;
            out->regeneration_s += step->duration_s;
        }
    }
    out->balance_error = worst / fabs(out->capacity_eq_per_m3);
}

bf_status bf_cycle_run(const bf_recipe *recipe, const bf_site *site, bf_bed *bed,
                       bf_cycle_result *out, bf_error *err)
{
    bf_status status = bf_recipe_check(recipe, err);
    memset(out, 0, sizeof *out);
    for (size_t s = 0; s < recipe->count && status == BF_OK; s++) {
        const bf_step *step = &recipe->step[s];
        status = step->type->run(step, site, bed, &out->step[s], err);
        out->step_count++;
        if (status == BF_OK && step->finish != NULL) {
            step->finish(step->observer, step, &out->step[s], bed);
        }
    }
    if (status == BF_OK) {
        bf__cycle_account(recipe, out);
    }
    return status;
}

bf_status bf_cycle_regenerate(const bf_recipe *recipe, const bf_site *site, bf_bed *bed,
                              bf_error *err)
{
    bf_status status = bf_recipe_check(recipe, err);
    for (size_t s = 1; s < recipe->count && status == BF_OK; s++) {
        bf_step_result ignored;
        if (!bf_step_serves(&recipe->step[s])) {
            status = recipe->step[s].type->run(&recipe->step[s], site, bed, &ignored, err);
        }
    }
    return status;
}
