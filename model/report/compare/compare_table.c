/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Cases side by side as a page for people. */
#include "report/compare/compare_columns.h"
#include "report/compare/compare_keys.h"
#include "report/compare/compare_words.h"
#include "report/page/assumptions.h"
#include "report/page/figure.h"
#include "report/page/page.h"

#include <math.h>

enum { NAME = 10 }; /* wide; with the columns of the list 80 in all */

static const char *const legend =
    "\ncapacity    per volume of resin; hardness counts as CaCO3\n"
    "holds       the same in the whole bed\n"
    "leak mean   hardness of the softened water, mean of the run\n"
    "of salt     hardness held over salt poured, by equivalents\n"
    "salt        of a regeneration of the whole bed\n"
    "waste       all water of a regeneration per hardness held\n"
    "pressure    lost in the clean bed in service, without fittings\n\n";

static void print_head(bf_unit_system units, FILE *out)
{
    for (int line = 1; line < 3; line++) {
        (void)fprintf(out, "%*s", NAME, "");
        bf__columns_head(bf__compare_columns, BF_COMPARED_COUNT, line, units, out);
        (void)fputc('\n', out);
    }
    int width = NAME;
    for (size_t q = 0; q < BF_COMPARED_COUNT; q++) {
        width += bf__compare_columns[q].width;
    }
    bf__dashes(width, out);
}

static void print_values(const bf_compared_point *point, size_t which, bf_unit_system units,
                         FILE *out)
{
    const bf_outcome outcome = point->point.steady.cycle.outcome;
    (void)fprintf(out, "%-*c", NAME, bf__compare_letter(which));
    if (outcome != BF_RATED) {
        (void)fprintf(out, "  %s\n", bf_outcome_words(outcome));
        return;
    }
    for (size_t q = 0; q < BF_COMPARED_COUNT; q++) {
        bf__column_print(&bf__compare_columns[q], point->quantity[q].value, units, out);
    }
    (void)fputc('\n', out);
}

/* "+9.7*", in percent: nothing at all where there is no band of it. */
static void print_percent(size_t quantity, double share, int is_beyond, FILE *out)
{
    const int width = bf__compare_columns[quantity].width;
    if (width == 0) {
        return;
    }
    if (isnan(share)) {
        (void)fprintf(out, "%*s", width, "");
    } else {
        /* no "-0.0" */
        const double shown = fabs(share) < 5e-4 ? 0.0 : 100.0 * share;
        (void)fprintf(out, "%+*.1f%c", width - 1, shown, is_beyond ? '*' : ' ');
    }
}

static void print_differences(const bf_compared_point *point, size_t which, int with_band,
                              FILE *out)
{
    (void)fprintf(out, "%c over A %%", bf__compare_letter(which));
    for (size_t q = 0; q < BF_COMPARED_COUNT; q++) {
        print_percent(q, point->quantity[q].difference, point->quantity[q].is_beyond, out);
    }
    (void)fputc('\n', out);
    if (!with_band) {
        return;
    }
    (void)fprintf(out, "%-*s", NAME, "     P10");
    for (size_t q = 0; q < BF_COMPARED_COUNT; q++) {
        print_percent(q, point->quantity[q].low, 0, out);
    }
    (void)fprintf(out, "\n%-*s", NAME, "     P90");
    for (size_t q = 0; q < BF_COMPARED_COUNT; q++) {
        print_percent(q, point->quantity[q].high, 0, out);
    }
    (void)fputc('\n', out);
}

static void print_doses(const bf_compare_report *report, const bf_compared_point *row,
                        bf_unit_system units, FILE *out)
{
    int all_alike = 1;
    for (size_t c = 1; c < report->cases; c++) {
        const double first = row[0].point.dose_kg_per_m3;
        all_alike = all_alike && fabs(row[c].point.dose_kg_per_m3 - first) <= 1e-6 * first;
    }
    (void)fputs("\nSalt:", out);
    for (size_t c = 0; c < (all_alike ? 1 : report->cases); c++) {
        (void)fputs(c > 0 ? "," : "", out);
        if (!all_alike) {
            (void)fprintf(out, " %c", bf__compare_letter(c));
        }
        (void)fprintf(
            out, " %s",
            bf__figure_digits(BF__QUANTITY_DOSE, units, row[c].point.dose_kg_per_m3, 4).text);
    }
    (void)fputs(all_alike ? "\n\n" : " (no dose that all cases share: the middle one of each)\n\n",
                out);
}

static void print_table(const void *context, FILE *out)
{
    const bf_compare_report *report = context;
    const bf_unit_system units = report->page[0].units;
    (void)fputs("Beds side by side, each at its steady cycle\n\n", out);
    bf__compare_cases_print(report, "", out);
    (void)fputs("\nWhat differs\n\n", out);
    bf__compare_keys_print(report, "", out);
    for (size_t d = 0; d < report->doses; d++) {
        const bf_compared_point *row = report->points + d * report->cases;
        print_doses(report, row, units, out);
        print_head(units, out);
        for (size_t c = 0; c < report->cases; c++) {
            const int has_difference =
                c > 0 && !isnan(row[c].quantity[BF_COMPARED_CAPACITY].difference);
            print_values(&row[c], c, units, out);
            if (has_difference) {
                print_differences(&row[c], c, report->samples > 0, out);
            }
        }
    }
    (void)fputs(legend, out);
    bf__compare_band_print(report, "", out);
    bf__compare_setting_print(report, "", out);
    (void)fputc('\n', out);
    bf__cautions_print("", out);
}

bf_status bf_report_compare_table(const bf_compare_report *report, FILE *out, bf_error *err)
{
    return bf__page_print(print_table, report, out, err);
}
