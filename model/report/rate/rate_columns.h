/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The quantities of a rating: one list for its table, its CSV and its JSON document. */
#ifndef BF_REPORT_RATE_RATE_COLUMNS_H
#define BF_REPORT_RATE_RATE_COLUMNS_H

#include "brinefront/dose_curve.h"
#include "report/page/columns.h"
#include "report/page/json.h"

enum { BF__RATE_COLUMNS = 12 };
extern const bf__column bf__rate_columns[BF__RATE_COLUMNS]; /* the first is the dose */

/* The numbers of a dose in SI; without a rating all but the dose are NAN. */
void bf__rate_values(const bf_dose_point *point, double values[BF__RATE_COLUMNS]);

/* A dose as an object: the list, and what became of the iteration. rate_json.c */
json_t *bf__json_dose(const bf_dose_point *point);

#endif
