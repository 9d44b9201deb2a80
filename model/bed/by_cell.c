/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "bed/by_cell.h"

size_t bf__by_cell_length(const bf__layout *at)
{
    return at->cells * bf__layout_rows(at) + 2 * (1 + at->ions);
}

static size_t *put_range(size_t *next, size_t first, size_t count)
{
    for (size_t q = 0; q < count; q++) {
        *next++ = first + q;
    }
    return next;
}

void bf__by_cell_places(const bf__layout *at, bf__freeboard freeboard, size_t *place)
{
    const size_t moving = 1 + at->ions;
    size_t *next = place;
    if (freeboard == BF__FREEBOARD_BEFORE) {
        next = put_range(next, bf__layout_freeboard(at), moving);
    }
    for (size_t k = 0; k < at->cells; k++) {
        for (size_t row = 0; row < bf__layout_rows(at); row++) {
            *next++ = row * at->stride + k;
        }
    }
    if (freeboard != BF__FREEBOARD_BEFORE) {
        next = put_range(next, bf__layout_freeboard(at), moving);
    }
    (void)put_range(next, bf__layout_effluent(at), moving);
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
