/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file activity.h
 * Activity coefficients in mixed brines, after Pitzer, with the exact unsymmetrical-mixing term.
 */
#ifndef BRINEFRONT_ACTIVITY_H
#define BRINEFRONT_ACTIVITY_H

#include "brinefront/fluid.h"
#include "brinefront/ions.h"

#ifdef __cplusplus
extern "C" {
#endif

/**
 * ln of the activity coefficient of every ion in a mixed solution, present or at trace level.
 *
 * Single ions on the scale of Pitzer's equations as they stand (no MacInnes shift); only
 * combinations of no net charge, such as gamma_Na^2/gamma_Ca, have a meaning outside.
 *
 * @param molality_mol_per_kg  one per bf_ion, >= 0; an ion with 0 is treated as a trace and its
 *                             coefficient is returned all the same
 * @param temperature_K        273.15 .. 373.15: A_phi(T); the other parameters stay at 25 C
 * @param ln_gamma             one per bf_ion
 * @return BF_OK; BF_E_RANGE for a molality below 0, not finite or ionic strength above 12 mol/kg
 *
 * Valid for chloride brines at 25 C; what is assumed or missing is listed in activity.c.
 * Accuracy: NaCl 0.3 % of published mean coefficients up to 6 mol/kg, KCl 0.4 % up to 1, CaCl2 and
 * MgCl2 2.5 % up to 2.
 * Source: Pitzer 1975, 1991; parameters Harvie, Moller and Weare 1984 as in USGS TM 6-A43.
 * Cost: some 15 microseconds, most of it the mixing integral; keep it off the hot path.
 * Tested in tests/water/test_activity.c.
 */
BF_API BF_MUST_CHECK bf_status bf_activity_ln_gamma(const double molality_mol_per_kg[BF_ION_COUNT],
                                                    double temperature_K,
                                                    double ln_gamma[BF_ION_COUNT], bf_error *err);

/**
 * The correction that carries a selectivity from one strength to another: for a trace cation M in
 * a brine of one salt, gamma_Na^z / gamma_M with z the charge of M (so gamma_Na^2/gamma_Ca for Ca,
 * gamma_Na/gamma_K for K, and 1 for Na). Exactly 1 at zero strength.
 *
 * @param ion                  a cation
 * @param background           the salt of the brine
 * @param molality_mol_per_kg  of the background, 0 .. 6.2
 * @param temperature_K        273.15 .. 373.15
 * @return BF_OK; BF_E_RANGE for an anion or outside these ranges
 */
BF_API BF_MUST_CHECK bf_status bf_activity_ratio(bf_ion ion, bf_salt background,
                                                 double molality_mol_per_kg, double temperature_K,
                                                 double *ratio, bf_error *err);

#ifdef __cplusplus
}
#endif
#endif
