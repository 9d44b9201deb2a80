/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Service in draws: one draw against the plain rating, rests that do nothing and rests that let
 * beads catch up, where a run ends, what is counted, and refusals. */
#include "brinefront/stagnation.h"

#include "coarse_bed.h"

#include <math.h>

#include <string.h>

static bf_stagnation_point rate(const bf_rating_spec *spec, double bed_volumes, double rest_s,
                                double dose)
{
    bf_error err = {0};
    bf_stagnation_point point;
    const bf_stagnation draws = {.draw_bed_volumes = bed_volumes, .stagnation_s = rest_s};
    assert_ok(bf_stagnation_rate(spec, &draws, dose, &point, &err));
    return point;
}

static double capacity_of(const bf_stagnation_point *point)
{
    ck_assert_int_eq(point->point.steady.cycle.outcome, BF_RATED);
    return point->point.steady.cycle.capacity_eq_per_m3;
}

START_TEST(one_draw_is_the_plain_rating)
{
    const bf_rating_spec spec = coarse_bed();
    const bf_dose_point plain = rate_at(&spec, 113.7);
    const bf_stagnation_point one = rate(&spec, 9.7e4, 4321.0, 113.7);
    const bf_cycle_result *a = &one.point.steady.cycle;
    const bf_cycle_result *b = &plain.steady.cycle;
    ck_assert_uint_eq(one.draws, 1);
    ck_assert(isnan(one.first_eq_per_m3) && isnan(one.later_eq_per_m3)); /* no rest came first */
    ck_assert_double_eq(a->capacity_eq_per_m3, b->capacity_eq_per_m3);
    ck_assert_double_eq(a->leakage_mean_eq_per_m3, b->leakage_mean_eq_per_m3);
    ck_assert_double_eq(a->leakage_low_eq_per_m3, b->leakage_low_eq_per_m3);
    ck_assert_double_eq(a->water_bed_volumes, b->water_bed_volumes);
    ck_assert_double_eq(a->regeneration_s, b->regeneration_s);
    ck_assert_double_eq(one.point.efficiency_eq_per_eq, plain.efficiency_eq_per_eq);
    /* Read between moments here, by the integrator's own polynomial there. */
    assert_near(a->leakage_first_eq_per_m3, b->leakage_first_eq_per_m3, 2e-3);
}
END_TEST

/* Draws that hardly rest are one run cut up: only the integrator notices. Capacity to 1e-3, five
 * times its tolerance at the steady cycle; leakage to twice its own, 5e-3. */
START_TEST(draws_without_much_rest_are_one_run)
{
    const bf_rating_spec spec = coarse_bed();
    const bf_dose_point plain = rate_at(&spec, 113.7);
    const bf_cycle_result *whole = &plain.steady.cycle;
    static const double sizes[] = {0.31, 3.7, 23.9};
    for (size_t k = 0; k < sizeof sizes / sizeof *sizes; k++) {
        const bf_stagnation_point cut = rate(&spec, sizes[k], 1.0, 113.7);
        const bf_cycle_result *cycle = &cut.point.steady.cycle;
        assert_near(capacity_of(&cut), whole->capacity_eq_per_m3, 1e-3);
        assert_near(cycle->leakage_mean_eq_per_m3, whole->leakage_mean_eq_per_m3, 1e-2);
        assert_near(cycle->leakage_first_eq_per_m3, whole->leakage_first_eq_per_m3, 2e-2);
        const double draws = ceil(cycle->throughput_bed_volumes / sizes[k] - 1e-9);
        ck_assert_uint_eq(cut.draws, (size_t)draws);
        ck_assert_double_lt(cycle->balance_error, 1e-9);
    }
}
END_TEST

/* The interruption test: where diffusion inside the beads is what holds the bed back, standing lets
 * them level out, and the run goes on with fresh surfaces; where the film is, nothing levels out.
 * Kressman & Kitchener, Discuss. Faraday Soc. 7 (1949) 90 (from memory). */
START_TEST(rests_help_where_beads_are_slow)
{
    bf_rating_spec spec = coarse_bed();
    spec.recipe.step[0].velocity_m_per_s *= 6.3;
    spec.bed.resin.bead_diameter_m = 0.97e-3;
    static const bf_rate_law laws[] = {BF_RATE_BEAD, BF_RATE_FILM};
    double gain[2];
    for (int k = 0; k < 2; k++) {
        spec.bed.rate_law = laws[k];
        spec.bed.shells = k == 0 ? 4 : 1;
        const bf_dose_point plain = rate_at(&spec, 113.7);
        const bf_stagnation_point result = rate(&spec, 2.3, 7200.0, 113.7);
        gain[k] = capacity_of(&result) / plain.steady.cycle.capacity_eq_per_m3 - 1.0;
    }
    ck_assert_double_gt(gain[0], 0.03);
    ck_assert_double_lt(fabs(gain[1]), 0.2 * gain[0]);
}
END_TEST

/* Water that stood comes from resin that leveled out, richer in hardness at its surface than the
 * water that ran past had made it. */
START_TEST(first_water_of_a_draw_leaks_more)
{
    const bf_rating_spec spec = coarse_bed();
    const bf_stagnation_point slow = rate(&spec, 5.3, 3.0, 81.9);
    const bf_stagnation_point rested = rate(&spec, 5.3, 28800.0, 81.9);
    ck_assert_double_gt(rested.first_eq_per_m3 / rested.later_eq_per_m3,
                        slow.first_eq_per_m3 / slow.later_eq_per_m3);
    /* Draws within the void have first water only. */
    const bf_stagnation_point small = rate(&spec, 0.37, 28800.0, 81.9);
    ck_assert(isnan(small.later_eq_per_m3));
    ck_assert_double_gt(small.first_eq_per_m3, 0.0);
}
END_TEST

START_TEST(a_run_ends_within_a_draw)
{
    const bf_rating_spec spec = coarse_bed();
    const double end = spec.recipe.step[0].end_hardness_eq_per_m3;
    for (double size = 0.9; size < 1.5; size += 0.2) {
        const bf_stagnation_point result = rate(&spec, size, 3600.0, 113.7);
        const bf_step_result *service = &result.point.steady.cycle.step[0];
        ck_assert(service->counted.reached_end_hardness);
        assert_near(service->counted.hardness_last_eq_per_m3, end, 1e-3);
        ck_assert_double_eq(service->bed_volumes, service->counted.bed_volumes);
        assert_near(service->duration_s,
                    service->bed_volumes * spec.bed.depth_m / spec.recipe.step[0].velocity_m_per_s,
                    1e-9); /* rests are no time of the run */
        assert_near(bf_ion_hardness(service->counted.in_eq_per_m3),
                    spec.water.hardness_eq_per_m3 * service->counted.bed_volumes, 1e-9);
    }
}
END_TEST

START_TEST(outcomes_other_than_a_rating)
{
    bf_error err = {0};
    bf_rating_spec spec = coarse_bed();
    /* Too little salt for the end point: the first draws are above it, and the run ends there. */
    spec.recipe.step[0].end_hardness_eq_per_m3 = 0.0031;
    const bf_stagnation draws = {.draw_bed_volumes = 0.83, .stagnation_s = 600.0};
    bf_stagnation_point point;
    assert_ok(bf_stagnation_rate(&spec, &draws, 23.7, &point, &err));
    ck_assert_int_eq(point.point.steady.cycle.outcome, BF_LEAKS_FROM_THE_START);
    ck_assert(isnan(point.point.efficiency_eq_per_eq));
    /* A service by volume ends by volume. */
    spec.recipe.step[0].end_hardness_eq_per_m3 = (double)NAN;
    spec.recipe.step[0].bed_volumes = 31.7;
    assert_ok(bf_stagnation_rate(&spec, &draws, 83.7, &point, &err));
    assert_near(point.point.steady.cycle.throughput_bed_volumes, 31.7, 1e-9);
    ck_assert_uint_eq(point.draws, 39);
}
END_TEST

START_TEST(refusals_say_what_is_accepted)
{
    bf_error err = {0};
    bf_rating_spec spec = coarse_bed();
    bf_stagnation_point point;
    static const bf_stagnation wrong[] = {{0.0099, 60.0}, {1.1e5, 60.0}, {(double)NAN, 60.0},
                                          {3.1, 0.9},     {3.1, 1.1e7},  {3.1, (double)NAN}};
    for (size_t k = 0; k < sizeof wrong / sizeof *wrong; k++) {
        assert_fails(bf_stagnation_rate(&spec, &wrong[k], 113.7, &point, &err), BF_E_RANGE,
                     k < 3 ? "accepted are 0.01 to 1e5" : "accepted are 1 s to 1e7 s");
    }
    const bf_stagnation sound = {.draw_bed_volumes = 3.1, .stagnation_s = 60.0};
    assert_fails(bf_stagnation_rate(&spec, &sound, 0.0, &point, &err), BF_E_RANGE, "above zero");
    assert_fails(bf_stagnation_rate(&spec, &sound, (double)INFINITY, &point, &err), BF_E_RANGE,
                 "above zero");
    spec.bed.cells = 3;
    assert_fails(bf_stagnation_rate(&spec, &sound, 113.7, &point, &err), BF_E_RANGE, "cells");
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {
        one_draw_is_the_plain_rating,    draws_without_much_rest_are_one_run,
        rests_help_where_beads_are_slow, first_water_of_a_draw_leaks_more,
        a_run_ends_within_a_draw,        outcomes_other_than_a_rating,
        refusals_say_what_is_accepted,
    };
    return support_run("rating.stagnation", tests, sizeof tests / sizeof *tests, 120.0);
}
