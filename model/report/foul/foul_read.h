/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A campaign and the range around it, read at a day. */
#ifndef BF_REPORT_FOUL_FOUL_READ_H
#define BF_REPORT_FOUL_FOUL_READ_H

#include "base/calendar.h"
#include "brinefront/report.h"

/* A value as expected, and the least and the most that the three series give. */
typedef struct bf__span {
    double expected, low, high;
} bf__span;

/* A quantity at a day. A bed that is spent has no sites and no capacity left; the rest of what it
 * would do is not told. */
bf__span bf__foul_span(const bf_campaign_series *series, bf_campaign_quantity what, double day);

/* The same for a row: a capacity stands only from the day of the first that was told, since the
 * cycle before is that of a new bed. */
bf__span bf__foul_row_span(const bf_foul_report *report, bf_campaign_quantity what, double day);

/* Nonzero where a campaign reaches a day: after its last cycle the state holds until the next. */
int bf__foul_reaches(const bf_foul_report *report, double day);

/* Nonzero where the case states a key itself. */
int bf__case_states(const bf_page *page, const char *path);

/* The last cycle as expected, and its day. */
const bf_campaign_cycle *bf__foul_last(const bf_campaign_series *series);

/* Capacity to the end point of the new bed as expected, eq/m3: the first that is told. NAN: none */
double bf__foul_new_eq_per_m3(const bf_campaign_series *series);

/* Days of the rows, the first being 0 and the last that of the last cycle. */
size_t bf__foul_row_count(const bf_foul_report *report);
double bf__foul_row_day(const bf_foul_report *report, size_t row);

/* The water of a day, and its oxygen. */
const bf_water *bf__campaign_water(const bf_campaign_spec *spec, double day);
double bf__campaign_oxygen_mol_per_m3(const bf_campaign_spec *spec, double day);

/* Hardness that arrives between two regenerations at that time, eq per m3 of bed. */
double bf__campaign_need_eq_per_m3(const bf_campaign_spec *spec, double day);

/* Pressure drop of the clean bed in service at that time, Pa; NAN where the water has none. */
double bf__campaign_clean_drop_Pa(const bf_campaign_spec *spec, double day);

/* An ion of a water, mg/L. */
double bf__ion_mg_per_L(const bf_water *water, bf_ion ion);

/* Most iron of a water of the year, mg/L; nonzero where any water brings the ion. */
double bf__campaign_most_iron_mg_per_L(const bf_campaign_spec *spec);
int bf__campaign_brings(const bf_campaign_spec *spec, bf_ion ion);

/* Nonzero where the water brings iron or the bed begins with some. */
int bf__campaign_meets_iron(const bf_campaign_spec *spec);

/* Nonzero where chlorine reaches the resin. */
int bf__campaign_has_chlorine(const bf_campaign_spec *spec);

/* "2024-05-17": a date so many days after another; "" where there is none to count from. */
void bf__date_after(const char *start, double days, char text[16]);

#endif
