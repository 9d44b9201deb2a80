/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The measures of a rated dose that published data are held against. */
#include "against.h"
#include "try.h"

#include "brinefront/convert.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

double measure_capacity_eq(const bf_dose_point *point)
{
    return source_capacity(point);
}

double measure_capacity_kgr(const bf_dose_point *point)
{
    return source_capacity(point) / BF_EQ_PER_M3_PER_KGR_PER_FT3;
}

double measure_capacity_g(const bf_dose_point *point)
{
    return source_capacity(point) * 1e-3 * BF_G_CACO3_PER_EQ;
}

double measure_leakage_mg(const bf_dose_point *point)
{
    return point->steady.cycle.leakage_mean_eq_per_m3 / BF_EQ_PER_M3_PER_MG_PER_L_CACO3;
}

double measure_leakage_share(const bf_dose_point *point)
{
    const bf_cycle_result *cycle = &point->steady.cycle;
    double uptake = cycle->capacity_eq_per_m3 / cycle->throughput_bed_volumes;
    return 100.0 * cycle->leakage_mean_eq_per_m3 / (uptake + cycle->leakage_mean_eq_per_m3);
}

double measure_efficiency_gr(const bf_dose_point *point)
{
    double dose_lb_per_ft3 = point->dose_kg_per_m3 / BF_KG_PER_M3_PER_LB_PER_FT3;
    return 1000.0 * measure_capacity_kgr(point) / dose_lb_per_ft3;
}

double against_dose(const source *data, size_t row, char *text, size_t room)
{
    double pounds = source_number(data, row, "dose_lb_per_ft3");
    double grams = source_number(data, row, "dose_g_per_L");
    (void)snprintf(text, room, "%g %s", isnan(pounds) ? grams : pounds,
                   isnan(pounds) ? "g/L" : "lb/ft3");
    return isnan(pounds) ? grams : pounds * BF_KG_PER_M3_PER_LB_PER_FT3;
}

static bf_status measure_row(const against *series, const source *data, size_t row,
                             const char *column, double *value, bf_error *err)
{
    char text[SOURCE_TEXT];
    char dose_text[40];
    bf_dose_point point;
    bf_status status = BF_OK;
    const char *changes = source_cell(data, row, column);
    double dose_kg_per_m3 = against_dose(data, row, dose_text, sizeof dose_text);
    memcpy(text, data->case_text, sizeof text);
    TRY(source_change(text, changes != NULL ? changes : "-", err));
    TRY(source_rate(text, &dose_kg_per_m3, 1, &point, err));
    *value = series->measure(&point);
done:
    return status;
}

bf_status against_run(const against *series, outcome *out, bf_error *err)
{
    static source data; /* too large for the stack */
    bf_status status = BF_OK;
    TRY(source_read(series->source, &data, err));
    for (size_t row = 0; (row = source_next(&data, series->row, row)) > 0;) {
        char point[40];
        double value;
        double base = 1.0;
        const char *changes = source_cell(&data, row, "change");
        (void)against_dose(&data, row, point, sizeof point);
        TRY(measure_row(series, &data, row, "change", &value, err));
        if (series->is_ratio) {
            TRY(measure_row(series, &data, row, "base", &base, err));
        }
        int changed = changes != NULL && strcmp(changes, "-") != 0;
        source_add(out, &data, row, series->column, changed ? changes : point, series->unit,
                   value / base);
    }
done:
    return status;
}
