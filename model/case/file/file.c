/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "case/file/file.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

bf_status bf__file_refuse(const char *name, bf_status code, const char *sentence, bf_notes *notes,
                          bf_error *err)
{
    bf_notes_add(notes, BF_NOTE_FINDING, name, "%s", sentence);
    return bf_error_set(err, code, name, "%s", sentence);
}

static bf_status refuse_for_errno(const char *name, const char *what, int number, bf_notes *notes,
                                  bf_error *err)
{
    char reason[128] = "";
    char sentence[200];
    if (strerror_r(number, reason, sizeof reason) != 0) {
        (void)snprintf(reason, sizeof reason, "error %d", number);
    }
    (void)snprintf(sentence, sizeof sentence, "%s: %s", what, reason);
    return bf__file_refuse(name, BF_E_FILE, sentence, notes, err);
}

/* Up to `room` bytes from a descriptor; -1 with errno on failure. */
static ssize_t read_all(int descriptor, char *text, size_t room)
{
    size_t length = 0;
    while (length < room) {
        ssize_t got = read(descriptor, text + length, room - length);
        if (got < 0 && errno == EINTR) {
            continue;
        }
        if (got < 0) {
            return -1;
        }
        if (got == 0) {
            break;
        }
        length += (size_t)got;
    }
    return (ssize_t)length;
}

static bf_status read_descriptor(int descriptor, const char *name, const char *what, size_t most,
                                 char **text, size_t *length, bf_notes *notes, bf_error *err)
{
    size_t room = most + 1; /* one more tells a full file from a larger one */
    *text = malloc(room);
    if (*text == NULL) {
        return bf_error_set(err, BF_E_MEMORY, name, "no memory for the %s", what);
    }
    ssize_t got = read_all(descriptor, *text, room);
    if (got < 0) {
        int number = errno;
        free(*text);
        *text = NULL;
        return refuse_for_errno(name, "the file cannot be read", number, notes, err);
    }
    *length = (size_t)got;
    return BF_OK;
}

/* What an open file is, before a byte of it is read. */
static bf_status check_kind(int descriptor, const char *name, const char *what, bf_notes *notes,
                            bf_error *err)
{
    struct stat kind;
    if (fstat(descriptor, &kind) != 0) {
        return refuse_for_errno(name, "the file cannot be read", errno, notes, err);
    }
    if (S_ISDIR(kind.st_mode)) {
        char sentence[100];
        (void)snprintf(sentence, sizeof sentence, "this is a directory, not %s %s",
                       strchr("aeiou", *what) != NULL ? "an" : "a", what);
        return bf__file_refuse(name, BF_E_FILE, sentence, notes, err);
    }
    if (!S_ISREG(kind.st_mode)) {
        return bf__file_refuse(name, BF_E_FILE,
                               "this is not a regular file; use '-' to read standard input", notes,
                               err);
    }
    return BF_OK;
}

const char *bf__file_name(const char *file_name)
{
    return strcmp(file_name, "-") == 0 ? "standard input" : file_name;
}

bf_status bf__file_read(const char *file_name, const char *what, size_t most, char **text,
                        size_t *length, bf_notes *notes, bf_error *err)
{
    *text = NULL;
    *length = 0;
    if (strcmp(file_name, "-") == 0) {
        return read_descriptor(STDIN_FILENO, bf__file_name(file_name), what, most, text, length,
                               notes, err);
    }
    /* Without O_NONBLOCK a pipe nobody writes to would keep us here. */
    int descriptor = open(file_name, O_RDONLY | O_NONBLOCK | O_NOCTTY | O_CLOEXEC);
    if (descriptor < 0) {
        return refuse_for_errno(file_name, "the file cannot be opened", errno, notes, err);
    }
    bf_status status = check_kind(descriptor, file_name, what, notes, err);
    if (status == BF_OK) {
        status = read_descriptor(descriptor, file_name, what, most, text, length, notes, err);
    }
    (void)close(descriptor);
    return status;
}
