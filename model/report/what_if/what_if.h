/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a ranking of changes comes to. */
#ifndef BF_REPORT_WHAT_IF_WHAT_IF_H
#define BF_REPORT_WHAT_IF_WHAT_IF_H

#include "brinefront/report.h"

/* Nonzero where the bed, or any change of it, takes chemicals. */
int bf__what_if_names_chemicals(const bf_what_if_report *report);

/* Nonzero where even the best change leaves less than four fifths of the new bed's capacity. */
int bf__what_if_nothing_helps(const bf_what_if_report *report);

/* What helps most, and advice where nothing does or where iron is too much for a bed. */
/* A change in words, in the units of a page. */
const char *bf__what_if_change(const bf_what_if *row, bf_unit_system units);

void bf__what_if_words(const bf_what_if_report *report, bf_unit_system units, const char *prefix,
                       FILE *out);

#endif
