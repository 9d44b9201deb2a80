/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Days of the calendar, as case files and tables of observations state them. */
#ifndef BF_CASE_FILE_DATE_H
#define BF_CASE_FILE_DATE_H

#include "brinefront/status.h"

/* "2021-04-01" (ISO 8601, Gregorian) to days since 1970-01-01. Returns nonzero for a date. */
int bf__date_read(const char *text, double *days);

/* "06-01", or the month and day of a date, to days since the beginning of a year of 365 days, so
 * that a season begins on its date in every year; the 29th of February counts as 1 March. Returns
 * nonzero for a day. */
int bf__date_read_day_of_year(const char *text, double *day);

#endif
