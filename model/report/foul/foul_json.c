/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The years of a bed as a JSON document; docs/output.schema.json describes it. */
#include "report/campaign/campaign_json.h"
#include "report/foul/foul_limits.h"
#include "report/foul/foul_quantities.h"
#include "report/foul/foul_words.h"
#include "report/observed/observed.h"

#include <math.h>

static json_t *span_of(bf__span span, double factor)
{
    json_t *of = json_object();
    bf__json_number(of, "expected", factor * span.expected);
    bf__json_number(of, "low", factor * span.low);
    bf__json_number(of, "high", factor * span.high);
    return of;
}

static json_t *row_of(const bf_foul_report *report, double day)
{
    char date[16];
    json_t *row = json_object();
    bf__date_after(report->campaign->start, day, date);
    bf__json_number(row, "day", day);
    bf__json_number(row, "month", day / BF__DAYS_PER_MONTH);
    bf__json_text(row, "date", date);
    for (size_t q = 0; q < BF__FOUL_QUANTITIES; q++) {
        const bf__foul_quantity *quantity = &bf__foul_quantities[q];
        const bf__span span = bf__foul_value(report, quantity, day);
        for (int system = BF_UNITS_SI; system >= BF_UNITS_US; system--) {
            if (quantity->column.name[system] != NULL) {
                (void)json_object_set_new(
                    row, quantity->column.name[system],
                    span_of(
                        span,
                        bf__quantity_unit(quantity->column.kind, (bf_unit_system)system).scale));
            }
        }
    }
    (void)json_object_set_new(row, "pressure_drop_kPa",
                              span_of(bf__years_span(report->series, BF_CAMPAIGN_PRESSURE, day),
                                      1e-3 * bf__campaign_clean_drop_Pa(report->spec, day)));
    return row;
}

static json_t *rows_of(const bf_foul_report *report)
{
    json_t *rows = json_array();
    for (size_t row = 0; row < bf__foul_row_count(report); row++) {
        (void)json_array_append_new(rows, row_of(report, bf__foul_row_day(report, row)));
    }
    return rows;
}

static json_t *limits_of(const bf_foul_report *report)
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
        (void)json_array_append_new(list, limit);
    }
    return list;
}

static json_t *account_of(const bf_campaign_account *account, bf_ion ion)
{
    const double g_per_L_per_mol = 1e-3 * bf_ion_get(ion)->molar_mass_g_per_mol;
    json_t *of = json_object();
    bf__json_number(of, "at_start_g_per_L_bed", g_per_L_per_mol * account->at_start);
    bf__json_number(of, "in_g_per_L_bed", g_per_L_per_mol * account->in);
    bf__json_number(of, "product_g_per_L_bed", g_per_L_per_mol * account->product);
    bf__json_number(of, "waste_g_per_L_bed", g_per_L_per_mol * account->waste);
    bf__json_number(of, "cleaned_g_per_L_bed", g_per_L_per_mol * account->cleaned);
    bf__json_number(of, "held_g_per_L_bed", g_per_L_per_mol * account->held);
    bf__json_number(of, "loose_g_per_L_bed", g_per_L_per_mol * account->loose);
    bf__json_number(of, "bound_g_per_L_bed", g_per_L_per_mol * account->bound);
    bf__json_number(of, "error", bf_campaign_account_error(account));
    return of;
}

static json_t *series_of(const bf_foul_report *report)
{
    static const char *const names[BF_FOULING_SERIES] = {
        [BF_FOULING_EXPECTED] = "expected",
        [BF_FOULING_LOW] = "low",
        [BF_FOULING_HIGH] = "high",
    };
    json_t *list = json_array();
    for (size_t s = 0; s < BF_FOULING_SERIES; s++) {
        const bf_campaign_series *from = &report->series[s];
        const bf_campaign_cycle *last = &from->cycle[from->count - 1];
        json_t *of = json_object();
        bf__json_text(of, "name", names[s]);
        bf__json_number(of, "ageing_factor", bf__foul_ageing(report, s));
        bf__json_text(of, "state", bf_campaign_state_word(from->state));
        bf__json_number(of, "day", last->day);
        (void)json_object_set_new(of, "cycles", json_integer((json_int_t)last->cycle));
        (void)json_object_set_new(of, "cycles_simulated", json_integer((json_int_t)from->count));
        bf__json_number(of, "skip_error_g_per_L_bed", last->skip_error_kg_per_m3);
        (void)json_object_set_new(of, "iron", account_of(&last->iron, BF_ION_FE));
        (void)json_object_set_new(of, "manganese", account_of(&last->manganese, BF_ION_MN));
        (void)json_array_append_new(list, of);
    }
    return list;
}

static json_t *residual_of(const bf__residual *r)
{
    const bf__observed_quantity *quantity = &bf__observed_quantities[r->what];
    const double told = r->is_told ? 1.0 : (double)NAN; /* else null */
    const double factor = bf__quantity_unit(quantity->kind, BF_UNITS_SI).scale;
    json_t *of = json_object();
    (void)json_object_set_new(of, "line", json_integer((json_int_t)r->row->line));
    bf__json_number(of, "day", r->row->day);
    bf__json_text(of, "what", quantity->word);
    bf__json_text(of, "unit", quantity->unit);
    bf__json_number(of, "observed", factor * r->observed);
    (void)json_object_set_new(of, "computed", span_of(r->computed, told * factor));
    bf__json_number(of, "residual", told * factor * r->residual);
    bf__json_number(of, "residual_of_its_side", told * r->of_its_side);
    (void)json_object_set_new(
        of, "is_inside", r->is_told && r->has_range ? json_boolean(r->is_inside) : json_null());
    return of;
}

static json_t *observed_of(const bf_foul_report *report)
{
    json_t *list = json_array();
    for (size_t o = 0; report->observations != NULL && o < report->observations->count; o++) {
        bf__residual of[BF_OBSERVED_COUNT];
        const size_t count = bf__residuals(report, o, of);
        for (size_t r = 0; r < count; r++) {
            (void)json_array_append_new(list, residual_of(&of[r]));
        }
    }
    return list;
}

bf_status bf_report_foul_json(const bf_foul_report *report, FILE *out, bf_error *err)
{
    json_t *document =
        bf__fouling_document("foul", &report->page, report->campaign, report->spec, 0);
    bf__json_text(document, "study", "years");
    bf__json_number(document, "rating_stated_eq_per_L", 1e-3 * report->campaign->needed_eq_per_m3);
    (void)json_object_set_new(document, "series", series_of(report));
    (void)json_object_set_new(document, "rows", rows_of(report));
    (void)json_object_set_new(document, "limits", limits_of(report));
    (void)json_object_set_new(document, "observed", observed_of(report));
    return bf__json_write(document, out, err);
}
