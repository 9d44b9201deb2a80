/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The quantities of a band as a sheet shows them, and what the sheet promises of them. */
#ifndef BF_REPORT_SHEET_SHEET_PROMISE_H
#define BF_REPORT_SHEET_SHEET_PROMISE_H

#include "base/quantities.h"
#include "brinefront/report.h"

typedef struct bf__sheet_quantity {
    const char *name;
    bf__quantity quantity;
    int up; /* nonzero: more of it is unfavourable */
} bf__sheet_quantity;

extern const bf__sheet_quantity bf__sheet_quantities[BF_BAND_QUANTITIES];

/* A value of the band for the whole tank; NAN where there is none. */
double bf__sheet_of_tank(const bf_rate_report *report, const bf_tank_dose *dose,
                         bf_band_quantity quantity, double value);

/* The salt efficiency that the practical rating promises at the smallest dose, in the criterion's
 * unit; NAN where the criterion is about something else, or there is no band. */
double bf__sheet_promised_efficiency(const bf_rate_report *report, bf_criterion_id id);

/* Nonzero where a rating holds a criterion and its practical rating does not. */
int bf__sheet_promise_fails(const bf_rate_report *report, bf_criterion_id id);

#endif
