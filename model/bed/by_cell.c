/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Turns the state over from a row a quantity to a block a cell, and back; by_cell.h draws it. */
#include "bed/by_cell.h"

size_t bf__by_cell_length(const bf__layout *layout)
{
    return layout->cells * bf__layout_rows(layout) + 2 * (1 + layout->ions);
}

static size_t *put_range(size_t *next, size_t first, size_t count)
{
    for (size_t q = 0; q < count; q++) {
        *next++ = first + q;
    }
    return next;
}

void bf__by_cell_places(const bf__layout *layout, bf__freeboard freeboard, size_t *place)
{
    const size_t moving = 1 + layout->ions;
    size_t *next = place;
    if (freeboard == BF__FREEBOARD_BEFORE) {
        next = put_range(next, bf__layout_freeboard(layout), moving);
    }
    for (size_t k = 0; k < layout->cells; k++) {
        for (size_t row = 0; row < bf__layout_rows(layout); row++) {
            *next++ = bf__layout_row(layout, row) + k;
        }
    }
    if (freeboard != BF__FREEBOARD_BEFORE) {
        next = put_range(next, bf__layout_freeboard(layout), moving);
    }
    (void)put_range(next, bf__layout_effluent(layout), moving);
}

void bf__by_cell_from_rows(size_t length, const size_t *place, const double *rows, double *cells)
{
    for (size_t k = 0; k < length; k++) {
        cells[k] = rows[place[k]];
    }
}

void bf__by_cell_to_rows(size_t length, const size_t *place, const double *cells, double *rows)
{
    for (size_t k = 0; k < length; k++) {
        rows[place[k]] = cells[k];
    }
}
