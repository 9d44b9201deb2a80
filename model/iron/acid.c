/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Hydrochloric acid through a bed: it turns sites to the H form and dissolves deposit.
 *
 *     N = 1000 rho w/M                          normality of the acid as it enters
 *     n = min(eps c_H/3, S (1 - exp(-k t)))     iron that a cell dissolves after each slice
 *     eps dc_H = -3 n                           what that takes of its acid
 *
 * The acid flows at the brine's velocity; H+ exchanges against all others by the bed's own
 * equilibrium and kinetics (K_H/Na 0.64). Bound and loose deposit dissolve by their share.
 *
 * The amount is cut into slices that flow, then the acid soaks for the rest of its time. Iron leaves
 * with the liquid: above 1 mol/L of chloride Fe(III) is held in solution by chloride complexes, so
 * that it is not taken up again. H+ that a deposit takes leaves the water with its charge.
 *
 * w mass fraction, rho density kg/m3, M g/mol; n mol of Fe per m3 of bed; S deposit mol/m3 of bed;
 * eps void; c_H of the cell's water eq/m3; k 1/s rate of dissolution, t time of a slice.
 *
 * Assumes: k is that of a reductant at full strength (90 % in half an hour; no measurement at
 * hand); density 998 + 490 w kg/m3 (from memory, 10 % 1047); viscosity of water; activity of H+ in
 * the acid as that of Na+ in brine.
 * Range: w 0.01 to 0.2.
 * Not modelled here: heat, gas from carbonate, what acid does to the tank.
 */
#include "iron/campaign_state.h"

#include "bed/alter.h"

#include <math.h>

static const double acid_g_per_mol = 36.458; /* HCl, CIAAW 2021 abridged */

enum { SLICES = 8 }; /* numerical choice: flow and dissolution take turns this often */

/* Iron that the acid of each cell takes in a time. */
static bf_status dissolve(bf_campaign *c, double duration_s, double *removed_mol_per_m3,
                          bf_error *err)
{
    const bf_iron_spec *iron = &c->spec.iron;
    const double rate =
        iron->reduction_per_s * (c->spec.cleaning.aged ? iron->reduction_aged : 1.0);
    const double share = -expm1(-rate * duration_s);
    const double cells = (double)c->deposits.cells;
    bf_status status = bf__campaign_read_deposits(c, err);
    for (size_t k = 0; k < c->deposits.cells && status == BF_OK; k++) {
        double *loose = &c->deposits.loose[k];
        double *bound = &c->deposits.bound[k];
        const double most = share * (*loose + *bound);
        const double mol =
            most > 0.0 ? bf__bed_leave_water(c->iron_bed->bed, k, BF_ION_H, 3.0 * most) / 3.0 : 0.0;
        const double left = most > 0.0 ? 1.0 - share * mol / most : 1.0;
        *loose *= left;
        *bound *= left;
        c->now.iron.cleaned += mol / cells;
        *removed_mol_per_m3 += mol / cells;
    }
    return status == BF_OK ? bf__campaign_write_deposits(c, err) : status;
}

/* Velocity of the first brine step; of the service where there is none. */
static double velocity(const bf_recipe *recipe)
{
    const bf_step *brine = bf_recipe_find(recipe, BF_ROLE_BRINE);
    return brine != NULL ? brine->velocity_m_per_s : recipe->step[0].velocity_m_per_s;
}

bf_status bf__campaign_acid(bf_campaign *c, double *removed_mol_per_m3, bf_error *err)
{
    const bf_campaign_cleaning *cleaning = &c->spec.cleaning;
    const double w = cleaning->mass_fraction;
    const double density = 998.0 + 490.0 * w;
    const double bed_volumes = cleaning->dose_kg_per_m3 / (w * density);
    bf_flow flow = {.velocity_m_per_s = velocity(&c->spec.recipe),
                    .fluid = c->fluid,
                    .end_hardness_eq_per_m3 = (double)NAN};
    flow.fluid.density_kg_per_m3 = density;
    flow.inlet_eq_per_m3[BF_ION_H] = 1000.0 * density * w / acid_g_per_mol;
    const double flow_s = bed_volumes * c->spec.bed.depth_m / flow.velocity_m_per_s;
    flow.duration_s = flow_s / SLICES;
    const bf_step none = {.supply = BF_SUPPLY_SOFT}; /* brings no floc */
    bf_status status = BF_OK;
    c->iron_bed->open = 0;
    for (size_t p = 0; p < SLICES && status == BF_OK && flow_s > 0.0; p++) {
        bf_passage passage;
        double suspended;
        status = bf_bed_run(c->iron_bed->bed, &flow, &passage, err);
        status =
            status == BF_OK ? bf__campaign_book(c, &none, &passage, 0, &suspended, err) : status;
        status = status == BF_OK ? dissolve(c, flow.duration_s, removed_mol_per_m3, err) : status;
    }
    const double rest_s = cleaning->duration_s - flow_s;
    return status == BF_OK && flow_s > 0.0 && rest_s > 0.0
               ? dissolve(c, rest_s, removed_mol_per_m3, err)
               : status;
}
