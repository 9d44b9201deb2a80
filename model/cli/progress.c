/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The line of progress on a terminal: what runs, how far it is, the time left. */
#include "progress.h"

#include "signals.h"

#include <stdio.h>
#include <time.h>
#include <unistd.h>

static const double between_s = 0.2;    /* two lines */
static const double guess_from_s = 1.0; /* what is left is guessed no sooner */
static const double guess_from_share = 0.03;

static double now_s(void)
{
    struct timespec now;
    (void)clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

void progress_begin(progress *out)
{
    *out = (progress){.is_shown = isatty(STDERR_FILENO), .began_s = now_s()};
}

static void print_left(double seconds)
{
    if (seconds < 90.0) {
        (void)fprintf(stderr, ", about %.0f s left", seconds);
    } else {
        (void)fprintf(stderr, ", about %.0f min left", seconds / 60.0);
    }
}

static int tell(void *context, double share)
{
    progress *p = context;
    const double now = now_s();
    if (p->is_shown && now - p->shown_s >= between_s) {
        p->shown_s = now;
        (void)fprintf(stderr, "\rcomputing: %3.0f %% done", 100.0 * share);
        if (now - p->began_s >= guess_from_s && share >= guess_from_share) {
            print_left((now - p->began_s) * (1.0 - share) / share);
        }
        (void)fputs("\033[K", stderr);
        (void)fflush(stderr);
    }
    return signals_caught() != 0;
}

bf_watch progress_watch(progress *p)
{
    return (bf_watch){.tell = tell, .context = p};
}

void progress_end(const progress *p)
{
    if (p->is_shown && p->shown_s > 0.0) {
        (void)fputs("\r\033[K", stderr);
        (void)fflush(stderr);
    }
}
