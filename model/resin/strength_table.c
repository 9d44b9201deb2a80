/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the strength of a brine does to each ion's equilibrium, tabulated once along one salt.
 *
 *     divalent    a_i/C = 2 R_i/(K_i w)      R_i = gamma_Na^2/gamma_i
 *     monovalent  b_j   = G_j/K_j            G_j = gamma_Na/gamma_j
 *
 * on equal steps of s = sqrt(C), as piecewise cubics with the function's own slopes at the nodes:
 * continuous slope, relative error below 2e-6, but 3e-5 below 0.2 eq/m3, where the mixing term goes
 * like I ln I. Range 0 .. 5200 eq/m3, beyond which the last cubic runs on. KCl saturates well below
 * that when it is cold: its table goes on from there in a straight line.
 *
 * Symbols: C normality, eq/m3; K selectivity, mol/kg or -; w kg of water per litre of solution.
 * Source: water/activity.c and water/brine.c for the function itself.
 */
#include "resin/strength_table.h"

#include "base/hot.h"
#include "brinefront/activity.h"
#include "brinefront/brine.h"

#include <math.h>
#include <stdlib.h>

/* Numerical choice: the errors that the head of the file states. The least normality stands in for
 * none and less, which have no square root to look up by. */
enum { INTERVALS = 160, NODES_AT_FOOT = 4 };
static const double top_eq_per_m3 = 5200.0;
static const double least_normality_eq_per_m3 = 1e-9;

typedef struct table_cubic {
    double c0, c1, c2, c3;
} table_cubic;

struct bf__strength_table {
    table_cubic cubics[BF_CATION_COUNT][INTERVALS]; /* by place in the set of ions */
};

/* Of s, sqrt(eq/m3); the same for every table, so that a point is located once. */
static double step_of_tables(void)
{
    return sqrt(top_eq_per_m3) / INTERVALS;
}

/* Weight of every ion at s = sqrt(C): divalent R/w * 2/K per eq/m3, monovalent G/K. All at once,
 * since the activities of one strength cost the same for one ion as for all. */
static bf_status weights_at(const bf_ion_set *ions, const double *constant, bf_salt salt, double s,
                            double temperature_K, double weight[BF_CATION_COUNT], bf_error *err)
{
    bf_brine brine;
    double molality[BF_ION_COUNT] = {0};
    double ln_gamma[BF_ION_COUNT];
    bf_status status = bf_brine_of_normality(salt, s * s, temperature_K, &brine, err);
    if (status == BF_OK) {
        molality[salt == BF_SALT_NACL ? BF_ION_NA : BF_ION_K] = brine.molality_mol_per_kg;
        molality[BF_ION_CL] = brine.molality_mol_per_kg;
        status = bf_activity_ln_gamma(molality, temperature_K, ln_gamma, err);
    }
    for (size_t i = 0; i < ions->count && status == BF_OK; i++) {
        bf_ion ion = ions->ion[i];
        int charge = bf_ion_get(ion)->charge;
        double ratio = exp(charge * ln_gamma[BF_ION_NA] - ln_gamma[ion]);
        double water_kg_per_L = brine.water_per_solution_kg_per_m3 / 1000.0;
        weight[i] = charge == 2 ? 2.0 / 1000.0 * ratio / (constant[ion] * water_kg_per_L)
                                : ratio / constant[ion];
    }
    return status;
}

/* Rise per interval from four values around a node, in steps of 1/per_interval of an interval: the
 * central difference of fourth order. */
static double rise_of(double below_2, double below, double above, double above_2,
                      double per_interval)
{
    return per_interval * (below_2 - 8.0 * below + 8.0 * above - above_2) / 12.0;
}

/* The same at an end, of the same order, from five values that all lie on one side. */
static double rise_at_end(const double f[5], double per_interval)
{
    return per_interval * (-25.0 * f[0] + 48.0 * f[1] - 36.0 * f[2] + 16.0 * f[3] - 3.0 * f[4]) /
           12.0;
}

/* Slopes at the nodes come from fourth-order differences of the nodes' own values; near the foot,
 * where the function is least smooth, and at the two topmost nodes of values closer by. */
static int stands_among_nodes(size_t node, size_t nodes)
{
    return node >= NODES_AT_FOOT && node + 2 < nodes;
}

/* The law of weights_at() along one salt. */
typedef struct along {
    const bf_ion_set *ions;
    const double *constant;
    bf_salt salt;
    double temperature_K;
} along;

static bf_status rises_close_by(const along *of, double s, double step, double top_s,
                                double rise[BF_CATION_COUNT], bf_error *err)
{
    const double per_interval = 5.0; /* numerical choice: closer than the nodes, above rounding */
    const double h = step / per_interval;
    const double side = s + 2.0 * h > top_s ? -1.0 : 1.0;
    const int one_sided = s < 2.0 * h || side < 0.0;
    double weight[5][BF_CATION_COUNT];
    for (int k = 0; k < 5; k++) {
        const double place = one_sided ? s + side * k * h : s + (k - 2) * h;
        bf_status status =
            weights_at(of->ions, of->constant, of->salt, place, of->temperature_K, weight[k], err);
        if (status != BF_OK) {
            return status;
        }
    }
    for (size_t i = 0; i < of->ions->count; i++) {
        const double f[5] = {weight[0][i], weight[1][i], weight[2][i], weight[3][i], weight[4][i]};
        rise[i] = one_sided ? side * rise_at_end(f, per_interval)
                            : rise_of(f[0], f[1], f[3], f[4], per_interval);
    }
    return BF_OK;
}

static void set_cubic(const double value[2], const double rise[2], table_cubic *out)
{
    const double difference = value[1] - value[0];
    *out = (table_cubic){.c0 = value[0],
                         .c1 = rise[0],
                         .c2 = 3.0 * difference - 2.0 * rise[0] - rise[1],
                         .c3 = rise[0] + rise[1] - 2.0 * difference};
}

/* Fill the cubics of all ions up to `intervals`. */
static bf_status tabulate(const along *of, double step, size_t intervals, bf__strength_table *table,
                          bf_error *err)
{
    const size_t nodes = intervals + 1;
    double value[INTERVALS + 1][BF_CATION_COUNT] = {0};
    double rise[INTERVALS + 1][BF_CATION_COUNT] = {0};
    bf_status status = BF_OK;
    for (size_t n = 0; n < nodes && status == BF_OK; n++) {
        status = weights_at(of->ions, of->constant, of->salt, (double)n * step, of->temperature_K,
                            value[n], err);
    }
    for (size_t n = 0; n < nodes && status == BF_OK; n++) {
        if (!stands_among_nodes(n, nodes)) {
            status =
                rises_close_by(of, (double)n * step, step, (double)intervals * step, rise[n], err);
            continue;
        }
        for (size_t i = 0; i < of->ions->count; i++) {
            rise[n][i] =
                rise_of(value[n - 2][i], value[n - 1][i], value[n + 1][i], value[n + 2][i], 1.0);
        }
    }
    for (size_t k = 0; k < intervals && status == BF_OK; k++) {
        for (size_t i = 0; i < of->ions->count; i++) {
            set_cubic((const double[2]){value[k][i], value[k + 1][i]},
                      (const double[2]){rise[k][i], rise[k + 1][i]}, &table->cubics[i][k]);
        }
    }
    return status;
}

/* How many intervals lie below saturation. */
static bf_status find_reach(bf_salt salt, double temperature_K, size_t *reach, bf_error *err)
{
    double saturated;
    bf_brine brine;
    *reach = INTERVALS;
    if (salt == BF_SALT_NACL) {
        return BF_OK; /* the top of the table lies below it at any temperature */
    }
    bf_status status = bf_brine_saturation(salt, temperature_K, &saturated, err);
    if (status == BF_OK) {
        status = bf_brine_of_mass_fraction(salt, saturated, temperature_K, &brine, err);
    }
    if (status == BF_OK) {
        size_t below = (size_t)floor(sqrt(brine.normality_eq_per_m3) / step_of_tables());
        *reach = below < INTERVALS ? below : INTERVALS;
    }
    return status;
}

static void go_on_straight(size_t reach, table_cubic *cubics)
{
    for (size_t k = reach; k < INTERVALS; k++) {
        const table_cubic *last = &cubics[k - 1];
        double end = last->c0 + last->c1 + last->c2 + last->c3;
        double rise = last->c1 + 2.0 * last->c2 + 3.0 * last->c3;
        cubics[k] = (table_cubic){.c0 = end, .c1 = rise};
    }
}

bf_status bf__strength_table_create(const bf_ion_set *ions, const double *constant, bf_salt salt,
                                    double temperature_K, bf__strength_table **out, bf_error *err)
{
    *out = NULL;
    size_t reach;
    bf_status status = find_reach(salt, temperature_K, &reach, err);
    if (status != BF_OK) {
        return status;
    }
    bf__strength_table *table = malloc(sizeof *table);
    if (table == NULL) {
        return bf_error_set(err, BF_E_MEMORY, "bf_selectivity_create", "no memory");
    }
    const along law = {ions, constant, salt, temperature_K};
    status = tabulate(&law, step_of_tables(), reach, table, err);
    for (size_t i = 0; i < ions->count && status == BF_OK; i++) {
        go_on_straight(reach, table->cubics[i]);
    }
    if (status == BF_OK) {
        *out = table;
        table = NULL;
    }
    bf__strength_table_free(table);
    return status;
}

void bf__strength_table_free(bf__strength_table *table)
{
    free(table);
}

BF__HOT void bf__strength_locate(size_t n, const double *normality, bf__strength_place place)
{
    const double inverse_step = 1.0 / step_of_tables();
    const double top = (double)(INTERVALS - 1);
    double *restrict interval = place.interval;
    double *restrict inside = place.inside;
    for (size_t p = 0; p < n; p++) {
        double c =
            normality[p] > least_normality_eq_per_m3 ? normality[p] : least_normality_eq_per_m3;
        double position = sqrt(c) * inverse_step;
        interval[p] = position < top ? (double)(int)position : top;
        inside[p] = position - interval[p];
    }
    if (place.by_normality == NULL) {
        return;
    }
    const double rise = 0.5 * inverse_step * inverse_step; /* dt/dC = rise/t */
    double *restrict by_normality = place.by_normality;
    for (size_t p = 0; p < n; p++) {
        by_normality[p] = rise / (interval[p] + inside[p]);
    }
}

BF__HOT void bf__strength_read(const bf__strength_table *table, size_t i, size_t n,
                               bf__strength_place place, double *restrict value,
                               double *restrict slope)
{
    const table_cubic *cubics = table->cubics[i];
    const double *restrict interval = place.interval;
    const double *restrict inside = place.inside;
    for (size_t p = 0; p < n; p++) {
        const table_cubic *cubic = &cubics[(size_t)interval[p]];
        double t = inside[p];
        value[p] = cubic->c0 + t * (cubic->c1 + t * (cubic->c2 + t * cubic->c3));
    }
    for (size_t p = 0; slope != NULL && p < n; p++) {
        const table_cubic *cubic = &cubics[(size_t)interval[p]];
        double t = inside[p];
        slope[p] =
            (cubic->c1 + t * (2.0 * cubic->c2 + t * 3.0 * cubic->c3)) * place.by_normality[p];
    }
}
