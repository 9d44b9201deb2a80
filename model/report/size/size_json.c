/* SPDX-License-Identifier: GPL-3.0-or-later */
/* An answer of size as a JSON document; docs/output.schema.json describes it. */
#include "brinefront/convert.h"
#include "report/page/assumptions.h"
#include "report/page/json.h"
#include "report/size/size_words.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

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

static json_t *asked_of(const bf_size_report *report)
{
    json_t *asked = json_object();
    switch (report->question) {
    case BF_SIZE_DOSE:
        bf__json_number(asked, "capacity_eq_per_L", 1e-3 * report->capacity_eq_per_m3);
        break;
    case BF_SIZE_BED:
        bf__json_number(asked, "dose_g_per_L", report->dose_kg_per_m3);
        bf__json_number(asked, "flow_m3_per_h", report->flow_m3_per_s * BF_S_PER_H);
        bf__json_number(asked, "interval_m3", report->interval_m3);
        bf__json_number(asked, "velocity_limit_m_per_h",
                        report->tank->velocity_limit_m_per_s * BF_S_PER_H);
        bf__json_number(asked, "bed_volumes_per_h_limit", report->tank->bed_volumes_per_h_limit);
        bf__json_number(asked, "pressure_limit_kPa", 1e-3 * report->tank->pressure_limit_Pa);
        bf__json_number(asked, "diameter_m", report->tank->diameter_m);
        break;
    case BF_SIZE_SALT:
        bf__json_number(asked, "water_m3_per_day", report->water_m3_per_day);
        bf__json_number(asked, "least_days", report->least_days);
        bf__json_number(asked, "most_days", report->most_days);
        break;
    case BF_SIZE_END_POINT: bf__json_number(asked, "dose_g_per_L", report->dose_kg_per_m3); break;
    case BF_SIZE_QUESTIONS: break;
    }
    return asked;
}

/* The sentences of the page, a line each. */
static void set_words(json_t *document, const bf_size_report *report)
{
    char *text = NULL;
    size_t size = 0;
    FILE *lines = open_memstream(&text, &size);
    if (lines == NULL) {
        return; /* the document then lacks a member; its own allocations tell */
    }
    bf__size_answer_print(report, BF_UNITS_SI, lines);
    bf__size_decided_print(report, BF_UNITS_SI, lines);
    if (fclose(lines) == 0) {
        bf__json_text(document, "words", text);
    }
    free(text);
}

bf_status bf_report_size_json(const bf_size_report *report, FILE *out, bf_error *err)
{
    const bf_sizing *found = report->found;
    json_t *document = bf__json_document("size", &report->page);
    bf__json_text(document, "question", short_names[report->question]);
    (void)json_object_set_new(document, "asked", asked_of(report));
    bf__json_text(document, "binding", bf_binding_words(found->binding));
    bf__json_text(document, "decided_by", bf_binding_words(found->decided));
    set_words(document, report);
    bf__json_number(document, "answer", found->answer);
    bf__json_text(document, "answer_unit", si_units[report->question]);
    bf__json_number(document, "nearest", found->nearest);
    bf__json_text(document, "nearest_unit", unit_of_nearest(report));
    bf__json_number(document, "days", found->days);
    bf__json_number(document, "salt_kg_per_year", found->salt_kg_per_year);
    json_t *bed = json_object();
    bf__json_number(bed, "resin_L", 1e3 * bf_bed_volume_m3(&found->bed));
    bf__json_number(bed, "diameter_m", found->bed.diameter_m);
    bf__json_number(bed, "depth_m", found->bed.depth_m);
    (void)json_object_set_new(document, "bed_of_answer", bed);
    (void)json_object_set_new(document, "rating",
                              found->ratings > 0 ? bf__json_dose(&found->point) : json_null());
    (void)json_object_set_new(document, "vessel",
                              report->vessel != NULL ? json_string(report->vessel) : json_null());
    json_t *practical = json_null();
    if (report->practical != NULL) {
        practical = json_object();
        bf__json_number(practical, "quantile", report->practical->quantile);
        (void)json_object_set_new(practical, "samples",
                                  json_integer((json_int_t)report->practical->samples));
        bf__json_number(practical, "ratio", found->practical_ratio);
    }
    (void)json_object_set_new(document, "practical", practical);
    (void)json_object_set_new(document, "ratings", json_integer((json_int_t)found->ratings));
    bf__json_number(document, "tolerance", report->question == BF_SIZE_END_POINT ? 0.01 : 0.002);
    return bf__json_write(document, out, err);
}
