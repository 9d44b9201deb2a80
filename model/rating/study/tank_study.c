/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A vessel rated in one go: what a rating sheet tells.
 *
 *  1. The sheet of the vessel under the case's own conditions: it gives the rated flow.
 *  2. The protocol's conditions, from that flow.
 *  3. Every dose at its steady cycle; smallest, middle and largest with a band.
 *  4. The middle dose again at peak and average flow, in the coldest and the warmest water, in
 *     draws, and with uneven flow; the smallest at rated flow, for the criteria.
 *
 * A dose that a band has is not extrapolated: between two doses with a band its limits go in
 * proportion to the capacity (bf_tank_study_span()).
 */
#include "brinefront/tank_study.h"

#include "base/parallel.h"
#include "brinefront/convert.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { BANDS = 3 };

/* Share of the work done, by ratings: those of a band on their coarse grid count as much. */
typedef struct work {
    const bf_tank_study_spec *spec;
    double before, total;
    bf__part part;
} work;

/* Begin a part of the work that is worth so many ratings. */
static bf_watch begin(work *w, double ratings)
{
    w->part.start = fmin(w->before / w->total, 1.0);
    w->before += ratings;
    w->part.end = fmin(w->before / w->total, 1.0);
    return bf__watch_part(&w->part);
}

/* After a part that has told nothing by itself. */
static bf_status tell_done(work *w, double ratings, bf_error *err)
{
    const bf_watch watch = begin(w, ratings);
    if (watch.tell != NULL && watch.tell(watch.context, 1.0) != 0) {
        return bf_error_set(err, BF_E_STOPPED, "bf_tank_study_run", "stopped before it was done");
    }
    return BF_OK;
}

static bf_status check(const bf_tank_study_spec *spec, bf_error *err)
{
    const char *where = "bf_tank_study_run";
    if (spec->count == 0) {
        return bf_error_set(err, BF_E_RANGE, where, "no dose is asked for");
    }
    if (!(spec->quantile > 0.0 && spec->quantile <= 0.5)) {
        return bf_error_set(err, BF_E_RANGE, where,
                            "the quantile of the practical rating is %g; accepted are above 0 up "
                            "to 0.5",
                            spec->quantile);
    }
    return bf_uneven_flow_check(&spec->uneven, err);
}

/* Which doses are the smallest, the middle one and the largest. */
static void order(const bf_tank_study_spec *spec, bf_tank_study *out)
{
    for (size_t d = 0; d < spec->count; d++) {
        size_t below = 0;
        for (size_t other = 0; other < spec->count; other++) {
            const double a = spec->dose_kg_per_m3[other];
            const double b = spec->dose_kg_per_m3[d];
            below += a < b || (a == b && other < d);
        }
        out->least = below == 0 ? d : out->least;
        out->middle = below == spec->count / 2 ? d : out->middle;
        out->most = below == spec->count - 1 ? d : out->most;
    }
}

/* The vessel at one dose; a limit that is broken has been told when the case was read. */
static bf_status sheet_at(const bf_tank_study_spec *spec, const bf_rating_spec *rating,
                          double dose_kg_per_m3, bf_tank_sheet *out, bf_error *err)
{
    bf_error inner = {0};
    bf_rating_spec dosed = *rating;
    bf_recipe_set_dose(&dosed.recipe, dose_kg_per_m3);
    bf_status status = bf_tank_sheet_of(spec->tank, &dosed, out, &inner);
    if (status == BF_E_RANGE && !isnan(out->regeneration_s)) {
        return BF_OK;
    }
    if (status != BF_OK && err != NULL) {
        *err = inner;
    }
    return status;
}

/* ---- ratings --------------------------------------------------------------------------------- */

static bf_status rate_all(work *w, bf_tank_study *out, bf_error *err)
{
    const bf_tank_study_spec *spec = w->spec;
    bf_dose_point *points = calloc(spec->count, sizeof *points);
    if (points == NULL) {
        return bf_error_set(err, BF_E_MEMORY, "bf_tank_study_run", "no memory");
    }
    const bf_dose_curve_spec curve = {.dose_kg_per_m3 = spec->dose_kg_per_m3,
                                      .count = spec->count,
                                      .threads = spec->threads,
                                      .estimate_grid = 1,
                                      .watch = begin(w, (double)spec->count + 2.0)};
    bf_status status = bf_dose_curve(&out->rating, &curve, points, &out->grid, err);
    for (size_t d = 0; d < spec->count; d++) {
        out->dose[d].point = points[d];
    }
    free(points);
    return status;
}

/* The middle dose of a rating that differs from the study's. */
static bf_status rate_middle(work *w, const bf_tank_study *study, const bf_rating_spec *rating,
                             bf_dose_point *out, bf_error *err)
{
    const bf_dose_curve_spec curve = {.dose_kg_per_m3 = &w->spec->dose_kg_per_m3[study->middle],
                                      .count = 1,
                                      .threads = w->spec->threads,
                                      .watch = begin(w, 1.0)};
    return bf_dose_curve(rating, &curve, out, NULL, err);
}

/* At a flow that may not be stated. */
static bf_status rate_at_flow(work *w, const bf_tank_study *study, double m3_per_s, int *has,
                              bf_dose_point *out, bf_error *err)
{
    bf_rating_spec rating = study->rating;
    if (isnan(m3_per_s)) {
        return BF_OK;
    }
    rating.recipe.step[0].velocity_m_per_s = m3_per_s / bf_bed_area_m2(&rating.bed);
    bf_status status = rate_middle(w, study, &rating, out, err);
    *has = status == BF_OK;
    return status;
}

/* A season whose water does not dissolve the brine has no rating, and is no failure. */
static bf_status rate_in_season(work *w, const bf_tank_study *study, double temperature_K, int *has,
                                bf_dose_point *out, bf_notes *notes, bf_error *err)
{
    bf_error inner = {0};
    bf_rating_spec rating = study->rating;
    if (fabs(temperature_K - rating.water.temperature_K) < 1e-6) {
        return BF_OK;
    }
    rating.water.temperature_K = temperature_K;
    bf_status status = rate_middle(w, study, &rating, out, &inner);
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

enum { RATINGS_OF_DRAWS = 5, RATINGS_OF_UNEVEN_FLOW = 2 }; /* stagnation.h, parallel_beds.h */

static bf_status rate_draws(work *w, bf_tank_study *out, bf_error *err)
{
    const bf_tank_study_spec *spec = w->spec;
    if (isnan(spec->stagnation.draw_bed_volumes)) {
        return BF_OK;
    }
    bf_status status = bf_stagnation_rate(&out->rating, &spec->stagnation,
                                          spec->dose_kg_per_m3[out->middle], &out->stagnation, err);
    out->has_stagnation = status == BF_OK;
    return status == BF_OK ? tell_done(w, RATINGS_OF_DRAWS, err) : status;
}

static bf_status rate_uneven(work *w, bf_tank_study *out, bf_error *err)
{
    const bf_tank_study_spec *spec = w->spec;
    if (!(spec->uneven.velocity_spread > 0.0 || spec->uneven.wall_share > 0.0)) {
        return BF_OK;
    }
    bf_status status =
        bf_parallel_beds_rate(&out->rating, &spec->uneven, spec->dose_kg_per_m3[out->middle],
                              spec->threads, &out->uneven, err);
    out->has_uneven = status == BF_OK;
    return status == BF_OK ? tell_done(w, RATINGS_OF_UNEVEN_FLOW, err) : status;
}

static bf_status rate_otherwise(work *w, bf_tank_study *out, bf_notes *notes, bf_error *err)
{
    const bf_tank_study_spec *spec = w->spec;
    bf_status status = bf_first_minutes_rate(&out->rating, spec->dose_kg_per_m3[out->least],
                                             out->sheet.rated_m3_per_s, &out->full_flow, err);
    if (status == BF_OK) {
        status = tell_done(w, 1.0, err);
    }
    if (status == BF_OK) {
        status = rate_at_flow(w, out, spec->tank->peak_m3_per_s, &out->has_peak, &out->peak, err);
    }
    if (status == BF_OK) {
        status = rate_at_flow(w, out, spec->tank->average_m3_per_s, &out->has_average,
                              &out->average, err);
    }
    if (status == BF_OK) {
        status = rate_in_season(w, out, out->sheet.cold.temperature_K, &out->has_cold, &out->cold,
                                notes, err);
    }
    if (status == BF_OK) {
        status = rate_in_season(w, out, out->sheet.warm.temperature_K, &out->has_warm, &out->warm,
                                notes, err);
    }
    if (status == BF_OK) {
        status = rate_draws(w, out, err);
    }
    return status == BF_OK ? rate_uneven(w, out, err) : status;
}

/* ---- bands ----------------------------------------------------------------------------------- */

static void take_spans(const bf_band *band, double quantile, bf_tank_dose *to)
{
    for (int q = 0; q < BF_BAND_QUANTITIES; q++) {
        const bf_band_quantity what = (bf_band_quantity)q;
        const double unfavourable = what == BF_BAND_LEAKAGE ? 1.0 - quantile : quantile;
        to->span[q] = (bf_tank_span){.low = bf_band_quantile(band, what, 0.1),
                                     .middle = bf_band_quantile(band, what, 0.5),
                                     .high = bf_band_quantile(band, what, 0.9),
                                     .practical = bf_band_quantile(band, what, unfavourable)};
    }
    to->unrated = bf_band_unrated(band);
    to->has_band = 1;
}

/* Indices that cannot be told, for too few samples have a rating, are left out. */
static bf_status take_indices(const bf_band *band, bf_tank_study *out, bf_error *err)
{
    static const bf_band_quantity of[2] = {BF_BAND_CAPACITY, BF_BAND_LEAKAGE};
    bf_status status = BF_OK;
    for (int k = 0; k < 2 && status == BF_OK; k++) {
        bf_error inner = {0};
        out->index[k] = calloc(bf_uncertain_count(), sizeof *out->index[k]);
        if (out->index[k] == NULL) {
            return bf_error_set(err, BF_E_MEMORY, "bf_tank_study_run", "no memory");
        }
        status = bf_band_indices(band, of[k], out->index[k], &out->explained[k], &inner);
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

static bf_status band_at(work *w, size_t dose, bf_tank_study *out, bf_error *err)
{
    const bf_tank_study_spec *spec = w->spec;
    bf_band_spec how = bf_band_spec_for(&out->rating);
    bf_band *band = NULL;
    if (out->dose[dose].has_band) {
        return BF_OK; /* the smallest is the largest too */
    }
    how.samples = spec->samples;
    how.dose_kg_per_m3 = spec->dose_kg_per_m3[dose];
    how.threads = spec->threads;
    how.watch = begin(w, (double)spec->samples + BF_BAND_LEAST_SAMPLES);
    bf_status status = bf_band_create(&out->rating, &how, &band, err);
    if (status == BF_OK) {
        take_spans(band, spec->quantile, &out->dose[dose]);
        if (dose == out->middle) {
            status = take_indices(band, out, err);
        }
    }
    bf_band_free(band);
    return status;
}

/* ---- what follows ---------------------------------------------------------------------------- */

static bf_status tell_dose(const bf_tank_study_spec *spec, const bf_tank_study *study,
                           bf_tank_dose *to, bf_error *err)
{
    const bf_tank_spec *tank = spec->tank;
    const bf_cycle_result *cycle = &to->point.steady.cycle;
    const double service =
        study->rating.recipe.step[0].velocity_m_per_s * bf_bed_area_m2(&study->rating.bed);
    const double usual = isnan(tank->average_m3_per_s) ? service : tank->average_m3_per_s;
    to->tank = bf_tank_rating_of(&study->rating, &to->point);
    to->run_s = to->tank.water_m3 / usual;
    to->short_run_s =
        isnan(tank->peak_m3_per_s) ? to->run_s : to->tank.water_m3 / tank->peak_m3_per_s;
    bf_recipe recipe = study->rating.recipe;
    bf_recipe_set_dose(&recipe, to->point.dose_kg_per_m3);
    to->salt_left_eq_per_m3 = bf_salt_left_eq_per_m3(&recipe, cycle);
    to->blend_share = (double)NAN;
    if (!isnan(spec->blend_eq_per_m3) && cycle->outcome == BF_RATED &&
        bf_blend_share(study->rating.water.hardness_eq_per_m3, cycle->leakage_mean_eq_per_m3,
                       spec->blend_eq_per_m3, &to->blend_share, NULL) != BF_OK) {
        to->blend_share = (double)NAN;
    }
    return sheet_at(spec, &study->rating, to->point.dose_kg_per_m3, &to->sheet, err);
}

static void caution(const bf_tank_study_spec *spec, const bf_tank_study *study, bf_notes *notes)
{
    const double worth_a_word = 0.01;
    const double average = spec->tank->average_m3_per_s;
    const double service = spec->rating->recipe.step[0].velocity_m_per_s * study->sheet.area_m2;
    const bf_tank_dose *worst = &study->dose[study->most];
    for (size_t d = 0; d < study->count; d++) {
        worst = study->dose[d].salt_left_eq_per_m3 > worst->salt_left_eq_per_m3 ? &study->dose[d]
                                                                                : worst;
    }
    const double share = worst->salt_left_eq_per_m3 / worst->point.dose_eq_per_m3;
    if (share > worth_a_word) {
        bf_notes_add(notes, BF_NOTE_CAUTION, "regeneration.fast_rinse_volume",
                     "the last rinse leaves %.2g %% of the salt in bed and freeboard (dose %.4g "
                     "g/L, %.3g lb/ft3): it comes with the first softened water; rinse longer",
                     100.0 * share, worst->point.dose_kg_per_m3,
                     worst->point.dose_kg_per_m3 / BF_KG_PER_M3_PER_LB_PER_FT3);
    }
    if (spec->protocol == BF_PROTOCOL_OWN && fabs(average / service - 1.0) > 0.1) {
        bf_notes_add(notes, BF_NOTE_CAUTION, "tank.average_flow",
                     "capacity is rated at the flow of the service, %.3g times this one: make "
                     "them one, or read the rating at average flow",
                     service / average);
    }
}

static bf_status tell_all(const bf_tank_study_spec *spec, bf_tank_study *out, bf_notes *notes,
                          bf_error *err)
{
    bf_status status = BF_OK;
    for (size_t d = 0; d < spec->count && status == BF_OK; d++) {
        status = tell_dose(spec, out, &out->dose[d], err);
    }
    if (status == BF_OK) {
        caution(spec, out, notes);
        (void)bf_criteria_of(&out->rating, &out->sheet, &out->dose[out->least].point, 1,
                             &out->full_flow, out->criterion);
    }
    return status;
}

static bf_status compute(work *w, bf_tank_study *out, bf_notes *notes, bf_error *err)
{
    bf_status status = rate_all(w, out, err);
    if (status == BF_OK) {
        status = rate_otherwise(w, out, notes, err);
    }
    const size_t banded[BANDS] = {out->least, out->middle, out->most};
    for (size_t b = 0; b < BANDS && status == BF_OK; b++) {
        status = band_at(w, banded[b], out, err);
    }
    if (status == BF_OK || status == BF_E_STOPPED) {
        const bf_status told = tell_all(w->spec, out, notes, err);
        status = told == BF_OK ? status : told;
    }
    return status;
}

bf_status bf_tank_study_run(const bf_tank_study_spec *spec, bf_tank_study *out, bf_notes *notes,
                            bf_error *err)
{
    work w = {.spec = spec,
              .total = (double)(spec->count + 2 + 5) + RATINGS_OF_DRAWS + RATINGS_OF_UNEVEN_FLOW +
                       BANDS * (double)(spec->samples + BF_BAND_LEAST_SAMPLES),
              .part = {.whole = spec->watch}};
    *out =
        (bf_tank_study){.samples = spec->samples,
                        .count = spec->count,
                        .full_flow = {.point = {.steady = {.cycle = {.outcome = BF_NOT_COMPUTED}}},
                                      .highest_eq_per_m3 = (double)NAN}};
    bf_status status = check(spec, err);
    if (status == BF_OK) {
        out->dose = calloc(spec->count, sizeof *out->dose);
        status = out->dose == NULL
                     ? bf_error_set(err, BF_E_MEMORY, "bf_tank_study_run", "no memory")
                     : BF_OK;
    }
    if (status == BF_OK) {
        order(spec, out);
        status = sheet_at(spec, spec->rating, spec->dose_kg_per_m3[out->middle], &out->sheet, err);
    }
    if (status == BF_OK) {
        status = bf_protocol_apply(spec->protocol, spec->rating, out->sheet.rated_m3_per_s,
                                   &out->rating, notes, err);
    }
    if (status == BF_OK) {
        status = compute(&w, out, notes, err);
    }
    if (status != BF_OK && status != BF_E_STOPPED) {
        bf_tank_study_free(out);
    }
    return status;
}

void bf_tank_study_free(bf_tank_study *study)
{
    free(study->dose);
    free(study->index[0]);
    free(study->index[1]);
    *study = (bf_tank_study){0};
}

/* ---- between doses --------------------------------------------------------------------------- */

/* The band of a dose over its own capacity; NAN where there is none. */
static double relative(const bf_tank_dose *of, double limit)
{
    const bf_cycle_result *cycle = &of->point.steady.cycle;
    return of->has_band && cycle->outcome == BF_RATED ? limit / cycle->capacity_eq_per_m3
                                                      : (double)NAN;
}

int bf_tank_study_span(const bf_tank_study *study, double dose_kg_per_m3, double capacity,
                       double *low, double *high)
{
    const size_t stations[BANDS] = {study->least, study->middle, study->most};
    for (size_t k = 0; k < BANDS; k++) {
        const bf_tank_dose *a = &study->dose[stations[k]];
        const bf_tank_dose *b = &study->dose[stations[k + 1 < BANDS ? k + 1 : k]];
        const double from = a->point.dose_kg_per_m3;
        const double to = b->point.dose_kg_per_m3;
        const double slack = 1e-9 * to;
        if (dose_kg_per_m3 < from - slack || dose_kg_per_m3 > to + slack) {
            continue;
        }
        const double share = to > from ? (dose_kg_per_m3 - from) / (to - from) : 0.0;
        *low = capacity * ((1.0 - share) * relative(a, a->span[BF_BAND_CAPACITY].low) +
                           share * relative(b, b->span[BF_BAND_CAPACITY].low));
        *high = capacity * ((1.0 - share) * relative(a, a->span[BF_BAND_CAPACITY].high) +
                            share * relative(b, b->span[BF_BAND_CAPACITY].high));
        return !isnan(*low) && !isnan(*high);
    }
    return 0;
}
