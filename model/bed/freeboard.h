/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The water above the bed: layers on one another, and when what enters stirs them. */
#ifndef BF_BED_FREEBOARD_H
#define BF_BED_FREEBOARD_H

#include "bed/column.h"

/* What a flow does to the water above the bed. */
typedef enum bf__freeboard_way {
    BF__FREEBOARD_STIRS,  /* what enters turns it over: one volume of one composition */
    BF__FREEBOARD_LAYERS, /* what enters lies on it, or under it, and pushes it out */
} bf__freeboard_way;

/* What stands above the bed as a flow meets it. */
typedef struct bf__freeboard_meeting {
    bf_freeboard_law law;
    bf_direction direction;
    double velocity_m_per_s;
    double height_m;
    double inlet_normality; /* of what enters the vessel, eq/m3 */
} bf__freeboard_meeting;

bf__freeboard_way bf__freeboard_meets(const bf__freeboard_meeting *meeting,
                                      const bf__layout *layout, const double *state);

/* One layer, as the state's own mean composition says. */
void bf__freeboard_stir(const bf__layout *layout, double *state);

/* The lowest layer. @return its share of the freeboard's volume; `water` points at C, c_1 .. c_E */
double bf__freeboard_lowest(const bf__layout *layout, const double *state, const double **water);

/* Water of a composition enters at the top, or at the foot, and as much leaves at the other end;
 * `share` of the freeboard's volume, at most 1. The mean composition follows. */
void bf__freeboard_enter_top(const bf__layout *layout, double *state, double share,
                             const double *water);
void bf__freeboard_enter_foot(const bf__layout *layout, double *state, double share,
                              const double *water);

/* The composition at a depth below the top, as a share of the height, 0 .. 1. */
const double *bf__freeboard_find(const bf__layout *layout, const double *state, double depth);

#endif
