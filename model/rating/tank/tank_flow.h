/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The flow that a vessel passes at a pressure: the inverse of bf_tank_pressure_Pa(). */
#ifndef BF_RATING_TANK_TANK_FLOW_H
#define BF_RATING_TANK_TANK_FLOW_H

#include "brinefront/tank.h"

/** Specs as checked. @return BF_OK; BF_E_RANGE for the temperature */
BF_MUST_CHECK bf_status bf__tank_flow_at_pressure(const bf_tank_spec *tank, const bf_bed_spec *bed,
                                                  double pressure_Pa, double temperature_K,
                                                  double *m3_per_s, bf_error *err);

#endif
