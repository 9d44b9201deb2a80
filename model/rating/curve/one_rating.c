/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One dose at its own cyclic steady state.
 *
 * The bed starts exhausted by the feed and regenerated once. An exhausted bed is what every run
 * leaves but for a few percent: it is closer to the steady cycle than resin as delivered, whose
 * first run is the longest of all.
 */
#include "rating/curve/one_rating.h"

#include <math.h>
#include <string.h>

bf_status bf_rating_spec_check(const bf_rating_spec *spec, bf_error *err)
{
    bf_status status = bf_bed_spec_check(&spec->bed, err);
    if (status == BF_OK) {
        status = bf_recipe_check(&spec->recipe, err);
    }
    const bf_site site = bf_rating_site(spec);
    for (size_t s = 0; s < spec->recipe.count && status == BF_OK; s++) {
        const bf_step *step = &spec->recipe.step[s];
        bf_step_needs needs;
        status = step->type->needs(step, &site, &needs, err);
        if (step->type->role == BF_ROLE_SERVICE && status == BF_OK &&
            step->end_hardness_eq_per_m3 >= spec->water.hardness_eq_per_m3) {
            status = bf_error_set(err, BF_E_RANGE, "service",
                                  "the end point, %.4g meq/L of hardness, is not below the feed's "
                                  "%.4g meq/L; lower it",
                                  step->end_hardness_eq_per_m3, spec->water.hardness_eq_per_m3);
        }
    }
    return status;
}

bf_site bf_rating_site(const bf_rating_spec *spec)
{
    return (bf_site){.water = spec->water, .depth_m = spec->bed.depth_m, .resin = spec->bed.resin};
}

static bf_ion_set rating_ions(const bf_rating_spec *spec)
{
    return bf_recipe_ions(&spec->recipe, spec->water.ion_eq_per_m3);
}

bf_status bf_rating_selectivity(const bf_rating_spec *spec, bf_selectivity **out, bf_error *err)
{
    bf_selectivity_spec equilibrium = {
        .law = BF_EQUILIBRIUM_MASS_ACTION,
        .ions = rating_ions(spec),
        .total_capacity_eq_per_m3 = spec->bed.resin.total_capacity_eq_per_m3,
        .temperature_K = spec->water.temperature_K,
    };
    memcpy(equilibrium.constant, spec->bed.resin.selectivity, sizeof equilibrium.constant);
    return bf_selectivity_create(&equilibrium, out, err);
}

bf_status bf_rating_bed(const bf_rating_spec *spec, const bf_selectivity *selectivity, bf_bed **out,
                        bf_error *err)
{
    bf_bed_spec bed = spec->bed;
    bed.temperature_K = spec->water.temperature_K;
    bf_status status = bf_bed_create(&bed, selectivity, out, err);
    if (status == BF_OK) {
        bf_site site = bf_rating_site(spec);
        double soft[BF_ION_COUNT];
        bf_site_supply(&site, BF_SUPPLY_SOFT, soft);
        status = bf_bed_fill(*out, NULL, soft, err);
        if (status != BF_OK) {
            bf_bed_free(*out);
            *out = NULL;
        }
    }
    return status;
}

bf_status bf_rating_exhaust(const bf_rating_spec *spec, const bf_selectivity *selectivity,
                            bf_bed *bed, bf_error *err)
{
    double pore[BF_CATION_COUNT] = {0};
    double fraction[BF_CATION_COUNT] = {0};
    double resin[BF_ION_COUNT] = {0};
    bf_ion_set ions = rating_ions(spec);
    for (size_t i = 0; i < ions.count; i++) {
        pore[i] = spec->water.ion_eq_per_m3[ions.ion[i]];
    }
    bf_selectivity_to_resin(selectivity, spec->water.normality_eq_per_m3, pore, fraction);
    for (size_t i = 0; i < ions.count; i++) {
        resin[ions.ion[i]] = fraction[i];
    }
    return bf_bed_fill(bed, resin, spec->water.ion_eq_per_m3, err);
}

bf_status bf__dosed_spec(const char *where, const bf_rating_spec *spec,
                         const double *dose_kg_per_m3, size_t count, bf_rating_spec *out,
                         bf_error *err)
{
    for (size_t d = 0; d < count; d++) {
        const double dose = dose_kg_per_m3[d];
        if (!(dose > 0.0 && isfinite(dose))) {
            return count == 1
                       ? bf_error_set(err, BF_E_RANGE, where,
                                      "the dose is %g kg/m3; doses are above zero", dose)
                       : bf_error_set(err, BF_E_RANGE, where,
                                      "dose %zu is %g kg/m3; doses are above zero", d + 1, dose);
        }
    }
    *out = *spec;
    bf_recipe_set_dose(&out->recipe, dose_kg_per_m3[0]);
    return bf_rating_spec_check(out, err);
}

bf_dose_point bf__point_start(const bf_rating_spec *dosed, double dose_kg_per_m3)
{
    return (bf_dose_point){.dose_kg_per_m3 = dose_kg_per_m3,
                           .dose_eq_per_m3 = bf_recipe_dose_eq_per_m3(&dosed->recipe),
                           .steady = {.cycle = {.outcome = BF_NOT_COMPUTED}},
                           .efficiency_eq_per_eq = (double)NAN};
}

bf_status bf__regenerated_bed(const bf_rating_spec *dosed, const bf_selectivity *selectivity,
                              bf_bed **out, bf_error *err)
{
    const bf_site site = bf_rating_site(dosed);
    bf_status status = bf_rating_bed(dosed, selectivity, out, err);
    if (status == BF_OK) {
        status = bf_rating_exhaust(dosed, selectivity, *out, err);
    }
    if (status == BF_OK) {
        status = bf_cycle_regenerate(&dosed->recipe, &site, *out, err);
    }
    return status;
}

bf_status bf__settle(const bf_rating_spec *dosed, double dose_kg_per_m3, bf__run_cycle *run,
                     void *context, bf_dose_point *out, bf_error *err)
{
    *out = bf__point_start(dosed, dose_kg_per_m3);
    bf_status status = bf__steady_repeat(&dosed->steady, run, context, &out->steady, err);
    const bf_cycle_result *cycle = &out->steady.cycle;
    if (status == BF_OK && cycle->outcome == BF_RATED) {
        out->efficiency_eq_per_eq = cycle->capacity_eq_per_m3 / out->dose_eq_per_m3;
    }
    return status;
}

/* A recipe on one bed. */
typedef struct plain_cycle {
    const bf_recipe *recipe;
    bf_site site;
    bf_bed *bed;
} plain_cycle;

static bf_status run_plain(void *context, bf_cycle_result *out, bf_error *err)
{
    const plain_cycle *cycle = context;
    return bf_cycle_run(cycle->recipe, &cycle->site, cycle->bed, out, err);
}

bf_status bf__settle_bed(const bf_rating_spec *dosed, double dose_kg_per_m3, bf_bed *bed,
                         bf_dose_point *out, bf_error *err)
{
    plain_cycle cycle = {.recipe = &dosed->recipe, .site = bf_rating_site(dosed), .bed = bed};
    return bf__settle(dosed, dose_kg_per_m3, run_plain, &cycle, out, err);
}

bf_status bf__rate_dose(const bf_rating_spec *spec, const bf_selectivity *selectivity,
                        double dose_kg_per_m3, bf_dose_point *out, bf_error *err)
{
    bf_rating_spec dosed = *spec;
    bf_bed *bed = NULL;
    bf_recipe_set_dose(&dosed.recipe, dose_kg_per_m3);
    bf_status status = bf__regenerated_bed(&dosed, selectivity, &bed, err);
    if (status == BF_OK) {
        status = bf__settle_bed(&dosed, dose_kg_per_m3, bed, out, err);
    }
    bf_bed_free(bed);
    return status;
}
