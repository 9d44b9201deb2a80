/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file fluid.h
 * Density and viscosity of water and of NaCl and KCl brine (Laliberte 2009).
 */
#ifndef BRINEFRONT_FLUID_H
#define BRINEFRONT_FLUID_H

#include "brinefront/salt.h"

#ifdef __cplusplus
extern "C" {
#endif

typedef struct bf_fluid {
    double density_kg_per_m3;
    double viscosity_Pa_s;
} bf_fluid;

/**
 * Density and viscosity of a salt solution.
 *
 *     1/rho = w_w/rho_w + w/rho_s,    rho_s = (c0 w + c1) exp(1e-6 (t + c4)^2)/(w + c2 + c3 t)
 *     mu    = mu_w^(w_w) mu_s^w,      mu_s  = exp((v1 w^v2 + v3)/(v4 t + 1))/(v5 w^v6 + 1)
 *
 * with w the mass fraction of salt, w_w = 1 - w, t in degrees Celsius, mu in mPa s; rho_w after
 * Kell, mu_w = (t + 246)/((0.05594 t + 5.2842) t + 137.37).
 *
 * @param salt           NaCl or KCl
 * @param mass_fraction  kg salt per kg solution, 0 .. saturation at that temperature
 * @param temperature_K  273.15 .. 373.15
 * @param out            density kg/m3, viscosity Pa s
 * @return BF_OK; BF_E_RANGE outside these ranges
 *
 * Accuracy: density of NaCl at 10 and 20 C within 0.06 %, viscosity at 20 C within 1 % of published
 * tables. KCl brine stronger than 26.4 wt% (density) or 30.6 wt% (viscosity), and any brine colder
 * than 5 C, is extrapolated.
 * Source: Laliberte, J. Chem. Eng. Data 54 (2009) 1725.
 * Tested in tests/water/test_fluid.c.
 */
BF_API BF_MUST_CHECK bf_status bf_fluid_of_brine(bf_salt salt, double mass_fraction,
                                                 double temperature_K, bf_fluid *out,
                                                 bf_error *err);

/** Density and viscosity of pure water, 273.15 .. 373.15 K. Same source. */
BF_API BF_MUST_CHECK bf_status bf_fluid_of_water(double temperature_K, bf_fluid *out,
                                                 bf_error *err);

#ifdef __cplusplus
}
#endif
#endif
