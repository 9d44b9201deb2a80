/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The table of ions, and how their diffusivity follows temperature.
 *
 *     D(T) = D25 (T / 298.15 K) (mu25 / mu)
 *
 * D, D25  diffusivity of the ion in water at T and at 25 C, m2/s
 * mu      viscosity of the solution at T, Pa s; mu25 that of water at 25 C
 *
 * Assumes a sphere of constant size dragged through the liquid (Stokes-Einstein).
 * Source of D25: see brinefront/ions.h.
 * Not modelled: coupling of the ions through their charge (the film and bead models do that), and
 * the fall of D with concentration beyond what viscosity brings.
 */
#include "brinefront/ions.h"

#include <assert.h>

/* Viscosity of water at 25 C, Pa s, from the correlation of fluid.c, so that D(25 C) is D25. */
#define WATER_VISCOSITY_25C_PA_S                                                                   \
    (1e-3 * (25.0 + 246.0) / ((0.05594 * 25.0 + 5.2842) * 25.0 + 137.37))

static const bf_ion_info ion_table[BF_ION_COUNT] = {
#define ION_ENTRY(id, symbol, name, mass, charge, diffusivity)                                     \
    [BF_ION_##id] = {symbol, name, mass, charge, diffusivity},
    BF_ION_TABLE(ION_ENTRY)
#undef ION_ENTRY
};

const bf_ion_info *bf_ion_get(bf_ion ion)
{
    assert((unsigned)ion < BF_ION_COUNT);
    return &ion_table[ion];
}

double bf_ion_equivalent_mass_g_per_eq(bf_ion ion)
{
    const bf_ion_info *info = bf_ion_get(ion);
    return info->molar_mass_g_per_mol / (info->charge < 0 ? -info->charge : info->charge);
}

int bf_ion_is_hardness(bf_ion ion)
{
    return ion == BF_ION_CA || ion == BF_ION_MG || ion == BF_ION_SR || ion == BF_ION_BA;
}

double bf_ion_diffusivity_m2_per_s(bf_ion ion, double temperature_K, double viscosity_Pa_s)
{
    assert(temperature_K > 0.0 && viscosity_Pa_s > 0.0);
    return bf_ion_get(ion)->diffusivity_25C_m2_per_s * (temperature_K / 298.15) *
           (WATER_VISCOSITY_25C_PA_S / viscosity_Pa_s);
}

double bf_ion_hardness(const double per_ion[BF_ION_COUNT])
{
    double sum = 0.0;
    for (size_t i = 0; i < BF_CATION_COUNT; i++) {
        sum += bf_ion_is_hardness((bf_ion)i) ? per_ion[i] : 0.0;
    }
    return sum;
}
