/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Cases side by side as a JSON document; docs/output.schema.json describes it. */
#include "report/compare/compare_columns.h"
#include "report/compare/compare_keys.h"
#include "report/page/json.h"
#include "report/rate/rate_columns.h"

static json_t *cases_json(const bf_compare_report *report)
{
    json_t *cases = json_array();
    for (size_t c = 0; c < report->cases; c++) {
        const char letter[2] = {bf__compare_letter(c), '\0'};
        json_t *one = json_object();
        bf__json_text(one, "case", letter);
        bf__json_text(one, "file", report->name[c]);
        bf__json_text(one, "title", report->page[c].title);
        bf__json_case(one, &report->page[c]);
        bf__json_append(cases, one);
    }
    return cases;
}

static json_t *differing_json(const bf_compare_report *report)
{
    json_t *keys = json_array();
    char text[100];
    for (size_t k = 0; k < bf_case_key_count(); k++) {
        if (bf__compare_key_differs(report, k)) {
            json_t *key = json_object();
            json_t *values = json_array();
            bf__json_text(key, "key", bf_case_key_get(k).path);
            for (size_t c = 0; c < report->cases; c++) {
                bf__compare_value_text(&report->page[c], k, text, sizeof text);
                bf__json_append(values, json_string(text));
            }
            bf__json_set(key, "values", values);
            bf__json_append(keys, key);
        }
    }
    return keys;
}

static json_t *differences_json(const bf_compared_point *point)
{
    json_t *all = json_array();
    for (size_t q = 0; q < BF_COMPARED_COUNT; q++) {
        const bf__column *column = &bf__compare_columns[q];
        const bf_compared_value *value = &point->quantity[q];
        json_t *one = json_object();
        bf__json_text(one, "quantity", column->name[BF_UNITS_SI]);
        bf__json_number(one, "value", bf__quantity_show(column->kind, BF_UNITS_SI, value->value));
        bf__json_number(one, "difference", value->difference);
        bf__json_number(one, "low", value->low);
        bf__json_number(one, "high", value->high);
        bf__json_set(one, "is_beyond_the_band", json_boolean(value->is_beyond));
        bf__json_append(all, one);
    }
    return all;
}

static json_t *row_json(const bf_compare_report *report, const bf_compared_point *points)
{
    json_t *row = json_array();
    for (size_t c = 0; c < report->cases; c++) {
        const char letter[2] = {bf__compare_letter(c), '\0'};
        json_t *one = json_object();
        bf__json_text(one, "case", letter);
        bf__json_set(one, "rating", bf__json_dose(&points[c].point));
        bf__json_set(one, "is_sample_by_sample", json_boolean(points[c].is_paired));
        bf__json_set(one, "against_first", differences_json(&points[c]));
        bf__json_append(row, one);
    }
    return row;
}

bf_status bf_report_compare_json(const bf_compare_report *report, FILE *out, bf_error *err)
{
    json_t *document = bf__json_head("compare", report->page[0].title);
    json_t *doses = json_array();
    bf__json_set(document, "cases", cases_json(report));
    bf__json_set(document, "differing_keys", differing_json(report));
    bf__json_set(document, "samples", json_integer((json_int_t)report->samples));
    for (size_t d = 0; d < report->doses; d++) {
        bf__json_append(doses, row_json(report, report->points + d * report->cases));
    }
    bf__json_set(document, "doses", doses);
    return bf__json_write(document, out, err);
}
