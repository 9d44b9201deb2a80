/* SPDX-License-Identifier: GPL-3.0-or-later */
/* GSL's handler, which ends the program, is never reached: everything that uses GSL is called with
 * what it cannot take, and the handler is the one that a program has unless it says otherwise. */
#include "brinefront/comparison.h"
#include "brinefront/parallel_beds.h"
#include "brinefront/sizing.h"
#include "coarse_bed.h"
#include "rating/band/surrogate.h"
#include "rating/sizing/probe.h"

#include <math.h>
#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof *(array))

static const double hostile[] = {(double)NAN, (double)INFINITY, -(double)INFINITY, 0.0, -1.0, 1e308,
                                 1e-308};

/* ---- searches -------------------------------------------------------------------------------- */

enum shape { RISING, FALLING, LEVEL, NO_NUMBER, ENDLESS, JAGGED };

static double value_at(enum shape shape, double x)
{
    switch (shape) {
    case RISING: return log(x / 113.19);
    case FALLING: return log(113.19 / x);
    case LEVEL: return 0.0;
    case NO_NUMBER: return (double)NAN;
    case ENDLESS: return x < 113.19 ? -(double)INFINITY : (double)INFINITY;
    case JAGGED: return sin(1e3 * x);
    }
    return 0.0;
}

static bf_status try_at(void *context, double x, double *value, bf_dose_point *point, bf_error *err)
{
    (void)err;
    point->dose_kg_per_m3 = x;
    *value = value_at(*(const enum shape *)context, x);
    return BF_OK;
}

static double plain(double x, void *context)
{
    return value_at(*(const enum shape *)context, x);
}

START_TEST(no_search_reaches_the_handler)
{
    static const enum shape shapes[] = {RISING, FALLING, LEVEL, NO_NUMBER, ENDLESS, JAGGED};
    static const double ends[] = {(double)NAN, (double)INFINITY, 0.0, -7.0, 30.0, 113.0, 400.0};
    for (size_t k = 0; k < COUNT(shapes) * COUNT(ends) * COUNT(ends) * COUNT(ends); k++) {
        bf_error err = {0};
        enum shape shape = shapes[k % COUNT(shapes)];
        const size_t rest = k / COUNT(shapes);
        const double low = ends[rest % COUNT(ends)];
        const double high = ends[rest / COUNT(ends) % COUNT(ends)];
        const double middle = ends[rest / COUNT(ends) / COUNT(ends)];
        bf__probe *probe = NULL;
        assert_ok(bf__probe_create(try_at, &shape, (bf_watch){0}, &probe, &err));
        const bf_status status = bf__probe_least(probe, low, high, middle);
        const int possible = low > 0.0 && low <= high && isfinite(high);
        ck_assert(possible ? status != BF_E_RANGE : status == BF_E_RANGE);
        bf__probe_free(probe);
        const double found = bf__lowest_between(plain, &shape, low, middle, high, 1e-3, 0.0);
        ck_assert(isnan(middle) ? isnan(found) : !isnan(found));
    }
}
END_TEST

START_TEST(no_sizing_reaches_the_handler)
{
    bf_error err = {0};
    bf_sizing out;
    bf_rating_spec spec = coarse_bed();
    const bf_tank_spec tank = bf_tank_spec_default();
    for (size_t k = 0; k < COUNT(hostile); k++) {
        const double x = hostile[k];
        const bf_status found[] = {
            bf_dose_for_capacity(&spec, x, NULL, &out, &err),
            bf_holdable_end_point(&spec, x, NULL, &out, &err),
            bf_smallest_bed(&spec, &tank, x, 1.0, 1e-4, NULL, &out, &err),
            bf_smallest_bed(&spec, &tank, 113.7, x, 1e-4, NULL, &out, &err),
            bf_smallest_bed(&spec, &tank, 113.7, 1.0, x, NULL, &out, &err),
            bf_least_salt(&spec, x, 1.0, 99.0, NULL, &out, &err),
            bf_least_salt(&spec, 0.7, x, x, NULL, &out, &err),
        };
        for (size_t f = 0; f < COUNT(found) && !(x > 0.0 && isfinite(x)); f++) {
            ck_assert_int_eq(found[f], BF_E_RANGE); /* the others have come back */
        }
    }
    /* A run that must stop below the lowest end point looked at. */
    spec.recipe.step[0].stop_hardness_eq_per_m3 = 1e-9;
    assert_fails(bf_holdable_end_point(&spec, 113.7, NULL, &out, &err), BF_E_RANGE, "");
}
END_TEST

/* ---- samples --------------------------------------------------------------------------------- */

START_TEST(no_points_reach_the_handler)
{
    bf_error err = {0};
    double position[32 * 2], value[32], explained;
    bf_sobol_index index[2];
    ck_assert_int_eq(bf_sobol_points(0, 2, position, &err), BF_E_RANGE);
    ck_assert_int_eq(bf_sobol_points(1, 0, position, &err), BF_E_RANGE);
    ck_assert_int_eq(bf_sobol_points(1, 41, position, &err), BF_E_RANGE);
    ck_assert_int_eq(bf_sobol_points((size_t)1 << 30, 1, position, &err), BF_E_RANGE);
    assert_ok(bf_sobol_points(32, 2, position, &err));
    for (size_t k = 0; k < COUNT(hostile); k++) {
        for (size_t s = 0; s < 32; s++) {
            value[s] = position[2 * s];
        }
        value[7] = hostile[k];
        const bf_status status = bf_indices_of(position, value, 32, 2, index, &explained, &err);
        ck_assert(isfinite(hostile[k]) || status == BF_E_RANGE);
    }
    /* Values that are all one, and points that are all one. */
    memset(value, 0, sizeof value);
    ck_assert_int_eq(bf_indices_of(position, value, 32, 2, index, &explained, &err), BF_E_RANGE);
    memset(position, 0, sizeof position);
    value[3] = 1.0;
    ck_assert_int_eq(bf_indices_of(position, value, 32, 2, index, &explained, &err), BF_E_RANGE);
    /* A fit of more columns than rows, of none, and of what is no number. */
    double matrix[6] = {1.0, 2.0, 3.0, 4.0, 5.0, 6.0}, work[6], coefficient[3];
    ck_assert_int_eq(bf__least_squares(2, 3, matrix, value, work, coefficient), 1);
    ck_assert_int_eq(bf__least_squares(2, 0, matrix, value, work, coefficient), 1);
    matrix[0] = (double)NAN;
    ck_assert_int_eq(bf__least_squares(3, 2, matrix, value, work, coefficient), 1);
}
END_TEST

START_TEST(no_band_and_no_comparison_reaches_the_handler)
{
    bf_error err = {0};
    const bf_rating_spec rating = coarse_bed();
    const bf_rating_spec *const beds[] = {&rating, &rating};
    for (size_t k = 0; k < COUNT(hostile) - 1; k++) { /* the last is a dose, if a small one */
        bf_band *band = NULL;
        bf_band_spec spec = bf_band_spec_for(&rating);
        spec.samples = 16;
        spec.dose_kg_per_m3 = hostile[k];
        ck_assert_int_eq(bf_band_create(&rating, &spec, &band, &err), BF_E_RANGE);
        const double dose[] = {hostile[k], hostile[k]};
        bf_compared_point out[2];
        const bf_comparison_spec both = {
            .rating = beds, .beds = 2, .dose_kg_per_m3 = dose, .doses = 1, .samples = 16};
        ck_assert_int_eq(bf_compare(&both, out, &err), BF_E_RANGE);
    }
}
END_TEST

START_TEST(no_uneven_flow_reaches_the_handler)
{
    double share[BF_PARALLEL_BEDS + 1], velocity[BF_PARALLEL_BEDS + 1];
    for (size_t k = 0; k < COUNT(hostile); k++) {
        for (size_t beds = 1; beds <= BF_PARALLEL_BEDS; beds++) {
            const bf_uneven_flow flow = {
                .velocity_spread = hostile[k], .wall_share = hostile[k], .beds = beds};
            ck_assert_uint_ge(bf_uneven_flow_beds(&flow, share, velocity), beds);
        }
    }
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {
        no_search_reaches_the_handler, no_sizing_reaches_the_handler, no_points_reach_the_handler,
        no_band_and_no_comparison_reaches_the_handler, no_uneven_flow_reaches_the_handler};
    return support_run("rating.gsl_handler", tests, sizeof tests / sizeof *tests, 300);
}
