/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Rows and dates of a report of years. */
#include "report/foul/foul_rows.h"

#include "report/page/page.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

bf__span bf__foul_row_span(const bf_foul_report *report, bf_campaign_quantity what, double day)
{
    const bf__span unknown = {(double)NAN, (double)NAN, (double)NAN};
    const bf_campaign_cycle *first = bf__years_first_known(report->series);
    if (what == BF_CAMPAIGN_ALKALINITY && !bf__page_states(&report->page, "water.alkalinity")) {
        return unknown; /* anions that were made up say nothing of it */
    }
    if (what == BF_CAMPAIGN_POTENTIAL && first != NULL && day < first->day) {
        return unknown;
    }
    return bf__years_span(report->series, what, day);
}

/* ---- rows ------------------------------------------------------------------------------------ */

static double row_length(const bf_foul_report *report)
{
    const int is_long = bf__years_last(report->series)->day > 2.01 * BF__DAYS_PER_YEAR;
    const int by_quarter =
        report->by == BF_FOUL_BY_QUARTER || (report->by == BF_FOUL_BY_LENGTH && is_long);
    return by_quarter ? 3.0 * BF__DAYS_PER_MONTH : BF__DAYS_PER_MONTH;
}

/* The last row is the campaign's end; whole rows stand clear of it by a tenth. */
size_t bf__foul_row_count(const bf_foul_report *report)
{
    const double rows = bf__years_last(report->series)->day / row_length(report);
    return 1 + (size_t)fmax(ceil(rows - 0.1), 1.0);
}

double bf__foul_row_day(const bf_foul_report *report, size_t row)
{
    return row + 1 < bf__foul_row_count(report) ? (double)row * row_length(report)
                                                : bf__years_last(report->series)->day;
}

/* ---- dates ----------------------------------------------------------------------------------- */

static long days_of_month(long year, long month)
{
    static const long days[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    const int is_leap = (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
    return days[month - 1] + (month == 2 && is_leap ? 1 : 0);
}

void bf__date_after(const char *start, double days, char text[16])
{
    int begin[3];
    text[0] = '\0';
    if (sscanf(start, "%4d-%2d-%2d", &begin[0], &begin[1], &begin[2]) != 3 || begin[1] < 1 ||
        begin[1] > 12) {
        return;
    }
    long year = begin[0];
    long month = begin[1];
    long day = begin[2] + (long)floor(days);
    while (day > days_of_month(year, month)) {
        day -= days_of_month(year, month);
        year += month == 12 ? 1 : 0;
        month = month == 12 ? 1 : month + 1;
    }
    (void)snprintf(text, 16, "%04ld-%02ld-%02ld", year % 10000, month, day);
}
