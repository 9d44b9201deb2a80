/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the uncertain parameters do, a row a parameter. */
#include "report/campaign/campaign_end_csv.h"
#include "report/campaign/campaign_setting.h"
#include "report/page/assumptions.h"
#include "report/page/page.h"

#include <math.h>

static bf_status print_csv(const void *context, FILE *out, bf_error *err)
{
    const bf_sensitivity_report *report = context;
    if (report->page.title[0] != '\0') {
        (void)fprintf(out, "# %s\n", report->page.title);
    }
    (void)fputs(
        "# each parameter at either end of its range, the others as expected; parameters in "
        "the unit of their name\n",
        out);
    bf__study_print(&report->page, report->campaign, report->spec, BF_UNITS_SI, "# ", out);
    bf__foul_truths_print("# ", out);
    if (bf__campaign_names_chemicals(report->spec)) {
        bf__safety_print("# ", out);
    }
    bf__setting_print(&report->page, BF_UNITS_SI, "# ", out);
    bf__foul_cautions_print("# ", out);
    (void)fputs("parameter,value,low,high,basis,takes_part,spread_eq_per_L", out);
    bf__end_csv_head("_at_low", out);
    bf__end_csv_head("_at_high", out);
    (void)fputc('\n', out);
    for (size_t r = 0; r < bf_iron_parameter_count(); r++) {
        const bf_fouling_sensitivity *row = &report->rows[r];
        const bf_iron_parameter of = bf_iron_parameter_get(row->parameter);
        (void)fputs(of.name, out);
        bf__csv_number(bf_iron_spec_get(&report->spec->iron, row->parameter), out);
        bf__csv_number(of.low, out);
        bf__csv_number(of.high, out);
        (void)fprintf(out, ",%s,%d", bf_iron_basis_word(of.basis), row->takes_part ? 1 : 0);
        if (row->takes_part) {
            bf__csv_number(1e-3 * row->spread_eq_per_m3, out);
            bf__end_csv_row(&row->low, out);
            bf__end_csv_row(&row->high, out);
        } else {
            (void)fputs(",,,,,,,,,,,,,,,,,,,,,,,", out);
        }
        (void)fputc('\n', out);
    }
    (void)err;
    return BF_OK;
}

bf_status bf_report_sensitivity_csv(const bf_sensitivity_report *report, FILE *out, bf_error *err)
{
    return bf__page_print(print_csv, report, out, err);
}
