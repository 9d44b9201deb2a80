/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A bed at rest stays at rest, and what should make no difference makes none: up and down, names,
 * one bed or two halves, correlations given outright. */
#include "bed_rig.h"
#include "brinefront/hydraulics.h"
#include "simple_bed.h"

#include <math.h>
#include <stdio.h>

enum { MOST_CELLS = 512 };

/* Resin in equilibrium with its water, standing or with the same water flowing: nothing happens.
 * The start is off by rounding, which the integrator sees and keeps. */
START_TEST(a_bed_in_equilibrium_stays_as_it_is)
{
    const bf_equilibrium_law laws[] = {BF_EQUILIBRIUM_MASS_ACTION,
                                       BF_EQUILIBRIUM_MASS_ACTION_IDEAL};
    for (size_t l = 0; l < COUNT(laws); l++) {
        bf_error err = {0};
        bf_selectivity *selectivity = equilibrium(laws[l], 7); /* K included */
        bf_bed_spec spec = simple_bed();
        spec.cells = 15;
        spec.shells = 4;
        bf_bed *bed = build(&spec, selectivity);
        bf_bed *before = build(&spec, selectivity);
        bf_flow flow = service(30.0);
        flow.inlet_eq_per_m3[BF_ION_FE] = 0.02;
        flow.inlet_eq_per_m3[BF_ION_K] = 0.3;
        const bf_ion ions[] = {BF_ION_CA, BF_ION_MG, BF_ION_FE, BF_ION_MN,
                               BF_ION_SR, BF_ION_BA, BF_ION_K};
        double pore[COUNT(ions)];
        double y[COUNT(ions)];
        double resin[BF_ION_COUNT] = {0};
        double normality = 0.0;
        for (size_t i = 0; i < BF_CATION_COUNT; i++) {
            normality += flow.inlet_eq_per_m3[i];
        }
        for (size_t i = 0; i < COUNT(ions); i++) {
            pore[i] = flow.inlet_eq_per_m3[ions[i]];
        }
        bf_selectivity_to_resin(selectivity, normality, pore, y);
        for (size_t i = 0; i < COUNT(ions); i++) {
            resin[ions[i]] = y[i];
        }
        assert_ok(bf_bed_fill(bed, resin, flow.inlet_eq_per_m3, &err));
        assert_ok(bf_bed_copy(before, bed, &err));
        for (int way = 0; way < 3; way++) { /* down, up, standing */
            flow.direction = way == 1 ? BF_FLOW_UP : BF_FLOW_DOWN;
            flow.velocity_m_per_s = way == 2 ? 0.0 : 4e-3;
            bf_passage passage = run(bed, &flow);
            double a[15];
            double b[15];
            ck_assert_double_le(bf_bed_distance(bed, before), 1e-12);
            for (size_t i = 0; i < COUNT(ions); i++) {
                bf_bed_profile(bed, ions[i], NULL, a);
                bf_bed_profile(before, ions[i], NULL, b);
                for (size_t k = 0; k < 15; k++) {
                    assert_near_abs(a[k], b[k], 1e-11);
                }
            }
            if (way == 2) { /* nothing moved: no effluent, no first leakage */
                ck_assert(passage.bed_volumes == 0.0);
                ck_assert(passage.out_eq_per_m3[BF_ION_CA] == 0.0);
                ck_assert(isnan(passage.hardness_first_eq_per_m3));
            }
        }
        bf_bed_free(bed);
        bf_bed_free(before);
        bf_selectivity_free(selectivity);
    }
}
END_TEST

/* A standing bed that is off equilibrium comes to it: brine in the pores of a loaded resin. After a
 * day (beads need R^2/(15 D), some minutes), the water stands in equilibrium with the mean resin
 * to the integrator's tolerance, and nothing was lost. */
START_TEST(a_standing_bed_comes_to_equilibrium)
{
    bf_error err = {0};
    bf_selectivity *selectivity = equilibrium(BF_EQUILIBRIUM_MASS_ACTION, 2);
    bf_bed_spec spec = simple_bed();
    spec.cells = 6;
    spec.freeboard_m = 0.0;
    bf_bed *bed = build(&spec, selectivity);
    const double resin[BF_ION_COUNT] = {[BF_ION_CA] = 0.51, [BF_ION_MG] = 0.23};
    const double strong[BF_ION_COUNT] = {[BF_ION_NA] = 1800.0};
    assert_ok(bf_bed_fill(bed, resin, strong, &err));
    bf_flow flow = brine(1.0);
    flow.velocity_m_per_s = 0.0;
    flow.duration_s = 86400.0;
    bf_passage passage = run(bed, &flow);
    bf_holding holding = bf_bed_holding(bed);
    double pore[2] = {holding.pore_eq_per_m3[BF_ION_CA], holding.pore_eq_per_m3[BF_ION_MG]};
    double y[2] = {holding.resin_fraction[BF_ION_CA], holding.resin_fraction[BF_ION_MG]};
    double expected[2];
    bf_selectivity_to_water(selectivity, 1800.0, pore, y, expected);
    ck_assert_double_gt(pore[0], 50.0); /* brine does take calcium off */
    assert_near(pore[0], expected[0], 1e-3);
    assert_near(pore[1], expected[1], 1e-3);
    assert_near(2000.0 * y[0] + 0.38 * pore[0], 2000.0 * 0.51, 1e-12);
    ck_assert_double_le(passage.imbalance_eq_per_m3, 1e-9);
    bf_bed_free(bed);
    bf_selectivity_free(selectivity);
}
END_TEST

static void assert_mirrored(const bf_bed *down, const bf_bed *up, size_t cells)
{
    const bf_ion ions[] = {BF_ION_NA, BF_ION_CA, BF_ION_MG};
    for (size_t i = 0; i < COUNT(ions); i++) {
        double y_down[MOST_CELLS];
        double y_up[MOST_CELLS];
        double c_down[MOST_CELLS];
        double c_up[MOST_CELLS];
        bf_bed_profile(down, ions[i], y_down, c_down);
        bf_bed_profile(up, ions[i], y_up, c_up);
        for (size_t k = 0; k < cells; k++) {
            ck_assert(y_down[k] == y_up[cells - 1 - k]);
            ck_assert(c_down[k] == c_up[cells - 1 - k]);
        }
    }
}

/* Without freeboard a bed run upside down is the same bed upside down, to the last bit. */
START_TEST(up_is_down_in_a_mirror)
{
    bf_selectivity *selectivity = equilibrium(BF_EQUILIBRIUM_MASS_ACTION, 2);
    bf_bed_spec spec = simple_bed();
    spec.freeboard_m = 0.0;
    spec.cells = 37;
    bf_bed *down = build(&spec, selectivity);
    bf_bed *up = build(&spec, selectivity);
    bf_flow flows[] = {service(120.0), brine(0.7), brine(0.7), service(20.0)};
    const bf_direction ways[] = {BF_FLOW_DOWN, BF_FLOW_DOWN, BF_FLOW_UP, BF_FLOW_DOWN};
    for (size_t f = 0; f < COUNT(flows); f++) {
        flows[f].direction = ways[f];
        bf_passage one = run(down, &flows[f]);
        flows[f].direction = ways[f] == BF_FLOW_DOWN ? BF_FLOW_UP : BF_FLOW_DOWN;
        bf_passage other = run(up, &flows[f]);
        assert_mirrored(down, up, 37);
        ck_assert_mem_eq(one.out_eq_per_m3, other.out_eq_per_m3, sizeof one.out_eq_per_m3);
        ck_assert_int_eq(one.steps, other.steps);
    }
    bf_bed_free(down);
    bf_bed_free(up);
    bf_selectivity_free(selectivity);
}
END_TEST

/* A run depends on the state and on nothing the bed did before: same bits from a fresh bed, from
 * one with a past, and from one that was told the state by another. */
START_TEST(a_bed_has_no_memory_but_its_state)
{
    bf_error err = {0};
    bf_selectivity *selectivity = equilibrium(BF_EQUILIBRIUM_MASS_ACTION_IDEAL, 2);
    bf_bed_spec spec = simple_bed();
    spec.cells = 33; /* rows with padding */
    bf_bed *fresh = build(&spec, selectivity);
    bf_bed *old = build(&spec, selectivity);
    bf_bed *start = build(&spec, selectivity);
    bf_flow past[] = {service(150.0), brine(1.1), service(3.0)};
    past[1].direction = BF_FLOW_UP;
    for (size_t f = 0; f < COUNT(past); f++) {
        past[f].end_hardness_eq_per_m3 = 0.4;
        (void)run(old, &past[f]);
    }
    assert_ok(bf_bed_copy(start, old, &err));
    assert_ok(bf_bed_copy(fresh, start, &err));
    bf_flow flow = service(60.0);
    for (int round = 0; round < 2; round++) {
        bf_passage one = run(fresh, &flow);
        bf_passage other = run(old, &flow);
        ck_assert(bf_bed_distance(fresh, old) == 0.0);
        ck_assert_mem_eq(one.out_eq_per_m3, other.out_eq_per_m3, sizeof one.out_eq_per_m3);
        ck_assert_int_eq(one.steps, other.steps);
        assert_ok(bf_bed_copy(old, start, &err));
        assert_ok(bf_bed_copy(fresh, start, &err));
    }
    bf_bed_free(fresh);
    bf_bed_free(old);
    bf_bed_free(start);
    bf_selectivity_free(selectivity);
}
END_TEST

/* Names of ions that differ in nothing: calcium and magnesium with each other's constants and
 * diffusivities in each other's places. Sums run in another order, hence rounding, which the
 * integrator's step control amplifies to its own tolerance of 1e-7. */
START_TEST(names_of_ions_do_not_matter)
{
    bf_error err = {0};
    bf_selectivity_spec law = {.law = BF_EQUILIBRIUM_MASS_ACTION_IDEAL,
                               .ions = {.count = 2, .ion = {BF_ION_CA, BF_ION_MG}},
                               .constant = {[BF_ION_CA] = 2.6, [BF_ION_MG] = 1.7},
                               .total_capacity_eq_per_m3 = 2000.0};
    bf_bed_spec spec = simple_bed();
    spec.cells = 24;
    spec.shells = 3;
    spec.relative_tolerance = 1e-7;
    spec.hardness_tolerance_eq_per_m3 = 1e-7;
    spec.film_m_per_s = 5e-5;
    spec.resin.diffusivity_25C_m2_per_s[BF_ION_CA] = 1.1e-11;
    spec.resin.diffusivity_25C_m2_per_s[BF_ION_MG] = 0.7e-11;
    double record[2][24];
    for (int swapped = 0; swapped < 2; swapped++) {
        if (swapped) {
            law.constant[BF_ION_CA] = 1.7;
            law.constant[BF_ION_MG] = 2.6;
            spec.resin.diffusivity_25C_m2_per_s[BF_ION_CA] = 0.7e-11;
            spec.resin.diffusivity_25C_m2_per_s[BF_ION_MG] = 1.1e-11;
        }
        bf_selectivity *selectivity = NULL;
        assert_ok(bf_selectivity_create(&law, &selectivity, &err));
        bf_bed *bed = build(&spec, selectivity);
        bf_flow flow = service(100.0);
        if (swapped) {
            flow.inlet_eq_per_m3[BF_ION_CA] = 2.7;
            flow.inlet_eq_per_m3[BF_ION_MG] = 5.3;
        }
        (void)run(bed, &flow);
        bf_bed_profile(bed, swapped ? BF_ION_MG : BF_ION_CA, record[swapped], NULL);
        bf_bed_free(bed);
        bf_selectivity_free(selectivity);
    }
    for (size_t k = 0; k < 24; k++) {
        assert_near_abs(record[1][k], record[0][k], 1e-6);
    }
}
END_TEST

/* Two beds of half the depth in a row, against one, well into the breakthrough: the water between
 * them is handed over in slices of one bed volume as their mean. Where the two meet the limiter
 * starts anew and the slices smear, so they agree to some parts in a thousand of the capacity. */
START_TEST(two_half_beds_make_one)
{
    enum { HALF = 60, SLICES = 252 };
    bf_selectivity *selectivity = equilibrium(BF_EQUILIBRIUM_MASS_ACTION_IDEAL, 2);
    bf_bed_spec spec = simple_bed();
    spec.freeboard_m = 0.0;
    spec.dispersion_m2_per_s = 0.0;
    spec.cells = 2 * HALF;
    bf_bed *whole = build(&spec, selectivity);
    spec.cells = HALF;
    spec.depth_m *= 0.5;
    bf_bed *upper = build(&spec, selectivity);
    bf_bed *lower = build(&spec, selectivity);
    bf_flow flow = service(SLICES);
    bf_passage through = run(whole, &flow);
    double out[BF_ION_COUNT] = {0};
    bf_flow slice = service(1.0);
    for (int s = 0; s < SLICES; s++) {
        bf_passage first = run(upper, &slice);
        bf_flow next = slice;
        for (size_t i = 0; i < BF_CATION_COUNT; i++) {
            next.inlet_eq_per_m3[i] = fmax(first.out_eq_per_m3[i], 0.0) / first.bed_volumes;
        }
        bf_passage second = run(lower, &next);
        for (size_t i = 0; i < BF_CATION_COUNT; i++) {
            out[i] += 0.5 * second.out_eq_per_m3[i]; /* per volume of the whole */
        }
    }
    double y_whole[2 * HALF];
    double y_parts[2 * HALF];
    double apart = 0.0;
    bf_bed_profile(whole, BF_ION_CA, y_whole, NULL);
    bf_bed_profile(upper, BF_ION_CA, y_parts, NULL);
    bf_bed_profile(lower, BF_ION_CA, y_parts + HALF, NULL);
    for (size_t k = 0; k < 2 * HALF; k++) {
        apart += fabs(y_whole[k] - y_parts[k]) / (2 * HALF);
    }
    double received = through.in_eq_per_m3[BF_ION_CA];
    printf(
        "half beds: mean distance of profiles %.1e, calcium passed %.4f and %.4f of %.0f eq/m3\n",
        apart, through.out_eq_per_m3[BF_ION_CA], out[BF_ION_CA], received);
    ck_assert_double_gt(out[BF_ION_CA], 5.0);
    ck_assert_double_lt(apart, 3e-3);
    assert_near_abs(out[BF_ION_CA], through.out_eq_per_m3[BF_ION_CA], 1e-3 * received);
    bf_bed_free(whole);
    bf_bed_free(upper);
    bf_bed_free(lower);
    bf_selectivity_free(selectivity);
}
END_TEST

/* What NAN stands for in a spec is the correlation: the same number given outright changes no bit.
 */
START_TEST(correlations_fill_what_is_not_given)
{
    bf_selectivity *selectivity = equilibrium(BF_EQUILIBRIUM_MASS_ACTION_IDEAL, 1);
    bf_bed_spec spec = simple_bed();
    spec.cells = 20;
    spec.film_law = BF_FILM_KATAOKA;
    bf_flow flow = service(190.0);
    flow.inlet_eq_per_m3[BF_ION_MG] = 0.0;
    bf_bed *bed = build(&spec, selectivity);
    bf_passage by_law = run(bed, &flow);
    double diffusivity = bf_ion_diffusivity_m2_per_s(BF_ION_CA, 293.15, 1.002e-3);
    bf_bed_spec given = spec;
    given.dispersion_m2_per_s = bf_dispersion_m2_per_s(&water_20C, flow.velocity_m_per_s, 0.6e-3);
    given.film_m_per_s = bf_film_coefficient_m_per_s(
        BF_FILM_KATAOKA, &water_20C, flow.velocity_m_per_s, 0.6e-3, 0.38, diffusivity);
    bf_bed *notice = build(&given, selectivity);
    bf_passage by_number = run(notice, &flow);
    ck_assert(bf_bed_distance(bed, notice) == 0.0);
    ck_assert(by_law.out_eq_per_m3[BF_ION_CA] == by_number.out_eq_per_m3[BF_ION_CA]);
    spec.film_law = BF_FILM_WILSON_GEANKOPLIS; /* a thinner film lets less slip */
    bf_bed *thinner = build(&spec, selectivity);
    bf_passage other = run(thinner, &flow);
    ck_assert_double_lt(other.out_eq_per_m3[BF_ION_CA], by_law.out_eq_per_m3[BF_ION_CA]);
    /* Bead diffusivity at the bed's temperature, given outright, likewise. */
    given = spec;
    given.temperature_K = spec.temperature_K = 281.7;
    for (size_t i = 0; i < BF_CATION_COUNT; i++) {
        given.resin.diffusivity_25C_m2_per_s[i] =
            bf_resin_diffusivity_m2_per_s(&spec.resin, (bf_ion)i, 281.7);
        given.resin.activation_J_per_mol[i] = 0.0;
    }
    bf_bed *cold = build(&spec, selectivity);
    bf_bed *slow = build(&given, selectivity);
    (void)run(cold, &flow);
    (void)run(slow, &flow);
    ck_assert(bf_bed_distance(cold, slow) == 0.0);
    ck_assert_double_gt(bf_bed_distance(cold, thinner), 1e-3);
    /* "Bead only" is a film that passes 1e4 times more; rounding, and what step control makes of
     * it. */
    given = spec;
    given.film_m_per_s =
        1e4 * bf_film_coefficient_m_per_s(BF_FILM_WILSON_GEANKOPLIS, &water_20C,
                                          flow.velocity_m_per_s, 0.6e-3, 0.38,
                                          bf_ion_diffusivity_m2_per_s(BF_ION_CA, 281.7, 1.002e-3));
    bf_bed *open = build(&given, selectivity);
    spec.rate_law = BF_RATE_BEAD;
    bf_bed *bead = build(&spec, selectivity);
    (void)run(open, &flow);
    (void)run(bead, &flow);
    ck_assert_double_lt(bf_bed_distance(open, bead), 1e-5);
    ck_assert_double_gt(bf_bed_distance(cold, bead), 1e-3);
    bf_bed_free(open);
    bf_bed_free(bead);
    bf_bed_free(cold);
    bf_bed_free(slow);
    bf_bed_free(bed);
    bf_bed_free(notice);
    bf_bed_free(thinner);
    bf_selectivity_free(selectivity);
}
END_TEST

/* The factor is on the correlation alone: 1 changes no bit, 1.7 is 1.7 times the number given
 * outright, and a number given outright is left as it is. */
START_TEST(a_factor_on_dispersion_is_on_the_correlation)
{
    bf_selectivity *selectivity = equilibrium(BF_EQUILIBRIUM_MASS_ACTION_IDEAL, 1);
    bf_bed_spec spec = simple_bed();
    spec.cells = 20;
    bf_flow flow = service(190.0);
    flow.inlet_eq_per_m3[BF_ION_MG] = 0.0;
    const double correlated =
        bf_dispersion_m2_per_s(&water_20C, flow.velocity_m_per_s, spec.resin.bead_diameter_m);
    bf_bed_spec specs[5] = {spec, spec, spec, spec, spec};
    specs[1].dispersion_m2_per_s = correlated;
    specs[2].dispersion_factor = 1.7;
    specs[3].dispersion_m2_per_s = 1.7 * correlated;
    specs[4].dispersion_m2_per_s = correlated;
    specs[4].dispersion_factor = 1.7;
    bf_bed *beds[5];
    for (size_t k = 0; k < COUNT(specs); k++) {
        beds[k] = build(&specs[k], selectivity);
        (void)run(beds[k], &flow);
    }
    ck_assert(bf_bed_distance(beds[0], beds[1]) == 0.0);
    ck_assert(bf_bed_distance(beds[2], beds[3]) == 0.0);
    ck_assert(bf_bed_distance(beds[1], beds[4]) == 0.0);
    ck_assert_double_gt(bf_bed_distance(beds[0], beds[2]), 1e-5);
    for (size_t k = 0; k < COUNT(specs); k++) {
        bf_bed_free(beds[k]);
    }
    bf_selectivity_free(selectivity);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {a_bed_in_equilibrium_stays_as_it_is,
                                  a_standing_bed_comes_to_equilibrium,
                                  up_is_down_in_a_mirror,
                                  a_bed_has_no_memory_but_its_state,
                                  names_of_ions_do_not_matter,
                                  two_half_beds_make_one,
                                  correlations_fill_what_is_not_given,
                                  a_factor_on_dispersion_is_on_the_correlation};
    return support_run("bed.symmetry", tests, COUNT(tests), 120);
}
