/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A table of salt dose and capacity:
 *
 *     # a remark
 *     dose [lb/ft3], capacity [kgr/ft3]
 *     5, 20.1
 *
 * The text is read by csv.c. Both may be of the whole bed (lb, kg; kgr, eq): the case knows its
 * volume. Other columns are refused, since a table read in part would say something else.
 */
#include "brinefront/overlay.h"

#include "brinefront/units.h"
#include "case/file/csv.h"
#include "case/file/file.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { DOSE, CAPACITY, KINDS };

static const struct {
    const char *name;
    bf_dimension dimension, of_bed;
    double least, most; /* SI: the ranges of doses.c and of observations.c, above zero */
    const char *accepted, *example;
} kinds[KINDS] = {
    [DOSE] = {"dose", BF_DIMENSION_MASS_PER_VOLUME, BF_DIMENSION_MASS, 1.0, 1000.0, "1 to 1000 g/L",
              "lb/ft3"},
    [CAPACITY] = {"capacity", BF_DIMENSION_EQUIVALENTS_PER_VOLUME, BF_DIMENSION_EQUIVALENTS, 1.0,
                  4000.0, "0.001 to 4 eq/L", "kgr/ft3"},
};

typedef struct reader {
    bf__csv csv;
    const bf_case *input;
    bf_overlay *out;
    size_t kind[BF__CSV_COLUMNS];
    char unit[BF__CSV_COLUMNS][BF__CSV_FIELD_BYTES];
    size_t columns;
} reader;

/* The SI value of a text for a kind, per volume of resin. */
static bf_status convert(const reader *r, size_t kind, const char *text, double *value,
                         bf_error *err)
{
    bf_quantity q;
    bf_status status = bf_quantity_parse(text, &q, err);
    if (status == BF_OK && q.dimension == kinds[kind].of_bed && q.basis != BF_BASIS_ION) {
        *value = q.value / bf_bed_volume_m3(&r->input->rating.bed);
        return BF_OK;
    }
    return status == BF_OK ? bf_quantity_as(&q, kinds[kind].dimension, value, err) : status;
}

static void read_column(reader *r, size_t c, size_t seen[KINDS])
{
    char sentence[700];
    char one[BF__CSV_FIELD_BYTES + 4];
    const bf__csv_field *head = &r->csv.fields[c];
    const size_t length = bf__csv_name_length(head);
    size_t kind = 0;
    double value;
    bf_error err = {0};
    while (kind < KINDS && (strlen(kinds[kind].name) != length ||
                            strncmp(kinds[kind].name, head->text, length) != 0)) {
        kind++;
    }
    r->kind[c] = kind;
    if (strchr(head->text, ';') != NULL) {
        bf__csv_find(&r->csv, r->csv.name, head->line, head->column,
                     "commas separate the columns, and a point the decimals: save the table so");
        return;
    }
    if (kind == KINDS) {
        bf__csv_find(&r->csv, r->csv.name, head->line, head->column,
                     "no such column; there are dose and capacity");
        return;
    }
    if (seen[kind]++ > 0) {
        bf__csv_find(&r->csv, kinds[kind].name, head->line, head->column,
                     "this column is there twice");
        return;
    }
    if (!bf__csv_unit(head, r->unit[c])) {
        (void)snprintf(sentence, sizeof sentence,
                       "write the unit in brackets behind the name: %s [%s]", kinds[kind].name,
                       kinds[kind].example);
        bf__csv_find(&r->csv, kinds[kind].name, head->line, head->column, sentence);
        return;
    }
    (void)snprintf(one, sizeof one, "1 %s", r->unit[c]);
    if (convert(r, kind, one, &value, &err) != BF_OK) {
        (void)snprintf(sentence, sizeof sentence, "[%s]: %s; an example is [%s]", r->unit[c],
                       err.message, kinds[kind].example);
        bf__csv_find(&r->csv, kinds[kind].name, head->line, head->column, sentence);
    }
}

static void read_head(void *context)
{
    reader *r = context;
    char sentence[100];
    size_t seen[KINDS] = {0};
    r->columns = r->csv.field_count;
    for (size_t c = 0; c < r->columns; c++) {
        read_column(r, c, seen);
    }
    for (size_t kind = 0; kind < KINDS && r->csv.findings == 0; kind++) {
        if (seen[kind] == 0) {
            (void)snprintf(sentence, sizeof sentence, "there is no column %s: add %s [%s]",
                           kinds[kind].name, kinds[kind].name, kinds[kind].example);
            bf__csv_find(&r->csv, r->csv.name, r->csv.fields[0].line, r->csv.fields[0].column,
                         sentence);
        }
    }
    r->csv.stop = r->csv.stop || r->csv.findings > 0; /* rows would be found wrong for the head */
}

/* A number in the column's unit; a finding and NAN where it is none. */
static double read_value(reader *r, size_t c)
{
    char sentence[600];
    char text[2 * BF__CSV_FIELD_BYTES + 4];
    const bf__csv_field *cell = &r->csv.fields[c];
    const size_t kind = r->kind[c];
    const char *name = kinds[kind].name;
    double value;
    bf_error err = {0};
    if (!bf__csv_plain_number(cell->text, &value)) {
        (void)snprintf(sentence, sizeof sentence,
                       "\"%s\" is not a number with a decimal point; its unit stands in the head",
                       cell->text);
        bf__csv_find(&r->csv, name, cell->line, cell->column, sentence);
        return (double)NAN;
    }
    (void)snprintf(text, sizeof text, "%s %s", cell->text, r->unit[c]);
    if (convert(r, kind, text, &value, &err) != BF_OK) {
        bf__csv_find(&r->csv, name, cell->line, cell->column, err.message);
        return (double)NAN;
    }
    if (!(value >= kinds[kind].least * (1.0 - 1e-9) && value <= kinds[kind].most * (1.0 + 1e-9))) {
        (void)snprintf(sentence, sizeof sentence,
                       "\"%s\" %s is out of range; accepted are %s of resin", cell->text,
                       r->unit[c], kinds[kind].accepted);
        bf__csv_find(&r->csv, name, cell->line, cell->column, sentence);
        return (double)NAN;
    }
    return value;
}

static void read_row(void *context)
{
    reader *r = context;
    char sentence[100];
    double value[KINDS] = {(double)NAN, (double)NAN};
    const bf__csv_field *first = &r->csv.fields[0];
    if (r->csv.field_count != r->columns) {
        (void)snprintf(sentence, sizeof sentence, "%zu fields where the head has %zu",
                       r->csv.field_count, r->columns);
        bf__csv_find(&r->csv, r->csv.name, first->line, first->column, sentence);
        return;
    }
    for (size_t c = 0; c < r->columns; c++) {
        value[r->kind[c]] = read_value(r, c);
    }
    if (r->out->count == BF_CASE_DOSES) {
        (void)snprintf(sentence, sizeof sentence, "more than %d rows", BF_CASE_DOSES);
        bf__csv_find(&r->csv, r->csv.name, first->line, first->column, sentence);
        r->csv.stop = 1;
        return;
    }
    r->out->row[r->out->count++] = (bf_overlay_row){
        .line = first->line, .dose_kg_per_m3 = value[DOSE], .capacity_eq_per_m3 = value[CAPACITY]};
}

bf_status bf_overlay_read_text(const char *text, size_t length, const char *name,
                               const bf_case *input, bf_overlay *out, bf_notes *notes,
                               bf_error *err)
{
    reader *r = calloc(1, sizeof *r);
    *out = (bf_overlay){0};
    if (r == NULL) {
        return bf_error_set(err, BF_E_MEMORY, name, "no memory for an overlay");
    }
    *r = (reader){.csv = bf__csv_of(text, length, name, notes, err), .input = input, .out = out};
    bf__csv_read_table(&r->csv, length, r, read_head, read_row, &out->count,
                       "the table holds no dose and capacity");
    const bf_status status = r->csv.status;
    if (status != BF_OK) {
        *out = (bf_overlay){0};
    }
    free(r);
    return status;
}

bf_status bf_overlay_read(const char *file_name, const bf_case *input, bf_overlay *out,
                          bf_notes *notes, bf_error *err)
{
    char *text = NULL;
    size_t length = 0;
    *out = (bf_overlay){0};
    bf_status status =
        bf__file_read(file_name, "overlay", BF__CSV_BYTES, &text, &length, notes, err);
    if (status == BF_OK) {
        status =
            bf_overlay_read_text(text, length, bf__file_name(file_name), input, out, notes, err);
    }
    free(text);
    return status;
}
