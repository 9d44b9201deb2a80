/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Rounding to significant decimal digits, to one side.
 *
 * A rated capacity is rounded down and a leakage up: the unfavourable side. Most decimal numbers
 * are not among the binary ones, and a conversion of units leaves 29000 as 28999.999999999996;
 * rounding that down to 28900 would be right by the letter and wrong by the sense. What is within
 * 1e-12 of itself of a number with so many digits is therefore taken as that number.
 */
#include "brinefront/band.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

static const double as_good_as = 1e-12;

static double to_digits(double value, int digits, double (*side)(double))
{
    if (value == 0.0 || !isfinite(value)) {
        return value;
    }
    int places = digits < 1 ? 1 : digits > 9 ? 9 : digits;
    int power = (int)floor(log10(fabs(value))) - places + 1; /* of ten, of the last digit kept */
    double counted = power > 0 ? value / pow(10.0, power) : value * pow(10.0, -power);
    if (!isfinite(counted)) {
        return value; /* smaller than any number one could state in a unit */
    }
    double whole = nearbyint(counted);
    if (fabs(counted - whole) > as_good_as * fabs(counted)) {
        whole = side(counted);
    }
    /* Through text: the double nearest to the decimal number, whatever the power. */
    char text[64];
    (void)snprintf(text, sizeof text, "%.0fe%d", whole, power);
    return strtod(text, NULL);
}

double bf_round_down(double value, int digits)
{
    return to_digits(value, digits, floor);
}

double bf_round_up(double value, int digits)
{
    return to_digits(value, digits, ceil);
}
