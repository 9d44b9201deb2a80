/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A step that the library does not know: a type defined here takes part in cycle, dose and vessel
 * sheet like any other, by what it says of itself. */
#include "brinefront/tank.h"

#include "coarse_bed.h"

/* Brine from a second tank: numbers that nothing else here would give. */
static const double liquid_bed_volumes = 0.37;
static const double water_bed_volumes = 0.29;
static const double duration_s = 611.0;

static bf_status check_second(const bf_step *step, bf_error *err)
{
    return step->dose_kg_per_m3 > 0.0 ? BF_OK
                                      : bf_error_set(err, BF_E_RANGE, "second", "no dose is set");
}

static bf_status needs_second(const bf_step *step, const bf_site *site, bf_step_needs *out,
                              bf_error *err)
{
    (void)site, (void)err;
    *out = (bf_step_needs){.duration_s = duration_s,
                           .liquid_bed_volumes = liquid_bed_volumes,
                           .water_bed_volumes = water_bed_volumes,
                           .salt_kg_per_m3 = step->dose_kg_per_m3,
                           .drain_m_per_s = 0.5 * step->velocity_m_per_s,
                           .brine_bed_volumes = 0.11,
                           .refill_bed_volumes = 0.07};
    return BF_OK;
}

static bf_status run_second(const bf_step *step, const bf_site *site, bf_bed *bed,
                            bf_step_result *out, bf_error *err)
{
    bf_step_needs needs;
    (void)bed;
    bf_status status = needs_second(step, site, &needs, err);
    *out = (bf_step_result){.name = step->type->name,
                            .duration_s = needs.duration_s,
                            .bed_volumes = needs.liquid_bed_volumes,
                            .water_bed_volumes = needs.water_bed_volumes,
                            .salt_kg_per_m3 = needs.salt_kg_per_m3,
                            .depth_ratio = 1.0};
    return status;
}

static const bf_step_type second_brine = {.name = "second brine",
                                          .word = "second_brine",
                                          .role = BF_ROLE_BRINE,
                                          .scaling = BF_SCALES_WITH_BED,
                                          .fields = BF_STEP_VELOCITY | BF_STEP_DOSE,
                                          .check = check_second,
                                          .needs = needs_second,
                                          .run = run_second};

/* The coarse bed with the second brine behind its own, at a dose of 90 g/L; it has a third. */
static bf_rating_spec with_second(void)
{
    bf_rating_spec spec = coarse_bed();
    const bf_step refill = spec.recipe.step[4];
    spec.recipe.step[4] = spec.recipe.step[1];
    spec.recipe.step[4].type = &second_brine;
    spec.recipe.step[1].dose_kg_per_m3 = 2.0;
    spec.recipe.step[4].dose_kg_per_m3 = 1.0;
    spec.recipe.step[5] = refill;
    spec.recipe.count = 6;
    bf_recipe_set_dose(&spec.recipe, 90.0);
    return spec;
}

/* The coarse bed alone, with the dose that the other's own brine has. */
static bf_rating_spec plain(void)
{
    bf_rating_spec spec = coarse_bed();
    bf_recipe_set_dose(&spec.recipe, 60.0);
    return spec;
}

START_TEST(it_has_its_share_of_the_dose)
{
    const bf_rating_spec spec = with_second();
    assert_near(spec.recipe.step[1].dose_kg_per_m3, 60.0, 1e-12);
    assert_near(spec.recipe.step[4].dose_kg_per_m3, 30.0, 1e-12);
    assert_near(spec.recipe.step[5].dose_kg_per_m3, 90.0, 1e-12); /* refill: for all of it */
    assert_near(bf_recipe_dose_kg_per_m3(&spec.recipe), 90.0, 1e-12);
}
END_TEST

START_TEST(the_cycle_counts_it)
{
    bf_error err = {0};
    bf_cycle_result cycle[2];
    const bf_rating_spec spec[2] = {plain(), with_second()};
    for (size_t i = 0; i < 2; i++) {
        const bf_site site = bf_rating_site(&spec[i]);
        bf_selectivity *selectivity = NULL;
        bf_bed *bed = NULL;
        assert_ok(bf_rating_spec_check(&spec[i], &err));
        assert_ok(bf_rating_selectivity(&spec[i], &selectivity, &err));
        assert_ok(bf_rating_bed(&spec[i], selectivity, &bed, &err));
        assert_ok(bf_cycle_run(&spec[i].recipe, &site, bed, &cycle[i], &err));
        bf_bed_free(bed);
        bf_selectivity_free(selectivity);
    }
    ck_assert_str_eq(cycle[1].step[4].name, "second brine");
    const double refill_s = 0.5 * cycle[0].step[4].duration_s; /* 90 for 60 kg of salt */
    assert_near(cycle[1].regeneration_s, cycle[0].regeneration_s + duration_s + refill_s, 1e-9);
    assert_near(cycle[1].water_bed_volumes, cycle[0].water_bed_volumes + water_bed_volumes, 1e-12);
    assert_near(cycle[1].salt_kg_per_m3, 90.0, 1e-12);
    ck_assert(cycle[1].capacity_eq_per_m3 == cycle[0].capacity_eq_per_m3);
}
END_TEST

START_TEST(the_sheet_of_a_vessel_counts_it)
{
    bf_error err = {0};
    bf_tank_sheet basis;
    bf_tank_sheet more;
    const bf_tank_spec tank = bf_tank_spec_default();
    const bf_rating_spec alone = plain();
    bf_rating_spec spec = with_second();
    spec.recipe.step[4].velocity_m_per_s = 0.02; /* half of it is more than any other step drains */
    assert_ok(bf_tank_sheet_of(&tank, &alone, &basis, &err));
    assert_ok(bf_tank_sheet_of(&tank, &spec, &more, &err));
    assert_near(more.step_s[4], duration_s, 1e-12);
    assert_near(more.regeneration_s, basis.regeneration_s + duration_s + 0.5 * basis.step_s[4],
                1e-9);
    assert_near(more.regeneration_m3, basis.regeneration_m3 + water_bed_volumes * basis.resin_m3,
                1e-14);
    assert_near(more.brine_m3, basis.brine_m3 + 0.11 * basis.resin_m3, 1e-15);
    assert_near(more.refill_m3, basis.refill_m3 + 0.07 * basis.resin_m3, 1e-15);
    assert_near(more.drain_m3_per_s, 0.01 * basis.area_m2, 1e-15);
}
END_TEST

START_TEST(a_drain_too_small_for_it_is_refused_by_its_name)
{
    bf_error err = {0};
    bf_tank_sheet sheet;
    bf_tank_spec tank = bf_tank_spec_default();
    bf_rating_spec spec = with_second();
    spec.recipe.step[4].velocity_m_per_s = 0.02;
    tank.drain_m3_per_s = 0.009 * bf_bed_area_m2(&spec.bed);
    assert_fails(bf_tank_sheet_of(&tank, &spec, &sheet, &err), BF_E_RANGE,
                 "the second brine gives");
}
END_TEST

START_TEST(its_check_is_asked)
{
    bf_error err = {0};
    bf_rating_spec spec = with_second();
    spec.recipe.step[4].dose_kg_per_m3 = 0.0;
    assert_fails(bf_rating_spec_check(&spec, &err), BF_E_RANGE, "no dose is set");
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {
        it_has_its_share_of_the_dose, the_cycle_counts_it, the_sheet_of_a_vessel_counts_it,
        a_drain_too_small_for_it_is_refused_by_its_name, its_check_is_asked};
    return support_run("rating.own_step", tests, sizeof tests / sizeof *tests, 60);
}
