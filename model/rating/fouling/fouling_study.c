/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Campaigns side by side, each in a thread of its own.
 *
 * A campaign does not know of the others, so that the results do not depend on the number of
 * threads.
 */
#include "brinefront/fouling_study.h"

#include "base/parallel.h"
#include "rating/fouling/checkpoint.h"

#include <math.h>
#include <pthread.h>
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
    case BF_CAMPAIGN_CAPACITY: return cycle->total_capacity_eq_per_m3;
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

/* What the threads share; all but the batch is touched behind the lock. */
typedef struct study {
    const bf_campaign_batch *batch;
    pthread_mutex_t lock;
    bf_campaign_series *series;
    bf__checkpoint checkpoint;
    double *share;          /* done of each */
    bf_campaign **campaign; /* each while it runs */
    unsigned char *is_busy; /* nonzero: a thread runs a cycle of it */
    struct timespec saved;
    double wait_s;    /* from then to the next saving */
    size_t failed;    /* the lowest campaign that failed: those behind it need not go on */
    bf_status status; /* of that one */
    bf_error error;
    int stop; /* nonzero: the watch asked for it, or nothing can be saved */
    bf_status save_status;
    bf_error save_error;
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

/* The last cycle behind a campaign, skipped ones counted. */
static size_t last_cycle(const bf_campaign_series *series)
{
    return series->count > 0 ? series->cycle[series->count - 1].cycle : 0;
}

static double share_of(const study *s, size_t k)
{
    return s->series[k].state == BF_CAMPAIGN_RUNS
               ? (double)last_cycle(&s->series[k]) / (double)s->batch->spec[k].cycles
               : 1.0;
}

/* Tell how far all are. */
static void tell(study *s)
{
    double sum = 0.0;
    for (size_t k = 0; k < s->batch->count; k++) {
        sum += s->share[k];
    }
    const bf_watch *watch = &s->batch->watch;
    if (watch->tell != NULL && watch->tell(watch->context, sum / (double)s->batch->count) != 0) {
        s->stop = 1;
    }
}

/* Save the state when it is time. */
static void save(study *s, int now)
{
    struct timespec time;
    (void)clock_gettime(CLOCK_MONOTONIC, &time);
    const double since_s =
        (double)(time.tv_sec - s->saved.tv_sec) + 1e-9 * (double)(time.tv_nsec - s->saved.tv_nsec);
    if (s->batch->save == NULL || s->save_status != BF_OK || (!now && since_s < s->wait_s)) {
        return;
    }
    s->saved = time;
    s->wait_s = s->batch->save_every_s;
    s->save_status = bf__checkpoint_save(&s->checkpoint, s->series, &s->save_error);
    s->stop = s->stop || s->save_status != BF_OK;
}

/* Tell from where saved campaigns go on; nothing where there were none or nothing is left. */
static void tell_resumed(const study *s)
{
    size_t cycle = 0;
    size_t most = 0;
    int is_left = 0;
    for (size_t k = 0; k < s->batch->count; k++) {
        const bf_campaign_series *series = &s->series[k];
        const size_t last = last_cycle(series);
        cycle = k == 0 || last < cycle ? last : cycle;
        most = last > most ? last : most;
        is_left =
            is_left || (last < s->batch->spec[k].cycles && series->state != BF_CAMPAIGN_SPENT);
    }
    if (most > 0 && is_left && s->batch->resumed != NULL) {
        s->batch->resumed(s->batch->context, cycle + 1);
    }
}

/* A cycle of a campaign into its series, the checkpoint and the ears of whoever waits. */
static bf_status add_cycle(study *s, size_t k, const bf_campaign *campaign,
                           const bf_campaign_cycle *cycle, bf_error *err)
{
    bf_campaign_series *series = &s->series[k];
    bf_status status = make_room(series, err);
    if (status == BF_OK) {
        series->cycle[series->count++] = *cycle;
        series->state = bf_campaign_state_of(campaign);
        s->share[k] = share_of(s, k);
        status = bf__checkpoint_take(&s->checkpoint, k, campaign, err);
        save(s, 0);
        tell(s);
    }
    return status;
}

enum { NO_CAMPAIGN = -1 };

/* Which campaign has its next cycle now: the first that is left; together, the one least far. */
static long pick(const study *s)
{
    long next = NO_CAMPAIGN;
    for (size_t k = 0; k < s->failed && !s->stop; k++) {
        const int is_left = !s->is_busy[k] && s->series[k].state == BF_CAMPAIGN_RUNS &&
                            last_cycle(&s->series[k]) < s->batch->spec[k].cycles;
        if (is_left &&
            (next == NO_CAMPAIGN || (s->batch->together && s->share[k] < s->share[next]))) {
            next = (long)k;
        }
    }
    return next;
}

/* Make it, where this is its first cycle here. */
static bf_status begin(study *s, size_t k, bf_error *err)
{
    if (s->campaign[k] != NULL) {
        return BF_OK;
    }
    bf_status status = bf_campaign_create(&s->batch->spec[k], &s->campaign[k], err);
    return status == BF_OK ? bf__checkpoint_restore(&s->checkpoint, k, s->campaign[k], err)
                           : status;
}

/* One cycle of a campaign; the lock is held before and after. */
static void advance(study *s, size_t k)
{
    bf_error own = {0};
    bf_campaign_cycle cycle;
    s->is_busy[k] = 1;
    (void)pthread_mutex_unlock(&s->lock);
    bf_status status = begin(s, k, &own);
    status = status == BF_OK ? bf_campaign_next(s->campaign[k], &cycle, &own) : status;
    (void)pthread_mutex_lock(&s->lock);
    s->is_busy[k] = 0;
    if (status == BF_OK) {
        status = add_cycle(s, k, s->campaign[k], &cycle, &own);
    }
    if (status != BF_OK && k < s->failed) {
        s->failed = k;
        s->status = status;
        s->error = own;
    }
    if (s->series[k].state != BF_CAMPAIGN_RUNS || status != BF_OK) {
        bf_campaign_free(s->campaign[k]);
        s->campaign[k] = NULL;
    }
}

/* A thread runs cycles until none is left that another does not run. */
static bf_status run_cycles(void *context, size_t job, bf_error *err)
{
    study *s = context;
    (void)job;
    (void)err;
    (void)pthread_mutex_lock(&s->lock);
    for (long k = pick(s); k != NO_CAMPAIGN; k = pick(s)) {
        advance(s, (size_t)k);
    }
    (void)pthread_mutex_unlock(&s->lock);
    return BF_OK;
}

static bf_status run_all(study *s, bf_error *err)
{
    const bf__jobs jobs = {
        .count = s->batch->count, .threads = s->batch->threads, .run = run_cycles, .context = s};
    for (size_t k = 0; k < s->batch->count; k++) {
        s->share[k] = share_of(s, k);
    }
    save(s, 1); /* a place that cannot be written shows at once */
    s->wait_s = s->batch->save_every_s / 3.0;
    bf_status status = BF_OK;
    if (s->save_status == BF_OK) {
        tell_resumed(s);
        status = bf__parallel(&jobs, err);
        if (status == BF_OK && s->status != BF_OK) {
            status = s->status;
            if (err != NULL) {
                *err = s->error;
            }
        }
    }
    if (status == BF_OK) {
        save(s, 1);
    }
    if (s->save_status != BF_OK) {
        if (err != NULL) {
            *err = s->save_error;
        }
        return s->save_status;
    }
    int is_left = 0;
    for (size_t k = 0; k < s->batch->count; k++) {
        is_left = is_left || s->series[k].state == BF_CAMPAIGN_RUNS;
    }
    return status == BF_OK && is_left ? bf_error_set(err, BF_E_STOPPED, "campaign",
                                                     "the campaigns were stopped before their end")
                                      : status;
}

bf_status bf_campaign_batch_run(const bf_campaign_batch *batch, bf_campaign_series *series,
                                bf_error *err)
{
    study s = {.batch = batch, .series = series, .failed = batch->count};
    bf_status status = BF_OK;
    memset(series, 0, batch->count * sizeof *series);
    for (size_t k = 0; k < batch->count && status == BF_OK; k++) {
        status = bf_campaign_spec_check(&batch->spec[k], err);
    }
    if (status != BF_OK || batch->count == 0) {
        return status;
    }
    s.share = calloc(batch->count, sizeof *s.share);
    s.campaign = calloc(batch->count, sizeof *s.campaign);
    s.is_busy = calloc(batch->count, sizeof *s.is_busy);
    if (s.share == NULL || s.campaign == NULL || s.is_busy == NULL ||
        pthread_mutex_init(&s.lock, NULL) != 0) {
        status = bf_error_set(err, BF_E_MEMORY, "bf_campaign_batch_run", "no memory");
        goto done;
    }
    status = bf__checkpoint_open(&s.checkpoint, batch, series, err);
    status = status == BF_OK ? run_all(&s, err) : status;
    bf__checkpoint_close(&s.checkpoint);
    for (size_t k = 0; k < batch->count; k++) {
        bf_campaign_free(s.campaign[k]);
    }
    (void)pthread_mutex_destroy(&s.lock);
done:
    free(s.is_busy);
    free(s.campaign);
    free(s.share);
    return status;
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
