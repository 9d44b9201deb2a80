/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A file, or standard input, as text, with a finding where there is none. */
#include "case/file/file.h"

#include "brinefront/files.h"

#include <string.h>

bf_status bf__file_refuse(const char *name, bf_status code, const char *sentence, bf_notes *notes,
                          bf_error *err)
{
    bf_notes_add(notes, BF_NOTE_FINDING, name, "%s", sentence);
    return bf_error_set(err, code, name, "%s", sentence);
}

const char *bf__file_name(const char *file_name)
{
    return strcmp(file_name, "-") == 0 ? "standard input" : file_name;
}

bf_status bf__file_read(const char *file_name, const char *what, size_t most, char **text,
                        size_t *length, bf_notes *notes, bf_error *err)
{
    const char *name = bf__file_name(file_name);
    bf_error inner = {0};
    const bf_status status = bf_file_read(file_name, what, most, text, length, &inner);
    if (status == BF_E_FILE) {
        return bf__file_refuse(name, status, inner.message, notes, err);
    }
    return status == BF_OK ? BF_OK : bf_error_set(err, status, name, "%s", inner.message);
}
