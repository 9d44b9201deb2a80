/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A case file put together from single statements, "bed.depth" and "31 in", and what came of it. */
#ifndef BF_TESTS_CASE_DRAFT_H
#define BF_TESTS_CASE_DRAFT_H

#include "brinefront/case.h"
#include "support.h"

#include <stdio.h>
#include <string.h>

enum { DRAFT_STATEMENTS = 24, DRAFT_BYTES = 4096 };

typedef struct draft {
    const char *path[DRAFT_STATEMENTS];
    const char *text[DRAFT_STATEMENTS];
    size_t count;
} draft;

/* State a value; a second statement of a path replaces the first, NULL takes it back. */
static inline void draft_set(draft *d, const char *path, const char *text)
{
    size_t index = 0;
    while (index < d->count && strcmp(d->path[index], path) != 0) {
        index++;
    }
    ck_assert_uint_lt(index, DRAFT_STATEMENTS);
    d->path[index] = path;
    d->text[index] = text;
    d->count += index == d->count;
}

static inline int draft_is_in(const char *path, const char *section)
{
    size_t width = strlen(section);
    return strncmp(path, section, width) == 0 && path[width] == '.';
}

/* The values of a section within a section, "campaign.cleaning", where the first of them stands. */
static inline void draft_write_inner(const draft *d, size_t index, size_t width, FILE *out)
{
    const char *path = d->path[index];
    for (size_t i = 0; i < index; i++) {
        if (d->text[i] != NULL && strncmp(d->path[i], path, width + 1) == 0) {
            return; /* written already */
        }
    }
    const char *section = strchr(path, '.') + 1;
    (void)fprintf(out, "  %.*s:\n", (int)(path + width - section), section);
    for (size_t i = index; i < d->count; i++) {
        if (d->text[i] != NULL && strncmp(d->path[i], path, width + 1) == 0) {
            (void)fprintf(out, "    %s: %s\n", d->path[i] + width + 1, d->text[i]);
        }
    }
}

/* The file. */
static inline size_t draft_write(const draft *d, char text[DRAFT_BYTES])
{
    static const char *const sections[] = {"water",        "bed",      "tank",
                                           "rating",       "resin",    "service",
                                           "regeneration", "campaign", "numerics"};
    FILE *out = fmemopen(text, DRAFT_BYTES, "w");
    ck_assert_ptr_nonnull(out);
    for (size_t i = 0; i < d->count; i++) {
        if (strchr(d->path[i], '.') == NULL && d->text[i] != NULL) {
            (void)fprintf(out, "%s: %s\n", d->path[i], d->text[i]);
        }
    }
    for (size_t s = 0; s < sizeof sections / sizeof *sections; s++) {
        int any = 0;
        for (size_t i = 0; i < d->count; i++) {
            if (!draft_is_in(d->path[i], sections[s]) || d->text[i] == NULL) {
                continue;
            }
            const char *name = d->path[i] + strlen(sections[s]) + 1;
            const char *dot = strchr(name, '.');
            (void)fprintf(out, "%s%s", any ? "" : sections[s], any ? "" : ":\n");
            any = 1;
            if (dot == NULL) {
                (void)fprintf(out, "  %s: %s\n", name, d->text[i]);
            } else {
                draft_write_inner(d, i, (size_t)(dot - d->path[i]), out);
            }
        }
    }
    long length = ftell(out);
    ck_assert_int_gt(length, 0);
    ck_assert_int_lt(length, DRAFT_BYTES - 1);
    ck_assert_int_eq(fclose(out), 0);
    return (size_t)length;
}

/* Read it; `notes` may be NULL. */
static inline bf_status draft_read(const draft *d, bf_case *out, bf_notes *notes, bf_error *err)
{
    char text[DRAFT_BYTES];
    size_t length = draft_write(d, text);
    return bf_case_read_text(text, length, "draft.yaml", out, notes, err);
}

/* The first finding about a path, or NULL. */
static inline const char *draft_finding(const bf_notes *notes, const char *path)
{
    for (size_t n = 0; n < bf_notes_count(notes); n++) {
        bf_note note = bf_notes_get(notes, n);
        if (note.kind == BF_NOTE_FINDING && strcmp(note.where, path) == 0) {
            return note.text;
        }
    }
    return NULL;
}

#endif
