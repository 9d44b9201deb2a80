/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A table of observations: comma-separated values after RFC 4180, and what its columns mean.
 *
 *     # a remark
 *     date, capacity [kgr/ft3], pressure_drop [psi], iron_on_resin [g/ft3], moisture [%]
 *     2021-09-30, 24.1, 6.5, , 46.5
 *
 * The text is read by csv.c. A head names each column and, in brackets, its unit (units.h); a field
 * is a plain number in that unit, so that no unit stands twice. capacity and iron_on_resin may be
 * of the whole bed (kgr, eq; g, lb): the case knows its volume.
 */
#include "brinefront/observations.h"

#include "base/nearest.h"
#include "brinefront/units.h"
#include "case/file/csv.h"
#include "case/file/date.h"
#include "case/file/file.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { FIELD_BYTES = BF__CSV_FIELD_BYTES };
typedef bf__csv_field field;

/* What a column may be: the observed first, in the order of bf_observed. */
enum { COLUMN_DATE = BF_OBSERVED_COUNT, COLUMN_DAY, COLUMN_KINDS };

static const struct {
    const char *name;
    bf_dimension dimension; /* and as it is counted for the whole bed */
    bf_dimension of_bed;
    double least, most; /* SI; what a softening bed can show: common practice, no source */
    const char *accepted;
    const char *example; /* of a unit */
} column_kinds[COLUMN_KINDS] = {
    [BF_OBSERVED_CAPACITY] = {"capacity", BF_DIMENSION_EQUIVALENTS_PER_VOLUME,
                              BF_DIMENSION_EQUIVALENTS, 0.0, 4000.0, "0 to 4 eq/L of bed",
                              "kgr/ft3"},
    [BF_OBSERVED_PRESSURE_DROP] = {"pressure_drop", BF_DIMENSION_PRESSURE, BF_DIMENSION_PRESSURE,
                                   0.0, 1e6, "0 to 1000 kPa", "psi"},
    [BF_OBSERVED_IRON] = {"iron_on_resin", BF_DIMENSION_MASS_PER_VOLUME, BF_DIMENSION_MASS, 0.0,
                          100.0, "0 to 100 g/L of bed", "g/ft3"},
    [BF_OBSERVED_MOISTURE] = {"moisture", BF_DIMENSION_MASS_FRACTION, BF_DIMENSION_MASS_FRACTION,
                              0.2, 0.9, "20 to 90 %", "%"},
    [BF_OBSERVED_SOFT_HARDNESS] = {"softened_hardness", BF_DIMENSION_EQUIVALENTS_PER_VOLUME,
                                   BF_DIMENSION_EQUIVALENTS_PER_VOLUME, 0.0, 200.0,
                                   "0 to 200 meq/L", "gpg"},
    [BF_OBSERVED_SOFT_IRON] = {"softened_iron", BF_DIMENSION_MASS_PER_VOLUME,
                               BF_DIMENSION_MASS_PER_VOLUME, 0.0, 0.1, "0 to 100 mg/L", "mg/L"},
    [COLUMN_DATE] = {.name = "date"},
    [COLUMN_DAY] = {.name = "day"},
};

typedef struct column {
    size_t kind; /* COLUMN_KINDS: not known, passed over */
    char unit[FIELD_BYTES];
} column;

typedef struct reader {
    bf__csv csv;
    const bf_case *input;
    double start; /* days since 1970-01-01; NAN where the case has none */
    bf_observations *out;
    column columns[BF__CSV_COLUMNS];
    size_t column_count;
} reader;

/* ---- the head -------------------------------------------------------------------------------- */

static size_t find_kind(const char *name, size_t length)
{
    size_t kind = 0;
    while (kind < COLUMN_KINDS && (strlen(column_kinds[kind].name) != length ||
                                   strncmp(column_kinds[kind].name, name, length) != 0)) {
        kind++;
    }
    return kind;
}

static void find_unknown_column(reader *r, const field *head, size_t length)
{
    char sentence[400];
    const char *nearest = NULL;
    int best = bf__nearest_limit(length) + 1;
    for (size_t kind = 0; kind < COLUMN_KINDS; kind++) {
        const char *name = column_kinds[kind].name;
        const int distance = bf__nearest_distance(head->text, length, name, strlen(name));
        if (distance < best) {
            best = distance;
            nearest = name;
        }
    }
    if (strchr(head->text, ';') != NULL) {
        (void)snprintf(sentence, sizeof sentence,
                       "commas separate the columns, and a point the decimals: save the table so");
    } else if (nearest != NULL) {
        (void)snprintf(sentence, sizeof sentence, "no such column; did you mean %s?", nearest);
    } else {
        (void)snprintf(sentence, sizeof sentence,
                       "no such column; there are date or day, capacity, pressure_drop, "
                       "iron_on_resin, moisture, softened_hardness and softened_iron");
    }
    char where[FIELD_BYTES];
    (void)snprintf(where, sizeof where, "%.*s", (int)length, head->text);
    bf__csv_find(&r->csv, length > 0 ? where : r->csv.name, head->line, head->column, sentence);
}

/* The SI value of a quantity for a column. */
static bf_status convert(const reader *r, size_t kind, const bf_quantity *q, double *value,
                         bf_error *err)
{
    if (q->dimension == column_kinds[kind].of_bed &&
        column_kinds[kind].of_bed != column_kinds[kind].dimension && q->basis != BF_BASIS_ION) {
        *value = q->value / bf_bed_volume_m3(&r->input->rating.bed);
        return BF_OK;
    }
    return bf_quantity_as(q, column_kinds[kind].dimension, value, err);
}

/* The unit in brackets behind a name that takes one. */
static void read_unit(reader *r, const field *head, column *col)
{
    char sentence[700];
    const char *name = column_kinds[col->kind].name;
    const char *example = column_kinds[col->kind].example;
    if (!bf__csv_unit(head, col->unit)) {
        (void)snprintf(sentence, sizeof sentence,
                       "write the unit in brackets behind the name: %s [%s]", name, example);
        bf__csv_find(&r->csv, name, head->line, head->column, sentence);
        col->kind = COLUMN_KINDS;
        return;
    }
    char one[FIELD_BYTES + 4];
    bf_quantity q;
    double value;
    bf_error err = {0};
    (void)snprintf(one, sizeof one, "1 %s", col->unit);
    bf_status status = bf_quantity_parse(one, &q, &err);
    status = status == BF_OK ? convert(r, col->kind, &q, &value, &err) : status;
    if (status != BF_OK) {
        (void)snprintf(sentence, sizeof sentence, "[%s]: %s; an example is [%s]", col->unit,
                       err.message, example);
        bf__csv_find(&r->csv, name, head->line, head->column, sentence);
        col->kind = COLUMN_KINDS;
    }
}

static void read_head(void *context)
{
    reader *r = context;
    size_t seen[COLUMN_KINDS + 1] = {0};
    r->column_count = r->csv.field_count;
    for (size_t c = 0; c < r->csv.field_count; c++) {
        const field *head = &r->csv.fields[c];
        column *col = &r->columns[c];
        const char *open = strchr(head->text, '[');
        const size_t length = bf__csv_name_length(head);
        col->kind = find_kind(head->text, length);
        if (col->kind == COLUMN_KINDS) {
            find_unknown_column(r, head, length);
            seen[COLUMN_KINDS]++;
            continue;
        }
        const char *name = column_kinds[col->kind].name;
        if (seen[col->kind]++ > 0) {
            bf__csv_find(&r->csv, name, head->line, head->column, "this column is there twice");
            col->kind = COLUMN_KINDS;
        } else if (col->kind < BF_OBSERVED_COUNT) {
            read_unit(r, head, col);
        } else if (open != NULL) {
            bf__csv_find(&r->csv, name, head->line, head->column,
                         "takes no unit: leave the brackets out");
        } else if (col->kind == COLUMN_DATE && isnan(r->start)) {
            bf__csv_find(
                &r->csv, name, head->line, head->column,
                "the case does not state campaign.start, so a date says nothing: state it, or "
                "give `day`, days since the beginning");
        }
    }
    const field *first = &r->csv.fields[0];
    size_t observed = 0;
    for (size_t kind = 0; kind < BF_OBSERVED_COUNT; kind++) {
        observed += seen[kind];
    }
    if (seen[COLUMN_DATE] + seen[COLUMN_DAY] != 1 && seen[COLUMN_KINDS] == 0) {
        bf__csv_find(&r->csv, r->csv.name, first->line, first->column,
                     seen[COLUMN_DATE] > 0 ? "date and day say the same thing: leave one out"
                                           : "no column says when: add date, or day");
    }
    if (observed == 0 && seen[COLUMN_KINDS] == 0) {
        bf__csv_find(&r->csv, r->csv.name, first->line, first->column,
                     "no column tells anything: add capacity, pressure_drop, iron_on_resin, "
                     "moisture, softened_hardness or softened_iron");
    }
}

/* ---- rows ------------------------------------------------------------------------------------ */

/* A number in the column's unit; a finding and NAN where it is none. */
static double read_value(reader *r, const field *cell, const column *col)
{
    char sentence[600];
    char text[2 * FIELD_BYTES + 4];
    const char *name = column_kinds[col->kind].name;
    bf_quantity q;
    double value;
    bf_error err = {0};
    if (!bf__csv_plain_number(cell->text, &value)) {
        (void)snprintf(sentence, sizeof sentence,
                       "\"%s\" is not a number with a decimal point; its unit stands in the head",
                       cell->text);
        bf__csv_find(&r->csv, name, cell->line, cell->column, sentence);
        return (double)NAN;
    }
    (void)snprintf(text, sizeof text, "%s %s", cell->text, col->unit);
    bf_status status = bf_quantity_parse(text, &q, &err);
    status = status == BF_OK ? convert(r, col->kind, &q, &value, &err) : status;
    if (status != BF_OK) {
        bf__csv_find(&r->csv, name, cell->line, cell->column, err.message);
        return (double)NAN;
    }
    if (!(value >= column_kinds[col->kind].least && value <= column_kinds[col->kind].most)) {
        (void)snprintf(sentence, sizeof sentence, "\"%s\" %s is out of range; accepted are %s",
                       cell->text, col->unit, column_kinds[col->kind].accepted);
        bf__csv_find(&r->csv, name, cell->line, cell->column, sentence);
        return (double)NAN;
    }
    return value;
}

/* Days since the campaign began; a finding and NAN where the field does not say. */
static double read_when(reader *r, const field *cell, const column *col)
{
    char sentence[400];
    const char *name = column_kinds[col->kind].name;
    double day = (double)NAN;
    if (col->kind == COLUMN_DATE && bf__date_read(cell->text, &day)) {
        day -= isnan(r->start) ? day : r->start; /* without a start the head has its finding */
    } else if (col->kind == COLUMN_DATE || !bf__csv_plain_number(cell->text, &day)) {
        (void)snprintf(sentence, sizeof sentence, "\"%s\" is not %s", cell->text,
                       col->kind == COLUMN_DATE ? "a date such as 2021-04-01"
                                                : "a number of days since the beginning");
        bf__csv_find(&r->csv, name, cell->line, cell->column, sentence);
        return (double)NAN;
    }
    if (day < 0.0) {
        (void)snprintf(sentence, sizeof sentence, "%s is before the campaign begins%s%s",
                       cell->text, col->kind == COLUMN_DATE ? ", on " : "",
                       col->kind == COLUMN_DATE ? r->input->campaign.start : "");
        bf__csv_find(&r->csv, name, cell->line, cell->column, sentence);
        return (double)NAN;
    }
    return day;
}

static void check_day(reader *r, const char *name, const field *cell, double day)
{
    char sentence[200];
    const bf_observations *out = r->out;
    if (out->count > 0 && day < out->row[out->count - 1].day) {
        (void)snprintf(sentence, sizeof sentence,
                       "rows go by time, and this one is earlier than that of line %ld",
                       out->row[out->count - 1].line);
        bf__csv_find(&r->csv, name, cell->line, cell->column, sentence);
    }
    if (r->input->campaign.is_stated && day > r->input->campaign.duration_days) {
        bf_notes_add_at(r->csv.notes, BF_NOTE_CAUTION, name, cell->line, cell->column,
                        "lies behind the end of the campaign, day %.6g: nothing is computed there",
                        r->input->campaign.duration_days);
    }
}

static void add_row(reader *r, const bf_observation *row)
{
    bf_observations *out = r->out;
    if ((out->count & (out->count - 1)) == 0) { /* 0, 1, 2, 4, ...: full */
        const size_t room = out->count == 0 ? 1 : 2 * out->count;
        bf_observation *more = realloc(out->row, room * sizeof *more);
        if (more == NULL) {
            r->csv.status =
                bf_error_set(r->csv.err, BF_E_MEMORY, r->csv.name, "no memory for observations");
            r->csv.stop = 1;
            return;
        }
        out->row = more;
    }
    out->row[out->count++] = *row;
}

static void read_row(void *context)
{
    reader *r = context;
    char sentence[200];
    bf_observation row = {.line = r->csv.fields[0].line, .day = (double)NAN};
    const field *when = NULL;
    const char *name = NULL;
    size_t values = 0;
    for (size_t v = 0; v < BF_OBSERVED_COUNT; v++) {
        row.value[v] = (double)NAN;
    }
    if (r->csv.field_count != r->column_count) {
        (void)snprintf(sentence, sizeof sentence, "%zu fields where the head has %zu",
                       r->csv.field_count, r->column_count);
        const size_t cell =
            r->csv.field_count < r->column_count ? r->csv.field_count - 1 : r->column_count;
        bf__csv_find(&r->csv, r->csv.name, r->csv.fields[cell].line, r->csv.fields[cell].column,
                     sentence);
        return;
    }
    for (size_t c = 0; c < r->column_count && !r->csv.stop; c++) {
        const column *col = &r->columns[c];
        const field *cell = &r->csv.fields[c];
        if (col->kind == COLUMN_DATE || col->kind == COLUMN_DAY) {
            when = cell;
            name = column_kinds[col->kind].name;
            row.day = read_when(r, cell, col);
        } else if (cell->text[0] != '\0') {
            values++;
            if (col->kind != COLUMN_KINDS) {
                row.value[col->kind] = read_value(r, cell, col);
            }
        }
    }
    if (values == 0) {
        bf__csv_find(&r->csv, r->csv.name, row.line, r->csv.fields[0].column,
                     "this row tells nothing but its day");
    }
    if (when != NULL && !isnan(row.day)) {
        check_day(r, name, when, row.day);
        add_row(r, &row);
    }
}

/* ---- all of it ------------------------------------------------------------------------------- */

bf_status bf_observations_read_text(const char *text, size_t length, const char *name,
                                    const bf_case *input, bf_observations *out, bf_notes *notes,
                                    bf_error *err)
{
    reader *r = calloc(1, sizeof *r);
    *out = (bf_observations){0};
    if (r == NULL) {
        return bf_error_set(err, BF_E_MEMORY, name, "no memory for observations");
    }
    *r = (reader){.csv = bf__csv_of(text, length, name, notes, err), .input = input, .out = out};
    if (!bf__date_read(input->campaign.start, &r->start)) {
        r->start = (double)NAN;
    }
    bf__csv_read_table(&r->csv, length, r, read_head, read_row, &out->count,
                       "the table holds no observation");
    const bf_status status = r->csv.status;
    if (status != BF_OK) {
        bf_observations_free(out);
    }
    free(r);
    return status;
}

bf_status bf_observations_read(const char *file_name, const bf_case *input, bf_observations *out,
                               bf_notes *notes, bf_error *err)
{
    char *text = NULL;
    size_t length = 0;
    *out = (bf_observations){0};
    bf_status status = bf__file_read(file_name, "table of observations", BF__CSV_BYTES, &text,
                                     &length, notes, err);
    if (status == BF_OK) {
        status = bf_observations_read_text(text, length, bf__file_name(file_name), input, out,
                                           notes, err);
    }
    free(text);
    return status;
}

void bf_observations_free(bf_observations *observations)
{
    free(observations->row);
    *observations = (bf_observations){0};
}
