/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Values of a case file: every key into its field with its value in SI, both unit systems alike. */
#include "plain.h"

#include "case/keys.h"

#include <math.h>
#include <stddef.h>
#include <stdlib.h>

typedef struct reading {
    const char *path;
    const char *text;
    size_t offset; /* of a double in bf_case */
    double value;
} reading;

#define WATER(field) offsetof(bf_case, rating.water.field)
#define ION(id) offsetof(bf_case, rating.water.ion_eq_per_m3[BF_ION_##id])
#define BED(field) offsetof(bf_case, rating.bed.field)
#define RESIN(field) offsetof(bf_case, rating.bed.resin.field)
#define STEP(index, field) offsetof(bf_case, rating.recipe.step[index].field)
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

    {"resin.capacity", "43.7 kgr/ft3", RESIN(total_capacity_eq_per_m3), 43.7 * KGR_PER_FT3},
    {"resin.capacity", "1.93 eq/L", RESIN(total_capacity_eq_per_m3), 1930.0},
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
    "numerics.freeboard_law",
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
    draft_set(&d, "numerics.freeboard_law", "stirred");
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
    ck_assert_int_eq(c.rating.bed.freeboard_law, BF_FREEBOARD_STIRRED);
    ck_assert_uint_eq(c.rating.steady.most_cycles, 57);
    ck_assert_str_eq(c.rating.bed.resin.name, "gel_10");
    ck_assert_double_eq(c.rating.bed.resin.total_capacity_eq_per_m3, 2200.0);
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
    assert_ok(read_text(US_CASE, &us, NULL, &err));
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
    ck_assert(alike(a->resin.total_capacity_eq_per_m3, b->resin.total_capacity_eq_per_m3));
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

int main(void)
{
    const TTest *const tests[] = {every_key_reaches_its_field,
                                  no_key_is_left_out,
                                  counts_and_words_reach_their_fields,
                                  a_flow_may_be_stated_in_every_form,
                                  a_volume_of_water_may_be_stated_in_every_form,
                                  both_unit_systems_make_one_case,
                                  a_title_is_one_line_of_whole_characters};
    return support_run("case.values", tests, COUNT(tests), 60);
}
