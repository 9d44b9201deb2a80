/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Capacity against salt dose.
 *
 * Every dose starts from a bed exhausted by the feed, is regenerated, and runs to its own cyclic
 * steady state, so that the doses can run side by side and come out the same for any number of
 * threads. An exhausted bed is what every run leaves but for a few percent: it is closer to the
 * steady cycle than resin as delivered, whose first run is the longest of all.
 *
 * Grid estimate, of two more runs at the middle dose. The scheme is of order 2 in cells: with g(h)
 * on the grid and g(2h) on half the cells, the grid is off by (g(2h) - g(h))/3 (Richardson).
 * Matched shells converge so fast that one more shell is as good as an endless number: their part
 * is the difference that it makes, on half the cells. The estimate is the sum.
 */
#include "rating/curve/rate_dose.h"

#include <math.h>
#ifdef _OPENMP
#include <omp.h>
#endif
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
        .capacity_eq_per_m3 = spec->bed.resin.capacity_eq_per_m3,
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

bf_status bf__rate_dose(const bf_rating_spec *spec, const bf_selectivity *selectivity,
                        double dose_kg_per_m3, bf_dose_point *out, bf_error *err)
{
    bf_recipe recipe = spec->recipe;
    bf_recipe_set_dose(&recipe, dose_kg_per_m3);
    bf_site site = bf_rating_site(spec);
    bf_bed *bed = NULL;
    out->dose_kg_per_m3 = dose_kg_per_m3;
    out->dose_eq_per_m3 = bf_recipe_dose_eq_per_m3(&recipe);
    out->efficiency_eq_per_eq = (double)NAN;
    bf_status status = bf_rating_bed(spec, selectivity, &bed, err);
    if (status == BF_OK) {
        status = bf_rating_exhaust(spec, selectivity, bed, err);
    }
    if (status == BF_OK) {
        status = bf_cycle_regenerate(&recipe, &site, bed, err);
    }
    if (status == BF_OK) {
        status = bf_steady_run(&recipe, &site, &spec->steady, bed, &out->steady, err);
    }
    if (status == BF_OK && out->steady.cycle.outcome == BF_RATED) {
        out->efficiency_eq_per_eq = out->steady.cycle.capacity_eq_per_m3 / out->dose_eq_per_m3;
    }
    bf_bed_free(bed);
    return status;
}

/* Relative error of one quantity of the grid, from the values on it (g), on half its cells (half),
 * and there with one more shell (more). */
static double grid_error(double g, double half, double more)
{
    return ((half - g) / 3.0 + (half - more)) / g;
}

static void estimate(const bf_dose_point *point, const bf_dose_point *half,
                     const bf_dose_point *more, bf_grid_estimate *grid)
{
    const bf_cycle_result *g = &point->steady.cycle;
    const bf_cycle_result *h = &half->steady.cycle;
    const bf_cycle_result *m = &more->steady.cycle;
    grid->dose_kg_per_m3 = point->dose_kg_per_m3;
    if (g->outcome == BF_RATED && h->outcome == BF_RATED && m->outcome == BF_RATED) {
        grid->capacity_error =
            grid_error(g->capacity_eq_per_m3, h->capacity_eq_per_m3, m->capacity_eq_per_m3);
        grid->leakage_error = grid_error(g->leakage_mean_eq_per_m3, h->leakage_mean_eq_per_m3,
                                         m->leakage_mean_eq_per_m3);
    }
}

static bf_status check_curve(const bf_rating_spec *spec, const bf_dose_curve_spec *curve,
                             bf_error *err)
{
    if (curve->count == 0) {
        return bf_error_set(err, BF_E_RANGE, "bf_dose_curve",
                            "no dose is given; give at least one");
    }
    for (size_t d = 0; d < curve->count; d++) {
        double dose = curve->dose_kg_per_m3[d];
        if (!(dose > 0.0 && isfinite(dose))) {
            return bf_error_set(err, BF_E_RANGE, "bf_dose_curve",
                                "dose %zu is %g kg/m3; doses are above zero", d + 1, dose);
        }
    }
    bf_rating_spec probe = *spec;
    bf_recipe_set_dose(&probe.recipe, curve->dose_kg_per_m3[0]);
    return bf_rating_spec_check(&probe, err);
}

bf_status bf_dose_curve(const bf_rating_spec *spec, const bf_dose_curve_spec *curve,
                        bf_dose_point *points, bf_grid_estimate *grid, bf_error *err)
{
    bf_status status = check_curve(spec, curve, err);
    if (status != BF_OK) {
        return status;
    }
    bf_selectivity *selectivity = NULL;
    status = bf_rating_selectivity(spec, &selectivity, err);
    if (status != BF_OK) {
        return status;
    }
    /* Jobs: the doses, then half the cells, then half the cells with one more shell. */
    bf_rating_spec half = *spec;
    half.bed.cells = spec->bed.cells / 2 < 4 ? 4 : spec->bed.cells / 2;
    bf_rating_spec more = half;
    more.bed.shells = spec->bed.shells < 16 ? spec->bed.shells + 1 : spec->bed.shells;
    const size_t middle = curve->count / 2;
    const int with_grid = grid != NULL && curve->estimate_grid;
    const size_t jobs = curve->count + (with_grid ? 2 : 0);
    bf_dose_point extra[2] = {{0}};
    size_t done = 0;
    int threads = curve->threads > 0 ? curve->threads : 1;
#ifdef _OPENMP
    threads = curve->threads > 0 ? curve->threads : omp_get_num_procs();
#endif
#pragma omp parallel for schedule(dynamic, 1) num_threads(threads)
    for (size_t job = 0; job < jobs; job++) {
        bf_error own = {0};
        const int is_extra = job >= curve->count;
        const bf_rating_spec *of = !is_extra ? spec : job == curve->count ? &half : &more;
        bf_dose_point *to = is_extra ? &extra[job - curve->count] : &points[job];
        bf_status here = bf__rate_dose(of, selectivity,
                                       curve->dose_kg_per_m3[is_extra ? middle : job], to, &own);
#pragma omp critical(bf_dose_curve)
        {
            if (here != BF_OK && status == BF_OK) {
                status = here;
                if (err != NULL) {
                    *err = own;
                }
            }
            done++;
            if (curve->progress != NULL) {
                curve->progress(curve->context, done, jobs);
            }
        }
    }
    if (grid != NULL) {
        *grid = (bf_grid_estimate){.capacity_error = (double)NAN, .leakage_error = (double)NAN};
        if (with_grid && status == BF_OK) {
            estimate(&points[middle], &extra[0], &extra[1], grid);
        }
    }
    bf_selectivity_free(selectivity);
    return status;
}
