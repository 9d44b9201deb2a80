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

/**
 * Campaigns to run, and how. What is left zero is not done.
 *
 * Saving and going on: while it runs, a batch hands its whole state to `save` as bytes; they may be
 * kept in memory, in a file, anywhere. Hand the last of them to a batch of the same campaigns as
 * `saved`, and it goes on from there to the same bits:
 *
 *     batch.save = keep;                  // copies the bytes
 *     status = bf_campaign_batch_run(&batch, series, &err);     // BF_E_STOPPED
 *     batch.saved = kept.bytes;
 *     batch.saved_length = kept.length;
 *     status = bf_campaign_batch_run(&batch, series, &err);     // goes on
 *
 * bf_campaign_batch_run_file() does so with a file. The bytes serve the build and the kind of
 * machine that wrote them.
 */
typedef struct bf_campaign_batch {
    const bf_campaign_spec *spec; /**< `count` of them */
    size_t count;
    int threads; /**< 0: as many as there are processors; results do not depend on it */
    int together; /**< nonzero: the campaign that is least far goes on first, so that a stop leaves all
                       about equally far; else one after the other, so that it leaves whole ones */
    bf_watch watch;    /**< told after each cycle; a stop ends each campaign after its cycle */
    const void *saved; /**< what `save` got in an earlier run, borrowed; NULL: from the beginning */
    size_t saved_length;
    const char *saved_name; /**< in messages, such as a file's; NULL: "the saved state" */
    /** Takes the state of all campaigns as it is now. The bytes are borrowed until it returns. From
     *  any thread, never two at once; anything but BF_OK ends the batch with that. Called before
     *  the first cycle, then each save_every_s, and when the batch is complete or was stopped. */
    bf_status (*save)(void *context, const void *bytes, size_t length, bf_error *err);
    double save_every_s; /**< >= 0, the first time after a third of it; 0: after every cycle */
    /** Called once, where the batch goes on from what was saved, with the earliest cycle that a
     *  campaign of it goes on from. */
    void (*resumed)(void *context, size_t cycle);
    void *context; /**< of save and resumed */
} bf_campaign_batch;

/**
 * Run them all.
 *
 * @param series  out: batch->count of them, each up to its last cycle, also on failure; yours to
 *                free one by one
 * @return BF_OK, also where beds were spent; BF_E_STOPPED where the watch asked for it before the
 *         last cycle; BF_E_RANGE; BF_E_MEMORY; BF_E_SOLVER; BF_E_FILE where what was saved is
 *         damaged or belongs to other campaigns; what `save` returned
 */
BF_API BF_MUST_CHECK bf_status bf_campaign_batch_run(const bf_campaign_batch *batch,
                                                     bf_campaign_series *series, bf_error *err);

/**
 * The same, its state kept in a file, each time as a whole; where the file is there already the
 * batch goes on from it. It is kept at the end, and left as it is where it cannot be used.
 *
 * @param batch  its saved, saved_length, saved_name and save do not count
 * @return the same; BF_E_FILE also where the file cannot be read; BF_E_WRITE
 */
BF_API BF_MUST_CHECK bf_status bf_campaign_batch_run_file(const bf_campaign_batch *batch,
                                                          const char *file_name,
                                                          bf_campaign_series *series,
                                                          bf_error *err);

/** A bed's years: as expected, and with the parameter that matters most at either end of its range
 *  (the multiplier of the ageing rate, see bf_fouling_sensitivity()). */
enum { BF_FOULING_EXPECTED, BF_FOULING_LOW, BF_FOULING_HIGH, BF_FOULING_SERIES };

/** Three specs of one: BF_FOULING_LOW and _HIGH differ in iron.ageing_factor only. */
BF_API void bf_fouling_range(const bf_campaign_spec *spec, bf_campaign_spec out[BF_FOULING_SERIES]);

#ifdef __cplusplus
}
#endif
#endif
