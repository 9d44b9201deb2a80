/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The years of a bed as a JSON document; docs/output.schema.json describes it. */
#include "report/campaign/campaign_json.h"
#include "report/foul/foul_limits.h"
#include "report/foul/foul_quantities.h"
#include "report/foul/foul_words.h"
#include "report/observed/observed.h"

#include <math.h>

static json_t *span_json(bf__span span, double factor)
{
    json_t *object = json_object();
    bf__json_number(object, "expected", factor * span.expected);
    bf__json_number(object, "low", factor * span.low);
    bf__json_number(object, "high", factor * span.high);
    return object;
}

static json_t *row_json(const bf_foul_report *report, double day)
{
    char date[16];
    json_t *row = json_object();
    bf__date_after(report->campaign->start, day, date);
    bf__json_number(row, "day", day);
    bf__json_number(row, "month", day / BF__DAYS_PER_MONTH);
    bf__json_text(row, "date", date);
    for (size_t q = 0; q < bf__foul_quantity_count; q++) {
        const bf__foul_quantity *quantity = &bf__foul_quantities[q];
        const bf__span span = bf__foul_value(report, quantity, day);
        for (int system = BF_UNITS_SI; system >= BF_UNITS_US; system--) {
            if (quantity->column.name[system] != NULL) {
                bf__json_set(
                    row, quantity->column.name[system],
                    span_json(
                        span,
                        bf__quantity_unit(quantity->column.kind, (bf_unit_system)system).scale));
            }
        }
    }
    bf__json_set(row, "pressure_drop_kPa",
                 span_json(bf__years_span(report->series, BF_CAMPAIGN_PRESSURE, day),
                           bf__quantity_unit(BF__QUANTITY_PRESSURE, BF_UNITS_SI).scale *
                               bf__campaign_clean_drop_Pa(report->spec, day)));
    return row;
}

static json_t *rows_json(const bf_foul_report *report)
{
    json_t *rows = json_array();
    for (size_t row = 0; row < bf__foul_row_count(report); row++) {
        bf__json_append(rows, row_json(report, bf__foul_row_day(report, row)));
    }
    return rows;
}

static json_t *limits_json(const bf_foul_report *report)
{
    bf__worded_limit limits[BF__LIMITS];
    const size_t count = bf__foul_limits(report, BF_UNITS_SI, limits);
    json_t *list = json_array();
    for (size_t l = 0; l < count; l++) {
        json_t *limit = json_object();
        bf__json_text(limit, "name", limits[l].name);
        bf__json_text(limit, "text", limits[l].text);
        bf__json_text(limit, "source", limits[l].source);
        bf__json_number(limit, "day", limits[l].limit.day[BF_FOULING_EXPECTED]);
        bf__json_number(limit, "day_earliest", bf__limit_earliest(&limits[l].limit));
        bf__json_number(limit, "day_latest", bf__limit_latest(&limits[l].limit));
        bf__json_append(list, limit);
    }
    return list;
}

static json_t *account_json(const bf_campaign_account *account, bf_ion ion)
{
    const double g_per_L_per_mol = 1e-3 * bf_ion_get(ion)->molar_mass_g_per_mol;
    json_t *object = json_object();
    bf__json_number(object, "at_start_g_per_L_bed", g_per_L_per_mol * account->at_start);
    bf__json_number(object, "in_g_per_L_bed", g_per_L_per_mol * account->in);
    bf__json_number(object, "product_g_per_L_bed", g_per_L_per_mol * account->product);
    bf__json_number(object, "waste_g_per_L_bed", g_per_L_per_mol * account->waste);
    bf__json_number(object, "cleaned_g_per_L_bed", g_per_L_per_mol * account->cleaned);
    bf__json_number(object, "held_g_per_L_bed", g_per_L_per_mol * account->held);
    bf__json_number(object, "loose_g_per_L_bed", g_per_L_per_mol * account->loose);
    bf__json_number(object, "bound_g_per_L_bed", g_per_L_per_mol * account->bound);
    bf__json_number(object, "error", bf_campaign_account_error(account));
    return object;
}

static json_t *series_json(const bf_foul_report *report)
{
    static const char *const names[BF_FOULING_SERIES] = {
        [BF_FOULING_EXPECTED] = "expected",
        [BF_FOULING_LOW] = "low",
        [BF_FOULING_HIGH] = "high",
    };
    json_t *list = json_array();
    for (size_t s = 0; s < BF_FOULING_SERIES; s++) {
        const bf_campaign_series *one = &report->series[s];
        const bf_campaign_cycle *last = &one->cycle[one->count - 1];
        json_t *object = json_object();
        bf__json_text(object, "name", names[s]);
        bf__json_number(object, "ageing_factor", bf__foul_ageing(report, s));
        bf__json_text(object, "state", bf_campaign_state_word(one->state));
        bf__json_number(object, "day", last->day);
        bf__json_set(object, "cycles", json_integer((json_int_t)last->cycle));
        bf__json_set(object, "cycles_simulated", json_integer((json_int_t)one->count));
        bf__json_number(object, "skip_error_g_per_L_bed", last->skip_error_kg_per_m3);
        bf__json_set(object, "iron", account_json(&last->iron, BF_ION_FE));
        bf__json_set(object, "manganese", account_json(&last->manganese, BF_ION_MN));
        bf__json_append(list, object);
    }
    return list;
}

static json_t *residual_json(const bf__residual *residual)
{
    const bf__observed_quantity *quantity = &bf__observed_quantities[residual->what];
    const double known = residual->is_computed ? 1.0 : (double)NAN; /* else null */
    const double factor = bf__quantity_unit(quantity->kind, BF_UNITS_SI).scale;
    json_t *object = json_object();
    bf__json_set(object, "line", json_integer((json_int_t)residual->row->line));
    bf__json_number(object, "day", residual->row->day);
    bf__json_text(object, "what", quantity->word);
    bf__json_text(object, "unit", quantity->unit);
    bf__json_number(object, "observed", factor * residual->observed);
    bf__json_set(object, "computed", span_json(residual->computed, known * factor));
    bf__json_number(object, "residual", known * factor * residual->residual);
    bf__json_number(object, "residual_of_its_side", known * residual->residual_of_side);
    bf__json_set(object, "is_inside",
                 residual->is_computed && residual->has_range ? json_boolean(residual->is_inside)
                                                              : json_null());
    return object;
}

static json_t *observed_json(const bf_foul_report *report)
{
    json_t *list = json_array();
    for (size_t o = 0; report->observations != NULL && o < report->observations->count; o++) {
        bf__residual residuals[BF_OBSERVED_COUNT];
        const size_t count = bf__residuals(report, o, residuals);
        for (size_t r = 0; r < count; r++) {
            bf__json_append(list, residual_json(&residuals[r]));
        }
    }
    return list;
}

bf_status bf_report_foul_json(const bf_foul_report *report, FILE *out, bf_error *err)
{
    json_t *document =
        bf__fouling_document("foul", &report->page, report->campaign, report->spec, 0);
    bf__json_text(document, "study", "years");
    bf__json_quantity(document, "rating_stated_eq_per_L", BF__QUANTITY_CAPACITY,
                      report->campaign->needed_eq_per_m3);
    bf__json_set(document, "series", series_json(report));
    bf__json_set(document, "rows", rows_json(report));
    bf__json_set(document, "limits", limits_json(report));
    bf__json_set(document, "observed", observed_json(report));
    return bf__json_write(document, out, err);
}
