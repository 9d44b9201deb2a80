/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What limits a fouling bed, and since when: as expected and at either end of the range. */
#ifndef BF_REPORT_FOUL_FOUL_LIMITS_H
#define BF_REPORT_FOUL_FOUL_LIMITS_H

#include "brinefront/report.h"

typedef struct bf__limit {
    const char *name;              /* in few words */
    char text[160];                /* the same with its figure */
    const char *source;            /* of the figure; "" where the case states it */
    double day[BF_FOULING_SERIES]; /* first beyond it; 0: from the start; NAN: never */
} bf__limit;

enum { BF__LIMITS = 13 };

/* All that apply to this campaign, the earliest first, those that are never met last. */
size_t bf__foul_limits(const bf_foul_report *report, bf_unit_system units, bf__limit *out);

/* The earliest and the latest day of the three; INFINITY: never. */
double bf__limit_earliest(const bf__limit *limit);
double bf__limit_latest(const bf__limit *limit);

/* "from the start", "month 14", "never": the row of the table that shows a day first.
 * @param day  NAN or INFINITY: never */
void bf__limit_when(double day, char *text, size_t room);

#endif
