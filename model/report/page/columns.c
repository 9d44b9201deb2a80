/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Lists of quantities printed as a table and as CSV, which has SI first. */
#include "report/page/columns.h"

#include "report/page/csv.h"

#include <math.h>

void bf__print_number(int width, int decimals, double value, FILE *out)
{
    if (isnan(value)) {
        (void)fprintf(out, "%*s", width, "-");
    } else {
        (void)fprintf(out, "%*.*f", width, decimals, value);
    }
}

void bf__print_range(int width, int decimals, double low, double high, FILE *out)
{
    char text[64] = "-";
    if (!isnan(low) && !isnan(high)) {
        (void)snprintf(text, sizeof text, "%.*f to %.*f", decimals, low, decimals, high);
    }
    (void)fprintf(out, "%*s", width, text);
}

void bf__dashes(int width, FILE *out)
{
    for (int i = 0; i < width; i++) {
        (void)fputc('-', out);
    }
    (void)fputc('\n', out);
}

void bf__column_unit(const bf__column *column, bf_unit_system units, char text[32])
{
    (void)snprintf(text, 32, "%s%s", bf__quantity_unit(column->kind, units).column,
                   column->per != NULL ? column->per : "");
}

void bf__column_print(const bf__column *column, double value, bf_unit_system units, FILE *out)
{
    const int decimals = column->decimals[units];
    const double shown = bf__quantity_show(column->kind, units, value);
    if (!column->is_signed) {
        bf__print_number(column->width, decimals, shown, out);
    } else if (isnan(shown)) {
        (void)fprintf(out, "%*s", column->width, "");
    } else {
        (void)fprintf(out, "%+*.*f", column->width, decimals, shown);
    }
}

void bf__columns_head(const bf__column *columns, size_t count, int line, bf_unit_system units,
                      FILE *out)
{
    char text[32];
    for (size_t c = 0; c < count; c++) {
        if (columns[c].width == 0) {
            continue;
        }
        if (line == 2) {
            bf__column_unit(&columns[c], units, text);
        }
        const char *head = line == 2 ? text : columns[c].head[line];
        (void)fprintf(out, "%*s", columns[c].width, head != NULL ? head : "");
    }
}

void bf__columns_print(const bf__column *columns, size_t count, const double *values,
                       bf_unit_system units, FILE *out)
{
    for (size_t c = 0; c < count; c++) {
        if (columns[c].width > 0) {
            bf__column_print(&columns[c], values[c], units, out);
        }
    }
}

void bf__columns_csv_head(const bf__column *columns, size_t count, const char *suffix, FILE *out)
{
    for (size_t c = 0; c < count; c++) {
        for (int s = BF_UNITS_SI; s >= BF_UNITS_US; s--) {
            if (columns[c].name[s] != NULL) {
                (void)fprintf(out, ",%s%s", columns[c].name[s], suffix);
            }
        }
    }
}

void bf__columns_csv(const bf__column *columns, size_t count, const double *values, FILE *out)
{
    for (size_t c = 0; c < count; c++) {
        for (int s = BF_UNITS_SI; s >= BF_UNITS_US; s--) {
            if (columns[c].name[s] != NULL) {
                bf__csv_number(bf__quantity_show(columns[c].kind, (bf_unit_system)s, values[c]),
                               out);
            }
        }
    }
}
