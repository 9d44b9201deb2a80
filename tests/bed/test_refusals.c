/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a bed refuses: specs, sources, flows, and runs that cannot be finished. */
#include "bed_rig.h"
#include "simple_bed.h"

#include <math.h>
#include <string.h>

static void refuse_spec(const bf_bed_spec *spec, const char *part)
{
    bf_error err = {0};
    bf_bed *bed = (bf_bed *)&err; /* anything but NULL */
    bf_selectivity *selectivity = equilibrium(BF_EQUILIBRIUM_LINEAR, 1);
    assert_fails(bf_bed_spec_check(spec, &err), BF_E_RANGE, part);
    memset(&err, 0, sizeof err);
    assert_fails(bf_bed_create(spec, selectivity, &bed, &err), BF_E_RANGE, part);
    ck_assert_ptr_null(bed);
    bf_selectivity_free(selectivity);
}

START_TEST(fields_outside_their_range_are_named)
{
    bf_error err = {0};
    bf_bed_spec spec = simple_bed();
    assert_ok(bf_bed_spec_check(&spec, &err));
    const struct {
        double *field;
        double low, high;
        const char *what;
    } fields[] = {{&spec.diameter_m, 0.01, 10.0, "diameter"},
                  {&spec.depth_m, 0.01, 10.0, "depth"},
                  {&spec.freeboard_m, 0.0, 10.0, "freeboard"},
                  {&spec.temperature_K, 273.15, 323.15, "temperature"},
                  {&spec.dispersion_factor, 0.1, 10.0, "factor on dispersion"},
                  {&spec.relative_tolerance, 1e-10, 1e-2, "relative tolerance"},
                  {&spec.hardness_tolerance_eq_per_m3, 1e-9, 1e-2, "hardness tolerance"}};
    for (size_t i = 0; i < COUNT(fields); i++) {
        const double refused[] = {nextafter(fields[i].low, -1.0), nextafter(fields[i].high, 1e9),
                                  (double)NAN};
        const double taken[] = {fields[i].low, fields[i].high};
        double record = *fields[i].field;
        for (size_t k = 0; k < COUNT(refused); k++) {
            *fields[i].field = refused[k];
            refuse_spec(&spec, fields[i].what);
        }
        for (size_t k = 0; k < COUNT(taken); k++) {
            *fields[i].field = taken[k];
            assert_ok(bf_bed_spec_check(&spec, &err));
        }
        *fields[i].field = record;
    }
    const struct {
        size_t *field, low, high;
        const char *what;
    } counts[] = {{&spec.cells, 4, 4096, "cells"}, {&spec.shells, 1, 16, "shells"}};
    for (size_t i = 0; i < COUNT(counts); i++) {
        size_t record = *counts[i].field;
        *counts[i].field = counts[i].low - 1;
        refuse_spec(&spec, counts[i].what);
        *counts[i].field = counts[i].high + 1;
        refuse_spec(&spec, counts[i].what);
        *counts[i].field = counts[i].low;
        assert_ok(bf_bed_spec_check(&spec, &err));
        *counts[i].field = counts[i].high;
        assert_ok(bf_bed_spec_check(&spec, &err));
        *counts[i].field = record;
    }
}
END_TEST

START_TEST(choices_that_cannot_be_are_refused)
{
    bf_error err = {0};
    bf_bed_spec spec = simple_bed();
    const double films[] = {0.0, -1e-5, (double)INFINITY};
    for (size_t i = 0; i < COUNT(films); i++) {
        spec.film_m_per_s = films[i];
        refuse_spec(&spec, "film coefficient");
    }
    spec.film_m_per_s = 3e-5;
    assert_ok(bf_bed_spec_check(&spec, &err));
    spec.dispersion_m2_per_s = -1e-9;
    refuse_spec(&spec, "dispersion");
    spec.dispersion_m2_per_s = (double)INFINITY;
    refuse_spec(&spec, "dispersion");
    spec.dispersion_m2_per_s = 0.0;
    assert_ok(bf_bed_spec_check(&spec, &err));

    const double rates[] = {-1e-9, (double)NAN, (double)INFINITY};
    for (size_t i = 0; i < COUNT(rates); i++) {
        spec.rate_constant_per_s[BF_ION_FE] = rates[i];
        refuse_spec(&spec, "rate constant of iron");
    }
    spec.rate_constant_per_s[BF_ION_FE] = 0.0;
    const bf_rate_law uniform[] = {BF_RATE_FILM, BF_RATE_LINEAR_DRIVING_FORCE, BF_RATE_REACTION,
                                   BF_RATE_EQUILIBRIUM};
    for (size_t i = 0; i < COUNT(uniform); i++) {
        spec.rate_law = uniform[i];
        spec.shells = 2;
        refuse_spec(&spec, "set 1 shell");
        spec.shells = 1;
        assert_ok(bf_bed_spec_check(&spec, &err));
    }
    spec = simple_bed();
    spec.resin.void_fraction = 0.7;
    refuse_spec(&spec, "void fraction");
}
END_TEST

START_TEST(reaction_needs_a_constant_separation_factor)
{
    bf_error err = {0};
    bf_bed_spec spec = simple_bed();
    spec.rate_law = BF_RATE_REACTION;
    spec.shells = 1;
    for (int law = BF_EQUILIBRIUM_MASS_ACTION; law <= BF_EQUILIBRIUM_LINEAR; law++) {
        bf_selectivity *selectivity = equilibrium((bf_equilibrium_law)law, 1);
        bf_bed *bed = (bf_bed *)&err;
        if (law == BF_EQUILIBRIUM_SEPARATION_FACTOR) {
            assert_ok(bf_bed_create(&spec, selectivity, &bed, &err));
        } else {
            assert_fails(bf_bed_create(&spec, selectivity, &bed, &err), BF_E_RANGE,
                         "constant separation factor");
            ck_assert_ptr_null(bed);
        }
        bf_bed_free(bed);
        bf_selectivity_free(selectivity);
    }
}
END_TEST

START_TEST(sources_that_cannot_be_are_refused)
{
    bf_error err = {0};
    bf_bed_spec spec = simple_bed();
    bf_source sources[2] = {
        {.name = "first", .rate = stand_still, .local_count = 9, .local_tolerance = 1e-6},
        {.name = "second", .rate = stand_still, .local_count = 7, .local_tolerance = 1e-6}};
    spec.sources = sources;
    spec.source_count = 2;
    assert_ok(bf_bed_spec_check(&spec, &err));
    sources[1].local_count = 8;
    refuse_spec(&spec, "17 local states");
    sources[1].local_count = 7;
    const double tolerances[] = {0.0, -1.0, (double)NAN};
    for (size_t i = 0; i < COUNT(tolerances); i++) {
        sources[1].local_tolerance = tolerances[i];
        refuse_spec(&spec, "\"second\"");
    }
    sources[1].local_count = 0; /* none, so no tolerance is needed */
    assert_ok(bf_bed_spec_check(&spec, &err));
    sources[0].rate = NULL;
    refuse_spec(&spec, "\"first\" has no rate");
}
END_TEST

START_TEST(impossible_flows_are_refused_and_change_nothing)
{
    bf_error err = {0};
    bf_selectivity *selectivity = equilibrium(BF_EQUILIBRIUM_MASS_ACTION_IDEAL, 2);
    bf_bed_spec spec = simple_bed();
    spec.cells = 8;
    spec.shells = 2;
    bf_bed *bed = build(&spec, selectivity);
    bf_bed *before = build(&spec, selectivity);
    bf_flow flow = service(5.0);
    (void)run(bed, &flow);
    assert_ok(bf_bed_copy(before, bed, &err));
    const struct {
        double *field;
        double value;
        const char *what;
    } refused[] = {{&flow.velocity_m_per_s, -1e-9, "velocity"},
                   {&flow.velocity_m_per_s, 1.001, "velocity"},
                   {&flow.velocity_m_per_s, (double)NAN, "velocity"},
                   {&flow.duration_s, 0.0, "duration"},
                   {&flow.duration_s, -3.0, "duration"},
                   {&flow.duration_s, (double)INFINITY, "duration"},
                   {&flow.duration_s, (double)NAN, "duration"},
                   {&flow.inlet_eq_per_m3[BF_ION_MG], -0.1, "inlet's magnesium"},
                   {&flow.inlet_eq_per_m3[BF_ION_H], -0.1, "inlet's hydrogen"},
                   {&flow.inlet_eq_per_m3[BF_ION_K], 1e-6, "potassium is in the water"},
                   {&flow.inlet_eq_per_m3[BF_ION_NA], -8.0, "inlet's normality"},
                   {&flow.inlet_eq_per_m3[BF_ION_NA], (double)INFINITY, "inlet's normality"},
                   {&flow.inlet_eq_per_m3[BF_ION_CA], (double)NAN, "inlet's normality"},
                   {&flow.fluid.density_kg_per_m3, 0.0, "density"},
                   {&flow.fluid.viscosity_Pa_s, 0.0, "viscosity"},
                   {&flow.fluid.viscosity_Pa_s, (double)NAN, "viscosity"}};
    for (size_t i = 0; i < COUNT(refused); i++) {
        bf_passage passage;
        flow = service(5.0);
        *refused[i].field = refused[i].value;
        assert_fails(bf_bed_run(bed, &flow, &passage, &err), BF_E_RANGE, refused[i].what);
        ck_assert(bf_bed_distance(bed, before) == 0.0);
    }
    bf_bed_free(bed);
    bf_bed_free(before);
    bf_selectivity_free(selectivity);
}
END_TEST

/* A source that gives up, or asks for ever shorter steps, from some moment on. */
typedef struct stubborn {
    double from_s;
    int answer;
} stubborn;

static int resist(void *context, double time_s, const bf_cells *cells, const bf_rates *rates)
{
    (void)cells, (void)rates;
    const stubborn *how = context;
    return time_s >= how->from_s ? how->answer : 0;
}

START_TEST(a_run_that_cannot_be_finished_leaves_the_bed_alone)
{
    bf_error err = {0};
    stubborn how = {0};
    bf_source source = {.name = "stubborn", .context = &how, .rate = resist};
    bf_selectivity *selectivity = equilibrium(BF_EQUILIBRIUM_MASS_ACTION_IDEAL, 2);
    bf_bed_spec spec = simple_bed();
    spec.cells = 8;
    spec.shells = 2;
    spec.sources = &source;
    spec.source_count = 1;
    bf_bed *bed = build(&spec, selectivity);
    bf_bed *before = build(&spec, selectivity);
    const stubborn ways[] = {{0.0, -1}, {0.0, 1}, {200.0, -1}, {200.0, 1}};
    for (size_t i = 0; i < COUNT(ways); i++) {
        bf_flow flow = service(3.0);
        bf_passage passage;
        how = ways[i];
        assert_fails(bf_bed_run(bed, &flow, &passage, &err), BF_E_SOLVER,
                     "the integration stopped");
        double a[8];
        double b[8];
        bf_bed_profile(bed, BF_ION_CA, NULL, a);
        bf_bed_profile(before, BF_ION_CA, NULL, b);
        ck_assert_mem_eq(a, b, sizeof a);
        ck_assert(bf_bed_distance(bed, before) == 0.0);
        how.from_s = (double)INFINITY; /* and the bed is good for another run */
        bf_passage first = run(bed, &flow);
        bf_passage second = run(before, &flow);
        ck_assert_mem_eq(first.out_eq_per_m3, second.out_eq_per_m3, sizeof first.out_eq_per_m3);
    }
    bf_bed_free(bed);
    bf_bed_free(before);
    bf_selectivity_free(selectivity);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {fields_outside_their_range_are_named,
                                  choices_that_cannot_be_are_refused,
                                  reaction_needs_a_constant_separation_factor,
                                  sources_that_cannot_be_are_refused,
                                  impossible_flows_are_refused_and_change_nothing,
                                  a_run_that_cannot_be_finished_leaves_the_bed_alone};
    return support_run("bed.refusals", tests, COUNT(tests), 120);
}
