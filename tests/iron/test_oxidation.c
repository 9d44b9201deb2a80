/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Oxidation of iron and manganese against half-lives worked outside this program from the published
 * laws, against measured rates of manganese, and against the balance of the reactions themselves.
 */
#include "brinefront/convert.h"
#include "brinefront/ions.h"
#include "brinefront/oxidation.h"
#include "support.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof *(array))

static const double air_Pa = 0.21 * 101325.0;

static double half_life_min(const bf_iron_spec *spec, double celsius, double pH, double pressure_Pa)
{
    return log(2.0) / bf_iron_oxidation_per_s(spec, 273.15 + celsius, pH, pressure_Pa) / 60.0;
}

/* kH 2e-15 mol2/(L2 atm min) at 22 C, 96 kJ/mol, pO2 0.21 atm, worked by hand to three digits; 1 %
 * for those digits and for R. */
START_TEST(half_lives_of_the_law_agree_with_worked_values)
{
    const struct {
        double celsius, minutes[4]; /* pH 6.5, 7, 7.5, 8 */
    } rows[] = {{10.0, {868.0, 86.8, 8.68, 0.868}},
                {15.0, {428.0, 42.8, 4.28, 0.428}},
                {20.0, {216.0, 21.6, 2.16, 0.216}},
                {25.0, {112.0, 11.2, 1.12, 0.112}}};
    bf_iron_spec spec = bf_iron_spec_default();
    for (size_t i = 0; i < COUNT(rows); i++) {
        for (size_t k = 0; k < 4; k++) {
            double pH = 6.5 + 0.5 * (double)k;
            double found = half_life_min(&spec, rows[i].celsius, pH, air_Pa);
            printf("%2.0f C pH %.1f: half-life %.4g min, worked %.4g\n", rows[i].celsius, pH, found,
                   rows[i].minutes[k]);
            assert_near(found, rows[i].minutes[k], 0.01);
        }
    }
}
END_TEST

/* At 22 C the default is Davison & Seed's rate with [OH] = 10^(pH - 14), the upper end that of
 * Stumm & Lee, and the lower end their band's: 11.0 to 22.0 min at pH 7 (its upper rate is 3e-15).
 * Half a unit in the last digit of the worked values. */
START_TEST(the_range_of_the_rate_spans_the_published_laws)
{
    const struct {
        double pH, davison_seed, stumm_lee;
    } rows[] = {{6.0, 1650.0, 413.0}, {6.5, 165.0, 41.3}, {7.0, 16.5, 4.13}, {7.5, 1.65, 0.413}};
    bf_iron_spec spec = bf_iron_spec_default();
    for (size_t i = 0; i < COUNT(rows); i++) {
        spec.oxidation_mol2_per_m6_Pa_s = 2.0e-15 * BF_IRON_SI_PER_KH;
        assert_near(half_life_min(&spec, 22.0, rows[i].pH, air_Pa), rows[i].davison_seed, 3.1e-3);
        spec.oxidation_mol2_per_m6_Pa_s = 8.0e-15 * BF_IRON_SI_PER_KH;
        assert_near(half_life_min(&spec, 22.0, rows[i].pH, air_Pa), rows[i].stumm_lee, 1.3e-3);
    }
    spec.oxidation_mol2_per_m6_Pa_s = 1.5e-15 * BF_IRON_SI_PER_KH;
    assert_near_abs(half_life_min(&spec, 22.0, 7.0, air_Pa), 22.0, 0.05);
    spec.oxidation_mol2_per_m6_Pa_s = 3.0e-15 * BF_IRON_SI_PER_KH;
    assert_near_abs(half_life_min(&spec, 22.0, 7.0, air_Pa), 11.0, 0.05);
}
END_TEST

/* The laws are powers: hundredfold a unit of pH, proportional to oxygen. Rounding of pow only. By
 * 10 C around 17 C Stumm & Lee's activation energy gives x3.9 (worked, one digit behind). */
START_TEST(slopes_are_those_of_the_law)
{
    bf_iron_spec spec = bf_iron_spec_default();
    const double pHs[] = {5.0, 6.13, 7.0, 7.87};
    for (size_t i = 0; i < COUNT(pHs); i++) {
        assert_near(bf_iron_oxidation_per_s(&spec, 284.0, pHs[i] + 1.0, 900.0) /
                        bf_iron_oxidation_per_s(&spec, 284.0, pHs[i], 900.0),
                    100.0, 1e-12);
        double oxygen = 0.037;
        double once = bf_iron_oxidation_per_s(&spec, 284.0, pHs[i],
                                              bf_oxygen_pressure_Pa(oxygen, 284.0, 0.0));
        double third = bf_iron_oxidation_per_s(&spec, 284.0, pHs[i],
                                               bf_oxygen_pressure_Pa(oxygen / 3.0, 284.0, 0.0));
        assert_near(once / third, 3.0, 1e-12);
    }
    assert_near_abs(half_life_min(&spec, 12.0, 7.0, air_Pa) /
                        half_life_min(&spec, 22.0, 7.0, air_Pa),
                    3.9, 0.05);
    ck_assert(bf_iron_oxidation_per_s(&spec, 284.0, 8.0, 0.0) == 0.0);
}
END_TEST

/* Elements and charge on both sides of the reactions, by whole numbers; then the coefficients per
 * iron are exact. In mass: 0.1433 mg O2 and 1.79 mg CaCO3 per mg Fe, 0.2912 and 1.82 per mg Mn,
 * worked with atomic weights rounded otherwise: one unit in the last digit. */
START_TEST(stoichiometry_closes)
{
    /* 4 Fe2+ + O2 + 10 H2O -> 4 Fe(OH)3 + 8 H+ */
    ck_assert_int_eq(2 + 10, 4 * 3);                   /* O */
    ck_assert_int_eq(10 * 2, 4 * 3 + 8);               /* H */
    ck_assert_int_eq(4 * 2, 8);                        /* charge */
    assert_near(4.0 * BF_OXYGEN_PER_IRON, 1.0, 1e-15); /* O2 */
    assert_near(4.0 * BF_ALKALINITY_EQ_PER_IRON, 8.0, 1e-15);
    /* 2 Mn2+ + O2 + 2 H2O -> 2 MnO2 + 4 H+ */
    ck_assert_int_eq(2 + 2, 2 * 2);
    ck_assert_int_eq(2 * 2, 4);
    assert_near(2.0 * BF_OXYGEN_PER_MANGANESE, 1.0, 1e-15);
    assert_near(2.0 * BF_ALKALINITY_EQ_PER_MANGANESE, 4.0, 1e-15);

    const double iron = bf_ion_get(BF_ION_FE)->molar_mass_g_per_mol;
    const double manganese = bf_ion_get(BF_ION_MN)->molar_mass_g_per_mol;
    assert_near_abs(BF_OXYGEN_PER_IRON * BF_OXYGEN_G_PER_MOL / iron, 0.1433, 1e-4);
    assert_near_abs(BF_ALKALINITY_EQ_PER_IRON * BF_G_CACO3_PER_EQ / iron, 1.79, 0.01);
    assert_near_abs(BF_OXYGEN_PER_MANGANESE * BF_OXYGEN_G_PER_MOL / manganese, 0.2912, 1e-4);
    assert_near_abs(BF_ALKALINITY_EQ_PER_MANGANESE * BF_G_CACO3_PER_EQ / manganese, 1.82, 0.01);
}
END_TEST

/* Standard Methods, table 4500-O:I (from memory): mg/L in fresh water under moist air of 1 atm; a
 * unit in the last digit and half a one for rounding: the atomic weight of oxygen cancels. Salt:
 * check value of Garcia & Gordon, Limnol. Oceanogr. 37 (1992) 1307, refitting the same data: 6.315
 * mL/L at 10 C and salinity 35 (from memory), with 22.3916 L/mol; they claim 0.1 %. */
START_TEST(oxygen_dissolves_as_tabulated)
{
    const struct {
        double celsius, mg_per_L;
    } rows[] = {{0.0, 14.621}, {5.0, 12.770}, {10.0, 11.288}, {15.0, 10.084}, {20.0, 9.092},
                {25.0, 8.263}, {30.0, 7.559}, {35.0, 6.949},  {40.0, 6.412}};
    for (size_t i = 0; i < COUNT(rows); i++) {
        double found = bf_oxygen_solubility_mol_per_m3(273.15 + rows[i].celsius, 0.0);
        assert_near_abs(found * BF_OXYGEN_G_PER_MOL, rows[i].mg_per_L, 1.5e-3);
        assert_near(bf_oxygen_pressure_Pa(found, 273.15 + rows[i].celsius, 0.0), air_Pa, 1e-14);
    }
    assert_near(bf_oxygen_solubility_mol_per_m3(283.15, 35.0), 6.315 / 22.3916, 1e-3);
}
END_TEST

/* Morgan 2005 gives the apparent rates at two pH; oxygen of saturated water at 25 C (8.26 mg/L)
 * makes of them 362 d and 1.24 d. 0.5 %: three digits and the oxygen. */
START_TEST(manganese_hardly_oxidises_in_free_water)
{
    const double saturated = bf_oxygen_solubility_mol_per_m3(298.15, 0.0);
    const double days = log(2.0) / 86400.0;
    double slow = days / bf_manganese_oxidation_per_s(8.03, saturated);
    double fast = days / bf_manganese_oxidation_per_s(9.30, saturated);
    printf("half-life of Mn: %.1f d at pH 8.03, %.3f d at pH 9.30\n", slow, fast);
    assert_near(slow, 362.0, 5e-3);
    assert_near(fast, 1.24, 5e-3);
    /* Between them the slope is nearly that of Mn(OH)2, two decades a unit of pH. */
    double slope = log10(bf_manganese_oxidation_per_s(8.5, 1.0)) -
                   log10(bf_manganese_oxidation_per_s(7.5, 1.0));
    assert_near_abs(slope, 2.0, 0.1);
    /* At the pH of a softener no cycle sees it. */
    ck_assert_double_gt(days / bf_manganese_oxidation_per_s(7.5, saturated), 3000.0);
}
END_TEST

/* Tamura's two terms, worked outside this program at 25 C and 8.26 mg/L of oxygen: deposit over
 * free water, 2.3e14 [OH]^2 per (M3 s) with pKw 13.995. Half a unit in the last digit. */
START_TEST(deposit_catalyses_as_tamura_found)
{
    const struct {
        double pH, at_10_mg_per_L, half_digit;
    } rows[] = {{6.5, 2.46, 0.01}, {7.0, 0.78, 5e-3}, {7.5, 0.246, 1e-3}};
    bf_iron_spec spec = bf_iron_spec_default();
    spec.surface_access = 1.0; /* a suspension, all of it within reach */
    const double oxygen_M = 8.26e-3 / 31.998;
    for (size_t i = 0; i < COUNT(rows); i++) {
        double free_per_s = 2.3e14 * oxygen_M * pow(10.0, 2.0 * (rows[i].pH - 13.995));
        double on_deposit =
            bf_iron_surface_oxidation_per_s(&spec, rows[i].pH, 1e3 * oxygen_M, 0.010);
        printf("pH %.1f: 10 mg/L of deposit adds %.3g times the free rate\n", rows[i].pH,
               on_deposit / free_per_s);
        assert_near_abs(on_deposit / free_per_s, rows[i].at_10_mg_per_L, rows[i].half_digit);
        /* 1000 mg/L: a hundredfold. */
        assert_near(bf_iron_surface_oxidation_per_s(&spec, rows[i].pH, 1e3 * oxygen_M, 1.0) /
                        on_deposit,
                    100.0, 1e-12);
    }
    /* Tenfold a unit of pH, and the access is a plain share. */
    double whole = bf_iron_surface_oxidation_per_s(&spec, 6.2, 0.1, 0.5);
    assert_near(bf_iron_surface_oxidation_per_s(&spec, 7.2, 0.1, 0.5) / whole, 10.0, 1e-12);
    spec = bf_iron_spec_default();
    assert_near(bf_iron_surface_oxidation_per_s(&spec, 6.2, 0.1, 0.5) / whole, 0.01, 1e-14);
}
END_TEST

/* Millero et al. 1987: log10 k = 21.56 - 1545/T - 3.29 I^0.5 + 1.52 I; worked 1.16e16 at I 0.01 and
 * 4.9e14 at 0.7, at 25 C: two digits, 1.5 %. */
START_TEST(salt_slows_oxidation)
{
    assert_near(bf_iron_strength_factor(0.01), 1.0, 1e-15);
    assert_near(bf_iron_strength_factor(0.7), 4.9e14 / 1.16e16, 0.015);
    assert_near(bf_iron_strength_factor(0.0), 2.4e16 / 1.16e16, 0.03); /* 2.4: two digits */
    ck_assert(bf_iron_strength_factor(5.0) == bf_iron_strength_factor(0.7));
}
END_TEST

START_TEST(a_tank_turns_iron_to_colloid)
{
    assert_near(bf_iron_share_oxidised(log(2.0) / 600.0, 600.0), 0.5, 1e-14);
    assert_near(bf_iron_share_oxidised(1e-12, 1.0), 1e-12, 1e-11);
    ck_assert(bf_iron_share_oxidised(1e-3, 0.0) == 0.0);
}
END_TEST

START_TEST(waters_outside_the_laws_are_refused)
{
    bf_error err = {0};
    bf_iron_water good = bf_iron_water_default();
    assert_ok(bf_iron_water_check(&good, &err));
    bf_iron_water bad = good;
    bad.temperature_K = 320.0;
    assert_fails(bf_iron_water_check(&bad, &err), BF_E_RANGE, "temperature");
    bad = good;
    bad.pH = 9.6;
    assert_fails(bf_iron_water_check(&bad, &err), BF_E_RANGE, "pH");
    bad.pH = (double)NAN;
    assert_fails(bf_iron_water_check(&bad, &err), BF_E_RANGE, "pH");
    bad = good;
    bad.oxygen_mol_per_m3 = -1e-3;
    assert_fails(bf_iron_water_check(&bad, &err), BF_E_RANGE, "oxygen");
    bad = good;
    bad.salinity_g_per_kg = 41.0;
    assert_fails(bf_iron_water_check(&bad, &err), BF_E_RANGE, "salinity");
    bad = good;
    bad.alkalinity_eq_per_m3 = -0.1;
    assert_fails(bf_iron_water_check(&bad, &err), BF_E_RANGE, "alkalinity");
    bad = good;
    bad.colloidal_iron_g_per_m3 = 51.0;
    assert_fails(bf_iron_water_check(&bad, &err), BF_E_RANGE, "suspended iron");
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {half_lives_of_the_law_agree_with_worked_values,
                                  the_range_of_the_rate_spans_the_published_laws,
                                  slopes_are_those_of_the_law,
                                  stoichiometry_closes,
                                  oxygen_dissolves_as_tabulated,
                                  manganese_hardly_oxidises_in_free_water,
                                  deposit_catalyses_as_tamura_found,
                                  salt_slows_oxidation,
                                  a_tank_turns_iron_to_colloid,
                                  waters_outside_the_laws_are_refused};
    return support_run("iron.oxidation", tests, COUNT(tests), 20);
}
