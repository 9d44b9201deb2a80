/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Hardness to count for iron: a row an addition tried, then the answer. */
#include "brinefront/convert.h"
#include "report/campaign/campaign_end_csv.h"
#include "report/campaign/campaign_setting.h"
#include "report/compensation/compensation.h"
#include "report/page/assumptions.h"
#include "report/page/page.h"

#include <math.h>

static void print_point(const char *row, const bf_compensation_point *point, FILE *out)
{
    (void)fputs(row, out);
    bf__csv_number(point->addition_eq_per_g, out);
    bf__csv_number(point->addition_eq_per_g / BF_EQ_PER_M3_PER_GPG, out);
    bf__csv_number(point->days_between, out);
    bf__csv_number(100.0 * point->capacity_loss, out);
    bf__end_csv_row(&point->end, out);
    (void)fputc('\n', out);
}

static bf_status print_csv(const void *context, FILE *out, bf_error *err)
{
    const bf_compensation_report *report = context;
    const bf_compensation *found = report->found;
    if (report->page.title[0] != '\0') {
        (void)fprintf(out, "# %s\n", report->page.title);
    }
    (void)fprintf(out, "# hardness to count for iron; loss allowed %.4g %%\n",
                  100.0 * found->allowed_loss);
    bf__compensation_answer(report, BF_UNITS_SI, "# ", out);
    bf__compensation_rules(BF_UNITS_SI, "# ", out);
    bf__study_print(&report->page, report->campaign, report->spec, BF_UNITS_SI, "# ", out);
    bf__foul_truths_print("# ", out);
    if (bf__campaign_names_chemicals(report->spec)) {
        bf__safety_print("# ", out);
    }
    bf__setting_print(&report->page, BF_UNITS_SI, "# ", out);
    bf__foul_cautions_print("# ", out);
    (void)fputs("row,addition_meq_per_mg,addition_gpg_per_mg_per_L,days_between_regenerations,"
                "capacity_loss_percent",
                out);
    bf__end_csv_head("", out);
    (void)fputc('\n', out);
    for (size_t p = 0; p < found->count; p++) {
        print_point("tried", &found->point[p], out);
    }
    if (!isnan(found->addition_eq_per_g)) {
        print_point("answer", &found->at, out);
    }
    if (report->low != NULL && !isnan(report->low->addition_eq_per_g)) {
        print_point("answer_at_low_ageing", &report->low->at, out);
    }
    if (report->high != NULL && !isnan(report->high->addition_eq_per_g)) {
        print_point("answer_at_high_ageing", &report->high->at, out);
    }
    (void)err;
    return BF_OK;
}

bf_status bf_report_compensation_csv(const bf_compensation_report *report, FILE *out, bf_error *err)
{
    return bf__page_print(print_csv, report, out, err);
}
