/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A user's own table of capacities against what is computed at the same doses. Residuals and a
 * count, no verdict. */
#include "report/rate/overlay.h"

#include "brinefront/convert.h"
#include "report/page/json.h"

#include <math.h>

bf_overlay_residual bf_report_overlay_residual(const bf_rate_report *report, size_t row)
{
    const bf_overlay_row *from = &report->overlay->row[row];
    const bf_cycle_result *cycle = &report->overlay_points[row].steady.cycle;
    const double nothing = (double)NAN;
    bf_overlay_residual made = {.dose_kg_per_m3 = from->dose_kg_per_m3,
                                .stated_eq_per_m3 = from->capacity_eq_per_m3,
                                .low_eq_per_m3 = nothing,
                                .high_eq_per_m3 = nothing};
    made.computed_eq_per_m3 = cycle->outcome == BF_RATED ? cycle->capacity_eq_per_m3 : nothing;
    made.residual_eq_per_m3 = made.stated_eq_per_m3 - made.computed_eq_per_m3;
    made.relative = made.residual_eq_per_m3 / made.computed_eq_per_m3;
    made.has_band = report->study != NULL && cycle->outcome == BF_RATED &&
                    bf_tank_study_span(report->study, made.dose_kg_per_m3, made.computed_eq_per_m3,
                                       &made.low_eq_per_m3, &made.high_eq_per_m3);
    made.is_inside = made.has_band && made.stated_eq_per_m3 >= made.low_eq_per_m3 &&
                     made.stated_eq_per_m3 <= made.high_eq_per_m3;
    return made;
}

static const char *inside_word(const bf_overlay_residual *of)
{
    return !of->has_band ? "no band" : of->is_inside ? "inside" : "outside";
}

void bf__overlay_table(const bf_rate_report *report, bf_unit_system units, FILE *out)
{
    const int us = units == BF_UNITS_US;
    const double dose_unit = us ? BF_KG_PER_M3_PER_LB_PER_FT3 : 1.0;
    const double unit = us ? BF_EQ_PER_M3_PER_KGR_PER_FT3 : 1e3;
    size_t inside = 0;
    size_t banded = 0;
    size_t computed = 0;
    (void)fprintf(out, "Overlay: your own table against what is computed at its doses\n\n");
    (void)fprintf(out, "     dose    stated  computed  residual  residual%s\n",
                  report->study == NULL ? "" : "  P10 to P90");
    (void)fprintf(out,
                  us ? "   lb/ft3   kgr/ft3   kgr/ft3   kgr/ft3         %%%s\n"
                     : "      g/L      eq/L      eq/L      eq/L         %%%s\n",
                  "");
    for (size_t r = 0; r < report->overlay->count; r++) {
        const bf_overlay_residual of = bf_report_overlay_residual(report, r);
        (void)fprintf(out, "%9.*f %9.3f ", us ? 2 : 1, of.dose_kg_per_m3 / dose_unit,
                      of.stated_eq_per_m3 / unit);
        if (isnan(of.computed_eq_per_m3)) {
            (void)fprintf(out, " %s\n",
                          bf_outcome_words(report->overlay_points[r].steady.cycle.outcome));
            continue;
        }
        computed++;
        banded += of.has_band != 0;
        inside += of.is_inside != 0;
        (void)fprintf(out, "%9.3f %+9.3f %+9.1f", of.computed_eq_per_m3 / unit,
                      of.residual_eq_per_m3 / unit, 100.0 * of.relative);
        (void)fprintf(out, report->study == NULL ? "\n" : "  %s\n", inside_word(&of));
    }
    (void)fprintf(out, "%zu of %zu rows have a computed value", computed, report->overlay->count);
    if (report->study != NULL) {
        (void)fprintf(out, "; %zu of %zu with a band lie inside it", inside, banded);
    }
    (void)fprintf(out, "\n\n");
}

void bf__overlay_csv_head(FILE *out)
{
    (void)fputs(",stated_capacity_eq_per_L,stated_less_computed_eq_per_L,relative_residual", out);
}

static void print_number(double value, FILE *out)
{
    (void)fputc(',', out);
    if (isfinite(value)) {
        (void)fprintf(out, "%.6g", value);
    }
}

void bf__overlay_csv_row(const bf_rate_report *report, size_t row, FILE *out)
{
    const int is_row = row < report->overlay->count;
    const bf_overlay_residual of =
        is_row ? bf_report_overlay_residual(report, row) : (bf_overlay_residual){0};
    const double told = is_row ? 1.0 : (double)NAN;
    print_number(told * 1e-3 * of.stated_eq_per_m3, out);
    print_number(told * 1e-3 * of.residual_eq_per_m3, out);
    print_number(told * of.relative, out);
}

json_t *bf__overlay_json(const bf_rate_report *report)
{
    json_t *rows = json_array();
    for (size_t r = 0; r < report->overlay->count; r++) {
        const bf_overlay_residual of = bf_report_overlay_residual(report, r);
        json_t *row = json_object();
        bf__json_number(row, "dose_g_per_L", of.dose_kg_per_m3);
        bf__json_number(row, "stated_eq_per_L", 1e-3 * of.stated_eq_per_m3);
        bf__json_number(row, "computed_eq_per_L", 1e-3 * of.computed_eq_per_m3);
        bf__json_number(row, "stated_less_computed_eq_per_L", 1e-3 * of.residual_eq_per_m3);
        bf__json_number(row, "relative_residual", of.relative);
        bf__json_number(row, "low_eq_per_L", 1e-3 * of.low_eq_per_m3);
        bf__json_number(row, "high_eq_per_L", 1e-3 * of.high_eq_per_m3);
        bf__json_text(row, "in_band", inside_word(&of));
        bf__json_text(row, "status",
                      bf_outcome_words(report->overlay_points[r].steady.cycle.outcome));
        (void)json_array_append_new(rows, row);
    }
    return rows;
}
