/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Ratings asked backwards: every answer is put back into the model and gives what was wanted, a
 * little less does not; every limit binds once; every refusal.
 *
 * Tolerances: an answer holds to 5e-4 of what was wanted, and rating it anew gives the same bits,
 * so that 6e-4 is asked for. A bed made by hand differs by rounding in its velocities, of which the
 * integrator's steps make some 1e-5: 1e-4. What is a little less is 1 % less, several times what an
 * answer may lie above the least. */
#include "brinefront/hydraulics.h"
#include "brinefront/sizing.h"

#include "coarse_bed.h"

#include <math.h>
#include <string.h>

static const double answer_tolerance = 6e-4;

static int rated_at(const bf_rating_spec *spec, double dose)
{
    return rate_at(spec, dose).steady.cycle.outcome == BF_RATED;
}

static double capacity_at(const bf_rating_spec *spec, double dose)
{
    return rate_at(spec, dose).steady.cycle.capacity_eq_per_m3;
}

static double circle_m2(double diameter_m)
{
    return 0.785398163397448 * diameter_m * diameter_m;
}

static bf_rating_spec with_end_point(double end)
{
    bf_rating_spec spec = coarse_bed();
    spec.recipe.step[0].end_hardness_eq_per_m3 = end;
    return spec;
}

/* The point in an answer is the rating of its dose, to the bit. */
static void is_rating_of(const bf_sizing *sizing, const bf_rating_spec *spec, double dose)
{
    const bf_dose_point point = rate_at(spec, dose);
    ck_assert_int_eq(sizing->point.steady.cycle.outcome, point.steady.cycle.outcome);
    ck_assert_double_eq(sizing->point.dose_kg_per_m3, dose);
    ck_assert_double_eq(sizing->point.steady.cycle.capacity_eq_per_m3,
                        point.steady.cycle.capacity_eq_per_m3);
}

static void has_no_answer(const bf_sizing *sizing, bf_binding binding)
{
    ck_assert_str_eq(bf_binding_words(sizing->binding), bf_binding_words(binding));
    ck_assert(isnan(sizing->answer));
    ck_assert(isnan(sizing->days));
    ck_assert(isnan(sizing->salt_kg_per_year));
    ck_assert_int_eq(sizing->decided, BF_BINDING_NONE);
}

static void has_answer(const bf_sizing *sizing, bf_binding decided)
{
    ck_assert_int_eq(sizing->binding, BF_BINDING_NONE);
    ck_assert_str_eq(bf_binding_words(sizing->decided), bf_binding_words(decided));
    ck_assert(isfinite(sizing->answer));
    ck_assert(isnan(sizing->nearest));
    ck_assert_int_eq(sizing->point.steady.cycle.outcome, BF_RATED);
    ck_assert_uint_gt(sizing->ratings, 0);
    ck_assert_uint_le(sizing->ratings, 30);
}

/* ---- dose for a capacity --------------------------------------------------------------------- */

START_TEST(a_dose_gives_the_capacity)
{
    const bf_rating_spec spec = coarse_bed();
    static const double expected[] = {971.3, 1213.7, 1566.1};
    for (size_t k = 0; k < sizeof expected / sizeof *expected; k++) {
        bf_error err = {0};
        bf_sizing sizing;
        assert_ok(bf_dose_for_capacity(&spec, expected[k], NULL, &sizing, &err));
        has_answer(&sizing, BF_BINDING_CAPACITY);
        is_rating_of(&sizing, &spec, sizing.answer);
        assert_near(capacity_at(&spec, sizing.answer), expected[k], answer_tolerance);
        ck_assert_double_lt(capacity_at(&spec, 0.99 * sizing.answer), expected[k]);
        ck_assert_uint_le(sizing.ratings, 10);
    }
}
END_TEST

START_TEST(a_capacity_below_the_least_rating_is_decided_by_leakage)
{
    bf_error err = {0};
    bf_sizing sizing;
    const bf_rating_spec spec = coarse_bed();
    assert_ok(bf_dose_for_capacity(&spec, 213.0, NULL, &sizing, &err));
    has_answer(&sizing, BF_BINDING_LEAKAGE);
    is_rating_of(&sizing, &spec, sizing.answer);
    ck_assert(!rated_at(&spec, 0.99 * sizing.answer));
    ck_assert_double_gt(sizing.point.steady.cycle.capacity_eq_per_m3, 213.0);
}
END_TEST

START_TEST(a_capacity_below_the_range_is_decided_by_its_end)
{
    bf_error err = {0};
    bf_sizing sizing;
    const bf_rating_spec spec = with_end_point(2.93);
    assert_ok(bf_dose_for_capacity(&spec, 213.0, NULL, &sizing, &err));
    has_answer(&sizing, BF_BINDING_SIZE);
    ck_assert_double_eq(sizing.answer, BF_SIZING_DOSE_LOW);
    is_rating_of(&sizing, &spec, BF_SIZING_DOSE_LOW);
}
END_TEST

START_TEST(capacities_that_no_dose_gives)
{
    bf_error err = {0};
    bf_sizing sizing;
    bf_rating_spec spec = coarse_bed();
    assert_ok(bf_dose_for_capacity(&spec, 1953.0, NULL, &sizing, &err));
    has_no_answer(&sizing, BF_BINDING_CAPACITY);
    is_rating_of(&sizing, &spec, BF_SIZING_DOSE_HIGH);
    ck_assert_double_eq(sizing.nearest, capacity_at(&spec, BF_SIZING_DOSE_HIGH));
    /* An end point below all leakage. */
    spec = with_end_point(3.1e-4);
    assert_ok(bf_dose_for_capacity(&spec, 1213.7, NULL, &sizing, &err));
    has_no_answer(&sizing, BF_BINDING_LEAKAGE);
    ck_assert(isnan(sizing.nearest));
    /* A run cut short: there is a capacity, that of the volume. */
    spec = coarse_bed();
    spec.recipe.step[0].bed_volumes = 11.3;
    assert_ok(bf_dose_for_capacity(&spec, 1213.7, NULL, &sizing, &err));
    has_no_answer(&sizing, BF_BINDING_CYCLE);
    assert_near(sizing.nearest, 11.3 * spec.water.hardness_eq_per_m3, 1e-2);
    /* No steady cycle in two. */
    spec = coarse_bed();
    spec.steady.most_cycles = 2;
    assert_ok(bf_dose_for_capacity(&spec, 1213.7, NULL, &sizing, &err));
    has_no_answer(&sizing, BF_BINDING_CYCLE);
    ck_assert(isnan(sizing.nearest));
}
END_TEST

START_TEST(impossible_capacities_are_refused)
{
    bf_error err = {0};
    bf_sizing sizing;
    bf_rating_spec spec = coarse_bed();
    assert_fails(bf_dose_for_capacity(&spec, 0.0, NULL, &sizing, &err), BF_E_RANGE, "the capacity");
    assert_fails(bf_dose_for_capacity(&spec, (double)NAN, NULL, &sizing, &err), BF_E_RANGE,
                 "the capacity");
    spec.bed.depth_m = 11.0;
    assert_fails(bf_dose_for_capacity(&spec, 1213.7, NULL, &sizing, &err), BF_E_RANGE, "depth");
    /* What only a rating finds out. */
    spec = coarse_bed();
    spec.steady.most_cycles = 1;
    assert_fails(bf_dose_for_capacity(&spec, 1213.7, NULL, &sizing, &err), BF_E_RANGE,
                 "2 to 10000");
}
END_TEST

/* ---- end point that can be held -------------------------------------------------------------- */

START_TEST(the_lowest_end_point_is_held_and_a_lower_is_not)
{
    /* The second dose has no rating at the recipe's own end point. */
    static const double doses[] = {113.7, 43.1, 217.9};
    for (size_t k = 0; k < sizeof doses / sizeof *doses; k++) {
        bf_error err = {0};
        bf_sizing sizing;
        const bf_rating_spec spec = coarse_bed();
        assert_ok(bf_holdable_end_point(&spec, doses[k], NULL, &sizing, &err));
        has_answer(&sizing, BF_BINDING_LEAKAGE);
        bf_rating_spec rating = with_end_point(sizing.answer);
        is_rating_of(&sizing, &rating, doses[k]);
        /* Within 1 %, as sizing.h says. */
        rating = with_end_point(0.99 * sizing.answer);
        ck_assert(!rated_at(&rating, doses[k]));
        const int above = sizing.answer > spec.recipe.step[0].end_hardness_eq_per_m3;
        ck_assert_int_eq(above, !rated_at(&spec, doses[k]));
        ck_assert_uint_le(sizing.ratings, 16);
        if (!above) {
            /* Runs to a lower end point leave the bed cleaner. */
            ck_assert_double_lt(sizing.answer,
                                rate_at(&spec, doses[k]).steady.cycle.leakage_first_eq_per_m3);
        }
    }
}
END_TEST

START_TEST(a_service_by_volume_has_an_end_point_too)
{
    bf_error err = {0};
    bf_sizing sizing, same;
    bf_rating_spec spec = with_end_point((double)NAN);
    spec.recipe.step[0].bed_volumes = 331.0; /* longer than any run */
    assert_ok(bf_holdable_end_point(&spec, 113.7, NULL, &sizing, &err));
    has_answer(&sizing, BF_BINDING_LEAKAGE);
    spec = coarse_bed();
    assert_ok(bf_holdable_end_point(&spec, 113.7, NULL, &same, &err));
    assert_near(sizing.answer, same.answer, 1e-2);
}
END_TEST

START_TEST(end_points_that_cannot_be_held)
{
    bf_error err = {0};
    bf_sizing sizing;
    /* Below the hardness at which the run stops, but that is below what leaks. */
    bf_rating_spec spec = coarse_bed();
    spec.recipe.step[0].stop_hardness_eq_per_m3 = 0.4;
    assert_ok(bf_holdable_end_point(&spec, 31.7, NULL, &sizing, &err));
    has_no_answer(&sizing, BF_BINDING_LEAKAGE);
    ck_assert(isnan(sizing.nearest));
    /* Runs that end before any end point. */
    spec = coarse_bed();
    spec.recipe.step[0].bed_volumes = 11.3;
    assert_ok(bf_holdable_end_point(&spec, 113.7, NULL, &sizing, &err));
    has_no_answer(&sizing, BF_BINDING_CYCLE);
    /* So much salt that the end of the range is held. */
    spec = coarse_bed();
    for (size_t s = 1; s < spec.recipe.count; s++) {
        spec.recipe.step[s].direction = BF_FLOW_UP;
        spec.recipe.step[s].supply = BF_SUPPLY_SOFT;
    }
    assert_ok(bf_holdable_end_point(&spec, 371.0, NULL, &sizing, &err));
    has_answer(&sizing, BF_BINDING_SIZE);
    assert_near(sizing.answer, 1e-3 * spec.water.hardness_eq_per_m3, 1e-12);
}
END_TEST

START_TEST(impossible_end_points_are_refused)
{
    bf_error err = {0};
    bf_sizing sizing;
    bf_rating_spec spec = coarse_bed();
    assert_fails(bf_holdable_end_point(&spec, -1.0, NULL, &sizing, &err), BF_E_RANGE, "the dose");
    assert_fails(bf_holdable_end_point(&spec, 2001.0, NULL, &sizing, &err), BF_E_RANGE, "2000");
    spec.steady.most_cycles = 1;
    assert_fails(bf_holdable_end_point(&spec, 113.7, NULL, &sizing, &err), BF_E_RANGE,
                 "2 to 10000");
    spec = with_end_point((double)NAN);
    spec.recipe.step[0].bed_volumes = 331.0;
    spec.water.hardness_eq_per_m3 = 0.0;
    assert_fails(bf_holdable_end_point(&spec, 113.7, NULL, &sizing, &err), BF_E_RANGE,
                 "hardness of the feed");
}
END_TEST

/* ---- the smallest bed ------------------------------------------------------------------------ */

/* Nothing is asked of the vessel, and pressure is that of no pump. */
static const double any_pressure_Pa = 1e7;

static bf_tank_spec no_vessel(void)
{
    bf_tank_spec tank = bf_tank_spec_default();
    tank.pressure_limit_Pa = any_pressure_Pa;
    tank.velocity_limit_m_per_s = tank.bed_volumes_per_h_limit = (double)NAN;
    tank.wanted_rise = (double)NAN;
    tank.swelling = 0.0;
    return tank;
}

/* Water that a bed softens at a flow, rated by hand: the service at the flow, and, where the depth
 * is not that of the recipe, brine and rinses at their bed volumes an hour. */
static double softens_m3(bf_rating_spec spec, double diameter_m, double depth_m, double freeboard_m,
                         double flow_m3_per_s, double dose)
{
    for (size_t s = 1; s < spec.recipe.count; s++) {
        spec.recipe.step[s].velocity_m_per_s *= depth_m / spec.bed.depth_m;
    }
    spec.bed.diameter_m = diameter_m;
    spec.bed.depth_m = depth_m;
    spec.bed.freeboard_m = freeboard_m;
    spec.recipe.step[0].velocity_m_per_s = flow_m3_per_s / circle_m2(diameter_m);
    const bf_dose_point point = rate_at(&spec, dose);
    return point.steady.cycle.outcome == BF_RATED
               ? point.steady.cycle.throughput_bed_volumes * circle_m2(diameter_m) * depth_m
               : (double)NAN;
}

START_TEST(the_diameter_grows_until_the_interval_is_held)
{
    bf_error err = {0};
    bf_sizing sizing;
    const bf_rating_spec spec = coarse_bed();
    bf_tank_spec tank = no_vessel();
    tank.velocity_limit_m_per_s = 0.0047;
    static const double intervals[] = {4.37, 13.9};
    const double flow = 1.7e-4;
    for (size_t k = 0; k < 2; k++) {
        assert_ok(bf_smallest_bed(&spec, &tank, 113.7, intervals[k], flow, NULL, &sizing, &err));
        has_answer(&sizing, BF_BINDING_INTERVAL);
        ck_assert_double_eq(sizing.bed.depth_m, spec.bed.depth_m);
        ck_assert_double_eq(sizing.bed.freeboard_m, spec.bed.freeboard_m);
        assert_near(circle_m2(sizing.bed.diameter_m) * spec.bed.depth_m, sizing.answer, 1e-12);
        assert_near(softens_m3(spec, sizing.bed.diameter_m, spec.bed.depth_m, spec.bed.freeboard_m,
                               flow, 113.7),
                    intervals[k], answer_tolerance);
        ck_assert_double_lt(softens_m3(spec, 0.995 * sizing.bed.diameter_m, spec.bed.depth_m,
                                       spec.bed.freeboard_m, flow, 113.7),
                            intervals[k]);
        ck_assert_uint_le(sizing.ratings, 8);
    }
}
END_TEST

START_TEST(each_limit_of_flow_decides_a_bed)
{
    bf_error err = {0};
    bf_sizing sizing;
    const bf_rating_spec spec = coarse_bed();
    const double flow = 6.1e-4;
    const double depth = spec.bed.depth_m;
    bf_tank_spec tank = no_vessel();
    tank.velocity_limit_m_per_s = 0.0047;
    assert_ok(bf_smallest_bed(&spec, &tank, 113.7, 0.91, flow, NULL, &sizing, &err));
    has_answer(&sizing, BF_BINDING_FLOW);
    assert_near(flow / circle_m2(sizing.bed.diameter_m), 0.0047, 1e-9);
    tank.bed_volumes_per_h_limit = 17.3;
    assert_ok(bf_smallest_bed(&spec, &tank, 113.7, 0.91, flow, NULL, &sizing, &err));
    has_answer(&sizing, BF_BINDING_FLOW);
    assert_near(3600.0 * flow / sizing.answer, 17.3, 1e-9);
    /* Pressure: bed by Ergun, fittings by the square of the flow. */
    tank.pressure_limit_Pa = 31e3;
    tank.valve_Pa = 21e3;
    tank.valve_m3_per_s = 5.7e-4;
    tank.distributor_Pa = 3e3;
    tank.distributor_m3_per_s = 9.3e-4;
    assert_ok(bf_smallest_bed(&spec, &tank, 113.7, 0.91, flow, NULL, &sizing, &err));
    has_answer(&sizing, BF_BINDING_FLOW);
    bf_fluid water;
    assert_ok(bf_fluid_of_water(spec.water.temperature_K, &water, &err));
    const double velocity = flow / circle_m2(sizing.bed.diameter_m);
    const double fittings = 21e3 * pow(6.1 / 5.7, 2.0) + 3e3 * pow(6.1 / 9.3, 2.0);
    const double bed =
        depth * bf_pressure_gradient_Pa_per_m(&water, velocity, spec.bed.resin.bead_diameter_m,
                                              spec.bed.resin.void_fraction);
    assert_near(fittings + bed, 31e3, 1e-12);
    double taken_Pa = 0.0; /* by one law, wherever it is solved */
    assert_ok(
        bf_tank_pressure_Pa(&tank, &sizing.bed, flow, spec.water.temperature_K, &taken_Pa, &err));
    assert_near(taken_Pa, 31e3, 1e-12);
    ck_assert_double_lt(3600.0 * flow / sizing.answer, 17.3);
    /* Fittings alone beyond the limit: no bed; the flow that they let pass. */
    tank.pressure_limit_Pa = 19e3;
    assert_ok(bf_smallest_bed(&spec, &tank, 113.7, 0.91, flow, NULL, &sizing, &err));
    has_no_answer(&sizing, BF_BINDING_FLOW);
    ck_assert_uint_eq(sizing.ratings, 0);
    /* In beds of up to 10 m across, pressure over the bed is next to nothing. */
    assert_near(sizing.nearest, flow * sqrt(19e3 / fittings), 1e-3);
}
END_TEST

START_TEST(beds_without_an_answer)
{
    bf_error err = {0};
    bf_sizing sizing;
    bf_rating_spec spec = coarse_bed();
    const bf_tank_spec tank = no_vessel();
    assert_ok(bf_smallest_bed(&spec, &tank, 113.7, 3.1e5, 0.11, NULL, &sizing, &err));
    has_no_answer(&sizing, BF_BINDING_SIZE);
    assert_near(sizing.nearest,
                softens_m3(spec, 10.0, spec.bed.depth_m, spec.bed.freeboard_m, 0.11, 113.7), 1e-4);
    assert_near(sizing.bed.diameter_m, 10.0, 1e-12);
    /* The least there is does more than is wanted. */
    assert_ok(bf_smallest_bed(&spec, &tank, 113.7, 1.3e-3, 1.1e-7, NULL, &sizing, &err));
    has_answer(&sizing, BF_BINDING_SIZE);
    assert_near(sizing.bed.diameter_m, 0.01, 1e-12);
    spec = with_end_point(3.1e-4);
    assert_ok(bf_smallest_bed(&spec, &tank, 113.7, 4.37, 1.7e-4, NULL, &sizing, &err));
    has_no_answer(&sizing, BF_BINDING_LEAKAGE);
    ck_assert(isnan(sizing.nearest));
    spec = coarse_bed();
    spec.recipe.step[0].bed_volumes = 11.3;
    assert_ok(bf_smallest_bed(&spec, &tank, 113.7, 4.37, 1.7e-4, NULL, &sizing, &err));
    has_no_answer(&sizing, BF_BINDING_CYCLE);
}
END_TEST

START_TEST(in_a_vessel_the_depth_grows)
{
    bf_error err = {0};
    bf_sizing sizing;
    const bf_rating_spec spec = coarse_bed();
    const double flow = 1.3e-4;
    bf_tank_spec tank = no_vessel();
    tank.diameter_m = 0.253;
    /* Without a height the freeboard stays in proportion. */
    assert_ok(bf_smallest_bed(&spec, &tank, 113.7, 3.91, flow, NULL, &sizing, &err));
    has_answer(&sizing, BF_BINDING_INTERVAL);
    ck_assert_double_eq(sizing.bed.diameter_m, 0.253);
    assert_near(sizing.bed.depth_m * circle_m2(0.253), sizing.answer, 1e-12);
    assert_near(sizing.bed.freeboard_m / sizing.bed.depth_m,
                spec.bed.freeboard_m / spec.bed.depth_m, 1e-12);
    assert_near(softens_m3(spec, 0.253, sizing.bed.depth_m, sizing.bed.freeboard_m, flow, 113.7),
                3.91, answer_tolerance);
    ck_assert_double_lt(softens_m3(spec, 0.253, 0.99 * sizing.bed.depth_m,
                                   0.99 * sizing.bed.freeboard_m, flow, 113.7),
                        3.91);
    /* With one it is what the height leaves. */
    tank.height_m = 1.37;
    tank.underbedding_m = 0.11;
    assert_ok(bf_smallest_bed(&spec, &tank, 157.0, 4.91, flow, NULL, &sizing, &err));
    has_answer(&sizing, BF_BINDING_INTERVAL);
    assert_near(sizing.bed.freeboard_m, 1.26 - sizing.bed.depth_m, 1e-12);
    assert_near(softens_m3(spec, 0.253, sizing.bed.depth_m, sizing.bed.freeboard_m, flow, 157.0),
                4.91, answer_tolerance);
    /* A shallow bed below much water leaks, for the brine is thinned: leakage decides. */
    assert_ok(bf_smallest_bed(&spec, &tank, 113.7, 1.07, flow, NULL, &sizing, &err));
    has_answer(&sizing, BF_BINDING_LEAKAGE);
    ck_assert(isnan(softens_m3(spec, 0.253, 0.99 * sizing.bed.depth_m,
                               1.26 - 0.99 * sizing.bed.depth_m, flow, 113.7)));
}
END_TEST

START_TEST(steps_in_another_depth)
{
    bf_error err = {0};
    bf_sizing sizing;
    bf_rating_spec spec = coarse_bed();
    bf_step *wash = add_step(&spec, &bf_step_backwash, 16.0);
    wash->direction = BF_FLOW_UP;
    wash->bed_volumes = 1.3;
    spec.recipe.step[1].direction = BF_FLOW_UP;
    spec.recipe.step[1].blocking_velocity_m_per_s = 2.3e-4;
    bf_tank_spec tank = no_vessel();
    tank.diameter_m = 0.253;
    assert_ok(bf_smallest_bed(&spec, &tank, 113.7, 9.3, 1.3e-4, NULL, &sizing, &err));
    ck_assert_double_gt(sizing.bed.depth_m, 1.5 * spec.bed.depth_m);
    const bf_cycle_result *deep = &sizing.point.steady.cycle;
    const bf_dose_point point = rate_at(&spec, 113.7);
    const bf_cycle_result *shallow = &point.steady.cycle;
    /* Backwash keeps its velocity; brine takes as long as in the shallow bed, and as much water to
     * hold the bed down. */
    ck_assert_double_eq(deep->step[5].depth_ratio, shallow->step[5].depth_ratio);
    assert_near(deep->step[1].duration_s, shallow->step[1].duration_s, 1e-9);
    assert_near(deep->step[1].water_bed_volumes, shallow->step[1].water_bed_volumes, 1e-9);
    ck_assert_double_gt(shallow->step[1].water_bed_volumes, shallow->step[1].bed_volumes + 0.1);
}
END_TEST

START_TEST(vessels_that_hold_no_answer)
{
    bf_error err = {0};
    bf_sizing sizing;
    const bf_rating_spec spec = coarse_bed();
    const double flow = 1.3e-4;
    bf_tank_spec tank = no_vessel();
    tank.diameter_m = 0.253;
    tank.height_m = 1.37;
    tank.underbedding_m = 0.11;
    tank.wanted_rise = 0.47;
    tank.swelling = 0.063;
    /* Height: depth (1 + swelling)(1 + expansion) fills what is above the underbedding. */
    assert_ok(bf_smallest_bed(&spec, &tank, 131.7, 7.93, flow, NULL, &sizing, &err));
    has_no_answer(&sizing, BF_BINDING_SIZE);
    const double deepest = 1.26 / (1.47 * 1.063);
    assert_near(sizing.bed.depth_m, deepest, 1e-12);
    assert_near(sizing.nearest, softens_m3(spec, 0.253, deepest, 1.26 - deepest, flow, 131.7),
                1e-4);
    /* Pressure before height. */
    bf_fluid water;
    assert_ok(bf_fluid_of_water(spec.water.temperature_K, &water, &err));
    const double gradient =
        bf_pressure_gradient_Pa_per_m(&water, flow / circle_m2(0.253),
                                      spec.bed.resin.bead_diameter_m, spec.bed.resin.void_fraction);
    tank.pressure_limit_Pa = 0.79 * gradient;
    assert_ok(bf_smallest_bed(&spec, &tank, 131.7, 7.93, flow, NULL, &sizing, &err));
    has_no_answer(&sizing, BF_BINDING_FLOW);
    ck_assert_uint_gt(sizing.ratings, 0);
    assert_near(sizing.bed.depth_m, 0.79, 1e-9);
    assert_near(sizing.nearest, softens_m3(spec, 0.253, 0.79, 0.47, flow, 131.7), 1e-4);
    /* No bed carries the flow: too fast, or too many bed volumes for the height. */
    tank.pressure_limit_Pa = any_pressure_Pa;
    tank.velocity_limit_m_per_s = 0.0021;
    assert_ok(bf_smallest_bed(&spec, &tank, 131.7, 2.93, flow, NULL, &sizing, &err));
    has_no_answer(&sizing, BF_BINDING_FLOW);
    ck_assert_uint_eq(sizing.ratings, 0);
    assert_near(sizing.nearest, 0.0021 * circle_m2(0.253), 1e-5);
    tank.velocity_limit_m_per_s = (double)NAN;
    tank.bed_volumes_per_h_limit = 9.7;
    assert_ok(bf_smallest_bed(&spec, &tank, 131.7, 2.93, flow, NULL, &sizing, &err));
    has_no_answer(&sizing, BF_BINDING_FLOW);
    assert_near(sizing.nearest, 9.7 / 3600.0 * deepest * circle_m2(0.253), 1e-5);
    /* Bed volumes decide where the flow is less. */
    assert_ok(
        bf_smallest_bed(&spec, &tank, 187.0, 2.13, 0.94 * sizing.nearest, NULL, &sizing, &err));
    has_answer(&sizing, BF_BINDING_FLOW);
    assert_near(sizing.bed.depth_m, 0.94 * deepest, 1e-4);
    /* No height at all. */
    tank.underbedding_m = 1.37;
    assert_ok(bf_smallest_bed(&spec, &tank, 131.7, 2.93, flow, NULL, &sizing, &err));
    has_no_answer(&sizing, BF_BINDING_SIZE);
    ck_assert(isnan(sizing.nearest));
    ck_assert_uint_eq(sizing.ratings, 0);
}
END_TEST

START_TEST(impossible_beds_are_refused)
{
    bf_error err = {0};
    bf_sizing sizing;
    bf_rating_spec spec = coarse_bed();
    bf_tank_spec tank = no_vessel();
    assert_fails(bf_smallest_bed(&spec, &tank, 0.0, 4.37, 1.7e-4, NULL, &sizing, &err), BF_E_RANGE,
                 "the dose");
    assert_fails(bf_smallest_bed(&spec, &tank, 113.7, -4.37, 1.7e-4, NULL, &sizing, &err),
                 BF_E_RANGE, "the interval");
    assert_fails(bf_smallest_bed(&spec, &tank, 113.7, 4.37, (double)NAN, NULL, &sizing, &err),
                 BF_E_RANGE, "the flow");
    tank.swelling = 0.21;
    assert_fails(bf_smallest_bed(&spec, &tank, 113.7, 4.37, 1.7e-4, NULL, &sizing, &err),
                 BF_E_RANGE, "swelling is 0.21");
    tank = no_vessel();
    spec.bed.cells = 3;
    assert_fails(bf_smallest_bed(&spec, &tank, 113.7, 4.37, 1.7e-4, NULL, &sizing, &err),
                 BF_E_RANGE, "cells");
    /* What only a bed of another size finds out. */
    spec = coarse_bed();
    spec.recipe.step[1].velocity_m_per_s = 0.5;
    tank.diameter_m = 0.253;
    assert_fails(bf_smallest_bed(&spec, &tank, 113.7, 19.1, 1.7e-4, NULL, &sizing, &err),
                 BF_E_RANGE, "velocity of the brine step");
}
END_TEST

/* A vessel is checked in one place, whoever asks: the same values pass, in the same words. */
START_TEST(a_vessel_is_checked_as_everywhere)
{
    bf_sizing sizing;
    const bf_rating_spec spec = coarse_bed();
    static const struct {
        size_t offset;
        double value;
    } table[] = {
        {offsetof(bf_tank_spec, diameter_m), 0.009},
        {offsetof(bf_tank_spec, height_m), 21.0},
        {offsetof(bf_tank_spec, underbedding_m), (double)NAN},
        {offsetof(bf_tank_spec, pressure_limit_Pa), 0.5},
        {offsetof(bf_tank_spec, pressure_limit_Pa), 1.1e7},
        {offsetof(bf_tank_spec, pressure_limit_Pa), (double)NAN},
        {offsetof(bf_tank_spec, velocity_limit_m_per_s), 1e-7},
        {offsetof(bf_tank_spec, bed_volumes_per_h_limit), 1.1e4},
        {offsetof(bf_tank_spec, peak_m3_per_s), 11.0},
        {offsetof(bf_tank_spec, wanted_rise), 0.07},
        {offsetof(bf_tank_spec, swelling), (double)NAN},
        {offsetof(bf_tank_spec, valve_Pa), 31e3},
        {offsetof(bf_tank_spec, distributor_m3_per_s), 3e-4},
    };
    for (size_t k = 0; k < sizeof table / sizeof *table; k++) {
        bf_error sizing_err = {0};
        bf_error tank_err = {0};
        bf_tank_spec tank = no_vessel();
        memcpy((char *)&tank + table[k].offset, &table[k].value, sizeof table[k].value);
        ck_assert_int_eq(bf_tank_spec_check(&tank, &tank_err), BF_E_RANGE);
        ck_assert_int_eq(
            bf_smallest_bed(&spec, &tank, 113.7, 4.37, 1.7e-4, NULL, &sizing, &sizing_err),
            BF_E_RANGE);
        ck_assert_str_eq(sizing_err.message, tank_err.message);
        ck_assert_str_eq(sizing_err.where, tank_err.where);
    }
}
END_TEST

/* ---- least salt ------------------------------------------------------------------------------ */

/* Salt a year at a dose by hand, kg; NAN where it is not allowed. */
static double salt_kg_per_year(const bf_rating_spec *spec, double dose, double water_m3_per_day,
                               double least_days, double most_days)
{
    const bf_dose_point point = rate_at(spec, dose);
    const double resin_m3 = circle_m2(spec->bed.diameter_m) * spec->bed.depth_m;
    const double days = resin_m3 * point.steady.cycle.throughput_bed_volumes / water_m3_per_day;
    return point.steady.cycle.outcome == BF_RATED && days >= least_days * (1.0 - answer_tolerance)
               ? dose * resin_m3 * 365.25 / fmin(days, most_days)
               : (double)NAN;
}

static void no_dose_needs_less(const bf_rating_spec *spec, double water, double least, double most,
                               const bf_sizing *sizing)
{
    assert_near(sizing->salt_kg_per_year,
                salt_kg_per_year(spec, sizing->answer, water, least, most), 1e-9);
    for (double dose = BF_SIZING_DOSE_LOW; dose <= BF_SIZING_DOSE_HIGH; dose *= 1.31) {
        const double salt = salt_kg_per_year(spec, dose, water, least, most);
        ck_assert(!(salt < sizing->salt_kg_per_year * (1.0 - 2e-3)));
    }
}

START_TEST(the_least_salt_is_at_the_least_dose_with_a_rating)
{
    bf_error err = {0};
    bf_sizing sizing;
    const bf_rating_spec spec = coarse_bed();
    assert_ok(bf_least_salt(&spec, 0.731, 1.0, 99.0, NULL, &sizing, &err));
    has_answer(&sizing, BF_BINDING_LEAKAGE);
    is_rating_of(&sizing, &spec, sizing.answer);
    no_dose_needs_less(&spec, 0.731, 1.0, 99.0, &sizing);
    ck_assert(!rated_at(&spec, 0.98 * sizing.answer));
    /* Capacity that is left unused costs salt. */
    bf_sizing sooner;
    assert_ok(bf_least_salt(&spec, 0.731, 1.0, 2.3, NULL, &sooner, &err));
    ck_assert_double_eq(sooner.days, 2.3);
    assert_near(sooner.salt_kg_per_year, sizing.salt_kg_per_year * sizing.days / 2.3, 2e-3);
    no_dose_needs_less(&spec, 0.731, 1.0, 2.3, &sooner);
}
END_TEST

START_TEST(the_interval_decides_the_dose)
{
    bf_error err = {0};
    bf_sizing sizing;
    const bf_rating_spec spec = coarse_bed();
    assert_ok(bf_least_salt(&spec, 0.731, 6.7, 99.0, NULL, &sizing, &err));
    has_answer(&sizing, BF_BINDING_INTERVAL);
    assert_near(sizing.days, 6.7, answer_tolerance);
    no_dose_needs_less(&spec, 0.731, 6.7, 99.0, &sizing);
    /* Runs at once exactly so long are no contradiction. */
    assert_ok(bf_least_salt(&spec, 0.731, 6.7, 6.7, NULL, &sizing, &err));
    has_answer(&sizing, BF_BINDING_INTERVAL);
    assert_near(sizing.days, 6.7, answer_tolerance);
}
END_TEST

START_TEST(salt_without_an_answer)
{
    bf_error err = {0};
    bf_sizing sizing;
    bf_rating_spec spec = coarse_bed();
    assert_ok(bf_least_salt(&spec, 0.731, 21.0, 99.0, NULL, &sizing, &err));
    has_no_answer(&sizing, BF_BINDING_INTERVAL);
    is_rating_of(&sizing, &spec, BF_SIZING_DOSE_HIGH);
    assert_near(sizing.nearest,
                circle_m2(spec.bed.diameter_m) * spec.bed.depth_m *
                    sizing.point.steady.cycle.throughput_bed_volumes / 0.731,
                1e-9);
    spec = with_end_point(3.1e-4);
    assert_ok(bf_least_salt(&spec, 0.731, 1.0, 99.0, NULL, &sizing, &err));
    has_no_answer(&sizing, BF_BINDING_LEAKAGE);
    ck_assert(isnan(sizing.nearest));
    spec = coarse_bed();
    spec.recipe.step[0].bed_volumes = 11.3;
    assert_ok(bf_least_salt(&spec, 0.731, 1.0, 99.0, NULL, &sizing, &err));
    has_no_answer(&sizing, BF_BINDING_CYCLE);
    /* All doses do: the lowest is least. */
    spec = with_end_point(2.93);
    assert_ok(bf_least_salt(&spec, 0.731, 1.0, 99.0, NULL, &sizing, &err));
    has_answer(&sizing, BF_BINDING_SIZE);
    ck_assert_double_eq(sizing.answer, BF_SIZING_DOSE_LOW);
}
END_TEST

START_TEST(impossible_uses_are_refused)
{
    bf_error err = {0};
    bf_sizing sizing;
    bf_rating_spec spec = coarse_bed();
    assert_fails(bf_least_salt(&spec, 0.0, 1.0, 99.0, NULL, &sizing, &err), BF_E_RANGE,
                 "the water");
    assert_fails(bf_least_salt(&spec, 0.731, 0.0, 99.0, NULL, &sizing, &err), BF_E_RANGE, "days");
    assert_fails(bf_least_salt(&spec, 0.731, 3.1, 3.0, NULL, &sizing, &err), BF_E_RANGE, "days");
    assert_fails(bf_least_salt(&spec, 0.731, (double)NAN, 3.0, NULL, &sizing, &err), BF_E_RANGE,
                 "days");
    assert_fails(bf_least_salt(&spec, 0.731, 1.0, (double)INFINITY, NULL, &sizing, &err),
                 BF_E_RANGE, "days");
    spec.bed.depth_m = 11.0;
    assert_fails(bf_least_salt(&spec, 0.731, 1.0, 99.0, NULL, &sizing, &err), BF_E_RANGE, "depth");
    spec = coarse_bed();
    spec.steady.most_cycles = 1;
    assert_fails(bf_least_salt(&spec, 0.731, 1.0, 99.0, NULL, &sizing, &err), BF_E_RANGE,
                 "2 to 10000");
}
END_TEST

/* ---- stopped --------------------------------------------------------------------------------- */

typedef struct watch {
    size_t calls, stop_after;
    double share;
} watch;

static int see(void *context, double share)
{
    watch *w = context;
    ck_assert_double_gt(share, w->share);
    ck_assert_double_lt(share, 1.0);
    w->share = share;
    return ++w->calls == w->stop_after;
}

START_TEST(a_search_that_is_stopped_hands_over_what_it_has)
{
    const bf_rating_spec spec = coarse_bed();
    bf_tank_spec tank = no_vessel();
    for (size_t stop_after = 1; stop_after <= 3; stop_after += 2) {
        bf_error err = {0};
        bf_sizing found[4];
        bf_status status[4];
        watch w[4];
        bf_sizing_spec how[4];
        for (size_t k = 0; k < 4; k++) {
            w[k] = (watch){.stop_after = stop_after};
            how[k] = (bf_sizing_spec){.watch = {see, &w[k]}};
        }
        status[0] = bf_dose_for_capacity(&spec, 1213.7, &how[0], &found[0], &err);
        status[1] = bf_holdable_end_point(&spec, 113.7, &how[1], &found[1], &err);
        status[2] = bf_smallest_bed(&spec, &tank, 113.7, 4.37, 1.7e-4, &how[2], &found[2], &err);
        status[3] = bf_least_salt(&spec, 0.731, 1.0, 99.0, &how[3], &found[3], &err);
        for (size_t k = 0; k < 4; k++) {
            ck_assert_uint_eq(found[k].ratings, w[k].calls);
            ck_assert_int_eq(status[k], w[k].calls == stop_after ? BF_E_STOPPED : BF_OK);
            /* Either something that is enough, or nothing yet and no limit made up for it. */
            ck_assert_int_eq(found[k].binding,
                             isnan(found[k].answer) ? BF_BINDING_STOPPED : BF_BINDING_NONE);
        }
    }
}
END_TEST

START_TEST(every_limit_has_words_of_its_own)
{
    for (int a = BF_BINDING_NONE; a <= BF_BINDING_STOPPED; a++) {
        ck_assert_str_ne(bf_binding_words((bf_binding)a), "unknown");
        for (int b = BF_BINDING_NONE; b < a; b++) {
            ck_assert_str_ne(bf_binding_words((bf_binding)a), bf_binding_words((bf_binding)b));
        }
    }
    ck_assert_str_eq(bf_binding_words((bf_binding)77), "unknown");
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {a_search_that_is_stopped_hands_over_what_it_has,
                                  a_dose_gives_the_capacity,
                                  a_capacity_below_the_least_rating_is_decided_by_leakage,
                                  a_capacity_below_the_range_is_decided_by_its_end,
                                  capacities_that_no_dose_gives,
                                  impossible_capacities_are_refused,
                                  the_lowest_end_point_is_held_and_a_lower_is_not,
                                  a_service_by_volume_has_an_end_point_too,
                                  end_points_that_cannot_be_held,
                                  impossible_end_points_are_refused,
                                  the_diameter_grows_until_the_interval_is_held,
                                  each_limit_of_flow_decides_a_bed,
                                  beds_without_an_answer,
                                  in_a_vessel_the_depth_grows,
                                  steps_in_another_depth,
                                  vessels_that_hold_no_answer,
                                  impossible_beds_are_refused,
                                  a_vessel_is_checked_as_everywhere,
                                  the_least_salt_is_at_the_least_dose_with_a_rating,
                                  the_interval_decides_the_dose,
                                  salt_without_an_answer,
                                  impossible_uses_are_refused,
                                  every_limit_has_words_of_its_own};
    return support_run("rating.sizing", tests, sizeof tests / sizeof *tests, 300);
}
