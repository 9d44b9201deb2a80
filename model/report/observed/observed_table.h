/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What was measured against what was computed, as a table for people. */
#ifndef BF_REPORT_OBSERVED_OBSERVED_TABLE_H
#define BF_REPORT_OBSERVED_OBSERVED_TABLE_H

#include "brinefront/report.h"

/* Nothing without observations. */
void bf__observed_print(const bf_foul_report *report, bf_unit_system units, FILE *out);

#endif
