/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Salt that the last rinse leaves: against what stands in the pores, and against the washing out of
 * a stirred volume. */
#include "brinefront/tank.h"

#include "coarse_bed.h"

#include <math.h>

static void run(const bf_rating_spec *spec, bf_cycle_result *cycle, bf_holding *end)
{
    bf_error err = {0};
    bf_selectivity *selectivity = NULL;
    bf_bed *bed = NULL;
    const bf_site site = bf_rating_site(spec);
    assert_ok(bf_rating_selectivity(spec, &selectivity, &err));
    assert_ok(bf_rating_bed(spec, selectivity, &bed, &err));
    /* The second service washes out what the first regeneration left: that is no part of it. */
    assert_ok(bf_cycle_run(&spec->recipe, &site, bed, cycle, &err));
    assert_ok(bf_cycle_run(&spec->recipe, &site, bed, cycle, &err));
    *end = bf_bed_holding(bed);
    bf_bed_free(bed);
    bf_selectivity_free(selectivity);
}

/* A packed vessel has no water but that of its pores. */
START_TEST(of_a_packed_vessel_it_stands_in_the_pores)
{
    bf_rating_spec spec = coarse_bed();
    static bf_cycle_result cycle;
    bf_holding end;
    spec.bed.freeboard_m = 0.0;
    spec.recipe.step[2].bed_volumes = 0.13; /* hardly a rinse */
    spec.recipe.step[3].bed_volumes = 0.11;
    bf_recipe_set_dose(&spec.recipe, 113.7);
    run(&spec, &cycle, &end);
    double pore = 0.0;
    for (size_t i = 0; i < BF_CATION_COUNT; i++) {
        pore += end.pore_eq_per_m3[i];
    }
    const double left = bf_salt_left_eq_per_m3(&spec.recipe, &cycle);
    ck_assert_double_gt(left, 50.0);
    /* The service has brought the pores to the feed's normality within some 1e-8. */
    assert_near(left, spec.bed.resin.void_fraction * (pore - spec.water.normality_eq_per_m3), 1e-7);
}
END_TEST

/* Far above the bed the freeboard is a stirred volume: each bed volume of rinse takes exp(-depth
 * over its height) of what it holds, and with much of it that is all that is left. The pores hold
 * what came down last, so that 3 % are asked for. */
START_TEST(of_a_tall_freeboard_it_is_washed_out)
{
    bf_rating_spec spec = coarse_bed();
    static bf_cycle_result cycle;
    bf_holding end;
    double left[2];
    spec.bed.freeboard_m = 2.5 * spec.bed.depth_m;
    spec.recipe.step[2].bed_volumes = 3.1;
    bf_recipe_set_dose(&spec.recipe, 113.7);
    for (int more = 0; more < 2; more++) {
        spec.recipe.step[3].bed_volumes = more ? 7.7 : 5.2;
        run(&spec, &cycle, &end);
        left[more] = bf_salt_left_eq_per_m3(&spec.recipe, &cycle);
    }
    assert_near(left[1] / left[0], exp(-2.5 / 2.5), 0.03);
    ck_assert_double_gt(left[1], 1.0);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {of_a_packed_vessel_it_stands_in_the_pores,
                                  of_a_tall_freeboard_it_is_washed_out};
    return support_run("salt left", tests, sizeof tests / sizeof *tests, 60.0);
}
