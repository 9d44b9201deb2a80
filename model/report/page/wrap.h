/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Lines that fit a page of 80 columns, and the last column of a table. */
#ifndef BF_REPORT_PAGE_WRAP_H
#define BF_REPORT_PAGE_WRAP_H

#include <stdio.h>

/* What is printed between these two may have lines of any width: they are broken when the page is
 * passed on. Following lines start with `prefix` and an indent. The ends are marked in the text
 * itself, by control characters that no page shows. */
void bf__wrap_begin(FILE *out);
void bf__wrap_end(const char *prefix, FILE *out);

/* Print a page, lines between marks broken at spaces, without the marks. */
void bf__wrap_print(const char *text, FILE *out);

/* Print `text` from column `first` on, broken at spaces so that no line is wider than `width`; the
 * lines that follow start with `prefix`, and the last one ends here. */
void bf__print_column(const char *text, size_t first, size_t width, const char *prefix, FILE *out);

#endif
