/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Effluent brine as somebody with a hydrometer in the drain reads it.
 *
 * The effluent is read as plain brine of the regenerant's salt at the same normality: a hydrometer
 * cannot tell the calcium in it from sodium. Salometer degrees are the strength in percent of a
 * saturated brine at the same temperature.
 */
#include "report/cycle/elution.h"

#include "report/cycle/cycle_parts.h"

#include <math.h>

bf__elution bf__elution_read(bf_salt salt, double normality_eq_per_m3, double temperature_K)
{
    bf_brine brine;
    bf_fluid water;
    if (bf_brine_of_normality(salt, fmax(normality_eq_per_m3, 0.0), temperature_K, &brine, NULL) !=
            BF_OK ||
        bf_fluid_of_water(temperature_K, &water, NULL) != BF_OK) {
        return (bf__elution){(double)NAN, (double)NAN, (double)NAN};
    }
    return (bf__elution){.mass_fraction = brine.mass_fraction,
                         .specific_gravity =
                             brine.fluid.density_kg_per_m3 / water.density_kg_per_m3,
                         .salometer_degrees = 100.0 * brine.saturation};
}

bf_salt bf__cycle_salt(const bf_cycle_report *report)
{
    const bf_step *brine = bf_recipe_find(&report->study->recipe, BF_ROLE_BRINE);
    return brine != NULL ? brine->salt : BF_SALT_NACL;
}
