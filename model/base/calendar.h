/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The calendar: how long a year is, and where a day lies in it. */
#ifndef BF_BASE_CALENDAR_H
#define BF_BASE_CALENDAR_H

#include <math.h>

/* Two years. Seasons come back after 365 days, so that a date names the same day of each; amounts
 * a year and lengths in years are of Julian years of 365.25 days by definition, as the unit "year"
 * is. */
#define BF__SEASON_YEAR_DAYS 365.0
#define BF__DAYS_PER_YEAR 365.25
#define BF__DAYS_PER_MONTH (BF__DAYS_PER_YEAR / 12.0)

/* Day of the year, 0 .. 365, so many days after a day of the year. */
static inline double bf__day_of_year(double first_day, double days)
{
    return fmod(first_day + days, BF__SEASON_YEAR_DAYS);
}

#endif
