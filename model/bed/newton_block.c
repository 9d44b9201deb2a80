/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The bed's own Newton iteration. A step of BDF asks for the correction e of its prediction p with
 *
 *     G(e) = r z + e - gamma f(t, p + e) = 0,   (I - gamma J) d = -G(e),   e <- e + s d
 *
 * r z from the history, J by its structure (jacobian.c), factored by it (block_solver.c) and
 * refreshed often, since fronts cross cells within a few steps. A matrix of gamma' is used at gamma
 * with s = 2/(1 + gamma/gamma'), the mean error over slow and stiff modes being least then.
 *
 * Stops when |s d| min(1, c)/tolerance <= 1 in CVODE's weighted norm, c the convergence seen; gives
 * the step back when it diverges with a new matrix.
 *
 * Why not the library's Newton over its interface for linear solvers: the same arithmetic, but nine
 * passes over memory an iteration in place of three. Source of method and constants: Hindmarsh et
 * al., ACM Trans. Math. Softw. 31 (2005) 363 (from memory).
 */
#include "bed/newton.h"

#include "base/hot.h"
#include "bed/block_solver.h"
#include "bed/vector.h"

#include <cvode/cvode.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <sundials/sundials_nonlinearsolver.h>

/* Steps between two matrices, at the most. Measured on cases/bulletin_500.yaml; 20, which suits
 * slower slopes, needs about a third more steps. */
enum { STEPS_BETWEEN_MATRICES = 3, ITERATIONS = 4 };

/* A larger relative change of gamma asks for a new matrix; CVODE's own choice (from memory). */
static const double gamma_change = 0.3;

/* An iteration has converged at this part of the error allowed to a step; a tenth leaves a residue
 * that the error estimate takes for error, and costs a fifth more steps. */
static const double newton_share = 0.03;

/* How fast the convergence seen before is forgotten, and when an iteration counts as diverging:
 * CVODE's own choices (from memory). */
static const double slowest_gain = 0.3;
static const double divergence = 2.0;

typedef struct block_newton {
    const bf__newton *newton;
    SUNNonlinearSolver shell; /* what CVODE sees */
    bf__jacobian *jacobian;
    bf__block_solver *solver;
    double *step;       /* d, then s d */
    double gamma;       /* of the matrix */
    long matrix_step;   /* CVODE's count of steps when it was made */
    double convergence; /* c */
} block_newton;

/* What CVODE lays out for one solution. */
typedef struct problem {
    double time_s, gamma, history_weight;
    const double *predicted, *history, *weight;
    double *state, *rate, *correction;
    double tolerance;
} problem;

static int make_matrix(block_newton *with, const problem *of, const double *at, long step)
{
    with->gamma = of->gamma;
    with->matrix_step = step;
    with->convergence = 1.0;
    int flag = bf__jacobian_evaluate(with->jacobian, with->newton->column, of->time_s, at);
    return flag != 0 ? flag
                     : bf__block_solver_factor(with->solver, with->newton->column, with->jacobian,
                                               of->gamma);
}

BF__HOT static void add(size_t n, const double *restrict a, const double *restrict b,
                        double *restrict sum)
{
    for (size_t k = 0; k < n; k++) {
        sum[k] = a[k] + b[k];
    }
}

/* -G(e) */
BF__HOT static void residual(size_t n, const problem *of, double *restrict to)
{
    const double gamma = of->gamma;
    const double weight = of->history_weight;
    const double *restrict rate = of->rate;
    const double *restrict history = of->history;
    const double *restrict correction = of->correction;
    for (size_t k = 0; k < n; k++) {
        to[k] = gamma * rate[k] - (weight * history[k] + correction[k]);
    }
}

/* e <- e + s d. @return |s d|; lanes are always the same, for the same bits on every machine */
BF__HOT static double advance(size_t n, double s, const double *restrict d,
                              const double *restrict weight, double *restrict e)
{
    double lane[8] = {0.0};
    size_t k = 0;
    for (; k + 8 <= n; k += 8) {
        for (size_t l = 0; l < 8; l++) {
            double step = s * d[k + l];
            double term = step * weight[k + l];
            e[k + l] += step;
            lane[l] += term * term;
        }
    }
    for (; k < n; k++) {
        double step = s * d[k];
        double term = step * weight[k];
        e[k] += step;
        lane[0] += term * term;
    }
    double sum =
        ((lane[0] + lane[1]) + (lane[2] + lane[3])) + ((lane[4] + lane[5]) + (lane[6] + lane[7]));
    return sqrt(sum / (double)n);
}

/* CVODE knows its own words only. */
static int answer(int flag)
{
    return flag == 0 ? SUN_NLS_SUCCESS : flag > 0 ? SUN_NLS_CONV_RECVR : CV_RHSFUNC_FAIL;
}

/* One attempt. @return 0; above 0 not converged or out of the domain; below 0 given up */
static int iterate(block_newton *with, const problem *of)
{
    const size_t n = bf__layout_length(&with->newton->at);
    double before = 0.0;
    for (int iteration = 0; iteration < ITERATIONS; iteration++) {
        const double *at = of->predicted;
        if (iteration > 0) {
            add(n, of->predicted, of->correction, of->state);
            at = of->state;
        }
        int flag = bf__column_rate(with->newton->column, of->time_s, at, of->rate);
        if (flag != 0) {
            return flag;
        }
        residual(n, of, with->step);
        bf__block_solver_solve(with->solver, with->step, with->step);
        double size = advance(n, 2.0 / (1.0 + of->gamma / with->gamma), with->step, of->weight,
                              of->correction);
        if (iteration > 0) {
            with->convergence = fmax(slowest_gain * with->convergence, size / before);
        }
        if (size * fmin(1.0, with->convergence) <= of->tolerance) {
            return 0;
        }
        if (!(iteration == 0 || size <= divergence * before)) {
            break;
        }
        before = size;
    }
    return SUN_NLS_CONV_RECVR;
}

/* ---- what CVODE calls ------------------------------------------------------------------------ */

static int solve(SUNNonlinearSolver shell, N_Vector start, N_Vector correction, N_Vector weight,
                 realtype tolerance, booleantype matrix_wanted, void *memory)
{
    (void)start, (void)matrix_wanted, (void)memory;
    block_newton *with = shell->content;
    void *cvode = with->newton->cvode;
    N_Vector predicted, state, rate, history;
    void *user;
    problem of = {.weight = bf__vector_data(weight),
                  .correction = bf__vector_data(correction),
                  .tolerance = tolerance};
    long step = 0;
    int flag = CVodeGetNonlinearSystemData(cvode, &of.time_s, &predicted, &state, &rate, &of.gamma,
                                           &of.history_weight, &history, &user);
    flag = flag != 0 ? flag : CVodeGetNumSteps(cvode, &step);
    if (flag != 0) {
        return flag;
    }
    of.predicted = bf__vector_data(predicted);
    of.state = bf__vector_data(state);
    of.rate = bf__vector_data(rate);
    of.history = bf__vector_data(history);
    int is_new = step == 0 || step >= with->matrix_step + STEPS_BETWEEN_MATRICES ||
                 fabs(of.gamma / with->gamma - 1.0) > gamma_change;
    for (;;) {
        flag = is_new ? make_matrix(with, &of, of.predicted, step) : 0;
        flag = flag != 0 ? flag : iterate(with, &of);
        if (flag <= 0 || is_new) {
            return answer(flag);
        }
        is_new = 1; /* once more from the start, with a matrix of this step */
        memset(of.correction, 0, bf__layout_length(&with->newton->at) * sizeof *of.correction);
    }
}

static SUNNonlinearSolver_Type root_finding(SUNNonlinearSolver shell)
{
    (void)shell;
    return SUNNONLINEARSOLVER_ROOTFIND;
}

/* CVODE insists on handing its own G over; ours is the same in fewer passes. */
static int own_system(SUNNonlinearSolver shell, SUNNonlinSolSysFn system)
{
    (void)shell, (void)system;
    return SUN_NLS_SUCCESS;
}

/* ---- life ------------------------------------------------------------------------------------ */

static int attach(bf__newton *newton)
{
    block_newton *made = calloc(1, sizeof *made);
    newton->content = made;
    if (made == NULL) {
        return 1;
    }
    made->newton = newton;
    made->step = calloc(bf__layout_length(&newton->at), sizeof *made->step);
    made->shell = SUNNonlinSolNewEmpty(newton->context);
    if (made->step == NULL || made->shell == NULL ||
        bf__jacobian_create(&newton->at, newton->with_sources, &made->jacobian, NULL) != BF_OK ||
        bf__block_solver_create(&newton->at, newton->with_sources, &made->solver, NULL) != BF_OK) {
        return 1;
    }
    made->shell->content = made;
    made->shell->ops->gettype = root_finding;
    made->shell->ops->setsysfn = own_system;
    made->shell->ops->solve = solve;
    int flag = CVodeSetNonlinearSolver(newton->cvode, made->shell);
    return flag != 0 ? flag : CVodeSetNonlinConvCoef(newton->cvode, newton_share);
}

static void detach(bf__newton *newton)
{
    block_newton *made = newton->content;
    if (made != NULL) {
        if (made->shell != NULL) {
            made->shell->content = NULL; /* goes below */
            SUNNonlinSolFreeEmpty(made->shell);
        }
        bf__jacobian_free(made->jacobian);
        bf__block_solver_free(made->solver);
        free(made->step);
        free(made);
        newton->content = NULL;
    }
}

const bf__newton_kind bf__newton_block = {.attach = attach, .detach = detach};
