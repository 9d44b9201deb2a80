/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The one parallel loop: jobs that know nothing of each other, side by side. */
#include "base/parallel.h"

#include <math.h>

#ifdef _OPENMP
#include <omp.h>
#define OMP(words) _Pragma(#words)
#else
#define OMP(words)
#endif

/* How far a run of jobs has come: changed by one thread at a time. */
typedef struct tally {
    size_t done;
    size_t failed; /* the lowest job that failed; the count while none has */
    int stop;
    bf_status status;
} tally;

static int may_start(const tally *state, size_t job)
{
    return !state->stop && job < state->failed;
}

static void finish(const bf__jobs *jobs, size_t job, bf_status status, const bf_error *own,
                   tally *state, bf_error *err)
{
    if (status != BF_OK && job < state->failed) {
        state->failed = job;
        state->status = status;
        if (err != NULL) {
            *err = *own;
        }
    }
    state->done++;
    const double share = (double)state->done / (double)jobs->count;
    if (jobs->watch.tell != NULL && jobs->watch.tell(jobs->watch.context, share) != 0) {
        state->stop = 1;
    }
}

bf_status bf__parallel(const bf__jobs *jobs, bf_error *err)
{
    tally state = {.failed = jobs->count};
#ifdef _OPENMP
    const int threads = jobs->threads > 0 ? jobs->threads : omp_get_num_procs();
#endif
    OMP(omp parallel for schedule(dynamic, 1) num_threads(threads))
    for (size_t job = 0; job < jobs->count; job++) {
        bf_error own = {0};
        int starts;
        OMP(omp critical(bf__parallel))
        starts = may_start(&state, job);
        if (starts) {
            const bf_status status = jobs->run(jobs->context, job, &own);
            OMP(omp critical(bf__parallel))
            finish(jobs, job, status, &own, &state, err);
        }
    }
    if (state.status == BF_OK && state.stop) {
        return bf_error_set(err, BF_E_STOPPED, "watch", "stopped after %zu of %zu runs", state.done,
                            jobs->count);
    }
    return state.status;
}

static int tell_whole(void *context, double share)
{
    const bf__part *part = context;
    return part->whole.tell(part->whole.context,
                            fmin(part->start + share * (part->end - part->start), part->end));
}

bf_watch bf__watch_part(bf__part *part)
{
    return part->whole.tell == NULL ? (bf_watch){0} : (bf_watch){tell_whole, part};
}
