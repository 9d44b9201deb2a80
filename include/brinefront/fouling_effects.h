/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file fouling_effects.h
 * What helps a fouling bed, what hardness to add for its iron, and what its uncertain parameters
 * do: each answered by campaigns, nothing by rule.
 */
#ifndef BRINEFRONT_FOULING_EFFECTS_H
#define BRINEFRONT_FOULING_EFFECTS_H

#include "brinefront/fouling_study.h"

#ifdef __cplusplus
extern "C" {
#endif

/* A study asks for potentials, so the service of the campaign needs an end point below the hardness
 * of the feed; how often the campaign itself has them does not matter. Its horizon, cycles times
 * days between, holds for every campaign of the study. */

/** How a study runs; zeroed is fine. */
typedef struct bf_fouling_run {
    int threads;    /**< 0: as many as there are processors; results do not depend on it */
    bf_watch watch; /**< told after each cycle of a campaign and each step of the study */
} bf_fouling_run;

/** The end of a campaign, in the figures that are compared. */
typedef struct bf_fouling_end {
    bf_campaign_state state;
    double day;                      /**< of the last cycle */
    double potential_new_eq_per_m3;  /**< hardness to the end point, the first in the series: of
                                         the sixth cycle, where the campaign has so many */
    double potential_eq_per_m3;      /**< the last in the series; 0 where the bed was spent; NAN
                                         where there is none */
    double total_capacity_eq_per_m3; /**< total, of the resin */
    double bound_kg_per_m3;
    double hardness_eq_per_m3; /**< mean in the service water of the last cycle */
    double iron_g_per_m3;      /**< the same */
    double pressure_ratio;
    double salt_kg_per_m3_year;    /**< per m3 of bed and 365.25 days */
    double water_bed_volumes_year; /**< of regeneration */
} bf_fouling_end;

/** Skipped cycles count with the salt and water of the cycle before them. */
BF_API bf_fouling_end bf_fouling_end_of(const bf_campaign_spec *spec,
                                        const bf_campaign_series *series);

/* ---- what if --------------------------------------------------------------------------------- */

enum { BF_WHAT_IFS = 12 };

/** What a change changes. */
typedef enum bf_what_if_kind {
    BF_WHAT_IF_SALT,         /**< dose, kg per m3 of resin */
    BF_WHAT_IF_INTERVAL,     /**< days between regenerations */
    BF_WHAT_IF_BRINE_PH,     /**< - */
    BF_WHAT_IF_BRINE_OXYGEN, /**< g/m3 */
    BF_WHAT_IF_CLEANING,     /**< days between cleanings; NAN: none before; the rest in `spec` */
    BF_WHAT_IF_IRON,         /**< of the water, g/m3 */
    BF_WHAT_IF_OXYGEN        /**< of the water, g/m3 */
} bf_what_if_kind;

/** One change and what it does. */
typedef struct bf_what_if {
    const char *name; /**< "more_salt", "shorter_interval", "acid_brine", "brine_without_oxygen",
                              "reductive_cleaning", "acid_cleaning", "iron_filter", "less_oxygen" */
    bf_what_if_kind kind;
    double before, after; /**< what is changed, in the unit of its kind */
    /** Nonzero: somebody handles a chemical; print bf_cleaning_safety_get() beside it. */
    int chemical;
    bf_campaign_spec spec;
    bf_fouling_end end;
    double gain_eq_per_m3; /**< potential at the end over that of the unchanged campaign */
} bf_what_if;

/**
 * Change one thing at a time, run each campaign, and rank what comes out: the most gain first, beds
 * that were spent last, the one that lasted longest first.
 *
 * Left out: what the case does already, what leaves the range of a campaign, and what the campaign
 * does not notice (brine, oxygen, cleaning and filter without iron; a cleaning beyond its end). A
 * cleaning replaces the one of the case, as there is one; its interval is stretched, by 5 % at
 * most, so that the campaign ends just before the next: the worst day of a cleaned bed. Acid is
 * given for the sites and the iron of the unchanged bed after the first interval. An iron filter
 * takes two equivalents of alkalinity for each mole of iron that it oxidises, of soda where the
 * water has no more; pH and oxygen stay as they are, though a filter that is fed air adds oxygen.
 *
 * @param unchanged  out;  @param out  room for BF_WHAT_IFS;  @param count  out
 * @return BF_OK; BF_E_RANGE for a campaign that cannot be, or without an end point; BF_E_STOPPED
 *         with the changes whose campaigns were complete; as bf_campaign_batch_run()
 * Cost: the unchanged campaign, then up to eight side by side, one of twice the cycles.
 * Tested in tests/rating/test_what_if.c.
 */
BF_API BF_MUST_CHECK bf_status bf_fouling_what_if(const bf_campaign_spec *spec,
                                                  const bf_fouling_run *run,
                                                  bf_fouling_end *unchanged, bf_what_if *out,
                                                  size_t *count, bf_error *err);

/* ---- compensation ---------------------------------------------------------------------------- */

enum { BF_COMPENSATION_POINTS = 9 };

typedef struct bf_compensation_point {
    double addition_eq_per_g;   /**< eq of hardness counted per g of iron */
    double service_bed_volumes; /**< between regenerations that follow */
    double days_between;
    double capacity_loss; /**< relative, of the potential, at the end; 1 where the bed was spent */
    bf_fouling_end end;   /**< its potential_new is that of the bed without deposits, regenerated
                               as often, in its steady cycle */
} bf_compensation_point;

typedef struct bf_compensation {
    bf_compensation_point point[BF_COMPENSATION_POINTS]; /**< additions tried, ascending; one where
                                                              there is no iron to count */
    size_t count;
    double allowed_loss;
    /** Of the bed without deposits, regenerated whenever it is used up, in its steady cycle: what
     * is counted down. Of seasons the least. */
    double potential_new_eq_per_m3;
    /** An addition that keeps to the loss, near the least that does; NAN: none that was tried does,
     *  and iron must be removed before the bed. */
    double addition_eq_per_g;
    double
        too_little_eq_per_g; /**< the largest below it that was found not to; NAN: there is none */
    bf_compensation_point chosen; /**< the campaign at that addition; zero where there is none */
    int falls; /**< zero: a larger addition sometimes lost more, so that "least" means least of
                    what was tried */
    const char *why; /**< no addition was found; NULL where one was */
} bf_compensation;

/**
 * Hardness to add per iron so that the bed loses no more than it may: water is counted as hardness
 * + addition x iron, the bed is regenerated when its new potential is used up by that count.
 *
 *     V = C/(H + a Fe)      loss = 1 - P(end)/P(new, at that V)
 *
 * V service in bed volumes, C potential of the new bed, H hardness in eq/m3, Fe all iron in g/m3
 * (of seasons the largest of H + a Fe), a addition, P potential. P(new) is that of the same
 * regime, since a bed that is regenerated early holds more, deposits or not. Everything else stays
 * as in the case. Tried are 0, the iron's own charge, and 2, 3, 4, 5, 7.5, 10 and 15 gpg per mg/L;
 * then, between the two that enclose the allowed loss, six more at most: every addition that is
 * returned has been run.
 *
 * @param allowed_loss  of the potential over the campaign, 0.005 .. 0.5
 * @return BF_OK, also where no addition helps; BF_E_RANGE for a loss outside its range, a campaign
 *         that cannot be, an end point that the new bed cannot keep; BF_E_STOPPED with no answer
 *         and the points of the nine where all of them had been run; as bf_campaign_batch_run()
 * Cost: nine to fifteen campaigns, and some ten plain cycles each.
 * Tested in tests/rating/test_compensation.c.
 */
BF_API BF_MUST_CHECK bf_status bf_fouling_compensation(const bf_campaign_spec *spec,
                                                       double allowed_loss,
                                                       const bf_fouling_run *run,
                                                       bf_compensation *out, bf_error *err);

/* ---- sensitivity ----------------------------------------------------------------------------- */

/** One parameter at either end of its range, the others as they are. */
typedef struct bf_fouling_sensitivity {
    size_t parameter; /**< row for bf_iron_parameter_get() */
    int takes_part;   /**< zero: nothing in this campaign asks for it; the ends are not computed */
    bf_fouling_end low, high;
    double spread_eq_per_m3; /**< between the potentials at the end, without sign */
} bf_fouling_sensitivity;

/**
 * Every parameter that is not exact at either end of its range, one at a time.
 *
 * @param expected  out: the campaign as it is
 * @param out    room for bf_iron_parameter_count(); sorted, the widest spread first, then those
 * that move something else, then those that do not take part
 * @return BF_OK; BF_E_RANGE for a campaign that cannot be, or without an end point; BF_E_STOPPED:
 *         an end whose state is BF_CAMPAIGN_RUNS was not reached; as bf_campaign_batch_run()
 * Cost: two campaigns a parameter that takes part. Tested in
 * tests/rating/test_fouling_sensitivity.c.
 */
BF_API BF_MUST_CHECK bf_status bf_fouling_sensitivities(const bf_campaign_spec *spec,
                                                        const bf_fouling_run *run,
                                                        bf_fouling_end *expected,
                                                        bf_fouling_sensitivity *out, bf_error *err);

#ifdef __cplusplus
}
#endif
#endif
