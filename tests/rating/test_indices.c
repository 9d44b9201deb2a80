/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Points of the sequence, and indices against functions whose indices are known. */
#include "brinefront/band.h"
#include "brinefront/convert.h"

#include "index_order.h"
#include "running_out.h"

#include <gsl/gsl_qrng.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof *(array))

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
        int visits[32] = {1};
        for (size_t p = 0; p < 31; p++) {
            visits[(int)(32.0 * position[p * 14 + d])]++;
        }
        for (size_t k = 0; k < COUNT(visits); k++) {
            ck_assert_int_eq(visits[k], 1);
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

/* ---- indices of functions whose indices are known -----------------------------------------------
 */

static const bf_sobol_index *index_of(const bf_sobol_index *list, size_t count, size_t uncertain)
{
    size_t i = 0;
    while (i < count && list[i].uncertain != uncertain) {
        i++;
    }
    ck_assert_uint_lt(i, count);
    return &list[i];
}

typedef double function(const double *x);

/* sin a + 7 sin^2 b + 0.1 c^4 sin a on -pi .. pi: T. Ishigami and T. Homma, Proc. ISUMA '90 (IEEE,
 * 1990) 398, from memory. */
static double ishigami(const double *x)
{
    double a = BF_PI * (2.0 * x[0] - 1.0);
    double b = BF_PI * (2.0 * x[1] - 1.0);
    double c = BF_PI * (2.0 * x[2] - 1.0);
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

static double indices_at_points(function *model, size_t count, size_t dimensions,
                                bf_sobol_index *out)
{
    bf_error err = {0};
    double explained;
    double *position = malloc(count * dimensions * sizeof *position);
    double *value = malloc(count * sizeof *value);
    assert_ok(bf_sobol_points(count, dimensions, position, &err));
    for (size_t s = 0; s < count; s++) {
        value[s] = model(position + s * dimensions);
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
    const double power4 = BF_PI * BF_PI * BF_PI * BF_PI;
    const double v1 = 0.5 * (1.0 + 0.1 * power4 / 5.0) * (1.0 + 0.1 * power4 / 5.0);
    const double v2 = 49.0 / 8.0;
    const double v13 = 8.0 * 0.01 * power4 * power4 / 225.0;
    const double d = v1 + v2 + v13;
    const double alone[] = {v1 / d, v2 / d, 0.0};
    const double total[] = {(v1 + v13) / d, v2 / d, v13 / d};
    const double published[2][3] = {{0.3139, 0.4424, 0.0}, {0.5576, 0.4424, 0.2437}};
    bf_sobol_index list[3];
    watch_reports();
    /* 256 points: the surrogate goes to order 10 of its own accord. Its first missing pair,
     * P_5 P_6 of x_1 x_3, is worth less than 1e-4 of the variance. */
    double explained = indices_at_points(ishigami, 256, 3, list);
    (void)printf("Ishigami: Q2 %.6f\n", explained);
    ck_assert_double_gt(explained, 0.999);
    for (size_t i = 0; i < 3; i++) {
        const bf_sobol_index *found = index_of(list, 3, i);
        assert_near_abs(alone[i], published[0][i], 0.00005 + 1e-12); /* half a digit */
        assert_near_abs(total[i], published[1][i], 0.00005 + 1e-12);
        assert_near_abs(found->alone, alone[i], 1e-3);
        assert_near_abs(found->total, total[i], 1e-3);
        ck_assert_double_lt(found->total_error, 1e-3);
    }
    /* Sixteen points cannot know it, and Q2 says so. */
    ck_assert_double_lt(indices_at_points(ishigami, 16, 3, list), 0.5);
    no_reports();
}
END_TEST

START_TEST(indices_of_a_product)
{
    bf_sobol_index list[4];
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
        const bf_sobol_index *found = index_of(list, 4, i);
        assert_near_abs(found->alone, v[i] / d, of_three + 3.0 * found->alone_error);
        assert_near_abs(found->total, v[i] / d * (d + 1.0) / (1.0 + v[i]),
                        2.0 * of_three + 3.0 * found->total_error);
    }
}
END_TEST

/* 3 sign + 2 (2 x - 1) + sign (2 y - 1): variances 9, 4/3 and 1/3. */
START_TEST(a_choice_between_two_is_no_ramp)
{
    bf_error err = {0};
    double position[64][3], value[64], explained;
    bf_sobol_index list[3];
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
    double sum = 0.0;
    for (int k = 0; k < TIMES; k++) {
        bf_sobol_index list[3];
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
        const bf_sobol_index *found = index_of(list, 3, 0);
        covered += fabs(found->total - 0.8) <= 2.0 * found->total_error;
        spread += (found->total - 0.8) * (found->total - 0.8) / TIMES;
        sum += found->total_error * found->total_error / TIMES;
    }
    (void)printf("covered %zu of %d; scatter %.4f, error told %.4f\n", covered, (int)TIMES,
                 sqrt(spread), sqrt(sum));
    ck_assert_uint_ge(covered, 51);
    ck_assert_double_lt(sum, 4.0 * spread); /* and not by being huge */
}
END_TEST

START_TEST(indices_that_cannot_be_are_refused)
{
    bf_error err = {0};
    double position[32][2], value[32], explained;
    bf_sobol_index list[2];
    watch_reports();
    assert_ok(bf_sobol_points(32, 2, &position[0][0], &err));
    for (size_t s = 0; s < 32; s++) {
        value[s] = position[s][0] + position[s][0] * position[s][1];
    }
    const double *found = &position[0][0];
    assert_fails(bf_indices_of(found, value, 15, 2, list, &explained, &err), BF_E_RANGE,
                 "15 values");
    assert_fails(bf_indices_of(found, value, 65537, 2, list, &explained, &err), BF_E_RANGE,
                 "65537");
    assert_fails(bf_indices_of(found, value, 32, 0, list, &explained, &err), BF_E_RANGE,
                 "0 dimensions");
    assert_fails(bf_indices_of(found, value, 32, 41, list, &explained, &err), BF_E_RANGE,
                 "41 dimensions");
    const double own = value[7];
    value[7] = (double)NAN;
    assert_fails(bf_indices_of(found, value, 32, 2, list, &explained, &err), BF_E_RANGE, "value 8");
    value[7] = own;
    position[3][1] = 1.001;
    assert_fails(bf_indices_of(found, value, 32, 2, list, &explained, &err), BF_E_RANGE,
                 "dimension 2 of point 4");
    position[3][1] = (double)NAN;
    assert_fails(bf_indices_of(found, value, 32, 2, list, &explained, &err), BF_E_RANGE, "point 4");
    position[3][1] = 0.4;
    double same[32];
    for (size_t s = 0; s < 32; s++) {
        same[s] = 3.25;
    }
    assert_fails(bf_indices_of(found, same, 32, 2, list, &explained, &err), BF_E_RANGE, "3.25");
    double nowhere[64] = {0}; /* all points in one place */
    assert_fails(bf_indices_of(nowhere, value, 32, 2, list, &explained, &err), BF_E_RANGE,
                 "points that differ");
    /* Any one allocation fails, and all is given back (the sanitizers would tell). */
    size_t failed = 0;
    bf_status status = BF_E_MEMORY;
    while (status == BF_E_MEMORY) {
        fail_at(++failed);
        status = bf_indices_of(found, value, 32, 2, list, &explained, &err);
        fail_at(0);
    }
    assert_ok(status);
    ck_assert_uint_gt(failed, 10);
    no_reports();
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {points_are_those_of_the_sequence,
                                  indices_of_ishigamis_function,
                                  indices_of_a_product,
                                  a_choice_between_two_is_no_ramp,
                                  errors_cover_the_known_value,
                                  indices_that_cannot_be_are_refused};
    return support_run("rating.indices", tests, COUNT(tests), 300);
}
