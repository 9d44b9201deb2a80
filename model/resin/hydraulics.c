/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Water through a bed of beads.
 *
 *     dispersion   D_L = u d/(0.2 + 0.011 Re^0.48)
 *     Ergun        dp/dz = 150 mu (1-e)^2 u/(e^3 d^2) + 1.75 (1-e) rho u^2/(e^3 d)
 *     one bead     v_t = sqrt(4 g d (rho_p - rho)/(3 rho Cd)), Cd = 24/Re_t (1 + 0.15 Re_t^0.687)
 *     expansion    u = v_t e^n,  depth ratio (1 - e0)/(1 - e)
 *                  n = 4.65 (Re_t < 0.2), 4.35 Re_t^-0.03 (< 1), 4.45 Re_t^-0.1 (< 500), 2.39
 *
 * u superficial m/s, d bead diameter m, e void, mu Pa s, rho and rho_p kg/m3, Re = rho u d/mu, Re_t that at v_t,
 * g 9.80665 m/s2 (standard gravity, exact by definition).
 *
 * Assumes spheres of one size in a wide vessel.
 * Range: dispersion 1e-3 < Re < 1e3, its data scatter by a factor 2.
 * Source: dispersion: Chung & Wen, AIChE J. 14 (1968) 857 (from memory); pressure: Ergun, its value
 * for one bed checked against a public code; one bead: Schiller & Naumann; expansion: Richardson &
 * Zaki, Trans. IChemE 32 (1954) 35, as public codes quote it.
 * Not modelled here: wall effect, bead grading, resin compression.
 */
#include "brinefront/hydraulics.h"

#include "brinefront/convert.h"

#include <math.h>

double bf_reynolds(const bf_fluid *fluid, double velocity_m_per_s, double bead_diameter_m)
{
    return fluid->density_kg_per_m3 * velocity_m_per_s * bead_diameter_m / fluid->viscosity_Pa_s;
}

double bf_dispersion_m2_per_s(const bf_fluid *fluid, double velocity_m_per_s,
                              double bead_diameter_m)
{
    double re = bf_reynolds(fluid, velocity_m_per_s, bead_diameter_m);
    return velocity_m_per_s * bead_diameter_m / (0.2 + 0.011 * pow(re, 0.48));
}

double bf_pressure_gradient_Pa_per_m(const bf_fluid *fluid, double velocity_m_per_s,
                                     double bead_diameter_m, double void_fraction)
{
    double e3 = void_fraction * void_fraction * void_fraction;
    double solid = 1.0 - void_fraction;
    double viscous = 150.0 * fluid->viscosity_Pa_s * solid * solid * velocity_m_per_s /
                     (e3 * bead_diameter_m * bead_diameter_m);
    double inertial = 1.75 * solid * fluid->density_kg_per_m3 * velocity_m_per_s *
                      velocity_m_per_s / (e3 * bead_diameter_m);
    return viscous + inertial;
}

double bf_terminal_velocity_m_per_s(const bf_fluid *fluid, double bead_diameter_m,
                                    double bead_density_kg_per_m3)
{
    double excess = bead_density_kg_per_m3 - fluid->density_kg_per_m3;
    if (excess <= 0.0) {
        return 0.0;
    }
    double stokes = BF_GRAVITY_M_PER_S2 * bead_diameter_m * bead_diameter_m * excess /
                    (18.0 * fluid->viscosity_Pa_s);
    /* v (1 + 0.15 Re^0.687) = stokes has one root below stokes, and its left side rises with v:
     * bisection cannot miss it. */
    double low = 0.0;
    double high = stokes;
    /* Numerical choice: halving comes to rounding in some fifty rounds. */
    for (int i = 0; i < 200 && high - low > 1e-14 * stokes; i++) {
        double v = 0.5 * (low + high);
        double re = bf_reynolds(fluid, v, bead_diameter_m);
        if (v * (1.0 + 0.15 * pow(re, 0.687)) < stokes) {
            low = v;
        } else {
            high = v;
        }
    }
    return 0.5 * (low + high);
}

static double richardson_zaki_exponent(double terminal_reynolds)
{
    if (terminal_reynolds < 0.2) {
        return 4.65;
    }
    if (terminal_reynolds < 1.0) {
        return 4.35 * pow(terminal_reynolds, -0.03);
    }
    if (terminal_reynolds < 500.0) {
        return 4.45 * pow(terminal_reynolds, -0.1);
    }
    return 2.39;
}

double bf_bed_depth_ratio(const bf_fluid *fluid, double velocity_m_per_s, double bead_diameter_m,
                          double bead_density_kg_per_m3, double settled_void_fraction)
{
    double terminal = bf_terminal_velocity_m_per_s(fluid, bead_diameter_m, bead_density_kg_per_m3);
    if (velocity_m_per_s >= terminal) {
        return INFINITY;
    }
    double exponent = richardson_zaki_exponent(bf_reynolds(fluid, terminal, bead_diameter_m));
    double void_fraction = pow(velocity_m_per_s / terminal, 1.0 / exponent);
    if (void_fraction <= settled_void_fraction) {
        return 1.0; /* too slow to lift the bed */
    }
    return (1.0 - settled_void_fraction) / (1.0 - void_fraction);
}

double bf_lifting_velocity_m_per_s(const bf_fluid *fluid, double ratio, double bead_diameter_m,
                                   double bead_density_kg_per_m3, double settled_void_fraction)
{
    double terminal = bf_terminal_velocity_m_per_s(fluid, bead_diameter_m, bead_density_kg_per_m3);
    double exponent = richardson_zaki_exponent(bf_reynolds(fluid, terminal, bead_diameter_m));
    return terminal * pow(1.0 - (1.0 - settled_void_fraction) / ratio, exponent);
}
