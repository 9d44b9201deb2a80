/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Iron between runs of fresh water: what ages and settles while water is at rest, or brine passes.
 *
 *     demand of a cell, oxygen held   a = q (1 - exp(-k t)),  w = eps c/2 (1 - exp(-k_w t))
 *     oxygen of a cell at rest        used = eps O (1 - exp(-(a' + w')/(4 eps O) t))
 *                                     a, w cut by one factor to (a + w)/4 <= used
 *     oxygen of brine that passes     a cut by one factor in all cells to mean(a)/4 <= supply
 *
 * q exchanged and c dissolved iron (mol/m3 of bed, eq/m3 of water), k ageing.c with the Donnan
 * factor and the ionic strength of the cell's own water, k_w free water and deposit, a' and w'
 * first rates k q, k_w eps c/2; O oxygen, t duration. Exact where oxygen is plenty and where it is
 * scarce; between, the smaller of the two. Charge: bed/alter.h.
 *
 * Assumes: nothing moves or exchanges while it lasts (the next run settles that); in brine
 * dissolved iron leaves before it oxidises; sites that age take Na of the cell's water, and no more
 * ages than that can fill. Bound deposit catalyses as it stood at the start.
 */
#include "iron/stagnation.h"

#include "bed/alter.h"
#include "brinefront/fouling.h"

#include <math.h>

/* What a cell is need for, eq per m3 of bed. */
typedef struct demand {
    double aged, dissolved;
} demand;

/* First rates of a cell at an oxygen content, 1/s. */
typedef struct rates {
    double ageing, free;
} rates;

static double mol_per_kg(void)
{
    return 1e3 / bf_ion_get(BF_ION_FE)->molar_mass_g_per_mol;
}

/* Normality of the cell's water, and its divalent part. */
static void read_water(const bf_bed *bed, const double *state, size_t k, double *normality,
                       double *divalent)
{
    const bf__column *column = bf__bed_column(bed);
    *normality = state[bf__layout_normality(&column->layout) + k];
    *divalent = 0.0;
    for (size_t i = 0; i < column->layout.ions; i++) {
        if (column->charge[i] > 1.5) { /* 1 or 2 as a double */
            *divalent += fmax(state[bf__layout_pore(&column->layout, i) + k], 0.0);
        }
    }
}

static rates rates_of(const bf__stagnation *how, const bf_bed *bed, const double *state,
                      const bf__deposits *deposits, size_t k, double oxygen)
{
    double normality;
    double divalent;
    read_water(bed, state, k, &normality, &divalent);
    const double pressure = bf_oxygen_pressure_Pa(oxygen, how->temperature_K, 0.0);
    const double water =
        bf_iron_oxidation_per_s(how->spec, how->temperature_K, how->pH, pressure) *
        bf_iron_strength_factor(fmax(1e-3 * normality, 0.01)); /* the law begins there */
    const double donnan =
        bf_iron_donnan_square(how->spec, fmax(normality - divalent, 0.0), divalent);
    const double loose = deposits->loose[k] / mol_per_kg() / bf__bed_column(bed)->void_fraction;
    return (rates){
        .ageing = bf_iron_ageing_per_s(how->spec, water, donnan, deposits->bound[k] / mol_per_kg()),
        .free = water + bf_iron_surface_oxidation_per_s(how->spec, how->pH, oxygen, loose)};
}

static double share(double rate_per_s, double duration_s)
{
    return bf_iron_share_aged(rate_per_s, duration_s);
}

/* Exchanged and dissolved iron of a cell, eq per m3 of bed. */
static demand iron_of(const bf_bed *bed, const double *state, size_t k)
{
    const bf__column *column = bf__bed_column(bed);
    const size_t i = bf_ion_set_index(column->ions, BF_ION_FE);
    demand iron = {0};
    if (i < column->layout.ions) {
        for (size_t m = 0; m < column->layout.shells; m++) {
            iron.aged += column->total_capacity_eq_per_m3 * column->shell_volume[m] *
                         fmax(state[bf__layout_shell(&column->layout, m, i) + k], 0.0);
        }
        iron.dissolved =
            column->void_fraction * fmax(state[bf__layout_pore(&column->layout, i) + k], 0.0);
    }
    return iron;
}

static demand demand_of(const bf__stagnation *how, const bf_bed *bed, const double *state,
                        const bf__deposits *deposits, size_t k)
{
    const double oxygen = how->oxygen_mol_per_m3 != NULL ? fmax(how->oxygen_mol_per_m3[k], 0.0)
                                                         : how->flowing_oxygen_mol_per_m3;
    const demand iron = iron_of(bed, state, k);
    const rates rate = rates_of(how, bed, state, deposits, k, oxygen);
    demand need = {.aged = iron.aged * share(rate.ageing, how->duration_s)};
    double first = rate.ageing * iron.aged;
    if (how->dissolved_too) {
        need.dissolved = iron.dissolved * share(rate.free, how->duration_s);
        first += rate.free * iron.dissolved;
    }
    const double total = need.aged + need.dissolved;
    if (how->oxygen_mol_per_m3 != NULL && total > 0.0) {
        /* Oxygen counts 4 mol of Fe, 8 eq. */
        const double most = 2.0 / BF_OXYGEN_PER_IRON * bf__bed_column(bed)->void_fraction * oxygen;
        const double limit = most > 0.0 ? most * share(first / most, how->duration_s) : 0.0;
        const double factor = fmin(1.0, limit / total);
        need.aged *= factor;
        need.dissolved *= factor;
    }
    return need;
}

void bf__iron_stagnate(const bf__stagnation *how, bf_bed *bed, bf__deposits *deposits)
{
    const double *state = bf__bed_state(bed);
    double factor = 1.0;
    if (how->oxygen_mol_per_m3 == NULL) {
        double mean = 0.0;
        for (size_t k = 0; k < deposits->cells; k++) {
            demand need = demand_of(how, bed, state, deposits, k);
            mean += 0.5 * (need.aged + need.dissolved) / (double)deposits->cells;
        }
        const double supply = how->flowing_oxygen_supply_mol_per_m3 / BF_OXYGEN_PER_IRON;
        factor = mean > supply ? supply / mean : 1.0;
    }
    for (size_t k = 0; k < deposits->cells; k++) {
        const demand need = demand_of(how, bed, state, deposits, k);
        const double aged = bf__bed_leave_resin(bed, k, BF_ION_FE, factor * need.aged);
        const double settled = bf__bed_leave_water(bed, k, BF_ION_FE, factor * need.dissolved);
        const double binds = deposits->loose[k] * share(how->spec->binding_per_s, how->duration_s);
        deposits->bound[k] += 0.5 * aged + binds;
        deposits->loose[k] += 0.5 * settled - binds;
    }
}
