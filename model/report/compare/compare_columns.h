/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The quantities of a comparison: one list for its table, CSV and JSON. */
#ifndef BF_REPORT_COMPARE_COMPARE_COLUMNS_H
#define BF_REPORT_COMPARE_COMPARE_COLUMNS_H

#include "report/page/columns.h"

extern const bf__column bf__compare_columns[BF_COMPARED_COUNT];

#endif
