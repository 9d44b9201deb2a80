/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Quantities as a report lists them: once, for its table, its CSV and its JSON document.
 *
 * A report has a list of columns and a function that fills the numbers of a row, in SI and in the
 * order of the list; what is printed follows from the two.
 */
#ifndef BF_REPORT_PAGE_COLUMNS_H
#define BF_REPORT_PAGE_COLUMNS_H

#include "base/quantities.h"
#include "brinefront/report.h"

#include <stdio.h>

typedef struct bf__column {
    const char *name[2]; /* in CSV and JSON, with its unit, by bf_unit_system; NULL: not there */
    bf__quantity kind;
    const char *per;     /* behind the unit of the kind in a table, such as "/yr"; NULL: nothing */
    const char *head[2]; /* in a table, above the unit; NULL: an empty line */
    int width;           /* in a table; 0: not there */
    int decimals[2];     /* in a table, by bf_unit_system */
    int is_signed;       /* nonzero: with its sign in a table, and blank where it is not known */
} bf__column;

/* A column in one line. Names are NULL where it is not there, the width 0. */
#define BF__COLUMN(us_name, si_name, upper, lower, what, behind_unit, columns_wide, us, si)        \
    {                                                                                              \
        .name = {us_name, si_name}, .kind = BF__QUANTITY_##what, .per = behind_unit,               \
        .head = {upper, lower}, .width = columns_wide, .decimals = {                               \
            us,                                                                                    \
            si                                                                                     \
        }                                                                                          \
    }

/* The unit of a column in a table, as text. */
void bf__column_unit(const bf__column *column, bf_unit_system units, char text[32]);

/* A number in the table of a page, right-aligned; "-" where it is not known. */
void bf__column_print(const bf__column *column, double value, bf_unit_system units, FILE *out);

/* A line of the head of a table, without its end: 0 and 1 names, 2 units. */
void bf__columns_head(const bf__column *columns, size_t count, int line, bf_unit_system units,
                      FILE *out);
void bf__dashes(int width, FILE *out);

/* A row of it, without its end. */
void bf__columns_print(const bf__column *columns, size_t count, const double *values,
                       bf_unit_system units, FILE *out);

/* The names and the numbers of a row of CSV, each with a comma before it, SI before U.S. units. */
void bf__columns_csv_head(const bf__column *columns, size_t count, const char *suffix, FILE *out);
void bf__columns_csv(const bf__column *columns, size_t count, const double *values, FILE *out);

/* A number of so many decimals, right-aligned; "-" where it is not known. */
void bf__print_number(int width, int decimals, double value, FILE *out);

/* "18.2 to 21.4", right-aligned; "-" where it is not known. */
void bf__print_range(int width, int decimals, double low, double high, FILE *out);

#endif
