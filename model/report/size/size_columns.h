/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The quantities of an answer of size: one list for its CSV and JSON. */
#ifndef BF_REPORT_SIZE_SIZE_COLUMNS_H
#define BF_REPORT_SIZE_SIZE_COLUMNS_H

#include "report/page/columns.h"

enum {
    BF__SIZE_RESIN = 1, /* it, diameter and depth: the bed of the answer */
    BF__SIZE_DAYS = 4,  /* and salt a year */
    BF__SIZE_COLUMNS = 13
};
extern const bf__column bf__size_columns[BF__SIZE_COLUMNS];

/* A row of them; NAN for what has no rating, or was not asked for. */
void bf__size_values(const bf_sizing *found, double values[BF__SIZE_COLUMNS]);

#endif
