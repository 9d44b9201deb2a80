/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file status.h
 * How every function of brinefront reports failure, and how it reports everything else worth
 * saying.
 *
 * A function that can fail returns a bf_status: BF_OK, or a negative code and nothing else. The
 * explanation goes into a bf_error that the caller owns. What is worth saying without being a
 * failure (an assumption that was made, a value outside practice) is a note in a bf_notes list.
 */
#ifndef BRINEFRONT_STATUS_H
#define BRINEFRONT_STATUS_H

#include <stddef.h>

#if defined(BF_BUILD)
#define BF_API __attribute__((visibility("default")))
#else
#define BF_API
#endif
#define BF_MUST_CHECK __attribute__((warn_unused_result))
#define BF_PRINTF(format_index, first_index)                                                       \
    __attribute__((format(printf, format_index, first_index)))

#ifdef __cplusplus
extern "C" {
#endif

/** Every status code: name, value, meaning. */
#define BF_STATUS_TABLE(X)                                                                         \
    X(BF_OK, 0, "done")                                                                            \
    X(BF_E_RANGE, -1, "a value lies outside the range the model is valid for")                     \
    X(BF_E_INPUT, -2, "a case file or an option says something that cannot be")                    \
    X(BF_E_FILE, -3, "a file cannot be read")                                                      \
    X(BF_E_WRITE, -4, "output cannot be written")                                                  \
    X(BF_E_MEMORY, -5, "memory ran out")                                                           \
    X(BF_E_SOLVER, -6, "the equations could not be solved to the wanted accuracy")                 \
    X(BF_E_STOPPED, -7, "it was asked to stop before it was done")

typedef enum bf_status {
#define BF_STATUS_ENUM(name, value, meaning) name = (value),
    BF_STATUS_TABLE(BF_STATUS_ENUM)
#undef BF_STATUS_ENUM
} bf_status;

/** What went wrong, in one sentence that says what to change. Caller-owned; start from {0}. */
typedef struct bf_error {
    bf_status code;
    char where[96];    /**< function, file or option the sentence is about */
    long line;         /**< line in the file, 1-based; 0 where there is none */
    long column;       /**< column in the file, 1-based; 0 where there is none */
    char message[400]; /**< one sentence, no trailing newline */
} bf_error;

/**
 * Fill an error and return its code, so that failing is one line:
 * `return bf_error_set(err, BF_E_RANGE, "bf_bed_spec_check", "depth is %g m; ...", depth);`
 *
 * @param err  may be NULL: then only the code is returned
 */
BF_API bf_status bf_error_set(bf_error *err, bf_status code, const char *where, const char *format,
                              ...) BF_PRINTF(4, 5);

/** The meaning of a code, e.g. "memory ran out"; never NULL. */
BF_API const char *bf_status_meaning(bf_status code);

/** The name of a code, e.g. "BF_E_MEMORY"; never NULL. */
BF_API const char *bf_status_name(bf_status code);

/**
 * Watches a long computation from outside; {0}: nobody does.
 *
 * A computation that is asked to stop returns BF_E_STOPPED and leaves what it has found readable.
 */
typedef struct bf_watch {
    /** Called now and then, from any thread but never two at once, with the share that is done,
     *  0 .. 1. Nonzero asks to stop soon: what has begun is finished, nothing new begins. */
    int (*tell)(void *context, double share);
    void *context;
} bf_watch;

typedef enum bf_note_kind {
    BF_NOTE_ASSUMED, /**< a value nobody stated was filled in */
    BF_NOTE_DEDUCED, /**< a value follows from those stated */
    BF_NOTE_CAUTION, /**< the result deserves less trust, or practice differs */
    BF_NOTE_FINDING  /**< an error found in a file; the reader goes on to find the others */
} bf_note_kind;

typedef struct bf_note {
    bf_note_kind kind;
    const char *where; /**< what the note is about: a key, an ion, a step */
    long line;         /**< line in the file, 1-based; 0 where there is none */
    long column;       /**< column in the file, 1-based; 0 where there is none */
    const char *text;  /**< one sentence */
} bf_note;

/** A growing list of notes. */
typedef struct bf_notes bf_notes;

BF_API BF_MUST_CHECK bf_status bf_notes_create(bf_notes **out, bf_error *err);
BF_API void bf_notes_free(bf_notes *notes); /* NULL is fine */

/** Append a note; NULL notes are ignored, so that callers who do not care pass NULL. A list that
 *  cannot grow keeps what it has and counts the note as lost: see bf_notes_lost(). */
BF_API void bf_notes_add(bf_notes *notes, bf_note_kind kind, const char *where, const char *format,
                         ...) BF_PRINTF(4, 5);

/** The same, for a place in a file. */
BF_API void bf_notes_add_at(bf_notes *notes, bf_note_kind kind, const char *where, long line,
                            long column, const char *format, ...) BF_PRINTF(6, 7);

BF_API size_t bf_notes_count(const bf_notes *notes);

/** Borrowed: valid until the next bf_notes_add or bf_notes_free. */
BF_API bf_note bf_notes_get(const bf_notes *notes, size_t index);

/** How many notes were lost because memory ran out. */
BF_API size_t bf_notes_lost(const bf_notes *notes);

#ifdef __cplusplus
}
#endif
#endif
