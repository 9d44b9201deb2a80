/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A rating as comma-separated values: one row a dose, in fixed SI and trade units side by side. */
#include "brinefront/convert.h"
#include "report/page/assumptions.h"
#include "report/page/page.h"
#include "report/rate/overlay.h"
#include "report/sheet/sheet.h"

#include <math.h>

static const char *const header =
    "dose_g_per_L,dose_lb_per_ft3,capacity_eq_per_L,capacity_kgr_per_ft3,salt_efficiency_gr_per_lb,"
    "salt_efficiency_eq_per_eq,leakage_mean_mg_per_L_CaCO3,leakage_first_mg_per_L_CaCO3,"
    "leakage_low_mg_per_L_CaCO3,throughput_BV,regeneration_water_BV,regeneration_min,cycles,"
    "capacity_error,leakage_error,balance_error,status";

static void print_row(const bf_dose_point *point, FILE *out)
{
    const bf_cycle_result *cycle = &point->steady.cycle;
    (void)fprintf(out, "%.6g,%.6g,", point->dose_kg_per_m3,
                  point->dose_kg_per_m3 / BF_KG_PER_M3_PER_LB_PER_FT3);
    if (cycle->outcome == BF_RATED) {
        (void)fprintf(
            out, "%.6g,%.6g,%.6g,%.6g,%.6g,%.6g,%.6g,%.6g,%.6g,%.6g,%zu,%.2g,%.2g,",
            1e-3 * cycle->capacity_eq_per_m3,
            cycle->capacity_eq_per_m3 / BF_EQ_PER_M3_PER_KGR_PER_FT3,
            bf__gr_per_lb(cycle->capacity_eq_per_m3, point->dose_kg_per_m3),
            point->efficiency_eq_per_eq, bf__mg_per_L_CaCO3(cycle->leakage_mean_eq_per_m3),
            bf__mg_per_L_CaCO3(cycle->leakage_first_eq_per_m3),
            bf__mg_per_L_CaCO3(cycle->leakage_low_eq_per_m3), cycle->throughput_bed_volumes,
            cycle->water_bed_volumes, cycle->regeneration_s / BF_S_PER_MIN, point->steady.cycles,
            point->steady.capacity_error, point->steady.leakage_error);
    } else {
        (void)fprintf(out, ",,,,,,,,,,%zu,,,", point->steady.cycles);
    }
    (void)fprintf(out, "%.2g,%s", cycle->balance_error, bf_outcome_words(cycle->outcome));
}

static bf_status print_csv(const void *context, FILE *out, bf_error *err)
{
    const bf_rate_report *report = context;
    if (report->page.title[0] != '\0') {
        (void)fprintf(out, "# %s\n", report->page.title);
    }
    bf__setting_print(&report->page, BF_UNITS_SI, "# ", out);
    bf__accuracy_print(report, BF_UNITS_SI, "# ", out);
    bf__cautions_print("# ", out);
    if (report->study != NULL) {
        return bf__sheet_csv(report, out, err);
    }
    (void)fputs(header, out);
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
    (void)err;
    return BF_OK;
}

bf_status bf_report_rate_csv(const bf_rate_report *report, FILE *out, bf_error *err)
{
    return bf__page_print(print_csv, report, out, err);
}
