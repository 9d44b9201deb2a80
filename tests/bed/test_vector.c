/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Each vector operation against a plain loop over the same numbers, for lengths around the lanes in
 * which sums are taken, also where the result is one of the operands. */
#include "bed/vector.h"

#include "support.h"

#include <float.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof *(array))

enum { LONGEST = 1003 };

static const size_t lengths[] = {1, 2, 3, 4, 5, 7, 8, 9, 11, 16, 17, 31, LONGEST};

/* Two operands and a result; z stands where `alias` says. */
typedef struct trio {
    SUNContext context;
    N_Vector x, y, own, z;
    double a[LONGEST], b[LONGEST]; /* what x and y held */
    size_t n;
} trio;

typedef enum alias { APART, Z_IS_X, Z_IS_Y, ALIAS_COUNT } alias;

static void fill(trio *t, unsigned long long *seed, size_t n, alias which)
{
    t->n = n;
    ck_assert_int_eq(SUNContext_Create(NULL, &t->context), 0);
    t->x = bf__vector_create(n, t->context);
    ck_assert_ptr_nonnull(t->x);
    t->y = N_VClone(t->x);
    t->own = N_VClone(t->x);
    ck_assert_ptr_nonnull(t->y);
    ck_assert_ptr_nonnull(t->own);
    for (size_t i = 0; i < n; i++) {
        t->a[i] = (support_uniform(seed) - 0.5) * exp(20.0 * (support_uniform(seed) - 0.5));
        t->b[i] = (support_uniform(seed) - 0.5) * exp(20.0 * (support_uniform(seed) - 0.5));
        bf__vector_data(t->own)[i] = NAN; /* a result that is not written shows */
    }
    memcpy(bf__vector_data(t->x), t->a, n * sizeof(double));
    memcpy(bf__vector_data(t->y), t->b, n * sizeof(double));
    t->z = which == Z_IS_X ? t->x : which == Z_IS_Y ? t->y : t->own;
}

static void drop(trio *t)
{
    N_VDestroy(t->x);
    N_VDestroy(t->y);
    N_VDestroy(t->own);
    ck_assert_int_eq(SUNContext_Free(&t->context), 0);
}

/* The operands that are not the result keep what they held. */
static void assert_operands_kept(const trio *t)
{
    if (t->z != t->x) {
        ck_assert_mem_eq(bf__vector_data(t->x), t->a, t->n * sizeof(double));
    }
    if (t->z != t->y) {
        ck_assert_mem_eq(bf__vector_data(t->y), t->b, t->n * sizeof(double));
    }
}

/* One operation on one element: the plain statement of what it does. The sum of two products may
 * be contracted by a compiler, so that a rounding of either product is allowed. */
#define CHECK_ELEMENTS(call, expected, terms)                                                      \
    for (int which = APART; which < ALIAS_COUNT; which++) {                                        \
        for (size_t l = 0; l < COUNT(lengths); l++) {                                              \
            static trio t;                                                                         \
            fill(&t, &seed, lengths[l], (alias)which);                                             \
            call;                                                                                  \
            for (size_t i = 0; i < t.n; i++) {                                                     \
                double a = t.a[i];                                                                 \
                double b = t.b[i];                                                                 \
                (void)a, (void)b;                                                                  \
                assert_near_abs(bf__vector_data(t.z)[i], (expected), DBL_EPSILON *(terms));        \
            }                                                                                      \
            assert_operands_kept(&t);                                                              \
            drop(&t);                                                                              \
        }                                                                                          \
    }

START_TEST(elements_are_worked_one_by_one)
{
    unsigned long long seed = 71;
    CHECK_ELEMENTS(N_VLinearSum(1.37, t.x, -0.61, t.y, t.z), 1.37 * a - 0.61 * b,
                   fabs(1.37 * a) + fabs(0.61 * b))
    CHECK_ELEMENTS(N_VLinearSum(1.0, t.x, 1.0, t.y, t.z), a + b, 0.0)
    CHECK_ELEMENTS(N_VProd(t.x, t.y, t.z), a * b, 0.0)
    CHECK_ELEMENTS(N_VDiv(t.x, t.y, t.z), a / b, 0.0)
    CHECK_ELEMENTS(N_VConst(-4.75, t.z), -4.75, 0.0)
}
END_TEST

/* Operations on x alone: with z = y the other vector is simply overwritten. */
START_TEST(one_operand_is_worked_element_by_element)
{
    unsigned long long seed = 72;
    CHECK_ELEMENTS(N_VScale(-2.19, t.x, t.z), -2.19 * a, 0.0)
    CHECK_ELEMENTS(N_VScale(1.0, t.x, t.z), a, 0.0)
    CHECK_ELEMENTS(N_VAbs(t.x, t.z), a < 0.0 ? -a : a, 0.0)
    CHECK_ELEMENTS(N_VInv(t.x, t.z), 1.0 / a, 0.0)
    CHECK_ELEMENTS(N_VAddConst(t.x, 0.83, t.z), a + 0.83, 0.0)
}
END_TEST

/* Sums in long double; each of n terms rounds once in the products and once in the sum. */
START_TEST(sums_and_extremes_are_those_of_a_plain_loop)
{
    unsigned long long seed = 73;
    for (size_t l = 0; l < COUNT(lengths); l++) {
        static trio t;
        fill(&t, &seed, lengths[l], APART);
        long double dot = 0.0L;
        long double size = 0.0L;
        long double square = 0.0L;
        double most = 0.0;
        double least = t.a[0];
        for (size_t i = 0; i < t.n; i++) {
            dot += (long double)t.a[i] * t.b[i];
            size += fabsl((long double)t.a[i] * t.b[i]);
            square += (long double)t.a[i] * t.b[i] * t.a[i] * t.b[i];
            most = t.a[i] > most ? t.a[i] : -t.a[i] > most ? -t.a[i] : most;
            least = t.a[i] < least ? t.a[i] : least;
        }
        double rounding = DBL_EPSILON * (2.0 + (double)t.n);
        assert_near_abs(N_VDotProd(t.x, t.y), (double)dot, rounding * (double)size);
        assert_near(N_VWrmsNorm(t.x, t.y), (double)sqrtl(square / t.n), rounding);
        ck_assert(N_VMaxNorm(t.x) == most);
        ck_assert(N_VMin(t.x) == least);
        assert_operands_kept(&t);
        drop(&t);
    }
}
END_TEST

/* z = sum c_k x_k with z apart and with z being the first vector, as CVODE asks; counts from one
 * vector to the six of the highest order. */
START_TEST(combinations_are_sums_of_multiples)
{
    unsigned long long seed = 74;
    for (int shared = 0; shared < 2; shared++) {
        for (int count = 1; count <= 7; count++) {
            for (size_t l = 0; l < COUNT(lengths); l++) {
                static trio t;
                fill(&t, &seed, lengths[l], APART);
                N_Vector vectors[7];
                double weights[7];
                static double expected[LONGEST];
                static double size[LONGEST];
                memset(expected, 0, sizeof expected);
                memset(size, 0, sizeof size);
                for (int k = 0; k < count; k++) {
                    vectors[k] = N_VClone(t.x);
                    weights[k] = k == 0 && count % 2 ? 1.0 : support_uniform(&seed) - 0.5;
                    for (size_t i = 0; i < t.n; i++) {
                        double value = support_uniform(&seed) - 0.5;
                        bf__vector_data(vectors[k])[i] = value;
                        expected[i] += weights[k] * value;
                        size[i] += fabs(weights[k] * value);
                    }
                }
                N_Vector z = shared ? vectors[0] : t.own;
                ck_assert_int_eq(N_VLinearCombination(count, weights, vectors, z), 0);
                for (size_t i = 0; i < t.n; i++) {
                    assert_near_abs(bf__vector_data(z)[i], expected[i], 8 * DBL_EPSILON * size[i]);
                }
                for (int k = 0; k < count; k++) {
                    N_VDestroy(vectors[k]);
                }
                drop(&t);
            }
        }
    }
}
END_TEST

/* z_k = a_k x + y_k, with z apart and with z = y, as CVODE updates its history. */
START_TEST(many_vectors_take_a_multiple_of_one)
{
    unsigned long long seed = 75;
    for (int shared = 0; shared < 2; shared++) {
        for (size_t l = 0; l < COUNT(lengths); l++) {
            static trio t;
            fill(&t, &seed, lengths[l], APART);
            N_Vector y[3];
            N_Vector z[3];
            double weights[3];
            static double before[3][LONGEST];
            for (int k = 0; k < 3; k++) {
                y[k] = N_VClone(t.x);
                z[k] = shared ? y[k] : N_VClone(t.x);
                weights[k] = 3.0 * support_uniform(&seed) - 1.5;
                for (size_t i = 0; i < t.n; i++) {
                    before[k][i] = support_uniform(&seed) - 0.5;
                }
                memcpy(bf__vector_data(y[k]), before[k], t.n * sizeof(double));
            }
            ck_assert_int_eq(N_VScaleAddMulti(3, weights, t.x, y, z), 0);
            for (int k = 0; k < 3; k++) {
                for (size_t i = 0; i < t.n; i++) {
                    double product = weights[k] * t.a[i];
                    assert_near_abs(bf__vector_data(z[k])[i], product + before[k][i],
                                    DBL_EPSILON * fabs(product));
                }
            }
            ck_assert_mem_eq(bf__vector_data(t.x), t.a, t.n * sizeof(double));
            for (int k = 0; k < 3; k++) {
                if (!shared) {
                    ck_assert_mem_eq(bf__vector_data(y[k]), before[k], t.n * sizeof(double));
                    N_VDestroy(z[k]);
                }
                N_VDestroy(y[k]);
            }
            drop(&t);
        }
    }
}
END_TEST

/* Sums run in fixed lanes: the same numbers give the same bits, wherever the array starts. */
START_TEST(sums_do_not_depend_on_where_a_vector_lies)
{
    unsigned long long seed = 76;
    static trio t;
    fill(&t, &seed, 517, APART);
    double first_dot = N_VDotProd(t.x, t.y);
    double first_norm = N_VWrmsNorm(t.x, t.y);
    N_Vector x[9];
    N_Vector y[9];
    for (int k = 0; k < 9; k++) {
        x[k] = N_VClone(t.x);
        y[k] = N_VClone(t.x);
        N_VScale(1.0, t.x, x[k]);
        N_VScale(1.0, t.y, y[k]);
        ck_assert(N_VDotProd(x[k], y[k]) == first_dot);
        ck_assert(N_VWrmsNorm(x[k], y[k]) == first_norm);
    }
    for (int k = 0; k < 9; k++) {
        N_VDestroy(x[k]);
        N_VDestroy(y[k]);
    }
    drop(&t);
}
END_TEST

START_TEST(a_new_vector_is_zero_and_knows_itself)
{
    SUNContext context = NULL;
    ck_assert_int_eq(SUNContext_Create(NULL, &context), 0);
    N_Vector vector = bf__vector_create(37, context);
    ck_assert_ptr_nonnull(vector);
    ck_assert_int_eq(N_VGetVectorID(vector), SUNDIALS_NVEC_CUSTOM);
    ck_assert_int_eq(N_VGetLength(vector), 37);
    ck_assert_ptr_eq(N_VGetArrayPointer(vector), bf__vector_data(vector));
    N_VConst(3.0, vector);
    N_Vector clone = N_VClone(vector);
    ck_assert_ptr_nonnull(clone);
    ck_assert_int_eq(N_VGetLength(clone), 37);
    ck_assert_ptr_ne(bf__vector_data(clone), bf__vector_data(vector));
    for (size_t i = 0; i < 37; i++) {
        ck_assert(bf__vector_data(clone)[i] == 0.0); /* its own storage, nothing copied */
        ck_assert(bf__vector_data(vector)[i] == 3.0);
    }
    N_VDestroy(clone);
    N_VDestroy(vector);
    ck_assert_int_eq(SUNContext_Free(&context), 0);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {elements_are_worked_one_by_one,
                                  one_operand_is_worked_element_by_element,
                                  sums_and_extremes_are_those_of_a_plain_loop,
                                  combinations_are_sums_of_multiples,
                                  many_vectors_take_a_multiple_of_one,
                                  sums_do_not_depend_on_where_a_vector_lies,
                                  a_new_vector_is_zero_and_knows_itself};
    return support_run("bed.vector", tests, COUNT(tests), 60);
}
