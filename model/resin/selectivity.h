/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The equilibrium for many points at once: arrays of `n` points, quantity i at [i * stride +
 * point]. Nothing here allocates; `work` is the caller's. */
#ifndef BF_RESIN_SELECTIVITY_H
#define BF_RESIN_SELECTIVITY_H

#include "brinefront/selectivity.h"

/** Slopes of an equilibrium; E ions, (i, k) at [(i * E + k) * stride + point]. */
typedef struct bf__equilibrium_slope {
    double *by_fraction;  /**< to water: dc*_i/dy_k; to resin: dy*_i/dc_k, E x E */
    double *by_normality; /**< d/dC, E */
    double *
        by_potassium; /**< to water only: d/dc_K through the blend of tables, E; unused without K */
} bf__equilibrium_slope;

/** Doubles of work that the two functions below need for E ions and a stride. */
size_t bf__selectivity_work_size(size_t ion_count, size_t stride);

size_t bf__selectivity_ion_count(const bf_selectivity *selectivity);

/** Constant weight of ion i: 1/alpha for SEPARATION_FACTOR; 0 where it is tabulated. */
double bf__selectivity_weight(const bf_selectivity *selectivity, size_t i);

bf_equilibrium_law bf__selectivity_law(const bf_selectivity *selectivity);
const bf_ion_set *bf__selectivity_ions(const bf_selectivity *selectivity);

/** Index of K in the set, or the count when the blend plays no part. */
size_t bf__selectivity_potassium(const bf_selectivity *selectivity);

/** c*(y, C); slope may be NULL. @return 0, or 1 where a point left the physical domain. */
int bf__selectivity_water(const bf_selectivity *selectivity, size_t n, size_t stride,
                          const double *normality, const double *pore, const double *fraction,
                          double *work, double *water, const bf__equilibrium_slope *slope);

/** y*(c, C); slope may be NULL. @return as above. */
int bf__selectivity_resin(const bf_selectivity *selectivity, size_t n, size_t stride,
                          const double *normality, const double *pore, double *work,
                          double *fraction, const bf__equilibrium_slope *slope);

#endif
