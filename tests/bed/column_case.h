/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Columns at random states for the tests of this folder, set up by hand as bed.c does for a run,
 * and source terms with local states whose slopes are known. */
#ifndef BF_TESTS_BED_COLUMN_CASE_H
#define BF_TESTS_BED_COLUMN_CASE_H

#include "bed/column.h"
#include "bed/transport.h"
#include "resin/bead.h"
#include "resin/selectivity.h"
#include "simple_bed.h"
#include "support.h"

#include <math.h>
#include <string.h>

typedef struct column_choice {
    size_t cells, ions, shells; /* ions: 1, 2, 3, 5 or 9; shells of a class */
    size_t classes;             /* of bead sizes; 0 means 1 */
    bf__freeboard freeboard;
    bf_rate_law rate_law;
    bf_equilibrium_law equilibrium;
    int sources; /* 0: none; 1: one local state; 2: two; 3: one, none and two */
} column_choice;

typedef struct column_case {
    bf__column column;
    bf_selectivity *selectivity;
    double face_weight[BF__MAX_SHELLS];
    double shell_volume[BF__MAX_SHELLS];
    double depth_m[64];
    double *state;
    bf_source sources[3];
    size_t ions; /* context of the sources */
    size_t length;
} column_case;

/* ---- sources --------------------------------------------------------------------------------- */

/* One local state l: c_0 is eaten at k c_0 l (1 + z t) and by C c_0/(C + 70), l grows on the last
 * ion's water and decays with its square. */
static inline int feed_rate(void *context, double time_s, const bf_cells *cells,
                            const bf_rates *rates)
{
    const size_t last = *(const size_t *)context - 1;
    for (size_t j = 0; j < cells->count; j++) {
        double l = cells->local[0][j];
        double c = cells->pore[0][j];
        double normality = cells->normality[j];
        double lively = 1.0 + 0.3 * cells->depth_m[j] * time_s;
        rates->pore[0][j] -= 0.07 * c * l * lively + 0.02 * c * normality / (normality + 70.0);
        rates->local[0][j] += 0.011 * sqrt(cells->pore[last][j]) - 0.05 * l * l + 1e-5 * normality;
    }
    return 0;
}

static inline int feed_slope(void *context, double time_s, const bf_cells *cells,
                             double *const *block)
{
    const size_t e = *(const size_t *)context;
    const size_t width = 1 + e + 1;
    for (size_t j = 0; j < cells->count; j++) {
        double l = cells->local[0][j];
        double c = cells->pore[0][j];
        double sum = cells->normality[j] + 70.0;
        double lively = 1.0 + 0.3 * cells->depth_m[j] * time_s;
        block[0][j] -= 0.02 * c * 70.0 / (sum * sum);
        block[1][j] -= 0.07 * l * lively + 0.02 * cells->normality[j] / sum;
        block[1 + e][j] -= 0.07 * c * lively;
        block[e * width][j] += 1e-5;
        block[e * width + e][j] += 0.011 * 0.5 / sqrt(cells->pore[e - 1][j]);
        block[e * width + 1 + e][j] -= 0.1 * l;
    }
    return 0;
}

/* Two local states p, q that turn into each other: p' = 0.03 c_last - 0.2 p q, q' = 0.2 p q -
 * 0.04 q^2 C/100; the last ion loses 0.03 c_last and c_0 gains 0.01 q^2. */
static inline int turnover_rate(void *context, double time_s, const bf_cells *cells,
                                const bf_rates *rates)
{
    (void)time_s;
    const size_t last = *(const size_t *)context - 1;
    for (size_t j = 0; j < cells->count; j++) {
        double p = cells->local[0][j];
        double q = cells->local[1][j];
        double eaten = 0.03 * cells->pore[last][j];
        rates->pore[last][j] -= eaten;
        rates->pore[0][j] += 0.01 * q * q;
        rates->local[0][j] += eaten - 0.2 * p * q;
        rates->local[1][j] += 0.2 * p * q - 0.0004 * q * q * cells->normality[j];
    }
    return 0;
}

static inline int turnover_slope(void *context, double time_s, const bf_cells *cells,
                                 double *const *block)
{
    (void)time_s;
    const size_t e = *(const size_t *)context;
    const size_t width = 1 + e + 2;
    for (size_t j = 0; j < cells->count; j++) {
        double p = cells->local[0][j];
        double q = cells->local[1][j];
        block[(e - 1) * width + e][j] -= 0.03;
        block[2 + e][j] += 0.02 * q;
        block[e * width + e][j] += 0.03;
        block[e * width + 1 + e][j] -= 0.2 * q;
        block[e * width + 2 + e][j] -= 0.2 * p;
        block[(e + 1) * width][j] -= 0.0004 * q * q;
        block[(e + 1) * width + 1 + e][j] += 0.2 * q;
        block[(e + 1) * width + 2 + e][j] += 0.2 * p - 0.0008 * q * cells->normality[j];
    }
    return 0;
}

/* No local state and no slope: a rate that does not depend on the state. */
static inline int drip_rate(void *context, double time_s, const bf_cells *cells,
                            const bf_rates *rates)
{
    (void)context;
    for (size_t j = 0; j < cells->count; j++) {
        rates->pore[0][j] += 1e-4 * (1.0 + cells->depth_m[j] + time_s);
    }
    return 0;
}

static inline void choose_sources(column_case *product, int sources)
{
    const bf_source feed = {.name = "feed",
                            .local_count = 1,
                            .local_tolerance = 1e-6,
                            .context = &product->ions,
                            .rate = feed_rate,
                            .slope = feed_slope};
    const bf_source turnover = {.name = "turnover",
                                .local_count = 2,
                                .local_tolerance = 1e-6,
                                .context = &product->ions,
                                .rate = turnover_rate,
                                .slope = turnover_slope};
    const bf_source drip = {.name = "drip", .rate = drip_rate};
    bf__column *column = &product->column;
    if (sources == 1 || sources == 3) {
        product->sources[column->source_count++] = feed;
    }
    if (sources == 3) {
        product->sources[column->source_count++] = drip;
    }
    if (sources == 2 || sources == 3) {
        product->sources[column->source_count++] = turnover;
    }
    for (size_t s = 0; s < column->source_count; s++) {
        column->layout.locals += product->sources[s].local_count;
    }
    column->sources = product->sources;
}

/* ---- columns --------------------------------------------------------------------------------- */

static inline bf_ion_set column_ions(size_t count)
{
    static const bf_ion nine[] = {BF_ION_CA, BF_ION_MG, BF_ION_FE,  BF_ION_MN, BF_ION_SR,
                                  BF_ION_BA, BF_ION_K,  BF_ION_NH4, BF_ION_H};
    bf_ion_set set = {.count = count};
    memcpy(set.ion, nine, count * sizeof *nine);
    if (count == 3 || count == 5) {
        set.ion[count - 1] = BF_ION_K; /* the blend of tables takes part */
    }
    return set;
}

static inline bf_selectivity *column_equilibrium(size_t ions, bf_equilibrium_law law)
{
    bf_error err = {0};
    bf_selectivity_spec spec = {.law = law,
                                .ions = column_ions(ions),
                                .total_capacity_eq_per_m3 = 2000.0,
                                .temperature_K = 291.4};
    for (size_t i = 0; i < BF_CATION_COUNT; i++) {
        int divalent = bf_ion_get((bf_ion)i)->charge == 2;
        double spread = 1.0 + 0.13 * (double)i;
        switch (law) {
        case BF_EQUILIBRIUM_MASS_ACTION: spec.constant[i] = (divalent ? 14.0 : 1.2) * spread; break;
        case BF_EQUILIBRIUM_MASS_ACTION_IDEAL:
            spec.constant[i] = (divalent ? 2.1 : 1.2) * spread;
            break;
        case BF_EQUILIBRIUM_SEPARATION_FACTOR: spec.constant[i] = 1.7 * spread; break;
        case BF_EQUILIBRIUM_LINEAR: spec.constant[i] = 0.05 * spread; break;
        }
    }
    bf_selectivity *product = NULL;
    assert_ok(bf_selectivity_create(&spec, &product, &err));
    return product;
}

/* Values in scale * [0.4, 1] whose neighbours, the one before the first included, differ by a
 * twentieth of that range at least: no stencil comes near a kink of the limiter. */
static inline void draw_row(unsigned long long *seed, size_t n, double before, double scale,
                            double *row)
{
    double last = before / scale;
    for (size_t k = 0; k < n; k++) {
        double value;
        do {
            value = 0.4 + 0.6 * support_uniform(seed);
        } while (fabs(value - last) < 0.03);
        row[k] = scale * value;
        last = value;
    }
}

static inline void draw_state(unsigned long long *seed, column_case *product)
{
    bf__column *column = &product->column;
    const bf__layout *sample = &column->layout;
    const size_t e = sample->ions;
    double scale = exp(log(5.0) + log(500.0) * support_uniform(seed)); /* 5 .. 2500 eq/m3 */
    double *freeboard = product->state + bf__layout_freeboard(sample);
    column->inlet_normality = scale * (0.4 + 0.6 * support_uniform(seed));
    freeboard[0] = scale * (0.4 + 0.6 * support_uniform(seed));
    double enters =
        column->freeboard == BF__FREEBOARD_BEFORE ? freeboard[0] : column->inlet_normality;
    draw_row(seed, sample->cells, enters, scale, product->state);
    for (size_t i = 0; i < e; i++) {
        double own = 0.35 * scale / (double)e; /* sum below 0.35/0.4 of C */
        column->inlet[i] = own * (0.4 + 0.6 * support_uniform(seed));
        freeboard[1 + i] = own * (0.4 + 0.6 * support_uniform(seed));
        enters = column->freeboard == BF__FREEBOARD_BEFORE ? freeboard[1 + i] : column->inlet[i];
        draw_row(seed, sample->cells, enters, own, product->state + bf__layout_pore(sample, i));
    }
    for (size_t m = 0; m < sample->shells; m++) {
        for (size_t k = 0; k < sample->cells; k++) {
            double part[BF__MAX_IONS + 1];
            double sum = 0.0;
            for (size_t i = 0; i <= e; i++) {
                part[i] = 0.15 + support_uniform(seed);
                sum += part[i];
            }
            for (size_t i = 0; i < e; i++) {
                product->state[bf__layout_shell(sample, m, i) + k] = part[i] / sum;
            }
        }
    }
    for (size_t l = 0; l < sample->locals; l++) {
        for (size_t k = 0; k < sample->cells; k++) {
            product->state[bf__layout_local(sample, l) + k] = 0.2 + support_uniform(seed);
        }
    }
}

/* `selectivity` is borrowed; its law is choice->equilibrium. */
static inline void column_case_create(const column_choice *choice, bf_selectivity *selectivity,
                                      unsigned long long *seed, column_case *product)
{
    memset(product, 0, sizeof *product);
    bf__column *column = &product->column;
    bf__layout *sample = &column->layout;
    const bf_resin resin = simple_resin();
    product->selectivity = selectivity;
    product->ions = choice->ions;
    sample->cells = choice->cells;
    sample->stride = bf__layout_stride(choice->cells);
    sample->ions = choice->ions;
    sample->classes = choice->classes > 1 ? choice->classes : 1;
    sample->shells = sample->classes * choice->shells;
    choose_sources(product, choice->sources);

    column->selectivity = selectivity;
    column->ions = bf__selectivity_ions(selectivity);
    column->rate_law = choice->rate_law;
    column->void_fraction = resin.void_fraction;
    column->total_capacity_eq_per_m3 = resin.total_capacity_eq_per_m3;
    for (size_t i = 0; i <= sample->ions; i++) {
        bf_ion ion = i < sample->ions ? column->ions->ion[i] : BF_ION_NA;
        column->diffusivity[i] = bf_resin_diffusivity_m2_per_s(&resin, ion, 291.4);
        column->charge[i] = bf_ion_get(ion)->charge;
        if (i < sample->ions) {
            column->is_hardness[i] = bf_ion_is_hardness(ion) ? 1.0 : 0.0;
        }
    }
    for (size_t grade = 0; grade < sample->classes; grade++) {
        double *volume = product->shell_volume + grade * choice->shells;
        double *weight = product->face_weight + grade * choice->shells;
        double share =
            2.0 * (double)(grade + 1) / (double)(sample->classes * (sample->classes + 1));
        bf__bead_ladder(BF_SHELLS_MATCHED, choice->shells,
                        resin.bead_diameter_m * (1.0 + 0.4 * (double)grade), volume, weight);
        for (size_t m = 0; m < choice->shells; m++) {
            volume[m] *= share;
            weight[m] *= share;
        }
    }
    column->face_weight = product->face_weight;
    column->shell_volume = product->shell_volume;

    const double cell_m = 0.8 / (double)sample->cells;
    const double u = 1e-3 * (0.5 + 5.0 * support_uniform(seed));
    column->advance_per_s = u / (column->void_fraction * cell_m);
    column->spread_per_s = 1e-5 * support_uniform(seed) / (cell_m * cell_m);
    column->inlet_weight = bf__transport_inlet_weight(column->advance_per_s, column->spread_per_s);
    column->bed_volumes_per_s = u / 0.8;
    column->freeboard = choice->freeboard;
    column->flush_per_s = u / 0.37;
    for (size_t i = 0; i < sample->ions; i++) {
        double film = 0.05 + 0.2 * support_uniform(seed);
        if (choice->rate_law == BF_RATE_LINEAR_DRIVING_FORCE ||
            choice->rate_law == BF_RATE_REACTION) {
            film *= 0.1;
        }
        if (choice->rate_law == BF_RATE_BEAD || choice->rate_law == BF_RATE_EQUILIBRIUM) {
            film *= 1e4; /* "at once" */
        }
        for (size_t grade = 0; grade < sample->classes; grade++) {
            column->transfer_per_s[grade][i] = film / (double)(1 + grade);
        }
    }
    ck_assert_uint_le(sample->cells, sizeof product->depth_m / sizeof *product->depth_m);
    for (size_t k = 0; k < sample->cells; k++) {
        product->depth_m[k] = ((double)k + 0.5) * cell_m;
    }
    column->depth_m = product->depth_m;
    column->work = calloc(bf__column_work_size(sample), sizeof(double));
    product->length = bf__layout_length(sample);
    product->state = calloc(product->length, sizeof(double));
    ck_assert_ptr_nonnull(column->work);
    ck_assert_ptr_nonnull(product->state);
    draw_state(seed, product);
}

static inline void column_case_free(column_case *product)
{
    free(product->column.work);
    free(product->state);
}

/* Places of the state vector that are unknowns, in order; the rest is padding of rows. */
static inline size_t column_unknowns(const bf__layout *sample, size_t *place)
{
    size_t count = 0;
    for (size_t row = 0; row < bf__layout_rows(sample); row++) {
        for (size_t k = 0; k < sample->cells; k++) {
            place[count++] = row * sample->stride + k;
        }
    }
    for (size_t tail = bf__layout_freeboard(sample); tail < bf__layout_length(sample); tail++) {
        place[count++] = tail;
    }
    return count;
}

/* The scale of each unknown, over which the rate is smooth: a fraction can come to nothing, a
 * concentration to its neighbour's. */
static inline double column_scale(const column_case *sample, size_t place)
{
    const bf__layout *layout = &sample->column.layout;
    double value = fabs(sample->state[place]);
    if (place < bf__layout_shell(layout, 0, 0) ||
        (place >= bf__layout_freeboard(layout) && place < bf__layout_effluent(layout))) {
        return 0.03 * value;
    }
    return place >= bf__layout_effluent(layout) ? 1.0 : 0.5 * value;
}

/* Column `place` of the Jacobian by differences of fourth order. */
static inline void column_slope(const column_case *sample, double time_s, size_t place,
                                double *slope)
{
    const size_t length = sample->length;
    const double h = 1e-3 * column_scale(sample, place);
    double *rates = calloc(4 * length, sizeof *rates);
    double *moved = calloc(length, sizeof *moved);
    ck_assert_ptr_nonnull(rates);
    ck_assert_ptr_nonnull(moved);
    memcpy(moved, sample->state, length * sizeof *moved);
    double f_step[4] = {-2.0 * h, -h, h, 2.0 * h};
    for (int q = 0; q < 4; q++) {
        moved[place] = sample->state[place] + f_step[q];
        f_step[q] = moved[place] - sample->state[place]; /* as stored */
        ck_assert_int_eq(
            bf__column_rate(&sample->column, time_s, moved, rates + (size_t)q * length), 0);
    }
    for (size_t k = 0; k < length; k++) {
        slope[k] = (8.0 * (rates[2 * length + k] - rates[length + k]) -
                    (rates[3 * length + k] - rates[k])) /
                   (12.0 * h);
    }
    free(rates);
    free(moved);
}

#endif
