/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a campaign was run on, and what every report of one has to say. */
#ifndef BF_REPORT_CAMPAIGN_CAMPAIGN_SETTING_H
#define BF_REPORT_CAMPAIGN_CAMPAIGN_SETTING_H

#include "brinefront/report.h"

/* The water's iron, its way to the bed, how the bed is run, cleaning, grid: one fact a line. */
void bf__campaign_print(const bf_page *page, const bf_case_campaign *campaign,
                        const bf_campaign_spec *spec, bf_unit_system units, const char *prefix,
                        FILE *out);

/* The same for a study of campaigns, with what became of the case's own horizon. */
void bf__study_print(const bf_page *page, const bf_case_campaign *campaign,
                     const bf_campaign_spec *spec, bf_unit_system units, const char *prefix,
                     FILE *out);

/* What is true of every result: nobody has published it, what is not modelled. */
size_t bf__foul_truth_count(void);
const char *bf__foul_truth(size_t index);

/* The foot of every page: what is true of every result, cautions about chemicals where some are
 * named, the case, and what the numbers are; blank lines between them on a page without prefix. */
void bf__foul_foot_print(const bf_page *page, int names_chemicals, bf_unit_system units,
                         const char *prefix, FILE *out);

/* Nonzero where a campaign cleans, or regenerates with brine made acid. */
int bf__campaign_names_chemicals(const bf_campaign_spec *spec);

/* Advice where iron is beyond what a bed bears; "" where it is not. */
const char *bf__iron_advice(const bf_campaign_spec *spec);

#endif
