/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The metrics of the validation runner: values by hand, and what must never pass. */
#include "metrics.h"
#include "support.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

START_TEST(distances_by_hand)
{
    outcome result = {0};
    outcome_add(&result, 0.1, 3.25, 3.0);
    outcome_add(&result, 0.2, -0.5, -0.4);
    outcome_add(&result, 0.3, 7.0, 7.0);
    /* Differences 0.25, -0.1, 0: exact but for the rounding of 0.1. */
    ck_assert(metric_value(METRIC_max_abs, &result) == 0.25);
    ck_assert(metric_value(METRIC_apart, &result) == 0.25);
    assert_near(metric_value(METRIC_max_rel, &result), 0.25, 1e-14);
    assert_near(metric_value(METRIC_rms, &result), sqrt((0.0625 + 0.01) / 3.0), 1e-14);
    assert_near(metric_value(METRIC_mean_rel, &result), (0.25 / 3.0 + 0.1 / 0.4) / 3.0, 1e-14);
    assert_near(metric_value(METRIC_factor, &result), 1.25, 1e-14);
    assert_near(metric_value(METRIC_outside, &result), 0.25,
                1e-14);                    /* a number is a range of none */
    outcome_add(&result, 0.4, 1e-30, 0.0); /* any distance from zero is endless in relation */
    ck_assert(isinf(metric_value(METRIC_max_rel, &result)));
    outcome_add(&result, 0.5, (double)NAN, 1.0);
    for (int which = 0; which < METRIC_COUNT; which++) {
        double value = metric_value((metric)which, &result);
        ck_assert(isnan(value));
        ck_assert(!metric_passes((metric)which, value, 1e300));
        ck_assert(!metric_passes((metric)which, value, -1e300));
    }
}
END_TEST

START_TEST(nothing_is_not_a_pass)
{
    outcome result = {0};
    for (int which = 0; which < METRIC_COUNT; which++) {
        ck_assert(isnan(metric_value((metric)which, &result)));
    }
}
END_TEST

/* errors 5 h^1.73 exactly, so every order is 1.73 to rounding of logarithms. */
START_TEST(orders_of_a_power_law)
{
    outcome result = {0};
    const double intervals[] = {10.0, 20.0, 50.0, 160.0};
    for (size_t i = 0; i < 4; i++) {
        ck_assert(isnan(metric_value(METRIC_order, &result)));
        outcome_add_grid(&result, intervals[i], 5.0 * pow(intervals[i], -1.73));
    }
    assert_near(metric_value(METRIC_order, &result), 1.73, 1e-13);
    assert_near(metric_value(METRIC_last_orders, &result), 1.73, 1e-13);
    /* The smallest refinement, a factor 2, lowers the error least. */
    assert_near(metric_value(METRIC_falls, &result), pow(2.0, -1.73), 1e-13);
    result.error[3] *= 10.0; /* the last pair is the worse one now */
    assert_near(metric_value(METRIC_last_orders, &result), 1.73 - log(10.0) / log(3.2), 1e-12);
    ck_assert_double_lt(metric_value(METRIC_order, &result), 1.7);
    result.error[2] = 0.0; /* an error of zero has no logarithm and proves no order */
    ck_assert(isnan(metric_value(METRIC_order, &result)));
    ck_assert(isnan(metric_value(METRIC_last_orders, &result)));
    ck_assert(isnan(metric_value(METRIC_falls, &result)));
}
END_TEST

START_TEST(the_earlier_of_the_last_pairs_counts_too)
{
    outcome result = {0};
    outcome_add_grid(&result, 1.0, 1.0);
    outcome_add_grid(&result, 2.0, 0.5);
    outcome_add_grid(&result, 4.0, 0.125);
    assert_near(metric_value(METRIC_last_orders, &result), 1.0, 1e-14);
    assert_near(metric_value(METRIC_falls, &result), 0.5, 1e-15);
}
END_TEST

START_TEST(senses_and_edges)
{
    ck_assert(metric_passes(METRIC_max_abs, 0.3, 0.3));
    ck_assert(!metric_passes(METRIC_max_abs, nextafter(0.3, 1.0), 0.3));
    ck_assert(metric_passes(METRIC_order, 1.7, 1.7));
    ck_assert(!metric_passes(METRIC_order, nextafter(1.7, 0.0), 1.7));
    ck_assert(metric_passes(METRIC_max_abs, 0.0, 0.0));
    for (int which = 0; which < METRIC_COUNT; which++) {
        ck_assert_int_eq(metric_find(metric_name((metric)which)), which);
        ck_assert_uint_gt(strlen(metric_meaning((metric)which)), 10);
    }
    ck_assert_int_eq(metric_find("best"), METRIC_COUNT);
}
END_TEST

static double outside_of(const char *published, double computed)
{
    outcome result = {0};
    outcome_label label = {.point = "here", .unit = "m"};
    (void)snprintf(label.published, sizeof label.published, "%s", published);
    outcome_add_published(&result, &label, computed);
    return metric_value(METRIC_outside, &result);
}

/* Every form of a published number; what cannot be read must not pass. */
START_TEST(published_numbers_limits_and_ranges)
{
    assert_near(outside_of("20.0", 19.0), 0.05, 1e-14);
    assert_near(outside_of("20.0", 21.0), 0.05, 1e-14);
    assert_near(outside_of(">= 20", 19.0), 0.05, 1e-14);
    ck_assert(outside_of(">= 20", 1e6) == 0.0);
    assert_near(outside_of("<= 5", 6.0), 0.2, 1e-14);
    ck_assert(outside_of("<= 5", -3.0) == 0.0);
    ck_assert(outside_of("50 to 70", 50.0) == 0.0);
    ck_assert(outside_of("50 to 70", 70.0) == 0.0);
    assert_near(outside_of("50 to 70", 77.0), 0.1, 1e-14);
    assert_near(outside_of("50 to 70", 45.0), 0.1, 1e-14);
    ck_assert(isnan(outside_of(">= 20", (double)NAN)));
    ck_assert(isnan(outside_of("<= 20", (double)NAN)));
    const char *const wrong[] = {"", "-", "about 5", "5 mg", "70 to 50", "5 to", "<5", ">= "};
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++) {
        ck_assert_msg(isnan(outside_of(wrong[i], 5.0)), "\"%s\"", wrong[i]);
    }
}
END_TEST

START_TEST(factor_is_the_same_both_ways)
{
    outcome result = {0};
    outcome_add(&result, 0.0, 2.0, 4.0);
    assert_near(metric_value(METRIC_factor, &result), 2.0, 1e-15);
    outcome_add(&result, 0.0, 9.0, 3.0);
    assert_near(metric_value(METRIC_factor, &result), 3.0, 1e-15);
    outcome_add(&result, 0.0, -4.0, 4.0); /* no factor turns a sign */
    ck_assert(isnan(metric_value(METRIC_factor, &result)));
}
END_TEST

START_TEST(spots_keep_the_worst)
{
    outcome result = {0};
    outcome_spot(&result, 1.03, 1.0, 0.1);
    assert_near(result.spot, 0.3, 1e-14);
    outcome_spot(&result, 1.01, 1.0, 0.1);
    assert_near(result.spot, 0.3, 1e-14);
    outcome_spot(&result, 0.5, 1.0, 0.1);
    assert_near(result.spot, 5.0, 1e-14);
    outcome_spot(&result, (double)NAN, 1.0, 0.1);
    outcome_spot(&result, 1.0, 1.0, 0.1);
    ck_assert(isnan(result.spot));
    ck_assert_uint_eq(result.spots, 5);
}
END_TEST

START_TEST(an_outcome_that_ran_over_never_passes)
{
    outcome result = {0};
    for (int i = 0; i < OUTCOME_POINTS; i++) {
        outcome_add(&result, 0.0, 1.0, 1.0);
    }
    for (int i = 0; i < OUTCOME_GRIDS; i++) {
        outcome_add_grid(&result, 1.0 + i, 1.0);
    }
    ck_assert(metric_value(METRIC_max_abs, &result) == 0.0);
    ck_assert(metric_value(METRIC_order, &result) == 0.0);
    outcome_add(&result, 0.0, 1.0, 1.0);
    outcome_add_grid(&result, 99.0, 1.0);
    ck_assert(isnan(metric_value(METRIC_max_abs, &result)));
    ck_assert(isnan(metric_value(METRIC_order, &result)));
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {distances_by_hand,
                                  nothing_is_not_a_pass,
                                  orders_of_a_power_law,
                                  the_earlier_of_the_last_pairs_counts_too,
                                  senses_and_edges,
                                  published_numbers_limits_and_ranges,
                                  factor_is_the_same_both_ways,
                                  spots_keep_the_worst,
                                  an_outcome_that_ran_over_never_passes};
    return support_run("validation.metrics", tests, sizeof tests / sizeof *tests, 30);
}
