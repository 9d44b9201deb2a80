/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Numbers in both unit systems, out of the one table of units. */
#include "rating/practice/both_units.h"

#include "brinefront/band.h"

#include <stdio.h>
#include <string.h>

enum { DIGITS = 4 };

/* A number as it is shown. */
static double shown(bf__quantity quantity, bf_unit_system units, double si, int is_at_most)
{
    const double number = bf__quantity_show(quantity, units, si);
    return is_at_most ? bf_round_down(number, DIGITS) : number;
}

static bf__words say(bf__quantity quantity, double si, int is_at_most)
{
    const char *unit = bf__quantity_unit(quantity, BF_UNITS_SI).text;
    const char *us_unit = bf__quantity_unit(quantity, BF_UNITS_US).text;
    bf__words words;
    const int length = snprintf(words.text, sizeof words.text, "%.*g %s", DIGITS,
                                shown(quantity, BF_UNITS_SI, si, is_at_most), unit);
    if (strcmp(unit, us_unit) != 0) {
        (void)snprintf(words.text + length, sizeof words.text - (size_t)length, " (%.*g %s)",
                       DIGITS, shown(quantity, BF_UNITS_US, si, is_at_most), us_unit);
    }
    return words;
}

bf__words bf__both(bf__quantity quantity, double si)
{
    return say(quantity, si, 0);
}

bf__words bf__both_at_most(bf__quantity quantity, double si)
{
    return say(quantity, si, 1);
}
