/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Changes of a bed between its runs.
 *
 *     off the resin   Q dy_i = -x, all shells by one share;   eps dC = -x  (Na of the water)
 *     off the water   eps dc_i = -x, eps dC = -x
 *     onto the resin  Q dy_i = +x on Na sites, shells by their Na
 *     fewer sites     eps dc_i = (Q0 - Q) y_i, eps dC = Q0 - Q, y_i as it was
 *     more sites      y_i = y_i Q0/Q
 *
 * x what is moved, eq/m3 of bed; Q capacity eq/m3 of bed, Q0 that before, y fraction on the resin, C normality and c ions of the pore water, eps
 * void. Na is the rest of each, so that it need not be said.
 */
#include "bed/alter.h"

/* Where an ion stands in the bed's set; the set's count where it is not tracked. */
static size_t place_of(const bf_bed *bed, bf_ion ion)
{
    return bf_ion_set_index(bf__bed_column(bed)->ions, ion);
}

static double mean_fraction(const bf__column *column, const double *state, size_t cell, size_t i)
{
    double y = 0.0;
    for (size_t m = 0; m < column->layout.shells; m++) {
        y += column->shell_volume[m] * state[bf__layout_shell(&column->layout, m, i) + cell];
    }
    return y;
}

static double sodium_of_water(const bf__column *column, const double *state, size_t cell)
{
    double rest = state[bf__layout_normality(&column->layout) + cell];
    for (size_t i = 0; i < column->layout.ions; i++) {
        rest -= state[bf__layout_pore(&column->layout, i) + cell];
    }
    return rest;
}

static double at_most(double wanted, double present)
{
    double taken = wanted < present ? wanted : present;
    return taken > 0.0 ? taken : 0.0;
}

double bf__bed_leave_resin(bf_bed *bed, size_t cell, bf_ion ion, double eq_per_m3)
{
    const bf__column *column = bf__bed_column(bed);
    double *state = bf__bed_state(bed);
    const size_t i = place_of(bed, ion);
    if (i == column->layout.ions) {
        return 0.0;
    }
    const double held = column->total_capacity_eq_per_m3 * mean_fraction(column, state, cell, i);
    double taken = at_most(eq_per_m3, held);
    taken = at_most(taken, column->void_fraction * sodium_of_water(column, state, cell));
    if (taken <= 0.0) {
        return 0.0;
    }
    for (size_t m = 0; m < column->layout.shells; m++) {
        state[bf__layout_shell(&column->layout, m, i) + cell] *= 1.0 - taken / held;
    }
    state[bf__layout_normality(&column->layout) + cell] -= taken / column->void_fraction;
    return taken;
}

double bf__bed_leave_water(bf_bed *bed, size_t cell, bf_ion ion, double eq_per_m3)
{
    const bf__column *column = bf__bed_column(bed);
    double *state = bf__bed_state(bed);
    const size_t i = place_of(bed, ion);
    if (i == column->layout.ions) {
        return 0.0;
    }
    double *pore = state + bf__layout_pore(&column->layout, i) + cell;
    const double taken = at_most(eq_per_m3, column->void_fraction * *pore);
    *pore -= taken / column->void_fraction;
    state[bf__layout_normality(&column->layout) + cell] -= taken / column->void_fraction;
    return taken;
}

double bf__bed_load(bf_bed *bed, size_t cell, bf_ion ion, double eq_per_m3)
{
    const bf__column *column = bf__bed_column(bed);
    double *state = bf__bed_state(bed);
    const size_t i = place_of(bed, ion);
    if (i == column->layout.ions) {
        return 0.0;
    }
    double sodium[BF__MAX_SHELLS];
    double room = 0.0;
    for (size_t m = 0; m < column->layout.shells; m++) {
        sodium[m] = 1.0;
        for (size_t k = 0; k < column->layout.ions; k++) {
            sodium[m] -= state[bf__layout_shell(&column->layout, m, k) + cell];
        }
        sodium[m] = sodium[m] > 0.0 ? sodium[m] : 0.0;
        room += column->total_capacity_eq_per_m3 * column->shell_volume[m] * sodium[m];
    }
    const double taken = at_most(eq_per_m3, room);
    for (size_t m = 0; m < column->layout.shells && taken > 0.0; m++) {
        state[bf__layout_shell(&column->layout, m, i) + cell] += sodium[m] * taken / room;
    }
    return taken;
}

void bf__bed_change_sites(bf_bed *bed, double before_eq_per_m3)
{
    const bf__column *column = bf__bed_column(bed);
    const bf__layout *layout = &column->layout;
    double *state = bf__bed_state(bed);
    const double lost = before_eq_per_m3 - column->total_capacity_eq_per_m3;
    const double still = before_eq_per_m3 / column->total_capacity_eq_per_m3;
    for (size_t k = 0; k < layout->cells; k++) {
        for (size_t i = 0; i < layout->ions; i++) {
            if (lost > 0.0) {
                state[bf__layout_pore(layout, i) + k] +=
                    lost * mean_fraction(column, state, k, i) / column->void_fraction;
            }
            for (size_t m = 0; m < layout->shells && lost < 0.0; m++) {
                state[bf__layout_shell(layout, m, i) + k] *= still;
            }
        }
        if (lost > 0.0) {
            state[bf__layout_normality(layout) + k] += lost / column->void_fraction;
        }
    }
}
