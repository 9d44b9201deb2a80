/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A rating sheet as a JSON array: one object a number or a sentence. */
#include "report/page/json.h"
#include "report/sheet/sheet.h"

json_t *bf__sheet_json(const bf_rate_report *report)
{
    bf__sheet sheet;
    if (bf__sheet_make(report, &sheet, NULL) != BF_OK) {
        return NULL;
    }
    json_t *items = json_array();
    for (size_t i = 0; i < sheet.count; i++) {
        const bf__sheet_item *shown = &sheet.item[i];
        json_t *item = json_object();
        bf__json_text(item, "group", shown->group);
        bf__json_text(item, "name", shown->name);
        bf__json_number(item, "dose_g_per_L", shown->dose_kg_per_m3);
        bf__json_number(item, "si_value", shown->value[BF_UNITS_SI]);
        bf__json_text(item, "si_unit", shown->unit[BF_UNITS_SI]);
        bf__json_number(item, "us_value", shown->value[BF_UNITS_US]);
        bf__json_text(item, "us_unit", shown->unit[BF_UNITS_US]);
        bf__json_text(item, "words", shown->words);
        bf__json_append(items, item);
    }
    bf__sheet_free(&sheet);
    return items;
}
