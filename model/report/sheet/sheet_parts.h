/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The parts of a rating sheet, in the order in which they stand on it. */
#ifndef BF_REPORT_SHEET_SHEET_PARTS_H
#define BF_REPORT_SHEET_SHEET_PARTS_H

#include "brinefront/report.h"
#include "report/sheet/sheet_list.h"

void bf__sheet_practical(const bf_rate_report *report, bf__sheet *sheet); /* what is promised */
void bf__sheet_vessel(const bf_rate_report *report, bf__sheet *sheet);    /* room, flow, backwash */
void bf__sheet_rating(const bf_rate_report *report, bf__sheet *sheet);    /* dose by dose */
void bf__sheet_use(const bf_rate_report *report, bf__sheet *sheet);   /* seasons, draws, two beds */
void bf__sheet_doubt(const bf_rate_report *report, bf__sheet *sheet); /* shares, criteria */

#endif
