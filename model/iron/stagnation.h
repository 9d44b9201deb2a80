/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Iron between runs of fresh water: in water at rest in the bed, and in brine. */
#ifndef BF_IRON_STAGNATION_H
#define BF_IRON_STAGNATION_H

#include "brinefront/bed.h"
#include "brinefront/oxidation.h"

/* Deposits of a bed, cell by cell, mol of Fe per m3 of bed; borrowed. */
typedef struct bf__deposits {
    double *loose, *bound;
    size_t cells;
} bf__deposits;

typedef struct bf__stagnation {
    const bf_iron_spec *spec;
    double temperature_K;
    double pH;
    double duration_s;
    /* Oxygen in the water of each cell, mol per m3 of water, which is all there is ... */
    const double *oxygen_mol_per_m3;
    /* ... or, where that is NULL, the same everywhere, brought by the flow: so much in all, mol per
     * m3 of bed. */
    double flowing_oxygen_mol_per_m3;
    double flowing_oxygen_supply_mol_per_m3;
    int dissolved_too; /* nonzero: iron in the water oxidises and settles where it is */
} bf__stagnation;

/* Ages the exchanged iron of the bed, oxidises what is dissolved, binds loose deposit. */
void bf__iron_stagnate(const bf__stagnation *how, bf_bed *bed, bf__deposits *deposits);

#endif
