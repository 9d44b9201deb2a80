/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Changes ranked by what they leave of the bed, a row a change. */
#include "report/campaign/campaign_end.h"
#include "report/campaign/campaign_setting.h"
#include "report/page/csv.h"
#include "report/page/page.h"
#include "report/what_if/what_if.h"

static void print_row(const bf_what_if_report *report, const bf_fouling_end *end, double gain,
                      FILE *out)
{
    double values[BF__WHAT_IF_COLUMNS];
    bf__what_if_values(report->spec, end, gain, values);
    bf__columns_csv(bf__what_if_columns, BF__WHAT_IF_COLUMNS, values, out);
    bf__end_csv(end, out);
    (void)fputc('\n', out);
}

static void print_csv(const void *context, FILE *out)
{
    const bf_what_if_report *report = context;
    bf__csv_title(report->page.title, out);
    (void)fputs("# what if: one change at a time\n", out);
    bf__study_print(&report->page, report->campaign, report->spec, BF_UNITS_SI, "# ", out);
    bf__what_if_words(report, BF_UNITS_SI, "# ", out);
    bf__foul_foot_print(&report->page, bf__what_if_names_chemicals(report), BF_UNITS_SI, "# ", out);
    (void)fputs("name,change", out);
    bf__columns_csv_head(bf__what_if_columns, BF__WHAT_IF_COLUMNS, "", out);
    bf__end_csv_head("", out);
    (void)fputc('\n', out);
    for (size_t r = 0; r < report->count; r++) {
        char change[BF__WHAT_IF_WORDS];
        (void)fprintf(out, "%s,", report->rows[r].name);
        bf__what_if_change(report, &report->rows[r], BF_UNITS_SI, change);
        bf__csv_text(change, out);
        print_row(report, &report->rows[r].end, report->rows[r].gain_eq_per_m3, out);
    }
    (void)fputs("unchanged,", out);
    print_row(report, report->unchanged, 0.0, out);
}

bf_status bf_report_what_if_csv(const bf_what_if_report *report, FILE *out, bf_error *err)
{
    return bf__page_print(print_csv, report, out, err);
}
