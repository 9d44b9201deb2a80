/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file criteria.h
 * The conditions of a published test, and how a rating stands against published criteria. A
 * computed estimate, not a certification.
 */
#ifndef BRINEFRONT_CRITERIA_H
#define BRINEFRONT_CRITERIA_H

#include "brinefront/first_minutes.h"
#include "brinefront/tank.h"

#ifdef __cplusplus
extern "C" {
#endif

/** Under which conditions a bed is rated. */
typedef enum bf_protocol {
    BF_PROTOCOL_OWN,            /**< the case as it stands */
    BF_PROTOCOL_PUBLISHED_TEST, /**< as certifiers describe NSF/ANSI 44 (protocol.c) */
    BF_PROTOCOLS
} bf_protocol;
/** "own", "published test". */
BF_API const char *bf_protocol_words(bf_protocol protocol);

/**
 * The rating of a case under a protocol: for the published test the feed is brought to 342 mg/L of
 * hardness, the run goes at half of the rated flow and counts to 1 gpg, and before each
 * regeneration the bed is exhausted to 10 gpg at 4 gpm/ft3. Everything else stays as the case has
 * it; notes say what that assumes.
 *
 * @param rated_m3_per_s  of the vessel (bf_tank_sheet); not looked at for BF_PROTOCOL_OWN
 * @param out             may be `rating` itself
 * @return BF_OK; BF_E_RANGE for no rated flow, or a recipe that is full or begins with no service
 */
BF_API BF_MUST_CHECK bf_status bf_protocol_apply(bf_protocol protocol, const bf_rating_spec *rating,
                                                 double rated_m3_per_s, bf_rating_spec *out,
                                                 bf_notes *notes, bf_error *err);

/** A bed that is run on, at a velocity of its own, until its effluent rises through
 * `stop_hardness_eq_per_m3`, before it is regenerated; one whose effluent is there already is left
 * as it is. It serves: neither its water nor its time is regeneration's, and nothing it takes up
 * counts as capacity. */
BF_API extern const bf_step_type bf_step_exhaust;

/** What is asked, in the order of bf_criteria_of(). */
typedef enum bf_criterion_id {
    BF_CRITERION_EFFICIENCY_RATED,    /**< 3,350 gr/lb */
    BF_CRITERION_WATER_RATED,         /**< 5 gal per 1,000 gr */
    BF_CRITERION_EFFICIENCY_STATE,    /**< 4,000 gr/lb, California */
    BF_CRITERION_EFFICIENCY_DISTRICT, /**< 4,000 gr/lb, Madison */
    BF_CRITERION_WATER_DISTRICT,      /**< 2.5 gal per 1,000 gr, Madison */
    BF_CRITERION_PRESSURE,            /**< 15 psi at rated flow */
    BF_CRITERION_RATED_FLOW,          /**< 4 gpm */
    BF_CRITERION_LEAKAGE,             /**< below 1 gpg at full flow */
    BF_CRITERIA
} bf_criterion_id;

/** One criterion and where a rating stands. */
typedef struct bf_criterion {
    const char *name;
    const char *source;
    const char *unit;    /**< of the next two, as the source states its limit */
    double found, limit; /**< found NAN: cannot be told */
    int at_least;        /**< nonzero: found must reach the limit; else it must not pass it */
    int holds;           /**< nonzero: it does */
    double margin;       /**< relative to the limit, above zero where it holds; NAN as found */
    const char *si_unit; /**< of found * si_per_unit and limit * si_per_unit */
    double si_per_unit;
} bf_criterion;

/** "holds", "fails", "cannot be told". */
BF_API const char *bf_criterion_verdict(const bf_criterion *criterion);

/**
 * All criteria: efficiency and water of the smallest dose, pressure at rated flow, leakage at full
 * flow at the smallest dose.
 *
 * @param sheet         of the vessel; NULL: pressure and rated flow cannot be told
 * @param points        the doses that were rated; the smallest of them counts
 * @param full_flow     ten minutes of the smallest dose at full flow; NULL: leakage cannot be told
 * @param out           room for BF_CRITERIA, one per bf_criterion_id
 * @return how many: BF_CRITERIA
 */
BF_API size_t bf_criteria_of(const bf_rating_spec *rating, const bf_tank_sheet *sheet,
                             const bf_dose_point *points, size_t count,
                             const bf_first_minutes *full_flow, bf_criterion *out);

#ifdef __cplusplus
}
#endif
#endif
