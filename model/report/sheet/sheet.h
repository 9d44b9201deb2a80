/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A rating sheet as a list of items, which table, CSV and JSON print each in its own way. */
#ifndef BF_REPORT_SHEET_SHEET_H
#define BF_REPORT_SHEET_SHEET_H

#include "base/quantities.h"
#include "brinefront/report.h"

#include <jansson.h>

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
    int is_short; /* of memory */
} bf__sheet;

/* ---- building: sheet_items.c ------------------------------------------------------------------
 */

/* Add one; what is returned may be completed, and is never NULL. */
bf__sheet_item *bf__sheet_add(bf__sheet *to, const char *group, double dose_kg_per_m3,
                              bf__quantity kind, double SI, const char *name);
/* The same with no more than three digits, the rest dropped to the unfavourable side. */
bf__sheet_item *bf__sheet_add_rounded(bf__sheet *to, const char *group, double dose_kg_per_m3,
                                      bf__quantity kind, double SI, int up, const char *name);
bf__sheet_item *bf__sheet_add_words(bf__sheet *to, const char *group, const char *name,
                                    const char *words);

/* All of it. */
void bf__sheet_make(const bf_rate_report *report, bf__sheet *out);
void bf__sheet_free(bf__sheet *sheet);

void bf__sheet_practical(const bf_rate_report *report, bf__sheet *to); /* sheet_practical.c */
void bf__sheet_vessel(const bf_rate_report *report, bf__sheet *to);    /* sheet_vessel.c */
void bf__sheet_rating(const bf_rate_report *report, bf__sheet *to);    /* sheet_rating.c */
void bf__sheet_use(const bf_rate_report *report, bf__sheet *to);       /* sheet_use.c */
void bf__sheet_doubt(const bf_rate_report *report, bf__sheet *to);     /* sheet_doubt.c */

/* A quantity of the band as the sheet tells it. sheet_practical.c */
typedef struct bf__sheet_quantity {
    const char *name;
    bf__quantity kind;
    int up; /* the unfavourable side */
} bf__sheet_quantity;
bf__sheet_quantity bf__sheet_quantity_of(bf_band_quantity what);
/* ... and its value for the whole tank; NAN where there is none. */
double bf__sheet_of_tank(const bf_rate_report *report, const bf_tank_dose *of,
                         bf_band_quantity what, double value);

/* Nonzero where a rating holds a criterion and its practical rating does not. sheet_doubt.c */
int bf__sheet_promise_fails(const bf_rate_report *report, bf_criterion_id id);

/* ---- printing ---------------------------------------------------------------------------------
 */

void bf__sheet_table(const bf_rate_report *report, bf_unit_system units, FILE *out);
void bf__sheet_csv(const bf_rate_report *report, FILE *out);
json_t *bf__sheet_json(const bf_rate_report *report);

#endif
