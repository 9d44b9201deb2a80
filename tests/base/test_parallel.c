/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The parallel loop: every job once, the same failure for any number of threads, a stop that is
 * kept, shares that are told one at a time. */
#include "base/parallel.h"
#include "support.h"

#include <stdatomic.h>
#include <string.h>
#include <time.h>

enum { JOBS = 40, THREAD_COUNTS = 3 };
static const int thread_counts[THREAD_COUNTS] = {1, 3, 0};

typedef struct work {
    atomic_int runs[JOBS];
    size_t fails[2]; /* JOBS: none */
    /* of the watch */
    atomic_int inside;
    int calls, overlaps, falls;
    double last_share;
    int stop_after; /* calls; 0: never */
} work;

static work new_work(void)
{
    return (work){.fails = {JOBS, JOBS}};
}

static void pause_ms(long ms)
{
    const struct timespec time = {.tv_nsec = ms * 1000000L};
    (void)nanosleep(&time, NULL);
}

static bf_status run(void *context, size_t job, bf_error *err)
{
    work *w = context;
    atomic_fetch_add(&w->runs[job], 1);
    if (job == w->fails[0]) {
        pause_ms(20); /* the other one fails meanwhile */
    }
    if (job == w->fails[0] || job == w->fails[1]) {
        return bf_error_set(err, job == w->fails[0] ? BF_E_SOLVER : BF_E_RANGE, "job",
                            "job %zu fails", job);
    }
    pause_ms(1);
    return BF_OK;
}

static int see(void *context, double share)
{
    work *w = context;
    w->overlaps += atomic_fetch_add(&w->inside, 1) != 0;
    w->calls++;
    w->falls += !(share > w->last_share && share <= 1.0);
    w->last_share = share;
    atomic_fetch_sub(&w->inside, 1);
    return w->stop_after > 0 && w->calls >= w->stop_after;
}

static bf__jobs jobs_of(work *w, int threads)
{
    return (bf__jobs){
        .count = JOBS, .threads = threads, .watch = {see, w}, .run = run, .context = w};
}

START_TEST(every_job_runs_once_and_is_told_once)
{
    bf_error err = {0};
    for (size_t t = 0; t < THREAD_COUNTS; t++) {
        work w = new_work();
        const bf__jobs jobs = jobs_of(&w, thread_counts[t]);
        assert_ok(bf__parallel(&jobs, &err));
        for (size_t job = 0; job < JOBS; job++) {
            ck_assert_int_eq(w.runs[job], 1);
        }
        ck_assert_int_eq(w.calls, JOBS);
        ck_assert_int_eq(w.overlaps, 0);
        ck_assert_int_eq(w.falls, 0);
        ck_assert_double_eq(w.last_share, 1.0);
    }
}
END_TEST

START_TEST(the_lowest_failure_is_the_one_reported)
{
    for (size_t t = 0; t < THREAD_COUNTS; t++) {
        bf_error err = {0};
        work w = new_work();
        w.fails[0] = 5;
        w.fails[1] = 6;
        const bf__jobs jobs = jobs_of(&w, thread_counts[t]);
        assert_fails(bf__parallel(&jobs, &err), BF_E_SOLVER, "job 5 fails");
        for (size_t job = 0; job <= 5; job++) {
            ck_assert_int_eq(w.runs[job], 1);
        }
        ck_assert_int_eq(w.runs[JOBS - 1], 0);
        w = new_work();
        w.fails[1] = 0;
        ck_assert_int_eq(bf__parallel(&jobs, NULL), BF_E_RANGE);
    }
}
END_TEST

START_TEST(a_stop_is_kept)
{
    for (size_t t = 0; t < THREAD_COUNTS; t++) {
        bf_error err = {0};
        work w = new_work();
        w.stop_after = 4;
        const bf__jobs jobs = jobs_of(&w, thread_counts[t]);
        assert_fails(bf__parallel(&jobs, &err), BF_E_STOPPED, "of 40 runs");
        ck_assert_int_ge(w.calls, 4);
        ck_assert_int_eq(w.runs[JOBS - 1], 0);
        if (thread_counts[t] == 1) {
            ck_assert_int_eq(w.calls, 4);
            ck_assert_str_eq(err.message, "stopped after 4 of 40 runs");
        }
    }
}
END_TEST

START_TEST(a_failure_counts_before_a_stop_and_a_stop_after_the_last_job_counts)
{
    bf_error err = {0};
    work w = new_work();
    w.stop_after = 3;
    w.fails[1] = 2;
    bf__jobs jobs = jobs_of(&w, 1);
    assert_fails(bf__parallel(&jobs, &err), BF_E_RANGE, "job 2 fails");
    w = new_work();
    w.stop_after = JOBS;
    assert_fails(bf__parallel(&jobs, &err), BF_E_STOPPED, "stopped after 40 of 40 runs");
    jobs.count = 0;
    assert_ok(bf__parallel(&jobs, &err));
}
END_TEST

START_TEST(a_part_tells_its_share_of_the_whole)
{
    work w = new_work();
    bf__part part = {.whole = {see, &w}, .start = 0.25, .end = 0.75};
    const bf_watch watch = bf__watch_part(&part);
    ck_assert_int_eq(watch.tell(watch.context, 0.5), 0);
    ck_assert_double_eq(w.last_share, 0.5);
    w.stop_after = 1;
    ck_assert_int_eq(watch.tell(watch.context, 2.0), 1);
    ck_assert_double_eq(w.last_share, 0.75);
    bf__part unwatched = {.start = 0.0, .end = 1.0};
    ck_assert(bf__watch_part(&unwatched).tell == NULL);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {
        every_job_runs_once_and_is_told_once, the_lowest_failure_is_the_one_reported,
        a_stop_is_kept, a_failure_counts_before_a_stop_and_a_stop_after_the_last_job_counts,
        a_part_tells_its_share_of_the_whole};
    return support_run("base.parallel", tests, sizeof tests / sizeof *tests, 20);
}
