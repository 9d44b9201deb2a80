/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Film mass transfer in a packed bed.
 *
 *     Sh = k_f d/D,  Re = rho u d/mu,  Sc = mu/(rho D)
 *     Wilson-Geankoplis  Sh = (1.09/eps) Re^(1/3) Sc^(1/3)      0.0016 < Re < 55
 *                        Sh = (0.250/eps) Re^0.69 Sc^(1/3)      55 < Re < 1500
 *     Kataoka            Sh = 1.85 ((1-eps)/eps)^(1/3) Re^(1/3) Sc^(1/3),  Re eps/(1-eps) < 100
 *
 * u superficial velocity m/s, d bead diameter m, D diffusivity in water m2/s, eps void.
 * The two branches of Wilson-Geankoplis leave a step of -4.2 % at Re = 55.
 * Source: Wilson & Geankoplis 1966, Kataoka et al. 1972 (coefficients from memory, confidence high;
 * ranges of the former seen in its abstract).
 * Not modelled here: natural convection, which a standing or barely moving water would need.
 */
#include "brinefront/film.h"

#include "brinefront/hydraulics.h"

#include <math.h>

double bf_film_coefficient_m_per_s(bf_film_law law, const bf_fluid *fluid, double velocity_m_per_s,
                                   double bead_diameter_m, double void_fraction,
                                   double diffusivity_m2_per_s)
{
    double re = bf_reynolds(fluid, velocity_m_per_s, bead_diameter_m);
    double sc = fluid->viscosity_Pa_s / (fluid->density_kg_per_m3 * diffusivity_m2_per_s);
    double sh = 0.0;
    switch (law) {
    case BF_FILM_WILSON_GEANKOPLIS:
        sh = re <= 55.0 ? 1.09 / void_fraction * cbrt(re * sc)
                        : 0.250 / void_fraction * pow(re, 0.69) * cbrt(sc);
        break;
    case BF_FILM_KATAOKA: sh = 1.85 * cbrt((1.0 - void_fraction) / void_fraction * re * sc); break;
    }
    return sh * diffusivity_m2_per_s / bead_diameter_m;
}
