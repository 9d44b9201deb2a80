/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Integration of one run in time: CVODE, variable-order BDF, modified Newton (newton.h).
 *
 * The end point is a root that CVODE locates, armed by looking only for rises: effluent that starts
 * above the end point does not end a run. Effluent amounts are states of the system, so BDF, which
 * keeps linear invariants, closes the balance to the solver's own precision.
 */
#include "bed/integrate.h"

#include "base/hot.h"
#include "bed/by_cell.h"
#include "bed/newton.h"
#include "bed/vector.h"

#include <cvode/cvode.h>
#include <math.h>
#include <nvector/nvector_serial.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* BDF of order 5 is unstable over a wide part of the left half plane along the imaginary axis (from
 * memory), where advection has its modes. Measured: counter-current rinses took up to three times
 * the steps, see docs/decisions/newton.md. */
enum { HIGHEST_ORDER = 4 };

struct bf__integrator {
    bf__newton newton; /* first: the user data of every call-back is this and the integrator */
    N_Vector between;  /* state at a time inside the last step */
    double *absolute;  /* tolerances, in rows */
    double *rate;      /* by cell: room for one rate in rows; else NULL */
    double relative_tolerance;
    double end_hardness;
    char complaint[256]; /* what CVODE said last */
};

/* ---- one vector, in either order ------------------------------------------------------------- */

double *bf__newton_rows(const bf__newton *newton, N_Vector vector)
{
    if (!newton->kind->by_cell) {
        return bf__vector_data(vector);
    }
    bf__by_cell_to_rows(bf__by_cell_length(&newton->layout), newton->place,
                        N_VGetArrayPointer(vector), newton->rows);
    return newton->rows;
}

static void take_rows(const bf__newton *newton, const double *rows, N_Vector vector)
{
    if (newton->kind->by_cell) {
        bf__by_cell_from_rows(bf__by_cell_length(&newton->layout), newton->place, rows,
                              N_VGetArrayPointer(vector));
    } else {
        memcpy(bf__vector_data(vector), rows, bf__layout_length(&newton->layout) * sizeof *rows);
    }
}

/* ---- what CVODE calls ------------------------------------------------------------------------ */

static int rate_of(realtype t, N_Vector y, N_Vector y_dot, void *user)
{
    const bf__newton *newton = user;
    return bf__column_rate(newton->column, t, bf__vector_data(y), bf__vector_data(y_dot));
}

static int rate_of_cells(realtype t, N_Vector y, N_Vector y_dot, void *user)
{
    const bf__integrator *integrator = user;
    const bf__newton *newton = &integrator->newton;
    int flag = bf__column_rate(newton->column, t, bf__newton_rows(newton, y), integrator->rate);
    take_rows(newton, integrator->rate, y_dot);
    return flag;
}

static double hardness_of(const bf__integrator *integrator, N_Vector state)
{
    const bf__newton *newton = &integrator->newton;
    return bf__column_effluent_hardness(newton->column, bf__newton_rows(newton, state));
}

static int above_end_hardness(realtype t, N_Vector y, realtype *root, void *user)
{
    (void)t;
    const bf__integrator *integrator = user;
    root[0] = hardness_of(integrator, y) - integrator->end_hardness;
    return 0;
}

/* 1/(relative |y| + absolute), in one pass instead of the library's four. */
BF__HOT static int set_weights(N_Vector y, N_Vector weight, void *user)
{
    const bf__integrator *integrator = user;
    const size_t length = bf__layout_length(&integrator->newton.layout);
    const double relative = integrator->relative_tolerance;
    const double *restrict input = bf__vector_data(y);
    const double *restrict absolute = integrator->absolute;
    double *restrict out = bf__vector_data(weight);
    for (size_t k = 0; k < length; k++) {
        double size = input[k] < 0.0 ? -input[k] : input[k];
        out[k] = 1.0 / (relative * size + absolute[k]);
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

/* ---- life ------------------------------------------------------------------------------------ */

static bf_status out_of_memory(bf_error *err)
{
    return bf_error_set(err, BF_E_MEMORY, "bf_bed_create", "no memory for the time integration");
}

static bf_status configure(bf__integrator *integrator, bf_error *err)
{
    const bf__newton *newton = &integrator->newton;
    const int by_cell = newton->kind->by_cell;
    void *cvode = newton->cvode;
    int flag = CVodeSetErrHandlerFn(cvode, keep_complaint, integrator);
    flag =
        flag != 0 ? flag : CVodeInit(cvode, by_cell ? rate_of_cells : rate_of, 0.0, newton->state);
    flag = flag != 0 ? flag : CVodeSetUserData(cvode, integrator);
    flag = flag != 0 || by_cell ? flag : CVodeWFtolerances(cvode, set_weights);
    flag = flag != 0 ? flag : newton->kind->attach(&integrator->newton);
    flag = flag != 0 ? flag : CVodeSetMaxOrd(cvode, HIGHEST_ORDER);
    flag = flag != 0 ? flag : CVodeSetMaxNumSteps(cvode, -1);
    if (flag != 0 && integrator->complaint[0] == '\0') {
        return out_of_memory(err);
    }
    if (flag != 0) {
        return bf_error_set(err, flag == CV_MEM_FAIL ? BF_E_MEMORY : BF_E_SOLVER, "bf_bed_create",
                            "CVODE cannot be set up: %s", integrator->complaint);
    }
    return BF_OK;
}

bf_status bf__integrator_create(const bf__newton_kind *kind, const bf__layout *layout,
                                int with_sources, double relative_tolerance,
                                const double *tolerance, bf__integrator **out, bf_error *err)
{
    *out = NULL;
    bf__integrator *integrator = calloc(1, sizeof *integrator);
    if (integrator == NULL) {
        return out_of_memory(err);
    }
    bf__newton *newton = &integrator->newton;
    newton->kind = kind;
    newton->layout = *layout;
    newton->with_sources = with_sources;
    integrator->relative_tolerance = relative_tolerance;
    bf_status status = BF_OK;
    if (SUNContext_Create(NULL, &newton->context) != 0) {
        status = out_of_memory(err);
        goto done;
    }
    const size_t by_rows = bf__layout_length(layout);
    const size_t by_cells = bf__by_cell_length(layout);
    /* Not by N_VClone(), which does not survive a clone that finds no memory. */
    if (kind->by_cell) {
        newton->state = N_VNew_Serial((sunindextype)by_cells, newton->context);
        integrator->between = N_VNew_Serial((sunindextype)by_cells, newton->context);
        newton->place = calloc(by_cells, sizeof *newton->place);
        newton->rows = calloc(by_rows, sizeof *newton->rows);
        integrator->rate = calloc(by_rows, sizeof *integrator->rate);
    } else {
        newton->state = bf__vector_create(by_rows, newton->context);
        integrator->between = bf__vector_create(by_rows, newton->context);
    }
    integrator->absolute = calloc(by_rows, sizeof *integrator->absolute);
    newton->cvode = CVodeCreate(CV_BDF, newton->context);
    if (newton->state == NULL || integrator->between == NULL || integrator->absolute == NULL ||
        newton->cvode == NULL ||
        (kind->by_cell &&
         (newton->place == NULL || newton->rows == NULL || integrator->rate == NULL))) {
        status = out_of_memory(err);
        goto done;
    }
    memcpy(integrator->absolute, tolerance, by_rows * sizeof *tolerance);
    status = configure(integrator, err);
    if (status == BF_OK) {
        *out = integrator;
        integrator = NULL;
    }
done:
    bf__integrator_free(integrator);
    return status;
}

void bf__integrator_free(bf__integrator *integrator)
{
    if (integrator == NULL) {
        return;
    }
    bf__newton *newton = &integrator->newton;
    if (newton->cvode != NULL) {
        CVodeFree(&newton->cvode);
    }
    newton->kind->detach(newton);
    if (newton->linear_solver != NULL) {
        (void)SUNLinSolFree(newton->linear_solver);
    }
    if (newton->matrix != NULL) {
        SUNMatDestroy(newton->matrix);
    }
    N_Vector vectors[] = {newton->state, integrator->between};
    for (size_t i = 0; i < sizeof vectors / sizeof *vectors; i++) {
        if (vectors[i] != NULL) {
            N_VDestroy(vectors[i]);
        }
    }
    if (newton->context != NULL) {
        (void)SUNContext_Free(&newton->context);
    }
    free(newton->place);
    free(newton->rows);
    free(integrator->rate);
    free(integrator->absolute);
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

/* First leakage: the effluent at one time inside the step just taken. */
static bf_status read_first(bf__integrator *integrator, bf__integration *run, bf_error *err)
{
    if (CVodeGetDky(integrator->newton.cvode, run->first_at_s, 0, integrator->between) != 0) {
        return gave_up(integrator, run->first_at_s, err);
    }
    run->hardness_first_eq_per_m3 = hardness_of(integrator, integrator->between);
    return BF_OK;
}

/* Everything CVODE must be told anew: where it starts, when it ends, what it looks for. */
static int start(bf__integrator *integrator, const bf__column *column, const double *state,
                 const bf__integration *run)
{
    bf__newton *newton = &integrator->newton;
    void *cvode = newton->cvode;
    const int has_end = !isnan(run->end_hardness_eq_per_m3);
    int flag = 0;
    int rising = 1;
    newton->column = column;
    integrator->end_hardness = run->end_hardness_eq_per_m3;
    integrator->complaint[0] = '\0';
    if (newton->kind->by_cell) { /* the freeboard changes its place with the flow */
        bf__by_cell_places(&newton->layout, column->freeboard, newton->place);
        take_rows(newton, integrator->absolute, integrator->between);
        flag = CVodeSVtolerances(cvode, integrator->relative_tolerance, integrator->between);
    }
    take_rows(newton, state, newton->state);
    flag = flag != 0 ? flag : CVodeReInit(cvode, run->start_s, newton->state);
    flag = flag != 0 ? flag : CVodeRootInit(cvode, has_end, has_end ? above_end_hardness : NULL);
    flag = flag != 0 || !has_end ? flag : CVodeSetRootDirection(cvode, &rising);
    flag = flag != 0 || !has_end ? flag : CVodeSetNoInactiveRootWarn(cvode);
    flag = flag != 0 ? flag : CVodeSetStopTime(cvode, run->start_s + run->duration_s);
    /* A step below rounding of the time would creep for ever towards a state that is refused. */
    return flag != 0 ? flag : CVodeSetMinStep(cvode, 1e-14 * run->duration_s);
}

bf_status bf__integrator_run(bf__integrator *integrator, const bf__column *column, double *state,
                             bf__integration *run,
                             void (*observe)(void *context, double time_s, const double *state),
                             void *context, bf_error *err)
{
    const bf__newton *newton = &integrator->newton;
    const double longest = run->start_s + run->duration_s;
    if (start(integrator, column, state, run) != 0) {
        return gave_up(integrator, 0.0, err);
    }
    run->reached_end_hardness = 0;
    run->hardness_first_eq_per_m3 = NAN;
    run->hardness_low_eq_per_m3 = hardness_of(integrator, newton->state);
    double time_s = run->start_s;
    while (time_s < longest && !run->reached_end_hardness) {
        double before_s = time_s;
        int flag = CVode(newton->cvode, longest, newton->state, &time_s, CV_ONE_STEP);
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
            fmin(run->hardness_low_eq_per_m3, hardness_of(integrator, newton->state));
        if (observe != NULL) {
            observe(context, time_s, bf__newton_rows(newton, newton->state));
        }
        if (flag == CV_TSTOP_RETURN) {
            break;
        }
    }
    run->duration_s = time_s - run->start_s;
    run->hardness_last_eq_per_m3 = hardness_of(integrator, newton->state);
    (void)CVodeGetNumSteps(newton->cvode, &run->steps);
    memcpy(state, bf__newton_rows(newton, newton->state),
           bf__layout_length(&newton->layout) * sizeof *state);
    return BF_OK;
}
