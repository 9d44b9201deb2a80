/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What bed and freeboard hold of every ion.
 *
 *     held_i = mean over cells (eps c_i + Q sum over shells v_m y_(m,i)) + (V_f/V) c_f,i
 *     held_C = mean over cells  eps C                                 + (V_f/V) C_f
 *
 * In - out - stored of each ion and of C is zero but for rounding and Newton's residual, because
 * the fluxes cancel between cells and BDF keeps linear invariants. c_i ions and C normality
 * of the pore water, eq/m3, c_f and C_f of the freeboard; eps void; Q capacity eq/m3 of bed; y
 * fraction on the resin; V_f/V freeboard over bed. v_m is the share of shell m in
 * the bead.
 */
#include "bed/balance.h"

static double sum_row(const double *row, size_t cells)
{
    double sum = 0.0;
    for (size_t p = 0; p < cells; p++) {
        sum += row[p];
    }
    return sum;
}

void bf__balance_held(const bf__column *column, double freeboard_ratio, const double *state,
                      double *held)
{
    const bf__layout *layout = &column->layout;
    const double per_cell = 1.0 / (double)layout->cells;
    const double *freeboard = state + bf__layout_freeboard(layout);
    for (size_t row = 0; row <= layout->ions; row++) {
        held[row] = column->void_fraction * per_cell *
                        sum_row(state + bf__layout_row(layout, row), layout->cells) +
                    freeboard_ratio * freeboard[row];
    }
    for (size_t i = 0; i < layout->ions; i++) {
        double resin = 0.0;
        for (size_t m = 0; m < layout->shells; m++) {
            resin += column->shell_volume[m] *
                     sum_row(state + bf__layout_shell(layout, m, i), layout->cells);
        }
        held[1 + i] += column->total_capacity_eq_per_m3 * per_cell * resin;
    }
}
