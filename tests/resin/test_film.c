/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Film coefficients against worked values of the two published correlations, and the exponents and
 * ratios that define them. */
#include "brinefront/film.h"
#include "brinefront/hydraulics.h"
#include "support.h"

#include <math.h>
#include <stdio.h>

#define COUNT(array) (sizeof(array) / sizeof *(array))

static const double bead_m = 0.6e-3;
static const double void_fraction = 0.37;
/* Water at 20 C, handbook: 998.2 kg/m3, 1.002 mPa s. */
static const bf_fluid water_20C = {.density_kg_per_m3 = 998.2, .viscosity_Pa_s = 1.002e-3};
/* Calcium at 25 C 0.793e-9 m2/s (USGS TM 6-A43), carried to 20 C by Stokes-Einstein. */
static const double calcium_20C = 0.793e-9 * (293.15 / 298.15) * (0.8904 / 1.002);

static double sherwood(bf_film_law law, double velocity_m_per_s, double diffusivity_m2_per_s)
{
    return bf_film_coefficient_m_per_s(law, &water_20C, velocity_m_per_s, bead_m, void_fraction,
                                       diffusivity_m2_per_s) *
           bead_m / diffusivity_m2_per_s;
}

/* Evaluated from Wilson & Geankoplis, Ind. Eng. Chem. Fundam. 5 (1966) 9, and Kataoka, Yoshida &
 * Ueyama, J. Chem. Eng. Japan 5 (1972) 132, outside this program (coefficients from memory); half a
 * unit in the last digit given. */
START_TEST(sherwood_numbers_agree_with_worked_values)
{
    const struct {
        double velocity_m_per_h, reynolds, wilson, kataoka, film;
    } rows[] = {{3.6, 0.598, 28.08, 21.06, 3.24e-5},
                {18.0, 2.989, 48.02, 36.01, 5.54e-5},
                {36.0, 5.977, 60.50, 45.36, 6.99e-5}};
    assert_near_abs(1.002e-3 / (998.2 * calcium_20C), 1449.0, 0.5); /* Sc */
    for (size_t i = 0; i < COUNT(rows); i++) {
        double u = rows[i].velocity_m_per_h / 3600.0;
        assert_near_abs(bf_reynolds(&water_20C, u, bead_m), rows[i].reynolds, 5.01e-4);
        assert_near_abs(sherwood(BF_FILM_WILSON_GEANKOPLIS, u, calcium_20C), rows[i].wilson, 5e-3);
        assert_near_abs(sherwood(BF_FILM_KATAOKA, u, calcium_20C), rows[i].kataoka, 5e-3);
        assert_near_abs(bf_film_coefficient_m_per_s(BF_FILM_WILSON_GEANKOPLIS, &water_20C, u,
                                                    bead_m, void_fraction, calcium_20C),
                        rows[i].film, 5e-8);
    }
}
END_TEST

/* Both correlations are powers: Sh ~ (Re Sc)^(1/3); above Re 55 Sh ~ Re^0.69 Sc^(1/3). Rounding of
 * pow and cbrt is all that separates the two sides. */
START_TEST(exponents_are_those_published)
{
    const bf_film_law laws[] = {BF_FILM_WILSON_GEANKOPLIS, BF_FILM_KATAOKA};
    for (size_t i = 0; i < COUNT(laws); i++) {
        double base = sherwood(laws[i], 1.37e-3, 0.7e-9);
        assert_near(sherwood(laws[i], 2.0 * 1.37e-3, 0.7e-9) / base, cbrt(2.0), 1e-14);
        assert_near(sherwood(laws[i], 1.37e-3, 1.4e-9) / base, cbrt(0.5), 1e-14);
    }
    double velocity_of_re_55 = 55.0 * 1.002e-3 / (998.2 * bead_m);
    double fast = sherwood(BF_FILM_WILSON_GEANKOPLIS, 1.5 * velocity_of_re_55, 0.7e-9);
    assert_near(sherwood(BF_FILM_WILSON_GEANKOPLIS, 4.5 * velocity_of_re_55, 0.7e-9) / fast,
                pow(3.0, 0.69), 1e-14);
    assert_near(sherwood(BF_FILM_WILSON_GEANKOPLIS, 1.5 * velocity_of_re_55, 1.4e-9) / fast,
                cbrt(0.5), 1e-14);
}
END_TEST

/* 0.250 55^0.69 = 3.970 against 1.09 55^(1/3) = 4.145: the branches as published leave a step down
 * of 4.2 %. */
START_TEST(branches_leave_their_published_step)
{
    double u = 55.0 * 1.002e-3 / (998.2 * bead_m);
    double below = sherwood(BF_FILM_WILSON_GEANKOPLIS, u * (1.0 - 1e-9), 0.7e-9);
    double above = sherwood(BF_FILM_WILSON_GEANKOPLIS, u * (1.0 + 1e-9), 0.7e-9);
    printf("step of Wilson-Geankoplis at Re 55: %.2f %%\n", 100.0 * (above / below - 1.0));
    assert_near(above / below, 0.250 * pow(55.0, 0.69 - 1.0 / 3.0) / 1.09, 1e-8);
}
END_TEST

/* The void: 1/eps for the one, ((1-eps)/eps)^(1/3) for the other, hence Kataoka over Wilson is
 * (1.85/1.09) (eps^2 (1-eps))^(1/3): 0.750 at 0.37. */
START_TEST(void_enters_as_published)
{
    double u = 2.1e-3;
    const double voids[] = {0.23, 0.37, 0.41, 0.57};
    for (size_t i = 0; i < COUNT(voids); i++) {
        double e = voids[i];
        double wilson = bf_film_coefficient_m_per_s(BF_FILM_WILSON_GEANKOPLIS, &water_20C, u,
                                                    bead_m, e, calcium_20C);
        double kataoka =
            bf_film_coefficient_m_per_s(BF_FILM_KATAOKA, &water_20C, u, bead_m, e, calcium_20C);
        assert_near(kataoka / wilson, 1.85 / 1.09 * cbrt(e * e * (1.0 - e)), 1e-14);
    }
    assert_near_abs(sherwood(BF_FILM_KATAOKA, u, calcium_20C) /
                        sherwood(BF_FILM_WILSON_GEANKOPLIS, u, calcium_20C),
                    0.750, 5e-4);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {sherwood_numbers_agree_with_worked_values,
                                  exponents_are_those_published,
                                  branches_leave_their_published_step, void_enters_as_published};
    return support_run("resin.film", tests, COUNT(tests), 20);
}
