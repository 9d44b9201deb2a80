/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The source terms of a column, called one after the other. */
#ifndef BF_BED_SOURCES_H
#define BF_BED_SOURCES_H

#include "bed/column.h"

/* Add the rates of every source; those of the local states start at zero. @return as rate() */
int bf__sources_rate(const bf__column *column, double time_s, const double *state, double *rate);

/* Add the slopes of every source to a dense block over all face states (bf_source::slope).
 * @return as slope() */
int bf__sources_slope(const bf__column *column, double time_s, const double *state,
                      double *const *block);

#endif
