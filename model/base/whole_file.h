/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Open files that are not ours to close, read and written as a whole: beside files.h. */
#ifndef BF_BASE_WHOLE_FILE_H
#define BF_BASE_WHOLE_FILE_H

#include "brinefront/files.h"

BF_MUST_CHECK bf_status bf__write_descriptor(int file, const char *name, const void *bytes,
                                             size_t length, bf_error *err);

/* As bf_file_read() reads. */
BF_MUST_CHECK bf_status bf__read_descriptor(int file, const char *name, const char *what,
                                            size_t most, char **text, size_t *length,
                                            bf_error *err);

#endif
