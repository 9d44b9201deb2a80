/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Iron and manganese that meet dissolved oxygen.
 *
 *     4 Fe2+ + O2 + 10 H2O -> 4 Fe(OH)3 + 8 H+          2 Mn2+ + O2 + 2 H2O -> 2 MnO2 + 4 H+
 *
 *     free water   -d[Fe]/dt = kH [Fe] pO2/{H}^2,  kH = kH(22 C) exp(-(E/R)(1/T - 1/295.15 K))
 *     on deposit   -d[Fe]/dt = a_s ks K S [Fe] [O2]/{H}
 *     manganese    -d[Mn]/dt = k(pH) [Mn] [O2],    log10 k a straight line in pH
 *     oxygen       ln c = A0 + A1/T + .. + A4/T^4 - s (B0 + B1/T + B2/T^2)
 *     pressure     pO2 = 0.21 atm c/c_saturated
 *     strength     log10 k(I)/k(0.01) = -3.29 (I^0.5 - 0.1) + 1.52 (I - 0.01),  I <= 0.7 mol/L
 *
 * {H} = 10^-pH times 1000 mol/m3, pO2 Pa, concentrations mol/m3, S kg of Fe(III) per m3 of water,
 * T K, s salinity in g/kg, c mg/L, rates 1/s.
 *
 * Why pO2/{H}^2 and not pO2 [OH]^2: at a stated pH the latter moves by 40 % with the ion product of
 * water one takes. kH is that of Davison & Seed with pOH = 14 - pH: 2e13 x 1e-28.
 *
 * Assumes: pH is buffered and prescribed; oxygen counted against air of 21 % without its water
 * vapour (1 to 3 %, against a factor of 5 between the laws).
 *
 * Range: pH 5 to 9 (Mn 8.03 to 9.30, outside it the line goes on); 0 to 40 C. Of the surface law
 * and of manganese only 25 C is known, and they stay there at every temperature.
 *
 * Source: kH: Davison & Seed, Geochim. Cosmochim. Acta 47 (1983) 67 (value from memory); E: Stumm &
 * Lee, Ind. Eng. Chem. 53 (1961) 143 (from memory). Deposit: Tamura, Goto & Nagayama, Corros. Sci.
 * 16 (1976) 197: ks 73 L/(mol s), K 10^-9.6 mol/mg (from memory); a_s is calibrated. Manganese:
 * Morgan, Geochim. Cosmochim. Acta 69 (2005) 35: 8.6e-5 at pH 8.03, 2.5e-2 L/(mol s) at 9.30
 * (seen). Oxygen: Benson & Krause, Limnol. Oceanogr. 29 (1984) 620 (seen as others quote it).
 * Strength: Millero, Sotolongo & Izaguirre, Geochim. Cosmochim. Acta 51 (1987) 793 (from memory).
 *
 * Not modelled here: carbonate complexes as species (above 1 mM of alkalinity they carry most of
 * the rate: King 1998), organic ligands, bacteria, autocatalysis of manganese, the floor below pH
 * 4.
 */
#include "brinefront/oxidation.h"

#include "brinefront/convert.h"

#include <math.h>

static const double gas_constant_J_per_mol_K = 8.314462618; /* CODATA 2018, exact */
static const double air_oxygen_Pa = 0.21 * 101325.0; /* share of air, common practice; 1 atm */

static double hydrogen_mol_per_m3(double pH)
{
    return 1e3 * pow(10.0, -pH);
}

/* A well water: common practice, no source. */
bf_iron_water bf_iron_water_default(void)
{
    return (bf_iron_water){.temperature_K = 285.15,
                           .pH = 7.5,
                           .oxygen_mol_per_m3 = 1.0 / BF_OXYGEN_G_PER_MOL,
                           .alkalinity_eq_per_m3 = 4.0};
}

/* Temperature: the range at the head of the file, pH a little beyond it. Oxygen: a third more than water holds under
 * air at 0 C. The rest: common practice, no source; wider than any well. */
bf_status bf_iron_water_check(const bf_iron_water *water, bf_error *err)
{
    const struct {
        double value, low, high;
        const char *what, *unit; /* with the space before it */
    } ranges[] = {
        {water->temperature_K, 273.15, 313.15, "temperature", " K"},
        {water->pH, 5.0, 9.5, "pH", ""},
        {water->oxygen_mol_per_m3, 0.0, 0.6, "dissolved oxygen", " mol/m3"},
        {water->salinity_g_per_kg, 0.0, 40.0, "salinity", " g/kg"},
        {water->alkalinity_eq_per_m3, 0.0, 50.0, "alkalinity", " eq/m3"},
        {water->colloidal_iron_g_per_m3, 0.0, 50.0, "suspended iron", " g/m3"},
    };
    for (size_t i = 0; i < sizeof ranges / sizeof *ranges; i++) {
        if (!(ranges[i].value >= ranges[i].low && ranges[i].value <= ranges[i].high)) {
            return bf_error_set(err, BF_E_RANGE, "iron",
                                "%s is %g%s; the laws of iron cover %g to %g%s", ranges[i].what,
                                ranges[i].value, ranges[i].unit, ranges[i].low, ranges[i].high,
                                ranges[i].unit);
        }
    }
    return BF_OK;
}

double bf_oxygen_solubility_mol_per_m3(double temperature_K, double salinity_g_per_kg)
{
    /* Benson & Krause 1984: head of the file. */
    const double t = 1.0 / temperature_K;
    const double fresh =
        -139.34411 + t * (1.575701e5 + t * (-6.642308e7 + t * (1.243800e10 - t * 8.621949e11)));
    const double salt = 1.7674e-2 + t * (-10.754 + t * 2140.7);
    return exp(fresh - salinity_g_per_kg * salt) / BF_OXYGEN_G_PER_MOL; /* mg/L is g/m3 */
}

double bf_oxygen_pressure_Pa(double oxygen_mol_per_m3, double temperature_K,
                             double salinity_g_per_kg)
{
    return air_oxygen_Pa * oxygen_mol_per_m3 /
           bf_oxygen_solubility_mol_per_m3(temperature_K, salinity_g_per_kg);
}

double bf_iron_oxidation_per_s(const bf_iron_spec *spec, double temperature_K, double pH,
                               double oxygen_Pa)
{
    const double reference_K = 22.0 + BF_K_AT_0_C;
    const double hydrogen = hydrogen_mol_per_m3(pH);
    return spec->oxidation_mol2_per_m6_Pa_s *
           exp(-spec->oxidation_activation_J_per_mol / gas_constant_J_per_mol_K *
               (1.0 / temperature_K - 1.0 / reference_K)) *
           oxygen_Pa / (hydrogen * hydrogen);
}

double bf_iron_surface_oxidation_per_s(const bf_iron_spec *spec, double pH,
                                       double oxygen_mol_per_m3, double ferric_kg_per_m3)
{
    /* 73 L/(mol s) x 10^-9.6 mol/mg: per second and mg/L; a kg/m3 is 1000 of those. */
    const double tamura_m3_per_kg_s = 73.0 * 2.5118864315095801e-10 * 1e3;
    return spec->surface_access * tamura_m3_per_kg_s * ferric_kg_per_m3 * oxygen_mol_per_m3 /
           hydrogen_mol_per_m3(pH);
}

double bf_manganese_oxidation_per_s(double pH, double oxygen_mol_per_m3)
{
    /* Morgan 2005: head of the file. */
    const double low_pH = 8.03;
    const double high_pH = 9.30;
    const double low = 8.6e-5 * 1e-3; /* m3/(mol s) */
    const double high = 2.5e-2 * 1e-3;
    const double share = (pH - low_pH) / (high_pH - low_pH);
    return low * pow(high / low, share) * oxygen_mol_per_m3;
}

double bf_iron_strength_factor(double ionic_strength_mol_per_L)
{
    const double reference = 0.01; /* and the parabola: Millero et al. 1987, head of the file */
    const double most = 0.7;       /* of what was measured; beyond it the parabola turns up */
    const double strength = ionic_strength_mol_per_L < most ? ionic_strength_mol_per_L : most;
    return pow(10.0, -3.29 * (sqrt(strength) - sqrt(reference)) + 1.52 * (strength - reference));
}

double bf_iron_share_oxidised(double oxidation_per_s, double wait_s)
{
    return -expm1(-oxidation_per_s * wait_s);
}
