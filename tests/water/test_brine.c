/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Saturation against other tables and against solubility products, and the measures of strength
 * against a handbook and against each other. */
#include "brinefront/activity.h"
#include "brinefront/brine.h"
#include "brinefront/convert.h"
#include "support.h"

#include <math.h>
#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof *(array))

static double saturation_wt(bf_salt salt, double t_C)
{
    bf_error err = {0};
    double fraction = 0.0;
    assert_ok(bf_brine_saturation(salt, 273.15 + t_C, &fraction, &err));
    return 100.0 * fraction;
}

static bf_brine brine_at(bf_salt salt, double wt_percent, double t_C)
{
    bf_error err = {0};
    bf_brine brine = {0};
    assert_ok(bf_brine_of_mass_fraction(salt, 0.01 * wt_percent, 273.15 + t_C, &brine, &err));
    return brine;
}

START_TEST(nacl_saturation_is_the_published_table)
{
    /* Salt Institute, wt%. The points are reproduced; the tolerance is rounding of the Celsius
     * figures. */
    const double rows[][2] = {{0, 26.29},     {4.44, 26.33},  {10, 26.36},    {15.56, 26.395},
                              {21.11, 26.45}, {26.67, 26.52}, {37.78, 26.68}, {51.67, 26.92},
                              {65.56, 27.21}, {79.44, 27.62}, {100, 28.12}};
    for (size_t i = 0; i < COUNT(rows); i++) {
        assert_near_abs(saturation_wt(BF_SALT_NACL, rows[i][0]), rows[i][1], 1e-9);
    }
}
END_TEST

START_TEST(nacl_saturation_agrees_with_another_table)
{
    /* CRC Handbook, 98th ed., molality of the saturated solution; the two tables part by 0.3 %. */
    const double rows[][2] = {{10, 6.110}, {15, 6.121}, {20, 6.136}, {25, 6.153},
                              {30, 6.174}, {35, 6.197}, {40, 6.222}};
    for (size_t i = 0; i < COUNT(rows); i++) {
        double wt = saturation_wt(BF_SALT_NACL, rows[i][0]);
        assert_near(brine_at(BF_SALT_NACL, wt, rows[i][0]).molality_mol_per_kg, rows[i][1], 3e-3);
    }
}
END_TEST

START_TEST(kcl_saturation_agrees_with_another_table)
{
    /* Grams of KCl per 100 g of water as general chemistry tables give it, those at 0, 20 and 100 C
     * seen in print, the rest from memory: 0.15 wt% apart at most. */
    const double rows[][2] = {{0, 28.0},  {20, 34.2}, {30, 37.2}, {40, 40.1},
                              {60, 45.8}, {80, 51.3}, {100, 56.3}};
    for (size_t i = 0; i < COUNT(rows); i++) {
        double wt = 100.0 * rows[i][1] / (100.0 + rows[i][1]);
        assert_near_abs(saturation_wt(BF_SALT_KCL, rows[i][0]), wt, 0.15);
    }
}
END_TEST

START_TEST(saturation_agrees_with_solubility_products)
{
    /* USGS TM 6-A43, Pitzer data: log10 K is 1.570 for halite and 0.900 for sylvite at 25 C. A step
     * of 0.02 in log10 is 1 % in molality. Our NaCl table lies 0.3 % above the CRC's, which is
     * 0.004. */
    const struct {
        bf_salt salt;
        bf_ion cation;
        double log_k, tolerance;
    } rows[] = {{BF_SALT_NACL, BF_ION_NA, 1.570, 0.02}, {BF_SALT_KCL, BF_ION_K, 0.900, 0.01}};
    for (size_t i = 0; i < COUNT(rows); i++) {
        bf_error err = {0};
        double ln_gamma[BF_ION_COUNT];
        double m = brine_at(rows[i].salt, saturation_wt(rows[i].salt, 25), 25).molality_mol_per_kg;
        double molality[BF_ION_COUNT] = {0};
        molality[rows[i].cation] = m;
        molality[BF_ION_CL] = m;
        assert_ok(bf_activity_ln_gamma(molality, 298.15, ln_gamma, &err));
        double log_k = (2.0 * log(m) + ln_gamma[rows[i].cation] + ln_gamma[BF_ION_CL]) / log(10.0);
        assert_near_abs(log_k, rows[i].log_k, rows[i].tolerance);
    }
}
END_TEST

START_TEST(saturation_is_monotone_and_smooth)
{
    for (int salt = 0; salt < BF_SALT_COUNT; salt++) {
        const double step = 1.0 / 64.0;
        double last = saturation_wt((bf_salt)salt, 0.0);
        double last_slope = NAN;
        for (int k = 1; k <= 6400; k++) {
            double t_C = k * step;
            double next = saturation_wt((bf_salt)salt, t_C);
            ck_assert_msg(next > last, "salt %d at %g C", salt, t_C);
            /* The slope changes without jumps: past the hydrate of NaCl by less than 0.002 wt%/K in
             * 1/64 K, where straight pieces would jump by 0.009 (NaCl at 65.6 C). */
            double slope = (next - last) / step;
            if (t_C > 0.2 && !isnan(last_slope)) {
                ck_assert_msg(fabs(slope - last_slope) < 0.002, "salt %d at %g C: %g after %g",
                              salt, t_C, slope, last_slope);
            }
            last_slope = slope;
            last = next;
        }
    }
}
END_TEST

START_TEST(nacl_molarity_and_molality_agree_with_a_handbook)
{
    /* Poradnik fizykochemiczny (1974), 20 C, mol/L; as good as its density, 0.06 %. Molality:
     * worked independently with 58.443 g/mol, which is 5e-5, and rounded to four digits. */
    const double molar[][2] = {{1, 0.1720},  {2, 0.3464},  {4, 0.7026},  {6, 1.0688},  {8, 1.4451},
                               {10, 1.8317}, {12, 2.2288}, {14, 2.6367}, {16, 3.0553}, {18, 3.4855},
                               {20, 3.9272}, {22, 4.3808}, {24, 4.8465}, {26, 5.3251}};
    for (size_t i = 0; i < COUNT(molar); i++) {
        bf_brine brine = brine_at(BF_SALT_NACL, molar[i][0], 20);
        assert_near(brine.normality_eq_per_m3, 1000.0 * molar[i][1], 7e-4);
    }
    const double molal[][2] = {{5, 0.9006},  {8, 1.4879},  {10, 1.9012},  {15, 3.0195},
                               {20, 4.2777}, {26, 6.0119}, {26.4, 6.1375}};
    for (size_t i = 0; i < COUNT(molal); i++) {
        assert_near(brine_at(BF_SALT_NACL, molal[i][0], 20).molality_mol_per_kg, molal[i][1], 1e-4);
    }
}
END_TEST

START_TEST(saturated_brine_holds_what_the_trade_says)
{
    /* "A gallon of water dissolves 3 lb of salt, a gallon of saturated brine holds 2.6 lb": common
     * practice, no source; two digits. */
    bf_brine brine = brine_at(BF_SALT_NACL, saturation_wt(BF_SALT_NACL, 20), 20);
    assert_near(brine.salt_per_water_kg_per_m3 * BF_M3_PER_GAL / BF_KG_PER_LB, 3.0, 0.02);
    assert_near(brine.salt_per_solution_kg_per_m3 * BF_M3_PER_GAL / BF_KG_PER_LB, 2.6, 0.03);
    assert_near(brine.saturation, 1.0, 1e-15);
}
END_TEST

START_TEST(the_measures_agree_with_each_other)
{
    unsigned long long seed = 20240611;
    for (int k = 0; k < 400; k++) {
        bf_salt salt = k % 2 == 0 ? BF_SALT_NACL : BF_SALT_KCL;
        double t_C = 100.0 * support_uniform(&seed);
        double wt = saturation_wt(salt, t_C) * support_uniform(&seed);
        bf_brine b = brine_at(salt, wt, t_C);
        double salt_kg = b.salt_per_solution_kg_per_m3;
        double water_kg = b.water_per_solution_kg_per_m3;
        bf_error err = {0};
        bf_fluid water = {0};
        assert_ok(bf_fluid_of_water(273.15 + t_C, &water, &err));
        /* Identities: rounding only. */
        assert_near(salt_kg + water_kg, b.fluid.density_kg_per_m3, 1e-14);
        assert_near(salt_kg / (salt_kg + water_kg), 0.01 * wt, 1e-14);
        assert_near(b.normality_eq_per_m3, b.molality_mol_per_kg * water_kg, 1e-13);
        assert_near(b.normality_eq_per_m3 * bf_salt_equivalent_mass_g_per_eq(salt), 1e3 * salt_kg,
                    1e-14);
        assert_near(b.salt_per_water_kg_per_m3 * water_kg, salt_kg * water.density_kg_per_m3,
                    1e-13);
        assert_near(b.saturation * saturation_wt(salt, t_C), wt, 1e-14);
        ck_assert_int_eq(b.salt, salt);
        assert_near(b.temperature_K, 273.15 + t_C, 1e-15);
    }
}
END_TEST

START_TEST(normality_is_inverted)
{
    unsigned long long seed = 987654321;
    for (int k = 0; k < 400; k++) {
        bf_error err = {0};
        bf_salt salt = k % 2 == 0 ? BF_SALT_NACL : BF_SALT_KCL;
        double t_C = k < 4 ? (k / 2) * 100.0 : 100.0 * support_uniform(&seed);
        double share = k < 8 ? 1.0 : support_uniform(&seed);
        bf_brine brine = brine_at(salt, share * saturation_wt(salt, t_C), t_C);
        bf_brine back = {0};
        assert_ok(
            bf_brine_of_normality(salt, brine.normality_eq_per_m3, 273.15 + t_C, &back, &err));
        /* 1e-12 is what the header promises. */
        assert_near(back.normality_eq_per_m3, brine.normality_eq_per_m3, 1e-12);
        assert_near(back.mass_fraction, brine.mass_fraction, 1e-12);
        assert_near(back.fluid.viscosity_Pa_s, brine.fluid.viscosity_Pa_s, 1e-12);
    }
    bf_error err = {0};
    bf_brine none = {0};
    assert_ok(bf_brine_of_normality(BF_SALT_NACL, 0.0, 293.15, &none, &err));
    ck_assert(none.mass_fraction == 0.0 && none.molality_mol_per_kg == 0.0);
}
END_TEST

START_TEST(what_lies_outside_is_refused)
{
    bf_error err = {0};
    bf_brine brine = {.mass_fraction = 7.0};
    double fraction = 7.0;
    assert_fails(bf_brine_saturation(BF_SALT_KCL, 273.1, &fraction, &err), BF_E_RANGE,
                 "state 0 to 100 C (32 to 212 F)");
    assert_fails(bf_brine_saturation(BF_SALT_KCL, 380.15, &fraction, &err), BF_E_RANGE,
                 "temperature is 107.0 C (225 F)");
    assert_fails(bf_brine_saturation(BF_SALT_KCL, (double)NAN, &fraction, &err), BF_E_RANGE,
                 "state 0 to 100 C");
    assert_fails(bf_brine_of_mass_fraction(BF_SALT_NACL, 0.30, 283.15, &brine, &err), BF_E_RANGE,
                 "above saturation, 26.36 wt%; state 26.3 wt% or less");
    assert_fails(bf_brine_of_mass_fraction(BF_SALT_NACL, -1e-9, 283.15, &brine, &err), BF_E_RANGE,
                 "state 0 wt% or more");
    assert_fails(bf_brine_of_mass_fraction(BF_SALT_NACL, 0.1, 200.0, &brine, &err), BF_E_RANGE,
                 "temperature");
    assert_fails(bf_brine_of_normality(BF_SALT_NACL, 6200.0, 283.15, &brine, &err), BF_E_RANGE,
                 "brine of 6.2 eq/L NaCl at 10.0 C (50 F) is above saturation, 5.437 eq/L (26.36 "
                 "wt%); state 5.43 eq/L or less");
    assert_fails(bf_brine_of_normality(BF_SALT_KCL, -3.0, 283.15, &brine, &err), BF_E_RANGE,
                 "brine strength is -0.003 eq/L KCl; state 0 eq/L or more");
    assert_fails(bf_brine_of_normality(BF_SALT_KCL, (double)NAN, 283.15, &brine, &err), BF_E_RANGE,
                 "state 0 eq/L or more");
    assert_fails(bf_brine_of_normality(BF_SALT_KCL, 100.0, (double)INFINITY, &brine, &err),
                 BF_E_RANGE, "temperature");
    ck_assert(brine.mass_fraction == 7.0 && fraction == 7.0);
    ck_assert_str_eq(bf_salt_symbol(BF_SALT_NACL), "NaCl");
    ck_assert_str_eq(bf_salt_symbol(BF_SALT_KCL), "KCl");
}
END_TEST

START_TEST(equivalent_masses_are_those_of_the_ions)
{
    /* 58.44 and 74.55 are rounded to four digits. */
    assert_near(bf_salt_equivalent_mass_g_per_eq(BF_SALT_NACL),
                bf_ion_equivalent_mass_g_per_eq(BF_ION_NA) +
                    bf_ion_equivalent_mass_g_per_eq(BF_ION_CL),
                1e-4);
    assert_near(bf_salt_equivalent_mass_g_per_eq(BF_SALT_KCL),
                bf_ion_equivalent_mass_g_per_eq(BF_ION_K) +
                    bf_ion_equivalent_mass_g_per_eq(BF_ION_CL),
                1e-4);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {nacl_saturation_is_the_published_table,
                                  nacl_saturation_agrees_with_another_table,
                                  kcl_saturation_agrees_with_another_table,
                                  saturation_agrees_with_solubility_products,
                                  saturation_is_monotone_and_smooth,
                                  nacl_molarity_and_molality_agree_with_a_handbook,
                                  saturated_brine_holds_what_the_trade_says,
                                  the_measures_agree_with_each_other,
                                  normality_is_inverted,
                                  what_lies_outside_is_refused,
                                  equivalent_masses_are_those_of_the_ions};
    return support_run("water.brine", tests, sizeof tests / sizeof *tests, 20);
}
