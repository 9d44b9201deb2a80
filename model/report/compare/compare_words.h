/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a comparison says besides its numbers. */
#ifndef BF_REPORT_COMPARE_COMPARE_WORDS_H
#define BF_REPORT_COMPARE_COMPARE_WORDS_H

#include "brinefront/report.h"

/* Each case with its letter, file and title. */
void bf__compare_cases_print(const bf_compare_report *report, const char *prefix, FILE *out);

/* The keys that differ, each with what it is in every case. */
void bf__compare_keys_print(const bf_compare_report *report, const char *prefix, FILE *out);

/* What the band of a difference is, and what it leaves out. */
void bf__compare_band_print(const bf_compare_report *report, const char *prefix, FILE *out);

/* Grids, and where to find what each case assumes. */
void bf__compare_setting_print(const bf_compare_report *report, const char *prefix, FILE *out);

#endif
