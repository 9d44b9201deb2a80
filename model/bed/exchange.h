/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Exchange between pore water and bead surface, S in eq per m3 of bed and second, for all cells. */
#ifndef BF_BED_EXCHANGE_H
#define BF_BED_EXCHANGE_H

#include "bed/column.h"

/* Slopes of S_i: by c_k and by y_k of the outermost shell (E x E), by C (E). */
typedef struct bf__exchange_slope {
    double *by_pore;
    double *by_fraction;
    double *by_normality;
} bf__exchange_slope;

size_t bf__exchange_work_size(const bf__layout *layout);

/* S of every ion and cell at [i * stride + cell]; slope may be NULL. @return 0, or 1 outside the
 * physical domain. */
int bf__exchange_rate(const bf__column *column, size_t grade, const double *state, double *work,
                      double *rate, const bf__exchange_slope *slope);

#endif
