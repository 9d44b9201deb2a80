/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Files that hold either what they held before or the whole of what comes next. */
#ifndef BF_BASE_WHOLE_FILE_H
#define BF_BASE_WHOLE_FILE_H

#include "brinefront/status.h"

#include <stddef.h>

/* Written beside it under another name, synced, then renamed over it; behind a symbolic link the
 * file it names is replaced; a device or a pipe is written into. */
BF_MUST_CHECK bf_status bf__whole_file_write(const char *file_name, const void *bytes,
                                             size_t length, bf_error *err);

/* Whether that would be let: the same first steps, and nothing left behind. */
BF_MUST_CHECK bf_status bf__whole_file_may_write(const char *file_name, bf_error *err);

/* Into an open file that is not ours to close. */
BF_MUST_CHECK bf_status bf__write_descriptor(int file, const char *name, const void *bytes,
                                             size_t length, bf_error *err);

/* An ordinary file into memory; everything else is refused without waiting for it.
 *
 * what    what it should be, for sentences: "case file"
 * most    bytes; one more is read of a larger file, so that the caller can tell
 * text    out: yours, by free(); NULL on failure. No zero ends it.
 *
 * Returns BF_OK, BF_E_FILE or BF_E_MEMORY; the error's sentence leaves the name out. */
BF_MUST_CHECK bf_status bf__whole_file_read(const char *file_name, const char *what, size_t most,
                                            char **text, size_t *length, bf_error *err);

/* The same from an open file, such as standard input, that is not ours to close. */
BF_MUST_CHECK bf_status bf__read_descriptor(int file, const char *name, const char *what,
                                            size_t most, char **text, size_t *length,
                                            bf_error *err);

#endif
