/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Where every unknown stands in the state vector: the one place that knows the order of its rows.
 * Others count only within a block of rows that they got from here, `stride` from row to row.
 *
 * The state is a stack of rows, each holding one quantity for all cells in order of FLOW (the bed
 * is turned over in memory when the flow turns, so that nothing below this file knows two
 * directions), padded to `stride`, then a short tail:
 *
 *     C | c_1 .. c_E | y_(0,1) .. y_(0,E) | .. | y_(M-1,1) .. y_(M-1,E) | local_1 .. local_L | tail
 *     shells: of the first class of bead sizes, core first, then of the next class, ..
 *     tail: freeboard C, c_1 .. c_E, mean | effluent integrals of C, c_1 .. c_E, eq per m3 of bed
 *
 * That is what a run integrates. Behind it stand the layers of the freeboard, top first, which change
 * between runs only:
 *
 *     share of the freeboard's volume, C, c_1 .. c_E   of each; a share of 0 ends them
 */
#ifndef BF_BED_LAYOUT_H
#define BF_BED_LAYOUT_H

#include <stddef.h>

/* Layers of the freeboard at the most. A cycle makes two or three, spent brine that was pushed up
 * one for each sixteenth of the height: a numerical choice, no source. */
enum { BF__LAYERS = 20 };

typedef struct bf__layout {
    size_t cells;
    size_t stride;  /* doubles per row, >= cells */
    size_t ions;    /* E, without Na */
    size_t shells;  /* M, of all classes of bead sizes together */
    size_t classes; /* K, of bead sizes; every one has M/K shells. Code calls one of them a grade */
    size_t locals;  /* L */
} bf__layout;

/* A multiple of a cache line, and odd in lines, so that rows do not fall on each other's feet in
 * the cache. */
static inline size_t bf__layout_stride(size_t cells)
{
    size_t lines = (cells + 7) / 8;
    return 8 * (lines | 1);
}

static inline size_t bf__layout_rows(const bf__layout *layout)
{
    return 1 + layout->ions + layout->shells * layout->ions + layout->locals;
}

/* A row of the stack, counted from C. */
static inline size_t bf__layout_row(const bf__layout *layout, size_t row)
{
    return row * layout->stride;
}

static inline size_t bf__layout_normality(const bf__layout *layout)
{
    (void)layout;
    return 0;
}

static inline size_t bf__layout_pore(const bf__layout *layout, size_t ion)
{
    return (1 + ion) * layout->stride;
}

static inline size_t bf__layout_shell(const bf__layout *layout, size_t shell, size_t ion)
{
    return (1 + layout->ions + shell * layout->ions + ion) * layout->stride;
}

/* The outermost shell of a class, where its beads meet the water. */
static inline size_t bf__layout_surface(const bf__layout *layout, size_t grade)
{
    return (grade + 1) * (layout->shells / layout->classes) - 1;
}

/* Whether shell m is the core of its class: nothing lies further inside. */
static inline int bf__layout_is_core(const bf__layout *layout, size_t m)
{
    return m % (layout->shells / layout->classes) == 0;
}

/* Whether shell m is the outermost of its class: no face lies between it and shell m + 1. */
static inline int bf__layout_is_surface(const bf__layout *layout, size_t m)
{
    return (m + 1) % (layout->shells / layout->classes) == 0;
}

static inline size_t bf__layout_local(const bf__layout *layout, size_t local)
{
    return (1 + layout->ions + layout->shells * layout->ions + local) * layout->stride;
}

/* Freeboard: [0] is C, [1 + i] is ion i. */
static inline size_t bf__layout_freeboard(const bf__layout *layout)
{
    return bf__layout_rows(layout) * layout->stride;
}

/* Effluent integrals: [0] is C, [1 + i] is ion i. */
static inline size_t bf__layout_effluent(const bf__layout *layout)
{
    return bf__layout_freeboard(layout) + 1 + layout->ions;
}

static inline size_t bf__layout_length(const bf__layout *layout)
{
    return bf__layout_effluent(layout) + 1 + layout->ions;
}

static inline size_t bf__layout_layer_length(const bf__layout *layout)
{
    return 2 + layout->ions;
}

/* A layer of the freeboard: [0] is its share, [1] C, [2 + i] ion i. */
static inline size_t bf__layout_layer(const bf__layout *layout, size_t layer)
{
    return bf__layout_length(layout) + layer * bf__layout_layer_length(layout);
}

/* All that a bed keeps between runs. */
static inline size_t bf__layout_kept(const bf__layout *layout)
{
    return bf__layout_layer(layout, BF__LAYERS);
}

#endif
