/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The list of items that a rating sheet is. */
#include "report/sheet/sheet_list.h"

#include "brinefront/band.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

bf__sheet_group bf__sheet_group_of_all(bf__sheet *sheet, const char *name)
{
    return (bf__sheet_group){sheet, name, (double)NAN};
}

bf__sheet_group bf__sheet_group_of_dose(bf__sheet *sheet, const char *name, double dose_kg_per_m3)
{
    return (bf__sheet_group){sheet, name, dose_kg_per_m3};
}

/* Room for one more; the sheet's spare item where memory is short. */
static bf__sheet_item *next(bf__sheet *sheet)
{
    if (sheet->count == sheet->room) {
        const size_t room = sheet->room == 0 ? 64 : 2 * sheet->room;
        bf__sheet_item *more = realloc(sheet->item, room * sizeof *more);
        if (more == NULL) {
            sheet->is_short = 1;
            return &sheet->spare;
        }
        sheet->item = more;
        sheet->room = room;
    }
    return &sheet->item[sheet->count++];
}

bf__sheet_item *bf__sheet_add(const bf__sheet_group *group, bf__quantity quantity, double si,
                              const char *name, ...)
{
    bf__sheet_item *item = next(group->sheet);
    *item = (bf__sheet_item){.group = group->name, .dose_kg_per_m3 = group->dose_kg_per_m3};
    va_list values;
    va_start(values, name);
    (void)vsnprintf(item->name, sizeof item->name, name, values);
    va_end(values);
    for (int u = 0; u < 2; u++) {
        item->value[u] = bf__quantity_show(quantity, (bf_unit_system)u, si);
        item->unit[u] = bf__quantity_unit(quantity, (bf_unit_system)u).text;
    }
    return item;
}

void bf__sheet_round(bf__sheet_item *item, int up)
{
    for (int u = 0; u < 2; u++) {
        item->value[u] = up ? bf_round_up(item->value[u], 3) : bf_round_down(item->value[u], 3);
    }
}

static void say(bf__sheet_item *item, const char *format, va_list values)
{
    const size_t length = strlen(item->words);
    (void)vsnprintf(item->words + length, sizeof item->words - length, format, values);
}

void bf__sheet_say(bf__sheet_item *item, const char *format, ...)
{
    va_list values;
    va_start(values, format);
    say(item, format, values);
    va_end(values);
}

void bf__sheet_add_words(const bf__sheet_group *group, const char *name, const char *format, ...)
{
    va_list values;
    va_start(values, format);
    say(bf__sheet_add(group, BF__QUANTITY_PLAIN, (double)NAN, "%s", name), format, values);
    va_end(values);
}

void bf__sheet_free(bf__sheet *sheet)
{
    free(sheet->item);
    *sheet = (bf__sheet){0};
}
