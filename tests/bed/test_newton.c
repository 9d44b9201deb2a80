/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The two ways of solving a step against each other, at a tolerance where both must agree; the
 * order by cells that the banded way needs; and a bed taken over onto other cells. */
#include "bed/by_cell.h"
#include "brinefront/bed.h"
#include "simple_bed.h"
#include "support.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof *(array))

static const bf_fluid water_20C = {.density_kg_per_m3 = 998.2, .viscosity_Pa_s = 1.002e-3};
static const double cell_tolerance = 1e-6;

static bf_selectivity *equilibrium(void)
{
    bf_error err = {0};
    bf_resin resin = simple_resin();
    bf_selectivity_spec spec = {.law = BF_EQUILIBRIUM_MASS_ACTION,
                                .ions = {.count = 3, .ion = {BF_ION_CA, BF_ION_MG, BF_ION_K}},
                                .total_capacity_eq_per_m3 = resin.total_capacity_eq_per_m3,
                                .temperature_K = 293.15};
    memcpy(spec.constant, resin.selectivity, sizeof spec.constant);
    bf_selectivity *product = NULL;
    assert_ok(bf_selectivity_create(&spec, &product, &err));
    return product;
}

/* A local state that calcium feeds and that eats calcium: K l' = c - l, c' = -k l. */
static int scale_rate(void *context, double time_s, const bf_cells *cells, const bf_rates *rates)
{
    (void)context, (void)time_s;
    for (size_t j = 0; j < cells->count; j++) {
        rates->local[0][j] += 0.013 * (cells->pore[0][j] - cells->local[0][j]);
        rates->pore[0][j] -= 0.0007 * cells->local[0][j];
    }
    return 0;
}

static int scale_slope(void *context, double time_s, const bf_cells *cells, double *const *block)
{
    (void)context, (void)time_s;
    const size_t width = 1 + 4; /* C, three ions, one local state */
    for (size_t j = 0; j < cells->count; j++) {
        block[0 * width + 4][j] += -0.0007;
        block[3 * width + 1][j] += 0.013;
        block[3 * width + 4][j] += -0.013;
    }
    return 0;
}

static bf_bed *build(const bf_selectivity *selectivity, bf_solver solver, int with_source,
                     double uniformity)
{
    bf_error err = {0};
    bf_source source = {.name = "scale",
                        .local_count = 1,
                        .local_tolerance = 1e-7,
                        .rate = scale_rate,
                        .slope = scale_slope};
    bf_bed_spec spec = simple_bed();
    spec.cells = 13;
    spec.resin.uniformity_coefficient = uniformity;
    spec.shells = 2;
    spec.relative_tolerance = cell_tolerance;
    spec.hardness_tolerance_eq_per_m3 = 1e-8;
    spec.solver = solver;
    spec.sources = with_source ? &source : NULL;
    spec.source_count = with_source ? 1 : 0;
    bf_bed *product = NULL;
    assert_ok(bf_bed_create(&spec, selectivity, &product, &err));
    const double soft[BF_ION_COUNT] = {[BF_ION_NA] = 9.3, [BF_ION_K] = 0.4};
    const double resin[BF_ION_COUNT] = {[BF_ION_CA] = 0.21, [BF_ION_MG] = 0.13, [BF_ION_K] = 0.05};
    assert_ok(bf_bed_fill(product, resin, soft, &err));
    return product;
}

/* Water and then brine, down and up, with the freeboard before the bed, behind it and out of the
 * way, with and without local states: what leaves, and what stays behind in every cell. */
START_TEST(both_ways_of_solving_agree)
{
    const struct {
        bf_direction direction;
        int bypass, with_source;
        double uniformity;
    } rows[] = {{BF_FLOW_DOWN, 0, 0, 1.0}, {BF_FLOW_UP, 0, 0, 1.0}, {BF_FLOW_DOWN, 1, 0, 1.7},
                {BF_FLOW_DOWN, 0, 1, 1.0}, {BF_FLOW_UP, 1, 1, 1.0}, {BF_FLOW_UP, 0, 1, 1.4}};
    bf_selectivity *selectivity = equilibrium();
    double worst = 0.0;
    for (size_t r = 0; r < COUNT(rows); r++) {
        bf_bed *bed[2];
        bf_passage passage[2][2];
        for (int way = 0; way < 2; way++) {
            bf_error err = {0};
            bed[way] = build(selectivity, way == 0 ? BF_SOLVER_BLOCK : BF_SOLVER_BANDED,
                             rows[r].with_source, rows[r].uniformity);
            bf_flow flow = {
                .direction = rows[r].direction,
                .velocity_m_per_s = 0.0041,
                .duration_s = 2100.0,
                .inlet_eq_per_m3 =
                    {[BF_ION_NA] = 2.1, [BF_ION_CA] = 5.3, [BF_ION_MG] = 2.7, [BF_ION_K] = 0.3},
                .fluid = water_20C,
                .end_hardness_eq_per_m3 = (double)NAN,
                .bypass_freeboard = rows[r].bypass};
            assert_ok(bf_bed_run(bed[way], &flow, &passage[way][0], &err));
            flow.velocity_m_per_s = 0.0009;
            memset(flow.inlet_eq_per_m3, 0, sizeof flow.inlet_eq_per_m3);
            flow.inlet_eq_per_m3[BF_ION_NA] = 1700.0;
            flow.inlet_eq_per_m3[BF_ION_K] = 31.0;
            flow.direction = rows[r].direction == BF_FLOW_UP ? BF_FLOW_DOWN : BF_FLOW_UP;
            assert_ok(bf_bed_run(bed[way], &flow, &passage[way][1], &err));
        }
        for (int stretch = 0; stretch < 2; stretch++) {
            for (size_t i = 0; i < BF_CATION_COUNT; i++) {
                double own = passage[0][stretch].out_eq_per_m3[i];
                double other = passage[1][stretch].out_eq_per_m3[i];
                worst = fmax(worst, fabs(own - other) / (fabs(other) + 1e-2));
            }
        }
        const bf_ion tracked[] = {BF_ION_CA, BF_ION_MG, BF_ION_K};
        for (size_t i = 0; i < COUNT(tracked); i++) {
            double resin[2][13];
            double pore[2][13];
            bf_bed_profile(bed[0], tracked[i], resin[0], pore[0]);
            bf_bed_profile(bed[1], tracked[i], resin[1], pore[1]);
            for (size_t k = 0; k < 13; k++) {
                worst = fmax(worst, fabs(resin[0][k] - resin[1][k]) / (resin[1][k] + 1.0));
                worst = fmax(worst, fabs(pore[0][k] - pore[1][k]) / (pore[1][k] + 1.0));
            }
        }
        bf_bed_free(bed[0]);
        bf_bed_free(bed[1]);
    }
    printf("block and banded: apart by %.1e at the most, tolerance of a step %.0e\n", worst,
           cell_tolerance);
    /* A tolerance of one step; each way adds up its own errors over some thousand of them. */
    ck_assert_double_le(worst, 100.0 * cell_tolerance);
    ck_assert_double_gt(worst, 0.0); /* two ways, not one */
    bf_selectivity_free(selectivity);
}
END_TEST

/* Every unknown has one place; two that are coupled are no further apart than the band is wide. */
START_TEST(the_order_by_cells_keeps_neighbours_together)
{
    const bf__layout sample = {.cells = 11,
                               .stride = bf__layout_stride(11),
                               .ions = 2,
                               .shells = 3,
                               .classes = 1,
                               .locals = 1};
    const size_t length = bf__by_cell_length(&sample);
    const size_t rows = bf__layout_rows(&sample);
    ck_assert_uint_eq(length, 11 * rows + 6);
    const bf__freeboard where[] = {BF__FREEBOARD_NONE, BF__FREEBOARD_BEFORE, BF__FREEBOARD_BEHIND};
    for (size_t w = 0; w < COUNT(where); w++) {
        size_t place[200];
        size_t found[400] = {0}; /* by place in rows: 1 + place by cells */
        double in_rows[400] = {0};
        double by_cell[200];
        double back[400] = {0};
        ck_assert_uint_le(length, COUNT(place));
        ck_assert_uint_le(bf__layout_length(&sample), COUNT(found));
        bf__by_cell_places(&sample, where[w], place);
        for (size_t k = 0; k < length; k++) {
            ck_assert_uint_lt(place[k], bf__layout_length(&sample));
            ck_assert_uint_eq(found[place[k]], 0);
            found[place[k]] = 1 + k;
            in_rows[place[k]] = 0.37 + (double)k;
        }
        bf__by_cell_from_rows(length, place, in_rows, by_cell);
        bf__by_cell_to_rows(length, place, by_cell, back);
        ck_assert_mem_eq(in_rows, back, sizeof back);
        for (size_t q = 0; q <= sample.ions; q++) {
            size_t first = found[q * sample.stride] - 1;
            size_t second = found[q * sample.stride + 1] - 1;
            size_t last = found[q * sample.stride + sample.cells - 1] - 1;
            size_t freeboard = found[bf__layout_freeboard(&sample) + q] - 1;
            size_t effluent = found[bf__layout_effluent(&sample) + q] - 1;
            ck_assert_uint_eq(second - first, rows);
            ck_assert_uint_le(effluent - last, 2 * rows);
            if (where[w] == BF__FREEBOARD_BEFORE) {
                ck_assert_uint_le(second - freeboard, 2 * rows);
            } else {
                ck_assert_uint_le(freeboard - last, 2 * rows);
                ck_assert_uint_le(effluent - freeboard, 2 * rows);
            }
        }
    }
}
END_TEST

static bf_bed *sloped(const bf_selectivity *selectivity, size_t cells, size_t shells)
{
    bf_error err = {0};
    bf_bed_spec spec = simple_bed();
    spec.cells = cells;
    spec.shells = shells;
    bf_bed *product = NULL;
    assert_ok(bf_bed_create(&spec, selectivity, &product, &err));
    return product;
}

/* Onto as many cells: the same bed. Onto others: between the values on either side, and a run of
 * water later the two hold the same to what a coarse grid is off. */
START_TEST(a_bed_is_taken_over_onto_other_cells)
{
    bf_error err = {0};
    bf_selectivity *selectivity = equilibrium();
    bf_bed *coarse = sloped(selectivity, 20, 3);
    bf_bed *same = sloped(selectivity, 20, 3);
    bf_bed *fine = sloped(selectivity, 70, 3);
    bf_flow flow = {.direction = BF_FLOW_UP,
                    .velocity_m_per_s = 0.0041,
                    .duration_s = 5300.0,
                    .inlet_eq_per_m3 = {[BF_ION_NA] = 2.1, [BF_ION_CA] = 5.3, [BF_ION_MG] = 2.7},
                    .fluid = water_20C,
                    .end_hardness_eq_per_m3 = (double)NAN};
    bf_passage passage;
    assert_ok(bf_bed_run(coarse, &flow, &passage, &err));
    assert_ok(bf_bed_resample(same, coarse, &err));
    ck_assert(bf_bed_distance(same, coarse) == 0.0);
    assert_ok(bf_bed_resample(fine, coarse, &err));
    double origin[20];
    double goal[70];
    bf_bed_profile(coarse, BF_ION_CA, origin, NULL);
    bf_bed_profile(fine, BF_ION_CA, goal, NULL);
    for (size_t k = 0; k < 70; k++) {
        double place = ((double)k + 0.5) * 20.0 / 70.0 - 0.5;
        size_t left = place < 0.0 ? 0 : (size_t)place;
        size_t right = left + 1 < 20 ? left + 1 : 19;
        ck_assert_double_ge(goal[k], fmin(origin[left], origin[right]) - 1e-15);
        ck_assert_double_le(goal[k], fmax(origin[left], origin[right]) + 1e-15);
    }
    double a = bf_bed_holding(coarse).resin_fraction[BF_ION_CA];
    double b = bf_bed_holding(fine).resin_fraction[BF_ION_CA];
    ck_assert_double_gt(a, 0.05);
    assert_near(b, a, 0.02); /* a steep front over three of 20 cells, cut at other places */
    bf_bed *other = sloped(selectivity, 20, 2);
    assert_fails(bf_bed_resample(other, coarse, &err), BF_E_RANGE, "shells, ions or local states");
    bf_bed_free(coarse);
    bf_bed_free(same);
    bf_bed_free(fine);
    bf_bed_free(other);
    bf_selectivity_free(selectivity);
}
END_TEST

/* Three classes of beads that hardly differ are one; beads of several sizes are not. UC 1.0001
 * spreads the sizes by less than 1e-4, and the uptake by the square of that. */
START_TEST(classes_of_one_size_are_one_class)
{
    const double uniformity[] = {1.0, 1.0001, 1.6};
    double taken[3];
    bf_selectivity *selectivity = equilibrium();
    for (size_t n = 0; n < COUNT(uniformity); n++) {
        bf_error err = {0};
        bf_bed *bed = build(selectivity, BF_SOLVER_BLOCK, 0, uniformity[n]);
        double before = bf_bed_holding(bed).resin_fraction[BF_ION_CA];
        bf_flow flow = {.direction = BF_FLOW_DOWN,
                        .velocity_m_per_s = 0.0083,
                        .duration_s = 13000.0,
                        .inlet_eq_per_m3 = {[BF_ION_NA] = 2.1, [BF_ION_CA] = 9.3},
                        .fluid = water_20C,
                        .end_hardness_eq_per_m3 = (double)NAN};
        bf_passage passage;
        assert_ok(bf_bed_run(bed, &flow, &passage, &err));
        taken[n] = passage.in_eq_per_m3[BF_ION_CA] - passage.out_eq_per_m3[BF_ION_CA];
        /* In the resin but for what fills the water: 0.38 of the bed and half of it above. */
        double in_resin = 2000.0 * (bf_bed_holding(bed).resin_fraction[BF_ION_CA] - before);
        ck_assert_double_ge(taken[n] - in_resin, 0.0);
        ck_assert_double_le(taken[n] - in_resin, 0.88 * 9.3 + 1e-6);
        ck_assert_double_le(passage.imbalance_eq_per_m3, 1e-9);
        bf_bed_free(bed);
    }
    printf("calcium taken up: one size %.4f, UC 1.0001 %.4f, UC 1.6 %.2f eq/m3\n", taken[0],
           taken[1], taken[2]);
    assert_near(taken[1], taken[0], 1e-5);           /* ten times the tolerance */
    ck_assert_double_lt(taken[2], 0.999 * taken[0]); /* large beads lag more than small ones lead */
    bf_selectivity_free(selectivity);
}
END_TEST

START_TEST(bead_classes_that_cannot_be_are_refused)
{
    bf_error err = {0};
    bf_bed_spec spec = simple_bed();
    spec.bead_classes = 6;
    assert_fails(bf_bed_spec_check(&spec, &err), BF_E_RANGE, "number of bead classes is 6");
    spec.bead_classes = 4;
    spec.shells = 13;
    assert_ok(bf_bed_spec_check(&spec, &err)); /* of no meaning while beads are of one size */
    spec.resin.uniformity_coefficient = 1.6;
    assert_fails(bf_bed_spec_check(&spec, &err), BF_E_RANGE, "there is room for 48 in all");
    spec.shells = 1;
    spec.rate_law = BF_RATE_EQUILIBRIUM;
    assert_fails(bf_bed_spec_check(&spec, &err), BF_E_RANGE, "beads of one size; set it to 1");
    spec.rate_law = BF_RATE_FILM_AND_BEAD;
    spec.resin.uniformity_coefficient = 2.6;
    assert_fails(bf_bed_spec_check(&spec, &err), BF_E_RANGE, "uniformity coefficient is 2.6");
}
END_TEST

START_TEST(a_solver_that_is_none_is_refused)
{
    bf_error err = {0};
    bf_bed_spec spec = simple_bed();
    spec.solver = (bf_solver)7;
    assert_fails(bf_bed_spec_check(&spec, &err), BF_E_RANGE, "no solver has the number 7");
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {both_ways_of_solving_agree,
                                  the_order_by_cells_keeps_neighbours_together,
                                  a_bed_is_taken_over_onto_other_cells,
                                  classes_of_one_size_are_one_class,
                                  bead_classes_that_cannot_be_are_refused,
                                  a_solver_that_is_none_is_refused};
    return support_run("bed.newton", tests, COUNT(tests), 120);
}
