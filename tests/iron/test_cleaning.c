/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Cleaning: stoichiometry worked by hand, closed solutions of the shrinking particle, the window of
 * pH that was reported, and words that must not get lost. */
#include "brinefront/cleaning.h"
#include "brinefront/convert.h"
#include "support.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof *(array))

/* Worked by hand from molar masses, two or three digits; half a unit in the last. */
START_TEST(reagents_are_counted)
{
    const struct {
        bf_cleaner cleaner;
        const char *name;
        double kg_per_kg, half_digit;
    } rows[] = {{BF_CLEANER_DITHIONITE, "sodium dithionite", 1.56, 5e-3},
                {BF_CLEANER_BISULFITE, "sodium bisulfite", 0.93, 5e-3},
                {BF_CLEANER_CITRIC, "citric acid", 3.4, 0.05},
                {BF_CLEANER_PHOSPHORIC, "phosphoric acid", 5.3, 0.05},
                {BF_CLEANER_HYDROCHLORIC, "hydrochloric acid", 1.96, 5e-3}};
    for (size_t i = 0; i < COUNT(rows); i++) {
        ck_assert_str_eq(bf_cleaner_name(rows[i].cleaner), rows[i].name);
        assert_near_abs(bf_cleaner_kg_per_kg_iron(rows[i].cleaner), rows[i].kg_per_kg,
                        rows[i].half_digit);
    }
    /* 4 oz/ft3 of dithionite reduces 72.7 g of Fe a cubic foot, 2.57 g/L. */
    double dose = 0.25 * BF_KG_PER_LB / BF_M3_PER_FT3;
    double limit = bf_cleaning_limit_kg_per_m3(BF_CLEANER_DITHIONITE, dose);
    assert_near_abs(limit, 2.57, 5e-3);
    assert_near_abs(1e3 * limit * BF_M3_PER_FT3, 72.7, 0.1); /* 113 g, not 113.4 */
    /* HCl turns 2 eq/L to the H form with 73 g/L, 4.55 lb/ft3; iron comes on top. Weak acids do
     * not. */
    double sites = bf_cleaning_acid_kg_per_m3(BF_CLEANER_HYDROCHLORIC, 2000.0, 0.0);
    assert_near_abs(sites, 73.0, 0.5);
    assert_near_abs(sites / BF_KG_PER_M3_PER_LB_PER_FT3, 4.55, 5e-3);
    assert_near_abs(bf_cleaning_acid_kg_per_m3(BF_CLEANER_HYDROCHLORIC, 2000.0, 10.0) - sites, 19.6,
                    0.05);
    assert_near(bf_cleaning_acid_kg_per_m3(BF_CLEANER_CITRIC, 2000.0, 2.0),
                2.0 * bf_cleaner_kg_per_kg_iron(BF_CLEANER_CITRIC), 1e-15);
}
END_TEST

static double removed(const bf_iron_spec *spec, bf_reductive_clean clean)
{
    bf_error err = {0};
    double kg = (double)NAN;
    assert_ok(bf_cleaning_reduce(spec, &clean, &kg, &err));
    return kg;
}

/* Closed solutions in s = k t/3. Plenty of reagent (b -> 0): y = 1 - s, so 90 % in 30 min; here b
 * is 1e-2 of S0 and bends y by less. Just enough (b = 1): dy/ds = -y^3, y = (1 + 2 s)^-1/2. Too
 * little (b = 2): it stops where the reagent does. The integration is fourth order with steps of a
 * twentieth of its fastest decay: 1e-6. */
START_TEST(a_cleaning_agrees_with_closed_solutions)
{
    bf_iron_spec spec = bf_iron_spec_default();
    const double per_kg = spec.dithionite_use / bf_cleaner_kg_per_kg_iron(BF_CLEANER_DITHIONITE);
    bf_reductive_clean clean = {
        .dose_kg_per_m3 = 40.0, .duration_s = 1800.0, .pH = 7.0, .bound_kg_per_m3 = 40.0 * per_kg};
    bf_reductive_clean plenty = clean;
    plenty.bound_kg_per_m3 *= 1e-2;
    assert_near(removed(&spec, plenty) / plenty.bound_kg_per_m3, 0.90, 5e-3);

    const double times[] = {60.0, 900.0, 7200.0, 86400.0};
    for (size_t i = 0; i < COUNT(times); i++) {
        clean.duration_s = times[i];
        double s = spec.reduction_per_s * times[i] / 3.0;
        double exact = clean.bound_kg_per_m3 * (1.0 - pow(1.0 + 2.0 * s, -1.5));
        assert_near(removed(&spec, clean), exact, 1e-6);
    }
    bf_reductive_clean little = clean;
    little.dose_kg_per_m3 = 20.0;
    assert_near(removed(&spec, little), 20.0 * per_kg, 1e-9);
    little.dose_kg_per_m3 = 1e-3; /* next to none: still no trouble */
    assert_near(removed(&spec, little), 1e-3 * per_kg, 1e-9);
    plenty.duration_s = 172800.0; /* all of it, no more */
    assert_near(removed(&spec, plenty), plenty.bound_kg_per_m3, 1e-12);
    /* Aged oxide takes 1/0.3 of the time. */
    bf_reductive_clean aged = clean;
    aged.aged = 1;
    aged.duration_s = 900.0 / 0.3;
    clean.duration_s = 900.0;
    assert_near(removed(&spec, aged), removed(&spec, clean), 1e-9);
}
END_TEST

/* Nothing to take, or nothing to take it with. */
START_TEST(nothing_comes_of_nothing)
{
    bf_iron_spec spec = bf_iron_spec_default();
    bf_reductive_clean clean = {
        .dose_kg_per_m3 = 4.0, .duration_s = 1800.0, .pH = 7.0, .bound_kg_per_m3 = 5.0};
    bf_reductive_clean other = clean;
    other.dose_kg_per_m3 = 0.0;
    ck_assert(removed(&spec, other) == 0.0);
    other = clean;
    other.bound_kg_per_m3 = 0.0;
    ck_assert(removed(&spec, other) == 0.0);
    other = clean;
    other.duration_s = 0.0;
    ck_assert(removed(&spec, other) == 0.0);
    other = clean;
    other.pH = 3.5;
    ck_assert(removed(&spec, other) == 0.0);
    /* Never more than stoichiometry, whatever the parameters say. */
    for (size_t p = 0; p < bf_iron_parameter_count(); p++) {
        bf_iron_spec high = spec;
        bf_iron_spec_set(&high, p, bf_iron_parameter_get(p).high);
        other = clean;
        other.duration_s = 86400.0;
        ck_assert_double_le(removed(&high, other),
                            bf_cleaning_limit_kg_per_m3(BF_CLEANER_DITHIONITE, 4.0));
    }
}
END_TEST

/* Mehra & Jackson 1960: best near pH 7.3; in 15 min all at pH 6 and less than 1 % at pH 12. Rueda
 * et al.: below pH 4 it decays first. Full from 6 to 8 is this library's reading. */
START_TEST(dithionite_works_near_neutral)
{
    bf_iron_spec spec = bf_iron_spec_default();
    bf_reductive_clean clean = {
        .dose_kg_per_m3 = 40.0, .duration_s = 900.0, .bound_kg_per_m3 = 0.5};
    const double pHs[] = {3.9, 5.0, 6.0, 7.3, 8.0, 10.0, 12.0};
    double share[COUNT(pHs)];
    for (size_t i = 0; i < COUNT(pHs); i++) {
        clean.pH = pHs[i];
        share[i] = removed(&spec, clean) / clean.bound_kg_per_m3;
        printf("pH %4.1f: window %.3g, %.2g %% in 15 min\n", pHs[i],
               bf_cleaning_reductant_window(pHs[i]), 100.0 * share[i]);
    }
    ck_assert(share[0] == 0.0);
    ck_assert_double_gt(share[2], 0.5);
    ck_assert(share[2] == share[3] && share[3] == share[4]);
    ck_assert(share[1] < share[2] && share[1] > 0.0);
    ck_assert(share[5] < 0.2 * share[4]);
    ck_assert_double_lt(share[6], 0.01);
    /* The window has no step but that at its lower foot, where it is zero. */
    for (double pH = 3.0; pH < 13.0; pH += 0.01) {
        double rise = bf_cleaning_reductant_window(pH + 0.01) - bf_cleaning_reductant_window(pH);
        ck_assert_double_lt(fabs(rise), 0.013);
    }
}
END_TEST

START_TEST(cleanings_that_cannot_be_are_refused)
{
    bf_error err = {0};
    bf_iron_spec spec = bf_iron_spec_default();
    double kg = 0.0;
    const bf_reductive_clean good = {
        .dose_kg_per_m3 = 4.0, .duration_s = 1800.0, .pH = 7.0, .bound_kg_per_m3 = 5.0};
    bf_reductive_clean bad = good;
    bad.dose_kg_per_m3 = 51.0;
    assert_fails(bf_cleaning_reduce(&spec, &bad, &kg, &err), BF_E_RANGE, "reductant");
    bad = good;
    bad.duration_s = -1.0;
    assert_fails(bf_cleaning_reduce(&spec, &bad, &kg, &err), BF_E_RANGE, "contact");
    bad = good;
    bad.pH = 13.5;
    assert_fails(bf_cleaning_reduce(&spec, &bad, &kg, &err), BF_E_RANGE, "pH");
    bad = good;
    bad.bound_kg_per_m3 = (double)NAN;
    assert_fails(bf_cleaning_reduce(&spec, &bad, &kg, &err), BF_E_RANGE, "bound iron");
}
END_TEST

/* Each danger has its words, and each word its source. */
START_TEST(safety_is_not_lost)
{
    const char *const phrase[] = {"sulfur dioxide", "100 ppm",       "hypochlorite", "chlorine gas",
                                  "Rinse to drain", "hydrogen form", "licence",      "septic",
                                  "brass",          "heats itself",  "goggles",      "Neutralise"};
    for (size_t w = 0; w < COUNT(phrase); w++) {
        int found = 0;
        for (size_t i = 0; i < bf_cleaning_safety_count(); i++) {
            found |= strstr(bf_cleaning_safety_get(i).text, phrase[w]) != NULL;
        }
        ck_assert_msg(found, "nothing says \"%s\"", phrase[w]);
    }
    for (size_t i = 0; i < bf_cleaning_safety_count(); i++) {
        bf_safety_fact fact = bf_cleaning_safety_get(i);
        ck_assert_uint_gt(strlen(fact.subject), 3);
        ck_assert_uint_gt(strlen(fact.source), 3);
    }
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {reagents_are_counted,
                                  a_cleaning_agrees_with_closed_solutions,
                                  nothing_comes_of_nothing,
                                  dithionite_works_near_neutral,
                                  cleanings_that_cannot_be_are_refused,
                                  safety_is_not_lost};
    return support_run("iron.cleaning", tests, COUNT(tests), 20);
}
