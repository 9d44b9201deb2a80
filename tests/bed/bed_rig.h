/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the tests of a bed through its public face share: equilibria, flows, a bed already loaded, a
 * source that does nothing, a watcher that keeps a book. */
#ifndef BF_TESTS_BED_BED_RIG_H
#define BF_TESTS_BED_BED_RIG_H

#include "brinefront/bed.h"
#include "simple_bed.h"
#include "support.h"

#include <math.h>
#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof *(array))

static const bf_fluid water_20C = {.density_kg_per_m3 = 998.2, .viscosity_Pa_s = 1.002e-3};

static const bf_ion nine_ions[] = {BF_ION_CA, BF_ION_MG, BF_ION_FE,  BF_ION_MN, BF_ION_SR,
                                   BF_ION_BA, BF_ION_K,  BF_ION_NH4, BF_ION_H};

/* The first so many of them. */
static inline bf_selectivity *equilibrium(bf_equilibrium_law law, size_t ions)
{
    bf_error err = {0};
    bf_resin resin = simple_resin();
    bf_selectivity_spec spec = {.law = law,
                                .ions = {.count = ions},
                                .total_capacity_eq_per_m3 = resin.total_capacity_eq_per_m3,
                                .temperature_K = 293.15};
    memcpy(spec.ions.ion, nine_ions, ions * sizeof *nine_ions);
    for (size_t i = 0; i < BF_CATION_COUNT; i++) {
        double k = resin.selectivity[i];
        int divalent = bf_ion_get((bf_ion)i)->charge == 2;
        spec.constant[i] = law != BF_EQUILIBRIUM_MASS_ACTION && divalent ? k * 2.6 / 18.0 : k;
    }
    bf_selectivity *product = NULL;
    assert_ok(bf_selectivity_create(&spec, &product, &err));
    return product;
}

static inline bf_bed *build(const bf_bed_spec *spec, const bf_selectivity *selectivity)
{
    bf_error err = {0};
    bf_bed *product = NULL;
    assert_ok(bf_bed_create(spec, selectivity, &product, &err));
    return product;
}

/* Hard water, 8 eq/m3 of hardness in 10, downward at 20 bed volumes an hour of the default bed. */
static inline bf_flow service(double bed_volumes)
{
    bf_flow flow = {.direction = BF_FLOW_DOWN,
                    .velocity_m_per_s = 20.0 * 0.76 / 3600.0,
                    .duration_s = bed_volumes * 180.0,
                    .inlet_eq_per_m3 = {[BF_ION_NA] = 2.0, [BF_ION_CA] = 5.3, [BF_ION_MG] = 2.7},
                    .fluid = water_20C,
                    .end_hardness_eq_per_m3 = (double)NAN};
    return flow;
}

/* Brine of 10 % NaCl, 4 bed volumes an hour. Density and viscosity at 20 C: handbooks. */
static inline bf_flow brine(double bed_volumes)
{
    bf_flow flow = {.direction = BF_FLOW_DOWN,
                    .velocity_m_per_s = 4.0 * 0.76 / 3600.0,
                    .duration_s = bed_volumes * 900.0,
                    .inlet_eq_per_m3 = {[BF_ION_NA] = 1830.0, [BF_ION_CA] = 1.1},
                    .fluid = {.density_kg_per_m3 = 1070.7, .viscosity_Pa_s = 1.193e-3},
                    .end_hardness_eq_per_m3 = (double)NAN};
    return flow;
}

static inline bf_passage run(bf_bed *bed, const bf_flow *flow)
{
    bf_error err = {0};
    bf_passage passage;
    assert_ok(bf_bed_run(bed, flow, &passage, &err));
    return passage;
}

/* An unevenly loaded bed. */
static inline bf_bed *loaded(const bf_bed_spec *spec, const bf_selectivity *selectivity,
                             double volumes)
{
    bf_bed *bed = build(spec, selectivity);
    bf_flow flow = service(volumes);
    (void)run(bed, &flow);
    return bed;
}

static inline int stand_still(void *context, double time_s, const bf_cells *cells,
                              const bf_rates *rates)
{
    (void)context, (void)time_s, (void)cells, (void)rates;
    return 0;
}

typedef struct journal {
    size_t count;
    double time_s, bed_volumes, hardness, lowest;
    double integral; /* trapezoids of hardness over bed volumes */
    double velocity_over_depth;
    double passed_half; /* bed volumes at which hardness first rose through 5 eq/m3 */
} journal;

static inline void write_down(void *context, const bf_moment *moment)
{
    journal *book = context;
    ck_assert_double_gt(moment->time_s, book->time_s);
    assert_near(moment->bed_volumes, moment->time_s * book->velocity_over_depth, 1e-14);
    double sum = 0.0;
    for (size_t i = 0; i < BF_CATION_COUNT; i++) {
        sum += moment->effluent_eq_per_m3[i];
    }
    for (size_t i = BF_CATION_COUNT; i < BF_ION_COUNT; i++) {
        ck_assert(moment->effluent_eq_per_m3[i] == 0.0);
    }
    assert_near(sum, moment->normality_eq_per_m3, 1e-13);
    assert_near_abs(moment->hardness_eq_per_m3,
                    moment->effluent_eq_per_m3[BF_ION_CA] + moment->effluent_eq_per_m3[BF_ION_MG],
                    1e-13);
    double step = moment->bed_volumes - book->bed_volumes;
    book->integral += 0.5 * step * (moment->hardness_eq_per_m3 + book->hardness);
    if (book->hardness < 5.0 && moment->hardness_eq_per_m3 >= 5.0) {
        book->passed_half = book->bed_volumes + step * (5.0 - book->hardness) /
                                                    (moment->hardness_eq_per_m3 - book->hardness);
    }
    book->lowest = fmin(book->lowest, moment->hardness_eq_per_m3);
    book->time_s = moment->time_s;
    book->bed_volumes = moment->bed_volumes;
    book->hardness = moment->hardness_eq_per_m3;
    book->count++;
}

static inline void open_book(bf_flow *flow, double depth_m, double hardness, journal *book)
{
    journal empty = {.hardness = hardness,
                     .lowest = hardness,
                     .velocity_over_depth = flow->velocity_m_per_s / depth_m,
                     .passed_half = (double)NAN};
    *book = empty;
    flow->observe = write_down;
    flow->context = book;
}

#endif
