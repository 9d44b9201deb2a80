/* SPDX-License-Identifier: GPL-3.0-or-later */
/* An answer of size as a JSON document; docs/output.schema.json describes it. */
#include "report/page/json.h"
#include "report/rate/rate_columns.h"
#include "report/size/size_columns.h"
#include "report/size/size_words.h"

#include <math.h>

static const char *const short_names[BF_SIZE_QUESTIONS] = {"dose", "bed", "salt", "end point"};
static const char *const si_units[BF_SIZE_QUESTIONS] = {"kg/m3", "m3", "kg/m3", "eq/m3"};

static const char *unit_of_nearest(const bf_size_report *report)
{
    switch (report->question) {
    case BF_SIZE_DOSE: return "eq/m3";
    case BF_SIZE_BED: return report->found->ratings == 0 ? "m3/s" : "m3";
    case BF_SIZE_SALT: return "days";
    default: return "";
    }
}

/* What was asked: the part of the question. */
static json_t *question_json(const bf_size_report *report)
{
    json_t *question = json_object();
    switch (report->question) {
    case BF_SIZE_DOSE:
        bf__json_quantity(question, "capacity_eq_per_L", BF__QUANTITY_CAPACITY,
                          report->capacity_eq_per_m3);
        break;
    case BF_SIZE_BED:
        bf__json_quantity(question, "dose_g_per_L", BF__QUANTITY_DOSE, report->dose_kg_per_m3);
        bf__json_quantity(question, "flow_m3_per_h", BF__QUANTITY_FLOW, report->flow_m3_per_s);
        bf__json_number(question, "interval_m3", report->interval_m3);
        bf__json_quantity(question, "velocity_limit_m_per_h", BF__QUANTITY_VELOCITY,
                          report->tank->velocity_limit_m_per_s);
        bf__json_number(question, "bed_volumes_per_h_limit", report->tank->bed_volumes_per_h_limit);
        bf__json_quantity(question, "pressure_limit_kPa", BF__QUANTITY_PRESSURE,
                          report->tank->pressure_limit_Pa);
        bf__json_number(question, "diameter_m", report->tank->diameter_m);
        break;
    case BF_SIZE_SALT:
        bf__json_number(question, "water_m3_per_day", report->water_m3_per_day);
        bf__json_number(question, "least_days", report->least_days);
        bf__json_number(question, "most_days", report->most_days);
        break;
    case BF_SIZE_END_POINT:
        bf__json_quantity(question, "dose_g_per_L", BF__QUANTITY_DOSE, report->dose_kg_per_m3);
        break;
    case BF_SIZE_QUESTIONS: break;
    }
    return question;
}

/* The sentences of the page, a line each. */
static bf_status set_words(json_t *document, const bf_size_report *report, bf_error *err)
{
    bf_output words = {0};
    bf_status status = bf_output_open(&words, err);
    if (status == BF_OK) {
        bf__size_answer_print(report, BF_UNITS_SI, words.stream);
        bf__size_decided_print(report, BF_UNITS_SI, words.stream);
        if (fflush(words.stream) != 0) {
            status = bf_error_set(err, BF_E_MEMORY, "output", "no memory for the output");
        } else {
            bf__json_text(document, "words", words.text);
        }
    }
    bf_output_close(&words);
    return status;
}

static void set_answer(json_t *document, const bf_size_report *report)
{
    const bf_sizing *found = report->found;
    double values[BF__SIZE_COLUMNS];
    json_t *bed = json_object();
    bf__size_values(found, values);
    bf__json_number(document, "answer", found->answer);
    bf__json_text(document, "answer_unit", si_units[report->question]);
    bf__json_number(document, "nearest", found->nearest);
    bf__json_text(document, "nearest_unit", unit_of_nearest(report));
    bf__columns_json(bf__size_columns + BF__SIZE_DAYS, 2, values + BF__SIZE_DAYS, document);
    bf__json_quantity(bed, "resin_L", BF__QUANTITY_RESIN, values[BF__SIZE_RESIN]);
    bf__columns_json(bf__size_columns + BF__SIZE_RESIN + 1, 2, values + BF__SIZE_RESIN + 1, bed);
    bf__json_set(document, "bed_of_answer", bed);
    bf__json_set(document, "rating",
                 found->ratings > 0 ? bf__json_dose(&found->point) : json_null());
    bf__json_set(document, "vessel",
                 report->vessel != NULL ? json_string(report->vessel) : json_null());
    json_t *practical = json_null();
    if (report->practical != NULL) {
        practical = json_object();
        bf__json_number(practical, "quantile", report->practical->quantile);
        bf__json_set(practical, "samples", json_integer((json_int_t)report->practical->samples));
        bf__json_number(practical, "ratio", found->practical_ratio);
    }
    bf__json_set(document, "practical", practical);
    bf__json_set(document, "ratings", json_integer((json_int_t)found->ratings));
    bf__json_number(document, "tolerance", report->question == BF_SIZE_END_POINT ? 0.01 : 0.002);
}

bf_status bf_report_size_json(const bf_size_report *report, FILE *out, bf_error *err)
{
    json_t *document = bf__json_document("size", &report->page);
    bf__json_text(document, "question", short_names[report->question]);
    bf__json_set(document, "asked", question_json(report));
    bf__json_text(document, "binding", bf_binding_words(report->found->binding));
    bf__json_text(document, "decided_by", bf_binding_words(report->found->decided));
    const bf_status status = set_words(document, report, err);
    if (status != BF_OK) {
        json_decref(document);
        return status;
    }
    set_answer(document, report);
    return bf__json_write(document, out, err);
}
