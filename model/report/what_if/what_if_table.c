/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Changes ranked by what they leave of the bed, as a table for people. */
#include "rating/fouling/years.h"
#include "report/campaign/campaign_setting.h"
#include "report/page/assumptions.h"
#include "report/page/figure.h"
#include "report/page/page.h"
#include "report/page/wrap.h"
#include "report/what_if/what_if.h"

#include <math.h>

enum { TEXT_FROM = 66, TEXT_TO = 110 };

static void print_row(const bf_what_if_report *report, const bf_fouling_end *end, double gain,
                      const char *change, bf_unit_system units, FILE *out)
{
    double values[BF__WHAT_IF_COLUMNS];
    char text[200];
    bf__what_if_values(report->spec, end, gain, values);
    bf__columns_print(bf__what_if_columns, BF__WHAT_IF_COLUMNS, values, units, out);
    (void)fputs("   ", out);
    if (end->state == BF_CAMPAIGN_SPENT) {
        (void)snprintf(text, sizeof text, "%s: spent in month %.0f", change,
                       ceil(end->day / BF__DAYS_PER_MONTH));
    } else {
        (void)snprintf(text, sizeof text, "%s", change);
    }
    bf__print_column(text, TEXT_FROM, TEXT_TO, "", out);
}

static void print_rows(const bf_what_if_report *report, bf_unit_system units, FILE *out)
{
    bf__columns_head(bf__what_if_columns, BF__WHAT_IF_COLUMNS, 1, units, out);
    (void)fputs("   change\n", out);
    bf__columns_head(bf__what_if_columns, BF__WHAT_IF_COLUMNS, 2, units, out);
    (void)fputc('\n', out);
    bf__dashes(TEXT_TO, out);
    for (size_t r = 0; r < report->count; r++) {
        const bf_what_if *row = &report->rows[r];
        char change[BF__WHAT_IF_WORDS];
        bf__what_if_change(report, row, units, change);
        print_row(report, &row->end, row->gain_eq_per_m3, change, units, out);
    }
    print_row(report, report->unchanged, (double)NAN, "(unchanged)", units, out);
}

static void print_table(const void *context, FILE *out)
{
    const bf_what_if_report *report = context;
    const bf_unit_system units = report->page.units;
    bf__page_title(&report->page, out);
    (void)fprintf(out, "What if: one change at a time, the most capacity at the end first\n\n");
    bf__study_print(&report->page, report->campaign, report->spec, units, "", out);
    (void)fputc('\n', out);
    print_rows(report, units, out);
    (void)fprintf(out,
                  "\ncapacity         hardness taken up to the end point, at the end\n"
                  "gain             over the bed unchanged; new it holds %s; more salt raises\n"
                  "                 capacity whether or not there is iron: see kept\n"
                  "kept             of the capacity that the bed so changed has when new\n"
                  "bound            iron on and in the beads, at the end\n"
                  "hardness, iron   of the softened water at the end, mean of a run\n"
                  "salt, water      of regeneration in a year, for the whole bed\n\n",
                  bf__figure_digits(BF__QUANTITY_CAPACITY, units,
                                    report->unchanged->potential_new_eq_per_m3, 3)
                      .text);
    bf__what_if_words(report, units, "", out);
    bf__foul_foot_print(&report->page, bf__what_if_names_chemicals(report), units, "", out);
}

bf_status bf_report_what_if_table(const bf_what_if_report *report, FILE *out, bf_error *err)
{
    return bf__page_print(print_table, report, out, err);
}
