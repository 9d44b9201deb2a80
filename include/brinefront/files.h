/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file files.h
 * Whole files: read at once, and written so that they hold either what they held before or all of
 * what comes next.
 */
#ifndef BRINEFRONT_FILES_H
#define BRINEFRONT_FILES_H

#include "brinefront/status.h"

#ifdef __cplusplus
extern "C" {
#endif

/**
 * Read an ordinary file into memory ("-": standard input); everything else is refused without
 * waiting for it.
 *
 * @param what  what it should be, for sentences: "case file"
 * @param most  bytes; one more is read of a larger file, so that the caller can tell
 * @param text  out: yours, by free(); NULL on failure. No zero ends it
 * @return BF_OK; BF_E_FILE, BF_E_MEMORY: the error's sentence leaves the name out, `where` has it
 */
BF_API BF_MUST_CHECK bf_status bf_file_read(const char *file_name, const char *what, size_t most,
                                            char **text, size_t *length, bf_error *err);

/**
 * Write a file ("-": standard output): beside it under another name, synced, then renamed over it.
 * Behind a symbolic link the file it names is replaced; a device or a pipe is written into.
 *
 * @return BF_OK; BF_E_WRITE with the system's reason; BF_E_MEMORY
 */
BF_API BF_MUST_CHECK bf_status bf_file_write(const char *file_name, const void *bytes,
                                             size_t length, bf_error *err);

/** Whether bf_file_write() would be let: the same first steps, and nothing left behind.
 *  @return BF_OK; BF_E_WRITE; BF_E_MEMORY */
BF_API BF_MUST_CHECK bf_status bf_file_may_write(const char *file_name, bf_error *err);

#ifdef __cplusplus
}
#endif
#endif
