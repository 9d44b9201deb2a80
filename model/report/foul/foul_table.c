/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The years of a bed as tables for people: what it gives, what stays in it, what limits it. */
#include "report/campaign/campaign_setting.h"
#include "report/foul/foul_limits.h"
#include "report/foul/foul_quantities.h"
#include "report/foul/foul_words.h"
#include "report/observed/observed_table.h"
#include "report/page/assumptions.h"
#include "report/page/page.h"

#include <math.h>

enum { MONTH_WIDTH = 6, DATE_WIDTH = 12 };

/* What a table is printed of, and which quantities it shows. */
struct view {
    const bf_foul_report *report;
    bf_unit_system units;
    FILE *out;
    int has_date, has_iron, has_alkalinity, has_manganese, has_chlorine;
};

/* Whether a table of this view shows a quantity. */
static int is_shown(const struct view *view, const bf__foul_quantity *quantity, int stays)
{
    if (quantity->column.width == 0 || quantity->stays != stays) {
        return 0;
    }
    switch (quantity->need) {
    case BF__FOUL_WITH_IRON: return view->has_iron;
    case BF__FOUL_WITH_IRON_AND_ALKALINITY: return view->has_iron && view->has_alkalinity;
    case BF__FOUL_WITH_MANGANESE: return view->has_manganese;
    case BF__FOUL_WITH_CHLORINE: return view->has_chlorine;
    default: return 1;
    }
}

/* Three lines of a head and a line of dashes. */
static void print_head(const struct view *view, int stays)
{
    int width = MONTH_WIDTH + (view->has_date ? DATE_WIDTH : 0);
    for (int line = 0; line < 3; line++) {
        (void)fprintf(view->out, "%*s", MONTH_WIDTH, line == 1 ? "month" : "");
        if (view->has_date) {
            (void)fprintf(view->out, "%*s", DATE_WIDTH, line == 1 ? "date" : "");
        }
        for (size_t q = 0; q < bf__foul_quantity_count; q++) {
            const bf__foul_quantity *quantity = &bf__foul_quantities[q];
            if (!is_shown(view, quantity, stays)) {
                continue;
            }
            bf__columns_head(&quantity->column, 1, line, view->units, view->out);
            if (quantity->range_width > 0) {
                bf__column range = quantity->column;
                range.head[1] = "range";
                range.width = quantity->range_width;
                bf__columns_head(&range, 1, line, view->units, view->out);
            }
            width += line == 0 ? quantity->column.width + quantity->range_width : 0;
        }
        (void)fputc('\n', view->out);
    }
    bf__dashes(width, view->out);
}

static void print_when(const struct view *view, double day)
{
    const double months = day / BF__DAYS_PER_MONTH;
    const int is_whole = fabs(months - round(months)) < 0.05;
    bf__print_number(MONTH_WIDTH, is_whole ? 0 : 1, months, view->out);
    if (view->has_date) {
        char text[16];
        bf__date_after(view->report->campaign->start, day, text);
        (void)fprintf(view->out, "%*s", DATE_WIDTH, text);
    }
}

/* What the bed gives, or what stays in it. */
static void print_rows(const struct view *view, int stays)
{
    print_head(view, stays);
    for (size_t row = 0; row < bf__foul_row_count(view->report); row++) {
        const double day = bf__foul_row_day(view->report, row);
        print_when(view, day);
        for (size_t q = 0; q < bf__foul_quantity_count; q++) {
            const bf__foul_quantity *quantity = &bf__foul_quantities[q];
            if (!is_shown(view, quantity, stays)) {
                continue;
            }
            const bf__span span = bf__foul_value(view->report, quantity, day);
            const bf__quantity kind = quantity->column.kind;
            bf__column_print(&quantity->column, span.expected, view->units, view->out);
            if (quantity->range_width > 0) {
                bf__print_range(quantity->range_width, quantity->range_decimals[view->units],
                                bf__quantity_show(kind, view->units, span.low),
                                bf__quantity_show(kind, view->units, span.high), view->out);
            }
        }
        (void)fputc('\n', view->out);
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

static void print_table(const void *context, FILE *out)
{
    const bf_foul_report *report = context;
    const bf_unit_system units = report->page.units;
    const struct view view = {.report = report,
                              .units = units,
                              .out = out,
                              .has_date = report->campaign->start[0] != '\0',
                              .has_iron = bf__campaign_brings(report->spec, BF_ION_FE),
                              .has_alkalinity = bf__page_states(&report->page, "water.alkalinity"),
                              .has_manganese = bf__campaign_brings(report->spec, BF_ION_MN),
                              .has_chlorine = bf__campaign_has_chlorine(report->spec)};
    bf__page_title(&report->page, out);
    bf__foul_headline(report, out);
    (void)fputs("\n\n", out);
    bf__campaign_print(&report->page, report->campaign, report->spec, units, "", out);
    bf__foul_skips_print(report, units, "", out);
    (void)fprintf(out, "\nWhat limits the bed\n\n");
    bf__foul_limits_print(report, units, "", out);
    (void)fprintf(out, "\nWhat the bed gives\n\n");
    print_rows(&view, 0);
    (void)fprintf(out, "\nWhat stays in the bed\n\n");
    print_rows(&view, 1);
    (void)fputs(legend, out);
    (void)fputc('\n', out);
    bf__foul_balance_print(report, units, "", out);
    bf__observed_print(report, units, out);
    (void)fputc('\n', out);
    bf__foul_remarks_print(report, "", out);
    bf__foul_foot_print(&report->page, bf__campaign_names_chemicals(report->spec), units, "", out);
}

bf_status bf_report_foul_table(const bf_foul_report *report, FILE *out, bf_error *err)
{
    return bf__page_print(print_table, report, out, err);
}
