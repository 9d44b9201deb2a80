/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A rating as a JSON document; docs/output.schema.json describes it. */
#include "report/page/json.h"
#include "report/rate/overlay.h"
#include "report/rate/rate_columns.h"
#include "report/sheet/sheet.h"

#include <math.h>

json_t *bf__json_dose(const bf_dose_point *point)
{
    const bf_steady_result *steady = &point->steady;
    const double rated = steady->cycle.outcome == BF_RATED ? 1.0 : (double)NAN;
    double values[BF__RATE_COLUMNS];
    json_t *dose = json_object();
    bf__rate_values(point, values);
    bf__columns_json(bf__rate_columns, 1, values, dose);
    bf__json_text(dose, "status", bf_outcome_words(steady->cycle.outcome));
    bf__columns_json(bf__rate_columns + 1, BF__RATE_COLUMNS - 1, values + 1, dose);
    bf__json_set(dose, "cycles", json_integer((json_int_t)steady->cycles));
    bf__json_number(dose, "capacity_error", rated * steady->capacity_error);
    bf__json_number(dose, "leakage_error", rated * steady->leakage_error);
    bf__json_number(dose, "balance_error", steady->cycle.balance_error);
    return dose;
}

bf_status bf_report_rate_json(const bf_rate_report *report, FILE *out, bf_error *err)
{
    json_t *document = bf__json_document("rate", &report->page);
    json_t *doses = json_array();
    for (size_t p = 0; p < report->count; p++) {
        bf__json_append(doses, bf__json_dose(&report->points[p]));
    }
    bf__json_set(document, "doses", doses);
    json_t *grid = json_object();
    bf__json_number(grid, "dose_g_per_L", report->grid.dose_kg_per_m3);
    bf__json_number(grid, "capacity_error", report->grid.capacity_error);
    bf__json_number(grid, "leakage_error", report->grid.leakage_error);
    bf__json_set(document, "grid_estimate", grid);
    if (report->study != NULL) {
        bf__json_set(document, "sheet", bf__sheet_json(report));
    }
    if (report->overlay != NULL) {
        bf__json_set(document, "overlay", bf__overlay_json(report));
    }
    return bf__json_write(document, out, err);
}
