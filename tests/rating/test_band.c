/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The band of a rating: points, rounding, what is moved and how far, indices against functions
 * whose indices are known, a band taken apart into its samples, and every refusal.
 *
 * The linker sends the model's calls of malloc() and calloc() here (--wrap, see CMakeLists.txt). */
#include "brinefront/band.h"

#include "brinefront/brine.h"
#include "support.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_qrng.h>
#include <math.h>
#include <stdatomic.h>
#include <stdio.h>
#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof *(array))

static const double pi = 3.14159265358979323846;

/* ---- memory that runs out ------------------------------------------------------------------- */

/* volatile: a compiler takes malloc() to leave a program's own variables alone. */
static volatile size_t allocations, fails_at; /* 0: none */

void *__real_malloc(size_t size);
void *__real_calloc(size_t count, size_t size);
void *__wrap_malloc(size_t size);
void *__wrap_calloc(size_t count, size_t size);

static int fails_now(void)
{
    size_t now = allocations + 1;
    allocations = now;
    return fails_at > 0 && now == fails_at;
}

void *__wrap_malloc(size_t size)
{
    return fails_now() ? NULL : __real_malloc(size);
}

void *__wrap_calloc(size_t count, size_t size)
{
    return fails_now() ? NULL : __real_calloc(count, size);
}

static void fail_at(size_t allocation)
{
    allocations = 0;
    fails_at = allocation;
}

/* ---- the library behind points and fits has nothing to report ----------------------------------
 */

static volatile int reports;

static void count_reports(const char *reason, const char *file, int line, int code)
{
    reports++;
    (void)printf("%s:%d: %s (%d)\n", file, line, reason, code);
}

/* Its handler is the program's own and is left alone. */
static void watch_reports(void)
{
    (void)gsl_set_error_handler(count_reports);
}

static void no_reports(void)
{
    ck_assert_int_eq(reports, 0);
    ck_assert(gsl_set_error_handler(count_reports) == count_reports);
}

/* ---- points --------------------------------------------------------------------------------- */

START_TEST(points_are_those_of_the_sequence)
{
    bf_error err = {0};
    double position[40 * 50];
    watch_reports();
    for (unsigned dimensions = 1; dimensions <= 40; dimensions += 13) {
        double row[40];
        assert_ok(bf_sobol_points(50, dimensions, position, &err));
        gsl_qrng *sequence = gsl_qrng_alloc(gsl_qrng_sobol, dimensions);
        for (size_t p = 0; p < 50; p++) {
            (void)gsl_qrng_get(sequence, row);
            ck_assert(memcmp(row, position + p * dimensions, dimensions * sizeof *row) == 0);
        }
        gsl_qrng_free(sequence);
    }
    /* The first points in two dimensions: Bratley & Fox 1988, from memory; the plane is halved,
     * then quartered. */
    const double first[][2] = {{0.5, 0.5}, {0.75, 0.25}, {0.25, 0.75}};
    assert_ok(bf_sobol_points(3, 2, position, &err));
    ck_assert(memcmp(position, first, sizeof first) == 0);
    /* Any 2^k - 1 points and the origin put one into each of 2^k slices of every dimension. */
    assert_ok(bf_sobol_points(31, 14, position, &err));
    for (size_t d = 0; d < 14; d++) {
        int seen[32] = {1};
        for (size_t p = 0; p < 31; p++) {
            seen[(int)(32.0 * position[p * 14 + d])]++;
        }
        for (size_t k = 0; k < COUNT(seen); k++) {
            ck_assert_int_eq(seen[k], 1);
        }
    }
    assert_fails(bf_sobol_points(0, 2, position, &err), BF_E_RANGE, "0 points");
    assert_fails(bf_sobol_points(1, 0, position, &err), BF_E_RANGE, "0 dimensions");
    assert_fails(bf_sobol_points(1, 41, position, &err), BF_E_RANGE, "41 dimensions");
    assert_fails(bf_sobol_points(((size_t)1 << 29) + 1, 2, position, &err), BF_E_RANGE, "points");
    fail_at(1);
    ck_assert_int_eq(bf_sobol_points(3, 2, position, &err), BF_E_MEMORY);
    fail_at(0);
    no_reports();
}
END_TEST

/* ---- rounding ------------------------------------------------------------------------------- */

START_TEST(rounding_is_to_the_side_asked_for)
{
    const struct {
        double value;
        int digits;
        double down, up;
    } rows[] = {
        {28973.0, 3, 28900.0, 29000.0},
        {29000.0, 3, 29000.0, 29000.0},
        {29000.0, 1, 20000.0, 30000.0},
        {29000.0, 9, 29000.0, 29000.0},
        {28999.999999999996, 3, 29000.0, 29000.0}, /* 29000 as a conversion of units leaves it */
        {29000.000000000004, 3, 29000.0, 29000.0},
        {28999.9999, 3, 28900.0, 29000.0},
        {29000.0001, 3, 29000.0, 29100.0},
        {0.1 + 0.2, 1, 0.3, 0.3},
        {0.3, 2, 0.3, 0.3},
        {0.00123456, 2, 0.0012, 0.0013},
        {999.6, 3, 999.0, 1000.0},
        {1000.0, 3, 1000.0, 1000.0},
        {nextafter(1000.0, 0.0), 3, 1000.0, 1000.0},
        {1.0, 1, 1.0, 1.0},
        {-28973.0, 3, -29000.0, -28900.0},
        {1.7e-300, 1, 1e-300, 2e-300},
        {1.7e300, 1, 1e300, 2e300},
        {4.94e-324, 3, 4.94e-324, 4.94e-324},
        {0.0, 3, 0.0, 0.0},
        {1.25, 0, 1.0, 2.0},
        {0.123456789012345678, 40, 0.123456789, 0.123456790},
    };
    for (size_t i = 0; i < COUNT(rows); i++) {
        ck_assert_double_eq(bf_round_down(rows[i].value, rows[i].digits), rows[i].down);
        ck_assert_double_eq(bf_round_up(rows[i].value, rows[i].digits), rows[i].up);
    }
    ck_assert(isnan(bf_round_down((double)NAN, 3)));
    ck_assert(isinf(bf_round_up((double)INFINITY, 3)));
    /* Every number of three digits stays, whatever its power of ten. */
    for (int power = -12; power <= 12; power++) {
        for (int k = 100; k < 1000; k += 7) {
            char text[32];
            (void)snprintf(text, sizeof text, "%de%d", k, power);
            const double exact = strtod(text, NULL);
            ck_assert_double_eq(bf_round_down(exact, 3), exact);
            ck_assert_double_eq(bf_round_up(exact, 3), exact);
            ck_assert_double_eq(bf_round_down(exact * (1.0 + 1e-9), 3), exact);
            ck_assert_double_eq(bf_round_up(exact * (1.0 - 1e-9), 3), exact);
        }
    }
}
END_TEST

/* ---- indices of functions whose indices are known -----------------------------------------------
 */

static const bf_band_index *index_of(const bf_band_index *list, size_t count, size_t uncertain)
{
    size_t i = 0;
    while (i < count && list[i].uncertain != uncertain) {
        i++;
    }
    ck_assert_uint_lt(i, count);
    return &list[i];
}

static void ordered_and_whole(const bf_band_index *list, size_t count)
{
    double alone = 0.0;
    for (size_t i = 0; i < count; i++) {
        alone += list[i].alone;
        ck_assert_double_ge(list[i].alone, 0.0);
        ck_assert_double_le(list[i].alone, list[i].total);
        ck_assert_double_le(list[i].total, 1.0 + 1e-12); /* sums of squares over their own sum */
        ck_assert(i == 0 || list[i - 1].total >= list[i].total);
    }
    ck_assert_double_le(alone, 1.0 + 1e-12);
}

typedef double function(const double *x);

/* sin a + 7 sin^2 b + 0.1 c^4 sin a on -pi .. pi: T. Ishigami and T. Homma, Proc. ISUMA '90 (IEEE,
 * 1990) 398, from memory. */
static double ishigami(const double *x)
{
    double a = pi * (2.0 * x[0] - 1.0);
    double b = pi * (2.0 * x[1] - 1.0);
    double c = pi * (2.0 * x[2] - 1.0);
    return sin(a) + 7.0 * sin(b) * sin(b) + 0.1 * c * c * c * c * sin(a);
}

/* prod (1 + w_i (2 x_i - 1)): V_i = w_i^2/3, D = prod (1 + V_i) - 1, alone V_i/D, total
 * V_i/D prod_(j not i) (1 + V_j): integrals of each factor. */
static const double product_weights[] = {0.8, 0.5, 0.2, 0.1};
static double product(const double *x)
{
    double value = 1.0;
    for (size_t i = 0; i < COUNT(product_weights); i++) {
        value *= 1.0 + product_weights[i] * (2.0 * x[i] - 1.0);
    }
    return value;
}

static double indices_at_points(function *of, size_t count, size_t dimensions, bf_band_index *out)
{
    bf_error err = {0};
    double explained;
    double *position = malloc(count * dimensions * sizeof *position);
    double *value = malloc(count * sizeof *value);
    assert_ok(bf_sobol_points(count, dimensions, position, &err));
    for (size_t s = 0; s < count; s++) {
        value[s] = of(position + s * dimensions);
    }
    assert_ok(bf_indices_of(position, value, count, dimensions, out, &explained, &err));
    ordered_and_whole(out, dimensions);
    free(position);
    free(value);
    return explained;
}

/* Its indices in closed form, by integration: V_1 = (1 + b pi^4/5)^2/2, V_2 = a^2/8,
 * V_13 = 8 b^2 pi^8/225, a = 7, b = 0.1. Published to four digits as 0.3139, 0.4424, 0; total
 * 0.5576, 0.4424, 0.2437 (Saltelli et al., Global Sensitivity Analysis: The Primer, 2008, from
 * memory). */
START_TEST(indices_of_ishigamis_function)
{
    const double power4 = pi * pi * pi * pi;
    const double v1 = 0.5 * (1.0 + 0.1 * power4 / 5.0) * (1.0 + 0.1 * power4 / 5.0);
    const double v2 = 49.0 / 8.0;
    const double v13 = 8.0 * 0.01 * power4 * power4 / 225.0;
    const double d = v1 + v2 + v13;
    const double alone[] = {v1 / d, v2 / d, 0.0};
    const double total[] = {(v1 + v13) / d, v2 / d, v13 / d};
    const double published[2][3] = {{0.3139, 0.4424, 0.0}, {0.5576, 0.4424, 0.2437}};
    bf_band_index list[3];
    watch_reports();
    /* 256 points: the surrogate goes to order 10 of its own accord. Its first missing pair,
     * P_5 P_6 of x_1 x_3, is worth less than 1e-4 of the variance. */
    double explained = indices_at_points(ishigami, 256, 3, list);
    (void)printf("Ishigami: Q2 %.6f\n", explained);
    ck_assert_double_gt(explained, 0.999);
    for (size_t i = 0; i < 3; i++) {
        const bf_band_index *at = index_of(list, 3, i);
        assert_near_abs(alone[i], published[0][i], 0.00005 + 1e-12); /* half a digit */
        assert_near_abs(total[i], published[1][i], 0.00005 + 1e-12);
        assert_near_abs(at->alone, alone[i], 1e-3);
        assert_near_abs(at->total, total[i], 1e-3);
        ck_assert_double_lt(at->total_error, 1e-3);
    }
    /* Sixteen points cannot know it, and Q2 says so. */
    ck_assert_double_lt(indices_at_points(ishigami, 16, 3, list), 0.5);
    no_reports();
}
END_TEST

START_TEST(indices_of_a_product)
{
    bf_band_index list[4];
    double v[4];
    double d = 1.0;
    double explained = indices_at_points(product, 256, 4, list);
    for (size_t i = 0; i < 4; i++) {
        v[i] = product_weights[i] * product_weights[i] / 3.0;
        d *= 1.0 + v[i];
    }
    d -= 1.0;
    double of_three = 0.0; /* share of the terms of three and four factors, which are left out */
    for (size_t i = 0; i < 4; i++) {
        double all = v[0] * v[1] * v[2] * v[3];
        of_three += all / v[i] / d;
    }
    (void)printf("product: Q2 %.6f, terms of three are %.6f\n", explained, of_three);
    assert_near_abs(1.0 - explained, of_three, 0.5 * of_three + 2e-3);
    for (size_t i = 0; i < 4; i++) {
        const bf_band_index *at = index_of(list, 4, i);
        assert_near_abs(at->alone, v[i] / d, of_three + 3.0 * at->alone_error);
        assert_near_abs(at->total, v[i] / d * (d + 1.0) / (1.0 + v[i]),
                        2.0 * of_three + 3.0 * at->total_error);
    }
}
END_TEST

/* 3 sign + 2 (2 x - 1) + sign (2 y - 1): variances 9, 4/3 and 1/3. */
START_TEST(a_choice_between_two_is_no_ramp)
{
    bf_error err = {0};
    double position[64][3], value[64], explained;
    bf_band_index list[3];
    const double d = 9.0 + 4.0 / 3.0 + 1.0 / 3.0;
    assert_ok(bf_sobol_points(64, 3, &position[0][0], &err));
    for (size_t s = 0; s < 64; s++) {
        position[s][1] = position[s][1] < 0.5 ? 0.0 : 1.0;
        double sign = 2.0 * position[s][1] - 1.0;
        value[s] =
            3.0 * sign + 2.0 * (2.0 * position[s][0] - 1.0) + sign * (2.0 * position[s][2] - 1.0);
    }
    assert_ok(bf_indices_of(&position[0][0], value, 64, 3, list, &explained, &err));
    ck_assert_uint_eq(list[0].uncertain, 1);
    /* Four terms, all of them among the candidates: rounding. */
    assert_near(explained, 1.0, 1e-9);
    assert_near(list[0].alone, 9.0 / d, 1e-9);
    assert_near(list[0].total, (9.0 + 1.0 / 3.0) / d, 1e-9);
    assert_near(index_of(list, 3, 2)->total, 1.0 / 3.0 / d, 1e-9);
    assert_near_abs(index_of(list, 3, 2)->alone, 0.0, 1e-9);
}
END_TEST

/* x_1 (2, variance 4/3) and x_2 (1, 1/3), and noise that belongs to nobody: indices 0.8 and 0.2.
 * Drawn 60 times. Two standard errors hold 95 % if the errors are right; of 60 fewer than 51 is an
 * event of 1 in 1000 then (binomial: mean 57, deviation 1.7). */
START_TEST(errors_cover_the_known_value)
{
    enum { TIMES = 60, POINTS = 64 };
    bf_error err = {0};
    unsigned long long seed = 417;
    double position[POINTS][3], value[POINTS];
    size_t covered = 0;
    double spread = 0.0;
    double told = 0.0;
    for (int k = 0; k < TIMES; k++) {
        bf_band_index list[3];
        double explained;
        for (size_t s = 0; s < POINTS; s++) {
            double noise = -6.0;
            for (size_t d = 0; d < 3; d++) {
                position[s][d] = support_uniform(&seed);
            }
            for (int twelve = 0; twelve < 12; twelve++) {
                noise += support_uniform(&seed);
            }
            value[s] = 2.0 * (2.0 * position[s][0] - 1.0) + 2.0 * position[s][1] + 0.6 * noise;
        }
        assert_ok(bf_indices_of(&position[0][0], value, POINTS, 3, list, &explained, &err));
        const bf_band_index *at = index_of(list, 3, 0);
        covered += fabs(at->total - 0.8) <= 2.0 * at->total_error;
        spread += (at->total - 0.8) * (at->total - 0.8) / TIMES;
        told += at->total_error * at->total_error / TIMES;
    }
    (void)printf("covered %zu of %d; scatter %.4f, error told %.4f\n", covered, (int)TIMES,
                 sqrt(spread), sqrt(told));
    ck_assert_uint_ge(covered, 51);
    ck_assert_double_lt(told, 4.0 * spread); /* and not by being huge */
}
END_TEST

START_TEST(indices_that_cannot_be_are_refused)
{
    bf_error err = {0};
    double position[32][2], value[32], explained;
    bf_band_index list[2];
    watch_reports();
    assert_ok(bf_sobol_points(32, 2, &position[0][0], &err));
    for (size_t s = 0; s < 32; s++) {
        value[s] = position[s][0] + position[s][0] * position[s][1];
    }
    const double *at = &position[0][0];
    assert_fails(bf_indices_of(at, value, 15, 2, list, &explained, &err), BF_E_RANGE, "15 values");
    assert_fails(bf_indices_of(at, value, 65537, 2, list, &explained, &err), BF_E_RANGE, "65537");
    assert_fails(bf_indices_of(at, value, 32, 0, list, &explained, &err), BF_E_RANGE,
                 "0 dimensions");
    assert_fails(bf_indices_of(at, value, 32, 41, list, &explained, &err), BF_E_RANGE,
                 "41 dimensions");
    const double kept = value[7];
    value[7] = (double)NAN;
    assert_fails(bf_indices_of(at, value, 32, 2, list, &explained, &err), BF_E_RANGE, "value 8");
    value[7] = kept;
    position[3][1] = 1.001;
    assert_fails(bf_indices_of(at, value, 32, 2, list, &explained, &err), BF_E_RANGE,
                 "dimension 2 of point 4");
    position[3][1] = (double)NAN;
    assert_fails(bf_indices_of(at, value, 32, 2, list, &explained, &err), BF_E_RANGE, "point 4");
    position[3][1] = 0.4;
    double same[32];
    for (size_t s = 0; s < 32; s++) {
        same[s] = 3.25;
    }
    assert_fails(bf_indices_of(at, same, 32, 2, list, &explained, &err), BF_E_RANGE, "3.25");
    double nowhere[64] = {0}; /* all points in one place */
    assert_fails(bf_indices_of(nowhere, value, 32, 2, list, &explained, &err), BF_E_RANGE,
                 "points that differ");
    /* Any one allocation fails, and all is given back (the sanitizers would tell). */
    size_t failed = 0;
    bf_status status = BF_E_MEMORY;
    while (status == BF_E_MEMORY) {
        fail_at(++failed);
        status = bf_indices_of(at, value, 32, 2, list, &explained, &err);
        fail_at(0);
    }
    assert_ok(status);
    ck_assert_uint_gt(failed, 10);
    no_reports();
}
END_TEST

/* ---- what is moved, and how far ----------------------------------------------------------------
 */

static bf_step *add_step(bf_rating_spec *spec, const bf_step_type *type, double bed_volumes_per_h)
{
    bf_step *step = &spec->recipe.step[spec->recipe.count++];
    *step = (bf_step){.type = type,
                      .direction = BF_FLOW_DOWN,
                      .supply = BF_SUPPLY_RAW,
                      .velocity_m_per_s = bed_volumes_per_h * spec->bed.depth_m / 3600.0,
                      .bed_volumes = (double)NAN,
                      .end_hardness_eq_per_m3 = (double)NAN,
                      .stop_hardness_eq_per_m3 = (double)NAN,
                      .salt = BF_SALT_NACL,
                      .mass_fraction = 0.0973};
    return step;
}

/* A bed on hard water, on a grid too coarse to trust and quick to run. */
static bf_rating_spec coarse_bed(double temperature_K)
{
    bf_error err = {0};
    bf_rating_spec spec = {.bed = bf_bed_spec_default(), .steady = bf_steady_spec_default()};
    bf_water_analysis analysis = bf_water_analysis_default();
    analysis.hardness_eq_per_m3 = 9.83;
    analysis.calcium_to_magnesium = 1.93;
    analysis.ion_eq_per_m3[BF_ION_NA] = 2.07;
    analysis.temperature_K = temperature_K;
    assert_ok(bf_water_complete(&analysis, &spec.water, NULL, &err));
    spec.bed.depth_m = 0.731;
    spec.bed.freeboard_m = 0.35;
    spec.bed.cells = 24;
    spec.bed.shells = 2;
    add_step(&spec, &bf_step_service, 19.3)->end_hardness_eq_per_m3 = 0.342;
    add_step(&spec, &bf_step_brine, 4.1);
    add_step(&spec, &bf_step_slow_rinse, 4.1)->bed_volumes = 1.9;
    add_step(&spec, &bf_step_fast_rinse, 11.7)->bed_volumes = 2.1;
    add_step(&spec, &bf_step_refill, 2.2);
    return spec;
}

static size_t constant_named(const char *name)
{
    size_t k = 0;
    while (k < bf_uncertain_count() && strcmp(bf_uncertain_get(k).name, name) != 0) {
        k++;
    }
    ck_assert_msg(k < bf_uncertain_count(), "no constant \"%s\"", name);
    return k;
}

enum { FIELDS = 19 };

/* Every number that a constant may move. */
static void fields_of(const bf_rating_spec *of, double dose, double field[FIELDS])
{
    const bf_resin *resin = &of->bed.resin;
    const double all[FIELDS] = {resin->capacity_eq_per_m3,
                                resin->selectivity[BF_ION_CA],
                                resin->selectivity[BF_ION_MG],
                                resin->diffusivity_25C_m2_per_s[BF_ION_NA],
                                resin->diffusivity_25C_m2_per_s[BF_ION_CA],
                                resin->diffusivity_25C_m2_per_s[BF_ION_MG],
                                resin->activation_J_per_mol[BF_ION_NA],
                                resin->activation_J_per_mol[BF_ION_CA],
                                resin->activation_J_per_mol[BF_ION_MG],
                                (double)of->bed.film_law,
                                resin->bead_diameter_m,
                                resin->void_fraction,
                                of->bed.dispersion_factor,
                                of->water.temperature_K,
                                of->recipe.step[1].mass_fraction,
                                of->recipe.step[4].mass_fraction,
                                dose,
                                resin->selectivity[BF_ION_NA],
                                resin->diffusivity_25C_m2_per_s[BF_ION_K]};
    memcpy(field, all, sizeof all);
}

/* Limits of the sources that resin.c and docs/validation.md name, as shares of their centre. */
START_TEST(constants_move_from_their_own_value_to_their_limits)
{
    const struct {
        const char *name;
        size_t field, fields; /* which move, and how many in a row */
        double low, high;     /* factors */
        int in_logarithm;
    } rows[] = {
        {"total capacity", 0, 1, 1.9 / 2.0, 2.05 / 2.0, 0},
        {"selectivity of Ca", 1, 1, 1.0 / 1.3, 1.3, 1},
        {"selectivity of Mg", 2, 1, 1.0 / 1.3, 1.3, 1},
        {"diffusivity of Na in the bead", 3, 1, 6.6 / 9.4, 15.0 / 9.4, 1},
        {"diffusivity of Ca in the bead", 4, 1, 0.6, 2.0, 1},
        {"diffusivity of Mg in the bead", 5, 1, 0.6, 2.0, 1},
        {"activation energies in the bead", 6, 1, 21.0 / 25.0, 1.0, 0},
        {"activation energies in the bead", 7, 2, 27.0 / 30.0, 34.0 / 30.0, 0},
        {"bead diameter", 10, 1, 0.55 / 0.60, 0.65 / 0.60, 0},
        {"void fraction", 11, 1, 0.35 / 0.38, 0.40 / 0.38, 0},
        {"axial dispersion", 12, 1, 0.5, 2.0, 1},
        {"temperature", 13, 1, 286.4 / 291.4, 296.4 / 291.4, 0},
        {"brine strength", 14, 2, 0.8, 1.2, 0},
        {"salt dose", 16, 1, 0.98, 1.02, 0},
    };
    const bf_rating_spec own = coarse_bed(291.4);
    double before[FIELDS];
    fields_of(&own, 123.0, before);
    for (size_t r = 0; r < COUNT(rows); r++) {
        const size_t k = constant_named(rows[r].name);
        const int is_activation = strstr(rows[r].name, "activation") != NULL;
        for (int step = -1; step <= 5; step++) {
            const double position = 0.25 * step; /* also outside 0 .. 1 */
            const double part = fmin(fabs(2.0 * position - 1.0), 1.0);
            const double limit = position < 0.5 ? rows[r].low : rows[r].high;
            const double factor =
                rows[r].in_logarithm ? pow(limit, part) : 1.0 + (limit - 1.0) * part;
            bf_rating_spec moved = own;
            double dose = 123.0;
            double after[FIELDS];
            bf_uncertain_set(&moved, k, position, &dose);
            fields_of(&moved, dose, after);
            for (size_t f = 0; f < FIELDS; f++) {
                if (f >= rows[r].field && f < rows[r].field + rows[r].fields) {
                    /* 0.7 and 1.6 of the list for 6.6 and 15 of 9.4e-11: half a percent. */
                    assert_near(after[f], before[f] * factor, f == 3 ? 5e-3 : 1e-12);
                } else if (!is_activation || f < 6 || f > 8) {
                    ck_assert_double_eq(after[f], before[f]);
                }
                ck_assert(position != 0.5 || after[f] == before[f]); /* to the bit */
            }
        }
    }
    bf_uncertain_set(&(bf_rating_spec){0}, bf_uncertain_count(), 0.0, NULL); /* no such constant */
    ck_assert_ptr_null(bf_uncertain_get(bf_uncertain_count()).name);
    for (size_t k = 0; k < bf_uncertain_count(); k++) {
        bf_uncertain at = bf_uncertain_get(k);
        bf_rating_spec moved = own;
        bf_uncertain_set(&moved, k, 0.0, NULL); /* no dose to move */
        ck_assert(at.name != NULL && at.low != NULL && at.high != NULL && at.source != NULL);
    }
}
END_TEST

START_TEST(the_film_has_the_other_law_below_the_middle)
{
    const size_t k = constant_named("film coefficient");
    ck_assert_int_ne(bf_uncertain_get(k).is_choice, 0);
    const bf_film_law laws[] = {BF_FILM_WILSON_GEANKOPLIS, BF_FILM_KATAOKA};
    for (size_t own = 0; own < 2; own++) {
        bf_rating_spec spec = coarse_bed(291.4);
        spec.bed.film_law = laws[own];
        bf_uncertain_set(&spec, k, 0.5, NULL);
        ck_assert_int_eq((int)spec.bed.film_law, (int)laws[own]);
        bf_uncertain_set(&spec, k, 0.49, NULL);
        ck_assert_int_eq((int)spec.bed.film_law, (int)laws[1 - own]);
    }
}
END_TEST

/* On the edge of the model's range, all constants together at either limit stay inside it. */
START_TEST(limits_end_where_the_model_does)
{
    bf_error err = {0};
    for (int hot = 0; hot < 2; hot++) {
        for (int salt = 0; salt < 2; salt++) {
            bf_rating_spec edge = coarse_bed(hot ? 323.15 : 273.15);
            double saturated;
            edge.bed.resin.void_fraction = hot ? 0.6 : 0.2;
            edge.bed.resin.bead_diameter_m = hot ? 2e-3 : 0.1e-3;
            edge.bed.resin.capacity_eq_per_m3 = hot ? 4000.0 : 500.0;
            edge.bed.resin.selectivity[BF_ION_CA] = hot ? 1e4 : 1e-3;
            edge.bed.resin.diffusivity_25C_m2_per_s[BF_ION_NA] = hot ? 1e-8 : 1e-14;
            edge.bed.resin.activation_J_per_mol[BF_ION_MG] = hot ? 100e3 : 0.0;
            edge.bed.dispersion_factor = hot ? 10.0 : 0.1;
            assert_ok(
                bf_brine_saturation((bf_salt)salt, edge.water.temperature_K, &saturated, &err));
            edge.recipe.step[1].salt = (bf_salt)salt;
            edge.recipe.step[1].mass_fraction = saturated;
            bf_recipe_set_dose(&edge.recipe, 120.0);
            assert_ok(bf_rating_spec_check(&edge, &err));
            for (int high = 0; high < 2; high++) {
                bf_rating_spec moved = edge;
                for (size_t k = 0; k < bf_uncertain_count(); k++) {
                    bf_uncertain_set(&moved, k, (double)high, NULL);
                    assert_ok(bf_rating_spec_check(&moved, &err));
                }
                ck_assert_double_ge(moved.water.temperature_K, 273.15);
                ck_assert_double_le(moved.water.temperature_K, 323.15);
            }
        }
    }
}
END_TEST

/* ---- bands ---------------------------------------------------------------------------------- */

/* Of little enough salt for some samples to have no rating. */
static bf_band_spec small_band(void)
{
    bf_band_spec spec = bf_band_spec_default();
    spec.samples = 20;
    spec.cells = 12;
    spec.shells = 1;
    spec.dose_kg_per_m3 = 72.0;
    spec.threads = 1;
    return spec;
}

typedef struct watch {
    atomic_int inside;
    int overlapped, out_of_order;
    size_t calls, total;
} watch;

static void see(void *context, size_t done, size_t total)
{
    watch *w = context;
    w->overlapped |= atomic_fetch_add(&w->inside, 1) != 0;
    w->out_of_order |= done != ++w->calls;
    w->total = total;
    (void)atomic_fetch_sub(&w->inside, 1);
}

static bf_dose_point rate_by_hand(const bf_rating_spec *own, const double *position, double dose)
{
    bf_error err = {0};
    bf_rating_spec moved = *own;
    bf_dose_point point;
    for (size_t k = 0; k < bf_uncertain_count(); k++) {
        bf_uncertain_set(&moved, k, position[k], &dose);
    }
    bf_dose_curve_spec curve = {.dose_kg_per_m3 = &dose, .count = 1, .threads = 1};
    assert_ok(bf_dose_curve(&moved, &curve, &point, NULL, &err));
    return point;
}

/* x at share (n - 1), linear between the sorted values. */
static double quantile_by_hand(const bf_band *band, bf_band_quantity what, double share)
{
    double sorted[64];
    size_t n = 0;
    for (size_t s = 0; s < bf_band_samples(band); s++) {
        double value = bf_band_value(band, what, s);
        size_t to = n;
        if (!isnan(value)) {
            for (; to > 0 && sorted[to - 1] > value; to--) {
                sorted[to] = sorted[to - 1];
            }
            sorted[to] = value;
            n++;
        }
    }
    size_t below = (size_t)(share * (double)(n - 1));
    double inside = share * (double)(n - 1) - (double)below;
    return below + 1 < n ? sorted[below] + inside * (sorted[below + 1] - sorted[below])
                         : sorted[n - 1];
}

/* Every sample by hand, on both grids where the band says it uses two; the same bits, whatever the
 * number of threads. */
START_TEST(a_band_is_its_samples)
{
    bf_error err = {0};
    const bf_rating_spec rating = coarse_bed(291.4);
    bf_rating_spec coarse = rating;
    bf_band_spec spec = small_band();
    watch w = {0};
    bf_band *one = NULL;
    bf_band *many = NULL;
    watch_reports();
    coarse.bed.cells = spec.cells;
    coarse.bed.shells = spec.shells;
    coarse.bed.relative_tolerance = 1e-3;
    coarse.steady.capacity_tolerance = 1e-3;
    coarse.steady.leakage_tolerance = 1e-2;
    spec.progress = see;
    spec.context = &w;
    spec.threads = 3;
    assert_ok(bf_band_create(&rating, &spec, &many, &err));
    ck_assert(!w.overlapped && !w.out_of_order);
    ck_assert_uint_eq(w.calls, 36); /* 20 samples, 16 of them twice */
    ck_assert_uint_eq(w.total, 36);
    spec.progress = NULL;
    spec.threads = 1;
    assert_ok(bf_band_create(&rating, &spec, &one, &err));
    ck_assert_uint_eq(bf_band_samples(one), 20);

    double position[20 * 64];
    const size_t dimensions = bf_uncertain_count();
    assert_ok(bf_sobol_points(20, dimensions, position, &err));
    size_t unrated = 0;
    double fine[2] = {0}, on_coarse[2] = {0};
    bf_dose_point point[20];
    for (size_t s = 0; s < 20; s++) {
        point[s] = rate_by_hand(&coarse, position + s * dimensions, spec.dose_kg_per_m3);
        const int rated = point[s].steady.cycle.outcome == BF_RATED;
        unrated += !rated;
        if (s < 16) {
            bf_dose_point own =
                rate_by_hand(&rating, position + s * dimensions, spec.dose_kg_per_m3);
            if (s == 0) { /* the middle of everything: the case as it stands */
                ck_assert_double_eq(own.dose_kg_per_m3, spec.dose_kg_per_m3);
                ck_assert_double_eq(bf_band_central(one, BF_BAND_CAPACITY),
                                    own.steady.cycle.capacity_eq_per_m3);
                ck_assert_double_eq(bf_band_central(one, BF_BAND_LEAKAGE),
                                    own.steady.cycle.leakage_mean_eq_per_m3);
                ck_assert_double_eq(bf_band_central(one, BF_BAND_EFFICIENCY),
                                    own.efficiency_eq_per_eq);
            }
            if (rated && own.steady.cycle.outcome == BF_RATED) {
                fine[0] += own.steady.cycle.capacity_eq_per_m3;
                fine[1] += own.steady.cycle.leakage_mean_eq_per_m3;
                on_coarse[0] += point[s].steady.cycle.capacity_eq_per_m3;
                on_coarse[1] += point[s].steady.cycle.leakage_mean_eq_per_m3;
            }
        }
    }
    (void)printf("%zu of 20 without a rating\n", unrated);
    ck_assert_uint_gt(unrated, 4); /* 15 or fewer are left */
    ck_assert_uint_lt(unrated, 16);
    ck_assert_uint_eq(bf_band_unrated(one), unrated);
    ck_assert_double_eq(bf_band_grid_factor(one, BF_BAND_CAPACITY), fine[0] / on_coarse[0]);
    ck_assert_double_eq(bf_band_grid_factor(one, BF_BAND_LEAKAGE), fine[1] / on_coarse[1]);
    ck_assert_double_ne(fine[0], on_coarse[0]);
    for (size_t s = 0; s < 20; s++) {
        const int rated = point[s].steady.cycle.outcome == BF_RATED;
        const double capacity = bf_band_value(one, BF_BAND_CAPACITY, s);
        const double leakage = bf_band_value(one, BF_BAND_LEAKAGE, s);
        ck_assert_double_eq(capacity, rated ? point[s].steady.cycle.capacity_eq_per_m3 *
                                                  bf_band_grid_factor(one, BF_BAND_CAPACITY)
                                            : 0.0);
        ck_assert(rated ? leakage == point[s].steady.cycle.leakage_mean_eq_per_m3 *
                                         bf_band_grid_factor(one, BF_BAND_LEAKAGE)
                        : isnan(leakage));
        ck_assert(isnan(bf_band_value(one, BF_BAND_EFFICIENCY, s)) == !rated);
    }
    ck_assert(isnan(bf_band_value(one, BF_BAND_CAPACITY, 20)));

    for (int q = 0; q < BF_BAND_QUANTITIES; q++) {
        const bf_band_quantity what = (bf_band_quantity)q;
        for (size_t s = 0; s < 20; s++) {
            double a = bf_band_value(one, what, s);
            double b = bf_band_value(many, what, s);
            ck_assert(memcmp(&a, &b, sizeof a) == 0);
        }
        for (int share = 0; share <= 20; share++) {
            /* The same formula written twice: rounding. */
            assert_near(bf_band_quantile(one, what, 0.05 * share),
                        quantile_by_hand(one, what, 0.05 * share), 1e-14);
        }
        ck_assert(isnan(bf_band_quantile(one, what, -0.01)));
        ck_assert(isnan(bf_band_quantile(one, what, 1.01)));
        ck_assert(isnan(bf_band_quantile(one, what, (double)NAN)));
    }
    ck_assert_double_eq(bf_band_quantile(one, BF_BAND_CAPACITY, 0.0), 0.0);
    ck_assert_double_gt(bf_band_quantile(one, BF_BAND_LEAKAGE, 0.0), 0.0);

    /* Of the capacity, with the unrated as none; of the leakage, there are too few. */
    bf_band_index list[64], again[64];
    double explained, explained_again;
    assert_ok(bf_band_indices(one, BF_BAND_CAPACITY, list, &explained, &err));
    assert_ok(bf_band_indices(many, BF_BAND_CAPACITY, again, &explained_again, &err));
    ordered_and_whole(list, dimensions);
    ck_assert_double_eq(explained, explained_again);
    for (size_t i = 0; i < dimensions; i++) {
        ck_assert_uint_eq(list[i].uncertain, again[i].uncertain);
        ck_assert_double_eq(list[i].total, again[i].total);
        ck_assert(list[i].total_error == again[i].total_error || isnan(list[i].total_error));
    }
    assert_fails(bf_band_indices(one, BF_BAND_LEAKAGE, list, &explained, &err), BF_E_RANGE,
                 "values; accepted");
    fail_at(1);
    ck_assert_int_eq(bf_band_indices(one, BF_BAND_CAPACITY, list, &explained, &err), BF_E_MEMORY);
    fail_at(2);
    ck_assert_int_eq(bf_band_indices(one, BF_BAND_CAPACITY, list, &explained, &err), BF_E_MEMORY);
    fail_at(0);
    bf_band_free(one);
    bf_band_free(many);
    no_reports();
}
END_TEST

/* Without any rating: no capacity, and nothing to tell of the rest. */
START_TEST(a_band_without_a_rating_says_so)
{
    bf_error err = {0};
    bf_rating_spec rating = coarse_bed(291.4);
    bf_band_spec spec = small_band();
    bf_band *band = NULL;
    bf_band_index list[64];
    double explained;
    rating.steady.most_cycles = 2; /* never steady: there is no estimate before the third */
    rating.bed.cells = 8;
    spec.cells = 8;
    spec.samples = 16;
    spec.threads = 0;
    assert_ok(bf_band_create(&rating, &spec, &band, &err));
    ck_assert_uint_eq(bf_band_unrated(band), 16);
    ck_assert_double_eq(bf_band_quantile(band, BF_BAND_CAPACITY, 1.0), 0.0);
    ck_assert_double_eq(bf_band_central(band, BF_BAND_CAPACITY), 0.0);
    ck_assert(isnan(bf_band_quantile(band, BF_BAND_LEAKAGE, 0.5)));
    ck_assert(isnan(bf_band_central(band, BF_BAND_EFFICIENCY)));
    for (int q = 0; q < BF_BAND_QUANTITIES; q++) {
        ck_assert_double_eq(bf_band_grid_factor(band, (bf_band_quantity)q), 1.0);
    }
    assert_fails(bf_band_indices(band, BF_BAND_CAPACITY, list, &explained, &err), BF_E_RANGE,
                 "no variance");
    assert_fails(bf_band_indices(band, BF_BAND_LEAKAGE, list, &explained, &err), BF_E_RANGE,
                 "0 values");
    bf_band_free(band);
}
END_TEST

/* What must be so of any bed, one constant at a time: more sites and more salt hold more, and beads
 * that exchange faster leak less. */
START_TEST(a_rating_follows_its_constants)
{
    const bf_rating_spec rating = coarse_bed(291.4);
    const struct {
        const char *name;
        int capacity, leakage; /* sign of high less low; 0: not said */
    } rows[] = {{"total capacity", 1, 0},
                {"salt dose", 1, 0},
                {"diffusivity of Ca in the bead", 1, -1},
                {"bead diameter", -1, 1}};
    for (size_t r = 0; r < COUNT(rows); r++) {
        double at[2][64];
        const size_t k = constant_named(rows[r].name);
        for (size_t i = 0; i < bf_uncertain_count(); i++) {
            at[0][i] = at[1][i] = 0.5;
        }
        at[0][k] = 0.0;
        at[1][k] = 1.0;
        bf_dose_point low = rate_by_hand(&rating, at[0], 140.0);
        bf_dose_point high = rate_by_hand(&rating, at[1], 140.0);
        const double capacity =
            high.steady.cycle.capacity_eq_per_m3 - low.steady.cycle.capacity_eq_per_m3;
        const double leakage =
            high.steady.cycle.leakage_mean_eq_per_m3 - low.steady.cycle.leakage_mean_eq_per_m3;
        ck_assert_double_gt(rows[r].capacity * capacity, 0.0);
        ck_assert(rows[r].leakage == 0 || rows[r].leakage * leakage > 0.0);
    }
}
END_TEST

static int give_up(void *context, double time_s, const bf_cells *cells, const bf_rates *rates)
{
    (void)context;
    (void)time_s;
    (void)cells;
    (void)rates;
    return -1;
}

START_TEST(bands_that_cannot_be_are_refused)
{
    bf_error err = {0};
    bf_rating_spec rating = coarse_bed(291.4);
    bf_band *band = (bf_band *)&err; /* anything but NULL */
    bf_band_spec spec = bf_band_spec_default();
    watch_reports();
    ck_assert_uint_eq(spec.samples, 256);
    assert_fails(bf_band_create(&rating, &spec, &band, &err), BF_E_RANGE, "dose is 0");
    ck_assert_ptr_null(band);
    const bf_band_spec good = small_band();
    const size_t samples[] = {0, 15, 65537};
    for (size_t i = 0; i < COUNT(samples); i++) {
        spec = good;
        spec.samples = samples[i];
        assert_fails(bf_band_create(&rating, &spec, &band, &err), BF_E_RANGE, "samples");
    }
    const double doses[] = {-1.0, (double)NAN, (double)INFINITY};
    for (size_t i = 0; i < COUNT(doses); i++) {
        spec = good;
        spec.dose_kg_per_m3 = doses[i];
        assert_fails(bf_band_create(&rating, &spec, &band, &err), BF_E_RANGE, "dose");
    }
    spec = good;
    spec.cells = 3;
    assert_fails(bf_band_create(&rating, &spec, &band, &err), BF_E_RANGE, "cells");
    spec = good;
    spec.shells = 17;
    assert_fails(bf_band_create(&rating, &spec, &band, &err), BF_E_RANGE, "shells");
    rating.bed.depth_m = 11.0;
    assert_fails(bf_band_create(&rating, &good, &band, &err), BF_E_RANGE, "depth");

    /* What a sample meets is told with its number, the first whatever the threads. */
    const bf_source broken = {.name = "broken", .rate = give_up};
    rating = coarse_bed(291.4);
    rating.bed.sources = &broken;
    rating.bed.source_count = 1;
    for (int threads = 1; threads <= 3; threads += 2) {
        spec = good;
        spec.threads = threads;
        memset(&err, 0, sizeof err);
        assert_fails(bf_band_create(&rating, &spec, &band, &err), BF_E_SOLVER, "sample 1: ");
        ck_assert_ptr_null(band);
    }
    ck_assert_int_eq(bf_band_create(&rating, &good, &band, NULL), BF_E_SOLVER);

    /* Memory, at each of the band's own allocations and the first of a sample's. */
    for (size_t k = 1; k <= 12; k++) {
        fail_at(k);
        bf_status status = bf_band_create(&rating, &good, &band, &err);
        fail_at(0);
        ck_assert_int_eq(status, BF_E_MEMORY);
        ck_assert_ptr_null(band);
    }
    bf_band_free(NULL);
    no_reports();
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {points_are_those_of_the_sequence,
                                  rounding_is_to_the_side_asked_for,
                                  indices_of_ishigamis_function,
                                  indices_of_a_product,
                                  a_choice_between_two_is_no_ramp,
                                  errors_cover_the_known_value,
                                  indices_that_cannot_be_are_refused,
                                  constants_move_from_their_own_value_to_their_limits,
                                  the_film_has_the_other_law_below_the_middle,
                                  limits_end_where_the_model_does,
                                  a_band_is_its_samples,
                                  a_band_without_a_rating_says_so,
                                  a_rating_follows_its_constants,
                                  bands_that_cannot_be_are_refused};
    return support_run("rating.band", tests, COUNT(tests), 300);
}
