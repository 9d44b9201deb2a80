/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Campaigns side by side, each in a thread of its own.
 *
 * A campaign does not know of the others, so that the results do not depend on the number of
 * threads.
 */
#include "brinefront/fouling_study.h"

#include "rating/fouling/checkpoint.h"

#include <math.h>
#ifdef _OPENMP
#include <omp.h>
#endif
#include <stdlib.h>
#include <string.h>
#include <time.h>

void bf_campaign_series_free(bf_campaign_series *series)
{
    free(series->cycle);
    *series = (bf_campaign_series){0};
}

/* ---- reading a series ------------------------------------------------------------------------ */

static double value_of(const bf_campaign_cycle *cycle, bf_campaign_quantity what)
{
    switch (what) {
    case BF_CAMPAIGN_POTENTIAL: return cycle->potential_eq_per_m3;
    case BF_CAMPAIGN_CAPACITY: return cycle->capacity_eq_per_m3;
    case BF_CAMPAIGN_HARDNESS: return cycle->hardness_mean_eq_per_m3;
    case BF_CAMPAIGN_IRON: return cycle->iron_mean_g_per_m3;
    case BF_CAMPAIGN_MANGANESE: return cycle->manganese_mean_g_per_m3;
    case BF_CAMPAIGN_PRESSURE: return cycle->pressure_ratio;
    case BF_CAMPAIGN_LOOSE: return cycle->loose_kg_per_m3;
    case BF_CAMPAIGN_BOUND: return cycle->bound_kg_per_m3;
    case BF_CAMPAIGN_BOUND_TOP: return cycle->bound_top_kg_per_m3;
    case BF_CAMPAIGN_RETENTION: return cycle->retention;
    case BF_CAMPAIGN_MOISTURE: return cycle->moisture;
    case BF_CAMPAIGN_ALKALINITY: return cycle->alkalinity_low_eq_per_m3;
    case BF_CAMPAIGN_QUANTITIES: break;
    }
    return (double)NAN;
}

double bf_campaign_series_at(const bf_campaign_series *series, bf_campaign_quantity what,
                             double day)
{
    double before_day = (double)NAN;
    double before = (double)NAN;
    for (size_t k = 0; k < series->count; k++) {
        const bf_campaign_cycle *cycle = &series->cycle[k];
        const double value = value_of(cycle, what);
        if (isnan(value)) {
            continue;
        }
        if (cycle->day >= day) {
            return isnan(before)
                       ? value
                       : before + (value - before) * (day - before_day) / (cycle->day - before_day);
        }
        before_day = cycle->day;
        before = value;
    }
    return before;
}

/* ---- running --------------------------------------------------------------------------------- */

/* What the threads share. */
typedef struct study {
    const bf_campaign_batch *batch;
    bf_campaign_series *series;
    bf__checkpoint checkpoint;
    double *share; /* done of each */
    struct timespec written;
    double wait_s; /* from then to the next writing */
    bf_status status;
    bf_error *err;
} study;

static bf_status make_room(bf_campaign_series *series, bf_error *err)
{
    /* Room doubles as the count passes each power of two. */
    if (series->count == 0 || (series->count & (series->count - 1)) == 0) {
        const size_t room = series->count == 0 ? 1 : 2 * series->count;
        bf_campaign_cycle *cycle = realloc(series->cycle, room * sizeof *cycle);
        if (cycle == NULL) {
            return bf_error_set(err, BF_E_MEMORY, "bf_campaign_batch_run",
                                "no memory for %zu cycles", room);
        }
        series->cycle = cycle;
    }
    return BF_OK;
}

/* Tell how far all are. */
static void tell(const study *s)
{
    double sum = 0.0;
    for (size_t k = 0; k < s->batch->count; k++) {
        sum += s->share[k];
    }
    if (s->batch->progress != NULL) {
        s->batch->progress(s->batch->context, sum / (double)s->batch->count);
    }
}

/* Write the checkpoint when it is time. */
static bf_status store(study *s, int now, bf_error *err)
{
    struct timespec time;
    (void)clock_gettime(CLOCK_MONOTONIC, &time);
    const double since = (double)(time.tv_sec - s->written.tv_sec) +
                         1e-9 * (double)(time.tv_nsec - s->written.tv_nsec);
    if (s->batch->checkpoint == NULL || (!now && since < s->wait_s)) {
        return BF_OK;
    }
    s->written = time;
    s->wait_s = s->batch->checkpoint_every_s;
    return bf__checkpoint_write(&s->checkpoint, s->series, s->batch->checkpoint, err);
}

/* Tell from where a checkpoint goes on; nothing where there was none or nothing is left. */
static void tell_resumed(const study *s)
{
    size_t cycle = 0;
    size_t most = 0;
    int is_left = 0;
    for (size_t k = 0; k < s->batch->count; k++) {
        const bf_campaign_series *of = &s->series[k];
        const size_t last = of->count > 0 ? of->cycle[of->count - 1].cycle : 0;
        cycle = k == 0 || last < cycle ? last : cycle;
        most = last > most ? last : most;
        is_left = is_left || (last < s->batch->spec[k].cycles && of->state != BF_CAMPAIGN_SPENT);
    }
    if (most > 0 && is_left && s->batch->resumed != NULL) {
        s->batch->resumed(s->batch->context, cycle + 1);
    }
}

static bf_status start(const study *s, size_t k, bf_campaign **out, bf_error *err)
{
    bf_status status = bf_campaign_create(&s->batch->spec[k], out, err);
    return status == BF_OK ? bf__checkpoint_restore(&s->checkpoint, k, *out, err) : status;
}

/* Where a campaign stands, for the checkpoint and whoever waits. */
static void note_share(study *s, size_t k, const bf_campaign *campaign)
{
    bf_campaign_series *series = &s->series[k];
    series->state = bf_campaign_state_of(campaign);
    s->share[k] = 1.0;
    if (series->state == BF_CAMPAIGN_RUNS) {
        s->share[k] = series->count > 0 ? (double)series->cycle[series->count - 1].cycle /
                                              (double)s->batch->spec[k].cycles
                                        : 0.0;
    }
}

static bf_status run_one(study *s, size_t k)
{
    bf_error own = {0};
    bf_campaign *campaign = NULL;
    bf_campaign_series *series = &s->series[k];
    bf_campaign_cycle next;
    bf_status status = start(s, k, &campaign, &own);
    int goes_on = status == BF_OK;
#pragma omp critical(bf_fouling_study)
    if (goes_on) {
        note_share(s, k, campaign);
    }
    while (goes_on && bf_campaign_state_of(campaign) == BF_CAMPAIGN_RUNS) {
        status = bf_campaign_next(campaign, &next, &own);
#pragma omp critical(bf_fouling_study)
        {
            status = status == BF_OK ? make_room(series, &own) : status;
            if (status == BF_OK) {
                series->cycle[series->count++] = next;
                note_share(s, k, campaign);
                status = bf__checkpoint_take(&s->checkpoint, k, campaign, &own);
                status = status == BF_OK ? store(s, 0, &own) : status;
                tell(s);
            }
            goes_on = status == BF_OK && s->status == BF_OK; /* another's failure ends all */
        }
    }
    bf_campaign_free(campaign);
#pragma omp critical(bf_fouling_study)
    {
        if (status != BF_OK && s->status == BF_OK) {
            s->status = status;
            if (s->err != NULL) {
                *s->err = own;
            }
        }
    }
    return status;
}

bf_status bf_campaign_batch_run(const bf_campaign_batch *batch, bf_campaign_series *series,
                                bf_error *err)
{
    study s = {.batch = batch, .series = series, .err = err};
    memset(series, 0, batch->count * sizeof *series);
    for (size_t k = 0; k < batch->count && s.status == BF_OK; k++) {
        s.status = bf_campaign_spec_check(&batch->spec[k], err);
    }
    if (s.status != BF_OK || batch->count == 0) {
        return s.status;
    }
    s.share = calloc(batch->count, sizeof *s.share);
    if (s.share == NULL) {
        return bf_error_set(err, BF_E_MEMORY, "bf_campaign_batch_run", "no memory");
    }
    s.status = bf__checkpoint_open(&s.checkpoint, batch, series, err);
    if (s.status == BF_OK) {
        s.status = store(&s, 1, err); /* a place that cannot be written shows at once */
    }
    if (s.status == BF_OK) {
        int threads = batch->threads > 0 ? batch->threads : 1;
#ifdef _OPENMP
        threads = batch->threads > 0 ? batch->threads : omp_get_num_procs();
#endif
        s.wait_s = batch->checkpoint_every_s / 3.0;
        tell_resumed(&s);
#pragma omp parallel for schedule(dynamic, 1) num_threads(threads)
        for (size_t k = 0; k < batch->count; k++) {
            int goes_on;
#pragma omp critical(bf_fouling_study)
            goes_on = s.status == BF_OK;
            if (goes_on) {
                (void)run_one(&s, k);
            }
        }
        if (s.status == BF_OK) {
            s.status = store(&s, 1, err);
        }
    }
    bf__checkpoint_close(&s.checkpoint);
    free(s.share);
    return s.status;
}

void bf_fouling_range(const bf_campaign_spec *spec, bf_campaign_spec out[BF_FOULING_SERIES])
{
    for (size_t k = 0; k < bf_iron_parameter_count(); k++) {
        const bf_iron_parameter parameter = bf_iron_parameter_get(k);
        if (strcmp(parameter.name, "ageing_factor") == 0) {
            for (int s = 0; s < BF_FOULING_SERIES; s++) {
                out[s] = *spec;
            }
            bf_iron_spec_set(&out[BF_FOULING_LOW].iron, k, parameter.low);
            bf_iron_spec_set(&out[BF_FOULING_HIGH].iron, k, parameter.high);
        }
    }
}
