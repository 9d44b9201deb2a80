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
    size_t *place; /* serial -> place in the compressed columns */
    double *values;
    sunindextype *column_start, *row_of;
    size_t *cell_of; /* place in rows -> place by cell */
    size_t count;
    int freeboard; /* the pattern is that of this; -1: none yet */
} klu_content;

typedef struct walker {
    const bf__newton *newton;
    klu_content *content;
    int with_values; /* else the pattern */
    size_t count;
} walker;

/* Entry (row, column), both as places in the layout by rows. */
static void put(walker *cursor, size_t row, size_t column, double value)
{
    klu_content *klu = cursor->content;
    if (cursor->with_values) {
        klu->values[klu->place[cursor->count]] += value;
    } else {
        klu->entries[cursor->count] = (entry){.row = (sunindextype)klu->cell_of[row],
                                              .column = (sunindextype)klu->cell_of[column],
                                              .serial = cursor->count};
    }
    cursor->count++;
}

static void put_transport(walker *cursor, size_t q)
{
    const bf__column *column = cursor->newton->column;
    const bf__layout *l = &column->layout;
    const bf__transport_slope *t = &cursor->content->jacobian->transport[q];
    const size_t first = q * l->stride;
    for (size_t k = 0; k < l->cells; k++) {
        put(cursor, first + k, first + k, t->own[k]);
        if (k >= 2) {
            put(cursor, first + k, first + k - 2, t->second_before[k]);
        }
        if (k >= 1) {
            put(cursor, first + k, first + k - 1, t->before[k]);
        }
        if (k + 1 < l->cells) {
            put(cursor, first + k, first + k + 1, t->after[k]);
        }
    }
    const size_t freeboard = bf__layout_freeboard(l) + q;
    const size_t effluent = bf__layout_effluent(l) + q;
    const size_t last = first + l->cells - 1;
    put(cursor, effluent, effluent, 0.0);
    put(cursor, freeboard, freeboard,
        column->freeboard == BF__FREEBOARD_NONE ? 0.0 : -column->flush_per_s);
    if (column->freeboard == BF__FREEBOARD_BEFORE) {
        put(cursor, first, freeboard, t->by_inlet[0]);
        put(cursor, first + 1, freeboard, t->by_inlet[1]);
    } else if (column->freeboard == BF__FREEBOARD_BEHIND) {
        put(cursor, freeboard, last, column->flush_per_s);
    }
    put(cursor, effluent, column->freeboard == BF__FREEBOARD_BEHIND ? freeboard : last,
        column->bed_volumes_per_s);
}

static void put_exchange(walker *cursor)
{
    const bf__column *column = cursor->newton->column;
    const bf__layout *l = &column->layout;
    const size_t e = l->ions;
    const bf__exchange_slope *s = &cursor->content->jacobian->exchange[0];
    const double per_pore = 1.0 / column->void_fraction;
    const double per_shell =
        1.0 / (column->shell_volume[l->shells - 1] * column->total_capacity_eq_per_m3);
    for (size_t i = 0; i < e; i++) {
        for (size_t p = 0; p < l->cells; p++) {
            size_t pore = bf__layout_pore(l, i) + p;
            size_t surface = bf__layout_shell(l, l->shells - 1, i) + p;
            put(cursor, pore, p, -per_pore * s->by_normality[i * l->stride + p]);
            put(cursor, surface, p, per_shell * s->by_normality[i * l->stride + p]);
            for (size_t k = 0; k < e; k++) {
                double by_pore = s->by_pore[(i * e + k) * l->stride + p];
                double by_fraction = s->by_fraction[(i * e + k) * l->stride + p];
                size_t of_pore = bf__layout_pore(l, k) + p;
                size_t of_surface = bf__layout_shell(l, l->shells - 1, k) + p;
                put(cursor, pore, of_pore, -per_pore * by_pore);
                put(cursor, pore, of_surface, -per_pore * by_fraction);
                put(cursor, surface, of_pore, per_shell * by_pore);
                put(cursor, surface, of_surface, per_shell * by_fraction);
            }
        }
    }
}

static void put_bead(walker *cursor)
{
    const bf__column *column = cursor->newton->column;
    const bf__layout *l = &column->layout;
    const size_t e = l->ions;
    for (size_t m = 0; m + 1 < l->shells; m++) {
        for (size_t i = 0; i < e; i++) {
            for (size_t k = 0; k < e; k++) {
                for (size_t p = 0; p < l->cells; p++) {
                    size_t row = ((m * e + i) * e + k) * l->stride + p;
                    double by_inner = cursor->content->jacobian->face_by_inner[row];
                    double by_outer = cursor->content->jacobian->face_by_outer[row];
                    size_t inner = bf__layout_shell(l, m, i) + p;
                    size_t outer = bf__layout_shell(l, m + 1, i) + p;
                    size_t of_inner = bf__layout_shell(l, m, k) + p;
                    size_t of_outer = bf__layout_shell(l, m + 1, k) + p;
                    put(cursor, inner, of_inner, by_inner / column->shell_volume[m]);
                    put(cursor, inner, of_outer, by_outer / column->shell_volume[m]);
                    put(cursor, outer, of_inner, -by_inner / column->shell_volume[m + 1]);
                    put(cursor, outer, of_outer, -by_outer / column->shell_volume[m + 1]);
                }
            }
        }
    }
}

static void walk(walker *cursor)
{
    cursor->count = 0;
    for (size_t q = 0; q <= cursor->newton->layout.ions; q++) {
        put_transport(cursor, q);
    }
    put_exchange(cursor);
    put_bead(cursor);
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
static void find_pattern(const bf__newton *newton, klu_content *klu)
{
    const size_t length = bf__by_cell_length(&newton->layout);
    for (size_t k = 0; k < length; k++) {
        klu->cell_of[newton->place[k]] = k;
    }
    walker cursor = {.newton = newton, .content = klu};
    walk(&cursor);
    klu->count = 0;
    qsort(klu->entries, cursor.count, sizeof *klu->entries, by_place);
    memset(klu->column_start, 0, (length + 1) * sizeof *klu->column_start);
    for (size_t n = 0; n < cursor.count; n++) {
        const entry *spot = &klu->entries[n];
        if (n == 0 || by_place(spot, &klu->entries[n - 1]) != 0) {
            klu->row_of[klu->count++] = spot->row;
            klu->column_start[spot->column + 1]++;
        }
        klu->place[spot->serial] = klu->count - 1;
    }
    for (size_t c = 0; c < length; c++) {
        klu->column_start[c + 1] += klu->column_start[c];
    }
}

static int slopes(realtype t, N_Vector y, N_Vector fy, SUNMatrix matrix, void *user, N_Vector t1,
                  N_Vector t2, N_Vector t3)
{
    (void)fy, (void)t1, (void)t2, (void)t3;
    const bf__newton *newton = user;
    klu_content *klu = newton->content;
    const size_t length = bf__by_cell_length(&newton->layout);
    if (klu->freeboard != (int)newton->column->freeboard) {
        find_pattern(newton, klu);
        klu->freeboard = (int)newton->column->freeboard;
        if (SUNLinSol_KLUReInit(newton->linear_solver, matrix, (sunindextype)klu->count,
                                SUNKLU_REINIT_PARTIAL) != 0) {
            return -1;
        }
    }
    int flag = bf__jacobian_evaluate(klu->jacobian, newton->column, t, bf__newton_rows(newton, y));
    if (flag != 0) {
        return flag;
    }
    memset(klu->values, 0, klu->count * sizeof *klu->values);
    walker cursor = {.newton = newton, .content = klu, .with_values = 1};
    walk(&cursor);
    memcpy(SUNSparseMatrix_IndexPointers(matrix), klu->column_start,
           (length + 1) * sizeof *klu->column_start);
    memcpy(SUNSparseMatrix_IndexValues(matrix), klu->row_of, klu->count * sizeof *klu->row_of);
    memcpy(SUNSparseMatrix_Data(matrix), klu->values, klu->count * sizeof *klu->values);
    return 0;
}

static int attach(bf__newton *newton)
{
    const bf__layout *l = &newton->layout;
    const size_t e = l->ions;
    const size_t length = bf__by_cell_length(l);
    const size_t room = (1 + e) * (4 * l->cells + 8) + l->cells * (2 * e + 4 * e * e) +
                        4 * l->shells * e * e * l->cells;
    klu_content *klu = calloc(1, sizeof *klu);
    newton->content = klu;
    if (klu == NULL || newton->with_sources || l->classes > 1) { /* those are not put in */
        return 1;
    }
    klu->freeboard = -1;
    klu->entries = calloc(room, sizeof *klu->entries);
    klu->place = calloc(room, sizeof *klu->place);
    klu->values = calloc(room, sizeof *klu->values);
    klu->row_of = calloc(room, sizeof *klu->row_of);
    klu->column_start = calloc(length + 1, sizeof *klu->column_start);
    klu->cell_of = calloc(bf__layout_length(l), sizeof *klu->cell_of);
    if (klu->entries == NULL || klu->place == NULL || klu->values == NULL || klu->row_of == NULL ||
        klu->column_start == NULL || klu->cell_of == NULL ||
        bf__jacobian_create(l, 0, &klu->jacobian, NULL) != BF_OK) {
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
    klu_content *klu = newton->content;
    if (klu != NULL) {
        bf__jacobian_free(klu->jacobian);
        free(klu->entries);
        free(klu->place);
        free(klu->values);
        free(klu->row_of);
        free(klu->column_start);
        free(klu->cell_of);
        free(klu);
        newton->content = NULL;
    }
}

const bf__newton_kind bf__newton_klu = {.by_cell = 1, .attach = attach, .detach = detach};
