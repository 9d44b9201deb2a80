/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file tank_study.h
 * A vessel rated: sheet, curve of doses, bands, leakage at the flows that are drawn, blend, uneven
 * flow and criteria in one go. A computed estimate, not a certification.
 */
#ifndef BRINEFRONT_TANK_STUDY_H
#define BRINEFRONT_TANK_STUDY_H

#include "brinefront/band.h"
#include "brinefront/criteria.h"
#include "brinefront/parallel_beds.h"
#include "brinefront/stagnation.h"
#include "brinefront/tank.h"

#ifdef __cplusplus
extern "C" {
#endif

typedef struct bf_tank_study_spec {
    const bf_rating_spec *rating;
    const bf_tank_spec *tank;
    bf_protocol protocol;
    double quantile;        /**< of the practical rating, 0 .. 0.5 */
    size_t samples;         /**< of each band, as in bf_band_spec */
    double blend_eq_per_m3; /**< hardness wanted of the blend; NAN: none */
    bf_uneven_flow uneven;
    bf_stagnation stagnation;     /**< NAN: none, the water never stands */
    const double *dose_kg_per_m3; /**< `count` doses, each above 0 */
    size_t count;
    int threads; /**< 0: as many as there are processors; the same bits for any */
    bf_watch watch;
} bf_tank_study_spec;

/** One quantity of a band, SI per volume of resin as in bf_band_quantity. */
typedef struct bf_tank_span {
    double low, middle, high; /**< a tenth of the samples lies below, half, nine tenths */
    double practical; /**< at the spec's quantile, on the unfavourable side: capacity and efficiency
                           low, leakage high */
} bf_tank_span;

/** One dose. */
typedef struct bf_tank_dose {
    bf_dose_point point;
    bf_tank_rating tank; /**< the whole bed */
    bf_tank_sheet sheet; /**< times, water and brine of a regeneration at this dose */
    int has_band;
    bf_tank_span span[BF_BAND_QUANTITIES]; /**< where has_band */
    size_t unrated;                        /**< samples without a rating */
    double salt_left_eq_per_m3;            /**< by the last rinse: bf_salt_left_eq_per_m3() */
    double blend_share; /**< of raw water in the blend; NAN: none wanted, or it cannot be had */
    double run_s;       /**< a run at the average flow, or at that of the service; NAN: no rating */
    double short_run_s; /**< the same at the peak flow where one is stated */
} bf_tank_dose;

typedef struct bf_tank_study {
    bf_rating_spec rating; /**< as it was rated: under the protocol */
    bf_tank_sheet sheet;   /**< at the middle dose, under the case's own conditions */
    bf_tank_dose *dose;    /**< `count` of them, in the order of the spec */
    size_t count;
    size_t least, middle, most; /**< of the doses by size; each has a band */
    bf_grid_estimate grid;
    size_t samples;
    int has_peak, has_average, has_cold, has_warm, has_stagnation, has_uneven;
    bf_dose_point peak, average; /**< middle dose at these flows, where stated */
    bf_dose_point cold, warm;    /**< middle dose in the coldest and the warmest water, where it is
                                      another than the rating's and the brine can be had in it */
    bf_stagnation_point stagnation; /**< middle dose in draws, where they are stated */
    bf_dose_point uneven;           /**< middle dose with uneven flow, where it is */
    bf_first_minutes full_flow;     /**< smallest dose at the rated flow */
    bf_sobol_index *index[2]; /**< bf_uncertain_count() each, at the middle dose: of capacity and
                                      leakage; NULL where they cannot be told */
    double explained[2];      /**< share of the variance that the surrogate foretells (Q2) */
    bf_criterion criterion[BF_CRITERIA];
} bf_tank_study;

/**
 * @param notes  gets what the protocol assumes, and cautions where the last rinse leaves more than
 *               1 % of the salt, where the flow of the service is another than the average, and
 *               where a season has no rating; may be NULL
 * @return BF_OK, also where doses have no rating or the vessel breaks a limit; BF_E_RANGE,
 *         BF_E_MEMORY, BF_E_SOLVER. On failure *out is as after bf_tank_study_free(), but after
 *         BF_E_STOPPED it holds what was found: doses that were not rated have the outcome
 *         BF_NOT_COMPUTED, and what is missing beside them has no `has_`
 * Cost: three bands (bf_band_create()) and as many ratings as doses and flows.
 */
BF_API BF_MUST_CHECK bf_status bf_tank_study_run(const bf_tank_study_spec *spec, bf_tank_study *out,
                                                 bf_notes *notes, bf_error *err);
BF_API void bf_tank_study_free(bf_tank_study *study); /* zeroed is fine */

/** Limits of a capacity at any dose between the least and the most: the bands' own, over their
 *  case's value, on a straight line between the doses that have one, times `capacity`.
 *  @return nonzero; zero outside the doses, or where a band is missing */
BF_API int bf_tank_study_span(const bf_tank_study *study, double dose_kg_per_m3, double capacity,
                              double *low, double *high);

#ifdef __cplusplus
}
#endif
#endif
