/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A rating as a JSON document; docs/output.schema.json describes it. */
#include "brinefront/convert.h"
#include "report/page/assumptions.h"
#include "report/page/json.h"
#include "report/rate/overlay.h"
#include "report/sheet/sheet.h"

#include <math.h>

json_t *bf__json_dose(const bf_dose_point *point)
{
    const bf_cycle_result *cycle = &point->steady.cycle;
    const double told = cycle->outcome == BF_RATED ? 1.0 : (double)NAN; /* no rating: null */
    json_t *dose = json_object();
    bf__json_number(dose, "dose_g_per_L", point->dose_kg_per_m3);
    bf__json_number(dose, "dose_lb_per_ft3", point->dose_kg_per_m3 / BF_KG_PER_M3_PER_LB_PER_FT3);
    bf__json_text(dose, "status", bf_outcome_words(cycle->outcome));
    bf__json_number(dose, "capacity_eq_per_L", told * 1e-3 * cycle->capacity_eq_per_m3);
    bf__json_number(dose, "capacity_kgr_per_ft3",
                    told * cycle->capacity_eq_per_m3 / BF_EQ_PER_M3_PER_KGR_PER_FT3);
    bf__json_number(dose, "salt_efficiency_gr_per_lb",
                    told * bf__gr_per_lb(cycle->capacity_eq_per_m3, point->dose_kg_per_m3));
    bf__json_number(dose, "salt_efficiency_eq_per_eq", point->efficiency_eq_per_eq);
    bf__json_number(dose, "leakage_mean_mg_per_L_CaCO3",
                    told * bf__mg_per_L_CaCO3(cycle->leakage_mean_eq_per_m3));
    bf__json_number(dose, "leakage_first_mg_per_L_CaCO3",
                    told * bf__mg_per_L_CaCO3(cycle->leakage_first_eq_per_m3));
    bf__json_number(dose, "leakage_low_mg_per_L_CaCO3",
                    told * bf__mg_per_L_CaCO3(cycle->leakage_low_eq_per_m3));
    bf__json_number(dose, "throughput_BV", told * cycle->throughput_bed_volumes);
    bf__json_number(dose, "regeneration_water_BV", told * cycle->water_bed_volumes);
    bf__json_number(dose, "regeneration_min", told * cycle->regeneration_s / BF_S_PER_MIN);
    (void)json_object_set_new(dose, "cycles", json_integer((json_int_t)point->steady.cycles));
    bf__json_number(dose, "capacity_error", told * point->steady.capacity_error);
    bf__json_number(dose, "leakage_error", told * point->steady.leakage_error);
    bf__json_number(dose, "balance_error", cycle->balance_error);
    return dose;
}

bf_status bf_report_rate_json(const bf_rate_report *report, FILE *out, bf_error *err)
{
    json_t *document = bf__json_document("rate", &report->page);
    json_t *doses = json_array();
    for (size_t p = 0; p < report->count; p++) {
        (void)json_array_append_new(doses, bf__json_dose(&report->points[p]));
    }
    (void)json_object_set_new(document, "doses", doses);
    json_t *grid = json_object();
    bf__json_number(grid, "dose_g_per_L", report->grid.dose_kg_per_m3);
    bf__json_number(grid, "capacity_error", report->grid.capacity_error);
    bf__json_number(grid, "leakage_error", report->grid.leakage_error);
    (void)json_object_set_new(document, "grid_estimate", grid);
    if (report->study != NULL) {
        (void)json_object_set_new(document, "sheet", bf__sheet_json(report));
    }
    if (report->overlay != NULL) {
        (void)json_object_set_new(document, "overlay", bf__overlay_json(report));
    }
    return bf__json_write(document, out, err);
}
