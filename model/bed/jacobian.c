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

bf_status bf__jacobian_create(const bf__layout *layout, int with_sources, bf__jacobian **out,
                              bf_error *err)
{
    *out = NULL;
    const size_t e = layout->ions;
    const size_t f = e + layout->locals;
    const size_t faces = layout->shells - 1;
    const size_t source_rows = with_sources ? f * (1 + f) : 0;
    const size_t exchange_rows = 2 * e * e + e;
    const size_t rows =
        4 * (1 + e) + layout->classes * exchange_rows + 2 * faces * e * e + source_rows;
    bf__jacobian *jacobian = calloc(1, sizeof *jacobian);
    if (jacobian != NULL) {
        jacobian->memory = calloc(rows * layout->stride, sizeof(double));
        jacobian->transport = calloc(1 + e, sizeof *jacobian->transport);
        jacobian->source = with_sources ? calloc(source_rows, sizeof *jacobian->source) : NULL;
    }
    if (jacobian == NULL || jacobian->memory == NULL || jacobian->transport == NULL ||
        (with_sources && jacobian->source == NULL)) {
        bf__jacobian_free(jacobian);
        return bf_error_set(err, BF_E_MEMORY, "bf_bed_create", "no memory for the slopes of a bed");
    }
    double *next = jacobian->memory;
    for (size_t q = 0; q <= e; q++) {
        double **row[] = {&jacobian->transport[q].second_before, &jacobian->transport[q].before,
                          &jacobian->transport[q].own, &jacobian->transport[q].after};
        for (size_t r = 0; r < 4; r++) {
            *row[r] = next;
            next += layout->stride;
        }
    }
    for (size_t grade = 0; grade < layout->classes; grade++) {
        jacobian->exchange[grade] =
            (bf__exchange_slope){.by_pore = next,
                                 .by_fraction = next + e * e * layout->stride,
                                 .by_normality = next + 2 * e * e * layout->stride};
        next += exchange_rows * layout->stride;
    }
    jacobian->face_by_inner = next;
    jacobian->face_by_outer = next + faces * e * e * layout->stride;
    next += 2 * faces * e * e * layout->stride;
    for (size_t r = 0; r < source_rows; r++) {
        jacobian->source[r] = next;
        next += layout->stride;
    }
    *out = jacobian;
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
    const bf__layout *layout = &column->layout;
    const size_t faces = layout->ions + layout->locals;
    for (size_t r = 0; r < faces * (1 + faces); r++) {
        memset(jacobian->source[r], 0, layout->stride * sizeof(double));
    }
    return bf__sources_slope(column, time_s, state, jacobian->source);
}

BF__HOT int bf__jacobian_evaluate(bf__jacobian *jacobian, const bf__column *column, double time_s,
                                  const double *state)
{
    const bf__layout *layout = &column->layout;
    const size_t e = layout->ions;
    const bf__stream stream = {.advance_per_s = column->advance_per_s,
                               .spread_per_s = column->spread_per_s,
                               .inlet_weight = column->inlet_weight};
    const double *freeboard = state + bf__layout_freeboard(layout);
    for (size_t q = 0; q <= e; q++) {
        double inlet = column->freeboard == BF__FREEBOARD_BEFORE ? freeboard[q]
                       : q == 0                                  ? column->inlet_normality
                                                                 : column->inlet[q - 1];
        bf__transport_slope_of(&stream, layout->cells, inlet, state + bf__layout_row(layout, q),
                               &jacobian->transport[q]);
    }
    double *rate = column->work; /* of no interest here */
    int outside = 0;
    for (size_t grade = 0; grade < layout->classes; grade++) {
        outside |= bf__exchange_rate(column, grade, state, rate + e * layout->stride, rate,
                                     &jacobian->exchange[grade]);
    }
    for (size_t m = 0; m + 1 < layout->shells; m++) {
        if (bf__layout_is_surface(layout, m)) {
            continue;
        }
        double *by_inner = jacobian->face_by_inner + m * e * e * layout->stride;
        double *by_outer = jacobian->face_by_outer + m * e * e * layout->stride;
        bf__bead_flux_slope(e, layout->cells, layout->stride, column->diffusivity, column->charge,
                            state + bf__layout_shell(layout, m, 0),
                            state + bf__layout_shell(layout, m + 1, 0), column->work, by_inner,
                            by_outer);
        const double w = column->face_weight[m];
        for (size_t p = 0; p < e * e * layout->stride; p++) {
            by_inner[p] *= w;
            by_outer[p] *= w;
        }
    }
    if (outside != 0) {
        return 1;
    }
    return jacobian->source != NULL ? evaluate_sources(jacobian, column, time_s, state) : 0;
}
