/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Numbers with their unit as text. */
#include "report/page/figure.h"

#include <stdio.h>

bf__figure bf__figure_digits(bf__quantity kind, bf_unit_system units, double value, int digits)
{
    bf__figure figure;
    (void)snprintf(figure.text, sizeof figure.text, "%.*g %s", digits,
                   bf__quantity_show(kind, units, value), bf__quantity_unit(kind, units).text);
    return figure;
}

bf__figure bf__figure_decimals(bf__quantity kind, bf_unit_system units, double value, int decimals)
{
    bf__figure figure;
    (void)snprintf(figure.text, sizeof figure.text, "%.*f %s", decimals,
                   bf__quantity_show(kind, units, value), bf__quantity_unit(kind, units).text);
    return figure;
}
