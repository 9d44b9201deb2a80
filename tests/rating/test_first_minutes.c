/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Ten samples against a bed that is run minute by minute, runs that end before the tenth, and
 * outcomes. */
#include "brinefront/first_minutes.h"

#include "coarse_bed.h"

#include <math.h>

enum { MINUTES = BF_FIRST_MINUTES };

/* The bed of the steady cycle goes on, a minute at a time: the next run is the last one within the
 * tolerance of the steady cycle, 5e-3 of leakage; twice that. */
START_TEST(samples_are_the_run_minute_by_minute)
{
    bf_error err = {0};
    bf_rating_spec spec = coarse_bed();
    const double m3_per_s = 1.7 * spec.recipe.step[0].velocity_m_per_s * bf_bed_area_m2(&spec.bed);
    bf_first_minutes found;
    assert_ok(bf_first_minutes_rate(&spec, 97.3, m3_per_s, &found, &err));
    ck_assert_int_eq(found.point.steady.cycle.outcome, BF_RATED);

    spec.recipe.step[0].velocity_m_per_s *= 1.7;
    ck_assert_double_eq(rate_at(&spec, 97.3).steady.cycle.capacity_eq_per_m3,
                        found.point.steady.cycle.capacity_eq_per_m3);
    bf_recipe_set_dose(&spec.recipe, 97.3);
    const bf_site site = bf_rating_site(&spec);
    bf_selectivity *selectivity = NULL;
    bf_bed *bed = NULL;
    static bf_steady_result steady; /* large */
    assert_ok(bf_rating_selectivity(&spec, &selectivity, &err));
    assert_ok(bf_rating_bed(&spec, selectivity, &bed, &err));
    assert_ok(bf_rating_exhaust(&spec, selectivity, bed, &err));
    assert_ok(bf_cycle_regenerate(&spec.recipe, &site, bed, &err));
    assert_ok(bf_steady_run(&spec.recipe, &site, &spec.steady, bed, &steady, &err));
    bf_flow minute = {.velocity_m_per_s = spec.recipe.step[0].velocity_m_per_s,
                      .duration_s = 60.0,
                      .end_hardness_eq_per_m3 = (double)NAN};
    bf_site_supply(&site, BF_SUPPLY_RAW, minute.inlet_eq_per_m3);
    assert_ok(bf_fluid_of_water(spec.water.temperature_K, &minute.fluid, &err));
    double highest = 0.0;
    for (size_t k = 0; k < MINUTES; k++) {
        bf_passage passage;
        assert_ok(bf_bed_run(bed, &minute, &passage, &err));
        assert_near(found.sample_eq_per_m3[k], passage.hardness_last_eq_per_m3, 1e-2);
        highest = fmax(highest, found.sample_eq_per_m3[k]);
    }
    ck_assert_double_eq(found.highest_eq_per_m3, highest);
    ck_assert_double_gt(found.sample_eq_per_m3[0], 1.05 * found.sample_eq_per_m3[9]);
    bf_bed_free(bed);
    bf_selectivity_free(selectivity);
}
END_TEST

START_TEST(a_run_that_is_shorter_has_fewer_samples)
{
    bf_error err = {0};
    bf_rating_spec spec = coarse_bed();
    const double usual = spec.recipe.step[0].velocity_m_per_s * bf_bed_area_m2(&spec.bed);
    bf_first_minutes found;
    spec.recipe.step[0].bed_volumes = 2.1;
    spec.recipe.step[0].end_hardness_eq_per_m3 = (double)NAN;
    assert_ok(bf_first_minutes_rate(&spec, 97.3, 1.9 * usual, &found, &err));
    /* 2.1 BV at 34.01 BV/h are 3.70 min. */
    for (size_t k = 0; k < MINUTES; k++) {
        ck_assert_int_eq(isnan(found.sample_eq_per_m3[k]) == 0, k < 3);
    }
    const double last = found.point.steady.cycle.step[0].passage.hardness_last_eq_per_m3;
    ck_assert_double_ge(found.highest_eq_per_m3, last);
    ck_assert_double_ge(found.highest_eq_per_m3, found.sample_eq_per_m3[0]);
}
END_TEST

START_TEST(outcomes_and_refusals)
{
    bf_error err = {0};
    bf_rating_spec spec = coarse_bed();
    const double usual = spec.recipe.step[0].velocity_m_per_s * bf_bed_area_m2(&spec.bed);
    bf_first_minutes found;
    /* Too little salt: it leaks, and how much can be told. */
    spec.recipe.step[0].end_hardness_eq_per_m3 = 0.0043;
    assert_ok(bf_first_minutes_rate(&spec, 21.9, usual, &found, &err));
    ck_assert_int_eq(found.point.steady.cycle.outcome, BF_LEAKS_FROM_THE_START);
    ck_assert_double_gt(found.highest_eq_per_m3, 0.0043);
    /* Never steady: it cannot. */
    spec = coarse_bed();
    spec.steady.most_cycles = 2;
    assert_ok(bf_first_minutes_rate(&spec, 97.3, usual, &found, &err));
    ck_assert(isnan(found.highest_eq_per_m3));
    assert_fails(bf_first_minutes_rate(&spec, 97.3, 0.0, &found, &err), BF_E_RANGE, "velocity");
    assert_fails(bf_first_minutes_rate(&spec, -1.0, usual, &found, &err), BF_E_RANGE, "above zero");
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {samples_are_the_run_minute_by_minute,
                                  a_run_that_is_shorter_has_fewer_samples, outcomes_and_refusals};
    return support_run("first minutes", tests, sizeof tests / sizeof *tests, 120.0);
}
