/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Uneven flow: quantiles by hand, equal beds against one, the mixture at its end point, what a
 * spread costs against an independent solution, the wall by hand, outcomes and refusals. */
#include "brinefront/parallel_beds.h"

#include "coarse_bed.h"
#include "simple_bed.h"

#include <math.h>
#include <pthread.h>
#include <stdatomic.h>
#include <string.h>

static bf_dose_point rate(const bf_rating_spec *spec, bf_uneven_flow uneven, double dose)
{
    bf_error err = {0};
    bf_dose_point point;
    assert_ok(bf_parallel_beds_rate(spec, &uneven, dose, 0, &point, &err));
    return point;
}

/* ---- how unevenly ---------------------------------------------------------------------------- */

START_TEST(mean_and_spread_are_those_asked_for)
{
    for (size_t beds = 2; beds <= BF_PARALLEL_BEDS; beds++) {
        const bf_uneven_flow uneven = {.velocity_spread = 0.137, .beds = beds};
        double share[BF_PARALLEL_BEDS + 1], velocity[BF_PARALLEL_BEDS + 1];
        ck_assert_uint_eq(bf_uneven_flow_beds(&uneven, share, velocity), beds);
        double all = 0.0, mean = 0.0, square = 0.0;
        for (size_t k = 0; k < beds; k++) {
            all += share[k];
            mean += share[k] * velocity[k];
            square += share[k] * (velocity[k] - 1.0) * (velocity[k] - 1.0);
            assert_near(share[k], 1.0 / (double)beds, 1e-14);
            assert_near(velocity[k] + velocity[beds - 1 - k], 2.0, 1e-12); /* symmetric */
        }
        assert_near(all, 1.0, 1e-14);
        assert_near(mean, 1.0, 1e-14);
        assert_near(sqrt(square), 0.137, 1e-12);
    }
    /* Three: quantiles at 1/6, 1/2, 5/6 are -z, 0, z; a spread s leaves z = s sqrt(3/2). */
    const bf_uneven_flow three = {.velocity_spread = 0.137, .beds = 3};
    double share[BF_PARALLEL_BEDS + 1], velocity[BF_PARALLEL_BEDS + 1];
    (void)bf_uneven_flow_beds(&three, share, velocity);
    assert_near(velocity[2], 1.0 + 0.137 * sqrt(1.5), 1e-12);
    /* Five: Phi^-1(0.7)/Phi^-1(0.9) = 0.524401/1.281552, tables of the normal distribution. */
    const bf_uneven_flow five = {.velocity_spread = 0.137, .beds = 5};
    (void)bf_uneven_flow_beds(&five, share, velocity);
    assert_near((velocity[3] - 1.0) / (velocity[4] - 1.0), 0.524401 / 1.281552, 1e-5);
}
END_TEST

START_TEST(the_wall_is_one_bed_more)
{
    const bf_uneven_flow uneven = {
        .velocity_spread = 0.061, .wall_share = 0.083, .wall_excess = 0.67, .beds = 4};
    double share[BF_PARALLEL_BEDS + 1], velocity[BF_PARALLEL_BEDS + 1];
    ck_assert_uint_eq(bf_uneven_flow_beds(&uneven, share, velocity), 5);
    double mean = 0.0, inside = 0.0;
    for (size_t k = 0; k < 5; k++) {
        mean += share[k] * velocity[k];
        inside += k < 4 ? 0.25 * velocity[k] : 0.0;
    }
    assert_near(mean, 1.0, 1e-14);
    assert_near(share[4], 0.083, 1e-15);
    assert_near(velocity[4] / inside, 1.67, 1e-12);
    /* By hand: all inside at v, the ring at 1.67 v, the mean at 1. */
    assert_near(inside, 1.0 / (1.0 + 0.083 * 0.67), 1e-12);
}
END_TEST

START_TEST(wall_effect_of_a_vessel)
{
    /* Computed apart from the equations of uneven_flow.c. */
    static const struct {
        double diameter_m, depth_m, bead_m, void_fraction, share, excess;
    } table[] = {{0.247, 0.743, 0.0006, 0.38, 0.1347195961, 0.04904409},
                 {0.0254, 0.087, 0.00083, 0.371, 0.4717056463, 0.17410975}};
    for (size_t k = 0; k < sizeof table / sizeof *table; k++) {
        bf_bed_spec bed = simple_bed();
        bed.diameter_m = table[k].diameter_m;
        bed.depth_m = table[k].depth_m;
        bed.resin.bead_diameter_m = table[k].bead_m;
        bed.resin.void_fraction = table[k].void_fraction;
        bf_uneven_flow uneven = {.velocity_spread = 0.043, .beds = 3};
        bf_uneven_flow_wall(&bed, &uneven);
        assert_near(uneven.wall_share, table[k].share, 1e-7);
        assert_near(uneven.wall_excess, table[k].excess, 1e-6);
        ck_assert_double_eq(uneven.velocity_spread, 0.043); /* the rest is left */
        ck_assert_uint_eq(uneven.beds, 3);
    }
    /* A vessel hardly wider than its beads stays within what is accepted. */
    bf_error err = {0};
    bf_bed_spec bed = simple_bed();
    bed.diameter_m = 0.01;
    bed.resin.bead_diameter_m = 0.0049;
    bf_uneven_flow uneven = bf_uneven_flow_default();
    bf_uneven_flow_wall(&bed, &uneven);
    ck_assert_double_eq(uneven.wall_share, 0.5);
    assert_ok(bf_uneven_flow_check(&uneven, &err));
}
END_TEST

/* ---- ratings --------------------------------------------------------------------------------- */

START_TEST(one_bed_is_the_plain_rating_to_the_bit)
{
    const bf_rating_spec spec = coarse_bed();
    const bf_dose_point plain = rate_at(&spec, 113.7);
    const bf_dose_point one = rate(&spec, bf_uneven_flow_default(), 113.7);
    ck_assert_double_eq(one.dose_kg_per_m3, plain.dose_kg_per_m3);
    ck_assert_double_eq(one.efficiency_eq_per_eq, plain.efficiency_eq_per_eq);
    ck_assert_uint_eq(one.steady.cycles, plain.steady.cycles);
    ck_assert_double_eq(one.steady.cycle.capacity_eq_per_m3, plain.steady.cycle.capacity_eq_per_m3);
    ck_assert_double_eq(one.steady.cycle.leakage_mean_eq_per_m3,
                        plain.steady.cycle.leakage_mean_eq_per_m3);
    ck_assert_double_eq(one.steady.cycle.leakage_first_eq_per_m3,
                        plain.steady.cycle.leakage_first_eq_per_m3);
}
END_TEST

/* Beds at one velocity go another way to the same place: the end point is read between moments of
 * the integrator instead of found by it. Tolerances: 5e-4 of the capacity, twice what either rating
 * carries of noise; 5e-3 of leakage, that of the steady cycle. */
static void compare_with_plain(const bf_rating_spec *spec, bf_uneven_flow uneven, double dose)
{
    const bf_dose_point even = rate_at(spec, dose);
    const bf_dose_point point = rate(spec, uneven, dose);
    const bf_cycle_result *one = &even.steady.cycle;
    const bf_cycle_result *many = &point.steady.cycle;
    ck_assert_int_eq(many->outcome, one->outcome);
    ck_assert_uint_eq(many->step_count, one->step_count);
    assert_near(many->capacity_eq_per_m3, one->capacity_eq_per_m3, 5e-4);
    assert_near(many->throughput_bed_volumes, one->throughput_bed_volumes, 5e-4);
    assert_near(point.efficiency_eq_per_eq, even.efficiency_eq_per_eq, 5e-4);
    assert_near(many->leakage_mean_eq_per_m3, one->leakage_mean_eq_per_m3, 5e-3);
    assert_near(many->leakage_first_eq_per_m3, one->leakage_first_eq_per_m3, 5e-3);
    assert_near(many->leakage_low_eq_per_m3, one->leakage_low_eq_per_m3, 5e-3);
    assert_near(many->salt_kg_per_m3, one->salt_kg_per_m3, 1e-12);
    assert_near(many->water_bed_volumes, one->water_bed_volumes, 1e-12);
    assert_near(many->regeneration_s, one->regeneration_s, 1e-12);
    ck_assert_double_lt(many->balance_error, 1e-9);
    for (size_t s = 0; s < many->step_count; s++) {
        const double tolerance = s == 0 ? 5e-4 : 1e-12;
        ck_assert_str_eq(many->step[s].name, one->step[s].name);
        assert_near(many->step[s].duration_s, one->step[s].duration_s, tolerance);
        assert_near(many->step[s].bed_volumes, one->step[s].bed_volumes, tolerance);
        assert_near_abs(bf_ion_hardness(many->step[s].passage.out_eq_per_m3),
                        bf_ion_hardness(one->step[s].passage.out_eq_per_m3),
                        2e-3 * one->capacity_eq_per_m3);
    }
}

START_TEST(beds_at_one_velocity_are_one_bed)
{
    bf_rating_spec spec = coarse_bed();
    compare_with_plain(&spec, (bf_uneven_flow){.beds = 3}, 113.7);
    compare_with_plain(&spec, (bf_uneven_flow){.wall_share = 0.071, .beds = 1}, 113.7);
    /* A run that goes on beyond the counted end point, upward brine, a backwash that mixes. */
    spec.recipe.step[0].stop_hardness_eq_per_m3 = 1.37;
    bf_step fast = spec.recipe.step[3];
    spec.recipe.step[1].direction = BF_FLOW_UP;
    spec.recipe.step[1].blocking_velocity_m_per_s = 1e-4;
    spec.recipe.step[3] = *add_step(&spec, &bf_step_backwash, 13.1);
    spec.recipe.step[3].direction = BF_FLOW_UP;
    spec.recipe.step[3].bed_volumes = 2.3;
    spec.recipe.step[3].mix_share = 0.21;
    spec.recipe.step[5] = spec.recipe.step[4];
    spec.recipe.step[4] = fast;
    compare_with_plain(&spec, (bf_uneven_flow){.beds = 2}, 147.3);
}
END_TEST

START_TEST(the_mixture_is_at_the_end_point)
{
    bf_rating_spec spec = coarse_bed();
    const bf_uneven_flow uneven = {
        .velocity_spread = 0.113, .wall_share = 0.02, .wall_excess = 0.41, .beds = 4};
    double end = spec.recipe.step[0].end_hardness_eq_per_m3;
    bf_dose_point point = rate(&spec, uneven, 113.7);
    const bf_passage *counted = &point.steady.cycle.step[0].counted;
    ck_assert_int_eq(point.steady.cycle.outcome, BF_RATED);
    /* The beds themselves have run there, not the scouts. On a steep front the noise of a run, 2e-4
     * of its bed volumes, is some 0.5 % of the hardness; up to 0.4 % was seen. 2 % is asked for. */
    assert_near(counted->hardness_last_eq_per_m3, end, 2e-2);
    ck_assert(counted->reached_end_hardness);
    /* What went in is the feed. */
    assert_near(bf_ion_hardness(counted->in_eq_per_m3),
                spec.water.hardness_eq_per_m3 * counted->bed_volumes, 1e-9);
    /* On to a second end point. */
    spec.recipe.step[0].stop_hardness_eq_per_m3 = 1.63;
    point = rate(&spec, uneven, 113.7);
    counted = &point.steady.cycle.step[0].counted;
    assert_near(counted->hardness_last_eq_per_m3, end, 2e-2);
    assert_near(point.steady.cycle.step[0].passage.hardness_last_eq_per_m3, 1.63, 2e-2);
    ck_assert_double_gt(point.steady.cycle.step[0].bed_volumes, counted->bed_volumes + 1.0);
    /* The same bits however the threads come along. */
    const bf_dose_point again = rate(&spec, uneven, 113.7);
    ck_assert_double_eq(again.steady.cycle.capacity_eq_per_m3,
                        point.steady.cycle.capacity_eq_per_m3);
    ck_assert_double_eq(again.steady.cycle.leakage_mean_eq_per_m3,
                        point.steady.cycle.leakage_mean_eq_per_m3);
}
END_TEST

/* A source that does nothing but notes who calls it. */
typedef struct callers {
    pthread_t first;
    atomic_int others;
} callers;

static int note_caller(void *context, double time_s, const bf_cells *cells, const bf_rates *rates)
{
    callers *seen = context;
    (void)time_s;
    (void)cells;
    (void)rates;
    seen->others += !pthread_equal(pthread_self(), seen->first);
    return 0;
}

START_TEST(one_thread_is_one_thread)
{
    bf_error err = {0};
    bf_dose_point point;
    callers seen = {.first = pthread_self()};
    const bf_source source = {.name = "callers", .rate = note_caller, .context = &seen};
    const bf_uneven_flow uneven = {.velocity_spread = 0.137, .beds = 3};
    bf_rating_spec spec = coarse_bed();
    spec.bed.sources = &source;
    spec.bed.source_count = 1;
    assert_ok(bf_parallel_beds_rate(&spec, &uneven, 113.7, 1, &point, &err));
    ck_assert_int_eq(seen.others, 0);
    assert_ok(bf_parallel_beds_rate(&spec, &uneven, 113.7, 3, &point, &err));
    ck_assert_int_gt(seen.others, 0);
}
END_TEST

START_TEST(backwash_runs_evenly)
{
    bf_rating_spec spec = coarse_bed();
    bf_step *wash = add_step(&spec, &bf_step_backwash, 16.3);
    wash->direction = BF_FLOW_UP;
    wash->bed_volumes = 1.3;
    const bf_cycle_result even = rate_at(&spec, 113.7).steady.cycle;
    const bf_cycle_result uneven =
        rate(&spec, (bf_uneven_flow){.velocity_spread = 0.223, .beds = 2}, 113.7).steady.cycle;
    ck_assert_double_gt(even.step[5].depth_ratio, 1.05); /* it does lift */
    ck_assert_double_eq(uneven.step[5].depth_ratio, even.step[5].depth_ratio);
    ck_assert_double_eq(uneven.step[5].duration_s, even.step[5].duration_s);
}
END_TEST

START_TEST(a_spread_costs_capacity)
{
    const bf_rating_spec spec = coarse_bed();
    double before = rate_at(&spec, 113.7).steady.cycle.capacity_eq_per_m3;
    static const double spreads[] = {0.047, 0.103, 0.211, 0.3};
    for (size_t k = 0; k < sizeof spreads / sizeof *spreads; k++) {
        const bf_dose_point point =
            rate(&spec, (bf_uneven_flow){.velocity_spread = spreads[k], .beds = 3}, 113.7);
        ck_assert_int_eq(point.steady.cycle.outcome, BF_RATED);
        ck_assert_double_lt(point.steady.cycle.capacity_eq_per_m3, 0.99 * before);
        assert_near(point.steady.cycle.salt_kg_per_m3, 113.7, 1e-12);
        ck_assert_double_lt(point.steady.cycle.balance_error, 1e-9);
        before = point.steady.cycle.capacity_eq_per_m3;
    }
}
END_TEST

/* An independent solution of the same equations (SciPy, 90 cells, 6 shells) had the capacity fall
 * by 2.8 and 6.2 % where one half of the bed runs 5 and 10 % faster than the mean and the other as
 * much slower: 500 mg/L, 10 lb/ft3 and what else stands below. Tolerance, stated before the first
 * look at this program's: 0.4 points; its figures are rounded to 0.1, and it has other cells and
 * shells. */
START_TEST(halves_at_five_and_ten_percent)
{
    bf_error err = {0};
    bf_rating_spec spec = {.bed = simple_bed(), .steady = bf_steady_spec_default()};
    bf_water_analysis analysis = bf_water_analysis_default();
    analysis.hardness_eq_per_m3 = 500.0 / 50.04; /* mg/L as CaCO3 */
    analysis.calcium_to_magnesium = 2.0;
    analysis.ion_eq_per_m3[BF_ION_NA] = 2.0;
    analysis.temperature_K = 293.15;
    assert_ok(bf_water_complete(&analysis, &spec.water, NULL, &err));
    spec.bed.depth_m = 0.76;
    spec.bed.freeboard_m = 0.38;
    spec.bed.cells = 60;
    add_step(&spec, &bf_step_service, 20.0)->end_hardness_eq_per_m3 = 17.1 / 50.04;
    add_step(&spec, &bf_step_brine, 4.0)->mass_fraction = 0.1;
    spec.recipe.step[1].supply = BF_SUPPLY_SOFT;
    add_step(&spec, &bf_step_slow_rinse, 4.0)->bed_volumes = 2.0;
    add_step(&spec, &bf_step_fast_rinse, 12.0)->bed_volumes = 2.0;
    const double dose = 160.185;
    const double even = rate_at(&spec, dose).steady.cycle.capacity_eq_per_m3;
    static const double spread[] = {0.05, 0.10};
    static const double percent[] = {-2.8, -6.2};
    for (size_t k = 0; k < 2; k++) {
        const bf_dose_point point =
            rate(&spec, (bf_uneven_flow){.velocity_spread = spread[k], .beds = 2}, dose);
        assert_near_abs(100.0 * (point.steady.cycle.capacity_eq_per_m3 / even - 1.0), percent[k],
                        0.4);
    }
}
END_TEST

START_TEST(a_ring_at_the_wall_leaks_first)
{
    const bf_rating_spec spec = coarse_bed();
    const bf_uneven_flow uneven = {.wall_share = 0.0097, .wall_excess = 0.68, .beds = 1};
    const bf_cycle_result even = rate_at(&spec, 113.7).steady.cycle;
    const bf_cycle_result ring = rate(&spec, uneven, 113.7).steady.cycle;
    ck_assert_int_eq(ring.outcome, BF_RATED);
    ck_assert_double_gt(ring.leakage_mean_eq_per_m3, 1.1 * even.leakage_mean_eq_per_m3);
    ck_assert_double_lt(ring.capacity_eq_per_m3, even.capacity_eq_per_m3);
    /* It never costs more than all that passes it: its share of the flow. */
    const double flow = uneven.wall_share * (1.0 + uneven.wall_excess) /
                        (1.0 + uneven.wall_share * uneven.wall_excess);
    ck_assert_double_lt(ring.leakage_mean_eq_per_m3,
                        even.leakage_mean_eq_per_m3 + flow * spec.water.hardness_eq_per_m3);
}
END_TEST

START_TEST(beds_without_a_rating)
{
    const bf_uneven_flow uneven = {.velocity_spread = 0.081, .beds = 2};
    bf_rating_spec spec = coarse_bed();
    bf_dose_point point = rate(&spec, uneven, 21.3);
    ck_assert_int_eq(point.steady.cycle.outcome, BF_LEAKS_FROM_THE_START);
    ck_assert(isnan(point.efficiency_eq_per_eq));
    /* Cut short by volume. */
    spec.recipe.step[0].bed_volumes = 11.3;
    point = rate(&spec, uneven, 113.7);
    ck_assert_int_eq(point.steady.cycle.outcome, BF_END_NOT_REACHED);
    assert_near(point.steady.cycle.throughput_bed_volumes, 11.3, 1e-12);
    ck_assert(isnan(point.efficiency_eq_per_eq));
    /* By volume alone. */
    spec.recipe.step[0].end_hardness_eq_per_m3 = (double)NAN;
    point = rate(&spec, uneven, 113.7);
    ck_assert_int_eq(point.steady.cycle.outcome, BF_RATED);
    assert_near(point.steady.cycle.throughput_bed_volumes, 11.3, 1e-12);
    /* So short that no half bed volume comes. */
    spec.recipe.step[0].bed_volumes = 0.37;
    point = rate(&spec, uneven, 113.7);
    ck_assert(isnan(point.steady.cycle.leakage_first_eq_per_m3));
    /* Two cycles are too few to tell. */
    spec = coarse_bed();
    spec.steady.most_cycles = 2;
    point = rate(&spec, uneven, 113.7);
    ck_assert_int_eq(point.steady.cycle.outcome, BF_NOT_STEADY);
    ck_assert(isnan(point.efficiency_eq_per_eq));
}
END_TEST

/* ---- refusals -------------------------------------------------------------------------------- */

START_TEST(impossible_unevenness_is_refused)
{
    static const struct {
        bf_uneven_flow uneven;
        const char *says;
    } table[] = {
        {{.beds = 0}, "0 beds side by side"},
        {{.beds = BF_PARALLEL_BEDS + 1}, "accepted are 1 to 9"},
        {{.velocity_spread = -0.01, .beds = 2}, "spread of the velocities"},
        {{.velocity_spread = 0.31, .beds = 2}, "spread of the velocities"},
        {{.velocity_spread = NAN, .beds = 2}, "spread of the velocities"},
        {{.velocity_spread = 0.1, .beds = 1}, "one bed has no spread"},
        {{.wall_share = -0.1, .beds = 1}, "share of the cross-section"},
        {{.wall_share = 0.51, .beds = 1}, "share of the cross-section"},
        {{.wall_share = NAN, .beds = 1}, "share of the cross-section"},
        {{.wall_excess = -0.1, .beds = 1}, "faster by"},
        {{.wall_excess = 1.1, .beds = 1}, "faster by"},
        {{.wall_excess = NAN, .beds = 1}, "faster by"},
    };
    const bf_rating_spec spec = coarse_bed();
    for (size_t k = 0; k < sizeof table / sizeof *table; k++) {
        bf_error err = {0};
        bf_dose_point point;
        assert_fails(bf_uneven_flow_check(&table[k].uneven, &err), BF_E_RANGE, table[k].says);
        assert_fails(bf_parallel_beds_rate(&spec, &table[k].uneven, 113.7, 1, &point, &err),
                     BF_E_RANGE, table[k].says);
    }
}
END_TEST

START_TEST(impossible_ratings_are_refused)
{
    bf_error err = {0};
    bf_dose_point point;
    const bf_uneven_flow uneven = {.velocity_spread = 0.081, .beds = 2};
    bf_rating_spec spec = coarse_bed();
    assert_fails(bf_parallel_beds_rate(&spec, &uneven, 0.0, 1, &point, &err), BF_E_RANGE,
                 "doses are above zero");
    assert_fails(bf_parallel_beds_rate(&spec, &uneven, (double)INFINITY, 1, &point, &err),
                 BF_E_RANGE, "doses are above zero");
    spec.steady.most_cycles = 1;
    assert_fails(bf_parallel_beds_rate(&spec, &uneven, 113.7, 1, &point, &err), BF_E_RANGE,
                 "accepted are 2 to 10000");
    spec = coarse_bed();
    spec.bed.depth_m = 11.0;
    assert_fails(bf_parallel_beds_rate(&spec, &uneven, 113.7, 1, &point, &err), BF_E_RANGE,
                 "depth");
    /* What only shows while the beds run: the error of one is that of all. */
    spec = coarse_bed();
    bf_step *wash = add_step(&spec, &bf_step_backwash, 300.0);
    wash->direction = BF_FLOW_UP;
    wash->bed_volumes = 1.3;
    assert_fails(bf_parallel_beds_rate(&spec, &uneven, 113.7, 1, &point, &err), BF_E_RANGE,
                 "carries beads");
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {mean_and_spread_are_those_asked_for,
                                  the_wall_is_one_bed_more,
                                  wall_effect_of_a_vessel,
                                  one_bed_is_the_plain_rating_to_the_bit,
                                  beds_at_one_velocity_are_one_bed,
                                  the_mixture_is_at_the_end_point,
                                  one_thread_is_one_thread,
                                  backwash_runs_evenly,
                                  a_spread_costs_capacity,
                                  halves_at_five_and_ten_percent,
                                  a_ring_at_the_wall_leaks_first,
                                  beds_without_a_rating,
                                  impossible_unevenness_is_refused,
                                  impossible_ratings_are_refused};
    return support_run("rating.parallel_beds", tests, sizeof tests / sizeof *tests, 300);
}
