/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is wrong with a case file, each finding with its place; and that nothing wrong passes. */
#include "plain.h"

#include <stdlib.h>

typedef struct finding {
    const char *where;
    long line, column;
    const char *part; /* of the sentence */
} finding;

typedef struct wrong_case {
    const char *text;
    finding findings[8]; /* all of them, in order */
} wrong_case;

static const wrong_case wrong_cases[] = {
    /* geometry */
    {GOOD_WATER, {{"bed", 0, 0, "no bed: state bed.diameter and bed.depth, or bed.resin_volume"}}},
    {GOOD_WATER "bed: {depth: 0.8 m}\n", {{"bed", 0, 0, "two of them are needed"}}},
    {GOOD_WATER "bed: {diameter: 0.3 m}\n", {{"bed", 0, 0, "two of them are needed"}}},
    {GOOD_WATER "bed:\n  diameter: 0.3 m\n  depth: 0.8 m\n  resin_volume: 2.5 ft3\n",
     {{"bed.resin_volume", 5, 17, "contradicts diameter and depth"}}},
    {GOOD_WATER "bed:\n  diameter: 3 cm\n  resin_volume: 55 L\n",
     {{"bed", 4, 17, "comes to 0.03 m across and 77.81 m deep"}}},
    {GOOD_WATER "bed:\n  depth: 2 cm\n  resin_volume: 55 m3\n",
     {{"bed", 4, 17, "comes to 59.17 m across"}}},
    /* a value that is wrong is not missing on top of it */
    {GOOD_WATER "bed: {diameter: 0.3 m, depth: 0.8 kg}\n", {{"bed.depth", 2, 31, "length"}}},
    {GOOD_WATER "bed: {resin_volume: 55 kg}\n", {{"bed.resin_volume", 2, 21, "volume"}}},
    {GOOD_WATER "bed: {diameter: 11 m, depth: 0.8 m}\n",
     {{"bed.diameter", 2, 17, "\"11 m\" is out of range; accepted are 1 cm to 10 m"}}},
    /* nor is what is stated against such a bed: 300 gpm suits a bed of 2 m, not one of 0.26 m */
    {GOOD_WATER "bed: {diameter: 2 mm, depth: 1 m}\nservice: {flow: 300 gpm}\n",
     {{"bed.diameter", 2, 17, "out of range"}}},

    /* water */
    {GOOD_BED, {{"water", 0, 0, "no hardness is stated"}}},
    {GOOD_BED "water:\n  temperature: 12 C\n  pH: 7\n",
     {{"water", 3, 16, "no hardness is stated"}}},
    {GOOD_BED "water: {calcium: 80 mg/L, magnesium: 20 mg/L, hardness: 30 gpg}\n",
     {{"water", 2, 18, "but calcium and magnesium sum to"}}},
    /* cations 8, anions 10 and 9.7 meq/L: out of balance by 11.1 and 9.6 % */
    {GOOD_BED "water:\n  calcium: 4 meq/L\n  magnesium: 2 meq/L\n  sodium: 2 meq/L\n"
              "  alkalinity: 6 meq/L\n  chloride: 3 meq/L\n  sulfate: 1 meq/L\n",
     {{"water", 3, 12, "anions are in excess by 11.1 % of all ions"}}},
    {GOOD_BED "water: {hardness: 317 mg/L}\n", {{"water.hardness", 2, 19, "as CaCO3"}}},

    /* keys */
    {"water: {hardnes: 317 mg/L as CaCO3}\n" GOOD_BED,
     {{"water.hardnes", 1, 9, "no such key; did you mean water.hardness?"}}},
    {GOOD_WATER GOOD_BED "numerics:\n  colour: red\n",
     {{"numerics.colour", 4, 3, "no such key; docs"}}},
    {GOOD_WATER GOOD_BED "service: 20 BV/h\n", {{"service", 3, 1, "a section, not a value"}}},
    {GOOD_WATER GOOD_BED "service:\n  flow: [20 BV/h, 30 BV/h]\n",
     {{"service.flow[0]", 4, 10, "a list where one value is expected"},
      {"service.flow[1]", 4, 19, "a list where one value is expected"}}},
    {GOOD_WATER GOOD_BED "service: {flow: {normal: 20 BV/h}}\n",
     {{"service.flow.normal", 3, 18, "service.flow takes a value, no keys of its own"}}},
    {GOOD_WATER GOOD_BED "service: {flow: 20 BV/h, flow: 30 BV/h}\n",
     {{"service.flow", 3, 26, "stated twice"}}},

    /* values */
    {GOOD_WATER GOOD_BED "service:\n  flow: 6 gpmm\n", {{"service.flow", 4, 11, "gpm"}}},
    {GOOD_WATER GOOD_BED "service:\n  flow: '6 gpmm'\n", {{"service.flow", 4, 12, "gpm"}}},
    {GOOD_WATER GOOD_BED "service: {flow: 6 mg/L}\n",
     {{"service.flow", 3, 17, "\"6 mg/L\" is not accepted here; take flow: BV/h, gpm"}}},
    {GOOD_WATER GOOD_BED "service: {flow: 1001 BV/h}\n",
     {{"service.flow", 3, 17, "accepted are 0.01 BV/h to 1000 BV/h"}}},
    {GOOD_WATER GOOD_BED "service: {flow: 0.009 BV/h}\n",
     {{"service.flow", 3, 17, "out of range"}}},
    {GOOD_WATER GOOD_BED "service: {volume: 6 mg/L}\n",
     {{"service.volume", 3, 19, "\"6 mg/L\" is not accepted here; take volume of water"}}},
    {GOOD_WATER "bed: {diameter: 0.3 m, depth: 0.8 m, freeboard: 40 gal}\n",
     {{"bed.freeboard", 2, 49, "is not accepted here; take length, or % of the bed depth"}}},
    {GOOD_WATER GOOD_BED "numerics: {cells: 120.5}\n",
     {{"numerics.cells", 3, 19, "\"120.5\" is not a whole number"}}},
    {GOOD_WATER GOOD_BED "regeneration: {salt: nacl}\n",
     {{"regeneration.salt", 3, 22, "\"nacl\" is not a choice; the choices are: NaCl KCl"}}},
    {GOOD_WATER GOOD_BED "resin: {record: gel_9}\n", {{"resin.record", 3, 17, "gel_8 gel_10"}}},
    {GOOD_WATER GOOD_BED "resin:\n  selectivity:\n    sodium: 1.01\n",
     {{"resin.selectivity.sodium", 5, 13, "it is 1"}}},

    /* what only the whole can tell; NaCl saturates at 26.33 wt% at 5 C and 26.6 at 30 C, KCl at
     * 22.7 at 5 C */
    {"water:\n  hardness: 20 gpg\n  temperature: 5 C\n" GOOD_BED
     "regeneration:\n  brine_strength: 26.4 wt%\n",
     {{"regeneration.brine_strength", 6, 19, "26.3"}}},
    {"water: {hardness: 20 gpg, temperature: 5 C}\n" GOOD_BED
     "regeneration: {salt: KCl, brine_strength: 24 wt%}\n",
     {{"regeneration.brine_strength", 3, 43, "22."}}},
    {GOOD_WATER GOOD_BED "service:\n  end_point: 317 mg/L as CaCO3\n",
     {{"service.end_point", 4, 14, "not below the hardness of the feed"}}},
    {"water: {hardness: 11 mg/L as CaCO3}\n" GOOD_BED, /* the default of 1 gpg, which has no place
                                                        */
     {{"service.end_point", 0, 0, "not below the hardness of the feed"}}},
    {GOOD_WATER GOOD_BED "service:\n  end_point: 2 gpg\n  stop_at: 2 gpg\n",
     {{"service.stop_at", 5, 12, "stop_at is not above end_point"}}},
    {GOOD_WATER GOOD_BED "service: {stop_at: 320 mg/L as CaCO3}\n",
     {{"service.stop_at", 3, 20, "stop_at is not below the hardness of the feed"}}},
    {GOOD_WATER "bed: {diameter: 0.3 m, depth: 9 m}\nservice: {flow: 1000 BV/h}\n",
     {{"service", 0, 0, "velocity of the service step is 2.5 m/s"}}},

    /* an injector; of 20 C 26.44 wt% is all that dissolves */
    {GOOD_WATER GOOD_BED "regeneration: {draw_flow: 1 BV/h, draw_strength: 26.8 wt%}\n",
     {{"regeneration.draw_strength", 3, 50, "26.4"}}},
    {GOOD_WATER GOOD_BED "regeneration: {brine_volume: 1 BV, doses: 8 lb/ft3}\n",
     {{"regeneration.brine_volume", 3, 30, "leave out doses, or brine_volume"}}},
    {GOOD_WATER GOOD_BED "regeneration: {draw_flow: 1 BV/h, brine_strength: 8 wt%}\n",
     {{"regeneration.draw_flow", 3, 27, "leave out brine_flow and brine_strength"}}},

    /* backwash: the key's own line, or the item's; a flow that nobody states fits by itself */
    {GOOD_WATER "bed: {diameter: 0.3 m, depth: 0.8 m, freeboard: 0}\n"
                "regeneration: {backwash_flow: 10 m/h}\n",
     {{"regeneration.backwash_flow", 3, 31,
       "lift the bed to 1.21 times its depth, but the freeboard leaves room for 1 times"}}},
    {GOOD_WATER GOOD_BED "regeneration:\n  backwash_flow: 19 m/h\n",
     {{"regeneration.backwash_flow", 4, 18, "backwash at 19 m/h would lift"}}},
    {GOOD_WATER GOOD_BED
     "resin: {bead_diameter: 0.5 mm}\nregeneration:\n  backwash_flow: 100 m/h\n",
     {{"regeneration.backwash_flow", 5, 18, "carry the beads out of the vessel"}}},
    {GOOD_WATER GOOD_BED
     "regeneration:\n  steps:\n    - brine\n    - {step: backwash, flow: 19 m/h}\n",
     {{"regeneration.steps.flow", 6, 30, "backwash at 19 m/h would lift"}}},

    /* steps: what is wrong with one is found along with everything else */
    {GOOD_WATER GOOD_BED
     "service: {flow: 6 gpmm}\nregeneration:\n  steps:\n    - brime\n"
     "    - {step: brine, flow: 3 kg}\n    - {step: backwash, direction: left}\n",
     {{"service.flow", 3, 19, "gpm"},
      {"regeneration.steps", 6, 7,
       "\"brime\" is not a choice; the choices are: backwash brine hold"},
      {"regeneration.steps.flow", 7, 27, "\"3 kg\" is not accepted here"},
      {"regeneration.steps.direction", 8, 35,
       "\"left\" is not a choice; the choices are: down up"}}},
    {GOOD_WATER GOOD_BED
     "regeneration:\n  steps:\n    - brine\n    - flow: 3 m/h\n      volume: 1 BV\n",
     {{"regeneration.steps", 6, 13, "does not say which step it is"}}},
    {GOOD_WATER GOOD_BED
     "regeneration:\n  steps:\n    - brine\n    - volume: 1 BV\n      flow: 3 m/h\n",
     {{"regeneration.steps", 6, 15, "does not say which step it is"}}},
    {GOOD_WATER GOOD_BED "regeneration: {backwash_time: 0 min, steps: [brine, backwash]}\n",
     {{"regeneration.steps", 3, 53, "volume of the backwash step is 0"}}},
    {GOOD_WATER GOOD_BED "regeneration: {steps: {brine: 1}}\n",
     {{"regeneration.steps.brine", 3, 24, "steps is a list"}}},
    {GOOD_WATER GOOD_BED "regeneration: {steps: [backwash]}\n",
     {{"regeneration.steps", 3, 24, "no brine is among the steps"}}},
    {GOOD_WATER GOOD_BED
     "regeneration: {salt: sea_water, steps: [{step: brine, water: raw, strength: 9 wt%}]}\n",
     {{"regeneration.steps.water", 3, 62, "means nothing in a brine step"},
      {"regeneration.steps.strength", 3, 77, "means nothing in a brine step"}}},

    /* doses */
    {GOOD_WATER GOOD_BED "regeneration:\n  doses: [5 lb/ft3, 0.06 lb/ft3, 10 ft, 63 lb/ft3]\n",
     {{"regeneration.doses", 4, 21, "\"0.06 lb/ft3\" is out of range"},
      {"regeneration.doses", 4, 34, "mass per volume"},
      {"regeneration.doses", 4, 41, "\"63 lb/ft3\" is out of range"}}},
    {GOOD_WATER GOOD_BED "regeneration:\n  doses: 5, 7\n",
     {{"regeneration.doses", 4, 10, "has no unit"}}},
    {GOOD_WATER GOOD_BED "regeneration: {doses: []}\n",
     {{"regeneration.doses", 3, 23, "is empty"}}},
    {GOOD_WATER GOOD_BED "regeneration: {doses: [[5 lb/ft3], {a: 6 lb/ft3}]}\n",
     {{"regeneration.doses[0][0]", 3, 16, "a list where none is expected"},
      {"regeneration.doses[1].a", 3, 37, "no such key"}}},

    /* several at a time; a file that cannot be read to its end is not blamed for what is missing */
    {"water:\n  hardness: 317 mg/L as CaCO3\n  temprature: 12 C\nbed: {diameter: 0.3 m}\n"
     "service:\n  flow: 20\n  end_point: 1 gpgg\nregeneration: {salt: KBr}\nnumerics: {cells: 3}\n",
     {{"water.temprature", 3, 3, "did you mean water.temperature?"},
      {"bed", 0, 0, "two of them are needed"},
      {"service.flow", 6, 9, "\"20\" has no unit; take flow"},
      {"service.end_point", 7, 16, "gpg"},
      {"regeneration.salt", 8, 22, "\"KBr\" is not a choice"},
      {"numerics.cells", 9, 19, "accepted are 4 to 4096"}}},
    {GOOD_WATER "service: {flow: 3 gpmm}\nbed: {diameter: [\n",
     {{"case.yaml", 4, 1, ""}, {"service.flow", 2, 19, "gpm"}}},
};

START_TEST(every_finding_has_its_place)
{
    for (size_t i = 0; i < COUNT(wrong_cases); i++) {
        const wrong_case *wrong = &wrong_cases[i];
        bf_case *c = calloc(1, sizeof *c);
        ck_assert_ptr_nonnull(c);
        bf_error err = {0};
        bf_notes *notes = NULL;
        assert_ok(bf_notes_create(&notes, &err));
        bf_status status = read_text(wrong->text, c, notes, &err);
        ck_assert_msg(status == BF_E_INPUT && strstr(err.message, wrong->findings[0].part) != NULL,
                      "case %zu: %s: %s\n%s", i, bf_status_name(status), err.message, wrong->text);
        ck_assert_int_eq(err.line, wrong->findings[0].line);
        size_t found = 0;
        for (size_t n = 0; n < bf_notes_count(notes); n++) {
            bf_note note = bf_notes_get(notes, n);
            if (note.kind != BF_NOTE_FINDING) {
                continue;
            }
            const finding *expected = &wrong->findings[found];
            ck_assert_msg(found < COUNT(wrong->findings) && expected->where != NULL &&
                              strcmp(note.where, expected->where) == 0 &&
                              strstr(note.text, expected->part) != NULL &&
                              note.line == expected->line && note.column == expected->column,
                          "case %zu, finding %zu: %s:%ld:%ld: %s\n%s", i, found, note.where,
                          note.line, note.column, note.text, wrong->text);
            found++;
        }
        ck_assert_msg(wrong->findings[found].where == NULL, "case %zu: only %zu findings\n%s", i,
                      found, wrong->text);
        bf_notes_free(notes);
        free(c);
    }
}
END_TEST

START_TEST(nobody_has_to_take_notes_or_the_error)
{
    bf_case c;
    bf_error err = {0};
    ck_assert_int_eq(read_text(GOOD_WATER, &c, NULL, NULL), BF_E_INPUT);
    assert_fails(read_text(GOOD_WATER, &c, NULL, &err), BF_E_INPUT, "bed: no bed");
    ck_assert_str_eq(err.where, "case.yaml");
    ck_assert_int_eq(read_text(GOOD_WATER GOOD_BED, &c, NULL, NULL), BF_OK);
}
END_TEST

START_TEST(a_file_is_read_or_named)
{
    bf_case c;
    bf_error err = {0};
    assert_ok(bf_case_read(BF_SOURCE_DIR "/cases/hostel_well.yaml", &c, NULL, &err));
    ck_assert_ptr_nonnull(strstr(c.title, "hostel"));
    assert_near(c.rating.bed.diameter_m, 12 * IN, EXACT);
    ck_assert_int_eq(bf_case_read("no/such/case.yaml", &c, NULL, &err), BF_E_FILE);
    ck_assert_ptr_nonnull(strstr(err.message, "No such file"));
    ck_assert_int_eq(bf_case_read(".", &c, NULL, &err), BF_E_FILE);
}
END_TEST

/* Whatever the file: either nothing is found wrong, and then a rating can start from it, or
 * something is, and then the case is refused. */
START_TEST(a_case_without_findings_can_be_rated)
{
    static const char alphabet[] = "0123456789.-e%/ \n:[]{},LmhgBVlbft";
    unsigned long long seed = 31337;
    size_t good = 0;
    for (int round = 0; round < 1000; round++) {
        char text[1200];
        size_t length = strlen(US_CASE);
        ck_assert_uint_lt(length, sizeof text);
        memcpy(text, US_CASE, length);
        int changes = 1 + (int)(2.0 * support_uniform(&seed));
        for (int i = 0; i < changes; i++) {
            size_t place = (size_t)(support_uniform(&seed) * (double)length);
            text[place] = alphabet[(size_t)(support_uniform(&seed) * (sizeof alphabet - 1))];
        }
        bf_error err = {0};
        bf_notes *notes = NULL;
        bf_case c;
        size_t findings = 0;
        assert_ok(bf_notes_create(&notes, &err));
        bf_status status = bf_case_read_text(text, length, "noise", &c, notes, &err);
        for (size_t n = 0; n < bf_notes_count(notes); n++) {
            findings += bf_notes_get(notes, n).kind == BF_NOTE_FINDING;
        }
        bf_notes_free(notes);
        ck_assert_int_eq(status, findings > 0 ? BF_E_INPUT : BF_OK);
        if (status == BF_OK) {
            ck_assert_uint_ge(c.dose_count, 1);
            bf_recipe_set_dose(&c.rating.recipe, c.dose_kg_per_m3[0]);
            assert_ok(bf_rating_spec_check(&c.rating, &err));
            good++;
        }
    }
    ck_assert_uint_gt(good, 20);
    ck_assert_uint_lt(good, 950);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {every_finding_has_its_place,
                                  nobody_has_to_take_notes_or_the_error, a_file_is_read_or_named,
                                  a_case_without_findings_can_be_rated};
    return support_run("case.findings", tests, COUNT(tests), 60);
}
