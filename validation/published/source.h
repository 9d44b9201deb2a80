/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A published source: the numbers of its data.csv, and the bed of its case.yaml
 * with or without changes. Public headers only. */
#ifndef BF_VALIDATION_SOURCE_H
#define BF_VALIDATION_SOURCE_H

#include "outcome.h"

#include "brinefront/case.h"

enum { SOURCE_ROWS = 40, SOURCE_COLUMNS = 8, SOURCE_TEXT = 6000 };

typedef struct source {
    const char *name; /* its folder in validation/published/ */
    char data[SOURCE_TEXT];
    const char *cell[SOURCE_ROWS][SOURCE_COLUMNS]; /* row 0 is the head; points into `data` */
    size_t rows, columns;
    char case_text[SOURCE_TEXT];
} source;

/** Read data.csv and case.yaml. @return BF_OK; BF_E_FILE; BF_E_INPUT */
BF_MUST_CHECK bf_status source_read(const char *name, source *out, bf_error *err);

/** Cell of a row by the column's name; NULL when there is no such column. */
const char *source_cell(const source *data, size_t row, const char *column);

/** The next row after `row` whose first cell is `kind`; 0 when there is none.
 * Start from 0. */
size_t source_next(const source *data, const char *kind, size_t row);

/** A number; NAN for what is none. */
double source_number(const source *data, size_t row, const char *column);

/**
 * Change values of a case: "hardness 300 mg/L as CaCO3; sodium 455 mg/L as
 * CaCO3", "-" for none. Keys as in case.yaml; a key that stands in no section
 * of the text is an error.
 */
BF_MUST_CHECK bf_status source_change(char text[SOURCE_TEXT], const char *changes, bf_error *err);

/** The rating of a case text. */
BF_MUST_CHECK bf_status source_rating(const char *text, bf_rating_spec *out, bf_error *err);

/** Steady cycles of the case at `count` doses. */
BF_MUST_CHECK bf_status source_rate(const char *text, const double *dose_kg_per_m3, size_t count,
                                    bf_dose_point *out, bf_error *err);

/** Capacity where the dose has a rating, else 0: no rating is no capacity. */
double source_capacity(const bf_dose_point *point);

/** Add a pair; the published text is the cell's. */
void source_add(outcome *out, const source *data, size_t row, const char *column, const char *point,
                const char *unit, double computed);

#endif
