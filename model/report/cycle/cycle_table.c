/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One cycle as a person reads it, in 80 columns. */
#include "brinefront/convert.h"
#include "report/cycle/cycle_parts.h"
#include "report/page/assumptions.h"
#include "report/page/columns.h"
#include "report/page/figure.h"
#include "report/page/page.h"

#include <math.h>

/* A few digits of nothing, as the integrator leaves them, are nothing. */
static double tidy(double value)
{
    return fabs(value) < 5e-4 ? 0.0 : value;
}

static void print_step(const bf_step_result *step, bf_unit_system units, FILE *out)
{
    const bf__unit amount = bf__quantity_unit(BF__QUANTITY_CAPACITY, units);
    (void)fprintf(out, "%-12s %7.1f %7.1f", step->name, step->duration_s / BF_S_PER_MIN,
                  bf__quantity_show(BF__QUANTITY_BED_VOLUMES, units, step->bed_volumes));
    if (step->salt_kg_per_m3 > 0.0) {
        (void)fprintf(out, " %7.2f",
                      bf__quantity_show(BF__QUANTITY_DOSE, units, step->salt_kg_per_m3));
    } else {
        (void)fprintf(out, " %7s", "");
    }
    if (step->passage.duration_s > 0.0) { /* it touches the bed */
        (void)fprintf(out, " %8.3f %8.3f %+8.3f %9.2f",
                      amount.scale * bf_ion_hardness(step->passage.in_eq_per_m3),
                      amount.scale * bf_ion_hardness(step->passage.out_eq_per_m3),
                      tidy(amount.scale * bf_ion_hardness(step->passage.stored_eq_per_m3)),
                      bf__mg_per_L_CaCO3(step->passage.hardness_last_eq_per_m3));
    }
    (void)fputc('\n', out);
}

static void print_steps(const bf_cycle_report *report, FILE *out)
{
    const bf_unit_system units = report->page.units;
    const bf_cycle_result *cycle = &report->study->cycle[0];
    (void)fprintf(
        out,
        "step            time  liquid    salt    hardness, %-7s       effluent, mg/L\n"
        "                 min %7s  %6s      in      out     held      last\n"
        "--------------------------------------------------------------------------------\n",
        bf__quantity_unit(BF__QUANTITY_CAPACITY, units).column,
        bf__quantity_unit(BF__QUANTITY_BED_VOLUMES, units).column,
        bf__quantity_unit(BF__QUANTITY_DOSE, units).column);
    for (size_t s = 0; s < cycle->step_count; s++) {
        print_step(&cycle->step[s], units, out);
    }
}

static void print_first_cycles(const bf_cycle_report *report, FILE *out)
{
#define COLUMN(wide, what, digits)                                                                 \
    {                                                                                              \
        .width = wide, .kind = BF__QUANTITY_##what, .decimals = { digits, digits }                 \
    }
    static const bf__column columns[] = {COLUMN(11, CAPACITY, 3), COLUMN(12, LEAKAGE, 3),
                                         COLUMN(9, LEAKAGE, 3), COLUMN(9, LEAKAGE, 3),
                                         COLUMN(9, BED_VOLUMES, 1)};
#undef COLUMN
    const bf_unit_system units = report->page.units;
    (void)fprintf(out,
                  "\nThe first cycles of resin as delivered (all sodium)\n\n"
                  "cycle   capacity   leak mean    first   lowest      run\n"
                  "        %8s        mg/L     mg/L     mg/L  %7s\n",
                  bf__quantity_unit(BF__QUANTITY_CAPACITY, units).column,
                  bf__quantity_unit(BF__QUANTITY_BED_VOLUMES, units).column);
    for (size_t c = 0; c < report->study->cycle_count; c++) {
        const bf_cycle_result *cycle = &report->study->cycle[c];
        const double lowest = cycle->leakage_low_eq_per_m3;
        const double values[] = {cycle->capacity_eq_per_m3, cycle->leakage_mean_eq_per_m3,
                                 cycle->leakage_first_eq_per_m3,
                                 tidy(bf__mg_per_L_CaCO3(lowest)) == 0.0 ? 0.0 : lowest,
                                 cycle->throughput_bed_volumes};
        (void)fprintf(out, "%5zu", c + 1);
        bf__columns_print(columns, sizeof columns / sizeof *columns, values, units, out);
        if (cycle->outcome != BF_RATED) {
            (void)fprintf(out, "  %s", bf_outcome_words(cycle->outcome));
        }
        (void)fputc('\n', out);
    }
}

static void print_head(const bf_cycle_report *report, FILE *out)
{
    const bf_unit_system units = report->page.units;
    const bf_cycle_study *study = report->study;
    const bf_cycle_result *cycle = &study->cycle[0];
    const int is_steady = study->steady.cycles > 0;
    const bf_outcome outcome = is_steady ? study->steady.cycle.outcome : cycle->outcome;
    (void)fprintf(out, "%s at %s of salt", is_steady ? "A steady cycle" : "The first cycle",
                  bf__figure_digits(BF__QUANTITY_DOSE, units, study->dose_kg_per_m3, 4).text);
    if (is_steady) {
        (void)fprintf(out, ", reached after %zu cycles", study->steady.cycles);
    }
    if (outcome == BF_RATED) {
        (void)fprintf(
            out, "\ncapacity %s, mean leakage %.3g mg/L",
            bf__figure_digits(BF__QUANTITY_CAPACITY, units, cycle->capacity_eq_per_m3, 4).text,
            bf__mg_per_L_CaCO3(cycle->leakage_mean_eq_per_m3));
    } else {
        (void)fprintf(out, "\n%s", bf_outcome_words(outcome));
    }
    (void)fprintf(out, "\n\n");
}

static void print_table(const void *context, FILE *out)
{
    const bf_cycle_report *report = context;
    bf__page_title(&report->page, out);
    print_head(report, out);
    print_steps(report, out);
    if (report->study->cycle_count > 1) {
        print_first_cycles(report, out);
    }
    bf__cycle_chart_print(report, out);
    bf__cycle_effluent_print(report, out);
    bf__cycle_elution_print(report, out);
    bf__cycle_sites_print(report, out);
    (void)fputc('\n', out);
    bf__setting_print(&report->page, report->page.units, "", out);
    (void)fprintf(out, "balance: every ion over every step closes to %.1g of the capacity\n\n",
                  report->study->cycle[0].balance_error);
    bf__cautions_print("", out);
}

bf_status bf_report_cycle_table(const bf_cycle_report *report, FILE *out, bf_error *err)
{
    return bf__page_print(print_table, report, out, err);
}
