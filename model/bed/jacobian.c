/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The slopes of the right-hand side, kept by structure:
 *
 *   - advection and dispersion couple a cell to the two before it and the one after it, each
 *     quantity to itself alone (diagonal per ion);
 *   - exchange couples the pore water of a cell to the outermost shell of the same cell and to C;
 *   - diffusion couples neighbouring shells of one cell;
 *   - sources couple pore water and local states of one cell.
 *
 * C depends on nothing but itself; freeboard and effluent are scalars at either end.
 */
#include "bed/jacobian.h"

#include "base/hot.h"
#include "bed/sources.h"
#include "resin/bead.h"

#include <stdlib.h>
#include <string.h>

bf_status bf__jacobian_create(const bf__layout *at, int with_sources, bf__jacobian **out,
                              bf_error *err)
{
    *out = NULL;
    const size_t e = at->ions;
    const size_t f = e + at->locals;
    const size_t faces = at->shells - 1;
    const size_t source_rows = with_sources ? f * (1 + f) : 0;
    const size_t exchange_rows = 2 * e * e + e;
    const size_t rows = 4 * (1 + e) + at->classes * exchange_rows + 2 * faces * e * e + source_rows;
    bf__jacobian *made = calloc(1, sizeof *made);
    if (made != NULL) {
        made->memory = calloc(rows * at->stride, sizeof(double));
        made->transport = calloc(1 + e, sizeof *made->transport);
        made->source = with_sources ? calloc(source_rows, sizeof *made->source) : NULL;
    }
    if (made == NULL || made->memory == NULL || made->transport == NULL ||
        (with_sources && made->source == NULL)) {
        bf__jacobian_free(made);
        return bf_error_set(err, BF_E_MEMORY, "bf_bed_create", "no memory for the slopes of a bed");
    }
    double *next = made->memory;
    for (size_t q = 0; q <= e; q++) {
        double **row[] = {&made->transport[q].second_before, &made->transport[q].before,
                          &made->transport[q].own, &made->transport[q].after};
        for (size_t r = 0; r < 4; r++) {
            *row[r] = next;
            next += at->stride;
        }
    }
    for (size_t grade = 0; grade < at->classes; grade++) {
        made->exchange[grade] = (bf__exchange_slope){.by_pore = next,
                                                     .by_fraction = next + e * e * at->stride,
                                                     .by_normality = next + 2 * e * e * at->stride};
        next += exchange_rows * at->stride;
    }
    made->face_by_inner = next;
    made->face_by_outer = next + faces * e * e * at->stride;
    next += 2 * faces * e * e * at->stride;
    for (size_t r = 0; r < source_rows; r++) {
        made->source[r] = next;
        next += at->stride;
    }
    *out = made;
    return BF_OK;
}

void bf__jacobian_free(bf__jacobian *jacobian)
{
    if (jacobian != NULL) {
        free(jacobian->memory);
        free(jacobian->transport);
        free(jacobian->source);
        free(jacobian);
    }
}

static int evaluate_sources(bf__jacobian *jacobian, const bf__column *column, double time_s,
                            const double *state)
{
    const bf__layout *at = &column->at;
    const size_t faces = at->ions + at->locals;
    for (size_t r = 0; r < faces * (1 + faces); r++) {
        memset(jacobian->source[r], 0, at->stride * sizeof(double));
    }
    return bf__sources_slope(column, time_s, state, jacobian->source);
}

BF__HOT int bf__jacobian_evaluate(bf__jacobian *jacobian, const bf__column *column, double time_s,
                                  const double *state)
{
    const bf__layout *at = &column->at;
    const size_t e = at->ions;
    const bf__stream stream = {.advance_per_s = column->advance_per_s,
                               .spread_per_s = column->spread_per_s,
                               .inlet_lever = column->inlet_lever};
    const double *freeboard = state + bf__layout_freeboard(at);
    for (size_t q = 0; q <= e; q++) {
        double inlet = column->freeboard == BF__FREEBOARD_BEFORE ? freeboard[q]
                       : q == 0                                  ? column->inlet_normality
                                                                 : column->inlet[q - 1];
        bf__transport_slope_of(&stream, at->cells, inlet, state + q * at->stride,
                               &jacobian->transport[q]);
    }
    double *rate = column->work; /* of no interest here */
    int outside = 0;
    for (size_t grade = 0; grade < at->classes; grade++) {
        outside |= bf__exchange_rate(column, grade, state, rate + e * at->stride, rate,
                                     &jacobian->exchange[grade]);
    }
    for (size_t m = 0; m + 1 < at->shells; m++) {
        if (bf__layout_is_surface(at, m)) {
            continue;
        }
        double *by_inner = jacobian->face_by_inner + m * e * e * at->stride;
        double *by_outer = jacobian->face_by_outer + m * e * e * at->stride;
        bf__bead_flux_slope(e, at->cells, at->stride, column->diffusivity, column->charge,
                            state + bf__layout_shell(at, m, 0),
                            state + bf__layout_shell(at, m + 1, 0), column->work, by_inner,
                            by_outer);
        const double w = column->face_weight[m];
        for (size_t p = 0; p < e * e * at->stride; p++) {
            by_inner[p] *= w;
            by_outer[p] *= w;
        }
    }
    if (outside != 0) {
        return 1;
    }
    return jacobian->source != NULL ? evaluate_sources(jacobian, column, time_s, state) : 0;
}
