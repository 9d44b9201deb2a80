/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Completing an analysis: each rule, each note, each refusal, and electroneutrality whatever is
 * stated. */
#include "brinefront/convert.h"
#include "brinefront/water.h"
#include "support.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static double sum_of(const bf_water *water, int sign)
{
    double sum = 0.0;
    for (bf_ion i = 0; i < BF_ION_COUNT; i++) {
        sum += bf_ion_get(i)->charge * sign > 0 ? water->ion_eq_per_m3[i] : 0.0;
    }
    return sum;
}

/* What must hold of every complete water; rounding only. */
static void assert_complete(const bf_water *water)
{
    for (bf_ion i = 0; i < BF_ION_COUNT; i++) {
        ck_assert(water->ion_eq_per_m3[i] >= 0.0 && isfinite(water->ion_eq_per_m3[i]));
    }
    assert_near(sum_of(water, +1), sum_of(water, -1), 1e-14);
    assert_near(water->normality_eq_per_m3, sum_of(water, +1), 1e-14);
    assert_near(water->hardness_eq_per_m3,
                water->ion_eq_per_m3[BF_ION_CA] + water->ion_eq_per_m3[BF_ION_MG] +
                    water->ion_eq_per_m3[BF_ION_SR] + water->ion_eq_per_m3[BF_ION_BA],
                1e-14);
    ck_assert(water->hardness_eq_per_m3 > 0.0);
    ck_assert(water->ion_eq_per_m3[BF_ION_H] == 0.0);
}

static bf_water complete(const bf_water_analysis *analysis, bf_notes *notes)
{
    bf_error err = {0};
    bf_water water = {0};
    assert_ok(bf_water_complete(analysis, &water, notes, &err));
    assert_complete(&water);
    return water;
}

static bf_notes *new_notes(void)
{
    bf_error err = {0};
    bf_notes *notes = NULL;
    assert_ok(bf_notes_create(&notes, &err));
    return notes;
}

/* How many notes of a kind about a key contain a text. */
static int count_notes(const bf_notes *notes, bf_note_kind kind, const char *where,
                       const char *part)
{
    int count = 0;
    for (size_t i = 0; i < bf_notes_count(notes); i++) {
        bf_note note = bf_notes_get(notes, i);
        count +=
            note.kind == kind && strcmp(note.where, where) == 0 && strstr(note.text, part) != NULL;
    }
    return count;
}

static bf_water_analysis with_hardness(double eq_per_m3)
{
    bf_water_analysis analysis = bf_water_analysis_default();
    analysis.hardness_eq_per_m3 = eq_per_m3;
    return analysis;
}

/* A laboratory sheet of a hard well water, mg/L, that balances by construction: Na is the rest. */
static bf_water_analysis full_sheet(void)
{
    bf_water_analysis a = bf_water_analysis_default();
    a.ion_eq_per_m3[BF_ION_CA] = 96.0 / 20.039;
    a.ion_eq_per_m3[BF_ION_MG] = 27.0 / 12.1525;
    a.ion_eq_per_m3[BF_ION_K] = 3.1 / 39.0983;
    a.ion_eq_per_m3[BF_ION_HCO3] = 317.0 / 61.016;
    a.ion_eq_per_m3[BF_ION_CL] = 71.0 / 35.45;
    a.ion_eq_per_m3[BF_ION_SO4] = 88.0 / 48.028;
    a.ion_eq_per_m3[BF_ION_NO3] = 11.0 / 62.004;
    a.ion_eq_per_m3[BF_ION_NA] = 317.0 / 61.016 + 71.0 / 35.45 + 88.0 / 48.028 + 11.0 / 62.004 -
                                 96.0 / 20.039 - 27.0 / 12.1525 - 3.1 / 39.0983;
    a.temperature_K = 285.4;
    a.pH = 7.31;
    return a;
}

START_TEST(the_default_states_nothing)
{
    bf_water_analysis a = bf_water_analysis_default();
    ck_assert(isnan(a.hardness_eq_per_m3) && isnan(a.calcium_to_magnesium));
    ck_assert(isnan(a.dissolved_solids_kg_per_m3) && isnan(a.conductivity_S_per_m));
    ck_assert(isnan(a.temperature_K) && isnan(a.pH));
    for (bf_ion i = 0; i < BF_ION_COUNT; i++) {
        ck_assert(isnan(a.ion_eq_per_m3[i]));
    }
}
END_TEST

START_TEST(hardness_alone_is_enough)
{
    bf_notes *notes = new_notes();
    bf_water_analysis a = with_hardness(8.31);
    bf_water w = complete(&a, notes);
    assert_near(w.ion_eq_per_m3[BF_ION_CA], 5.54, 1e-13);
    assert_near(w.ion_eq_per_m3[BF_ION_MG], 2.77, 1e-13);
    assert_near(w.ion_eq_per_m3[BF_ION_NA], 2.0, 1e-15);
    assert_near(w.ion_eq_per_m3[BF_ION_CL], 10.31, 1e-13);
    assert_near(w.hardness_eq_per_m3, 8.31, 1e-14);
    assert_near(w.temperature_K, 293.15, 1e-15);
    assert_near(w.pH, 7.5, 1e-15);
    ck_assert(isnan(w.imbalance));
    ck_assert_int_eq(count_notes(notes, BF_NOTE_ASSUMED, "water.temperature", "20 C (68 F)"), 1);
    ck_assert_int_eq(count_notes(notes, BF_NOTE_ASSUMED, "water.pH", "7.5"), 1);
    ck_assert_int_eq(
        count_notes(notes, BF_NOTE_ASSUMED, "water.calcium_to_magnesium", "2 times magnesium"), 1);
    ck_assert_int_eq(
        count_notes(notes, BF_NOTE_ASSUMED, "water.sodium", "taken as 2 meq/L (46 mg/L)"), 1);
    ck_assert_int_eq(count_notes(notes, BF_NOTE_DEDUCED, "water.calcium", "5.54 meq/L (111 mg/L)"),
                     1);
    ck_assert_int_eq(
        count_notes(notes, BF_NOTE_DEDUCED, "water.magnesium", "2.77 meq/L (33.7 mg/L)"), 1);
    ck_assert_int_eq(count_notes(notes, BF_NOTE_DEDUCED, "water.chloride", "10.3 meq/L"), 1);
    ck_assert_int_eq(
        count_notes(notes, BF_NOTE_ASSUMED, "water",
                    "potassium, iron, manganese, strontium, barium, ammonium, nitrate"),
        1);
    ck_assert_uint_eq(bf_notes_count(notes), 8);
    bf_notes_free(notes);
    /* Nobody has to want the notes. */
    bf_water again = complete(&a, NULL);
    ck_assert(again.normality_eq_per_m3 == w.normality_eq_per_m3);
}
END_TEST

START_TEST(calcium_and_magnesium_follow_from_any_two_statements)
{
    const double nan_ = (double)NAN;
    /* hardness, ratio, Ca, Mg -> Ca, Mg. Each row by hand. */
    const double rows[][6] = {
        {6.0, 3.0, nan_, nan_, 4.5, 1.5},   {6.0, nan_, 4.1, nan_, 4.1, 1.9},
        {6.0, nan_, nan_, 1.3, 4.7, 1.3},   {nan_, 4.0, 3.6, nan_, 3.6, 0.9},
        {nan_, 4.0, nan_, 0.8, 3.2, 0.8},   {nan_, nan_, 3.6, nan_, 3.6, 1.8},
        {nan_, nan_, nan_, 1.1, 2.2, 1.1},  {nan_, nan_, 2.5, 0.7, 2.5, 0.7},
        {3.25, 3.5, 2.5, 0.7, 2.5, 0.7},    {4.0, nan_, 4.0, nan_, 4.0, 0.0},
        {4.0, nan_, nan_, 4.05, 0.0, 4.05},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        bf_water_analysis a = with_hardness(rows[i][0]);
        a.calcium_to_magnesium = rows[i][1];
        a.ion_eq_per_m3[BF_ION_CA] = rows[i][2];
        a.ion_eq_per_m3[BF_ION_MG] = rows[i][3];
        bf_water w = complete(&a, NULL);
        assert_near_abs(w.ion_eq_per_m3[BF_ION_CA], rows[i][4], 1e-13);
        assert_near_abs(w.ion_eq_per_m3[BF_ION_MG], rows[i][5], 1e-13);
    }
}
END_TEST

START_TEST(strontium_and_barium_count_as_hardness)
{
    bf_water_analysis a = with_hardness(5.0);
    a.ion_eq_per_m3[BF_ION_CA] = 3.0;
    a.ion_eq_per_m3[BF_ION_MG] = 1.7;
    a.ion_eq_per_m3[BF_ION_SR] = 0.27;
    a.ion_eq_per_m3[BF_ION_BA] = 0.03;
    /* Titrated: Ca + Mg alone are 6 % short of 5.0, with Sr and Ba they match. */
    bf_water w = complete(&a, NULL);
    assert_near(w.hardness_eq_per_m3, 5.0, 1e-14);
    /* Not titrated: Ca + Mg match, the hardness of the water is more. */
    a.hardness_eq_per_m3 = 4.7;
    w = complete(&a, NULL);
    assert_near(w.hardness_eq_per_m3, 5.0, 1e-14);
}
END_TEST

START_TEST(contradictions_about_hardness_are_refused)
{
    bf_error err = {0};
    bf_water w = {.pH = 99.0};
    bf_water_analysis a = bf_water_analysis_default();
    assert_fails(bf_water_complete(&a, &w, NULL, &err), BF_E_RANGE,
                 "no hardness is stated; state the hardness, or calcium and magnesium");
    a = with_hardness(0.0);
    assert_fails(bf_water_complete(&a, &w, NULL, &err), BF_E_RANGE, "hardness is 0");
    a = bf_water_analysis_default();
    a.ion_eq_per_m3[BF_ION_CA] = 0.0;
    a.ion_eq_per_m3[BF_ION_MG] = 0.0;
    assert_fails(bf_water_complete(&a, &w, NULL, &err), BF_E_RANGE, "hardness is 0");
    a = with_hardness(3.0);
    a.ion_eq_per_m3[BF_ION_CA] = 3.3;
    assert_fails(bf_water_complete(&a, &w, NULL, &err), BF_E_RANGE,
                 "calcium of 3.3 meq/L is more than the hardness, 3 meq/L (150.1 mg/L as CaCO3)");
    a = with_hardness(3.0);
    a.ion_eq_per_m3[BF_ION_MG] = 3.07;
    assert_fails(bf_water_complete(&a, &w, NULL, &err), BF_E_RANGE, "magnesium of 3.07 meq/L");
    a = with_hardness(4.0);
    a.ion_eq_per_m3[BF_ION_CA] = 3.0;
    a.ion_eq_per_m3[BF_ION_MG] = 1.1;
    assert_fails(
        bf_water_complete(&a, &w, NULL, &err), BF_E_RANGE,
        "hardness of 200.2 mg/L as CaCO3 is stated, but calcium and magnesium sum to 205.2 "
        "mg/L as CaCO3");
    a.hardness_eq_per_m3 = 4.1;
    a.calcium_to_magnesium = 2.0;
    assert_fails(bf_water_complete(&a, &w, NULL, &err), BF_E_RANGE,
                 "calcium to magnesium is stated as 2, but their amounts are 3 and 1.1 meq/L");
    ck_assert(w.pH == 99.0);
}
END_TEST

START_TEST(a_balanced_sheet_is_kept_as_it_is)
{
    bf_notes *notes = new_notes();
    bf_water_analysis a = full_sheet();
    bf_water w = complete(&a, notes);
    for (bf_ion i = 0; i < BF_ION_COUNT; i++) {
        double stated = isnan(a.ion_eq_per_m3[i]) ? 0.0 : a.ion_eq_per_m3[i];
        assert_near_abs(w.ion_eq_per_m3[i], stated, 1e-14);
    }
    assert_near_abs(w.imbalance, 0.0, 1e-9);
    assert_near(w.temperature_K, 285.4, 1e-15);
    assert_near(w.pH, 7.31, 1e-15);
    /* Only the ions nobody analysed are worth a note. */
    ck_assert_uint_eq(bf_notes_count(notes), 1);
    ck_assert_int_eq(count_notes(notes, BF_NOTE_ASSUMED, "water",
                                 "iron, manganese, strontium, barium, ammonium"),
                     1);
    bf_notes_free(notes);
}
END_TEST

START_TEST(sodium_follows_from_the_anions)
{
    bf_notes *notes = new_notes();
    bf_water_analysis a = full_sheet();
    double sodium = a.ion_eq_per_m3[BF_ION_NA];
    a.ion_eq_per_m3[BF_ION_NA] = (double)NAN;
    /* Dissolved solids do not matter then. */
    a.dissolved_solids_kg_per_m3 = 5.0;
    bf_water w = complete(&a, notes);
    assert_near(w.ion_eq_per_m3[BF_ION_NA], sodium, 1e-13);
    ck_assert(isnan(w.imbalance));
    ck_assert_int_eq(count_notes(notes, BF_NOTE_DEDUCED, "water.sodium", "what the anions leave"),
                     1);
    bf_notes_free(notes);
}
END_TEST

START_TEST(sodium_follows_from_dissolved_solids)
{
    /* A NaCl, CaCl2 and MgCl2 water: its residue is the mass of its ions. */
    bf_water_analysis a = with_hardness(5.0);
    a.calcium_to_magnesium = 1.5;
    double sodium = 3.37;
    double grams = 3.0 * 20.039 + 2.0 * 12.1525 + sodium * 22.98977 + (5.0 + sodium) * 35.45;
    a.dissolved_solids_kg_per_m3 = 1e-3 * grams;
    bf_notes *notes = new_notes();
    bf_water w = complete(&a, notes);
    assert_near(w.ion_eq_per_m3[BF_ION_NA], sodium, 1e-12);
    ck_assert(isnan(w.imbalance));
    ck_assert_int_eq(
        count_notes(notes, BF_NOTE_DEDUCED, "water.sodium", "makes up the dissolved solids"), 1);

    /* Conductivity stands for 0.65 mg/L per uS/cm; solids, where stated, come first. */
    a.dissolved_solids_kg_per_m3 = (double)NAN;
    a.conductivity_S_per_m = 1e-4 * grams / 0.65;
    w = complete(&a, notes);
    assert_near(w.ion_eq_per_m3[BF_ION_NA], sodium, 1e-12);
    ck_assert_int_eq(
        count_notes(notes, BF_NOTE_ASSUMED, "water.conductivity", "0.65 mg/L for each uS/cm"), 1);
    a.dissolved_solids_kg_per_m3 = 1e-3 * (grams + 22.98977 + 35.45);
    w = complete(&a, NULL);
    assert_near(w.ion_eq_per_m3[BF_ION_NA], sodium + 1.0, 1e-12);

    /* Bicarbonate leaves half of itself on drying: 168.014 g NaHCO3 give 105.988 g Na2CO3. */
    a = with_hardness(1.0);
    a.ion_eq_per_m3[BF_ION_CA] = 1.0;
    a.ion_eq_per_m3[BF_ION_CL] = 1.0;
    a.dissolved_solids_kg_per_m3 = 1e-3 * (20.039 + 35.45 + 2.0 * 105.988);
    w = complete(&a, NULL);
    assert_near(w.ion_eq_per_m3[BF_ION_NA], 4.0, 2e-5);
    assert_near(w.ion_eq_per_m3[BF_ION_HCO3], 4.0, 2e-5);

    /* Solids that cannot hold the hardness. */
    a = with_hardness(8.0);
    a.dissolved_solids_kg_per_m3 = 0.2;
    w = complete(&a, notes);
    ck_assert(w.ion_eq_per_m3[BF_ION_NA] == 0.0);
    ck_assert_int_eq(count_notes(notes, BF_NOTE_CAUTION, "water.dissolved_solids",
                                 "dissolved solids of 200 mg/L are less than the other ions weigh"),
                     1);
    bf_notes_free(notes);
}
END_TEST

START_TEST(the_first_anion_nobody_stated_fills_the_gap)
{
    const bf_ion anions[] = {BF_ION_CL, BF_ION_HCO3, BF_ION_SO4};
    for (size_t i = 0; i < 3; i++) {
        bf_notes *notes = new_notes();
        bf_water_analysis a = full_sheet();
        double missing = a.ion_eq_per_m3[anions[i]];
        a.ion_eq_per_m3[anions[i]] = (double)NAN;
        bf_water w = complete(&a, notes);
        assert_near(w.ion_eq_per_m3[anions[i]], missing, 1e-12);
        ck_assert(isnan(w.imbalance));
        char key[40];
        (void)snprintf(key, sizeof key, "water.%s", bf_ion_get(anions[i])->name);
        ck_assert_int_eq(count_notes(notes, BF_NOTE_DEDUCED, key, "equal the cations"), 1);
        bf_notes_free(notes);
    }
}
END_TEST

START_TEST(an_imbalance_is_filled_kept_and_noted)
{
    bf_water_analysis a = full_sheet();
    double total = 2.0 * (317.0 / 61.016 + 71.0 / 35.45 + 88.0 / 48.028 + 11.0 / 62.004);
    double sodium = a.ion_eq_per_m3[BF_ION_NA];
    double chloride = a.ion_eq_per_m3[BF_ION_CL];

    /* Cations short by 0.5 eq/m3: sodium fills. */
    bf_notes *notes = new_notes();
    a.ion_eq_per_m3[BF_ION_NA] = sodium - 0.5;
    bf_water w = complete(&a, notes);
    assert_near(w.imbalance, -0.5 / (total - 0.5), 1e-12);
    assert_near(w.ion_eq_per_m3[BF_ION_NA], sodium, 1e-12);
    assert_near(w.ion_eq_per_m3[BF_ION_CL], chloride, 1e-14);
    ck_assert_int_eq(
        count_notes(notes, BF_NOTE_DEDUCED, "water", "out of balance by 2.8 % (anions in excess)"),
        1);

    /* Anions short by 1.2: chloride fills, and past 5 % the note is a caution. */
    a = full_sheet();
    a.ion_eq_per_m3[BF_ION_CL] = chloride - 1.2;
    w = complete(&a, notes);
    assert_near(w.imbalance, 1.2 / (total - 1.2), 1e-12);
    assert_near(w.ion_eq_per_m3[BF_ION_CL], chloride, 1e-12);
    assert_near(w.ion_eq_per_m3[BF_ION_NA], sodium, 1e-14);
    ck_assert_int_eq(
        count_notes(notes, BF_NOTE_CAUTION, "water", "out of balance by 7 % (cations in excess)"),
        1);

    /* Without sodium stated, all anions stated and too small for the other cations. */
    a = full_sheet();
    a.ion_eq_per_m3[BF_ION_NA] = (double)NAN;
    a.ion_eq_per_m3[BF_ION_HCO3] = 2.9;
    w = complete(&a, notes);
    ck_assert(w.ion_eq_per_m3[BF_ION_NA] == 0.0);
    ck_assert(w.imbalance > 0.0 && w.imbalance < 0.10);

    /* With sodium stated, one anion missing and the rest already too large. */
    a = full_sheet();
    a.ion_eq_per_m3[BF_ION_SO4] = (double)NAN;
    a.ion_eq_per_m3[BF_ION_CL] = chloride + 88.0 / 48.028 + 0.4;
    w = complete(&a, notes);
    assert_near(w.imbalance, -0.4 / (total + 0.4), 1e-12);
    assert_near(w.ion_eq_per_m3[BF_ION_NA], sodium + 0.4, 1e-12);

    /* Neither sodium nor sulfate stated: sodium simply rises to what the anions ask for. */
    a = with_hardness(4.0);
    a.ion_eq_per_m3[BF_ION_HCO3] = 4.4;
    a.ion_eq_per_m3[BF_ION_CL] = 5.3;
    w = complete(&a, notes);
    assert_near(w.ion_eq_per_m3[BF_ION_NA], 5.7, 1e-13);
    ck_assert(isnan(w.imbalance));
    bf_notes_free(notes);
}
END_TEST

START_TEST(a_large_imbalance_is_refused)
{
    bf_error err = {0};
    bf_water w = {.pH = 99.0};
    bf_water_analysis a = full_sheet();
    a.ion_eq_per_m3[BF_ION_CL] += 2.5;
    assert_fails(
        bf_water_complete(&a, &w, NULL, &err), BF_E_RANGE,
        "anions are in excess by 12.0 % of all ions; correct the analysis to within 10 %, or "
        "leave sodium out");
    a = full_sheet();
    a.ion_eq_per_m3[BF_ION_NA] += 2.5;
    assert_fails(
        bf_water_complete(&a, &w, NULL, &err), BF_E_RANGE,
        "cations are in excess by 12.0 % of all ions; correct the analysis to within 10 %, "
        "or leave chloride out");
    ck_assert(w.pH == 99.0);
    /* What the message says to do works. */
    a.ion_eq_per_m3[BF_ION_CL] = (double)NAN;
    (void)complete(&a, NULL);
}
END_TEST

START_TEST(metals_and_acid_come_with_a_caution)
{
    bf_notes *notes = new_notes();
    bf_water_analysis a = with_hardness(4.0);
    a.ion_eq_per_m3[BF_ION_FE] = 3.0 / 27.9225;
    a.ion_eq_per_m3[BF_ION_MN] = 0.0;
    a.ion_eq_per_m3[BF_ION_H] = 0.05;
    a.pH = 4.3;
    bf_water w = complete(&a, notes);
    assert_near(w.ion_eq_per_m3[BF_ION_FE], 3.0 / 27.9225, 1e-15);
    assert_near(w.hardness_eq_per_m3, 4.0, 1e-14);
    assert_near(w.normality_eq_per_m3, 6.0 + 3.0 / 27.9225, 1e-13);
    ck_assert_int_eq(
        count_notes(notes, BF_NOTE_CAUTION, "water.iron", "iron of 3 mg/L counts as a dissolved"),
        1);
    ck_assert_int_eq(count_notes(notes, BF_NOTE_CAUTION, "water.manganese", ""), 0);
    ck_assert_int_eq(
        count_notes(notes, BF_NOTE_CAUTION, "water.pH", "0.05 meq/L at pH 4.3) is left out"), 1);
    ck_assert_int_eq(count_notes(notes, BF_NOTE_ASSUMED, "water", "iron"), 0);
    bf_notes_free(notes);
}
END_TEST

START_TEST(impossible_values_are_refused)
{
    bf_error err = {0};
    bf_water w = {.pH = 99.0};
    const struct {
        double hardness, ratio, solids, conductivity, temperature_K, pH, sodium;
        const char *part;
    } rows[] = {
        {-1.0, 2, .5, .05, 290, 7, 1, "hardness is -1 meq/L; state 0 to 2000 meq/L"},
        {(double)INFINITY, 2, .5, .05, 290, 7, 1, "hardness is inf meq/L"},
        {4, 0.0, .5, .05, 290, 7, 1,
         "calcium to magnesium is 0 by equivalents; state 0.001 to 1000"},
        {4, (double)INFINITY, .5, .05, 290, 7, 1, "calcium to magnesium is inf"},
        {4, 2, -.5, .05, 290, 7, 1, "dissolved solids is -500 mg/L; state 1 to 100000 mg/L"},
        {4, 2, .5, 0.0, 290, 7, 1, "conductivity is 0 uS/cm; state 1 to 150000 uS/cm"},
        {4, 2, .5, .05, 273.0, 7, 1, "water temperature is -0.1 C (32 F); state 0 to 50 C"},
        {4, 2, .5, .05, 323.2, 7, 1, "state 0 to 50 C (32 to 122 F)"},
        {4, 2, .5, .05, 290, 3.9, 1, "pH is 3.9; state 4 to 11"},
        {4, 2, .5, .05, 290, 11.1, 1, "pH is 11.1; state 4 to 11"},
        {4, 2, .5, .05, 290, 7, -0.1, "sodium is -0.1 meq/L; state 0 to 2000 meq/L"},
        {4, 2, .5, .05, 290, 7, (double)INFINITY, "sodium is inf meq/L"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        bf_water_analysis a = with_hardness(rows[i].hardness);
        a.calcium_to_magnesium = rows[i].ratio;
        a.dissolved_solids_kg_per_m3 = rows[i].solids;
        a.conductivity_S_per_m = rows[i].conductivity;
        a.temperature_K = rows[i].temperature_K;
        a.pH = rows[i].pH;
        a.ion_eq_per_m3[BF_ION_NA] = rows[i].sodium;
        assert_fails(bf_water_complete(&a, &w, NULL, &err), BF_E_RANGE, rows[i].part);
    }
    ck_assert(w.pH == 99.0);
}
END_TEST

START_TEST(whatever_is_stated_the_water_is_complete_or_refused)
{
    unsigned long long seed = 42;
    int accepted = 0;
    for (int k = 0; k < 20000; k++) {
        bf_error err = {0};
        bf_water w = {0};
        bf_water_analysis a = bf_water_analysis_default();
        for (bf_ion i = 0; i < BF_ION_COUNT; i++) {
            if (support_uniform(&seed) < 0.4) {
                a.ion_eq_per_m3[i] = 6.0 * support_uniform(&seed);
            }
        }
        if (support_uniform(&seed) < 0.5) {
            a.hardness_eq_per_m3 = 10.0 * support_uniform(&seed);
        }
        if (support_uniform(&seed) < 0.2) {
            a.calcium_to_magnesium = 4.0 * support_uniform(&seed);
        }
        if (support_uniform(&seed) < 0.3) {
            a.dissolved_solids_kg_per_m3 = 2.0 * support_uniform(&seed);
        }
        if (support_uniform(&seed) < 0.3) {
            a.conductivity_S_per_m = 0.4 * support_uniform(&seed);
        }
        if (bf_water_complete(&a, &w, NULL, &err) == BF_OK) {
            assert_complete(&w);
            /* A stated ion may only rise, and only sodium and chloride do. */
            for (bf_ion i = 0; i < BF_ION_COUNT; i++) {
                if (!isnan(a.ion_eq_per_m3[i]) && i != BF_ION_H && i != BF_ION_NA &&
                    i != BF_ION_CL) {
                    ck_assert(w.ion_eq_per_m3[i] == a.ion_eq_per_m3[i]);
                }
            }
            ck_assert(isnan(w.imbalance) || fabs(w.imbalance) <= 0.10);
            accepted++;
        } else {
            ck_assert_int_eq(err.code, BF_E_RANGE);
            ck_assert(err.message[0] != '\0');
        }
    }
    /* Both outcomes were met. */
    ck_assert_msg(accepted > 4000 && accepted < 19000, "%d of 20000 accepted", accepted);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {the_default_states_nothing,
                                  hardness_alone_is_enough,
                                  calcium_and_magnesium_follow_from_any_two_statements,
                                  strontium_and_barium_count_as_hardness,
                                  contradictions_about_hardness_are_refused,
                                  a_balanced_sheet_is_kept_as_it_is,
                                  sodium_follows_from_the_anions,
                                  sodium_follows_from_dissolved_solids,
                                  the_first_anion_nobody_stated_fills_the_gap,
                                  an_imbalance_is_filled_kept_and_noted,
                                  a_large_imbalance_is_refused,
                                  metals_and_acid_come_with_a_caution,
                                  impossible_values_are_refused,
                                  whatever_is_stated_the_water_is_complete_or_refused};
    return support_run("water.water", tests, sizeof tests / sizeof *tests, 30);
}
