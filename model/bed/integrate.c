/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Integration of one run in time: CVODE, variable-order BDF, modified Newton.
 *
 * The Newton matrix I - gamma J is the bed's own (jacobian.c), factored by its structure
 * (block_solver.c) and refreshed often, since fronts cross cells within a few steps. The end point
 * is a root that CVODE locates, armed by looking only for rises: effluent that starts above the end
 * point does not end a run. Effluent amounts are states of the system, so BDF, which keeps linear
 * invariants, closes the balance to the solver's own precision.
 */
#include "bed/integrate.h"

#include "base/hot.h"
#include "bed/block_solver.h"
#include "bed/jacobian.h"
#include "bed/vector.h"

#include <cvode/cvode.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sundials/sundials_linearsolver.h>
#include <sundials/sundials_matrix.h>

/* Steps between two Newton matrices, at the most. Measured on cases/bulletin_500.yaml; the stock 20
 * needs about a third more steps. */
enum { STEPS_BETWEEN_MATRICES = 3 };

/* Newton stops when it is this part of the error allowed to a step; the stock tenth leaves a
 * residue that the error estimate takes for error, and costs a fifth more steps. */
static const double newton_share = 0.03;
enum { NEWTON_ITERATIONS = 4 };

struct bf__integrator {
    SUNContext context;
    void *cvode;
    N_Vector state;
    N_Vector tolerance;
    N_Vector between; /* state at a time inside the last step */
    SUNMatrix matrix;
    SUNLinearSolver linear_solver;
    bf__jacobian *jacobian;
    bf__block_solver *block_solver;
    bf__layout at;
    double relative_tolerance;
    const bf__column *column; /* of the current run */
    double end_hardness;
    char complaint[256]; /* what CVODE said last */
};

/* ---- what CVODE calls ------------------------------------------------------------------------ */

static int rate_of(realtype t, N_Vector y, N_Vector y_dot, void *user)
{
    const bf__integrator *integrator = user;
    return bf__column_rate(integrator->column, t, bf__vector_data(y), bf__vector_data(y_dot));
}

static int above_end_hardness(realtype t, N_Vector y, realtype *root, void *user)
{
    (void)t;
    const bf__integrator *integrator = user;
    root[0] = bf__column_effluent_hardness(integrator->column, bf__vector_data(y)) -
              integrator->end_hardness;
    return 0;
}

static int newton_matrix(realtype t, N_Vector y, N_Vector fy, SUNMatrix matrix, booleantype jok,
                         booleantype *jcur, realtype gamma, void *user, N_Vector t1, N_Vector t2,
                         N_Vector t3)
{
    (void)fy, (void)matrix, (void)jok, (void)t1, (void)t2, (void)t3;
    bf__integrator *integrator = user;
    int flag =
        bf__jacobian_evaluate(integrator->jacobian, integrator->column, t, bf__vector_data(y));
    *jcur = SUNTRUE; /* the slopes cost less than the factoring: never reuse old ones */
    return flag != 0 ? flag
                     : bf__block_solver_factor(integrator->block_solver, integrator->column,
                                               integrator->jacobian, gamma);
}

static int linear_solve(SUNLinearSolver solver, SUNMatrix matrix, N_Vector x, N_Vector b,
                        realtype tolerance)
{
    (void)matrix, (void)tolerance;
    bf__block_solver_solve(solver->content, bf__vector_data(b), bf__vector_data(x));
    return 0;
}

/* 1/(relative |y| + absolute), in one pass instead of the library's four. */
BF__HOT static int set_weights(N_Vector y, N_Vector weight, void *user)
{
    const bf__integrator *integrator = user;
    const size_t length = bf__layout_length(&integrator->at);
    const double relative = integrator->relative_tolerance;
    const double *restrict from = bf__vector_data(y);
    const double *restrict absolute = bf__vector_data(integrator->tolerance);
    double *restrict to = bf__vector_data(weight);
    for (size_t k = 0; k < length; k++) {
        double size = from[k] < 0.0 ? -from[k] : from[k];
        to[k] = 1.0 / (relative * size + absolute[k]);
    }
    return 0;
}

static void keep_complaint(int code, const char *module, const char *function, char *message,
                           void *user)
{
    (void)code, (void)module, (void)function;
    bf__integrator *integrator = user;
    (void)snprintf(integrator->complaint, sizeof integrator->complaint, "%s", message);
}

/* ---- the matrix and solver objects: empty clothes for the block solver ----------------------- */

static SUNLinearSolver_Type direct_type(SUNLinearSolver solver)
{
    (void)solver;
    return SUNLINEARSOLVER_DIRECT;
}

static SUNLinearSolver_ID custom_solver(SUNLinearSolver solver)
{
    (void)solver;
    return SUNLINEARSOLVER_CUSTOM;
}

static int nothing_to_set_up(SUNLinearSolver solver, SUNMatrix matrix)
{
    (void)solver, (void)matrix;
    return 0; /* newton_matrix() has factored already */
}

static int free_solver(SUNLinearSolver solver)
{
    solver->content = NULL; /* borrowed */
    SUNLinSolFreeEmpty(solver);
    return 0;
}

static SUNMatrix_ID custom_matrix(SUNMatrix matrix)
{
    (void)matrix;
    return SUNMATRIX_CUSTOM;
}

static void free_matrix(SUNMatrix matrix)
{
    SUNMatFreeEmpty(matrix);
}

static int dress(bf__integrator *made)
{
    made->matrix = SUNMatNewEmpty(made->context);
    made->linear_solver = SUNLinSolNewEmpty(made->context);
    if (made->matrix == NULL || made->linear_solver == NULL) {
        return 1;
    }
    made->matrix->ops->getid = custom_matrix;
    made->matrix->ops->destroy = free_matrix;
    made->linear_solver->ops->gettype = direct_type;
    made->linear_solver->ops->getid = custom_solver;
    made->linear_solver->ops->setup = nothing_to_set_up;
    made->linear_solver->ops->solve = linear_solve;
    made->linear_solver->ops->free = free_solver;
    made->linear_solver->content = made->block_solver;
    return 0;
}

/* ---- life ------------------------------------------------------------------------------------ */

static bf_status out_of_memory(bf_error *err)
{
    return bf_error_set(err, BF_E_MEMORY, "bf_bed_create", "no memory for the time integration");
}

static bf_status configure(bf__integrator *made, bf_error *err)
{
    int flag = CVodeSetErrHandlerFn(made->cvode, keep_complaint, made);
    flag = flag != 0 ? flag : CVodeInit(made->cvode, rate_of, 0.0, made->state);
    flag = flag != 0 ? flag : CVodeSetUserData(made->cvode, made);
    flag = flag != 0 ? flag : CVodeWFtolerances(made->cvode, set_weights);
    flag = flag != 0 ? flag : CVodeSetLinearSolver(made->cvode, made->linear_solver, made->matrix);
    flag = flag != 0 ? flag : CVodeSetLinSysFn(made->cvode, newton_matrix);
    flag = flag != 0 ? flag : CVodeSetLSetupFrequency(made->cvode, STEPS_BETWEEN_MATRICES);
    flag = flag != 0 ? flag : CVodeSetNonlinConvCoef(made->cvode, newton_share);
    flag = flag != 0 ? flag : CVodeSetMaxNonlinIters(made->cvode, NEWTON_ITERATIONS);
    flag = flag != 0 ? flag : CVodeSetMaxNumSteps(made->cvode, -1);
    if (flag == CV_MEM_FAIL) {
        return out_of_memory(err);
    }
    if (flag != 0) {
        return bf_error_set(err, BF_E_SOLVER, "bf_bed_create", "CVODE cannot be set up: %s",
                            made->complaint);
    }
    return BF_OK;
}

bf_status bf__integrator_create(const bf__layout *at, int with_sources, double relative_tolerance,
                                const double *tolerance, bf__integrator **out, bf_error *err)
{
    *out = NULL;
    bf__integrator *made = calloc(1, sizeof *made);
    if (made == NULL) {
        return out_of_memory(err);
    }
    made->at = *at;
    made->relative_tolerance = relative_tolerance;
    bf_status status = BF_OK;
    if (SUNContext_Create(NULL, &made->context) != 0) {
        status = out_of_memory(err);
        goto done;
    }
    const size_t length = bf__layout_length(at);
    made->state = bf__vector_create(length, made->context);
    made->tolerance = bf__vector_create(length, made->context);
    made->between = bf__vector_create(length, made->context);
    made->cvode = CVodeCreate(CV_BDF, made->context);
    if (made->state == NULL || made->tolerance == NULL || made->between == NULL ||
        made->cvode == NULL) {
        status = out_of_memory(err);
        goto done;
    }
    memcpy(bf__vector_data(made->tolerance), tolerance, length * sizeof *tolerance);
    status = bf__jacobian_create(at, with_sources, &made->jacobian, err);
    if (status == BF_OK) {
        status = bf__block_solver_create(at, with_sources, &made->block_solver, err);
    }
    if (status == BF_OK && dress(made) != 0) {
        status = out_of_memory(err);
    }
    if (status == BF_OK) {
        status = configure(made, err);
    }
    if (status == BF_OK) {
        *out = made;
        made = NULL;
    }
done:
    bf__integrator_free(made);
    return status;
}

void bf__integrator_free(bf__integrator *integrator)
{
    if (integrator == NULL) {
        return;
    }
    if (integrator->cvode != NULL) {
        CVodeFree(&integrator->cvode);
    }
    if (integrator->linear_solver != NULL) {
        (void)SUNLinSolFree(integrator->linear_solver);
    }
    if (integrator->matrix != NULL) {
        SUNMatDestroy(integrator->matrix);
    }
    N_Vector vectors[] = {integrator->state, integrator->tolerance, integrator->between};
    for (size_t i = 0; i < sizeof vectors / sizeof *vectors; i++) {
        if (vectors[i] != NULL) {
            N_VDestroy(vectors[i]);
        }
    }
    bf__jacobian_free(integrator->jacobian);
    bf__block_solver_free(integrator->block_solver);
    if (integrator->context != NULL) {
        (void)SUNContext_Free(&integrator->context);
    }
    free(integrator);
}

/* ---- a run ----------------------------------------------------------------------------------- */

static bf_status gave_up(const bf__integrator *integrator, double time_s, bf_error *err)
{
    return bf_error_set(err, BF_E_SOLVER, "bf_bed_run",
                        "the integration stopped after %.4g s: %s; try a finer tolerance or more "
                        "cells",
                        time_s, integrator->complaint);
}

static double hardness_of(const bf__integrator *integrator, N_Vector state)
{
    return bf__column_effluent_hardness(integrator->column, bf__vector_data(state));
}

/* First leakage: the effluent at one time inside the step just taken. */
static bf_status read_first(bf__integrator *integrator, bf__integration *run, bf_error *err)
{
    if (CVodeGetDky(integrator->cvode, run->first_at_s, 0, integrator->between) != 0) {
        return gave_up(integrator, run->first_at_s, err);
    }
    run->hardness_first_eq_per_m3 = hardness_of(integrator, integrator->between);
    return BF_OK;
}

bf_status bf__integrator_run(bf__integrator *integrator, const bf__column *column, double *state,
                             bf__integration *run,
                             void (*observe)(void *context, double time_s, const double *state),
                             void *context, bf_error *err)
{
    const size_t length = bf__layout_length(&integrator->at);
    const double longest = run->duration_s;
    const int has_end = !isnan(run->end_hardness_eq_per_m3);
    integrator->column = column;
    integrator->end_hardness = run->end_hardness_eq_per_m3;
    integrator->complaint[0] = '\0';
    double *y = bf__vector_data(integrator->state);
    memcpy(y, state, length * sizeof *y);

    run->reached_end_hardness = 0;
    run->hardness_first_eq_per_m3 = NAN;
    run->hardness_low_eq_per_m3 = hardness_of(integrator, integrator->state);
    int rising = 1;
    int flag = CVodeReInit(integrator->cvode, 0.0, integrator->state);
    flag = flag != 0
               ? flag
               : CVodeRootInit(integrator->cvode, has_end, has_end ? above_end_hardness : NULL);
    flag = flag != 0 || !has_end ? flag : CVodeSetRootDirection(integrator->cvode, &rising);
    flag = flag != 0 || !has_end ? flag : CVodeSetNoInactiveRootWarn(integrator->cvode);
    flag = flag != 0 ? flag : CVodeSetStopTime(integrator->cvode, longest);
    /* A step below rounding of the time would creep for ever towards a state that is refused. */
    flag = flag != 0 ? flag : CVodeSetMinStep(integrator->cvode, 1e-14 * longest);
    if (flag != 0) {
        return gave_up(integrator, 0.0, err);
    }
    double time_s = 0.0;
    while (time_s < longest && !run->reached_end_hardness) {
        double before_s = time_s;
        flag = CVode(integrator->cvode, longest, integrator->state, &time_s, CV_ONE_STEP);
        if (flag < 0) {
            return gave_up(integrator, time_s, err);
        }
        run->reached_end_hardness = flag == CV_ROOT_RETURN;
        if (before_s < run->first_at_s && run->first_at_s <= time_s) {
            bf_status status = read_first(integrator, run, err);
            if (status != BF_OK) {
                return status;
            }
        }
        run->hardness_low_eq_per_m3 =
            fmin(run->hardness_low_eq_per_m3, hardness_of(integrator, integrator->state));
        if (observe != NULL) {
            observe(context, time_s, y);
        }
        if (flag == CV_TSTOP_RETURN) {
            break;
        }
    }
    run->duration_s = time_s;
    run->hardness_last_eq_per_m3 = hardness_of(integrator, integrator->state);
    (void)CVodeGetNumSteps(integrator->cvode, &run->steps);
    memcpy(state, y, length * sizeof *y);
    return BF_OK;
}
