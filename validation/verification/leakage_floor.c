/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Leakage is thousands of times smaller than the brine in the same cell: is it
 * a result, or the integrator's tolerance? Film and bead law, water of 500
 * mg/L, doses of 3 to 20 lb/ft3, at the steady cycle. */
#include "brinefront/case.h"
#include "outcome.h"
#include "rig.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

static const char *const doses[] = {"3 lb/ft3", "5 lb/ft3", "10 lb/ft3", "20 lb/ft3"};
enum { DOSES = 4, TRACE = 20000 };

static const char text[] = "title: leakage floor\n"
                           "water:\n  hardness: 500 mg/L as CaCO3\n  calcium_to_magnesium: 2\n"
                           "  sodium: 2 meq/L\n  temperature: 20 C\n"
                           "bed:\n  diameter: 0.26 m\n  depth: 0.76 m\n  freeboard: 50 %%\n"
                           "service:\n  flow: 20 BV/h\n  end_point: 17.1 mg/L as CaCO3\n"
                           "regeneration:\n  doses: [%s]\n  direction: %s\n"
                           "  brine_strength: 10 wt%%\n  brine_flow: 4 BV/h\n  brine_water: soft\n"
                           "  backwash_time: 0 min\n  slow_rinse_volume: 2 BV\n"
                           "  slow_rinse_flow: 4 BV/h\n  slow_rinse_water: soft\n"
                           "  fast_rinse_volume: 2 BV\n  fast_rinse_flow: 12 BV/h\n";

typedef struct trace {
    size_t count;
    double bed_volumes[TRACE], hardness[TRACE];
} trace;

static void keep(void *observer, const bf_step *step, const bf_moment *moment)
{
    trace *record = observer;
    (void)step;
    if (record->count < TRACE) {
        record->bed_volumes[record->count] = moment->bed_volumes;
        record->hardness[record->count] = moment->hardness_eq_per_m3;
    }
    record->count++;
}

/* One dose to its steady cycle, `finer` times the default tolerances tightened,
 * and one service more under watch. */
static bf_status settle(const char *dose, int counter, double finer, bf_cycle_result *result,
                        trace *record, bf_error *err)
{
    char draft[2000];
    bf_case *input = calloc(1, sizeof *input);
    bf_steady_result *steady = calloc(1, sizeof *steady);
    rig bed = {0};
    bf_status status = input != NULL && steady != NULL
                           ? BF_OK
                           : bf_error_set(err, BF_E_MEMORY, "settle", "memory ran out");
    TRY(status);
    int length =
        snprintf(draft, sizeof draft, text, dose, counter ? "counter-current" : "co-current");
    TRY(bf_case_read_text(draft, (size_t)length, "leakage_floor", input, NULL, err));
    bf_rating_spec *rating = &input->rating;
    bf_recipe_set_dose(&rating->recipe, input->dose_kg_per_m3[0]);
    rating->bed.relative_tolerance /= finer;
    rating->bed.hardness_tolerance_eq_per_m3 /= finer;
    rating->steady.capacity_tolerance = 1e-5;
    rating->steady.leakage_tolerance = 1e-3; /* a twentieth of the tolerance on leakage */
    bf_site site = bf_rating_site(rating);
    TRY(bf_rating_selectivity(rating, &bed.selectivity, err));
    TRY(bf_rating_bed(rating, bed.selectivity, &bed.bed, err));
    TRY(bf_steady_run(&rating->recipe, &site, &rating->steady, bed.bed, steady, err));
    record->count = 0;
    rating->recipe.step[0].observe = keep;
    rating->recipe.step[0].observer = record;
    TRY(bf_cycle_run(&rating->recipe, &site, bed.bed, result, err));
    if (record->count > TRACE) {
        status = bf_error_set(err, BF_E_MEMORY, "settle", "%zu steps are too many", record->count);
    }
done:
    rig_free(&bed);
    free(steady);
    free(input);
    return status;
}

/* First, lowest and (where there is a rating) mean leakage, default tolerances
 * against a tenth. */
static bf_status tolerances(int counter, outcome *out, bf_error *err)
{
    trace *record = calloc(1, sizeof *record);
    size_t count = 0;
    bf_status status =
        record != NULL ? BF_OK : bf_error_set(err, BF_E_MEMORY, "trace", "memory ran out");
    TRY(status);
    for (size_t d = 0; d < DOSES; d++) {
        bf_cycle_result usual;
        bf_cycle_result fine;
        TRY(settle(doses[d], counter, 1.0, &usual, record, err));
        TRY(settle(doses[d], counter, 10.0, &fine, record, err));
        outcome_add(out, (double)d, usual.leakage_first_eq_per_m3, fine.leakage_first_eq_per_m3);
        outcome_add(out, (double)d, usual.leakage_low_eq_per_m3, fine.leakage_low_eq_per_m3);
        if (fine.outcome == BF_RATED) {
            outcome_add(out, (double)d, usual.leakage_mean_eq_per_m3, fine.leakage_mean_eq_per_m3);
        }
        count += (size_t)snprintf(out->note + count, sizeof out->note - count,
                                  "%s%s: first %.3g lowest %.3g mg/L as CaCO3", d > 0 ? "; " : "",
                                  doses[d], 50.0435 * fine.leakage_first_eq_per_m3,
                                  50.0435 * fine.leakage_low_eq_per_m3);
    }
done:
    free(record);
    return status;
}

/* Through service the hardness falls to its lowest and rises again, and no more
 * than that: what log(hardness) travels, over the way down and up, less one.
 * Counted from a tenth of a bed volume on: the flow has just jumped from rinse
 * to service, and until 0.03 bed volumes the film answers that. An effluent at
 * or below zero, at any time, is NAN. */
static bf_status smoothness(int counter, outcome *out, bf_error *err)
{
    trace *record = calloc(1, sizeof *record);
    bf_status status =
        record != NULL ? BF_OK : bf_error_set(err, BF_E_MEMORY, "trace", "memory ran out");
    TRY(status);
    for (size_t d = 0; d < DOSES; d++) {
        bf_cycle_result result;
        TRY(settle(doses[d], counter, 1.0, &result, record, err));
        double travelled = 0.0;
        size_t first = 0;
        for (size_t i = 0; i < record->count; i++) {
            double now = log(record->hardness[i]); /* NAN or -inf, and no number comes of it */
            if (record->bed_volumes[i] < 0.1) {
                first = i + 1;
            }
            travelled += i > first ? fabs(now - log(record->hardness[i - 1])) : 0.0 * now;
        }
        double lowest = (double)INFINITY;
        for (size_t i = first; i < record->count; i++) {
            lowest = fmin(lowest, log(record->hardness[i]));
        }
        double way = log(record->hardness[first]) - lowest +
                     log(record->hardness[record->count - 1]) - lowest;
        outcome_add(out, (double)d, travelled / way - 1.0, 0.0);
    }
done:
    free(record);
    return status;
}

/* For the figure, and as a comparison of its own: the whole course of one
 * service, 10 lb/ft3, at both tolerances, interpolated in log(hardness) at 60
 * places up to nine tenths of the run. */
static double read_off(const trace *record, double bed_volumes)
{
    size_t i = 1;
    while (i + 1 < record->count && record->bed_volumes[i] < bed_volumes) {
        i++;
    }
    double share = (bed_volumes - record->bed_volumes[i - 1]) /
                   (record->bed_volumes[i] - record->bed_volumes[i - 1]);
    return exp(log(record->hardness[i - 1]) +
               share * (log(record->hardness[i]) - log(record->hardness[i - 1])));
}

static bf_status course(int counter, outcome *out, bf_error *err)
{
    trace *usual = calloc(1, sizeof *usual);
    trace *fine = calloc(1, sizeof *fine);
    bf_cycle_result result;
    bf_status status = usual != NULL && fine != NULL
                           ? BF_OK
                           : bf_error_set(err, BF_E_MEMORY, "trace", "memory ran out");
    TRY(status);
    TRY(settle("10 lb/ft3", counter, 1.0, &result, usual, err));
    TRY(settle("10 lb/ft3", counter, 10.0, &result, fine, err));
    double last = 0.9 * fine->bed_volumes[fine->count - 1];
    for (int k = 1; k <= 60; k++) {
        double time_s = last * k / 60.0;
        outcome_add(out, time_s, read_off(usual, time_s), read_off(fine, time_s));
    }
done:
    free(usual);
    free(fine);
    return status;
}

const comparison leakage_floor_comparisons[] = {{"co_current", tolerances, 0},
                                                {"counter_current", tolerances, 1},
                                                {"co_current_smooth", smoothness, 0},
                                                {"counter_current_smooth", smoothness, 1},
                                                {"co_current_course", course, 0},
                                                {"counter_current_course", course, 1},
                                                {NULL, NULL, 0}};
