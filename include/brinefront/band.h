/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file band.h
 * How sure a rating is: its uncertain constants as distributions, sampled together; quantiles of
 * what comes out, and which constant matters.
 *
 * The band is what the constants leave open. What a case assumes of its conditions (end point,
 * flow, rinses), and physics that the model leaves out, is not in it.
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
    const char *low, *high; /**< its limits in words, from the case's own value: "/ 1.3", "+5 K" */
    const char *source;
    int is_choice; /**< nonzero: one of two, low below the middle, the case's own from there on */
} bf_uncertain;

BF_API size_t bf_uncertain_count(void);

/** @param index  0 .. bf_uncertain_count() - 1; beyond: all NULL */
BF_API bf_uncertain bf_uncertain_get(size_t index);

/**
 * Move one constant of a rating about its own value, which stands in the middle.
 *
 * @param index           0 .. bf_uncertain_count() - 1; beyond: nothing moves
 * @param position        0 low limit, 0.5 as it is, 1 high limit; on either side of the middle
 *                        evenly, or evenly in the logarithm where the limits are factors. Values
 *                        below 0 and above 1 count as these
 * @param dose_kg_per_m3  moved with the salt dose; may be NULL
 *
 * Limits end where the model's range does (temperature, void, saturated brine, ...): a case on the
 * edge of the range moves one way only. A brine that a colder rating could not dissolve is weakened
 * to saturation.
 */
BF_API void bf_uncertain_set(bf_rating_spec *rating, size_t index, double position,
                             double *dose_kg_per_m3);

/** What is told of each sample. */
typedef enum bf_band_quantity {
    BF_BAND_CAPACITY,   /**< eq/m3 */
    BF_BAND_LEAKAGE,    /**< mean, eq/m3 */
    BF_BAND_EFFICIENCY, /**< eq per eq of salt */
    BF_BAND_QUANTITIES
} bf_band_quantity;

/** Fewest and most samples of a band; numerical choice. */
enum { BF_BAND_LEAST_SAMPLES = 16, BF_BAND_MOST_SAMPLES = 65536 };

typedef struct bf_band_spec {
    size_t samples;       /**< BF_BAND_LEAST_SAMPLES .. BF_BAND_MOST_SAMPLES */
    size_t cells, shells; /**< grid of the samples, as in bf_bed_spec */
    double dose_kg_per_m3;
    int threads;    /**< 0: as many as there are processors; the same bits for any */
    bf_watch watch; /**< told after each rating; a band that is stopped is none */
} bf_band_spec;

/** 256 samples on 60 cells and 3 shells (docs/decisions/band.md); 0 kg/m3, which is to be set. */
BF_API bf_band_spec bf_band_spec_default(void);
/** The same on a grid no finer than the rating's own. */
BF_API bf_band_spec bf_band_spec_for(const bf_rating_spec *rating);

typedef struct bf_band bf_band;

/**
 * Rate the bed at one dose for every sample.
 *
 * Each sample is a point of Sobol's sequence in as many dimensions as there are constants: moved
 * independently, since the sources give limits and nothing else.
 *
 * The first sample is the case as it stands: the middle of every constant. The grid of the samples
 * is coarse, and so are their tolerances (time 1e-3; steady state 1e-3 of capacity, 1e-2 of
 * leakage, where the case has finer ones); what that costs is measured by rating the first 16 on
 * the case's own grid as well, and every sample is multiplied by the ratio of the two sums: see
 * bf_band_grid_factor().
 *
 * @return BF_OK, also when samples have no rating; BF_E_RANGE; BF_E_MEMORY; BF_E_STOPPED; BF_E_SOLVER
 *         when a sample could not be computed (the message names the first)
 * Cost: 256 samples on the default grid some 20 s of one processor, shared among the threads;
 * counter-current, where a bed takes more cycles to settle, twice that.
 * Ownership: *out is yours. It does not refer to `rating`.
 * Tested in tests/rating/test_band.c.
 */
BF_API BF_MUST_CHECK bf_status bf_band_create(const bf_rating_spec *rating,
                                              const bf_band_spec *spec, bf_band **out,
                                              bf_error *err);
BF_API void bf_band_free(bf_band *band); /* NULL is fine */

BF_API size_t bf_band_samples(const bf_band *band);

/** Samples without a rating. They count as the worst: no capacity, no efficiency, endless leakage.
 */
BF_API size_t bf_band_unrated(const bf_band *band);

/** One sample. NAN for leakage and efficiency without a rating, and beyond the last sample. */
BF_API double bf_band_value(const bf_band *band, bf_band_quantity what, size_t sample);

/** The case as it stands on its own grid, nothing moved; no capacity and NAN without a rating. */
BF_API double bf_band_central(const bf_band *band, bf_band_quantity what);

/** What every sample was multiplied with: values of the first 16 samples on the case's own grid
 * over those on the grid of the samples, sum over sum; 1 where none is rated on both. */
BF_API double bf_band_grid_factor(const bf_band *band, bf_band_quantity what);

/**
 * The value that a share of the samples lies below.
 *
 * Of n sorted values x_0 .. x_(n-1), linear between them at i = share (n - 1). The smallest at 0,
 * the largest at 1, the median at 0.5.
 *
 * @param share  0 .. 1
 * @return NAN outside that range; 0 of capacity and efficiency, INFINITY of leakage, where it
 *         falls among samples without a rating or between one and the next
 */
BF_API double bf_band_quantile(const bf_band *band, bf_band_quantity what, double share);

/** How much of the variance of a quantity one constant makes, alone and with others. */
typedef struct bf_sobol_index {
    size_t uncertain;          /**< which constant; which dimension for bf_indices_of() */
    double alone, alone_error; /**< first-order index and its standard error */
    double total, total_error;
} bf_sobol_index;

/**
 * Sensitivity indices from the same samples, by a polynomial surrogate.
 *
 * Shares of the surrogate's variance: what it does not explain belongs to nobody, so read the
 * indices with `explained` beside them. Samples without a value are left out.
 *
 * @param out        room for bf_uncertain_count(), sorted by total, largest first
 * @param explained  out: share of the variance that the surrogate foretells of samples left out
 *                   (Q2); below 0: worse than the mean would
 * @return BF_OK; BF_E_RANGE with fewer than BF_BAND_LEAST_SAMPLES values or none that differ;
 *         BF_E_MEMORY
 */
BF_API BF_MUST_CHECK bf_status bf_band_indices(const bf_band *band, bf_band_quantity what,
                                               bf_sobol_index *out, double *explained,
                                               bf_error *err);

/**
 * The same for any function's values at given points.
 *
 * @param position    `count` rows of `dimensions`, each 0 .. 1. A dimension with no other
 *                    values than 0 and 1 is a choice between two
 * @param value       `count`, finite
 * @param count       BF_BAND_LEAST_SAMPLES .. BF_BAND_MOST_SAMPLES
 * @param dimensions  1 .. 40
 *
 * Method, accuracy, sources: indices.c.
 */
BF_API BF_MUST_CHECK bf_status bf_indices_of(const double *position, const double *value,
                                             size_t count, size_t dimensions, bf_sobol_index *out,
                                             double *explained, bf_error *err);

/** The first `count` points of Sobol's sequence after its origin, rows of `dimensions`.
 *  @param dimensions  1 .. 40
 *  @param count       1 .. 2^29
 *  @return BF_OK; BF_E_RANGE; BF_E_MEMORY */
BF_API BF_MUST_CHECK bf_status bf_sobol_points(size_t count, size_t dimensions, double *position,
                                               bf_error *err);

/** The next number of so many significant decimal digits that is not above (below) the value:
 *  28 973 to 3 digits is 28 900 (29 000). A number that has no more digits stays as it is, also
 *  when arithmetic has left it 1e-12 of itself away from them. NAN and infinities stay.
 *  @param digits  1 .. 9; others count as the nearest of these */
BF_API double bf_round_down(double value, int digits);
BF_API double bf_round_up(double value, int digits);

#ifdef __cplusplus
}
#endif
#endif
