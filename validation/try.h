/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Leaves a function at its first failure. */
#ifndef BF_VALIDATION_TRY_H
#define BF_VALIDATION_TRY_H

/** Leave at the first failure: `status` and a label `done` must be in scope. */
#define TRY(call)                                                                                  \
    do {                                                                                           \
        status = (call);                                                                           \
        if (status != BF_OK) {                                                                     \
            goto done;                                                                             \
        }                                                                                          \
    } while (0)

#endif
