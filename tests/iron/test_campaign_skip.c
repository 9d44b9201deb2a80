/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Skipped cycles against every cycle simulated; a campaign taken up from its bytes. */
#include "trial.h"

#include <stdio.h>
#include <string.h>

enum { MOST_CYCLES = 200 };

static bf_campaign_cycle every[MOST_CYCLES];
static bf_campaign_cycle some[MOST_CYCLES];

static size_t run(const bf_campaign_spec *spec, bf_campaign_cycle *cycles)
{
    bf_error err = {0};
    size_t done = 0;
    ck_assert_uint_le(spec->cycles, MOST_CYCLES);
    assert_ok(bf_campaign_run(spec, cycles, &done, &err));
    return done;
}

/* Records are in order, and cycles simulated and skipped make up the whole. */
static void assert_whole(const bf_campaign_spec *spec, const bf_campaign_cycle *cycles, size_t done,
                         double imbalance)
{
    size_t behind = 0;
    for (size_t k = 0; k < done; k++) {
        ck_assert_uint_eq(cycles[k].cycle, behind + cycles[k].skipped + 1);
        behind = cycles[k].cycle;
        ck_assert_double_le(fabs(bf_campaign_account_error(&cycles[k].iron)), imbalance);
        ck_assert_double_le(fabs(bf_campaign_account_error(&cycles[k].manganese)), imbalance);
    }
    ck_assert_uint_eq(behind, spec->cycles);
}

/* One year on the water of the targets. What skipping costs is no more than what it says, and less
 * than its tolerance, for the deposit; the potential hangs on the deposit and follows it. */
START_TEST(a_year_with_cycles_skipped_is_the_same_year)
{
    bf_campaign_spec spec = trial(10.0);
    spec.cycles = 122;
    spec.potential_every = 10;
    ck_assert_uint_eq(run(&spec, every), 122);
    spec.skip_tolerance = 1e-2;
    const size_t done = run(&spec, some);
    assert_whole(&spec, some, done, 1e-6);
    const bf_campaign_cycle *a = &every[121];
    const bf_campaign_cycle *b = &some[done - 1];
    double worst = 0.0;
    for (size_t k = 0; k < done; k++) {
        const bf_campaign_cycle *same = &every[some[k].cycle - 1];
        worst = fmax(worst, fabs(some[k].bound_kg_per_m3 / same->bound_kg_per_m3 - 1.0));
        ck_assert_double_le(fabs(some[k].bound_kg_per_m3 - same->bound_kg_per_m3),
                            some[k].skip_error_kg_per_m3 + 1e-4 * same->bound_kg_per_m3);
    }
    printf("%zu of 122 cycles simulated: bound %.4f for %.4f g/L (says %.4f), worst %.2f %% on the "
           "way; potential %.2f for %.2f eq/m3, iron %.5f for %.5f mg/L\n",
           done, b->bound_kg_per_m3, a->bound_kg_per_m3, b->skip_error_kg_per_m3, 100.0 * worst,
           b->potential_eq_per_m3, a->potential_eq_per_m3, b->iron_mean_g_per_m3,
           a->iron_mean_g_per_m3);
    ck_assert_uint_lt(done, 40);
    ck_assert_double_le(worst, 1e-2);
    assert_near(b->potential_eq_per_m3, a->potential_eq_per_m3, 1e-3);
    assert_near(b->iron_mean_g_per_m3, a->iron_mean_g_per_m3, 1e-2);
    assert_near(b->iron.in, a->iron.in, 1e-9); /* linear: exact */
    assert_near(b->iron.product, a->iron.product, 1e-2);
}
END_TEST

/* Cleanings fall on the same cycles and take off as much; seasons change on the same day. */
START_TEST(nothing_is_skipped_over_an_event)
{
    bf_campaign_spec spec = trial(9.0);
    set_water(&spec, 17.0, 2.6, 7.7, 1.4);
    spec.bed.cells = 14;
    spec.draws_per_day = 1.0;
    spec.cycles = 130;
    spec.start_day = 40.0;
    spec.cleaning.every_days = 110.0;
    spec.season_count = 2;
    spec.season[0] = (bf_campaign_season){100.0, spec.water, 0.03};
    spec.season[1] = (bf_campaign_season){270.0, spec.water, 0.06};
    spec.season[1].water.temperature_K = 279.65;
    run(&spec, every);
    spec.skip_tolerance = 1e-2;
    const size_t done = run(&spec, some);
    assert_whole(&spec, some, done, 1e-6);
    size_t cleanings = 0;
    for (size_t k = 0; k < done; k++) {
        const bf_campaign_cycle *same = &every[some[k].cycle - 1];
        assert_near(some[k].cleaned_kg_per_m3, same->cleaned_kg_per_m3, 2e-2);
        cleanings += some[k].cleaned_kg_per_m3 > 0.0;
    }
    printf("%zu of 130 cycles simulated, %zu cleanings; bound %.5f for %.5f g/L\n", done, cleanings,
           some[done - 1].bound_kg_per_m3, every[129].bound_kg_per_m3);
    ck_assert_uint_eq(cleanings, 3);
    ck_assert_uint_lt(done, 110);
    assert_near(some[done - 1].bound_kg_per_m3, every[129].bound_kg_per_m3, 2e-2);
}
END_TEST

/* Chlorine alone: moisture is the only slow thing. Nothing at all: every cycle is alike. */
START_TEST(without_iron_most_cycles_are_skipped)
{
    bf_campaign_spec spec = trial(8.0);
    set_water(&spec, 13.0, 0.0, 7.4, 1.0);
    spec.bed.cells = 14;
    spec.cycles = 150;
    for (int chlorine = 0; chlorine < 2; chlorine++) {
        spec.free_chlorine_g_per_m3 = chlorine ? 1.7 : 0.0;
        spec.skip_tolerance = 0.0;
        run(&spec, every);
        spec.skip_tolerance = 1e-2;
        const size_t done = run(&spec, some);
        assert_whole(&spec, some, done, 1e-6);
        printf("%s: %zu of 150 cycles simulated, moisture %.6f for %.6f\n",
               chlorine ? "chlorine" : "nothing", done, some[done - 1].moisture,
               every[149].moisture);
        ck_assert_uint_lt(done, 40);
        assert_near(some[done - 1].moisture - 0.46, every[149].moisture - 0.46, 1e-2);
        assert_near(some[done - 1].total_capacity_eq_per_m3, every[149].total_capacity_eq_per_m3,
                    1e-4);
        /* Leakage lags behind the sites by more than the two cycles after a skip. */
        assert_near(some[done - 1].hardness_mean_eq_per_m3, every[149].hardness_mean_eq_per_m3,
                    2e-2);
    }
}
END_TEST

static void assert_same(const bf_campaign_cycle *a, const bf_campaign_cycle *b)
{
    ck_assert_uint_eq(a->cycle, b->cycle);
    ck_assert_uint_eq(a->skipped, b->skipped);
    ck_assert(a->bound_kg_per_m3 == b->bound_kg_per_m3);
    ck_assert(a->loose_top_kg_per_m3 == b->loose_top_kg_per_m3);
    ck_assert(a->hardness_last_eq_per_m3 == b->hardness_last_eq_per_m3);
    ck_assert(a->iron_mean_g_per_m3 == b->iron_mean_g_per_m3);
    ck_assert(a->iron_heel_eq_per_m3 == b->iron_heel_eq_per_m3);
    ck_assert(a->moisture == b->moisture && a->cleaned_kg_per_m3 == b->cleaned_kg_per_m3);
    ck_assert(a->total_capacity_eq_per_m3 == b->total_capacity_eq_per_m3);
    ck_assert(a->iron.waste == b->iron.waste && a->manganese.product == b->manganese.product);
    ck_assert(a->potential_eq_per_m3 == b->potential_eq_per_m3 ||
              (isnan(a->potential_eq_per_m3) && isnan(b->potential_eq_per_m3)));
}

/* Seasons, cleanings, skips, potentials: taken up after any record, in a campaign laid anew, the
 * rest comes out with the same bits. */
START_TEST(it_goes_on_from_its_bytes)
{
    bf_error err = {0};
    bf_campaign_spec spec = trial(11.0);
    set_water(&spec, 19.0, 2.2, 7.6, 1.1);
    spec.bed.cells = 12;
    spec.draws_per_day = 0.7;
    spec.cycles = 60;
    spec.potential_every = 7;
    spec.free_chlorine_g_per_m3 = 0.3;
    spec.cleaning.every_days = 70.0;
    spec.season_count = 2;
    spec.season[0] = (bf_campaign_season){0.0, spec.water, 0.02};
    spec.season[1] = (bf_campaign_season){50.0, spec.water, 0.05};
    spec.season[1].water.temperature_K = 290.45;
    spec.skip_tolerance = 2e-2;
    const size_t done = run(&spec, every);
    ck_assert_uint_lt(done, 60);
    size_t before_skips = 0;
    for (size_t stop = 3; stop + 1 < done; stop++) {
        /* Before every third skip, and here and there. */
        before_skips += every[stop].skipped > 0;
        if (!(every[stop].skipped > 0 && before_skips % 3 == 1) && stop % 11 != 3) {
            continue;
        }
        bf_campaign *first = NULL;
        bf_campaign *second = NULL;
        assert_ok(bf_campaign_create(&spec, &first, &err));
        for (size_t k = 0; k < stop; k++) {
            assert_ok(bf_campaign_next(first, &some[k], &err));
        }
        const size_t length = bf_campaign_snapshot_size(first);
        void *bytes = malloc(length);
        ck_assert_ptr_nonnull(bytes);
        bf_campaign_snapshot(first, bytes);
        bf_campaign_free(first);
        assert_ok(bf_campaign_create(&spec, &second, &err));
        assert_fails(bf_campaign_restore(second, bytes, length - 8, &err), BF_E_RANGE, "bytes");
        assert_ok(bf_campaign_restore(second, bytes, length, &err));
        free(bytes);
        for (size_t k = stop; k < done; k++) {
            assert_ok(bf_campaign_next(second, &some[k], &err));
            assert_same(&some[k], &every[k]);
        }
        ck_assert_int_eq(bf_campaign_state_of(second), BF_CAMPAIGN_COMPLETE);
        assert_fails(bf_campaign_next(second, &some[0], &err), BF_E_RANGE, "complete");
        bf_campaign_free(second);
    }
    ck_assert_uint_gt(before_skips, 1);
}
END_TEST

/* Deposits that grow by themselves, on a tolerance that must reject strides: the error that is told
 * stays within it, and the deposit within what is told. */
START_TEST(skips_that_were_off_are_taken_back)
{
    bf_campaign_spec spec = trial(8.7);
    set_water(&spec, 18.0, 4.3, 7.9, 2.6);
    spec.iron.catalysis_kg_per_m3 = 1.0;
    spec.bed.cells = 12;
    spec.draws_per_day = 0.7;
    spec.cycles = 100;
    run(&spec, every);
    spec.skip_tolerance = 1e-2;
    const size_t done = run(&spec, some);
    /* The integrals of a bed in which a third of the iron ages on the resin close to 4e-6 at the
     * default tolerance, to 2e-6 at 2e-4, to 2e-8 at 1e-6. */
    assert_whole(&spec, some, done, 1e-5);
    const bf_campaign_cycle *a = &every[99];
    const bf_campaign_cycle *b = &some[done - 1];
    /* A little is always allowed: 1e-3 mol/m3 a skip. */
    const double little = 1e-6 * 55.845 * (double)done;
    printf("%zu of 100 cycles simulated: bound %.4f for %.4f g/L (says %.5f)\n", done,
           b->bound_kg_per_m3, a->bound_kg_per_m3, b->skip_error_kg_per_m3);
    ck_assert_uint_lt(done, 100);
    ck_assert_double_le(b->skip_error_kg_per_m3, 1e-2 * b->bound_kg_per_m3 + little);
    ck_assert_double_le(fabs(b->bound_kg_per_m3 - a->bound_kg_per_m3),
                        1e-2 * a->bound_kg_per_m3 + little);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {a_year_with_cycles_skipped_is_the_same_year,
                                  nothing_is_skipped_over_an_event,
                                  without_iron_most_cycles_are_skipped, it_goes_on_from_its_bytes,
                                  skips_that_were_off_are_taken_back};
    return support_run("iron.campaign_skip", tests, sizeof tests / sizeof *tests, 300.0);
}
