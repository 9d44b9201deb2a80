/* SPDX-License-Identifier: GPL-3.0-or-later */
/* (I - gamma J) x = b for the bed's own structure; block_solver.c states the elimination. */
#ifndef BF_BED_BLOCK_SOLVER_H
#define BF_BED_BLOCK_SOLVER_H

#include "bed/jacobian.h"

typedef struct bf__block_solver bf__block_solver;

BF_MUST_CHECK bf_status bf__block_solver_create(const bf__layout *layout, int with_sources,
                                                bf__block_solver **out, bf_error *err);
void bf__block_solver_free(bf__block_solver *solver);

/* Factor I - gamma J. The solver keeps what it needs: the Jacobian may change afterwards.
 * @return 0, or 1 when a pivot vanished or was not finite (take a shorter step). */
int bf__block_solver_factor(bf__block_solver *solver, const bf__column *column,
                            const bf__jacobian *jacobian, double gamma);

/* x = (I - gamma J)^-1 b, whole state vectors; x and b may be the same. */
void bf__block_solver_solve(bf__block_solver *solver, const double *b, double *x);

#endif
