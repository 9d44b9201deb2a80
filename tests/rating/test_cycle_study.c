/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One cycle looked at from inside: the steady one against a rating, the first ones of a new bed
 * against the same cycles run by hand, and refusals. */
#include "brinefront/cycle_study.h"

#include "coarse_bed.h"

#include <math.h>
#include <string.h>

enum { NEW_CYCLES = 3 };

START_TEST(the_steady_cycle_is_that_of_the_rating)
{
    bf_error err = {0};
    bf_cycle_study study;
    const bf_rating_spec spec = coarse_bed();
    const bf_dose_point point = rate_at(&spec, 113.7);
    assert_ok(bf_cycle_study_run(&spec, 113.7, 0, &study, &err));
    ck_assert_uint_eq(study.cycle_count, 1);
    ck_assert_uint_eq(study.steady.cycles, point.steady.cycles);
    ck_assert_double_eq(study.steady.cycle.capacity_eq_per_m3,
                        point.steady.cycle.capacity_eq_per_m3);
    /* One cycle more: within the tolerance of the steady state, twice for its own error. */
    assert_near(study.cycle[0].capacity_eq_per_m3, point.steady.cycle.capacity_eq_per_m3,
                2.0 * spec.steady.capacity_tolerance);
    assert_near(bf_recipe_dose_kg_per_m3(&study.recipe), 113.7, 1e-12);
    ck_assert_ptr_nonnull(study.trace);
    for (size_t s = 0; s < study.recipe.count; s++) {
        ck_assert_ptr_null(study.recipe.step[s].observer); /* nothing refers to the trace */
    }
    bf_cycle_study_free(&study);
    ck_assert_ptr_null(study.trace);
}
END_TEST

START_TEST(a_new_bed_is_followed_from_its_first_cycle)
{
    bf_error err = {0};
    bf_cycle_study study;
    const bf_rating_spec spec = coarse_bed();
    bf_recipe recipe = spec.recipe;
    const bf_site site = bf_rating_site(&spec);
    bf_selectivity *selectivity = NULL;
    bf_bed *bed = NULL;
    bf_recipe_set_dose(&recipe, 113.7);
    assert_ok(bf_cycle_study_run(&spec, 113.7, NEW_CYCLES, &study, &err));
    ck_assert_uint_eq(study.cycle_count, NEW_CYCLES);
    assert_ok(bf_rating_selectivity(&spec, &selectivity, &err));
    assert_ok(bf_rating_bed(&spec, selectivity, &bed, &err));
    for (size_t c = 0; c < NEW_CYCLES; c++) {
        bf_cycle_result result;
        assert_ok(bf_cycle_run(&recipe, &site, bed, &result, &err));
        ck_assert_double_eq(study.cycle[c].capacity_eq_per_m3, result.capacity_eq_per_m3);
    }
    ck_assert_double_gt(study.cycle[0].capacity_eq_per_m3, study.cycle[1].capacity_eq_per_m3);
    ck_assert_uint_eq(study.steady.cycles, 0);
    bf_bed_free(bed);
    bf_selectivity_free(selectivity);
    bf_cycle_study_free(&study);
}
END_TEST

START_TEST(impossible_studies_are_refused)
{
    static const double wrong[] = {0.0, -1.0, (double)NAN, (double)INFINITY};
    bf_error err = {0};
    bf_cycle_study study;
    bf_rating_spec spec = coarse_bed();
    for (size_t k = 0; k < sizeof wrong / sizeof *wrong; k++) {
        assert_fails(bf_cycle_study_run(&spec, wrong[k], 0, &study, &err), BF_E_RANGE,
                     "doses are above zero");
        bf_cycle_study_free(&study);
    }
    spec.bed.cells = 3;
    assert_fails(bf_cycle_study_run(&spec, 113.7, 0, &study, &err), BF_E_RANGE, "cells");
    bf_cycle_study_free(&study);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {the_steady_cycle_is_that_of_the_rating,
                                  a_new_bed_is_followed_from_its_first_cycle,
                                  impossible_studies_are_refused};
    return support_run("rating.cycle_study", tests, sizeof tests / sizeof *tests, 60);
}
