/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The hardness to count for iron, in words beside what the trade counts. */
#ifndef BF_REPORT_COMPENSATION_COMPENSATION_H
#define BF_REPORT_COMPENSATION_COMPENSATION_H

#include "brinefront/report.h"

/* The answer, and what it means for this water. */
void bf__compensation_answer(const bf_compensation_report *report, bf_unit_system units,
                             const char *prefix, FILE *out);

/* Iron's own charge and the trade's rules. */
void bf__compensation_rules(bf_unit_system units, const char *prefix, FILE *out);

#endif
