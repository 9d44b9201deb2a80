/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the JSON documents of campaigns have in common. */
#include "report/campaign/campaign_json.h"

#include "brinefront/convert.h"
#include "rating/fouling/years.h"
#include "report/campaign/campaign_setting.h"

#include <math.h>

static json_t *water_json(const bf_water *water, double from_day, double oxygen_mol_per_m3)
{
    json_t *object = json_object();
    bf__json_number(object, "from_day_of_year", from_day);
    bf__json_quantity(object, "hardness_mg_per_L_CaCO3", BF__QUANTITY_LEAKAGE,
                      water->hardness_eq_per_m3);
    bf__json_number(object, "iron_mg_per_L", bf__ion_mg_per_L(water, BF_ION_FE));
    bf__json_number(object, "manganese_mg_per_L", bf__ion_mg_per_L(water, BF_ION_MN));
    bf__json_number(object, "oxygen_mg_per_L", oxygen_mol_per_m3 * BF_OXYGEN_G_PER_MOL);
    bf__json_number(object, "pH", water->pH);
    bf__json_quantity(object, "temperature_C", BF__QUANTITY_TEMPERATURE, water->temperature_K);
    return object;
}

static json_t *waters_json(const bf_campaign_spec *spec)
{
    json_t *waters = json_array();
    if (spec->season_count == 0) {
        bf__json_append(waters, water_json(&spec->water, 0.0, spec->oxygen_mol_per_m3));
    }
    for (size_t k = 0; k < spec->season_count; k++) {
        const bf_campaign_season *season = &spec->season[k];
        bf__json_append(waters,
                        water_json(&season->water, season->from_day, season->oxygen_mol_per_m3));
    }
    return waters;
}

static json_t *cleaning_json(const bf_campaign_cleaning *cleaning)
{
    if (!(cleaning->every_days > 0.0)) {
        return json_null();
    }
    json_t *object = json_object();
    bf__json_number(object, "every_days", cleaning->every_days);
    bf__json_text(object, "agent", bf_cleaner_name(cleaning->agent));
    bf__json_number(object, "dose_g_per_L_bed", cleaning->dose_kg_per_m3);
    if (cleaning->agent == BF_CLEANER_HYDROCHLORIC) {
        bf__json_quantity(object, "strength_wt_percent", BF__QUANTITY_MASS_FRACTION,
                          cleaning->mass_fraction);
    } else {
        bf__json_quantity(object, "contact_min", BF__QUANTITY_MINUTES, cleaning->duration_s);
        bf__json_number(object, "pH", cleaning->pH);
    }
    return object;
}

static json_t *campaign_json(const bf_case_campaign *campaign, const bf_campaign_spec *spec)
{
    json_t *object = json_object();
    bf__json_text(object, "start", campaign->start);
    bf__json_set(object, "waters", waters_json(spec));
    bf__json_quantity(object, "contact_min", BF__QUANTITY_MINUTES, spec->contact_s);
    bf__json_number(object, "ferric_share", spec->ferric_share);
    bf__json_number(object, "free_chlorine_mg_per_L", spec->free_chlorine_g_per_m3);
    bf__json_number(object, "chloramine_mg_per_L", spec->chloramine_g_per_m3);
    bf__json_number(object, "days_between_regenerations", bf_campaign_days(spec));
    bf__json_number(object, "service_BV", bf_campaign_bed_volumes(spec));
    bf__json_number(object, "water_m3_per_day", spec->water_m3_per_day);
    bf__json_number(object, "draws_per_day", spec->draws_per_day);
    bf__json_number(object, "dose_g_per_L", bf_recipe_dose_kg_per_m3(&spec->recipe));
    bf__json_number(object, "brine_pH", spec->brine_pH);
    bf__json_number(object, "brine_oxygen_mg_per_L",
                    spec->brine_oxygen_mol_per_m3 * BF_OXYGEN_G_PER_MOL);
    bf__json_set(object, "cleaning", cleaning_json(&spec->cleaning));
    bf__json_number(object, "loose_iron_at_start_g_per_L_bed", spec->deposit.loose_kg_per_m3);
    bf__json_number(object, "bound_iron_at_start_g_per_L_bed", spec->deposit.bound_kg_per_m3);
    bf__json_set(object, "cycles", json_integer((json_int_t)spec->cycles));
    bf__json_number(object, "duration_days", (double)spec->cycles * bf_campaign_days(spec));
    bf__json_number(object, "duration_stated_days", campaign->duration_days);
    bf__json_set(object, "cells", json_integer((json_int_t)spec->bed.cells));
    bf__json_set(object, "shells", json_integer((json_int_t)spec->bed.shells));
    return object;
}

static json_t *remarks_json(const bf_campaign_spec *spec)
{
    json_t *remarks = json_array();
    for (size_t t = 0; t < bf__foul_truth_count(); t++) {
        bf__json_append(remarks, json_string(bf__foul_truth(t)));
    }
    if (*bf__iron_advice(spec)) {
        bf__json_append(remarks, json_string(bf__iron_advice(spec)));
    }
    return remarks;
}

static json_t *safety_json(void)
{
    json_t *facts = json_array();
    for (size_t f = 0; f < bf_cleaning_safety_count(); f++) {
        const bf_safety_fact caution = bf_cleaning_safety_get(f);
        json_t *fact = json_object();
        bf__json_text(fact, "subject", caution.subject);
        bf__json_text(fact, "text", caution.text);
        bf__json_text(fact, "source", caution.source);
        bf__json_append(facts, fact);
    }
    return facts;
}

json_t *bf__fouling_document(const char *command, const bf_page *page,
                             const bf_case_campaign *campaign, const bf_campaign_spec *spec,
                             int with_safety)
{
    json_t *document = bf__json_document(command, page);
    bf__json_set(document, "campaign", campaign_json(campaign, spec));
    bf__json_set(document, "remarks", remarks_json(spec));
    bf__json_set(document, "safety",
                 with_safety || bf__campaign_names_chemicals(spec) ? safety_json() : json_array());
    return document;
}
