/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Rated capacity and leakage against an independent solution of the same equations, and against a
 * published capacity curve.
 *
 * "Independent": the equations of this model, written and solved a second time in Python (SciPy's
 * BDF, method of lines, 90 cells, 6 shells), none of its code here. Its figures carry three digits
 * in capacity and two or three in leakage. It shares constants and assumptions with this program,
 * so agreement shows that the equations are solved right, not that they are the right equations;
 * the published curve at the end asks that.
 */
#include "rig.h"

#include <stdio.h>

enum { CELLS = 160, SHELLS = 8, FINER_CELLS = 240, FINER_SHELLS = 12 };

/* Half a unit of the last digit that the independent solution states in capacity, kgr/ft3. */
static const double half_digit_kgr_per_ft3 = 0.05;

typedef enum arrangement { CO_CURRENT, COUNTER_CURRENT } arrangement;

typedef struct row {
    const char *name;
    arrangement arrangement;
    double hardness_mg_per_L;
    double sodium_eq_per_m3;
    double dose_lb_per_ft3;
    double mass_fraction;
    double bed_volumes_per_h;
    double rinse_bed_volumes;
    double freeboard_m;
    /* The independent solution; NAN where it states none. */
    double capacity_kgr_per_ft3;
    double leakage_mg_per_L;
    double last_digit_mg_per_L; /* the last digit of that leakage */
    /* Computed here. */
    bf_status status;
    bf_error err;
    bf_steady_result result;
} row;

/* Conditions that a row shares with the others. */
#define FEED .hardness_mg_per_L = 400.0, .sodium_eq_per_m3 = 2.0
#define FLOWS .mass_fraction = 0.10, .bed_volumes_per_h = 20.0
#define DOWN .rinse_bed_volumes = 2.0, .freeboard_m = 0.38
#define UP .arrangement = COUNTER_CURRENT, .rinse_bed_volumes = 1.5, .freeboard_m = 0.0
#define NONE .capacity_kgr_per_ft3 = NAN, .leakage_mg_per_L = NAN
#define GIVES(capacity, leakage, digit)                                                            \
    .capacity_kgr_per_ft3 = (capacity), .leakage_mg_per_L = (leakage),                             \
    .last_digit_mg_per_L = (digit)

typedef enum which {
    HARD_5,
    HARD_7,
    HARD_10,
    HARD_15,
    SODIUM_1,
    SODIUM_2, /* every common condition: also 10 % brine and 20 BV/h */
    SODIUM_10,
    SODIUM_30,
    BRINE_3,
    BRINE_6,
    BRINE_18,
    BRINE_26,
    FLOW_10,
    FLOW_40,
    UP_3,
    UP_5,
    UP_10,
    UP_15,
    STIRRED_6,
    BARE_6,
    DOWN_3,
    DOWN_5,
    DOWN_15,
    ROWS
} which;

/* Filled before the tests run, read by them. */

static row rows[ROWS] = {
    [HARD_5] = {"500 mg/L, 5 lb", .hardness_mg_per_L = 500.0, .sodium_eq_per_m3 = 2.0,
                .dose_lb_per_ft3 = 5.0, FLOWS, DOWN, GIVES(19.7, 9.1, 0.1)},
    [HARD_7] = {"500 mg/L, 7.5 lb", .hardness_mg_per_L = 500.0, .sodium_eq_per_m3 = 2.0,
                .dose_lb_per_ft3 = 7.5, FLOWS, DOWN, GIVES(24.9, 3.8, 0.1)},
    [HARD_10] = {"500 mg/L, 10 lb", .hardness_mg_per_L = 500.0, .sodium_eq_per_m3 = 2.0,
                 .dose_lb_per_ft3 = 10.0, FLOWS, DOWN, GIVES(28.5, 2.1, 0.1)},
    [HARD_15] = {"500 mg/L, 15 lb", .hardness_mg_per_L = 500.0, .sodium_eq_per_m3 = 2.0,
                 .dose_lb_per_ft3 = 15.0, FLOWS, DOWN, GIVES(33.1, 1.1, 0.1)},
    [SODIUM_1] = {"sodium 1 meq/L", .hardness_mg_per_L = 400.0, .sodium_eq_per_m3 = 1.0,
                  .dose_lb_per_ft3 = 10.0, FLOWS, DOWN, GIVES(29.0, 1.3, 0.1)},
    [SODIUM_2] = {"sodium 2 meq/L, 10 %, 20 BV/h", FEED, .dose_lb_per_ft3 = 10.0, FLOWS, DOWN,
                  GIVES(28.8, 1.5, 0.1)},
    [SODIUM_10] = {"sodium 10 meq/L", .hardness_mg_per_L = 400.0, .sodium_eq_per_m3 = 10.0,
                   .dose_lb_per_ft3 = 10.0, FLOWS, DOWN, GIVES(27.3, 4.4, 0.1)},
    [SODIUM_30] = {"sodium 30 meq/L: no rating", .hardness_mg_per_L = 400.0,
                   .sodium_eq_per_m3 = 30.0, .dose_lb_per_ft3 = 10.0, FLOWS, DOWN, NONE},
    [BRINE_3] = {"brine 3 %", FEED, .dose_lb_per_ft3 = 10.0, .mass_fraction = 0.03,
                 .bed_volumes_per_h = 20.0, DOWN, GIVES(27.0, NAN, 0.0)},
    [BRINE_6] = {"brine 6 %", FEED, .dose_lb_per_ft3 = 10.0, .mass_fraction = 0.06,
                 .bed_volumes_per_h = 20.0, DOWN, GIVES(28.8, NAN, 0.0)},
    [BRINE_18] = {"brine 18 %", FEED, .dose_lb_per_ft3 = 10.0, .mass_fraction = 0.18,
                  .bed_volumes_per_h = 20.0, DOWN, GIVES(27.9, NAN, 0.0)},
    [BRINE_26] = {"brine 26 %", FEED, .dose_lb_per_ft3 = 10.0, .mass_fraction = 0.26,
                  .bed_volumes_per_h = 20.0, DOWN, GIVES(27.3, NAN, 0.0)},
    [FLOW_10] = {"10 BV/h", FEED, .dose_lb_per_ft3 = 10.0, .mass_fraction = 0.10,
                 .bed_volumes_per_h = 10.0, DOWN, GIVES(29.2, NAN, 0.0)},
    [FLOW_40] = {"40 BV/h", FEED, .dose_lb_per_ft3 = 10.0, .mass_fraction = 0.10,
                 .bed_volumes_per_h = 40.0, DOWN, GIVES(28.2, NAN, 0.0)},
    [UP_3] = {"counter-current 3 lb", FEED, .dose_lb_per_ft3 = 3.0, FLOWS, UP,
              GIVES(15.3, 0.77, 0.01)},
    [UP_5] = {"counter-current 5 lb", FEED, .dose_lb_per_ft3 = 5.0, FLOWS, UP,
              GIVES(21.5, 0.60, 0.01)},
    [UP_10] = {"counter-current 10 lb", FEED, .dose_lb_per_ft3 = 10.0, FLOWS, UP,
               GIVES(29.8, 0.47, 0.01)},
    [UP_15] = {"counter-current 15 lb", FEED, .dose_lb_per_ft3 = 15.0, FLOWS, UP,
               GIVES(34.1, 0.42, 0.01)},
    [STIRRED_6] = {"6 lb, half a bed of freeboard", FEED, .dose_lb_per_ft3 = 6.0, FLOWS,
                   .rinse_bed_volumes = 1.5, .freeboard_m = 0.38, GIVES(22.3, NAN, 0.0)},
    [BARE_6] = {"6 lb, no freeboard", FEED, .dose_lb_per_ft3 = 6.0, FLOWS, .rinse_bed_volumes = 1.5,
                .freeboard_m = 0.0, GIVES(23.2, NAN, 0.0)},
    [DOWN_3] = {"3 lb: no rating", FEED, .dose_lb_per_ft3 = 3.0, FLOWS, DOWN,
                GIVES(NAN, 20.0, 1.0)},
    [DOWN_5] = {"5 lb", FEED, .dose_lb_per_ft3 = 5.0, FLOWS, DOWN, NONE},
    [DOWN_15] = {"15 lb", FEED, .dose_lb_per_ft3 = 15.0, FLOWS, DOWN, NONE},
};

static void run(const row *input, size_t cells, size_t shells, row *result)
{
    *result = *input;
    rig r;
    bf_water water;
    bf_error err = {0};
    memset(&r, 0, sizeof r);
    result->status =
        rig_water(input->hardness_mg_per_L, input->sodium_eq_per_m3, NULL, &water, &err);
    if (result->status == BF_OK) {
        result->status =
            rig_open(&r, &water, BF_SALT_NACL, input->freeboard_m, cells, shells, &err);
    }
    bf_recipe recipe = input->arrangement == COUNTER_CURRENT
                           ? rig_counter_current(input->dose_lb_per_ft3)
                           : rig_co_current(input->dose_lb_per_ft3);
    recipe.step[0].velocity_m_per_s = rig_velocity(input->bed_volumes_per_h);
    recipe.step[1].mass_fraction = input->mass_fraction;
    recipe.step[2].bed_volumes = input->rinse_bed_volumes;
    const bf_steady_spec steady = bf_steady_spec_default();
    if (result->status == BF_OK) {
        result->status = bf_steady_run(&recipe, &r.site, &steady, r.bed, &result->result, &err);
    }
    result->err = err;
    rig_close(&r);
}

static double capacity_kgr_per_ft3(const row *result)
{
    return result->result.cycle.capacity_eq_per_m3 / BF_EQ_PER_M3_PER_KGR_PER_FT3;
}

static double leakage_mg_per_L(const row *result)
{
    return result->result.cycle.leakage_mean_eq_per_m3 * BF_G_CACO3_PER_EQ;
}

static void print_beside(double computed, double reference)
{
    if (isnan(reference)) {
        (void)printf("   %10.3f %10s %8s", computed, "-", "-");
    } else {
        (void)printf("   %10.3f %10.3g %8.2f", computed, reference,
                     100.0 * (computed / reference - 1.0));
    }
}

static void print_rows(void)
{
    (void)printf("%zu cells, %zu shells; reference: independent solution of the same equations, "
                 "SciPy, 90 cells, 6 shells\n",
                 (size_t)CELLS, (size_t)SHELLS);
    (void)printf("%-30s   %30s   %30s\n", "", "capacity, kgr/ft3", "mean leakage, mg/L CaCO3");
    (void)printf("%-30s   %10s %10s %8s   %10s %10s %8s   outcome\n", "", "computed", "reference",
                 "dev, %", "computed", "reference", "dev, %");
    for (size_t i = 0; i < ROWS; i++) {
        (void)printf("%-30s", rows[i].name);
        print_beside(capacity_kgr_per_ft3(&rows[i]), rows[i].capacity_kgr_per_ft3);
        print_beside(leakage_mg_per_L(&rows[i]), rows[i].leakage_mg_per_L);
        (void)printf("   %s\n", bf_outcome_words(rows[i].result.cycle.outcome));
    }
    (void)fflush(stdout);
}

/* ---- figures --------------------------------------------------------------------------------- */

START_TEST(every_row_ran_to_its_steady_state)
{
    for (size_t i = 0; i < ROWS; i++) {
        ck_assert_msg(rows[i].status == BF_OK, "%s: %s", rows[i].name, rows[i].err.message);
        ck_assert_msg(rows[i].result.cycle.outcome != BF_NOT_STEADY, "%s", rows[i].name);
        ck_assert_msg(rows[i].result.cycle.balance_error < 1e-9, "%s: balance off by %g",
                      rows[i].name, rows[i].result.cycle.balance_error);
    }
}
END_TEST

/* A converged grid: the comparisons below do not measure the number of cells. The bound is a
 * quarter of what is allowed there, plus the stop of two cycle iterations at 2e-4 each. Rows where
 * fronts are steepest, leakage lowest, and the common one. */
START_TEST(a_finer_grid_changes_little)
{
    const which finer[] = {HARD_5, SODIUM_2, UP_3, UP_15};
    for (size_t i = 0; i < sizeof finer / sizeof *finer; i++) {
        const row *coarse = &rows[finer[i]];
        row fine;
        run(coarse, FINER_CELLS, FINER_SHELLS, &fine);
        ck_assert_msg(fine.status == BF_OK, "%s: %s", fine.name, fine.err.message);
        (void)printf("%zu cells, %zu shells change %s by %+.3f %% in capacity, %+.3f %% in "
                     "leakage\n",
                     (size_t)FINER_CELLS, (size_t)FINER_SHELLS, fine.name,
                     100.0 * (capacity_kgr_per_ft3(&fine) / capacity_kgr_per_ft3(coarse) - 1.0),
                     100.0 * (leakage_mg_per_L(&fine) / leakage_mg_per_L(coarse) - 1.0));
        assert_near(capacity_kgr_per_ft3(&fine), capacity_kgr_per_ft3(coarse), 3.4e-3);
        assert_near(leakage_mg_per_L(&fine), leakage_mg_per_L(coarse), 1e-2);
    }
    (void)fflush(stdout);
}
END_TEST

/* 1 %: the reference's own 90 cells and 6 shells are off by some 0.3 %, more where brine is thin;
 * the rest is room for choices that the equations leave open. Its rounding adds half a digit (0.15
 * to 0.4 %). */
START_TEST(capacity_agrees_with_the_independent_solution)
{
    for (size_t i = 0; i < ROWS; i++) {
        if (!isnan(rows[i].capacity_kgr_per_ft3)) {
            ck_assert_msg(support_near(capacity_kgr_per_ft3(&rows[i]), rows[i].capacity_kgr_per_ft3,
                                       0.01, half_digit_kgr_per_ft3, rows[i].name, __FILE__,
                                       __LINE__),
                          "%s", rows[i].name);
            ck_assert_msg(rows[i].result.cycle.outcome == BF_RATED, "%s", rows[i].name);
        }
    }
}
END_TEST

/* 3 %: leakage is steeper in everything than capacity is (0.3 to 0.4 % from 160 to 240 cells here,
 * and the reference has 90). Its rounding adds half a digit (0.5 to 4.5 %). */
START_TEST(leakage_agrees_with_the_independent_solution)
{
    for (size_t i = 0; i < ROWS; i++) {
        if (!isnan(rows[i].leakage_mg_per_L)) {
            ck_assert_msg(support_near(leakage_mg_per_L(&rows[i]), rows[i].leakage_mg_per_L, 0.03,
                                       0.5 * rows[i].last_digit_mg_per_L, rows[i].name, __FILE__,
                                       __LINE__),
                          "%s", rows[i].name);
        }
    }
}
END_TEST

/* ---- signs and orderings --------------------------------------------------------------------- */

static void assert_falling(double (*result)(const row *), const which *order, size_t count)
{
    for (size_t i = 1; i < count; i++) {
        ck_assert_msg(result(&rows[order[i]]) < result(&rows[order[i - 1]]), "%s: %g, %s: %g",
                      rows[order[i - 1]].name, result(&rows[order[i - 1]]), rows[order[i]].name,
                      result(&rows[order[i]]));
    }
}

static double capacity_per_salt(const row *result)
{
    return result->result.cycle.capacity_eq_per_m3 / result->result.cycle.salt_kg_per_m3;
}

START_TEST(more_salt_means_more_capacity_less_leakage_and_less_use_of_the_salt)
{
    const which down[] = {HARD_5, HARD_7, HARD_10, HARD_15};
    const which up[] = {UP_3, UP_5, UP_10, UP_15};
    const which down_rising[] = {HARD_15, HARD_10, HARD_7, HARD_5};
    const which up_rising[] = {UP_15, UP_10, UP_5, UP_3};
    assert_falling(leakage_mg_per_L, down, 4);
    assert_falling(leakage_mg_per_L, up, 4);
    assert_falling(capacity_kgr_per_ft3, down_rising, 4);
    assert_falling(capacity_kgr_per_ft3, up_rising, 4);
    assert_falling(capacity_per_salt, down, 4);
    assert_falling(capacity_per_salt, up, 4);
}
END_TEST

START_TEST(background_sodium_raises_leakage_until_there_is_no_rating)
{
    const which rising[] = {SODIUM_30, SODIUM_10, SODIUM_2, SODIUM_1};
    const which falling[] = {SODIUM_1, SODIUM_2, SODIUM_10, SODIUM_30};
    assert_falling(leakage_mg_per_L, rising, 4);
    assert_falling(capacity_kgr_per_ft3, falling, 4);
    ck_assert_int_eq(rows[SODIUM_30].result.cycle.outcome, BF_LEAKS_FROM_THE_START);
    ck_assert_double_gt(rows[SODIUM_30].result.cycle.leakage_first_eq_per_m3, RIG_END_EQ_PER_M3);
}
END_TEST

START_TEST(brine_strength_has_a_flat_optimum)
{
    const which stronger[] = {SODIUM_2, BRINE_18, BRINE_26};
    const which weaker[] = {BRINE_6, BRINE_3};
    assert_falling(capacity_kgr_per_ft3, stronger, 3);
    assert_falling(capacity_kgr_per_ft3, weaker, 2);
    /* Flat: 6 and 10 % are the same to the last digit stated, and a factor nine in strength is
     * within 1.8 kgr/ft3 (28.8 to 27.0); half a digit on either. */
    assert_near_abs(capacity_kgr_per_ft3(&rows[BRINE_6]), capacity_kgr_per_ft3(&rows[SODIUM_2]),
                    2.0 * half_digit_kgr_per_ft3);
    ck_assert_double_lt(capacity_kgr_per_ft3(&rows[BRINE_6]) - capacity_kgr_per_ft3(&rows[BRINE_3]),
                        1.8 + 2.0 * half_digit_kgr_per_ft3);
}
END_TEST

START_TEST(faster_service_holds_less)
{
    const which faster[] = {FLOW_10, SODIUM_2, FLOW_40};
    const which slower[] = {FLOW_40, SODIUM_2, FLOW_10};
    assert_falling(capacity_kgr_per_ft3, faster, 3);
    assert_falling(leakage_mg_per_L, slower, 3);
}
END_TEST

START_TEST(brine_from_below_leaks_less_and_holds_more_where_salt_is_short)
{
    const which down[] = {DOWN_3, DOWN_5, SODIUM_2, DOWN_15};
    const which up[] = {UP_3, UP_5, UP_10, UP_15};
    double gain[4];
    for (size_t i = 0; i < 4; i++) {
        ck_assert_double_lt(leakage_mg_per_L(&rows[up[i]]), leakage_mg_per_L(&rows[down[i]]));
        gain[i] = capacity_kgr_per_ft3(&rows[up[i]]) / capacity_kgr_per_ft3(&rows[down[i]]) - 1.0;
    }
    /* At 5 lb 21.5 against some 19.9; at 3 lb there is a rating at all. The gain shrinks as salt
     * grows plenty. */
    ck_assert_double_gt(gain[1], 0.06);
    ck_assert_double_gt(gain[0], gain[1]);
    ck_assert_double_gt(gain[1], gain[2]);
    ck_assert_double_gt(gain[2], gain[3]);
    ck_assert_int_eq(rows[UP_3].result.cycle.outcome, BF_RATED);
}
END_TEST

START_TEST(brine_thinned_in_the_freeboard_costs_capacity)
{
    /* 22.3 and 23.2 are stated: 0.9, off by a digit at most, and by 1 % of either. */
    double gain = capacity_kgr_per_ft3(&rows[BARE_6]) - capacity_kgr_per_ft3(&rows[STIRRED_6]);
    ck_assert_double_gt(gain, 0.0);
    assert_near_abs(gain, 0.9, 2.0 * half_digit_kgr_per_ft3 + 0.01 * 9.0);
}
END_TEST

START_TEST(a_dose_of_3_lb_down_has_no_rating)
{
    const bf_cycle_result *cycle = &rows[DOWN_3].result.cycle;
    ck_assert_int_eq(cycle->outcome, BF_LEAKS_FROM_THE_START);
    /* First 26, lowest 17 mg/L: 3 % as for the mean, and half a digit. */
    ck_assert(support_near(cycle->leakage_first_eq_per_m3 * BF_G_CACO3_PER_EQ, 26.0, 0.03, 0.5,
                           "first", __FILE__, __LINE__));
    ck_assert(support_near(cycle->leakage_low_eq_per_m3 * BF_G_CACO3_PER_EQ, 17.0, 0.03, 0.5,
                           "lowest", __FILE__, __LINE__));
    ck_assert_double_lt(cycle->leakage_low_eq_per_m3, RIG_END_EQ_PER_M3);
}
END_TEST

/* ---- published ------------------------------------------------------------------------------- */

/* Source: ResinTech CG8 product data, as mirrored by H2O Distributors: co-current capacity at 500
 * mg/L as CaCO3, Ca:Mg 2:1, against dose. Stated there: water, dose, capacity. Assumed here: every
 * other condition, as rig.h has it. 5 %: what the spread of the published constants (selectivity
 * of calcium to a factor 1.3, capacity per volume to 5 %) does to the result; none was fitted to
 * this curve. */
START_TEST(capacity_agrees_with_a_published_curve)
{
    const struct {
        which place;
        double kgr_per_ft3;
    } published[] = {{HARD_5, 20.0}, {HARD_7, 25.4}, {HARD_10, 29.0}, {HARD_15, 33.0}};
    (void)printf("500 mg/L against product data of ResinTech CG8, kgr/ft3\n");
    for (size_t i = 0; i < sizeof published / sizeof *published; i++) {
        double capacity = capacity_kgr_per_ft3(&rows[published[i].place]);
        (void)printf("%-30s %10.2f %10.1f %8.2f %%\n", rows[published[i].place].name, capacity,
                     published[i].kgr_per_ft3, 100.0 * (capacity / published[i].kgr_per_ft3 - 1.0));
        assert_near(capacity, published[i].kgr_per_ft3, 0.05);
    }
    (void)fflush(stdout);
}
END_TEST

int main(void)
{
    for (size_t i = 0; i < ROWS; i++) {
        run(&rows[i], CELLS, SHELLS, &rows[i]);
    }
    print_rows();
    const TTest *const tests[] = {
        every_row_ran_to_its_steady_state,
        a_finer_grid_changes_little,
        capacity_agrees_with_the_independent_solution,
        leakage_agrees_with_the_independent_solution,
        more_salt_means_more_capacity_less_leakage_and_less_use_of_the_salt,
        background_sodium_raises_leakage_until_there_is_no_rating,
        brine_strength_has_a_flat_optimum,
        faster_service_holds_less,
        brine_from_below_leaks_less_and_holds_more_where_salt_is_short,
        brine_thinned_in_the_freeboard_costs_capacity,
        a_dose_of_3_lb_down_has_no_rating,
        capacity_agrees_with_a_published_curve};
    return support_run("cycle.reference", tests, sizeof tests / sizeof *tests, 300);
}
