/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The answer to a question of size in words. */
#ifndef BF_REPORT_SIZE_SIZE_WORDS_H
#define BF_REPORT_SIZE_SIZE_WORDS_H

#include "brinefront/report.h"

/* "The least dose for a capacity" */
const char *bf__size_title(bf_size_question question);

/* The answer in a sentence, or what forbids one and the nearest that can be had. Figures are
 * rounded to BF__SIZE_DIGITS digits, to the unfavourable side. */
void bf__size_answer_print(const bf_size_report *report, bf_unit_system units, FILE *out);

/* What decides the answer, where there is one; what a rinse may cure; the common vessel; whether it
 * is nominal or practical. */
void bf__size_decided_print(const bf_size_report *report, bf_unit_system units, FILE *out);

/* The limits that the answer keeps to; nothing where the question knows none. */
void bf__size_limits_print(const bf_size_report *report, bf_unit_system units, FILE *out);

enum { BF__SIZE_DIGITS = 3 };

#endif
