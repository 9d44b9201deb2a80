/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Changes ranked by what they leave of the bed as a JSON document; docs/output.schema.json. */
#include "report/campaign/campaign_end.h"
#include "report/campaign/campaign_json.h"
#include "report/what_if/what_if.h"

bf_status bf_report_what_if_json(const bf_what_if_report *report, FILE *out, bf_error *err)
{
    json_t *document = bf__fouling_document("foul", &report->page, report->campaign, report->spec,
                                            bf__what_if_names_chemicals(report));
    json_t *changes = json_array();
    bf__json_text(document, "study", "what if");
    bf__json_set(document, "unchanged", bf__end_json(report->unchanged));
    for (size_t r = 0; r < report->count; r++) {
        const bf_what_if *row = &report->rows[r];
        double values[BF__WHAT_IF_COLUMNS];
        char words[BF__WHAT_IF_WORDS];
        json_t *change = json_object();
        bf__json_text(change, "name", row->name);
        bf__json_set(change, "handles_a_chemical", json_boolean(row->chemical));
        bf__what_if_change(report, row, BF_UNITS_SI, words);
        bf__json_text(change, "change", words);
        bf__what_if_values(report->spec, &row->end, row->gain_eq_per_m3, values);
        bf__columns_json(bf__what_if_columns, BF__WHAT_IF_COLUMNS, values, change);
        bf__json_set(change, "end", bf__end_json(&row->end));
        bf__json_append(changes, change);
    }
    bf__json_set(document, "changes", changes);
    bf__json_set(document, "nothing_helps", json_boolean(bf__what_if_nothing_helps(report)));
    return bf__json_write(document, out, err);
}
