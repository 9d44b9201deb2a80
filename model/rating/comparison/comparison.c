/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Beds side by side: ratings, their differences, and what of these the constants leave open. The
 * formulas stand in comparison.h. */
#include "brinefront/comparison.h"

#include "base/parallel.h"
#include "brinefront/tank.h"

#include <gsl/gsl_sort.h>
#include <gsl/gsl_statistics_double.h>
#include <math.h>
#include <stdlib.h>

static const char *const where = "bf_compare";
static const double share_low = 0.1;
static const double share_high = 0.9;

/* ---- checks ---------------------------------------------------------------------------------- */

static bf_status check(const bf_comparison_spec *spec, bf_error *err)
{
    if (spec->beds < 2 || spec->beds > BF_COMPARED_BEDS) {
        return bf_error_set(err, BF_E_RANGE, where, "%zu beds; accepted are 2 to %d", spec->beds,
                            BF_COMPARED_BEDS);
    }
    if (spec->doses == 0) {
        return bf_error_set(err, BF_E_RANGE, where, "no dose; state one at least");
    }
    if (spec->samples != 0 &&
        (spec->samples < BF_BAND_LEAST_SAMPLES || spec->samples > BF_BAND_MOST_SAMPLES)) {
        return bf_error_set(err, BF_E_RANGE, where, "%zu samples; accepted are 0, or %d to %d",
                            spec->samples, BF_BAND_LEAST_SAMPLES, BF_BAND_MOST_SAMPLES);
    }
    return BF_OK;
}

int bf_resin_is_same(const bf_resin *one, const bf_resin *other)
{
    int same = one->total_capacity_eq_per_m3 == other->total_capacity_eq_per_m3 &&
               one->void_fraction == other->void_fraction &&
               one->bead_diameter_m == other->bead_diameter_m &&
               one->uniformity_coefficient == other->uniformity_coefficient &&
               one->bead_density_kg_per_m3 == other->bead_density_kg_per_m3;
    for (size_t i = 0; i < BF_ION_COUNT; i++) {
        same = same && one->selectivity[i] == other->selectivity[i] &&
               one->diffusivity_25C_m2_per_s[i] == other->diffusivity_25C_m2_per_s[i] &&
               one->activation_J_per_mol[i] == other->activation_J_per_mol[i];
    }
    return same;
}

size_t bf_shared_doses(const double *const *dose_kg_per_m3, const size_t *count, size_t beds,
                       double *out)
{
    size_t shared = 0;
    for (size_t d = 0; d < count[0]; d++) {
        const double dose = dose_kg_per_m3[0][d];
        size_t held_by = 1;
        for (size_t b = 1; b < beds; b++) {
            size_t place = 0;
            while (place < count[b] && fabs(dose_kg_per_m3[b][place] - dose) > 1e-6 * dose) {
                place++;
            }
            held_by += place < count[b];
        }
        if (held_by == beds) {
            out[shared++] = dose;
        }
    }
    return shared;
}

/* ---- parts of the work ----------------------------------------------------------------------- */

/* Ratings done before the part that runs now; the watch of `part` is told of the whole. */
typedef struct tally {
    size_t before;
    size_t total;
    bf__part part;
} tally;

/* A band rates some samples on two grids. */
static size_t ratings_of_a_band(const bf_comparison_spec *spec)
{
    return spec->samples == 0 ? 0 : spec->samples + BF_BAND_LEAST_SAMPLES;
}

/* The watch of the next part, which takes so many ratings. */
static bf_watch begin_part(tally *done, size_t ratings)
{
    done->part.start = (double)done->before / (double)done->total;
    done->before += ratings;
    done->part.end = (double)done->before / (double)done->total;
    return bf__watch_part(&done->part);
}

/* ---- values ---------------------------------------------------------------------------------- */

static bf_status take_values(const bf_rating_spec *rating, bf_compared_point *out, bf_error *err)
{
    const bf_cycle_result *cycle = &out->point.steady.cycle;
    const double bed_m3 = bf_bed_volume_m3(&rating->bed);
    const double or_none = cycle->outcome == BF_RATED ? 1.0 : (double)NAN;
    const bf_tank_spec tank = bf_tank_spec_default(); /* no fittings */
    double pressure_Pa = (double)NAN;
    bf_status status = bf_tank_pressure_Pa(
        &tank, &rating->bed, rating->recipe.step[0].velocity_m_per_s * bf_bed_area_m2(&rating->bed),
        rating->water.temperature_K, &pressure_Pa, err);
    const double value[BF_COMPARED_COUNT] = {
        [BF_COMPARED_CAPACITY] = or_none * cycle->capacity_eq_per_m3,
        [BF_COMPARED_HELD] = or_none * cycle->capacity_eq_per_m3 * bed_m3,
        [BF_COMPARED_LEAKAGE] = or_none * cycle->leakage_mean_eq_per_m3,
        [BF_COMPARED_EFFICIENCY] = or_none * out->point.efficiency_eq_per_eq,
        [BF_COMPARED_SALT] = out->point.dose_kg_per_m3 * bed_m3,
        [BF_COMPARED_WASTE] = or_none * cycle->water_bed_volumes / cycle->capacity_eq_per_m3,
        [BF_COMPARED_PRESSURE] = pressure_Pa,
    };
    for (size_t q = 0; q < BF_COMPARED_COUNT; q++) {
        out->quantity[q] = (bf_compared_value){
            .value = value[q], .difference = (double)NAN, .low = (double)NAN, .high = (double)NAN};
    }
    return status;
}

static void take_differences(const bf_compared_point *first, bf_compared_point *out)
{
    for (size_t q = 0; q < BF_COMPARED_COUNT; q++) {
        out->quantity[q].difference = out->quantity[q].value / first->quantity[q].value - 1.0;
    }
}

/* ---- bands ----------------------------------------------------------------------------------- */

/* What a rating itself may be off by: the steady cycle's tolerance. */
static double noise_of(const bf_rating_spec *rating, bf_band_quantity what)
{
    return what == BF_BAND_LEAKAGE ? rating->steady.leakage_tolerance
                                   : rating->steady.capacity_tolerance;
}

/* Quantiles of b_s/a_s - 1 over the samples that both rate. @param scratch room for the samples */
static void sample_by_sample(const bf_band *a, const bf_band *b, bf_band_quantity what,
                             double *scratch, bf_compared_value *out)
{
    const size_t samples = bf_band_samples(a);
    size_t rated = 0;
    for (size_t s = 0; s < samples; s++) {
        const double below = bf_band_value(a, what, s);
        const double above = bf_band_value(b, what, s);
        if (below > 0.0 && above > 0.0) { /* neither NAN nor no capacity */
            scratch[rated++] = above / below - 1.0;
        }
    }
    if (2 * rated >= samples) {
        gsl_sort(scratch, 1, rated);
        out->low = gsl_stats_quantile_from_sorted_data(scratch, 1, rated, share_low);
        out->high = gsl_stats_quantile_from_sorted_data(scratch, 1, rated, share_high);
    }
}

static double half_width(const bf_band *band, bf_band_quantity what)
{
    return 0.5 *
           (bf_band_quantile(band, what, share_high) - bf_band_quantile(band, what, share_low)) /
           bf_band_central(band, what);
}

static void in_quadrature(const bf_band *a, const bf_band *b, bf_band_quantity what,
                          bf_compared_value *out)
{
    const size_t samples = bf_band_samples(a);
    if (2 * bf_band_unrated(a) <= samples && 2 * bf_band_unrated(b) <= samples) {
        const double half =
            (1.0 + out->difference) * hypot(half_width(a, what), half_width(b, what));
        if (isfinite(half)) { /* none where a tenth has no rating */
            out->low = out->difference - half;
            out->high = out->difference + half;
        }
    }
}

static void judge(bf_compared_value *out, double noise)
{
    out->is_beyond = out->low > noise || out->high < -noise; /* NAN: neither */
}

static void take_bands(const bf_rating_spec *first, const bf_band *a, const bf_rating_spec *rating,
                       const bf_band *b, double *scratch, bf_compared_point *out)
{
    static const bf_compared banded[BF_BAND_QUANTITIES] = {
        [BF_BAND_CAPACITY] = BF_COMPARED_CAPACITY,
        [BF_BAND_LEAKAGE] = BF_COMPARED_LEAKAGE,
        [BF_BAND_EFFICIENCY] = BF_COMPARED_EFFICIENCY,
    };
    out->is_paired = bf_resin_is_same(&first->bed.resin, &rating->bed.resin);
    for (int q = 0; q < BF_BAND_QUANTITIES; q++) {
        bf_compared_value *value = &out->quantity[banded[q]];
        if (isnan(value->difference)) {
            continue;
        }
        if (out->is_paired) {
            sample_by_sample(a, b, (bf_band_quantity)q, scratch, value);
        } else {
            in_quadrature(a, b, (bf_band_quantity)q, value);
        }
        judge(value, noise_of(first, (bf_band_quantity)q) + noise_of(rating, (bf_band_quantity)q));
    }
    /* The whole bed holds so many times what a m3 holds: its volume is not in doubt. */
    const bf_compared_value *capacity = &out->quantity[BF_COMPARED_CAPACITY];
    bf_compared_value *held = &out->quantity[BF_COMPARED_HELD];
    const double volumes = bf_bed_volume_m3(&rating->bed) / bf_bed_volume_m3(&first->bed);
    held->low = volumes * (1.0 + capacity->low) - 1.0;
    held->high = volumes * (1.0 + capacity->high) - 1.0;
    judge(held, noise_of(first, BF_BAND_CAPACITY) + noise_of(rating, BF_BAND_CAPACITY));
}

/* ---- one dose -------------------------------------------------------------------------------- */

static bf_status rate(const bf_comparison_spec *spec, size_t bed, double dose, tally *done,
                      bf_compared_point *out, bf_error *err)
{
    const bf_dose_curve_spec curve = {
        .dose_kg_per_m3 = &dose, .count = 1, .threads = 1, .watch = begin_part(done, 1)};
    bf_status status = bf_dose_curve(spec->rating[bed], &curve, &out->point, NULL, err);
    if (status == BF_OK || status == BF_E_STOPPED) {
        const bf_status valued = take_values(spec->rating[bed], out, err);
        status = valued == BF_OK ? status : valued;
    }
    return status;
}

static bf_status band_of(const bf_comparison_spec *spec, size_t bed, double dose, tally *done,
                         bf_band **out, bf_error *err)
{
    bf_band_spec band = bf_band_spec_for(spec->rating[bed]);
    band.samples = spec->samples;
    band.dose_kg_per_m3 = dose;
    band.threads = spec->threads;
    band.watch = begin_part(done, ratings_of_a_band(spec));
    return bf_band_create(spec->rating[bed], &band, out, err);
}

static bf_status compare_at(const bf_comparison_spec *spec, const double *dose, double *scratch,
                            tally *done, bf_compared_point *out, bf_error *err)
{
    bf_band *band[BF_COMPARED_BEDS] = {NULL};
    bf_status status = BF_OK;
    for (size_t b = 0; b < spec->beds && status == BF_OK; b++) {
        status = rate(spec, b, dose[b], done, &out[b], err);
        if (b > 0) {
            take_differences(&out[0], &out[b]);
        }
        if (status == BF_OK && spec->samples > 0) {
            status = band_of(spec, b, dose[b], done, &band[b], err);
        }
        if (status == BF_OK && b > 0 && spec->samples > 0) {
            take_bands(spec->rating[0], band[0], spec->rating[b], band[b], scratch, &out[b]);
        }
    }
    for (size_t b = 0; b < spec->beds; b++) {
        bf_band_free(band[b]);
    }
    return status;
}

static bf_compared_point not_computed(double dose_kg_per_m3)
{
    const double none = (double)NAN;
    bf_compared_point out = {.point = {.dose_kg_per_m3 = dose_kg_per_m3,
                                       .dose_eq_per_m3 = none,
                                       .steady = {.cycle = {.outcome = BF_NOT_COMPUTED}},
                                       .efficiency_eq_per_eq = none}};
    for (size_t q = 0; q < BF_COMPARED_COUNT; q++) {
        out.quantity[q] = (bf_compared_value){none, none, none, none, 0};
    }
    return out;
}

bf_status bf_compare(const bf_comparison_spec *spec, bf_compared_point *out, bf_error *err)
{
    bf_status status = check(spec, err);
    if (status != BF_OK) {
        return status;
    }
    tally done = {.part = {.whole = spec->watch},
                  .total = spec->doses * spec->beds * (1 + ratings_of_a_band(spec))};
    double *scratch = malloc((spec->samples + 1) * sizeof *scratch);
    if (scratch == NULL) {
        return bf_error_set(err, BF_E_MEMORY, where, "no memory for %zu samples", spec->samples);
    }
    for (size_t k = 0; k < spec->doses * spec->beds; k++) {
        out[k] = not_computed(spec->dose_kg_per_m3[k]);
    }
    for (size_t d = 0; d < spec->doses && status == BF_OK; d++) {
        status = compare_at(spec, spec->dose_kg_per_m3 + d * spec->beds, scratch, &done,
                            out + d * spec->beds, err);
    }
    free(scratch);
    return status;
}
