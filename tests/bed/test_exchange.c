/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Exchange between pore water and bead by every rate law: against the law as published, at
 * equilibrium, its slopes, and the whole right-hand side's accounts. */
#include "bed/exchange.h"

#include "bed/balance.h"
#include "column_case.h"
#include "resin/selectivity.h"
#include "support.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof *(array))

static const struct {
    bf_rate_law law;
    size_t shells;
} laws[] = {{BF_RATE_FILM_AND_BEAD, 3},        {BF_RATE_FILM, 1},     {BF_RATE_BEAD, 2},
            {BF_RATE_LINEAR_DRIVING_FORCE, 1}, {BF_RATE_REACTION, 1}, {BF_RATE_EQUILIBRIUM, 1}};

static const size_t ion_counts[] = {1, 2, 3, 5, 9};

static bf_equilibrium_law equilibrium_for(bf_rate_law law, size_t round)
{
    const bf_equilibrium_law all[] = {BF_EQUILIBRIUM_MASS_ACTION, BF_EQUILIBRIUM_MASS_ACTION_IDEAL,
                                      BF_EQUILIBRIUM_SEPARATION_FACTOR, BF_EQUILIBRIUM_LINEAR};
    return law == BF_RATE_REACTION ? BF_EQUILIBRIUM_SEPARATION_FACTOR : all[round % 4];
}

/* What one cell holds, gathered from the rows. */
typedef struct cell {
    double normality, pore[BF__MAX_IONS], surface[BF__MAX_IONS];
} cell;

static cell gather(const column_case *sample, size_t k)
{
    const bf__layout *layout = &sample->column.layout;
    cell result = {.normality = sample->state[k]};
    for (size_t i = 0; i < layout->ions; i++) {
        result.pore[i] = sample->state[bf__layout_pore(layout, i) + k];
        result.surface[i] = sample->state[bf__layout_shell(layout, layout->shells - 1, i) + k];
    }
    return result;
}

/* The law as it stands in exchange.h's sources, cell by cell through the public equilibrium. */
static void expected_rate(const column_case *sample, const cell *local, double *rate)
{
    const bf__column *column = &sample->column;
    const size_t e = column->layout.ions;
    double other[BF__MAX_IONS];
    double x_na = 1.0;
    double y_na = 1.0;
    for (size_t i = 0; i < e; i++) {
        x_na -= local->pore[i] / local->normality;
        y_na -= local->surface[i];
    }
    switch (column->rate_law) {
    case BF_RATE_LINEAR_DRIVING_FORCE: /* Glueckauf 1955: S = Q k (y* - y) */
        bf_selectivity_to_resin(sample->selectivity, local->normality, local->pore, other);
        for (size_t i = 0; i < e; i++) {
            rate[i] = 2000.0 * column->transfer_per_s[0][i] * (other[i] - local->surface[i]);
        }
        break;
    case BF_RATE_REACTION: /* Thomas 1944: S = Q k (x y_Na - y x_Na/alpha), alpha as in the spec */
        for (size_t i = 0; i < e; i++) {
            double alpha = 1.7 * (1.0 + 0.13 * (double)column->ions->ion[i]);
            rate[i] = 2000.0 * column->transfer_per_s[0][i] *
                      (local->pore[i] / local->normality * y_na - local->surface[i] * x_na / alpha);
        }
        break;
    default: /* a film: S = h (c - c*) */
        bf_selectivity_to_water(sample->selectivity, local->normality, local->pore, local->surface,
                                other);
        for (size_t i = 0; i < e; i++) {
            rate[i] = column->transfer_per_s[0][i] * (local->pore[i] - other[i]);
        }
        break;
    }
}

typedef struct exchange_result {
    double rate[BF__MAX_IONS * 64];
    double by_pore[BF__MAX_IONS * BF__MAX_IONS * 64];
    double by_fraction[BF__MAX_IONS * BF__MAX_IONS * 64];
    double by_normality[BF__MAX_IONS * 64];
} exchange_result;

static int evaluate(const column_case *sample, const double *state, int with_slopes,
                    exchange_result *out)
{
    double *work = calloc(bf__exchange_work_size(&sample->column.layout), sizeof *work);
    ck_assert_ptr_nonnull(work);
    bf__exchange_slope slope = {out->by_pore, out->by_fraction, out->by_normality};
    int flag =
        bf__exchange_rate(&sample->column, 0, state, work, out->rate, with_slopes ? &slope : NULL);
    free(work);
    return flag;
}

/* Sums in another order: rounding of some ten terms of the size of h C or Q k. */
START_TEST(rates_are_those_of_the_law)
{
    unsigned long long seed = 501;
    for (size_t l = 0; l < COUNT(laws); l++) {
        for (size_t n = 0; n < COUNT(ion_counts); n++) {
            column_choice choice = {.cells = 6,
                                    .ions = ion_counts[n],
                                    .shells = laws[l].shells,
                                    .rate_law = laws[l].law,
                                    .equilibrium = equilibrium_for(laws[l].law, l + n)};
            bf_selectivity *selectivity = column_equilibrium(choice.ions, choice.equilibrium);
            column_case sample;
            column_case_create(&choice, selectivity, &seed, &sample);
            static exchange_result out;
            static exchange_result with_slopes;
            ck_assert_int_eq(evaluate(&sample, sample.state, 0, &out), 0);
            ck_assert_int_eq(evaluate(&sample, sample.state, 1, &with_slopes), 0);
            for (size_t k = 0; k < choice.cells; k++) {
                cell local = gather(&sample, k);
                double expected[BF__MAX_IONS];
                expected_rate(&sample, &local, expected);
                for (size_t i = 0; i < choice.ions; i++) {
                    double size = sample.column.transfer_per_s[0][i] *
                                  (choice.rate_law == BF_RATE_LINEAR_DRIVING_FORCE ||
                                           choice.rate_law == BF_RATE_REACTION
                                       ? 2000.0
                                       : local.normality);
                    double slope = out.rate[i * sample.column.layout.stride + k];
                    assert_near_abs(slope, expected[i], 1e-14 * size);
                    ck_assert(with_slopes.rate[i * sample.column.layout.stride + k] == slope);
                }
            }
            column_case_free(&sample);
            bf_selectivity_free(selectivity);
        }
    }
}
END_TEST

/* A bead in equilibrium with its water exchanges nothing, whatever the law. Rounding as above. */
START_TEST(equilibrium_exchanges_nothing)
{
    unsigned long long seed = 502;
    for (size_t l = 0; l < COUNT(laws); l++) {
        for (size_t n = 0; n < COUNT(ion_counts); n++) {
            column_choice choice = {.cells = 5,
                                    .ions = ion_counts[n],
                                    .shells = laws[l].shells,
                                    .rate_law = laws[l].law,
                                    .equilibrium = equilibrium_for(laws[l].law, l + n + 1)};
            bf_selectivity *selectivity = column_equilibrium(choice.ions, choice.equilibrium);
            column_case sample;
            column_case_create(&choice, selectivity, &seed, &sample);
            const bf__layout *layout = &sample.column.layout;
            for (size_t k = 0; k < choice.cells; k++) {
                cell local = gather(&sample, k);
                double y[BF__MAX_IONS];
                bf_selectivity_to_resin(selectivity, local.normality, local.pore, y);
                for (size_t i = 0; i < choice.ions; i++) {
                    sample.state[bf__layout_shell(layout, layout->shells - 1, i) + k] = y[i];
                }
            }
            static exchange_result out;
            ck_assert_int_eq(evaluate(&sample, sample.state, 0, &out), 0);
            for (size_t i = 0; i < choice.ions; i++) {
                double h = sample.column.transfer_per_s[0][i];
                for (size_t k = 0; k < choice.cells; k++) {
                    assert_near_abs(out.rate[i * layout->stride + k], 0.0,
                                    3e-14 * h * fmax(2000.0, sample.state[k]));
                }
            }
            column_case_free(&sample);
            bf_selectivity_free(selectivity);
        }
    }
}
END_TEST

/* Every slope against differences of fourth order; their error is rounding, 1e-16 over a relative
 * step of 3e-5, times the size of the terms.
 */
START_TEST(slopes_are_those_of_the_rate)
{
    unsigned long long seed = 503;
    double worst = 0.0;
    for (size_t l = 0; l < COUNT(laws); l++) {
        for (size_t n = 0; n < COUNT(ion_counts); n++) {
            column_choice choice = {.cells = 4,
                                    .ions = ion_counts[n],
                                    .shells = laws[l].shells,
                                    .rate_law = laws[l].law,
                                    .equilibrium = equilibrium_for(laws[l].law, l + n)};
            bf_selectivity *selectivity = column_equilibrium(choice.ions, choice.equilibrium);
            column_case sample;
            column_case_create(&choice, selectivity, &seed, &sample);
            const bf__layout *layout = &sample.column.layout;
            const size_t e = layout->ions;
            const size_t stride = layout->stride;
            static exchange_result slopes;
            static exchange_result moved[4];
            ck_assert_int_eq(evaluate(&sample, sample.state, 1, &slopes), 0);
            double *state = calloc(sample.length, sizeof *state);
            ck_assert_ptr_nonnull(state);
            for (size_t k = 0; k < 1 + 2 * e; k++) { /* by C, by each c, by each y */
                size_t row = k == 0   ? 0
                             : k <= e ? bf__layout_pore(layout, k - 1)
                                      : bf__layout_shell(layout, layout->shells - 1, k - 1 - e);
                for (size_t p = 0; p < choice.cells; p++) {
                    double h = 1e-3 * column_scale(&sample, row + p);
                    for (int q = 0; q < 4; q++) {
                        memcpy(state, sample.state, sample.length * sizeof *state);
                        state[row + p] += (q < 2 ? q - 2 : q - 1) * h;
                        ck_assert_int_eq(evaluate(&sample, state, 0, &moved[q]), 0);
                    }
                    for (size_t i = 0; i < e; i++) {
                        for (size_t other = 0; other < choice.cells; other++) {
                            size_t local = i * stride + other;
                            double expected = (8.0 * (moved[2].rate[local] - moved[1].rate[local]) -
                                               (moved[3].rate[local] - moved[0].rate[local])) /
                                              (12.0 * h);
                            double slope = 0.0; /* cells do not feel each other */
                            if (other == p) {
                                size_t pair = (i * e + (k - 1) % e) * stride + p;
                                slope = k == 0   ? slopes.by_normality[local]
                                        : k <= e ? slopes.by_pore[pair]
                                                 : slopes.by_fraction[pair];
                            }
                            double size = sample.column.transfer_per_s[0][i] *
                                          fmax(2000.0, sample.state[p]) /
                                          fabs(sample.state[row + p]);
                            worst = fmax(worst, fabs(slope - expected) / size);
                            assert_near_abs(slope, expected, 1e-10 * size);
                        }
                    }
                }
            }
            free(state);
            column_case_free(&sample);
            bf_selectivity_free(selectivity);
        }
    }
    printf("slopes of exchange: largest error %.1e of its own scale\n", worst);
}
END_TEST

/* Three rate laws in numbers done by hand, one ion: C = 50, c = 20 (x = 0.4), y = 0.3, Q = 2000. */
START_TEST(rates_by_hand)
{
    unsigned long long seed = 504;
    const struct {
        bf_rate_law law;
        bf_equilibrium_law equilibrium;
        double h, rate;
    } rows[] = {
        /* alpha = 1.7*1.13 = 1.921: x = 0.3/1.921/(0.7 + 0.3/1.921) = 0.182404, c* = 9.12020 */
        {BF_RATE_FILM, BF_EQUILIBRIUM_SEPARATION_FACTOR, 0.11, 0.11 * (20.0 - 9.12020)},
        /* y* = 0.4*1.921/(0.6 + 0.4*1.921) = 0.561531 */
        {BF_RATE_LINEAR_DRIVING_FORCE, BF_EQUILIBRIUM_SEPARATION_FACTOR, 3e-3,
         2000.0 * 3e-3 * (0.561531 - 0.3)},
        /* 0.4*0.7 - 0.3*0.6/1.921 = 0.186299 */
        {BF_RATE_REACTION, BF_EQUILIBRIUM_SEPARATION_FACTOR, 3e-3, 2000.0 * 3e-3 * 0.186299},
    };
    for (size_t r = 0; r < COUNT(rows); r++) {
        column_choice choice = {.cells = 4,
                                .ions = 1,
                                .shells = 1,
                                .rate_law = rows[r].law,
                                .equilibrium = rows[r].equilibrium};
        bf_selectivity *selectivity = column_equilibrium(1, rows[r].equilibrium);
        column_case sample;
        column_case_create(&choice, selectivity, &seed, &sample);
        sample.column.transfer_per_s[0][0] = rows[r].h;
        sample.state[2] = 50.0;
        sample.state[bf__layout_pore(&sample.column.layout, 0) + 2] = 20.0;
        sample.state[bf__layout_shell(&sample.column.layout, 0, 0) + 2] = 0.3;
        static exchange_result out;
        ck_assert_int_eq(evaluate(&sample, sample.state, 0, &out), 0);
        assert_near(out.rate[2], rows[r].rate, 5e-6); /* six digits above */
        column_case_free(&sample);
        bf_selectivity_free(selectivity);
    }
}
END_TEST

START_TEST(leaving_the_domain_is_told)
{
    unsigned long long seed = 505;
    for (size_t l = 0; l < COUNT(laws); l++) {
        column_choice choice = {.cells = 5,
                                .ions = 2,
                                .shells = laws[l].shells,
                                .rate_law = laws[l].law,
                                .equilibrium = equilibrium_for(laws[l].law, 1)};
        bf_selectivity *selectivity = column_equilibrium(2, choice.equilibrium);
        column_case sample;
        column_case_create(&choice, selectivity, &seed, &sample);
        static exchange_result out;
        double *rate = calloc(sample.length, sizeof *rate);
        ck_assert_ptr_nonnull(rate);
        const double bad[] = {0.0, -4.0, (double)NAN};
        for (size_t b = 0; b < COUNT(bad); b++) {
            double original = sample.state[3];
            sample.state[3] = bad[b];
            ck_assert_int_eq(evaluate(&sample, sample.state, 0, &out), 1);
            ck_assert_int_eq(evaluate(&sample, sample.state, 1, &out), 1);
            ck_assert_int_eq(bf__column_rate(&sample.column, 0.0, sample.state, rate), 1);
            sample.state[3] = original;
        }
        ck_assert_int_eq(evaluate(&sample, sample.state, 0, &out), 0);
        sample.column.rate_law = (bf_rate_law)99;
        ck_assert_int_eq(evaluate(&sample, sample.state, 0, &out), -1);
        free(rate);
        column_case_free(&sample);
        bf_selectivity_free(selectivity);
    }
}
END_TEST

/* ---- the whole right-hand side --------------------------------------------------------------- */

/* What the vessel holds changes by what enters less what the effluent integrals take, for every
 * ion, freeboard and rate law: sums of the rates themselves, to rounding of n terms. */
START_TEST(the_rates_of_a_column_add_up)
{
    unsigned long long seed = 506;
    double worst = 0.0;
    for (size_t l = 0; l < COUNT(laws); l++) {
        for (size_t n = 0; n < COUNT(ion_counts); n++) {
            for (int f = BF__FREEBOARD_NONE; f <= BF__FREEBOARD_BEHIND; f++) {
                column_choice choice = {.cells = 11,
                                        .ions = ion_counts[n],
                                        .shells = laws[l].shells,
                                        .classes = laws[l].law <= BF_RATE_BEAD ? 1 + n % 3 : 1,
                                        .freeboard = (bf__freeboard)f,
                                        .rate_law = laws[l].law,
                                        .equilibrium = equilibrium_for(laws[l].law, 1 + n % 3)};
                bf_selectivity *selectivity = column_equilibrium(choice.ions, choice.equilibrium);
                column_case sample;
                column_case_create(&choice, selectivity, &seed, &sample);
                const bf__column *column = &sample.column;
                double *rate = calloc(sample.length, sizeof *rate);
                ck_assert_ptr_nonnull(rate);
                ck_assert_int_eq(bf__column_rate(column, 0.0, sample.state, rate), 0);
                /* Freeboard over bed volume: u/L over u/H. */
                double ratio =
                    f == BF__FREEBOARD_NONE ? 0.0 : column->bed_volumes_per_s / column->flush_per_s;
                double grows[1 + BF__MAX_IONS];
                bf__balance_held(column, ratio, rate, grows); /* linear, so it holds for rates */
                for (size_t q = 0; q <= choice.ions; q++) {
                    double enters = q == 0 ? column->inlet_normality : column->inlet[q - 1];
                    double leaves = rate[bf__layout_effluent(&column->layout) + q];
                    double size = column->bed_volumes_per_s * enters;
                    for (size_t k = 0; q > 0 && k < choice.cells; k++) {
                        size = fmax(size, column->transfer_per_s[0][q - 1] * sample.state[k]);
                        size = fmax(size, column->transfer_per_s[0][q - 1] * 2000.0);
                    }
                    double off = column->bed_volumes_per_s * enters - leaves - grows[q];
                    worst = fmax(worst, fabs(off) / size);
                    assert_near_abs(off, 0.0, 1e-14 * size);
                }
                free(rate);
                column_case_free(&sample);
                bf_selectivity_free(selectivity);
            }
        }
    }
    printf("accounts of the right-hand side: %.1e of its largest term\n", worst);
}
END_TEST

/* The stirred freeboard takes what enters (flow down) or what the bed lets out (flow up); what the
 * vessel gives off follows. */
START_TEST(freeboard_and_effluent_follow_the_flow)
{
    unsigned long long seed = 507;
    bf_selectivity *selectivity = column_equilibrium(2, BF_EQUILIBRIUM_MASS_ACTION_IDEAL);
    for (int f = BF__FREEBOARD_NONE; f <= BF__FREEBOARD_BEHIND; f++) {
        column_choice choice = {.cells = 4,
                                .ions = 2,
                                .shells = 2,
                                .freeboard = (bf__freeboard)f,
                                .rate_law = BF_RATE_FILM_AND_BEAD,
                                .equilibrium = BF_EQUILIBRIUM_MASS_ACTION_IDEAL};
        column_case sample;
        column_case_create(&choice, selectivity, &seed, &sample);
        const bf__column *column = &sample.column;
        const bf__layout *layout = &column->layout;
        double *rate = calloc(sample.length, sizeof *rate);
        ck_assert_ptr_nonnull(rate);
        ck_assert_int_eq(bf__column_rate(column, 0.0, sample.state, rate), 0);
        double effluent[3];
        bf__column_effluent(column, sample.state, effluent);
        const double *freeboard = sample.state + bf__layout_freeboard(layout);
        const double *stirred = rate + bf__layout_freeboard(layout);
        const double *integral = rate + bf__layout_effluent(layout);
        for (size_t q = 0; q < 3; q++) {
            double last = sample.state[q * layout->stride + 3];
            double enters = q == 0 ? column->inlet_normality : column->inlet[q - 1];
            double source = f == BF__FREEBOARD_BEFORE ? enters : last;
            ck_assert(effluent[q] == (f == BF__FREEBOARD_BEHIND ? freeboard[q] : last));
            assert_near(stirred[q],
                        f == BF__FREEBOARD_NONE ? 0.0
                                                : column->flush_per_s * (source - freeboard[q]),
                        1e-15);
            assert_near(integral[q], column->bed_volumes_per_s * effluent[q], 1e-15);
        }
        /* Ca and Mg are hardness. */
        assert_near(bf__column_effluent_hardness(column, sample.state), effluent[1] + effluent[2],
                    1e-15);
        sample.column.is_hardness[1] = 0.0;
        ck_assert(bf__column_effluent_hardness(column, sample.state) == effluent[1]);
        free(rate);
        column_case_free(&sample);
    }
    bf_selectivity_free(selectivity);
}
END_TEST

/* No two quantities share a place, and rows start on cache lines that are odd in number apart. */
START_TEST(every_unknown_has_a_place_of_its_own)
{
    for (size_t cells = 4; cells < 140; cells += 9) {
        bf__layout layout = {.cells = cells,
                             .stride = bf__layout_stride(cells),
                             .ions = 3,
                             .shells = 4,
                             .locals = 2};
        ck_assert_uint_ge(layout.stride, cells);
        ck_assert_uint_eq(layout.stride % 8, 0);
        ck_assert_uint_eq(layout.stride / 8 % 2, 1);
        size_t next = bf__layout_normality(&layout);
        ck_assert_uint_eq(next, 0);
        next += layout.stride;
        for (size_t i = 0; i < 3; i++, next += layout.stride) {
            ck_assert_uint_eq(bf__layout_pore(&layout, i), next);
        }
        for (size_t m = 0; m < 4; m++) {
            for (size_t i = 0; i < 3; i++, next += layout.stride) {
                ck_assert_uint_eq(bf__layout_shell(&layout, m, i), next);
            }
        }
        for (size_t l = 0; l < 2; l++, next += layout.stride) {
            ck_assert_uint_eq(bf__layout_local(&layout, l), next);
        }
        ck_assert_uint_eq(bf__layout_rows(&layout) * layout.stride, next);
        ck_assert_uint_eq(bf__layout_freeboard(&layout), next);
        ck_assert_uint_eq(bf__layout_effluent(&layout), next + 4);
        ck_assert_uint_eq(bf__layout_length(&layout), next + 8);
    }
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {rates_are_those_of_the_law,
                                  equilibrium_exchanges_nothing,
                                  slopes_are_those_of_the_rate,
                                  rates_by_hand,
                                  leaving_the_domain_is_told,
                                  the_rates_of_a_column_add_up,
                                  freeboard_and_effluent_follow_the_flow,
                                  every_unknown_has_a_place_of_its_own};
    return support_run("bed.exchange", tests, COUNT(tests), 120);
}
