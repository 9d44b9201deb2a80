/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A trace holds what the cycle's own results say: the effluent curve integrates to the amounts, the
 * profiles average to what the bed holds. */
#include "brinefront/trace.h"
#include "rig.h"
#include "support.h"

#include <math.h>
#include <string.h>

START_TEST(curve_and_profile_agree_with_the_amounts)
{
    bf_error err = {0};
    bf_water water;
    assert_ok(rig_water(371.0, 3.1, NULL, &water, &err));
    rig r;
    assert_ok(rig_open(&r, &water, BF_SALT_NACL, 0.38, 32, 3, &err));
    bf_recipe recipe = rig_co_current(7.3);
    bf_trace *trace = NULL;
    bf_cycle_result result;
    assert_ok(bf_trace_create(32, &trace, &err));
    bf_trace_attach(trace, &recipe);
    assert_ok(bf_cycle_run(&recipe, &r.site, r.bed, &result, &err));
    assert_ok(bf_trace_check(trace, &err));
    ck_assert_uint_eq(bf_trace_step_count(trace), recipe.count);
    for (size_t s = 0; s < recipe.count; s++) {
        size_t count;
        const bf_trace_point *points = bf_trace_points(trace, s, &count);
        ck_assert_uint_gt(count, 10);
        double sum = 0.0;
        for (size_t p = 1; p < count; p++) {
            ck_assert(points[p].bed_volumes >= points[p - 1].bed_volumes);
            sum += 0.5 *
                   (points[p].effluent_eq_per_m3[BF_ION_CA] +
                    points[p - 1].effluent_eq_per_m3[BF_ION_CA]) *
                   (points[p].bed_volumes - points[p - 1].bed_volumes);
        }
        /* Trapezoids over the solver's own steps: a percent of what left, or of what leaks. */
        assert_near_abs(sum, result.step[s].passage.out_eq_per_m3[BF_ION_CA],
                        0.01 * result.step[s].passage.out_eq_per_m3[BF_ION_CA] + 0.05);
        assert_near(points[count - 1].bed_volumes, result.step[s].bed_volumes, 1e-12);
    }
    /* The last profile is the bed as it stands. */
    bf_holding holding = bf_bed_holding(r.bed);
    double mean = 0.0;
    for (size_t k = 0; k < 32; k++) {
        mean += bf_trace_resin_fraction(trace, recipe.count - 1, BF_ION_MG)[k] / 32.0;
    }
    assert_near(mean, holding.resin_fraction[BF_ION_MG], 1e-12);
    bf_trace_free(trace);
    rig_close(&r);
}
END_TEST

START_TEST(reading_between_moments_is_linear_and_stops_at_the_ends)
{
    bf_error err = {0};
    bf_water water;
    assert_ok(rig_water(371.0, 3.1, NULL, &water, &err));
    rig r;
    assert_ok(rig_open(&r, &water, BF_SALT_NACL, 0.38, 16, 2, &err));
    bf_recipe recipe = rig_co_current(7.3);
    bf_trace *trace = NULL;
    bf_cycle_result result;
    assert_ok(bf_trace_create(16, &trace, &err));
    bf_trace_attach(trace, &recipe);
    assert_ok(bf_cycle_run(&recipe, &r.site, r.bed, &result, &err));
    size_t count;
    const bf_trace_point *points = bf_trace_points(trace, 1, &count);
    const bf_trace_point *a = &points[count / 2];
    const bf_trace_point *b = a + 1;
    double middle = 0.3 * a->bed_volumes + 0.7 * b->bed_volumes;
    bf_trace_point point = bf_trace_at(trace, 1, middle);
    assert_near(point.normality_eq_per_m3,
                0.3 * a->normality_eq_per_m3 + 0.7 * b->normality_eq_per_m3, 1e-9);
    assert_near(point.effluent_eq_per_m3[BF_ION_NA],
                0.3 * a->effluent_eq_per_m3[BF_ION_NA] + 0.7 * b->effluent_eq_per_m3[BF_ION_NA],
                1e-9);
    ck_assert(bf_trace_at(trace, 1, -1.0).time_s == points[0].time_s);
    ck_assert(bf_trace_at(trace, 1, 1e9).time_s == points[count - 1].time_s);
    bf_trace_free(trace);
    rig_close(&r);
}
END_TEST

START_TEST(a_bed_of_another_shape_is_noticed)
{
    bf_error err = {0};
    bf_water water;
    assert_ok(rig_water(371.0, 3.1, NULL, &water, &err));
    rig r;
    assert_ok(rig_open(&r, &water, BF_SALT_NACL, 0.38, 16, 2, &err));
    bf_recipe recipe = rig_co_current(7.3);
    bf_trace *trace = NULL;
    bf_cycle_result result;
    assert_ok(bf_trace_create(17, &trace, &err));
    bf_trace_attach(trace, &recipe);
    assert_ok(bf_cycle_run(&recipe, &r.site, r.bed, &result, &err));
    assert_fails(bf_trace_check(trace, &err), BF_E_MEMORY, "another shape");
    bf_trace_free(trace);
    bf_trace_free(NULL);
    rig_close(&r);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {curve_and_profile_agree_with_the_amounts,
                                  reading_between_moments_is_linear_and_stops_at_the_ends,
                                  a_bed_of_another_shape_is_noticed};
    return support_run("cycle.trace", tests, sizeof tests / sizeof *tests, 60);
}
