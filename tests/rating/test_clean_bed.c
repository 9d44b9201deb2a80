/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The bed of a campaign without deposits: where its cycles do not come to rest, that is said. */
#include "fouling_case.h"

#include "rating/fouling/clean_bed.h"

/* A dose that leaves the bed nearly full of hardness and rinses that bring none. */
static bf_campaign_spec hardly_regenerated(void)
{
    bf_campaign_spec spec = quick_campaign();
    bf_recipe_set_dose(&spec.recipe, 6.1);
    spec.recipe.step[0].end_hardness_eq_per_m3 = 6.6;
    for (size_t k = 1; k < spec.recipe.count; k++) {
        spec.recipe.step[k].supply = BF_SUPPLY_SOFT;
    }
    return spec;
}

/* Regenerated after next to no water, each dose takes a little more off a bed that was full: it
 * takes hundreds of cycles to become clean. Regenerated near its end point it settles. */
START_TEST(a_bed_that_creeps_is_told)
{
    bf_error err = {0};
    bf__clean_bed *clean = NULL;
    double before_eq_per_m3;
    double after_eq_per_m3;
    double ignored;
    const bf_campaign_spec spec = hardly_regenerated();
    assert_ok(bf__clean_bed_create(&spec, NULL, &clean, &err));
    const double end_bed_volumes = bf__clean_bed_capacity(clean) / spec.water.hardness_eq_per_m3;
    assert_ok(bf__clean_bed_potential(clean, 0.3 * end_bed_volumes, &before_eq_per_m3, &err));
    ck_assert_double_gt(before_eq_per_m3, bf__clean_bed_capacity(clean));
    assert_fails(bf__clean_bed_potential(clean, 0.001 * end_bed_volumes, &ignored, &err),
                 BF_E_SOLVER, "does not settle within 100 cycles");
    /* The bed itself stays as it was. */
    assert_ok(bf__clean_bed_potential(clean, 0.3 * end_bed_volumes, &after_eq_per_m3, &err));
    ck_assert(before_eq_per_m3 == after_eq_per_m3);
    bf__clean_bed_free(clean);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {a_bed_that_creeps_is_told};
    return support_run("rating.clean_bed", tests, sizeof tests / sizeof *tests, 60.0);
}
