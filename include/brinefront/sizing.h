/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file sizing.h
 * Ratings asked backwards: the dose, the bed, the end point that do what is wanted. Each answer is
 * a root of the model, or the limit that forbids one.
 */
#ifndef BRINEFRONT_SIZING_H
#define BRINEFRONT_SIZING_H

#include "brinefront/tank.h"

#ifdef __cplusplus
extern "C" {
#endif

/** What forbids an answer. */
typedef enum bf_binding {
    BF_BINDING_NONE,     /**< there is an answer */
    BF_BINDING_CAPACITY, /**< no dose gives so much */
    BF_BINDING_LEAKAGE,  /**< the bed leaks above the end point */
    BF_BINDING_INTERVAL, /**< regenerations would follow each other too fast */
    BF_BINDING_FLOW,     /**< velocity, bed volumes an hour or pressure */
    BF_BINDING_SIZE      /**< no bed in the range asked */
} bf_binding;
BF_API const char *bf_binding_words(bf_binding binding);

typedef struct bf_sizing {
    bf_binding binding;
    double answer;  /**< dose kg/m3, resin m3, or end point eq/m3; NAN where none */
    double nearest; /**< where there is none: the nearest that could be had of what was wanted */
    bf_dose_point point; /**< the rating at the answer, or at the limit */
    size_t ratings;      /**< steady cycles computed */
} bf_sizing;

enum { BF_SIZING_DOSE_LOW = 30, BF_SIZING_DOSE_HIGH = 400 }; /**< kg/m3 looked at */

/** The least dose that gives a capacity, eq/m3 of bed. */
BF_API BF_MUST_CHECK bf_status bf_dose_for_capacity(const bf_rating_spec *rating,
                                                    double capacity_eq_per_m3, bf_sizing *out,
                                                    bf_error *err);

/** The smallest resin volume that softens a flow for an interval at a dose: depth or diameter as
 * the bed has it, the other grows. @param interval_m3  water between regenerations */
BF_API BF_MUST_CHECK bf_status bf_smallest_bed(const bf_rating_spec *rating,
                                               const bf_tank_spec *tank, double dose_kg_per_m3,
                                               double interval_m3, double flow_m3_per_s,
                                               bf_sizing *out, bf_error *err);

/** The dose that uses least salt a year for a use of water, regenerating at most each `least_days`
 *  and at least each `most_days`. */
BF_API BF_MUST_CHECK bf_status bf_least_salt(const bf_rating_spec *rating, double water_m3_per_day,
                                             double least_days, double most_days, bf_sizing *out,
                                             bf_error *err);

/** The lowest effluent hardness that a dose can hold as an end point with a rating. */
BF_API BF_MUST_CHECK bf_status bf_holdable_end_point(const bf_rating_spec *rating,
                                                     double dose_kg_per_m3, bf_sizing *out,
                                                     bf_error *err);

#ifdef __cplusplus
}
#endif
#endif
