/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What bed and freeboard hold of every ion. */
#ifndef BF_BED_BALANCE_H
#define BF_BED_BALANCE_H

#include "bed/column.h"

/* Equivalents per m3 of bed of C ([0]) and of each ion of the set ([1 + i]) in pore water, resin
 * and freeboard water; freeboard_ratio is the freeboard's volume over the bed's. Sodium is what is
 * left: C plus the resin's capacity less the others. */
void bf__balance_held(const bf__column *column, double freeboard_ratio, const double *state,
                      double *held);

#endif
