/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A whole file as text, for the readers of this layer. */
#ifndef BF_CASE_FILE_FILE_H
#define BF_CASE_FILE_FILE_H

#include "brinefront/status.h"

#include <stddef.h>

/* Read a file; "-" is standard input. Everything but a regular file is refused without waiting for
 * it, with a finding and the error.
 *
 * what    what it should be, for sentences: "case file"
 * most    bytes; one more is read of a larger file, so that the caller can tell
 * text    out: yours to free, also on failure (NULL then)
 *
 * Returns BF_OK, BF_E_FILE or BF_E_MEMORY. */
BF_MUST_CHECK bf_status bf__file_read(const char *file_name, const char *what, size_t most,
                                      char **text, size_t *length, bf_notes *notes, bf_error *err);

/* What stands for the file in messages: its name, or "standard input". */
const char *bf__file_name(const char *file_name);

/* A file that is refused as a whole: a finding without a place, and the error. */
bf_status bf__file_refuse(const char *name, bf_status code, const char *sentence, bf_notes *notes,
                          bf_error *err);

#endif
