/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/campaign/campaign_json.h"

#include "brinefront/convert.h"
#include "rating/fouling/years.h"
#include "report/campaign/campaign_setting.h"
#include "report/page/assumptions.h"

#include <math.h>

static json_t *water_of(const bf_water *water, double from_day, double oxygen_mol_per_m3)
{
    json_t *of = json_object();
    bf__json_number(of, "from_day_of_year", from_day);
    bf__json_number(of, "hardness_mg_per_L_CaCO3", bf__mg_per_L_CaCO3(water->hardness_eq_per_m3));
    bf__json_number(of, "iron_mg_per_L", bf__ion_mg_per_L(water, BF_ION_FE));
    bf__json_number(of, "manganese_mg_per_L", bf__ion_mg_per_L(water, BF_ION_MN));
    bf__json_number(of, "oxygen_mg_per_L", oxygen_mol_per_m3 * BF_OXYGEN_G_PER_MOL);
    bf__json_number(of, "pH", water->pH);
    bf__json_number(of, "temperature_C", water->temperature_K - BF_K_AT_0_C);
    return of;
}

static json_t *waters_of(const bf_campaign_spec *spec)
{
    json_t *waters = json_array();
    if (spec->season_count == 0) {
        (void)json_array_append_new(waters, water_of(&spec->water, 0.0, spec->oxygen_mol_per_m3));
    }
    for (size_t k = 0; k < spec->season_count; k++) {
        const bf_campaign_season *season = &spec->season[k];
        (void)json_array_append_new(
            waters, water_of(&season->water, season->from_day, season->oxygen_mol_per_m3));
    }
    return waters;
}

static json_t *cleaning_of(const bf_campaign_cleaning *cleaning)
{
    if (!(cleaning->every_days > 0.0)) {
        return json_null();
    }
    json_t *of = json_object();
    bf__json_number(of, "every_days", cleaning->every_days);
    bf__json_text(of, "agent", bf_cleaner_name(cleaning->agent));
    bf__json_number(of, "dose_g_per_L_bed", cleaning->dose_kg_per_m3);
    if (cleaning->agent == BF_CLEANER_HYDROCHLORIC) {
        bf__json_number(of, "strength_wt_percent", 100.0 * cleaning->mass_fraction);
    } else {
        bf__json_number(of, "contact_min", cleaning->duration_s / BF_S_PER_MIN);
        bf__json_number(of, "pH", cleaning->pH);
    }
    return of;
}

static json_t *campaign_of(const bf_case_campaign *asked, const bf_campaign_spec *spec)
{
    json_t *campaign = json_object();
    bf__json_text(campaign, "start", asked->start);
    (void)json_object_set_new(campaign, "waters", waters_of(spec));
    bf__json_number(campaign, "contact_min", spec->contact_s / BF_S_PER_MIN);
    bf__json_number(campaign, "ferric_share", spec->ferric_share);
    bf__json_number(campaign, "free_chlorine_mg_per_L", spec->free_chlorine_g_per_m3);
    bf__json_number(campaign, "chloramine_mg_per_L", spec->chloramine_g_per_m3);
    bf__json_number(campaign, "days_between_regenerations", bf_campaign_days(spec));
    bf__json_number(campaign, "service_BV", bf_campaign_bed_volumes(spec));
    bf__json_number(campaign, "water_m3_per_day", spec->water_m3_per_day);
    bf__json_number(campaign, "draws_per_day", spec->draws_per_day);
    bf__json_number(campaign, "dose_g_per_L", bf_recipe_dose_kg_per_m3(&spec->recipe));
    bf__json_number(campaign, "brine_pH", spec->brine_pH);
    bf__json_number(campaign, "brine_oxygen_mg_per_L",
                    spec->brine_oxygen_mol_per_m3 * BF_OXYGEN_G_PER_MOL);
    (void)json_object_set_new(campaign, "cleaning", cleaning_of(&spec->cleaning));
    bf__json_number(campaign, "loose_iron_at_start_g_per_L_bed", spec->deposit.loose_kg_per_m3);
    bf__json_number(campaign, "bound_iron_at_start_g_per_L_bed", spec->deposit.bound_kg_per_m3);
    (void)json_object_set_new(campaign, "cycles", json_integer((json_int_t)spec->cycles));
    bf__json_number(campaign, "duration_days", (double)spec->cycles * bf_campaign_days(spec));
    bf__json_number(campaign, "duration_stated_days", asked->duration_days);
    (void)json_object_set_new(campaign, "cells", json_integer((json_int_t)spec->bed.cells));
    (void)json_object_set_new(campaign, "shells", json_integer((json_int_t)spec->bed.shells));
    return campaign;
}

static json_t *remarks_of(const bf_campaign_spec *spec)
{
    json_t *remarks = json_array();
    for (size_t t = 0; t < bf__foul_truth_count(); t++) {
        (void)json_array_append_new(remarks, json_string(bf__foul_truth(t)));
    }
    if (*bf__iron_advice(spec)) {
        (void)json_array_append_new(remarks, json_string(bf__iron_advice(spec)));
    }
    return remarks;
}

static json_t *safety(void)
{
    json_t *facts = json_array();
    for (size_t f = 0; f < bf_cleaning_safety_count(); f++) {
        const bf_safety_fact from = bf_cleaning_safety_get(f);
        json_t *fact = json_object();
        bf__json_text(fact, "subject", from.subject);
        bf__json_text(fact, "text", from.text);
        bf__json_text(fact, "source", from.source);
        (void)json_array_append_new(facts, fact);
    }
    return facts;
}

json_t *bf__fouling_document(const char *command, const bf_page *page,
                             const bf_case_campaign *asked, const bf_campaign_spec *spec,
                             int with_safety)
{
    json_t *document = bf__json_document(command, page);
    (void)json_object_set_new(document, "campaign", campaign_of(asked, spec));
    (void)json_object_set_new(document, "remarks", remarks_of(spec));
    (void)json_object_set_new(document, "safety",
                              with_safety || bf__campaign_names_chemicals(spec) ? safety()
                                                                                : json_array());
    return document;
}
