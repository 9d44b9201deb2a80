/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The effluent of a cycle: the softened water along the run, and what goes to drain. */
#include "base/quantities.h"
#include "brinefront/convert.h"
#include "report/cycle/cycle_parts.h"
#include "report/cycle/elution.h"

static double mg_per_L(const bf_trace_point *point, bf_ion ion)
{
    return point->effluent_eq_per_m3[ion] * bf_ion_equivalent_mass_g_per_eq(ion);
}

static double hardness_mg_per_L(const bf_trace_point *point)
{
    return bf__quantity_show(BF__QUANTITY_LEAKAGE, BF_UNITS_SI, point->hardness_eq_per_m3);
}

int bf__cycle_has_iron(const bf_cycle_report *report)
{
    const double *feed = report->page.rating->water.ion_eq_per_m3;
    return feed[BF_ION_FE] > 0.0 || feed[BF_ION_MN] > 0.0;
}

void bf__cycle_effluent_print(const bf_cycle_report *report, FILE *out)
{
    enum { ROWS = 13 };
    const bf__unit volume = bf__quantity_unit(BF__QUANTITY_BED_VOLUMES, report->page.units);
    const bf_trace *trace = report->study->trace;
    const bf_step_result *service = &report->study->cycle[0].step[0];
    size_t count;
    (void)bf_trace_points(trace, 0, &count);
    if (count == 0) {
        return;
    }
    int is_shown[BF_CATION_COUNT];
    (void)fprintf(out, "\nSoftened water along the run; hardness as CaCO3, ions as ions, mg/L\n\n");
    (void)fprintf(out, "%9s %9s", volume.column, "hardness");
    for (size_t i = 0; i < BF_CATION_COUNT; i++) {
        is_shown[i] = service->passage.in_eq_per_m3[i] > 0.0 || i == BF_ION_NA;
        if (is_shown[i]) {
            (void)fprintf(out, " %8s", bf_ion_get((bf_ion)i)->symbol);
        }
    }
    (void)fputc('\n', out);
    const double end = service->bed_volumes;
    for (size_t row = 0; row < ROWS; row++) {
        const double share = row == 0 ? 0.5 / end : (double)row / (ROWS - 1);
        const bf_trace_point point = bf_trace_at(trace, 0, share * end);
        (void)fprintf(out, "%9.1f %9.3f", volume.scale * point.bed_volumes,
                      hardness_mg_per_L(&point));
        for (size_t i = 0; i < BF_CATION_COUNT; i++) {
            if (is_shown[i]) {
                (void)fprintf(out, " %8.3f", mg_per_L(&point, (bf_ion)i));
            }
        }
        (void)fputc('\n', out);
    }
}

/* A moment of the regeneration. @param name  of its step, on the step's first row; else "" */
static void print_moment(const bf_cycle_report *report, const bf_trace_point *point,
                         const char *name, double minutes, double bed_volumes, FILE *out)
{
    const bf__elution brine = bf__elution_read(bf__cycle_salt(report), point->normality_eq_per_m3,
                                               report->page.rating->water.temperature_K);
    (void)fprintf(out, "%-12s %7.1f %7.2f %10.1f", name, minutes,
                  bf__quantity_show(BF__QUANTITY_BED_VOLUMES, report->page.units, bed_volumes),
                  hardness_mg_per_L(point));
    if (bf__cycle_has_iron(report)) {
        (void)fprintf(out, " %9.2f", mg_per_L(point, BF_ION_FE) + mg_per_L(point, BF_ION_MN));
    }
    (void)fprintf(out, " %7.2f %8.4f %10.1f\n", 100.0 * brine.mass_fraction, brine.specific_gravity,
                  brine.salometer_degrees);
}

void bf__cycle_elution_print(const bf_cycle_report *report, FILE *out)
{
    enum { ROWS_PER_STEP = 6 };
    const bf_cycle_result *cycle = &report->study->cycle[0];
    const bf_trace *trace = report->study->trace;
    const int with_iron = bf__cycle_has_iron(report);
    (void)fprintf(
        out,
        "\nElution: what goes to drain; hardness as CaCO3, strength read as plain brine\n\n"
        "step             min %7s   hardness%s     wt%%  gravity  salometer\n"
        "                                 mg/L%s                    degrees\n",
        bf__quantity_unit(BF__QUANTITY_BED_VOLUMES, report->page.units).column,
        with_iron ? "   Fe + Mn" : "", with_iron ? "      mg/L" : "");
    double minutes = 0.0;
    double bed_volumes = 0.0;
    for (size_t s = 1; s < cycle->step_count; s++) {
        const bf_step_result *step = &cycle->step[s];
        size_t count;
        (void)bf_trace_points(trace, s, &count);
        if (count == 0) {
            continue;
        }
        const size_t rows = step->bed_volumes > 0.0 ? ROWS_PER_STEP : 1; /* nothing leaves a hold */
        for (size_t row = 1; row <= rows; row++) {
            const double at = step->bed_volumes * (double)row / (double)rows;
            const bf_trace_point point = bf_trace_at(trace, s, at);
            print_moment(report, &point, row == 1 ? step->name : "",
                         minutes + point.time_s / BF_S_PER_MIN, bed_volumes + at, out);
        }
        minutes += step->duration_s / BF_S_PER_MIN;
        bed_volumes += step->bed_volumes;
    }
}
