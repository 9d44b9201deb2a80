/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The state of several campaigns as bytes, so that a run that was ended goes on. */
#ifndef BF_RATING_FOULING_CHECKPOINT_H
#define BF_RATING_FOULING_CHECKPOINT_H

#include "brinefront/fouling_study.h"

typedef struct bf__checkpoint {
    const bf_campaign_batch *batch; /* borrowed */
    unsigned char **state;          /* last state of each; NULL: it has not begun */
    size_t *length;
} bf__checkpoint;

/* What the batch comes with: the state of each, and the cycles before it into `series`. */
BF_MUST_CHECK bf_status bf__checkpoint_open(bf__checkpoint *checkpoint,
                                            const bf_campaign_batch *batch,
                                            bf_campaign_series *series, bf_error *err);
void bf__checkpoint_close(bf__checkpoint *checkpoint);

/* Put a fresh campaign where it was; nothing where it had not begun. */
BF_MUST_CHECK bf_status bf__checkpoint_restore(const bf__checkpoint *checkpoint, size_t index,
                                               bf_campaign *campaign, bf_error *err);
/* Keep the state of one, where the batch saves at all. */
BF_MUST_CHECK bf_status bf__checkpoint_take(bf__checkpoint *checkpoint, size_t index,
                                            const bf_campaign *campaign, bf_error *err);
/* Hand all of it to the batch's save(). */
BF_MUST_CHECK bf_status bf__checkpoint_save(const bf__checkpoint *checkpoint,
                                            const bf_campaign_series *series, bf_error *err);

#endif
