/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A rating with its uncertain constants drawn together.
 *
 * Sample s is point s of Sobol's sequence after the origin, one dimension a constant (uncertain.c);
 * it is rated as bf_dose_curve() rates one dose, from an exhausted bed to its own steady cycle.
 * Nothing passes from sample to sample, so that any number of threads gives the same bits.
 *
 * Two grids. Capacity and leakage of a coarse grid are off by some tenths of a percent and some
 * percent, much alike for all samples. The first PILOTS samples are rated on both grids, and
 *
 *     g_s = g_s(coarse) sum g_p(fine)/sum g_p(coarse)        over the pilots p rated on both
 *
 * (a ratio estimate of the mean). The first point of the sequence is the middle of all constants:
 * the first pilot is the case as it stands. It alone would not do: counter-current leakage, a few
 * thousandths of an equivalent, scatters by 10 % between the grids from sample to sample.
 */
#include "brinefront/band.h"

#include "base/parallel.h"
#include "rating/curve/one_rating.h"

#include <gsl/gsl_sort.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

struct bf_band {
    size_t samples;
    size_t unrated;
    double *position;                   /* rows of bf_uncertain_count(); a choice is 0 or 1 */
    double *value[BF_BAND_QUANTITIES];  /* as sampled; NAN: none */
    double *sorted[BF_BAND_QUANTITIES]; /* without a rating: nothing, endless leakage */
    double central[BF_BAND_QUANTITIES];
    double grid_factor[BF_BAND_QUANTITIES];
};

bf_band_spec bf_band_spec_default(void)
{
    return (bf_band_spec){.samples = 256, .cells = 60, .shells = 3};
}

bf_band_spec bf_band_spec_for(const bf_rating_spec *rating)
{
    const bf_bed_spec *bed = &rating->bed;
    bf_band_spec spec = bf_band_spec_default();
    spec.cells = bed->cells < spec.cells ? bed->cells : spec.cells;
    /* Classes of bead sizes have shells of their own: docs/decisions/bead-sizes.md. */
    spec.shells = bed->resin.uniformity_coefficient > 1.0 || bed->shells < spec.shells
                      ? bed->shells
                      : spec.shells;
    return spec;
}

/* The grid of the samples, and tolerances that go with it: capacity moves by 0.03 % at most. */
static void coarsen(bf_rating_spec *rating, const bf_band_spec *spec)
{
    bf_bed_spec *bed = &rating->bed;
    bf_steady_spec *steady = &rating->steady;
    bed->cells = spec->cells;
    bed->shells = spec->shells;
    bed->relative_tolerance = fmax(bed->relative_tolerance, 1e-3);
    steady->capacity_tolerance = fmax(steady->capacity_tolerance, 1e-3);
    steady->leakage_tolerance = fmax(steady->leakage_tolerance, 1e-2);
}

static bf_status check(const bf_rating_spec *rating, const bf_band_spec *spec, bf_error *err)
{
    if (spec->samples < BF_BAND_LEAST_SAMPLES || spec->samples > BF_BAND_MOST_SAMPLES) {
        return bf_error_set(err, BF_E_RANGE, "bf_band_create", "%zu samples; accepted are %d to %d",
                            spec->samples, BF_BAND_LEAST_SAMPLES, BF_BAND_MOST_SAMPLES);
    }
    bf_rating_spec dosed;
    bf_status status =
        bf__dosed_spec("bf_band_create", rating, &spec->dose_kg_per_m3, 1, &dosed, err);
    if (status == BF_OK) {
        coarsen(&dosed, spec);
        status = bf_rating_spec_check(&dosed, err);
    }
    return status;
}

void bf_band_free(bf_band *band)
{
    if (band != NULL) {
        free(band->position);
        for (int q = 0; q < BF_BAND_QUANTITIES; q++) {
            free(band->value[q]);
            free(band->sorted[q]);
        }
        free(band);
    }
}

static bf_status make_room(size_t samples, bf_band **out, bf_error *err)
{
    bf_band *band = calloc(1, sizeof *band);
    int all = band != NULL;
    if (all) {
        band->samples = samples;
        band->position = malloc(samples * bf_uncertain_count() * sizeof *band->position);
        all = band->position != NULL;
        for (int q = 0; q < BF_BAND_QUANTITIES; q++) {
            band->value[q] = malloc(samples * sizeof *band->value[q]);
            band->sorted[q] = malloc(samples * sizeof *band->sorted[q]);
            all = all && band->value[q] != NULL && band->sorted[q] != NULL;
        }
    }
    if (!all) {
        bf_band_free(band);
        return bf_error_set(err, BF_E_MEMORY, "bf_band_create", "no memory for %zu samples",
                            samples);
    }
    *out = band;
    return BF_OK;
}

static void settle_choices(bf_band *band)
{
    const size_t dimensions = bf_uncertain_count();
    for (size_t k = 0; k < dimensions; k++) {
        for (size_t s = 0; s < band->samples && bf_uncertain_get(k).is_choice; s++) {
            double *choice = &band->position[s * dimensions + k];
            *choice = *choice < 0.5 ? 0.0 : 1.0;
        }
    }
}

/* ---- rating ---------------------------------------------------------------------------------- */

/* Jobs: the pilots on the case's own grid, which take longest, then the samples on theirs. */
enum { PILOTS = BF_BAND_LEAST_SAMPLES };

/* What the pilots gave on the case's own grid. */
typedef double pilot_values[PILOTS][BF_BAND_QUANTITIES];

static bf_status rate(const bf_rating_spec *rating, double dose_kg_per_m3,
                      double out[BF_BAND_QUANTITIES], bf_error *err)
{
    bf_dose_point point;
    const bf_dose_curve_spec curve = {.dose_kg_per_m3 = &dose_kg_per_m3, .count = 1, .threads = 1};
    bf_status status = bf_dose_curve(rating, &curve, &point, NULL, err);
    const int rated = status == BF_OK && point.steady.cycle.outcome == BF_RATED;
    out[BF_BAND_CAPACITY] = rated ? point.steady.cycle.capacity_eq_per_m3 : 0.0;
    out[BF_BAND_LEAKAGE] = rated ? point.steady.cycle.leakage_mean_eq_per_m3 : (double)NAN;
    out[BF_BAND_EFFICIENCY] = rated ? point.efficiency_eq_per_eq : (double)NAN;
    return status;
}

static size_t sample_of(size_t job)
{
    return job < PILOTS ? job : job - PILOTS;
}

typedef struct band_work {
    const bf_rating_spec *rating;
    const bf_band_spec *spec;
    bf_band *band;
    pilot_values pilot;
} band_work;

static bf_status run_job(void *context, size_t job, bf_error *err)
{
    band_work *work = context;
    const size_t sample = sample_of(job);
    const size_t dimensions = bf_uncertain_count();
    bf_rating_spec moved = *work->rating;
    double dose = work->spec->dose_kg_per_m3;
    double value[BF_BAND_QUANTITIES];
    bf_error own = {0};
    for (size_t k = 0; k < dimensions; k++) {
        bf_uncertain_set(&moved, k, work->band->position[sample * dimensions + k], &dose);
    }
    if (job >= PILOTS) {
        coarsen(&moved, work->spec);
    }
    bf_status status = rate(&moved, dose, job < PILOTS ? work->pilot[job] : value, &own);
    for (int q = 0; q < BF_BAND_QUANTITIES && job >= PILOTS; q++) {
        work->band->value[q][sample] = value[q];
    }
    return status == BF_OK ? status
                           : bf_error_set(err, status, own.where, "sample %zu: %.300s", sample + 1,
                                          own.message);
}

/* ---- what comes of it ------------------------------------------------------------------------ */

static double grid_factor(const bf_band *band, int q, pilot_values pilot)
{
    double fine = 0.0;
    double coarse = 0.0;
    for (size_t p = 0; p < PILOTS; p++) {
        if (pilot[p][q] > 0.0 && band->value[q][p] > 0.0) { /* neither NAN nor no capacity */
            fine += pilot[p][q];
            coarse += band->value[q][p];
        }
    }
    return coarse > 0.0 ? fine / coarse : 1.0;
}

static void carry_to_own_grid(bf_band *band, pilot_values pilot)
{
    for (int q = 0; q < BF_BAND_QUANTITIES; q++) {
        band->central[q] = pilot[0][q];
        band->grid_factor[q] = grid_factor(band, q, pilot);
        for (size_t s = 0; s < band->samples; s++) {
            const double value = band->value[q][s] * band->grid_factor[q];
            const double worst = q == BF_BAND_LEAKAGE ? (double)INFINITY : 0.0;
            band->value[q][s] = value;
            band->sorted[q][s] = isnan(value) ? worst : value;
            band->unrated += q == BF_BAND_LEAKAGE && isnan(value) ? 1 : 0;
        }
        gsl_sort(band->sorted[q], 1, band->samples);
    }
}

bf_status bf_band_create(const bf_rating_spec *rating, const bf_band_spec *spec, bf_band **out,
                         bf_error *err)
{
    band_work work = {.rating = rating, .spec = spec};
    *out = NULL;
    bf_status status = check(rating, spec, err);
    if (status == BF_OK) {
        status = make_room(spec->samples, &work.band, err);
    }
    if (status == BF_OK) {
        status = bf_sobol_points(spec->samples, bf_uncertain_count(), work.band->position, err);
    }
    if (status == BF_OK) {
        const bf__jobs jobs = {.count = spec->samples + PILOTS,
                               .threads = spec->threads,
                               .watch = spec->watch,
                               .run = run_job,
                               .context = &work};
        settle_choices(work.band);
        status = bf__parallel(&jobs, err);
    }
    if (status == BF_OK) {
        carry_to_own_grid(work.band, work.pilot);
        *out = work.band;
    } else {
        bf_band_free(work.band);
    }
    return status;
}

size_t bf_band_samples(const bf_band *band)
{
    return band->samples;
}

size_t bf_band_unrated(const bf_band *band)
{
    return band->unrated;
}

double bf_band_value(const bf_band *band, bf_band_quantity what, size_t sample)
{
    return sample < band->samples ? band->value[what][sample] : (double)NAN;
}

double bf_band_central(const bf_band *band, bf_band_quantity what)
{
    return band->central[what];
}

double bf_band_grid_factor(const bf_band *band, bf_band_quantity what)
{
    return band->grid_factor[what];
}

double bf_band_quantile(const bf_band *band, bf_band_quantity what, double share)
{
    if (!(share >= 0.0 && share <= 1.0)) {
        return (double)NAN;
    }
    /* Between a value and none there is nothing to interpolate: the worse of the two. */
    const double *sorted = band->sorted[what];
    const double place = share * (double)(band->samples - 1);
    const size_t below = (size_t)place;
    const size_t above = (size_t)ceil(place);
    const int is_none = what == BF_BAND_LEAKAGE ? isinf(sorted[above]) : below < band->unrated;
    if (is_none) {
        return what == BF_BAND_LEAKAGE ? sorted[above] : 0.0;
    }
    return sorted[below] + (place - (double)below) * (sorted[above] - sorted[below]);
}

bf_status bf_band_indices(const bf_band *band, bf_band_quantity what, bf_sobol_index *out,
                          double *explained, bf_error *err)
{
    const size_t dimensions = bf_uncertain_count();
    double *position = malloc(band->samples * dimensions * sizeof *position);
    double *value = malloc(band->samples * sizeof *value);
    size_t rated = 0;
    bf_status status = BF_OK;
    if (position == NULL || value == NULL) {
        status = bf_error_set(err, BF_E_MEMORY, "bf_band_indices", "no memory");
    }
    for (size_t s = 0; s < band->samples && status == BF_OK; s++) {
        if (!isnan(band->value[what][s])) {
            memcpy(position + rated * dimensions, band->position + s * dimensions,
                   dimensions * sizeof *position);
            value[rated++] = band->value[what][s];
        }
    }
    if (status == BF_OK) {
        status = bf_indices_of(position, value, rated, dimensions, out, explained, err);
    }
    free(position);
    free(value);
    return status;
}
