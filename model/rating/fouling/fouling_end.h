/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Campaigns of a study: checked alike, run side by side, and only their ends kept. */
#ifndef BF_RATING_FOULING_FOULING_END_H
#define BF_RATING_FOULING_FOULING_END_H

#include "brinefront/fouling_effects.h"

/* Days from the beginning to the end of a campaign. */
double bf__fouling_horizon_days(const bf_campaign_spec *spec);

/* Seasons of a campaign: at least one, NULL standing for the water of the whole year. */
size_t bf__fouling_season_count(const bf_campaign_spec *spec);
const bf_campaign_season *bf__fouling_season(const bf_campaign_spec *spec, size_t index);

/* Most of a thing that water brings in any season. */
double bf__fouling_most_iron_g_per_m3(const bf_campaign_spec *spec);
double bf__fouling_most_oxygen_mol_per_m3(const bf_campaign_spec *spec);

/* A campaign that can be, with potentials to compare. */
BF_MUST_CHECK bf_status bf__fouling_check(const bf_campaign_spec *spec, bf_error *err);

/* Run them all and keep the ends; potentials are measured once the bed has settled and at the end.
 * @param start, stop  of the study's progress, 0 .. 1
 * @param end  out: one each; on failure zero (BF_CAMPAIGN_RUNS), but for those that were complete
 *             when the watch asked to stop */
BF_MUST_CHECK bf_status bf__fouling_ends(const bf_fouling_run *run, double start, double stop,
                                         const bf_campaign_spec *spec, size_t count,
                                         bf_fouling_end *end, bf_error *err);

/* Tell how far a study is. @return BF_OK; BF_E_STOPPED where the watch asks for it */
BF_MUST_CHECK bf_status bf__fouling_tell(const bf_fouling_run *run, double share, bf_error *err);

#endif
