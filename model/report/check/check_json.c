/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A checked case as a JSON document; docs/output.schema.json. */
#include "report/page/json.h"

#include <math.h>

bf_status bf_report_check_json(const bf_check_report *report, FILE *out, bf_error *err)
{
    const bf_deduced *d = report->deduced;
    const bf_page page = bf_page_of_case(report->input, report->notes, BF_UNITS_SI);
    json_t *document = bf__json_document("check", &page);
    json_t *values = json_array();
    for (size_t v = 0; v < report->input->value_count; v++) {
        const bf_case_value *stated = &report->input->value[v];
        bf_case_key key = bf_case_key_get(stated->key);
        char text[64];
        json_t *value = json_object();
        bf__json_text(value, "key", key.path);
        bf__json_text(value, "text", stated->text);
        bf__json_set(value, "filled_in", json_boolean(stated->is_default));
        (void)bf_case_value_show(&report->input->rating.bed, stated, BF_UNITS_SI, text,
                                 sizeof text);
        bf__json_text(value, "SI", text);
        (void)bf_case_value_show(&report->input->rating.bed, stated, BF_UNITS_US, text,
                                 sizeof text);
        bf__json_text(value, "US", text);
        bf__json_text(value, "source", stated->is_default ? key.source : "");
        bf__json_append(values, value);
    }
    bf__json_set(document, "values", values);
    json_t *deduced = json_object();
    bf__json_number(deduced, "resin_L", 1e3 * d->resin_m3);
    bf__json_number(deduced, "area_m2", d->area_m2);
    bf__json_number(deduced, "contact_min", d->empty_bed_contact_s / 60.0);
    bf__json_number(deduced, "service_pressure_kPa", 1e-3 * d->service_pressure_Pa);
    bf__json_number(deduced, "backwash_expansion", d->backwash_depth_ratio);
    bf__json_number(deduced, "brine_normality_meq_per_L", d->brine_normality_eq_per_m3);
    bf__json_number(deduced, "brine_density_kg_per_m3", d->brine_density_kg_per_m3);
    bf__json_number(deduced, "brine_salometer_degrees", 100.0 * d->brine_saturation);
    bf__json_number(deduced, "salt_to_hold_all_g_per_L", d->salt_to_hold_all_kg_per_m3);
    bf__json_set(document, "deduced", deduced);
    return bf__json_write(document, out, err);
}
