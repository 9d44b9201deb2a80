/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Gregorian calendar: 365 days a year and one more in years that 4 divides but not 100, or 400. */
#include "case/file/date.h"

#include "base/calendar.h"

#include <ctype.h>
#include <string.h>

static const int days_before_month[] = {0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334, 365};
_Static_assert((int)BF__SEASON_YEAR_DAYS == 365, "a season begins on its date in every year");

static int is_leap(long year)
{
    return (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
}

/* Leap days before a year, from the year 1 on. */
static long leap_days(long year)
{
    const long whole = year - 1;
    return whole / 4 - whole / 100 + whole / 400;
}

/* `count` digits and nothing else. */
static int read_digits(const char *digits, size_t count, long *number)
{
    *number = 0;
    for (size_t i = 0; i < count; i++) {
        if (!isdigit((unsigned char)digits[i])) {
            return 0;
        }
        *number = 10 * *number + (digits[i] - '0');
    }
    return 1;
}

/* "06-01" of a year that has a 29th of February or not. */
static int read_month_day(const char *text, int leap, long *month, long *day)
{
    if (!read_digits(text, 2, month) || text[2] != '-' || !read_digits(text + 3, 2, day) ||
        text[5] != '\0' || *month < 1 || *month > 12) {
        return 0;
    }
    const long last = days_before_month[*month] - days_before_month[*month - 1];
    return *day >= 1 && *day <= last + (leap && *month == 2);
}

int bf__date_read(const char *text, double *days)
{
    long year, month, day;
    if (strlen(text) != 10 || !read_digits(text, 4, &year) || year < 1 || text[4] != '-' ||
        !read_month_day(text + 5, is_leap(year), &month, &day)) {
        return 0;
    }
    const long of_year = days_before_month[month - 1] + (month > 2 && is_leap(year)) + day - 1;
    const long since = 365 * (year - 1970) + leap_days(year) - leap_days(1970) + of_year;
    *days = (double)since;
    return 1;
}

int bf__date_read_day_of_year(const char *text, double *day_of_year)
{
    long month, day;
    double days;
    if (strlen(text) == 10 && bf__date_read(text, &days)) {
        text += 5;
    }
    if (strlen(text) != 5 || !read_month_day(text, 1, &month, &day)) {
        return 0;
    }
    *day_of_year = (double)(days_before_month[month - 1] + day - 1);
    return 1;
}
