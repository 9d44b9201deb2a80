/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The state of several campaigns in one file, so that a run that was killed goes on. */
#ifndef BF_RATING_FOULING_CHECKPOINT_H
#define BF_RATING_FOULING_CHECKPOINT_H

#include "brinefront/fouling_study.h"

typedef struct bf__checkpoint {
    size_t count;
    const bf_campaign_spec *spec; /* borrowed */
    const char *file_name;        /* borrowed */
    unsigned char **state;        /* last state of each; NULL: it has not begun */
    size_t *length;
} bf__checkpoint;

/* Without a file name nothing is kept. Where the file exists the states are read from it, and the
 * cycles before them into `series`. */
BF_MUST_CHECK bf_status bf__checkpoint_open(bf__checkpoint *checkpoint,
                                            const bf_campaign_batch *batch,
                                            bf_campaign_series *series, bf_error *err);
void bf__checkpoint_close(bf__checkpoint *checkpoint);

/* Put a fresh campaign where it was; nothing where it had not begun. */
BF_MUST_CHECK bf_status bf__checkpoint_restore(const bf__checkpoint *checkpoint, size_t which,
                                               bf_campaign *campaign, bf_error *err);
/* Keep the state of one. */
BF_MUST_CHECK bf_status bf__checkpoint_take(bf__checkpoint *checkpoint, size_t which,
                                            const bf_campaign *campaign, bf_error *err);
BF_MUST_CHECK bf_status bf__checkpoint_write(const bf__checkpoint *checkpoint,
                                             const bf_campaign_series *series,
                                             const char *file_name, bf_error *err);

#endif
