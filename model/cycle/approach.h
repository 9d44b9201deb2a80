/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One quantity's way to its steady state, and how far it still is; equations in steady.c. */
#ifndef BF_CYCLE_APPROACH_H
#define BF_CYCLE_APPROACH_H

#include "brinefront/cycle.h"

typedef struct bf__approach {
    double tolerance;
    double last;
    double change; /* relative, of the last cycle; NAN before there is one */
    double error;  /* estimate; INFINITY until three cycles have run */
} bf__approach;

bf__approach bf__approach_start(double tolerance);
void bf__approach_follow(bf__approach *approach, double value);

/* Run a cycle, whatever it is made of, until capacity and leakage stand still. */
typedef bf_status bf__run_cycle(void *context, bf_cycle_result *out, bf_error *err);
BF_MUST_CHECK bf_status bf__steady_repeat(const bf_steady_spec *spec, bf__run_cycle *run,
                                          void *context, bf_steady_result *out, bf_error *err);

BF_MUST_CHECK bf_status bf__steady_check(const bf_steady_spec *spec, bf_error *err);

#endif
