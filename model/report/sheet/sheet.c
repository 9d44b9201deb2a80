/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A rating sheet put together of its parts. */
#include "report/sheet/sheet.h"

#include "report/sheet/sheet_parts.h"

bf_status bf__sheet_make(const bf_rate_report *report, bf__sheet *out, bf_error *err)
{
    *out = (bf__sheet){0};
    bf__sheet_practical(report, out);
    bf__sheet_vessel(report, out);
    bf__sheet_rating(report, out);
    bf__sheet_use(report, out);
    bf__sheet_doubt(report, out);
    if (out->is_short) {
        bf__sheet_free(out);
        return bf_error_set(err, BF_E_MEMORY, "rating sheet", "no memory for the rating sheet");
    }
    return BF_OK;
}
