/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The quantities of a ranking of changes, and what it comes to. */
#ifndef BF_REPORT_WHAT_IF_WHAT_IF_H
#define BF_REPORT_WHAT_IF_WHAT_IF_H

#include "report/page/columns.h"

enum { BF__WHAT_IF_COLUMNS = 8 };
extern const bf__column bf__what_if_columns[BF__WHAT_IF_COLUMNS];

/* A row of them: the bed at the end of its years, and what it gained. */
void bf__what_if_values(const bf_campaign_spec *spec, const bf_fouling_end *end,
                        double gain_eq_per_m3, double values[BF__WHAT_IF_COLUMNS]);

/* Nonzero where the bed, or any change of it, takes chemicals. */
int bf__what_if_names_chemicals(const bf_what_if_report *report);

/* Nonzero where even the best change leaves less than four fifths of the new bed's capacity. */
int bf__what_if_nothing_helps(const bf_what_if_report *report);

/* A change in words, in the units of a page. */
enum { BF__WHAT_IF_WORDS = 120 };
void bf__what_if_change(const bf_what_if_report *report, const bf_what_if *row,
                        bf_unit_system units, char text[BF__WHAT_IF_WORDS]);

/* What helps most, and advice where nothing does or where iron is too much for a bed. */
void bf__what_if_words(const bf_what_if_report *report, bf_unit_system units, const char *prefix,
                       FILE *out);

#endif
