/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The constants of one run through the bed, as the right-hand side and its slopes read them.
 *
 *     eps dc_i/dt = -u dc_i/dz + eps D_L d2c_i/dz2 - S_i + sources
 *     Q v_(M-1) dy_(M-1),i/dt = S_i - bead,  dy_m,i/dt = bead,  S_i = h_i (c_i - c_i*)  (film)
 *     several classes of bead sizes: a chain of shells each, S the sum over their surfaces
 *     dC/dt as dc/dt without S: exchange is equivalent for equivalent
 *     freeboard  dC_f/dt = u/H (C_in - C_f)
 *     effluent integral  dI/dt = u/L c_out,  eq per m3 of bed
 */
#ifndef BF_BED_COLUMN_H
#define BF_BED_COLUMN_H

#include "bed/layout.h"
#include "brinefront/bed.h"

enum {
    BF__MAX_IONS = BF_CATION_COUNT,
    BF__MAX_CLASSES = BF_BEAD_CLASSES,
    BF__MAX_SHELLS = BF_BEAD_SHELLS, /* of all classes */
    BF__MAX_LOCALS = BF_BED_LOCALS
};

/* Where stirred freeboard water stands in the flow; layers are none of the integration's. */
typedef enum bf__freeboard {
    BF__FREEBOARD_NONE,
    BF__FREEBOARD_BEFORE, /* flow down: what enters passes it first */
    BF__FREEBOARD_BEHIND  /* flow up: what leaves passes it last */
} bf__freeboard;

typedef struct bf__column {
    bf__layout layout;
    const bf_selectivity *selectivity;
    const bf_ion_set *ions;
    bf_rate_law rate_law;

    /* fixed for the bed */
    double void_fraction;                 /* eps */
    double total_capacity_eq_per_m3;      /* Q */
    double diffusivity[BF__MAX_IONS + 1]; /* in the bead, set order then Na, m2/s */
    double charge[BF__MAX_IONS + 1];      /* the same order */
    double is_hardness[BF__MAX_IONS];     /* 1 or 0 */
    const double *face_weight;            /* M - 1, 1/m2, times the class's share */
    const double *shell_volume;           /* M, shares of all resin, core first */
    const bf_source *sources;
    size_t source_count;

    /* fixed for the run */
    double advance_per_s;     /* u/(eps dz) */
    double spread_per_s;      /* D_L/dz2 */
    double inlet_weight;      /* theta: gradient in the first half cell, see transport.c */
    double bed_volumes_per_s; /* u/L, bed volumes per second */
    bf__freeboard freeboard;
    double flush_per_s;     /* u/H of the freeboard */
    double inlet_normality; /* of what enters the vessel, eq/m3 */
    double inlet[BF__MAX_IONS];
    /* h: share of the class times k_f (1-eps) 6/d, per m3 of bed; or k of the rate law */
    double transfer_per_s[BF__MAX_CLASSES][BF__MAX_IONS];
    const double *depth_m; /* of cell middles below the top of the bed, flow order */

    double *work; /* bf__column_work_size() doubles: nothing is allocated while integrating */
} bf__column;

/* The beads of a bed: classes of sizes, and the shells of all of them one after the other. */
typedef struct bf__beads {
    size_t classes;                      /* K */
    double diameter_m[BF__MAX_CLASSES];  /* of each class */
    double share[BF__MAX_CLASSES];       /* of the resin's volume */
    size_t shells;                       /* of all classes */
    double shell_volume[BF__MAX_SHELLS]; /* shares of all resin */
    double face_weight[BF__MAX_SHELLS];  /* outward of each shell, 1/m2, times the class's share; 0
                                            where a class ends */
} bf__beads;

bf__beads bf__beads_of(const bf_bed_spec *spec);

size_t bf__column_work_size(const bf__layout *layout);

/* f(t, state). @return 0; 1 outside the physical domain; -1 a source gave up. */
int bf__column_rate(const bf__column *column, double time_s, const double *state, double *rate);

/* What leaves the vessel at this state: [0] C, [1 + i] ion i. Points into the state for a stirred
 * freeboard behind the bed, else into `row`, which is filled. */
void bf__column_effluent(const bf__column *column, const double *state, double *effluent);

/* Hardness of a water, C and the ions tracked. */
double bf__column_hardness(const bf__column *column, const double *tracked);

double bf__column_effluent_hardness(const bf__column *column, const double *state);

#endif
