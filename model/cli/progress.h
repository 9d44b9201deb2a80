/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How much is done and how long the rest takes, on a terminal; and whether to stop. */
#ifndef BF_CLI_PROGRESS_H
#define BF_CLI_PROGRESS_H

#include "brinefront/status.h"

typedef struct progress {
    int is_shown; /* standard error is a terminal */
    double began_s, shown_s;
} progress;

void progress_begin(progress *out);
/* The watch that shows it and stops for a signal. */
bf_watch progress_watch(progress *p);
/* Wipe the line. */
void progress_end(const progress *p);

#endif
