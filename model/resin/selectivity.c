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
 * blended linearly in the K share of the pore water; the resin phase is ideal on equivalent
 * fractions (Gaines-Thomas). R/w and G are tabulated on equal steps of s = sqrt(C) as piecewise
 * cubics with the function's own slopes at the nodes: continuous slope, relative error below 2e-6,
 * but 3e-5 below 0.2 eq/m3, where the mixing term goes like I ln I.
 *
 * Source: Gaines & Thomas, J. Chem. Phys. 21 (1953) 714 for the convention; closed form and slopes
 * derived here. Not modelled here: co-ion uptake in strong brine, swelling.
 */
#include "resin/selectivity.h"

#include "base/hot.h"
#include "brinefront/activity.h"
#include "brinefront/brine.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { TABLE_INTERVALS = 160 };
static const double table_top_eq_per_m3 = 5200.0; /* above this the last cubic runs on */
static const double least_normality_eq_per_m3 = 1e-9;

typedef struct table_cubic {
    double c0, c1, c2, c3;
} table_cubic;

struct bf_selectivity {
    bf_equilibrium_law law;
    bf_ion_set ions;
    size_t second_order; /* the first so many ions enter with r^2, the others with r */
    size_t potassium;    /* index of K, or ions.count where no blend is needed */
    int tabulated;
    double step;                    /* of s, sqrt(eq/m3) */
    double weight[BF_CATION_COUNT]; /* constant weights; for second order per eq/m3 */
    table_cubic *sodium_table;      /* ions.count x TABLE_INTERVALS, weight along NaCl */
    table_cubic *potassium_table;   /* the same along KCl; NULL without K */
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

/* Weight of one ion at s = sqrt(C): divalent R/w * 2/K per eq/m3, monovalent G/K. */
static bf_status weight_at(bf_ion ion, double constant, bf_salt salt, double s,
                           double temperature_K, double *weight, bf_error *err)
{
    bf_brine brine;
    bf_status status = bf_brine_of_normality(salt, s * s, temperature_K, &brine, err);
    if (status != BF_OK) {
        return status;
    }
    double ratio;
    status = bf_activity_ratio(ion, salt, brine.molality_mol_per_kg, temperature_K, &ratio, err);
    if (status != BF_OK) {
        return status;
    }
    if (bf_ion_get(ion)->charge == 2) {
        double water_kg_per_L = brine.water_per_solution_kg_per_m3 / 1000.0;
        *weight = 2.0 / 1000.0 * ratio / (constant * water_kg_per_L);
    } else {
        *weight = ratio / constant;
    }
    return BF_OK;
}

/* Fill one ion's cubics. Slopes at the nodes come from fourth-order differences over a fifth of a
 * step; at the ends the stencil is shifted inward. */
static bf_status tabulate(bf_ion ion, double constant, bf_salt salt, double temperature_K,
                          double step, size_t intervals, table_cubic *cubics, bf_error *err)
{
    double value = 0.0;
    double slope = 0.0;
    for (size_t node = 0; node <= intervals; node++) {
        double s = (double)node * step;
        double h = 0.2 * step;
        double shift = node == 0 ? 2.0 * h : node == intervals ? -2.0 * h : 0.0;
        double f[5];
        for (int k = 0; k < 5; k++) {
            bf_status status =
                weight_at(ion, constant, salt, s + shift + (k - 2) * h, temperature_K, &f[k], err);
            if (status != BF_OK) {
                return status;
            }
        }
        double here;
        double rise;
        if (node == 0) {
            here = f[0];
            rise =
                (-25.0 * f[0] + 48.0 * f[1] - 36.0 * f[2] + 16.0 * f[3] - 3.0 * f[4]) / (12.0 * h);
        } else if (node == intervals) {
            here = f[4];
            rise =
                (25.0 * f[4] - 48.0 * f[3] + 36.0 * f[2] - 16.0 * f[1] + 3.0 * f[0]) / (12.0 * h);
        } else {
            here = f[2];
            rise = (f[0] - 8.0 * f[1] + 8.0 * f[3] - f[4]) / (12.0 * h);
        }
        rise *= step; /* per interval: the cubics run on 0..1 */
        if (node > 0) {
            double difference = here - value;
            cubics[node - 1] = (table_cubic){.c0 = value,
                                             .c1 = slope,
                                             .c2 = 3.0 * difference - 2.0 * slope - rise,
                                             .c3 = slope + rise - 2.0 * difference};
        }
        value = here;
        slope = rise;
    }
    return BF_OK;
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
    if (spec->law == BF_EQUILIBRIUM_MASS_ACTION_IDEAL && !(spec->capacity_eq_per_m3 > 0.0)) {
        return bf_error_set(err, BF_E_RANGE, where, "capacity is %g eq/m3; it must be above zero",
                            spec->capacity_eq_per_m3);
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
    bf_selectivity *made = calloc(1, sizeof *made);
    if (made == NULL) {
        return bf_error_set(err, BF_E_MEMORY, "bf_selectivity_create", "no memory");
    }
    size_t count = spec->ions.count;
    made->law = spec->law;
    made->ions = spec->ions;
    made->potassium = count;
    for (size_t i = 0; i < count; i++) {
        bf_ion ion = spec->ions.ion[i];
        int divalent = bf_ion_get(ion)->charge == 2;
        double constant = spec->constant[ion];
        switch (spec->law) {
        case BF_EQUILIBRIUM_MASS_ACTION: made->second_order += divalent ? 1 : 0; break;
        case BF_EQUILIBRIUM_MASS_ACTION_IDEAL:
            made->second_order += divalent ? 1 : 0;
            made->weight[i] =
                divalent ? 1.0 / (constant * spec->capacity_eq_per_m3) : 1.0 / constant;
            break;
        case BF_EQUILIBRIUM_SEPARATION_FACTOR: made->weight[i] = 1.0 / constant; break;
        case BF_EQUILIBRIUM_LINEAR: made->weight[i] = 1.0 / constant; break;
        }
    }
    if (spec->law == BF_EQUILIBRIUM_MASS_ACTION) {
        made->tabulated = 1;
        made->step = sqrt(table_top_eq_per_m3) / TABLE_INTERVALS;
        made->sodium_table = calloc(count * TABLE_INTERVALS, sizeof *made->sodium_table);
        size_t potassium = bf_ion_set_index(&spec->ions, BF_ION_K);
        if (potassium < count) {
            made->potassium = potassium;
            made->potassium_table = calloc(count * TABLE_INTERVALS, sizeof *made->potassium_table);
        }
        if (made->sodium_table == NULL || (potassium < count && made->potassium_table == NULL)) {
            status = bf_error_set(err, BF_E_MEMORY, "bf_selectivity_create", "no memory");
            goto done;
        }
        /* KCl saturates well below the top of the NaCl table when it is cold: its table goes on
         * from there in a straight line. */
        for (size_t i = 0; i < count; i++) {
            bf_ion ion = spec->ions.ion[i];
            size_t at = i * TABLE_INTERVALS;
            status = tabulate(ion, spec->constant[ion], BF_SALT_NACL, spec->temperature_K,
                              made->step, TABLE_INTERVALS, &made->sodium_table[at], err);
            if (status != BF_OK) {
                goto done;
            }
            if (made->potassium_table != NULL) {
                double saturated;
                bf_brine brine;
                status = bf_brine_saturation(BF_SALT_KCL, spec->temperature_K, &saturated, err);
                if (status == BF_OK) {
                    status = bf_brine_of_mass_fraction(BF_SALT_KCL, saturated, spec->temperature_K,
                                                       &brine, err);
                }
                if (status != BF_OK) {
                    goto done;
                }
                size_t reach = (size_t)floor(sqrt(brine.normality_eq_per_m3) / made->step);
                reach = reach < TABLE_INTERVALS ? reach : TABLE_INTERVALS;
                table_cubic *cubics = &made->potassium_table[at];
                status = tabulate(ion, spec->constant[ion], BF_SALT_KCL, spec->temperature_K,
                                  made->step, reach, cubics, err);
                if (status != BF_OK) {
                    goto done;
                }
                for (size_t k = reach; k < TABLE_INTERVALS; k++) {
                    const table_cubic *last = &cubics[k - 1];
                    double end = last->c0 + last->c1 + last->c2 + last->c3;
                    double rise = last->c1 + 2.0 * last->c2 + 3.0 * last->c3;
                    cubics[k] = (table_cubic){.c0 = end, .c1 = rise};
                }
            }
        }
    }
    *out = made;
    made = NULL;
done:
    bf_selectivity_free(made);
    return status;
}

void bf_selectivity_free(bf_selectivity *selectivity)
{
    if (selectivity != NULL) {
        free(selectivity->sodium_table);
        free(selectivity->potassium_table);
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

/* Where each point stands in the tables: its interval, how far into it, and dt/dC. The same for all
 * ions and both salts. */
typedef struct place {
    double *interval;
    double *inside; /* t, 0 .. 1 */
    double *by_normality;
} place;

static void locate(double step, size_t n, const double *normality, place at)
{
    const double inverse_step = 1.0 / step;
    const double top = (double)(TABLE_INTERVALS - 1);
    double *restrict interval = at.interval;
    double *restrict inside = at.inside;
    double *restrict by_normality = at.by_normality;
    for (size_t p = 0; p < n; p++) {
        double c =
            normality[p] > least_normality_eq_per_m3 ? normality[p] : least_normality_eq_per_m3;
        double s = sqrt(c);
        double position = s * inverse_step;
        interval[p] = position < top ? (double)(int)position : top;
        inside[p] = position - interval[p];
        by_normality[p] = 0.5 * inverse_step / s;
    }
}

/* Value at each point, and its slope by C where `slope` is not NULL. */
static void read_table(const table_cubic *table, size_t n, place at, double *restrict value,
                       double *restrict slope)
{
    for (size_t p = 0; p < n; p++) {
        const table_cubic *cubic = &table[(size_t)at.interval[p]];
        double t = at.inside[p];
        value[p] = cubic->c0 + t * (cubic->c1 + t * (cubic->c2 + t * cubic->c3));
    }
    for (size_t p = 0; slope != NULL && p < n; p++) {
        const table_cubic *cubic = &table[(size_t)at.interval[p]];
        double t = at.inside[p];
        slope[p] = (cubic->c1 + t * (2.0 * cubic->c2 + t * 3.0 * cubic->c3)) * at.by_normality[p];
    }
}

/* One ion's weight along NaCl, blended with that along KCl by the K share of the pore water. */
static void find_weight(const bf_selectivity *sel, size_t i, size_t n, size_t stride,
                        const double *normality, const double *pore, place at, int with_slopes,
                        weights out, double *scratch)
{
    double *restrict value = out.value + i * stride;
    double *restrict by_normality = out.by_normality + i * stride;
    double *restrict by_potassium = out.by_potassium + i * stride;
    double *restrict other = scratch;
    double *restrict other_slope = scratch + stride;
    const table_cubic *sodium = &sel->sodium_table[i * TABLE_INTERVALS];
    read_table(sodium, n, at, value, with_slopes ? by_normality : NULL);
    if (sel->potassium == sel->ions.count || pore == NULL) {
        memset(by_potassium, 0, n * sizeof *by_potassium);
        return;
    }
    const double *restrict potassium = pore + sel->potassium * stride;
    read_table(&sel->potassium_table[i * TABLE_INTERVALS], n, at, other,
               with_slopes ? other_slope : NULL);
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
    place at = {.interval = scratch + 2 * stride,
                .inside = scratch + 3 * stride,
                .by_normality = scratch + 4 * stride};
    if (sel->tabulated) {
        locate(sel->step, n, normality, at);
    }
    for (size_t i = 0; i < sel->ions.count; i++) {
        double *restrict value = out.value + i * stride;
        double *restrict by_normality = out.by_normality + i * stride;
        double *restrict by_potassium = out.by_potassium + i * stride;
        if (sel->tabulated) {
            find_weight(sel, i, n, stride, normality, pore, at, with_slopes, out, scratch);
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
                        const double *w, partition at, double *slope)
{
    const double *restrict q = at.q;
    const double *restrict per_root = at.per_root;
    for (size_t i = 0; i < count; i++) {
        const double *restrict ui = u + i * stride;
        const double *restrict wi = w + i * stride;
        for (size_t k = 0; k < count; k++) {
            const double *restrict wk = w + k * stride;
            double *restrict to = slope + (i * count + k) * stride;
            for (size_t p = 0; p < n; p++) {
                double dq = k < second ? (1.0 - wk[p] * q[p]) * q[p] * per_root[p]
                                       : (1.0 - wk[p]) * q[p] * per_root[p];
                to[p] = i < second ? 2.0 * wi[p] * ui[p] * q[p] * dq : wi[p] * ui[p] * dq;
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
                             const double *w, const double *w_slope, partition at, double *dq,
                             double *slope)
{
    const double *restrict q = at.q;
    const double *restrict per_root = at.per_root;
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
        double *restrict to = slope + i * stride;
        for (size_t p = 0; p < n; p++) {
            to[p] = i < second ? ui[p] * q[p] * (dwi[p] * q[p] + 2.0 * wi[p] * dq[p])
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

BF__HOT int bf__selectivity_water(const bf_selectivity *sel, size_t n, size_t stride,
                                  const double *normality, const double *pore,
                                  const double *fraction, double *work, double *water,
                                  const bf__equilibrium_slope *slope)
{
    size_t count = sel->ions.count;
    if (sel->law == BF_EQUILIBRIUM_LINEAR) {
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
        return 0;
    }
    weights w = {.value = work,
                 .by_normality = work + count * stride,
                 .by_potassium = work + 2 * count * stride};
    double *rows = work + WORK_ROWS_PER_ION * count * stride;
    partition at = {.q = rows, .per_root = rows + stride};
    find_weights(sel, n, stride, normality, pore, slope != NULL, w, rows + 3 * stride);
    int outside = divide(count, sel->second_order, n, stride, fraction, w.value, at, water);
    if (slope != NULL) {
        divide_by_u(count, sel->second_order, n, stride, fraction, w.value, at, slope->by_fraction);
        divide_by_weight(count, sel->second_order, n, stride, fraction, w.value, w.by_normality, at,
                         rows + 2 * stride, slope->by_normality);
        divide_by_weight(count, sel->second_order, n, stride, fraction, w.value, w.by_potassium, at,
                         rows + 2 * stride, slope->by_potassium);
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

BF__HOT int bf__selectivity_resin(const bf_selectivity *sel, size_t n, size_t stride,
                                  const double *normality, const double *pore, double *work,
                                  double *fraction, const bf__equilibrium_slope *slope)
{
    size_t count = sel->ions.count;
    if (sel->law == BF_EQUILIBRIUM_LINEAR) {
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
        return 0;
    }
    weights w = {.value = work,
                 .by_normality = work + count * stride,
                 .by_potassium = work + 2 * count * stride};
    double *x = work + 3 * count * stride;
    double *rows = work + WORK_ROWS_PER_ION * count * stride;
    partition at = {.q = rows, .per_root = rows + stride};
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
    outside |= divide(count, sel->second_order, n, stride, x, w.value, at, fraction);
    if (slope == NULL) {
        return outside;
    }
    divide_by_u(count, sel->second_order, n, stride, x, w.value, at, slope->by_fraction);
    divide_by_weight(count, sel->second_order, n, stride, x, w.value, w.by_normality, at,
                     rows + 2 * stride, slope->by_normality);
    for (size_t i = 0; i < count; i++) { /* x = c/C */
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
    if (sel->potassium < count) {
        divide_by_weight(count, sel->second_order, n, stride, x, w.value, w.by_potassium, at,
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
