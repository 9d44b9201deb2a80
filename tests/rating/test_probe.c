/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The search behind every answer, on functions that are known: smooth, jumping, noisy, enough
 * everywhere and nowhere; and what it does with an error. */
#include "rating/sizing/probe.h"
#include "support.h"

#include <math.h>
#include <string.h>

/* ln(x/root) times a slope, nothing below the edge, and noise. */
typedef struct curve {
    double root, slope, edge, noise;
    size_t fails_at;
    size_t tries;
} curve;

static bf_status try_at(void *context, double x, double *value, bf_dose_point *point, bf_error *err)
{
    curve *shape = context;
    shape->tries++;
    if (shape->tries == shape->fails_at) {
        return bf_error_set(err, BF_E_SOLVER, "ask", "it broke at %g", x);
    }
    point->dose_kg_per_m3 = x;
    /* Reproducible, as a rating's. */
    const double wobble = shape->noise * sin(1e4 * x);
    *value = x < shape->edge ? (double)NAN : shape->slope * log(x / shape->root) + wobble;
    return BF_OK;
}

static bf__probe *search(curve *shape, double low, double high, double guess)
{
    bf_error err = {0};
    bf__probe *probe = NULL;
    assert_ok(bf__probe_create(try_at, shape, (bf_watch){0}, &probe, &err));
    probe->slope = 0.6;
    assert_ok(bf__probe_least(probe, low, high, guess));
    return probe;
}

START_TEST(a_root_is_found_from_anywhere)
{
    static const double guesses[] = {1.0, 31.7, 71.3, 113.19, 114.8, 240.1, 399.0, 7e4};
    for (size_t g = 0; g < sizeof guesses / sizeof *guesses; g++) {
        for (int noisy = 0; noisy < 2; noisy++) {
            curve shape = {.root = 113.19, .slope = 0.57, .noise = noisy ? 2e-4 : 0.0};
            bf__probe *probe = search(&shape, 30.0, 400.0, guesses[g]);
            /* Close within 5e-4 of the value; over the slope, and the noise, of x. */
            assert_near(probe->enough_x, 113.19, (5e-4 + shape.noise) / 0.57);
            ck_assert_double_eq(probe->enough.dose_kg_per_m3, probe->enough_x);
            ck_assert(!bf__probe_jumps(probe));
            ck_assert_uint_eq(probe->tries, shape.tries);
            ck_assert_uint_le(shape.tries, 12);
            bf__probe_free(probe);
        }
    }
}
END_TEST

START_TEST(a_jump_is_found_from_above)
{
    static const double guesses[] = {30.0, 76.9, 77.1, 383.0};
    for (size_t g = 0; g < sizeof guesses / sizeof *guesses; g++) {
        curve shape = {.root = 21.3, .slope = 0.57, .edge = 77.03};
        bf__probe *probe = search(&shape, 30.0, 400.0, guesses[g]);
        ck_assert_double_ge(probe->enough_x, 77.03);
        assert_near(probe->enough_x, 77.03, 1e-3);
        ck_assert(bf__probe_jumps(probe));
        ck_assert_uint_le(shape.tries, 40);
        bf__probe_free(probe);
    }
}
END_TEST

START_TEST(enough_everywhere_is_the_lowest)
{
    curve shape = {.root = 21.3, .slope = 0.57};
    bf__probe *probe = search(&shape, 30.0, 400.0, 211.0);
    ck_assert_double_eq(probe->enough_x, 30.0);
    bf__probe_free(probe);
}
END_TEST

START_TEST(enough_nowhere_is_told_at_the_highest)
{
    curve few[] = {{.root = 411.0, .slope = 0.57}, {.root = 21.3, .slope = 0.57, .edge = 401.0}};
    for (size_t k = 0; k < 2; k++) {
        bf__probe *probe = search(&few[k], 30.0, 400.0, 52.0);
        ck_assert(isnan(probe->enough_x));
        ck_assert(!bf__probe_jumps(probe));
        ck_assert_double_eq(probe->highest_x, 400.0);
        ck_assert_double_eq(probe->highest.dose_kg_per_m3, 400.0);
        bf__probe_free(probe);
    }
}
END_TEST

START_TEST(an_error_ends_the_search_wherever_it_comes)
{
    for (size_t try_count = 1; try_count < 6; try_count++) {
        bf_error err = {0};
        curve shape = {.root = 21.3, .slope = 0.57, .edge = 77.03, .fails_at = try_count};
        bf__probe *probe = NULL;
        assert_ok(bf__probe_create(try_at, &shape, (bf_watch){0}, &probe, &err));
        assert_fails(bf__probe_least(probe, 30.0, 400.0, 52.0), BF_E_SOLVER, "it broke at");
        ck_assert_uint_eq(shape.tries, try_count); /* nothing is asked after it */
        ck_assert(isnan(bf__probe_value(probe, 222.2)));
        bf__probe_free(probe);
    }
}
END_TEST

START_TEST(tries_come_to_an_end)
{
    bf_error err = {0};
    curve shape = {.root = 21.3, .slope = 0.57};
    bf__probe *probe = NULL;
    assert_ok(bf__probe_create(try_at, &shape, (bf_watch){0}, &probe, &err));
    for (size_t k = 0; k < BF__PROBE_TRIES; k++) {
        ck_assert(!isnan(bf__probe_value(probe, 30.0 + (double)k)));
        ck_assert(!isnan(bf__probe_value(probe, 30.0 + (double)k))); /* from memory */
    }
    ck_assert_uint_eq(shape.tries, BF__PROBE_TRIES);
    ck_assert(isnan(bf__probe_value(probe, 222.2)));
    ck_assert_int_eq(probe->status, BF_E_SOLVER);
    ck_assert_ptr_nonnull(strstr(err.message, "no answer after"));
    bf__probe_free(probe);
}
END_TEST

/* ---- the lowest ------------------------------------------------------------------------------ */

static double smooth(double x, void *context)
{
    ++*(size_t *)context;
    return 7.1 + cosh(x - 2.37);
}

static double kinked(double x, void *context)
{
    ++*(size_t *)context;
    return x < 2.37 ? 9.3 - 0.8 * x : 9.3 - 0.8 * 2.37 + 0.3 * (x - 2.37);
}

START_TEST(the_lowest_is_found)
{
    size_t tries = 0;
    assert_near_abs(bf__lowest_between(smooth, &tries, 0.9, 2.1, 4.4, 1e-3, 0.0), 2.37, 1e-3);
    assert_near_abs(bf__lowest_between(kinked, &tries, 0.9, 2.1, 4.4, 1e-3, 0.0), 2.37, 1e-3);
    ck_assert_uint_le(tries, 90);
    /* Where all is within the noise nothing is looked at but the three and what GSL begins with. */
    tries = 0;
    ck_assert_double_eq(bf__lowest_between(smooth, &tries, 2.32, 2.38, 2.41, 1e-3, 1e-3), 2.38);
    ck_assert_uint_le(tries, 7);
    /* A middle that is not lowest is handed back. */
    ck_assert_double_eq(bf__lowest_between(smooth, &tries, 0.9, 1.1, 1.9, 1e-3, 0.0), 1.1);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {a_root_is_found_from_anywhere,
                                  a_jump_is_found_from_above,
                                  enough_everywhere_is_the_lowest,
                                  enough_nowhere_is_told_at_the_highest,
                                  an_error_ends_the_search_wherever_it_comes,
                                  tries_come_to_an_end,
                                  the_lowest_is_found};
    return support_run("rating.probe", tests, sizeof tests / sizeof *tests, 60);
}
