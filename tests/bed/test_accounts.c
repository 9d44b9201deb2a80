/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What goes into a bed comes out of it or stays: with and without freeboard. */
#include "bed_rig.h"
#include "simple_bed.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* In - out - stored over service and regeneration, both ways, with and without freeboard, two to
 * nine ions. The integrator keeps linear sums to rounding, because the Newton matrix keeps them,
 * too: 1e-12 of what passed leaves room for some thousand steps. */
START_TEST(nothing_is_lost)
{
    double worst = 0.0;
    for (size_t ions = 2; ions <= 9; ions++) {
        bf_selectivity *selectivity = equilibrium(
            ions % 3 == 0 ? BF_EQUILIBRIUM_MASS_ACTION : BF_EQUILIBRIUM_MASS_ACTION_IDEAL, ions);
        for (int variant = 0; variant < 4; variant++) {
            bf_bed_spec spec = simple_bed();
            spec.cells = 40;
            spec.shells = ions > 6 ? 3 : 6;
            spec.freeboard_m = variant % 2 ? 0.38 : 0.0;
            bf_bed *bed = build(&spec, selectivity);
            bf_flow flows[] = {service(110.0), brine(0.8), service(1.5)};
            for (size_t f = 0; f < COUNT(flows); f++) {
                for (size_t i = 2; i < ions; i++) {
                    flows[f].inlet_eq_per_m3[nine_ions[i]] = 0.1 + 0.02 * (double)i;
                }
                flows[f].direction = variant < 2 ? BF_FLOW_DOWN : BF_FLOW_UP;
                bf_holding before = bf_bed_holding(bed);
                bf_passage passage = run(bed, &flows[f]);
                bf_holding after = bf_bed_holding(bed);
                double passed = 0.0;
                for (size_t i = 0; i < BF_CATION_COUNT; i++) {
                    passed += passage.in_eq_per_m3[i] + passage.out_eq_per_m3[i];
                }
                double left_over = 0.0;
                for (size_t i = 0; i < BF_CATION_COUNT; i++) {
                    double off = passage.in_eq_per_m3[i] - passage.out_eq_per_m3[i] -
                                 passage.stored_eq_per_m3[i];
                    left_over = fmax(left_over, fabs(off));
                    if (variant % 2 == 0) { /* no freeboard: stored is what one can look at */
                        double stored =
                            2000.0 * (after.resin_fraction[i] - before.resin_fraction[i]) +
                            0.38 * (after.pore_eq_per_m3[i] - before.pore_eq_per_m3[i]);
                        assert_near_abs(passage.stored_eq_per_m3[i], stored, 1e-10 * passed);
                    }
                }
                assert_near_abs(passage.imbalance_eq_per_m3, left_over, 1e-15 * passed);
                worst = fmax(worst, passage.imbalance_eq_per_m3 / passed);
                ck_assert_double_le(passage.imbalance_eq_per_m3, 1e-12 * passed);
            }
            bf_bed_free(bed);
        }
        bf_selectivity_free(selectivity);
    }
    printf("largest imbalance: %.1e of what passed\n", worst);
}
END_TEST

/* A vessel flushed with another strength gives off its pore and freeboard water: (eps + H/L) dC per
 * volume of bed, whichever way. Left after 12 bed volumes: exp(-24) of the freeboard's; the rest is
 * the integrator's 3e-4 and 0.01 eq/m3. */
START_TEST(a_flushed_vessel_gives_off_its_water)
{
    bf_selectivity *selectivity = equilibrium(BF_EQUILIBRIUM_MASS_ACTION_IDEAL, 1);
    bf_bed_spec spec = simple_bed();
    spec.cells = 40;
    for (int way = BF_FLOW_DOWN; way <= BF_FLOW_UP; way++) {
        bf_error err = {0};
        bf_bed *bed = build(&spec, selectivity);
        const double strong[BF_ION_COUNT] = {[BF_ION_NA] = 1401.0};
        assert_ok(bf_bed_fill(bed, NULL, strong, &err));
        bf_flow flow = service(12.0);
        memset(flow.inlet_eq_per_m3, 0, sizeof flow.inlet_eq_per_m3);
        flow.inlet_eq_per_m3[BF_ION_NA] = 1.0;
        flow.direction = (bf_direction)way;
        bf_passage passage = run(bed, &flow);
        double given = passage.out_eq_per_m3[BF_ION_NA] - passage.in_eq_per_m3[BF_ION_NA];
        assert_near(given, (0.38 + 0.38 / 0.76) * 1400.0, 1e-4);
        bf_bed_free(bed);
    }
    bf_selectivity_free(selectivity);
}
END_TEST

/* A flow that passes the freeboard by meets the bed alone: to the last bit what a vessel without
 * freeboard does. The water that stood by is there afterwards: flushing both vessels, the one gives
 * off H/L (1401 - 1) more. */
START_TEST(freeboard_water_stands_by_when_told_to)
{
    bf_error err = {0};
    bf_selectivity *selectivity = equilibrium(BF_EQUILIBRIUM_MASS_ACTION_IDEAL, 2);
    bf_bed_spec spec = simple_bed();
    spec.cells = 20;
    bf_bed *choice = build(&spec, selectivity);
    spec.freeboard_m = 0.0;
    bf_bed *without = build(&spec, selectivity);
    const double strong[BF_ION_COUNT] = {[BF_ION_NA] = 1401.0};
    for (int way = BF_FLOW_DOWN; way <= BF_FLOW_UP; way++) {
        assert_ok(bf_bed_fill(choice, NULL, strong, &err));
        assert_ok(bf_bed_fill(without, NULL, strong, &err));
        bf_flow flow = service(7.0);
        flow.direction = (bf_direction)way;
        flow.bypass_freeboard = 1;
        bf_passage one = run(choice, &flow);
        bf_passage other = run(without, &flow);
        ck_assert(bf_bed_distance(choice, without) == 0.0);
        ck_assert_mem_eq(one.out_eq_per_m3, other.out_eq_per_m3, sizeof one.out_eq_per_m3);
        ck_assert_double_le(one.imbalance_eq_per_m3, 1e-9);
        flow = service(12.0);
        memset(flow.inlet_eq_per_m3, 0, sizeof flow.inlet_eq_per_m3);
        flow.inlet_eq_per_m3[BF_ION_NA] = 1.0;
        one = run(choice, &flow);
        other = run(without, &flow);
        double more = 0.0;
        for (size_t i = 0; i < BF_CATION_COUNT; i++) {
            more += one.out_eq_per_m3[i] - other.out_eq_per_m3[i];
        }
        assert_near(more, 0.38 / 0.76 * 1400.0, 1e-4); /* as above */
    }
    bf_bed_free(choice);
    bf_bed_free(without);
    bf_selectivity_free(selectivity);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {nothing_is_lost, a_flushed_vessel_gives_off_its_water,
                                  freeboard_water_stands_by_when_told_to};
    return support_run("bed.accounts", tests, COUNT(tests), 120);
}
