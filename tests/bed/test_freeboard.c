/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The water above the bed: which law holds when, what each of them does to a run (closed forms: an
 * exponential, a delay), and that nothing of it is lost. */
#include "bed/freeboard.h"
#include "bed/parts.h"
#include "bed_rig.h"
#include "simple_bed.h"

#include <math.h>
#include <string.h>

/* ---- which law holds --------------------------------------------------------------------------- */

enum { IONS = 2 };

static const bf__layout small = {
    .cells = 4, .stride = 8, .ions = IONS, .shells = 1, .classes = 1, .locals = 0};

/* A freeboard of one layer: normality and two ions. */
static void fill_one(double *state, double normality)
{
    double *mean = state + bf__layout_freeboard(&small);
    mean[0] = normality;
    mean[1] = 0.31 * normality;
    mean[2] = 0.17 * normality;
    bf__freeboard_stir(&small, state);
}

static double *new_state(double normality)
{
    double *state = calloc(bf__layout_kept(&small), sizeof *state);
    ck_assert_ptr_nonnull(state);
    fill_one(state, normality);
    return state;
}

/* Ri = 1 at u^2 = g beta |C_in - C_f| H: with 9.80665 m/s2, 3.97e-5 m3/eq, 0.43 m and 12.7 eq/m3 at
 * 0.046109 m/s, worked out by hand. */
START_TEST(density_decides_where_the_flow_is_slow_enough)
{
    double *state = new_state(201.0);
    const struct {
        bf_direction direction;
        double enters, velocity_m_per_s;
        bf__freeboard_way way;
    } rows[] = {
        {BF_FLOW_DOWN, 213.7, 0.04606, BF__FREEBOARD_STIRS},
        {BF_FLOW_DOWN, 188.3, 0.04606, BF__FREEBOARD_LAYERS},
        {BF_FLOW_UP, 213.7, 0.04606, BF__FREEBOARD_LAYERS},
        {BF_FLOW_UP, 188.3, 0.04606, BF__FREEBOARD_STIRS},
        /* faster than that the flow stirs, and so does a water of the same salt */
        {BF_FLOW_DOWN, 188.3, 0.04616, BF__FREEBOARD_STIRS},
        {BF_FLOW_UP, 213.7, 0.04616, BF__FREEBOARD_STIRS},
        {BF_FLOW_DOWN, 201.0, 1e-4, BF__FREEBOARD_STIRS},
        {BF_FLOW_UP, 201.0, 1e-4, BF__FREEBOARD_STIRS},
    };
    for (size_t r = 0; r < COUNT(rows); r++) {
        bf__freeboard_meeting meeting = {.law = BF_FREEBOARD_BY_DENSITY,
                                         .direction = rows[r].direction,
                                         .velocity_m_per_s = rows[r].velocity_m_per_s,
                                         .height_m = 0.43,
                                         .inlet_normality = rows[r].enters};
        ck_assert_msg(bf__freeboard_meets(&meeting, &small, state) == rows[r].way, "row %zu", r);
        meeting.law = BF_FREEBOARD_STIRRED;
        ck_assert(bf__freeboard_meets(&meeting, &small, state) == BF__FREEBOARD_STIRS);
    }
    /* Layers that are there stay when a water of their mean salt flows in. */
    const double salty[] = {402.0, 11.0, 13.0};
    const double thin[] = {100.5, 29.0, 3.0};
    bf__freeboard_enter_top(&small, state, 1.0, salty);
    bf__freeboard_enter_top(&small, state, 2.0 / 3.0, thin);
    const bf__freeboard_meeting level = {.law = BF_FREEBOARD_BY_DENSITY,
                                         .direction = BF_FLOW_DOWN,
                                         .velocity_m_per_s = 3e-3,
                                         .height_m = 0.43,
                                         .inlet_normality = 201.0};
    ck_assert(bf__freeboard_meets(&level, &small, state) == BF__FREEBOARD_LAYERS);
    free(state);
}
END_TEST

/* ---- layers ------------------------------------------------------------------------------------ */

/* Water in at either end, drawn at random: the mean changes by what came less what went. */
START_TEST(what_enters_and_leaves_is_the_change)
{
    unsigned long long seed = 20261201;
    double *state = new_state(7.3);
    double *mean = state + bf__layout_freeboard(&small);
    for (int turn = 0; turn < 400; turn++) {
        const double share = pow(support_uniform(&seed), 3.0);
        const int top = support_uniform(&seed) < 0.5;
        double water[1 + IONS];
        double left[1 + IONS] = {0};
        double before[1 + IONS];
        memcpy(before, mean, sizeof before);
        for (size_t q = 0; q <= IONS; q++) {
            water[q] = 2000.0 * support_uniform(&seed);
        }
        /* what goes at the other end, by a thousand looks at the middle of a thousandth */
        for (int look = 0; look < 1000; look++) {
            const double depth = share * (look + 0.5) / 1000.0;
            const double *layer = bf__freeboard_find(&small, state, top ? 1.0 - depth : depth);
            for (size_t q = 0; q <= IONS; q++) {
                left[q] += share * layer[q] / 1000.0;
            }
        }
        (top ? bf__freeboard_enter_top : bf__freeboard_enter_foot)(&small, state, share, water);
        for (size_t q = 0; q <= IONS; q++) {
            /* 2000 in a thousandth of the share at every border between layers, of which there are
             * twenty at most; a join of two layers beforehand moves none of it out of the mean but
             * moves it from its place: bounded by the same, seen at most 11 */
            assert_near_abs(mean[q] - before[q], share * water[q] - left[q], 40.0);
        }
        const double *end = bf__freeboard_find(&small, state, top ? 0.0 : 1.0);
        ck_assert(share < 1e-9 || memcmp(end, water, sizeof water) == 0);
    }
    free(state);
}
END_TEST

/* More layers than there is room for: the two that differ least become one, and the mean stays. */
START_TEST(layers_without_room_join_their_likeliest_neighbours)
{
    double *state = new_state(5.0);
    const double *mean = state + bf__layout_freeboard(&small);
    double expected[1 + IONS] = {0};
    for (int l = 0; l < BF__LAYERS + 7; l++) {
        /* far apart but for layers 3 and 4 */
        const double normality = l == 4 ? 100.0 * 3 + 1.0 : 100.0 * l * (l % 2 ? 1.0 : -0.5) + 2e3;
        const double water[] = {normality, 3.0 + l, 50.0 - l};
        bf__freeboard_enter_top(&small, state, 1.0 / (BF__LAYERS + 7), water);
        for (size_t q = 0; q <= IONS; q++) {
            expected[q] += water[q] / (BF__LAYERS + 7);
        }
    }
    for (size_t q = 0; q <= IONS; q++) {
        assert_near(mean[q], expected[q], 1e-12); /* sums of twenty terms */
    }
    double sum = 0.0;
    for (size_t l = 0; l < BF__LAYERS; l++) {
        sum += state[bf__layout_layer(&small, l)];
    }
    assert_near(sum, 1.0, 1e-14);
    /* one composition is one layer, however often it came */
    const double same[] = {17.0, 2.0, 3.0};
    for (int l = 0; l < 40; l++) {
        bf__freeboard_enter_top(&small, state, 0.1, same);
    }
    bf__freeboard_enter_top(&small, state, 0.05, same);
    const double *water;
    bf__freeboard_enter_top(&small, state, 1e-15, same);
    ck_assert_double_gt(bf__freeboard_lowest(&small, state, &water), 0.89);
    ck_assert(water[0] == 17.0);
    free(state);
}
END_TEST

/* ---- runs -------------------------------------------------------------------------------------- */

static bf_bed_spec vessel(double freeboard_m, bf_freeboard_law law)
{
    bf_bed_spec spec = simple_bed();
    spec.cells = 40;
    spec.freeboard_m = freeboard_m;
    spec.freeboard_law = law;
    return spec;
}

/* A loaded bed whose water, above it too, is brine. */
static bf_bed *in_brine(const bf_bed_spec *spec, const bf_selectivity *selectivity)
{
    const double resin[BF_ION_COUNT] = {[BF_ION_CA] = 0.41, [BF_ION_MG] = 0.13};
    const double water[BF_ION_COUNT] = {
        [BF_ION_NA] = 1300.0, [BF_ION_CA] = 83.0, [BF_ION_MG] = 29.0};
    bf_error err = {0};
    bf_bed *bed = build(spec, selectivity);
    assert_ok(bf_bed_fill(bed, resin, water, &err));
    return bed;
}

static double above_bed(const bf_bed *bed, size_t q)
{
    return bed->state[bf__layout_freeboard(&bed->column.layout) + q];
}

typedef struct track {
    size_t count;
    double time_s[4000], normality[4000], hardness[4000];
} track;

static void keep_track(void *context, const bf_moment *moment)
{
    track *kept = context;
    ck_assert_uint_lt(kept->count, COUNT(kept->time_s));
    kept->time_s[kept->count] = moment->time_s;
    kept->normality[kept->count] = moment->normality_eq_per_m3;
    kept->hardness[kept->count++] = moment->hardness_eq_per_m3;
}

static double value_of(const track *kept, const double *values, double time_s)
{
    size_t k = 1;
    while (k + 1 < kept->count && kept->time_s[k] < time_s) {
        k++;
    }
    const double share = (time_s - kept->time_s[k - 1]) / (kept->time_s[k] - kept->time_s[k - 1]);
    return values[k - 1] + share * (values[k] - values[k - 1]);
}

/* Rinse water on brine is a delay: the bed without a freeboard, given the brine that stood there for
 * H/u and then the water, goes through the very same states. */
START_TEST(light_water_from_above_is_a_delay)
{
    bf_selectivity *selectivity = equilibrium(BF_EQUILIBRIUM_MASS_ACTION, 2);
    const bf_bed_spec with = vessel(0.33, BF_FREEBOARD_BY_DENSITY);
    const bf_bed_spec without = vessel(0.0, BF_FREEBOARD_BY_DENSITY);
    bf_bed *a = in_brine(&with, selectivity);
    bf_bed *b = in_brine(&without, selectivity);
    bf_flow rinse = service(0.0);
    rinse.velocity_m_per_s = 1.07e-3;
    rinse.duration_s = 700.0;
    static track kept;
    rinse.observe = keep_track;
    rinse.context = &kept;
    const bf_passage whole = run(a, &rinse);
    ck_assert_double_eq(whole.duration_s, 700.0);
    ck_assert_double_eq(kept.time_s[kept.count - 1], 700.0);
    assert_near(whole.in_eq_per_m3[BF_ION_CA], 5.3 * whole.bed_volumes, 1e-14);

    bf_flow brine_first = rinse;
    brine_first.observe = NULL;
    brine_first.duration_s = 0.33 / 1.07e-3;
    memcpy(brine_first.inlet_eq_per_m3,
           (double[BF_ION_COUNT]){[BF_ION_NA] = 1300.0, [BF_ION_CA] = 83.0, [BF_ION_MG] = 29.0},
           sizeof brine_first.inlet_eq_per_m3);
    const bf_passage first = run(b, &brine_first);
    bf_flow then = rinse;
    then.observe = NULL;
    then.duration_s = 700.0 - 0.33 / 1.07e-3;
    const bf_passage second = run(b, &then);
    /* the same steps from the same states but for the clock: rounding, and what that does to steps */
    ck_assert_double_le(bf_bed_distance(a, b), 1e-9);
    for (size_t i = 0; i < 3; i++) {
        const bf_ion ion = (bf_ion[]){BF_ION_NA, BF_ION_CA, BF_ION_MG}[i];
        assert_near(whole.out_eq_per_m3[ion], first.out_eq_per_m3[ion] + second.out_eq_per_m3[ion],
                    1e-8);
    }
    /* half a bed volume, by the moments on either side */
    assert_near(whole.hardness_first_eq_per_m3, value_of(&kept, kept.hardness, 0.38 / 1.07e-3),
                5e-3);
    assert_near(whole.hardness_last_eq_per_m3, second.hardness_last_eq_per_m3, 1e-7);
    assert_near(whole.hardness_low_eq_per_m3,
                fmin(first.hardness_low_eq_per_m3, second.hardness_low_eq_per_m3), 1e-7);
    ck_assert_double_le(whole.imbalance_eq_per_m3, 1e-9);
    assert_near(above_bed(a, 0), 10.0, 1e-14);
    bf_bed_free(a);
    bf_bed_free(b);
    bf_selectivity_free(selectivity);
}
END_TEST

/* A rinse in two goes is one rinse, wherever it is cut: the layers keep their place between runs, and
 * through a pause. */
START_TEST(layers_wait_for_the_next_run)
{
    bf_selectivity *selectivity = equilibrium(BF_EQUILIBRIUM_MASS_ACTION, 2);
    const bf_bed_spec spec = vessel(0.33, BF_FREEBOARD_BY_DENSITY);
    bf_bed *whole = in_brine(&spec, selectivity);
    bf_bed *halves = in_brine(&spec, selectivity);
    bf_bed *copy = build(&spec, selectivity);
    bf_error err = {0};
    bf_flow rinse = service(0.0);
    rinse.velocity_m_per_s = 1.07e-3;
    rinse.duration_s = 800.0;
    (void)run(whole, &rinse);
    rinse.duration_s = 123.0; /* 0.1316 of 0.33 m */
    (void)run(halves, &rinse);
    const double *water;
    const bf__layout *layout = &halves->column.layout;
    assert_near(bf__freeboard_lowest(layout, halves->state, &water), 1.0 - 0.13161 / 0.33, 1e-12);
    ck_assert(water[0] == 1412.0);
    assert_near(above_bed(halves, 0), 10.0 + (1.0 - 0.13161 / 0.33) * 1402.0, 1e-12);
    bf_flow pause = rinse;
    pause.velocity_m_per_s = 0.0;
    pause.duration_s = 1e-3; /* too short for the resin to do anything */
    (void)run(halves, &pause);
    ck_assert(bf__freeboard_lowest(layout, halves->state, &water) < 1.0);
    assert_ok(bf_bed_copy(copy, halves, &err));
    rinse.duration_s = 677.0;
    const bf_passage end = run(copy, &rinse);
    /* a restart of the integrator in between: its relative tolerance, 5e-4, and well below it */
    ck_assert_double_le(bf_bed_distance(whole, copy), 1e-4);
    ck_assert_double_le(end.imbalance_eq_per_m3, 1e-9);
    assert_near(above_bed(copy, 0), 10.0, 1e-14);
    bf_bed_free(whole);
    bf_bed_free(halves);
    bf_bed_free(copy);
    bf_selectivity_free(selectivity);
}
END_TEST

/* Brine from above turns it over: C_f = C_in + (C_0 - C_in) exp(-u t/H), and the very bits of the law
 * that always stirs; so do a feed on itself and a rinse that comes up under brine. */
START_TEST(stirred_is_an_exponential)
{
    bf_selectivity *selectivity = equilibrium(BF_EQUILIBRIUM_MASS_ACTION, 2);
    const bf_bed_spec by_density = vessel(0.41, BF_FREEBOARD_BY_DENSITY);
    const bf_bed_spec stirred = vessel(0.41, BF_FREEBOARD_STIRRED);
    bf_flow flows[3] = {brine(0.7), service(1.3), service(0.0)};
    flows[2].direction = BF_FLOW_UP;
    flows[2].velocity_m_per_s = 1.3e-3;
    flows[2].duration_s = 411.0;
    for (size_t f = 0; f < COUNT(flows); f++) {
        bf_bed *pair[2];
        bf_passage passage[2];
        for (size_t l = 0; l < 2; l++) {
            const bf_bed_spec *spec = l == 0 ? &by_density : &stirred;
            bf_error err = {0};
            pair[l] = f == 2 ? in_brine(spec, selectivity) : build(spec, selectivity);
            if (f < 2) {
                const bf_flow feed = service(1.0);
                assert_ok(bf_bed_fill(pair[l], NULL, feed.inlet_eq_per_m3, &err));
            }
            passage[l] = run(pair[l], &flows[f]);
        }
        ck_assert(memcmp(&passage[0], &passage[1], sizeof passage[0]) == 0);
        ck_assert(bf_bed_distance(pair[0], pair[1]) == 0.0);
        if (f == 0) {
            const double gone = exp(-flows[f].velocity_m_per_s * flows[f].duration_s / 0.41);
            /* relative tolerance of the integrator 5e-4 a step; seen 1e-4 */
            assert_near(above_bed(pair[0], 0), 1831.1 + (10.0 - 1831.1) * gone, 5e-4);
        }
        bf_bed_free(pair[0]);
        bf_bed_free(pair[1]);
    }
    bf_selectivity_free(selectivity);
}
END_TEST

/* Brine from below pushes the water out: what leaves the vessel is what left the bed, late by H/u;
 * what stays above the bed is the last of it, the latest lowest, and goes back down first. */
START_TEST(heavy_water_from_below_is_a_delay)
{
    bf_selectivity *selectivity = equilibrium(BF_EQUILIBRIUM_MASS_ACTION, 2);
    const double heights[] = {0.29, 1.9}; /* less and more than what passes */
    for (size_t h = 0; h < COUNT(heights); h++) {
        const bf_bed_spec with = vessel(heights[h], BF_FREEBOARD_BY_DENSITY);
        const bf_bed_spec without = vessel(0.0, BF_FREEBOARD_BY_DENSITY);
        bf_bed *pair[2];
        bf_passage passage[2];
        static track kept[2];
        for (size_t l = 0; l < 2; l++) {
            bf_error err = {0};
            const double resin[BF_ION_COUNT] = {[BF_ION_CA] = 0.51, [BF_ION_MG] = 0.21};
            const bf_flow feed = service(1.0);
            bf_flow up = brine(1.2);
            up.direction = BF_FLOW_UP;
            up.observe = keep_track;
            up.context = &kept[l];
            kept[l].count = 0;
            pair[l] = build(l == 0 ? &with : &without, selectivity);
            assert_ok(bf_bed_fill(pair[l], resin, feed.inlet_eq_per_m3, &err));
            passage[l] = run(pair[l], &up);
        }
        /* one and the same integration */
        ck_assert(bf_bed_distance(pair[0], pair[1]) == 0.0);
        ck_assert_uint_eq(kept[0].count, kept[1].count);
        const double late_s = heights[h] / (4.0 * 0.76 / 3600.0);
        for (size_t k = 0; k < kept[0].count; k++) {
            const double time_s = kept[0].time_s[k];
            ck_assert(time_s == kept[1].time_s[k]);
            const double bed_s = time_s - late_s;
            const double first_s = kept[1].time_s[0];
            const double expected = bed_s <= 0.0 ? 10.0
                                    : bed_s < first_s
                                        ? 10.0 + bed_s / first_s * (kept[1].normality[0] - 10.0)
                                        : value_of(&kept[1], kept[1].normality, bed_s);
            assert_near(kept[0].normality[k], expected, 1e-9); /* both linear between moments */
        }
        const double ratio = heights[h] / 0.76;
        for (size_t q = 0; q < 3; q++) {
            const bf_ion ion = (bf_ion[]){BF_ION_NA, BF_ION_CA, BF_ION_MG}[q];
            const double before = (double[]){2.0, 5.3, 2.7}[q];
            const double calcium = above_bed(pair[0], 1);
            const double magnesium = above_bed(pair[0], 2);
            const double now = q == 0   ? above_bed(pair[0], 0) - calcium - magnesium
                               : q == 1 ? calcium
                                        : magnesium;
            assert_near(passage[0].out_eq_per_m3[ion] + ratio * (now - before),
                        passage[1].out_eq_per_m3[ion], 1e-12);
        }
        ck_assert_double_le(passage[0].imbalance_eq_per_m3, 1e-9);
        ck_assert_double_eq(passage[0].hardness_last_eq_per_m3,
                            kept[0].hardness[kept[0].count - 1]);
        if (h == 1) { /* nothing but the old feed has left */
            assert_near(passage[0].hardness_last_eq_per_m3, 8.0, 1e-14);
            assert_near(passage[0].hardness_first_eq_per_m3, 8.0, 1e-14);
            assert_near(passage[0].out_eq_per_m3[BF_ION_CA], 5.3 * 1.2, 1e-12);
        } else {
            ck_assert_double_gt(passage[0].hardness_last_eq_per_m3, 50.0);
            assert_near(passage[0].hardness_first_eq_per_m3,
                        value_of(&kept[0], kept[0].hardness, 450.0), 0.02);
        }
        /* the lowest layer is the last slice of what left the bed: a sixteenth of the height */
        const double *water;
        const double slice = bf__freeboard_lowest(&pair[0]->column.layout, pair[0]->state, &water);
        const double slice_s = slice * heights[h] / (4.0 * 0.76 / 3600.0);
        assert_near(water[0], value_of(&kept[1], kept[1].normality, 1080.0 - 0.5 * slice_s), 0.02);
        bf_flow down = service(0.8);
        down.velocity_m_per_s = 2e-3;
        const bf_passage back = run(pair[0], &down);
        ck_assert_double_le(back.imbalance_eq_per_m3, 1e-9);
        bf_bed_free(pair[0]);
        bf_bed_free(pair[1]);
    }
    bf_selectivity_free(selectivity);
}
END_TEST

/* An end point is looked for in what leaves: upward service keeps the stirred volume for that, and
 * ends where that law ends it. A flow that enters at the bed leaves the layers alone. */
START_TEST(an_end_point_upward_and_a_way_around)
{
    bf_selectivity *selectivity = equilibrium(BF_EQUILIBRIUM_MASS_ACTION, 2);
    bf_passage passage[2];
    for (size_t l = 0; l < 2; l++) {
        const bf_bed_spec spec =
            vessel(0.35, l == 0 ? BF_FREEBOARD_BY_DENSITY : BF_FREEBOARD_STIRRED);
        bf_bed *bed = build(&spec, selectivity); /* 1 eq/m3 of Na above it: lighter than the feed */
        bf_flow up = service(400.0);
        up.direction = BF_FLOW_UP;
        up.velocity_m_per_s = 5e-4;
        up.duration_s = 1e6;
        up.end_hardness_eq_per_m3 = 0.342;
        passage[l] = run(bed, &up);
        ck_assert(passage[l].reached_end_hardness);
        bf_bed_free(bed);
    }
    ck_assert(memcmp(&passage[0], &passage[1], sizeof passage[0]) == 0);

    const bf_bed_spec spec = vessel(0.33, BF_FREEBOARD_BY_DENSITY);
    bf_bed *bed = in_brine(&spec, selectivity);
    bf_flow rinse = service(0.0);
    rinse.velocity_m_per_s = 1.07e-3;
    rinse.duration_s = 123.0;
    (void)run(bed, &rinse);
    const double mean = above_bed(bed, 0);
    rinse.bypass_freeboard = 1;
    rinse.duration_s = 500.0;
    (void)run(bed, &rinse);
    const double *water;
    ck_assert(above_bed(bed, 0) == mean);
    assert_near(bf__freeboard_lowest(&bed->column.layout, bed->state, &water), 1.0 - 0.13161 / 0.33,
                1e-12);
    bf_bed_free(bed);
    bf_selectivity_free(selectivity);
}
END_TEST

/* An end point reached while a layer passes ends the run there, with what has passed of the layer. */
START_TEST(an_end_point_within_a_layer)
{
    bf_error err = {0};
    bf_selectivity *selectivity = equilibrium(BF_EQUILIBRIUM_MASS_ACTION, 2);
    const bf_bed_spec spec = vessel(1.3, BF_FREEBOARD_BY_DENSITY);
    bf_bed *bed = build(&spec, selectivity);
    const double soft[BF_ION_COUNT] = {[BF_ION_NA] = 40.0, [BF_ION_CA] = 9.0};
    assert_ok(bf_bed_fill(bed, NULL, soft, &err));
    bf_flow down = service(900.0);
    down.velocity_m_per_s = 2e-3;
    down.inlet_eq_per_m3[BF_ION_CA] = 0.01;
    down.inlet_eq_per_m3[BF_ION_MG] = 0.0;
    down.duration_s = 500.0;
    down.end_hardness_eq_per_m3 = 9.5; /* the water in the bed has 9, which the resin takes */
    bf_passage passage = run(bed, &down);
    ck_assert(!passage.reached_end_hardness);
    down.end_hardness_eq_per_m3 = 1e-3;
    const double loaded_resin[BF_ION_COUNT] = {[BF_ION_CA] = 0.02};
    assert_ok(bf_bed_fill(bed, loaded_resin, (double[BF_ION_COUNT]){[BF_ION_NA] = 40.0}, &err));
    passage = run(bed, &down);
    ck_assert(passage.reached_end_hardness);
    ck_assert_double_lt(passage.duration_s, 500.0);
    const double *water;
    assert_near(bf__freeboard_lowest(&bed->column.layout, bed->state, &water),
                1.0 - 2e-3 * passage.duration_s / 1.3, 1e-12);
    ck_assert_double_le(passage.imbalance_eq_per_m3, 1e-9);
    bf_bed_free(bed);
    bf_selectivity_free(selectivity);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {density_decides_where_the_flow_is_slow_enough,
                                  what_enters_and_leaves_is_the_change,
                                  layers_without_room_join_their_likeliest_neighbours,
                                  light_water_from_above_is_a_delay,
                                  layers_wait_for_the_next_run,
                                  stirred_is_an_exponential,
                                  heavy_water_from_below_is_a_delay,
                                  an_end_point_upward_and_a_way_around,
                                  an_end_point_within_a_layer};
    return support_run("bed.freeboard", tests, COUNT(tests), 60.0);
}
