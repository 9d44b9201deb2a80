/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A user's own table of capacities against what is computed at the same doses. Residuals and a
 * count, no verdict. */
#include "report/rate/overlay.h"

#include "report/page/columns.h"
#include "report/page/csv.h"
#include "report/page/json.h"

#include <math.h>

bf_overlay_residual bf_report_overlay_residual(const bf_rate_report *report, size_t row)
{
    const bf_cycle_result *cycle = &report->overlay_points[row].steady.cycle;
    const double stated = report->overlay->row[row].capacity_eq_per_m3;
    const double computed = cycle->outcome == BF_RATED ? cycle->capacity_eq_per_m3 : (double)NAN;
    bf_overlay_residual residual = {.dose_kg_per_m3 = report->overlay->row[row].dose_kg_per_m3,
                                    .stated_eq_per_m3 = stated,
                                    .computed_eq_per_m3 = computed,
                                    .residual_eq_per_m3 = stated - computed,
                                    .relative = (stated - computed) / computed,
                                    .low_eq_per_m3 = (double)NAN,
                                    .high_eq_per_m3 = (double)NAN};
    residual.has_band = report->study != NULL && cycle->outcome == BF_RATED &&
                        bf_tank_study_span(report->study, residual.dose_kg_per_m3, computed,
                                           &residual.low_eq_per_m3, &residual.high_eq_per_m3);
    residual.is_inside =
        residual.has_band && stated >= residual.low_eq_per_m3 && stated <= residual.high_eq_per_m3;
    return residual;
}

static const char *inside_word(const bf_overlay_residual *row)
{
    return !row->has_band ? "no band" : row->is_inside ? "inside" : "outside";
}

#define COLUMN(us, si, wide, what, us_decimals, si_decimals, with_sign)                            \
    {                                                                                              \
        .name = {us, si}, .width = wide, .kind = BF__QUANTITY_##what, .per = "",                   \
        .decimals = {us_decimals, si_decimals}, .is_signed = with_sign                             \
    }

enum { DOSE, STATED, COMPUTED, RESIDUAL, RELATIVE, COLUMNS };
/* clang-format off */
static const bf__column columns[COLUMNS] = {
    [DOSE] = COLUMN(NULL, NULL, 9, DOSE, 2, 1, 0),
    [STATED] = COLUMN(NULL, "stated_capacity_eq_per_L", 10, CAPACITY, 3, 3, 0),
    [COMPUTED] = COLUMN(NULL, NULL, 10, CAPACITY, 3, 3, 0),
    [RESIDUAL] = COLUMN(NULL, "stated_less_computed_eq_per_L", 10, CAPACITY, 3, 3, 1),
    [RELATIVE] = COLUMN(NULL, NULL, 10, SHARE, 1, 1, 1),
};
/* clang-format on */

void bf__overlay_table(const bf_rate_report *report, bf_unit_system units, FILE *out)
{
    const char *head = report->study == NULL ? "" : "  P10 to P90";
    size_t inside = 0;
    size_t banded = 0;
    size_t computed = 0;
    (void)fprintf(out, "Overlay: your own table against what is computed at its doses\n\n");
    (void)fprintf(out, "     dose    stated  computed  residual  residual%s\n", head);
    bf__columns_head(columns, COLUMNS, 2, units, out);
    (void)fputc('\n', out);
    for (size_t r = 0; r < report->overlay->count; r++) {
        const bf_overlay_residual row = bf_report_overlay_residual(report, r);
        const double values[COLUMNS] = {row.dose_kg_per_m3, row.stated_eq_per_m3,
                                        row.computed_eq_per_m3, row.residual_eq_per_m3,
                                        row.relative};
        const int is_computed = !isnan(row.computed_eq_per_m3);
        bf__columns_print(columns, is_computed ? COLUMNS : COMPUTED, values, units, out);
        computed += is_computed != 0;
        banded += row.has_band != 0;
        inside += row.is_inside != 0;
        if (!is_computed) {
            (void)fprintf(out, "  %s",
                          bf_outcome_words(report->overlay_points[r].steady.cycle.outcome));
        } else if (report->study != NULL) {
            (void)fprintf(out, "  %s", inside_word(&row));
        }
        (void)fputc('\n', out);
    }
    (void)fprintf(out, "%zu of %zu rows have a computed value", computed, report->overlay->count);
    if (report->study != NULL) {
        (void)fprintf(out, "; %zu of %zu with a band lie inside it", inside, banded);
    }
    (void)fprintf(out, "\n\n");
}

void bf__overlay_csv_head(FILE *out)
{
    bf__columns_csv_head(columns, COLUMNS, "", out);
    (void)fputs(",relative_residual", out);
}

void bf__overlay_csv_row(const bf_rate_report *report, size_t row, FILE *out)
{
    if (row >= report->overlay->count) {
        (void)fputs(",,,", out);
        return;
    }
    const bf_overlay_residual residual = bf_report_overlay_residual(report, row);
    const double values[COLUMNS] = {
        [STATED] = residual.stated_eq_per_m3, [RESIDUAL] = residual.residual_eq_per_m3};
    bf__columns_csv(columns, COLUMNS, values, out);
    bf__csv_number(residual.relative, out);
}

json_t *bf__overlay_json(const bf_rate_report *report)
{
    json_t *rows = json_array();
    for (size_t r = 0; r < report->overlay->count; r++) {
        const bf_overlay_residual residual = bf_report_overlay_residual(report, r);
        json_t *row = json_object();
        bf__json_number(row, "dose_g_per_L", residual.dose_kg_per_m3);
        bf__json_number(row, "stated_eq_per_L", 1e-3 * residual.stated_eq_per_m3);
        bf__json_number(row, "computed_eq_per_L", 1e-3 * residual.computed_eq_per_m3);
        bf__json_number(row, "stated_less_computed_eq_per_L", 1e-3 * residual.residual_eq_per_m3);
        bf__json_number(row, "relative_residual", residual.relative);
        bf__json_number(row, "low_eq_per_L", 1e-3 * residual.low_eq_per_m3);
        bf__json_number(row, "high_eq_per_L", 1e-3 * residual.high_eq_per_m3);
        bf__json_text(row, "in_band", inside_word(&residual));
        bf__json_text(row, "status",
                      bf_outcome_words(report->overlay_points[r].steady.cycle.outcome));
        bf__json_append(rows, row);
    }
    return rows;
}
