/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The end of a campaign as columns of comma-separated values. */
#ifndef BF_REPORT_CAMPAIGN_CAMPAIGN_END_CSV_H
#define BF_REPORT_CAMPAIGN_CAMPAIGN_END_CSV_H

#include "brinefront/report.h"

/* Their names, `suffix` behind each, every one with a comma before it. */
void bf__end_csv_head(const char *suffix, FILE *out);
void bf__end_csv_row(const bf_fouling_end *end, FILE *out);

/* ",1.5", or "," for a number that cannot be told */
void bf__csv_number(double value, FILE *out);

/* A text that may hold commas and quotes (RFC 4180), without a comma before it. */
void bf__csv_text(const char *text, FILE *out);

#endif
