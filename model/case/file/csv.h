/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A table of comma-separated values while it is being read. */
#ifndef BF_CASE_FILE_CSV_H
#define BF_CASE_FILE_CSV_H

#include "brinefront/status.h"

#include <stddef.h>

enum {
    BF__CSV_BYTES = 1 << 20, /* of a file, the most that is read */
    BF__CSV_COLUMNS = 16,
    BF__CSV_FINDINGS = 50, /* then the rest is not read */
    BF__CSV_FIELD_BYTES = 120
};

typedef struct bf__csv_field {
    char text[BF__CSV_FIELD_BYTES]; /* without the space around it */
    long line, column;              /* of its first character, behind an opening quote */
} bf__csv_field;

typedef struct bf__csv {
    const char *cursor, *end;
    const char *name;     /* stands for the file in messages */
    long line, character; /* of `cursor`, from 1 */
    bf_notes *notes;
    bf_error *err;
    bf_status status; /* the first finding's */
    int stop;         /* nothing to go on with */
    size_t findings;
    bf__csv_field fields[BF__CSV_COLUMNS];
    size_t field_count;
} bf__csv;

/* Begin a text, which need not end in a zero; a byte order mark is passed over. */
bf__csv bf__csv_of(const char *text, size_t length, const char *name, bf_notes *notes,
                   bf_error *err);

/* Add a finding; the first becomes the error. */
void bf__csv_find(bf__csv *r, const char *where, long line, long column, const char *sentence);
/* The same where the reader stands, and nothing more is read. */
void bf__csv_stop(bf__csv *r, const char *sentence);

/* The text as a whole, so that what follows meets whole characters only. Nonzero: all are. */
int bf__csv_check_characters(bf__csv *r);
/* The next record that says anything; zero where there is none. */
int bf__csv_read_record(bf__csv *r);

/* A whole table: its size and characters are checked, then `head` and `row` are called with a
 * record in the fields each. `nothing` is the finding where *rows is zero at the end. */
void bf__csv_read_table(bf__csv *r, size_t length, void *reader, void (*head)(void *reader),
                        void (*row)(void *reader), const size_t *rows, const char *nothing);

/* A number and nothing else. */
int bf__csv_plain_number(const char *text, double *value);
/* Of a head "capacity [kgr/ft3]": bytes of its name, and its unit; zero where there is no unit. */
size_t bf__csv_name_length(const bf__csv_field *head);
int bf__csv_unit(const bf__csv_field *head, char unit[BF__CSV_FIELD_BYTES]);

#endif
