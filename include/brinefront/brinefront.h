/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file brinefront.h
 * All of brinefront, in reading order.
 */
#ifndef BRINEFRONT_BRINEFRONT_H
#define BRINEFRONT_BRINEFRONT_H

/* The order is the reading order. */
/* clang-format off */
#include "brinefront/status.h"
#include "brinefront/version.h"
#include "brinefront/convert.h"
#include "brinefront/unit_system.h"
#include "brinefront/files.h"

#include "brinefront/ions.h"
#include "brinefront/water.h"
#include "brinefront/salt.h"
#include "brinefront/fluid.h"
#include "brinefront/brine.h"
#include "brinefront/activity.h"

#include "brinefront/resin.h"
#include "brinefront/selectivity.h"
#include "brinefront/film.h"
#include "brinefront/hydraulics.h"

#include "brinefront/bed.h"
#include "brinefront/cycle.h"
#include "brinefront/trace.h"

#include "brinefront/iron.h"
#include "brinefront/oxidation.h"
#include "brinefront/fouling.h"
#include "brinefront/iron_source.h"
#include "brinefront/cleaning.h"
#include "brinefront/campaign.h"

#include "brinefront/dose_curve.h"
#include "brinefront/stagnation.h"
#include "brinefront/first_minutes.h"
#include "brinefront/cycle_study.h"
#include "brinefront/practice.h"
#include "brinefront/tank.h"
#include "brinefront/criteria.h"
#include "brinefront/band.h"
#include "brinefront/parallel_beds.h"
#include "brinefront/tank_study.h"
#include "brinefront/sizing.h"
#include "brinefront/comparison.h"
#include "brinefront/fouling_study.h"
#include "brinefront/fouling_effects.h"

#include "brinefront/units.h"
#include "brinefront/case.h"
#include "brinefront/observations.h"
#include "brinefront/overlay.h"
#include "brinefront/report.h"
#include "brinefront/libraries.h"
#include "brinefront/answer.h"
/* clang-format on */

#ifdef __cplusplus
extern "C" {
#endif

/** Structs that callers make room for, the largest of each family. The first five have 20 KB and more,
 *  nothing for a small stack. Any struct that grows, as many do with a new ion, makes one of these
 *  grow. */
#define BF_LAYOUT_TABLE(X)                                                                         \
    X(bf_case)                                                                                     \
    X(bf_tank_study)                                                                               \
    X(bf_tank_dose)                                                                                \
    X(bf_cycle_study)                                                                              \
    X(bf_sizing)                                                                                   \
    X(bf_compared_point)                                                                           \
    X(bf_campaign_cycle)                                                                           \
    X(bf_what_if)                                                                                  \
    X(bf_compensation)                                                                             \
    X(bf_overlay)

/** A number of their sizes, as the compiler of this line sees them. */
static inline unsigned long bf_layout(void)
{
    unsigned long number = 0;
#define BF_LAYOUT_ADD(type) number = number * 31UL + (unsigned long)sizeof(type);
    BF_LAYOUT_TABLE(BF_LAYOUT_ADD)
#undef BF_LAYOUT_ADD
    return number;
}

/** For bf_check_headers(). */
BF_API BF_MUST_CHECK bf_status bf_layout_check(unsigned long layout, bf_error *err);

/**
 * Were the caller's headers those of the library that it runs on? Call it once, first of all: where
 * they are not, results would be written past the room that the caller made.
 *
 * @return BF_OK; BF_E_RANGE, and nothing else of the library may be called
 */
static inline BF_MUST_CHECK bf_status bf_check_headers(bf_error *err)
{
    return bf_layout_check(bf_layout(), err);
}

#ifdef __cplusplus
}
#endif

#endif
