/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Density and viscosity of water and of NaCl and KCl brine.
 *
 *     1/rho = (1 - w)/rho_w + w/rho_s
 *     rho_s = (c0 w + c1) exp(1e-6 (t + c4)^2) / (w + c2 + c3 t)
 *     mu    = mu_w^(1 - w) mu_s^w
 *     mu_s  = exp((v1 w^v2 + v3)/(v4 t + 1)) / (v5 w^v6 + 1)
 *     mu_w  = (t + 246)/((0.05594 t + 5.2842) t + 137.37)
 *     rho_w = (((((a5 t + a4) t + a3) t + a2) t + a1) t + a0)/(1 + 0.01687985 t)
 *
 * w      mass fraction of salt, kg per kg solution
 * t      temperature, degrees Celsius
 * rho    density, kg/m3: of the solution, of water (rho_w), apparent of the salt (rho_s)
 * mu     viscosity, mPa s: of the solution, of water (mu_w), apparent of the salt (mu_s)
 *
 * Source: M. Laliberte, J. Chem. Eng. Data 54 (2009) 1725; water density after G. S. Kell, J. Chem.
 * Eng. Data 20 (1975) 97.
 * Range of the correlations: NaCl 0-140 C, w <= 0.266 (density), 5-154 C, w <= 0.264 (viscosity);
 * KCl 5-125 C, w <= 0.264 (density), 5-150 C, w <= 0.306 (viscosity). Colder than 5 C, and
 * saturated KCl brine warmer than 25 C (density) or 50 C (viscosity), they are extrapolated. Not
 * modelled: pressure (1 atm), and the few g/L of other salts that a regenerant carries.
 */
#include "brinefront/fluid.h"

#include "brinefront/convert.h"

#include <assert.h>
#include <math.h>

typedef struct laliberte {
    double c0, c1, c2, c3, c4;
    double v1, v2, v3, v4, v5, v6;
} laliberte;

static const laliberte salts[BF_SALT_COUNT] = {
    [BF_SALT_NACL] = {.c0 = -0.00324112223655149,
                      .c1 = 0.0636354335906616,
                      .c2 = 1.01371399467365,
                      .c3 = 0.0145951015210159,
                      .c4 = 3317.34854426537,
                      .v1 = 16.221788633396,
                      .v2 = 1.32293086770011,
                      .v3 = 1.48485985010431,
                      .v4 = 0.00746912559657377,
                      .v5 = 30.7802007540575,
                      .v6 = 2.05826852322558},
    [BF_SALT_KCL] = {.c0 = -0.855928945959145,
                     .c1 = 6.04073571306402,
                     .c2 = 2.81787416217166,
                     .c3 = 0.0253924645877338,
                     .c4 = 2681.61723465886,
                     .v1 = 6.48805967116487,
                     .v2 = 1.31753131265255,
                     .v3 = -0.777820552977139,
                     .v4 = 0.0927156022360008,
                     .v5 = -1.30020256174307,
                     .v6 = 2.08120731758225},
};

static double water_density_kg_per_m3(double t)
{
    return (((((-2.8054253e-10 * t + 1.0556302e-7) * t - 4.6170461e-5) * t - 0.0079870401) * t +
             16.945176) *
                t +
            999.83952) /
           (1.0 + 0.01687985 * t);
}

static double water_viscosity_mPa_s(double t)
{
    return (t + 246.0) / ((0.05594 * t + 5.2842) * t + 137.37);
}

static double salt_density_kg_per_m3(const laliberte *p, double w, double t)
{
    return (p->c0 * w + p->c1) * exp(1e-6 * (t + p->c4) * (t + p->c4)) / (w + p->c2 + p->c3 * t);
}

static double salt_viscosity_mPa_s(const laliberte *p, double w, double t)
{
    return exp((p->v1 * pow(w, p->v2) + p->v3) / (p->v4 * t + 1.0)) / (p->v5 * pow(w, p->v6) + 1.0);
}

bf_status bf_fluid_of_brine(bf_salt salt, double mass_fraction, double temperature_K, bf_fluid *out,
                            bf_error *err)
{
    assert((unsigned)salt < BF_SALT_COUNT);
    double saturated = 0.0;
    bf_status status = bf_brine_saturation(salt, temperature_K, &saturated, err);
    if (status != BF_OK) {
        return status;
    }
    double t = temperature_K - BF_K_AT_0_C;
    if (!(mass_fraction >= 0.0)) {
        return bf_error_set(err, BF_E_RANGE, "bf_fluid_of_brine",
                            "brine strength is %g wt%% %s; state 0 wt%% or more",
                            100.0 * mass_fraction, bf_salt_symbol(salt));
    }
    /* A strength that was computed as the saturated one may be off by rounding. */
    if (mass_fraction > saturated * (1.0 + 1e-12)) {
        return bf_error_set(err, BF_E_RANGE, "bf_fluid_of_brine",
                            "brine of %.4g wt%% %s at %.1f C (%.0f F) is above saturation, "
                            "%.2f wt%%; state %.1f wt%% or less",
                            100.0 * mass_fraction, bf_salt_symbol(salt), t, 32.0 + 1.8 * t,
                            100.0 * saturated, floor(1000.0 * saturated) / 10.0);
    }
    double w = mass_fraction;
    double density = water_density_kg_per_m3(t);
    double viscosity = water_viscosity_mPa_s(t);
    if (w > 0.0) {
        const laliberte *p = &salts[salt];
        density = 1.0 / ((1.0 - w) / density + w / salt_density_kg_per_m3(p, w, t));
        viscosity = pow(viscosity, 1.0 - w) * pow(salt_viscosity_mPa_s(p, w, t), w);
    }
    *out = (bf_fluid){.density_kg_per_m3 = density, .viscosity_Pa_s = 1e-3 * viscosity};
    return BF_OK;
}

bf_status bf_fluid_of_water(double temperature_K, bf_fluid *out, bf_error *err)
{
    return bf_fluid_of_brine(BF_SALT_NACL, 0.0, temperature_K, out, err);
}
