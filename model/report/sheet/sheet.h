/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A rating sheet: the list of its items, and the three forms in which it is printed. */
#ifndef BF_REPORT_SHEET_SHEET_H
#define BF_REPORT_SHEET_SHEET_H

#include "brinefront/report.h"
#include "report/sheet/sheet_list.h"

#include <jansson.h>

/* All of it. @return BF_OK; BF_E_MEMORY, and then there is nothing to free */
BF_MUST_CHECK bf_status bf__sheet_make(const bf_rate_report *report, bf__sheet *out, bf_error *err);

BF_MUST_CHECK bf_status bf__sheet_table(const bf_rate_report *report, FILE *out, bf_error *err);
BF_MUST_CHECK bf_status bf__sheet_csv(const bf_rate_report *report, FILE *out, bf_error *err);

/* NULL where memory is short. */
json_t *bf__sheet_json(const bf_rate_report *report);

#endif
