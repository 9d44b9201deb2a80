/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The bed of a campaign as it would be without deposits: what losses are measured against. */
#ifndef BF_RATING_CLEAN_BED_H
#define BF_RATING_CLEAN_BED_H

#include "brinefront/campaign.h"

/* Hardness to the end point in the steady cycle of a bed that is regenerated whenever that is
 * reached. @param season  NULL: the water of the whole year */
BF_MUST_CHECK bf_status bf__clean_capacity(const bf_campaign_spec *spec,
                                           const bf_campaign_season *season, double *eq_per_m3,
                                           bf_error *err);

/* The same of a bed that is regenerated after so many bed volumes, had one service gone on. */
BF_MUST_CHECK bf_status bf__clean_potential(const bf_campaign_spec *spec,
                                            const bf_campaign_season *season, double bed_volumes,
                                            double *eq_per_m3, bf_error *err);

#endif
