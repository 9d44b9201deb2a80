/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What every output says about how its numbers came about. */
#ifndef BF_REPORT_PAGE_ASSUMPTIONS_H
#define BF_REPORT_PAGE_ASSUMPTIONS_H

#include "brinefront/report.h"

/* Feed, bed and steps, then the notes: one fact a line, each after `prefix`. setting.c */
void bf__setting_print(const bf_page *page, bf_unit_system units, const char *prefix, FILE *out);

/* The notes alone, each on its own line. */
void bf__notes_print(const bf_notes *notes, const char *prefix, FILE *out);

/* "assumed", "deduced" or "caution" */
const char *bf__note_word(bf_note_kind kind);

/* How far a rating's numbers are from the equations' own answer. */
void bf__accuracy_print(const bf_rate_report *report, bf_unit_system units, const char *prefix,
                        FILE *out);

/* What a reader must know before acting on a number. */
void bf__cautions_print(const char *prefix, FILE *out);

/* The same under the years of a bed, whose resin does not stay sound. */
void bf__foul_cautions_print(const char *prefix, FILE *out);

/* Hardness as tables of the trade print it. */
double bf__mg_per_L_CaCO3(double eq_per_m3);

#endif
