/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The bands of a study, and what they say of doses between.
 *
 * No band is extrapolated: between two doses with a band its limits go in proportion to the
 * capacity.
 */
#include "rating/study/study.h"

#include <math.h>
#include <stdlib.h>

static void take_spans(const bf_band *band, double quantile, bf_tank_dose *dose)
{
    for (int q = 0; q < BF_BAND_QUANTITIES; q++) {
        const bf_band_quantity quantity = (bf_band_quantity)q;
        const double unfavourable = quantity == BF_BAND_LEAKAGE ? 1.0 - quantile : quantile;
        dose->span[q] = (bf_tank_span){.low = bf_band_quantile(band, quantity, 0.1),
                                       .middle = bf_band_quantile(band, quantity, 0.5),
                                       .high = bf_band_quantile(band, quantity, 0.9),
                                       .practical = bf_band_quantile(band, quantity, unfavourable)};
    }
    dose->unrated = bf_band_unrated(band);
    dose->has_band = 1;
}

/* Indices that cannot be told, for too few samples have a rating, are left out. */
static bf_status take_indices(const bf_band *band, bf_tank_study *out, bf_error *err)
{
    static const bf_band_quantity quantity[2] = {BF_BAND_CAPACITY, BF_BAND_LEAKAGE};
    bf_status status = BF_OK;
    for (int k = 0; k < 2 && status == BF_OK; k++) {
        bf_error inner = {0};
        out->index[k] = calloc(bf_uncertain_count(), sizeof *out->index[k]);
        if (out->index[k] == NULL) {
            return bf_error_set(err, BF_E_MEMORY, "bf_tank_study_run", "no memory");
        }
        status = bf_band_indices(band, quantity[k], out->index[k], &out->explained[k], &inner);
        if (status == BF_E_RANGE) {
            free(out->index[k]);
            out->index[k] = NULL;
            status = BF_OK;
        } else if (status != BF_OK && err != NULL) {
            *err = inner;
        }
    }
    return status;
}

static bf_status add_band(bf__study_work *work, size_t dose, bf_tank_study *out, bf_error *err)
{
    const bf_tank_study_spec *spec = work->spec;
    bf_band_spec band_spec = bf_band_spec_for(&out->rating);
    bf_band *band = NULL;
    if (out->dose[dose].has_band) {
        return BF_OK; /* the smallest is the largest too */
    }
    band_spec.samples = spec->samples;
    band_spec.dose_kg_per_m3 = spec->dose_kg_per_m3[dose];
    band_spec.threads = spec->threads;
    band_spec.watch = bf__study_begin(work, (double)spec->samples + BF_BAND_LEAST_SAMPLES);
    bf_status status = bf_band_create(&out->rating, &band_spec, &band, err);
    if (status == BF_OK) {
        take_spans(band, spec->quantile, &out->dose[dose]);
        if (dose == out->middle) {
            status = take_indices(band, out, err);
        }
    }
    bf_band_free(band);
    return status;
}

bf_status bf__study_add_bands(bf__study_work *work, bf_tank_study *out, bf_error *err)
{
    const size_t banded[BF__STUDY_BANDS] = {out->least, out->middle, out->most};
    bf_status status = BF_OK;
    for (size_t b = 0; b < BF__STUDY_BANDS && status == BF_OK; b++) {
        status = add_band(work, banded[b], out, err);
    }
    return status;
}

/* ---- between doses --------------------------------------------------------------------------- */

/* The band of a dose over its own capacity; NAN where there is none. */
static double relative(const bf_tank_dose *dose, double limit)
{
    const bf_cycle_result *cycle = &dose->point.steady.cycle;
    return dose->has_band && cycle->outcome == BF_RATED ? limit / cycle->capacity_eq_per_m3
                                                        : (double)NAN;
}

int bf_tank_study_span(const bf_tank_study *study, double dose_kg_per_m3, double capacity,
                       double *low, double *high)
{
    const size_t stations[BF__STUDY_BANDS] = {study->least, study->middle, study->most};
    for (size_t k = 0; k < BF__STUDY_BANDS; k++) {
        const bf_tank_dose *a = &study->dose[stations[k]];
        const bf_tank_dose *b = &study->dose[stations[k + 1 < BF__STUDY_BANDS ? k + 1 : k]];
        const double left = a->point.dose_kg_per_m3;
        const double right = b->point.dose_kg_per_m3;
        const double slack = 1e-9 * right;
        if (dose_kg_per_m3 < left - slack || dose_kg_per_m3 > right + slack) {
            continue;
        }
        const double share = right > left ? (dose_kg_per_m3 - left) / (right - left) : 0.0;
        *low = capacity * ((1.0 - share) * relative(a, a->span[BF_BAND_CAPACITY].low) +
                           share * relative(b, b->span[BF_BAND_CAPACITY].low));
        *high = capacity * ((1.0 - share) * relative(a, a->span[BF_BAND_CAPACITY].high) +
                            share * relative(b, b->span[BF_BAND_CAPACITY].high));
        return !isnan(*low) && !isnan(*high);
    }
    return 0;
}
