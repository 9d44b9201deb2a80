/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The simplest bed: beads of one size, 0.6 mm, under water that is always stirred. Closed forms need
 * it, and figures of solutions by others were made with it. What the defaults add to it (a spread of
 * sizes, layers above the bed) has tests of its own. */
#ifndef BF_TESTS_SIMPLE_BED_H
#define BF_TESTS_SIMPLE_BED_H

#include "brinefront/bed.h"

static inline bf_resin simple_resin(void)
{
    bf_resin resin = bf_resin_gel_8();
    resin.bead_diameter_m = 0.6e-3;
    resin.uniformity_coefficient = 1.0;
    return resin;
}

static inline bf_bed_spec simple_bed(void)
{
    bf_bed_spec spec = bf_bed_spec_default();
    spec.freeboard_law = BF_FREEBOARD_STIRRED;
    spec.resin = simple_resin();
    return spec;
}

#endif
