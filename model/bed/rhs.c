/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The right-hand side of a run: column.h states the equations, transport.c, exchange.c and
 * resin/bead.c the terms. Nothing here allocates or prints. */
#include "bed/column.h"
#include "bed/exchange.h"
#include "bed/sources.h"
#include "bed/transport.h"
#include "resin/bead.h"

#include "base/hot.h"
#include <string.h>

size_t bf__column_work_size(const bf__layout *layout)
{
    size_t exchange = layout->ions * layout->stride + bf__exchange_work_size(layout);
    size_t bead = (BF__BEAD_WORK_ROWS + layout->ions) * layout->stride;
    size_t transport = layout->stride;
    size_t most = exchange > bead ? exchange : bead;
    return most > transport ? most : transport;
}

void bf__column_effluent(const bf__column *column, const double *state, double *effluent)
{
    const bf__layout *layout = &column->layout;
    if (column->freeboard == BF__FREEBOARD_BEHIND) {
        memcpy(effluent, state + bf__layout_freeboard(layout),
               (1 + layout->ions) * sizeof *effluent);
        return;
    }
    effluent[0] = state[bf__layout_normality(layout) + layout->cells - 1];
    for (size_t i = 0; i < layout->ions; i++) {
        effluent[1 + i] = state[bf__layout_pore(layout, i) + layout->cells - 1];
    }
}

double bf__column_hardness(const bf__column *column, const double *tracked)
{
    double hardness = 0.0;
    for (size_t i = 0; i < column->layout.ions; i++) {
        hardness += column->is_hardness[i] * tracked[1 + i];
    }
    return hardness;
}

double bf__column_effluent_hardness(const bf__column *column, const double *state)
{
    double effluent[1 + BF__MAX_IONS];
    bf__column_effluent(column, state, effluent);
    return bf__column_hardness(column, effluent);
}

/* Row 0 is C, row 1 + i the pore water of ion i: both move with the water. */
static double inlet_of(const bf__column *column, const double *state, size_t row)
{
    if (column->freeboard == BF__FREEBOARD_BEFORE) {
        return state[bf__layout_freeboard(&column->layout) + row];
    }
    return row == 0 ? column->inlet_normality : column->inlet[row - 1];
}

static void add_transport(const bf__column *column, const double *state, double *rate)
{
    const bf__layout *layout = &column->layout;
    const bf__stream stream = {.advance_per_s = column->advance_per_s,
                               .spread_per_s = column->spread_per_s,
                               .inlet_weight = column->inlet_weight};
    for (size_t row = 0; row <= layout->ions; row++) {
        bf__transport_rate(&stream, layout->cells, inlet_of(column, state, row),
                           state + bf__layout_row(layout, row), column->work,
                           rate + bf__layout_row(layout, row));
    }
}

static int add_exchange(const bf__column *column, const double *state, double *rate)
{
    const bf__layout *layout = &column->layout;
    double *exchange = column->work;
    const double per_pore = 1.0 / column->void_fraction;
    int outside = 0;
    for (size_t grade = 0; grade < layout->classes; grade++) {
        const size_t shell = bf__layout_surface(layout, grade);
        const double per_shell =
            1.0 / (column->shell_volume[shell] * column->total_capacity_eq_per_m3);
        outside |= bf__exchange_rate(column, grade, state, exchange + layout->ions * layout->stride,
                                     exchange, NULL);
        for (size_t i = 0; i < layout->ions; i++) {
            const double *restrict input = exchange + i * layout->stride;
            double *restrict pore = rate + bf__layout_pore(layout, i);
            double *restrict surface = rate + bf__layout_shell(layout, shell, i);
            for (size_t p = 0; p < layout->cells; p++) {
                pore[p] -= per_pore * input[p];
                surface[p] = per_shell * input[p];
            }
        }
    }
    return outside;
}

static void add_bead(const bf__column *column, const double *state, double *rate)
{
    const bf__layout *layout = &column->layout;
    double *flux = column->work;
    for (size_t m = 0; m + 1 < layout->shells; m++) {
        if (bf__layout_is_surface(layout, m)) {
            continue; /* the next shell belongs to other beads */
        }
        bf__bead_flux(layout->ions, layout->cells, layout->stride, column->diffusivity,
                      column->charge, state + bf__layout_shell(layout, m, 0),
                      state + bf__layout_shell(layout, m + 1, 0),
                      flux + layout->ions * layout->stride, flux);
        const double w_in = column->face_weight[m] / column->shell_volume[m];
        const double w = column->face_weight[m] / column->shell_volume[m + 1];
        for (size_t i = 0; i < layout->ions; i++) {
            const double *restrict input = flux + i * layout->stride;
            double *restrict inner = rate + bf__layout_shell(layout, m, i);
            double *restrict outer = rate + bf__layout_shell(layout, m + 1, i);
            const int outermost = bf__layout_is_surface(layout, m + 1);
            if (bf__layout_is_core(layout, m)) {
                for (size_t p = 0; p < layout->cells; p++) {
                    inner[p] = w_in * input[p];
                }
            } else {
                for (size_t p = 0; p < layout->cells; p++) {
                    inner[p] += w_in * input[p];
                }
            }
            if (outermost) { /* already holds the exchange */
                for (size_t p = 0; p < layout->cells; p++) {
                    outer[p] -= w * input[p];
                }
            } else {
                for (size_t p = 0; p < layout->cells; p++) {
                    outer[p] = -w * input[p];
                }
            }
        }
    }
}

static void add_vessel(const bf__column *column, const double *state, double *rate)
{
    const bf__layout *layout = &column->layout;
    double effluent[1 + BF__MAX_IONS];
    bf__column_effluent(column, state, effluent);
    for (size_t row = 0; row <= layout->ions; row++) {
        double enters = row == 0 ? column->inlet_normality : column->inlet[row - 1];
        double leaves_bed = state[bf__layout_row(layout, row) + layout->cells - 1];
        double holds = state[bf__layout_freeboard(layout) + row];
        double change = 0.0;
        switch (column->freeboard) {
        case BF__FREEBOARD_NONE: break;
        case BF__FREEBOARD_BEFORE: change = column->flush_per_s * (enters - holds); break;
        case BF__FREEBOARD_BEHIND: change = column->flush_per_s * (leaves_bed - holds); break;
        }
        rate[bf__layout_freeboard(layout) + row] = change;
        rate[bf__layout_effluent(layout) + row] = column->bed_volumes_per_s * effluent[row];
    }
}

BF__HOT int bf__column_rate(const bf__column *column, double time_s, const double *state,
                            double *rate)
{
    add_transport(column, state, rate);
    int outside = add_exchange(column, state, rate);
    add_bead(column, state, rate);
    add_vessel(column, state, rate);
    if (outside != 0) {
        return 1;
    }
    return column->source_count > 0 ? bf__sources_rate(column, time_s, state, rate) : 0;
}
