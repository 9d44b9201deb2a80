/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reductants and acids that take bound iron off a resin.
 *
 *     2 Fe(OH)3 + S2O4^2- + 2 H+ -> 2 Fe2+ + 2 SO3^2- + 4 H2O
 *     2 Fe(III) + SO3^2- + H2O -> 2 Fe2+ + SO4^2- + 2 H+
 *     Fe(OH)3 + 3 H+ -> Fe3+ + 3 H2O;  citric acid 1:1;  HCl also turns every site to H form
 *
 *     dS/dt = -k w (R/R0) S^(2/3) S0^(1/3)             a shrinking particle
 *     R     = R0 - (nu/(eta w)) (S0 - S)               what oxide and self-decay took
 *     with y = (S/S0)^(1/3):  dy/dt = -(k w/3)(1 - b + b y^3),  b = nu S0/(eta w R0)
 *
 * S iron kg/m3 of bed, R reductant kg/m3, nu 1.56 kg of dithionite per kg of Fe (0.93 of
 * bisulfite), eta the share that reduces iron (the rest decays), w the window of pH, k 1/s.
 *
 *     w(pH)   0 below 4, a straight line to 1 at 6, 1 to 8, then log-linear to 0.01 at 12
 *
 * Sources: pH 6 all dissolved in 15 min, pH 12 less than 1 %, best near 7.3 in bicarbonate: Mehra &
 * Jackson, Clays Clay Miner. 7 (1960) 317 (seen as abstract). Below pH 4 it decays before it is
 * done: Rueda et al., Clays Clay Miner. (seen as abstract). The shape of w between those points is
 * assumed. eta is calibrated, k derived: 90 % in 30 min at constant R, so 3 (1 - 0.1^(1/3)) = k t.
 * Bisulfite is slower (from memory; no figure): k times reduction_bisulfite; window and eta as for
 * dithionite, assumed.
 * Range: pH 3 to 13, room temperature.
 * Not modelled here: self-decay as a rate of its own, citrate beside dithionite, iron that
 * re-exchanges (its cycle must brine it off), Fe3+ that acid leaves on the sites.
 */
#include "brinefront/cleaning.h"

#include "brinefront/ions.h"

#include <assert.h>
#include <math.h>

/* Molar masses, g/mol, from CIAAW abridged weights 2021; moles of the compound per mole of Fe. */
static const struct {
    const char *name;
    double g_per_mol, mol_per_mol;
} cleaners[BF_CLEANER_COUNT] = {
    [BF_CLEANER_DITHIONITE] = {"sodium dithionite", 174.096, 0.5},
    [BF_CLEANER_BISULFITE] = {"sodium bisulfite", 104.055, 0.5},
    [BF_CLEANER_CITRIC] = {"citric acid", 192.123, 1.0},
    [BF_CLEANER_PHOSPHORIC] = {"phosphoric acid", 97.994, 3.0},
    [BF_CLEANER_HYDROCHLORIC] = {"hydrochloric acid", 36.458, 3.0},
};

const char *bf_cleaner_name(bf_cleaner cleaner)
{
    assert((unsigned)cleaner < BF_CLEANER_COUNT);
    return cleaners[cleaner].name;
}

double bf_cleaner_kg_per_kg_iron(bf_cleaner cleaner)
{
    assert((unsigned)cleaner < BF_CLEANER_COUNT);
    return cleaners[cleaner].g_per_mol * cleaners[cleaner].mol_per_mol /
           bf_ion_get(BF_ION_FE)->molar_mass_g_per_mol;
}

double bf_cleaning_acid_kg_per_m3(bf_cleaner acid, double capacity_eq_per_m3,
                                  double bound_kg_per_m3)
{
    double sites = acid == BF_CLEANER_HYDROCHLORIC
                       ? 1e-3 * cleaners[acid].g_per_mol * capacity_eq_per_m3
                       : 0.0;
    return sites + bf_cleaner_kg_per_kg_iron(acid) * bound_kg_per_m3;
}

double bf_cleaning_limit_kg_per_m3(bf_cleaner reductant, double dose_kg_per_m3)
{
    return dose_kg_per_m3 / bf_cleaner_kg_per_kg_iron(reductant);
}

double bf_cleaning_reductant_window(double pH)
{
    if (pH < 4.0) {
        return 0.0;
    }
    if (pH < 6.0) {
        return (pH - 4.0) / 2.0;
    }
    return pH <= 8.0 ? 1.0 : pow(10.0, -(pH - 8.0) / 2.0);
}

/* pH: what the window was stated for. The rest: common practice, no source; two days and ten times
 * the usual dose. */
static bf_status check_clean(const bf_reductive_clean *clean, bf_error *err)
{
    const struct {
        double value, low, high;
        const char *what, *unit;
    } ranges[] = {
        {clean->dose_kg_per_m3, 0.0, 50.0, "reductant", "kg per m3 of bed"},
        {clean->duration_s, 0.0, 172800.0, "contact", "s"},
        {clean->pH, 3.0, 13.0, "pH", ""},
        {clean->bound_kg_per_m3, 0.0, 1000.0, "bound iron", "kg per m3 of bed"},
    };
    for (size_t i = 0; i < sizeof ranges / sizeof *ranges; i++) {
        if (!(ranges[i].value >= ranges[i].low && ranges[i].value <= ranges[i].high)) {
            return bf_error_set(err, BF_E_RANGE, "cleaning", "%s is %g %s; state %g to %g %s",
                                ranges[i].what, ranges[i].value, ranges[i].unit, ranges[i].low,
                                ranges[i].high, ranges[i].unit);
        }
    }
    return BF_OK;
}

static double speed(double b, double y)
{
    return 1.0 - b + b * y * y * y;
}

bf_status bf_cleaning_reduce(const bf_iron_spec *spec, const bf_reductive_clean *clean,
                             double *removed_kg_per_m3, bf_error *err)
{
    bf_status status = check_clean(clean, err);
    if (status == BF_OK && clean->agent != BF_CLEANER_DITHIONITE &&
        clean->agent != BF_CLEANER_BISULFITE) {
        status = bf_error_set(err, BF_E_RANGE, "cleaning",
                              "%s does not reduce iron; dithionite and bisulfite do",
                              bf_cleaner_name(clean->agent));
    }
    if (status != BF_OK) {
        return status;
    }
    const double window = bf_cleaning_reductant_window(clean->pH);
    const double most = spec->dithionite_use * window *
                        bf_cleaning_limit_kg_per_m3(clean->agent, clean->dose_kg_per_m3);
    *removed_kg_per_m3 = 0.0;
    if (!(most > 0.0) || !(clean->bound_kg_per_m3 > 0.0)) {
        return BF_OK;
    }
    const double b = clean->bound_kg_per_m3 / most;
    const double rate = spec->reduction_per_s * window *
                        (clean->agent == BF_CLEANER_BISULFITE ? spec->reduction_bisulfite : 1.0) *
                        (clean->aged ? spec->reduction_aged : 1.0);
    /* dy/ds = -(1 - b + b y^3) in s = rate t/3, by the classical fourth-order rule. It comes to
     * rest on its own where the reagent ends, and at y = 0 the oxide does. */
    const double step = 1.0 / (60.0 * (b > 1.0 ? b : 1.0)); /* a twentieth of the fastest decay */
    double y = 1.0;
    double left = rate / 3.0 * clean->duration_s;
    while (left > 0.0 && y > 0.0) {
        const double h = left < step ? left : step;
        const double k1 = -speed(b, y);
        const double k2 = -speed(b, y + 0.5 * h * k1);
        const double k3 = -speed(b, y + 0.5 * h * k2);
        const double k4 = -speed(b, y + h * k3);
        y += h / 6.0 * (k1 + 2.0 * k2 + 2.0 * k3 + k4);
        left -= h;
        if (b > 1.0 && speed(b, y) < 1e-12) { /* numerical choice: at rounding of y */
            break;                            /* no reagent left */
        }
    }
    y = y > 0.0 ? y : 0.0;
    *removed_kg_per_m3 = clean->bound_kg_per_m3 * (1.0 - y * y * y);
    return BF_OK;
}
