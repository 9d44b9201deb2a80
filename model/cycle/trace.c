/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Moments and profiles of a cycle, kept as they come. */
#include "brinefront/trace.h"

#include <stdlib.h>
#include <string.h>

typedef struct step_trace {
    bf_trace_point *points;
    size_t count;
    size_t room;
    double *profile; /* resin fractions, then pore water: 2 x BF_CATION_COUNT x cells */
} step_trace;

struct bf_trace {
    size_t cells;
    size_t ended;
    int lost;
    step_trace step[BF_RECIPE_STEPS];
};

bf_status bf_trace_create(size_t cells, bf_trace **out, bf_error *err)
{
    bf_trace *trace = calloc(1, sizeof *trace);
    *out = NULL;
    if (trace == NULL) {
        return bf_error_set(err, BF_E_MEMORY, "bf_trace_create", "no memory for a trace");
    }
    trace->cells = cells;
    for (size_t s = 0; s < BF_RECIPE_STEPS; s++) {
        trace->step[s].profile = calloc(2 * BF_CATION_COUNT * cells, sizeof(double));
        if (trace->step[s].profile == NULL) {
            bf_trace_free(trace);
            return bf_error_set(err, BF_E_MEMORY, "bf_trace_create", "no memory for a trace");
        }
    }
    *out = trace;
    return BF_OK;
}

void bf_trace_free(bf_trace *trace)
{
    if (trace != NULL) {
        for (size_t s = 0; s < BF_RECIPE_STEPS; s++) {
            free(trace->step[s].points);
            free(trace->step[s].profile);
        }
        free(trace);
    }
}

static void keep_moment(void *observer, const bf_step *step, const bf_moment *moment)
{
    (void)step;
    bf_trace *trace = observer;
    step_trace *record = &trace->step[trace->ended];
    if (record->count == record->room) {
        size_t room = record->room == 0 ? 256 : 2 * record->room;
        bf_trace_point *grown = realloc(record->points, room * sizeof *grown);
        if (grown == NULL) {
            trace->lost = 1;
            return;
        }
        record->points = grown;
        record->room = room;
    }
    bf_trace_point *point = &record->points[record->count++];
    point->time_s = moment->time_s;
    point->bed_volumes = moment->bed_volumes;
    point->hardness_eq_per_m3 = moment->hardness_eq_per_m3;
    point->normality_eq_per_m3 = moment->normality_eq_per_m3;
    memcpy(point->effluent_eq_per_m3, moment->effluent_eq_per_m3, sizeof point->effluent_eq_per_m3);
}

static void keep_profile(void *observer, const bf_step *step, const bf_step_result *result,
                         const bf_bed *bed)
{
    (void)step, (void)result;
    bf_trace *trace = observer;
    double *profile = trace->step[trace->ended].profile;
    if (bf_bed_cell_count(bed) != trace->cells) {
        trace->lost = 1;
        return;
    }
    for (size_t i = 0; i < BF_CATION_COUNT; i++) {
        bf_bed_profile(bed, (bf_ion)i, profile + i * trace->cells,
                       profile + (BF_CATION_COUNT + i) * trace->cells);
    }
    trace->ended++;
}

void bf_trace_attach(bf_trace *trace, bf_recipe *recipe)
{
    trace->ended = 0;
    trace->lost = 0;
    for (size_t s = 0; s < BF_RECIPE_STEPS; s++) {
        trace->step[s].count = 0;
    }
    for (size_t s = 0; s < recipe->count; s++) {
        recipe->step[s].observe = keep_moment;
        recipe->step[s].finish = keep_profile;
        recipe->step[s].observer = trace;
    }
}

bf_status bf_trace_check(const bf_trace *trace, bf_error *err)
{
    if (trace->lost) {
        return bf_error_set(err, BF_E_MEMORY, "bf_trace",
                            "moments of the cycle were lost: no memory, or a bed of another shape");
    }
    return BF_OK;
}

size_t bf_trace_step_count(const bf_trace *trace)
{
    return trace->ended;
}

const bf_trace_point *bf_trace_points(const bf_trace *trace, size_t step, size_t *count)
{
    *count = trace->step[step].count;
    return trace->step[step].points;
}

bf_trace_point bf_trace_at(const bf_trace *trace, size_t step, double bed_volumes)
{
    const step_trace *record = &trace->step[step];
    size_t low = 0;
    size_t high = record->count - 1;
    if (bed_volumes <= record->points[low].bed_volumes) {
        return record->points[low];
    }
    if (bed_volumes >= record->points[high].bed_volumes) {
        return record->points[high];
    }
    while (high - low > 1) {
        size_t middle = low + (high - low) / 2;
        if (record->points[middle].bed_volumes <= bed_volumes) {
            low = middle;
        } else {
            high = middle;
        }
    }
    const bf_trace_point *a = &record->points[low];
    const bf_trace_point *b = &record->points[high];
    double share = (bed_volumes - a->bed_volumes) / (b->bed_volumes - a->bed_volumes);
    bf_trace_point between = *a;
    between.time_s += share * (b->time_s - a->time_s);
    between.bed_volumes = bed_volumes;
    between.hardness_eq_per_m3 += share * (b->hardness_eq_per_m3 - a->hardness_eq_per_m3);
    between.normality_eq_per_m3 += share * (b->normality_eq_per_m3 - a->normality_eq_per_m3);
    for (size_t i = 0; i < BF_CATION_COUNT; i++) {
        between.effluent_eq_per_m3[i] +=
            share * (b->effluent_eq_per_m3[i] - a->effluent_eq_per_m3[i]);
    }
    return between;
}

const double *bf_trace_resin_fraction(const bf_trace *trace, size_t step, bf_ion ion)
{
    return trace->step[step].profile + (size_t)ion * trace->cells;
}

const double *bf_trace_pore_eq_per_m3(const bf_trace *trace, size_t step, bf_ion ion)
{
    return trace->step[step].profile + (BF_CATION_COUNT + (size_t)ion) * trace->cells;
}
