/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The ratings of a study: every dose, and one of them under other conditions. */
#include "rating/study/study.h"

#include <math.h>
#include <stdlib.h>

bf_status bf__study_rate_doses(bf__study_work *work, bf_tank_study *out, bf_error *err)
{
    const bf_tank_study_spec *spec = work->spec;
    bf_dose_point *points = calloc(spec->count, sizeof *points);
    if (points == NULL) {
        return bf_error_set(err, BF_E_MEMORY, "bf_tank_study_run", "no memory");
    }
    const bf_dose_curve_spec curve = {.dose_kg_per_m3 = spec->dose_kg_per_m3,
                                      .count = spec->count,
                                      .threads = spec->threads,
                                      .estimate_grid = 1,
                                      .watch = bf__study_begin(work, (double)spec->count + 2.0)};
    bf_status status = bf_dose_curve(&out->rating, &curve, points, &out->grid, err);
    for (size_t d = 0; d < spec->count; d++) {
        out->dose[d].point = points[d];
    }
    free(points);
    return status;
}

/* The middle dose of a rating that differs from the study's. */
static bf_status rate_middle(bf__study_work *work, const bf_tank_study *study,
                             const bf_rating_spec *rating, bf_dose_point *out, bf_error *err)
{
    const bf_dose_curve_spec curve = {.dose_kg_per_m3 = &work->spec->dose_kg_per_m3[study->middle],
                                      .count = 1,
                                      .threads = work->spec->threads,
                                      .watch = bf__study_begin(work, 1.0)};
    return bf_dose_curve(rating, &curve, out, NULL, err);
}

/* At a flow that may not be stated. */
static bf_status rate_at_flow(bf__study_work *work, const bf_tank_study *study, double m3_per_s,
                              int *has, bf_dose_point *out, bf_error *err)
{
    bf_rating_spec rating = study->rating;
    if (isnan(m3_per_s)) {
        return BF_OK;
    }
    rating.recipe.step[0].velocity_m_per_s = m3_per_s / bf_bed_area_m2(&rating.bed);
    bf_status status = rate_middle(work, study, &rating, out, err);
    *has = status == BF_OK;
    return status;
}

/* A season whose water does not dissolve the brine has no rating, and is no failure. */
static bf_status rate_in_season(bf__study_work *work, const bf_tank_study *study,
                                double temperature_K, int *has, bf_dose_point *out, bf_notes *notes,
                                bf_error *err)
{
    bf_error inner = {0};
    bf_rating_spec rating = study->rating;
    if (fabs(temperature_K - rating.water.temperature_K) < 1e-6) {
        return BF_OK;
    }
    rating.water.temperature_K = temperature_K;
    bf_status status = rate_middle(work, study, &rating, out, &inner);
    *has = status == BF_OK;
    if (status == BF_E_RANGE) {
        bf_notes_add(notes, BF_NOTE_CAUTION,
                     temperature_K < study->rating.water.temperature_K ? "tank.coldest"
                                                                       : "tank.warmest",
                     "no rating in this water: %s", inner.message);
        status = BF_OK;
    } else if (status != BF_OK && err != NULL) {
        *err = inner;
    }
    return status;
}

static bf_status rate_stagnation(bf__study_work *work, bf_tank_study *out, bf_error *err)
{
    const bf_tank_study_spec *spec = work->spec;
    if (!bf__study_has_stagnation(spec)) {
        return BF_OK;
    }
    bf_status status = bf_stagnation_rate(&out->rating, &spec->stagnation,
                                          spec->dose_kg_per_m3[out->middle], &out->stagnation, err);
    out->has_stagnation = status == BF_OK;
    return status == BF_OK ? bf__study_tell_done(work, BF__RATINGS_OF_STAGNATION, err) : status;
}

static bf_status rate_uneven(bf__study_work *work, bf_tank_study *out, bf_error *err)
{
    const bf_tank_study_spec *spec = work->spec;
    if (!bf__study_has_uneven_flow(spec)) {
        return BF_OK;
    }
    bf_status status =
        bf_parallel_beds_rate(&out->rating, &spec->uneven, spec->dose_kg_per_m3[out->middle],
                              spec->threads, &out->uneven, err);
    out->has_uneven = status == BF_OK;
    return status == BF_OK ? bf__study_tell_done(work, BF__RATINGS_OF_UNEVEN_FLOW, err) : status;
}

bf_status bf__study_rate_otherwise(bf__study_work *work, bf_tank_study *out, bf_notes *notes,
                                   bf_error *err)
{
    const bf_tank_study_spec *spec = work->spec;
    bf_status status = bf_first_minutes_rate(&out->rating, spec->dose_kg_per_m3[out->least],
                                             out->sheet.rated_m3_per_s, &out->full_flow, err);
    if (status == BF_OK) {
        status = bf__study_tell_done(work, 1.0, err);
    }
    if (status == BF_OK) {
        status =
            rate_at_flow(work, out, spec->tank->peak_m3_per_s, &out->has_peak, &out->peak, err);
    }
    if (status == BF_OK) {
        status = rate_at_flow(work, out, spec->tank->average_m3_per_s, &out->has_average,
                              &out->average, err);
    }
    if (status == BF_OK) {
        status = rate_in_season(work, out, out->sheet.cold.temperature_K, &out->has_cold,
                                &out->cold, notes, err);
    }
    if (status == BF_OK) {
        status = rate_in_season(work, out, out->sheet.warm.temperature_K, &out->has_warm,
                                &out->warm, notes, err);
    }
    if (status == BF_OK) {
        status = rate_stagnation(work, out, err);
    }
    return status == BF_OK ? rate_uneven(work, out, err) : status;
}
