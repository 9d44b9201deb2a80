/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Steps that let the bed stand, fill or lift, service with its end points, and the observer. */
#include "brinefront/hydraulics.h"
#include "step_rig.h"

/* ---- standing, filling, lifting -------------------------------------------------------------- */

/* Resin partly loaded under salt water that holds none of its hardness. */
static void fill_unequal(const rig *r)
{
    bf_error err = {0};
    const double resin[BF_ION_COUNT] = {[BF_ION_CA] = 0.313, [BF_ION_MG] = 0.171};
    const double water[BF_ION_COUNT] = {[BF_ION_NA] = 147.0};
    assert_ok(bf_bed_fill(r->bed, resin, water, &err));
}

/* How far the pore water is off equilibrium with the mean resin: largest |c/c* - 1|. */
static double off_equilibrium(const rig *r)
{
    bf_holding holding = bf_bed_holding(r->bed);
    const double resin[] = {holding.resin_fraction[BF_ION_CA], holding.resin_fraction[BF_ION_MG]};
    const double pore[] = {holding.pore_eq_per_m3[BF_ION_CA], holding.pore_eq_per_m3[BF_ION_MG]};
    double equilibrium[2];
    double normality = pore[0] + pore[1] + holding.pore_eq_per_m3[BF_ION_NA];
    bf_selectivity_to_water(r->selectivity, normality, NULL, resin, equilibrium);
    return fmax(fabs(pore[0] / equilibrium[0] - 1.0), fabs(pore[1] / equilibrium[1] - 1.0));
}

START_TEST(a_standing_bed_keeps_what_it_holds_and_goes_to_equilibrium)
{
    rig r = common_rig();
    fill_unequal(&r);
    const bf_ion ions[] = {BF_ION_NA, BF_ION_CA, BF_ION_MG};
    double before[3];
    for (size_t i = 0; i < 3; i++) {
        before[i] = content(&r, ions[i]);
    }
    double off = off_equilibrium(&r);
    assert_near(off, 1.0, 1e-12);
    /* At first the bead's surface hardly moves, and pore water nears it through a film of Sh = 2 (a
     * sphere alone in standing water): exp(-h t/eps) with h = (2 D/d) 6 (1 - eps)/d. Magnesium is
     * the slower: 0.616e-9 m2/s at 20 C, from 0.705e-9 at 25 C (USGS TM 6-A43) by T/mu. */
    const double void_fraction = 0.38;
    const double bead_m = 0.6e-3;
    double at_first =
        exp(-2.0 * 0.616e-9 / bead_m * 6.0 * (1.0 - void_fraction) / bead_m / void_fraction * 1.3);
    const double pauses_s[] = {1.3, 17.0, 10800.0};
    for (size_t p = 0; p < 3; p++) {
        bf_step hold = hold_for(pauses_s[p]);
        bf_step_result result = run(&hold, &r.site, r.bed);
        assert_near(result.duration_s, pauses_s[p], 1e-12);
        ck_assert(result.bed_volumes == 0.0 && result.water_bed_volumes == 0.0);
        for (size_t i = 0; i < 3; i++) {
            ck_assert(result.passage.in_eq_per_m3[ions[i]] == 0.0);
            ck_assert(result.passage.out_eq_per_m3[ions[i]] == 0.0);
            assert_near(content(&r, ions[i]), before[i], 1e-12); /* rounding of sums over cells */
        }
        ck_assert_double_lt(off_equilibrium(&r), off);
        off = off_equilibrium(&r);
        if (p == 0) {
            assert_near(off, at_first, 1e-3);
        }
    }
    /* Three hours are eleven times R^2/(pi^2 D) of calcium in the bead: what is left is the
     * tolerance of the integration. */
    ck_assert_double_lt(off, 1e-3);
    rig_close(&r);
}
END_TEST

START_TEST(a_refill_takes_time_and_touches_nothing)
{
    rig r = common_rig();
    fill_unequal(&r);
    bf_bed *before = twin(&r);
    bf_step refill = refill_for(137.3);
    refill.velocity_m_per_s = rig_velocity(3.0);
    bf_step_result result = run(&refill, &r.site, r.bed);
    /* Brine of 26.44 wt% (Salt Institute) in water of 998.2 kg/m3; 5e-4: its last digit. */
    double bed_volumes = (1.0 / 0.2644 - 1.0) * 137.3 / 998.2;
    assert_near(result.bed_volumes, bed_volumes, 5e-4);
    assert_near(result.duration_s, bed_volumes / 3.0 * 3600.0, 5e-4);
    ck_assert(result.water_bed_volumes == 0.0); /* it counts as the water of the next brine */
    ck_assert(result.salt_kg_per_m3 == 0.0);
    const bf_passage nothing = {0};
    assert_same_passage(&result.passage, &nothing);
    ck_assert(bf_bed_distance(before, r.bed) == 0.0);
    for (int b = 0; b < 2; b++) {
        double resin[2][CELLS];
        double pore[2][CELLS];
        const bf_ion ion = b == 0 ? BF_ION_CA : BF_ION_MG;
        bf_bed_profile(before, ion, resin[0], pore[0]);
        bf_bed_profile(r.bed, ion, resin[1], pore[1]);
        ck_assert_mem_eq(resin[0], resin[1], sizeof resin[0]);
        ck_assert_mem_eq(pore[0], pore[1], sizeof pore[0]);
    }
    bf_bed_free(before);
    rig_close(&r);
}
END_TEST

/* Spread of the calcium on the resin between the cells. */
static double spread(const bf_bed *bed)
{
    double resin[CELLS];
    bf_bed_profile(bed, BF_ION_CA, resin, NULL);
    double low = resin[0];
    double high = resin[0];
    for (size_t k = 1; k < CELLS; k++) {
        low = fmin(low, resin[k]);
        high = fmax(high, resin[k]);
    }
    return high - low;
}

START_TEST(backwash_passes_its_water_then_mixes_its_share)
{
    rig r = common_rig();
    bf_step service = rig_service();
    (void)run(&service, &r.site, r.bed);
    bf_bed *plain = twin(&r);
    bf_bed *whole = twin(&r);
    bf_step rinse = rig_pass(&bf_step_fast_rinse, 31.0, 4.7);
    rinse.direction = BF_FLOW_UP;
    bf_step_result passed = run(&rinse, &r.site, plain);

    /* Without mixing it is a rinse upward; the mixing comes after. */
    bf_step backwash = rig_pass(&bf_step_backwash, 31.0, 4.7);
    backwash.direction = BF_FLOW_UP;
    bf_step_result result = run(&backwash, &r.site, r.bed);
    assert_same_passage(&result.passage, &passed.passage);
    ck_assert(bf_bed_distance(plain, r.bed) == 0.0);

    backwash.mix_share = 1.0;
    (void)run(&backwash, &r.site, whole);
    ck_assert_double_gt(spread(plain), 0.5);
    assert_near_abs(spread(whole), 0.0, 1e-14);
    assert_near(bf_bed_holding(whole).resin_fraction[BF_ION_CA],
                bf_bed_holding(plain).resin_fraction[BF_ION_CA], 1e-13);
    assert_near(bf_bed_holding(whole).pore_eq_per_m3[BF_ION_CA],
                bf_bed_holding(plain).pore_eq_per_m3[BF_ION_CA], 1e-13);

    bf_bed *partly = twin(&r);
    bf_bed_mix(partly, 0.37);
    assert_near(spread(partly), 0.63 * spread(plain), 1e-12);

    /* The expansion that Richardson and Zaki give for this flow and this resin; tests/resin asks
     * whether it is right. */
    bf_fluid water;
    bf_error err = {0};
    assert_ok(bf_fluid_of_water(293.15, &water, &err));
    const bf_resin *resin = &r.site.resin;
    ck_assert(result.depth_ratio ==
              bf_bed_depth_ratio(&water, backwash.velocity_m_per_s, resin->bead_diameter_m,
                                 resin->bead_density_kg_per_m3, resin->void_fraction));
    ck_assert_double_gt(result.depth_ratio, 1.3); /* it lifts at all */
    bf_bed_free(partly);
    bf_bed_free(whole);
    bf_bed_free(plain);
    rig_close(&r);
}
END_TEST

/* A collector in the bed's top takes the flow and the water that holds the bed down: the bed sees
 * what a bed without freeboard sees, and the water counts. */
START_TEST(a_blocking_flow_costs_water_and_spares_the_freeboard)
{
    bf_error err = {0};
    bf_water water;
    rig packed;
    assert_ok(rig_water(413.0, 2.37, NULL, &water, &err));
    assert_ok(rig_open(&packed, &water, BF_SALT_NACL, 0.0, CELLS, SHELLS, &err));
    rig r = with_water(&water, BF_SALT_NACL);
    fill_unequal(&packed);
    fill_unequal(&r);
    bf_step step = rig_brine(7.3);
    step.direction = BF_FLOW_UP;
    bf_step_result alone = run(&step, &packed.site, packed.bed);
    step.blocking_velocity_m_per_s = rig_velocity(2.3);
    bf_step_result held_down = run(&step, &r.site, r.bed);
    ck_assert(bf_bed_distance(packed.bed, r.bed) == 0.0);
    assert_same_passage(&held_down.passage, &alone.passage);
    /* 2.3 BV/h for as long as the brine takes at 4 BV/h. */
    assert_near(held_down.water_bed_volumes,
                alone.water_bed_volumes + 2.3 / 4.0 * alone.bed_volumes, 1e-12);

    step = rig_pass(&bf_step_slow_rinse, 4.0, 1.73);
    step.direction = BF_FLOW_UP;
    step.blocking_velocity_m_per_s = rig_velocity(2.3);
    held_down = run(&step, &r.site, r.bed);
    assert_near(held_down.bed_volumes, 1.73, 1e-12);
    assert_near(held_down.water_bed_volumes, 1.73 * (1.0 + 2.3 / 4.0), 1e-12);
    rig_close(&r);
    rig_close(&packed);
}
END_TEST

/* ---- service --------------------------------------------------------------------------------- */

START_TEST(a_second_end_point_leaves_the_counted_part_alone)
{
    rig r = common_rig();
    bf_bed *single = twin(&r);
    bf_bed *deep = twin(&r);
    bf_bed *limited = twin(&r);
    const double stop = 203.0 * BF_EQ_PER_M3_PER_MG_PER_L_CACO3;
    bf_step step = rig_service();
    bf_step_result one = run(&step, &r.site, single);
    ck_assert_int_eq(one.passage.reached_end_hardness, 1);
    assert_same_passage(&one.counted, &one.passage);
    /* The root is located to some rounding errors of the time; the front is steep there. */
    assert_near(one.passage.hardness_last_eq_per_m3, RIG_END_EQ_PER_M3, 1e-6);

    step.stop_hardness_eq_per_m3 = stop;
    bf_step_result two = run(&step, &r.site, r.bed);
    assert_same_passage(&two.counted, &one.passage);
    ck_assert_int_eq(two.passage.reached_end_hardness, 1);
    assert_near(two.passage.hardness_last_eq_per_m3, stop, 1e-6);
    ck_assert_double_gt(two.bed_volumes, one.bed_volumes + 1.0);
    ck_assert(two.passage.hardness_first_eq_per_m3 == one.passage.hardness_first_eq_per_m3);
    ck_assert(two.passage.hardness_low_eq_per_m3 <= one.passage.hardness_low_eq_per_m3);
    assert_near(two.duration_s, two.bed_volumes / 20.0 * 3600.0, 1e-12);
    for (size_t i = 0; i < BF_CATION_COUNT; i++) {
        assert_near(two.passage.in_eq_per_m3[i], two.bed_volumes * r.site.water.ion_eq_per_m3[i],
                    1e-12);
        double left_over = two.passage.in_eq_per_m3[i] - two.passage.out_eq_per_m3[i] -
                           two.passage.stored_eq_per_m3[i];
        assert_near_abs(left_over, 0.0, 1e-9);
    }

    /* The same in one stretch. It differs by the restart of an integration to 3e-4. */
    bf_step straight = rig_service();
    straight.end_hardness_eq_per_m3 = stop;
    bf_step_result whole = run(&straight, &r.site, deep);
    assert_near(two.bed_volumes, whole.bed_volumes, 3e-4);
    ck_assert_double_lt(bf_bed_distance(deep, r.bed), 3e-4);

    /* A volume between the two ends the second stretch. */
    step.bed_volumes = 0.5 * (one.bed_volumes + two.bed_volumes);
    bf_step_result cut = run(&step, &r.site, limited);
    assert_near(cut.counted.bed_volumes, one.bed_volumes, 3e-4); /* another first step in time */
    assert_near(cut.bed_volumes, step.bed_volumes, 1e-12);
    ck_assert_int_eq(cut.passage.reached_end_hardness, 0);
    ck_assert_double_gt(cut.passage.hardness_last_eq_per_m3, RIG_END_EQ_PER_M3);
    ck_assert_double_lt(cut.passage.hardness_last_eq_per_m3, stop);
    bf_bed_free(limited);
    bf_bed_free(deep);
    bf_bed_free(single);
    rig_close(&r);
}
END_TEST

START_TEST(a_service_by_volume_passes_that_volume)
{
    rig r = common_rig();
    bf_step step = rig_service();
    step.end_hardness_eq_per_m3 = NAN;
    step.bed_volumes = 37.3;
    bf_step_result result = run(&step, &r.site, r.bed);
    assert_near(result.bed_volumes, 37.3, 1e-12);
    assert_near(result.duration_s, 37.3 / 20.0 * 3600.0, 1e-12);
    ck_assert_int_eq(result.passage.reached_end_hardness, 0);
    assert_same_passage(&result.counted, &result.passage);

    /* Where both are stated, what comes first ends it. */
    step.end_hardness_eq_per_m3 = RIG_END_EQ_PER_M3;
    step.bed_volumes = 5000.0;
    result = run(&step, &r.site, r.bed);
    ck_assert_int_eq(result.passage.reached_end_hardness, 1);
    ck_assert_double_lt(result.bed_volumes, 300.0);
    rig_close(&r);
}
END_TEST

/* 413 mg/L bring three times 2 eq/L in 727 bed volumes; ten are added. */
START_TEST(effluent_that_is_never_below_the_end_point_ends_within_the_bound)
{
    rig r = common_rig();
    bf_error err = {0};
    const double resin[BF_ION_COUNT] = {[BF_ION_CA] = 0.97};
    assert_ok(bf_bed_fill(r.bed, resin, r.site.water.ion_eq_per_m3, &err));
    bf_step step = rig_service();
    step.stop_hardness_eq_per_m3 = 5.0; /* must not be waited for */
    bf_step_result result = run(&step, &r.site, r.bed);
    ck_assert_int_eq(result.passage.reached_end_hardness, 0);
    ck_assert_double_gt(result.passage.hardness_low_eq_per_m3, RIG_END_EQ_PER_M3);
    double bound = 3.0 * 2000.0 / (413.0 / 50.04345) + 10.0;
    assert_near(result.bed_volumes, bound, 1e-9);
    assert_same_passage(&result.counted, &result.passage);
    rig_close(&r);
}
END_TEST

/* ---- observer -------------------------------------------------------------------------------- */

typedef struct witness {
    const bf_step *step;
    size_t count;
    double time_s;
    double bed_volumes;
    double hardness_eq_per_m3;
    double end_seen_at_s; /* first moment at or above the counted end point */
    int in_order;
    int of_its_step;
    int adds_up;
} witness;

static void look(void *observer, const bf_step *step, const bf_moment *moment)
{
    witness *w = observer;
    w->in_order = w->in_order && moment->time_s > w->time_s &&
                  (step->type == &bf_step_hold || moment->bed_volumes > w->bed_volumes);
    w->of_its_step = w->of_its_step && step == w->step;
    double sum = 0.0;
    for (size_t i = 0; i < BF_CATION_COUNT; i++) {
        sum += moment->effluent_eq_per_m3[i];
    }
    double hardness = moment->effluent_eq_per_m3[BF_ION_CA] + moment->effluent_eq_per_m3[BF_ION_MG];
    w->adds_up = w->adds_up && fabs(sum / moment->normality_eq_per_m3 - 1.0) < 1e-12 &&
                 fabs(hardness - moment->hardness_eq_per_m3) <= 1e-12 * sum;
    w->time_s = moment->time_s;
    w->bed_volumes = moment->bed_volumes;
    w->hardness_eq_per_m3 = moment->hardness_eq_per_m3;
    if (isnan(w->end_seen_at_s) && moment->hardness_eq_per_m3 >= RIG_END_EQ_PER_M3 * (1.0 - 1e-6) &&
        moment->bed_volumes > 1.0) {
        w->end_seen_at_s = moment->time_s;
    }
    w->count++;
}

static bf_step_result watched(bf_step *step, const rig *r, witness *w)
{
    *w = (witness){.step = step,
                   .in_order = 1,
                   .of_its_step = 1,
                   .adds_up = 1,
                   .bed_volumes = -1e-300,
                   .end_seen_at_s = NAN};
    step->observe = look;
    step->observer = w;
    bf_step_result result = run(step, &r->site, r->bed);
    ck_assert_uint_gt(w->count, 3);
    ck_assert(w->in_order);
    ck_assert(w->of_its_step);
    ck_assert(w->adds_up);
    assert_near(w->time_s, result.duration_s, 1e-12);
    assert_near(w->bed_volumes, result.passage.bed_volumes, 1e-12);
    ck_assert(w->hardness_eq_per_m3 == result.passage.hardness_last_eq_per_m3);
    return result;
}

START_TEST(an_observer_sees_time_and_volume_rise_to_the_end_of_the_step)
{
    rig r = common_rig();
    witness observer;
    bf_step service = rig_service();
    service.stop_hardness_eq_per_m3 = 203.0 * BF_EQ_PER_M3_PER_MG_PER_L_CACO3;
    bf_step_result result = watched(&service, &r, &observer); /* over both stretches */
    assert_near(observer.end_seen_at_s, result.counted.duration_s, 1e-12);

    bf_step backwash = rig_pass(&bf_step_backwash, 31.0, 4.7);
    backwash.direction = BF_FLOW_UP;
    (void)watched(&backwash, &r, &observer);
    bf_step brine = rig_brine(7.3);
    (void)watched(&brine, &r, &observer);
    bf_step rinse = rig_pass(&bf_step_slow_rinse, 4.0, 2.0);
    (void)watched(&rinse, &r, &observer);
    bf_step hold = hold_for(613.0);
    (void)watched(&hold, &r, &observer);
    ck_assert(observer.bed_volumes == 0.0);
    rig_close(&r);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {a_standing_bed_keeps_what_it_holds_and_goes_to_equilibrium,
                                  a_refill_takes_time_and_touches_nothing,
                                  backwash_passes_its_water_then_mixes_its_share,
                                  a_blocking_flow_costs_water_and_spares_the_freeboard,
                                  a_second_end_point_leaves_the_counted_part_alone,
                                  a_service_by_volume_passes_that_volume,
                                  effluent_that_is_never_below_the_end_point_ends_within_the_bound,
                                  an_observer_sees_time_and_volume_rise_to_the_end_of_the_step};
    return support_run("cycle.step_passage", tests, sizeof tests / sizeof *tests, 60);
}
