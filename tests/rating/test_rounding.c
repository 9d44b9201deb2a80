/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Rounding to the unfavourable side. */
#include "brinefront/band.h"

#include "support.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof *(array))

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

int main(void)
{
    const TTest *const tests[] = {rounding_is_to_the_side_asked_for};
    return support_run("rating.rounding", tests, COUNT(tests), 300);
}
