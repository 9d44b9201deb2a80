/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The generic way, as a check on the bed's own: a banded matrix of difference quotients, one
 * right-hand side per diagonal, factored with pivoting; matrix, solver, vectors and every setting
 * are the library's own. */
#include "bed/newton.h"

#include "bed/by_cell.h"

#include <cvode/cvode.h>
#include <sunlinsol/sunlinsol_band.h>
#include <sunmatrix/sunmatrix_band.h>

static int attach(bf__newton *newton)
{
    const sunindextype length = (sunindextype)bf__by_cell_length(&newton->layout);
    const sunindextype rows = (sunindextype)bf__layout_rows(&newton->layout);
    newton->matrix = SUNBandMatrix(length, rows, 2 * rows, newton->context);
    newton->linear_solver = newton->matrix != NULL
                                ? SUNLinSol_Band(newton->state, newton->matrix, newton->context)
                                : NULL;
    return newton->linear_solver == NULL ||
           CVodeSetLinearSolver(newton->cvode, newton->linear_solver, newton->matrix) != 0;
}

static void detach(bf__newton *newton)
{
    (void)newton; /* matrix and solver are all there is */
}

const bf__newton_kind bf__newton_banded = {.by_cell = 1, .attach = attach, .detach = detach};
