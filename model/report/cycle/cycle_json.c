/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A cycle as a JSON document: steps, effluent series, profiles; docs/output.schema.json. */
#include "brinefront/convert.h"
#include "report/page/assumptions.h"
#include "report/page/json.h"

static json_t *series_of(const bf_trace *trace, size_t step)
{
    size_t count;
    const bf_trace_point *points = bf_trace_points(trace, step, &count);
    json_t *series = json_object();
    json_t *time = json_array();
    json_t *volume = json_array();
    json_t *hardness = json_array();
    json_t *normality = json_array();
    for (size_t p = 0; p < count; p++) {
        bf__json_append(time, json_real(points[p].time_s / BF_S_PER_MIN));
        bf__json_append(volume, json_real(points[p].bed_volumes));
        bf__json_append(hardness, json_real(bf__mg_per_L_CaCO3(points[p].hardness_eq_per_m3)));
        bf__json_append(normality, json_real(points[p].normality_eq_per_m3));
    }
    bf__json_set(series, "time_min", time);
    bf__json_set(series, "volume_BV", volume);
    bf__json_set(series, "hardness_mg_per_L_CaCO3", hardness);
    bf__json_set(series, "normality_meq_per_L", normality);
    json_t *ions = json_object();
    for (size_t i = 0; i < BF_CATION_COUNT && count > 0; i++) {
        json_t *values = json_array();
        double most = 0.0;
        for (size_t p = 0; p < count; p++) {
            double value = points[p].effluent_eq_per_m3[i];
            most = value > most ? value : most;
            bf__json_append(values, json_real(value));
        }
        if (most > 0.0) {
            bf__json_set(ions, bf_ion_get((bf_ion)i)->symbol, values);
        } else {
            json_decref(values);
        }
    }
    bf__json_set(series, "cations_meq_per_L", ions);
    return series;
}

static json_t *profile_of(const bf_trace *trace, size_t step, size_t cells)
{
    json_t *profile = json_object();
    for (size_t i = 0; i < BF_CATION_COUNT; i++) {
        const double *fraction = bf_trace_resin_fraction(trace, step, (bf_ion)i);
        json_t *values = json_array();
        int any = 0;
        for (size_t k = 0; k < cells; k++) {
            any = any || fraction[k] != 0.0;
            bf__json_append(values, json_real(fraction[k]));
        }
        if (any) {
            bf__json_set(profile, bf_ion_get((bf_ion)i)->symbol, values);
        } else {
            json_decref(values);
        }
    }
    return profile;
}

static json_t *cycle_of(const bf_cycle_result *cycle)
{
    json_t *object = json_object();
    bf__json_text(object, "status", bf_outcome_words(cycle->outcome));
    bf__json_number(object, "capacity_eq_per_L", 1e-3 * cycle->capacity_eq_per_m3);
    bf__json_number(object, "leakage_mean_mg_per_L_CaCO3",
                    bf__mg_per_L_CaCO3(cycle->leakage_mean_eq_per_m3));
    bf__json_number(object, "leakage_first_mg_per_L_CaCO3",
                    bf__mg_per_L_CaCO3(cycle->leakage_first_eq_per_m3));
    bf__json_number(object, "throughput_BV", cycle->throughput_bed_volumes);
    bf__json_number(object, "regeneration_water_BV", cycle->water_bed_volumes);
    bf__json_number(object, "balance_error", cycle->balance_error);
    return object;
}

bf_status bf_report_cycle_json(const bf_cycle_report *report, FILE *out, bf_error *err)
{
    const bf_cycle_study *study = report->study;
    json_t *document = bf__json_document("cycle", &report->page);
    bf__json_number(document, "dose_g_per_L", study->dose_kg_per_m3);
    bf__json_text(document, "from", study->steady.cycles > 0 ? "steady" : "new");
    bf__json_set(document, "cycles_to_steady", json_integer((json_int_t)study->steady.cycles));
    json_t *cycles = json_array();
    for (size_t c = 0; c < study->cycle_count; c++) {
        bf__json_append(cycles, cycle_of(&study->cycle[c]));
    }
    bf__json_set(document, "cycles", cycles);
    json_t *steps = json_array();
    for (size_t s = 0; s < bf_trace_step_count(study->trace); s++) {
        const bf_step_result *result = &study->cycle[0].step[s];
        json_t *step = json_object();
        bf__json_text(step, "name", result->name);
        bf__json_number(step, "duration_min", result->duration_s / BF_S_PER_MIN);
        bf__json_number(step, "volume_BV", result->bed_volumes);
        bf__json_number(step, "water_BV", result->water_bed_volumes);
        bf__json_number(step, "salt_g_per_L", result->salt_kg_per_m3);
        bf__json_number(step, "bed_expansion", result->depth_ratio);
        bf__json_set(step, "in_meq_per_L_bed", bf__json_cations(result->passage.in_eq_per_m3));
        bf__json_set(step, "out_meq_per_L_bed", bf__json_cations(result->passage.out_eq_per_m3));
        bf__json_set(step, "stored_meq_per_L_bed",
                     bf__json_cations(result->passage.stored_eq_per_m3));
        bf__json_set(step, "effluent", series_of(study->trace, s));
        bf__json_set(step, "resin_fraction_from_top", profile_of(study->trace, s, study->cells));
        bf__json_append(steps, step);
    }
    bf__json_set(document, "cycle_steps", steps);
    return bf__json_write(document, out, err);
}
