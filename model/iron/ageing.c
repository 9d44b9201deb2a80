/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Exchanged iron that oxidises where it sits and never comes off again.
 *
 *     FeR2 + 2 Na+ + 1/4 O2 + 5/2 H2O -> Fe(OH)3 + 2 NaR + 2 H+
 *     dq_Fe/dt = -k_age q_Fe,   k_age = f_age k_w f^2 (1 + S_x/S_cat)
 *     f = [OH]_bead/[OH]_water:  cbar f^2 = c_Na f + 2 c_M          (ideal Donnan equilibrium)
 *
 * q_Fe exchanged iron, k_w 1/s rate of Fe(II) in the water outside (oxidation.c), cbar fixed charge
 * in the water of the bead, eq/m3; c_Na monovalent and 2 c_M divalent cations outside, eq/m3; S_x
 * bound iron kg/m3.
 *
 * Why f^2: the fixed charge keeps anions out, OH- among them, and the oxidation goes as the square
 * of [OH]. Against water of 2 mM of hardness f^2 is 6e-4 on resin in the hard form (f^2 = c_M over
 * cbar_M), so exchanged iron lasts a thousand times longer than dissolved iron. In brine f^2 =
 * (c_Na/cbar)^2 is a tenth: there iron precipitates, unless the brine is acid or free of oxygen.
 * In brine k_w is that of bf_iron_strength_factor().
 *
 * The law is a hypothesis of this project, derived and not measured; f_age and S_cat are
 * calibrated. It is false if beds on water of pH below 6.8 and oxygen below 0.2 mg/L foul as fast
 * as beds at pH 7.8: then something else does it.
 * Range: as oxidation.c. Not modelled here: Fe3+ as an exchanging ion, bacteria, organic iron, the
 * slow crossing of oxygen into the bead.
 */
#include "brinefront/fouling.h"

#include <math.h>

double bf_iron_donnan_square(const bf_iron_spec *spec, double monovalent_eq_per_m3,
                             double divalent_eq_per_m3)
{
    const double fixed = spec->bead_water_eq_per_m3;
    const double one = monovalent_eq_per_m3;
    const double f = (one + sqrt(one * one + 4.0 * fixed * divalent_eq_per_m3)) / (2.0 * fixed);
    return f * f;
}

double bf_iron_ageing_per_s(const bf_iron_spec *spec, double oxidation_per_s, double donnan_square,
                            double bound_kg_per_m3)
{
    return spec->ageing_factor * oxidation_per_s * donnan_square *
           (1.0 + bound_kg_per_m3 / spec->catalysis_kg_per_m3);
}

double bf_iron_share_aged(double ageing_per_s, double duration_s)
{
    return -expm1(-ageing_per_s * duration_s);
}
