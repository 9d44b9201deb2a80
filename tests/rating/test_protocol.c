/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The published test's water, run and exhaustion: what changes and what does not, that the water
 * stays in balance, and that exhausting a bed counts as nothing but service. */
#include "brinefront/convert.h"
#include "brinefront/criteria.h"
#include "coarse_bed.h"
#include "simple_bed.h"

#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof *(array))
enum { CELLS = 24 };
static const double gpg_eq_per_m3 = 64.79891 / 3.785411784 / 50.04345; /* grains, gallon, CaCO3 */

/* A bed on very hard water, on a grid too coarse to trust; strontium and all anions stated. */
static bf_rating_spec stated_bed(double hardness_eq_per_m3)
{
    bf_error err = {0};
    bf_rating_spec spec = {.bed = simple_bed(), .steady = bf_steady_spec_default()};
    bf_water_analysis analysis = bf_water_analysis_default();
    analysis.hardness_eq_per_m3 = hardness_eq_per_m3;
    analysis.calcium_to_magnesium = 2.71;
    analysis.ion_eq_per_m3[BF_ION_SR] = 0.037;
    analysis.ion_eq_per_m3[BF_ION_NA] = 1.93;
    analysis.ion_eq_per_m3[BF_ION_K] = 0.11;
    analysis.ion_eq_per_m3[BF_ION_CL] = 0.73;
    analysis.ion_eq_per_m3[BF_ION_SO4] = 1.31;
    analysis.ion_eq_per_m3[BF_ION_NO3] = 0.19;
    analysis.temperature_K = 289.7;
    assert_ok(bf_water_complete(&analysis, &spec.water, NULL, &err));
    spec.bed.depth_m = 0.731;
    spec.bed.freeboard_m = 0.35;
    spec.bed.cells = CELLS;
    spec.bed.shells = 2;
    add_step(&spec, &bf_step_service, 19.3)->end_hardness_eq_per_m3 = 0.219;
    add_step(&spec, &bf_step_brine, 4.1);
    add_step(&spec, &bf_step_slow_rinse, 4.1)->bed_volumes = 1.9;
    add_step(&spec, &bf_step_fast_rinse, 11.7)->bed_volumes = 2.1;
    for (size_t k = 0; k < spec.recipe.count; k++) {
        spec.recipe.step[k].mass_fraction = 0.0973;
    }
    bf_recipe_set_dose(&spec.recipe, 131.9);
    return spec;
}

static const double rated_m3_per_s = 3.07e-4;

static bf_rating_spec tested(const bf_rating_spec *own)
{
    bf_error err = {0};
    bf_rating_spec product;
    assert_ok(
        bf_protocol_apply(BF_PROTOCOL_PUBLISHED_TEST, own, rated_m3_per_s, &product, NULL, &err));
    return product;
}

/* ---- what a protocol changes ----------------------------------------------------------------- */

START_TEST(own_conditions_stay)
{
    bf_error err = {0};
    const bf_rating_spec own = stated_bed(9.83);
    bf_rating_spec product;
    assert_ok(bf_protocol_apply(BF_PROTOCOL_OWN, &own, (double)NAN, &product, NULL, &err));
    ck_assert(memcmp(&product.water, &own.water, sizeof own.water) == 0);
    ck_assert_uint_eq(product.recipe.count, own.recipe.count);
    ck_assert(product.recipe.step[0].velocity_m_per_s == own.recipe.step[0].velocity_m_per_s);
    ck_assert_str_eq(bf_protocol_words(BF_PROTOCOL_OWN), "own");
    ck_assert_str_eq(bf_protocol_words(BF_PROTOCOL_PUBLISHED_TEST), "published test");
    ck_assert_str_eq(bf_protocol_words(BF_PROTOCOLS), "unknown");
}
END_TEST

START_TEST(the_feed_is_brought_to_the_test_in_balance)
{
    /* Softer than the test; harder, so that less chloride is not enough; and far harder. */
    static const double hardness[] = {2.17, 9.83, 31.7};
    for (size_t h = 0; h < COUNT(hardness); h++) {
        const bf_rating_spec own = stated_bed(hardness[h]);
        const bf_water before = own.water;
        const bf_water after = tested(&own).water;
        double cations = 0.0;
        double anions = 0.0;
        for (size_t i = 0; i < BF_ION_COUNT; i++) {
            const double value = after.ion_eq_per_m3[i];
            *(i < BF_CATION_COUNT ? &cations : &anions) += value;
            ck_assert(value >= 0.0);
            if (i < BF_CATION_COUNT && !bf_ion_is_hardness((bf_ion)i)) {
                ck_assert(value == before.ion_eq_per_m3[i]);
            }
        }
        assert_near(50.04345 * bf_ion_hardness(after.ion_eq_per_m3), 342.0, 1e-12);
        assert_near(after.hardness_eq_per_m3, 342.0 / 50.04345, 1e-12);
        assert_near(after.normality_eq_per_m3, cations, 1e-12);
        assert_near(anions, cations, 1e-12);
        assert_near(after.ion_eq_per_m3[BF_ION_CA] / after.ion_eq_per_m3[BF_ION_MG],
                    before.ion_eq_per_m3[BF_ION_CA] / before.ion_eq_per_m3[BF_ION_MG], 1e-12);
        assert_near(after.ion_eq_per_m3[BF_ION_SR] / after.ion_eq_per_m3[BF_ION_CA],
                    before.ion_eq_per_m3[BF_ION_SR] / before.ion_eq_per_m3[BF_ION_CA], 1e-12);
        ck_assert(after.temperature_K == before.temperature_K && after.pH == before.pH);
        if (hardness[h] < 6.8) {
            assert_near(after.ion_eq_per_m3[BF_ION_CL],
                        before.ion_eq_per_m3[BF_ION_CL] + 342.0 / 50.04345 -
                            before.hardness_eq_per_m3,
                        1e-12);
        } else { /* 0.73 eq/m3 of chloride are gone, alkalinity gave the rest */
            ck_assert(after.ion_eq_per_m3[BF_ION_CL] == 0.0);
            ck_assert(after.ion_eq_per_m3[BF_ION_SO4] == before.ion_eq_per_m3[BF_ION_SO4]);
        }
    }
}
END_TEST

/* Where chloride and alkalinity are not enough either, sulfate and nitrate give way. */
START_TEST(every_anion_can_give_way)
{
    bf_rating_spec own = stated_bed(9.83);
    own.water.ion_eq_per_m3[BF_ION_NO3] += own.water.ion_eq_per_m3[BF_ION_HCO3] - 0.31;
    own.water.ion_eq_per_m3[BF_ION_HCO3] = 0.31;
    const bf_water after = tested(&own).water;
    ck_assert(after.ion_eq_per_m3[BF_ION_HCO3] == 0.0 && after.ion_eq_per_m3[BF_ION_SO4] == 0.0);
    assert_near(after.ion_eq_per_m3[BF_ION_NO3], after.normality_eq_per_m3, 1e-12);
}
END_TEST

START_TEST(the_run_is_the_tests)
{
    const bf_rating_spec own = stated_bed(9.83);
    const bf_rating_spec product = tested(&own);
    const bf_step *service = &product.recipe.step[0];
    const bf_step *exhaust = &product.recipe.step[1];
    ck_assert_uint_eq(product.recipe.count, own.recipe.count + 1);
    ck_assert_ptr_eq(exhaust->type, &bf_step_exhaust);
    assert_near(service->velocity_m_per_s * bf_bed_area_m2(&product.bed), 0.5 * rated_m3_per_s,
                1e-12);
    assert_near(service->end_hardness_eq_per_m3, gpg_eq_per_m3, 1e-5);
    ck_assert(isnan(service->stop_hardness_eq_per_m3) && isnan(service->bed_volumes));
    /* 4 gpm/ft3 are 4 * 60/7.48052 bed volumes an hour. */
    assert_near(exhaust->velocity_m_per_s / product.bed.depth_m * 3600.0, 240.0 / 7.48052, 1e-6);
    assert_near(exhaust->stop_hardness_eq_per_m3, 10.0 * gpg_eq_per_m3, 1e-5);
    for (size_t s = 1; s < own.recipe.count; s++) {
        ck_assert_ptr_eq(product.recipe.step[s + 1].type, own.recipe.step[s].type);
        ck_assert(product.recipe.step[s + 1].velocity_m_per_s ==
                  own.recipe.step[s].velocity_m_per_s);
    }
    /* Twice is once, in place. */
    bf_error err = {0};
    bf_rating_spec again = product;
    assert_ok(
        bf_protocol_apply(BF_PROTOCOL_PUBLISHED_TEST, &again, rated_m3_per_s, &again, NULL, &err));
    ck_assert_uint_eq(again.recipe.count, product.recipe.count);
    ck_assert_ptr_eq(again.recipe.step[2].type, product.recipe.step[2].type);
}
END_TEST

START_TEST(what_was_assumed_is_noted)
{
    bf_error err = {0};
    bf_notes *notes = NULL;
    bf_rating_spec own = stated_bed(9.83);
    assert_ok(bf_notes_create(&notes, &err));
    assert_ok(
        bf_protocol_apply(BF_PROTOCOL_PUBLISHED_TEST, &own, rated_m3_per_s, &own, notes, &err));
    ck_assert_uint_eq(bf_notes_count(notes), 2);
    ck_assert_str_eq(bf_notes_get(notes, 0).where, "protocol.water");
    ck_assert_ptr_nonnull(
        strstr(bf_notes_get(notes, 0).text, "hardness, 493.8 mg/L as CaCO3 (28.85 gpg)"));
    ck_assert_int_eq(bf_notes_get(notes, 1).kind, BF_NOTE_ASSUMED);
    own.water.ion_eq_per_m3[BF_ION_FE] = 0.02;
    assert_ok(
        bf_protocol_apply(BF_PROTOCOL_PUBLISHED_TEST, &own, rated_m3_per_s, &own, notes, &err));
    ck_assert_uint_eq(bf_notes_count(notes), 5);
    ck_assert_int_eq(bf_notes_get(notes, 3).kind, BF_NOTE_CAUTION);
    ck_assert_ptr_nonnull(strstr(bf_notes_get(notes, 3).text, "iron"));
    bf_notes_free(notes);
}
END_TEST

START_TEST(what_cannot_be_tested_is_refused)
{
    bf_error err = {0};
    bf_rating_spec own = stated_bed(9.83);
    bf_rating_spec product = own;
    const double wrong[] = {0.0, -1e-4, (double)NAN, (double)INFINITY};
    for (size_t k = 0; k < COUNT(wrong); k++) {
        assert_fails(
            bf_protocol_apply(BF_PROTOCOL_PUBLISHED_TEST, &own, wrong[k], &product, NULL, &err),
            BF_E_RANGE, "half of the rated flow");
    }
    while (own.recipe.count < BF_RECIPE_STEPS) {
        add_step(&own, &bf_step_fast_rinse, 11.7)->bed_volumes = 0.1;
    }
    assert_fails(
        bf_protocol_apply(BF_PROTOCOL_PUBLISHED_TEST, &own, rated_m3_per_s, &product, NULL, &err),
        BF_E_RANGE, "no room for a step more than its 24");
    own.recipe.step[0].type = &bf_step_hold;
    assert_fails(
        bf_protocol_apply(BF_PROTOCOL_PUBLISHED_TEST, &own, rated_m3_per_s, &product, NULL, &err),
        BF_E_RANGE, "begin with a service");
    own.recipe.count = 0;
    assert_fails(
        bf_protocol_apply(BF_PROTOCOL_PUBLISHED_TEST, &own, rated_m3_per_s, &product, NULL, &err),
        BF_E_RANGE, "begin with a service");
    ck_assert(product.recipe.count == 4); /* untouched */
}
END_TEST

/* ---- exhausting a bed ------------------------------------------------------------------------ */

START_TEST(an_exhaust_step_is_checked)
{
    bf_error err = {0};
    bf_rating_spec own = stated_bed(9.83);
    const bf_rating_spec good = tested(&own);
    bf_rating_spec bad = good;
    assert_ok(bf_rating_spec_check(&good, &err));
    bad.recipe.step[1].stop_hardness_eq_per_m3 = (double)NAN;
    assert_fails(bf_rating_spec_check(&bad, &err), BF_E_RANGE, "counts as exhausted is nan");
    bad.recipe.step[1].stop_hardness_eq_per_m3 = 0.0;
    assert_fails(bf_rating_spec_check(&bad, &err), BF_E_RANGE, "counts as exhausted is 0");
    bad = good;
    bad.recipe.step[1].velocity_m_per_s = 0.0;
    assert_fails(bf_rating_spec_check(&bad, &err), BF_E_RANGE, "velocity of the exhaust step");
    bad = good;
    bad.recipe.step[1] = bad.recipe.step[0]; /* a second service is still refused */
    assert_fails(bf_rating_spec_check(&bad, &err), BF_E_RANGE, "one service");
}
END_TEST

typedef struct seen {
    size_t moments;
    double first_eq_per_m3, last_eq_per_m3;
} seen;

static void look(void *observer, const bf_step *step, const bf_moment *moment)
{
    seen *goal = observer;
    ck_assert_str_eq(step->type->name, "exhaust");
    goal->first_eq_per_m3 = goal->moments == 0 ? moment->hardness_eq_per_m3 : goal->first_eq_per_m3;
    goal->last_eq_per_m3 = moment->hardness_eq_per_m3;
    goal->moments++;
}

static bf_cycle_result steady_cycle(const bf_rating_spec *subject)
{
    bf_error err = {0};
    bf_selectivity *selectivity = NULL;
    bf_bed *bed = NULL;
    const bf_site site = bf_rating_site(subject);
    static bf_steady_result steady; /* large */
    assert_ok(bf_rating_selectivity(subject, &selectivity, &err));
    assert_ok(bf_rating_bed(subject, selectivity, &bed, &err));
    assert_ok(bf_rating_exhaust(subject, selectivity, bed, &err));
    assert_ok(bf_cycle_regenerate(&subject->recipe, &site, bed, &err));
    assert_ok(bf_steady_run(&subject->recipe, &site, &subject->steady, bed, &steady, &err));
    ck_assert_int_eq(steady.cycle.outcome, BF_RATED);
    bf_bed_free(bed);
    bf_selectivity_free(selectivity);
    return steady.cycle;
}

/* Down and up: the run ends at 1 gpg, goes on to 10 gpg faster, and only the first part counts. */
START_TEST(exhaustion_counts_as_nothing_but_service)
{
    const bf_rating_spec own = stated_bed(9.83);
    for (int up = 0; up < 2; up++) {
        bf_rating_spec product = tested(&own);
        seen saw = {0};
        product.recipe.step[0].direction = up ? BF_FLOW_UP : BF_FLOW_DOWN;
        product.recipe.step[1].direction = product.recipe.step[0].direction;
        if (up) { /* the exit is where the rinses come in: they are soft */
            product.recipe.step[3].supply = BF_SUPPLY_SOFT;
            product.recipe.step[4].supply = BF_SUPPLY_SOFT;
        }
        product.recipe.step[1].observe = look;
        product.recipe.step[1].observer = &saw;
        const bf_cycle_result cycle = steady_cycle(&product);
        const bf_step_result *service = &cycle.step[0];
        const bf_step_result *exhaust = &cycle.step[1];
        ck_assert_str_eq(exhaust->name, "exhaust");
        /* The integrator's own 5e-4 at both ends. */
        assert_near(service->passage.hardness_last_eq_per_m3, gpg_eq_per_m3, 2e-3);
        assert_near(exhaust->passage.hardness_last_eq_per_m3, 10.0 * gpg_eq_per_m3, 2e-3);
        ck_assert(exhaust->bed_volumes > 0.5 && exhaust->counted.bed_volumes == 0.0);
        assert_near(exhaust->bed_volumes,
                    exhaust->duration_s * product.recipe.step[1].velocity_m_per_s /
                        product.bed.depth_m,
                    1e-9);
        ck_assert(saw.moments > 2 && saw.first_eq_per_m3 < 2.0 * gpg_eq_per_m3);
        ck_assert(saw.last_eq_per_m3 >= 9.9 * gpg_eq_per_m3);

        double water = 0.0;
        double time_s = 0.0;
        for (size_t s = 2; s < cycle.step_count; s++) {
            water += cycle.step[s].water_bed_volumes;
            time_s += cycle.step[s].duration_s;
        }
        assert_near(cycle.water_bed_volumes, water, 1e-14);
        assert_near(cycle.regeneration_s, time_s, 1e-14);
        assert_near(cycle.capacity_eq_per_m3,
                    bf_ion_hardness(service->passage.in_eq_per_m3) -
                        bf_ion_hardness(service->passage.out_eq_per_m3),
                    1e-14);
        assert_near(cycle.throughput_bed_volumes, service->bed_volumes, 1e-14);
        ck_assert(cycle.balance_error < 1e-6);
        /* A deeper start takes up more than the run alone. */
        ck_assert(bf_ion_hardness(exhaust->passage.stored_eq_per_m3) > 0.0);
    }
}
END_TEST

START_TEST(an_exhausted_bed_is_left_as_it_is)
{
    bf_error err = {0};
    const bf_rating_spec own = stated_bed(9.83);
    const bf_rating_spec product = tested(&own);
    bf_selectivity *selectivity = NULL;
    bf_bed *bed = NULL;
    bf_bed *before = NULL;
    const bf_site site = bf_rating_site(&product);
    bf_step_result result;
    assert_ok(bf_rating_selectivity(&product, &selectivity, &err));
    assert_ok(bf_rating_bed(&product, selectivity, &bed, &err));
    assert_ok(bf_rating_bed(&product, selectivity, &before, &err));
    assert_ok(bf_rating_exhaust(&product, selectivity, bed, &err));
    assert_ok(bf_bed_copy(before, bed, &err));
    assert_ok(bf_step_exhaust.run(&product.recipe.step[1], &site, bed, &result, &err));
    ck_assert(result.duration_s == 0.0 && result.bed_volumes == 0.0);
    ck_assert(result.passage.duration_s == 0.0 && result.depth_ratio == 1.0);
    ck_assert_str_eq(result.name, "exhaust");
    ck_assert(bf_bed_distance(bed, before) == 0.0);
    bf_bed_free(before);
    bf_bed_free(bed);
    bf_selectivity_free(selectivity);
}
END_TEST

/* The water, the flow and the end point move the rating; how the bed was exhausted hardly does: the
 * steady cycle forgets it. One per cent of room, a tenth was seen. */
START_TEST(the_test_moves_a_rating)
{
    const bf_rating_spec own = stated_bed(9.83);
    const bf_rating_spec product = tested(&own);
    bf_rating_spec shallow = product;
    memmove(&shallow.recipe.step[1], &shallow.recipe.step[2],
            (shallow.recipe.count - 2) * sizeof shallow.recipe.step[0]);
    shallow.recipe.count--;
    const double at_home = steady_cycle(&own).capacity_eq_per_m3;
    const double at_test = steady_cycle(&product).capacity_eq_per_m3;
    const double not_exhausted = steady_cycle(&shallow).capacity_eq_per_m3;
    ck_assert(at_test > 1.005 * at_home);
    ck_assert(at_test != not_exhausted);
    assert_near(at_test, not_exhausted, 0.01);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {own_conditions_stay,
                                  the_feed_is_brought_to_the_test_in_balance,
                                  every_anion_can_give_way,
                                  the_run_is_the_tests,
                                  what_was_assumed_is_noted,
                                  what_cannot_be_tested_is_refused,
                                  an_exhaust_step_is_checked,
                                  exhaustion_counts_as_nothing_but_service,
                                  an_exhausted_bed_is_left_as_it_is,
                                  the_test_moves_a_rating};
    return support_run("rating.protocol", tests, COUNT(tests), 60);
}
