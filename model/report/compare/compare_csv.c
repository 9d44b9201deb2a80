/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Cases side by side as comma-separated values: a row a dose and case; # lines carry words. */
#include "report/compare/compare_columns.h"
#include "report/compare/compare_keys.h"
#include "report/compare/compare_words.h"
#include "report/page/assumptions.h"
#include "report/page/csv.h"
#include "report/page/page.h"

static void print_header(FILE *out)
{
    (void)fputs("case,file,dose_g_per_L,dose_lb_per_ft3,status", out);
    for (size_t q = 0; q < BF_COMPARED_COUNT; q++) {
        const bf__column *column = &bf__compare_columns[q];
        const char *name = column->name[BF_UNITS_SI];
        if (column->name[BF_UNITS_US] != NULL) {
            (void)fprintf(out, ",%s", column->name[BF_UNITS_US]);
        }
        (void)fprintf(out, ",%s,%s_difference_percent,%s_P10_percent,%s_P90_percent,%s_beyond",
                      name, name, name, name, name);
    }
    (void)fputc('\n', out);
}

static void print_row(const bf_compare_report *report, size_t which, const bf_compared_point *point,
                      FILE *out)
{
    const double dose = point->point.dose_kg_per_m3;
    (void)fprintf(out, "%c,", bf__compare_letter(which));
    bf__csv_text(report->name[which], out);
    bf__csv_number(bf__quantity_show(BF__QUANTITY_DOSE, BF_UNITS_SI, dose), out);
    bf__csv_number(bf__quantity_show(BF__QUANTITY_DOSE, BF_UNITS_US, dose), out);
    (void)fprintf(out, ",%s", bf_outcome_words(point->point.steady.cycle.outcome));
    for (size_t q = 0; q < BF_COMPARED_COUNT; q++) {
        const bf__column *column = &bf__compare_columns[q];
        const bf_compared_value *value = &point->quantity[q];
        if (column->name[BF_UNITS_US] != NULL) {
            bf__csv_number(bf__quantity_show(column->kind, BF_UNITS_US, value->value), out);
        }
        bf__csv_number(bf__quantity_show(column->kind, BF_UNITS_SI, value->value), out);
        bf__csv_number(100.0 * value->difference, out);
        bf__csv_number(100.0 * value->low, out);
        bf__csv_number(100.0 * value->high, out);
        (void)fprintf(out, ",%d", value->is_beyond);
    }
    (void)fputc('\n', out);
}

static void print_csv(const void *context, FILE *out)
{
    const bf_compare_report *report = context;
    bf__compare_cases_print(report, "# ", out);
    (void)fputs("# what differs\n", out);
    bf__compare_keys_print(report, "# ", out);
    bf__compare_band_print(report, "# ", out);
    bf__compare_setting_print(report, "# ", out);
    bf__cautions_print("# ", out);
    print_header(out);
    for (size_t d = 0; d < report->doses; d++) {
        for (size_t c = 0; c < report->cases; c++) {
            print_row(report, c, &report->points[d * report->cases + c], out);
        }
    }
}

bf_status bf_report_compare_csv(const bf_compare_report *report, FILE *out, bf_error *err)
{
    return bf__page_print(print_csv, report, out, err);
}
