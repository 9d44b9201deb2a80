/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The list of items that a rating sheet is; table, CSV and JSON print it each in its own way. */
#ifndef BF_REPORT_SHEET_SHEET_LIST_H
#define BF_REPORT_SHEET_SHEET_LIST_H

#include "base/quantities.h"
#include "brinefront/status.h"

typedef struct bf__sheet_item {
    const char *group;
    char name[80];
    double dose_kg_per_m3; /* NAN: of the vessel as a whole */
    double value[2];       /* by bf_unit_system; NAN: none, or it cannot be told */
    const char *unit[2];   /* "" without a number */
    char words[400];       /* behind the number, or in its place */
    int is_detail;         /* nonzero: for programs; people read it in another item's words */
} bf__sheet_item;

typedef struct bf__sheet {
    bf__sheet_item *item;
    size_t count, room;
    int is_short;         /* of memory: items are missing, and nobody may print it */
    bf__sheet_item spare; /* written where memory is short */
} bf__sheet;

/* Where items go: one heading, and one dose or the vessel as a whole. */
typedef struct bf__sheet_group {
    bf__sheet *sheet;
    const char *name;
    double dose_kg_per_m3; /* NAN: of the vessel as a whole */
} bf__sheet_group;

bf__sheet_group bf__sheet_group_of_all(bf__sheet *sheet, const char *name);
bf__sheet_group bf__sheet_group_of_dose(bf__sheet *sheet, const char *name, double dose_kg_per_m3);

/* Add one; what is returned may be completed, and is never NULL. */
bf__sheet_item *bf__sheet_add(const bf__sheet_group *group, bf__quantity quantity, double si,
                              const char *name, ...) BF_PRINTF(4, 5);

/* Keep no more than three digits, the rest dropped to the unfavourable side. */
void bf__sheet_round(bf__sheet_item *item, int up);

/* Words behind the number of an item, or more of them. */
void bf__sheet_say(bf__sheet_item *item, const char *format, ...) BF_PRINTF(2, 3);

/* An item without a number. */
void bf__sheet_add_words(const bf__sheet_group *group, const char *name, const char *format, ...)
    BF_PRINTF(3, 4);

void bf__sheet_free(bf__sheet *sheet); /* zeroed is fine */

#endif
