/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Practical answers put back into a band, against nominal ones; common vessels one by one. */
#include "brinefront/band.h"
#include "brinefront/convert.h"
#include "brinefront/sizing.h"

#include "coarse_bed.h"

#include <math.h>
#include <string.h>

static size_t called;
static int count(void *context, double share)
{
    ck_assert_ptr_eq(context, &called);
    ck_assert_double_le(share, 1.0);
    called++;
    return 0;
}

static bf_sizing_spec unfavourable(double quantile)
{
    return (bf_sizing_spec){.quantile = quantile, .samples = 24, .watch = {count, &called}};
}

/* Quantile of the capacity of a band over its centre. */
static double ratio_of(const bf_rating_spec *rating, double dose, double quantile)
{
    bf_error err = {0};
    bf_band *band = NULL;
    bf_band_spec spec = bf_band_spec_for(rating);
    spec.samples = 24;
    spec.dose_kg_per_m3 = dose;
    spec.threads = 1;
    assert_ok(bf_band_create(rating, &spec, &band, &err));
    const double ratio = bf_band_quantile(band, BF_BAND_CAPACITY, quantile) /
                         bf_band_central(band, BF_BAND_CAPACITY);
    bf_band_free(band);
    return ratio;
}

/* An answer holds to 5e-4 of what was wanted; the band it is put back into is the same to the bit.
 */
START_TEST(a_practical_dose_holds_the_capacity)
{
    bf_error err = {0};
    const bf_rating_spec spec = coarse_bed();
    bf_sizing nominal, even, safe;
    const bf_sizing_spec tenth = unfavourable(0.1);
    const bf_sizing_spec half = unfavourable(0.5);
    called = 0;
    assert_ok(bf_dose_for_capacity(&spec, 1093.7, NULL, &nominal, &err));
    ck_assert(isnan(nominal.practical_ratio));
    assert_ok(bf_dose_for_capacity(&spec, 1093.7, NULL, &even, &err));
    ck_assert_double_eq(even.answer, nominal.answer);
    assert_ok(bf_dose_for_capacity(&spec, 1093.7, &tenth, &safe, &err));
    ck_assert_uint_gt(called, 24);
    ck_assert_int_eq(safe.binding, BF_BINDING_NONE);
    ck_assert_int_eq(safe.decided, BF_BINDING_CAPACITY);
    ck_assert_double_gt(safe.answer, 1.03 * nominal.answer);
    ck_assert_double_eq(safe.practical_ratio, ratio_of(&spec, safe.answer, 0.1));
    assert_near(safe.point.steady.cycle.capacity_eq_per_m3 * safe.practical_ratio, 1093.7, 6e-4);
    /* The median asks for little more than the case as it stands. */
    assert_ok(bf_dose_for_capacity(&spec, 1093.7, &half, &even, &err));
    ck_assert_double_lt(even.answer, safe.answer);
    assert_near(even.answer, nominal.answer, 0.03);
    /* More than any dose holds: the nearest is the rating's own. */
    assert_ok(bf_dose_for_capacity(&spec, 1930.0, &tenth, &safe, &err));
    ck_assert_int_eq(safe.binding, BF_BINDING_CAPACITY);
    ck_assert(isnan(safe.practical_ratio));
    ck_assert_double_lt(safe.nearest, 1930.0);
}
END_TEST

START_TEST(a_practical_bed_lasts_the_interval)
{
    bf_error err = {0};
    const bf_rating_spec spec = coarse_bed();
    const bf_tank_spec tank = bf_tank_spec_default();
    const bf_sizing_spec tenth = unfavourable(0.1);
    bf_sizing nominal, safe;
    const double interval_m3 = 7.31;
    const double flow_m3_per_s = 2.3e-4;
    assert_ok(
        bf_smallest_bed(&spec, &tank, 113.7, interval_m3, flow_m3_per_s, NULL, &nominal, &err));
    assert_ok(
        bf_smallest_bed(&spec, &tank, 113.7, interval_m3, flow_m3_per_s, &tenth, &safe, &err));
    ck_assert_int_eq(safe.decided, BF_BINDING_INTERVAL);
    ck_assert_double_gt(safe.answer, 1.03 * nominal.answer);
    bf_rating_spec own = spec;
    own.bed = safe.bed;
    own.recipe.step[0].velocity_m_per_s = flow_m3_per_s / bf_bed_area_m2(&safe.bed);
    /* The velocity made by hand differs by rounding: 1e-4 of the integrator's steps. */
    const double ratio = ratio_of(&own, 113.7, 0.1);
    assert_near(safe.practical_ratio, ratio, 1e-4);
    assert_near(safe.answer * safe.point.steady.cycle.throughput_bed_volumes * ratio, interval_m3,
                7e-4);
}
END_TEST

START_TEST(impossible_quantiles_and_samples_are_refused)
{
    bf_error err = {0};
    const bf_rating_spec spec = coarse_bed();
    const bf_tank_spec tank = bf_tank_spec_default();
    bf_sizing out;
    static const double wrong[] = {-0.1, 0.51, (double)NAN};
    for (size_t k = 0; k < sizeof wrong / sizeof *wrong; k++) {
        const bf_sizing_spec how = unfavourable(wrong[k]);
        assert_fails(bf_dose_for_capacity(&spec, 1093.7, &how, &out, &err), BF_E_RANGE,
                     "above 0 up to 0.5");
        assert_fails(bf_smallest_bed(&spec, &tank, 113.7, 7.31, 2.3e-4, &how, &out, &err),
                     BF_E_RANGE, "above 0 up to 0.5");
    }
    bf_sizing_spec few = unfavourable(0.1);
    few.samples = 15;
    assert_fails(bf_dose_for_capacity(&spec, 1093.7, &few, &out, &err), BF_E_RANGE,
                 "15 samples; accepted are 16 to 65536");
}
END_TEST

/* ---- vessels --------------------------------------------------------------------------------- */

START_TEST(the_smallest_vessel_is_the_first_that_does_it)
{
    bf_error err = {0};
    const bf_rating_spec spec = coarse_bed();
    bf_tank_spec tank = bf_tank_spec_default();
    static const struct {
        double interval_m3, flow_m3_per_s;
    } targets[] = {{2.9, 1.1e-4}, {9.7, 2.3e-4}, {14.3, 9.1e-4}};
    tank.underbedding_m = 0.037;
    for (size_t w = 0; w < sizeof targets / sizeof *targets; w++) {
        size_t size = 999;
        bf_sizing found, other;
        assert_ok(bf_smallest_vessel(&spec, &tank, 113.7, targets[w].interval_m3,
                                     targets[w].flow_m3_per_s, NULL, &size, &found, &err));
        ck_assert_uint_lt(size, bf_tank_size_count());
        ck_assert_int_eq(found.binding, BF_BINDING_NONE);
        const bf_tank_size best = bf_tank_size_get(size);
        assert_near(found.bed.diameter_m, best.diameter_m, 1e-12);
        ck_assert_double_le(found.bed.depth_m * 1.07 * 1.5, best.height_m - 0.037 + 1e-9);
        for (size_t k = 0; k < bf_tank_size_count(); k++) {
            const bf_tank_size smaller = bf_tank_size_get(k);
            const int comes_before =
                smaller.diameter_m < best.diameter_m ||
                (smaller.diameter_m == best.diameter_m && smaller.height_m < best.height_m);
            if (comes_before) {
                bf_tank_spec vessel = tank;
                vessel.diameter_m = smaller.diameter_m;
                vessel.height_m = smaller.height_m;
                assert_ok(bf_smallest_bed(&spec, &vessel, 113.7, targets[w].interval_m3,
                                          targets[w].flow_m3_per_s, NULL, &other, &err));
                ck_assert_msg(other.binding != BF_BINDING_NONE, "%s does it too", smaller.name);
            }
        }
    }
    size_t none = 0;
    bf_sizing found;
    assert_ok(bf_smallest_vessel(&spec, &tank, 113.7, 97.3, 2.3e-3, NULL, &none, &found, &err));
    ck_assert_uint_eq(none, bf_tank_size_count());
    assert_fails(bf_smallest_vessel(&spec, &tank, 0.0, 9.7, 2.3e-4, NULL, &none, &found, &err),
                 BF_E_RANGE, "the dose");
    tank.swelling = (double)NAN; /* no size is passed over for a vessel that cannot be */
    assert_fails(bf_smallest_vessel(&spec, &tank, 113.7, 9.7, 2.3e-4, NULL, &none, &found, &err),
                 BF_E_RANGE, "swelling is nan");
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {a_practical_dose_holds_the_capacity,
                                  a_practical_bed_lasts_the_interval,
                                  impossible_quantiles_and_samples_are_refused,
                                  the_smallest_vessel_is_the_first_that_does_it};
    return support_run("practical sizing", tests, sizeof tests / sizeof *tests, 120.0);
}
