/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Hardness to count for iron: a row an addition tried, then the answer. */
#include "report/campaign/campaign_end.h"
#include "report/campaign/campaign_setting.h"
#include "report/compensation/compensation.h"
#include "report/page/csv.h"
#include "report/page/page.h"

#include <math.h>

static void print_point(const bf_compensation_report *report, const char *row,
                        const bf_compensation_point *point, FILE *out)
{
    double values[BF__COMPENSATION_COLUMNS];
    bf__compensation_values(report->spec, point, values);
    (void)fputs(row, out);
    bf__columns_csv(bf__compensation_columns, BF__COMPENSATION_COLUMNS, values, out);
    bf__end_csv(&point->end, out);
    (void)fputc('\n', out);
}

static void print_answer(const bf_compensation_report *report, const char *row,
                         const bf_compensation *found, FILE *out)
{
    if (found != NULL && !isnan(found->addition_eq_per_g)) {
        print_point(report, row, &found->chosen, out);
    }
}

static void print_csv(const void *context, FILE *out)
{
    const bf_compensation_report *report = context;
    const bf_compensation *found = report->found;
    bf__csv_title(report->page.title, out);
    (void)fprintf(out, "# hardness to count for iron; loss allowed %.4g %%\n",
                  100.0 * found->allowed_loss);
    bf__compensation_answer(report, BF_UNITS_SI, "# ", out);
    bf__compensation_rules(BF_UNITS_SI, "# ", out);
    bf__study_print(&report->page, report->campaign, report->spec, BF_UNITS_SI, "# ", out);
    bf__foul_foot_print(&report->page, bf__campaign_names_chemicals(report->spec), BF_UNITS_SI,
                        "# ", out);
    (void)fputs("row", out);
    bf__columns_csv_head(bf__compensation_columns, BF__COMPENSATION_COLUMNS, "", out);
    bf__end_csv_head("", out);
    (void)fputc('\n', out);
    for (size_t p = 0; p < found->count; p++) {
        print_point(report, "tried", &found->point[p], out);
    }
    print_answer(report, "answer", found, out);
    print_answer(report, "answer_at_low_ageing", report->low, out);
    print_answer(report, "answer_at_high_ageing", report->high, out);
}

bf_status bf_report_compensation_csv(const bf_compensation_report *report, FILE *out, bf_error *err)
{
    return bf__page_print(print_csv, report, out, err);
}
