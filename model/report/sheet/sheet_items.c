/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The list that a rating sheet is. */
#include "report/sheet/sheet.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Where memory is short an item is written that nobody reads; is_short tells. */
static bf__sheet_item nowhere;

static bf__sheet_item *next(bf__sheet *to)
{
    if (to->count == to->room) {
        const size_t room = to->room == 0 ? 64 : 2 * to->room;
        bf__sheet_item *more = realloc(to->item, room * sizeof *more);
        if (more == NULL) {
            to->is_short = 1;
            return &nowhere;
        }
        to->item = more;
        to->room = room;
    }
    return &to->item[to->count++];
}

bf__sheet_item *bf__sheet_add(bf__sheet *to, const char *group, double dose_kg_per_m3,
                              bf__quantity kind, double SI, const char *name)
{
    bf__sheet_item *item = next(to);
    memset(item, 0, sizeof *item);
    item->group = group;
    item->dose_kg_per_m3 = dose_kg_per_m3;
    (void)snprintf(item->name, sizeof item->name, "%s", name);
    for (int u = 0; u < 2; u++) {
        const bf__unit shown = bf__quantity_unit(kind, (bf_unit_system)u);
        item->value[u] = SI * shown.scale + shown.shift;
        item->unit[u] = shown.text;
    }
    return item;
}

bf__sheet_item *bf__sheet_add_rounded(bf__sheet *to, const char *group, double dose_kg_per_m3,
                                      bf__quantity kind, double SI, int up, const char *name)
{
    bf__sheet_item *item = bf__sheet_add(to, group, dose_kg_per_m3, kind, SI, name);
    for (int u = 0; u < 2; u++) {
        item->value[u] = up ? bf_round_up(item->value[u], 3) : bf_round_down(item->value[u], 3);
    }
    return item;
}

bf__sheet_item *bf__sheet_add_words(bf__sheet *to, const char *group, const char *name,
                                    const char *words)
{
    bf__sheet_item *item =
        bf__sheet_add(to, group, (double)NAN, BF__QUANTITY_PLAIN, (double)NAN, name);
    (void)snprintf(item->words, sizeof item->words, "%s", words);
    return item;
}

void bf__sheet_make(const bf_rate_report *report, bf__sheet *out)
{
    *out = (bf__sheet){0};
    bf__sheet_practical(report, out);
    bf__sheet_vessel(report, out);
    bf__sheet_rating(report, out);
    bf__sheet_use(report, out);
    bf__sheet_doubt(report, out);
}

void bf__sheet_free(bf__sheet *sheet)
{
    free(sheet->item);
    *sheet = (bf__sheet){0};
}
