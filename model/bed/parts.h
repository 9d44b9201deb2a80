/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a bed is made of, for the two files that handle it: bed.c builds it, fills it and looks inside,
 * run.c lets water through. */
#ifndef BF_BED_PARTS_H
#define BF_BED_PARTS_H

#include "bed/column.h"
#include "bed/integrate.h"

struct bf_bed {
    bf_bed_spec spec;
    bf__column column;
    double freeboard_ratio; /* volume of freeboard water over that of the bed */
    double *state;          /* top cell first */
    double *trial;          /* the run's own copy, in flow order */
    bf__beads beads;
    double *depth_m; /* top first, then once more bottom first */
    bf_source *sources;
    bf__integrator *integrator;
};

/* The sum of the cations. */
double bf__bed_normality(const double *eq_per_m3);

/* A cation the bed does not track would pass as sodium. */
BF_MUST_CHECK bf_status bf__bed_check_tracked(const bf_bed *bed, const char *where,
                                              const double *eq_per_m3, bf_error *err);

/* One value per bf_ion from C and the ions tracked: Na is the rest. */
void bf__bed_spread_out(const bf__column *column, const double *tracked, double *per_ion);

#endif
