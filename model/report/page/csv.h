/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Fields of comma-separated values (RFC 4180). */
#ifndef BF_REPORT_PAGE_CSV_H
#define BF_REPORT_PAGE_CSV_H

#include <stdio.h>

/* ",1.5", or "," for a number that is not known */
void bf__csv_number(double value, FILE *out);

/* A text in quotes, which may hold commas and quotes, without a comma before it. */
void bf__csv_text(const char *text, FILE *out);

/* "# A title", where there is one. */
void bf__csv_title(const char *title, FILE *out);

#endif
