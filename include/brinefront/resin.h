/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file resin.h
 * A strong-acid cation resin: what one buys, as a record whose every field can be overridden.
 */
#ifndef BRINEFRONT_RESIN_H
#define BRINEFRONT_RESIN_H

#include "brinefront/ions.h"

#ifdef __cplusplus
extern "C" {
#endif

/** How a bead is cut into shells. */
typedef enum bf_shell_law {
    /** Volumes and faces that answer a slowly changing surface as the sphere does, to the order 2M
     * - 1: three shells do what a dozen equal ones do. The default. */
    BF_SHELLS_MATCHED,
    /** Equal volumes, node of the outermost on the surface; to compare with codes that do so. */
    BF_SHELLS_EQUAL
} bf_shell_law;

/** Most classes that a spread of bead sizes may be cut into, and most shells of all of them. */
enum { BF_BEAD_CLASSES = 5, BF_BEAD_SHELLS = 48 };

/** Selectivity of iron and of manganese over that of magnesium, by default: resin affinity tables
 *  (from memory). */
#define BF_IRON_OVER_MAGNESIUM 1.02
#define BF_MANGANESE_OVER_MAGNESIUM 0.95

typedef struct bf_resin {
    const char *name;                /**< "gel_8", "gel_10", or the caller's own */
    double total_capacity_eq_per_m3; /**< per settled bed volume, Na form, 500 .. 4000 */
    double void_fraction;            /**< of the settled bed, 0.2 .. 0.6 */
    double bead_diameter_m;          /**< surface (Sauter) mean, 0.1e-3 .. 2e-3 */
    double uniformity_coefficient;   /**< d60/d10 of the beads by volume, 1 (one size) .. 2.5 */
    double bead_density_kg_per_m3;   /**< wet bead, Na form, 1050 .. 1600 */
    /** Thermodynamic selectivity against Na, Gaines-Thomas: K = y a_Na^2/(y_Na^2 a) in mol/kg for
     *  a divalent ion, K = y a_Na/(y_Na a) for a monovalent one; Na itself is 1. 1e-3 .. 1e4. */
    double selectivity[BF_ION_COUNT];
    /** Self-diffusivity in the bead at 25 C, m2/s, 1e-14 .. 1e-8. */
    double diffusivity_25C_m2_per_s[BF_ION_COUNT];
    /** Activation energy of that diffusivity, J/mol, 0 .. 100e3. */
    double activation_J_per_mol[BF_ION_COUNT];
} bf_resin;

/** Gel polystyrene sulfonate, 8 % divinylbenzene; sources in resin.c. */
BF_API bf_resin bf_resin_gel_8(void);

/** Gel polystyrene sulfonate, 10 % divinylbenzene; sources in resin.c. */
BF_API bf_resin bf_resin_gel_10(void);

/** Find a record by name: "gel_8" or "gel_10". @return BF_OK; BF_E_INPUT with the accepted names.
 */
BF_API BF_MUST_CHECK bf_status bf_resin_find(const char *name, bf_resin *out, bf_error *err);

/** @return BF_OK; BF_E_RANGE naming the first field outside its range. */
BF_API BF_MUST_CHECK bf_status bf_resin_check(const bf_resin *resin, bf_error *err);

/** Diffusivity in the bead at temperature: D25 exp(-(E/R)(1/T - 1/298.15)), m2/s. */
BF_API double bf_resin_diffusivity_m2_per_s(const bf_resin *resin, bf_ion ion,
                                            double temperature_K);

#ifdef __cplusplus
}
#endif
#endif
