/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Status codes, the caller-owned error, and the list of notes. */
#include "brinefront/status.h"

#include <assert.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

typedef struct note_entry {
    bf_note_kind kind;
    long line;
    long column;
    char *where; /* owned */
    char *text;  /* owned */
} note_entry;

struct bf_notes {
    note_entry *entries;
    size_t count;
    size_t room;
    size_t lost;
};

bf_status bf_error_set(bf_error *err, bf_status code, const char *where, const char *format, ...)
{
    if (err != NULL) {
        err->code = code;
        err->line = 0;
        err->column = 0;
        (void)snprintf(err->where, sizeof err->where, "%s", where);
        va_list arguments;
        va_start(arguments, format);
        (void)vsnprintf(err->message, sizeof err->message, format, arguments);
        va_end(arguments);
    }
    return code;
}

const char *bf_status_meaning(bf_status code)
{
    switch (code) {
#define BF_STATUS_CASE(name, value, meaning)                                                       \
    case name: return meaning;
        BF_STATUS_TABLE(BF_STATUS_CASE)
#undef BF_STATUS_CASE
    }
    return "unknown status";
}

const char *bf_status_name(bf_status code)
{
    switch (code) {
#define BF_STATUS_CASE(name, value, meaning)                                                       \
    case name: return #name;
        BF_STATUS_TABLE(BF_STATUS_CASE)
#undef BF_STATUS_CASE
    }
    return "unknown";
}

bf_status bf_notes_create(bf_notes **out, bf_error *err)
{
    *out = calloc(1, sizeof **out);
    if (*out == NULL) {
        return bf_error_set(err, BF_E_MEMORY, "bf_notes_create", "no memory for a list of notes");
    }
    return BF_OK;
}

void bf_notes_free(bf_notes *notes)
{
    if (notes == NULL) {
        return;
    }
    for (size_t i = 0; i < notes->count; i++) {
        free(notes->entries[i].where);
        free(notes->entries[i].text);
    }
    free(notes->entries);
    free(notes);
}

static void add_formatted(bf_notes *notes, bf_note_kind kind, const char *where, long line,
                          long column, const char *format, va_list arguments)
    __attribute__((format(printf, 6, 0)));

static void add_formatted(bf_notes *notes, bf_note_kind kind, const char *where, long line,
                          long column, const char *format, va_list arguments)
{
    if (notes == NULL) {
        return;
    }
    if (notes->count == notes->room) {
        size_t room = notes->room == 0 ? 16 : 2 * notes->room;
        note_entry *grown = realloc(notes->entries, room * sizeof *grown);
        if (grown == NULL) {
            notes->lost++;
            return;
        }
        notes->entries = grown;
        notes->room = room;
    }
    char text[600];
    (void)vsnprintf(text, sizeof text, format, arguments);
    note_entry entry = {.kind = kind, .line = line, .column = column};
    entry.where = strdup(where);
    entry.text = strdup(text);
    if (entry.where == NULL || entry.text == NULL) {
        free(entry.where);
        free(entry.text);
        notes->lost++;
        return;
    }
    notes->entries[notes->count++] = entry;
}

void bf_notes_add(bf_notes *notes, bf_note_kind kind, const char *where, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    add_formatted(notes, kind, where, 0, 0, format, arguments);
    va_end(arguments);
}

void bf_notes_add_at(bf_notes *notes, bf_note_kind kind, const char *where, long line, long column,
                     const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    add_formatted(notes, kind, where, line, column, format, arguments);
    va_end(arguments);
}

size_t bf_notes_count(const bf_notes *notes)
{
    return notes == NULL ? 0 : notes->count;
}

size_t bf_notes_lost(const bf_notes *notes)
{
    return notes == NULL ? 0 : notes->lost;
}

bf_note bf_notes_get(const bf_notes *notes, size_t index)
{
    assert(notes != NULL && index < notes->count);
    const note_entry *entry = &notes->entries[index];
    return (bf_note){.kind = entry->kind,
                     .where = entry->where,
                     .line = entry->line,
                     .column = entry->column,
                     .text = entry->text};
}
