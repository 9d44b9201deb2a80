/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Changes of a bed between runs: what each takes and gives, ion by ion and in charge; and what a
 * coat on the beads is worth. */
#include "bed/alter.h"
#include "simple_bed.h"
#include "support.h"

#include <math.h>
#include <string.h>

enum { CELLS = 8 };

static const double water[BF_ION_COUNT] = {
    [BF_ION_NA] = 3.0, [BF_ION_CA] = 2.0, [BF_ION_MG] = 1.0, [BF_ION_FE] = 0.4};
static const double resin[BF_ION_COUNT] = {
    [BF_ION_NA] = 0.5, [BF_ION_CA] = 0.3, [BF_ION_MG] = 0.15, [BF_ION_FE] = 0.05};

typedef struct rig {
    bf_selectivity *selectivity;
    bf_bed *bed;
} rig;

static bf_bed_spec bed_spec(void)
{
    bf_bed_spec spec = simple_bed();
    spec.cells = CELLS;
    spec.freeboard_m = 0.0; /* then what is held is resin and pore water */
    return spec;
}

static rig open_rig(const bf_bed_spec *spec)
{
    bf_error err = {0};
    rig product = {0};
    const double *waters[] = {water};
    bf_selectivity_spec equilibrium = {.law = BF_EQUILIBRIUM_MASS_ACTION,
                                       .ions = bf_ion_set_of(waters, 1),
                                       .temperature_K = spec->temperature_K};
    memcpy(equilibrium.constant, spec->resin.selectivity, sizeof equilibrium.constant);
    assert_ok(bf_selectivity_create(&equilibrium, &product.selectivity, &err));
    assert_ok(bf_bed_create(spec, product.selectivity, &product.bed, &err));
    assert_ok(bf_bed_fill(product.bed, resin, water, &err));
    return product;
}

static void close_rig(rig *subject)
{
    bf_bed_free(subject->bed);
    bf_selectivity_free(subject->selectivity);
}

/* Change of what the bed holds, eq per m3 of bed. All sums are of some hundred terms near 1000:
 * 1e-10. */
static void expect_change(const bf_bed *bed, const double *before, bf_ion ion, double expected)
{
    double held[BF_ION_COUNT];
    bf__bed_held(bed, held);
    assert_near_abs(held[ion] - before[ion], expected, 1e-10);
}

START_TEST(an_ion_leaves_and_its_charge_with_it)
{
    bf_bed_spec spec = bed_spec();
    rig sample = open_rig(&spec);
    double before[BF_ION_COUNT];
    bf__bed_held(sample.bed, before);
    assert_near_abs(before[BF_ION_FE], 2000.0 * 0.05 + 0.38 * 0.4, 1e-10);
    /* Off the resin: Fe falls; Na moves from the water to the sites, so the bed holds as much. */
    ck_assert(bf__bed_leave_resin(sample.bed, 2, BF_ION_FE, 0.8) == 0.8);
    expect_change(sample.bed, before, BF_ION_FE, -0.8 / CELLS);
    expect_change(sample.bed, before, BF_ION_NA, 0.0);
    expect_change(sample.bed, before, BF_ION_CA, 0.0);
    double pore[CELLS];
    bf_bed_profile(sample.bed, BF_ION_NA, NULL, pore);
    assert_near(pore[2], 3.0 - 0.8 / 0.38, 1e-12);
    assert_near(pore[3], 3.0, 1e-12);
    /* No more than the Na of the water can fill: all of its 3 eq/m3 of the pore water. */
    assert_near(bf__bed_leave_resin(sample.bed, 5, BF_ION_FE, 50.0), 0.38 * 3.0, 1e-12);
    bf__bed_held(sample.bed, before);
    /* Off the water: no more than there is. */
    assert_near(bf__bed_leave_water(sample.bed, 0, BF_ION_FE, 1.0), 0.38 * 0.4, 1e-12);
    expect_change(sample.bed, before, BF_ION_FE, -0.38 * 0.4 / CELLS);
    expect_change(sample.bed, before, BF_ION_NA, 0.0);
    ck_assert(bf__bed_leave_water(sample.bed, 0, BF_ION_BA, 1.0) == 0.0); /* not tracked */
    close_rig(&sample);
}
END_TEST

START_TEST(an_ion_takes_sodium_sites)
{
    bf_bed_spec spec = bed_spec();
    rig sample = open_rig(&spec);
    double before[BF_ION_COUNT];
    bf__bed_held(sample.bed, before);
    ck_assert(bf__bed_load(sample.bed, 1, BF_ION_FE, 30.0) == 30.0);
    expect_change(sample.bed, before, BF_ION_FE, 30.0 / CELLS);
    expect_change(sample.bed, before, BF_ION_NA, -30.0 / CELLS);
    assert_near(bf__bed_load(sample.bed, 1, BF_ION_FE, 5000.0), 2000.0 * 0.5 - 30.0, 1e-10);
    close_rig(&sample);
}
END_TEST

/* Sites lost hand over what they held: a bed of fewer sites holds the same. Sites won are Na. */
START_TEST(sites_come_and_go_with_their_ions)
{
    bf_error err = {0};
    bf_bed_spec spec = bed_spec();
    rig full = open_rig(&spec);
    spec.resin.total_capacity_eq_per_m3 = 1900.0;
    rig less = open_rig(&spec);
    double before[BF_ION_COUNT];
    bf__bed_held(full.bed, before);
    assert_ok(bf_bed_copy(less.bed, full.bed, &err));
    bf__bed_change_sites(less.bed, 2000.0);
    for (size_t i = 0; i < BF_CATION_COUNT; i++) {
        expect_change(less.bed, before, (bf_ion)i, 0.0);
    }
    double pore[CELLS];
    bf_bed_profile(less.bed, BF_ION_FE, NULL, pore);
    assert_near(pore[4], 0.4 + 100.0 * 0.05 / 0.38, 1e-12);
    double fewer[BF_ION_COUNT];
    bf__bed_held(less.bed, fewer);
    assert_ok(bf_bed_copy(full.bed, less.bed, &err));
    bf__bed_change_sites(full.bed, 1900.0);
    for (size_t i = 0; i < BF_CATION_COUNT; i++) {
        expect_change(full.bed, fewer, (bf_ion)i, (bf_ion)i == BF_ION_NA ? 100.0 : 0.0);
    }
    close_rig(&full);
    close_rig(&less);
}
END_TEST

/* A coat is water in series with the film: the run is that of the film coefficient so lowered. One
 * ion exchanges, since the film of every ion would need its own. */
START_TEST(a_coat_slows_the_film)
{
    bf_error err = {0};
    const bf_fluid fluid = {.density_kg_per_m3 = 998.2, .viscosity_Pa_s = 1.002e-3};
    const double diffusivity = bf_ion_diffusivity_m2_per_s(BF_ION_CA, 293.15, fluid.viscosity_Pa_s);
    bf_bed_spec spec[3] = {bed_spec(), bed_spec(), bed_spec()};
    spec[0].film_m_per_s = 2e-5;
    spec[0].coat_m = 30e-6;
    spec[1].film_m_per_s = 1.0 / (1.0 / 2e-5 + 30e-6 / diffusivity);
    spec[2].film_m_per_s = 2e-5;
    double out[3];
    for (size_t b = 0; b < 3; b++) {
        rig sample = open_rig(&spec[b]);
        bf_passage passage;
        bf_flow flow = {.velocity_m_per_s = 4e-3,
                        .duration_s = 7200.0,
                        .inlet_eq_per_m3 = {[BF_ION_NA] = 1.0, [BF_ION_CA] = 4.0},
                        .fluid = fluid,
                        .end_hardness_eq_per_m3 = (double)NAN};
        double soft[BF_ION_COUNT] = {[BF_ION_NA] = 5.0};
        assert_ok(bf_bed_fill(sample.bed, NULL, soft, &err));
        assert_ok(bf_bed_run(sample.bed, &flow, &passage, &err));
        out[b] = passage.out_eq_per_m3[BF_ION_CA];
        close_rig(&sample);
    }
    assert_near(out[0], out[1], 1e-6); /* the same equations, but for rounding of one constant */
    ck_assert_double_gt(out[0], 1.2 * out[2]);
    spec[0].coat_m = -1e-6;
    bf_bed *bed = NULL;
    rig sample = open_rig(&spec[2]);
    assert_fails(bf_bed_create(&spec[0], sample.selectivity, &bed, &err), BF_E_RANGE, "coat");
    close_rig(&sample);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {an_ion_leaves_and_its_charge_with_it, an_ion_takes_sodium_sites,
                                  sites_come_and_go_with_their_ions, a_coat_slows_the_film};
    return support_run("bed.alter", tests, sizeof tests / sizeof *tests, 60);
}
