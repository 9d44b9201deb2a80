/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How CVODE's Newton matrix I - gamma J is formed and solved: one kind a file.
 *
 * newton_block.c is the bed's own way, newton_banded.c the library's, kept as a check on it.
 */
#ifndef BF_BED_NEWTON_H
#define BF_BED_NEWTON_H

#include "bed/column.h"

#include <sundials/sundials_linearsolver.h>
#include <sundials/sundials_matrix.h>
#include <sundials/sundials_nvector.h>

typedef struct bf__newton bf__newton;

typedef struct bf__newton_kind {
    int by_cell; /* CVODE works on the library's serial vectors in the order of by_cell.h; else on
                    our own vectors in the order of layout.h */
    /* Make matrix and linear solver and hand them to CVODE. @return 0; nonzero: no memory */
    int (*attach)(bf__newton *newton);
    void (*detach)(bf__newton *newton); /* frees content; matrix and solver are freed after it */
} bf__newton_kind;

/* What a kind works with; every CVODE call-back gets it as user data. */
struct bf__newton {
    const bf__newton_kind *kind;
    bf__layout layout;
    int with_sources;
    SUNContext context;
    void *cvode;
    N_Vector state;           /* one like all others, for creating */
    const bf__column *column; /* of the current run */
    size_t *place;            /* by cell: see by_cell.h, for the current run; else NULL */
    double *rows;             /* by cell: room for one state in rows; else NULL */
    SUNMatrix matrix;
    SUNLinearSolver linear_solver;
    void *content; /* the kind's own */
};

extern const bf__newton_kind bf__newton_block;
extern const bf__newton_kind bf__newton_banded;

/* Solve the steps of a bed from now on by another kind: for comparing kinds that no spec names. */
BF_MUST_CHECK bf_status bf__bed_solve_by(bf_bed *bed, const bf__newton_kind *kind, bf_error *err);

/* A vector in rows: the vector's own elements, or a copy that the next call overwrites. */
double *bf__newton_rows(const bf__newton *newton, N_Vector vector);

#endif
