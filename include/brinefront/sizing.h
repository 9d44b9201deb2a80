/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file sizing.h
 * Ratings asked backwards: the dose, the bed, the end point that do what is wanted. Each answer is
 * a root of the model, or the limit that forbids one.
 *
 * No answer is a result, not an error: `binding` says which limit forbids it and `nearest` what
 * could be had instead. All answers hold to 0.2 % in what was wanted, where the spec's own
 * tolerances (2e-4 of the capacity) are kept; the end point to 1 %, as leakage is less sharp.
 *
 * @return of each function: BF_OK, also where there is no answer; BF_E_RANGE naming what was asked
 *         outside its range; BF_E_MEMORY; BF_E_SOLVER; BF_E_STOPPED: `answer` is then the least
 *         that was found to be enough so far
 * Cost: 3 to 21 ratings were seen, each as in bf_dose_curve(); `ratings` counts them.
 */
#ifndef BRINEFRONT_SIZING_H
#define BRINEFRONT_SIZING_H

#include "brinefront/tank.h"

#ifdef __cplusplus
extern "C" {
#endif

/** What forbids an answer, and what decides one. */
typedef enum bf_binding {
    BF_BINDING_NONE,     /**< nothing: there is an answer; or it is the best of those allowed */
    BF_BINDING_CAPACITY, /**< the capacity */
    BF_BINDING_LEAKAGE,  /**< the bed leaks above the end point */
    BF_BINDING_INTERVAL, /**< the time or the water between regenerations */
    BF_BINDING_FLOW,     /**< velocity, bed volumes an hour or pressure */
    BF_BINDING_SIZE,     /**< the end of the range looked at: of doses, beds or end points */
    BF_BINDING_CYCLE,    /**< no rating, but not by leakage: point.steady.cycle.outcome says why */
    BF_BINDING_STOPPED   /**< nothing: the search was stopped before it had found anything */
} bf_binding;
/** "none", "capacity", "leakage", ... in words a table can carry. */
BF_API const char *bf_binding_words(bf_binding binding);

typedef struct bf_sizing {
    bf_binding binding; /**< what forbids an answer; BF_BINDING_NONE: there is one */
    bf_binding decided; /**< what the answer just meets: where this were looser it would be less */
    double answer;      /**< dose kg/m3, resin m3, or end point eq/m3; NAN where none */
    double nearest; /**< where there is none: the nearest that could be had of what was wanted, in
                         its unit; NAN where nothing could */
    double days;    /**< bf_least_salt: between regenerations; else NAN */
    double salt_kg_per_year; /**< bf_least_salt; else NAN */
    bf_dose_point point;     /**< the rating at the answer, or at the limit */
    bf_bed_spec bed;         /**< the bed that `point` was rated in */
    size_t ratings;          /**< steady cycles computed, those of bands not counted */
    double practical_ratio; /**< practical capacity over that of `point`; NAN where it was not asked
                                 for, and without an answer */
} bf_sizing;

/** How to search. */
typedef struct bf_sizing_spec {
    /** Of the practical rating: the share of a band of the uncertain constants (band.h) that may
     *  fall short of what is wanted, above 0 up to 0.5. 0: the case as it stands. The least salt
     *  and the end point are searched for as the case stands, whatever it says. */
    double quantile;
    size_t samples; /**< of each band, as in bf_band_spec */
    int threads;    /**< of each band; 0: as many as there are processors; the same bits for any.
                         The ratings of a search follow one another */
    bf_watch watch; /**< told after each rating; the share is a guess, for nobody knows how many it
                         takes */
} bf_sizing_spec;

enum { BF_SIZING_DOSE_LOW = 30, BF_SIZING_DOSE_HIGH = 400 }; /**< kg/m3 looked at */

/** The least dose that gives a capacity, eq/m3 of bed: where a quantile is set, that gives it as
 *  practical capacity. `nearest`: capacity, the rating's own and not the practical one. Cost of a
 *  quantile: a band for each try that is about enough, 3 to 8.
 *  @param spec  of this and the others: NULL: all zero */
BF_API BF_MUST_CHECK bf_status bf_dose_for_capacity(const bf_rating_spec *rating,
                                                    double capacity_eq_per_m3,
                                                    const bf_sizing_spec *spec, bf_sizing *out,
                                                    bf_error *err);

/**
 * The smallest resin volume that softens a flow for an interval at a dose.
 *
 * Where tank->diameter_m is NAN the depth is that of the bed and the diameter grows, to 10 m.
 * Where it is given the vessel stands and the depth grows, to 10 m or to what tank->height_m
 * leaves above the underbedding for swelling and expansion; brine and rinses keep their bed volumes
 * an hour, backwash its velocity, and the freeboard is what the height leaves, or in proportion to
 * the depth. To choose among sizes, ask once for each.
 *
 * Service runs at the flow, and as long as the practical capacity makes it where a quantile is
 * set. Velocity, bed volumes an hour and the pressure over bed (Ergun, in
 * the water's temperature) and fittings keep to the tank's limits.
 *
 * @param interval_m3  water between regenerations, > 0
 * `nearest`: interval in m3; where no bed carries the flow at all, which takes no rating to tell
 * (`ratings` is 0 and `point` empty), the flow in m3/s.
 */
BF_API BF_MUST_CHECK bf_status bf_smallest_bed(const bf_rating_spec *rating,
                                               const bf_tank_spec *tank, double dose_kg_per_m3,
                                               double interval_m3, double flow_m3_per_s,
                                               const bf_sizing_spec *spec, bf_sizing *out,
                                               bf_error *err);

/**
 * The smallest common size (bf_tank_size_get()), by cross-section and then by height, in which a
 * bed softens the flow for the interval, and that bed: bf_smallest_bed() asked of one after the
 * other. Of `tank` all counts but diameter and height.
 *
 * @param size  out: its index; bf_tank_size_count() where none does, and *out is then of no use
 * Cost: 2 to 6 ratings for each size that is looked at; those too small or too narrow take none.
 */
BF_API BF_MUST_CHECK bf_status bf_smallest_vessel(const bf_rating_spec *rating,
                                                  const bf_tank_spec *tank, double dose_kg_per_m3,
                                                  double interval_m3, double flow_m3_per_s,
                                                  const bf_sizing_spec *spec, size_t *size,
                                                  bf_sizing *out, bf_error *err);

/** The dose that uses least salt a year for a use of water, regenerating at most each `least_days`
 *  and at least each `most_days`. Where most_days comes before the end point, the rest of the
 *  capacity is left unused and the rating stays that of runs to the end point, which is on the
 *  safe side of leakage. The minimum is flat: salt holds to 0.2 %, the dose to some percent.
 *  @param least_days  > 0  @param most_days  >= least_days
 *  `nearest`: days. */
BF_API BF_MUST_CHECK bf_status bf_least_salt(const bf_rating_spec *rating, double water_m3_per_day,
                                             double least_days, double most_days,
                                             const bf_sizing_spec *spec, bf_sizing *out,
                                             bf_error *err);

/** The lowest effluent hardness that a dose can hold as an end point with a rating. A rating with
 *  a lower end point is of shorter runs, which leave the bed cleaner: it is found by rating anew,
 *  not read from the leakage of another end point. Looked at: from the rating's own end point
 *  down to a thousandth of the feed's hardness and up to 0.95 of it. `nearest`: NAN. */
BF_API BF_MUST_CHECK bf_status bf_holdable_end_point(const bf_rating_spec *rating,
                                                     double dose_kg_per_m3,
                                                     const bf_sizing_spec *spec, bf_sizing *out,
                                                     bf_error *err);

#ifdef __cplusplus
}
#endif
#endif
