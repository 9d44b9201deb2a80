/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the uncertain parameters do, a row a parameter. */
#include "report/campaign/campaign_end.h"
#include "report/campaign/campaign_setting.h"
#include "report/page/csv.h"
#include "report/page/page.h"
#include "report/sensitivity/sensitivity.h"

static void print_csv(const void *context, FILE *out)
{
    const bf_sensitivity_report *report = context;
    bf__csv_title(report->page.title, out);
    (void)fputs(
        "# each parameter at either end of its range, the others as expected; parameters in "
        "the unit of their name\n",
        out);
    bf__study_print(&report->page, report->campaign, report->spec, BF_UNITS_SI, "# ", out);
    bf__foul_foot_print(&report->page, bf__campaign_names_chemicals(report->spec), BF_UNITS_SI,
                        "# ", out);
    (void)fputs("parameter,value,low,high,basis,takes_part", out);
    bf__columns_csv_head(bf__sensitivity_columns, BF__SENSITIVITY_COLUMNS, "", out);
    bf__end_csv_head("_at_low", out);
    bf__end_csv_head("_at_high", out);
    (void)fputc('\n', out);
    for (size_t r = 0; r < bf_iron_parameter_count(); r++) {
        const bf_fouling_sensitivity *row = &report->rows[r];
        const bf_iron_parameter parameter = bf_iron_parameter_get(row->parameter);
        double values[BF__SENSITIVITY_COLUMNS];
        (void)fputs(parameter.name, out);
        bf__csv_number(bf_iron_spec_get(&report->spec->iron, row->parameter), out);
        bf__csv_number(parameter.low, out);
        bf__csv_number(parameter.high, out);
        (void)fprintf(out, ",%s,%d", bf_iron_basis_word(parameter.basis), row->takes_part ? 1 : 0);
        bf__sensitivity_values(row, values);
        bf__columns_csv(bf__sensitivity_columns, BF__SENSITIVITY_COLUMNS, values, out);
        bf__end_csv(row->takes_part ? &row->low : NULL, out);
        bf__end_csv(row->takes_part ? &row->high : NULL, out);
        (void)fputc('\n', out);
    }
}

bf_status bf_report_sensitivity_csv(const bf_sensitivity_report *report, FILE *out, bf_error *err)
{
    return bf__page_print(print_csv, report, out, err);
}
