/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A case file as a flat list of values, each with its path and its place in the file.
 *
 *     water:
 *       hardness: 350 mg/L as CaCO3      -> water.hardness   "350 mg/L as CaCO3"   2:13
 *     doses: [5 lb/ft3, 10 lb/ft3]       -> doses[0], doses[1]
 *
 * A case file is the plain part of YAML: one document, a mapping at the top, mappings, lists and
 * scalars below it. No anchors, aliases, tags; a key stands once and is made of letters, digits,
 * "_" and "-", so that a path reads in one way only. A scalar is text: 5, "5" and yes are strings
 * here. What a key means is not looked at.
 */
#ifndef BF_CASE_FILE_YAML_H
#define BF_CASE_FILE_YAML_H

#include "brinefront/status.h"

#include <stddef.h>

enum {
    BF__YAML_BYTES_MAX = 1 << 20,
    BF__YAML_DEPTH_MAX = 6,      /* mappings and lists inside each other, the top one counted */
    BF__YAML_ENTRIES_MAX = 4096, /* values, and keys: finding a repeated key compares them all */
    BF__YAML_KEY_MAX = 64,       /* bytes in a key */
    BF__YAML_FINDINGS_MAX = 50   /* then the rest is not read */
};

/* One value. Lines and columns count from 1, columns in characters. */
typedef struct bf__yaml_entry {
    char *path;
    char *value;   /* without control characters other than line feed and tab */
    long key_line; /* of the key; for an item of a list, of the list's key */
    long key_column;
    long line; /* of the first character of the value, behind an opening quote */
    long column;
} bf__yaml_entry;

/* Start from {0}. The entries are in the order of the file. */
typedef struct bf__yaml {
    bf__yaml_entry *entries;
    size_t count;
    size_t room;
} bf__yaml;

/* Read a case file; "-" is standard input. Everything but a regular file is refused without
 * waiting for it.
 *
 * Each thing wrong is a note of kind BF_NOTE_FINDING, up to the first that leaves nothing to go on
 * with (a syntax error, a second document, too much nesting); the first of them is also the error,
 * whose `where` is the file's name.
 *
 * Returns BF_OK; BF_E_FILE for what cannot be read; BF_E_INPUT for the contents: then `out` holds
 * the values that could be read all the same, for the caller to look at before giving up;
 * BF_E_MEMORY. In every case `out` is to be freed. */
BF_MUST_CHECK bf_status bf__yaml_read_file(const char *file_name, bf__yaml *out, bf_notes *notes,
                                           bf_error *err);

/* The same from memory; `text` need not end in a zero. */
BF_MUST_CHECK bf_status bf__yaml_read_text(const char *text, size_t length, const char *name,
                                           bf__yaml *out, bf_notes *notes, bf_error *err);

/* Frees the entries and leaves {0}; NULL is fine. */
void bf__yaml_free(bf__yaml *yaml);

#endif
