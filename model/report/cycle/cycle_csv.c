/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The effluent of every step of a cycle as comma-separated values, one row a moment. */
#include "brinefront/convert.h"
#include "report/cycle/cycle_parts.h"
#include "report/cycle/elution.h"
#include "report/page/assumptions.h"
#include "report/page/csv.h"
#include "report/page/page.h"

static void print_moment(const bf_cycle_report *report, size_t step, const bf_trace_point *point,
                         FILE *out)
{
    const bf__elution brine = bf__elution_read(bf__cycle_salt(report), point->normality_eq_per_m3,
                                               report->page.rating->water.temperature_K);
    (void)fprintf(out, "%zu,%s,%.6g,%.6g,%.6g,%.6g,%.5g,%.6g,%.5g", step + 1,
                  report->study->cycle[0].step[step].name, point->time_s / BF_S_PER_MIN,
                  point->bed_volumes, bf__mg_per_L_CaCO3(point->hardness_eq_per_m3),
                  point->normality_eq_per_m3, 100.0 * brine.mass_fraction, brine.specific_gravity,
                  brine.salometer_degrees);
    for (size_t i = 0; i < BF_CATION_COUNT; i++) {
        (void)fprintf(out, ",%.6g", point->effluent_eq_per_m3[i]);
    }
    (void)fputc('\n', out);
}

static void print_csv(const void *context, FILE *out)
{
    const bf_cycle_report *report = context;
    const bf_cycle_study *study = report->study;
    bf__csv_title(report->page.title, out);
    bf__setting_print(&report->page, BF_UNITS_SI, "# ", out);
    (void)fprintf(out, "# %s at %.6g g/L of salt; balance closes to %.1g of the capacity\n",
                  study->steady.cycles > 0 ? "steady cycle" : "first cycle of resin as delivered",
                  study->dose_kg_per_m3, study->cycle[0].balance_error);
    bf__cautions_print("# ", out);
    (void)fprintf(out, "step,name,time_min,volume_BV,hardness_mg_per_L_CaCO3,normality_meq_per_L,"
                       "strength_wt_percent,specific_gravity,salometer_degrees");
    for (size_t i = 0; i < BF_CATION_COUNT; i++) {
        (void)fprintf(out, ",%s_meq_per_L", bf_ion_get((bf_ion)i)->symbol);
    }
    (void)fputc('\n', out);
    for (size_t s = 0; s < bf_trace_step_count(study->trace); s++) {
        size_t count;
        const bf_trace_point *points = bf_trace_points(study->trace, s, &count);
        for (size_t p = 0; p < count; p++) {
            print_moment(report, s, &points[p], out);
        }
    }
}

bf_status bf_report_cycle_csv(const bf_cycle_report *report, FILE *out, bf_error *err)
{
    return bf__page_print(print_csv, report, out, err);
}
