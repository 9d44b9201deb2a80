/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A rating sheet as a list of items, which table, CSV and JSON print each in its own way. */
#ifndef BF_REPORT_SHEET_SHEET_H
#define BF_REPORT_SHEET_SHEET_H

#include "brinefront/report.h"

#include <jansson.h>

/* What a number is; the SI it comes in, and how it is shown in each unit system: sheet_show.c. */
typedef enum bf__sheet_kind {
    BF__SHEET_WORDS, /* no number */
    BF__SHEET_LENGTH,
    BF__SHEET_AREA,
    BF__SHEET_RESIN,       /* m3 */
    BF__SHEET_WATER,       /* m3 */
    BF__SHEET_FLOW,        /* m3/s */
    BF__SHEET_VELOCITY,    /* m/s */
    BF__SHEET_PER_BED,     /* bed volumes a second */
    BF__SHEET_PRESSURE,    /* Pa */
    BF__SHEET_TEMPERATURE, /* K */
    BF__SHEET_MINUTES,     /* s */
    BF__SHEET_HOURS,       /* s */
    BF__SHEET_MASS,        /* kg */
    BF__SHEET_DOSE,        /* kg/m3 */
    BF__SHEET_HELD,        /* kg of CaCO3 */
    BF__SHEET_CAPACITY,    /* eq/m3 */
    BF__SHEET_HARDNESS,    /* eq/m3 */
    BF__SHEET_EFFICIENCY,  /* kg of CaCO3 per kg of salt */
    BF__SHEET_WASTE,       /* m3 per kg of CaCO3 */
    BF__SHEET_SHARE,
    BF__SHEET_SAMPLES,
    BF__SHEET_OTHER, /* units of its own */
    BF__SHEET_KINDS
} bf__sheet_kind;

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
                              bf__sheet_kind kind, double SI, const char *name);
/* The same with no more than three digits, the rest dropped to the unfavourable side. */
bf__sheet_item *bf__sheet_add_rounded(bf__sheet *to, const char *group, double dose_kg_per_m3,
                                      bf__sheet_kind kind, double SI, int up, const char *name);
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
    bf__sheet_kind kind;
    int up; /* the unfavourable side */
} bf__sheet_quantity;
bf__sheet_quantity bf__sheet_quantity_of(bf_band_quantity what);
/* ... and its value for the whole tank; NAN where there is none. */
double bf__sheet_of_tank(const bf_rate_report *report, const bf_tank_dose *of,
                         bf_band_quantity what, double value);

/* Nonzero where a rating holds a criterion and its practical rating does not. sheet_doubt.c */
int bf__sheet_promise_fails(const bf_rate_report *report, bf_criterion_id id);

/* How a kind is shown: value = SI*scale + shift. sheet_show.c */
typedef struct bf__sheet_unit {
    const char *unit;
    double scale, shift;
} bf__sheet_unit;
bf__sheet_unit bf__sheet_shown(bf__sheet_kind kind, bf_unit_system units);

/* ---- printing ---------------------------------------------------------------------------------
 */

void bf__sheet_table(const bf_rate_report *report, bf_unit_system units, FILE *out);
void bf__sheet_csv(const bf_rate_report *report, FILE *out);
json_t *bf__sheet_json(const bf_rate_report *report);

#endif
