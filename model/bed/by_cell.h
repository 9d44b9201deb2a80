/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The state with all that belongs to one cell side by side, for solvers that know bands only.
 *
 *     freeboard, when the flow passes it first | cell 0: C, c_1 .. c_E, y.., locals | cell 1 | ..
 *     | freeboard, when the flow passes it last or not at all | effluent integrals
 *
 * Then a cell is coupled to the two before it and the one after it: with R quantities a cell, 2 R
 * sub-diagonals and R super-diagonals, both scalars at either end included. No padding.
 */
#ifndef BF_BED_BY_CELL_H
#define BF_BED_BY_CELL_H

#include "bed/column.h"

size_t bf__by_cell_length(const bf__layout *layout);

/* place[k]: where element k of the state by cells stands in the layout by rows. */
void bf__by_cell_places(const bf__layout *layout, bf__freeboard freeboard, size_t *place);

void bf__by_cell_from_rows(size_t length, const size_t *place, const double *rows, double *cells);
void bf__by_cell_to_rows(size_t length, const size_t *place, const double *cells, double *rows);

#endif
