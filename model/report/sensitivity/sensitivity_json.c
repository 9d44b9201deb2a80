/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the uncertain parameters do as a JSON document; docs/output.schema.json describes it. */
#include "report/campaign/campaign_end.h"
#include "report/campaign/campaign_json.h"
#include "report/sensitivity/sensitivity.h"

bf_status bf_report_sensitivity_json(const bf_sensitivity_report *report, FILE *out, bf_error *err)
{
    json_t *document =
        bf__fouling_document("foul", &report->page, report->campaign, report->spec, 0);
    json_t *parameters = json_array();
    bf__json_text(document, "study", "sensitivity");
    bf__json_set(document, "expected", bf__end_json(report->expected));
    for (size_t r = 0; r < bf_iron_parameter_count(); r++) {
        const bf_fouling_sensitivity *row = &report->rows[r];
        const bf_iron_parameter meaning = bf_iron_parameter_get(row->parameter);
        double values[BF__SENSITIVITY_COLUMNS];
        json_t *parameter = json_object();
        bf__json_text(parameter, "name", meaning.name);
        bf__json_text(parameter, "meaning", meaning.meaning);
        bf__json_text(parameter, "source", meaning.source);
        bf__json_text(parameter, "basis", bf_iron_basis_word(meaning.basis));
        bf__json_number(parameter, "value", bf_iron_spec_get(&report->spec->iron, row->parameter));
        bf__json_number(parameter, "low", meaning.low);
        bf__json_number(parameter, "high", meaning.high);
        bf__json_set(parameter, "takes_part", json_boolean(row->takes_part));
        bf__json_set(parameter, "end_at_low", bf__end_json(row->takes_part ? &row->low : NULL));
        bf__json_set(parameter, "end_at_high", bf__end_json(row->takes_part ? &row->high : NULL));
        bf__sensitivity_values(row, values);
        bf__columns_json(bf__sensitivity_columns, BF__SENSITIVITY_COLUMNS, values, parameter);
        bf__json_append(parameters, parameter);
    }
    bf__json_set(document, "parameters", parameters);
    return bf__json_write(document, out, err);
}
