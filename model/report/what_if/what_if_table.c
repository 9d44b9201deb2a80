/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Changes ranked by what they leave of the bed, as a table for people. */
#include "report/campaign/campaign_setting.h"
#include "report/campaign/campaign_show.h"
#include "report/foul/foul_read.h"
#include "report/page/assumptions.h"
#include "report/page/page.h"
#include "report/page/wrap.h"
#include "report/what_if/what_if.h"

#include <math.h>

enum { TEXT_FROM = 66, TEXT_TO = 110 };

static void print_row(const bf_what_if_report *report, const bf_fouling_end *end, double gain,
                      const char *change, bf_unit_system units, FILE *out)
{
    const double bed_m3 = bf_bed_volume_m3(&report->spec->bed);
    const int us = units == BF_UNITS_US;
    char text[200];
    bf__print_number(8, us ? 1 : 3, bf__show_capacity(units, end->potential_eq_per_m3), out);
    if (isnan(gain)) {
        (void)fprintf(out, "%8s", "");
    } else {
        (void)fprintf(out, "%+8.*f", us ? 1 : 3, bf__show_capacity(units, gain));
    }
    bf__print_number(6, 0, 100.0 * end->potential_eq_per_m3 / end->potential_new_eq_per_m3, out);
    bf__print_number(8, us ? 0 : 2, bf__show_deposit(units, end->bound_kg_per_m3), out);
    bf__print_number(9, 2, bf__mg_per_L_CaCO3(end->hardness_eq_per_m3), out);
    bf__print_number(7, 2, end->iron_g_per_m3, out);
    bf__print_number(8, 0, bf__show_mass(units, end->salt_kg_per_m3_year * bed_m3), out);
    bf__print_number(9, us ? 0 : 1, bf__show_volume(units, end->water_bed_volumes_year * bed_m3),
                     out);
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
    (void)fprintf(out,
                  "capacity    gain  kept   bound hardness   iron    salt    water   change\n");
    (void)fprintf(out, "%8s%8s%6s%8s%9s%7s%8s%9s\n", bf__unit_of_capacity(units),
                  bf__unit_of_capacity(units), "%", bf__unit_of_deposit(units), "mg/L", "mg/L",
                  units == BF_UNITS_US ? "lb/yr" : "kg/yr",
                  units == BF_UNITS_US ? "gal/yr" : "m3/yr");
    for (int i = 0; i < TEXT_TO; i++) {
        (void)fputc('-', out);
    }
    (void)fputc('\n', out);
    for (size_t r = 0; r < report->count; r++) {
        print_row(report, &report->rows[r].end, report->rows[r].gain_eq_per_m3,
                  bf__what_if_change(&report->rows[r], units), units, out);
    }
    print_row(report, report->unchanged, (double)NAN, "(unchanged)", units, out);
}

static bf_status print_table(const void *context, FILE *out, bf_error *err)
{
    const bf_what_if_report *report = context;
    const bf_unit_system units = report->page.units;
    if (report->page.title[0] != '\0') {
        (void)fprintf(out, "%s\n\n", report->page.title);
    }
    (void)fprintf(out, "What if: one change at a time, the most capacity at the end first\n\n");
    bf__study_print(&report->page, report->campaign, report->spec, units, "", out);
    (void)fputc('\n', out);
    print_rows(report, units, out);
    (void)fprintf(
        out,
        "\ncapacity         hardness taken up to the end point, at the end\n"
        "gain             over the bed unchanged; new it holds %.3g %s; more salt raises\n"
        "                 capacity whether or not there is iron: see kept\n"
        "kept             of the capacity that the bed so changed has when new\n"
        "bound            iron on and in the beads, at the end\n"
        "hardness, iron   of the softened water at the end, mean of a run\n"
        "salt, water      of regeneration in a year, for the whole bed\n\n",
        bf__show_capacity(units, report->unchanged->potential_new_eq_per_m3),
        bf__unit_of_capacity(units));
    bf__what_if_words(report, units, "", out);
    bf__foul_truths_print("", out);
    bf__foul_foot_print(&report->page, bf__what_if_names_chemicals(report), units, out);
    (void)err;
    return BF_OK;
}

bf_status bf_report_what_if_table(const bf_what_if_report *report, FILE *out, bf_error *err)
{
    return bf__page_print(print_table, report, out, err);
}
