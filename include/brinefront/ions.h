/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file ions.h
 * The ions brinefront knows, one table for code, documentation and tests.
 */
#ifndef BRINEFRONT_IONS_H
#define BRINEFRONT_IONS_H

#include "brinefront/status.h"

#ifdef __cplusplus
extern "C" {
#endif

/**
 * X(id, symbol, name, molar mass g/mol, charge, diffusivity in water at 25 C m2/s)
 *
 * Molar masses: CIAAW abridged standard atomic weights 2021, summed. Diffusivities at infinite
 * dilution: USGS TM 6-A43 (2013), aqueous species data; NH4 from the CRC Handbook (Vanysek), from
 * memory. Cations come first: they are the ones that exchange. Na leads, as the reference ion.
 */
#define BF_CATION_TABLE(X)                                                                         \
    X(NA, "Na", "sodium", 22.98977, +1, 1.33e-9)                                                   \
    X(CA, "Ca", "calcium", 40.078, +2, 0.793e-9)                                                   \
    X(MG, "Mg", "magnesium", 24.305, +2, 0.705e-9)                                                 \
    X(K, "K", "potassium", 39.0983, +1, 1.96e-9)                                                   \
    X(FE, "Fe", "iron", 55.845, +2, 0.719e-9)                                                      \
    X(MN, "Mn", "manganese", 54.938043, +2, 0.688e-9)                                              \
    X(SR, "Sr", "strontium", 87.62, +2, 0.794e-9)                                                  \
    X(BA, "Ba", "barium", 137.327, +2, 0.848e-9)                                                   \
    X(NH4, "NH4", "ammonium", 18.039, +1, 1.957e-9)                                                \
    X(H, "H", "hydrogen", 1.008, +1, 9.31e-9)
#define BF_ANION_TABLE(X)                                                                          \
    X(CL, "Cl", "chloride", 35.45, -1, 2.03e-9)                                                    \
    X(HCO3, "HCO3", "alkalinity", 61.016, -1, 1.18e-9)                                             \
    X(SO4, "SO4", "sulfate", 96.056, -2, 1.07e-9)                                                  \
    X(NO3, "NO3", "nitrate", 62.004, -1, 1.90e-9)
#define BF_ION_TABLE(X) BF_CATION_TABLE(X) BF_ANION_TABLE(X)

typedef enum bf_ion {
#define BF_ION_ENUM(id, symbol, name, mass, charge, diffusivity) BF_ION_##id,
    BF_ION_TABLE(BF_ION_ENUM)
#undef BF_ION_ENUM
        BF_ION_COUNT
} bf_ion;

/** Ions 0 .. BF_CATION_COUNT-1 are cations. */
#define BF_CATION_COUNT ((size_t)BF_ION_CL)

typedef struct bf_ion_info {
    const char *symbol;
    const char *name; /**< as a case file spells it */
    double molar_mass_g_per_mol;
    int charge;
    double diffusivity_25C_m2_per_s; /**< in water at 25 C, infinite dilution */
} bf_ion_info;

/** Borrowed, never NULL for a valid ion. */
BF_API const bf_ion_info *bf_ion_get(bf_ion ion);

/** Grams per equivalent: molar mass over |charge|. */
BF_API double bf_ion_equivalent_mass_g_per_eq(bf_ion ion);

/** Nonzero for the ions that count as hardness: Ca, Mg, Sr and Ba. Fe and Mn exchange as divalent
 *  ions too, but an analysis reports them on their own, so they count 0. */
BF_API int bf_ion_is_hardness(bf_ion ion);

/** Sum over the ions of hardness of an array with one value per bf_ion. */
BF_API double bf_ion_hardness(const double per_ion[BF_ION_COUNT]);

/**
 * Diffusivity in water at another temperature, by Stokes-Einstein: D25 (T/298.15)(mu25/mu), with
 * mu25 = 0.8902 mPa s the viscosity of water at 25 C by bf_fluid_of_water().
 *
 * @param temperature_K    273.15 .. 373.15
 * @param viscosity_Pa_s   of the solution at that temperature, > 0
 *
 * Ca in water at 5/10/20/30 C: 0.434/0.513/0.693/0.900e-9 m2/s. Tested in tests/water/test_ions.c.
 */
BF_API double bf_ion_diffusivity_m2_per_s(bf_ion ion, double temperature_K, double viscosity_Pa_s);

#ifdef __cplusplus
}
#endif
#endif
