/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a bed holds: filled, looked into, mixed, copied, and local states at their depth. */
#include "bed_rig.h"
#include "simple_bed.h"

#include <math.h>

START_TEST(a_new_bed_is_all_sodium)
{
    bf_selectivity *selectivity = equilibrium(BF_EQUILIBRIUM_MASS_ACTION_IDEAL, 3);
    bf_bed_spec spec = simple_bed();
    bf_bed *bed = build(&spec, selectivity);
    ck_assert_uint_eq(bf_bed_cell_count(bed), 120);
    bf_holding holding = bf_bed_holding(bed);
    for (size_t i = 0; i < BF_ION_COUNT; i++) {
        assert_near_abs(holding.resin_fraction[i], i == BF_ION_NA ? 1.0 : 0.0, 0.0);
        assert_near_abs(holding.pore_eq_per_m3[i], i == BF_ION_NA ? 1.0 : 0.0, 1e-13);
    }
    bf_bed_free(bed);
    bf_bed_free(NULL);
    bf_selectivity_free(selectivity);
}
END_TEST

START_TEST(a_filled_bed_holds_what_it_was_given)
{
    bf_error err = {0};
    bf_selectivity *selectivity = equilibrium(BF_EQUILIBRIUM_MASS_ACTION_IDEAL, 3);
    bf_bed_spec spec = simple_bed();
    spec.cells = 17;
    bf_bed *bed = build(&spec, selectivity);
    const double resin[BF_ION_COUNT] = {
        [BF_ION_CA] = 0.413, [BF_ION_MG] = 0.171, [BF_ION_FE] = 0.009, [BF_ION_NA] = 0.407};
    const double water[BF_ION_COUNT] = {
        [BF_ION_CA] = 3.1, [BF_ION_MG] = 1.7, [BF_ION_NA] = 4.3, [BF_ION_CL] = 9.1};
    assert_ok(bf_bed_fill(bed, resin, water, &err));
    bf_holding holding = bf_bed_holding(bed);
    double y[17];
    double c[17];
    for (size_t i = 0; i < BF_CATION_COUNT; i++) {
        assert_near_abs(holding.resin_fraction[i], resin[i], 1e-14); /* sums of 102 terms */
        assert_near_abs(holding.pore_eq_per_m3[i], water[i], 1e-13);
        bf_bed_profile(bed, (bf_ion)i, y, c);
        for (size_t k = 0; k < 17; k++) {
            assert_near_abs(y[k], resin[i], 1e-15);
            assert_near_abs(c[k], water[i], 2e-15);
        }
    }
    assert_ok(bf_bed_fill(bed, NULL, water, &err));
    ck_assert(bf_bed_holding(bed).resin_fraction[BF_ION_NA] == 1.0);
    bf_bed_profile(bed, BF_ION_CA, NULL, NULL); /* nothing asked, nothing written */

    bf_holding before = bf_bed_holding(bed);
    double bad_resin[BF_ION_COUNT] = {[BF_ION_CA] = 0.7, [BF_ION_MG] = 0.31};
    assert_fails(bf_bed_fill(bed, bad_resin, water, &err), BF_E_RANGE, "fraction of magnesium");
    bad_resin[BF_ION_MG] = -1e-9;
    assert_fails(bf_bed_fill(bed, bad_resin, water, &err), BF_E_RANGE, "fraction of magnesium");
    bad_resin[BF_ION_CA] = (double)NAN;
    assert_fails(bf_bed_fill(bed, bad_resin, water, &err), BF_E_RANGE, "fraction of calcium");
    bad_resin[BF_ION_CA] = 1.01;
    assert_fails(bf_bed_fill(bed, bad_resin, water, &err), BF_E_RANGE, "fraction of calcium");
    const double bad_sums[] = {0.0, -1.0, (double)NAN, (double)INFINITY};
    for (size_t i = 0; i < COUNT(bad_sums); i++) {
        double bad_water[BF_ION_COUNT] = {[BF_ION_NA] = bad_sums[i], [BF_ION_CL] = 7.0};
        assert_fails(bf_bed_fill(bed, resin, bad_water, &err), BF_E_RANGE, "normality");
    }
    const double negative[BF_ION_COUNT] = {[BF_ION_NA] = 5.0, [BF_ION_MG] = -0.01};
    assert_fails(bf_bed_fill(bed, resin, negative, &err), BF_E_RANGE, "water's magnesium");
    const double untracked[BF_ION_COUNT] = {[BF_ION_NA] = 5.0, [BF_ION_NH4] = 0.01};
    assert_fails(bf_bed_fill(bed, resin, untracked, &err), BF_E_RANGE, "ammonium is in the water");
    bf_holding after = bf_bed_holding(bed);
    ck_assert_mem_eq(&before, &after, sizeof before);
    bf_bed_free(bed);
    bf_selectivity_free(selectivity);
}
END_TEST

START_TEST(mixing_moves_towards_the_mean_and_loses_nothing)
{
    bf_error err = {0};
    bf_selectivity *selectivity = equilibrium(BF_EQUILIBRIUM_MASS_ACTION_IDEAL, 2);
    bf_bed_spec spec = simple_bed();
    spec.cells = 30;
    bf_bed *bed = loaded(&spec, selectivity, 90.0);
    bf_bed *record = build(&spec, selectivity);
    assert_ok(bf_bed_copy(record, bed, &err));
    bf_holding before = bf_bed_holding(bed);
    double profile[30];
    bf_bed_profile(bed, BF_ION_CA, profile, NULL);

    bf_bed_mix(bed, 0.0);
    ck_assert(bf_bed_distance(bed, record) == 0.0);
    bf_bed_mix(bed, 0.37);
    double mixed[30];
    bf_bed_profile(bed, BF_ION_CA, mixed, NULL);
    for (size_t k = 0; k < 30; k++) {
        double mean = before.resin_fraction[BF_ION_CA];
        assert_near_abs(mixed[k], profile[k] + 0.37 * (mean - profile[k]), 1e-14);
    }
    bf_bed_mix(bed, 1.0);
    bf_bed_profile(bed, BF_ION_CA, mixed, NULL);
    for (size_t k = 0; k < 30; k++) {
        assert_near_abs(mixed[k], before.resin_fraction[BF_ION_CA], 1e-14);
    }
    bf_holding after = bf_bed_holding(bed);
    for (size_t i = 0; i < BF_CATION_COUNT; i++) { /* rounding of sums over 180 shells */
        assert_near_abs(after.resin_fraction[i], before.resin_fraction[i], 1e-14);
        ck_assert(after.pore_eq_per_m3[i] == before.pore_eq_per_m3[i]); /* water is not mixed */
    }
    bf_bed_free(bed);
    bf_bed_free(record);
    bf_selectivity_free(selectivity);
}
END_TEST

START_TEST(beds_of_one_shape_are_copied_and_compared)
{
    bf_error err = {0};
    bf_selectivity *two = equilibrium(BF_EQUILIBRIUM_MASS_ACTION_IDEAL, 2);
    bf_selectivity *three = equilibrium(BF_EQUILIBRIUM_MASS_ACTION_IDEAL, 3);
    bf_bed_spec spec = simple_bed();
    spec.cells = 20;
    bf_bed *a = loaded(&spec, two, 40.0);
    bf_bed *b = build(&spec, two);

    /* b is all sodium: the distance is the mean of all of a's fractions. */
    bf_holding holding = bf_bed_holding(a);
    double mean = 0.5 * (holding.resin_fraction[BF_ION_CA] + holding.resin_fraction[BF_ION_MG]);
    assert_near(bf_bed_distance(a, b), mean, 1e-13);
    assert_near(bf_bed_distance(b, a), mean, 1e-13);
    assert_ok(bf_bed_copy(b, a, &err));
    ck_assert(bf_bed_distance(a, b) == 0.0);
    bf_holding copied = bf_bed_holding(b);
    ck_assert_mem_eq(&holding, &copied, sizeof holding);

    bf_source source = {
        .name = "still", .rate = stand_still, .local_count = 1, .local_tolerance = 1.0};
    bf_bed_spec other[3] = {spec, spec, spec};
    other[0].cells = 21;
    other[1].shells = 5;
    other[2].sources = &source;
    other[2].source_count = 1;
    for (size_t i = 0; i < 4; i++) {
        bf_bed *c = i < 3 ? build(&other[i], two) : build(&spec, three);
        ck_assert(isnan(bf_bed_distance(a, c)));
        assert_fails(bf_bed_copy(c, a, &err), BF_E_RANGE, "differ");
        bf_bed_free(c);
    }
    bf_bed_free(a);
    bf_bed_free(b);
    bf_selectivity_free(two);
    bf_selectivity_free(three);
}
END_TEST

/* ---- local states ---------------------------------------------------------------------------- */

/* l0' = 1e-3 depth, l1' = -l1/100 s: what they come to is known. */
static int note_depth(void *context, double time_s, const bf_cells *cells, const bf_rates *rates)
{
    (void)time_s;
    double shares = 0.0;
    for (size_t m = 0; m < cells->shells; m++) {
        shares += cells->shell_share[m];
    }
    if (cells->ions != *(const size_t *)context || cells->shells != 2 ||
        fabs(shares - 1.0) > 1e-12) {
        return -1; /* the run fails: what a source is told of the bed is not the bed */
    }
    for (size_t j = 0; j < cells->count; j++) {
        rates->local[0][j] += 1e-3 * cells->depth_m[j];
        rates->local[1][j] -= cells->local[1][j] / 100.0;
    }
    return 0;
}

static int note_depth_slope(void *context, double time_s, const bf_cells *cells,
                            double *const *block)
{
    (void)time_s;
    const size_t e = *(const size_t *)context;
    for (size_t j = 0; j < cells->count; j++) {
        block[(e + 1) * (e + 3) + e + 2][j] -= 1.0 / 100.0;
    }
    return 0;
}

START_TEST(local_states_stay_with_their_depth)
{
    bf_error err = {0};
    size_t ions = 2;
    bf_source source = {.name = "depth",
                        .local_count = 2,
                        .local_tolerance = 1e-9,
                        .context = &ions,
                        .rate = note_depth,
                        .slope = note_depth_slope};
    bf_selectivity *selectivity = equilibrium(BF_EQUILIBRIUM_MASS_ACTION_IDEAL, ions);
    bf_bed_spec spec = simple_bed();
    spec.cells = 9;
    spec.shells = 2;
    spec.relative_tolerance = 1e-8;
    spec.sources = &source;
    spec.source_count = 1;
    bf_bed *bed = build(&spec, selectivity);
    double start[9];
    double values[9];
    for (size_t k = 0; k < 9; k++) {
        start[k] = 0.1 + (double)k;
    }
    assert_ok(bf_bed_set_local(bed, 1, start, &err));
    assert_ok(bf_bed_local(bed, 1, values, &err));
    ck_assert_mem_eq(values, start, sizeof start);
    assert_ok(bf_bed_local(bed, 0, values, &err));
    for (size_t k = 0; k < 9; k++) {
        ck_assert(values[k] == 0.0);
    }
    double passed_s = 0.0;
    const bf_direction ways[] = {BF_FLOW_DOWN, BF_FLOW_UP, BF_FLOW_UP, BF_FLOW_DOWN};
    for (size_t i = 0; i < COUNT(ways); i++) {
        bf_flow flow = service(0.3 + 0.2 * (double)i);
        flow.direction = ways[i];
        (void)run(bed, &flow);
        passed_s += flow.duration_s;
        double grown[9];
        assert_ok(bf_bed_local(bed, 0, grown, &err));
        assert_ok(bf_bed_local(bed, 1, values, &err));
        for (size_t k = 0; k < 9; k++) {
            double depth_m = 0.76 * ((double)k + 0.5) / 9.0; /* from the top, whatever the flow */
            assert_near(grown[k], 1e-3 * depth_m * passed_s, 1e-7);
            assert_near(values[k], start[k] * exp(-passed_s / 100.0), 3e-6); /* 100 tolerances */
        }
    }
    assert_fails(bf_bed_local(bed, 2, values, &err), BF_E_RANGE, "local state 2");
    assert_fails(bf_bed_set_local(bed, 2, values, &err), BF_E_RANGE, "a bed that has 2");
    bf_bed_free(bed);
    bf_selectivity_free(selectivity);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {a_new_bed_is_all_sodium, a_filled_bed_holds_what_it_was_given,
                                  mixing_moves_towards_the_mean_and_loses_nothing,
                                  beds_of_one_shape_are_copied_and_compared,
                                  local_states_stay_with_their_depth};
    return support_run("bed.contents", tests, COUNT(tests), 120);
}
