/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is moved in a band, and how far. */
#include "brinefront/band.h"

#include "brinefront/brine.h"
#include "hard_bed.h"

#include <stdio.h>
#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof *(array))

/* ---- what is moved, and how far ----------------------------------------------------------------
 */

enum { FIELDS = 19 };

/* Every number that a constant may move. */
static void fields_of(const bf_rating_spec *rating, double dose, double field[FIELDS])
{
    const bf_resin *resin = &rating->bed.resin;
    const double all[FIELDS] = {resin->total_capacity_eq_per_m3,
                                resin->selectivity[BF_ION_CA],
                                resin->selectivity[BF_ION_MG],
                                resin->diffusivity_25C_m2_per_s[BF_ION_NA],
                                resin->diffusivity_25C_m2_per_s[BF_ION_CA],
                                resin->diffusivity_25C_m2_per_s[BF_ION_MG],
                                resin->activation_J_per_mol[BF_ION_NA],
                                resin->activation_J_per_mol[BF_ION_CA],
                                resin->activation_J_per_mol[BF_ION_MG],
                                (double)rating->bed.film_law,
                                resin->bead_diameter_m,
                                resin->void_fraction,
                                rating->bed.dispersion_factor,
                                rating->water.temperature_K,
                                rating->recipe.step[1].mass_fraction,
                                rating->recipe.step[4].mass_fraction,
                                dose,
                                resin->selectivity[BF_ION_NA],
                                resin->diffusivity_25C_m2_per_s[BF_ION_K]};
    memcpy(field, all, sizeof all);
}

/* Limits of the sources that resin.c and docs/validation.md name, as shares of their centre. */
START_TEST(constants_move_from_their_own_value_to_their_limits)
{
    const struct {
        const char *name;
        size_t field, fields; /* which move, and how many in a row */
        double low, high;     /* factors */
        int in_logarithm;
    } rows[] = {
        {"total capacity", 0, 1, 1.9 / 2.0, 2.05 / 2.0, 0},
        {"selectivity of Ca", 1, 1, 1.0 / 1.3, 1.3, 1},
        {"selectivity of Mg", 2, 1, 1.0 / 1.3, 1.3, 1},
        {"diffusivity of Na in the bead", 3, 1, 6.6 / 9.4, 15.0 / 9.4, 1},
        {"diffusivity of Ca in the bead", 4, 1, 0.6, 2.0, 1},
        {"diffusivity of Mg in the bead", 5, 1, 0.6, 2.0, 1},
        {"activation energies in the bead", 6, 1, 21.0 / 25.0, 1.0, 0},
        {"activation energies in the bead", 7, 2, 27.0 / 30.0, 34.0 / 30.0, 0},
        {"bead diameter", 10, 1, 0.60 / 0.65, 0.70 / 0.65, 0},
        {"void fraction", 11, 1, 0.35 / 0.38, 0.40 / 0.38, 0},
        {"axial dispersion", 12, 1, 0.5, 2.0, 1},
        {"temperature", 13, 1, 286.4 / 291.4, 296.4 / 291.4, 0},
        {"brine strength", 14, 1, 0.8, 1.2, 0},
        {"salt dose", 16, 1, 0.98, 1.02, 0},
    };
    const bf_rating_spec own = hard_bed(291.4);
    double before[FIELDS];
    fields_of(&own, 123.0, before);
    for (size_t r = 0; r < COUNT(rows); r++) {
        const size_t k = constant_named(rows[r].name);
        const int is_activation = strstr(rows[r].name, "activation") != NULL;
        for (int step = -1; step <= 5; step++) {
            const double position = 0.25 * step; /* also outside 0 .. 1 */
            const double part = fmin(fabs(2.0 * position - 1.0), 1.0);
            const double limit = position < 0.5 ? rows[r].low : rows[r].high;
            const double factor =
                rows[r].in_logarithm ? pow(limit, part) : 1.0 + (limit - 1.0) * part;
            bf_rating_spec moved = own;
            double dose = 123.0;
            double after[FIELDS];
            bf_uncertain_set(&moved, k, position, &dose);
            fields_of(&moved, dose, after);
            for (size_t f = 0; f < FIELDS; f++) {
                if (f >= rows[r].field && f < rows[r].field + rows[r].fields) {
                    /* 0.7 and 1.6 of the list for 6.6 and 15 of 9.4e-11: half a percent. */
                    assert_near(after[f], before[f] * factor, f == 3 ? 5e-3 : 1e-12);
                } else if (!is_activation || f < 6 || f > 8) {
                    ck_assert_double_eq(after[f], before[f]);
                }
                ck_assert(position != 0.5 || after[f] == before[f]); /* to the bit */
            }
        }
    }
    bf_uncertain_set(&(bf_rating_spec){0}, bf_uncertain_count(), 0.0, NULL); /* no such constant */
    ck_assert_ptr_null(bf_uncertain_get(bf_uncertain_count()).name);
    for (size_t k = 0; k < bf_uncertain_count(); k++) {
        bf_uncertain uncertain = bf_uncertain_get(k);
        bf_rating_spec moved = own;
        bf_uncertain_set(&moved, k, 0.0, NULL); /* no dose to move */
        ck_assert(uncertain.name != NULL && uncertain.low != NULL && uncertain.high != NULL &&
                  uncertain.source != NULL);
    }
}
END_TEST

START_TEST(the_film_has_the_other_law_below_the_middle)
{
    const size_t k = constant_named("film coefficient");
    ck_assert_int_ne(bf_uncertain_get(k).is_choice, 0);
    const bf_film_law laws[] = {BF_FILM_WILSON_GEANKOPLIS, BF_FILM_KATAOKA};
    for (size_t own = 0; own < 2; own++) {
        bf_rating_spec spec = hard_bed(291.4);
        spec.bed.film_law = laws[own];
        bf_uncertain_set(&spec, k, 0.5, NULL);
        ck_assert_int_eq((int)spec.bed.film_law, (int)laws[own]);
        bf_uncertain_set(&spec, k, 0.49, NULL);
        ck_assert_int_eq((int)spec.bed.film_law, (int)laws[1 - own]);
    }
}
END_TEST

/* On the edge of the model's range, all constants together at either limit stay inside it. */
START_TEST(limits_end_where_the_model_does)
{
    bf_error err = {0};
    for (int hot = 0; hot < 2; hot++) {
        for (int salt = 0; salt < 2; salt++) {
            bf_rating_spec edge = hard_bed(hot ? 323.15 : 273.15);
            double saturated;
            edge.bed.resin.void_fraction = hot ? 0.6 : 0.2;
            edge.bed.resin.bead_diameter_m = hot ? 2e-3 : 0.1e-3;
            edge.bed.resin.total_capacity_eq_per_m3 = hot ? 4000.0 : 500.0;
            edge.bed.resin.selectivity[BF_ION_CA] = hot ? 1e4 : 1e-3;
            edge.bed.resin.diffusivity_25C_m2_per_s[BF_ION_NA] = hot ? 1e-8 : 1e-14;
            edge.bed.resin.activation_J_per_mol[BF_ION_MG] = hot ? 100e3 : 0.0;
            edge.bed.dispersion_factor = hot ? 10.0 : 0.1;
            assert_ok(
                bf_brine_saturation((bf_salt)salt, edge.water.temperature_K, &saturated, &err));
            edge.recipe.step[1].salt = (bf_salt)salt;
            edge.recipe.step[1].mass_fraction = saturated;
            bf_recipe_set_dose(&edge.recipe, 120.0);
            assert_ok(bf_rating_spec_check(&edge, &err));
            for (int high = 0; high < 2; high++) {
                bf_rating_spec moved = edge;
                for (size_t k = 0; k < bf_uncertain_count(); k++) {
                    bf_uncertain_set(&moved, k, (double)high, NULL);
                    assert_ok(bf_rating_spec_check(&moved, &err));
                }
                ck_assert_double_ge(moved.water.temperature_K, 273.15);
                ck_assert_double_le(moved.water.temperature_K, 323.15);
            }
        }
    }
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {constants_move_from_their_own_value_to_their_limits,
                                  the_film_has_the_other_law_below_the_middle,
                                  limits_end_where_the_model_does};
    return support_run("rating.uncertain", tests, COUNT(tests), 300);
}
