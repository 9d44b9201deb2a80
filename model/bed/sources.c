/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Calls the source terms of a column: each sees the whole cell, and of the local states its own. */
#include "bed/sources.h"

#include <string.h>

typedef struct view {
    const double *pore[BF__MAX_IONS];
    const double *shell[BF__MAX_SHELLS * BF__MAX_IONS];
    const double *local[BF__MAX_LOCALS];
} view;

static bf_cells look(const bf__column *column, const double *state, view *rows)
{
    const bf__layout *layout = &column->layout;
    for (size_t i = 0; i < layout->ions; i++) {
        rows->pore[i] = state + bf__layout_pore(layout, i);
    }
    for (size_t m = 0; m < layout->shells; m++) {
        for (size_t i = 0; i < layout->ions; i++) {
            rows->shell[m * layout->ions + i] = state + bf__layout_shell(layout, m, i);
        }
    }
    for (size_t l = 0; l < layout->locals; l++) {
        rows->local[l] = state + bf__layout_local(layout, l);
    }
    return (bf_cells){.count = layout->cells,
                      .ions = layout->ions,
                      .shells = layout->shells,
                      .depth_m = column->depth_m,
                      .shell_share = column->shell_volume,
                      .normality = state + bf__layout_normality(layout),
                      .pore = rows->pore,
                      .shell = rows->shell,
                      .local = rows->local};
}

int bf__sources_rate(const bf__column *column, double time_s, const double *state, double *rate)
{
    const bf__layout *layout = &column->layout;
    view seen;
    double *pore_rate[BF__MAX_IONS];
    double *shell_rate[BF__MAX_SHELLS * BF__MAX_IONS];
    double *local_rate[BF__MAX_LOCALS];
    bf_cells cells = look(column, state, &seen);
    for (size_t i = 0; i < layout->ions; i++) {
        pore_rate[i] = rate + bf__layout_pore(layout, i);
    }
    for (size_t m = 0; m < layout->shells; m++) {
        for (size_t i = 0; i < layout->ions; i++) {
            shell_rate[m * layout->ions + i] = rate + bf__layout_shell(layout, m, i);
        }
    }
    for (size_t l = 0; l < layout->locals; l++) {
        local_rate[l] = rate + bf__layout_local(layout, l);
        memset(local_rate[l], 0, layout->cells * sizeof(double));
    }
    bf_rates rates = {
        .normality = rate + bf__layout_normality(layout), .pore = pore_rate, .shell = shell_rate};
    size_t first_local = 0;
    for (size_t s = 0; s < column->source_count; s++) {
        const bf_source *source = &column->sources[s];
        cells.local = seen.local + first_local;
        rates.local = local_rate + first_local;
        int flag = source->rate(source->context, time_s, &cells, &rates);
        if (flag != 0) {
            return flag;
        }
        first_local += source->local_count;
    }
    return 0;
}

int bf__sources_slope(const bf__column *column, double time_s, const double *state,
                      double *const *block)
{
    const bf__layout *layout = &column->layout;
    const size_t e = layout->ions;
    const size_t f = e + layout->locals;
    view seen;
    double *own_block[(BF__MAX_IONS + BF__MAX_LOCALS) * (1 + BF__MAX_IONS + BF__MAX_LOCALS)];
    bf_cells cells = look(column, state, &seen);
    size_t first = 0;
    for (size_t s = 0; s < column->source_count; s++) {
        const bf_source *source = &column->sources[s];
        const size_t own = e + source->local_count;
        cells.local = seen.local + first;
        /* A source counts its own local states from zero: give it the rows they stand in. */
        for (size_t r = 0; r < own && source->slope != NULL; r++) {
            const size_t row = r < e ? r : r + first;
            for (size_t c = 0; c < 1 + own; c++) {
                const size_t column_of_all = c < 1 + e ? c : c + first;
                own_block[r * (1 + own) + c] = block[row * (1 + f) + column_of_all];
            }
        }
        if (source->slope != NULL) {
            int flag = source->slope(source->context, time_s, &cells, own_block);
            if (flag != 0) {
                return flag;
            }
        }
        first += source->local_count;
    }
    return 0;
}
