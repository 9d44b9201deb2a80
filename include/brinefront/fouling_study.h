/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file fouling_study.h
 * Campaigns side by side: a bed's years as expected, and as the uncertain parameters make them.
 */
#ifndef BRINEFRONT_FOULING_STUDY_H
#define BRINEFRONT_FOULING_STUDY_H

#include "brinefront/campaign.h"

#ifdef __cplusplus
extern "C" {
#endif

/** What a campaign gave: the cycles that were simulated, in order. */
typedef struct bf_campaign_series {
    bf_campaign_cycle *cycle;
    size_t count;
    bf_campaign_state state;
} bf_campaign_series;

BF_API void bf_campaign_series_free(bf_campaign_series *series); /* zeroed is fine */

/** A quantity of a cycle, for reading a series as a function of time. */
typedef enum bf_campaign_quantity {
    BF_CAMPAIGN_POTENTIAL,  /**< eq/m3; cycles without one are passed over */
    BF_CAMPAIGN_CAPACITY,   /**< total, of the resin, eq/m3 */
    BF_CAMPAIGN_HARDNESS,   /**< mean in the service water, eq/m3 */
    BF_CAMPAIGN_IRON,       /**< mean in the service water, g/m3 */
    BF_CAMPAIGN_MANGANESE,  /**< the same */
    BF_CAMPAIGN_PRESSURE,   /**< ratio to the clean bed */
    BF_CAMPAIGN_LOOSE,      /**< kg of Fe per m3 of bed */
    BF_CAMPAIGN_BOUND,      /**< the same */
    BF_CAMPAIGN_BOUND_TOP,  /**< of the top tenth */
    BF_CAMPAIGN_RETENTION,  /**< share of the iron that came */
    BF_CAMPAIGN_MOISTURE,   /**< fraction */
    BF_CAMPAIGN_ALKALINITY, /**< lowest, eq/m3 */
    BF_CAMPAIGN_QUANTITIES
} bf_campaign_quantity;

/** A quantity at a day, linear between the cycles that tell it, level before the first and after
 * the last. NAN where no cycle tells it. */
BF_API double bf_campaign_series_at(const bf_campaign_series *series, bf_campaign_quantity what,
                                    double day);

typedef struct bf_campaign_batch {
    const bf_campaign_spec *spec; /**< `count` of them */
    size_t count;
    int threads; /**< 0: as many as there are processors; results do not depend on it */
    /** Called now and then, from any thread but never two at once, with the share done; may be
     *  NULL. */
    void (*progress)(void *context, double share);
    void *context;
    /** NULL: none. Else the state of all campaigns goes into this file as they advance, each time
     *  as a whole; where it exists already the batch goes on from it. It is kept at the end. */
    const char *checkpoint;
    /** Time between two writings, >= 0, the first after a third of it; 0: after every cycle. */
    double checkpoint_every_s;
    /** Called once, where the batch goes on from a checkpoint, with the earliest cycle that a
     *  campaign of it goes on from; may be NULL. */
    void (*resumed)(void *context, size_t cycle);
} bf_campaign_batch;

/**
 * Run them all.
 *
 * @param series  out: batch->count of them; yours to free one by one, also on failure
 * @return BF_OK, also where beds were spent; BF_E_RANGE; BF_E_MEMORY; BF_E_SOLVER; BF_E_FILE where
 *         the checkpoint cannot be read, is damaged or belongs to other campaigns (it is left as it
 *         is); BF_E_WRITE
 */
BF_API BF_MUST_CHECK bf_status bf_campaign_batch_run(const bf_campaign_batch *batch,
                                                     bf_campaign_series *series, bf_error *err);

/** A bed's years: as expected, and with the parameter that matters most at either end of its range
 *  (the multiplier of the ageing rate, see bf_fouling_sensitivity()). */
enum { BF_FOULING_EXPECTED, BF_FOULING_LOW, BF_FOULING_HIGH, BF_FOULING_SERIES };

/** Three specs of one: BF_FOULING_LOW and _HIGH differ in iron.ageing_factor only. */
BF_API void bf_fouling_range(const bf_campaign_spec *spec, bf_campaign_spec out[BF_FOULING_SERIES]);

#ifdef __cplusplus
}
#endif
#endif
