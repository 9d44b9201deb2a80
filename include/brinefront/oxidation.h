/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file oxidation.h
 * Iron and manganese that meet oxygen: how fast, and what it costs in oxygen and alkalinity.
 */
#ifndef BRINEFRONT_OXIDATION_H
#define BRINEFRONT_OXIDATION_H

#include "brinefront/iron.h"

#ifdef __cplusplus
extern "C" {
#endif

/** mol of O2 taken by 1 mol of Fe(II) going to Fe(OH)3, and eq of alkalinity with it. */
#define BF_OXYGEN_PER_IRON 0.25
#define BF_ALKALINITY_EQ_PER_IRON 2.0
/** The same for Mn(II) going to MnO2. */
#define BF_OXYGEN_PER_MANGANESE 0.5
#define BF_ALKALINITY_EQ_PER_MANGANESE 2.0
/** CIAAW 2021, abridged: 2 x 15.999. */
#define BF_OXYGEN_G_PER_MOL 31.998

/** What the laws below need to know of a water. */
typedef struct bf_iron_water {
    double temperature_K;           /**< 273.15 .. 313.15 */
    double pH;                      /**< 5 .. 9.5; buffered: it is prescribed, not computed */
    double oxygen_mol_per_m3;       /**< dissolved, 0 .. 0.6 */
    double salinity_g_per_kg;       /**< 0 .. 40, for the solubility of oxygen */
    double alkalinity_eq_per_m3;    /**< 0 .. 50 */
    double colloidal_iron_g_per_m3; /**< Fe(III) that comes with the water, 0 .. 50 */
} bf_iron_water;

/** 12 C, pH 7.5, 1 mg/L of oxygen, 4 meq/L of alkalinity, fresh, no colloid: a well.
 *  Common practice, no source. */
BF_API bf_iron_water bf_iron_water_default(void);

/** @return BF_OK; BF_E_RANGE naming the first field outside its range. */
BF_API BF_MUST_CHECK bf_status bf_iron_water_check(const bf_iron_water *water, bf_error *err);

/**
 * Oxygen in water under moist air of 1 atm, mol/m3.
 *
 * Valid for 0 to 40 C and salinity 0 to 40. Source: Benson & Krause, Limnol. Oceanogr. 29 (1984)
 * 620, as Standard Methods 4500-O uses it. Tested in tests/iron/test_oxidation.c.
 */
BF_API double bf_oxygen_solubility_mol_per_m3(double temperature_K, double salinity_g_per_kg);

/** Partial pressure that a dissolved amount stands for: 0.21 atm times the share of saturation. */
BF_API double bf_oxygen_pressure_Pa(double oxygen_mol_per_m3, double temperature_K,
                                    double salinity_g_per_kg);

/** First-order rate of Fe(II) in free water, 1/s: kH(T) pO2/{H}^2. */
BF_API double bf_iron_oxidation_per_s(const bf_iron_spec *spec, double temperature_K, double pH,
                                      double oxygen_Pa);

/** What ferric deposit adds to it, 1/s: a_s ks K S [O2]/{H}.
 *  @param ferric_kg_per_m3  Fe(III) per m3 of the water that touches it */
BF_API double bf_iron_surface_oxidation_per_s(const bf_iron_spec *spec, double pH,
                                              double oxygen_mol_per_m3, double ferric_kg_per_m3);

/** First-order rate of Mn(II) in free water at 25 C, 1/s; measured at pH 8.03 to 9.30. */
BF_API double bf_manganese_oxidation_per_s(double pH, double oxygen_mol_per_m3);

/** Rate of Fe(II) oxidation at ionic strength I over that at 0.01, fixed pH; held beyond 0.7. */
BF_API double bf_iron_strength_factor(double ionic_strength_mol_per_L);

/** Of iron that waits in a tank before the softener, the share that arrives as Fe(III). */
BF_API double bf_iron_share_oxidised(double oxidation_per_s, double wait_s);

#ifdef __cplusplus
}
#endif
#endif
