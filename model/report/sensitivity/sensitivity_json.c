/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the uncertain parameters do as a JSON document; docs/output.schema.json describes it. */
#include "report/campaign/campaign_json.h"

#include <math.h>

bf_status bf_report_sensitivity_json(const bf_sensitivity_report *report, FILE *out, bf_error *err)
{
    json_t *document =
        bf__fouling_document("foul", &report->page, report->campaign, report->spec, 0);
    json_t *parameters = json_array();
    bf__json_text(document, "study", "sensitivity");
    (void)json_object_set_new(document, "expected", bf__fouling_end(report->expected));
    for (size_t r = 0; r < bf_iron_parameter_count(); r++) {
        const bf_fouling_sensitivity *row = &report->rows[r];
        const bf_iron_parameter of = bf_iron_parameter_get(row->parameter);
        json_t *parameter = json_object();
        bf__json_text(parameter, "name", of.name);
        bf__json_text(parameter, "meaning", of.meaning);
        bf__json_text(parameter, "source", of.source);
        bf__json_text(parameter, "basis", bf_iron_basis_word(of.basis));
        bf__json_number(parameter, "value", bf_iron_spec_get(&report->spec->iron, row->parameter));
        bf__json_number(parameter, "low", of.low);
        bf__json_number(parameter, "high", of.high);
        (void)json_object_set_new(parameter, "takes_part", json_boolean(row->takes_part));
        (void)json_object_set_new(parameter, "end_at_low",
                                  row->takes_part ? bf__fouling_end(&row->low) : json_null());
        (void)json_object_set_new(parameter, "end_at_high",
                                  row->takes_part ? bf__fouling_end(&row->high) : json_null());
        bf__json_number(parameter, "spread_eq_per_L",
                        row->takes_part ? 1e-3 * row->spread_eq_per_m3 : (double)NAN);
        (void)json_array_append_new(parameters, parameter);
    }
    (void)json_object_set_new(document, "parameters", parameters);
    return bf__json_write(document, out, err);
}
