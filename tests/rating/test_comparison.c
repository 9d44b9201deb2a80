/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Beds side by side: values against single ratings, differences and their bands against the same
 * taken from two bands by hand, a bed against itself, and every refusal. */
#include "brinefront/comparison.h"

#include "brinefront/hydraulics.h"
#include "coarse_bed.h"
#include "simple_bed.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { SAMPLES = 16 };

static bf_comparison_spec spec_of(const bf_rating_spec *const *beds, size_t count,
                                  const double *dose, size_t samples)
{
    return (bf_comparison_spec){.rating = beds,
                                .beds = count,
                                .dose_kg_per_m3 = dose,
                                .doses = 1,
                                .samples = samples,
                                .threads = 1};
}

static bf_band *band_of(const bf_rating_spec *rating, double dose)
{
    bf_error err = {0};
    bf_band_spec spec = bf_band_spec_for(rating);
    bf_band *band = NULL;
    spec.samples = SAMPLES;
    spec.dose_kg_per_m3 = dose;
    spec.threads = 1;
    assert_ok(bf_band_create(rating, &spec, &band, &err));
    return band;
}

static int compare_doubles(const void *a, const void *b)
{
    const double x = *(const double *)a;
    const double y = *(const double *)b;
    return (x > y) - (x < y);
}

START_TEST(values_are_those_of_a_rating)
{
    bf_error err = {0};
    const bf_rating_spec one = coarse_bed();
    bf_rating_spec other = one;
    other.bed.diameter_m = 2.0 * one.bed.diameter_m;
    const bf_rating_spec *const beds[] = {&one, &other};
    const double dose[] = {97.3, 151.7, 180.0, 180.0};
    bf_comparison_spec spec = spec_of(beds, 2, dose, 0);
    bf_compared_point out[4];
    spec.doses = 2;
    assert_ok(bf_compare(&spec, out, &err));
    for (size_t k = 0; k < 4; k++) {
        const bf_dose_point point = rate_at(beds[k % 2], dose[k]);
        const double bed_m3 =
            0.785398163397448 * beds[k % 2]->bed.diameter_m * beds[k % 2]->bed.diameter_m * 0.743;
        const double capacity = point.steady.cycle.capacity_eq_per_m3;
        ck_assert_double_eq(out[k].quantity[BF_COMPARED_CAPACITY].value, capacity);
        assert_near(out[k].quantity[BF_COMPARED_HELD].value, capacity * bed_m3, 1e-12);
        assert_near(out[k].quantity[BF_COMPARED_SALT].value, dose[k] * bed_m3, 1e-12);
        ck_assert_double_eq(out[k].quantity[BF_COMPARED_LEAKAGE].value,
                            point.steady.cycle.leakage_mean_eq_per_m3);
        ck_assert_double_eq(out[k].quantity[BF_COMPARED_EFFICIENCY].value,
                            point.efficiency_eq_per_eq);
        assert_near(out[k].quantity[BF_COMPARED_WASTE].value * capacity,
                    point.steady.cycle.water_bed_volumes, 1e-12);
        for (size_t q = 0; q < BF_COMPARED_COUNT; q++) { /* nobody asked for a band */
            ck_assert(isnan(out[k].quantity[q].low) && isnan(out[k].quantity[q].high));
            ck_assert(!out[k].quantity[q].is_beyond);
        }
    }
    /* Twice as wide at the same velocity: four times the resin, all else alike. */
    assert_near(out[3].quantity[BF_COMPARED_HELD].difference, 3.0, 1e-9);
    assert_near(out[3].quantity[BF_COMPARED_SALT].difference, 3.0, 1e-12);
    assert_near_abs(out[3].quantity[BF_COMPARED_CAPACITY].difference, 0.0, 1e-12);
    assert_near_abs(out[3].quantity[BF_COMPARED_PRESSURE].difference, 0.0, 1e-12);
    ck_assert(isnan(out[2].quantity[BF_COMPARED_CAPACITY].difference)); /* the first */
    /* And the first row, of two doses, differs. */
    ck_assert_double_gt(out[1].quantity[BF_COMPARED_CAPACITY].difference, 0.05);
}
END_TEST

typedef struct watch {
    size_t calls, stop_after; /* 0: never */
    double share;
} watch;

static int see(void *context, double share)
{
    watch *w = context;
    ck_assert_double_gt(share, w->share);
    w->share = share;
    return ++w->calls == w->stop_after;
}

START_TEST(a_bed_does_not_differ_from_itself)
{
    bf_error err = {0};
    const bf_rating_spec one = coarse_bed();
    const bf_rating_spec same = one;
    const bf_rating_spec *const beds[] = {&one, &same};
    const double dose[] = {121.3, 121.3};
    bf_compared_point out[2];
    watch w = {0};
    bf_comparison_spec spec = spec_of(beds, 2, dose, SAMPLES);
    spec.watch = (bf_watch){see, &w};
    assert_ok(bf_compare(&spec, out, &err));
    ck_assert(out[1].is_paired);
    for (size_t q = 0; q < BF_COMPARED_COUNT; q++) {
        const int has_band = q <= BF_COMPARED_EFFICIENCY;
        ck_assert_double_eq(out[1].quantity[q].difference, 0.0);
        ck_assert(has_band ? out[1].quantity[q].low == 0.0 : isnan(out[1].quantity[q].low));
        ck_assert(has_band ? out[1].quantity[q].high == 0.0 : isnan(out[1].quantity[q].high));
        ck_assert(!out[1].quantity[q].is_beyond);
    }
    /* Told of every rating, those on a second grid too, to the end. */
    ck_assert_uint_eq(w.calls, 2 * (1 + SAMPLES + BF_BAND_LEAST_SAMPLES));
    assert_near(w.share, 1.0, 1e-12);
}
END_TEST

START_TEST(a_stop_leaves_the_beds_that_were_rated)
{
    bf_error err = {0};
    const bf_rating_spec one = coarse_bed();
    const bf_rating_spec *const beds[] = {&one, &one};
    const double dose[] = {121.3, 121.3};
    bf_compared_point out[2];
    watch w = {.stop_after = 1};
    bf_comparison_spec spec = spec_of(beds, 2, dose, 0);
    spec.watch = (bf_watch){see, &w};
    assert_fails(bf_compare(&spec, out, &err), BF_E_STOPPED, "stopped");
    ck_assert_double_gt(out[0].quantity[BF_COMPARED_CAPACITY].value, 0.0);
    ck_assert_int_eq(out[1].point.steady.cycle.outcome, BF_NOT_COMPUTED);
    ck_assert_double_eq(out[1].point.dose_kg_per_m3, 121.3);
    ck_assert(isnan(out[1].quantity[BF_COMPARED_CAPACITY].value));
    /* In the band of the first bed: its rating is there, its limits are not. */
    w = (watch){.stop_after = 3};
    spec.samples = SAMPLES;
    assert_fails(bf_compare(&spec, out, &err), BF_E_STOPPED, "stopped");
    ck_assert_double_gt(out[0].quantity[BF_COMPARED_CAPACITY].value, 0.0);
    ck_assert(isnan(out[0].quantity[BF_COMPARED_CAPACITY].low));
    ck_assert_int_eq(out[1].point.steady.cycle.outcome, BF_NOT_COMPUTED);
}
END_TEST

/* The same bands, taken apart here. */
START_TEST(the_same_resin_is_compared_sample_by_sample)
{
    bf_error err = {0};
    const bf_rating_spec down = coarse_bed();
    bf_rating_spec up = down;
    up.recipe.step[1].direction = BF_FLOW_UP;
    up.recipe.step[2].direction = BF_FLOW_UP;
    up.recipe.step[2].supply = BF_SUPPLY_SOFT;
    const bf_rating_spec *const beds[] = {&down, &up};
    const double dose[] = {121.3, 121.3};
    bf_compared_point out[2];
    bf_comparison_spec spec = spec_of(beds, 2, dose, SAMPLES);
    assert_ok(bf_compare(&spec, out, &err));
    bf_band *a = band_of(&down, dose[0]);
    bf_band *b = band_of(&up, dose[1]);
    double ratio[SAMPLES];
    for (size_t s = 0; s < SAMPLES; s++) {
        ratio[s] = bf_band_value(b, BF_BAND_LEAKAGE, s) / bf_band_value(a, BF_BAND_LEAKAGE, s);
        ck_assert(isfinite(ratio[s]));
    }
    qsort(ratio, SAMPLES, sizeof *ratio, compare_doubles);
    /* Linear at 0.1 (16 - 1) = 1.5 and 13.5. */
    const bf_compared_value *leakage = &out[1].quantity[BF_COMPARED_LEAKAGE];
    ck_assert(out[1].is_paired);
    assert_near(leakage->low, 0.5 * (ratio[1] + ratio[2]) - 1.0, 1e-9);
    assert_near(leakage->high, 0.5 * (ratio[13] + ratio[14]) - 1.0, 1e-9);
    /* Counter-current leaks far less, whatever the constants. */
    ck_assert_double_lt(leakage->difference, -0.3);
    ck_assert(leakage->is_beyond);
    bf_band_free(a);
    bf_band_free(b);
}
END_TEST

START_TEST(other_resins_are_compared_in_quadrature)
{
    bf_error err = {0};
    const bf_rating_spec one = coarse_bed();
    bf_rating_spec other = one;
    other.bed.resin.total_capacity_eq_per_m3 *= 1.002;
    const bf_rating_spec *const beds[] = {&one, &other};
    const double dose[] = {121.3, 121.3};
    bf_compared_point out[2];
    bf_comparison_spec spec = spec_of(beds, 2, dose, SAMPLES);
    assert_ok(bf_compare(&spec, out, &err));
    bf_band *a = band_of(&one, dose[0]);
    bf_band *b = band_of(&other, dose[1]);
    double half[2];
    const bf_band *const band[] = {a, b};
    for (size_t k = 0; k < 2; k++) {
        half[k] = 0.5 *
                  (bf_band_quantile(band[k], BF_BAND_CAPACITY, 0.9) -
                   bf_band_quantile(band[k], BF_BAND_CAPACITY, 0.1)) /
                  bf_band_central(band[k], BF_BAND_CAPACITY);
    }
    const bf_compared_value *capacity = &out[1].quantity[BF_COMPARED_CAPACITY];
    const double width = (1.0 + capacity->difference) * sqrt(half[0] * half[0] + half[1] * half[1]);
    ck_assert(!out[1].is_paired);
    assert_near(capacity->high - capacity->low, 2.0 * width, 1e-9);
    assert_near(0.5 * (capacity->high + capacity->low), capacity->difference, 1e-6);
    /* Two thousandths are far within what the constants of either leave open. */
    ck_assert(!capacity->is_beyond);
    bf_band_free(a);
    bf_band_free(b);
}
END_TEST

START_TEST(a_bed_without_a_rating_has_no_difference)
{
    bf_error err = {0};
    const bf_rating_spec one = coarse_bed();
    const bf_rating_spec *const beds[] = {&one, &one};
    const double dose[] = {121.3, 31.0};
    bf_compared_point out[2];
    bf_comparison_spec spec = spec_of(beds, 2, dose, SAMPLES);
    assert_ok(bf_compare(&spec, out, &err));
    ck_assert_int_eq(out[1].point.steady.cycle.outcome, BF_LEAKS_FROM_THE_START);
    for (size_t q = 0; q <= BF_COMPARED_EFFICIENCY; q++) {
        ck_assert(isnan(out[1].quantity[q].value) && isnan(out[1].quantity[q].difference));
        ck_assert(isnan(out[1].quantity[q].low) && !out[1].quantity[q].is_beyond);
    }
    assert_near(out[1].quantity[BF_COMPARED_SALT].difference, 31.0 / 121.3 - 1.0, 1e-12);
}
END_TEST

START_TEST(impossible_comparisons_are_refused)
{
    bf_error err = {0};
    const bf_rating_spec one = coarse_bed();
    const bf_rating_spec *const beds[] = {&one, &one};
    const double dose[] = {121.3, 121.3};
    const double wrong_dose[] = {121.3, -1.0};
    bf_compared_point out[2];
    bf_comparison_spec spec = spec_of(beds, 1, dose, 0);
    assert_fails(bf_compare(&spec, out, &err), BF_E_RANGE, "1 beds; accepted are 2 to 8");
    spec.beds = 9;
    assert_fails(bf_compare(&spec, out, &err), BF_E_RANGE, "9 beds");
    spec = spec_of(beds, 2, dose, 15);
    assert_fails(bf_compare(&spec, out, &err), BF_E_RANGE, "15 samples; accepted are 0, or 16");
    spec.samples = 65537;
    assert_fails(bf_compare(&spec, out, &err), BF_E_RANGE, "65537 samples");
    spec = spec_of(beds, 2, dose, 0);
    spec.doses = 0;
    assert_fails(bf_compare(&spec, out, &err), BF_E_RANGE, "no dose");
    spec = spec_of(beds, 2, wrong_dose, 0);
    assert_fails(bf_compare(&spec, out, &err), BF_E_RANGE, "");
}
END_TEST

START_TEST(doses_that_all_share_are_found)
{
    const double one[] = {64.0, 96.0, 160.0};
    const double two[] = {160.0, 50.0, 96.0 * (1.0 + 1e-9), 64.1};
    const double three[] = {96.0, 160.0};
    const double *const lists[] = {one, two, three};
    const size_t count[] = {3, 4, 2};
    const size_t none[] = {1, 2, 2};
    double shared[3];
    ck_assert_uint_eq(bf_shared_doses(lists, count, 3, shared), 2);
    ck_assert_double_eq(shared[0], 96.0);
    ck_assert_double_eq(shared[1], 160.0);
    ck_assert_uint_eq(bf_shared_doses(lists, none, 3, shared), 0);
}
END_TEST

START_TEST(every_constant_tells_resins_apart)
{
    const bf_resin one = simple_resin();
    bf_resin other = one;
    other.name = "another name";
    ck_assert(bf_resin_is_same(&one, &other));
    double *const fields[] = {&other.total_capacity_eq_per_m3,
                              &other.void_fraction,
                              &other.bead_diameter_m,
                              &other.uniformity_coefficient,
                              &other.bead_density_kg_per_m3,
                              &other.selectivity[BF_ION_CA],
                              &other.diffusivity_25C_m2_per_s[BF_ION_MG],
                              &other.activation_J_per_mol[BF_ION_NA]};
    for (size_t f = 0; f < sizeof fields / sizeof *fields; f++) {
        const double own = *fields[f];
        *fields[f] = 1.01 * own;
        ck_assert_msg(!bf_resin_is_same(&one, &other), "field %zu", f);
        *fields[f] = own;
    }
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {values_are_those_of_a_rating,
                                  a_bed_does_not_differ_from_itself,
                                  a_stop_leaves_the_beds_that_were_rated,
                                  the_same_resin_is_compared_sample_by_sample,
                                  other_resins_are_compared_in_quadrature,
                                  a_bed_without_a_rating_has_no_difference,
                                  impossible_comparisons_are_refused,
                                  doses_that_all_share_are_found,
                                  every_constant_tells_resins_apart};
    return support_run("rating.comparison", tests, sizeof tests / sizeof *tests, 300);
}
