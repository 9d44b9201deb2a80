/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The beads of a bed cut into a few classes of one size each. */
#ifndef BF_RESIN_BEAD_SIZES_H
#define BF_RESIN_BEAD_SIZES_H

#include "brinefront/resin.h"

/**
 * Diameters and shares of the resin's volume.
 *
 * @param classes  K, 1 .. BF_BEAD_CLASSES; 1 gives the resin's mean diameter
 * @param diameter_m, share  out: K each, smallest beads first; shares add up to 1, and the sum of
 *                           share/diameter is that of the mean diameter: the surface is kept
 */
void bf__bead_sizes(const bf_resin *resin, size_t classes, double *diameter_m, double *share);

#endif
