/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A table of observations: comma-separated values after RFC 4180, and what its columns mean.
 *
 *     # a remark
 *     date, capacity [kgr/ft3], pressure_drop [psi], iron_on_resin [g/ft3], moisture [%]
 *     2021-09-30, 24.1, 6.5, , 46.5
 *
 *     file   = record { line-end record };  line-end = LF | CRLF
 *     record = field { "," field };         all of a file have as many fields as its head
 *     field  = text | '"' any text, '""' for '"', line ends too '"'
 *
 * Beyond the RFC: a byte order mark, blank lines and lines that begin with # are passed over, and
 * space around a field is. A head names each column and, in brackets, its unit (units.h); a field
 * is a plain number in that unit, so that no unit stands twice. capacity and iron_on_resin may be
 * of the whole bed (kgr, eq; g, lb): the case knows its volume.
 */
#include "case/observations.h"

#include "base/nearest.h"
#include "brinefront/units.h"
#include "case/date.h"
#include "case/file.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { FIELD_BYTES = 120 };

typedef struct field {
    char text[FIELD_BYTES]; /* without the space around it */
    long line, column;      /* of its first character, behind an opening quote */
} field;

/* What a column may be: the observed first, in the order of bf_observed. */
enum { COLUMN_DATE = BF_OBSERVED_COUNT, COLUMN_DAY, COLUMN_KINDS };

static const struct {
    const char *name;
    bf_dimension dimension; /* and as it is counted for the whole bed */
    bf_dimension of_bed;
    double least, most; /* SI; what a softening bed can show */
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
    const char *at, *end;
    const char *name;
    long line, character; /* of `at`, from 1 */
    const bf_case *of;
    double start; /* days since 1970-01-01; NAN where the case has none */
    bf_observations *out;
    bf_notes *notes;
    bf_error *err;
    bf_status status;
    int stop; /* nothing to go on with */
    size_t findings;
    field fields[BF__OBSERVATIONS_COLUMNS_MAX];
    size_t field_count;
    column columns[BF__OBSERVATIONS_COLUMNS_MAX];
    size_t column_count;
} reader;

static void finding(reader *r, const char *where, long line, long at, const char *sentence)
{
    bf_notes_add_at(r->notes, BF_NOTE_FINDING, where, line, at, "%s", sentence);
    if (r->status == BF_OK) {
        r->status = bf_error_set(r->err, BF_E_INPUT, r->name, "%s: %s", where, sentence);
        if (r->err != NULL) {
            r->err->line = line;
            r->err->column = at;
        }
    }
    r->stop = r->stop || ++r->findings >= BF__OBSERVATIONS_FINDINGS_MAX;
}

static void stop_here(reader *r, const char *sentence)
{
    finding(r, r->name, r->line, r->character, sentence);
    r->stop = 1;
}

/* ---- RFC 4180 -------------------------------------------------------------------------------- */

/* Bytes of the UTF-8 character at `at`; 0 where there is none. */
static size_t character_bytes(const char *at, const char *end)
{
    const unsigned char first = (unsigned char)*at;
    const size_t count = first < 0x80   ? 1
                         : first < 0xC2 ? 0
                         : first < 0xE0 ? 2
                         : first < 0xF0 ? 3
                         : first < 0xF5 ? 4
                                        : 0;
    if (count > (size_t)(end - at)) {
        return 0;
    }
    for (size_t i = 1; i < count; i++) {
        if (((unsigned char)at[i] & 0xC0U) != 0x80U) {
            return 0;
        }
    }
    return count;
}

/* The text as a whole, so that what follows meets whole characters only. */
static int check_characters(reader *r)
{
    const char *begin = r->at;
    while (r->at < r->end) {
        const size_t count = character_bytes(r->at, r->end);
        const unsigned char c = (unsigned char)*r->at;
        const int ends_line = c == '\n';
        if (count == 0) {
            stop_here(r, "the file is not in UTF-8; save it as such");
            return 0;
        }
        if ((c < ' ' && c != '\t' && c != '\n' &&
             !(c == '\r' && r->at + 1 < r->end && r->at[1] == '\n')) ||
            c == 0x7F) {
            stop_here(r, "a control character: this is no table of comma-separated values");
            return 0;
        }
        r->at += count;
        r->line += ends_line;
        r->character = ends_line ? 1 : r->character + 1;
    }
    r->at = begin;
    r->line = r->character = 1;
    return 1;
}

static int is_at(const reader *r, char c)
{
    return r->at < r->end && *r->at == c;
}

static int is_at_line_end(const reader *r)
{
    return r->at == r->end || *r->at == '\n' || *r->at == '\r';
}

/* Pass over one character. */
static void step(reader *r)
{
    if (*r->at == '\n') {
        r->line++;
        r->character = 1;
    } else {
        r->character += *r->at != '\r';
    }
    r->at += character_bytes(r->at, r->end);
}

static void pass_space(reader *r)
{
    while (is_at(r, ' ') || is_at(r, '\t')) {
        step(r);
    }
}

static void pass_line(reader *r)
{
    while (r->at < r->end && *r->at != '\n') {
        step(r);
    }
    if (r->at < r->end) {
        step(r);
    }
}

/* Add the character at `at` to a field; one that is too long is cut and found. */
static void take(reader *r, field *to, size_t *length)
{
    const size_t count = character_bytes(r->at, r->end);
    if (*length + count < sizeof to->text) {
        memcpy(to->text + *length, r->at, count);
    } else if (*length < sizeof to->text) {
        finding(r, r->name, to->line, to->column, "this field is longer than any that is read");
        to->text[*length] = '\0';
        *length = sizeof to->text;
    }
    *length += count;
    step(r);
}

static void end_field(field *of, size_t length)
{
    length = length < sizeof of->text ? length : sizeof of->text - 1;
    while (length > 0 && strchr(" \t\r\n", of->text[length - 1]) != NULL) {
        length--;
    }
    of->text[length] = '\0';
    const size_t space = strspn(of->text, " \t\r\n"); /* behind an opening quote */
    memmove(of->text, of->text + space, length - space + 1);
}

static void read_quoted(reader *r, field *to)
{
    size_t length = 0;
    const long line = r->line;
    const long character = r->character;
    step(r);
    to->line = r->line;
    to->column = r->character;
    while (r->at < r->end && (*r->at != '"' || (r->at + 1 < r->end && r->at[1] == '"'))) {
        if (*r->at == '"') {
            step(r); /* two stand for one */
        }
        take(r, to, &length);
    }
    end_field(to, length);
    if (r->at == r->end) {
        finding(r, r->name, line, character, "this quote is not closed");
        r->stop = 1;
        return;
    }
    step(r);
    pass_space(r);
    if (!is_at_line_end(r) && !is_at(r, ',')) {
        stop_here(r, "behind a closing quote a comma or the end of the line is expected; write "
                     "\"\" for a quote inside a field");
    }
}

static void read_plain(reader *r, field *to)
{
    size_t length = 0;
    to->line = r->line;
    to->column = r->character;
    while (!is_at_line_end(r) && *r->at != ',') {
        if (*r->at == '"') {
            stop_here(r, "a quote inside a field: put the whole field in quotes, and this one "
                         "twice");
            return;
        }
        take(r, to, &length);
    }
    end_field(to, length);
}

/* The next record that says anything; zero where there is none. */
static int read_record(reader *r)
{
    while (!r->stop && r->at < r->end) {
        r->field_count = 0;
        if (*r->at == '#') {
            pass_line(r);
            continue;
        }
        int says = 0;
        int goes_on = 1;
        while (goes_on && !r->stop) {
            if (r->field_count == BF__OBSERVATIONS_COLUMNS_MAX) {
                stop_here(r, "more than 16 columns");
                return 0;
            }
            field *to = &r->fields[r->field_count++];
            pass_space(r);
            if (is_at(r, '"')) {
                read_quoted(r, to);
            } else {
                read_plain(r, to);
            }
            says = says || to->text[0] != '\0';
            goes_on = is_at(r, ',');
            if (goes_on) {
                step(r);
            }
        }
        if (r->stop) {
            return 0;
        }
        pass_line(r);
        if (says) {
            return 1;
        }
    }
    return 0;
}

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
    finding(r, length > 0 ? where : r->name, head->line, head->column, sentence);
}

/* The SI value of a quantity for a column. */
static bf_status convert(const reader *r, size_t kind, const bf_quantity *q, double *value,
                         bf_error *err)
{
    if (q->dimension == column_kinds[kind].of_bed &&
        column_kinds[kind].of_bed != column_kinds[kind].dimension && q->basis != BF_BASIS_ION) {
        *value = q->value / bf_bed_volume_m3(&r->of->rating.bed);
        return BF_OK;
    }
    return bf_quantity_as(q, column_kinds[kind].dimension, value, err);
}

/* The unit in brackets behind a name that takes one. */
static void read_unit(reader *r, const field *head, column *to, const char *open)
{
    char sentence[700];
    const char *name = column_kinds[to->kind].name;
    const char *example = column_kinds[to->kind].example;
    const char *close = open == NULL ? NULL : strchr(open, ']');
    if (open == NULL || close == NULL || close == open + 1 || close[1] != '\0') {
        (void)snprintf(sentence, sizeof sentence,
                       "write the unit in brackets behind the name: %s [%s]", name, example);
        finding(r, name, head->line, head->column, sentence);
        to->kind = COLUMN_KINDS;
        return;
    }
    (void)snprintf(to->unit, sizeof to->unit, "%.*s", (int)(close - open - 1), open + 1);
    char one[FIELD_BYTES + 4];
    bf_quantity q;
    double value;
    bf_error err = {0};
    (void)snprintf(one, sizeof one, "1 %s", to->unit);
    bf_status status = bf_quantity_parse(one, &q, &err);
    status = status == BF_OK ? convert(r, to->kind, &q, &value, &err) : status;
    if (status != BF_OK) {
        (void)snprintf(sentence, sizeof sentence, "[%s]: %s; an example is [%s]", to->unit,
                       err.message, example);
        finding(r, name, head->line, head->column, sentence);
        to->kind = COLUMN_KINDS;
    }
}

static void read_head(reader *r)
{
    size_t seen[COLUMN_KINDS + 1] = {0};
    r->column_count = r->field_count;
    for (size_t c = 0; c < r->field_count; c++) {
        const field *head = &r->fields[c];
        column *to = &r->columns[c];
        const char *open = strchr(head->text, '[');
        size_t length = open == NULL ? strlen(head->text) : (size_t)(open - head->text);
        while (length > 0 && head->text[length - 1] == ' ') {
            length--;
        }
        to->kind = find_kind(head->text, length);
        if (to->kind == COLUMN_KINDS) {
            find_unknown_column(r, head, length);
            seen[COLUMN_KINDS]++;
            continue;
        }
        const char *name = column_kinds[to->kind].name;
        if (seen[to->kind]++ > 0) {
            finding(r, name, head->line, head->column, "this column is there twice");
            to->kind = COLUMN_KINDS;
        } else if (to->kind < BF_OBSERVED_COUNT) {
            read_unit(r, head, to, open);
        } else if (open != NULL) {
            finding(r, name, head->line, head->column, "takes no unit: leave the brackets out");
        } else if (to->kind == COLUMN_DATE && isnan(r->start)) {
            finding(r, name, head->line, head->column,
                    "the case does not state campaign.start, so a date says nothing: state it, or "
                    "give `day`, days since the beginning");
        }
    }
    const field *first = &r->fields[0];
    size_t observed = 0;
    for (size_t kind = 0; kind < BF_OBSERVED_COUNT; kind++) {
        observed += seen[kind];
    }
    if (seen[COLUMN_DATE] + seen[COLUMN_DAY] != 1 && seen[COLUMN_KINDS] == 0) {
        finding(r, r->name, first->line, first->column,
                seen[COLUMN_DATE] > 0 ? "date and day say the same thing: leave one out"
                                      : "no column says when: add date, or day");
    }
    if (observed == 0 && seen[COLUMN_KINDS] == 0) {
        finding(r, r->name, first->line, first->column,
                "no column tells anything: add capacity, pressure_drop, iron_on_resin, moisture, "
                "softened_hardness or softened_iron");
    }
}

/* ---- rows ------------------------------------------------------------------------------------ */

static int is_plain_number(const char *text, double *value)
{
    bf_quantity q;
    if (strspn(text, "0123456789.+-eE") != strlen(text) ||
        bf_quantity_parse(text, &q, NULL) != BF_OK) {
        return 0;
    }
    *value = q.value;
    return 1;
}

/* A number in the column's unit; a finding and NAN where it is none. */
static double read_value(reader *r, const field *from, const column *of)
{
    char sentence[600];
    char text[2 * FIELD_BYTES + 4];
    const char *name = column_kinds[of->kind].name;
    bf_quantity q;
    double value;
    bf_error err = {0};
    if (!is_plain_number(from->text, &value)) {
        (void)snprintf(sentence, sizeof sentence,
                       "\"%s\" is not a number with a decimal point; its unit stands in the head",
                       from->text);
        finding(r, name, from->line, from->column, sentence);
        return (double)NAN;
    }
    (void)snprintf(text, sizeof text, "%s %s", from->text, of->unit);
    bf_status status = bf_quantity_parse(text, &q, &err);
    status = status == BF_OK ? convert(r, of->kind, &q, &value, &err) : status;
    if (status != BF_OK) {
        finding(r, name, from->line, from->column, err.message);
        return (double)NAN;
    }
    if (!(value >= column_kinds[of->kind].least && value <= column_kinds[of->kind].most)) {
        (void)snprintf(sentence, sizeof sentence, "\"%s\" %s is out of range; accepted are %s",
                       from->text, of->unit, column_kinds[of->kind].accepted);
        finding(r, name, from->line, from->column, sentence);
        return (double)NAN;
    }
    return value;
}

/* Days since the campaign began; a finding and NAN where the field does not say. */
static double read_when(reader *r, const field *from, const column *of)
{
    char sentence[400];
    const char *name = column_kinds[of->kind].name;
    double day = (double)NAN;
    if (of->kind == COLUMN_DATE && bf__date_read(from->text, &day)) {
        day -= isnan(r->start) ? day : r->start; /* without a start the head has its finding */
    } else if (of->kind == COLUMN_DATE || !is_plain_number(from->text, &day)) {
        (void)snprintf(sentence, sizeof sentence, "\"%s\" is not %s", from->text,
                       of->kind == COLUMN_DATE ? "a date such as 2021-04-01"
                                               : "a number of days since the beginning");
        finding(r, name, from->line, from->column, sentence);
        return (double)NAN;
    }
    if (day < 0.0) {
        (void)snprintf(sentence, sizeof sentence, "%s is before the campaign begins%s%s",
                       from->text, of->kind == COLUMN_DATE ? ", on " : "",
                       of->kind == COLUMN_DATE ? r->of->campaign.start : "");
        finding(r, name, from->line, from->column, sentence);
        return (double)NAN;
    }
    return day;
}

static void check_day(reader *r, const char *name, const field *from, double day)
{
    char sentence[200];
    const bf_observations *so_far = r->out;
    if (so_far->count > 0 && day < so_far->row[so_far->count - 1].day) {
        (void)snprintf(sentence, sizeof sentence,
                       "rows go by time, and this one is earlier than that of line %ld",
                       so_far->row[so_far->count - 1].line);
        finding(r, name, from->line, from->column, sentence);
    }
    if (r->of->campaign.is_stated && day > r->of->campaign.duration_days) {
        bf_notes_add_at(r->notes, BF_NOTE_CAUTION, name, from->line, from->column,
                        "lies behind the end of the campaign, day %.6g: nothing is computed there",
                        r->of->campaign.duration_days);
    }
}

static void add_row(reader *r, const bf_observation *row)
{
    bf_observations *to = r->out;
    if ((to->count & (to->count - 1)) == 0) { /* 0, 1, 2, 4, ...: full */
        const size_t room = to->count == 0 ? 1 : 2 * to->count;
        bf_observation *more = realloc(to->row, room * sizeof *more);
        if (more == NULL) {
            r->status = bf_error_set(r->err, BF_E_MEMORY, r->name, "no memory for observations");
            r->stop = 1;
            return;
        }
        to->row = more;
    }
    to->row[to->count++] = *row;
}

static void read_row(reader *r)
{
    char sentence[200];
    bf_observation row = {.line = r->fields[0].line, .day = (double)NAN};
    const field *when = NULL;
    const char *name = NULL;
    size_t told = 0;
    for (size_t v = 0; v < BF_OBSERVED_COUNT; v++) {
        row.value[v] = (double)NAN;
    }
    if (r->field_count != r->column_count) {
        (void)snprintf(sentence, sizeof sentence, "%zu fields where the head has %zu",
                       r->field_count, r->column_count);
        const size_t at = r->field_count < r->column_count ? r->field_count - 1 : r->column_count;
        finding(r, r->name, r->fields[at].line, r->fields[at].column, sentence);
        return;
    }
    for (size_t c = 0; c < r->column_count && !r->stop; c++) {
        const column *of = &r->columns[c];
        const field *from = &r->fields[c];
        if (of->kind == COLUMN_DATE || of->kind == COLUMN_DAY) {
            when = from;
            name = column_kinds[of->kind].name;
            row.day = read_when(r, from, of);
        } else if (from->text[0] != '\0') {
            told++;
            if (of->kind != COLUMN_KINDS) {
                row.value[of->kind] = read_value(r, from, of);
            }
        }
    }
    if (told == 0) {
        finding(r, r->name, row.line, r->fields[0].column, "this row tells nothing but its day");
    }
    if (when != NULL && !isnan(row.day)) {
        check_day(r, name, when, row.day);
        add_row(r, &row);
    }
}

/* ---- all of it ------------------------------------------------------------------------------- */

bf_status bf__observations_read_text(const char *text, size_t length, const char *name,
                                     const bf_case *of, bf_observations *out, bf_notes *notes,
                                     bf_error *err)
{
    reader *r = calloc(1, sizeof *r);
    *out = (bf_observations){0};
    if (r == NULL) {
        return bf_error_set(err, BF_E_MEMORY, name, "no memory for observations");
    }
    if (length >= 3 && memcmp(text, "\xEF\xBB\xBF", 3) == 0) {
        text += 3;
        length -= 3;
    }
    *r = (reader){.at = text,
                  .end = text + length,
                  .name = name,
                  .line = 1,
                  .character = 1,
                  .of = of,
                  .out = out,
                  .notes = notes,
                  .err = err};
    if (!bf__date_read(of->campaign.start, &r->start)) {
        r->start = (double)NAN;
    }
    if (length > BF__OBSERVATIONS_BYTES_MAX) {
        r->status =
            bf__file_refuse(name, BF_E_INPUT, "the table is larger than 1048576 bytes", notes, err);
    } else if (check_characters(r)) {
        if (read_record(r)) {
            read_head(r);
            while (read_record(r)) {
                read_row(r);
            }
        }
        if (r->status == BF_OK && out->count == 0) {
            stop_here(r, "the table holds no observation");
        }
    }
    const bf_status status = r->status;
    if (status != BF_OK) {
        bf_observations_free(out);
    }
    free(r);
    return status;
}

bf_status bf_observations_read(const char *file_name, const bf_case *of, bf_observations *out,
                               bf_notes *notes, bf_error *err)
{
    char *text = NULL;
    size_t length = 0;
    *out = (bf_observations){0};
    bf_status status = bf__file_read(file_name, "table of observations", BF__OBSERVATIONS_BYTES_MAX,
                                     &text, &length, notes, err);
    if (status == BF_OK) {
        status =
            bf__observations_read_text(text, length, bf__file_name(file_name), of, out, notes, err);
    }
    free(text);
    return status;
}

void bf_observations_free(bf_observations *observations)
{
    free(observations->row);
    *observations = (bf_observations){0};
}
