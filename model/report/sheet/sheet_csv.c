/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A rating sheet as comma-separated values: one row a number or a sentence, in SI and U.S. units
 * side by side. */
#include "brinefront/convert.h"
#include "report/page/csv.h"
#include "report/sheet/sheet.h"

bf_status bf__sheet_csv(const bf_rate_report *report, FILE *out, bf_error *err)
{
    bf__sheet sheet;
    const bf_status status = bf__sheet_make(report, &sheet, err);
    if (status != BF_OK) {
        return status;
    }
    (void)fputs("group,dose_g_per_L,dose_lb_per_ft3,name,si_value,si_unit,us_value,us_unit,words\n",
                out);
    for (size_t i = 0; i < sheet.count; i++) {
        const bf__sheet_item *item = &sheet.item[i];
        bf__csv_text(item->group, out);
        bf__csv_number(item->dose_kg_per_m3, out);
        bf__csv_number(item->dose_kg_per_m3 / BF_KG_PER_M3_PER_LB_PER_FT3, out);
        (void)fputc(',', out);
        bf__csv_text(item->name, out);
        bf__csv_number(item->value[BF_UNITS_SI], out);
        (void)fprintf(out, ",%s", item->unit[BF_UNITS_SI]);
        bf__csv_number(item->value[BF_UNITS_US], out);
        (void)fputc(',', out);
        bf__csv_text(item->unit[BF_UNITS_US], out);
        (void)fputc(',', out);
        bf__csv_text(item->words, out);
        (void)fputc('\n', out);
    }
    bf__sheet_free(&sheet);
    return BF_OK;
}
