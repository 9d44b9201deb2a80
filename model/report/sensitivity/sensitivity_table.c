/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the uncertain parameters do, the strongest first, as a table for people. */
#include "report/campaign/campaign_setting.h"
#include "report/campaign/campaign_show.h"
#include "report/page/assumptions.h"
#include "report/page/page.h"
#include "report/page/wrap.h"

#include <math.h>

/* Three digits, and no power of ten before the million. */
static void print_figure(double value, char *text, size_t room)
{
    (void)snprintf(text, room, fabs(value) >= 1e3 && fabs(value) < 1e6 ? "%.0f" : "%.3g", value);
}

static void print_row(const bf_fouling_sensitivity *row, const bf_campaign_spec *spec,
                      bf_unit_system units, FILE *out)
{
    const bf_iron_parameter of = bf_iron_parameter_get(row->parameter);
    const int decimals = units == BF_UNITS_US ? 1 : 3;
    char value[24];
    char low[24];
    char high[24];
    char range[52];
    print_figure(bf_iron_spec_get(&spec->iron, row->parameter), value, sizeof value);
    print_figure(of.low, low, sizeof low);
    print_figure(of.high, high, sizeof high);
    (void)snprintf(range, sizeof range, "%s to %s", low, high);
    (void)fprintf(out, "%-30s%10s%22s  %-10s", of.name, value, range, bf_iron_basis_word(of.basis));
    bf__print_number(9, decimals, bf__show_capacity(units, row->low.potential_eq_per_m3), out);
    bf__print_number(9, decimals, bf__show_capacity(units, row->high.potential_eq_per_m3), out);
    bf__print_number(9, decimals, bf__show_capacity(units, row->spread_eq_per_m3), out);
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
            const bf_iron_parameter of = bf_iron_parameter_get(report->rows[r].parameter);
            (void)fprintf(out, "%s: %s (%s)\n", of.name, of.meaning, of.source);
        }
    }
    bf__wrap_end("", out);
}

static bf_status print_table(const void *context, FILE *out, bf_error *err)
{
    const bf_sensitivity_report *report = context;
    const bf_unit_system units = report->page.units;
    enum { WIDTH = 101 };
    const char *unit = bf__unit_of_capacity(units);
    if (report->page.title[0] != '\0') {
        (void)fprintf(out, "%s\n\n", report->page.title);
    }
    (void)fprintf(out, "What each uncertain parameter does to the capacity at the end, the others "
                       "as expected\n\n");
    bf__study_print(&report->page, report->campaign, report->spec, units, "", out);
    (void)fprintf(out, "as expected the bed ends with %.3g %s, of %.3g when new\n\n",
                  bf__show_capacity(units, report->expected->potential_eq_per_m3), unit,
                  bf__show_capacity(units, report->expected->potential_new_eq_per_m3));
    (void)fprintf(out, "%-30s%10s%22s  %-10s%9s%9s%9s\n%-30s%10s%22s  %-10s%9s%9s%9s\n",
                  "parameter", "value", "range", "basis", "at low", "at high", "spread", "", "", "",
                  "", unit, unit, unit);
    for (int i = 0; i < WIDTH; i++) {
        (void)fputc('-', out);
    }
    (void)fputc('\n', out);
    for (size_t r = 0; r < bf_iron_parameter_count(); r++) {
        if (report->rows[r].takes_part) {
            print_row(&report->rows[r], report->spec, units, out);
        }
    }
    print_idle(report, out);
    print_meanings(report, out);
    (void)fputc('\n', out);
    bf__foul_truths_print("", out);
    bf__foul_foot_print(&report->page, bf__campaign_names_chemicals(report->spec), units, out);
    (void)err;
    return BF_OK;
}

bf_status bf_report_sensitivity_table(const bf_sensitivity_report *report, FILE *out, bf_error *err)
{
    return bf__page_print(print_table, report, out, err);
}
