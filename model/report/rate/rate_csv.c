/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A rating as comma-separated values: one row a dose, in fixed SI and trade units side by side. */
#include "report/page/assumptions.h"
#include "report/page/csv.h"
#include "report/page/page.h"
#include "report/rate/overlay.h"
#include "report/rate/rate_columns.h"
#include "report/sheet/sheet.h"

static void print_row(const bf_dose_point *point, FILE *out)
{
    const bf_steady_result *steady = &point->steady;
    double values[BF__RATE_COLUMNS];
    bf__rate_values(point, values);
    (void)fprintf(out, "%.6g", bf__quantity_show(BF__QUANTITY_DOSE, BF_UNITS_SI, values[0]));
    bf__csv_number(bf__quantity_show(BF__QUANTITY_DOSE, BF_UNITS_US, values[0]), out);
    bf__columns_csv(bf__rate_columns + 1, BF__RATE_COLUMNS - 1, values + 1, out);
    (void)fprintf(out, ",%zu,", steady->cycles);
    if (steady->cycle.outcome == BF_RATED) {
        (void)fprintf(out, "%.2g,%.2g,", steady->capacity_error, steady->leakage_error);
    } else {
        (void)fputs(",,", out);
    }
    (void)fprintf(out, "%.2g,%s", steady->cycle.balance_error,
                  bf_outcome_words(steady->cycle.outcome));
}

static bf_status print_csv(const void *context, FILE *out, bf_error *err)
{
    const bf_rate_report *report = context;
    bf__csv_title(report->page.title, out);
    bf__setting_print(&report->page, BF_UNITS_SI, "# ", out);
    bf__accuracy_print(report, BF_UNITS_SI, "# ", out);
    bf__cautions_print("# ", out);
    if (report->study != NULL) {
        return bf__sheet_csv(report, out, err);
    }
    (void)fputs("dose_g_per_L,dose_lb_per_ft3", out);
    bf__columns_csv_head(bf__rate_columns + 1, BF__RATE_COLUMNS - 1, "", out);
    (void)fputs(",cycles,capacity_error,leakage_error,balance_error,status", out);
    if (report->overlay != NULL) {
        bf__overlay_csv_head(out);
    }
    (void)fputc('\n', out);
    for (size_t p = 0; p < report->count; p++) {
        print_row(&report->points[p], out);
        if (report->overlay != NULL) {
            bf__overlay_csv_row(report, report->overlay->count, out);
        }
        (void)fputc('\n', out);
    }
    for (size_t r = 0; report->overlay != NULL && r < report->overlay->count; r++) {
        print_row(&report->overlay_points[r], out);
        bf__overlay_csv_row(report, r, out);
        (void)fputc('\n', out);
    }
    return BF_OK;
}

bf_status bf_report_rate_csv(const bf_rate_report *report, FILE *out, bf_error *err)
{
    return bf__page_try(print_csv, report, out, err);
}
