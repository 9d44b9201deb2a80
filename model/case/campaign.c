/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From the section `campaign` to the years of a bed.
 *
 * The campaign is made of what the rest of the file already says (water, bed, steps) and of its own
 * keys. Each season is the completed water with what the season states in its place:
 *
 *     hardness h      Ca, Mg -> h/(Ca + Mg) of each; where the alkalinity was analysed it moves by
 *                     h - (Ca + Mg), since hardness that comes and goes is dissolved limestone
 *     anything else   in place of the water's; the anions are completed as those of the water are
 *
 * Regenerations fit `duration` / `days between` times, at least once. Refused is what the laws of
 * iron (oxidation.h) do not cover, and more oxygen than water holds under air.
 */
#include "brinefront/convert.h"
#include "case/file/date.h"
#include "case/reader.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static const double s_per_day = 86400.0;
static const double days_per_month = 30.4375;
static const double most_cycles = 1e5;           /* bf_campaign_spec_check() */
static const double most_reductant = 50.0;       /* kg/m3, the same */
static const double least_skip_tolerance = 1e-4; /* the same */
/* Trade pages set limits for dissolved iron from 2 to 10 mg/L, 5 the most common; the highest that
 * a field report speaks of is 20 (Keller, Maryland against Michigan, 2004). */
static const double trade_iron_g_per_m3 = 5.0;
static const double field_iron_g_per_m3 = 20.0;

typedef bf__item item;

/* ---- what nobody stated ---------------------------------------------------------------------- */

static int is_agent(const bf__reader *r, const char *word)
{
    return bf__reader_chosen(r, BF__KEY_CLEANING_AGENT, word);
}

static int cleans_with_acid(const bf__reader *r)
{
    return is_agent(r, "hydrochloric_acid");
}

static int cleans_with_reductant(const bf__reader *r)
{
    return is_agent(r, "sodium_dithionite") || is_agent(r, "sodium_bisulfite");
}

/* Agent and days between stand before the keys that ask for them here: they are filled in first. */
const char *bf__reader_default(const bf__reader *r, bf__key_id id)
{
    const char *text = bf__key_get(id)->default_text;
    const int acid = cleans_with_acid(r);
    const int reductant = cleans_with_reductant(r);
    int is_filled_in = *text != '\0' && (r->has_campaign || !bf__key_is_of_campaign(id)) &&
                       (r->has_tank || !bf__key_is_of_tank(id));
    switch (id) {
    case BF__KEY_DAYS_BETWEEN:
        is_filled_in = is_filled_in && !bf__reader_is_stated(r, BF__KEY_WATER_BETWEEN);
        break;
    case BF__KEY_CLEANING_EVERY:
    case BF__KEY_CLEANING_CONTACT:
    case BF__KEY_CLEANING_OXIDE: is_filled_in = is_filled_in && (acid || reductant); break;
    case BF__KEY_CLEANING_PH: is_filled_in = is_filled_in && reductant; break;
    case BF__KEY_CLEANING_STRENGTH: is_filled_in = is_filled_in && acid; break;
    case BF__KEY_CLEANING_AMOUNT:
        text = acid ? "10 lb/ft3" : "4 oz/ft3";
        is_filled_in = acid || reductant;
        break;
    default: break;
    }
    return is_filled_in ? text : NULL;
}

void bf__reader_fill_dose(bf__reader *r)
{
    const bf_case *of = r->out;
    if (!r->has_campaign || bf__reader_is_stated(r, BF__KEY_DOSE) || of->dose_count == 0) {
        return;
    }
    const double dose = of->dose_kg_per_m3[of->dose_count / 2];
    (void)snprintf(r->dose_text, sizeof r->dose_text, "%.4g g/L", dose);
    r->key[BF__KEY_DOSE] =
        (bf__stated){.text = r->dose_text, .is_default = 1, .value = dose, .is_read = 1};
}

/* ---- findings -------------------------------------------------------------------------------- */

static const bf__stated *stated_of(const item *of, bf__key_id id)
{
    return &of->key[bf__key_place(id)];
}

static int season_has(const item *of, bf__key_id id)
{
    return of != NULL && stated_of(of, id)->text != NULL;
}

/* Blame what a season states, or else the water's key. */
static void find_cause(bf__reader *r, const item *of, bf__key_id own, bf__key_id common,
                       const char *sentence)
{
    if (season_has(of, own)) {
        const bf__stated *s = stated_of(of, own);
        bf__reader_find(r, bf__key_get(own)->path, s->line, s->column, sentence);
    } else {
        bf__reader_find_key(r, common, sentence);
    }
}

/* Keys that beside others would mean two things, or nothing. */
static void check_company(bf__reader *r)
{
    const int has_agent = cleans_with_acid(r) || cleans_with_reductant(r);
    if (bf__reader_is_own(r, BF__KEY_DAYS_BETWEEN) && bf__reader_is_own(r, BF__KEY_WATER_BETWEEN)) {
        bf__reader_find_key(r, BF__KEY_WATER_BETWEEN,
                            "days_between says when the bed is regenerated: leave one of the two "
                            "out");
    }
    for (bf__key_id id = 0; id < BF__KEY_COUNT; id++) {
        if (bf__key_get(id)->section == BF__SECTION_CLEANING && id != BF__KEY_CLEANING_AGENT &&
            bf__reader_is_own(r, id) && is_agent(r, "none")) {
            bf__reader_find_key(r, id,
                                "nothing is cleaned with: state campaign.cleaning.agent, or leave "
                                "this out");
        }
    }
    if (has_agent && bf__reader_is_own(r, BF__KEY_CLEANING_PH) && cleans_with_acid(r)) {
        bf__reader_find_key(r, BF__KEY_CLEANING_PH,
                            "the strength of an acid says its pH: leave this out");
    }
    if (has_agent && bf__reader_is_own(r, BF__KEY_CLEANING_STRENGTH) && cleans_with_reductant(r)) {
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

/* ---- seasons --------------------------------------------------------------------------------- */

static void check_seasons(bf__reader *r, const item *seasons, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        const bf__stated *at = bf__item_first(&seasons[i]);
        const bf__stated *from = stated_of(&seasons[i], BF__KEY_SEASON_FROM);
        if (at != NULL && from->text == NULL) {
            bf__reader_find(r, bf__key_get(BF__KEY_SEASONS)->path, at->line, at->column,
                            "this season does not say when it begins; add `from: 06-01`");
        }
        for (size_t other = 0; other < i && from->is_read; other++) {
            const bf__stated *s = stated_of(&seasons[other], BF__KEY_SEASON_FROM);
            if (s->is_read && s->value == from->value) {
                bf__reader_find(r, bf__key_get(BF__KEY_SEASON_FROM)->path, from->line, from->column,
                                "another season begins on this day");
            }
        }
    }
    if (count == 1) {
        const bf__stated *at = bf__item_first(&seasons[0]);
        bf__reader_find(r, bf__key_get(BF__KEY_SEASONS)->path, at->line, at->column,
                        "one season lasts all year: add the day on which the other begins, "
                        "{from: 10-01}, or state its water in `water`");
    }
}

static double season_value(const item *of, bf__key_id id, double otherwise)
{
    return season_has(of, id) ? stated_of(of, id)->value : otherwise;
}

/* The water of a season. */
static bf_status complete_season(const bf__reader *r, const item *of, bf_water *out, bf_error *err)
{
    const bf_water *all_year = &r->out->rating.water;
    bf_water_analysis analysis = bf__reader_analysis(r);
    double *ion = analysis.ion_eq_per_m3;
    memcpy(ion, all_year->ion_eq_per_m3, BF_CATION_COUNT * sizeof *ion);
    analysis.hardness_eq_per_m3 = analysis.calcium_to_magnesium = (double)NAN;
    analysis.dissolved_solids_kg_per_m3 = analysis.conductivity_S_per_m = (double)NAN;
    analysis.temperature_K = season_value(of, BF__KEY_SEASON_TEMPERATURE, all_year->temperature_K);
    analysis.pH = season_value(of, BF__KEY_SEASON_PH, all_year->pH);
    ion[BF_ION_FE] = season_value(of, BF__KEY_SEASON_IRON, ion[BF_ION_FE]);
    ion[BF_ION_MN] = season_value(of, BF__KEY_SEASON_MANGANESE, ion[BF_ION_MN]);
    const double before = ion[BF_ION_CA] + ion[BF_ION_MG];
    const double hardness = season_value(of, BF__KEY_SEASON_HARDNESS, before);
    ion[BF_ION_CA] *= hardness / before;
    ion[BF_ION_MG] *= hardness / before;
    if (!isnan(ion[BF_ION_HCO3])) {
        ion[BF_ION_HCO3] = fmax(ion[BF_ION_HCO3] + hardness - before, 0.0);
    }
    return bf_water_complete(&analysis, out, NULL, err);
}

/* ---- what the laws of iron cover ------------------------------------------------------------- */

static double to_mol_per_m3(double oxygen_kg_per_m3)
{
    return 1e3 * oxygen_kg_per_m3 / BF_OXYGEN_G_PER_MOL;
}

/* A sentence where the oxygen is more than water holds under air; else nothing. */
static int is_supersaturated(double oxygen_mol_per_m3, double temperature_K, char *sentence,
                             size_t room)
{
    const double most = bf_oxygen_solubility_mol_per_m3(temperature_K, 0.0);
    (void)snprintf(sentence, room,
                   "%.4g mg/L of oxygen is more than water of %.3g C holds under air, %.4g mg/L",
                   oxygen_mol_per_m3 * BF_OXYGEN_G_PER_MOL, temperature_K - BF_K_AT_0_C,
                   most * BF_OXYGEN_G_PER_MOL);
    return oxygen_mol_per_m3 > most;
}

/* Water as it comes, all year or in a season. */
static void check_water(bf__reader *r, const item *of, const bf_campaign_spec *spec,
                        const bf_campaign_season *season)
{
    const bf_water *water = season != NULL ? &season->water : &spec->water;
    const double oxygen = season != NULL ? season->oxygen_mol_per_m3 : spec->oxygen_mol_per_m3;
    char sentence[300];
    bf_error err = {0};
    bf_iron_water probe = bf_iron_water_default();
    probe.temperature_K = water->temperature_K;
    if (bf_iron_water_check(&probe, &err) != BF_OK) {
        find_cause(r, of, BF__KEY_SEASON_TEMPERATURE, BF__KEY_TEMPERATURE, err.message);
        return;
    }
    probe.pH = water->pH;
    if (bf_iron_water_check(&probe, &err) != BF_OK) {
        find_cause(r, of, BF__KEY_SEASON_PH, BF__KEY_PH, err.message);
        return;
    }
    if (is_supersaturated(oxygen, water->temperature_K, sentence, sizeof sentence)) {
        const int by_oxygen =
            season_has(of, BF__KEY_SEASON_OXYGEN) || !season_has(of, BF__KEY_SEASON_TEMPERATURE);
        find_cause(r, of, by_oxygen ? BF__KEY_SEASON_OXYGEN : BF__KEY_SEASON_TEMPERATURE,
                   BF__KEY_OXYGEN, sentence);
        return;
    }
    if (bf__reader_value(r, BF__KEY_END_POINT) >= water->hardness_eq_per_m3) {
        find_cause(r, of, BF__KEY_SEASON_HARDNESS, BF__KEY_END_POINT,
                   "the hardness of this season is not above the end point of the service");
        return;
    }
    bf_water fed;
    bf_iron_water iron;
    if (bf_campaign_feed(spec, season, &fed, &iron, &err) != BF_OK) {
        const double has = water->ion_eq_per_m3[BF_ION_HCO3];
        if (fed.ion_eq_per_m3[BF_ION_HCO3] < 0.0) {
            (void)snprintf(sentence, sizeof sentence,
                           "iron that oxidises before the bed takes %.3g mg/L as CaCO3 of "
                           "alkalinity, and the water has %.3g: state water.alkalinity",
                           BF_G_CACO3_PER_EQ * (has - fed.ion_eq_per_m3[BF_ION_HCO3]),
                           BF_G_CACO3_PER_EQ * has);
        }
        find_cause(r, of, BF__KEY_SEASON_IRON,
                   bf__reader_is_stated(r, BF__KEY_ALKALINITY) ? BF__KEY_ALKALINITY : BF__KEY_IRON,
                   fed.ion_eq_per_m3[BF_ION_HCO3] < 0.0 ? sentence : err.message);
    }
}

/* ---- building -------------------------------------------------------------------------------- */

static bf_campaign_cleaning cleaning_of(const bf__reader *r)
{
    bf_campaign_cleaning to = bf_campaign_spec_default().cleaning;
    if (!cleans_with_acid(r) && !cleans_with_reductant(r)) {
        return to; /* never */
    }
    to.agent = is_agent(r, "sodium_dithionite")  ? BF_CLEANER_DITHIONITE
               : is_agent(r, "sodium_bisulfite") ? BF_CLEANER_BISULFITE
                                                 : BF_CLEANER_HYDROCHLORIC;
    to.every_days = bf__reader_value(r, BF__KEY_CLEANING_EVERY) / s_per_day;
    to.dose_kg_per_m3 = bf__reader_value(r, BF__KEY_CLEANING_AMOUNT);
    to.duration_s = bf__reader_value(r, BF__KEY_CLEANING_CONTACT);
    if (cleans_with_acid(r)) {
        to.mass_fraction = bf__reader_value(r, BF__KEY_CLEANING_STRENGTH);
    } else {
        to.pH = bf__reader_value(r, BF__KEY_CLEANING_PH);
    }
    to.aged = bf__reader_chosen(r, BF__KEY_CLEANING_OXIDE, "aged");
    return to;
}

static void build_parameters(const bf__reader *r, bf_iron_spec *to)
{
    for (size_t k = 0; k < BF__KEY_COUNT; k++) {
        if (bf__key_get((bf__key_id)k)->kind == BF__KIND_PARAMETER && r->key[k].is_read) {
            bf_iron_spec_set(to, bf__key_parameter((bf__key_id)k), r->key[k].value);
        }
    }
}

static void build_spec(const bf__reader *r, bf_campaign_spec *spec)
{
    const bf_rating_spec *rating = &r->out->rating;
    *spec = bf_campaign_spec_default();
    spec->water = rating->water;
    spec->oxygen_mol_per_m3 = to_mol_per_m3(bf__reader_value(r, BF__KEY_OXYGEN));
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
    spec->brine_oxygen_mol_per_m3 = to_mol_per_m3(bf__reader_value(r, BF__KEY_BRINE_OXYGEN));
    spec->water_m3_per_day =
        bf__reader_value(r, BF__KEY_WATER_PER_DAY) * bf_bed_volume_m3(&spec->bed);
    spec->service_bed_volumes = bf__reader_value(r, BF__KEY_WATER_BETWEEN);
    spec->days_between = bf__reader_value(r, BF__KEY_DAYS_BETWEEN) / s_per_day;
    spec->draws_per_day = bf__reader_value(r, BF__KEY_DRAWS_PER_DAY);
    spec->cleaning = cleaning_of(r);
    spec->deposit = (bf_iron_deposit){.loose_kg_per_m3 = bf__reader_value(r, BF__KEY_LOOSE_IRON),
                                      .bound_kg_per_m3 = bf__reader_value(r, BF__KEY_BOUND_IRON)};
    spec->skip_tolerance = bf__reader_value(r, BF__KEY_SKIP_TOLERANCE);
    spec->potential_every = (size_t)fmax(floor(days_per_month / bf_campaign_days(spec) + 0.5), 1.0);
}

/* A season as it was completed: what is printed back of it. */
static void note_season(const bf__reader *r, const item *of, const bf_campaign_season *season)
{
    const bf__stated *at = bf__item_first(of);
    const bf_water *water = &season->water;
    bf_notes_add_at(r->notes, BF_NOTE_DEDUCED, bf__key_get(BF__KEY_SEASONS)->path, at->line,
                    at->column,
                    "from %s on %.3g C, pH %.3g, %.3g mg/L of oxygen, iron %.3g and manganese %.3g "
                    "mg/L, hardness %.4g and alkalinity %.4g mg/L as CaCO3",
                    stated_of(of, BF__KEY_SEASON_FROM)->text, water->temperature_K - BF_K_AT_0_C,
                    water->pH, season->oxygen_mol_per_m3 * BF_OXYGEN_G_PER_MOL,
                    water->ion_eq_per_m3[BF_ION_FE] * bf_ion_equivalent_mass_g_per_eq(BF_ION_FE),
                    water->ion_eq_per_m3[BF_ION_MN] * bf_ion_equivalent_mass_g_per_eq(BF_ION_MN),
                    water->hardness_eq_per_m3 * BF_G_CACO3_PER_EQ,
                    water->ion_eq_per_m3[BF_ION_HCO3] * BF_G_CACO3_PER_EQ);
}

/* In the order of their days, whatever their order in the file. */
static void build_seasons(bf__reader *r, const item *seasons, size_t count, bf_campaign_spec *spec)
{
    const item *ordered[BF_CAMPAIGN_SEASONS];
    for (size_t i = 0; i < count; i++) {
        size_t at = i;
        const double from = stated_of(&seasons[i], BF__KEY_SEASON_FROM)->value;
        for (; at > 0 && stated_of(ordered[at - 1], BF__KEY_SEASON_FROM)->value > from; at--) {
            ordered[at] = ordered[at - 1];
        }
        ordered[at] = &seasons[i];
    }
    for (size_t i = 0; i < count; i++) {
        const item *of = ordered[i];
        bf_campaign_season *season = &spec->season[spec->season_count++];
        const double oxygen = bf__reader_value(r, BF__KEY_OXYGEN);
        bf_error err = {0};
        season->from_day = stated_of(of, BF__KEY_SEASON_FROM)->value;
        season->oxygen_mol_per_m3 = to_mol_per_m3(season_value(of, BF__KEY_SEASON_OXYGEN, oxygen));
        if (complete_season(r, of, &season->water, &err) != BF_OK) {
            const bf__stated *first = bf__item_first(of);
            bf__reader_find(r, bf__key_get(BF__KEY_SEASONS)->path, first->line, first->column,
                            err.message);
            return;
        }
        check_water(r, of, spec, season);
        note_season(r, of, season);
    }
}

/* ---- checks of the whole --------------------------------------------------------------------- */

/* Cycles, and what a cycle is made of. */
static void check_pace(bf__reader *r, bf_campaign_spec *spec)
{
    char sentence[300];
    const double days = bf_campaign_days(spec);
    const double bed_volumes = bf_campaign_bed_volumes(spec);
    const double running_days =
        bed_volumes * spec->bed.depth_m / spec->recipe.step[0].velocity_m_per_s / s_per_day;
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
    if (is_supersaturated(spec->brine_oxygen_mol_per_m3, spec->water.temperature_K, sentence,
                          sizeof sentence)) {
        bf__reader_find_key(r, BF__KEY_BRINE_OXYGEN, sentence);
    }
    if (cleans_with_reductant(r) && spec->cleaning.dose_kg_per_m3 > most_reductant) {
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
    size_t kept = bf_iron_parameter_count();
    for (size_t k = 0; k < BF__KEY_COUNT; k++) {
        kept -= bf__key_get((bf__key_id)k)->kind == BF__KIND_PARAMETER && r->key[k].is_read;
    }
    bf_notes_add(
        r->notes, BF_NOTE_ASSUMED, "campaign.parameter",
        "%zu of %zu parameters of iron are at their defaults, most of them calibrated, not "
        "measured: docs/case-keys.md has each with its range",
        kept, bf_iron_parameter_count());
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

void bf__reader_build_campaign(bf__reader *r)
{
    if (!r->has_campaign) {
        return;
    }
    bf_case_campaign *to = &r->out->campaign;
    bf_campaign_spec *spec = &to->spec;
    item seasons[BF_CAMPAIGN_SEASONS] = {0};
    const size_t count = bf__reader_items(r, BF__SECTION_SEASON, BF_CAMPAIGN_SEASONS,
                                          "more than 12 seasons", seasons);
    check_company(r);
    check_seasons(r, seasons, count);
    if (r->status == BF_OK && !bf__reader_has(r, BF__KEY_WATER_PER_DAY)) {
        find_missing(r);
    }
    if (r->status != BF_OK) {
        return; /* the numbers are not all there */
    }
    to->duration_days = bf__reader_value(r, BF__KEY_DURATION) / s_per_day;
    to->needed_eq_per_m3 = bf__reader_value(r, BF__KEY_NEEDED);
    if (bf__reader_has(r, BF__KEY_START)) {
        (void)snprintf(to->start, sizeof to->start, "%.10s", r->key[BF__KEY_START].text);
    }
    build_spec(r, spec);
    check_water(r, NULL, spec, NULL);
    build_seasons(r, seasons, count, spec);
    check_pace(r, spec);
    check_values(r, spec);
    bf_error err = {0};
    if (r->status == BF_OK && bf_campaign_spec_check(spec, &err) != BF_OK) {
        bf__reader_find_key(r, BF__KEY_WATER_PER_DAY, err.message);
    }
    to->is_stated = r->status == BF_OK;
    if (to->is_stated) {
        note_campaign(r, spec);
    }
}
