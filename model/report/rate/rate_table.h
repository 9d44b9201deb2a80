/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A rating as rows of a table: of a list of doses, or of the one dose that an answer comes to. */
#ifndef BF_REPORT_RATE_RATE_TABLE_H
#define BF_REPORT_RATE_RATE_TABLE_H

#include "brinefront/report.h"

/* Head, and a row a dose. */
void bf__rate_rows_print(const bf_dose_point *points, size_t count, bf_unit_system units,
                         FILE *out);

/* The same in whole beds: what is carried, poured and read off a meter. */
void bf__rate_whole_bed_print(const bf_bed_spec *bed, const bf_dose_point *points, size_t count,
                              bf_unit_system units, FILE *out);

/* What the columns are, with an empty line before and after. */
void bf__rate_legend_print(FILE *out);

#endif
