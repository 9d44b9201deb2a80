/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Rows and dates of a report of years. */
#ifndef BF_REPORT_FOUL_FOUL_ROWS_H
#define BF_REPORT_FOUL_FOUL_ROWS_H

#include "brinefront/report.h"
#include "rating/fouling/years.h"

/* A quantity in a row: a capacity is shown only from the day of the first that is known, since the
 * cycle before is that of a new bed. */
bf__span bf__foul_row_span(const bf_foul_report *report, bf_campaign_quantity what, double day);

/* Days of the rows, the first being 0 and the last that of the last cycle. */
size_t bf__foul_row_count(const bf_foul_report *report);
double bf__foul_row_day(const bf_foul_report *report, size_t row);

/* "2024-05-17": a date so many days after another; "" where there is none to count from. */
void bf__date_after(const char *start, double days, char text[16]);

#endif
