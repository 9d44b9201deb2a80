/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file version.h
 * Which brinefront runs, and what it was linked with.
 */
#ifndef BRINEFRONT_VERSION_H
#define BRINEFRONT_VERSION_H

#include "brinefront/status.h"

#ifdef __cplusplus
extern "C" {
#endif

/** The version, e.g. "0.1.0"; never NULL. */
BF_API const char *bf_version(void);

#ifdef __cplusplus
}
#endif
#endif
