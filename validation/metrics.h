/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From an outcome to one number, and from that number to a verdict. */
#ifndef BF_VALIDATION_METRICS_H
#define BF_VALIDATION_METRICS_H

#include "outcome.h"

/**
 * X(name, sense, meaning). Sense +1: passes when the value is at most the
 * tolerance; -1: when it is at least the tolerance.
 */
#define METRIC_TABLE(X)                                                                            \
    X(max_abs, +1, "largest |computed - reference|")                                               \
    X(max_rel, +1, "largest |computed - reference| over |reference|")                              \
    X(mean_rel, +1, "mean |computed - reference| over |reference|")                                \
    X(outside, +1,                                                                                 \
      "largest distance beyond the published range over its nearer limit; 0 "                      \
      "inside")                                                                                    \
    X(factor, +1, "largest of computed over reference and reference over computed")                \
    X(rms, +1, "root of the mean square of computed - reference")                                  \
    X(apart, -1, "largest |computed - reference|, which must not be small")                        \
    X(order, -1, "order fitted to the errors of all grids, least squares in log-log")              \
    X(last_orders, -1, "the lower of the orders of the last two pairs of grids")                   \
    X(falls, +1,                                                                                   \
      "largest error of a finer grid over the error of the coarser one before "                    \
      "it")

typedef enum metric {
#define METRIC_ENUM(name, sense, meaning) METRIC_##name,
    METRIC_TABLE(METRIC_ENUM)
#undef METRIC_ENUM
        METRIC_COUNT
} metric;

/** By name; METRIC_COUNT when there is none. */
metric metric_find(const char *name);
const char *metric_name(metric which);
const char *metric_meaning(metric which);
int metric_sense(metric which);

/** NAN where the outcome has too little: no points; fewer than four grids for
 * an order (three for last_orders, two for falls); an error that is not above
 * zero. */
double metric_value(metric which, const outcome *out);

/** NAN never passes. */
int metric_passes(metric which, double value, double tolerance);

/** Slope of log(error) against log(1/intervals): positive when errors fall. */
double metric_fitted_order(size_t count, const double *intervals, const double *error);

#endif
