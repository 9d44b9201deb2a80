/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From the section `campaign` to the years of a bed.
 *
 * The campaign is made of what the rest of the file already says (water, bed, steps) and of its own
 * keys. Regenerations fit `duration` / `days between` times, at least once.
 */
#include "base/calendar.h"
#include "brinefront/convert.h"
#include "case/file/date.h"
#include "case/stages.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static const double most_cycles = 1e5;           /* bf_campaign_spec_check() */
static const double most_reductant = 50.0;       /* kg/m3, the same */
static const double least_skip_tolerance = 1e-4; /* the same */
/* Trade pages set limits for dissolved iron from 2 to 10 mg/L, 5 the most common; the highest that
 * a field report speaks of is 20 (Keller, Maryland against Michigan, 2004). */
static const double trade_iron_g_per_m3 = 5.0;
static const double field_iron_g_per_m3 = 20.0;

typedef bf__item item;

/* ---- findings -------------------------------------------------------------------------------- */

/* Keys that beside others would mean two things, or nothing. */
static void check_company(bf__reader *r)
{
    const bf__cleaning cleaning = bf__default_cleaning(r);
    if (bf__reader_is_own(r, BF__KEY_DAYS_BETWEEN) && bf__reader_is_own(r, BF__KEY_WATER_BETWEEN)) {
        bf__reader_find_key(r, BF__KEY_WATER_BETWEEN,
                            "days_between says when the bed is regenerated: leave one of the two "
                            "out");
    }
    for (bf__key_id id = 0; id < BF__KEY_COUNT; id++) {
        if (bf__key_get(id)->section == BF__SECTION_CLEANING && id != BF__KEY_CLEANING_AGENT &&
            bf__reader_is_own(r, id) && bf__reader_chosen(r, BF__KEY_CLEANING_AGENT, "none")) {
            bf__reader_find_key(r, id,
                                "nothing is cleaned with: state campaign.cleaning.agent, or leave "
                                "this out");
        }
    }
    if (cleaning == BF__CLEANING_ACID && bf__reader_is_own(r, BF__KEY_CLEANING_PH)) {
        bf__reader_find_key(r, BF__KEY_CLEANING_PH,
                            "the strength of an acid says its pH: leave this out");
    }
    if (cleaning == BF__CLEANING_REDUCTANT && bf__reader_is_own(r, BF__KEY_CLEANING_STRENGTH)) {
        bf__reader_find_key(r, BF__KEY_CLEANING_STRENGTH,
                            "only acid flows through the bed at a strength: leave this out");
    }
    if (bf__reader_is_stated(r, BF__KEY_SEASONS)) {
        bf__reader_find_key(r, BF__KEY_SEASONS,
                            "seasons is a list of mappings: [{from: 05-01, temperature: 14 C}, "
                            "{from: 10-01}]");
    }
}

static void find_missing(bf__reader *r)
{
    for (size_t e = 0; e < r->yaml->count; e++) {
        const bf__yaml_entry *entry = &r->yaml->entries[e];
        if (strncmp(entry->path, "campaign.", 9) == 0) {
            bf__reader_find(r, bf__key_get(BF__KEY_WATER_PER_DAY)->path, entry->key_line,
                            entry->key_column,
                            "a campaign needs the water that the bed treats in a day: "
                            "water_per_day: 300 gal");
            return;
        }
    }
}

/* ---- building -------------------------------------------------------------------------------- */

static bf_campaign_cleaning cleaning_of(const bf__reader *r)
{
    bf_campaign_cleaning cleaning = bf_campaign_spec_default().cleaning;
    if (bf__default_cleaning(r) == BF__CLEANING_NONE) {
        return cleaning; /* never */
    }
    cleaning.agent = bf__reader_chosen(r, BF__KEY_CLEANING_AGENT, "sodium_dithionite")
                         ? BF_CLEANER_DITHIONITE
                     : bf__reader_chosen(r, BF__KEY_CLEANING_AGENT, "sodium_bisulfite")
                         ? BF_CLEANER_BISULFITE
                         : BF_CLEANER_HYDROCHLORIC;
    cleaning.every_days = bf__reader_value(r, BF__KEY_CLEANING_EVERY) / BF_IRON_S_PER_DAY;
    cleaning.dose_kg_per_m3 = bf__reader_value(r, BF__KEY_CLEANING_AMOUNT);
    cleaning.duration_s = bf__reader_value(r, BF__KEY_CLEANING_CONTACT);
    if (bf__default_cleaning(r) == BF__CLEANING_ACID) {
        cleaning.mass_fraction = bf__reader_value(r, BF__KEY_CLEANING_STRENGTH);
    } else {
        cleaning.pH = bf__reader_value(r, BF__KEY_CLEANING_PH);
    }
    cleaning.aged = bf__reader_chosen(r, BF__KEY_CLEANING_OXIDE, "aged");
    return cleaning;
}

static void build_parameters(const bf__reader *r, bf_iron_spec *spec)
{
    for (size_t k = 0; k < BF__KEY_COUNT; k++) {
        if (bf__key_get((bf__key_id)k)->kind == BF__KIND_PARAMETER && r->key[k].is_read) {
            bf_iron_spec_set(spec, bf__key_parameter((bf__key_id)k), r->key[k].value);
        }
    }
}

static void build_spec(const bf__reader *r, bf_campaign_spec *spec)
{
    const bf_rating_spec *rating = &r->out->rating;
    *spec = bf_campaign_spec_default();
    spec->water = rating->water;
    spec->oxygen_mol_per_m3 = bf__oxygen_mol_per_m3(bf__reader_value(r, BF__KEY_OXYGEN));
    spec->ferric_share = bf__reader_value(r, BF__KEY_SUSPENDED_IRON);
    spec->free_chlorine_g_per_m3 = 1e3 * bf__reader_value(r, BF__KEY_FREE_CHLORINE);
    spec->chloramine_g_per_m3 = 1e3 * bf__reader_value(r, BF__KEY_CHLORAMINE);
    spec->contact_s = bf__reader_value(r, BF__KEY_CONTACT_TIME);
    if (bf__reader_has(r, BF__KEY_START)) {
        (void)bf__date_read_day_of_year(r->key[BF__KEY_START].text, &spec->start_day);
    }
    spec->bed = rating->bed;
    spec->bed.cells = (size_t)bf__reader_value(r, BF__KEY_CAMPAIGN_CELLS);
    spec->bed.shells = (size_t)bf__reader_value(r, BF__KEY_CAMPAIGN_SHELLS);
    spec->recipe = rating->recipe;
    bf_recipe_set_dose(&spec->recipe, bf__reader_value(r, BF__KEY_DOSE));
    build_parameters(r, &spec->iron);
    spec->brine_pH = bf__reader_value(r, BF__KEY_BRINE_PH);
    spec->brine_oxygen_mol_per_m3 =
        bf__oxygen_mol_per_m3(bf__reader_value(r, BF__KEY_BRINE_OXYGEN));
    spec->water_m3_per_day =
        bf__reader_value(r, BF__KEY_WATER_PER_DAY) * bf_bed_volume_m3(&spec->bed);
    spec->service_bed_volumes = bf__reader_value(r, BF__KEY_WATER_BETWEEN);
    spec->days_between = bf__reader_value(r, BF__KEY_DAYS_BETWEEN) / BF_IRON_S_PER_DAY;
    spec->draws_per_day = bf__reader_value(r, BF__KEY_DRAWS_PER_DAY);
    spec->cleaning = cleaning_of(r);
    spec->deposit = (bf_iron_deposit){.loose_kg_per_m3 = bf__reader_value(r, BF__KEY_LOOSE_IRON),
                                      .bound_kg_per_m3 = bf__reader_value(r, BF__KEY_BOUND_IRON)};
    spec->skip_tolerance = bf__reader_value(r, BF__KEY_SKIP_TOLERANCE);
    spec->potential_every =
        (size_t)fmax(floor(BF__DAYS_PER_MONTH / bf_campaign_days(spec) + 0.5), 1.0);
}

/* ---- checks of the whole --------------------------------------------------------------------- */

/* Cycles, and what a cycle is made of. */
static void check_pace(bf__reader *r, bf_campaign_spec *spec)
{
    char sentence[300];
    const double days = bf_campaign_days(spec);
    const double bed_volumes = bf_campaign_bed_volumes(spec);
    const double running_days =
        bed_volumes * spec->bed.depth_m / spec->recipe.step[0].velocity_m_per_s / BF_IRON_S_PER_DAY;
    /* 1e-9: numerical choice, a quotient that is whole but for rounding is whole. */
    const double cycles = floor(r->out->campaign.duration_days / days + 1e-9);
    spec->cycles = (size_t)fmax(fmin(cycles, most_cycles), 1.0);
    if (running_days > days) {
        (void)snprintf(sentence, sizeof sentence,
                       "at the flow of the service the bed needs %.3g days for the water of %.3g "
                       "days; raise service.flow, or lower this",
                       running_days, days);
        bf__reader_find_key(r, BF__KEY_WATER_PER_DAY, sentence);
    } else if (!(days >= 1e-3 && days <= 1000.0 && bed_volumes >= 1e-3 && bed_volumes <= 1e4)) {
        (void)snprintf(sentence, sizeof sentence,
                       "comes to %.3g bed volumes and %.3g days between regenerations; accepted "
                       "are up to 10000 and 0.001 to 1000",
                       bed_volumes, days);
        bf__reader_find_key(r,
                            bf__reader_is_stated(r, BF__KEY_WATER_BETWEEN) ? BF__KEY_WATER_BETWEEN
                                                                           : BF__KEY_WATER_PER_DAY,
                            sentence);
    } else if (cycles > most_cycles) {
        (void)snprintf(sentence, sizeof sentence,
                       "comes to %.6g regenerations; a campaign has %.0f at most: shorten it, or "
                       "regenerate less often",
                       cycles, most_cycles);
        bf__reader_find_key(r, BF__KEY_DURATION, sentence);
    }
}

static void check_values(bf__reader *r, const bf_campaign_spec *spec)
{
    char sentence[300];
    if (bf__oxygen_is_too_much(spec->brine_oxygen_mol_per_m3, spec->water.temperature_K, sentence,
                               sizeof sentence)) {
        bf__reader_find_key(r, BF__KEY_BRINE_OXYGEN, sentence);
    }
    if (bf__default_cleaning(r) == BF__CLEANING_REDUCTANT &&
        spec->cleaning.dose_kg_per_m3 > most_reductant) {
        bf__reader_find_key(r, BF__KEY_CLEANING_AMOUNT,
                            "more than the model of a reductant covers; accepted are up to 50 g/L");
    }
    if (spec->skip_tolerance > 0.0 && spec->skip_tolerance < least_skip_tolerance) {
        bf__reader_find_key(r, BF__KEY_SKIP_TOLERANCE,
                            "too small for a skip ever to be told good; state 0, or 1e-4 to 0.1");
    }
    if (spec->bed.resin.uniformity_coefficient > 1.0 &&
        spec->bed.bead_classes * spec->bed.shells > BF_BEAD_SHELLS) {
        (void)snprintf(sentence, sizeof sentence,
                       "%zu shells in each of %zu classes of beads; there is room for %d in all",
                       spec->bed.shells, spec->bed.bead_classes, BF_BEAD_SHELLS);
        bf__reader_find_key(r, BF__KEY_CAMPAIGN_SHELLS, sentence);
    }
}

/* ---- notes ----------------------------------------------------------------------------------- */

static double most_iron_g_per_m3(const bf_campaign_spec *spec)
{
    double most = spec->water.ion_eq_per_m3[BF_ION_FE];
    for (size_t k = 0; k < spec->season_count; k++) {
        most = fmax(most, spec->season[k].water.ion_eq_per_m3[BF_ION_FE]);
    }
    return most * bf_ion_equivalent_mass_g_per_eq(BF_ION_FE);
}

static void note_iron(const bf__reader *r, const bf_campaign_spec *spec)
{
    const double iron = most_iron_g_per_m3(spec);
    const char *path = bf__key_get(BF__KEY_IRON)->path;
    if (iron > field_iron_g_per_m3 * (1.0 + 1e-9)) {
        bf_notes_add(r->notes, BF_NOTE_CAUTION, path,
                     "%.3g mg/L: beyond the 20 mg/L that any field report known here speaks of",
                     iron);
    } else if (iron > trade_iron_g_per_m3 * (1.0 + 1e-9)) {
        bf_notes_add(r->notes, BF_NOTE_CAUTION, path,
                     "%.3g mg/L: the trade mostly lets a softener take 5 mg/L of dissolved iron, "
                     "and treats more before it",
                     iron);
    }
    if (iron > 0.0 && !(spec->water.ion_eq_per_m3[BF_ION_HCO3] > 0.0)) {
        bf_notes_add(r->notes, BF_NOTE_CAUTION, bf__key_get(BF__KEY_ALKALINITY)->path,
                     "none is stated and none follows: iron that oxidises takes 1.8 mg/L as CaCO3 "
                     "for each mg/L and the pH, which is prescribed, would not hold");
    }
}

static void note_campaign(const bf__reader *r, const bf_campaign_spec *spec)
{
    size_t defaults = bf_iron_parameter_count();
    for (size_t k = 0; k < BF__KEY_COUNT; k++) {
        defaults -= bf__key_get((bf__key_id)k)->kind == BF__KIND_PARAMETER && r->key[k].is_read;
    }
    bf_notes_add(
        r->notes, BF_NOTE_ASSUMED, "campaign.parameter",
        "%zu of %zu parameters of iron are at their defaults, most of them calibrated, not "
        "measured: docs/case-keys.md has each with its range",
        defaults, bf_iron_parameter_count());
    if (!bf__reader_has(r, BF__KEY_START)) {
        bf_notes_add(r->notes, BF_NOTE_ASSUMED, bf__key_get(BF__KEY_START)->path,
                     "no day is stated: it begins on 1 January");
    }
    bf_water fed;
    bf_iron_water iron;
    const double total = spec->water.ion_eq_per_m3[BF_ION_FE];
    if (total > 0.0 && !bf__reader_has(r, BF__KEY_SUSPENDED_IRON) &&
        bf_campaign_feed(spec, NULL, &fed, &iron, NULL) == BF_OK) {
        bf_notes_add(r->notes, BF_NOTE_ASSUMED, bf__key_get(BF__KEY_SUSPENDED_IRON)->path,
                     "by the contact time: %.3g %% of the iron oxidises before the bed",
                     100.0 * (1.0 - fed.ion_eq_per_m3[BF_ION_FE] / total));
    }
    if (!bf__reader_has(r, BF__KEY_BRINE_PH)) {
        bf_notes_add(r->notes, BF_NOTE_ASSUMED, bf__key_get(BF__KEY_BRINE_PH)->path,
                     "that of the water, %.3g", spec->water.pH);
    }
    note_iron(r, spec);
    bf_notes_add(r->notes, BF_NOTE_CAUTION, "campaign",
                 "iron bacteria and iron bound to organic matter are not modelled; a bed that has "
                 "them fouls faster");
}

/* ---- all of it ------------------------------------------------------------------------------- */

void bf__stage_campaign(bf__reader *r)
{
    if (!r->has_campaign) {
        return;
    }
    bf_case_campaign *campaign = &r->out->campaign;
    bf_campaign_spec *spec = &campaign->spec;
    item seasons[BF_CAMPAIGN_SEASONS] = {0};
    const size_t count = bf__reader_items(r, BF__SECTION_SEASON, BF_CAMPAIGN_SEASONS,
                                          "more than 12 seasons", seasons);
    check_company(r);
    bf__seasons_check(r, seasons, count);
    if (r->status == BF_OK && !bf__reader_has(r, BF__KEY_WATER_PER_DAY)) {
        find_missing(r);
    }
    if (r->status != BF_OK) {
        return; /* the numbers are not all there */
    }
    campaign->duration_days = bf__reader_value(r, BF__KEY_DURATION) / BF_IRON_S_PER_DAY;
    campaign->needed_eq_per_m3 = bf__reader_value(r, BF__KEY_NEEDED);
    if (bf__reader_has(r, BF__KEY_START)) {
        (void)snprintf(campaign->start, sizeof campaign->start, "%.10s",
                       r->key[BF__KEY_START].text);
    }
    build_spec(r, spec);
    bf__campaign_check_water(r, spec);
    bf__seasons_build(r, seasons, count, spec);
    check_pace(r, spec);
    check_values(r, spec);
    bf_error err = {0};
    if (r->status == BF_OK && bf_campaign_spec_check(spec, &err) != BF_OK) {
        bf__reader_find_key(r, BF__KEY_WATER_PER_DAY, err.message);
    }
    campaign->is_stated = r->status == BF_OK;
    if (campaign->is_stated) {
        note_campaign(r, spec);
    }
}
