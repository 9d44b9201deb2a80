/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The end of a campaign, as every study of campaigns shows it. */
#ifndef BF_REPORT_CAMPAIGN_CAMPAIGN_END_H
#define BF_REPORT_CAMPAIGN_CAMPAIGN_END_H

#include "report/page/json.h"

/* Columns of CSV: their names, `suffix` behind each, and their fields, each with a comma before
 * it; without an end the fields stay empty. */
void bf__end_csv_head(const char *suffix, FILE *out);
void bf__end_csv(const bf_fouling_end *end, FILE *out);

/* An object; null without an end. */
json_t *bf__end_json(const bf_fouling_end *end);

#endif
