/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A rating as a table for people. */
#include "brinefront/convert.h"
#include "report/page/assumptions.h"
#include "report/page/page.h"
#include "report/rate/overlay.h"
#include "report/rate/rate_rows.h"
#include "report/sheet/sheet.h"

/* One column: two lines of head, how many digits, and its value in each unit system. */
typedef struct column {
    const char *head;
    const char *unit[2]; /* by bf_unit_system */
    int width;
    int decimals[2];
    double (*value)(const bf_dose_point *point, bf_unit_system units);
} column;

static const double gal_per_ft3_per_bed_volume = BF_M3_PER_FT3 / BF_M3_PER_GAL;

static double dose(const bf_dose_point *point, bf_unit_system units)
{
    return units == BF_UNITS_US ? point->dose_kg_per_m3 / BF_KG_PER_M3_PER_LB_PER_FT3
                                : point->dose_kg_per_m3;
}

static double capacity(const bf_dose_point *point, bf_unit_system units)
{
    double value = point->steady.cycle.capacity_eq_per_m3;
    return units == BF_UNITS_US ? value / BF_EQ_PER_M3_PER_KGR_PER_FT3 : 1e-3 * value;
}

static double efficiency(const bf_dose_point *point, bf_unit_system units)
{
    return units == BF_UNITS_US
               ? bf__gr_per_lb(point->steady.cycle.capacity_eq_per_m3, point->dose_kg_per_m3)
               : point->steady.cycle.capacity_eq_per_m3 * BF_G_CACO3_PER_EQ / point->dose_kg_per_m3;
}

static double leakage_mean(const bf_dose_point *point, bf_unit_system units)
{
    (void)units;
    return bf__mg_per_L_CaCO3(point->steady.cycle.leakage_mean_eq_per_m3);
}

static double leakage_first(const bf_dose_point *point, bf_unit_system units)
{
    (void)units;
    return bf__mg_per_L_CaCO3(point->steady.cycle.leakage_first_eq_per_m3);
}

static double leakage_low(const bf_dose_point *point, bf_unit_system units)
{
    (void)units;
    return bf__mg_per_L_CaCO3(point->steady.cycle.leakage_low_eq_per_m3);
}

static double throughput(const bf_dose_point *point, bf_unit_system units)
{
    double value = point->steady.cycle.throughput_bed_volumes;
    return units == BF_UNITS_US ? value * gal_per_ft3_per_bed_volume : value;
}

static double water(const bf_dose_point *point, bf_unit_system units)
{
    double value = point->steady.cycle.water_bed_volumes;
    return units == BF_UNITS_US ? value * gal_per_ft3_per_bed_volume : value;
}

static double water_per_capacity(const bf_dose_point *point, bf_unit_system units)
{
    double value = water(point, units);
    return units == BF_UNITS_US
               ? value / capacity(point, units)
               : 1e3 * value / (point->steady.cycle.capacity_eq_per_m3 * 1e-3 * BF_G_CACO3_PER_EQ);
}

static double cycles(const bf_dose_point *point, bf_unit_system units)
{
    (void)units;
    return (double)point->steady.cycles;
}

static const column columns[] = {
    {"salt", {"lb/ft3", "g/L"}, 7, {2, 1}, dose},
    {"capacity", {"kgr/ft3", "eq/L"}, 9, {2, 3}, capacity},
    {"per salt", {"gr/lb", "g/kg"}, 9, {0, 0}, efficiency},
    {"leak mean", {"mg/L", "mg/L"}, 10, {2, 2}, leakage_mean},
    {"first", {"mg/L", "mg/L"}, 7, {2, 2}, leakage_first},
    {"lowest", {"mg/L", "mg/L"}, 7, {2, 2}, leakage_low},
    {"run", {"gal/ft3", "BV"}, 8, {0, 1}, throughput},
    {"water", {"gal/ft3", "BV"}, 8, {1, 2}, water},
    {"water", {"gal/kgr", "L/kg"}, 8, {2, 1}, water_per_capacity},
    {"cycles", {"", ""}, 7, {0, 0}, cycles},
};
enum { COLUMNS = sizeof columns / sizeof *columns };

static const char *const legend =
    "\nsalt, capacity  per volume of resin; hardness counts as CaCO3\n"
    "leak            hardness of the softened water: mean of the run, after half a\n"
    "                bed volume, at its lowest\n"
    "water           all water of a regeneration, per resin and per capacity\n"
    "cycles          run until the bed repeats itself\n\n";

static void print_head(bf_unit_system units, FILE *out)
{
    for (size_t c = 0; c < COLUMNS; c++) {
        (void)fprintf(out, "%*s", columns[c].width, columns[c].head);
    }
    (void)fputc('\n', out);
    int width = 0;
    for (size_t c = 0; c < COLUMNS; c++) {
        (void)fprintf(out, "%*s", columns[c].width, columns[c].unit[units]);
        width += columns[c].width;
    }
    (void)fputc('\n', out);
    for (int i = 0; i < width; i++) {
        (void)fputc('-', out);
    }
    (void)fputc('\n', out);
}

void bf__rate_rows_print(const bf_dose_point *points, size_t count, bf_unit_system units, FILE *out)
{
    print_head(units, out);
    for (size_t p = 0; p < count; p++) {
        const bf_dose_point *point = &points[p];
        int rated = point->steady.cycle.outcome == BF_RATED;
        for (size_t c = 0; c < (rated ? COLUMNS : 1); c++) {
            (void)fprintf(out, "%*.*f", columns[c].width, columns[c].decimals[units],
                          columns[c].value(point, units));
        }
        if (!rated) {
            (void)fprintf(out, "  %s", bf_outcome_words(point->steady.cycle.outcome));
        }
        (void)fputc('\n', out);
    }
}

void bf__rate_whole_bed_print(const bf_bed_spec *bed, const bf_dose_point *points, size_t count,
                              bf_unit_system units, FILE *out)
{
    const double bed_m3 = bf_bed_volume_m3(bed);
    const int us = units == BF_UNITS_US;
    const double liquid = us ? bed_m3 / BF_M3_PER_GAL : bed_m3;
    (void)fprintf(out, "This bed (%.4g %s)\n\n", us ? bed_m3 / BF_M3_PER_FT3 : 1e3 * bed_m3,
                  us ? "ft3" : "L");
    (void)fprintf(out, "   salt      salt     holds    softens  regenerates with   in\n");
    (void)fprintf(out, us ? " lb/ft3        lb       kgr        gal      gal of water  min\n"
                          : "    g/L        kg        eq         m3       m3 of water  min\n");
    for (size_t p = 0; p < count; p++) {
        const bf_dose_point *point = &points[p];
        const bf_cycle_result *cycle = &point->steady.cycle;
        if (cycle->outcome != BF_RATED) {
            continue;
        }
        double salt_kg = point->dose_kg_per_m3 * bed_m3;
        double held_eq = cycle->capacity_eq_per_m3 * bed_m3;
        (void)fprintf(out, "%7.*f %9.2f %9.1f %10.*f %17.*f %4.0f\n", us ? 2 : 1,
                      dose(point, units), us ? salt_kg / BF_KG_PER_LB : salt_kg,
                      us ? held_eq * BF_G_CACO3_PER_EQ * 1e-6 / BF_KG_PER_GRAIN : held_eq,
                      us ? 0 : 2, cycle->throughput_bed_volumes * liquid, us ? 0 : 3,
                      cycle->water_bed_volumes * liquid, cycle->regeneration_s / BF_S_PER_MIN);
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
    return bf__page_print(print_table, report, out, err);
}
