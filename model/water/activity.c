/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Activity coefficients in mixed brines, after Pitzer.
 *
 * For a cation M of charge z (for an anion with the roles of cations c and anions a exchanged):
 *
 *     ln g_M = z^2 F + sum_a m_a (2 B_Ma + Z C_Ma) + sum_c m_c (2 Phi_Mc + sum_a m_a psi_Mca)
 *              + sum_a<a' m_a m_a' psi_Maa' + |z| sum_c sum_a m_c m_a C_ca
 *     F      = -A [sqrt(I)/(1 + b sqrt(I)) + (2/b) ln(1 + b sqrt(I))] + sum_c sum_a m_c m_a B'_ca
 *              + sum_c<c' m_c m_c' Phi'_cc' + sum_a<a' m_a m_a' Phi'_aa'
 *     B      = beta0 + beta1 g(alpha1 sqrt(I)) + beta2 g(alpha2 sqrt(I))
 *     B'     = [beta1 g'(alpha1 sqrt(I)) + beta2 g'(alpha2 sqrt(I))]/I
 *     g(x)   = 2 [1 - (1 + x) e^-x]/x^2,    g'(x) = -2 [1 - (1 + x + x^2/2) e^-x]/x^2
 *     C      = C_phi/(2 sqrt|z_c z_a|)
 *     Phi_ij = theta_ij + E_ij(I),    Phi'_ij = dE_ij/dI
 *     E_ij   = z_i z_j/(4 I) [J(x_ij) - J(x_ii)/2 - J(x_jj)/2],    x_ij = 6 z_i z_j A sqrt(I)
 *
 * m       molality, mol per kg water;  I = sum m z^2/2  ionic strength;  Z = sum m |z|
 * A       Debye-Hueckel slope A_phi, (kg/mol)^0.5;  b = 1.2 (kg/mol)^0.5
 * alpha   1.4 and 12 where both ions are divalent, else 2 (kg/mol)^0.5 and no beta2
 * beta, theta in kg/mol; C, psi in kg2/mol2; J: see mixing.c, where it is integrated, not fitted
 *
 * E vanishes between ions of equal charge, and every other pair here is one of charges 1 and 2.
 *
 * Sources: K. S. Pitzer, J. Solution Chem. 4 (1975) 249, and in Activity Coefficients in
 * Electrolyte Solutions, 2nd ed. (1991), ch. 3. Form and parameters: C. E. Harvie, N. Moller and J.
 * H. Weare, Geochim. Cosmochim. Acta 48 (1984) 723, as distributed with USGS TM 6-A43 (2013), which
 * adds Fe, Mn, Sr and Ba. Nitrates and ammonium: K. S. Pitzer and G. Mayorga, J. Phys. Chem. 77
 * (1973) 2300, tables I and VI. Chloride with nitrate: K. S. Pitzer and J. J. Kim, J. Am. Chem.
 * Soc. 96 (1974) 5701. A(T): N. Moller, Geochim. Cosmochim. Acta 52 (1988) 821, table 1, 0-300 C.
 * Na-Ba (theta 0.067, psi with chloride -0.012): Pitzer (1975), from memory.
 * Assumed: Fe and Mn mix with Na and K as Mg does (theta 0.07 and 0, psi with chloride -0.012 and
 * -0.022).
 *
 * Range: 25 C; binary sets hold to about 6 mol/kg (NaCl), 4.8 (KCl), 2.5 (CaCl2, MgCl2), 2 (FeCl2),
 * trace ions in NaCl to 6. Elsewhere only A follows temperature.
 *
 * Not modelled: temperature of every parameter but A; ion pairs as species (they are inside the
 * parameters); HSO4, CO3 and OH. Parameters that count 0 because none is in these sources:
 * bicarbonate with Fe, Mn, Ba, NH4 and H; sulfate with Ba; nitrate with Fe and Mn; mixing of NH4
 * with any cation, of Sr and Ba with any but Na, of Fe and Mn with any but Na and K, of nitrate
 * with any anion but chloride. The electrostatic E is kept for them all. (K with Mg has theta 0 by
 * measurement.)
 */
#include "brinefront/activity.h"

#include "brinefront/convert.h"
#include "water/mixing.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>

#define PITZER_B 1.2
#define MAX_IONIC_STRENGTH_MOL_PER_KG 12.0
#define MAX_BACKGROUND_MOL_PER_KG 6.2

/* One cation with one anion. */
typedef struct binary {
    double beta0, beta1, beta2, c_phi;
} binary;

static const binary binaries[BF_CATION_COUNT][BF_ION_COUNT] = {
    [BF_ION_NA] = {[BF_ION_CL] = {0.0765, 0.2664, 0.0, 0.00127},
                   [BF_ION_SO4] = {0.01958, 1.113, 0.0, 0.00497},
                   [BF_ION_HCO3] = {0.0277, 0.0411, 0.0, 0.0},
                   [BF_ION_NO3] = {0.0068, 0.1783, 0.0, -0.00072}},
    [BF_ION_K] = {[BF_ION_CL] = {0.04835, 0.2122, 0.0, -0.00084},
                  [BF_ION_SO4] = {0.04995, 0.7793, 0.0, 0.0},
                  [BF_ION_HCO3] = {0.0296, -0.013, 0.0, -0.008},
                  [BF_ION_NO3] = {-0.0816, 0.0494, 0.0, 0.0066}},
    [BF_ION_CA] = {[BF_ION_CL] = {0.3159, 1.614, 0.0, -0.00034},
                   [BF_ION_SO4] = {0.2, 3.1973, -54.24, 0.0},
                   [BF_ION_HCO3] = {0.4, 2.977, 0.0, 0.0},
                   [BF_ION_NO3] = {0.210825, 1.40925, 0.0, -0.0201422}},
    [BF_ION_MG] = {[BF_ION_CL] = {0.35235, 1.6815, 0.0, 0.00519},
                   [BF_ION_SO4] = {0.221, 3.343, -37.23, 0.025},
                   [BF_ION_HCO3] = {0.329, 0.6072, 0.0, 0.0},
                   [BF_ION_NO3] = {0.367125, 1.58475, 0.0, -0.0206248}},
    [BF_ION_FE] = {[BF_ION_CL] = {0.335925, 1.53225, 0.0, -0.00860725},
                   [BF_ION_SO4] = {0.2568, 3.063, -42.0, 0.0209}},
    [BF_ION_MN] = {[BF_ION_CL] = {0.327225, 1.55025, 0.0, -0.0204972},
                   [BF_ION_SO4] = {0.2065, 2.9511, -40.0, 0.01636}},
    [BF_ION_SR] = {[BF_ION_CL] = {0.2858, 1.667, 0.0, -0.0013},
                   [BF_ION_SO4] = {0.2, 3.1973, -54.24, 0.0},
                   [BF_ION_HCO3] = {0.12, 0.0, 0.0, 0.0},
                   [BF_ION_NO3] = {0.134625, 1.38, 0.0, -0.0199248}},
    [BF_ION_BA] = {[BF_ION_CL] = {0.2628, 1.49625, 0.0, -0.0193782},
                   [BF_ION_NO3] = {-0.03225, 0.8025, 0.0, 0.0}},
    [BF_ION_NH4] = {[BF_ION_CL] = {0.0522, 0.1918, 0.0, -0.00301},
                    [BF_ION_SO4] = {0.040875, 0.6585, 0.0, -0.00116145},
                    [BF_ION_NO3] = {-0.0154, 0.112, 0.0, -0.00003}},
    [BF_ION_H] = {[BF_ION_CL] = {0.1775, 0.2945, 0.0, 0.0008},
                  [BF_ION_SO4] = {0.0298, 0.0, 0.0, 0.0438},
                  [BF_ION_NO3] = {0.1119, 0.3206, 0.0, 0.001}},
};

/* Two ions of like sign. */
typedef struct like_pair {
    bf_ion first, second;
    double theta;
} like_pair;

static const like_pair like_pairs[] = {
    {BF_ION_NA, BF_ION_K, -0.012},  {BF_ION_NA, BF_ION_CA, 0.07},    {BF_ION_NA, BF_ION_MG, 0.07},
    {BF_ION_NA, BF_ION_FE, 0.07},   {BF_ION_NA, BF_ION_MN, 0.07},    {BF_ION_NA, BF_ION_SR, 0.051},
    {BF_ION_NA, BF_ION_BA, 0.067},  {BF_ION_NA, BF_ION_H, 0.036},    {BF_ION_K, BF_ION_CA, 0.032},
    {BF_ION_K, BF_ION_H, 0.005},    {BF_ION_CA, BF_ION_MG, 0.007},   {BF_ION_CA, BF_ION_H, 0.092},
    {BF_ION_MG, BF_ION_H, 0.1},     {BF_ION_CL, BF_ION_SO4, 0.02},   {BF_ION_CL, BF_ION_HCO3, 0.03},
    {BF_ION_CL, BF_ION_NO3, 0.016}, {BF_ION_HCO3, BF_ION_SO4, 0.01},
};

/* Two ions of like sign with one of the other. */
typedef struct triplet {
    bf_ion first, second, opposite;
    double psi;
} triplet;

static const triplet triplets[] = {
    {BF_ION_NA, BF_ION_K, BF_ION_CL, -0.0018},    {BF_ION_NA, BF_ION_K, BF_ION_SO4, -0.010},
    {BF_ION_NA, BF_ION_K, BF_ION_HCO3, -0.003},   {BF_ION_NA, BF_ION_CA, BF_ION_CL, -0.007},
    {BF_ION_NA, BF_ION_CA, BF_ION_SO4, -0.055},   {BF_ION_NA, BF_ION_MG, BF_ION_CL, -0.012},
    {BF_ION_NA, BF_ION_MG, BF_ION_SO4, -0.015},   {BF_ION_NA, BF_ION_FE, BF_ION_CL, -0.012},
    {BF_ION_NA, BF_ION_MN, BF_ION_CL, -0.012},    {BF_ION_NA, BF_ION_SR, BF_ION_CL, -0.0021},
    {BF_ION_NA, BF_ION_BA, BF_ION_CL, -0.012},    {BF_ION_NA, BF_ION_H, BF_ION_CL, -0.004},
    {BF_ION_K, BF_ION_CA, BF_ION_CL, -0.025},     {BF_ION_K, BF_ION_MG, BF_ION_CL, -0.022},
    {BF_ION_K, BF_ION_FE, BF_ION_CL, -0.022},     {BF_ION_K, BF_ION_MN, BF_ION_CL, -0.022},
    {BF_ION_K, BF_ION_MG, BF_ION_SO4, -0.048},    {BF_ION_K, BF_ION_H, BF_ION_CL, -0.011},
    {BF_ION_K, BF_ION_H, BF_ION_SO4, 0.197},      {BF_ION_CA, BF_ION_MG, BF_ION_CL, -0.012},
    {BF_ION_CA, BF_ION_MG, BF_ION_SO4, 0.024},    {BF_ION_CA, BF_ION_H, BF_ION_CL, -0.015},
    {BF_ION_MG, BF_ION_H, BF_ION_CL, -0.011},     {BF_ION_CL, BF_ION_SO4, BF_ION_NA, 0.0014},
    {BF_ION_CL, BF_ION_SO4, BF_ION_CA, -0.018},   {BF_ION_CL, BF_ION_SO4, BF_ION_MG, -0.004},
    {BF_ION_CL, BF_ION_HCO3, BF_ION_NA, -0.015},  {BF_ION_CL, BF_ION_HCO3, BF_ION_MG, -0.096},
    {BF_ION_CL, BF_ION_NO3, BF_ION_NA, -0.006},   {BF_ION_CL, BF_ION_NO3, BF_ION_K, -0.006},
    {BF_ION_HCO3, BF_ION_SO4, BF_ION_NA, -0.005}, {BF_ION_HCO3, BF_ION_SO4, BF_ION_MG, -0.161},
};

/* What every sum needs. */
typedef struct solution {
    const double *m;
    double strength;    /* I */
    double root;        /* sqrt(I) */
    double charge;      /* Z */
    double slope;       /* A_phi */
    double e;           /* E between charges 1 and 2 */
    double strength_de; /* I dE/dI */
} solution;

static double debye_hueckel_slope(double temperature_K)
{
    double t = temperature_K;
    return 3.36901532e-1 - 6.32100430e-4 * t + 9.14252359 / t - 1.35143986e-2 * log(t) +
           2.26089488e-3 / (t - 263.0) + 1.92118597e-6 * t * t + 4.52586464e1 / (680.0 - t);
}

/* sum_k (-x)^k/(k! (k + first)) = x^-first Int_0^x t^(first - 1) e^-t dt, for small x. */
static double incomplete_gamma_series(double x, int first)
{
    double term = 1.0;
    double sum = 0.0;
    for (int k = 0; k < 14; k++) {
        sum += term / (k + first);
        term *= -x / (k + 1);
    }
    return sum;
}

static double pitzer_g(double x)
{
    if (x < 0.5) {
        return 2.0 * incomplete_gamma_series(x, 2);
    }
    return 2.0 * (1.0 - (1.0 + x) * exp(-x)) / (x * x);
}

static double pitzer_g_prime(double x)
{
    if (x < 0.5) {
        return -x * incomplete_gamma_series(x, 3);
    }
    return -2.0 * (1.0 - (1.0 + x + 0.5 * x * x) * exp(-x)) / (x * x);
}

static int charge_of(bf_ion ion)
{
    return bf_ion_get(ion)->charge;
}

static double alpha1(bf_ion cation, bf_ion anion)
{
    return charge_of(cation) * charge_of(anion) == -4 ? 1.4 : 2.0;
}

static double second_virial(const solution *s, bf_ion cation, bf_ion anion)
{
    const binary *p = &binaries[cation][anion];
    return p->beta0 + p->beta1 * pitzer_g(alpha1(cation, anion) * s->root) +
           p->beta2 * pitzer_g(12.0 * s->root);
}

/* I B', so that nothing is divided by a vanishing ionic strength. */
static double strength_second_virial_slope(const solution *s, bf_ion cation, bf_ion anion)
{
    const binary *p = &binaries[cation][anion];
    return p->beta1 * pitzer_g_prime(alpha1(cation, anion) * s->root) +
           p->beta2 * pitzer_g_prime(12.0 * s->root);
}

static double third_virial(bf_ion cation, bf_ion anion)
{
    return binaries[cation][anion].c_phi / (2.0 * sqrt(abs(charge_of(cation) * charge_of(anion))));
}

/* x_ij^2 is 36 (z_i z_j)^2 A^2 I, so I cancels in E. */
static void set_electrostatic_mixing(solution *s)
{
    double x = 6.0 * s->slope * s->root;
    bf__mixing one = bf__mixing_integral(x);
    bf__mixing both = bf__mixing_integral(2.0 * x);
    bf__mixing two = bf__mixing_integral(4.0 * x);
    double square = 18.0 * s->slope * s->slope;
    s->e = square * (4.0 * both.j_over_x2 - 0.5 * one.j_over_x2 - 8.0 * two.j_over_x2);
    s->strength_de =
        -s->e +
        0.5 * square * (4.0 * both.x_dj_over_x2 - 0.5 * one.x_dj_over_x2 - 8.0 * two.x_dj_over_x2);
}

/* F. */
static double common_term(const solution *s)
{
    double f = -s->slope *
               (s->root / (1.0 + PITZER_B * s->root) + 2.0 / PITZER_B * log1p(PITZER_B * s->root));
    for (bf_ion i = 0; i < BF_ION_COUNT; i++) {
        for (bf_ion j = i + 1; j < BF_ION_COUNT; j++) {
            double slope = 0.0;
            if (charge_of(i) > 0 && charge_of(j) < 0) {
                slope = strength_second_virial_slope(s, i, j);
            } else if (charge_of(i) != charge_of(j)) {
                slope = s->strength_de;
            }
            f += s->m[i] * (s->m[j] / s->strength) * slope;
        }
    }
    return f;
}

/* sum_c sum_a m_c m_a C_ca. */
static double third_virial_sum(const solution *s)
{
    double sum = 0.0;
    for (bf_ion c = 0; c < BF_ION_CL; c++) {
        for (bf_ion a = BF_ION_CL; a < BF_ION_COUNT; a++) {
            sum += s->m[c] * s->m[a] * third_virial(c, a);
        }
    }
    return sum;
}

/* The sums over B, C and E that belong to one ion. */
static double pair_terms(const solution *s, bf_ion ion)
{
    double sum = 0.0;
    for (bf_ion other = 0; other < BF_ION_COUNT; other++) {
        if (charge_of(ion) * charge_of(other) > 0) {
            sum += charge_of(ion) == charge_of(other) ? 0.0 : 2.0 * s->m[other] * s->e;
            continue;
        }
        bf_ion cation = ion < other ? ion : other;
        bf_ion anion = ion < other ? other : ion;
        sum += s->m[other] *
               (2.0 * second_virial(s, cation, anion) + s->charge * third_virial(cation, anion));
    }
    return sum;
}

/* Spread theta and psi over the ions they belong to. */
static void add_mixing_terms(const solution *s, double ln_gamma[BF_ION_COUNT])
{
    for (size_t i = 0; i < sizeof like_pairs / sizeof *like_pairs; i++) {
        const like_pair *p = &like_pairs[i];
        ln_gamma[p->first] += 2.0 * s->m[p->second] * p->theta;
        ln_gamma[p->second] += 2.0 * s->m[p->first] * p->theta;
    }
    for (size_t i = 0; i < sizeof triplets / sizeof *triplets; i++) {
        const triplet *p = &triplets[i];
        ln_gamma[p->first] += s->m[p->second] * s->m[p->opposite] * p->psi;
        ln_gamma[p->second] += s->m[p->first] * s->m[p->opposite] * p->psi;
        ln_gamma[p->opposite] += s->m[p->first] * s->m[p->second] * p->psi;
    }
}

static bf_status check_temperature(double temperature_K, const char *where, bf_error *err)
{
    if (!(temperature_K >= 273.15 && temperature_K <= 373.15)) {
        double t = temperature_K - BF_K_AT_0_C;
        return bf_error_set(err, BF_E_RANGE, where,
                            "temperature is %.1f C (%.0f F); state 0 to 100 C (32 to 212 F)", t,
                            32.0 + 1.8 * t);
    }
    return BF_OK;
}

static bf_status gather(const double m[BF_ION_COUNT], solution *s, bf_error *err)
{
    *s = (solution){.m = m};
    for (bf_ion i = 0; i < BF_ION_COUNT; i++) {
        if (!(m[i] >= 0.0 && isfinite(m[i]))) {
            return bf_error_set(err, BF_E_RANGE, "bf_activity_ln_gamma",
                                "%s is %g mol per kg of water; state 0 or more",
                                bf_ion_get(i)->name, m[i]);
        }
        s->strength += 0.5 * m[i] * charge_of(i) * charge_of(i);
        s->charge += m[i] * abs(charge_of(i));
    }
    if (s->strength > MAX_IONIC_STRENGTH_MOL_PER_KG) {
        return bf_error_set(err, BF_E_RANGE, "bf_activity_ln_gamma",
                            "ionic strength is %.3g mol per kg of water; the activity model holds "
                            "up to %g, so state a weaker solution",
                            s->strength, MAX_IONIC_STRENGTH_MOL_PER_KG);
    }
    s->root = sqrt(s->strength);
    return BF_OK;
}

bf_status bf_activity_ln_gamma(const double molality_mol_per_kg[BF_ION_COUNT], double temperature_K,
                               double ln_gamma[BF_ION_COUNT], bf_error *err)
{
    solution s;
    bf_status status = check_temperature(temperature_K, "bf_activity_ln_gamma", err);
    if (status == BF_OK) {
        status = gather(molality_mol_per_kg, &s, err);
    }
    if (status != BF_OK) {
        return status;
    }
    if (s.strength == 0.0) {
        for (bf_ion i = 0; i < BF_ION_COUNT; i++) {
            ln_gamma[i] = 0.0;
        }
        return BF_OK;
    }
    s.slope = debye_hueckel_slope(temperature_K);
    set_electrostatic_mixing(&s);
    double f = common_term(&s);
    double third = third_virial_sum(&s);
    for (bf_ion i = 0; i < BF_ION_COUNT; i++) {
        int z = abs(charge_of(i));
        ln_gamma[i] = z * z * f + z * third + pair_terms(&s, i);
    }
    add_mixing_terms(&s, ln_gamma);
    return BF_OK;
}

bf_status bf_activity_ratio(bf_ion ion, bf_salt background, double molality_mol_per_kg,
                            double temperature_K, double *ratio, bf_error *err)
{
    assert((unsigned)background < BF_SALT_COUNT);
    int charge = charge_of(ion);
    if (charge < 0) {
        return bf_error_set(err, BF_E_RANGE, "bf_activity_ratio",
                            "%s is an anion; only cations exchange with sodium",
                            bf_ion_get(ion)->name);
    }
    if (!(molality_mol_per_kg >= 0.0 && molality_mol_per_kg <= MAX_BACKGROUND_MOL_PER_KG)) {
        return bf_error_set(err, BF_E_RANGE, "bf_activity_ratio",
                            "background is %g mol of salt per kg of water; state 0 to %g",
                            molality_mol_per_kg, MAX_BACKGROUND_MOL_PER_KG);
    }
    double molality[BF_ION_COUNT] = {0};
    double ln_gamma[BF_ION_COUNT];
    molality[background == BF_SALT_NACL ? BF_ION_NA : BF_ION_K] = molality_mol_per_kg;
    molality[BF_ION_CL] = molality_mol_per_kg;
    bf_status status = bf_activity_ln_gamma(molality, temperature_K, ln_gamma, err);
    if (status == BF_OK) {
        *ratio = exp(charge * ln_gamma[BF_ION_NA] - ln_gamma[ion]);
    }
    return status;
}
