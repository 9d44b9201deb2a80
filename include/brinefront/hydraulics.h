/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file hydraulics.h
 * Water through a bed of beads: dispersion, pressure drop, and expansion in backwash.
 */
#ifndef BRINEFRONT_HYDRAULICS_H
#define BRINEFRONT_HYDRAULICS_H

#include "brinefront/fluid.h"

#ifdef __cplusplus
extern "C" {
#endif

/** Reynolds number of a bead on the superficial velocity: rho u d/mu. */
BF_API double bf_reynolds(const bf_fluid *fluid, double velocity_m_per_s, double bead_diameter_m);

/**
 * Axial dispersion D_L = u d/(0.2 + 0.011 Re^0.48), m2/s per pore cross-section, u superficial.
 * Valid for 1e-3 < Re < 1e3; data scatter by a factor 2. Source: Chung & Wen, AIChE J. 14 (1968)
 * 857.
 */
BF_API double bf_dispersion_m2_per_s(const bf_fluid *fluid, double velocity_m_per_s,
                                     double bead_diameter_m);

/**
 * Pressure gradient of a settled bed (Ergun), Pa/m:
 * 150 mu (1-e)^2 u/(e^3 d^2) + 1.75 (1-e) rho u^2/(e^3 d).
 * Source: Ergun, Chem. Eng. Prog. 48 (1952) 89.
 */
BF_API double bf_pressure_gradient_Pa_per_m(const bf_fluid *fluid, double velocity_m_per_s,
                                            double bead_diameter_m, double void_fraction);

/** Terminal velocity of one bead, m/s: drag 24/Re (1 + 0.15 Re^0.687) (Schiller & Naumann 1933). */
BF_API double bf_terminal_velocity_m_per_s(const bf_fluid *fluid, double bead_diameter_m,
                                           double bead_density_kg_per_m3);

/**
 * Depth of the backwashed bed over its settled depth, >= 1 (Richardson & Zaki): the void e solves
 * u = v_t e^n, the depth ratio is (1 - e0)/(1 - e).
 *
 * @return the ratio; INFINITY when the velocity carries the beads away (u >= v_t)
 * Source: Richardson & Zaki, Trans. Inst. Chem. Eng. 32 (1954) 35.
 */
BF_API double bf_bed_depth_ratio(const bf_fluid *fluid, double velocity_m_per_s,
                                 double bead_diameter_m, double bead_density_kg_per_m3,
                                 double settled_void_fraction);

/** The inverse: the superficial velocity that lifts the bed to `ratio` of its settled depth, m/s.
 *  @param ratio  >= 1; at 1 the bed is about to lift */
BF_API double bf_lifting_velocity_m_per_s(const bf_fluid *fluid, double ratio,
                                          double bead_diameter_m, double bead_density_kg_per_m3,
                                          double settled_void_fraction);

#ifdef __cplusplus
}
#endif
#endif
