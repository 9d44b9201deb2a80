/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The most resin that fits into a vessel. */
#ifndef BF_RATING_TANK_TANK_FILL_H
#define BF_RATING_TANK_TANK_FILL_H

#include "brinefront/tank.h"

/* The deepest settled bed that stays below the top when it swells; NAN without a stated height. */
double bf__tank_deepest_m(const bf_tank_spec *tank);

/* ... and still when backwash lifts it by the wanted rise, where one is wanted. */
double bf__tank_deepest_lifted_m(const bf_tank_spec *tank);

#endif
