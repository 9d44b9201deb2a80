/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file convert.h
 * Exact factors between SI and the units the trade thinks in. Inside brinefront everything is SI
 * (m, s, K, Pa, m3/s, kg, eq/m3); these constants are used once, at the edge.
 *
 * Source: NIST SP 811 (2008), appendix B: international pound, foot and U.S. gallon, all exact by
 * definition. Grain: 1/7000 lb. Hardness counts as CaCO3 of 100.0869 g/mol
 * (IUPAC 2007 weights Ca 40.078, C 12.0107, O 15.9994, as handbooks print it; the abridged weights
 * of 2021 sum to 1e-5 less), two equivalents a mole.
 */
#ifndef BRINEFRONT_CONVERT_H
#define BRINEFRONT_CONVERT_H

#define BF_PI 3.14159265358979323846 /**< circumference over diameter */
/** Standard gravity, m/s2: by definition (3rd CGPM, 1901). */
#define BF_GRAVITY_M_PER_S2 9.80665

#define BF_KG_PER_LB 0.45359237
#define BF_M_PER_FT 0.3048
#define BF_M_PER_IN 0.0254
#define BF_M3_PER_FT3 0.028316846592
#define BF_M3_PER_GAL 0.003785411784
#define BF_KG_PER_GRAIN 6.479891e-5
#define BF_PA_PER_PSI 6894.757293168361
#define BF_S_PER_MIN 60.0
#define BF_S_PER_H 3600.0
#define BF_K_AT_0_C 273.15

/** Grams of CaCO3 that count as one equivalent of hardness, g/eq. */
#define BF_G_CACO3_PER_EQ 50.04345

/** lb of salt per ft3 of resin -> kg/m3 (16.018). */
#define BF_KG_PER_M3_PER_LB_PER_FT3 (BF_KG_PER_LB / BF_M3_PER_FT3)

/** mg/L as CaCO3 -> eq/m3 (0.019983). */
#define BF_EQ_PER_M3_PER_MG_PER_L_CACO3 (1.0 / BF_G_CACO3_PER_EQ)

/** kilograins as CaCO3 per ft3 of resin -> eq/m3 (45.727). */
#define BF_EQ_PER_M3_PER_KGR_PER_FT3                                                               \
    (1000.0 * BF_KG_PER_GRAIN * 1000.0 / BF_G_CACO3_PER_EQ / BF_M3_PER_FT3)

/** grains per U.S. gallon as CaCO3 -> eq/m3 (0.34206). */
#define BF_EQ_PER_M3_PER_GPG (BF_KG_PER_GRAIN * 1000.0 / BF_G_CACO3_PER_EQ / BF_M3_PER_GAL)

#endif
