/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Lines that fit a page of 80 columns, and the last column of a table. */
#ifndef BF_REPORT_PAGE_WRAP_H
#define BF_REPORT_PAGE_WRAP_H

#include <stdio.h>

typedef struct bf__wrap {
    FILE *lines;
    char *text;
    size_t length;
} bf__wrap;

/* Where to print lines of any width; `out` itself when memory is short. */
FILE *bf__wrap_open(bf__wrap *to, FILE *out);

/* Break what was printed at spaces and pass it on; following lines start with `prefix` and an
 * indent. */
void bf__wrap_close(bf__wrap *from, const char *prefix, FILE *out);

/* Print `text` from column `from` on, broken at spaces so that no line is wider than `to`; the
 * lines that follow start with `prefix`, and the last one ends here. */
void bf__print_column(const char *text, size_t from, size_t to, const char *prefix, FILE *out);

#endif
