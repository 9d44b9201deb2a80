/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file brine.h
 * Strength of NaCl and KCl brine in every measure the trade uses.
 */
#ifndef BRINEFRONT_BRINE_H
#define BRINEFRONT_BRINE_H

#include "brinefront/fluid.h"

#ifdef __cplusplus
extern "C" {
#endif

/** One brine strength, said in every way; see bf_brine_of_mass_fraction(). */
typedef struct bf_brine {
    bf_salt salt;
    double temperature_K;
    double mass_fraction;                /**< kg salt per kg solution */
    double normality_eq_per_m3;          /**< eq per m3 of solution */
    double salt_per_solution_kg_per_m3;  /**< kg salt per m3 of brine */
    double salt_per_water_kg_per_m3;     /**< kg salt per m3 of water before it was dissolved */
    double water_per_solution_kg_per_m3; /**< kg water per m3 of brine */
    double molality_mol_per_kg;          /**< mol salt per kg water */
    double saturation;                   /**< mass fraction over that of saturated brine */
    bf_fluid fluid;                      /**< density and viscosity */
} bf_brine;

/** @return BF_OK; BF_E_RANGE for a strength below 0 or above saturation (the message names it). */
BF_API BF_MUST_CHECK bf_status bf_brine_of_mass_fraction(bf_salt salt, double mass_fraction,
                                                         double temperature_K, bf_brine *out,
                                                         bf_error *err);

/** The inverse: from eq per m3 of solution, solved to 1e-12 relative. Same errors. */
BF_API BF_MUST_CHECK bf_status bf_brine_of_normality(bf_salt salt, double normality_eq_per_m3,
                                                     double temperature_K, bf_brine *out,
                                                     bf_error *err);

#ifdef __cplusplus
}
#endif
#endif
