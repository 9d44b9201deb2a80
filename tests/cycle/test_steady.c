/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The cyclic steady state: when the iteration stops, how far it then is from the limit, and that
 * the limit does not depend on where it started. */
#include "rig.h"

#include <stdio.h>

/* Small, and integrated far more tightly than by default: from cycle to cycle the capacity then
 * jitters by some 5e-6, below every tolerance asked for here. At the default of 3e-4 it jitters by
 * 1e-4. */
enum { CELLS = 40, SHELLS = 4 };
static const double relative_tolerance = 1e-5;
static const double hardness_tolerance_eq_per_m3 = 1e-6;

static rig open_rig(double freeboard_m)
{
    bf_error err = {0};
    bf_water water;
    rig r;
    assert_ok(rig_water(400.0, 2.0, NULL, &water, &err));
    assert_ok(rig_open(&r, &water, BF_SALT_NACL, freeboard_m, CELLS, SHELLS, &err));
    bf_bed_free(r.bed);
    r.spec.relative_tolerance = relative_tolerance;
    r.spec.hardness_tolerance_eq_per_m3 = hardness_tolerance_eq_per_m3;
    assert_ok(bf_bed_create(&r.spec, r.selectivity, &r.bed, &err));
    return r;
}

typedef enum start { FRESH, EXHAUSTED } start;

static void set_start(const rig *r, start origin)
{
    bf_error err = {0};
    const double calcium[BF_ION_COUNT] = {[BF_ION_CA] = 1.0};
    assert_ok(bf_bed_fill(r->bed, origin == EXHAUSTED ? calcium : NULL, r->site.water.ion_eq_per_m3,
                          &err));
}

static bf_steady_result run(const bf_recipe *recipe, const rig *r, const bf_steady_spec *spec)
{
    bf_error err = {0};
    bf_steady_result result;
    assert_ok(bf_steady_run(recipe, &r->site, spec, r->bed, &result, &err));
    return result;
}

/* ---- specification --------------------------------------------------------------------------- */

static void assert_refused(size_t most_cycles, double capacity, double leakage, const char *part)
{
    bf_error err = {0};
    bf_steady_result result;
    bf_recipe recipe = rig_co_current(7.3);
    rig r = open_rig(0.38);
    bf_bed *before = NULL;
    assert_ok(bf_bed_create(&r.spec, r.selectivity, &before, &err));
    const bf_steady_spec spec = {most_cycles, capacity, leakage};
    assert_fails(bf_steady_run(&recipe, &r.site, &spec, r.bed, &result, &err), BF_E_RANGE, part);
    ck_assert(bf_bed_distance(before, r.bed) == 0.0);
    bf_bed_free(before);
    rig_close(&r);
}

START_TEST(a_specification_outside_its_range_is_refused)
{
    assert_refused(1, 2e-4, 5e-3, "at most 1 cycles");
    assert_refused(10001, 2e-4, 5e-3, "at most 10001 cycles");
    assert_refused(200, 0.9e-8, 5e-3, "tolerances");
    assert_refused(200, 0.11, 5e-3, "tolerances");
    assert_refused(200, NAN, 5e-3, "tolerances");
    assert_refused(200, 2e-4, 0.9e-8, "tolerances");
    assert_refused(200, 2e-4, 1.1, "tolerances");
    assert_refused(200, 2e-4, NAN, "tolerances");
}
END_TEST

START_TEST(the_default_is_what_the_header_says)
{
    bf_steady_spec spec = bf_steady_spec_default();
    ck_assert_uint_eq(spec.most_cycles, 200);
    ck_assert(spec.capacity_tolerance == 2e-4);
    ck_assert(spec.leakage_tolerance == 5e-3);
}
END_TEST

START_TEST(a_step_that_fails_ends_the_iteration)
{
    bf_error err = {0};
    bf_steady_result result;
    const bf_steady_spec spec = bf_steady_spec_default();
    rig r = open_rig(0.38);
    bf_recipe recipe = rig_co_current(7.3);
    recipe.step[1].mass_fraction = 0.31;
    assert_fails(bf_steady_run(&recipe, &r.site, &spec, r.bed, &result, &err), BF_E_RANGE,
                 "saturat");
    rig_close(&r);
}
END_TEST

/* ---- not steady ------------------------------------------------------------------------------ */

START_TEST(too_few_cycles_are_not_steady_and_say_so)
{
    rig r = open_rig(0.38);
    bf_recipe recipe = rig_co_current(7.3);
    bf_steady_spec spec = bf_steady_spec_default();
    spec.most_cycles = 2; /* two cycles tell one change, and no contraction */
    bf_steady_result result = run(&recipe, &r, &spec);
    ck_assert_int_eq(result.cycle.outcome, BF_NOT_STEADY);
    ck_assert_uint_eq(result.cycles, 2);
    ck_assert(isinf(result.capacity_error) && isinf(result.leakage_error));
    ck_assert_double_gt(result.cycle.capacity_eq_per_m3, 0.0);

    set_start(&r, FRESH);
    spec.most_cycles = 3;
    spec.capacity_tolerance = 1e-7; /* the third cycle is nowhere near */
    result = run(&recipe, &r, &spec);
    ck_assert_int_eq(result.cycle.outcome, BF_NOT_STEADY);
    ck_assert_uint_eq(result.cycles, 3);
    ck_assert_double_gt(result.capacity_error, spec.capacity_tolerance);
    rig_close(&r);
}
END_TEST

/* 1 lb/ft3 gives back less than 50 bed volumes bring: every service loads the bed further, and its
 * leakage goes on growing. */
START_TEST(a_bed_that_fills_up_cycle_by_cycle_is_not_steady)
{
    rig r = open_rig(0.38);
    bf_recipe recipe = rig_co_current(1.0);
    recipe.step[0].end_hardness_eq_per_m3 = NAN;
    recipe.step[0].bed_volumes = 50.0;
    bf_steady_spec spec = bf_steady_spec_default();
    spec.most_cycles = 5;
    bf_steady_result result = run(&recipe, &r, &spec);
    ck_assert_int_eq(result.cycle.outcome, BF_NOT_STEADY);
    ck_assert_uint_eq(result.cycles, 5);
    rig_close(&r);
}
END_TEST

/* ---- the limit ------------------------------------------------------------------------------- */

typedef struct way {
    const char *name;
    int up;
    double dose_lb_per_ft3;
} way;

/* Once under way the contraction is 0.1 to 0.3 down, 0.3 to 0.7 up, slower where salt is short. */
enum { DOWN_10, DOWN_5, UP_10, UP_5, UP_3, WAYS };
static const way ways[WAYS] = {[DOWN_10] = {"down, 10 lb", 0, 10.0},
                               [DOWN_5] = {"down, 5 lb", 0, 5.0},
                               [UP_10] = {"up, 10 lb", 1, 10.0},
                               [UP_5] = {"up, 5 lb", 1, 5.0},
                               [UP_3] = {"up, 3 lb", 1, 3.0}};

static bf_recipe recipe_of(const way *w)
{
    return w->up ? rig_counter_current(w->dose_lb_per_ft3) : rig_co_current(w->dose_lb_per_ft3);
}

static double freeboard_of(const way *w)
{
    return w->up ? 0.0 : 0.38;
}

/* The limit without any criterion: 24 cycles, by when the slowest (0.7 a cycle) has lost all but
 * 2e-4 of a first distance of 1e-2. */
static bf_cycle_result limit_of(const way *w)
{
    bf_error err = {0};
    bf_cycle_result cycle;
    rig r = open_rig(freeboard_of(w));
    bf_recipe recipe = recipe_of(w);
    for (int k = 0; k < 24; k++) {
        assert_ok(bf_cycle_run(&recipe, &r.site, r.bed, &cycle, &err));
    }
    rig_close(&r);
    return cycle;
}

/* The estimate is one of size, from two or three changes: a factor three is allowed. */
static void assert_stops_near_the_limit(const way *w)
{
    const double tolerances[] = {1e-3, 4e-4, 2e-4, 5e-5};
    bf_cycle_result limit = limit_of(w);
    rig r = open_rig(freeboard_of(w));
    bf_recipe recipe = recipe_of(w);
    int inside = 1;
    for (size_t t = 0; t < sizeof tolerances / sizeof *tolerances; t++) {
        bf_steady_spec spec = bf_steady_spec_default();
        spec.capacity_tolerance = tolerances[t];
        set_start(&r, FRESH);
        bf_steady_result result = run(&recipe, &r, &spec);
        double capacity_off =
            fabs(result.cycle.capacity_eq_per_m3 / limit.capacity_eq_per_m3 - 1.0);
        double leakage_off =
            fabs(result.cycle.leakage_mean_eq_per_m3 / limit.leakage_mean_eq_per_m3 - 1.0);
        (void)printf("%-12s tolerance %.0e: %zu cycles, estimate %.1e, off by %.1e = %.1f "
                     "tolerances; leakage off by %.1e\n",
                     w->name, tolerances[t], result.cycles, result.capacity_error, capacity_off,
                     capacity_off / tolerances[t], leakage_off);
        ck_assert_int_eq(result.cycle.outcome, BF_RATED);
        ck_assert_uint_ge(result.cycles, 3);
        ck_assert_uint_le(result.cycles, 20);
        ck_assert(result.capacity_error <= tolerances[t]);
        ck_assert(result.leakage_error <= spec.leakage_tolerance);
        inside = inside && capacity_off <= 3.0 * tolerances[t] &&
                 leakage_off <= 3.0 * spec.leakage_tolerance;
    }
    (void)fflush(stdout);
    ck_assert_msg(inside, "%s: further from the limit than allowed, see above", w->name);
    rig_close(&r);
}

START_TEST(down_10_lb_stops_within_three_tolerances_of_the_limit)
{
    assert_stops_near_the_limit(&ways[DOWN_10]);
}
END_TEST

START_TEST(down_5_lb_stops_within_three_tolerances_of_the_limit)
{
    assert_stops_near_the_limit(&ways[DOWN_5]);
}
END_TEST

START_TEST(up_10_lb_stops_within_three_tolerances_of_the_limit)
{
    assert_stops_near_the_limit(&ways[UP_10]);
}
END_TEST

START_TEST(up_5_lb_stops_within_three_tolerances_of_the_limit)
{
    assert_stops_near_the_limit(&ways[UP_5]);
}
END_TEST

START_TEST(up_3_lb_stops_within_three_tolerances_of_the_limit)
{
    assert_stops_near_the_limit(&ways[UP_3]);
}
END_TEST

/* Three tolerances as above. The two starts come from the far ends: no hardness in the bed, and
 * nothing else. */
START_TEST(a_fresh_and_an_exhausted_bed_end_at_the_same_rating)
{
    const bf_steady_spec spec = bf_steady_spec_default();
    for (size_t i = 0; i < WAYS; i++) {
        const way *w = &ways[i];
        rig r = open_rig(freeboard_of(w));
        bf_recipe recipe = recipe_of(w);
        bf_steady_result result[2];
        for (int start_at = FRESH; start_at <= EXHAUSTED; start_at++) {
            set_start(&r, (start)start_at);
            result[start_at] = run(&recipe, &r, &spec);
            ck_assert_int_eq(result[start_at].cycle.outcome, BF_RATED);
        }
        double fresh = result[FRESH].cycle.capacity_eq_per_m3;
        double exhausted = result[EXHAUSTED].cycle.capacity_eq_per_m3;
        (void)printf("%-12s exhausted / fresh: capacity %+.1e after %zu and %zu cycles, leakage "
                     "%+.1e\n",
                     w->name, exhausted / fresh - 1.0, result[EXHAUSTED].cycles,
                     result[FRESH].cycles,
                     result[EXHAUSTED].cycle.leakage_mean_eq_per_m3 /
                             result[FRESH].cycle.leakage_mean_eq_per_m3 -
                         1.0);
        (void)fflush(stdout);
        assert_near(exhausted, fresh, 3.0 * spec.capacity_tolerance);
        assert_near(result[EXHAUSTED].cycle.leakage_mean_eq_per_m3,
                    result[FRESH].cycle.leakage_mean_eq_per_m3, 3.0 * spec.leakage_tolerance);
        rig_close(&r);
    }
}
END_TEST

/* What the steady state means: the bed after the cycle is the bed before it, and what service takes
 * up regeneration gives back. */
START_TEST(the_next_cycle_leaves_the_bed_as_it_was)
{
    bf_error err = {0};
    rig r = open_rig(0.38);
    bf_recipe recipe = rig_co_current(10.0);
    const bf_steady_spec spec = {
        .most_cycles = 50, .capacity_tolerance = 2e-5, .leakage_tolerance = 1e-4};
    bf_steady_result result = run(&recipe, &r, &spec);
    ck_assert_int_eq(result.cycle.outcome, BF_RATED);
    bf_bed *before = NULL;
    assert_ok(bf_bed_create(&r.spec, r.selectivity, &before, &err));
    assert_ok(bf_bed_copy(before, r.bed, &err));
    bf_cycle_result next;
    assert_ok(bf_cycle_run(&recipe, &r.site, r.bed, &next, &err));
    /* Fractions; the integration holds them to 1e-5 relative and 1e-6 absolute. */
    ck_assert_double_lt(bf_bed_distance(before, r.bed), 2e-5);
    double stored = 0.0;
    for (size_t s = 0; s < next.step_count; s++) {
        stored += next.step[s].passage.stored_eq_per_m3[BF_ION_CA] +
                  next.step[s].passage.stored_eq_per_m3[BF_ION_MG];
    }
    ck_assert_double_gt(next.step[0].passage.stored_eq_per_m3[BF_ION_CA], 500.0);
    assert_near_abs(stored, 0.0, 1e-4 * next.capacity_eq_per_m3);
    bf_bed_free(before);
    rig_close(&r);
}
END_TEST

/* The estimate itself, from cycles run one by one: |d| q/(1 - q) of the last change d, q the
 * contraction seen, at least 0.3. Counter-current at 3 lb/ft3 an exhausted bed settles slowly
 * enough that the change alone would be another number. */
START_TEST(the_estimate_is_what_the_contraction_leaves_to_come)
{
    enum { RUNS = 5 };
    bf_error err = {0};
    bf_cycle_result cycle;
    double capacity[RUNS];
    rig r = open_rig(freeboard_of(&ways[UP_3]));
    bf_recipe recipe = recipe_of(&ways[UP_3]);
    set_start(&r, EXHAUSTED);
    for (size_t k = 0; k < RUNS; k++) {
        assert_ok(bf_cycle_run(&recipe, &r.site, r.bed, &cycle, &err));
        capacity[k] = cycle.capacity_eq_per_m3;
    }
    double last = (capacity[4] - capacity[3]) / capacity[4];
    double before = (capacity[3] - capacity[2]) / capacity[3];
    double contraction = last / before;
    ck_assert_double_gt(contraction, 0.3); /* no floor, no alternation, no growth */
    ck_assert_double_lt(contraction, 0.9);
    ck_assert_double_gt(fabs(contraction - 0.5), 0.01); /* where the change alone would do */

    const bf_steady_spec spec = {
        .most_cycles = RUNS, .capacity_tolerance = 1e-8, .leakage_tolerance = 1e-8};
    set_start(&r, EXHAUSTED);
    bf_steady_result result = run(&recipe, &r, &spec);
    ck_assert_uint_eq(result.cycles, RUNS);
    assert_near(result.capacity_error, fabs(last) * contraction / (1.0 - contraction), 1e-9);
    printf("contraction %.3f: change %.2e, still to come %.2e\n", contraction, last,
           result.capacity_error);
    rig_close(&r);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {a_specification_outside_its_range_is_refused,
                                  the_default_is_what_the_header_says,
                                  a_step_that_fails_ends_the_iteration,
                                  too_few_cycles_are_not_steady_and_say_so,
                                  a_bed_that_fills_up_cycle_by_cycle_is_not_steady,
                                  down_10_lb_stops_within_three_tolerances_of_the_limit,
                                  down_5_lb_stops_within_three_tolerances_of_the_limit,
                                  up_10_lb_stops_within_three_tolerances_of_the_limit,
                                  up_5_lb_stops_within_three_tolerances_of_the_limit,
                                  up_3_lb_stops_within_three_tolerances_of_the_limit,
                                  the_estimate_is_what_the_contraction_leaves_to_come,
                                  a_fresh_and_an_exhausted_bed_end_at_the_same_rating,
                                  the_next_cycle_leaves_the_bed_as_it_was};
    return support_run("cycle.steady", tests, sizeof tests / sizeof *tests, 120);
}
