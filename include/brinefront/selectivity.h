/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file selectivity.h
 * Ion-exchange equilibrium of any mix of monovalent and divalent cations, explicit both ways.
 *
 * The set of ions and the laws below are what closed solutions and real beds need; all of them are
 * smooth and exact at vanishing fractions.
 */
#ifndef BRINEFRONT_SELECTIVITY_H
#define BRINEFRONT_SELECTIVITY_H

#include "brinefront/ions.h"

#ifdef __cplusplus
extern "C" {
#endif

/** The cations a bed tracks besides Na, which is the rest: y_Na = 1 - sum y. */
typedef struct bf_ion_set {
    size_t count;                /**< 1 .. BF_CATION_COUNT - 1 */
    bf_ion ion[BF_CATION_COUNT]; /**< distinct, without BF_ION_NA, divalent ions first */
} bf_ion_set;

/** Every tracked cation whose concentration is above zero in any of the waters given, plus Ca and
 *  Mg, divalent ions first. @param eq_per_m3 array of `water_count` pointers to BF_ION_COUNT values
 */
BF_API bf_ion_set bf_ion_set_of(const double *const *eq_per_m3, size_t water_count);

/** Index of an ion in the set, or set->count when it is not in it. */
BF_API size_t bf_ion_set_index(const bf_ion_set *set, bf_ion ion);

typedef enum bf_equilibrium_law {
    /** Mass action with activities: K = y a_Na^2/(y_Na^2 a), K in mol/kg; K y-ratio for monovalent.
     */
    BF_EQUILIBRIUM_MASS_ACTION,
    /** Mass action with fixed K_N = (y/x)(x_Na/y_Na)^2 C/Q for divalent, (y/x)(x_Na/y_Na) for
     *  monovalent ions; no activities. */
    BF_EQUILIBRIUM_MASS_ACTION_IDEAL,
    /** Constant separation factor alpha = (y/x)(x_Na/y_Na), whatever the charge. */
    BF_EQUILIBRIUM_SEPARATION_FACTOR,
    /** Linear: y = k c with k in m3/eq; each ion on its own. */
    BF_EQUILIBRIUM_LINEAR
} bf_equilibrium_law;

typedef struct bf_selectivity_spec {
    bf_equilibrium_law law;
    bf_ion_set ions;
    double constant[BF_ION_COUNT];   /**< by law: K mol/kg (or -), K_N, alpha, k m3/eq; > 0 */
    double total_capacity_eq_per_m3; /**< per settled bed volume; used by MASS_ACTION_IDEAL only */
    double temperature_K;            /**< 273.15 .. 323.15; used by MASS_ACTION only */
} bf_selectivity_spec;

/** Immutable after creation: any number of beds and threads may share one. */
typedef struct bf_selectivity bf_selectivity;

/**
 * Prepare an equilibrium. For MASS_ACTION the activity correction is tabulated once along NaCl (and
 * along KCl when K is in the set) against sqrt(normality), as piecewise cubics with exact slopes.
 *
 * @return BF_OK; BF_E_RANGE for an empty set, a constant that is not above zero, a temperature
 *         outside the range; BF_E_MEMORY
 * Cost: some 15 ms for two ions, twice that for nine with K. Ownership: *out is yours, free it with
 * bf_selectivity_free().
 */
BF_API BF_MUST_CHECK bf_status bf_selectivity_create(const bf_selectivity_spec *spec,
                                                     bf_selectivity **out, bf_error *err);
BF_API void bf_selectivity_free(bf_selectivity *selectivity);

/**
 * Pore water in equilibrium with a resin surface, in closed form. For mass action, with
 * r = x_Na/y_Na, A = sum_div a_i y_i, B = y_Na + sum_mono b_j y_j:
 *
 *     A r^2 + B r = 1,   r = 2/(B + sqrt(B^2 + 4 A)),   x_i = a_i y_i r^2,  x_j = b_j y_j r
 *
 * with a = 2 C R/(K w), b = G/K; R, G activity ratios, w kg of water per litre of pore water.
 *
 * @param normality_eq_per_m3  C of the pore water, > 0
 * @param pore_eq_per_m3       c of each ion in the set actually present; only that of K matters (it
 *                             weighs the NaCl table against the KCl table); NULL reads as none
 * @param resin_fraction       y of each ion in the set, equivalent fractions
 * @param equilibrium_eq_per_m3  out: c* of each ion in the set
 */
BF_API void bf_selectivity_to_water(const bf_selectivity *selectivity, double normality_eq_per_m3,
                                    const double *pore_eq_per_m3, const double *resin_fraction,
                                    double *equilibrium_eq_per_m3);

/** The inverse: resin fractions in equilibrium with a water; same closed form read the other way.
 */
BF_API void bf_selectivity_to_resin(const bf_selectivity *selectivity, double normality_eq_per_m3,
                                    const double *pore_eq_per_m3, double *resin_fraction);

#ifdef __cplusplus
}
#endif
#endif
