/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The quantities of a comparison as columns. */
#ifndef BF_REPORT_COMPARE_COMPARE_COLUMNS_H
#define BF_REPORT_COMPARE_COMPARE_COLUMNS_H

#include "brinefront/comparison.h"

typedef struct bf__compare_column {
    const char *head;
    const char *unit[2]; /* by bf_unit_system */
    double scale[2];     /* from SI */
    int decimals[2];
    const char *names[2]; /* of a program, with the unit; [0] that of the trade, [1] SI */
} bf__compare_column;

extern const bf__compare_column bf__compare_columns[BF_COMPARED_COUNT];

#endif
