/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A case file to a specification: every key into its field with its value in SI, both unit systems
 * alike, defaults, and every finding with its place.
 *
 * Expected values are products of exact definitions (NIST SP 811 (2008), appendix B: pound, inch,
 * gallon of 231 in3; grain of 1/7000 lb) with molar masses as ions.h documents them. */
#include "brinefront/case.h"
#include "brinefront/convert.h"
#include "brinefront/hydraulics.h"
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
#define FT 0.3048
#define IN 0.0254
#define FT3 (FT * FT * FT)
#define GAL (231.0 * IN * IN * IN)
#define GR (LB / 7000.0)
#define CACO3 50.04345                             /* g/eq */
#define GPG (GR * 1e3 / GAL / CACO3)               /* eq/m3 */
#define KGR_PER_FT3 (1e3 * GR * 1e3 / FT3 / CACO3) /* eq/m3 */

/* The bed of the drafts. */
#define DEPTH 0.8
#define AREA (0.25 * BF_PI * 0.3 * 0.3)
#define HARDNESS (317.0 / CACO3)

static draft plain_draft(void)
{
    draft d = {0};
    draft_set(&d, "water.hardness", "317 mg/L as CaCO3");
    draft_set(&d, "bed.diameter", "0.3 m");
    draft_set(&d, "bed.depth", "0.8 m");
    return d;
}

#define GOOD_WATER "water: {hardness: 317 mg/L as CaCO3}\n"
#define GOOD_BED "bed: {diameter: 0.3 m, depth: 0.8 m}\n"

static bf_status read_text(const char *text, bf_case *out, bf_notes *notes, bf_error *err)
{
    return bf_case_read_text(text, strlen(text), "case.yaml", out, notes, err);
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

typedef struct reading {
    const char *path;
    const char *text;
    size_t at; /* offset of a double in bf_case */
    double value;
} reading;

#define WATER(field) offsetof(bf_case, rating.water.field)
#define ION(id) offsetof(bf_case, rating.water.ion_eq_per_m3[BF_ION_##id])
#define BED(field) offsetof(bf_case, rating.bed.field)
#define RESIN(field) offsetof(bf_case, rating.bed.resin.field)
#define STEP(index, field) offsetof(bf_case, rating.recipe.step[index].field)
enum { SERVICE, BACKWASH, BRINE, SLOW_RINSE, FAST_RINSE, REFILL }; /* the steps of a full recipe */

/* Sodium that makes up dissolved solids of `mg_per_L` with chloride: Ca:Mg 2:1 by equivalents. */
#define SODIUM_OF_SOLIDS(mg_per_L)                                                                 \
    (((mg_per_L)-HARDNESS * (2.0 / 3.0 * 20.039 + 1.0 / 3.0 * 12.1525) - 35.45 * HARDNESS) /       \
     (22.98977 + 35.45))

static const reading readings[] = {
    {"water.hardness", "18.3 gpg", WATER(hardness_eq_per_m3), 18.3 * GPG},
    {"water.calcium_to_magnesium", "1.37", ION(CA), HARDNESS * 1.37 / 2.37},
    {"water.calcium", "43.7 mg/L", ION(CA), 43.7 / (40.078 / 2)},
    {"water.magnesium", "17.9 mg/L", ION(MG), 17.9 / (24.305 / 2)},
    {"water.sodium", "23.1 mg/L", ION(NA), 23.1 / 22.98977},
    {"water.potassium", "3.3 mg/L", ION(K), 3.3 / 39.0983},
    {"water.iron", "1.7 mg/L", ION(FE), 1.7 / (55.845 / 2)},
    {"water.manganese", "0.9 mg/L", ION(MN), 0.9 / (54.938043 / 2)},
    {"water.strontium", "3.1 mg/L", ION(SR), 3.1 / (87.62 / 2)},
    {"water.barium", "0.7 mg/L", ION(BA), 0.7 / (137.327 / 2)},
    {"water.ammonium", "0.11 mmol/L", ION(NH4), 0.11},
    {"water.alkalinity", "203 mg/L as CaCO3", ION(HCO3), 203 / CACO3},
    {"water.chloride", "29 mg/L", ION(CL), 29 / 35.45},
    {"water.sulfate", "41 mg/L", ION(SO4), 41 / (96.056 / 2)},
    {"water.nitrate", "13 mg/L", ION(NO3), 13 / 62.004},
    {"water.dissolved_solids", "610 mg/L", ION(NA), SODIUM_OF_SOLIDS(610.0)},
    {"water.conductivity", "910 uS/cm", ION(NA), SODIUM_OF_SOLIDS(0.65 * 910.0)},
    {"water.temperature", "61 F", WATER(temperature_K), (61.0 - 32.0) / 1.8 + 273.15},
    {"water.temperature", "7.2 C", BED(temperature_K), 280.35},
    {"water.pH", "8.15", WATER(pH), 8.15},

    {"bed.diameter", "14 in", BED(diameter_m), 14 * IN},
    {"bed.depth", "2.71 ft", BED(depth_m), 2.71 * FT},
    {"bed.freeboard", "17 in", BED(freeboard_m), 17 * IN},
    {"bed.freeboard", "35 %", BED(freeboard_m), 0.35 * DEPTH},
    {"bed.freeboard", "0", BED(freeboard_m), 0.0},

    {"resin.capacity", "43.7 kgr/ft3", RESIN(capacity_eq_per_m3), 43.7 * KGR_PER_FT3},
    {"resin.capacity", "1.93 eq/L", RESIN(capacity_eq_per_m3), 1930.0},
    {"resin.void", "41 %", RESIN(void_fraction), 0.41},
    {"resin.bead_diameter", "0.43 mm", RESIN(bead_diameter_m), 0.43e-3},
    {"resin.uniformity_coefficient", "1.57", RESIN(uniformity_coefficient), 1.57},
    {"resin.bead_density", "79.3 lb/ft3", RESIN(bead_density_kg_per_m3), 79.3 * LB / FT3},
    {"resin.selectivity.sodium", "1", RESIN(selectivity[BF_ION_NA]), 1.0},
    {"resin.selectivity.calcium", "17.3", RESIN(selectivity[BF_ION_CA]), 17.3},
    {"resin.selectivity.magnesium", "10.9", RESIN(selectivity[BF_ION_MG]), 10.9},
    {"resin.selectivity.potassium", "1.57", RESIN(selectivity[BF_ION_K]), 1.57},
    {"resin.selectivity.iron", "12.3", RESIN(selectivity[BF_ION_FE]), 12.3},
    {"resin.selectivity.manganese", "11.2", RESIN(selectivity[BF_ION_MN]), 11.2},
    {"resin.selectivity.strontium", "23.4", RESIN(selectivity[BF_ION_SR]), 23.4},
    {"resin.selectivity.barium", "41.7", RESIN(selectivity[BF_ION_BA]), 41.7},
    {"resin.selectivity.ammonium", "1.31", RESIN(selectivity[BF_ION_NH4]), 1.31},
    {"resin.selectivity.hydrogen", "0.61", RESIN(selectivity[BF_ION_H]), 0.61},
    {"resin.diffusivity.sodium", "8.7e-7 cm2/s", RESIN(diffusivity_25C_m2_per_s[BF_ION_NA]),
     8.7e-11},
    {"resin.diffusivity.calcium", "1.1e-11 m2/s", RESIN(diffusivity_25C_m2_per_s[BF_ION_CA]),
     1.1e-11},
    {"resin.diffusivity.magnesium", "1.2e-11 m2/s", RESIN(diffusivity_25C_m2_per_s[BF_ION_MG]),
     1.2e-11},
    {"resin.diffusivity.potassium", "1.3e-10 m2/s", RESIN(diffusivity_25C_m2_per_s[BF_ION_K]),
     1.3e-10},
    {"resin.diffusivity.iron", "1.4e-11 m2/s", RESIN(diffusivity_25C_m2_per_s[BF_ION_FE]), 1.4e-11},
    {"resin.diffusivity.manganese", "1.5e-11 m2/s", RESIN(diffusivity_25C_m2_per_s[BF_ION_MN]),
     1.5e-11},
    {"resin.diffusivity.strontium", "1.6e-11 m2/s", RESIN(diffusivity_25C_m2_per_s[BF_ION_SR]),
     1.6e-11},
    {"resin.diffusivity.barium", "1.7e-11 m2/s", RESIN(diffusivity_25C_m2_per_s[BF_ION_BA]),
     1.7e-11},
    {"resin.diffusivity.ammonium", "1.8e-10 m2/s", RESIN(diffusivity_25C_m2_per_s[BF_ION_NH4]),
     1.8e-10},
    {"resin.diffusivity.hydrogen", "1.9e-10 m2/s", RESIN(diffusivity_25C_m2_per_s[BF_ION_H]),
     1.9e-10},
    {"resin.activation.sodium", "21.1 kJ/mol", RESIN(activation_J_per_mol[BF_ION_NA]), 21.1e3},
    {"resin.activation.calcium", "21.2 kJ/mol", RESIN(activation_J_per_mol[BF_ION_CA]), 21.2e3},
    {"resin.activation.magnesium", "21.3 kJ/mol", RESIN(activation_J_per_mol[BF_ION_MG]), 21.3e3},
    {"resin.activation.potassium", "21.4 kJ/mol", RESIN(activation_J_per_mol[BF_ION_K]), 21.4e3},
    {"resin.activation.iron", "21.5 kJ/mol", RESIN(activation_J_per_mol[BF_ION_FE]), 21.5e3},
    {"resin.activation.manganese", "21.6 kJ/mol", RESIN(activation_J_per_mol[BF_ION_MN]), 21.6e3},
    {"resin.activation.strontium", "21.7 kJ/mol", RESIN(activation_J_per_mol[BF_ION_SR]), 21.7e3},
    {"resin.activation.barium", "21.8 kJ/mol", RESIN(activation_J_per_mol[BF_ION_BA]), 21.8e3},
    {"resin.activation.ammonium", "21900 J/mol", RESIN(activation_J_per_mol[BF_ION_NH4]), 21.9e3},
    {"resin.activation.hydrogen", "2.2e4 J/mol", RESIN(activation_J_per_mol[BF_ION_H]), 22e3},

    {"service.flow", "5.3 gpm", STEP(SERVICE, velocity_m_per_s), 5.3 * GAL / 60 / AREA},
    {"service.end_point", "0.8 gpg", STEP(SERVICE, end_hardness_eq_per_m3), 0.8 * GPG},
    {"service.stop_at", "3.1 gpg", STEP(SERVICE, stop_hardness_eq_per_m3), 3.1 * GPG},
    {"service.volume", "431 BV", STEP(SERVICE, bed_volumes), 431.0},

    {"regeneration.brine_strength", "11.3 wt%", STEP(BRINE, mass_fraction), 0.113},
    {"regeneration.brine_strength", "94 g/kg", STEP(BRINE, mass_fraction), 0.094},
    {"regeneration.brine_flow", "0.6 gpm/ft3", STEP(BRINE, velocity_m_per_s),
     0.6 * GAL / 60 / FT3 *DEPTH},
    /* 13.5 min at the 12 m/h of its company */
    {"regeneration.backwash_time", "13.5 min", STEP(BACKWASH, bed_volumes), 13.5 / 60 * 12 / DEPTH},
    {"regeneration.backwash_flow", "5.2 gpm/ft2", STEP(BACKWASH, velocity_m_per_s),
     5.2 * GAL / 60 / (FT * FT)},
    {"regeneration.backwash_mixing", "23 %", STEP(BACKWASH, mix_share), 0.23},
    {"regeneration.slow_rinse_volume", "12.7 gal/ft3", STEP(SLOW_RINSE, bed_volumes),
     12.7 * GAL / FT3},
    {"regeneration.slow_rinse_flow", "2.9 BV/h", STEP(SLOW_RINSE, velocity_m_per_s),
     2.9 / 3600 * DEPTH},
    {"regeneration.fast_rinse_volume", "31 gal", STEP(FAST_RINSE, bed_volumes),
     31 * GAL / (AREA * DEPTH)},
    {"regeneration.fast_rinse_flow", "11.3 m/h", STEP(FAST_RINSE, velocity_m_per_s), 11.3 / 3600},
    {"regeneration.refill_flow", "0.12 m3/h", STEP(REFILL, velocity_m_per_s), 0.12 / 3600 / AREA},
    {"regeneration.blocking_flow", "2.3 BV/h", STEP(BRINE, blocking_velocity_m_per_s),
     2.3 / 3600 * DEPTH},
    {"regeneration.blocking_flow", "0.9 gpm", STEP(SLOW_RINSE, blocking_velocity_m_per_s),
     0.9 * GAL / 60 / AREA},
    {"regeneration.doses", "7.3 lb/ft3", offsetof(bf_case, dose_kg_per_m3[0]), 7.3 * LB / FT3},

    {"numerics.relative_tolerance", "1.7e-4", BED(relative_tolerance), 1.7e-4},
    {"numerics.hardness_tolerance", "0.02 mg/L as CaCO3", BED(hardness_tolerance_eq_per_m3),
     0.02 / CACO3},
};

/* What must be stated along with a key. */
static const struct {
    const char *key;
    const char *path, *text;
} company[] = {
    {"regeneration.blocking_flow", "regeneration.direction", "counter-current"},
    {"regeneration.backwash_time", "regeneration.backwash_flow", "12 m/h"},
    /* a vessel full of resin has no room for a backwash, one with smaller beads needs more */
    {"bed.freeboard", "regeneration.backwash_flow", "1.3 m/h"},
    {"resin.bead_diameter", "bed.freeboard", "200 %"},
};

/* Keys whose values are no doubles, or are read against others: looked at one by one further on. */
static const char *const looked_at_elsewhere[] = {
    "title",
    "bed.resin_volume",
    "resin.record",
    "regeneration.salt",
    "regeneration.direction",
    "regeneration.brine_water",
    "regeneration.slow_rinse_water",
    "numerics.cells",
    "numerics.shells",
    "numerics.bead_classes",
    "numerics.shell_law",
    "numerics.most_cycles",
    "regeneration.brine_volume",
    "regeneration.draw_flow",
    "regeneration.draw_strength",
    "regeneration.steps",
    "regeneration.steps.step",
    "regeneration.steps.flow",
    "regeneration.steps.volume",
    "regeneration.steps.time",
    "regeneration.steps.water",
    "regeneration.steps.direction",
    "regeneration.steps.strength",
    "regeneration.steps.share",
    "regeneration.steps.mixing",
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
        ck_assert_uint_eq(c->rating.recipe.count, 6);
        double value;
        memcpy(&value, (const char *)c + readings[i].at, sizeof value);
        ck_assert_msg(support_near(value, readings[i].value, EXACT, 0.0, readings[i].path, __FILE__,
                                   __LINE__),
                      "%s: %s", readings[i].path, readings[i].text);
    }
    free(c);
}
END_TEST

START_TEST(no_key_is_left_out)
{
    for (size_t k = 0; k < bf_case_key_count(); k++) {
        const char *path = bf_case_key_get(k).path;
        int seen = 0;
        for (size_t i = 0; i < COUNT(readings); i++) {
            seen += strcmp(readings[i].path, path) == 0;
        }
        for (size_t i = 0; i < COUNT(looked_at_elsewhere); i++) {
            seen += strcmp(looked_at_elsewhere[i], path) == 0;
        }
        seen += bf__key_is_of_campaign((bf__key_id)k); /* test_campaign.c */
        seen += bf__key_is_of_tank((bf__key_id)k);     /* test_tank.c */
        ck_assert_msg(seen > 0, "%s is not tested", path);
    }
}
END_TEST

START_TEST(counts_and_words_reach_their_fields)
{
    bf_error err = {0};
    bf_case c;
    draft d = plain_draft();
    draft_set(&d, "numerics.cells", "73");
    draft_set(&d, "numerics.shells", "7");
    draft_set(&d, "numerics.bead_classes", "4");
    draft_set(&d, "numerics.shell_law", "equal");
    draft_set(&d, "numerics.most_cycles", "57");
    draft_set(&d, "resin.record", "gel_10");
    draft_set(&d, "resin.void", "0.41");
    draft_set(&d, "regeneration.salt", "KCl");
    draft_set(&d, "regeneration.direction", "counter-current");
    draft_set(&d, "regeneration.brine_water", "raw");
    draft_set(&d, "regeneration.slow_rinse_water", "soft");
    assert_ok(draft_read(&d, &c, NULL, &err));
    ck_assert_uint_eq(c.rating.bed.cells, 73);
    ck_assert_uint_eq(c.rating.bed.shells, 7);
    ck_assert_uint_eq(c.rating.bed.bead_classes, 4);
    ck_assert_int_eq(c.rating.bed.shell_law, BF_SHELLS_EQUAL);
    ck_assert_uint_eq(c.rating.steady.most_cycles, 57);
    ck_assert_str_eq(c.rating.bed.resin.name, "gel_10");
    ck_assert_double_eq(c.rating.bed.resin.capacity_eq_per_m3, 2200.0);
    ck_assert_double_eq(c.rating.bed.resin.void_fraction, 0.41);
    const bf_step *step = c.rating.recipe.step;
    ck_assert_int_eq(step[BRINE].salt, BF_SALT_KCL);
    ck_assert_int_eq(step[REFILL].salt, BF_SALT_KCL);
    ck_assert_int_eq(step[SERVICE].direction, BF_FLOW_DOWN);
    ck_assert_int_eq(step[BACKWASH].direction, BF_FLOW_UP);
    ck_assert_int_eq(step[BRINE].direction, BF_FLOW_UP);
    ck_assert_int_eq(step[SLOW_RINSE].direction, BF_FLOW_UP);
    ck_assert_int_eq(step[FAST_RINSE].direction, BF_FLOW_DOWN);
    ck_assert_int_eq(step[BRINE].supply, BF_SUPPLY_RAW);
    ck_assert_int_eq(step[REFILL].supply, BF_SUPPLY_RAW);
    ck_assert_int_eq(step[SLOW_RINSE].supply, BF_SUPPLY_SOFT);
    ck_assert_int_eq(step[FAST_RINSE].supply, BF_SUPPLY_RAW);
    ck_assert_int_eq(step[SERVICE].supply, BF_SUPPLY_RAW);
}
END_TEST

START_TEST(steps_of_no_length_are_left_out)
{
    bf_error err = {0};
    bf_case c;
    draft d = plain_draft();
    draft_set(&d, "regeneration.backwash_time", "0 min");
    draft_set(&d, "regeneration.slow_rinse_volume", "0 BV");
    draft_set(&d, "regeneration.fast_rinse_volume", "0 gal");
    assert_ok(draft_read(&d, &c, NULL, &err));
    ck_assert_uint_eq(c.rating.recipe.count, 3);
    ck_assert_ptr_eq(c.rating.recipe.step[0].type, &bf_step_service);
    ck_assert_ptr_eq(c.rating.recipe.step[1].type, &bf_step_brine);
    ck_assert_ptr_eq(c.rating.recipe.step[2].type, &bf_step_refill);
}
END_TEST

START_TEST(a_flow_may_be_stated_in_every_form)
{
    static const struct {
        const char *text;
        double m_per_s;
    } flows[] = {
        {"19.3 BV/h", 19.3 / 3600 * DEPTH},  {"0.32 BV/min", 0.32 / 60 * DEPTH},
        {"5.3 gpm", 5.3 * GAL / 60 / AREA},  {"1.13 m3/h", 1.13 / 3600 / AREA},
        {"18.7 L/min", 18.7e-3 / 60 / AREA}, {"2.3 gpm/ft3", 2.3 * GAL / 60 / FT3 * DEPTH},
        {"19.3 1/h", 19.3 / 3600 * DEPTH},   {"6.1 gpm/ft2", 6.1 * GAL / 60 / (FT * FT)},
        {"14.9 m/h", 14.9 / 3600},           {"0.82 ft/min", 0.82 * FT / 60},
    };
    for (size_t i = 0; i < COUNT(flows); i++) {
        bf_error err = {0};
        bf_case c;
        draft d = plain_draft();
        draft_set(&d, "service.flow", flows[i].text);
        assert_ok(draft_read(&d, &c, NULL, &err));
        assert_near(c.rating.recipe.step[SERVICE].velocity_m_per_s, flows[i].m_per_s, EXACT);
    }
}
END_TEST

START_TEST(a_volume_of_water_may_be_stated_in_every_form)
{
    static const struct {
        const char *text;
        double bed_volumes;
    } volumes[] = {
        {"2.3 BV", 2.3},
        {"31 gal", 31 * GAL / (AREA * DEPTH)},
        {"117 L", 0.117 / (AREA * DEPTH)},
        {"0.13 m3", 0.13 / (AREA * DEPTH)},
        {"4.1 ft3", 4.1 * FT3 / (AREA * DEPTH)},
        {"17.5 gal/ft3", 17.5 * GAL / FT3},
        {"1.9 m3/m3", 1.9},
    };
    bf_error err = {0};
    bf_case c;
    for (size_t i = 0; i < COUNT(volumes); i++) {
        draft d = plain_draft();
        draft_set(&d, "regeneration.slow_rinse_volume", volumes[i].text);
        assert_ok(draft_read(&d, &c, NULL, &err));
        assert_near(c.rating.recipe.step[SLOW_RINSE].bed_volumes, volumes[i].bed_volumes, EXACT);
    }
    static const char *const bare[] = {"2", "2e0", "1.9E+0", "200 %"};
    for (size_t i = 0; i < COUNT(bare); i++) {
        draft d = plain_draft();
        draft_set(&d, "regeneration.slow_rinse_volume", bare[i]);
        assert_fails(draft_read(&d, &c, NULL, &err), BF_E_INPUT, "has no unit; write \"");
    }
}
END_TEST

/* ---- strength, injector, sea water ----------------------------------------------------------- */

/* Degrees are percent of saturation at the temperature of the case: NaCl 26.33 wt% at 40 F and
 * 26.45 at 70 F (Salt Institute), KCl 25.39 at 20 C (CRC Handbook, from memory), each to half of
 * its last digit, 2e-4. */
START_TEST(salometer_degrees_count_to_saturation_at_the_temperature)
{
    static const struct {
        const char *salt, *temperature;
        double saturated;
    } brines[] = {
        {"NaCl", "40 F", 0.2633},
        {"NaCl", "70 F", 0.2645},
        {"KCl", "20 C", 0.2539},
    };
    for (size_t i = 0; i < COUNT(brines); i++) {
        bf_error err = {0};
        bf_case c;
        draft d = plain_draft();
        draft_set(&d, "bed.freeboard", "100 %");
        draft_set(&d, "regeneration.salt", brines[i].salt);
        draft_set(&d, "water.temperature", brines[i].temperature);
        draft_set(&d, "regeneration.brine_strength", "43 salometer");
        assert_ok(draft_read(&d, &c, NULL, &err));
        assert_near(c.rating.recipe.step[BRINE].mass_fraction, 0.43 * brines[i].saturated, 2e-4);
    }
}
END_TEST

/* Mass of salt and water by hand. Densities at 20 C, kg/m3 (CRC Handbook, concentrative properties
 * of aqueous NaCl): 8 wt% 1055.9, 10 wt% 1070.7, 20 wt% 1147.8, 26 wt% 1197.2; water 998.2. */
START_TEST(salt_may_be_stated_in_all_or_by_the_brine)
{
    bf_error err = {0};
    bf_case c;
    /* 0.3 m across, 0.8 m deep: pi/4 0.09 0.8 = 0.0565487 m3. 12 lb = 5.443108 kg: 96.2553 kg/m3.
     */
    assert_ok(read_text(GOOD_WATER GOOD_BED "regeneration: {doses: [12 lb, 80 g/L, 9.5 kg]}\n", &c,
                        NULL, &err));
    ck_assert_uint_eq(c.dose_count, 3);
    assert_near(c.dose_kg_per_m3[0], 5.44310844 / 0.0565486678, 1e-8);
    assert_near(c.dose_kg_per_m3[1], 80.0, EXACT);
    assert_near(c.dose_kg_per_m3[2], 9.5 / 0.0565486678, 1e-8);
    assert_ok(bf_case_set_doses(&c, "6, 12 lb", &err));
    assert_near(c.dose_kg_per_m3[1], 2.0 * c.dose_kg_per_m3[0], EXACT);
    /* Brine of 10 wt% at 20 C holds 107.07 g/L (1070.7 kg/m3: tables of NaCl solutions). */
    assert_ok(
        read_text(GOOD_WATER GOOD_BED "regeneration: {brine_volume: 1.3 BV}\n", &c, NULL, &err));
    ck_assert_uint_eq(c.dose_count, 1);
    assert_near(c.dose_kg_per_m3[0], 1.3 * 107.07, 5e-4);
}
END_TEST

START_TEST(an_injector_keeps_the_mass_of_salt_and_water)
{
    bf_error err = {0};
    bf_case c;
    bf_notes *notes = NULL;
    draft d = plain_draft();
    assert_ok(bf_notes_create(&notes, &err));
    draft_set(&d, "regeneration.draw_flow", "1.3 BV/h");
    draft_set(&d, "regeneration.draw_strength", "20 wt%");
    draft_set(&d, "regeneration.slow_rinse_flow", "1.6 BV/h");
    assert_ok(draft_read(&d, &c, notes, &err));
    /* salt 1.3*1147.8*0.2 = 298.428, all 1.3*1147.8 + 1.6*998.2 = 3089.26: 9.6602 wt%, of
     * 1055.9 + 14.8*1.6602/2 = 1068.19 kg/m3, so 2.89206 BV/h. The densities agree within 0.06 %;
     * the water's share of that is less. */
    const bf_step *step = c.rating.recipe.step;
    assert_near(step[BRINE].mass_fraction, 0.096602, 1e-3);
    assert_near(step[BRINE].velocity_m_per_s, 2.89206 / 3600 * DEPTH, 1e-3);
    assert_near(step[SLOW_RINSE].velocity_m_per_s, 1.6 / 3600 * DEPTH, EXACT);
    ck_assert_ptr_nonnull(strstr(note_about(notes, BF_NOTE_DEDUCED, "regeneration.draw_flow").text,
                                 "9.66 wt% at 2.89 BV/h"));
    bf_notes_free(notes);

    /* Saturated where nothing says: 26.45 wt% of 1197.2 + 0.45*8.4 = 1201.0 kg/m3, as from 24 wt%
     * (1180.4) on; 26.45 is that of 70 F, less than 0.1 % above that of 20 C. Salt 317.66 in
     * 1201.0 + 2.1*998.2 = 3297.2: 9.6342 wt%. */
    draft_set(&d, "regeneration.draw_strength", NULL);
    draft_set(&d, "regeneration.draw_flow", "1 BV/h");
    draft_set(&d, "regeneration.slow_rinse_flow", "2.1 BV/h");
    assert_ok(draft_read(&d, &c, NULL, &err));
    assert_near(c.rating.recipe.step[BRINE].mass_fraction, 0.096342, 2e-3);
}
END_TEST

START_TEST(sea_water_is_a_brine_without_refill)
{
    bf_error err = {0};
    bf_case c;
    draft d = plain_draft();
    draft_set(&d, "regeneration.salt", "sea_water");
    draft_set(&d, "regeneration.doses", "290 g/L");
    draft_set(&d, "regeneration.brine_flow", "3.3 BV/h");
    assert_ok(draft_read(&d, &c, NULL, &err));
    const bf_step *step = c.rating.recipe.step;
    ck_assert_uint_eq(c.rating.recipe.count, 5);
    ck_assert_ptr_eq(step[BRINE].type, &bf_step_brine);
    ck_assert_int_eq(step[BRINE].supply, BF_SUPPLY_SEA);
    assert_near(step[BRINE].velocity_m_per_s, 3.3 / 3600 * DEPTH, EXACT);
    ck_assert_ptr_eq(step[FAST_RINSE].type, &bf_step_fast_rinse);
    ck_assert_int_eq(step[SLOW_RINSE].supply, BF_SUPPLY_RAW);
    draft_set(&d, "regeneration.steps", "[brine, fast_rinse]");
    assert_ok(draft_read(&d, &c, NULL, &err));
    ck_assert_uint_eq(c.rating.recipe.count, 3);
    ck_assert_int_eq(step[1].supply, BF_SUPPLY_SEA);
}
END_TEST

/* Only what flows up while the salt is in the bed is held down. */
START_TEST(blocking_flow_goes_with_what_flows_up)
{
    bf_error err = {0};
    bf_case c;
    draft d = plain_draft();
    const double blocking = 2.3 / 3600 * DEPTH;
    draft_set(&d, "regeneration.blocking_flow", "2.3 BV/h");
    draft_set(&d, "regeneration.steps",
              "[backwash, brine, {step: brine, direction: up}, slow_rinse, {step: slow_rinse, "
              "direction: up}, {step: fast_rinse, direction: up}]");
    assert_ok(draft_read(&d, &c, NULL, &err));
    static const int is_held[] = {0, 0, 0, 1, 0, 1, 0};
    ck_assert_uint_eq(c.rating.recipe.count, COUNT(is_held));
    for (size_t s = 0; s < COUNT(is_held); s++) {
        assert_near(c.rating.recipe.step[s].blocking_velocity_m_per_s, is_held[s] ? blocking : 0.0,
                    EXACT);
    }
    draft_set(&d, "regeneration.direction", "counter-current");
    draft_set(&d, "regeneration.steps", "[{step: brine, direction: down}, brine]");
    assert_ok(draft_read(&d, &c, NULL, &err));
    ck_assert_double_eq(c.rating.recipe.step[1].blocking_velocity_m_per_s, 0.0);
    assert_near(c.rating.recipe.step[2].blocking_velocity_m_per_s, blocking, EXACT);
}
END_TEST

/* ---- a list of steps ------------------------------------------------------------------------- */

/* Words alone, in their order and as often as they stand there, are what the section says. */
START_TEST(steps_are_taken_in_their_order)
{
    static const char *const spellings[] = {
        "[brine, backwash, fast_rinse, brine, slow_rinse, refill, fast_rinse]",
        "\n    - brine\n    - step: backwash\n    - fast_rinse\n    - {step: brine}\n"
        "    - slow_rinse\n    - step: refill\n    - 'fast_rinse'",
    };
    const bf_step_type *const types[] = {
        &bf_step_service, &bf_step_brine,      &bf_step_backwash, &bf_step_fast_rinse,
        &bf_step_brine,   &bf_step_slow_rinse, &bf_step_refill,   &bf_step_fast_rinse,
    };
    for (size_t i = 0; i < COUNT(spellings); i++) {
        bf_error err = {0};
        bf_case usual, listed;
        draft d = plain_draft();
        draft_set(&d, "regeneration.fast_rinse_volume", "1.7 BV");
        draft_set(&d, "regeneration.brine_strength", "8.3 wt%");
        assert_ok(draft_read(&d, &usual, NULL, &err));
        draft_set(&d, "regeneration.steps", spellings[i]);
        assert_ok(draft_read(&d, &listed, NULL, &err));
        ck_assert_uint_eq(listed.rating.recipe.count, COUNT(types));
        for (size_t s = 0; s < COUNT(types); s++) {
            const bf_step *step = &listed.rating.recipe.step[s];
            const bf_step *same = usual.rating.recipe.step;
            ck_assert_ptr_eq(step->type, types[s]);
            while (same->type != step->type) {
                same++;
            }
            ck_assert(memcmp(&step->velocity_m_per_s, &same->velocity_m_per_s, sizeof(double)) ==
                      0);
            ck_assert_int_eq(step->direction, same->direction);
            ck_assert_int_eq(step->supply, same->supply);
            ck_assert_double_eq(step->mass_fraction, same->mass_fraction);
            ck_assert(step->bed_volumes == same->bed_volumes ||
                      (isnan(step->bed_volumes) && isnan(same->bed_volumes)));
        }
    }
}
END_TEST

START_TEST(an_item_changes_its_own_step)
{
    bf_error err = {0};
    bf_case c;
    draft d = plain_draft();
    draft_set(
        &d, "regeneration.steps",
        "\n    - {step: backwash, flow: 4.1 gpm/ft2, time: 7 min, mixing: 37 %, water: soft}"
        "\n    - {step: brine, flow: 0.37 gpm/ft3, strength: 7.7 wt%, direction: up, water: raw}"
        "\n    - {step: hold, time: 23 min}"
        "\n    - {step: slow_rinse, volume: 13 gal/ft3, flow: 2.7 BV/h, water: soft}"
        "\n    - {step: slow_rinse, time: 11 min, direction: up}"
        "\n    - {step: fast_rinse, time: 6.5 min, flow: 14 BV/h}"
        "\n    - {step: refill, flow: 0.4 gpm}"
        "\n    - brine");
    assert_ok(draft_read(&d, &c, NULL, &err));
    const bf_step *step = &c.rating.recipe.step[1];
    ck_assert_uint_eq(c.rating.recipe.count, 9);
    assert_near(step[0].velocity_m_per_s, 4.1 * GAL / 60 / (FT * FT), EXACT);
    assert_near(step[0].bed_volumes, 7 * 4.1 * GAL / (FT * FT) / DEPTH, EXACT);
    assert_near(step[0].mix_share, 0.37, EXACT);
    ck_assert_int_eq(step[0].supply, BF_SUPPLY_SOFT);
    assert_near(step[1].velocity_m_per_s, 0.37 * GAL / 60 / FT3 * DEPTH, EXACT);
    assert_near(step[1].mass_fraction, 0.077, EXACT);
    ck_assert_int_eq(step[1].direction, BF_FLOW_UP);
    ck_assert_int_eq(step[1].supply, BF_SUPPLY_RAW);
    ck_assert_ptr_eq(step[2].type, &bf_step_hold);
    assert_near(step[2].duration_s, 23 * 60.0, EXACT);
    assert_near(step[3].bed_volumes, 13 * GAL / FT3, EXACT);
    assert_near(step[3].velocity_m_per_s, 2.7 / 3600 * DEPTH, EXACT);
    ck_assert_int_eq(step[3].supply, BF_SUPPLY_SOFT);
    ck_assert_int_eq(step[3].direction, BF_FLOW_DOWN);
    assert_near(step[4].bed_volumes, 11.0 / 60 * 4, EXACT); /* at the section's 4 BV/h */
    ck_assert_int_eq(step[4].supply, BF_SUPPLY_RAW);
    ck_assert_int_eq(step[4].direction, BF_FLOW_UP);
    assert_near(step[5].bed_volumes, 6.5 / 60 * 14, EXACT);
    assert_near(step[6].velocity_m_per_s, 0.4 * GAL / 60 / AREA, EXACT);
    assert_near(step[7].mass_fraction, 0.10, EXACT); /* the other brine is not touched */
    ck_assert_int_eq(step[7].direction, BF_FLOW_DOWN);
    ck_assert_int_eq(step[7].supply, BF_SUPPLY_SOFT);
    /* and back down in a bed that is regenerated upward */
    draft_set(&d, "regeneration.direction", "counter-current");
    draft_set(&d, "regeneration.steps", "[brine, {step: slow_rinse, direction: down}]");
    assert_ok(draft_read(&d, &c, NULL, &err));
    ck_assert_int_eq(step[0].direction, BF_FLOW_UP);
    ck_assert_int_eq(step[1].direction, BF_FLOW_DOWN);
}
END_TEST

START_TEST(brines_share_the_dose)
{
    bf_error err = {0};
    bf_case c;
    draft d = plain_draft();
    draft_set(&d, "regeneration.steps",
              "[{step: brine, share: 1.5}, hold, {step: brine, share: 2.5}, brine, refill]");
    assert_fails(draft_read(&d, &c, NULL, &err), BF_E_INPUT, "a hold needs a time");
    draft_set(&d, "regeneration.steps",
              "[{step: brine, share: 1.5}, {step: brine, share: 2.5}, brine, refill]");
    assert_ok(draft_read(&d, &c, NULL, &err));
    bf_recipe_set_dose(&c.rating.recipe, 137.0);
    const bf_step *step = &c.rating.recipe.step[1];
    assert_near(step[0].dose_kg_per_m3, 137.0 * 1.5 / 5.0, EXACT); /* nothing said: 1 */
    assert_near(step[1].dose_kg_per_m3, 137.0 * 2.5 / 5.0, EXACT);
    assert_near(step[2].dose_kg_per_m3, 137.0 * 1.0 / 5.0, EXACT);
    assert_near(step[3].dose_kg_per_m3, 137.0, EXACT);
}
END_TEST

/* ---- two spellings of one case --------------------------------------------------------------- */

static const char *const us_case =
    "water: {hardness: 23.4 gpg, calcium_to_magnesium: 2.3, sodium: 1.1 meq/L,\n"
    "        iron: 0.7 mg/L, temperature: 57.2 F, pH: 7.1}\n"
    "bed: {diameter: 13 in, depth: 2.6 ft, freeboard: 14.5 in}\n"
    "resin: {capacity: 42 kgr/ft3, bead_density: 80 lb/ft3}\n"
    "service: {flow: 6.5 gpm, end_point: 0.9 gpg, stop_at: 2.2 gpg, volume: 3000 gal}\n"
    "regeneration:\n"
    "  doses: 4.5, 7, 11 lb/ft3\n"
    "  brine_strength: 9.5 %\n"
    "  brine_flow: 0.45 gpm/ft3\n"
    "  backwash_time: 0.2 h\n"
    "  backwash_flow: 4.4 gpm/ft2\n"
    "  slow_rinse_volume: 11 gal/ft3\n"
    "  slow_rinse_flow: 1.1 gpm\n"
    "  fast_rinse_volume: 25 gal\n"
    "  fast_rinse_flow: 1.6 gpm/ft3\n"
    "  refill_flow: 0.6 gpm\n";

static void write_si_case(char *text, size_t room)
{
    int length = snprintf(
        text, room,
        "water: {hardness: %.17g meq/L, calcium_to_magnesium: 2.3, sodium: %.17g mg/L,\n"
        "        iron: %.17g mmol/L, temperature: 14 C, pH: 7.1}\n"
        "bed: {diameter: %.17g mm, depth: %.17g m, freeboard: %.17g cm}\n"
        "resin: {capacity: %.17g eq/L, bead_density: %.17g kg/m3}\n"
        "service: {flow: %.17g m3/h, end_point: %.17g mg/L as CaCO3, stop_at: %.17g mmol/L,\n"
        "          volume: %.17g m3}\n"
        "regeneration:\n"
        "  doses:\n"
        "    - %.17g g/L\n"
        "    - %.17g kg/m3\n"
        "    - %.17g mg/mL\n"
        "  brine_strength: 95 g/kg\n"
        "  brine_flow: %.17g BV/h\n"
        "  backwash_time: 720 s\n"
        "  backwash_flow: %.17g m/h\n"
        "  slow_rinse_volume: %.17g BV\n"
        "  slow_rinse_flow: %.17g L/min\n"
        "  fast_rinse_volume: %.17g L\n"
        "  fast_rinse_flow: %.17g 1/h\n"
        "  refill_flow: %.17g m3/h\n",
        23.4 * GPG, 1.1 * 22.98977, 0.7 / 55.845, 13e3 * IN, 2.6 * FT, 14.5e2 * IN,
        42e-3 * KGR_PER_FT3, 80 * LB / FT3, 6.5 * GAL * 60, 0.9 * GPG * CACO3, 2.2 * GPG / 2,
        3000 * GAL, 4.5 * LB / FT3, 7 * LB / FT3, 11 * LB / FT3, 0.45 * GAL * 60 / FT3,
        4.4 * GAL * 60 / (FT * FT), 11 * GAL / FT3, 1.1 * GAL * 1e3, 25 * GAL * 1e3,
        1.6 * GAL * 60 / FT3, 0.6 * GAL * 60);
    ck_assert_int_gt(length, 0);
    ck_assert_uint_lt((size_t)length, room);
}

/* Nonzero where both are as good as equal: 1e-12, a few hundred roundings; NAN equals NAN. */
static int alike(double a, double b)
{
    return (isnan(a) && isnan(b)) || fabs(a - b) <= 1e-12 * fabs(b);
}

START_TEST(both_unit_systems_make_one_case)
{
    bf_error err = {0};
    bf_case us, si;
    char text[2500];
    write_si_case(text, sizeof text);
    assert_ok(read_text(us_case, &us, NULL, &err));
    assert_ok(read_text(text, &si, NULL, &err));

    for (size_t i = 0; i < BF_ION_COUNT; i++) {
        ck_assert(alike(us.rating.water.ion_eq_per_m3[i], si.rating.water.ion_eq_per_m3[i]));
    }
    ck_assert(alike(us.rating.water.hardness_eq_per_m3, si.rating.water.hardness_eq_per_m3));
    ck_assert(alike(us.rating.water.temperature_K, si.rating.water.temperature_K));
    const bf_bed_spec *a = &us.rating.bed;
    const bf_bed_spec *b = &si.rating.bed;
    ck_assert(alike(a->diameter_m, b->diameter_m));
    ck_assert(alike(a->depth_m, b->depth_m));
    ck_assert(alike(a->freeboard_m, b->freeboard_m));
    ck_assert(alike(a->temperature_K, b->temperature_K));
    ck_assert(alike(a->resin.capacity_eq_per_m3, b->resin.capacity_eq_per_m3));
    ck_assert(alike(a->resin.bead_density_kg_per_m3, b->resin.bead_density_kg_per_m3));

    ck_assert_uint_eq(us.rating.recipe.count, 6);
    ck_assert_uint_eq(si.rating.recipe.count, 6);
    for (size_t s = 0; s < 6; s++) {
        const bf_step *x = &us.rating.recipe.step[s];
        const bf_step *y = &si.rating.recipe.step[s];
        ck_assert_ptr_eq(x->type, y->type);
        ck_assert(alike(x->velocity_m_per_s, y->velocity_m_per_s));
        ck_assert(alike(x->bed_volumes, y->bed_volumes));
        ck_assert(alike(x->end_hardness_eq_per_m3, y->end_hardness_eq_per_m3));
        ck_assert(alike(x->stop_hardness_eq_per_m3, y->stop_hardness_eq_per_m3));
        ck_assert(alike(x->mass_fraction, y->mass_fraction));
        ck_assert(alike(x->mix_share, y->mix_share));
    }
    ck_assert_uint_eq(us.dose_count, 3);
    ck_assert_uint_eq(si.dose_count, 3);
    for (size_t i = 0; i < 3; i++) {
        ck_assert(alike(us.dose_kg_per_m3[i], si.dose_kg_per_m3[i]));
    }
    ck_assert(!alike(us.dose_kg_per_m3[0], si.dose_kg_per_m3[1])); /* the comparison can tell */
}
END_TEST

/* ---- geometry and defaults ------------------------------------------------------------------- */

START_TEST(hardness_and_resin_volume_are_enough)
{
    bf_error err = {0};
    bf_notes *notes = NULL;
    bf_case c;
    assert_ok(bf_notes_create(&notes, &err));
    assert_ok(read_text("water: {hardness: 317 mg/L as CaCO3}\nbed: {resin_volume: 1.5 ft3}\n", &c,
                        notes, &err));
    const bf_bed_spec *bed = &c.rating.bed;
    ck_assert_double_eq(bed->depth_m, 0.76);
    assert_near(bed->diameter_m, sqrt(1.5 * FT3 / 0.76 * 4 / BF_PI), EXACT);
    ck_assert_ptr_nonnull(strstr(note_about(notes, BF_NOTE_ASSUMED, "bed.depth").text, "0.76 m"));
    ck_assert_ptr_nonnull(strstr(note_about(notes, BF_NOTE_DEDUCED, "bed.diameter").text,
                                 "0.2668 m from resin volume"));

    /* Everything else is the defaults that keys.def prints, in SI by hand. */
    ck_assert_str_eq(c.title, "");
    assert_near(c.rating.water.hardness_eq_per_m3, HARDNESS, EXACT);
    assert_near(c.rating.water.ion_eq_per_m3[BF_ION_CA], HARDNESS * 2 / 3, EXACT);
    assert_near(c.rating.water.temperature_K, 293.15, EXACT);
    assert_near(c.rating.water.pH, 7.5, EXACT);
    assert_near(bed->freeboard_m, 0.38, EXACT);
    ck_assert_str_eq(bed->resin.name, "gel_8");
    ck_assert_uint_eq(bed->cells, 120);
    ck_assert_uint_eq(bed->shells, 3);
    ck_assert_int_eq(bed->shell_law, BF_SHELLS_MATCHED);
    ck_assert_uint_eq(c.rating.steady.most_cycles, 200);
    const bf_step *step = c.rating.recipe.step;
    ck_assert_uint_eq(c.rating.recipe.count, 6);
    assert_near(step[SERVICE].velocity_m_per_s, 20 * 0.76 / 3600, EXACT);
    assert_near(step[SERVICE].end_hardness_eq_per_m3, GPG, EXACT);
    ck_assert(isnan(step[SERVICE].stop_hardness_eq_per_m3) && isnan(step[SERVICE].bed_volumes));
    /* What lifts the bed by 45 %: Richardson and Zaki's law read the other way. */
    bf_fluid water;
    assert_ok(bf_fluid_of_water(293.15, &water, &err));
    assert_near(bf_bed_expansion(&water, step[BACKWASH].velocity_m_per_s, 0.6e-3, 1280.0, 0.38),
                1.45, 1e-9);
    assert_near(step[BACKWASH].bed_volumes, step[BACKWASH].velocity_m_per_s * 600 / 0.76, EXACT);
    ck_assert_double_eq(step[BACKWASH].mix_share, 0.0);
    assert_near(step[BRINE].mass_fraction, 0.10, EXACT);
    assert_near(step[BRINE].velocity_m_per_s, 4 * 0.76 / 3600, EXACT);
    ck_assert_int_eq(step[BRINE].salt, BF_SALT_NACL);
    ck_assert_int_eq(step[BRINE].direction, BF_FLOW_DOWN);
    ck_assert_int_eq(step[BRINE].supply, BF_SUPPLY_SOFT);
    assert_near(step[SLOW_RINSE].bed_volumes, 2.0, EXACT);
    assert_near(step[SLOW_RINSE].velocity_m_per_s, 4 * 0.76 / 3600, EXACT);
    assert_near(step[FAST_RINSE].bed_volumes, 2.0, EXACT);
    assert_near(step[FAST_RINSE].velocity_m_per_s, 12 * 0.76 / 3600, EXACT);
    assert_near(step[REFILL].velocity_m_per_s, 2 * 0.76 / 3600, EXACT);
    static const double doses[] = {5, 7.5, 10, 15};
    ck_assert_uint_eq(c.dose_count, COUNT(doses));
    for (size_t i = 0; i < COUNT(doses); i++) {
        assert_near(c.dose_kg_per_m3[i], doses[i] * LB / FT3, EXACT);
    }
    bf_notes_free(notes);
}
END_TEST

START_TEST(two_of_diameter_depth_and_volume_make_the_third)
{
    bf_error err = {0};
    bf_notes *notes = NULL;
    bf_case c;
    assert_ok(bf_notes_create(&notes, &err));
    draft d = plain_draft();
    assert_ok(draft_read(&d, &c, notes, &err)); /* diameter and depth */
    ck_assert_double_eq(c.rating.bed.diameter_m, 0.3);
    ck_assert_double_eq(c.rating.bed.depth_m, 0.8);
    ck_assert_ptr_null(note_about(notes, BF_NOTE_ASSUMED, "bed.depth").text);

    draft_set(&d, "bed.depth", NULL);
    draft_set(&d, "bed.resin_volume", "67 L");
    assert_ok(draft_read(&d, &c, notes, &err));
    assert_near(c.rating.bed.depth_m, 0.067 / AREA, EXACT);
    ck_assert_ptr_nonnull(note_about(notes, BF_NOTE_DEDUCED, "bed.depth").text);

    draft_set(&d, "bed.depth", "0.91 m");
    draft_set(&d, "bed.diameter", NULL);
    assert_ok(draft_read(&d, &c, notes, &err));
    assert_near(c.rating.bed.diameter_m, sqrt(0.067 / 0.91 * 4 / BF_PI), EXACT);

    /* All three: within 2 % they agree, and diameter and depth are taken. The volume is 56.55 L. */
    draft_set(&d, "bed.diameter", "0.3 m");
    draft_set(&d, "bed.depth", "0.8 m");
    draft_set(&d, "bed.resin_volume", "57.6 L");
    assert_ok(draft_read(&d, &c, notes, &err));
    ck_assert_double_eq(c.rating.bed.depth_m, 0.8);
    draft_set(&d, "bed.resin_volume", "57.8 L");
    assert_fails(draft_read(&d, &c, notes, &err), BF_E_INPUT,
                 "resin volume 57.8 L contradicts diameter and depth, which make 56.55 L");
    bf_notes_free(notes);
}
END_TEST

START_TEST(a_default_is_noted_and_a_statement_is_not)
{
    bf_error err = {0};
    bf_case c;
    size_t looked = 0;
    for (size_t k = 0; k < bf_case_key_count(); k++) {
        bf_case_key key = bf_case_key_get(k);
        bf_notes *notes = NULL;
        assert_ok(bf_notes_create(&notes, &err));
        draft d = plain_draft();
        assert_ok(draft_read(&d, &c, notes, &err));
        const char *text = note_about(notes, BF_NOTE_ASSUMED, key.path).text;
        bf_notes_free(notes);
        if (*key.default_text == '\0' || strncmp(key.path, "numerics.", 9) == 0 ||
            bf__key_is_of_campaign((bf__key_id)k) || bf__key_is_of_tank((bf__key_id)k)) {
            /* of a campaign and a vessel nothing is filled in here */
            ck_assert_msg(text == NULL || strncmp(key.path, "water.", 6) == 0, "%s", key.path);
            continue;
        }
        assert_ok(bf_notes_create(&notes, &err));
        assert_ok(draft_read(&d, &c, notes, &err));
        text = note_about(notes, BF_NOTE_ASSUMED, key.path).text;
        ck_assert_msg(text != NULL &&
                          strncmp(text, key.default_text, strlen(key.default_text)) == 0 &&
                          strstr(text, key.source) != NULL,
                      "%s", key.path);
        bf_notes_free(notes);
        assert_ok(bf_notes_create(&notes, &err));
        draft_set(&d, key.path, key.default_text);
        assert_ok(draft_read(&d, &c, notes, &err));
        ck_assert_ptr_null(note_about(notes, BF_NOTE_ASSUMED, key.path).text);
        bf_notes_free(notes);
        looked++;
    }
    ck_assert_uint_gt(looked, 15);
}
END_TEST

START_TEST(a_title_is_one_line_of_whole_characters)
{
    bf_error err = {0};
    bf_case c;
    static const char rest[] = "water: {hardness: 9 gpg}\nbed: {resin_volume: 1 ft3}\n";
    char text[2000];
    (void)snprintf(text, sizeof text, "title: Brunnen am Höhenweg\n%s", rest);
    assert_ok(read_text(text, &c, NULL, &err));
    ck_assert_str_eq(c.title, "Brunnen am Höhenweg");
    (void)snprintf(text, sizeof text, "title: |-\n  one\n  two\tthree\n%s", rest);
    assert_ok(read_text(text, &c, NULL, &err));
    ck_assert_str_eq(c.title, "one two three");
    /* 1 + 2 * 150 bytes: of the 199 that fit, the last would be half an ö. */
    char title[400] = "x";
    for (int i = 0; i < 150; i++) {
        (void)strcat(title, "ö");
    }
    (void)snprintf(text, sizeof text, "title: %s\n%s", title, rest);
    assert_ok(read_text(text, &c, NULL, &err));
    ck_assert_uint_eq(strlen(c.title), 199);
    ck_assert_int_eq(strncmp(c.title, title, 199), 0);
    (void)snprintf(text, sizeof text, "title: %s\n%s", title + 1, rest);
    assert_ok(read_text(text, &c, NULL, &err));
    ck_assert_uint_eq(strlen(c.title), 198);
    ck_assert_int_eq(strncmp(c.title, title + 1, 198), 0);
}
END_TEST

/* ---- findings -------------------------------------------------------------------------------- */

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
       "lift the bed to 1.26 times its depth, but the freeboard leaves room for 1 times"}}},
    {GOOD_WATER GOOD_BED "regeneration:\n  backwash_flow: 19 m/h\n",
     {{"regeneration.backwash_flow", 4, 18, "backwash at 19 m/h would lift"}}},
    {GOOD_WATER GOOD_BED "regeneration:\n  backwash_flow: 100 m/h\n",
     {{"regeneration.backwash_flow", 4, 18, "carry the beads out of the vessel"}}},
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

/* ---- doses ----------------------------------------------------------------------------------- */

START_TEST(doses_are_a_list_in_any_spelling)
{
    static const char *const spellings[] = {
        "[48.05 g/L, 96.1 g/L, 144.2 g/L]",
        "\n    - 48.05 g/L\n    - 96.1 kg/m3\n    - 0.1442 kg/L",
        "48.05, 96.1, 144.2 g/L",
        "48.05 96.1 144.2 g/L",
        "48.05 g/L 96.1,144.2g/L",
    };
    bf_error err = {0};
    bf_case c;
    for (size_t i = 0; i < COUNT(spellings); i++) {
        draft d = plain_draft();
        draft_set(&d, "regeneration.doses", spellings[i]);
        assert_ok(draft_read(&d, &c, NULL, &err));
        ck_assert_uint_eq(c.dose_count, 3);
        assert_near(c.dose_kg_per_m3[0], 48.05, EXACT);
        assert_near(c.dose_kg_per_m3[1], 96.1, EXACT);
        assert_near(c.dose_kg_per_m3[2], 144.2, EXACT);
    }
}
END_TEST

START_TEST(doses_in_a_text_share_a_unit)
{
    static const struct {
        const char *text;
        size_t count;
        double kg_per_m3[4];
    } lists[] = {
        {"7.25 lb/ft3", 1, {7.25 * LB / FT3}},
        {"  3,6 , 10\tlb/ft3 ", 3, {3 * LB / FT3, 6 * LB / FT3, 10 * LB / FT3}},
        {"3 6 lb/ft3, 170 g/L", 3, {3 * LB / FT3, 6 * LB / FT3, 170}},
        {"170 g/L 6lb/ft3", 2, {170, 6 * LB / FT3}},
        {"1.1e2 +93. g/L", 2, {110, 93}},
        {"10 5 5 10 lb/ft3", 4, {10 * LB / FT3, 5 * LB / FT3, 5 * LB / FT3, 10 * LB / FT3}},
        {"1 1000 g/L", 2, {1, 1000}},
    };
    bf_error err = {0};
    bf_case c = {0};
    for (size_t i = 0; i < COUNT(lists); i++) {
        assert_ok(bf_case_set_doses(&c, lists[i].text, &err));
        ck_assert_uint_eq(c.dose_count, lists[i].count);
        for (size_t d = 0; d < c.dose_count; d++) {
            assert_near(c.dose_kg_per_m3[d], lists[i].kg_per_m3[d], EXACT);
        }
    }
}
END_TEST

START_TEST(wrong_texts_of_doses_leave_the_doses_alone)
{
    static const struct {
        const char *text, *part;
    } wrong[] = {
        {"", "holds no dose"},
        {" , ,", "holds no dose"},
        {"5", "has no unit; add lb/ft3 or g/L"},
        {"5 lb/ft3, 7", "has no unit"},
        {"lb/ft3", "\"lb/ft3\" in \"lb/ft3\" is not a dose"},
        {"5 lb/ft3 as NaCl", "\"as\" in"},
        {"five lb/ft3", "\"five\" in"},
        {"5 ft", "dose \"5 ft\": "},
        {"5 lb/ft", "dose \"5 lb/ft\": "},
        {"5 lbz/ft3", "dose \"5 lbz/ft3\": "},
        {"5 % ", "dose \"5 %\": "},
        {"1.2.3 g/L", "dose \"1.2.3 g/L\": "},
        {"-5 lb/ft3", "is out of range; accepted are 1 to 1000 g/L"},
        {"0 g/L", "is out of range"},
        {"0.999 g/L", "is out of range"},
        {"6, 1000.1 g/L", "dose \"1000.1 g/L\" is out of range"},
        {"1e400 g/L", "dose \"1e400 g/L\": "},
        {"5 nan", "dose \"5 nan\": "},
        {"11111111112222222222333333333344 g/L", "too long a number"},
    };
    bf_error err = {0};
    bf_case c = {.dose_kg_per_m3 = {123.4}, .dose_count = 1};
    for (size_t i = 0; i < COUNT(wrong); i++) {
        ck_assert_msg(bf_case_set_doses(&c, wrong[i].text, &err) == BF_E_INPUT &&
                          strstr(err.message, wrong[i].part) != NULL,
                      "\"%s\": %s", wrong[i].text, err.message);
        ck_assert_int_eq(bf_case_set_doses(&c, wrong[i].text, NULL), BF_E_INPUT);
        ck_assert_uint_eq(c.dose_count, 1);
        ck_assert_double_eq(c.dose_kg_per_m3[0], 123.4);
    }
}
END_TEST

START_TEST(so_many_doses_and_no_more)
{
    char text[1000] = "";
    char list[2000] = "[";
    for (int i = 0; i < BF_CASE_DOSES; i++) {
        (void)snprintf(text + strlen(text), sizeof text - strlen(text), "%d ", 10 + i);
        (void)snprintf(list + strlen(list), sizeof list - strlen(list), "%d g/L, ", 10 + i);
    }
    char one_more[1100];
    char file[2100];
    bf_error err = {0};
    bf_case c = {0};
    (void)snprintf(one_more, sizeof one_more, "%s g/L", text);
    assert_ok(bf_case_set_doses(&c, one_more, &err));
    ck_assert_uint_eq(c.dose_count, BF_CASE_DOSES);
    ck_assert_double_eq(c.dose_kg_per_m3[BF_CASE_DOSES - 1], 10.0 + BF_CASE_DOSES - 1);
    (void)snprintf(one_more, sizeof one_more, "%s 99 g/L", text);
    assert_fails(bf_case_set_doses(&c, one_more, &err), BF_E_INPUT, "more than 64 doses");

    draft d = plain_draft();
    (void)snprintf(file, sizeof file, "%s]", list);
    draft_set(&d, "regeneration.doses", file);
    assert_ok(draft_read(&d, &c, NULL, &err));
    ck_assert_uint_eq(c.dose_count, BF_CASE_DOSES);
    (void)snprintf(file, sizeof file, "%s99 g/L]", list);
    draft_set(&d, "regeneration.doses", file);
    assert_fails(draft_read(&d, &c, NULL, &err), BF_E_INPUT, "more than 64 doses");
}
END_TEST

/* ---- noise ----------------------------------------------------------------------------------- */

/* Whatever the file: either nothing is found wrong, and then a rating can start from it, or
 * something is, and then the case is refused. */
START_TEST(a_case_without_findings_can_be_rated)
{
    static const char alphabet[] = "0123456789.-e%/ \n:[]{},LmhgBVlbft";
    unsigned long long seed = 31337;
    size_t good = 0;
    for (int round = 0; round < 1000; round++) {
        char text[1200];
        size_t length = strlen(us_case);
        ck_assert_uint_lt(length, sizeof text);
        memcpy(text, us_case, length);
        int changes = 1 + (int)(2.0 * support_uniform(&seed));
        for (int i = 0; i < changes; i++) {
            size_t at = (size_t)(support_uniform(&seed) * (double)length);
            text[at] = alphabet[(size_t)(support_uniform(&seed) * (sizeof alphabet - 1))];
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
    const TTest *const tests[] = {every_key_reaches_its_field,
                                  no_key_is_left_out,
                                  counts_and_words_reach_their_fields,
                                  steps_of_no_length_are_left_out,
                                  a_flow_may_be_stated_in_every_form,
                                  a_volume_of_water_may_be_stated_in_every_form,
                                  salometer_degrees_count_to_saturation_at_the_temperature,
                                  salt_may_be_stated_in_all_or_by_the_brine,
                                  an_injector_keeps_the_mass_of_salt_and_water,
                                  sea_water_is_a_brine_without_refill,
                                  blocking_flow_goes_with_what_flows_up,
                                  steps_are_taken_in_their_order,
                                  an_item_changes_its_own_step,
                                  brines_share_the_dose,
                                  both_unit_systems_make_one_case,
                                  hardness_and_resin_volume_are_enough,
                                  two_of_diameter_depth_and_volume_make_the_third,
                                  a_default_is_noted_and_a_statement_is_not,
                                  a_title_is_one_line_of_whole_characters,
                                  every_finding_has_its_place,
                                  nobody_has_to_take_notes_or_the_error,
                                  a_file_is_read_or_named,
                                  doses_are_a_list_in_any_spelling,
                                  doses_in_a_text_share_a_unit,
                                  wrong_texts_of_doses_leave_the_doses_alone,
                                  so_many_doses_and_no_more,
                                  a_case_without_findings_can_be_rated};
    return support_run("case.case", tests, COUNT(tests), 60);
}
