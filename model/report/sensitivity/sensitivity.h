/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The quantities of what the uncertain parameters do. */
#ifndef BF_REPORT_SENSITIVITY_SENSITIVITY_H
#define BF_REPORT_SENSITIVITY_SENSITIVITY_H

#include "report/page/columns.h"

enum { BF__SENSITIVITY_COLUMNS = 3 };
extern const bf__column bf__sensitivity_columns[BF__SENSITIVITY_COLUMNS];

/* A row of them; NAN for a parameter that takes no part. */
void bf__sensitivity_values(const bf_fouling_sensitivity *row,
                            double values[BF__SENSITIVITY_COLUMNS]);

#endif
