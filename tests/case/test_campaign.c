/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The section `campaign` of a case file: every key into its field in SI, what is filled in,
 * seasons, and every finding with its place.
 *
 * Expected values are products of exact definitions, as in plain.h. */
#include "brinefront/convert.h"
#include "case/keys.h"
#include "draft.h"
#include "support.h"

#include <math.h>
#include <stddef.h>
#include <stdlib.h>

#define COUNT(array) (sizeof(array) / sizeof *(array))

/* A value is a few products of correctly rounded numbers; the water's come through sums too. */
#define EXACT 1e-13

#define LB 0.45359237
#define OZ (LB / 16.0)
#define FT3 (0.3048 * 0.3048 * 0.3048)
#define GAL (231.0 * 0.0254 * 0.0254 * 0.0254)
#define CACO3 50.04345 /* g/eq */
#define KGR_PER_FT3 (1e3 * (LB / 7000.0) * 1e3 / FT3 / CACO3)
#define DAY 86400.0
#define O2 31.998 /* g/mol */
#define BED (0.25 * BF_PI * 0.3 * 0.3 * 0.8)

#define GOOD_WATER "water: {hardness: 317 mg/L as CaCO3}\n"
#define GOOD_BED "bed: {diameter: 0.3 m, depth: 0.8 m}\n"

static draft plain_draft(void)
{
    draft d = {0};
    draft_set(&d, "water.hardness", "317 mg/L as CaCO3");
    draft_set(&d, "water.alkalinity", "270 mg/L as CaCO3");
    draft_set(&d, "water.iron", "2.3 mg/L");
    draft_set(&d, "bed.diameter", "0.3 m");
    draft_set(&d, "bed.depth", "0.8 m");
    draft_set(&d, "campaign.water_per_day", "330 gal");
    return d;
}

static bf_note note_about(const bf_notes *notes, bf_note_kind kind, const char *where)
{
    for (size_t n = 0; n < bf_notes_count(notes); n++) {
        bf_note note = bf_notes_get(notes, n);
        if (note.kind == kind && strcmp(note.where, where) == 0) {
            return note;
        }
    }
    return (bf_note){0};
}

/* ---- values ---------------------------------------------------------------------------------- */

#define CAMPAIGN(field) offsetof(bf_case, campaign.field)
#define SPEC(field) offsetof(bf_case, campaign.spec.field)

static const struct {
    const char *path, *text;
    size_t offset; /* offset of a double in bf_case */
    double value;
} readings[] = {
    {"water.oxygen", "2.7 mg/L", SPEC(oxygen_mol_per_m3), 2.7 / O2},
    {"water.suspended_iron", "13 %", SPEC(ferric_share), 0.13},
    {"water.free_chlorine", "1.3 mg/L", SPEC(free_chlorine_g_per_m3), 1.3},
    {"water.chloramine", "700 ug/L", SPEC(chloramine_g_per_m3), 0.7},
    {"campaign.duration", "7 months", CAMPAIGN(duration_days), 7 * 365.25 / 12},
    {"campaign.duration", "10 years", CAMPAIGN(duration_days), 3652.5},
    {"campaign.start", "2021-04-01", SPEC(start_day), 90.0},
    {"campaign.start", "2024-12-31", SPEC(start_day), 364.0},
    {"campaign.water_per_day", "300 gal", SPEC(water_m3_per_day), 300 * GAL},
    {"campaign.water_per_day", "17 BV", SPEC(water_m3_per_day), 17 * BED},
    {"campaign.days_between", "60 h", SPEC(days_between), 2.5},
    {"campaign.water_between", "1.9 m3", SPEC(service_bed_volumes), 1.9 / BED},
    {"campaign.draws_per_day", "7", SPEC(draws_per_day), 7.0},
    {"campaign.contact_time", "17 min", SPEC(contact_s), 1020.0},
    {"campaign.salt_dose", "9.3 lb/ft3", SPEC(recipe.step[2].dose_kg_per_m3), 9.3 * LB / FT3},
    {"campaign.salt_dose", "8 kg", SPEC(recipe.step[5].dose_kg_per_m3), 8 / BED},
    {"campaign.brine_pH", "5.2", SPEC(brine_pH), 5.2},
    {"campaign.brine_oxygen", "0.3 mg/L", SPEC(brine_oxygen_mol_per_m3), 0.3 / O2},
    {"campaign.rating", "21.3 kgr/ft3", CAMPAIGN(needed_eq_per_m3), 21.3 * KGR_PER_FT3},
    {"campaign.loose_iron", "0.7 g/L", SPEC(deposit.loose_kg_per_m3), 0.7},
    {"campaign.bound_iron", "60 g/ft3", SPEC(deposit.bound_kg_per_m3), 0.060 / FT3},
    {"campaign.cleaning.every", "5 months", SPEC(cleaning.every_days), 5 * 365.25 / 12},
    {"campaign.cleaning.amount", "3 oz/ft3", SPEC(cleaning.dose_kg_per_m3), 3 * OZ / FT3},
    {"campaign.cleaning.contact", "45 min", SPEC(cleaning.duration_s), 2700.0},
    {"campaign.cleaning.pH", "6.4", SPEC(cleaning.pH), 6.4},
    {"campaign.cleaning.strength", "7 %", SPEC(cleaning.mass_fraction), 0.07},
    {"numerics.skip_tolerance", "0.003", SPEC(skip_tolerance), 0.003},
};

/* What must be stated along with a key. */
static const struct {
    const char *key;
    const char *path, *text;
} company[] = {
    {"campaign.cleaning.every", "campaign.cleaning.agent", "sodium_dithionite"},
    {"campaign.cleaning.amount", "campaign.cleaning.agent", "sodium_bisulfite"},
    {"campaign.cleaning.contact", "campaign.cleaning.agent", "sodium_dithionite"},
    {"campaign.cleaning.pH", "campaign.cleaning.agent", "sodium_dithionite"},
    {"campaign.cleaning.strength", "campaign.cleaning.agent", "hydrochloric_acid"},
};

/* Whole numbers, words and lists: looked at one by one further on. */
static const char *const looked_at_elsewhere[] = {
    "campaign.cleaning.agent",   "campaign.cleaning.oxide",      "campaign.seasons",
    "campaign.seasons.from",     "campaign.seasons.temperature", "campaign.seasons.pH",
    "campaign.seasons.oxygen",   "campaign.seasons.iron",        "campaign.seasons.manganese",
    "campaign.seasons.hardness", "numerics.campaign_cells",      "numerics.campaign_shells",
};

START_TEST(every_key_reaches_its_field)
{
    bf_case *c = calloc(1, sizeof *c);
    ck_assert_ptr_nonnull(c);
    for (size_t i = 0; i < COUNT(readings); i++) {
        bf_error err = {0};
        draft d = plain_draft();
        for (size_t k = 0; k < COUNT(company); k++) {
            if (strcmp(company[k].key, readings[i].path) == 0) {
                draft_set(&d, company[k].path, company[k].text);
            }
        }
        draft_set(&d, readings[i].path, readings[i].text);
        bf_status status = draft_read(&d, c, NULL, &err);
        ck_assert_msg(status == BF_OK, "%s: %s: %s", readings[i].path, readings[i].text,
                      err.message);
        ck_assert(c->campaign.is_stated);
        double value;
        memcpy(&value, (const char *)c + readings[i].offset, sizeof value);
        ck_assert_msg(support_near(value, readings[i].value, EXACT, 0.0, readings[i].path, __FILE__,
                                   __LINE__),
                      "%s: %s", readings[i].path, readings[i].text);
    }
    free(c);
}
END_TEST

START_TEST(no_key_is_left_out)
{
    for (size_t k = 0; k < BF__KEY_COUNT; k++) {
        const bf__key *key = bf__key_get((bf__key_id)k);
        int matches = !bf__key_is_of_campaign((bf__key_id)k) || key->kind == BF__KIND_PARAMETER;
        for (size_t i = 0; i < COUNT(readings); i++) {
            matches += strcmp(readings[i].path, key->path) == 0;
        }
        for (size_t i = 0; i < COUNT(looked_at_elsewhere); i++) {
            matches += strcmp(looked_at_elsewhere[i], key->path) == 0;
        }
        ck_assert_msg(matches > 0, "%s is not tested", key->path);
    }
}
END_TEST

/* Each parameter of iron.h into its own field, none into another's; its printed bounds are in. */
START_TEST(every_parameter_reaches_its_field)
{
    bf_case *c = calloc(1, sizeof *c);
    ck_assert_ptr_nonnull(c);
    size_t keys = 0;
    for (size_t k = 0; k < BF__KEY_COUNT; k++) {
        keys += bf__key_get((bf__key_id)k)->kind == BF__KIND_PARAMETER;
    }
    ck_assert_uint_eq(keys, bf_iron_parameter_count());
    for (size_t p = 0; p < bf_iron_parameter_count(); p++) {
        const bf_iron_parameter row = bf_iron_parameter_get(p);
        const double values[] = {row.low, row.low + 0.3 * (row.high - row.low), row.high};
        for (size_t v = 0; v < COUNT(values); v++) {
            bf_error err = {0};
            char path[100], text[40];
            draft d = plain_draft();
            (void)snprintf(path, sizeof path, "campaign.parameter.%s", row.name);
            (void)snprintf(text, sizeof text, v == 1 ? "%.17g" : "%g", values[v]);
            draft_set(&d, path, text);
            assert_ok(draft_read(&d, c, NULL, &err));
            for (size_t other = 0; other < bf_iron_parameter_count(); other++) {
                const double value = bf_iron_spec_get(&c->campaign.spec.iron, other);
                const double expected = other == p ? values[v] : bf_iron_parameter_get(other).value;
                /* six printed digits of a bound, and then not beyond it */
                assert_near_abs(value, expected, 1e-5 * fabs(expected));
            }
            assert_ok(bf_iron_spec_check(&c->campaign.spec.iron, &err));
        }
    }
    free(c);
}
END_TEST

START_TEST(counts_and_words_reach_their_fields)
{
    static const struct {
        const char *word;
        bf_cleaner agent;
    } agents[] = {{"sodium_dithionite", BF_CLEANER_DITHIONITE},
                  {"sodium_bisulfite", BF_CLEANER_BISULFITE},
                  {"hydrochloric_acid", BF_CLEANER_HYDROCHLORIC}};
    bf_error err = {0};
    bf_case c;
    for (size_t i = 0; i < COUNT(agents); i++) {
        draft d = plain_draft();
        draft_set(&d, "campaign.cleaning.agent", agents[i].word);
        draft_set(&d, "campaign.cleaning.oxide", i == 1 ? "aged" : "fresh");
        draft_set(&d, "numerics.campaign_cells", "41");
        draft_set(&d, "numerics.campaign_shells", "4");
        assert_ok(draft_read(&d, &c, NULL, &err));
        ck_assert_int_eq(c.campaign.spec.cleaning.agent, agents[i].agent);
        ck_assert_int_eq(c.campaign.spec.cleaning.aged, i == 1);
        ck_assert_uint_eq(c.campaign.spec.bed.cells, 41);
        ck_assert_uint_eq(c.campaign.spec.bed.shells, 4);
        ck_assert_uint_eq(c.rating.bed.cells, 120); /* the rating keeps its own */
        assert_near(c.campaign.spec.cleaning.every_days, 182.625, EXACT);
        assert_near(c.campaign.spec.cleaning.dose_kg_per_m3, (i == 2 ? 10 * LB : 4 * OZ) / FT3,
                    EXACT);
        assert_near(c.campaign.spec.cleaning.duration_s, 1800.0, EXACT);
    }
}
END_TEST

START_TEST(what_nobody_states_is_filled_in_and_noted)
{
    static const char *const noted[] = {
        "water.oxygen",          "water.suspended_iron",   "water.free_chlorine",
        "water.chloramine",      "campaign.duration",      "campaign.start",
        "campaign.days_between", "campaign.draws_per_day", "campaign.contact_time",
        "campaign.salt_dose",    "campaign.brine_pH",      "campaign.brine_oxygen",
        "campaign.loose_iron",   "campaign.bound_iron",    "campaign.cleaning.agent",
        "campaign.parameter",
    };
    bf_error err = {0};
    bf_notes *notes = NULL;
    bf_case c;
    assert_ok(bf_notes_create(&notes, &err));
    draft d = plain_draft();
    assert_ok(draft_read(&d, &c, notes, &err));
    const bf_campaign_spec *spec = &c.campaign.spec;
    assert_near(c.campaign.duration_days, 3 * 365.25, EXACT);
    ck_assert_str_eq(c.campaign.start, "");
    ck_assert(isnan(c.campaign.needed_eq_per_m3));
    assert_near(spec->oxygen_mol_per_m3, 1.0 / O2, EXACT);
    ck_assert(isnan(spec->ferric_share) && isnan(spec->brine_pH));
    ck_assert_double_eq(spec->start_day, 0.0);
    assert_near(spec->days_between, 3.0, EXACT);
    ck_assert(isnan(spec->service_bed_volumes));
    ck_assert_uint_eq(spec->cycles, 365); /* 1095.75 days of three */
    ck_assert_uint_eq(spec->potential_every, 10);
    ck_assert_double_eq(spec->cleaning.every_days, 0.0);
    ck_assert_uint_eq(spec->bed.cells, 30);
    ck_assert_uint_eq(spec->bed.shells, 2);
    assert_near(spec->skip_tolerance, 0.01, EXACT);
    assert_near(spec->recipe.step[2].dose_kg_per_m3, 10 * LB / FT3, EXACT); /* of 5 7.5 10 15 */
    assert_ok(bf_campaign_spec_check(spec, &err));
    for (size_t i = 0; i < COUNT(noted); i++) {
        ck_assert_msg(note_about(notes, BF_NOTE_ASSUMED, noted[i]).text != NULL, "%s", noted[i]);
    }
    ck_assert_ptr_nonnull(strstr(note_about(notes, BF_NOTE_CAUTION, "campaign").text, "bacteria"));
    bf_notes_free(notes);

    /* A default is not noted where it is stated. */
    assert_ok(bf_notes_create(&notes, &err));
    draft_set(&d, "campaign.salt_dose", "10 lb/ft3");
    draft_set(&d, "campaign.start", "2020-02-29"); /* the 1 March of a year of 365 days */
    draft_set(&d, "campaign.water_between", "900 gal");
    assert_ok(draft_read(&d, &c, notes, &err));
    ck_assert_ptr_null(note_about(notes, BF_NOTE_ASSUMED, "campaign.salt_dose").text);
    ck_assert_ptr_null(note_about(notes, BF_NOTE_ASSUMED, "campaign.start").text);
    ck_assert_ptr_null(note_about(notes, BF_NOTE_ASSUMED, "campaign.days_between").text);
    ck_assert_str_eq(c.campaign.start, "2020-02-29");
    ck_assert_double_eq(spec->start_day, 59.0);
    ck_assert(isnan(spec->days_between));
    /* 900 gal at 330 gal a day: 2.727 days, 401.8 times in three years. */
    ck_assert_uint_eq(spec->cycles, 401);
    bf_notes_free(notes);

    /* Shorter than one cycle it is one. */
    draft_set(&d, "campaign.duration", "1 day");
    assert_ok(draft_read(&d, &c, NULL, &err));
    ck_assert_uint_eq(spec->cycles, 1);
}
END_TEST

/* The words of the manual: nothing but the printed values of what is stated differs. */
START_TEST(without_the_section_there_is_no_campaign)
{
    bf_error err = {0};
    bf_notes *notes = NULL;
    bf_case stated, plain;
    assert_ok(bf_notes_create(&notes, &err));
    draft d = plain_draft();
    draft_set(&d, "campaign.duration", "1 year");
    assert_ok(draft_read(&d, &stated, NULL, &err));
    draft_set(&d, "campaign.duration", NULL);
    draft_set(&d, "campaign.water_per_day", NULL);
    assert_ok(draft_read(&d, &plain, notes, &err));
    ck_assert_int_eq(plain.campaign.is_stated, 0);
    ck_assert_uint_eq(plain.campaign.spec.cycles, 0);
    ck_assert_int_eq(memcmp(&stated.rating.bed, &plain.rating.bed, sizeof stated.rating.bed), 0);
    ck_assert_int_eq(memcmp(&stated.rating.water, &plain.rating.water, sizeof stated.rating.water),
                     0);
    ck_assert_uint_lt(plain.value_count, stated.value_count);
    for (size_t v = 0; v < plain.value_count; v++) {
        ck_assert(!bf__key_is_of_campaign((bf__key_id)plain.value[v].key));
    }
    for (size_t n = 0; n < bf_notes_count(notes); n++) {
        ck_assert_int_ne(strncmp(bf_notes_get(notes, n).where, "campaign", 8), 0);
        ck_assert_str_ne(bf_notes_get(notes, n).where, "water.oxygen");
    }
    bf_notes_free(notes);

    /* Oxygen may be on any analysis; alone it changes nothing, be it whatever it is. */
    draft_set(&d, "water.oxygen", "14 mg/L");
    assert_ok(draft_read(&d, &plain, NULL, &err));
    ck_assert_int_eq(plain.campaign.is_stated, 0);
}
END_TEST

START_TEST(values_are_printed_back)
{
    static const struct {
        const char *path, *text, *si, *us;
    } shown[] = {
        {"campaign.duration", "2 years", "730.5 d", "730.5 d"},
        {"campaign.start", "2021-04-01", "2021-04-01", "2021-04-01"},
        {"water.oxygen", "2.7 mg/L", "2.7 mg/L", "2.7 mg/L"},
        {"campaign.bound_iron", "1 g/L", "1 kg/m3", "0.06243 lb/ft3"},
        {"campaign.salt_dose", "100 g/L", "100 kg/m3", "6.243 lb/ft3"},
        {"campaign.parameter.ageing_factor", "3", "3", "3"},
    };
    bf_error err = {0};
    bf_case c;
    for (size_t i = 0; i < COUNT(shown); i++) {
        draft d = plain_draft();
        draft_set(&d, shown[i].path, shown[i].text);
        assert_ok(draft_read(&d, &c, NULL, &err));
        size_t found = 0;
        for (size_t v = 0; v < c.value_count; v++) {
            char si[64], us[64];
            if (strcmp(bf_case_key_get(c.value[v].key).path, shown[i].path) == 0) {
                (void)bf_case_value_show(&c.rating.bed, &c.value[v], BF_UNITS_SI, si, sizeof si);
                (void)bf_case_value_show(&c.rating.bed, &c.value[v], BF_UNITS_US, us, sizeof us);
                ck_assert_str_eq(si, shown[i].si);
                ck_assert_str_eq(us, shown[i].us);
                found++;
            }
        }
        ck_assert_uint_eq(found, 1);
    }
}
END_TEST

/* ---- seasons --------------------------------------------------------------------------------- */

START_TEST(a_season_is_the_water_with_what_differs)
{
    bf_error err = {0};
    bf_notes *notes = NULL;
    bf_case c;
    draft d = plain_draft();
    assert_ok(bf_notes_create(&notes, &err));
    draft_set(&d, "campaign.seasons",
              "[{from: 12-01}, {from: 03-15, temperature: 9 C, pH: 6.9, oxygen: 3.1 mg/L, "
              "iron: 4.1 mg/L, manganese: 0.2 mg/L, hardness: 250 mg/L as CaCO3}]");
    assert_ok(draft_read(&d, &c, notes, &err));
    const bf_campaign_spec *spec = &c.campaign.spec;
    ck_assert_uint_eq(spec->season_count, 2);
    const bf_campaign_season *spring = &spec->season[0]; /* in the order of their days */
    const bf_campaign_season *winter = &spec->season[1];
    ck_assert_double_eq(spring->from_day, 31 + 28 + 14);
    ck_assert_double_eq(winter->from_day, 334);
    assert_near(winter->oxygen_mol_per_m3, 1.0 / O2, EXACT);
    for (size_t i = 0; i < BF_ION_COUNT; i++) {
        assert_near_abs(winter->water.ion_eq_per_m3[i], c.rating.water.ion_eq_per_m3[i], 1e-12);
    }
    assert_near(spring->water.temperature_K, 282.15, EXACT);
    assert_near(spring->water.pH, 6.9, EXACT);
    assert_near(spring->oxygen_mol_per_m3, 3.1 / O2, EXACT);
    assert_near(spring->water.ion_eq_per_m3[BF_ION_FE], 4.1 / (55.845 / 2), EXACT);
    assert_near(spring->water.ion_eq_per_m3[BF_ION_MN], 0.2 / (54.938043 / 2), EXACT);
    assert_near(spring->water.hardness_eq_per_m3, 250 / CACO3, EXACT);
    assert_near(spring->water.ion_eq_per_m3[BF_ION_CA],
                2.0 * spring->water.ion_eq_per_m3[BF_ION_MG], EXACT);
    /* 317 - 250 less of hardness, and as much less of the 270 of alkalinity */
    assert_near(spring->water.ion_eq_per_m3[BF_ION_HCO3], 203 / CACO3, 1e-12);
    ck_assert_double_eq(spring->water.ion_eq_per_m3[BF_ION_NA],
                        c.rating.water.ion_eq_per_m3[BF_ION_NA]);
    double charge = 0.0;
    for (size_t i = 0; i < BF_ION_COUNT; i++) {
        charge += (i < BF_CATION_COUNT ? 1.0 : -1.0) * spring->water.ion_eq_per_m3[i];
    }
    assert_near_abs(charge, 0.0, 1e-12);
    ck_assert_ptr_nonnull(strstr(note_about(notes, BF_NOTE_DEDUCED, "campaign.seasons").text,
                                 "from 03-15 on 9 C, pH 6.9, 3.1 mg/L of oxygen"));
    bf_notes_free(notes);
}
END_TEST

START_TEST(there_is_room_for_twelve_seasons)
{
    bf_error err = {0};
    bf_case c;
    char list[600] = "[";
    for (int month = 12; month > 0; month--) {
        (void)snprintf(list + strlen(list), sizeof list - strlen(list),
                       "{from: %02d-01, temperature: %d C}, ", month, month);
    }
    char text[700];
    draft d = plain_draft();
    (void)snprintf(text, sizeof text, "%s]", list);
    draft_set(&d, "campaign.seasons", text);
    assert_ok(draft_read(&d, &c, NULL, &err));
    ck_assert_uint_eq(c.campaign.spec.season_count, 12);
    for (size_t k = 0; k < 12; k++) {
        assert_near(c.campaign.spec.season[k].water.temperature_K, 274.15 + (double)k, EXACT);
    }
    (void)snprintf(text, sizeof text, "%s{from: 06-15}]", list);
    assert_fails(draft_read(&d, &c, NULL, &err), BF_E_INPUT, "more than 12 seasons");
}
END_TEST

/* ---- cautions -------------------------------------------------------------------------------- */

START_TEST(much_iron_is_cautioned_about)
{
    static const struct {
        const char *iron, *summer, *part;
    } waters[] = {
        {"5 mg/L", "1 mg/L", NULL},
        {"5.1 mg/L", "1 mg/L", "5.1 mg/L: the trade mostly lets a softener take 5 mg/L"},
        {"20 mg/L", "1 mg/L", "20 mg/L: the trade"},
        {"20.1 mg/L", "1 mg/L", "beyond the 20 mg/L"},
        {"1 mg/L", "21 mg/L", "21 mg/L: beyond"},
    };
    bf_error err = {0};
    bf_case c;
    for (size_t i = 0; i < COUNT(waters); i++) {
        bf_notes *notes = NULL;
        char seasons[100];
        draft d = plain_draft();
        assert_ok(bf_notes_create(&notes, &err));
        draft_set(&d, "water.iron", waters[i].iron);
        (void)snprintf(seasons, sizeof seasons, "[{from: 01-01}, {from: 07-01, iron: %s}]",
                       waters[i].summer);
        draft_set(&d, "campaign.seasons", seasons);
        assert_ok(draft_read(&d, &c, notes, &err));
        int found = 0;
        for (size_t n = 0; n < bf_notes_count(notes); n++) {
            const bf_note note = bf_notes_get(notes, n);
            found += note.kind == BF_NOTE_CAUTION && strcmp(note.where, "water.iron") == 0 &&
                     strstr(note.text, waters[i].part == NULL ? "mg/L: " : waters[i].part) != NULL;
        }
        ck_assert_msg(found == (waters[i].part != NULL), "%s: %d", waters[i].iron, found);
        bf_notes_free(notes);
    }
    bf_notes *notes = NULL;
    draft d = plain_draft();
    assert_ok(bf_notes_create(&notes, &err));
    draft_set(&d, "water.alkalinity", NULL);
    assert_ok(draft_read(&d, &c, notes, &err));
    ck_assert_ptr_nonnull(note_about(notes, BF_NOTE_CAUTION, "water.alkalinity").text);
    bf_notes_free(notes);
}
END_TEST

/* ---- findings -------------------------------------------------------------------------------- */

#define GOOD "campaign: {water_per_day: 300 gal}\n"
#define CAMPAIGN_OF(more) "campaign: {water_per_day: 300 gal, " more "}\n"

typedef struct finding {
    const char *where;
    long line, column;
    const char *part; /* of the sentence */
} finding;

static const struct {
    const char *text;
    finding findings[6]; /* all of them, in order */
} wrong_cases[] = {
    {GOOD_WATER GOOD_BED "campaign: {duration: 2 years}\n",
     {{"campaign.water_per_day", 3, 12, "a campaign needs the water"}}},
    {GOOD_WATER GOOD_BED "campaign: 300 gal\n", {{"campaign", 3, 1, "a section, not a value"}}},
    {GOOD_WATER GOOD_BED CAMPAIGN_OF("duraton: 3 years"),
     {{"campaign.duraton", 3, 36, "did you mean campaign.duration?"}}},
    {GOOD_WATER GOOD_BED CAMPAIGN_OF("duration: 3 yeers"),
     {{"campaign.duration", 3, 48, "did you mean 'year"}}},
    {GOOD_WATER GOOD_BED CAMPAIGN_OF("duration: 101 years"),
     {{"campaign.duration", 3, 46, "accepted are 1 day to 100 years"}}},
    {GOOD_WATER GOOD_BED CAMPAIGN_OF("duration: 100 years, days_between: 8 h"),
     {{"campaign.duration", 3, 46, "comes to 109575 regenerations"}}},
    {GOOD_WATER GOOD_BED CAMPAIGN_OF("start: 1 April 2021"),
     {{"campaign.start", 3, 43, "\"1 April 2021\" is not a date such as 2021-04-01"}}},
    {GOOD_WATER GOOD_BED CAMPAIGN_OF("start: 2021-02-29"),
     {{"campaign.start", 3, 43, "is not a date"}}},
    {GOOD_WATER GOOD_BED "campaign: {water_per_day: 300 gal/day}\n",
     {{"campaign.water_per_day", 3, 27, "is not accepted here; take volume of water"}}},
    /* 20 BV/h for a day are 480 BV */
    {GOOD_WATER GOOD_BED "campaign: {water_per_day: 481 BV}\n",
     {{"campaign.water_per_day", 3, 27, "the bed needs 3.01 days for the water of 3 days"}}},
    {GOOD_WATER GOOD_BED CAMPAIGN_OF("water_between: 9000 BV, days_between: 2 days"),
     {{"campaign.water_between", 3, 51, "leave one of the two out"}}},
    {GOOD_WATER GOOD_BED "campaign: {water_per_day: 1 BV, water_between: 9000 BV}\n",
     {{"campaign.water_between", 3, 48, "9e+03 bed volumes and 9e+03 days between"}}},
    {GOOD_WATER GOOD_BED CAMPAIGN_OF("parameter: {sites_eq_per_mol: 3.1}"),
     {{"campaign.parameter.sites_eq_per_mol", 3, 66, "accepted are 0.5 to 3"}}},
    {GOOD_WATER GOOD_BED CAMPAIGN_OF("parameter: {site_eq_per_mol: 1}"),
     {{"campaign.parameter.site_eq_per_mol", 3, 48, "did you mean campaign.parameter.sites_eq"}}},

    /* cleaning */
    {GOOD_WATER GOOD_BED CAMPAIGN_OF("cleaning: {every: 3 months}"),
     {{"campaign.cleaning.every", 3, 54, "state campaign.cleaning.agent"}}},
    {GOOD_WATER GOOD_BED CAMPAIGN_OF("cleaning: {agent: soap}"),
     {{"campaign.cleaning.agent", 3, 54, "is not a choice"}}},
    {GOOD_WATER GOOD_BED CAMPAIGN_OF("cleaning: {agent: hydrochloric_acid, pH: 3}"),
     {{"campaign.cleaning.pH", 3, 77, "the strength of an acid says its pH"}}},
    {GOOD_WATER GOOD_BED CAMPAIGN_OF("cleaning: {agent: sodium_bisulfite, strength: 5 %}"),
     {{"campaign.cleaning.strength", 3, 82, "only acid"}}},
    {GOOD_WATER GOOD_BED CAMPAIGN_OF("cleaning: {agent: sodium_bisulfite, amount: 51 g/L}"),
     {{"campaign.cleaning.amount", 3, 80, "accepted are up to 50 g/L"}}},

    /* the laws of iron */
    {"water: {hardness: 20 gpg, pH: 9.7}\n" GOOD_BED GOOD,
     {{"water.pH", 1, 31, "pH is 9.7; the laws of iron cover 5 to 9.5"}}},
    {"water: {hardness: 20 gpg, pH: 4.9}\n" GOOD_BED GOOD, {{"water.pH", 1, 31, "pH is 4.9"}}},
    {"water: {hardness: 20 gpg, temperature: 41 C}\n" GOOD_BED GOOD,
     {{"water.temperature", 1, 40, "the laws of iron cover 273.15 to 313.15 K"}}},
    /* Benson & Krause: 9.09 mg/L at 20 C */
    {"water: {hardness: 20 gpg, oxygen: 9.2 mg/L}\n" GOOD_BED GOOD,
     {{"water.oxygen", 1, 35,
       "9.2 mg/L of oxygen is more than water of 20 C holds under air, 9.09"}}},
    {GOOD_WATER GOOD_BED CAMPAIGN_OF("brine_oxygen: 9.2 mg/L"),
     {{"campaign.brine_oxygen", 3, 50, "more than water of 20 C holds under air"}}},
    {"water: {hardness: 20 gpg, iron: 51 mg/L}\n" GOOD_BED GOOD,
     {{"water.iron", 1, 33, "accepted are 0 mg/L to 50 mg/L"}}},
    {"water: {hardness: 20 gpg, iron: 9 mg/L, suspended_iron: 50 %}\n" GOOD_BED GOOD,
     {{"water.iron", 1, 33, "takes 8.07 mg/L as CaCO3 of alkalinity, and the water has 0"}}},

    /* seasons */
    {GOOD_WATER GOOD_BED CAMPAIGN_OF("seasons: summer"),
     {{"campaign.seasons", 3, 45, "seasons is a list of mappings"}}},
    {GOOD_WATER GOOD_BED CAMPAIGN_OF("seasons: {from: 06-01}"),
     {{"campaign.seasons.from", 3, 46, "seasons is a list: put \"- \""}}},
    {GOOD_WATER GOOD_BED CAMPAIGN_OF("seasons: [{from: 06-01}]"),
     {{"campaign.seasons", 3, 53, "one season lasts all year"}}},
    {GOOD_WATER GOOD_BED CAMPAIGN_OF("seasons: [{from: 06-01}, {pH: 7}]"),
     {{"campaign.seasons", 3, 66, "does not say when it begins"}}},
    {GOOD_WATER GOOD_BED CAMPAIGN_OF("seasons: [{from: 06-01}, {from: 06-01}]"),
     {{"campaign.seasons.from", 3, 68, "another season begins on this day"}}},
    {GOOD_WATER GOOD_BED CAMPAIGN_OF("seasons: [{from: 06-31}, {from: June, pH: 9.6}]"),
     {{"campaign.seasons.from", 3, 53, "\"06-31\" is not month and day such as 06-01"},
      {"campaign.seasons.from", 3, 68, "\"June\" is not month and day"},
      {"campaign.seasons.pH", 3, 78, "accepted are 5 to 9.5"}}},
    {GOOD_WATER GOOD_BED CAMPAIGN_OF("seasons: [{from: 06-01, flow: 3}, {from: 11-01}]"),
     {{"campaign.seasons[0].flow", 3, 60, "no such key"}}},
    {"water: {hardness: 20 gpg, oxygen: 9 mg/L}\n" GOOD_BED CAMPAIGN_OF(
         "seasons: [{from: 06-01}, {from: 11-01, temperature: 24 C}]"),
     {{"campaign.seasons.temperature", 3, 88, "9 mg/L of oxygen is more than water of 24 C"}}},
    {"water: {hardness: 20 gpg, oxygen: 9 mg/L}\n" GOOD_BED CAMPAIGN_OF(
         "seasons: [{from: 06-01}, {from: 11-01, temperature: 24 C, oxygen: 8.8 mg/L}]"),
     {{"campaign.seasons.oxygen", 3, 102, "8.8 mg/L of oxygen is more than water of 24 C"}}},
    {GOOD_WATER GOOD_BED CAMPAIGN_OF(
         "seasons: [{from: 06-01}, {from: 11-01, hardness: 16 mg/L as CaCO3}]"),
     {{"campaign.seasons.hardness", 3, 85, "not above the end point"}}},
    {GOOD_WATER GOOD_BED CAMPAIGN_OF("seasons: [from, {from: 11-01}]"),
     {{"campaign.seasons", 3, 46, "not a mapping; begin it with {from: ...}"}}},

    /* numerics */
    {GOOD_WATER GOOD_BED GOOD "numerics: {skip_tolerance: 1e-5}\n",
     {{"numerics.skip_tolerance", 4, 28, "state 0, or 1e-4 to 0.1"}}},
    {GOOD_WATER GOOD_BED GOOD
     "resin: {uniformity_coefficient: 1.5}\nnumerics: {bead_classes: 5, campaign_shells: 10}\n",
     {{"numerics.campaign_shells", 5, 46, "10 shells in each of 5 classes of beads"}}},

    /* several at a time */
    {"water:\n  hardness: 317 mg/L as CaCO3\n  oxygen: much\n" GOOD_BED
     "campaign:\n  days_between: 3 BV\n  cleaning:\n    pH: 7\n",
     {{"water.oxygen", 3, 11, ""},
      {"campaign.days_between", 6, 17, "wanted: time"},
      {"campaign.cleaning.pH", 8, 9, "state campaign.cleaning.agent"}}},
};

START_TEST(every_finding_has_its_place)
{
    size_t wrong = 0;
    for (size_t i = 0; i < COUNT(wrong_cases); i++) {
        bf_case *c = calloc(1, sizeof *c);
        ck_assert_ptr_nonnull(c);
        bf_error err = {0};
        bf_notes *notes = NULL;
        assert_ok(bf_notes_create(&notes, &err));
        const char *text = wrong_cases[i].text;
        bf_status status = bf_case_read_text(text, strlen(text), "case.yaml", c, notes, &err);
        size_t found = 0;
        int good = status == BF_E_INPUT && c->campaign.is_stated == 0;
        for (size_t n = 0; n < bf_notes_count(notes); n++) {
            bf_note note = bf_notes_get(notes, n);
            if (note.kind != BF_NOTE_FINDING) {
                continue;
            }
            const finding *expected = &wrong_cases[i].findings[found++];
            if (expected->where == NULL || strcmp(note.where, expected->where) != 0 ||
                strstr(note.text, expected->part) == NULL || note.line != expected->line ||
                note.column != expected->column) {
                (void)printf("case %zu: %s:%ld:%ld: %s\n%s", i, note.where, note.line, note.column,
                             note.text, text);
                good = 0;
            }
        }
        if (!good || wrong_cases[i].findings[found].where != NULL) {
            (void)printf("case %zu: %s, %zu findings\n", i, bf_status_name(status), found);
            wrong++;
        }
        bf_notes_free(notes);
        free(c);
    }
    ck_assert_uint_eq(wrong, 0);
}
END_TEST

/* ---- the cases of the folder ----------------------------------------------------------------- */

START_TEST(a_case_is_a_campaign_that_begins)
{
    static const struct {
        const char *name;
        size_t cycles;
    } cases[] = {{"iron_mild", 365},   {"iron_aerated", 365}, {"reducing_water", 913},
                 {"chlorinated", 563}, {"manganese", 730},    {"ten_years", 1217}};
    bf_error err = {0};
    bf_case c;
    for (size_t i = 0; i < COUNT(cases); i++) {
        char path[600];
        (void)snprintf(path, sizeof path, "%s/cases/campaign_%s.yaml", BF_SOURCE_DIR,
                       cases[i].name);
        assert_ok(bf_case_read(path, &c, NULL, &err));
        ck_assert_uint_eq(c.campaign.spec.cycles, cases[i].cycles);
        bf_campaign_spec spec = c.campaign.spec;
        spec.cycles = 1;
        bf_campaign_cycle cycle[1];
        size_t done = 0;
        assert_ok(bf_campaign_run(&spec, cycle, &done, &err));
        ck_assert_uint_eq(done, 1);
        ck_assert_double_lt(fabs(bf_campaign_account_error(&cycle[0].iron)), 1e-6);
    }
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {every_key_reaches_its_field,
                                  no_key_is_left_out,
                                  every_parameter_reaches_its_field,
                                  counts_and_words_reach_their_fields,
                                  what_nobody_states_is_filled_in_and_noted,
                                  without_the_section_there_is_no_campaign,
                                  values_are_printed_back,
                                  a_season_is_the_water_with_what_differs,
                                  there_is_room_for_twelve_seasons,
                                  much_iron_is_cautioned_about,
                                  every_finding_has_its_place,
                                  a_case_is_a_campaign_that_begins};
    return support_run("case.campaign", tests, COUNT(tests), 120);
}
