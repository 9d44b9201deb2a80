/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Iron as a source of the bed: its slopes against differences, its accounts of iron, oxygen,
 * alkalinity and charge over a service run, and what it comes to where a closed form exists. */
#include "brinefront/convert.h"
#include "brinefront/fouling.h"
#include "brinefront/iron_source.h"
#include "simple_bed.h"
#include "support.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof *(array))

enum { CELLS = 20, IONS = 4, SHELLS = 3, WIDE = 1 + IONS + BF_IRON_LOCALS };

static const bf_ion_set ions = {.count = IONS, .ion = {BF_ION_CA, BF_ION_MG, BF_ION_FE, BF_ION_K}};
static const size_t iron_at = 2;
static const bf_fluid water_20C = {.density_kg_per_m3 = 998.2, .viscosity_Pa_s = 1.002e-3};
static const double velocity = 20.0 * 0.76 / 3600.0; /* 20 bed volumes an hour */

/* 2.8 mg/L of iron in hard water. */
static const double feed[BF_ION_COUNT] = {
    [BF_ION_NA] = 1.9, [BF_ION_CA] = 2.6, [BF_ION_MG] = 1.4, [BF_ION_FE] = 0.1, [BF_ION_K] = 0.05};

static bf_bed_spec bed_spec(void)
{
    bf_bed_spec spec = simple_bed();
    spec.cells = CELLS;
    spec.shells = SHELLS;
    spec.temperature_K = 285.15;
    return spec;
}

/* A water that fouls within a day, so that every term counts. */
static bf_iron_water harsh(void)
{
    bf_iron_water water = bf_iron_water_default();
    water.pH = 7.9;
    water.oxygen_mol_per_m3 = 3.0 / BF_OXYGEN_G_PER_MOL;
    water.colloidal_iron_g_per_m3 = 0.4;
    return water;
}

static bf_iron_source *source_of(const bf_iron_spec *spec, const bf_iron_water *water,
                                 const bf_bed_spec *bed)
{
    bf_error err = {0};
    bf_iron_source *product = NULL;
    assert_ok(bf_iron_source_create(spec, water, bed, &ions, &product, &err));
    assert_ok(bf_iron_source_set_velocity(product, velocity, &err));
    return product;
}

static bf_selectivity *equilibrium(void)
{
    bf_error err = {0};
    bf_resin resin = simple_resin();
    bf_selectivity_spec spec = {.law = BF_EQUILIBRIUM_MASS_ACTION,
                                .ions = ions,
                                .total_capacity_eq_per_m3 = resin.total_capacity_eq_per_m3,
                                .temperature_K = 285.15};
    memcpy(spec.constant, resin.selectivity, sizeof spec.constant);
    bf_selectivity *product = NULL;
    assert_ok(bf_selectivity_create(&spec, &product, &err));
    return product;
}

/* ---- slopes ---------------------------------------------------------------------------------- */

/* A state of the source and where its rates go, as a bed hands them over. */
typedef struct picture {
    double value[1 + IONS + SHELLS * IONS + BF_IRON_LOCALS][CELLS];
    const double *pore[IONS], *shell[SHELLS * IONS], *local[BF_IRON_LOCALS];
} picture;

enum { SHELL_ROW = 1 + IONS, LOCAL_ROW = SHELL_ROW + SHELLS * IONS };

static bf_cells look(picture *p)
{
    for (size_t i = 0; i < IONS; i++) {
        p->pore[i] = p->value[1 + i];
    }
    for (size_t s = 0; s < (size_t)SHELLS * IONS; s++) {
        p->shell[s] = p->value[SHELL_ROW + s];
    }
    for (size_t l = 0; l < BF_IRON_LOCALS; l++) {
        p->local[l] = p->value[LOCAL_ROW + l];
    }
    static const double share[SHELLS] = {0.19, 0.34, 0.47}; /* any that sum to 1 */
    return (bf_cells){.count = CELLS,
                      .ions = IONS,
                      .shells = SHELLS,
                      .shell_share = share,
                      .normality = p->value[0],
                      .pore = p->pore,
                      .shell = p->shell,
                      .local = p->local};
}

static void draw(unsigned long long *seed, picture *p)
{
    for (size_t j = 0; j < CELLS; j++) {
        double sum = 0.0;
        for (size_t i = 0; i < IONS; i++) {
            p->value[1 + i][j] = 0.2 + 2.0 * support_uniform(seed);
            sum += p->value[1 + i][j];
        }
        p->value[0][j] = sum + 0.1 + 3.0 * support_uniform(seed);
        for (size_t s = 0; s < (size_t)SHELLS * IONS; s++) {
            p->value[SHELL_ROW + s][j] = 0.2 * support_uniform(seed);
        }
        for (size_t l = 0; l < BF_IRON_LOCALS; l++) {
            p->value[LOCAL_ROW + l][j] = 1.0 + 60.0 * support_uniform(seed);
        }
    }
}

static void rates_of(const bf_source *term, picture *p, picture *goal)
{
    double *pore[IONS];
    double *shell[SHELLS * IONS];
    double *local[BF_IRON_LOCALS];
    memset(goal->value, 0, sizeof goal->value);
    for (size_t i = 0; i < IONS; i++) {
        pore[i] = goal->value[1 + i];
    }
    for (size_t s = 0; s < (size_t)SHELLS * IONS; s++) {
        shell[s] = goal->value[SHELL_ROW + s];
    }
    for (size_t l = 0; l < BF_IRON_LOCALS; l++) {
        local[l] = goal->value[LOCAL_ROW + l];
    }
    bf_rates rates = {.normality = goal->value[0], .pore = pore, .shell = shell, .local = local};
    bf_cells cells = look(p);
    ck_assert_int_eq(term->rate(term->context, 0.0, &cells, &rates), 0);
}

/* Row of the picture that a face state (pore water, then local states) stands in. */
static size_t face_row(size_t face)
{
    return face < IONS ? 1 + face : LOCAL_ROW + face - IONS;
}

/* Central differences over a thousandth of each state, Richardson's next order: their own error is
 * near 1e-11 of a row's largest slope times its state. */
START_TEST(slopes_agree_with_differences)
{
    static double store[(WIDE - 1) * WIDE][CELLS];
    static picture setup;
    static picture moved;
    static picture rate[4];
    unsigned long long seed = 20;
    bf_bed_spec bed = bed_spec();
    bf_iron_spec spec = bf_iron_spec_default();
    bf_iron_water water = harsh();
    water.pH = 8.4;
    bf_iron_source *source = source_of(&spec, &water, &bed);
    bf_source term = bf_iron_source_term(source);
    double worst = 0.0;
    size_t met = 0;
    for (int round = 0; round < 10; round++) {
        double *block[(WIDE - 1) * WIDE];
        memset(store, 0, sizeof store);
        for (size_t r = 0; r < (WIDE - 1) * WIDE; r++) {
            block[r] = store[r];
        }
        draw(&seed, &setup);
        bf_cells cells = look(&setup);
        ck_assert_int_eq(term.slope(term.context, 0.0, &cells, block), 0);
        for (size_t j = 0; j < CELLS; j += 1 + (size_t)(3.0 * support_uniform(&seed))) {
            for (size_t c = 0; c < WIDE; c++) {
                const size_t row = c == 0 ? 0 : face_row(c - 1);
                const double h = 1e-3 * setup.value[row][j];
                const double steps[] = {-2.0 * h, -h, h, 2.0 * h};
                for (size_t q = 0; q < 4; q++) {
                    moved = setup;
                    moved.value[row][j] += steps[q];
                    rates_of(&term, &moved, &rate[q]);
                }
                for (size_t r = 0; r + 1 < WIDE; r++) {
                    const size_t goal = face_row(r);
                    double means = (8.0 * (rate[2].value[goal][j] - rate[1].value[goal][j]) -
                                    (rate[3].value[goal][j] - rate[0].value[goal][j])) /
                                   (12.0 * h);
                    double scale = fabs(rate[1].value[goal][j] / setup.value[row][j]) + 1e-300;
                    double off = fabs(store[r * WIDE + c][j] - means) / scale;
                    ck_assert_msg(off < 1e-8, "row %zu by column %zu: %g, differences %g", r, c,
                                  store[r * WIDE + c][j], means);
                    worst = fmax(worst, off);
                    met += fabs(means) > 1e-6 * scale;
                }
            }
        }
    }
    printf("slopes: worst miss %.1e of rate over state, %zu of them not nil\n", worst, met);
    ck_assert_uint_gt(met, 1000);
    bf_iron_source_free(source);
}
END_TEST

/* Every mole that oxidises takes its oxygen, alkalinity and charge, cell by cell and in sum, at any
 * state. Sums of some twenty terms: rounding, 1e-12. */
START_TEST(rates_balance_at_any_state)
{
    static picture setup;
    static picture rate;
    unsigned long long seed = 3;
    bf_bed_spec bed = bed_spec();
    bf_iron_spec spec = bf_iron_spec_default();
    bf_iron_water water = harsh();
    bf_iron_source *source = source_of(&spec, &water, &bed);
    bf_source term = bf_iron_source_term(source);
    const double per_s = velocity / 0.76; /* bed volumes */
    const double suspended = water.colloidal_iron_g_per_m3 / 55.845;
    for (int round = 0; round < 20; round++) {
        draw(&seed, &setup);
        for (size_t m = 0; m < SHELLS; m++) { /* a uniform bead: its mean needs no shares */
            memcpy(setup.value[SHELL_ROW + m * IONS + iron_at], setup.value[SHELL_ROW + iron_at],
                   sizeof setup.value[0]);
        }
        rates_of(&term, &setup, &rate);
        double in_water = 0.0;
        double on_resin = 0.0;
        double charge = 0.0;
        double deposit = 0.0;
        for (size_t j = 0; j < CELLS; j++) {
            double from_water = -0.5 * 0.38 * rate.value[1 + iron_at][j];
            double from_resin = -0.5 * 2000.0 * rate.value[SHELL_ROW + iron_at][j];
            assert_near(-0.38 * rate.value[0][j], 2.0 * (from_water + from_resin), 1e-12);
            in_water += from_water / CELLS;
            on_resin += from_resin / CELLS;
            charge -= 0.38 * rate.value[0][j] / CELLS;
            deposit += (rate.value[LOCAL_ROW + BF_IRON_LOOSE][j] +
                        rate.value[LOCAL_ROW + BF_IRON_BOUND][j]) /
                       CELLS;
            for (size_t i = 0; i < IONS; i++) { /* the others are left alone */
                ck_assert(i == iron_at || rate.value[1 + i][j] == 0.0);
            }
        }
        double oxidised = in_water + on_resin;
        const double *out[] = {rate.value[LOCAL_ROW + BF_IRON_OXYGEN_OUT],
                               rate.value[LOCAL_ROW + BF_IRON_SUSPENDED_OUT],
                               rate.value[LOCAL_ROW + BF_IRON_ALKALINITY_OUT]};
        double oxygen = per_s * water.oxygen_mol_per_m3 - out[0][CELLS - 1] / CELLS;
        double floc = per_s * suspended - out[1][CELLS - 1] / CELLS;
        double alkalinity = per_s * water.alkalinity_eq_per_m3 - out[2][CELLS - 1] / CELLS;
        ck_assert(in_water > 0.0 && on_resin > 0.0);
        assert_near(oxygen, 0.25 * oxidised, 1e-12);
        assert_near(alkalinity, 2.0 * oxidised, 1e-11); /* a difference of larger numbers */
        assert_near(deposit, floc + oxidised, 1e-11);
        assert_near(charge, 2.0 * oxidised, 1e-12);
        ck_assert(out[0][CELLS - 1] >= 0.0);
    }
    bf_iron_source_free(source);
}
END_TEST

/* ---- runs ------------------------------------------------------------------------------------ */

typedef struct rig {
    bf_selectivity *selectivity;
    bf_iron_source *source;
    bf_bed *bed;
} rig;

static rig build(const bf_iron_water *water, int with_source, double uniformity)
{
    bf_error err = {0};
    rig product = {.selectivity = equilibrium()};
    bf_iron_spec spec = bf_iron_spec_default();
    bf_bed_spec bed = bed_spec();
    bed.relative_tolerance = 1e-6;
    bed.resin.uniformity_coefficient = uniformity;
    product.source = source_of(&spec, water, &bed);
    bf_source term = bf_iron_source_term(product.source);
    if (with_source) {
        bed.sources = &term;
        bed.source_count = 1;
    }
    assert_ok(bf_bed_create(&bed, product.selectivity, &product.bed, &err));
    return product;
}

static void take_down(rig *product)
{
    bf_bed_free(product->bed);
    bf_iron_source_free(product->source);
    bf_selectivity_free(product->selectivity);
}

static bf_passage run(bf_bed *bed, double bed_volumes, bf_direction direction)
{
    bf_error err = {0};
    bf_passage passage;
    bf_flow flow = {.direction = direction,
                    .velocity_m_per_s = velocity,
                    .duration_s = bed_volumes * 180.0,
                    .fluid = water_20C,
                    .end_hardness_eq_per_m3 = (double)NAN};
    memcpy(flow.inlet_eq_per_m3, feed, sizeof feed);
    assert_ok(bf_bed_run(bed, &flow, &passage, &err));
    return passage;
}

static double mean_local(const bf_bed *bed, bf_iron_local which)
{
    bf_error err = {0};
    double values[CELLS];
    double sum = 0.0;
    assert_ok(bf_bed_local(bed, which, values, &err));
    for (size_t k = 0; k < CELLS; k++) {
        sum += values[k] / CELLS;
    }
    return sum;
}

static double total(const double *per_ion)
{
    double sum = 0.0;
    for (size_t i = 0; i < BF_CATION_COUNT; i++) {
        sum += per_ion[i];
    }
    return sum;
}

/* Service runs of 150 bed volumes: what the bed's own accounts of iron and of all cations
 * lack has become deposit and floc, and took its oxygen and alkalinity. BDF keeps such sums up to
 * the residual that Newton's iteration leaves, since slopes of shells and between cells are left
 * out: relative tolerance 1e-6 and Newton's tenth of it leave 1e-7 of a term; terms are up to 100
 * times the difference. */
START_TEST(a_service_run_keeps_its_accounts)
{
    bf_iron_water water = harsh();
    const struct {
        const char *name;
        bf_direction direction;
        double uniformity; /* beads of one size, and of several: their shells have other shares */
    } rows[] = {{"down", BF_FLOW_DOWN, 1.0},
                {"up", BF_FLOW_UP, 1.0},
                {"down, beads of three sizes", BF_FLOW_DOWN, 1.6}};
    for (size_t w = 0; w < COUNT(rows); w++) {
        rig setup = build(&water, 1, rows[w].uniformity);
        const double passed = 150.0;
        bf_passage passage = run(setup.bed, passed, rows[w].direction);
        double deposit =
            mean_local(setup.bed, BF_IRON_LOOSE) + mean_local(setup.bed, BF_IRON_BOUND);
        double floc_in = passed * water.colloidal_iron_g_per_m3 / 55.845;
        double oxidised = deposit + mean_local(setup.bed, BF_IRON_SUSPENDED_OUT) - floc_in;
        double iron = 0.5 * (passage.in_eq_per_m3[BF_ION_FE] - passage.out_eq_per_m3[BF_ION_FE] -
                             passage.stored_eq_per_m3[BF_ION_FE]);
        double charge = total(passage.in_eq_per_m3) - total(passage.out_eq_per_m3) -
                        total(passage.stored_eq_per_m3);
        double oxygen =
            passed * water.oxygen_mol_per_m3 - mean_local(setup.bed, BF_IRON_OXYGEN_OUT);
        double alkalinity =
            passed * water.alkalinity_eq_per_m3 - mean_local(setup.bed, BF_IRON_ALKALINITY_OUT);
        printf("%s: oxidised %.6f mol/m3, loose %.4f, bound %.4f; off by %.1e (iron), %.1e "
               "(charge), %.1e (oxygen), %.1e (alkalinity); %ld steps\n",
               rows[w].name, oxidised, mean_local(setup.bed, BF_IRON_LOOSE),
               mean_local(setup.bed, BF_IRON_BOUND), iron / oxidised - 1.0,
               0.5 * charge / oxidised - 1.0, 4.0 * oxygen / oxidised - 1.0,
               0.5 * alkalinity / oxidised - 1.0, passage.steps);
        ck_assert_double_gt(oxidised, 0.1);
        assert_near(iron, oxidised, 1e-5);
        assert_near(0.5 * charge, oxidised, 1e-5);
        assert_near(4.0 * oxygen, oxidised, 1e-5);
        assert_near(0.5 * alkalinity, oxidised, 1e-5);
        take_down(&setup);
    }
}
END_TEST

/* Without oxygen and floc the source does nothing: the run is that of a bed without it, but for
 * local states that take part in the step size: ten tolerances. */
START_TEST(without_oxygen_nothing_happens)
{
    bf_iron_water water = harsh();
    water.oxygen_mol_per_m3 = 0.0;
    water.colloidal_iron_g_per_m3 = 0.0;
    rig choice = build(&water, 1, 1.0);
    rig without = build(&water, 0, 1.0);
    bf_passage a = run(choice.bed, 150.0, BF_FLOW_DOWN);
    bf_passage b = run(without.bed, 150.0, BF_FLOW_DOWN);
    ck_assert(mean_local(choice.bed, BF_IRON_LOOSE) == 0.0);
    ck_assert(mean_local(choice.bed, BF_IRON_BOUND) == 0.0);
    for (size_t i = 0; i < BF_CATION_COUNT; i++) {
        assert_near_abs(a.out_eq_per_m3[i], b.out_eq_per_m3[i], 1e-5 * total(b.out_eq_per_m3));
    }
    take_down(&choice);
    take_down(&without);
}
END_TEST

/* Floc without oxygen: the bed catches the share of the closed form, 1 - exp(-lambda L); the march
 * is exact. Local states are kept to 1e-6 of themselves, over some hundred steps. */
START_TEST(floc_alone_is_filtered)
{
    bf_error err = {0};
    bf_iron_spec spec = bf_iron_spec_default();
    bf_iron_water water = harsh();
    water.oxygen_mol_per_m3 = 0.0;
    rig setup = build(&water, 1, 1.0);
    (void)run(setup.bed, 100.0, BF_FLOW_DOWN);
    double entered = 100.0 * water.colloidal_iron_g_per_m3 / 55.845;
    double caught = mean_local(setup.bed, BF_IRON_LOOSE) + mean_local(setup.bed, BF_IRON_BOUND);
    double expected = bf_iron_captured(bf_iron_filter_per_m(&spec, 0.6e-3, velocity), 0.76);
    printf("caught %.4f of the floc, closed form %.4f\n", caught / entered, expected);
    assert_near(caught / entered, expected, 1e-5);
    /* Some of it is bound by now, as first-order growth of a steady catch: 1 - (1 - e^-kt)/kt. */
    double kt = spec.binding_per_s * 100.0 * 180.0;
    assert_near(mean_local(setup.bed, BF_IRON_BOUND) / caught, 1.0 + expm1(-kt) / kt, 1e-4);
    double profile[CELLS];
    assert_ok(
        bf_iron_source_profile(setup.source, setup.bed, BF_FLOW_DOWN, NULL, profile, NULL, &err));
    for (size_t k = 0; k < CELLS; k++) {
        double depth = 0.76 * (double)(k + 1) / CELLS;
        assert_near(profile[k] * 55.845 / water.colloidal_iron_g_per_m3,
                    1.0 - bf_iron_captured(bf_iron_filter_per_m(&spec, 0.6e-3, velocity), depth),
                    1e-12);
    }
    take_down(&setup);
}
END_TEST

/* A bed in equilibrium with one water all along: oxygen falls as exp(-kappa z/u), which a march of
 * first order meets as (1 + kappa L/(u N))^-N. kappa is put together here from the laws. The
 * order of the cells follows the flow. */
START_TEST(oxygen_falls_as_the_laws_say)
{
    bf_error err = {0};
    bf_iron_spec spec = bf_iron_spec_default();
    bf_iron_water water = harsh();
    rig setup = build(&water, 1, 1.0);
    double resin[BF_ION_COUNT] = {
        [BF_ION_NA] = 0.3, [BF_ION_CA] = 0.4, [BF_ION_MG] = 0.27, [BF_ION_FE] = 0.03};
    assert_ok(bf_bed_fill(setup.bed, resin, feed, &err));
    double loose[CELLS];
    double bound[CELLS];
    for (size_t k = 0; k < CELLS; k++) {
        loose[k] = 0.7 / 0.055845; /* 0.7 and 2 g/L */
        bound[k] = 2.0 / 0.055845;
    }
    assert_ok(bf_bed_set_local(setup.bed, BF_IRON_LOOSE, loose, &err));
    assert_ok(bf_bed_set_local(setup.bed, BF_IRON_BOUND, bound, &err));
    double oxygen[CELLS];
    double alkalinity[CELLS];
    assert_ok(bf_iron_source_profile(setup.source, setup.bed, BF_FLOW_DOWN, oxygen, NULL,
                                     alkalinity, &err));
    double free_rate =
        bf_iron_oxidation_per_s(&spec, 285.15, water.pH, bf_oxygen_pressure_Pa(1.0, 285.15, 0.0));
    double on_deposit = bf_iron_surface_oxidation_per_s(&spec, water.pH, 1.0, 0.7 / 0.38);
    double ageing =
        bf_iron_ageing_per_s(&spec, free_rate, bf_iron_donnan_square(&spec, 1.95, 4.1), 2.0);
    double kappa = 0.25 * (0.38 * (free_rate + on_deposit) * 0.05 + ageing * 0.5 * 2000.0 * 0.03);
    double number = kappa * 0.76 / velocity;
    printf("kappa L/u %.4f: %.4f of the oxygen is left, in endless cells %.4f\n", number,
           oxygen[CELLS - 1] / water.oxygen_mol_per_m3, exp(-number));
    for (size_t k = 0; k < CELLS; k++) {
        double expected = pow(1.0 + number / CELLS, -(double)(k + 1));
        assert_near(oxygen[k] / water.oxygen_mol_per_m3, expected, 1e-10);
        assert_near(water.alkalinity_eq_per_m3 - alkalinity[k],
                    8.0 * (water.oxygen_mol_per_m3 - oxygen[k]), 1e-9);
    }
    double up[CELLS];
    assert_ok(bf_iron_source_profile(setup.source, setup.bed, BF_FLOW_UP, up, NULL, NULL, &err));
    for (size_t k = 0; k < CELLS; k++) {
        assert_near(up[k], oxygen[CELLS - 1 - k], 1e-12); /* the bed is uniform */
    }
    take_down(&setup);
}
END_TEST

START_TEST(what_cannot_be_is_refused)
{
    bf_error err = {0};
    bf_iron_source *source = NULL;
    bf_iron_spec spec = bf_iron_spec_default();
    bf_iron_water water = harsh();
    bf_bed_spec bed = bed_spec();
    const bf_ion_set without = {.count = 2, .ion = {BF_ION_CA, BF_ION_MG}};
    assert_fails(bf_iron_source_create(&spec, &water, &bed, &without, &source, &err), BF_E_RANGE,
                 "does not track iron");
    ck_assert_ptr_null(source);
    bf_iron_spec bad_spec = spec;
    bad_spec.ageing_factor = 11.0;
    assert_fails(bf_iron_source_create(&bad_spec, &water, &bed, &ions, &source, &err), BF_E_RANGE,
                 "ageing_factor");
    bf_iron_water bad_water = water;
    bad_water.pH = 4.0;
    assert_fails(bf_iron_source_create(&spec, &bad_water, &bed, &ions, &source, &err), BF_E_RANGE,
                 "pH");
    bf_bed_spec bad_bed = bed;
    bad_bed.cells = 2;
    assert_fails(bf_iron_source_create(&spec, &water, &bad_bed, &ions, &source, &err), BF_E_RANGE,
                 "cells");
    ck_assert_ptr_null(source);
    source = source_of(&spec, &water, &bed);
    const double velocities[] = {0.0, -1e-3, (double)NAN, (double)INFINITY};
    for (size_t i = 0; i < COUNT(velocities); i++) {
        assert_fails(bf_iron_source_set_velocity(source, velocities[i], &err), BF_E_RANGE,
                     "running water");
    }
    /* A profile of a bed of other cells, and of one that does not carry the states. */
    rig plain = build(&water, 0, 1.0);
    assert_fails(bf_iron_source_profile(source, plain.bed, BF_FLOW_DOWN, NULL, NULL, NULL, &err),
                 BF_E_RANGE, "local");
    bad_bed.cells = 21;
    bf_bed *other = NULL;
    assert_ok(bf_bed_create(&bad_bed, plain.selectivity, &other, &err));
    assert_fails(bf_iron_source_profile(source, other, BF_FLOW_DOWN, NULL, NULL, NULL, &err),
                 BF_E_RANGE, "21 cells");
    bf_bed_free(other);
    take_down(&plain);
    /* A water without cations is outside the domain: the integrator takes a shorter step. */
    static picture setup;
    static picture rate;
    unsigned long long seed = 9;
    draw(&seed, &setup);
    setup.value[0][7] = 0.0;
    bf_source term = bf_iron_source_term(source);
    bf_cells cells = look(&setup);
    double *rows[BF_IRON_LOCALS + SHELLS * IONS];
    for (size_t r = 0; r < COUNT(rows); r++) {
        rows[r] = rate.value[r];
    }
    bf_rates rates = {
        .normality = rate.value[LOCAL_ROW], .pore = rows, .shell = rows, .local = rows};
    ck_assert_int_eq(term.rate(term.context, 0.0, &cells, &rates), 1);
    bf_iron_source_free(source);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {slopes_agree_with_differences,    rates_balance_at_any_state,
                                  a_service_run_keeps_its_accounts, without_oxygen_nothing_happens,
                                  floc_alone_is_filtered,           oxygen_falls_as_the_laws_say,
                                  what_cannot_be_is_refused};
    return support_run("iron.source", tests, COUNT(tests), 120);
}
