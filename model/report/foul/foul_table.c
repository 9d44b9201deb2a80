/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The years of a bed as tables for people: what it gives, what stays in it, what limits it. */
#include "report/campaign/campaign_setting.h"
#include "report/campaign/campaign_show.h"
#include "report/foul/foul_read.h"
#include "report/foul/foul_words.h"
#include "report/observed/observed.h"
#include "report/page/assumptions.h"
#include "report/page/page.h"
#include "report/page/wrap.h"

#include <math.h>

typedef struct page {
    const bf_foul_report *report;
    bf_unit_system units;
    FILE *out;
    int has_date, has_iron, has_alkalinity, has_manganese, has_chlorine;
} page;

/* Three lines of a head and a line of dashes, and the cell of a day; NULL shown: always. */
typedef struct column {
    const char *head[2];
    const char *unit[2]; /* by bf_unit_system */
    int width;
    int (*is_shown)(const page *to);
    void (*print)(const page *to, double day, int width);
} column;

static bf__span span(const page *to, bf_campaign_quantity what, double day)
{
    return bf__foul_row_span(to->report, what, day);
}

static int with_date(const page *to)
{
    return to->has_date;
}

static int with_iron(const page *to)
{
    return to->has_iron;
}

static int with_alkalinity(const page *to)
{
    return to->has_iron && to->has_alkalinity;
}

static int with_manganese(const page *to)
{
    return to->has_manganese;
}

static int with_chlorine(const page *to)
{
    return to->has_chlorine;
}

static void month(const page *to, double day, int width)
{
    const double months = day / BF__DAYS_PER_MONTH;
    const int is_whole = fabs(months - round(months)) < 0.05;
    bf__print_number(width, is_whole ? 0 : 1, months, to->out);
}

static void date(const page *to, double day, int width)
{
    char text[16];
    bf__date_after(to->report->campaign->start, day, text);
    (void)fprintf(to->out, "%*s", width, text);
}

static void capacity(const page *to, double day, int width)
{
    const bf__span at = span(to, BF_CAMPAIGN_POTENTIAL, day);
    bf__print_number(width, to->units == BF_UNITS_US ? 1 : 3,
                     bf__show_capacity(to->units, at.expected), to->out);
}

static void capacity_range(const page *to, double day, int width)
{
    const bf__span at = span(to, BF_CAMPAIGN_POTENTIAL, day);
    bf__print_range(width, to->units == BF_UNITS_US ? 1 : 2, bf__show_capacity(to->units, at.low),
                    bf__show_capacity(to->units, at.high), to->out);
}

static void of_new(const page *to, double day, int width)
{
    bf__print_number(width, 0,
                     100.0 * span(to, BF_CAMPAIGN_POTENTIAL, day).expected /
                         bf__foul_new_eq_per_m3(to->report->series),
                     to->out);
}

static void hardness(const page *to, double day, int width)
{
    bf__print_number(width, 2, bf__mg_per_L_CaCO3(span(to, BF_CAMPAIGN_HARDNESS, day).expected),
                     to->out);
}

static void iron(const page *to, double day, int width)
{
    bf__print_number(width, 3, span(to, BF_CAMPAIGN_IRON, day).expected, to->out);
}

static void manganese(const page *to, double day, int width)
{
    bf__print_number(width, 3, span(to, BF_CAMPAIGN_MANGANESE, day).expected, to->out);
}

static void drop(const page *to, double day, int width)
{
    bf__print_number(
        width, to->units == BF_UNITS_US ? 2 : 1,
        bf__show_pressure(to->units, span(to, BF_CAMPAIGN_PRESSURE, day).expected *
                                         bf__campaign_clean_drop_Pa(to->report->spec, day)),
        to->out);
}

static void drop_ratio(const page *to, double day, int width)
{
    bf__print_number(width, 2, span(to, BF_CAMPAIGN_PRESSURE, day).expected, to->out);
}

static int deposit_decimals(const page *to)
{
    return to->units == BF_UNITS_US ? 1 : 3;
}

static void loose(const page *to, double day, int width)
{
    bf__print_number(width, deposit_decimals(to),
                     bf__show_deposit(to->units, span(to, BF_CAMPAIGN_LOOSE, day).expected),
                     to->out);
}

static void bound(const page *to, double day, int width)
{
    bf__print_number(width, deposit_decimals(to),
                     bf__show_deposit(to->units, span(to, BF_CAMPAIGN_BOUND, day).expected),
                     to->out);
}

static void bound_range(const page *to, double day, int width)
{
    const bf__span at = span(to, BF_CAMPAIGN_BOUND, day);
    bf__print_range(width, deposit_decimals(to), bf__show_deposit(to->units, at.low),
                    bf__show_deposit(to->units, at.high), to->out);
}

static void bound_top(const page *to, double day, int width)
{
    bf__print_number(width, deposit_decimals(to),
                     bf__show_deposit(to->units, span(to, BF_CAMPAIGN_BOUND_TOP, day).expected),
                     to->out);
}

static void kept(const page *to, double day, int width)
{
    bf__print_number(width, 1, 100.0 * span(to, BF_CAMPAIGN_RETENTION, day).expected, to->out);
}

static void sites(const page *to, double day, int width)
{
    bf__print_number(width, 1,
                     100.0 * span(to, BF_CAMPAIGN_CAPACITY, day).expected /
                         to->report->spec->bed.resin.capacity_eq_per_m3,
                     to->out);
}

static void alkalinity(const page *to, double day, int width)
{
    bf__print_number(width, 2, span(to, BF_CAMPAIGN_ALKALINITY, day).expected, to->out);
}

static void moisture(const page *to, double day, int width)
{
    bf__print_number(width, 1, 100.0 * span(to, BF_CAMPAIGN_MOISTURE, day).expected, to->out);
}

#define WHEN                                                                                       \
    {{"", "month"}, {"", ""}, 6, NULL, month},                                                     \
    {                                                                                              \
        {"", "date"}, {"", ""}, 12, with_date, date                                                \
    }

static const column gives[] = {
    WHEN,
    {{"", "capacity"}, {"kgr/ft3", "eq/L"}, 10, NULL, capacity},
    {{"", "range"}, {"kgr/ft3", "eq/L"}, 15, NULL, capacity_range},
    {{"of", "new"}, {"%", "%"}, 6, NULL, of_new},
    {{"hardness", "mean"}, {"mg/L", "mg/L"}, 10, NULL, hardness},
    {{"iron", "mean"}, {"mg/L", "mg/L"}, 8, with_iron, iron},
    {{"manganese", "mean"}, {"mg/L", "mg/L"}, 11, with_manganese, manganese},
    {{"pressure", "drop"}, {"psi", "kPa"}, 10, NULL, drop},
    {{"times", "clean"}, {"", ""}, 8, NULL, drop_ratio},
};

static const column holds[] = {
    WHEN,
    {{"", "loose"}, {"g/ft3", "g/L"}, 9, NULL, loose},
    {{"", "bound"}, {"g/ft3", "g/L"}, 9, NULL, bound},
    {{"", "range"}, {"g/ft3", "g/L"}, 18, NULL, bound_range},
    {{"bound in", "top tenth"}, {"g/ft3", "g/L"}, 11, NULL, bound_top},
    {{"kept", "of iron"}, {"%", "%"}, 9, with_iron, kept},
    {{"sites", "of new"}, {"%", "%"}, 8, NULL, sites},
    {{"alkalinity", "lowest"}, {"meq/L", "meq/L"}, 12, with_alkalinity, alkalinity},
    {{"", "moisture"}, {"%", "%"}, 10, with_chlorine, moisture},
};

static void print_columns(const page *to, const column *columns, size_t count)
{
    int width = 0;
    for (int line = 0; line < 3; line++) {
        for (size_t c = 0; c < count; c++) {
            if (columns[c].is_shown == NULL || columns[c].is_shown(to)) {
                (void)fprintf(to->out, "%*s", columns[c].width,
                              line < 2 ? columns[c].head[line] : columns[c].unit[to->units]);
                width += line == 0 ? columns[c].width : 0;
            }
        }
        (void)fputc('\n', to->out);
    }
    for (int i = 0; i < width; i++) {
        (void)fputc('-', to->out);
    }
    (void)fputc('\n', to->out);
    for (size_t row = 0; row < bf__foul_row_count(to->report); row++) {
        for (size_t c = 0; c < count; c++) {
            if (columns[c].is_shown == NULL || columns[c].is_shown(to)) {
                columns[c].print(to, bf__foul_row_day(to->report, row), columns[c].width);
            }
        }
        (void)fputc('\n', to->out);
    }
}

static const char *const legend =
    "\ncapacity         hardness taken up to the end point had the run gone on, known from the\n"
    "                 first cycle that was asked for it; of new: over that one; range: with\n"
    "                 the ageing of iron at either end of what it may be\n"
    "hardness         of the softened water, as CaCO3, mean of a run\n"
    "pressure drop    of the bed alone at the end of a run; without valve and piping\n"
    "loose, bound     iron between the beads (backwash takes it off), and on and in them\n"
    "                 (neither backwash nor salt does)\n";

static void print_observed(const page *to)
{
    const bf_observations *observations = to->report->observations;
    if (observations == NULL) {
        return;
    }
    (void)fprintf(to->out, "\nObserved against computed\n\n"
                           "     day  what           unit      observed  computed"
                           "            range  residual   of its side\n"
                           "------------------------------------------------------"
                           "-----------------------------------------\n");
    for (size_t o = 0; o < observations->count; o++) {
        bf__residual of[BF_OBSERVED_COUNT];
        const size_t count = bf__residuals(to->report, o, of);
        for (size_t r = 0; r < count; r++) {
            const bf_observed what = of[r].what;
            const int decimals = what == BF_OBSERVED_SOFT_IRON       ? 3
                                 : what == BF_OBSERVED_SOFT_HARDNESS ? 2
                                 : what == BF_OBSERVED_MOISTURE      ? 2
                                 : to->units == BF_UNITS_SI          ? 3
                                                                     : 2;
            (void)fprintf(to->out, "%8.1f  %-13s  %-8s", of[r].row->day, bf__observed_word(what),
                          bf__observed_unit(what, to->units));
            bf__print_number(10, decimals, bf__observed_show(what, to->units, of[r].observed),
                             to->out);
            if (!of[r].is_told) {
                (void)fprintf(to->out, "  not computed for that day\n");
                continue;
            }
            bf__print_number(10, decimals,
                             bf__observed_show(what, to->units, of[r].computed.expected), to->out);
            bf__print_range(17, decimals, bf__observed_show(what, to->units, of[r].computed.low),
                            bf__observed_show(what, to->units, of[r].computed.high), to->out);
            (void)fprintf(to->out, "%+10.*f", decimals,
                          bf__observed_show(what, to->units, of[r].residual));
            if (isnan(of[r].of_its_side)) {
                (void)fprintf(to->out, "%15s", "-");
            } else {
                (void)fprintf(to->out, "%+15.2f", of[r].of_its_side);
            }
            (void)fprintf(to->out, "%s\n",
                          !of[r].has_range   ? "  no range"
                          : !of[r].is_inside ? "  outside"
                          : of[r].is_wide    ? "  wide"
                                             : "");
        }
    }
    const bf__residual_count sum = bf__residuals_count(to->report);
    FILE *out = to->out;
    bf__wrap_begin(out);
    (void)fprintf(out,
                  "\nOf its side: residual over the distance from computed to the end of the range "
                  "on that side; beyond 1 it lies outside. %zu of %zu observed values with a range "
                  "lie inside it.",
                  sum.inside, sum.has_range);
    if (sum.wide > 0) {
        (void)fprintf(out,
                      " %zu of them lie in a range that spans more than a factor of 5 (wide): "
                      "nearly anything lies in one.",
                      sum.wide);
    }
    (void)fprintf(out,
                  " Iron on the resin is compared with bound iron, hardness and iron with the mean "
                  "of a run of softened water.\n");
    for (size_t what = 0; what < BF_OBSERVED_COUNT; what++) {
        const bf__rangeless of = bf__residuals_rangeless(to->report, (bf_observed)what);
        if (of.count > 0) {
            (void)fprintf(out,
                          "%zu reading%s of %s %s no range to compare with (nothing in the model "
                          "moves %s, or hardly): off by %+.0f to %+.0f %%.\n",
                          of.count, of.count == 1 ? "" : "s", bf__observed_word((bf_observed)what),
                          of.count == 1 ? "has" : "have", of.count == 1 ? "it" : "them",
                          100.0 * of.least, 100.0 * of.most);
        }
    }
    bf__wrap_end("", out);
}

static bf_status print_table(const void *context, FILE *out, bf_error *err)
{
    const bf_foul_report *report = context;
    const bf_unit_system units = report->page.units;
    const page to = {.report = report,
                     .units = units,
                     .out = out,
                     .has_date = report->campaign->start[0] != '\0',
                     .has_iron = bf__campaign_brings(report->spec, BF_ION_FE),
                     .has_alkalinity = bf__case_states(&report->page, "water.alkalinity"),
                     .has_manganese = bf__campaign_brings(report->spec, BF_ION_MN),
                     .has_chlorine = bf__campaign_has_chlorine(report->spec)};
    if (report->page.title[0] != '\0') {
        (void)fprintf(out, "%s\n\n", report->page.title);
    }
    bf__foul_headline(report, out);
    (void)fputs("\n\n", out);
    bf__campaign_print(&report->page, report->campaign, report->spec, units, "", out);
    bf__foul_skips_print(report, units, "", out);
    (void)fprintf(out, "\nWhat limits the bed\n\n");
    bf__foul_limits_print(report, units, "", out);
    (void)fprintf(out, "\nWhat the bed gives\n\n");
    print_columns(&to, gives, sizeof gives / sizeof *gives);
    (void)fprintf(out, "\nWhat stays in the bed\n\n");
    print_columns(&to, holds, sizeof holds / sizeof *holds);
    (void)fputs(legend, out);
    (void)fputc('\n', out);
    bf__foul_balance_print(report, units, "", out);
    print_observed(&to);
    (void)fputc('\n', out);
    bf__foul_remarks_print(report, "", out);
    bf__foul_foot_print(&report->page, bf__campaign_names_chemicals(report->spec), units, out);
    (void)err;
    return BF_OK;
}

bf_status bf_report_foul_table(const bf_foul_report *report, FILE *out, bf_error *err)
{
    return bf__page_print(print_table, report, out, err);
}
