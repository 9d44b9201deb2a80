/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A vessel's study against the parts it is made of, and against balances done by hand. Coarse. */
#include "brinefront/tank_study.h"

#include "brinefront/convert.h"
#include "coarse_bed.h"
#include "support.h"

#include <math.h>
#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof *(array))

static const double doses[] = {163.0, 71.0, 117.0, 241.0};

static bf_tank_study_spec study_of(const bf_rating_spec *rating, const bf_tank_spec *tank)
{
    return (bf_tank_study_spec){.rating = rating,
                                .tank = tank,
                                .protocol = BF_PROTOCOL_OWN,
                                .quantile = 0.1,
                                .samples = 16,
                                .blend_eq_per_m3 = 1.37,
                                .uneven = bf_uneven_flow_default(),
                                .stagnation = {(double)NAN, (double)NAN},
                                .dose_kg_per_m3 = doses,
                                .count = COUNT(doses)};
}

static bf_tank_spec vessel(void)
{
    bf_tank_spec tank = bf_tank_spec_default();
    tank.peak_m3_per_s = 2.1e-4;
    tank.average_m3_per_s = 0.9e-4;
    return tank;
}

static double last_share;
static size_t calls;
static int watch(void *context, double share)
{
    ck_assert_ptr_eq(context, &calls);
    ck_assert_double_ge(share, last_share); /* never backwards */
    ck_assert_double_le(share, 1.0);
    last_share = share;
    calls++;
    return 0;
}

START_TEST(it_is_the_sum_of_its_parts)
{
    bf_error err = {0};
    bf_tank_study study;
    const bf_rating_spec rating = coarse_bed();
    const bf_tank_spec tank = vessel();
    bf_tank_study_spec spec = study_of(&rating, &tank);
    spec.uneven.velocity_spread = 0.07;
    spec.uneven.beds = 3;
    spec.stagnation = (bf_stagnation){.draw_bed_volumes = 3.3, .stagnation_s = 5400.0};
    spec.threads = 1;
    spec.watch = (bf_watch){watch, &calls};
    assert_ok(bf_tank_study_run(&spec, &study, NULL, &err));
    ck_assert_uint_gt(calls, 50);
    ck_assert_double_gt(last_share, 0.9);
    ck_assert_uint_eq(study.least, 1);
    ck_assert_uint_eq(study.middle, 0);
    ck_assert_uint_eq(study.most, 3);

    for (size_t d = 0; d < COUNT(doses); d++) {
        const bf_dose_point alone = rate_at(&rating, doses[d]);
        const bf_tank_dose *dose = &study.dose[d];
        const bf_cycle_result *cycle = &dose->point.steady.cycle;
        ck_assert_double_eq(cycle->capacity_eq_per_m3, alone.steady.cycle.capacity_eq_per_m3);
        ck_assert_int_eq(dose->has_band != 0, d != 2);
        const double bed_m3 = bf_bed_volume_m3(&rating.bed);
        assert_near(dose->tank.salt_kg, doses[d] * bed_m3, 1e-12);
        assert_near(dose->run_s * 0.9e-4, cycle->throughput_bed_volumes * bed_m3, 1e-12);
        assert_near(dose->short_run_s * 2.1e-4, cycle->throughput_bed_volumes * bed_m3, 1e-12);
        /* Two waters mixed have the hardness that was wanted. */
        assert_near(dose->blend_share * rating.water.hardness_eq_per_m3 +
                        (1.0 - dose->blend_share) * cycle->leakage_mean_eq_per_m3,
                    1.37, 1e-12);
        /* Planned and simulated regeneration are one. */
        assert_near(dose->sheet.regeneration_s, cycle->regeneration_s, 1e-6);
        assert_near(dose->sheet.regeneration_m3, cycle->water_bed_volumes * bed_m3, 1e-6);
    }

    bf_band *band = NULL;
    bf_band_spec how = bf_band_spec_default();
    how.samples = 16;
    how.cells = 24;
    how.shells = 2;
    how.dose_kg_per_m3 = doses[0];
    assert_ok(bf_band_create(&rating, &how, &band, &err));
    const bf_tank_span *span = study.dose[0].span;
    for (int q = 0; q < BF_BAND_QUANTITIES; q++) {
        const bf_band_quantity quantity = (bf_band_quantity)q;
        const int is_leakage = quantity == BF_BAND_LEAKAGE;
        ck_assert_double_eq(span[q].low, bf_band_quantile(band, quantity, 0.1));
        ck_assert_double_eq(span[q].middle, bf_band_quantile(band, quantity, 0.5));
        ck_assert_double_eq(span[q].high, bf_band_quantile(band, quantity, 0.9));
        ck_assert_double_eq(span[q].practical,
                            bf_band_quantile(band, quantity, is_leakage ? 0.9 : 0.1));
    }
    bf_band_free(band);

    bf_rating_spec changed = rating;
    changed.recipe.step[0].velocity_m_per_s = 2.1e-4 / bf_bed_area_m2(&rating.bed);
    ck_assert_double_eq(study.peak.steady.cycle.leakage_mean_eq_per_m3,
                        rate_at(&changed, doses[0]).steady.cycle.leakage_mean_eq_per_m3);
    changed.recipe.step[0].velocity_m_per_s =
        study.sheet.rated_m3_per_s / bf_bed_area_m2(&rating.bed);
    bf_first_minutes full;
    assert_ok(bf_first_minutes_rate(&rating, doses[1], study.sheet.rated_m3_per_s, &full, &err));
    ck_assert_double_eq(full.point.steady.cycle.leakage_mean_eq_per_m3,
                        rate_at(&changed, doses[1]).steady.cycle.leakage_mean_eq_per_m3);
    ck_assert_double_eq(study.full_flow.highest_eq_per_m3, full.highest_eq_per_m3);
    bf_criterion criteria[BF_CRITERIA];
    (void)bf_criteria_of(&rating, &study.sheet, &study.dose[1].point, 1, &full, criteria);
    for (size_t k = 0; k < BF_CRITERIA; k++) {
        assert_near(study.criterion[k].found, criteria[k].found, 1e-12);
        ck_assert_int_eq(study.criterion[k].holds, criteria[k].holds);
    }
    bf_stagnation_point stagnation;
    assert_ok(bf_stagnation_rate(&rating, &spec.stagnation, doses[0], &stagnation, &err));
    ck_assert(study.has_stagnation);
    ck_assert_double_eq(study.stagnation.first_eq_per_m3, stagnation.first_eq_per_m3);
    ck_assert_double_eq(study.stagnation.point.steady.cycle.capacity_eq_per_m3,
                        stagnation.point.steady.cycle.capacity_eq_per_m3);
    /* Uneven flow never helps: docs/decisions/uneven-flow.md. */
    ck_assert_double_lt(study.uneven.steady.cycle.capacity_eq_per_m3,
                        study.dose[0].point.steady.cycle.capacity_eq_per_m3);
    bf_tank_study_free(&study);
    bf_tank_study_free(&study);
}
END_TEST

START_TEST(between_doses_the_band_goes_in_proportion)
{
    double low;
    double high;
    static bf_tank_dose dose[3];
    bf_tank_study study = {.dose = dose, .count = 3, .least = 2, .middle = 0, .most = 1};
    const double place[3] = {100.0, 200.0, 50.0};
    for (size_t d = 0; d < 3; d++) {
        dose[d].point.dose_kg_per_m3 = place[d];
        dose[d].point.steady.cycle.capacity_eq_per_m3 = 10.0 * place[d];
        dose[d].has_band = 1;
        dose[d].span[BF_BAND_CAPACITY].low = 10.0 * place[d] * (0.8 + 0.0005 * place[d]);
        dose[d].span[BF_BAND_CAPACITY].high = 10.0 * place[d] * (1.2 - 0.0005 * place[d]);
    }
    ck_assert(bf_tank_study_span(&study, 75.0, 700.0, &low, &high));
    assert_near(low, 700.0 * 0.8375, 1e-12);
    assert_near(high, 700.0 * 1.1625, 1e-12);
    ck_assert(bf_tank_study_span(&study, 200.0, 1000.0, &low, &high));
    assert_near(low, 900.0, 1e-12);
    ck_assert(bf_tank_study_span(&study, 50.0, 1000.0, &low, &high));
    assert_near(high, 1175.0, 1e-12);
    ck_assert(!bf_tank_study_span(&study, 49.0, 1000.0, &low, &high));
    ck_assert(!bf_tank_study_span(&study, 201.0, 1000.0, &low, &high));
    dose[1].has_band = 0;
    ck_assert(!bf_tank_study_span(&study, 150.0, 1000.0, &low, &high));
}
END_TEST

START_TEST(the_protocol_sets_the_conditions)
{
    bf_error err = {0};
    bf_tank_study study;
    bf_notes *notes = NULL;
    const bf_rating_spec rating = coarse_bed();
    const bf_tank_spec tank = bf_tank_spec_default();
    bf_tank_study_spec spec = study_of(&rating, &tank);
    spec.protocol = BF_PROTOCOL_PUBLISHED_TEST;
    spec.count = 1;
    assert_ok(bf_notes_create(&notes, &err));
    assert_ok(bf_tank_study_run(&spec, &study, notes, &err));
    /* 342 mg/L, half of the rated flow, 1 gpg: the sources are named in protocol.c. */
    assert_near(study.rating.water.hardness_eq_per_m3, 342.0 / 50.04345, 1e-6);
    assert_near(study.rating.recipe.step[0].velocity_m_per_s * bf_bed_area_m2(&rating.bed),
                0.5 * study.sheet.rated_m3_per_s, 1e-12);
    ck_assert_ptr_eq(study.rating.recipe.step[1].type, &bf_step_exhaust);
    ck_assert_uint_gt(bf_notes_count(notes), 0);
    ck_assert(!study.has_peak && !study.has_average && !study.has_uneven);
    ck_assert_int_ne(study.dose[0].has_band, 0);
    ck_assert_double_eq(study.dose[0].sheet.step_s[1], 0.0); /* exhausting serves */
    bf_tank_study_free(&study);
    bf_notes_free(notes);
}
END_TEST

START_TEST(what_cannot_be_is_refused)
{
    bf_error err = {0};
    bf_tank_study study;
    const bf_rating_spec rating = coarse_bed();
    const bf_tank_spec tank = vessel();
    bf_tank_study_spec spec = study_of(&rating, &tank);
    spec.count = 0;
    assert_fails(bf_tank_study_run(&spec, &study, NULL, &err), BF_E_RANGE, "no dose");
    ck_assert_ptr_null(study.dose);
    spec = study_of(&rating, &tank);
    spec.quantile = 0.51;
    assert_fails(bf_tank_study_run(&spec, &study, NULL, &err), BF_E_RANGE, "is 0.51");
    spec = study_of(&rating, &tank);
    spec.uneven.velocity_spread = 0.4;
    assert_fails(bf_tank_study_run(&spec, &study, NULL, &err), BF_E_RANGE, "0 to 0.3");
    spec = study_of(&rating, &tank);
    spec.samples = 15;
    assert_fails(bf_tank_study_run(&spec, &study, NULL, &err), BF_E_RANGE, "15 samples");
    ck_assert_ptr_null(study.dose);
    spec = study_of(&rating, &tank);
    bf_tank_spec wrong = tank;
    wrong.swelling = 0.3;
    spec.tank = &wrong;
    assert_fails(bf_tank_study_run(&spec, &study, NULL, &err), BF_E_RANGE, "swelling is 0.3");
}
END_TEST

START_TEST(doses_without_a_rating_are_told_so)
{
    bf_error err = {0};
    bf_tank_study study;
    const bf_rating_spec rating = coarse_bed();
    const bf_tank_spec tank = bf_tank_spec_default();
    static const double too_little[] = {4.0};
    bf_tank_study_spec spec = study_of(&rating, &tank);
    spec.dose_kg_per_m3 = too_little;
    spec.count = 1;
    assert_ok(bf_tank_study_run(&spec, &study, NULL, &err));
    ck_assert_int_ne(study.dose[0].point.steady.cycle.outcome, BF_RATED);
    ck_assert(isnan(study.dose[0].run_s));
    ck_assert(isnan(study.dose[0].blend_share));
    ck_assert_uint_eq(study.dose[0].unrated, 16);
    ck_assert_ptr_null(study.index[1]); /* of leakage there is nothing to divide up */
    ck_assert(isnan(study.criterion[BF_CRITERION_EFFICIENCY_RATED].found));
    bf_tank_study_free(&study);
}
END_TEST

/* Stops after so many calls. */
static int stop(void *context, double share)
{
    int *left = context;
    (void)share;
    return --*left == 0;
}

START_TEST(a_stop_leaves_what_was_found)
{
    bf_error err = {0};
    const bf_rating_spec rating = coarse_bed();
    const bf_tank_spec tank = vessel();
    bf_tank_study_spec spec = study_of(&rating, &tank);
    spec.uneven = (bf_uneven_flow){.velocity_spread = 0.07, .beds = 2};
    spec.stagnation = (bf_stagnation){.draw_bed_volumes = 3.3, .stagnation_s = 5400.0};
    spec.threads = 1;
    /* Calls: the doses, the grid twice, full flow, peak, average, draws, uneven flow, three bands. */
    static const struct {
        int calls, doses, full_flow, peak, average, draws, uneven, bands;
    } table[] = {{1, 1, 0, 0, 0, 0, 0, 0},  {4, 4, 0, 0, 0, 0, 0, 0},  {7, 4, 1, 0, 0, 0, 0, 0},
                 {8, 4, 1, 1, 0, 0, 0, 0},  {10, 4, 1, 1, 1, 1, 0, 0}, {11, 4, 1, 1, 1, 1, 1, 0},
                 {12, 4, 1, 1, 1, 1, 1, 0}, {45, 4, 1, 1, 1, 1, 1, 1}};
    for (size_t k = 0; k < COUNT(table); k++) {
        bf_tank_study study;
        int left = table[k].calls;
        spec.watch = (bf_watch){stop, &left};
        assert_fails(bf_tank_study_run(&spec, &study, NULL, &err), BF_E_STOPPED, "stopped");
        ck_assert_ptr_nonnull(study.dose);
        for (int d = 0; d < (int)COUNT(doses); d++) {
            const bf_tank_dose *dose = &study.dose[d];
            const int computed = dose->point.steady.cycle.outcome != BF_NOT_COMPUTED;
            ck_assert_int_eq(computed, d < table[k].doses);
            ck_assert_int_eq(!isnan(dose->run_s), d < table[k].doses);
            ck_assert_int_eq(dose->has_band, table[k].bands == 1 && d == 1);
            assert_near(dose->tank.salt_kg, doses[d] * bf_bed_volume_m3(&rating.bed), 1e-12);
        }
        ck_assert_int_eq(!isnan(study.criterion[BF_CRITERION_LEAKAGE].found), table[k].full_flow);
        /* What was stopped just as it ended may be counted or not; what did not begin is not. */
        ck_assert_int_le(study.has_peak, table[k].peak);
        ck_assert_int_le(study.has_average, table[k].average);
        ck_assert_int_eq(study.has_stagnation, table[k].draws);
        ck_assert_int_eq(study.has_uneven, table[k].uneven);
        bf_tank_study_free(&study);
    }
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {
        it_is_the_sum_of_its_parts,         between_doses_the_band_goes_in_proportion,
        the_protocol_sets_the_conditions,   what_cannot_be_is_refused,
        doses_without_a_rating_are_told_so, a_stop_leaves_what_was_found};
    return support_run("tank study", tests, COUNT(tests), 300);
}
