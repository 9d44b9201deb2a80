/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the uncertain parameters do, the strongest first, as a table for people. */
#include "report/campaign/campaign_setting.h"
#include "report/page/figure.h"
#include "report/page/page.h"
#include "report/page/wrap.h"
#include "report/sensitivity/sensitivity.h"

#include <math.h>

/* Three digits, and no power of ten before the million. */
static void print_figure(double value, char *text, size_t room)
{
    (void)snprintf(text, room, fabs(value) >= 1e3 && fabs(value) < 1e6 ? "%.0f" : "%.3g", value);
}

static void print_row(const bf_fouling_sensitivity *row, const bf_campaign_spec *spec,
                      bf_unit_system units, FILE *out)
{
    const bf_iron_parameter parameter = bf_iron_parameter_get(row->parameter);
    double values[BF__SENSITIVITY_COLUMNS];
    char value[24];
    char low[24];
    char high[24];
    char range[52];
    print_figure(bf_iron_spec_get(&spec->iron, row->parameter), value, sizeof value);
    print_figure(parameter.low, low, sizeof low);
    print_figure(parameter.high, high, sizeof high);
    (void)snprintf(range, sizeof range, "%s to %s", low, high);
    (void)fprintf(out, "%-30s%10s%22s  %-10s", parameter.name, value, range,
                  bf_iron_basis_word(parameter.basis));
    bf__sensitivity_values(row, values);
    bf__columns_print(bf__sensitivity_columns, BF__SENSITIVITY_COLUMNS, values, units, out);
    (void)fputc('\n', out);
}

static void print_idle(const bf_sensitivity_report *report, FILE *out)
{
    bf__wrap_begin(out);
    int any = 0;
    for (size_t r = 0; r < bf_iron_parameter_count(); r++) {
        if (!report->rows[r].takes_part) {
            (void)fprintf(out, "%s%s", any ? ", " : "\nTake no part in this campaign: ",
                          bf_iron_parameter_get(report->rows[r].parameter).name);
            any = 1;
        }
    }
    (void)fputs(any ? ".\n" : "", out);
    bf__wrap_end("", out);
}

static void print_meanings(const bf_sensitivity_report *report, FILE *out)
{
    bf__wrap_begin(out);
    (void)fputs("\nWhat they are, and what their range rests on\n", out);
    for (size_t r = 0; r < bf_iron_parameter_count(); r++) {
        if (report->rows[r].takes_part) {
            const bf_iron_parameter parameter = bf_iron_parameter_get(report->rows[r].parameter);
            (void)fprintf(out, "%s: %s (%s)\n", parameter.name, parameter.meaning,
                          parameter.source);
        }
    }
    bf__wrap_end("", out);
}

static void print_table(const void *context, FILE *out)
{
    const bf_sensitivity_report *report = context;
    const bf_unit_system units = report->page.units;
    enum { WIDTH = 101 };
    bf__page_title(&report->page, out);
    (void)fprintf(out, "What each uncertain parameter does to the capacity at the end, the others "
                       "as expected\n\n");
    bf__study_print(&report->page, report->campaign, report->spec, units, "", out);
    (void)fprintf(
        out, "as expected the bed ends with %s, of %.3g when new\n\n",
        bf__figure_digits(BF__QUANTITY_CAPACITY, units, report->expected->potential_eq_per_m3, 3)
            .text,
        bf__quantity_show(BF__QUANTITY_CAPACITY, units, report->expected->potential_new_eq_per_m3));
    for (int line = 1; line < 3; line++) {
        static const char *const heads[2][4] = {{"parameter", "value", "range", "basis"},
                                                {"", "", "", ""}};
        (void)fprintf(out, "%-30s%10s%22s  %-10s", heads[line - 1][0], heads[line - 1][1],
                      heads[line - 1][2], heads[line - 1][3]);
        bf__columns_head(bf__sensitivity_columns, BF__SENSITIVITY_COLUMNS, line, units, out);
        (void)fputc('\n', out);
    }
    bf__dashes(WIDTH, out);
    for (size_t r = 0; r < bf_iron_parameter_count(); r++) {
        if (report->rows[r].takes_part) {
            print_row(&report->rows[r], report->spec, units, out);
        }
    }
    print_idle(report, out);
    print_meanings(report, out);
    (void)fputc('\n', out);
    bf__foul_foot_print(&report->page, bf__campaign_names_chemicals(report->spec), units, "", out);
}

bf_status bf_report_sensitivity_table(const bf_sensitivity_report *report, FILE *out, bf_error *err)
{
    return bf__page_print(print_table, report, out, err);
}
