/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Deposits of iron in a bed, and what they spoil.
 *
 *     binding      dS_s/dt = -k_bind S_s,  dS_x/dt = +k_bind S_s
 *     backwash     S_s -> S_s exp(-k_bw t E),   E = min(1, (depth ratio - 1)/0.5)
 *     capacity     Q = Q0 g - beta S_x/M,       Q >= Q0/10
 *     film         1/k = 1/k_f + delta/D_sh,    delta = f_s S_x/(rho_d a),  a = 6 (1 - eps)/d
 *     bead         D/D0 = 1/(1 + S_x/S_D)
 *     void         eps = eps0 - S_s/rho_int;    pressure drop by Ergun with that eps
 *
 * S_s loose and S_x bound iron, kg of Fe per m3 of bed; M 0.055845 kg/mol; a bead surface per
 * volume of bed, 1/m; rho_d iron per volume of the coat, rho_int of the floc in the void, kg/m3.
 *
 * All of it is calibrated: the forms are the simplest that go the right way, no constant has been
 * measured. beta is bounded by stoichiometry (0 to 3 sites a Fe). The floor of a tenth keeps the
 * bed computable; a bed there is finished.
 * Not modelled here: where in the bead iron sits, attrition, channels, broken beads.
 */
#include "brinefront/fouling.h"

#include "brinefront/hydraulics.h"
#include "brinefront/ions.h"

#include <math.h>

bf_iron_deposit bf_iron_bind(const bf_iron_spec *spec, bf_iron_deposit deposit, double duration_s)
{
    double moved = -expm1(-spec->binding_per_s * duration_s) * deposit.loose_kg_per_m3;
    return (bf_iron_deposit){.loose_kg_per_m3 = deposit.loose_kg_per_m3 - moved,
                             .bound_kg_per_m3 = deposit.bound_kg_per_m3 + moved};
}

bf_iron_deposit bf_iron_backwash(const bf_iron_spec *spec, bf_iron_deposit deposit,
                                 double duration_s, double depth_ratio)
{
    const double full = 0.5; /* rise of the bed that cleans as well as any */
    double effort = (depth_ratio - 1.0) / full;
    effort = effort < 1.0 ? effort : 1.0;
    deposit.loose_kg_per_m3 *= exp(-spec->backwash_per_s * duration_s * effort);
    return deposit;
}

double bf_iron_capacity_eq_per_m3(const bf_iron_spec *spec, double new_eq_per_m3, double oxidised,
                                  double bound_kg_per_m3)
{
    const double iron_kg_per_mol = 1e-3 * bf_ion_get(BF_ION_FE)->molar_mass_g_per_mol;
    /* a numerical choice: a bed without any sites has no solution */
    const double floor = 0.1 * new_eq_per_m3;
    double left =
        new_eq_per_m3 * oxidised - spec->sites_eq_per_mol * bound_kg_per_m3 / iron_kg_per_mol;
    return left > floor ? left : floor;
}

double bf_iron_film_m_per_s(const bf_iron_spec *spec, double film_m_per_s,
                            double diffusivity_m2_per_s, double bead_diameter_m,
                            double void_fraction, double bound_kg_per_m3)
{
    const double surface_per_m = 6.0 * (1.0 - void_fraction) / bead_diameter_m;
    const double coat_m =
        spec->shell_share * bound_kg_per_m3 / (spec->shell_kg_per_m3 * surface_per_m);
    return 1.0 /
           (1.0 / film_m_per_s + coat_m / (spec->shell_diffusivity_ratio * diffusivity_m2_per_s));
}

double bf_iron_bead_diffusivity_ratio(const bf_iron_spec *spec, double bound_kg_per_m3)
{
    return 1.0 / (1.0 + bound_kg_per_m3 / spec->bead_blocking_kg_per_m3);
}

double bf_iron_void_fraction(const bf_iron_spec *spec, double clean_void_fraction,
                             double loose_kg_per_m3)
{
    double left = clean_void_fraction - loose_kg_per_m3 / spec->floc_kg_per_m3;
    return left > 0.0 ? left : 0.0;
}

double bf_iron_pressure_gradient_Pa_per_m(const bf_iron_spec *spec, const bf_fluid *fluid,
                                          double velocity_m_per_s, double bead_diameter_m,
                                          double clean_void_fraction, double loose_kg_per_m3)
{
    double left = bf_iron_void_fraction(spec, clean_void_fraction, loose_kg_per_m3);
    return left > 0.0
               ? bf_pressure_gradient_Pa_per_m(fluid, velocity_m_per_s, bead_diameter_m, left)
               : (double)INFINITY;
}
