/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The waters that a step can take: the feed, the feed softened, sea water. */
#include "brinefront/cycle.h"

#include <string.h>

/* Sea water: mol per kg of solution of the reference composition, and its density at 20 C (both
 * from memory; salinity 35.165 g/kg). */
static const double sea_salinity_kg_per_kg = 0.03516504;
static const double sea_density_kg_per_m3 = 1024.8;
static const double sea_mol_per_kg[BF_CATION_COUNT] = {
    [BF_ION_NA] = 0.4689674, [BF_ION_MG] = 0.0528171, [BF_ION_CA] = 0.0102821,
    [BF_ION_K] = 0.0102077,  [BF_ION_SR] = 0.0000907,
};

double bf_sea_salt_kg_per_kg(void)
{
    return sea_salinity_kg_per_kg;
}

double bf_sea_salt_kg_per_m3(void)
{
    return sea_salinity_kg_per_kg * sea_density_kg_per_m3;
}

void bf_site_supply(const bf_site *site, bf_supply supply, double eq_per_m3[BF_ION_COUNT])
{
    memset(eq_per_m3, 0, BF_ION_COUNT * sizeof *eq_per_m3);
    for (size_t i = 0; i < BF_CATION_COUNT; i++) {
        double value = site->water.ion_eq_per_m3[i];
        int charge = bf_ion_get((bf_ion)i)->charge;
        switch (supply) {
        case BF_SUPPLY_RAW: eq_per_m3[i] += value; break;
        case BF_SUPPLY_SOFT: eq_per_m3[charge == 2 ? BF_ION_NA : (bf_ion)i] += value; break;
        case BF_SUPPLY_SEA:
            eq_per_m3[i] = sea_mol_per_kg[i] * charge * sea_density_kg_per_m3;
            break;
        }
    }
}
