/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Chlorine cuts the cross-links of a resin: it swells, and a volume of it holds less.
 *
 *     dW  = k_Cl (free + w chloramine) (1 + S_x/S_ox)
 *     g   = (1 - W) rho(W)/((1 - W0) rho(W0)),   1/rho = W/rho_w + (1 - W)/rho_dry
 *
 * W moisture of the wet bead, kg/kg; doses kg of Cl2 per m3 of bed since new; S_x bound iron kg/m3;
 * g capacity per volume of bed over that when new: dry matter keeps its sites and the void its
 * share. rho_dry follows from the wet bead's density when new.
 *
 * k_Cl is derived from the trade's words on resin life: ten years at 1 mg/L of free chlorine, half
 * of that at 2 (industrialh2osolutions; waterworld 2021), read as 14 points of moisture by 146 kg
 * of Cl2 per m3. So the life it gives back is no test of it. w 0.5: the same source, ambiguous.
 * S_ox is calibrated: that iron speeds the damage is said, by how much is not.
 * Range: moisture 0.44 to 0.65; beyond that a resin is worn out (from memory). Not modelled here:
 * temperature, other oxidants, pressure drop of the soft beads, loss of sites, organics given off.
 */
#include "brinefront/fouling.h"

static const double water_kg_per_m3 = 998.2; /* handbook, 20 C */

double bf_resin_moisture_rise(const bf_iron_spec *spec, double free_kg_per_m3,
                              double chloramine_kg_per_m3, double bound_kg_per_m3)
{
    return spec->moisture_m3_per_kg *
           (free_kg_per_m3 + spec->chloramine_weight * chloramine_kg_per_m3) *
           (1.0 + bound_kg_per_m3 / spec->chlorine_catalysis_kg_per_m3);
}

double bf_resin_volume_capacity(const bf_iron_spec *spec, double moisture,
                                double bead_density_kg_per_m3)
{
    const double dry_new = 1.0 - spec->moisture_new;
    /* Volume of a kilogram of dry matter, from that of a kilogram of new bead. */
    const double dry_m3_per_kg =
        (1.0 / bead_density_kg_per_m3 - spec->moisture_new / water_kg_per_m3) / dry_new;
    const double wet_m3_per_kg = moisture / water_kg_per_m3 + (1.0 - moisture) * dry_m3_per_kg;
    return (1.0 - moisture) / (dry_new * wet_m3_per_kg * bead_density_kg_per_m3);
}
