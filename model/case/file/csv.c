/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Comma-separated values after RFC 4180, record by record.
 *
 *     file   = record { line-end record };  line-end = LF | CRLF
 *     record = field { "," field };         all of a file have as many fields as its head
 *     field  = text | '"' any text, '""' for '"', line ends too '"'
 *
 * Beyond the RFC: a byte order mark, blank lines and lines that begin with # are passed over, and
 * space around a field is. What the fields mean is the caller's matter.
 */
#include "case/file/csv.h"

#include "brinefront/units.h"
#include "case/file/file.h"

#include <stdio.h>
#include <string.h>

void bf__csv_find(bf__csv *r, const char *where, long line, long column, const char *sentence)
{
    bf_notes_add_at(r->notes, BF_NOTE_FINDING, where, line, column, "%s", sentence);
    if (r->status == BF_OK) {
        r->status = bf_error_set(r->err, BF_E_INPUT, r->name, "%s: %s", where, sentence);
        if (r->err != NULL) {
            r->err->line = line;
            r->err->column = column;
        }
    }
    r->stop = r->stop || ++r->findings >= BF__CSV_FINDINGS;
}

void bf__csv_stop(bf__csv *r, const char *sentence)
{
    bf__csv_find(r, r->name, r->line, r->character, sentence);
    r->stop = 1;
}

/* Bytes of the UTF-8 character at `cursor`; 0 where there is none. */
static size_t character_bytes(const char *cursor, const char *end)
{
    const unsigned char first = (unsigned char)*cursor;
    const size_t count = first < 0x80   ? 1
                         : first < 0xC2 ? 0
                         : first < 0xE0 ? 2
                         : first < 0xF0 ? 3
                         : first < 0xF5 ? 4
                                        : 0;
    if (count > (size_t)(end - cursor)) {
        return 0;
    }
    for (size_t i = 1; i < count; i++) {
        if (((unsigned char)cursor[i] & 0xC0U) != 0x80U) {
            return 0;
        }
    }
    return count;
}

/* The text as a whole, so that what follows meets whole characters only. */
int bf__csv_check_characters(bf__csv *r)
{
    const char *begin = r->cursor;
    while (r->cursor < r->end) {
        const size_t count = character_bytes(r->cursor, r->end);
        const unsigned char c = (unsigned char)*r->cursor;
        const int ends_line = c == '\n';
        if (count == 0) {
            bf__csv_stop(r, "the file is not in UTF-8; save it as such");
            return 0;
        }
        if ((c < ' ' && c != '\t' && c != '\n' &&
             !(c == '\r' && r->cursor + 1 < r->end && r->cursor[1] == '\n')) ||
            c == 0x7F) {
            bf__csv_stop(r, "a control character: this is no table of comma-separated values");
            return 0;
        }
        r->cursor += count;
        r->line += ends_line;
        r->character = ends_line ? 1 : r->character + 1;
    }
    r->cursor = begin;
    r->line = r->character = 1;
    return 1;
}

static int is_at(const bf__csv *r, char c)
{
    return r->cursor < r->end && *r->cursor == c;
}

static int is_at_line_end(const bf__csv *r)
{
    return r->cursor == r->end || *r->cursor == '\n' || *r->cursor == '\r';
}

/* Pass over one character. */
static void step(bf__csv *r)
{
    if (*r->cursor == '\n') {
        r->line++;
        r->character = 1;
    } else {
        r->character += *r->cursor != '\r';
    }
    r->cursor += character_bytes(r->cursor, r->end);
}

static void pass_space(bf__csv *r)
{
    while (is_at(r, ' ') || is_at(r, '\t')) {
        step(r);
    }
}

static void pass_line(bf__csv *r)
{
    while (r->cursor < r->end && *r->cursor != '\n') {
        step(r);
    }
    if (r->cursor < r->end) {
        step(r);
    }
}

/* Add the character at `cursor` to a field; one that is too long is cut and found. */
static void take(bf__csv *r, bf__csv_field *field, size_t *length)
{
    const size_t count = character_bytes(r->cursor, r->end);
    if (*length + count < sizeof field->text) {
        memcpy(field->text + *length, r->cursor, count);
    } else if (*length < sizeof field->text) {
        bf__csv_find(r, r->name, field->line, field->column,
                     "this field is longer than any that is read");
        field->text[*length] = '\0';
        *length = sizeof field->text;
    }
    *length += count;
    step(r);
}

static void end_field(bf__csv_field *field, size_t length)
{
    length = length < sizeof field->text ? length : sizeof field->text - 1;
    while (length > 0 && strchr(" \t\r\n", field->text[length - 1]) != NULL) {
        length--;
    }
    field->text[length] = '\0';
    const size_t space = strspn(field->text, " \t\r\n"); /* behind an opening quote */
    memmove(field->text, field->text + space, length - space + 1);
}

static void read_quoted(bf__csv *r, bf__csv_field *field)
{
    size_t length = 0;
    const long line = r->line;
    const long character = r->character;
    step(r);
    field->line = r->line;
    field->column = r->character;
    while (r->cursor < r->end &&
           (*r->cursor != '"' || (r->cursor + 1 < r->end && r->cursor[1] == '"'))) {
        if (*r->cursor == '"') {
            step(r); /* two stand for one */
        }
        take(r, field, &length);
    }
    end_field(field, length);
    if (r->cursor == r->end) {
        bf__csv_find(r, r->name, line, character, "this quote is not closed");
        r->stop = 1;
        return;
    }
    step(r);
    pass_space(r);
    if (!is_at_line_end(r) && !is_at(r, ',')) {
        bf__csv_stop(r, "behind a closing quote a comma or the end of the line is expected; write "
                        "\"\" for a quote inside a field");
    }
}

static void read_plain(bf__csv *r, bf__csv_field *field)
{
    size_t length = 0;
    field->line = r->line;
    field->column = r->character;
    while (!is_at_line_end(r) && *r->cursor != ',') {
        if (*r->cursor == '"') {
            bf__csv_stop(r, "a quote inside a field: put the whole field in quotes, and this one "
                            "twice");
            return;
        }
        take(r, field, &length);
    }
    end_field(field, length);
}

/* The next record that says anything; zero where there is none. */
int bf__csv_read_record(bf__csv *r)
{
    while (!r->stop && r->cursor < r->end) {
        r->field_count = 0;
        if (*r->cursor == '#') {
            pass_line(r);
            continue;
        }
        int says = 0;
        int goes_on = 1;
        while (goes_on && !r->stop) {
            if (r->field_count == BF__CSV_COLUMNS) {
                bf__csv_stop(r, "more than 16 columns");
                return 0;
            }
            bf__csv_field *field = &r->fields[r->field_count++];
            pass_space(r);
            if (is_at(r, '"')) {
                read_quoted(r, field);
            } else {
                read_plain(r, field);
            }
            says = says || field->text[0] != '\0';
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

/* ---- what the readers of tables share ---------------------------------------------------------
 */

int bf__csv_plain_number(const char *text, double *value)
{
    bf_quantity q;
    if (strspn(text, "0123456789.+-eE") != strlen(text) ||
        bf_quantity_parse(text, &q, NULL) != BF_OK) {
        return 0;
    }
    *value = q.value;
    return 1;
}

size_t bf__csv_name_length(const bf__csv_field *head)
{
    const char *open = strchr(head->text, '[');
    size_t length = open == NULL ? strlen(head->text) : (size_t)(open - head->text);
    while (length > 0 && head->text[length - 1] == ' ') {
        length--;
    }
    return length;
}

int bf__csv_unit(const bf__csv_field *head, char unit[BF__CSV_FIELD_BYTES])
{
    const char *open = strchr(head->text, '[');
    const char *close = open == NULL ? NULL : strchr(open, ']');
    if (open == NULL || close == NULL || close == open + 1 || close[1] != '\0') {
        return 0;
    }
    (void)snprintf(unit, BF__CSV_FIELD_BYTES, "%.*s", (int)(close - open - 1), open + 1);
    return 1;
}

bf__csv bf__csv_of(const char *text, size_t length, const char *name, bf_notes *notes,
                   bf_error *err)
{
    if (length >= 3 && memcmp(text, "\xEF\xBB\xBF", 3) == 0) {
        text += 3;
        length -= 3;
    }
    return (bf__csv){.cursor = text,
                     .end = text + length,
                     .name = name,
                     .line = 1,
                     .character = 1,
                     .notes = notes,
                     .err = err};
}

void bf__csv_read_table(bf__csv *r, size_t length, void *reader, void (*head)(void *reader),
                        void (*row)(void *reader), const size_t *rows, const char *nothing)
{
    if (length > BF__CSV_BYTES) {
        r->status = bf__file_refuse(r->name, BF_E_INPUT, "the table is larger than 1048576 bytes",
                                    r->notes, r->err);
    } else if (bf__csv_check_characters(r)) {
        if (bf__csv_read_record(r)) {
            head(reader);
            while (bf__csv_read_record(r)) {
                row(reader);
            }
        }
        if (r->status == BF_OK && *rows == 0) {
            bf__csv_stop(r, nothing);
        }
    }
}
