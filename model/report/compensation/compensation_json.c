/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Hardness to count for iron as a JSON document; docs/output.schema.json describes it. */
#include "report/campaign/campaign_end.h"
#include "report/campaign/campaign_json.h"
#include "report/compensation/compensation.h"

#include <math.h>

static json_t *point_json(const bf_compensation_report *report, const bf_compensation_point *point)
{
    double values[BF__COMPENSATION_COLUMNS];
    json_t *object = json_object();
    bf__compensation_values(report->spec, point, values);
    bf__columns_json(bf__compensation_columns, BF__COMPENSATION_COLUMNS, values, object);
    bf__json_set(object, "end", bf__end_json(&point->end));
    return object;
}

static json_t *answer_json(const bf_compensation_report *report, const bf_compensation *found)
{
    return found == NULL || isnan(found->addition_eq_per_g) ? json_null()
                                                            : point_json(report, &found->chosen);
}

bf_status bf_report_compensation_json(const bf_compensation_report *report, FILE *out,
                                      bf_error *err)
{
    const bf_compensation *found = report->found;
    json_t *document =
        bf__fouling_document("foul", &report->page, report->campaign, report->spec, 0);
    json_t *points = json_array();
    bf__json_text(document, "study", "compensation");
    bf__json_quantity(document, "loss_allowed_percent", BF__QUANTITY_SHARE, found->allowed_loss);
    for (size_t p = 0; p < found->count; p++) {
        bf__json_append(points, point_json(report, &found->point[p]));
    }
    bf__json_set(document, "tried", points);
    bf__json_set(document, "answer", answer_json(report, found));
    bf__json_set(document, "answer_at_low_ageing", answer_json(report, report->low));
    bf__json_set(document, "answer_at_high_ageing", answer_json(report, report->high));
    bf__json_number(document, "too_little_meq_per_mg", found->too_little_eq_per_g);
    bf__json_set(document, "loss_falls_with_addition", json_boolean(found->falls));
    bf__json_text(document, "why_none", found->why != NULL ? found->why : "");
    return bf__json_write(document, out, err);
}
