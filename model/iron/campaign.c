/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A bed run cycle after cycle on water with iron. Where cycles hardly differ, whole ones are
 * skipped (campaign_skip.c). */
#include "iron/campaign_state.h"

bf_campaign_state bf_campaign_state_of(const bf_campaign *campaign)
{
    if (campaign->now.spent) {
        return BF_CAMPAIGN_SPENT;
    }
    return campaign->now.cycles < campaign->spec.cycles ? BF_CAMPAIGN_RUNS : BF_CAMPAIGN_COMPLETE;
}

bf_status bf_campaign_next(bf_campaign *campaign, bf_campaign_cycle *out, bf_error *err)
{
    const bf_campaign_state state = bf_campaign_state_of(campaign);
    if (state != BF_CAMPAIGN_RUNS) {
        return bf_error_set(err, BF_E_RANGE, "bf_campaign_next",
                            "the campaign is %s after cycle %zu", bf_campaign_state_word(state),
                            campaign->now.cycles);
    }
    return campaign->spec.skip_tolerance > 0.0 ? bf__campaign_stride(campaign, out, err)
                                               : bf__campaign_cycle(campaign, out, err);
}

bf_status bf_campaign_run(const bf_campaign_spec *spec, bf_campaign_cycle *cycles, size_t *done,
                          bf_error *err)
{
    bf_campaign *campaign = NULL;
    *done = 0;
    bf_status status = bf_campaign_create(spec, &campaign, err);
    while (status == BF_OK && bf_campaign_state_of(campaign) == BF_CAMPAIGN_RUNS) {
        status = bf_campaign_next(campaign, &cycles[*done], err);
        *done += status == BF_OK ? 1 : 0;
    }
    bf_campaign_free(campaign);
    return status;
}
