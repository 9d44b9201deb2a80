/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file brinefront.h
 * All of brinefront, in reading order.
 */
#ifndef BRINEFRONT_BRINEFRONT_H
#define BRINEFRONT_BRINEFRONT_H

/* The order is the reading order. */
/* clang-format off */
#include "brinefront/status.h"
#include "brinefront/version.h"
#include "brinefront/convert.h"
#include "brinefront/unit_system.h"

#include "brinefront/ions.h"
#include "brinefront/water.h"
#include "brinefront/fluid.h"
#include "brinefront/brine.h"
#include "brinefront/activity.h"

#include "brinefront/resin.h"
#include "brinefront/selectivity.h"
#include "brinefront/film.h"
#include "brinefront/hydraulics.h"

#include "brinefront/bed.h"
#include "brinefront/cycle.h"
#include "brinefront/trace.h"

#include "brinefront/iron.h"
#include "brinefront/oxidation.h"
#include "brinefront/fouling.h"
#include "brinefront/iron_source.h"
#include "brinefront/cleaning.h"
#include "brinefront/campaign.h"

#include "brinefront/dose_curve.h"
#include "brinefront/draws.h"
#include "brinefront/first_minutes.h"
#include "brinefront/cycle_study.h"
#include "brinefront/practice.h"
#include "brinefront/tank.h"
#include "brinefront/criteria.h"
#include "brinefront/band.h"
#include "brinefront/parallel_beds.h"
#include "brinefront/tank_study.h"
#include "brinefront/sizing.h"
#include "brinefront/comparison.h"
#include "brinefront/fouling_study.h"
#include "brinefront/fouling_effects.h"

#include "brinefront/units.h"
#include "brinefront/case.h"
#include "brinefront/observations.h"
#include "brinefront/overlay.h"
#include "brinefront/report.h"
#include "brinefront/libraries.h"
/* clang-format on */

#endif
