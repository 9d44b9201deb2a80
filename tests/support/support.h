/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What every test needs: comparing numbers so that a miss prints both, and running one suite. */
#ifndef BF_TESTS_SUPPORT_H
#define BF_TESTS_SUPPORT_H

#include "brinefront/status.h"

#include <check.h>
#include <stdlib.h>

/** Nonzero when |a - b| <= absolute + relative |b|; NaN is never near. Prints both on a miss. */
int support_near(double actual, double expected, double relative, double absolute,
                 const char *expression, const char *file, int line);

/** ck_assert with a relative tolerance; every use says beside it where the tolerance comes from. */
#define assert_near(actual, expected, relative)                                                    \
    ck_assert_msg(                                                                                 \
        support_near((actual), (expected), (relative), 0.0, #actual, __FILE__, __LINE__),          \
        #actual " is not near " #expected)

#define assert_near_abs(actual, expected, absolute)                                                \
    ck_assert_msg(                                                                                 \
        support_near((actual), (expected), 0.0, (absolute), #actual, __FILE__, __LINE__),          \
        #actual " is not near " #expected)

/** The call returns BF_OK; on a miss the error's own sentence is shown. `err` must be in scope. */
#define assert_ok(call)                                                                            \
    do {                                                                                           \
        bf_status status_ = (call);                                                                \
        ck_assert_msg(status_ == BF_OK, "%s: %s (%s)", #call, err.message, err.where);             \
    } while (0)

/** The call returns `code` and its sentence contains `part`. `err` must be in scope. */
#define assert_fails(call, expected_code, part)                                                    \
    do {                                                                                           \
        bf_status status_ = (call);                                                                \
        ck_assert_msg(status_ == (expected_code), "%s returned %s", #call,                         \
                      bf_status_name(status_));                                                    \
        ck_assert_msg(strstr(err.message, (part)) != NULL, "\"%s\" does not contain \"%s\"",       \
                      err.message, (part));                                                        \
    } while (0)

/** Nonzero: item `index` of a long list is looked at in this run. All are, unless tests/run.sh runs a
 *  sample (BF_SEED in the environment) of a test that is sampled (BF_SAMPLE=N): then every Nth. */
int support_sampled(size_t index);

/** Run one test case of many functions; returns what main() returns. */
int support_run(const char *name, const TTest *const *tests, size_t count, double timeout_s);

/** A small reproducible generator of numbers in [0, 1): splitmix64. */
double support_uniform(unsigned long long *seed);

#endif
