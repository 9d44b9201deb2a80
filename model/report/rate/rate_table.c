/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A rating as a table for people. */
#include "report/rate/rate_table.h"

#include "report/page/assumptions.h"
#include "report/page/figure.h"
#include "report/page/page.h"
#include "report/rate/overlay.h"
#include "report/rate/rate_columns.h"
#include "report/sheet/sheet.h"

static const char *const legend =
    "\nsalt, capacity  per volume of resin; hardness counts as CaCO3\n"
    "leak            hardness of the softened water: mean of the run, after half a\n"
    "                bed volume, at its lowest\n"
    "water           all water of a regeneration, per resin and per capacity\n"
    "cycles          run until the bed repeats itself\n\n";

void bf__rate_rows_print(const bf_dose_point *points, size_t count, bf_unit_system units, FILE *out)
{
    int width = 0;
    for (size_t c = 0; c < BF__RATE_COLUMNS; c++) {
        width += bf__rate_columns[c].width;
    }
    bf__columns_head(bf__rate_columns, BF__RATE_COLUMNS, 0, units, out);
    (void)fputc('\n', out);
    bf__columns_head(bf__rate_columns, BF__RATE_COLUMNS, 2, units, out);
    (void)fputc('\n', out);
    bf__dashes(width, out);
    for (size_t p = 0; p < count; p++) {
        double values[BF__RATE_COLUMNS];
        const bf_outcome outcome = points[p].steady.cycle.outcome;
        bf__rate_values(&points[p], values);
        bf__columns_print(bf__rate_columns, outcome == BF_RATED ? BF__RATE_COLUMNS : 1, values,
                          units, out);
        if (outcome != BF_RATED) {
            (void)fprintf(out, "  %s", bf_outcome_words(outcome));
        }
        (void)fputc('\n', out);
    }
}

/* The quantities of a whole bed. */
#define COLUMN(wide, what, us_decimals, si_decimals)                                               \
    {                                                                                              \
        .width = wide, .kind = BF__QUANTITY_##what, .decimals = { us_decimals, si_decimals }       \
    }
/* clang-format off */
static const bf__column of_a_bed[] = {
    COLUMN(7, DOSE, 2, 1),    COLUMN(10, MASS, 2, 2),   COLUMN(10, HELD, 1, 1),
    COLUMN(11, SUPPLY, 0, 2), COLUMN(18, SUPPLY, 0, 3), COLUMN(5, MINUTES, 0, 0),
};
/* clang-format on */

void bf__rate_whole_bed_print(const bf_bed_spec *bed, const bf_dose_point *points, size_t count,
                              bf_unit_system units, FILE *out)
{
    const double bed_m3 = bf_bed_volume_m3(bed);
    (void)fprintf(out, "This bed (%s)\n\n",
                  bf__figure_digits(BF__QUANTITY_RESIN, units, bed_m3, 4).text);
    (void)fprintf(out, "   salt      salt     holds    softens  regenerates with   in\n");
    (void)fprintf(out, units == BF_UNITS_US
                           ? " lb/ft3        lb       kgr        gal      gal of water  min\n"
                           : "    g/L        kg        eq         m3       m3 of water  min\n");
    for (size_t p = 0; p < count; p++) {
        const bf_cycle_result *cycle = &points[p].steady.cycle;
        const double values[] = {
            points[p].dose_kg_per_m3,           points[p].dose_kg_per_m3 * bed_m3,
            cycle->capacity_eq_per_m3 * bed_m3, cycle->throughput_bed_volumes * bed_m3,
            cycle->water_bed_volumes * bed_m3,  cycle->regeneration_s};
        if (cycle->outcome == BF_RATED) {
            bf__columns_print(of_a_bed, sizeof of_a_bed / sizeof *of_a_bed, values, units, out);
            (void)fputc('\n', out);
        }
    }
}

void bf__rate_legend_print(FILE *out)
{
    (void)fputs(legend, out);
}

static void print_curve(const bf_rate_report *report, bf_unit_system units, FILE *out)
{
    (void)fprintf(out,
                  "What the bed holds against its salt dose, each dose at its steady cycle\n\n");
    bf__rate_rows_print(report->points, report->count, units, out);
    (void)fputc('\n', out);
    bf__rate_whole_bed_print(&report->page.rating->bed, report->points, report->count, units, out);
    bf__rate_legend_print(out);
}

static bf_status print_table(const void *context, FILE *out, bf_error *err)
{
    const bf_rate_report *report = context;
    const bf_unit_system units = report->page.units;
    bf_status status = BF_OK;
    bf__page_title(&report->page, out);
    if (report->study != NULL) {
        status = bf__sheet_table(report, out, err);
    } else {
        print_curve(report, units, out);
    }
    if (report->overlay != NULL) {
        bf__overlay_table(report, units, out);
    }
    bf__setting_print(&report->page, units, "", out);
    bf__accuracy_print(report, units, "", out);
    (void)fputc('\n', out);
    bf__cautions_print("", out);
    return status;
}

bf_status bf_report_rate_table(const bf_rate_report *report, FILE *out, bf_error *err)
{
    return bf__page_try(print_table, report, out, err);
}
