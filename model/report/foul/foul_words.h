/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A campaign in words: what limits the bed first, where the iron went, what the range is. */
#ifndef BF_REPORT_FOUL_FOUL_WORDS_H
#define BF_REPORT_FOUL_FOUL_WORDS_H

#include "brinefront/report.h"

/* What was computed, in one line without its end. */
void bf__foul_headline(const bf_foul_report *report, FILE *out);

/* How many cycles were skipped, and what that costs. */
void bf__foul_skips_print(const bf_foul_report *report, bf_unit_system units, const char *prefix,
                          FILE *out);

/* Where iron and manganese went. */
void bf__foul_balance_print(const bf_foul_report *report, bf_unit_system units, const char *prefix,
                            FILE *out);

/* What the range is made of, retention against its bound, advice. */
void bf__foul_remarks_print(const bf_foul_report *report, const char *prefix, FILE *out);

/* The ageing multiplier of a campaign of the three. */
double bf__foul_ageing(const bf_foul_report *report, size_t series);

#endif
