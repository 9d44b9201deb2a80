/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Hardness to count for iron, as a table for people. */
#include "report/campaign/campaign_setting.h"
#include "report/compensation/compensation.h"
#include "report/page/page.h"

#include <math.h>

static void print_point(const bf_compensation_report *report, const bf_compensation_point *point,
                        bf_unit_system units, FILE *out)
{
    double values[BF__COMPENSATION_COLUMNS];
    bf__compensation_values(report->spec, point, values);
    bf__columns_print(bf__compensation_columns, BF__COMPENSATION_COLUMNS, values, units, out);
    (void)fprintf(out, "%s\n", point->end.state == BF_CAMPAIGN_SPENT ? "  spent" : "");
}

static void print_table(const void *context, FILE *out)
{
    const bf_compensation_report *report = context;
    const bf_unit_system units = report->page.units;
    enum { WIDTH = 87 };
    const bf_compensation *found = report->found;
    bf__page_title(&report->page, out);
    (void)fprintf(out, "Hardness to count for iron, so that the bed loses no more than %.3g %%\n\n",
                  100.0 * found->allowed_loss);
    bf__compensation_answer(report, units, "", out);
    bf__compensation_rules(units, "", out);
    (void)fputc('\n', out);
    for (int line = 1; line < 3; line++) {
        bf__columns_head(bf__compensation_columns, BF__COMPENSATION_COLUMNS, line, units, out);
        (void)fputc('\n', out);
    }
    bf__dashes(WIDTH, out);
    for (size_t p = 0; p < found->count; p++) {
        print_point(report, &found->point[p], units, out);
    }
    if (!isnan(found->addition_eq_per_g)) {
        (void)fprintf(out, "the answer:\n");
        print_point(report, &found->chosen, units, out);
    }
    (void)fputs(
        "\neach             days between regenerations that the count gives\n"
        "loss             of the capacity to the end point, against a new bed regenerated at\n"
        "                 the same interval: `new`; at the end of the campaign:\n"
        "capacity, bound  hardness taken up to the end point; iron on and in the beads\n"
        "iron             of the softened water, mean of a run\n"
        "salt, water      of regeneration in a year, for the whole bed\n\n",
        out);
    bf__study_print(&report->page, report->campaign, report->spec, units, "", out);
    bf__foul_foot_print(&report->page, bf__campaign_names_chemicals(report->spec), units, "", out);
}

bf_status bf_report_compensation_table(const bf_compensation_report *report, FILE *out,
                                       bf_error *err)
{
    return bf__page_print(print_table, report, out, err);
}
