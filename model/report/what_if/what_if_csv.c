/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Changes ranked by what they leave of the bed, a row a change. */
#include "report/campaign/campaign_end_csv.h"
#include "report/campaign/campaign_setting.h"
#include "report/page/assumptions.h"
#include "report/page/page.h"
#include "report/what_if/what_if.h"

static bf_status print_csv(const void *context, FILE *out, bf_error *err)
{
    const bf_what_if_report *report = context;
    if (report->page.title[0] != '\0') {
        (void)fprintf(out, "# %s\n", report->page.title);
    }
    (void)fputs("# what if: one change at a time\n", out);
    bf__study_print(&report->page, report->campaign, report->spec, BF_UNITS_SI, "# ", out);
    bf__what_if_words(report, BF_UNITS_SI, "# ", out);
    bf__foul_truths_print("# ", out);
    if (bf__what_if_names_chemicals(report)) {
        bf__safety_print("# ", out);
    }
    bf__setting_print(&report->page, BF_UNITS_SI, "# ", out);
    bf__foul_cautions_print("# ", out);
    (void)fputs("name,change,gain_eq_per_L", out);
    bf__end_csv_head("", out);
    (void)fputc('\n', out);
    for (size_t r = 0; r < report->count; r++) {
        (void)fprintf(out, "%s,", report->rows[r].name);
        bf__csv_text(report->rows[r].change, out);
        bf__csv_number(1e-3 * report->rows[r].gain_eq_per_m3, out);
        bf__end_csv_row(&report->rows[r].end, out);
        (void)fputc('\n', out);
    }
    (void)fputs("unchanged,", out);
    bf__csv_number(0.0, out);
    bf__end_csv_row(report->unchanged, out);
    (void)fputc('\n', out);
    (void)err;
    return BF_OK;
}

bf_status bf_report_what_if_csv(const bf_what_if_report *report, FILE *out, bf_error *err)
{
    return bf__page_print(print_csv, report, out, err);
}
