/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file comparison.h
 * Several beds side by side: resins, doses, directions, waters. What differs, by how much, and
 * whether by more than the uncertain constants leave open.
 */
#ifndef BRINEFRONT_COMPARISON_H
#define BRINEFRONT_COMPARISON_H

#include "brinefront/band.h"

#ifdef __cplusplus
extern "C" {
#endif

/** What is compared. */
typedef enum bf_compared {
    BF_COMPARED_CAPACITY,   /**< eq/m3 of resin */
    BF_COMPARED_HELD,       /**< the same of the whole bed, eq */
    BF_COMPARED_LEAKAGE,    /**< mean of a run, eq/m3 */
    BF_COMPARED_EFFICIENCY, /**< hardness per salt, eq/eq */
    BF_COMPARED_SALT,       /**< of a regeneration of the whole bed, kg */
    BF_COMPARED_WASTE,      /**< water of regeneration per hardness held, m3/eq */
    BF_COMPARED_PRESSURE,   /**< of the clean bed in service, Pa */
    BF_COMPARED_COUNT
} bf_compared;

/** One quantity of one bed at one dose. */
typedef struct bf_compared_value {
    double value;      /**< NAN without a rating */
    double difference; /**< over the first bed: value/first - 1; NAN where either has none */
    double low, high;  /**< P10 and P90 of the difference; NAN without a band */
    int is_beyond;     /**< nonzero: low .. high lies to one side of zero, by more than the
                            tolerances of the steady cycles */
} bf_compared_value;

typedef struct bf_compared_point {
    bf_dose_point point;
    int is_paired; /**< nonzero: low and high are of the difference sample by sample */
    bf_compared_value quantity[BF_COMPARED_COUNT];
} bf_compared_point;

/** The most beds side by side. */
enum { BF_COMPARED_BEDS = 8 };

typedef struct bf_comparison_spec {
    const bf_rating_spec *const *rating; /**< `beds` */
    size_t beds;                  /**< 2 .. BF_COMPARED_BEDS; differences are over the first */
    const double *dose_kg_per_m3; /**< rows of `beds` */
    size_t doses;                 /**< rows, 1 or more */
    size_t samples; /**< of the band of each bed at each dose, as in bf_band_spec; 0: no band */
    int threads;    /**< 0: as many as there are processors; the same bits for any */
    bf_watch watch; /**< told after each rating */
} bf_comparison_spec;

/**
 * Compare.
 *
 * Sample s of every band is the same point of Sobol's sequence: the same relative move of each
 * constant. Where two beds hold the same resin their constants are the same ones, and what moves
 * both alike is no doubt about their difference: low and high are quantiles of
 *
 *     d_s = b_s/a_s - 1      over the samples rated in both
 *
 * Where the resins differ in any of their constants, nothing says that these err alike, and the
 * half widths h = (P90 - P10)/2 of each band, over its own rating, add in quadrature:
 *
 *     d -+ (1 + d) sqrt(h_a^2 + h_b^2)
 *
 * which is on the safe side: what two resins do share then counts twice. Bands are of capacity
 * (and held), leakage and efficiency; other quantities have none. No band either where less than
 * half of the samples is rated in both.
 *
 * @param out  doses rows of beds
 * @return BF_OK, also where beds have no rating; BF_E_RANGE; BF_E_MEMORY; BF_E_SOLVER;
 *         BF_E_STOPPED: points that were not computed have the outcome BF_NOT_COMPUTED
 * Cost: doses x beds curves of one dose and as many bands.
 * Assumed: quantiles of finitely many samples, so that low and high themselves scatter.
 * Tested in tests/rating/test_comparison.c.
 */
BF_API BF_MUST_CHECK bf_status bf_compare(const bf_comparison_spec *spec, bf_compared_point *out,
                                          bf_error *err);

/** Nonzero where two resins are the same in every constant, whatever their names. */
BF_API int bf_resin_is_same(const bf_resin *one, const bf_resin *other);

/** The doses that every list holds, in the order of the first; within 1e-6 of each other.
 *  @param out  room for count[0]
 *  @return how many */
BF_API size_t bf_shared_doses(const double *const *dose_kg_per_m3, const size_t *count, size_t beds,
                              double *out);

#ifdef __cplusplus
}
#endif
#endif
