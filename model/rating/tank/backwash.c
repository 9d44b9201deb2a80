/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A bed of beads of several sizes, lifted by backwash.
 *
 *     H/H_0 = sum over k of w_k H_k/H_0,k,   H_k/H_0,k = max(1, (1 - e_0)/(1 - e_k))
 *     u = v_t,k e_k^n_k                      Richardson & Zaki (hydraulics.h), class by class
 *
 * w_k share of class k in the resin's volume, e_0 void of the settled bed, u superficial velocity.
 *
 * Assumes that backwash sorts the beads by size, small ones on top, so that each class expands by
 * itself and the depths add: the serial model of Epstein, LeClair & Pruden, Chem. Eng. Sci. 36
 * (1981) 1803 (from memory; that it predicts binary and ternary beds and errs by a contraction of
 * the mixed layer is in the abstract of "The serial model in liquid fluidization and its
 * limitations", hal-02663193, seen). Assumed besides: every class settles to the same void and has
 * the same density. Classes and shares as the bed has them (resin/bead_sizes.c); a spread has no
 * end, and the smallest class stands for all beads below it.
 * Not modelled here: beads of exhausted resin, which are denser and smaller by some per cent; the
 * time that sorting takes; a backwash too short for it.
 */
#include "brinefront/hydraulics.h"
#include "brinefront/tank.h"
#include "resin/bead_sizes.h"

#include <math.h>

/* Classes worth telling apart. */
static size_t classes_of(const bf_resin *resin, size_t bead_classes)
{
    return resin->uniformity_coefficient > 1.0 ? bead_classes : 1;
}

double bf_graded_rise(const bf_fluid *water, const bf_resin *resin, size_t bead_classes,
                      double velocity_m_per_s)
{
    double diameter_m[BF_BEAD_CLASSES];
    double share[BF_BEAD_CLASSES];
    const size_t count = classes_of(resin, bead_classes);
    double rise = 0.0;
    bf__bead_sizes(resin, count, diameter_m, share);
    for (size_t k = 0; k < count; k++) {
        rise +=
            share[k] * (bf_bed_depth_ratio(water, velocity_m_per_s, diameter_m[k],
                                           resin->bead_density_kg_per_m3, resin->void_fraction) -
                        1.0);
    }
    return rise;
}

double bf_graded_velocity_m_per_s(const bf_fluid *water, const bf_resin *resin, size_t bead_classes,
                                  double rise)
{
    double diameter_m[BF_BEAD_CLASSES];
    double share[BF_BEAD_CLASSES];
    bf__bead_sizes(resin, classes_of(resin, bead_classes), diameter_m, share);
    /* The rise grows with the velocity, from nothing to without bound where the smallest class is
     * carried away: bisection cannot miss. */
    double low = 0.0;
    double high = bf_terminal_velocity_m_per_s(water, diameter_m[0], resin->bead_density_kg_per_m3);
    for (int i = 0; i < 200 && high - low > 1e-15 * high; i++) {
        const double velocity = 0.5 * (low + high);
        if (bf_graded_rise(water, resin, bead_classes, velocity) < rise) {
            low = velocity;
        } else {
            high = velocity;
        }
    }
    return 0.5 * (low + high);
}
