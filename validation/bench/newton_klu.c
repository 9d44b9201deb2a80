/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A sparse direct solver for comparison: the model's exact slopes as one matrix in compressed
 * columns, factored by KLU; vectors and every setting are the library's own. */
#include "newton_klu.h"

#include "bed/by_cell.h"
#include "bed/jacobian.h"

#include <cvode/cvode.h>
#include <stdlib.h>
#include <string.h>
#include <sunlinsol/sunlinsol_klu.h>
#include <sunmatrix/sunmatrix_sparse.h>

typedef struct entry {
    sunindextype column, row;
    size_t serial; /* in the order of walk() */
} entry;

typedef struct klu_content {
    bf__jacobian *jacobian;
    entry *entries;
    size_t *at; /* serial -> place in the compressed columns */
    double *values;
    sunindextype *column_start, *row_of;
    size_t *cell_of; /* place in rows -> place by cell */
    size_t count;
    int freeboard; /* the pattern is that of this; -1: none yet */
} klu_content;

typedef struct walker {
    const bf__newton *newton;
    klu_content *to;
    int with_values; /* else the pattern */
    size_t count;
} walker;

/* Entry (row, column), both as places in the layout by rows. */
static void put(walker *at, size_t row, size_t column, double value)
{
    klu_content *to = at->to;
    if (at->with_values) {
        to->values[to->at[at->count]] += value;
    } else {
        to->entries[at->count] = (entry){.row = (sunindextype)to->cell_of[row],
                                         .column = (sunindextype)to->cell_of[column],
                                         .serial = at->count};
    }
    at->count++;
}

static void put_transport(walker *at, size_t q)
{
    const bf__column *column = at->newton->column;
    const bf__layout *l = &column->at;
    const bf__transport_slope *t = &at->to->jacobian->transport[q];
    const size_t first = q * l->stride;
    for (size_t k = 0; k < l->cells; k++) {
        put(at, first + k, first + k, t->own[k]);
        if (k >= 2) {
            put(at, first + k, first + k - 2, t->second_before[k]);
        }
        if (k >= 1) {
            put(at, first + k, first + k - 1, t->before[k]);
        }
        if (k + 1 < l->cells) {
            put(at, first + k, first + k + 1, t->after[k]);
        }
    }
    const size_t freeboard = bf__layout_freeboard(l) + q;
    const size_t effluent = bf__layout_effluent(l) + q;
    const size_t last = first + l->cells - 1;
    put(at, effluent, effluent, 0.0);
    put(at, freeboard, freeboard,
        column->freeboard == BF__FREEBOARD_NONE ? 0.0 : -column->flush_per_s);
    if (column->freeboard == BF__FREEBOARD_BEFORE) {
        put(at, first, freeboard, t->by_inlet[0]);
        put(at, first + 1, freeboard, t->by_inlet[1]);
    } else if (column->freeboard == BF__FREEBOARD_BEHIND) {
        put(at, freeboard, last, column->flush_per_s);
    }
    put(at, effluent, column->freeboard == BF__FREEBOARD_BEHIND ? freeboard : last,
        column->sweep_per_s);
}

static void put_exchange(walker *at)
{
    const bf__column *column = at->newton->column;
    const bf__layout *l = &column->at;
    const size_t e = l->ions;
    const bf__exchange_slope *s = &at->to->jacobian->exchange[0];
    const double per_pore = 1.0 / column->void_fraction;
    const double per_shell =
        1.0 / (column->shell_volume[l->shells - 1] * column->capacity_eq_per_m3);
    for (size_t i = 0; i < e; i++) {
        for (size_t p = 0; p < l->cells; p++) {
            size_t pore = bf__layout_pore(l, i) + p;
            size_t surface = bf__layout_shell(l, l->shells - 1, i) + p;
            put(at, pore, p, -per_pore * s->by_normality[i * l->stride + p]);
            put(at, surface, p, per_shell * s->by_normality[i * l->stride + p]);
            for (size_t k = 0; k < e; k++) {
                double by_pore = s->by_pore[(i * e + k) * l->stride + p];
                double by_fraction = s->by_fraction[(i * e + k) * l->stride + p];
                size_t of_pore = bf__layout_pore(l, k) + p;
                size_t of_surface = bf__layout_shell(l, l->shells - 1, k) + p;
                put(at, pore, of_pore, -per_pore * by_pore);
                put(at, pore, of_surface, -per_pore * by_fraction);
                put(at, surface, of_pore, per_shell * by_pore);
                put(at, surface, of_surface, per_shell * by_fraction);
            }
        }
    }
}

static void put_bead(walker *at)
{
    const bf__column *column = at->newton->column;
    const bf__layout *l = &column->at;
    const size_t e = l->ions;
    for (size_t m = 0; m + 1 < l->shells; m++) {
        for (size_t i = 0; i < e; i++) {
            for (size_t k = 0; k < e; k++) {
                for (size_t p = 0; p < l->cells; p++) {
                    size_t row = ((m * e + i) * e + k) * l->stride + p;
                    double by_inner = at->to->jacobian->face_by_inner[row];
                    double by_outer = at->to->jacobian->face_by_outer[row];
                    size_t inner = bf__layout_shell(l, m, i) + p;
                    size_t outer = bf__layout_shell(l, m + 1, i) + p;
                    size_t of_inner = bf__layout_shell(l, m, k) + p;
                    size_t of_outer = bf__layout_shell(l, m + 1, k) + p;
                    put(at, inner, of_inner, by_inner / column->shell_volume[m]);
                    put(at, inner, of_outer, by_outer / column->shell_volume[m]);
                    put(at, outer, of_inner, -by_inner / column->shell_volume[m + 1]);
                    put(at, outer, of_outer, -by_outer / column->shell_volume[m + 1]);
                }
            }
        }
    }
}

static void walk(walker *at)
{
    at->count = 0;
    for (size_t q = 0; q <= at->newton->at.ions; q++) {
        put_transport(at, q);
    }
    put_exchange(at);
    put_bead(at);
}

static int by_place(const void *a, const void *b)
{
    const entry *x = a;
    const entry *y = b;
    if (x->column != y->column) {
        return x->column < y->column ? -1 : 1;
    }
    return x->row < y->row ? -1 : x->row > y->row;
}

/* Sort what walk() puts into compressed columns; several may fall on one place. */
static void find_pattern(const bf__newton *newton, klu_content *to)
{
    const size_t length = bf__by_cell_length(&newton->at);
    for (size_t k = 0; k < length; k++) {
        to->cell_of[newton->place[k]] = k;
    }
    walker at = {.newton = newton, .to = to};
    walk(&at);
    to->count = 0;
    qsort(to->entries, at.count, sizeof *to->entries, by_place);
    memset(to->column_start, 0, (length + 1) * sizeof *to->column_start);
    for (size_t n = 0; n < at.count; n++) {
        const entry *here = &to->entries[n];
        if (n == 0 || by_place(here, &to->entries[n - 1]) != 0) {
            to->row_of[to->count++] = here->row;
            to->column_start[here->column + 1]++;
        }
        to->at[here->serial] = to->count - 1;
    }
    for (size_t c = 0; c < length; c++) {
        to->column_start[c + 1] += to->column_start[c];
    }
}

static int slopes(realtype t, N_Vector y, N_Vector fy, SUNMatrix matrix, void *user, N_Vector t1,
                  N_Vector t2, N_Vector t3)
{
    (void)fy, (void)t1, (void)t2, (void)t3;
    const bf__newton *newton = user;
    klu_content *of = newton->content;
    const size_t length = bf__by_cell_length(&newton->at);
    if (of->freeboard != (int)newton->column->freeboard) {
        find_pattern(newton, of);
        of->freeboard = (int)newton->column->freeboard;
        if (SUNLinSol_KLUReInit(newton->linear_solver, matrix, (sunindextype)of->count,
                                SUNKLU_REINIT_PARTIAL) != 0) {
            return -1;
        }
    }
    int flag = bf__jacobian_evaluate(of->jacobian, newton->column, t, bf__newton_rows(newton, y));
    if (flag != 0) {
        return flag;
    }
    memset(of->values, 0, of->count * sizeof *of->values);
    walker at = {.newton = newton, .to = of, .with_values = 1};
    walk(&at);
    memcpy(SUNSparseMatrix_IndexPointers(matrix), of->column_start,
           (length + 1) * sizeof *of->column_start);
    memcpy(SUNSparseMatrix_IndexValues(matrix), of->row_of, of->count * sizeof *of->row_of);
    memcpy(SUNSparseMatrix_Data(matrix), of->values, of->count * sizeof *of->values);
    return 0;
}

static int attach(bf__newton *newton)
{
    const bf__layout *l = &newton->at;
    const size_t e = l->ions;
    const size_t length = bf__by_cell_length(l);
    const size_t room = (1 + e) * (4 * l->cells + 8) + l->cells * (2 * e + 4 * e * e) +
                        4 * l->shells * e * e * l->cells;
    klu_content *made = calloc(1, sizeof *made);
    newton->content = made;
    if (made == NULL || newton->with_sources || l->classes > 1) { /* those are not put in */
        return 1;
    }
    made->freeboard = -1;
    made->entries = calloc(room, sizeof *made->entries);
    made->at = calloc(room, sizeof *made->at);
    made->values = calloc(room, sizeof *made->values);
    made->row_of = calloc(room, sizeof *made->row_of);
    made->column_start = calloc(length + 1, sizeof *made->column_start);
    made->cell_of = calloc(bf__layout_length(l), sizeof *made->cell_of);
    if (made->entries == NULL || made->at == NULL || made->values == NULL || made->row_of == NULL ||
        made->column_start == NULL || made->cell_of == NULL ||
        bf__jacobian_create(l, 0, &made->jacobian, NULL) != BF_OK) {
        return 1;
    }
    newton->matrix = SUNSparseMatrix((sunindextype)length, (sunindextype)length, (sunindextype)room,
                                     CSC_MAT, newton->context);
    newton->linear_solver = newton->matrix != NULL
                                ? SUNLinSol_KLU(newton->state, newton->matrix, newton->context)
                                : NULL;
    return newton->linear_solver == NULL ||
           CVodeSetLinearSolver(newton->cvode, newton->linear_solver, newton->matrix) != 0 ||
           CVodeSetJacFn(newton->cvode, slopes) != 0;
}

static void detach(bf__newton *newton)
{
    klu_content *made = newton->content;
    if (made != NULL) {
        bf__jacobian_free(made->jacobian);
        free(made->entries);
        free(made->at);
        free(made->values);
        free(made->row_of);
        free(made->column_start);
        free(made->cell_of);
        free(made);
        newton->content = NULL;
    }
}

const bf__newton_kind bf__newton_klu = {.by_cell = 1, .attach = attach, .detach = detach};
