/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What limits a fouling bed, in words. */
#ifndef BF_REPORT_FOUL_FOUL_LIMITS_H
#define BF_REPORT_FOUL_FOUL_LIMITS_H

#include "brinefront/report.h"
#include "rating/fouling/limits.h"

/* A limit of a bed as a page words it. */
typedef struct bf__worded_limit {
    bf__limit limit;
    const char *name;   /* in few words */
    const char *source; /* of the figure; "" where the case states it */
    char text[160];     /* the same with its figure */
} bf__worded_limit;

/* All that apply, the earliest first. @param out  room for BF__LIMITS  @return how many */
size_t bf__foul_limits(const bf_foul_report *report, bf_unit_system units, bf__worded_limit *out);

/* Limits, the earliest first, each with its range. */
void bf__foul_limits_print(const bf_foul_report *report, bf_unit_system units, const char *prefix,
                           FILE *out);

#endif
