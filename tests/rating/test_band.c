/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A band taken apart into its samples, and every refusal. */
#include "brinefront/band.h"

#include "hard_bed.h"
#include "index_order.h"
#include "running_out.h"

#include <stdatomic.h>
#include <stdio.h>
#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof *(array))

/* ---- bands ---------------------------------------------------------------------------------- */

/* Of little enough salt for some samples to have no rating. */
static bf_band_spec small_band(void)
{
    bf_band_spec spec = bf_band_spec_default();
    spec.samples = 20;
    spec.cells = 12;
    spec.shells = 1;
    spec.dose_kg_per_m3 = 72.0;
    spec.threads = 1;
    return spec;
}

typedef struct watch {
    atomic_int inside;
    int overlapped, out_of_order;
    size_t calls, stop_after;
} watch;

static int see(void *context, double share)
{
    watch *w = context;
    w->overlapped |= atomic_fetch_add(&w->inside, 1) != 0;
    w->calls++;
    w->out_of_order |= fabs(share * 36.0 - (double)w->calls) > 1e-9;
    (void)atomic_fetch_sub(&w->inside, 1);
    return w->calls == w->stop_after;
}

static bf_dose_point rate_by_hand(const bf_rating_spec *own, const double *position, double dose)
{
    bf_error err = {0};
    bf_rating_spec moved = *own;
    bf_dose_point point;
    for (size_t k = 0; k < bf_uncertain_count(); k++) {
        bf_uncertain_set(&moved, k, position[k], &dose);
    }
    bf_dose_curve_spec curve = {.dose_kg_per_m3 = &dose, .count = 1, .threads = 1};
    assert_ok(bf_dose_curve(&moved, &curve, &point, NULL, &err));
    return point;
}

/* x at share (n - 1), linear between the sorted values; a sample without a rating is the worst, and
 * whatever touches one is as well. */
static double quantile_by_hand(const bf_band *band, bf_band_quantity quantity, double share)
{
    double sorted[64];
    size_t n = 0;
    for (size_t s = 0; s < bf_band_samples(band); s++) {
        double value = bf_band_value(band, quantity, s);
        size_t place = n++;
        if (isnan(value)) {
            value = quantity == BF_BAND_LEAKAGE ? 1e300 : 0.0;
        }
        for (; place > 0 && sorted[place - 1] > value; place--) {
            sorted[place] = sorted[place - 1];
        }
        sorted[place] = value;
    }
    size_t below = (size_t)(share * (double)(n - 1));
    double inside = share * (double)(n - 1) - (double)below;
    const int touches = inside > 0.0 && below + 1 < n;
    if (quantity != BF_BAND_LEAKAGE && sorted[below] == 0.0) {
        return 0.0;
    }
    if (quantity == BF_BAND_LEAKAGE && sorted[below + (touches ? 1 : 0)] == 1e300) {
        return (double)INFINITY;
    }
    return below + 1 < n ? sorted[below] + inside * (sorted[below + 1] - sorted[below])
                         : sorted[n - 1];
}

/* Every sample by hand, on both grids where the band says it uses two; the same bits, whatever the
 * number of threads. */
START_TEST(a_band_is_its_samples)
{
    bf_error err = {0};
    const bf_rating_spec rating = hard_bed(291.4);
    bf_rating_spec coarse = rating;
    bf_band_spec spec = small_band();
    watch w = {0};
    bf_band *one = NULL;
    bf_band *many = NULL;
    watch_reports();
    coarse.bed.cells = spec.cells;
    coarse.bed.shells = spec.shells;
    coarse.bed.relative_tolerance = 1e-3;
    coarse.steady.capacity_tolerance = 1e-3;
    coarse.steady.leakage_tolerance = 1e-2;
    spec.watch = (bf_watch){see, &w};
    spec.threads = 3;
    assert_ok(bf_band_create(&rating, &spec, &many, &err));
    ck_assert(!w.overlapped && !w.out_of_order);
    ck_assert_uint_eq(w.calls, 36); /* 20 samples, 16 of them twice */
    spec.watch = (bf_watch){0};
    spec.threads = 1;
    assert_ok(bf_band_create(&rating, &spec, &one, &err));
    ck_assert_uint_eq(bf_band_samples(one), 20);

    double position[20 * 64];
    const size_t dimensions = bf_uncertain_count();
    assert_ok(bf_sobol_points(20, dimensions, position, &err));
    size_t unrated = 0;
    double fine[2] = {0}, on_coarse[2] = {0};
    bf_dose_point point[20];
    for (size_t s = 0; s < 20; s++) {
        point[s] = rate_by_hand(&coarse, position + s * dimensions, spec.dose_kg_per_m3);
        const int rated = point[s].steady.cycle.outcome == BF_RATED;
        unrated += !rated;
        if (s < 16) {
            bf_dose_point own =
                rate_by_hand(&rating, position + s * dimensions, spec.dose_kg_per_m3);
            if (s == 0) { /* the middle of everything: the case as it stands */
                ck_assert_double_eq(own.dose_kg_per_m3, spec.dose_kg_per_m3);
                ck_assert_double_eq(bf_band_central(one, BF_BAND_CAPACITY),
                                    own.steady.cycle.capacity_eq_per_m3);
                ck_assert_double_eq(bf_band_central(one, BF_BAND_LEAKAGE),
                                    own.steady.cycle.leakage_mean_eq_per_m3);
                ck_assert_double_eq(bf_band_central(one, BF_BAND_EFFICIENCY),
                                    own.efficiency_eq_per_eq);
            }
            if (rated && own.steady.cycle.outcome == BF_RATED) {
                fine[0] += own.steady.cycle.capacity_eq_per_m3;
                fine[1] += own.steady.cycle.leakage_mean_eq_per_m3;
                on_coarse[0] += point[s].steady.cycle.capacity_eq_per_m3;
                on_coarse[1] += point[s].steady.cycle.leakage_mean_eq_per_m3;
            }
        }
    }
    (void)printf("%zu of 20 without a rating\n", unrated);
    ck_assert_uint_gt(unrated, 4); /* 15 or fewer are left */
    ck_assert_uint_lt(unrated, 16);
    ck_assert_uint_eq(bf_band_unrated(one), unrated);
    ck_assert_double_eq(bf_band_grid_factor(one, BF_BAND_CAPACITY), fine[0] / on_coarse[0]);
    ck_assert_double_eq(bf_band_grid_factor(one, BF_BAND_LEAKAGE), fine[1] / on_coarse[1]);
    ck_assert_double_ne(fine[0], on_coarse[0]);
    for (size_t s = 0; s < 20; s++) {
        const int rated = point[s].steady.cycle.outcome == BF_RATED;
        const double capacity = bf_band_value(one, BF_BAND_CAPACITY, s);
        const double leakage = bf_band_value(one, BF_BAND_LEAKAGE, s);
        ck_assert_double_eq(capacity, rated ? point[s].steady.cycle.capacity_eq_per_m3 *
                                                  bf_band_grid_factor(one, BF_BAND_CAPACITY)
                                            : 0.0);
        ck_assert(rated ? leakage == point[s].steady.cycle.leakage_mean_eq_per_m3 *
                                         bf_band_grid_factor(one, BF_BAND_LEAKAGE)
                        : isnan(leakage));
        ck_assert(isnan(bf_band_value(one, BF_BAND_EFFICIENCY, s)) == !rated);
    }
    ck_assert(isnan(bf_band_value(one, BF_BAND_CAPACITY, 20)));

    for (int q = 0; q < BF_BAND_QUANTITIES; q++) {
        const bf_band_quantity quantity = (bf_band_quantity)q;
        for (size_t s = 0; s < 20; s++) {
            double a = bf_band_value(one, quantity, s);
            double b = bf_band_value(many, quantity, s);
            ck_assert(memcmp(&a, &b, sizeof a) == 0);
        }
        for (int share = 0; share <= 20; share++) {
            /* The same formula written twice: rounding. */
            const double found = bf_band_quantile(one, quantity, 0.05 * share);
            const double by_hand = quantile_by_hand(one, quantity, 0.05 * share);
            ck_assert_int_eq(isinf(found), isinf(by_hand));
            if (!isinf(found)) {
                assert_near(found, by_hand, 1e-14);
            }
        }
        ck_assert(isnan(bf_band_quantile(one, quantity, -0.01)));
        ck_assert(isnan(bf_band_quantile(one, quantity, 1.01)));
        ck_assert(isnan(bf_band_quantile(one, quantity, (double)NAN)));
    }
    ck_assert_double_eq(bf_band_quantile(one, BF_BAND_CAPACITY, 0.0), 0.0);
    ck_assert_double_gt(bf_band_quantile(one, BF_BAND_LEAKAGE, 0.0), 0.0);

    /* Of the capacity, with the unrated as none; of the leakage, there are too few. */
    bf_sobol_index list[64], again[64];
    double explained, explained_again;
    assert_ok(bf_band_indices(one, BF_BAND_CAPACITY, list, &explained, &err));
    assert_ok(bf_band_indices(many, BF_BAND_CAPACITY, again, &explained_again, &err));
    ordered_and_whole(list, dimensions);
    ck_assert_double_eq(explained, explained_again);
    for (size_t i = 0; i < dimensions; i++) {
        ck_assert_uint_eq(list[i].uncertain, again[i].uncertain);
        ck_assert_double_eq(list[i].total, again[i].total);
        ck_assert(list[i].total_error == again[i].total_error || isnan(list[i].total_error));
    }
    assert_fails(bf_band_indices(one, BF_BAND_LEAKAGE, list, &explained, &err), BF_E_RANGE,
                 "values; accepted");
    fail_at(1);
    ck_assert_int_eq(bf_band_indices(one, BF_BAND_CAPACITY, list, &explained, &err), BF_E_MEMORY);
    fail_at(2);
    ck_assert_int_eq(bf_band_indices(one, BF_BAND_CAPACITY, list, &explained, &err), BF_E_MEMORY);
    fail_at(0);
    bf_band_free(one);
    bf_band_free(many);
    no_reports();
}
END_TEST

/* Without any rating: no capacity, and nothing to tell of the rest. */
START_TEST(a_band_without_a_rating_says_so)
{
    bf_error err = {0};
    bf_rating_spec rating = hard_bed(291.4);
    bf_band_spec spec = small_band();
    bf_band *band = NULL;
    bf_sobol_index list[64];
    double explained;
    rating.steady.most_cycles = 2; /* never steady: there is no estimate before the third */
    rating.bed.cells = 8;
    spec.cells = 8;
    spec.samples = 16;
    spec.threads = 0;
    assert_ok(bf_band_create(&rating, &spec, &band, &err));
    ck_assert_uint_eq(bf_band_unrated(band), 16);
    ck_assert_double_eq(bf_band_quantile(band, BF_BAND_CAPACITY, 1.0), 0.0);
    ck_assert_double_eq(bf_band_central(band, BF_BAND_CAPACITY), 0.0);
    ck_assert_double_eq(bf_band_quantile(band, BF_BAND_EFFICIENCY, 1.0), 0.0);
    ck_assert(isinf(bf_band_quantile(band, BF_BAND_LEAKAGE, 0.5)));
    ck_assert(isnan(bf_band_central(band, BF_BAND_EFFICIENCY)));
    for (int q = 0; q < BF_BAND_QUANTITIES; q++) {
        ck_assert_double_eq(bf_band_grid_factor(band, (bf_band_quantity)q), 1.0);
    }
    assert_fails(bf_band_indices(band, BF_BAND_CAPACITY, list, &explained, &err), BF_E_RANGE,
                 "no variance");
    assert_fails(bf_band_indices(band, BF_BAND_LEAKAGE, list, &explained, &err), BF_E_RANGE,
                 "0 values");
    bf_band_free(band);
}
END_TEST

/* What must be so of any bed, one constant at a time: more sites and more salt hold more, and beads
 * that exchange faster leak less. */
START_TEST(a_rating_follows_its_constants)
{
    const bf_rating_spec rating = hard_bed(291.4);
    const struct {
        const char *name;
        int capacity, leakage; /* sign of high less low; 0: not said */
    } rows[] = {{"total capacity", 1, 0},
                {"salt dose", 1, 0},
                {"diffusivity of Ca in the bead", 1, -1},
                {"bead diameter", -1, 1}};
    for (size_t r = 0; r < COUNT(rows); r++) {
        double value[2][64];
        const size_t k = constant_named(rows[r].name);
        for (size_t i = 0; i < bf_uncertain_count(); i++) {
            value[0][i] = value[1][i] = 0.5;
        }
        value[0][k] = 0.0;
        value[1][k] = 1.0;
        bf_dose_point low = rate_by_hand(&rating, value[0], 140.0);
        bf_dose_point high = rate_by_hand(&rating, value[1], 140.0);
        const double capacity =
            high.steady.cycle.capacity_eq_per_m3 - low.steady.cycle.capacity_eq_per_m3;
        const double leakage =
            high.steady.cycle.leakage_mean_eq_per_m3 - low.steady.cycle.leakage_mean_eq_per_m3;
        ck_assert_double_gt(rows[r].capacity * capacity, 0.0);
        ck_assert(rows[r].leakage == 0 || rows[r].leakage * leakage > 0.0);
    }
}
END_TEST

static int give_up(void *context, double time_s, const bf_cells *cells, const bf_rates *rates)
{
    (void)context;
    (void)time_s;
    (void)cells;
    (void)rates;
    return -1;
}

START_TEST(bands_that_cannot_be_are_refused)
{
    bf_error err = {0};
    bf_rating_spec rating = hard_bed(291.4);
    bf_band *band = (bf_band *)&err; /* anything but NULL */
    bf_band_spec spec = bf_band_spec_default();
    watch_reports();
    ck_assert_uint_eq(spec.samples, 256);
    assert_fails(bf_band_create(&rating, &spec, &band, &err), BF_E_RANGE, "dose is 0");
    ck_assert_ptr_null(band);
    const bf_band_spec good = small_band();
    const size_t samples[] = {0, 15, 65537};
    for (size_t i = 0; i < COUNT(samples); i++) {
        spec = good;
        spec.samples = samples[i];
        assert_fails(bf_band_create(&rating, &spec, &band, &err), BF_E_RANGE, "samples");
    }
    const double doses[] = {-1.0, (double)NAN, (double)INFINITY};
    for (size_t i = 0; i < COUNT(doses); i++) {
        spec = good;
        spec.dose_kg_per_m3 = doses[i];
        assert_fails(bf_band_create(&rating, &spec, &band, &err), BF_E_RANGE, "dose");
    }
    spec = good;
    spec.cells = 3;
    assert_fails(bf_band_create(&rating, &spec, &band, &err), BF_E_RANGE, "cells");
    spec = good;
    spec.shells = 17;
    assert_fails(bf_band_create(&rating, &spec, &band, &err), BF_E_RANGE, "shells");
    watch w = {.stop_after = 3};
    spec = good;
    spec.watch = (bf_watch){see, &w};
    assert_fails(bf_band_create(&rating, &spec, &band, &err), BF_E_STOPPED, "of 36 runs");
    ck_assert_ptr_null(band);
    rating.bed.depth_m = 11.0;
    assert_fails(bf_band_create(&rating, &good, &band, &err), BF_E_RANGE, "depth");

    /* What a sample meets is told with its number, the first whatever the threads. */
    const bf_source broken = {.name = "broken", .rate = give_up};
    rating = hard_bed(291.4);
    rating.bed.sources = &broken;
    rating.bed.source_count = 1;
    for (int threads = 1; threads <= 3; threads += 2) {
        spec = good;
        spec.threads = threads;
        memset(&err, 0, sizeof err);
        assert_fails(bf_band_create(&rating, &spec, &band, &err), BF_E_SOLVER, "sample 1: ");
        ck_assert_ptr_null(band);
    }
    ck_assert_int_eq(bf_band_create(&rating, &good, &band, NULL), BF_E_SOLVER);

    /* Memory, at each of the band's own allocations and the first of a sample's. */
    for (size_t k = 1; k <= 12; k++) {
        fail_at(k);
        bf_status status = bf_band_create(&rating, &good, &band, &err);
        fail_at(0);
        ck_assert_int_eq(status, BF_E_MEMORY);
        ck_assert_ptr_null(band);
    }
    bf_band_free(NULL);
    no_reports();
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {a_band_is_its_samples, a_band_without_a_rating_says_so,
                                  a_rating_follows_its_constants, bands_that_cannot_be_are_refused};
    return support_run("rating.band", tests, COUNT(tests), 300);
}
