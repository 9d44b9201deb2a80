/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file band.h
 * How sure a rating is: its uncertain constants as distributions, sampled together; quantiles of
 * what comes out, and which constant matters.
 */
#ifndef BRINEFRONT_BAND_H
#define BRINEFRONT_BAND_H

#include "brinefront/dose_curve.h"

#ifdef __cplusplus
extern "C" {
#endif

/** A constant that is not known well, or a condition that varies. */
typedef struct bf_uncertain {
    const char *name;
    const char *low, *high; /**< its limits in words: "/ 1.3", "+5 K" */
    const char *source;
} bf_uncertain;

BF_API size_t bf_uncertain_count(void);
BF_API bf_uncertain bf_uncertain_get(size_t index);

/** Move one constant of a rating about its own value. @param position  0 low limit .. 1 high limit,
 *  evenly, or evenly in the logarithm where the limits are factors */
BF_API void bf_uncertain_set(bf_rating_spec *rating, size_t index, double position,
                             double *dose_kg_per_m3);

/** What is told of each sample. */
typedef enum bf_band_quantity {
    BF_BAND_CAPACITY,   /**< eq/m3 */
    BF_BAND_LEAKAGE,    /**< mean, eq/m3 */
    BF_BAND_EFFICIENCY, /**< eq per eq of salt */
    BF_BAND_QUANTITIES
} bf_band_quantity;

typedef struct bf_band_spec {
    size_t samples;       /**< 16 .. 65536 */
    size_t cells, shells; /**< grid of the samples */
    double dose_kg_per_m3;
    int threads; /**< 0: as many as there are processors; the same bits for any */
    void (*progress)(void *context, size_t done,
                     size_t total); /**< never two at once; may be NULL */
    void *context;
} bf_band_spec;

/** 256 samples on 60 cells and 2 shells. */
BF_API bf_band_spec bf_band_spec_default(void);

typedef struct bf_band bf_band;

/** Rate the bed at one dose for every sample. Ownership: *out is yours.
 *  @return BF_OK; BF_E_RANGE, BF_E_MEMORY, BF_E_SOLVER */
BF_API BF_MUST_CHECK bf_status bf_band_create(const bf_rating_spec *rating,
                                              const bf_band_spec *spec, bf_band **out,
                                              bf_error *err);
BF_API void bf_band_free(bf_band *band); /* NULL is fine */

BF_API size_t bf_band_samples(const bf_band *band);
/** Samples without a rating. They count as no capacity, and are left out of leakage and efficiency.
 */
BF_API size_t bf_band_unrated(const bf_band *band);
BF_API double bf_band_value(const bf_band *band, bf_band_quantity what, size_t sample);
/** @param share  0 .. 1, of the samples that lie below */
BF_API double bf_band_quantile(const bf_band *band, bf_band_quantity what, double share);

/** How much of the variance of a quantity one constant makes, alone and with others. */
typedef struct bf_band_index {
    size_t uncertain;
    double alone, alone_error; /**< first-order index and its standard error */
    double total, total_error;
} bf_band_index;

/**
 * Sensitivity indices from the same samples, by a polynomial surrogate.
 *
 * @param out        room for bf_uncertain_count(), sorted by total
 * @param explained  out: share of the variance that the surrogate foretells of samples left out
 * (Q2)
 */
BF_API BF_MUST_CHECK bf_status bf_band_indices(const bf_band *band, bf_band_quantity what,
                                               bf_band_index *out, double *explained,
                                               bf_error *err);

/** The same for any function's values at the points of the sequence: `position` has count rows of
 *  `dimensions` in 0 .. 1. For testing the indices against functions whose indices are known. */
BF_API BF_MUST_CHECK bf_status bf_indices_of(const double *position, const double *value,
                                             size_t count, size_t dimensions, bf_band_index *out,
                                             double *explained, bf_error *err);

/** The points themselves: the first `count` of Sobol's sequence after its origin. */
BF_API BF_MUST_CHECK bf_status bf_sobol_points(size_t count, size_t dimensions, double *position,
                                               bf_error *err);

/** Round to so many digits to the unfavourable side. */
BF_API double bf_round_down(double value, int digits);
BF_API double bf_round_up(double value, int digits);

#ifdef __cplusplus
}
#endif
#endif
