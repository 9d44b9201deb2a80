/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file libraries.h
 * The libraries that brinefront runs on, with the versions found when the program started: a report
 * of an error is worth little without them.
 */
#ifndef BRINEFRONT_LIBRARIES_H
#define BRINEFRONT_LIBRARIES_H

#include "brinefront/status.h"

#ifdef __cplusplus
extern "C" {
#endif

typedef struct bf_library {
    const char *name;    /**< e.g. "SUNDIALS" */
    const char *purpose; /**< what it does here, e.g. "integrates the bed in time" */
    char version[32];    /**< e.g. "6.4.1" */
} bf_library;

enum { BF_LIBRARIES = 5 };

/** Name, purpose and version of each. */
BF_API void bf_libraries(bf_library out[BF_LIBRARIES]);

#ifdef __cplusplus
}
#endif
#endif
