/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The pressure that a vessel takes from a flow, as a law that can be solved for what it holds. */
#ifndef BF_RATING_TANK_TANK_PRESSURE_H
#define BF_RATING_TANK_TANK_PRESSURE_H

#include "brinefront/tank.h"

/* dp = depth (linear u + square u^2) + fittings Q^2,   u = Q/area */
typedef struct bf__pressure_law {
    double linear_Pa_s_per_m2;
    double square_Pa_s2_per_m3;
    double fittings_Pa_s2_per_m6;
} bf__pressure_law;

/* Of a checked vessel with this resin. @return BF_OK; BF_E_RANGE for the temperature */
BF_MUST_CHECK bf_status bf__pressure_law_of(const bf_tank_spec *tank, const bf_resin *resin,
                                            double temperature_K, bf__pressure_law *out,
                                            bf_error *err);

double bf__pressure_Pa(const bf__pressure_law *law, double depth_m, double area_m2,
                       double flow_m3_per_s);

/* The flow that a pressure drives. */
double bf__pressure_flow_m3_per_s(const bf__pressure_law *law, double depth_m, double area_m2,
                                  double pressure_Pa);

/* The depth that takes a pressure at a flow; not above 0 where the fittings alone take it. */
double bf__pressure_depth_m(const bf__pressure_law *law, double area_m2, double flow_m3_per_s,
                            double pressure_Pa);

/* The velocity at which a bed of a depth and the fittings take a pressure together at a flow; 0
 * where the fittings alone take it. */
double bf__pressure_velocity_m_per_s(const bf__pressure_law *law, double depth_m,
                                     double flow_m3_per_s, double pressure_Pa);

#endif
