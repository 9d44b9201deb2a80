/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The one parallel loop: jobs that know nothing of each other, side by side. */
#ifndef BF_BASE_PARALLEL_H
#define BF_BASE_PARALLEL_H

#include "brinefront/status.h"

typedef struct bf__jobs {
    size_t count;
    int threads;    /* 0: as many as there are processors; without OpenMP always one */
    bf_watch watch; /* told after each job */
    bf_status (*run)(void *context, size_t job, bf_error *err);
    void *context;
} bf__jobs;

/* Run every job once. After a job has failed none behind it starts, but those before it all run, so
 * that the failure is the same for any number of threads. After a stop none starts.
 *
 * @return BF_OK; the status and the error of the lowest job that failed; else BF_E_STOPPED where
 *         the watch asked for it, be it after the last job: what this loop is part of stops too */
BF_MUST_CHECK bf_status bf__parallel(const bf__jobs *jobs, bf_error *err);

/* A computation that is part of a longer one: its 0 .. 1 are start .. end of the whole. */
typedef struct bf__part {
    bf_watch whole;
    double start, end;
} bf__part;

/* @param part  borrowed as long as the watch is used */
bf_watch bf__watch_part(bf__part *part);

#endif
