/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The bed of a campaign as it would be without deposits: what losses are measured against. */
#ifndef BF_RATING_FOULING_CLEAN_BED_H
#define BF_RATING_FOULING_CLEAN_BED_H

#include "brinefront/campaign.h"

/* In the steady cycle of a bed that is regenerated whenever its end point is reached. */
typedef struct bf__clean_bed bf__clean_bed;

/* @param season  NULL: the water of the whole year */
BF_MUST_CHECK bf_status bf__clean_bed_create(const bf_campaign_spec *spec,
                                             const bf_campaign_season *season, bf__clean_bed **out,
                                             bf_error *err);
void bf__clean_bed_free(bf__clean_bed *clean); /* NULL is fine */

/* Hardness to the end point in that cycle, eq/m3. */
double bf__clean_bed_capacity(const bf__clean_bed *clean);

/* The same of the bed when it is regenerated after so many bed volumes instead, had one service
 * gone on. `clean` stays as it is. */
BF_MUST_CHECK bf_status bf__clean_bed_potential(const bf__clean_bed *clean, double bed_volumes,
                                                double *eq_per_m3, bf_error *err);

#endif
