/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The quantities of the hardness to count for iron, and the answer in words. */
#ifndef BF_REPORT_COMPENSATION_COMPENSATION_H
#define BF_REPORT_COMPENSATION_COMPENSATION_H

#include "report/page/columns.h"

enum { BF__COMPENSATION_COLUMNS = 9 };
extern const bf__column bf__compensation_columns[BF__COMPENSATION_COLUMNS];

/* A row of them: what an addition does to a bed. */
void bf__compensation_values(const bf_campaign_spec *spec, const bf_compensation_point *point,
                             double values[BF__COMPENSATION_COLUMNS]);

/* The answer, and what it means for this water. */
void bf__compensation_answer(const bf_compensation_report *report, bf_unit_system units,
                             const char *prefix, FILE *out);

/* Iron's own charge and the trade's rules. */
void bf__compensation_rules(bf_unit_system units, const char *prefix, FILE *out);

#endif
