/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The direct solution of (I - gamma J) x = b, and with it J itself. The outside reference is the
 * right-hand side: J by differences of bf__column_rate(), and a dense LU decomposition by GSL. */
#include "bed/block_solver.h"

#include "column_case.h"
#include "support.h"

#include <gsl/gsl_linalg.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof *(array))

static const size_t ion_counts[] = {1, 2, 3, 5, 9};
static const size_t shell_counts[] = {1, 2, 6};
static const bf_rate_law laws[] = {
    BF_RATE_FILM_AND_BEAD,        BF_RATE_BEAD,    BF_RATE_FILM, BF_RATE_EQUILIBRIUM,
    BF_RATE_LINEAR_DRIVING_FORCE, BF_RATE_REACTION};

static int has_shells(bf_rate_law law)
{
    return law == BF_RATE_FILM_AND_BEAD || law == BF_RATE_BEAD;
}

/* A factored system at a column's state. */
typedef struct prepared {
    bf__jacobian *jacobian;
    bf__block_solver *solver;
} prepared;

static prepared prepare(const column_case *sample, double time_s, double gamma)
{
    bf_error err = {0};
    prepared system = {0};
    int with_sources = sample->column.source_count > 0;
    assert_ok(bf__jacobian_create(&sample->column.layout, with_sources, &system.jacobian, &err));
    assert_ok(bf__block_solver_create(&sample->column.layout, with_sources, &system.solver, &err));
    ck_assert_int_eq(bf__jacobian_evaluate(system.jacobian, &sample->column, time_s, sample->state),
                     0);
    ck_assert_int_eq(
        bf__block_solver_factor(system.solver, &sample->column, system.jacobian, gamma), 0);
    return system;
}

static void drop(prepared *system)
{
    bf__jacobian_free(system->jacobian);
    bf__block_solver_free(system->solver);
}

static double *numbers(size_t count)
{
    double *matrix = calloc(count, sizeof *matrix);
    ck_assert_ptr_nonnull(matrix);
    return matrix;
}

/* A right-hand side in which every unknown carries the weight of its own kind. */
static double *draw_side(const column_case *sample, unsigned long long *seed)
{
    double *b = numbers(sample->length);
    for (size_t k = 0; k < sample->length; k++) {
        double scale =
            k < bf__layout_effluent(&sample->column.layout) ? fabs(sample->state[k]) : 1.0;
        b[k] = scale * (2.0 * support_uniform(seed) - 1.0);
    }
    return b;
}

/* How far x is from solving x - gamma J x = b: the largest miss over all unknowns, each against the
 * size of the terms of its own row. */
typedef struct miss {
    double by_columns;  /* J from differences, column by column */
    double in_one_step; /* J x from differences along x itself */
} miss;

static double along(const column_case *sample, double time_s, double gamma, const double *b,
                    const double *x, const size_t *place, size_t n, const double *size)
{
    double furthest = 0.0;
    for (size_t k = 0; k < n; k++) {
        if (place[k] < bf__layout_effluent(&sample->column.layout)) {
            furthest = fmax(furthest, fabs(x[place[k]]) / column_scale(sample, place[k]));
        }
    }
    const double h = 1e-3 / furthest; /* no unknown moves further than that of its scale */
    const double steps[4] = {-2.0 * h, -h, h, 2.0 * h};
    double *rates = numbers(4 * sample->length);
    double *moved = numbers(sample->length);
    const double *f[4];
    for (size_t q = 0; q < 4; q++) {
        double *rate = rates + q * sample->length;
        for (size_t k = 0; k < sample->length; k++) {
            moved[k] = sample->state[k] + steps[q] * x[k];
        }
        ck_assert_int_eq(bf__column_rate(&sample->column, time_s, moved, rate), 0);
        f[q] = rate;
    }
    double worst = 0.0;
    for (size_t k = 0; k < n; k++) {
        size_t p = place[k];
        double jx = (8.0 * (f[2][p] - f[1][p]) - (f[3][p] - f[0][p])) / (12.0 * h);
        worst = fmax(worst, fabs(x[p] - gamma * jx - b[p]) / size[p]);
    }
    free(rates);
    free(moved);
    return worst;
}

/* `dense`, unknowns squared, receives J where it is not NULL. */
static miss miss_of(const column_case *sample, double time_s, double gamma, const double *b,
                    const double *x, double *dense)
{
    size_t *place = calloc(sample->length, sizeof *place);
    ck_assert_ptr_nonnull(place);
    size_t n = column_unknowns(&sample->column.layout, place);
    double *residual = numbers(sample->length);
    double *size = numbers(sample->length);
    double *slope = numbers(sample->length);
    for (size_t k = 0; k < n; k++) {
        residual[place[k]] = x[place[k]] - b[place[k]];
        size[place[k]] = fabs(x[place[k]]) + fabs(b[place[k]]);
    }
    for (size_t j = 0; j < n; j++) {
        column_slope(sample, time_s, place[j], slope);
        for (size_t k = 0; k < n; k++) {
            double term = gamma * slope[place[k]] * x[place[j]];
            residual[place[k]] -= term;
            size[place[k]] += fabs(term);
            if (dense != NULL) {
                dense[k * n + j] = slope[place[k]];
            }
        }
    }
    miss worst = {0};
    for (size_t k = 0; k < n; k++) {
        worst.by_columns = fmax(worst.by_columns, fabs(residual[place[k]]) / size[place[k]]);
    }
    worst.in_one_step = along(sample, time_s, gamma, b, x, place, n, size);
    free(place);
    free(residual);
    free(size);
    free(slope);
    return worst;
}

/* Every number of ions, of shells, every place of the freeboard, every rate law, without and with
 * sources, steps from milliseconds to hours.
 *
 * Tolerance by columns: a difference carries 1e-16/3e-5 of the terms of its rate, which for laws
 * that are 1e4 times too fast stand up to 3e3 above their sum: 1e-8; most seen, over two draws of the
 * random columns, 4.3e-9. Along x the step is set by the
 * unknown that moves furthest, and others may move 1e4 times less: 3e-7. A wrong or missing slope
 * shows as 1e-3 to 1. */
START_TEST(solutions_satisfy_the_equations)
{
    unsigned long long seed = 601;
    const double gammas[] = {2e-3, 0.7, 40.0, 4000.0};
    miss worst = {0};
    size_t cases = 0;
    for (size_t n = 0; n < COUNT(ion_counts); n++) {
        bf_selectivity *equilibria[4];
        for (int e = BF_EQUILIBRIUM_MASS_ACTION; e <= BF_EQUILIBRIUM_LINEAR; e++) {
            equilibria[e] = column_equilibrium(ion_counts[n], (bf_equilibrium_law)e);
        }
        for (size_t l = 0; l < COUNT(laws); l++) {
            for (size_t s = 0; s < (has_shells(laws[l]) ? COUNT(shell_counts) : 1); s++) {
                for (int variant = 0; variant < 12; variant++) { /* freeboard and sources */
                    column_choice choice = {.cells = 4 + cases % 3,
                                            .ions = ion_counts[n],
                                            .shells = shell_counts[s],
                                            .freeboard = (bf__freeboard)(variant % 3),
                                            .rate_law = laws[l],
                                            .sources = variant / 3};
                    choice.equilibrium = laws[l] == BF_RATE_REACTION
                                             ? BF_EQUILIBRIUM_SEPARATION_FACTOR
                                             : (bf_equilibrium_law)((cases + cases / 12) % 4);
                    column_case sample;
                    column_case_create(&choice, equilibria[choice.equilibrium], &seed, &sample);
                    double gamma = gammas[(cases + cases / 12) / 3 % 4];
                    double time_s = 3.0 * support_uniform(&seed);
                    prepared ready = prepare(&sample, time_s, gamma);
                    double *b = draw_side(&sample, &seed);
                    double *x = numbers(sample.length);
                    bf__block_solver_solve(ready.solver, b, x);
                    miss off = miss_of(&sample, time_s, gamma, b, x, NULL);
                    ck_assert_msg(off.by_columns < 1e-8 && off.in_one_step < 3e-7,
                                  "%zu ions, %zu shells, freeboard %d, law %d, equilibrium %d, "
                                  "sources %d, gamma %g: miss %.1e by columns, %.1e along x",
                                  choice.ions, choice.shells, (int)choice.freeboard,
                                  (int)choice.rate_law, (int)choice.equilibrium, choice.sources,
                                  gamma, off.by_columns, off.in_one_step);
                    worst.by_columns = fmax(worst.by_columns, off.by_columns);
                    worst.in_one_step = fmax(worst.in_one_step, off.in_one_step);
                    cases++;
                    free(b);
                    free(x);
                    drop(&ready);
                    column_case_free(&sample);
                }
            }
        }
        for (int e = BF_EQUILIBRIUM_MASS_ACTION; e <= BF_EQUILIBRIUM_LINEAR; e++) {
            bf_selectivity_free(equilibria[e]);
        }
    }
    printf("%zu systems: largest miss %.1e by columns, %.1e along x, of the terms of its row\n",
           cases, worst.by_columns, worst.in_one_step);
}
END_TEST

/* The same with beads of several sizes: chains of shells side by side that share the pore water. */
START_TEST(classes_of_bead_sizes_satisfy_the_equations)
{
    unsigned long long seed = 607;
    const double gammas[] = {2e-3, 0.7, 40.0, 4000.0};
    const bf_rate_law of_classes[] = {BF_RATE_FILM_AND_BEAD, BF_RATE_BEAD, BF_RATE_FILM};
    miss worst = {0};
    size_t cases = 0;
    for (size_t n = 0; n < 4; n++) {
        bf_selectivity *equilibrium = column_equilibrium(ion_counts[n], BF_EQUILIBRIUM_MASS_ACTION);
        for (size_t l = 0; l < COUNT(of_classes); l++) {
            for (size_t classes = 2; classes <= BF_BEAD_CLASSES; classes++) {
                for (int variant = 0; variant < 12; variant++) { /* freeboard and sources */
                    column_choice choice = {.cells = 4 + cases % 3,
                                            .ions = ion_counts[n],
                                            .shells = has_shells(of_classes[l]) ? 1 + cases % 4 : 1,
                                            .classes = classes,
                                            .freeboard = (bf__freeboard)(variant % 3),
                                            .rate_law = of_classes[l],
                                            .equilibrium = BF_EQUILIBRIUM_MASS_ACTION,
                                            .sources = variant / 3};
                    column_case sample;
                    column_case_create(&choice, equilibrium, &seed, &sample);
                    double gamma = gammas[(cases + cases / 12) / 3 % 4];
                    prepared ready = prepare(&sample, 1.7, gamma);
                    double *b = draw_side(&sample, &seed);
                    double *x = numbers(sample.length);
                    bf__block_solver_solve(ready.solver, b, x);
                    miss off = miss_of(&sample, 1.7, gamma, b, x, NULL);
                    worst.by_columns = fmax(worst.by_columns, off.by_columns);
                    worst.in_one_step = fmax(worst.in_one_step, off.in_one_step);
                    cases++;
                    free(b);
                    free(x);
                    drop(&ready);
                    column_case_free(&sample);
                }
            }
        }
        bf_selectivity_free(equilibrium);
    }
    printf("%zu systems of several bead sizes: largest miss %.1e by columns, %.1e along x\n", cases,
           worst.by_columns, worst.in_one_step);
    ck_assert_double_lt(worst.by_columns, 1e-8); /* as above */
    ck_assert_double_lt(worst.in_one_step, 3e-7);
}
END_TEST

/* Small systems against Gauss elimination with pivots (GSL) of the matrix of differences. The two
 * matrices differ by the differences' 3e-9 of a row's terms; the condition of the matrix, scaled by
 * the size of each unknown, lets that grow up to a hundredfold here. */
START_TEST(solutions_agree_with_a_dense_solver)
{
    unsigned long long seed = 602;
    double worst = 0.0;
    for (size_t round = 0; round < 36; round++) {
        size_t ions = ion_counts[round % 3];
        bf_rate_law law = laws[round / 3 % COUNT(laws)];
        column_choice choice = {.cells = 5,
                                .ions = ions,
                                .shells = has_shells(law) ? 3 : 1,
                                .freeboard = (bf__freeboard)(round / 2 % 3),
                                .rate_law = law,
                                .equilibrium = law == BF_RATE_REACTION
                                                   ? BF_EQUILIBRIUM_SEPARATION_FACTOR
                                                   : BF_EQUILIBRIUM_MASS_ACTION_IDEAL,
                                .sources = (int)(round % 4)};
        bf_selectivity *selectivity = column_equilibrium(ions, choice.equilibrium);
        column_case sample;
        column_case_create(&choice, selectivity, &seed, &sample);
        const double gamma = round % 2 ? 0.8 : 25.0;
        prepared ready = prepare(&sample, 0.0, gamma);
        double *b = draw_side(&sample, &seed);
        double *x = numbers(sample.length);
        bf__block_solver_solve(ready.solver, b, x);

        size_t *place = calloc(sample.length, sizeof *place);
        ck_assert_ptr_nonnull(place);
        size_t n = column_unknowns(&sample.column.layout, place);
        double *dense = numbers(n * n);
        (void)miss_of(&sample, 0.0, gamma, b, x, dense);
        gsl_matrix *matrix = gsl_matrix_alloc(n, n);
        gsl_vector *side = gsl_vector_alloc(n);
        gsl_vector *solution = gsl_vector_alloc(n);
        gsl_permutation *order = gsl_permutation_alloc(n);
        for (size_t i = 0; i < n; i++) { /* rows and columns in units of each unknown */
            double row_scale = i < n - 1 - ions ? fabs(sample.state[place[i]]) : 1.0;
            gsl_vector_set(side, i, b[place[i]] / row_scale);
            for (size_t j = 0; j < n; j++) {
                double scale = j < n - 1 - ions ? fabs(sample.state[place[j]]) : 1.0;
                double entry = (i == j ? 1.0 : 0.0) - gamma * dense[i * n + j];
                gsl_matrix_set(matrix, i, j, entry * scale / row_scale);
            }
        }
        int sign;
        ck_assert_int_eq(gsl_linalg_LU_decomp(matrix, order, &sign), 0);
        ck_assert_int_eq(gsl_linalg_LU_solve(matrix, order, side, solution), 0);
        double most = 0.0;
        for (size_t i = 0; i < n; i++) {
            most = fmax(most, fabs(gsl_vector_get(solution, i)));
        }
        for (size_t i = 0; i < n; i++) {
            double scale = i < n - 1 - ions ? fabs(sample.state[place[i]]) : 1.0;
            double off = fabs(gsl_vector_get(solution, i) - x[place[i]] / scale) / most;
            worst = fmax(worst, off);
            ck_assert_double_le(off, 3e-7);
        }
        gsl_matrix_free(matrix);
        gsl_vector_free(side);
        gsl_vector_free(solution);
        gsl_permutation_free(order);
        free(place);
        free(dense);
        free(b);
        free(x);
        drop(&ready);
        column_case_free(&sample);
        bf_selectivity_free(selectivity);
    }
    printf("against a dense solver: largest difference %.1e of the largest unknown\n", worst);
}
END_TEST

/* A column as deep as beds are, with everything at once. Same tolerances. */
START_TEST(a_deep_column_is_solved_as_well)
{
    unsigned long long seed = 603;
    bf_selectivity *selectivity = column_equilibrium(5, BF_EQUILIBRIUM_MASS_ACTION);
    column_choice choice = {.cells = 63,
                            .ions = 5,
                            .shells = 6,
                            .freeboard = BF__FREEBOARD_BEFORE,
                            .rate_law = BF_RATE_FILM_AND_BEAD,
                            .equilibrium = BF_EQUILIBRIUM_MASS_ACTION,
                            .sources = 3};
    column_case sample;
    column_case_create(&choice, selectivity, &seed, &sample);
    prepared ready = prepare(&sample, 0.4, 90.0);
    double *b = draw_side(&sample, &seed);
    double *x = numbers(sample.length);
    bf__block_solver_solve(ready.solver, b, x);
    miss off = miss_of(&sample, 0.4, 90.0, b, x, NULL);
    printf("63 cells, 5 ions, 6 shells, 3 local states: miss %.1e by columns, %.1e along x\n",
           off.by_columns, off.in_one_step);
    ck_assert_double_lt(off.by_columns, 1e-8);
    ck_assert_double_lt(off.in_one_step, 3e-7);
    free(b);
    free(x);
    drop(&ready);
    column_case_free(&sample);
    bf_selectivity_free(selectivity);
}
END_TEST

/* In place or apart, once or again, and after the Jacobian went on to another state: the same bits.
 */
START_TEST(a_factored_system_stands_on_its_own)
{
    unsigned long long seed = 604;
    bf_selectivity *selectivity = column_equilibrium(3, BF_EQUILIBRIUM_MASS_ACTION);
    for (int sources = 0; sources <= 3; sources++) {
        column_choice choice = {.cells = 7,
                                .ions = 3,
                                .shells = 4,
                                .freeboard = (bf__freeboard)(sources % 3),
                                .rate_law = BF_RATE_FILM_AND_BEAD,
                                .equilibrium = BF_EQUILIBRIUM_MASS_ACTION,
                                .sources = sources};
        column_case sample;
        column_case_create(&choice, selectivity, &seed, &sample);
        prepared ready = prepare(&sample, 0.0, 3.7);
        double *b = draw_side(&sample, &seed);
        double *apart = numbers(sample.length);
        double *in_place = numbers(sample.length);
        bf__block_solver_solve(ready.solver, b, apart);
        memcpy(in_place, b, sample.length * sizeof *b);
        draw_state(&seed, &sample);
        ck_assert_int_eq(bf__jacobian_evaluate(ready.jacobian, &sample.column, 9.0, sample.state),
                         0);
        bf__block_solver_solve(ready.solver, in_place, in_place);
        ck_assert_mem_eq(apart, in_place, sample.length * sizeof *b);
        free(b);
        free(apart);
        free(in_place);
        drop(&ready);
        column_case_free(&sample);
    }
    bf_selectivity_free(selectivity);
}
END_TEST

/* gamma = 0 leaves the identity, to the last bit. */
START_TEST(no_step_changes_nothing)
{
    unsigned long long seed = 605;
    bf_selectivity *selectivity = column_equilibrium(2, BF_EQUILIBRIUM_MASS_ACTION_IDEAL);
    column_choice choice = {.cells = 6,
                            .ions = 2,
                            .shells = 3,
                            .freeboard = BF__FREEBOARD_BEHIND,
                            .rate_law = BF_RATE_FILM_AND_BEAD,
                            .equilibrium = BF_EQUILIBRIUM_MASS_ACTION_IDEAL,
                            .sources = 3};
    column_case sample;
    column_case_create(&choice, selectivity, &seed, &sample);
    prepared ready = prepare(&sample, 0.0, 0.0);
    double *b = draw_side(&sample, &seed);
    double *x = numbers(sample.length);
    bf__block_solver_solve(ready.solver, b, x);
    size_t *place = calloc(sample.length, sizeof *place);
    ck_assert_ptr_nonnull(place);
    size_t n = column_unknowns(&sample.column.layout, place);
    for (size_t k = 0; k < n; k++) {
        ck_assert(x[place[k]] == b[place[k]]);
    }
    free(place);
    free(b);
    free(x);
    drop(&ready);
    column_case_free(&sample);
    bf_selectivity_free(selectivity);
}
END_TEST

/* A pivot that vanishes, or that is no number, is told. For a flat profile the tracer's pivot is 1
 * + gamma v: a step of -1/v, which no integrator asks for, makes it zero. */
START_TEST(a_vanished_pivot_is_told)
{
    unsigned long long seed = 606;
    bf_selectivity *selectivity = column_equilibrium(2, BF_EQUILIBRIUM_MASS_ACTION_IDEAL);
    column_choice choice = {.cells = 6,
                            .ions = 2,
                            .shells = 2,
                            .rate_law = BF_RATE_FILM_AND_BEAD,
                            .equilibrium = BF_EQUILIBRIUM_MASS_ACTION_IDEAL};
    column_case sample;
    column_case_create(&choice, selectivity, &seed, &sample);
    sample.column.advance_per_s = 0.125;
    sample.column.spread_per_s = 0.0;
    sample.column.inlet_weight = 2.0;
    for (size_t k = 0; k < choice.cells; k++) {
        sample.state[k] = sample.column.inlet_normality;
    }
    prepared ready = prepare(&sample, 0.0, 1.0);
    ck_assert_int_eq(bf__block_solver_factor(ready.solver, &sample.column, ready.jacobian, -8.0),
                     1);
    ck_assert_int_eq(bf__block_solver_factor(ready.solver, &sample.column, ready.jacobian, 1.0), 0);
    ready.jacobian->exchange[0].by_pore[3] = (double)NAN;
    ck_assert_int_eq(bf__block_solver_factor(ready.solver, &sample.column, ready.jacobian, 1.0), 1);
    drop(&ready);
    column_case_free(&sample);
    bf_selectivity_free(selectivity);
}
END_TEST

static int refuse(void *context, double time_s, const bf_cells *cells, double *const *block)
{
    (void)time_s, (void)cells, (void)block;
    return *(const int *)context;
}

/* What a source or the equilibrium says about a state reaches the caller. */
START_TEST(a_state_outside_the_domain_is_told)
{
    unsigned long long seed = 607;
    bf_error err = {0};
    bf_selectivity *selectivity = column_equilibrium(2, BF_EQUILIBRIUM_MASS_ACTION_IDEAL);
    column_choice choice = {.cells = 5,
                            .ions = 2,
                            .shells = 2,
                            .rate_law = BF_RATE_FILM_AND_BEAD,
                            .equilibrium = BF_EQUILIBRIUM_MASS_ACTION_IDEAL,
                            .sources = 1};
    column_case sample;
    column_case_create(&choice, selectivity, &seed, &sample);
    bf__jacobian *jacobian = NULL;
    assert_ok(bf__jacobian_create(&sample.column.layout, 1, &jacobian, &err));
    ck_assert_int_eq(bf__jacobian_evaluate(jacobian, &sample.column, 0.0, sample.state), 0);
    int answer = -1;
    sample.sources[0].slope = refuse;
    sample.sources[0].context = &answer;
    ck_assert_int_eq(bf__jacobian_evaluate(jacobian, &sample.column, 0.0, sample.state), -1);
    answer = 1;
    ck_assert_int_eq(bf__jacobian_evaluate(jacobian, &sample.column, 0.0, sample.state), 1);
    answer = 0;
    sample.state[2] = -1.0; /* normality */
    ck_assert_int_eq(bf__jacobian_evaluate(jacobian, &sample.column, 0.0, sample.state), 1);
    bf__jacobian_free(jacobian);
    bf__jacobian_free(NULL);
    bf__block_solver_free(NULL);
    column_case_free(&sample);
    bf_selectivity_free(selectivity);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {solutions_satisfy_the_equations,
                                  classes_of_bead_sizes_satisfy_the_equations,
                                  solutions_agree_with_a_dense_solver,
                                  a_deep_column_is_solved_as_well,
                                  a_factored_system_stands_on_its_own,
                                  no_step_changes_nothing,
                                  a_vanished_pivot_is_told,
                                  a_state_outside_the_domain_is_told};
    return support_run("bed.block_solver", tests, COUNT(tests), 240);
}
