/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Exchange between pore water and bead surface, by rate law.
 *
 *     film                  S_i = h_i (c_i - c_i*(y_surface, C)),  h = k_f (1-eps) 6/d
 *     linear driving force  S_i = Q k_i (y_i*(c, C) - y_i)
 *     reaction              S_i = Q k_i (x_i y_Na - y_i x_Na/alpha_i)
 *
 * S eq per m3 of bed and second, c and C eq/m3 of pore water, y equivalent fraction at the bead
 * surface (of the uniform bead for the last two), x = c/C. Of several classes of bead sizes each
 * has its own surface and its own h; the last two laws know one class only. Q capacity eq/m3 of
 * bed, c* and y* in equilibrium with the other side, k 1/s, alpha separation factor; k_f film
 * coefficient m/s, eps void, d bead diameter m.
 *
 * Assumes the normality at the surface is that of the pore water (about +0.5 % in capacity).
 *
 * Source: film: any mass-transfer text; linear driving force: Glueckauf, Trans. Faraday Soc. 51
 * (1955) 1540; reaction: Thomas, J. Am. Chem. Soc. 66 (1944) 1664.
 */
#include "bed/exchange.h"

#include "base/hot.h"
#include "resin/selectivity.h"

size_t bf__exchange_work_size(const bf__layout *layout)
{
    /* c* or y*, and its slope by c_K */
    return bf__selectivity_work_size(layout->ions, layout->stride) +
           2 * layout->ions * layout->stride;
}

static int film(const bf__column *column, size_t grade, const double *state, double *work,
                double *rate, const bf__exchange_slope *slope)
{
    const bf__layout *layout = &column->layout;
    const size_t count = layout->ions;
    const size_t stride = layout->stride;
    const double *pore = state + bf__layout_pore(layout, 0);
    const double *surface = state + bf__layout_shell(layout, bf__layout_surface(layout, grade), 0);
    const double *transfer = column->transfer_per_s[grade];
    double *water = work;
    double *by_potassium = work + count * stride;
    double *inner = work + 2 * count * stride;
    bf__equilibrium_slope equilibrium = {.by_potassium = by_potassium};
    if (slope != NULL) {
        equilibrium.by_fraction = slope->by_fraction;
        equilibrium.by_normality = slope->by_normality;
    }
    int outside = bf__selectivity_water(column->selectivity, layout->cells, stride, state, pore,
                                        surface, inner, water, slope ? &equilibrium : NULL);
    for (size_t i = 0; i < count; i++) {
        const double h = transfer[i];
        const double *restrict c = pore + i * stride;
        const double *restrict c_star = water + i * stride;
        double *restrict out = rate + i * stride;
        for (size_t p = 0; p < layout->cells; p++) {
            out[p] = h * (c[p] - c_star[p]);
        }
    }
    if (slope == NULL) {
        return outside;
    }
    size_t potassium = bf__selectivity_potassium(column->selectivity);
    for (size_t i = 0; i < count; i++) {
        const double h = transfer[i];
        for (size_t p = 0; p < layout->cells; p++) {
            slope->by_normality[i * stride + p] *= -h;
        }
        for (size_t k = 0; k < count; k++) {
            double *restrict by_fraction = slope->by_fraction + (i * count + k) * stride;
            double *restrict by_pore = slope->by_pore + (i * count + k) * stride;
            for (size_t p = 0; p < layout->cells; p++) {
                by_fraction[p] *= -h;
                by_pore[p] = i == k ? h : 0.0;
            }
            if (k == potassium) {
                for (size_t p = 0; p < layout->cells; p++) {
                    by_pore[p] -= h * by_potassium[i * stride + p];
                }
            }
        }
    }
    return outside;
}

static int linear_driving_force(const bf__column *column, const double *state, double *work,
                                double *rate, const bf__exchange_slope *slope)
{
    const bf__layout *layout = &column->layout;
    const size_t count = layout->ions;
    const size_t stride = layout->stride;
    const double *pore = state + bf__layout_pore(layout, 0);
    const double *bead = state + bf__layout_shell(layout, layout->shells - 1, 0);
    double *target = work;
    double *inner = work + 2 * count * stride;
    bf__equilibrium_slope equilibrium = {0};
    if (slope != NULL) {
        equilibrium.by_fraction = slope->by_pore; /* dy* by c */
        equilibrium.by_normality = slope->by_normality;
        equilibrium.by_potassium = work + count * stride;
    }
    int outside = bf__selectivity_resin(column->selectivity, layout->cells, stride, state, pore,
                                        inner, target, slope ? &equilibrium : NULL);
    for (size_t i = 0; i < count; i++) {
        const double k = column->total_capacity_eq_per_m3 * column->transfer_per_s[0][i];
        for (size_t p = 0; p < layout->cells; p++) {
            rate[i * stride + p] = k * (target[i * stride + p] - bead[i * stride + p]);
        }
        if (slope == NULL) {
            continue;
        }
        for (size_t p = 0; p < layout->cells; p++) {
            slope->by_normality[i * stride + p] *= k;
        }
        for (size_t j = 0; j < count; j++) {
            for (size_t p = 0; p < layout->cells; p++) {
                slope->by_pore[(i * count + j) * stride + p] *= k;
                slope->by_fraction[(i * count + j) * stride + p] = i == j ? -k : 0.0;
            }
        }
    }
    return outside;
}

static int reaction(const bf__column *column, const double *state, double *rate,
                    const bf__exchange_slope *slope)
{
    const bf__layout *layout = &column->layout;
    const size_t count = layout->ions;
    const size_t stride = layout->stride;
    const double *normality = state + bf__layout_normality(layout);
    const double *pore = state + bf__layout_pore(layout, 0);
    const double *bead = state + bf__layout_shell(layout, layout->shells - 1, 0);
    int outside = 0;
    for (size_t p = 0; p < layout->cells; p++) {
        double x_sodium = 1.0;
        double y_sodium = 1.0;
        outside |= !(normality[p] > 0.0);
        for (size_t i = 0; i < count; i++) {
            x_sodium -= pore[i * stride + p] / normality[p];
            y_sodium -= bead[i * stride + p];
        }
        for (size_t i = 0; i < count; i++) {
            const double k = column->total_capacity_eq_per_m3 * column->transfer_per_s[0][i];
            const double back = bf__selectivity_weight(column->selectivity, i); /* 1/alpha */
            double x = pore[i * stride + p] / normality[p];
            double y = bead[i * stride + p];
            rate[i * stride + p] = k * (x * y_sodium - y * x_sodium * back);
            if (slope == NULL) {
                continue;
            }
            double by_normality = 0.0;
            for (size_t j = 0; j < count; j++) {
                double same = i == j ? 1.0 : 0.0;
                double by_x = k * (same * y_sodium + y * back);
                slope->by_pore[(i * count + j) * stride + p] = by_x / normality[p];
                slope->by_fraction[(i * count + j) * stride + p] =
                    -k * (x + same * x_sodium * back);
                by_normality -= by_x * pore[j * stride + p] / (normality[p] * normality[p]);
            }
            slope->by_normality[i * stride + p] = by_normality;
        }
    }
    return outside;
}

BF__HOT int bf__exchange_rate(const bf__column *column, size_t grade, const double *state,
                              double *work, double *rate, const bf__exchange_slope *slope)
{
    switch (column->rate_law) {
    case BF_RATE_FILM_AND_BEAD:
    case BF_RATE_FILM:
    case BF_RATE_BEAD:
    case BF_RATE_EQUILIBRIUM: return film(column, grade, state, work, rate, slope);
    case BF_RATE_LINEAR_DRIVING_FORCE:
        return linear_driving_force(column, state, work, rate, slope);
    case BF_RATE_REACTION: return reaction(column, state, rate, slope);
    }
    return -1;
}
