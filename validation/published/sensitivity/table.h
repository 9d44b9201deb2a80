/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A committed table of changes: what each does to capacity and mean leakage at
 * three doses. Shared by the programs that fill one. */
#ifndef BF_VALIDATION_TABLE_H
#define BF_VALIDATION_TABLE_H

#include "uncertain.h"

#include <stdio.h>

enum { TABLE_DOSES = 3, TABLE_LINES = 64 };

/** 6, 10 and 15 lb/ft3. */
extern const double table_pounds[TABLE_DOSES];
double table_dose_kg_per_m3(size_t which);

/** Relative to the bed as it stands, %; NAN: no rating. */
typedef struct effect {
    double capacity[TABLE_DOSES], leakage[TABLE_DOSES];
} effect;

typedef struct table {
    const char *program;
    size_t count;
    /** Name of a line, "what: changed to"; no commas. */
    const char *(*name)(size_t line);
    bf_status (*compute)(size_t line, effect *out, bf_error *err);
    /** What must hold before any line is believed; NULL: nothing. */
    bf_status (*check)(bf_error *err);
    void (*print)(const effect *lines);
} table;

/** Capacity and mean leakage at the three doses of a bed, over those of the
 * bulletin's bed. */
BF_MUST_CHECK bf_status table_effect(const uncertain_bed *bed, effect *out, bf_error *err);

/** The bulletin's bed as it stands: capacity and mean leakage, eq/m3. */
BF_MUST_CHECK bf_status table_base(effect *out, bf_error *err);

/** --write FILE | --print FILE | --compare FILE [--every N]. @return exit
 * status: 0, 1 when a line moved, 2 for a wrong command or file. */
int table_main(const table *rows, int count, char **arguments);

/** "-3.9" or "no rating". */
void table_print_number(double value);

#endif
