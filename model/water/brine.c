/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Brine strength in every measure.
 *
 *     N = 1000 rho w / M,    s = rho w,    m = 1000 w / (M (1 - w)),    r = w rho_w / (1 - w)
 *
 * w     mass fraction of salt, kg per kg solution
 * N     normality, eq per m3 of solution;  M  equivalent mass of the salt, g/eq
 * s     salt per volume of solution, kg/m3;  rho  density of the solution, kg/m3
 * m     molality, mol per kg water
 * r     salt per volume of the water it was dissolved in, kg/m3;  rho_w  density of that water, at
 *       the temperature of the brine
 */
#include "brinefront/brine.h"

#include "brinefront/convert.h"

#include <math.h>

bf_status bf_brine_of_mass_fraction(bf_salt salt, double mass_fraction, double temperature_K,
                                    bf_brine *out, bf_error *err)
{
    bf_brine brine = {.salt = salt, .temperature_K = temperature_K, .mass_fraction = mass_fraction};
    bf_fluid water = {0};
    double saturated = 0.0;
    bf_status status = bf_fluid_of_brine(salt, mass_fraction, temperature_K, &brine.fluid, err);
    if (status == BF_OK) {
        status = bf_fluid_of_water(temperature_K, &water, err);
    }
    if (status == BF_OK) {
        status = bf_brine_saturation(salt, temperature_K, &saturated, err);
    }
    if (status != BF_OK) {
        return status;
    }
    double kmol_mass = bf_salt_equivalent_mass_g_per_eq(salt); /* g/eq is kg per 1000 eq */
    double density = brine.fluid.density_kg_per_m3;
    double salt_per_water = mass_fraction / (1.0 - mass_fraction);
    brine.normality_eq_per_m3 = 1000.0 * density * mass_fraction / kmol_mass;
    brine.salt_per_solution_kg_per_m3 = density * mass_fraction;
    brine.water_per_solution_kg_per_m3 = density * (1.0 - mass_fraction);
    brine.salt_per_water_kg_per_m3 = salt_per_water * water.density_kg_per_m3;
    brine.molality_mol_per_kg = 1000.0 * salt_per_water / kmol_mass;
    brine.saturation = mass_fraction / saturated;
    *out = brine;
    return BF_OK;
}

bf_status bf_brine_of_normality(bf_salt salt, double normality_eq_per_m3, double temperature_K,
                                bf_brine *out, bf_error *err)
{
    double w = 0.0;
    bf_brine brine = {0};
    bf_status status = bf_brine_saturation(salt, temperature_K, &w, err);
    if (status == BF_OK) {
        status = bf_brine_of_mass_fraction(salt, w, temperature_K, &brine, err);
    }
    if (status != BF_OK) {
        return status;
    }
    double t = temperature_K - BF_K_AT_0_C;
    if (!(normality_eq_per_m3 >= 0.0)) {
        return bf_error_set(err, BF_E_RANGE, "bf_brine_of_normality",
                            "brine strength is %g eq/L %s; state 0 eq/L or more",
                            1e-3 * normality_eq_per_m3, bf_salt_symbol(salt));
    }
    /* Numerical choice: saturation itself passes in spite of rounding. */
    if (normality_eq_per_m3 > brine.normality_eq_per_m3 * (1.0 + 1e-12)) {
        return bf_error_set(err, BF_E_RANGE, "bf_brine_of_normality",
                            "brine of %.4g eq/L %s at %.1f C (%.0f F) is above saturation, "
                            "%.3f eq/L (%.2f wt%%); state %.2f eq/L or less",
                            1e-3 * normality_eq_per_m3, bf_salt_symbol(salt), t, 32.0 + 1.8 * t,
                            1e-3 * brine.normality_eq_per_m3, 100.0 * w,
                            floor(0.1 * brine.normality_eq_per_m3) / 100.0);
    }
    /* w = N M / (1000 rho(w)). Density rises with w by less than a quarter of its own share, so
     * each pass gains more than half a decimal digit, and a start from saturation stays between 0
     * and saturation: thirty passes reach rounding. */
    double salt_kg_per_m3 = 1e-3 * normality_eq_per_m3 * bf_salt_equivalent_mass_g_per_eq(salt);
    for (int pass = 0; pass < 30 && status == BF_OK; pass++) {
        w = salt_kg_per_m3 / brine.fluid.density_kg_per_m3;
        status = bf_fluid_of_brine(salt, w, temperature_K, &brine.fluid, err);
    }
    return status == BF_OK ? bf_brine_of_mass_fraction(salt, w, temperature_K, out, err) : status;
}
