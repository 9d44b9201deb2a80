/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The parts of the page of a cycle that have a file of their own. */
#ifndef BF_REPORT_CYCLE_CYCLE_PARTS_H
#define BF_REPORT_CYCLE_CYCLE_PARTS_H

#include "brinefront/report.h"

/* Hardness of the softened water against volume, drawn in letters. cycle_chart.c */
void bf__cycle_chart_print(const bf_cycle_report *report, FILE *out);

/* The softened water along the run; what goes to drain in regeneration. cycle_effluent.c */
void bf__cycle_effluent_print(const bf_cycle_report *report, FILE *out);
void bf__cycle_elution_print(const bf_cycle_report *report, FILE *out);

/* What holds the sites of the resin at the end of each step. cycle_sites.c */
void bf__cycle_sites_print(const bf_cycle_report *report, FILE *out);

/* Nonzero: the feed brings iron or manganese, which are shown beside hardness, since that does not
 * count them. cycle_effluent.c */
int bf__cycle_has_iron(const bf_cycle_report *report);

/* The salt of the brine, by which effluent is read as plain brine. elution.c */
bf_salt bf__cycle_salt(const bf_cycle_report *report);

#endif
