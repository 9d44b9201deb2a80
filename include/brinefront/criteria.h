/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file criteria.h
 * The conditions of a published test, and how a rating stands against published criteria. A
 * computed estimate, not a certification.
 */
#ifndef BRINEFRONT_CRITERIA_H
#define BRINEFRONT_CRITERIA_H

#include "brinefront/tank.h"

#ifdef __cplusplus
extern "C" {
#endif

/** Under which conditions a bed is rated. */
typedef enum bf_protocol {
    BF_PROTOCOL_OWN,           /**< the case as it stands */
    BF_PROTOCOL_PUBLISHED_TEST /**< as certifiers describe NSF/ANSI 44 (criteria.c) */
} bf_protocol;

/**
 * The rating of a case under a protocol: for the published test the feed is brought to 342 mg/L of
 * hardness, the run goes at half of the rated flow and counts to 1 gpg, and before each
 * regeneration the bed is exhausted to 10 gpg at 4 gpm/ft3.
 *
 * @param rated_m3_per_s  of the vessel
 */
BF_API BF_MUST_CHECK bf_status bf_protocol_apply(bf_protocol protocol, const bf_rating_spec *rating,
                                                 double rated_m3_per_s, bf_rating_spec *out,
                                                 bf_notes *notes, bf_error *err);

/** A bed that is run on to an effluent hardness at a velocity of its own, before it is regenerated;
 *  counts as service of the cycle, not of the rating. */
BF_API extern const bf_step_type bf_step_exhaust;

enum { BF_CRITERIA = 8 };

/** One criterion and where a rating stands. */
typedef struct bf_criterion {
    const char *name;
    const char *source;
    const char *unit;    /**< of the next three */
    double found, limit; /**< found NAN: cannot be told */
    int at_least;        /**< nonzero: found must reach the limit; else it must not pass it */
    int holds;           /**< nonzero: it does */
    double margin;       /**< relative, above zero where it holds */
} bf_criterion;

/**
 * All criteria: efficiency and water of the smallest dose, pressure at rated flow, leakage at full
 * flow at the smallest dose.
 *
 * @param points        doses in ascending order;  @param full_flow  the smallest dose again, at
 * full flow; NULL: leakage cannot be told
 * @param out           room for BF_CRITERIA;  @return how many
 */
BF_API size_t bf_criteria_of(const bf_rating_spec *rating, const bf_tank_sheet *sheet,
                             const bf_dose_point *points, size_t count,
                             const bf_dose_point *full_flow, bf_criterion *out);

#ifdef __cplusplus
}
#endif
#endif
