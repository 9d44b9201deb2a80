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
enum { STEPS_BETWEEN_MATRICES = 3, ITERATIONS = 4 }; /* 4: numerical choice, then a new matrix */

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

static int make_matrix(block_newton *iteration, const problem *system, const double *point,
                       long step)
{
    iteration->gamma = system->gamma;
    iteration->matrix_step = step;
    iteration->convergence = 1.0;
    int flag = bf__jacobian_evaluate(iteration->jacobian, iteration->newton->column, system->time_s,
                                     point);
    return flag != 0 ? flag
                     : bf__block_solver_factor(iteration->solver, iteration->newton->column,
                                               iteration->jacobian, system->gamma);
}

BF__HOT static void add(size_t n, const double *restrict a, const double *restrict b,
                        double *restrict sum)
{
    for (size_t k = 0; k < n; k++) {
        sum[k] = a[k] + b[k];
    }
}

/* -G(e) */
BF__HOT static void residual(size_t n, const problem *system, double *restrict out)
{
    const double gamma = system->gamma;
    const double weight = system->history_weight;
    const double *restrict rate = system->rate;
    const double *restrict history = system->history;
    const double *restrict correction = system->correction;
    for (size_t k = 0; k < n; k++) {
        out[k] = gamma * rate[k] - (weight * history[k] + correction[k]);
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
static int iterate(block_newton *iteration, const problem *system)
{
    const size_t n = bf__layout_length(&iteration->newton->layout);
    double before = 0.0;
    for (int pass = 0; pass < ITERATIONS; pass++) {
        const double *point = system->predicted;
        if (pass > 0) {
            add(n, system->predicted, system->correction, system->state);
            point = system->state;
        }
        int flag = bf__column_rate(iteration->newton->column, system->time_s, point, system->rate);
        if (flag != 0) {
            return flag;
        }
        residual(n, system, iteration->step);
        bf__block_solver_solve(iteration->solver, iteration->step, iteration->step);
        double size = advance(n, 2.0 / (1.0 + system->gamma / iteration->gamma), iteration->step,
                              system->weight, system->correction);
        if (pass > 0) {
            iteration->convergence = fmax(slowest_gain * iteration->convergence, size / before);
        }
        if (size * fmin(1.0, iteration->convergence) <= system->tolerance) {
            return 0;
        }
        if (!(pass == 0 || size <= divergence * before)) {
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
    block_newton *iteration = shell->content;
    void *cvode = iteration->newton->cvode;
    N_Vector predicted, state, rate, history;
    void *user;
    problem system = {.weight = bf__vector_data(weight),
                      .correction = bf__vector_data(correction),
                      .tolerance = tolerance};
    long step = 0;
    int flag = CVodeGetNonlinearSystemData(cvode, &system.time_s, &predicted, &state, &rate,
                                           &system.gamma, &system.history_weight, &history, &user);
    flag = flag != 0 ? flag : CVodeGetNumSteps(cvode, &step);
    if (flag != 0) {
        return flag;
    }
    system.predicted = bf__vector_data(predicted);
    system.state = bf__vector_data(state);
    system.rate = bf__vector_data(rate);
    system.history = bf__vector_data(history);
    int is_new = step == 0 || step >= iteration->matrix_step + STEPS_BETWEEN_MATRICES ||
                 fabs(system.gamma / iteration->gamma - 1.0) > gamma_change;
    for (;;) {
        flag = is_new ? make_matrix(iteration, &system, system.predicted, step) : 0;
        flag = flag != 0 ? flag : iterate(iteration, &system);
        if (flag <= 0 || is_new) {
            return answer(flag);
        }
        is_new = 1; /* once more from the start, with a matrix of this step */
        memset(system.correction, 0,
               bf__layout_length(&iteration->newton->layout) * sizeof *system.correction);
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
    block_newton *iteration = calloc(1, sizeof *iteration);
    newton->content = iteration;
    if (iteration == NULL) {
        return 1;
    }
    iteration->newton = newton;
    iteration->step = calloc(bf__layout_length(&newton->layout), sizeof *iteration->step);
    iteration->shell = SUNNonlinSolNewEmpty(newton->context);
    if (iteration->step == NULL || iteration->shell == NULL ||
        bf__jacobian_create(&newton->layout, newton->with_sources, &iteration->jacobian, NULL) !=
            BF_OK ||
        bf__block_solver_create(&newton->layout, newton->with_sources, &iteration->solver, NULL) !=
            BF_OK) {
        return 1;
    }
    iteration->shell->content = iteration;
    iteration->shell->ops->gettype = root_finding;
    iteration->shell->ops->setsysfn = own_system;
    iteration->shell->ops->solve = solve;
    int flag = CVodeSetNonlinearSolver(newton->cvode, iteration->shell);
    return flag != 0 ? flag : CVodeSetNonlinConvCoef(newton->cvode, newton_share);
}

static void detach(bf__newton *newton)
{
    block_newton *iteration = newton->content;
    if (iteration != NULL) {
        if (iteration->shell != NULL) {
            iteration->shell->content = NULL; /* goes below */
            SUNNonlinSolFreeEmpty(iteration->shell);
        }
        bf__jacobian_free(iteration->jacobian);
        bf__block_solver_free(iteration->solver);
        free(iteration->step);
        free(iteration);
        newton->content = NULL;
    }
}

const bf__newton_kind bf__newton_block = {.attach = attach, .detach = detach};
