/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The tables of the runner: manifest.csv, one row a comparison, and
 * results.csv, one row a result. Plain CSV: no quotes, no commas inside a
 * field. */
#ifndef BF_VALIDATION_MANIFEST_H
#define BF_VALIDATION_MANIFEST_H

#include "metrics.h"

#include <stdio.h>

enum { MANIFEST_ROWS = 256, MANIFEST_FIELD = 400 };

typedef enum manifest_kind {
    KIND_VERIFICATION, /* are the equations solved right? */
    KIND_PREDICTED,    /* against published numbers that nothing was fitted to */
    KIND_CALIBRATED,   /* against numbers that something was fitted to: validates
                        nothing */
    KIND_PRACTICE      /* ranges and directions of practice, no measurement behind them
                 */
} manifest_kind;

typedef struct manifest_row {
    char id[64]; /* family.name */
    manifest_kind kind;
    int known_miss; /* of any kind, with the reason in `basis` */
    /* How much a target of iron binds: "exact", "law", "trade", "direction"; "":
   * not said. */
    const char *strength;
    char name[64]; /* column case: which comparison */
    char result[MANIFEST_FIELD];
    char reference[MANIFEST_FIELD];
    metric metric;
    double tolerance;
    char basis[MANIFEST_FIELD];
    int is_fast;
} manifest_row;

typedef struct manifest {
    size_t count;
    manifest_row row[MANIFEST_ROWS];
} manifest;

typedef struct result_row {
    char id[64];
    double value;
    int passed;
    double seconds;              /* of the comparison; rows that share one share it */
    char errors[MANIFEST_FIELD]; /* "intervals:error ..." */
    char note[MANIFEST_FIELD];
} result_row;

typedef struct results {
    size_t count;
    result_row row[MANIFEST_ROWS];
} results;

/** @return BF_OK; BF_E_FILE; BF_E_INPUT with the line */
BF_MUST_CHECK bf_status manifest_read(const char *file_name, manifest *out, bf_error *err);
BF_MUST_CHECK bf_status results_read(const char *file_name, results *out, bf_error *err);
BF_MUST_CHECK bf_status results_write(const char *file_name, const results *table, bf_error *err);

/** NULL when there is none. */
const result_row *results_find(const results *table, const char *id);

/** @return nonzero for rows against something published; the others are
 * verification */
int manifest_is_published(const manifest_row *row);

#endif
