/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file fouling.h
 * How iron gets stuck in a bed, what it spoils there, and what chlorine does to the resin.
 *
 * There are four kinds of iron: exchanged (brine takes it off), suspended, loose deposit
 * (backwash takes it off) and bound deposit (neither does). Deposits are kg of Fe per m3 of bed.
 */
#ifndef BRINEFRONT_FOULING_H
#define BRINEFRONT_FOULING_H

#include "brinefront/fluid.h"
#include "brinefront/iron.h"

#ifdef __cplusplus
extern "C" {
#endif

/* ---- capture --------------------------------------------------------------------------------- */

/** Filter coefficient of a bed for ferric floc, 1/m: lambda0 (0.6 mm/d)^m (12 m/h/u)^n. */
BF_API double bf_iron_filter_per_m(const bf_iron_spec *spec, double bead_diameter_m,
                                   double velocity_m_per_s);

/** Share of suspended iron that a depth of bed holds back: 1 - exp(-lambda L). */
BF_API double bf_iron_captured(double filter_per_m, double depth_m);

/** The inverse: the coefficient that holds back a share, 0 <= share < 1. */
BF_API double bf_iron_filter_of_share(double share, double depth_m);

/* ---- ageing ---------------------------------------------------------------------------------- */

/**
 * ([OH] in the bead over [OH] in the water)^2 by an ideal Donnan equilibrium: the positive root f
 * of cbar f^2 = c_Na f + 2 c_M, squared.
 *
 * @param monovalent_eq_per_m3, divalent_eq_per_m3  cations of the water, >= 0
 */
BF_API double bf_iron_donnan_square(const bf_iron_spec *spec, double monovalent_eq_per_m3,
                                    double divalent_eq_per_m3);

/** First-order loss of exchanged iron to bound oxide, 1/s: f_age k_w D (1 + S_x/S_cat).
 *  @param oxidation_per_s  of Fe(II) in the water outside, at its own ionic strength
 *  @param donnan_square    of bf_iron_donnan_square() */
BF_API double bf_iron_ageing_per_s(const bf_iron_spec *spec, double oxidation_per_s,
                                   double donnan_square, double bound_kg_per_m3);

/** Share of first-order loss after a time: 1 - exp(-k t). */
BF_API double bf_iron_share_aged(double ageing_per_s, double duration_s);

/* ---- deposits -------------------------------------------------------------------------------- */

typedef struct bf_iron_deposit {
    double loose_kg_per_m3; /**< backwash takes it off */
    double bound_kg_per_m3; /**< it stays */
} bf_iron_deposit;

/** Loose deposit turning into bound over a time; the sum stays. */
BF_API bf_iron_deposit bf_iron_bind(const bf_iron_spec *spec, bf_iron_deposit deposit,
                                    double duration_s);

/** What a backwash leaves: loose deposit falls by exp(-k t E), E = min(1, rise/0.5).
 *  @param depth_ratio  depth over settled depth, >= 1, as bf_bed_expansion() gives it */
BF_API bf_iron_deposit bf_iron_backwash(const bf_iron_spec *spec, bf_iron_deposit deposit,
                                        double duration_s, double depth_ratio);

/** Capacity that is left, eq/m3: Q0 g - beta S_x/M_Fe, but a tenth of Q0 at least.
 *  @param oxidised  g, what chlorine left of the capacity: bf_resin_volume_capacity() */
BF_API double bf_iron_capacity_eq_per_m3(const bf_iron_spec *spec, double new_eq_per_m3,
                                         double oxidised, double bound_kg_per_m3);

/** Film coefficient through a coat of bound iron, m/s: 1/(1/k_f + delta/D_sh). */
BF_API double bf_iron_film_m_per_s(const bf_iron_spec *spec, double film_m_per_s,
                                   double diffusivity_m2_per_s, double bead_diameter_m,
                                   double void_fraction, double bound_kg_per_m3);

/** Diffusivity in the bead over that of clean resin: 1/(1 + S_x/S_D). */
BF_API double bf_iron_bead_diffusivity_ratio(const bf_iron_spec *spec, double bound_kg_per_m3);

/** Void left by loose deposit: eps0 - S_s/rho_int. @return it; 0 where the bed is plugged. */
BF_API double bf_iron_void_fraction(const bf_iron_spec *spec, double clean_void_fraction,
                                    double loose_kg_per_m3);

/** Pressure gradient through the narrowed void (Ergun), Pa/m; INFINITY where plugged. */
BF_API double bf_iron_pressure_gradient_Pa_per_m(const bf_iron_spec *spec, const bf_fluid *fluid,
                                                 double velocity_m_per_s, double bead_diameter_m,
                                                 double clean_void_fraction,
                                                 double loose_kg_per_m3);

/* ---- chlorine -------------------------------------------------------------------------------- */

/** Rise of moisture (a fraction) by an amount of chlorine per m3 of bed: k (free + w chloramine)
 *  (1 + S_x/S_ox), both counted as Cl2. */
BF_API double bf_resin_moisture_rise(const bf_iron_spec *spec, double free_kg_per_m3,
                                     double chloramine_kg_per_m3, double bound_kg_per_m3);

/** Capacity per volume at a moisture over that at the moisture when new: the bead swells, its dry
 *  matter stays. @param bead_density_kg_per_m3  of the new wet bead */
BF_API double bf_resin_volume_capacity(const bf_iron_spec *spec, double moisture,
                                       double bead_density_kg_per_m3);

#ifdef __cplusplus
}
#endif
#endif
