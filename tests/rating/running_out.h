/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Memory that runs out at a wanted allocation, and what the library behind points and fits reports.
 *
 * The linker sends the model's calls of malloc() and calloc() here (--wrap, see CMakeLists.txt):
 * one program includes it once. */
#ifndef BF_TESTS_RUNNING_OUT_H
#define BF_TESTS_RUNNING_OUT_H

#include "support.h"

#include <gsl/gsl_errno.h>
#include <stdio.h>

/* ---- memory that runs out ------------------------------------------------------------------- */

/* volatile: a compiler takes malloc() to leave a program's own variables alone. */
static volatile size_t allocations, fails_at; /* 0: none */

void *__real_malloc(size_t size);
void *__real_calloc(size_t count, size_t size);
void *__wrap_malloc(size_t size);
void *__wrap_calloc(size_t count, size_t size);

static int fails_now(void)
{
    size_t now = allocations + 1;
    allocations = now;
    return fails_at > 0 && now == fails_at;
}

void *__wrap_malloc(size_t size)
{
    return fails_now() ? NULL : __real_malloc(size);
}

void *__wrap_calloc(size_t count, size_t size)
{
    return fails_now() ? NULL : __real_calloc(count, size);
}

static inline void fail_at(size_t allocation)
{
    allocations = 0;
    fails_at = allocation;
}

/* ---- the library behind points and fits has nothing to report ----------------------------------
 */

static volatile int reports;

static inline void count_reports(const char *reason, const char *file, int line, int code)
{
    reports++;
    (void)printf("%s:%d: %s (%d)\n", file, line, reason, code);
}

/* Its handler is the program's own and is left alone. */
static inline void watch_reports(void)
{
    (void)gsl_set_error_handler(count_reports);
}

static inline void no_reports(void)
{
    ck_assert_int_eq(reports, 0);
    ck_assert(gsl_set_error_handler(count_reports) == count_reports);
}

#endif
