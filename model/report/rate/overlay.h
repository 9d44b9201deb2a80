/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A user's own table beside the computed one. */
#ifndef BF_REPORT_RATE_OVERLAY_H
#define BF_REPORT_RATE_OVERLAY_H

#include "brinefront/report.h"

#include <jansson.h>

void bf__overlay_table(const bf_rate_report *report, bf_unit_system units, FILE *out);

/* Columns behind those of a rating: their names, and a row's values; all empty for row beyond the
 * last. */
void bf__overlay_csv_head(FILE *out);
void bf__overlay_csv_row(const bf_rate_report *report, size_t row, FILE *out);

json_t *bf__overlay_json(const bf_rate_report *report);

#endif
