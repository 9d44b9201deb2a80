/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The watcher sees every step of a run; first leakage and end point are read from what it sees. */
#include "bed_rig.h"
#include "simple_bed.h"

#include <math.h>
#include <stdio.h>

/* Iron is watched but does not count as hardness. */
START_TEST(the_watcher_sees_every_step_in_order)
{
    bf_error err = {0};
    bf_selectivity *selectivity = equilibrium(BF_EQUILIBRIUM_MASS_ACTION_IDEAL, 3);
    bf_bed_spec spec = simple_bed();
    spec.cells = 40;
    for (int way = BF_FLOW_DOWN; way <= BF_FLOW_UP; way++) {
        bf_bed *bed = build(&spec, selectivity);
        const double water[BF_ION_COUNT] = {[BF_ION_CA] = 2.3, [BF_ION_NA] = 7.7};
        assert_ok(bf_bed_fill(bed, NULL, water, &err));
        bf_flow flow = service(270.0);
        journal book;
        flow.direction = (bf_direction)way;
        flow.inlet_eq_per_m3[BF_ION_FE] = 0.5;
        open_book(&flow, spec.depth_m, 2.3, &book);
        bf_passage passage = run(bed, &flow);
        ck_assert_uint_eq(book.count, (size_t)passage.steps);
        ck_assert(book.time_s == passage.duration_s);
        ck_assert(passage.duration_s == flow.duration_s);
        assert_near(passage.bed_volumes, 270.0, 1e-14);
        assert_near(book.bed_volumes, 270.0, 1e-14);
        ck_assert(book.hardness == passage.hardness_last_eq_per_m3);
        ck_assert(book.lowest == passage.hardness_low_eq_per_m3);
        ck_assert_int_eq(passage.reached_end_hardness, 0);
        for (size_t i = 0; i < BF_CATION_COUNT; i++) {
            assert_near(passage.in_eq_per_m3[i], 270.0 * flow.inlet_eq_per_m3[i], 1e-12);
        }
        /* The effluent's integral as a state, against trapezoids over the steps it took. */
        double out = passage.out_eq_per_m3[BF_ION_CA] + passage.out_eq_per_m3[BF_ION_MG];
        printf("hardness passed %.3f eq/m3, by trapezoids %.3f\n", out, book.integral);
        assert_near(book.integral, out, 5e-3);
        bf_bed_free(bed);
    }
    bf_selectivity_free(selectivity);
}
END_TEST

/* First leakage: the effluent when half a bed volume has passed, read inside a step. */
START_TEST(first_leakage_is_that_of_half_a_bed_volume)
{
    bf_selectivity *selectivity = equilibrium(BF_EQUILIBRIUM_MASS_ACTION_IDEAL, 2);
    bf_bed_spec spec = simple_bed();
    spec.cells = 40;
    spec.relative_tolerance = 1e-6;
    bf_bed *bed = loaded(&spec, selectivity, 270.0); /* past the breakthrough */
    bf_bed *other = build(&spec, selectivity);
    bf_error err = {0};
    assert_ok(bf_bed_copy(other, bed, &err));
    bf_flow flow = brine(0.5); /* ends at half a bed volume */
    bf_passage half = run(other, &flow);
    flow = brine(0.8);
    bf_passage whole = run(bed, &flow);
    ck_assert_double_gt(half.hardness_last_eq_per_m3, 10.0);
    /* Two integrations, each to 1e-6 a step. */
    assert_near(whole.hardness_first_eq_per_m3, half.hardness_last_eq_per_m3, 1e-4);
    flow = service(0.49);
    bf_passage little = run(bed, &flow);
    ck_assert(isnan(little.hardness_first_eq_per_m3));
    bf_bed_free(bed);
    bf_bed_free(other);
    bf_selectivity_free(selectivity);
}
END_TEST

/* The end point counts only when the effluent rises through it: water that starts above falls below
 * and comes back, and a bed that never gets below runs its time. */
START_TEST(an_end_point_is_armed_from_below)
{
    bf_error err = {0};
    const double end = 0.342; /* 1 grain per US gallon */
    bf_selectivity *selectivity = equilibrium(BF_EQUILIBRIUM_MASS_ACTION_IDEAL, 2);
    bf_bed_spec spec = simple_bed();
    spec.cells = 40;
    spec.freeboard_m = 0.0;
    bf_flow flow = service(400.0);
    flow.end_hardness_eq_per_m3 = end;

    bf_bed *bed = build(&spec, selectivity); /* below from the start */
    bf_passage below = run(bed, &flow);
    ck_assert_int_eq(below.reached_end_hardness, 1);
    ck_assert_double_lt(below.duration_s, flow.duration_s);

    const double hard[BF_ION_COUNT] = {[BF_ION_CA] = 3.0, [BF_ION_NA] = 7.0};
    assert_ok(bf_bed_fill(bed, NULL, hard, &err)); /* above, then below, then above */
    bf_passage above = run(bed, &flow);
    ck_assert_int_eq(above.reached_end_hardness, 1);
    ck_assert_double_lt(above.hardness_low_eq_per_m3, end);
    /* The root is found on the integrator's own interpolation, to rounding of the time. */
    assert_near(above.hardness_last_eq_per_m3, end, 1e-6);
    assert_near(below.hardness_last_eq_per_m3, end, 1e-6);
    /* The hard water in the pores, 0.38 * 3 eq/m3, spends that much of the capacity. */
    double spent = (below.bed_volumes - above.bed_volumes) * 8.0;
    printf("end point after %.2f and %.2f bed volumes: %.2f eq/m3 spent\n", below.bed_volumes,
           above.bed_volumes, spent);
    assert_near_abs(spent, 0.38 * 3.0, 0.8); /* a tenth of a bed volume: 3e-4 a step */

    /* Run on past it: the same curve crosses there. */
    assert_ok(bf_bed_fill(bed, NULL, hard, &err));
    flow.end_hardness_eq_per_m3 = (double)NAN;
    bf_passage on = run(bed, &flow);
    ck_assert_int_eq(on.reached_end_hardness, 0);
    ck_assert(on.duration_s == flow.duration_s);
    ck_assert_double_gt(on.hardness_last_eq_per_m3, 7.9); /* exhausted */

    flow.end_hardness_eq_per_m3 = end; /* never below */
    flow.duration_s = 1800.0;
    bf_passage never = run(bed, &flow);
    ck_assert_int_eq(never.reached_end_hardness, 0);
    ck_assert(never.duration_s == 1800.0);
    ck_assert_double_gt(never.hardness_low_eq_per_m3, end);
    bf_bed_free(bed);
    bf_selectivity_free(selectivity);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {the_watcher_sees_every_step_in_order,
                                  first_leakage_is_that_of_half_a_bed_volume,
                                  an_end_point_is_armed_from_below};
    return support_run("bed.watcher", tests, COUNT(tests), 120);
}
