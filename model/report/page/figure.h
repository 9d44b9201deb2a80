/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Numbers with their unit, for sentences. */
#ifndef BF_REPORT_PAGE_FIGURE_H
#define BF_REPORT_PAGE_FIGURE_H

#include "base/quantities.h"

typedef struct bf__figure {
    char text[48];
} bf__figure;

/* "20.5 kgr/ft3": so many significant digits. */
bf__figure bf__figure_digits(bf__quantity kind, bf_unit_system units, double value, int digits);

/* "20.50 kgr/ft3": so many digits behind the point. */
bf__figure bf__figure_decimals(bf__quantity kind, bf_unit_system units, double value, int decimals);

#endif
