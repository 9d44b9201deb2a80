/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file film.h
 * Mass transfer through the water film around a bead in a packed bed.
 */
#ifndef BRINEFRONT_FILM_H
#define BRINEFRONT_FILM_H

#include "brinefront/fluid.h"
#include "brinefront/ions.h"

#ifdef __cplusplus
extern "C" {
#endif

typedef enum bf_film_law {
    /** Wilson & Geankoplis 1966: Sh = (1.09/eps) (Re Sc)^(1/3), Re <= 55; above
     *  Sh = (0.250/eps) Re^0.69 Sc^(1/3). */
    BF_FILM_WILSON_GEANKOPLIS,
    /** Kataoka, Yoshida & Ueyama 1972: Sh = 1.85 ((1-eps)/eps)^(1/3) (Re Sc)^(1/3). */
    BF_FILM_KATAOKA
} bf_film_law;

/**
 * Film coefficient k_f = Sh D/d, m/s, with Re = rho u d/mu on the SUPERFICIAL velocity u.
 *
 * @param velocity_m_per_s      superficial, > 0
 * @param bead_diameter_m       > 0
 * @param void_fraction         0.2 .. 0.6
 * @param diffusivity_m2_per_s  of the ion in water, > 0
 * Valid for: 0.0016 < Re < 1500, 950 < Sc < 70600 (Wilson & Geankoplis).
 * Source: Wilson & Geankoplis, Ind. Eng. Chem. Fundam. 5 (1966) 9; Kataoka et al., J. Chem. Eng.
 * Japan 5 (1972) 132. Tested in tests/resin/test_film.c.
 */
BF_API double bf_film_coefficient_m_per_s(bf_film_law law, const bf_fluid *fluid,
                                          double velocity_m_per_s, double bead_diameter_m,
                                          double void_fraction, double diffusivity_m2_per_s);

#ifdef __cplusplus
}
#endif
#endif
