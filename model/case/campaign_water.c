/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The waters of a campaign: all year, and in each season.
 *
 * A season is the completed water with what the season states in its place:
 *
 *     hardness h      Ca, Mg -> h/(Ca + Mg) of each; where the alkalinity was analysed it moves by
 *                     h - (Ca + Mg), since hardness that comes and goes is dissolved limestone
 *     anything else   in place of the water's; the anions are completed as those of the water are
 *
 * Refused is what the laws of iron (oxidation.h) do not cover, and more oxygen than water holds
 * under air.
 */
#include "brinefront/convert.h"
#include "case/stages.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

typedef bf__item item;

void bf__seasons_check(bf__reader *r, const item *seasons, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        const bf__stated *first = bf__item_first(&seasons[i]);
        const bf__stated *begin = bf__item_get(&seasons[i], BF__KEY_SEASON_FROM);
        if (first != NULL && begin->text == NULL) {
            bf__reader_find(r, bf__key_get(BF__KEY_SEASONS)->path, first->line, first->column,
                            "this season does not say when it begins; add `from: 06-01`");
        }
        for (size_t other = 0; other < i && begin->is_read; other++) {
            const bf__stated *s = bf__item_get(&seasons[other], BF__KEY_SEASON_FROM);
            if (s->is_read && s->value == begin->value) {
                bf__reader_find(r, bf__key_get(BF__KEY_SEASON_FROM)->path, begin->line,
                                begin->column, "another season begins on this day");
            }
        }
    }
    if (count == 1) {
        const bf__stated *first = bf__item_first(&seasons[0]);
        bf__reader_find(r, bf__key_get(BF__KEY_SEASONS)->path, first->line, first->column,
                        "one season lasts all year: add the day on which the other begins, "
                        "{from: 10-01}, or state its water in `water`");
    }
}

/* The water of a season. */
static bf_status complete_season(const bf__reader *r, const item *stated, bf_water *out,
                                 bf_error *err)
{
    const bf_water *all_year = &r->out->rating.water;
    bf_water_analysis analysis = bf__stated_analysis(r);
    double *ion = analysis.ion_eq_per_m3;
    memcpy(ion, all_year->ion_eq_per_m3, BF_CATION_COUNT * sizeof *ion);
    analysis.hardness_eq_per_m3 = analysis.calcium_to_magnesium = (double)NAN;
    analysis.dissolved_solids_kg_per_m3 = analysis.conductivity_S_per_m = (double)NAN;
    analysis.temperature_K =
        bf__item_value(stated, BF__KEY_SEASON_TEMPERATURE, all_year->temperature_K);
    analysis.pH = bf__item_value(stated, BF__KEY_SEASON_PH, all_year->pH);
    ion[BF_ION_FE] = bf__item_value(stated, BF__KEY_SEASON_IRON, ion[BF_ION_FE]);
    ion[BF_ION_MN] = bf__item_value(stated, BF__KEY_SEASON_MANGANESE, ion[BF_ION_MN]);
    const double before = ion[BF_ION_CA] + ion[BF_ION_MG];
    const double hardness = bf__item_value(stated, BF__KEY_SEASON_HARDNESS, before);
    ion[BF_ION_CA] *= hardness / before;
    ion[BF_ION_MG] *= hardness / before;
    if (!isnan(ion[BF_ION_HCO3])) {
        ion[BF_ION_HCO3] = fmax(ion[BF_ION_HCO3] + hardness - before, 0.0);
    }
    return bf_water_complete(&analysis, out, NULL, err);
}

double bf__oxygen_mol_per_m3(double oxygen_kg_per_m3)
{
    return 1e3 * oxygen_kg_per_m3 / BF_OXYGEN_G_PER_MOL;
}

/* A sentence where the oxygen is more than water holds under air; else nothing. */
int bf__oxygen_is_too_much(double oxygen_mol_per_m3, double temperature_K, char *sentence,
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
static void check_water(bf__reader *r, const item *stated, const bf_campaign_spec *spec,
                        const bf_campaign_season *season)
{
    const bf_water *water = season != NULL ? &season->water : &spec->water;
    const double oxygen = season != NULL ? season->oxygen_mol_per_m3 : spec->oxygen_mol_per_m3;
    char sentence[300];
    bf_error err = {0};
    bf_iron_water probe = bf_iron_water_default();
    probe.temperature_K = water->temperature_K;
    if (bf_iron_water_check(&probe, &err) != BF_OK) {
        bf__reader_find_cause(r, stated, BF__KEY_SEASON_TEMPERATURE, BF__KEY_TEMPERATURE,
                              err.message);
        return;
    }
    probe.pH = water->pH;
    if (bf_iron_water_check(&probe, &err) != BF_OK) {
        bf__reader_find_cause(r, stated, BF__KEY_SEASON_PH, BF__KEY_PH, err.message);
        return;
    }
    if (bf__oxygen_is_too_much(oxygen, water->temperature_K, sentence, sizeof sentence)) {
        const int by_oxygen = bf__item_has(stated, BF__KEY_SEASON_OXYGEN) ||
                              !bf__item_has(stated, BF__KEY_SEASON_TEMPERATURE);
        bf__reader_find_cause(r, stated,
                              by_oxygen ? BF__KEY_SEASON_OXYGEN : BF__KEY_SEASON_TEMPERATURE,
                              BF__KEY_OXYGEN, sentence);
        return;
    }
    if (bf__reader_value(r, BF__KEY_END_POINT) >= water->hardness_eq_per_m3) {
        bf__reader_find_cause(
            r, stated, BF__KEY_SEASON_HARDNESS, BF__KEY_END_POINT,
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
        bf__reader_find_cause(r, stated, BF__KEY_SEASON_IRON,
                              bf__reader_is_stated(r, BF__KEY_ALKALINITY) ? BF__KEY_ALKALINITY
                                                                          : BF__KEY_IRON,
                              fed.ion_eq_per_m3[BF_ION_HCO3] < 0.0 ? sentence : err.message);
    }
}

void bf__campaign_check_water(bf__reader *r, const bf_campaign_spec *spec)
{
    check_water(r, NULL, spec, NULL);
}

/* A season as it was completed: what is printed back of it. */
static void note_season(const bf__reader *r, const item *stated, const bf_campaign_season *season)
{
    const bf__stated *place = bf__item_first(stated);
    const bf_water *water = &season->water;
    bf_notes_add_at(
        r->notes, BF_NOTE_DEDUCED, bf__key_get(BF__KEY_SEASONS)->path, place->line, place->column,
        "from %s on %.3g C, pH %.3g, %.3g mg/L of oxygen, iron %.3g and manganese %.3g "
        "mg/L, hardness %.4g and alkalinity %.4g mg/L as CaCO3",
        bf__item_get(stated, BF__KEY_SEASON_FROM)->text, water->temperature_K - BF_K_AT_0_C,
        water->pH, season->oxygen_mol_per_m3 * BF_OXYGEN_G_PER_MOL,
        water->ion_eq_per_m3[BF_ION_FE] * bf_ion_equivalent_mass_g_per_eq(BF_ION_FE),
        water->ion_eq_per_m3[BF_ION_MN] * bf_ion_equivalent_mass_g_per_eq(BF_ION_MN),
        water->hardness_eq_per_m3 * BF_G_CACO3_PER_EQ,
        water->ion_eq_per_m3[BF_ION_HCO3] * BF_G_CACO3_PER_EQ);
}

/* In the order of their days, whatever their order in the file. */
void bf__seasons_build(bf__reader *r, const item *seasons, size_t count, bf_campaign_spec *spec)
{
    const item *ordered[BF_CAMPAIGN_SEASONS];
    for (size_t i = 0; i < count; i++) {
        size_t place = i;
        const double from_day = bf__item_get(&seasons[i], BF__KEY_SEASON_FROM)->value;
        for (; place > 0 && bf__item_get(ordered[place - 1], BF__KEY_SEASON_FROM)->value > from_day;
             place--) {
            ordered[place] = ordered[place - 1];
        }
        ordered[place] = &seasons[i];
    }
    for (size_t i = 0; i < count; i++) {
        const item *stated = ordered[i];
        bf_campaign_season *season = &spec->season[spec->season_count++];
        const double oxygen = bf__reader_value(r, BF__KEY_OXYGEN);
        bf_error err = {0};
        season->from_day = bf__item_get(stated, BF__KEY_SEASON_FROM)->value;
        season->oxygen_mol_per_m3 =
            bf__oxygen_mol_per_m3(bf__item_value(stated, BF__KEY_SEASON_OXYGEN, oxygen));
        if (complete_season(r, stated, &season->water, &err) != BF_OK) {
            const bf__stated *first = bf__item_first(stated);
            bf__reader_find(r, bf__key_get(BF__KEY_SEASONS)->path, first->line, first->column,
                            err.message);
            return;
        }
        check_water(r, stated, spec, season);
        note_season(r, stated, season);
    }
}
