/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The effluent of every step of a cycle as comma-separated values, one row a moment. */
#include "brinefront/convert.h"
#include "report/cycle/elution.h"
#include "report/page/assumptions.h"
#include "report/page/page.h"

static bf_status print_csv(const void *context, FILE *out, bf_error *err)
{
    const bf_cycle_report *report = context;
    const bf_cycle_study *study = report->study;
    const bf_cycle_result *cycle = &study->cycle[0];
    const double temperature_K = report->page.rating->water.temperature_K;
    if (report->page.title[0] != '\0') {
        (void)fprintf(out, "# %s\n", report->page.title);
    }
    bf__setting_print(&report->page, BF_UNITS_SI, "# ", out);
    (void)fprintf(out, "# %s at %.6g g/L of salt; balance closes to %.1g of the capacity\n",
                  study->steady.cycles > 0 ? "steady cycle" : "first cycle of resin as delivered",
                  study->dose_kg_per_m3, cycle->balance_error);
    bf__cautions_print("# ", out);
    (void)fprintf(out, "step,name,time_min,volume_BV,hardness_mg_per_L_CaCO3,normality_meq_per_L,"
                       "strength_wt_percent,specific_gravity,salometer_degrees");
    for (size_t i = 0; i < BF_CATION_COUNT; i++) {
        (void)fprintf(out, ",%s_meq_per_L", bf_ion_get((bf_ion)i)->symbol);
    }
    (void)fputc('\n', out);
    const bf_step *brine = bf_recipe_find(&study->recipe, BF_ROLE_BRINE);
    const bf_salt kind = brine != NULL ? brine->salt : BF_SALT_NACL;
    for (size_t s = 0; s < bf_trace_step_count(study->trace); s++) {
        size_t count;
        const bf_trace_point *points = bf_trace_points(study->trace, s, &count);
        for (size_t p = 0; p < count; p++) {
            const bf_trace_point *at = &points[p];
            bf__elution read = bf__elution_read(kind, at->normality_eq_per_m3, temperature_K);
            (void)fprintf(out, "%zu,%s,%.6g,%.6g,%.6g,%.6g,%.5g,%.6g,%.5g", s + 1,
                          cycle->step[s].name, at->time_s / BF_S_PER_MIN, at->bed_volumes,
                          bf__mg_per_L_CaCO3(at->hardness_eq_per_m3), at->normality_eq_per_m3,
                          100.0 * read.mass_fraction, read.specific_gravity,
                          read.salometer_degrees);
            for (size_t i = 0; i < BF_CATION_COUNT; i++) {
                (void)fprintf(out, ",%.6g", at->effluent_eq_per_m3[i]);
            }
            (void)fputc('\n', out);
        }
    }
    (void)err;
    return BF_OK;
}

bf_status bf_report_cycle_csv(const bf_cycle_report *report, FILE *out, bf_error *err)
{
    return bf__page_print(print_csv, report, out, err);
}
