/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file dose_curve.h
 * Capacity, leakage and salt efficiency of a bed against its salt dose, each dose at its own cyclic
 * steady state.
 */
#ifndef BRINEFRONT_DOSE_CURVE_H
#define BRINEFRONT_DOSE_CURVE_H

#include "brinefront/cycle.h"

#ifdef __cplusplus
extern "C" {
#endif

/** Everything a rating needs: what is in the vessel, what runs through it, how to compute it. */
typedef struct bf_rating_spec {
    bf_water water;
    bf_bed_spec bed; /**< its temperature is that of the water */
    bf_recipe recipe;
    bf_steady_spec steady;
} bf_rating_spec;

/** @return BF_OK; BF_E_RANGE naming what is outside the model's range. */
BF_API BF_MUST_CHECK bf_status bf_rating_spec_check(const bf_rating_spec *spec, bf_error *err);

/** One dose and what came of it. */
typedef struct bf_dose_point {
    double dose_kg_per_m3;
    double dose_eq_per_m3;
    bf_steady_result steady;
    double efficiency_eq_per_eq; /**< capacity over the salt's equivalents; NAN without a rating */
} bf_dose_point;

/** What the grid itself costs, found by running one dose twice more on half the cells. */
typedef struct bf_grid_estimate {
    double dose_kg_per_m3;
    double capacity_error; /**< relative; the value computed less the value of an endless grid */
    double leakage_error;  /**< the same of the mean leakage */
} bf_grid_estimate;

typedef struct bf_dose_curve_spec {
    const double *dose_kg_per_m3; /**< `count` doses, each above 0 */
    size_t count;
    int threads;       /**< 0: as many as there are processors */
    int estimate_grid; /**< nonzero: fill the grid estimate, at the middle dose */
    bf_watch watch;    /**< told after each run */
} bf_dose_curve_spec;

/**
 * Compute the curve. Doses are independent of each other and of the number of threads: the same
 * bits come out for any.
 *
 * @param points  out: curve->count results in order
 * @param grid    out: may be NULL; NAN where it could not be told (no rating at the middle dose)
 * @return BF_OK, also when some doses have no rating; BF_E_RANGE, BF_E_MEMORY, BF_E_SOLVER;
 *         BF_E_STOPPED: points that were not computed have the outcome BF_NOT_COMPUTED
 * Cost: some 20 ms a cycle and 4 to 6 cycles a dose on the default grid.
 */
BF_API BF_MUST_CHECK bf_status bf_dose_curve(const bf_rating_spec *spec,
                                             const bf_dose_curve_spec *curve, bf_dose_point *points,
                                             bf_grid_estimate *grid, bf_error *err);

/** Build the equilibrium of a rating: every cation of the water and of the salt takes part.
 *  Ownership: *out is yours. */
BF_API BF_MUST_CHECK bf_status bf_rating_selectivity(const bf_rating_spec *spec,
                                                     bf_selectivity **out, bf_error *err);

/** Build the bed as delivered, all Na in soft water. @param selectivity borrowed, outlives *out */
BF_API BF_MUST_CHECK bf_status bf_rating_bed(const bf_rating_spec *spec,
                                             const bf_selectivity *selectivity, bf_bed **out,
                                             bf_error *err);

/** Fill a bed with resin in equilibrium with the feed, the feed standing in it. */
BF_API BF_MUST_CHECK bf_status bf_rating_exhaust(const bf_rating_spec *spec,
                                                 const bf_selectivity *selectivity, bf_bed *bed,
                                                 bf_error *err);

BF_API bf_site bf_rating_site(const bf_rating_spec *spec);

#ifdef __cplusplus
}
#endif
#endif
