/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Ion-exchange equilibrium of any mix of monovalent and divalent cations, explicit both ways.
 *
 *     divalent    K_i = (y_i/y_Na^2)(a_Na^2/a_i)     =>   x_i = a_i y_i r^2,  a_i = 2 C R_i/(K_i w)
 *     monovalent  K_j = (y_j/y_Na)(a_Na/a_j)         =>   x_j = b_j y_j r,    b_j = G_j/K_j
 *     sodium                                              x_Na = y_Na r
 *     sum x = 1:  A r^2 + B r = 1,  A = sum a_i y_i,  B = y_Na + sum b_j y_j
 *                 r = 2/(B + sqrt(B^2 + 4 A))
 *
 * Read from the water side the same partition holds with the weights inverted and r with it:
 * y_i = x_i/a_i q^2, y_j = x_j/b_j q, y_Na = x_Na q, q = 1/r. One routine, divide(), serves both.
 *
 * Symbols: y, x equivalent fractions on resin and in water; C normality of the pore water, eq/m3
 * outside, eq/L in a_i; K thermodynamic selectivity, mol/kg (divalent) or - (monovalent);
 * R_i = gamma_Na^2/gamma_i, G_j = gamma_Na/gamma_j at the pore water's own strength; w kg of water
 * per litre of pore water.
 *
 * Assumes the pore water's activities are those of plain NaCl of the same normality, or of KCl,
 * blended linearly in the K share of the pore water (strength_table.c); the resin phase is ideal on
 * equivalent fractions (Gaines-Thomas).
 *
 * Source: Gaines & Thomas, J. Chem. Phys. 21 (1953) 714 for the convention; closed form and slopes
 * derived here. Not modelled here: co-ion uptake in strong brine, swelling.
 */
#include "resin/selectivity.h"

#include "base/hot.h"
#include "resin/strength_table.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

struct bf_selectivity {
    bf_equilibrium_law law;
    bf_ion_set ions;
    size_t second_order;              /* the first so many ions enter with r^2, the others with r */
    size_t potassium;                 /* index of K, or ions.count where no blend is needed */
    double weight[BF_CATION_COUNT];   /* constant weights; for second order per eq/m3 */
    bf__strength_table *sodium_table; /* of MASS_ACTION, along NaCl; else NULL */
    bf__strength_table *potassium_table; /* along KCl; NULL without K */
};

bf_ion_set bf_ion_set_of(const double *const *eq_per_m3, size_t water_count)
{
    bf_ion_set set = {0};
    for (int charge = 2; charge >= 1; charge--) {
        for (size_t i = 0; i < BF_CATION_COUNT; i++) {
            bf_ion ion = (bf_ion)i;
            if (ion == BF_ION_NA || bf_ion_get(ion)->charge != charge) {
                continue;
            }
            int present = ion == BF_ION_CA || ion == BF_ION_MG;
            for (size_t k = 0; k < water_count; k++) {
                present = present || eq_per_m3[k][i] > 0.0;
            }
            if (present) {
                set.ion[set.count++] = ion;
            }
        }
    }
    return set;
}

size_t bf_ion_set_index(const bf_ion_set *set, bf_ion ion)
{
    size_t i = 0;
    while (i < set->count && set->ion[i] != ion) {
        i++;
    }
    return i;
}

static bf_status check_spec(const bf_selectivity_spec *spec, bf_error *err)
{
    const char *where = "bf_selectivity_create";
    const bf_ion_set *ions = &spec->ions;
    if (ions->count < 1 || ions->count >= BF_CATION_COUNT) {
        return bf_error_set(err, BF_E_RANGE, where,
                            "%zu ions besides sodium; accepted are 1 to %zu", ions->count,
                            BF_CATION_COUNT - 1);
    }
    for (size_t i = 0; i < ions->count; i++) {
        bf_ion ion = ions->ion[i];
        if ((size_t)ion >= BF_CATION_COUNT || ion == BF_ION_NA ||
            bf_ion_set_index(ions, ion) != i ||
            (i > 0 && bf_ion_get(ion)->charge > bf_ion_get(ions->ion[i - 1])->charge)) {
            return bf_error_set(err, BF_E_RANGE, where,
                                "ion %zu of the set is out of place; accepted are distinct cations "
                                "without sodium, divalent ones first",
                                i + 1);
        }
        double constant = spec->constant[ion];
        if (!(constant > 0.0 && isfinite(constant))) {
            return bf_error_set(err, BF_E_RANGE, where,
                                "the equilibrium constant of %s is %g; it must be above zero",
                                bf_ion_get(ion)->name, constant);
        }
    }
    if (spec->law == BF_EQUILIBRIUM_MASS_ACTION &&
        !(spec->temperature_K >= 273.15 && spec->temperature_K <= 323.15)) {
        return bf_error_set(err, BF_E_RANGE, where,
                            "temperature is %g K; the model covers 273.15 to 323.15 K",
                            spec->temperature_K);
    }
    if (spec->law == BF_EQUILIBRIUM_MASS_ACTION_IDEAL && !(spec->total_capacity_eq_per_m3 > 0.0)) {
        return bf_error_set(err, BF_E_RANGE, where, "capacity is %g eq/m3; it must be above zero",
                            spec->total_capacity_eq_per_m3);
    }
    return BF_OK;
}

bf_status bf_selectivity_create(const bf_selectivity_spec *spec, bf_selectivity **out,
                                bf_error *err)
{
    *out = NULL;
    bf_status status = check_spec(spec, err);
    if (status != BF_OK) {
        return status;
    }
    bf_selectivity *selectivity = calloc(1, sizeof *selectivity);
    if (selectivity == NULL) {
        return bf_error_set(err, BF_E_MEMORY, "bf_selectivity_create", "no memory");
    }
    size_t count = spec->ions.count;
    selectivity->law = spec->law;
    selectivity->ions = spec->ions;
    selectivity->potassium = count;
    for (size_t i = 0; i < count; i++) {
        bf_ion ion = spec->ions.ion[i];
        int divalent = bf_ion_get(ion)->charge == 2;
        double constant = spec->constant[ion];
        switch (spec->law) {
        case BF_EQUILIBRIUM_MASS_ACTION: selectivity->second_order += divalent ? 1 : 0; break;
        case BF_EQUILIBRIUM_MASS_ACTION_IDEAL:
            selectivity->second_order += divalent ? 1 : 0;
            selectivity->weight[i] =
                divalent ? 1.0 / (constant * spec->total_capacity_eq_per_m3) : 1.0 / constant;
            break;
        case BF_EQUILIBRIUM_SEPARATION_FACTOR: selectivity->weight[i] = 1.0 / constant; break;
        case BF_EQUILIBRIUM_LINEAR: selectivity->weight[i] = 1.0 / constant; break;
        }
    }
    if (spec->law == BF_EQUILIBRIUM_MASS_ACTION) {
        selectivity->potassium = bf_ion_set_index(&spec->ions, BF_ION_K);
        status = bf__strength_table_create(&spec->ions, spec->constant, BF_SALT_NACL,
                                           spec->temperature_K, &selectivity->sodium_table, err);
        if (status == BF_OK && selectivity->potassium < count) {
            status =
                bf__strength_table_create(&spec->ions, spec->constant, BF_SALT_KCL,
                                          spec->temperature_K, &selectivity->potassium_table, err);
        }
    }
    if (status == BF_OK) {
        *out = selectivity;
        selectivity = NULL;
    }
    bf_selectivity_free(selectivity);
    return status;
}

void bf_selectivity_free(bf_selectivity *selectivity)
{
    if (selectivity != NULL) {
        bf__strength_table_free(selectivity->sodium_table);
        bf__strength_table_free(selectivity->potassium_table);
        free(selectivity);
    }
}

size_t bf__selectivity_ion_count(const bf_selectivity *selectivity)
{
    return selectivity->ions.count;
}

size_t bf__selectivity_potassium(const bf_selectivity *selectivity)
{
    return selectivity->potassium;
}

/* ---- weights at the pore water's own strength ------------------------------------------------ */

/* weight w_i(C, K share) and its slopes by C and by c_K, for every ion and point. */
typedef struct weights {
    double *value;
    double *by_normality;
    double *by_potassium;
} weights;

/* One ion's weight along NaCl, blended with that along KCl by the K share of the pore water. */
static void find_weight(const bf_selectivity *sel, size_t i, size_t n, size_t stride,
                        const double *normality, const double *pore, bf__strength_place place,
                        int with_slopes, weights out, double *scratch)
{
    double *restrict value = out.value + i * stride;
    double *restrict by_normality = out.by_normality + i * stride;
    double *restrict by_potassium = out.by_potassium + i * stride;
    double *restrict other = scratch;
    double *restrict other_slope = scratch + stride;
    bf__strength_read(sel->sodium_table, i, n, place, value, with_slopes ? by_normality : NULL);
    if (sel->potassium == sel->ions.count || pore == NULL) {
        memset(by_potassium, 0, n * sizeof *by_potassium);
        return;
    }
    const double *restrict potassium = pore + sel->potassium * stride;
    bf__strength_read(sel->potassium_table, i, n, place, other, with_slopes ? other_slope : NULL);
    if (with_slopes) {
        for (size_t p = 0; p < n; p++) {
            double share = potassium[p] / normality[p];
            double lift = other[p] - value[p];
            by_normality[p] +=
                share * (other_slope[p] - by_normality[p]) - share * lift / normality[p];
            by_potassium[p] = lift / normality[p];
        }
    }
    for (size_t p = 0; p < n; p++) {
        value[p] += potassium[p] / normality[p] * (other[p] - value[p]);
    }
}

/* Weights of all ions; slopes only where they are asked for. `scratch` holds five rows. */
static void find_weights(const bf_selectivity *sel, size_t n, size_t stride,
                         const double *normality, const double *pore, int with_slopes, weights out,
                         double *scratch)
{
    bf__strength_place place = {.interval = scratch + 2 * stride,
                                .inside = scratch + 3 * stride,
                                .by_normality = with_slopes ? scratch + 4 * stride : NULL};
    if (sel->sodium_table != NULL) {
        bf__strength_locate(n, normality, place);
    }
    for (size_t i = 0; i < sel->ions.count; i++) {
        double *restrict value = out.value + i * stride;
        double *restrict by_normality = out.by_normality + i * stride;
        double *restrict by_potassium = out.by_potassium + i * stride;
        if (sel->sodium_table != NULL) {
            find_weight(sel, i, n, stride, normality, pore, place, with_slopes, out, scratch);
        } else {
            for (size_t p = 0; p < n; p++) {
                value[p] = sel->weight[i];
                by_normality[p] = 0.0;
                by_potassium[p] = 0.0;
            }
        }
        if (i >= sel->second_order) {
            continue;
        }
        if (with_slopes) { /* the table holds a_i/C */
            for (size_t p = 0; p < n; p++) {
                by_normality[p] = value[p] + normality[p] * by_normality[p];
                by_potassium[p] *= normality[p];
            }
        }
        for (size_t p = 0; p < n; p++) {
            value[p] *= normality[p];
        }
    }
}

/* ---- the partition --------------------------------------------------------------------------- */

/* u -> v with v_i = w_i u_i q^2 (first `second` ions), w_i u_i q (the others), v_Na = u_Na q.
 *
 *     A q^2 + B q = 1,  D = sqrt(B^2 + 4 A),  q = 2/(B + D),  dq/dA = -q^2/D,  dq/dB = -q/D
 */
typedef struct partition {
    double *q;
    double *per_root; /* 1/D */
} partition;

static int divide(size_t count, size_t second, size_t n, size_t stride, const double *u,
                  const double *w, partition out, double *v)
{
    double *restrict a = out.q;
    double *restrict b = out.per_root;
    for (size_t p = 0; p < n; p++) {
        a[p] = 0.0;
        b[p] = 1.0;
    }
    for (size_t i = 0; i < count; i++) {
        const double *restrict ui = u + i * stride;
        const double *restrict wi = w + i * stride;
        if (i < second) {
            for (size_t p = 0; p < n; p++) {
                a[p] += wi[p] * ui[p];
                b[p] -= ui[p];
            }
        } else {
            for (size_t p = 0; p < n; p++) {
                b[p] += (wi[p] - 1.0) * ui[p];
            }
        }
    }
    int outside = 0;
    for (size_t p = 0; p < n; p++) {
        double square = b[p] * b[p] + 4.0 * a[p];
        double root = sqrt(square);
        double sum = b[p] + root;
        outside |= !(square > 0.0) | !(sum > 0.0);
        a[p] = 2.0 / sum;
        b[p] = 1.0 / root;
    }
    for (size_t i = 0; i < count; i++) {
        const double *restrict ui = u + i * stride;
        const double *restrict wi = w + i * stride;
        double *restrict vi = v + i * stride;
        if (i < second) {
            for (size_t p = 0; p < n; p++) {
                vi[p] = wi[p] * ui[p] * a[p] * a[p];
            }
        } else {
            for (size_t p = 0; p < n; p++) {
                vi[p] = wi[p] * ui[p] * a[p];
            }
        }
    }
    return outside;
}

/* dv_i/du_k at [(i * count + k) * stride]. */
static void divide_by_u(size_t count, size_t second, size_t n, size_t stride, const double *u,
                        const double *w, partition place, double *slope)
{
    const double *restrict q = place.q;
    const double *restrict per_root = place.per_root;
    for (size_t i = 0; i < count; i++) {
        const double *restrict ui = u + i * stride;
        const double *restrict wi = w + i * stride;
        for (size_t k = 0; k < count; k++) {
            const double *restrict wk = w + k * stride;
            double *restrict out = slope + (i * count + k) * stride;
            for (size_t p = 0; p < n; p++) {
                double dq = k < second ? (1.0 - wk[p] * q[p]) * q[p] * per_root[p]
                                       : (1.0 - wk[p]) * q[p] * per_root[p];
                out[p] = i < second ? 2.0 * wi[p] * ui[p] * q[p] * dq : wi[p] * ui[p] * dq;
            }
        }
        double *restrict own = slope + (i * count + i) * stride;
        for (size_t p = 0; p < n; p++) {
            own[p] += i < second ? wi[p] * q[p] * q[p] : wi[p] * q[p];
        }
    }
}

/* dv_i/ds along a parameter s on which the weights depend with slope w': one slope an ion. */
static void divide_by_weight(size_t count, size_t second, size_t n, size_t stride, const double *u,
                             const double *w, const double *w_slope, partition place, double *dq,
                             double *slope)
{
    const double *restrict q = place.q;
    const double *restrict per_root = place.per_root;
    for (size_t p = 0; p < n; p++) {
        dq[p] = 0.0;
    }
    for (size_t k = 0; k < count; k++) {
        const double *restrict uk = u + k * stride;
        const double *restrict dwk = w_slope + k * stride;
        for (size_t p = 0; p < n; p++) {
            dq[p] -= dwk[p] * uk[p] * q[p] * per_root[p] * (k < second ? q[p] : 1.0);
        }
    }
    for (size_t i = 0; i < count; i++) {
        const double *restrict ui = u + i * stride;
        const double *restrict wi = w + i * stride;
        const double *restrict dwi = w_slope + i * stride;
        double *restrict out = slope + i * stride;
        for (size_t p = 0; p < n; p++) {
            out[p] = i < second ? ui[p] * q[p] * (dwi[p] * q[p] + 2.0 * wi[p] * dq[p])
                                : ui[p] * (dwi[p] * q[p] + wi[p] * dq[p]);
        }
    }
}

/* ---- the two readings ------------------------------------------------------------------------ */

enum { WORK_ROWS_PER_ION = 4, WORK_ROWS = 8 };

size_t bf__selectivity_work_size(size_t ion_count, size_t stride)
{
    return (WORK_ROWS_PER_ION * ion_count + WORK_ROWS) * stride;
}

/* c*_i = w_i x_i with constant weights. */
static void water_by_linear(const bf_selectivity *sel, size_t n, size_t stride,
                            const double *fraction, double *water,
                            const bf__equilibrium_slope *slope)
{
    size_t count = sel->ions.count;
    for (size_t i = 0; i < count; i++) {
        for (size_t p = 0; p < n; p++) {
            water[i * stride + p] = sel->weight[i] * fraction[i * stride + p];
            if (slope != NULL) {
                for (size_t k = 0; k < count; k++) {
                    slope->by_fraction[(i * count + k) * stride + p] =
                        i == k ? sel->weight[i] : 0.0;
                }
                slope->by_normality[i * stride + p] = 0.0;
                slope->by_potassium[i * stride + p] = 0.0;
            }
        }
    }
}

BF__HOT int bf__selectivity_water(const bf_selectivity *sel, size_t n, size_t stride,
                                  const double *normality, const double *pore,
                                  const double *fraction, double *work, double *water,
                                  const bf__equilibrium_slope *slope)
{
    size_t count = sel->ions.count;
    if (sel->law == BF_EQUILIBRIUM_LINEAR) {
        water_by_linear(sel, n, stride, fraction, water, slope);
        return 0;
    }
    weights w = {.value = work,
                 .by_normality = work + count * stride,
                 .by_potassium = work + 2 * count * stride};
    double *rows = work + WORK_ROWS_PER_ION * count * stride;
    partition place = {.q = rows, .per_root = rows + stride};
    find_weights(sel, n, stride, normality, pore, slope != NULL, w, rows + 3 * stride);
    int outside = divide(count, sel->second_order, n, stride, fraction, w.value, place, water);
    if (slope != NULL) {
        divide_by_u(count, sel->second_order, n, stride, fraction, w.value, place,
                    slope->by_fraction);
        divide_by_weight(count, sel->second_order, n, stride, fraction, w.value, w.by_normality,
                         place, rows + 2 * stride, slope->by_normality);
        divide_by_weight(count, sel->second_order, n, stride, fraction, w.value, w.by_potassium,
                         place, rows + 2 * stride, slope->by_potassium);
        for (size_t i = 0; i < count; i++) { /* c* = C x */
            for (size_t p = 0; p < n; p++) {
                slope->by_normality[i * stride + p] =
                    water[i * stride + p] + normality[p] * slope->by_normality[i * stride + p];
                slope->by_potassium[i * stride + p] *= normality[p];
            }
            for (size_t k = 0; k < count; k++) {
                double *restrict row = slope->by_fraction + (i * count + k) * stride;
                for (size_t p = 0; p < n; p++) {
                    row[p] *= normality[p];
                }
            }
        }
    }
    for (size_t i = 0; i < count; i++) {
        double *restrict row = water + i * stride;
        for (size_t p = 0; p < n; p++) {
            outside |= !(normality[p] > 0.0);
            row[p] *= normality[p];
        }
    }
    return outside;
}

/* y*_i = c_i/w_i with constant weights. */
static void resin_by_linear(const bf_selectivity *sel, size_t n, size_t stride, const double *pore,
                            double *fraction, const bf__equilibrium_slope *slope)
{
    size_t count = sel->ions.count;
    for (size_t i = 0; i < count; i++) {
        for (size_t p = 0; p < n; p++) {
            fraction[i * stride + p] = pore[i * stride + p] / sel->weight[i];
            if (slope != NULL) {
                for (size_t k = 0; k < count; k++) {
                    slope->by_fraction[(i * count + k) * stride + p] =
                        i == k ? 1.0 / sel->weight[i] : 0.0;
                }
                slope->by_normality[i * stride + p] = 0.0;
            }
        }
    }
}

/* Slopes by x and by C at constant x -> slopes by c and by C at constant c: x = c/C. */
static void fraction_by_pore(size_t count, size_t n, size_t stride, const double *normality,
                             const double *x, const bf__equilibrium_slope *slope)
{
    for (size_t i = 0; i < count; i++) {
        double *restrict by_normality = slope->by_normality + i * stride;
        for (size_t k = 0; k < count; k++) {
            double *restrict row = slope->by_fraction + (i * count + k) * stride;
            const double *restrict xk = x + k * stride;
            for (size_t p = 0; p < n; p++) {
                row[p] /= normality[p];
                by_normality[p] -= row[p] * xk[p];
            }
        }
    }
}

BF__HOT int bf__selectivity_resin(const bf_selectivity *sel, size_t n, size_t stride,
                                  const double *normality, const double *pore, double *work,
                                  double *fraction, const bf__equilibrium_slope *slope)
{
    size_t count = sel->ions.count;
    if (sel->law == BF_EQUILIBRIUM_LINEAR) {
        resin_by_linear(sel, n, stride, pore, fraction, slope);
        return 0;
    }
    weights w = {.value = work,
                 .by_normality = work + count * stride,
                 .by_potassium = work + 2 * count * stride};
    double *x = work + 3 * count * stride;
    double *rows = work + WORK_ROWS_PER_ION * count * stride;
    partition place = {.q = rows, .per_root = rows + stride};
    find_weights(sel, n, stride, normality, pore, slope != NULL, w, rows + 3 * stride);
    int outside = 0;
    for (size_t i = 0; i < count; i++) { /* invert the weights, slopes with them */
        for (size_t p = 0; p < n; p++) {
            double inverse = 1.0 / w.value[i * stride + p];
            w.value[i * stride + p] = inverse;
            if (slope != NULL) {
                w.by_normality[i * stride + p] *= -inverse * inverse;
                w.by_potassium[i * stride + p] *= -inverse * inverse;
            }
            x[i * stride + p] = pore[i * stride + p] / normality[p];
            outside |= !(normality[p] > 0.0);
        }
    }
    outside |= divide(count, sel->second_order, n, stride, x, w.value, place, fraction);
    if (slope == NULL) {
        return outside;
    }
    divide_by_u(count, sel->second_order, n, stride, x, w.value, place, slope->by_fraction);
    divide_by_weight(count, sel->second_order, n, stride, x, w.value, w.by_normality, place,
                     rows + 2 * stride, slope->by_normality);
    fraction_by_pore(count, n, stride, normality, x, slope);
    if (sel->potassium < count) {
        divide_by_weight(count, sel->second_order, n, stride, x, w.value, w.by_potassium, place,
                         rows + 2 * stride, w.by_normality);
        for (size_t i = 0; i < count; i++) {
            double *restrict row = slope->by_fraction + (i * count + sel->potassium) * stride;
            for (size_t p = 0; p < n; p++) {
                row[p] += w.by_normality[i * stride + p];
            }
        }
    }
    return outside;
}

void bf_selectivity_to_water(const bf_selectivity *selectivity, double normality_eq_per_m3,
                             const double *pore_eq_per_m3, const double *resin_fraction,
                             double *equilibrium_eq_per_m3)
{
    double work[WORK_ROWS_PER_ION * BF_ION_COUNT + WORK_ROWS];
    (void)bf__selectivity_water(selectivity, 1, 1, &normality_eq_per_m3, pore_eq_per_m3,
                                resin_fraction, work, equilibrium_eq_per_m3, NULL);
}

void bf_selectivity_to_resin(const bf_selectivity *selectivity, double normality_eq_per_m3,
                             const double *pore_eq_per_m3, double *resin_fraction)
{
    double work[WORK_ROWS_PER_ION * BF_ION_COUNT + WORK_ROWS];
    (void)bf__selectivity_resin(selectivity, 1, 1, &normality_eq_per_m3, pore_eq_per_m3, work,
                                resin_fraction, NULL);
}

double bf__selectivity_weight(const bf_selectivity *selectivity, size_t i)
{
    return selectivity->weight[i];
}

bf_equilibrium_law bf__selectivity_law(const bf_selectivity *selectivity)
{
    return selectivity->law;
}

const bf_ion_set *bf__selectivity_ions(const bf_selectivity *selectivity)
{
    return &selectivity->ions;
}
