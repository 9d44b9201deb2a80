/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A campaign and the range around it, read at a day; what its water brings. */
#ifndef BF_RATING_FOULING_YEARS_H
#define BF_RATING_FOULING_YEARS_H

#include "base/calendar.h"
#include "brinefront/fouling_effects.h"
#include "brinefront/fouling_study.h"

/* A value as expected, and the least and the most that the three series give. */
typedef struct bf__span {
    double expected, low, high;
} bf__span;

bf__span bf__span_times(bf__span span, double factor);

/* A quantity at a day. A bed that is spent has no sites and no capacity left; the rest of what it
 * would do is not known. */
bf__span bf__years_span(const bf_campaign_series *series, bf_campaign_quantity what, double day);

/* The last cycle as expected. */
const bf_campaign_cycle *bf__years_last(const bf_campaign_series *series);

/* Nonzero where a campaign reaches a day: after its last cycle the state holds until the next. */
int bf__years_reach(const bf_campaign_spec *spec, const bf_campaign_series *series, double day);

/* The first cycle as expected whose capacity to the end point is known; NULL: none. */
const bf_campaign_cycle *bf__years_first_known(const bf_campaign_series *series);

/* The water of a day. */
const bf_water *bf__campaign_water(const bf_campaign_spec *spec, double day);

/* Hardness that arrives between two regenerations at that time, eq per m3 of bed. */
double bf__campaign_need_eq_per_m3(const bf_campaign_spec *spec, double day);

/* Pressure drop of the clean bed in service at that time, Pa; NAN where the water has none. */
double bf__campaign_clean_drop_Pa(const bf_campaign_spec *spec, double day);

/* An ion of a water, mg/L. */
double bf__ion_mg_per_L(const bf_water *water, bf_ion ion);

/* Nonzero where any water of the year brings the ion. */
int bf__campaign_brings(const bf_campaign_spec *spec, bf_ion ion);

/* Nonzero where the water brings iron or the bed begins with some. */
int bf__campaign_meets_iron(const bf_campaign_spec *spec);

/* Nonzero where chlorine reaches the resin. */
int bf__campaign_has_chlorine(const bf_campaign_spec *spec);

#endif
