/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Files read and written as a whole. */
#define _XOPEN_SOURCE 700 /* realpath() */

#include "base/whole_file.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

enum { REASON_BYTES = 128, FIRST_BYTES = 1 << 16 };

/* What the system calls an error: strerror() may not be called from several threads at once. */
static const char *reason_text(int number, char text[REASON_BYTES])
{
    if (strerror_r(number, text, REASON_BYTES) != 0) {
        (void)snprintf(text, REASON_BYTES, "error %d", number);
    }
    return text;
}

static bf_status cannot_write(const char *name, int reason, bf_error *err)
{
    char text[REASON_BYTES];
    return bf_error_set(err, BF_E_WRITE, name, "cannot write %s: %s", name,
                        reason_text(reason, text));
}

static bf_status cannot_read(const char *name, const char *what, int reason, bf_error *err)
{
    char text[REASON_BYTES];
    return bf_error_set(err, BF_E_FILE, name, "the file cannot be %s: %s", what,
                        reason_text(reason, text));
}

/* 0 or errno. */
static int write_all(int file, const char *text, size_t length)
{
    while (length > 0) {
        ssize_t written = write(file, text, length);
        if (written < 0 && errno != EINTR) {
            return errno;
        }
        if (written > 0) {
            text += written;
            length -= (size_t)written;
        }
    }
    return 0;
}

/* A new file beside another, by a name that nobody has. @return descriptor; -1 with errno */
static int open_beside(const char *target, char *name, size_t room)
{
    int file = -1;
    errno = EEXIST;
    /* Numerical choice: names enough, since a name is taken only where a write was cut off. */
    for (int k = 0; k < 1000 && file < 0 && errno == EEXIST; k++) {
        (void)snprintf(name, room, "%s.%ld-%d", target, (long)getpid(), k);
        file = open(name, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
    }
    return file;
}

bf_status bf_file_may_write(const char *file_name, bf_error *err)
{
    struct stat there;
    if (strcmp(file_name, "-") == 0) {
        return BF_OK; /* shows at the write itself */
    }
    if (stat(file_name, &there) == 0 && !S_ISREG(there.st_mode)) {
        if (S_ISDIR(there.st_mode)) {
            return cannot_write(file_name, EISDIR, err);
        }
        return access(file_name, W_OK) == 0 ? BF_OK : cannot_write(file_name, errno, err);
    }
    char *named = realpath(file_name, NULL);
    const char *target = named != NULL ? named : file_name;
    size_t room = strlen(target) + 32;
    char *beside = malloc(room);
    bf_status status = BF_OK;
    if (beside == NULL) {
        status = bf_error_set(err, BF_E_MEMORY, file_name, "no memory to write %s", file_name);
    } else {
        int file = open_beside(target, beside, room);
        if (file < 0) {
            status = cannot_write(file_name, errno, err);
        } else {
            (void)close(file);
            (void)unlink(beside);
        }
    }
    free(beside);
    free(named);
    return status;
}

bf_status bf_file_write(const char *file_name, const void *bytes, size_t length, bf_error *err)
{
    if (strcmp(file_name, "-") == 0) { /* not ours to close */
        return bf__write_descriptor(STDOUT_FILENO, "standard output", bytes, length, err);
    }
    bf_status status = BF_OK;
    struct stat there;
    int is_special = stat(file_name, &there) == 0 && !S_ISREG(there.st_mode);
    /* Behind a symbolic link the file it names is replaced, not the link. */
    char *named = realpath(file_name, NULL);
    const char *target = named != NULL ? named : file_name;
    size_t room = strlen(target) + 32;
    char *beside = malloc(room);
    int file = -1;
    int is_made = 0;
    int reason = 0;
    if (beside == NULL) {
        free(named);
        return bf_error_set(err, BF_E_MEMORY, file_name, "no memory to write %s", file_name);
    }
    if (is_special) { /* a device or a pipe cannot be replaced: write into it */
        file = open(file_name, O_WRONLY | O_CLOEXEC);
    } else {
        file = open_beside(target, beside, room);
        is_made = file >= 0;
    }
    if (file < 0) {
        reason = errno;
        goto done;
    }
    reason = write_all(file, bytes, length);
    if (is_made && reason == 0) {
        /* A new file has the mode that the user's mask gives it, one that is replaced keeps its. */
        const int keeps = stat(target, &there) == 0;
        reason = (keeps && fchmod(file, there.st_mode & 0777) != 0) || fsync(file) != 0 ? errno : 0;
    }
    if (close(file) != 0 && reason == 0) {
        reason = errno;
    }
    if (is_made && reason == 0 && rename(beside, target) != 0) {
        reason = errno;
    }
    if (is_made && reason != 0) {
        (void)unlink(beside);
    }
done:
    if (reason != 0) {
        status = cannot_write(file_name, reason, err);
    }
    free(beside);
    free(named);
    return status;
}

bf_status bf__write_descriptor(int file, const char *name, const void *bytes, size_t length,
                               bf_error *err)
{
    int reason = write_all(file, bytes, length);
    return reason == 0 ? BF_OK : cannot_write(name, reason, err);
}

/* ---- reading --------------------------------------------------------------------------------- */

bf_status bf__read_descriptor(int file, const char *name, const char *what, size_t most,
                              char **text, size_t *length, bf_error *err)
{
    bf_status status = BF_OK;
    char *bytes = NULL;
    size_t room = 0;
    size_t count = 0;
    *text = NULL;
    *length = 0;
    for (ssize_t got = 1; got != 0 && count <= most;) {
        if (count == room) { /* one byte beyond `most` tells a full file from a larger one */
            room = room == 0 ? FIRST_BYTES : 2 * room;
            room = room <= most ? room : most + 1;
            char *more = realloc(bytes, room);
            if (more == NULL) {
                status = bf_error_set(err, BF_E_MEMORY, name, "no memory for the %s", what);
                goto done;
            }
            bytes = more;
        }
        got = read(file, bytes + count, room - count);
        if (got < 0 && errno != EINTR) {
            status = cannot_read(name, "read", errno, err);
            goto done;
        }
        count += got > 0 ? (size_t)got : 0;
    }
    *text = bytes;
    *length = count;
    bytes = NULL;
done:
    free(bytes);
    return status;
}

/* What an open file is, before a byte of it is read. */
static bf_status check_kind(int file, const char *name, const char *what, bf_error *err)
{
    struct stat kind;
    if (fstat(file, &kind) != 0) {
        return cannot_read(name, "read", errno, err);
    }
    if (S_ISDIR(kind.st_mode)) {
        return bf_error_set(err, BF_E_FILE, name, "this is a directory, not %s %s",
                            strchr("aeiou", *what) != NULL ? "an" : "a", what);
    }
    return S_ISREG(kind.st_mode)
               ? BF_OK
               : bf_error_set(err, BF_E_FILE, name,
                              "this is not a regular file; use '-' to read standard input");
}

bf_status bf_file_read(const char *file_name, const char *what, size_t most, char **text,
                       size_t *length, bf_error *err)
{
    *text = NULL;
    *length = 0;
    if (strcmp(file_name, "-") == 0) {
        return bf__read_descriptor(STDIN_FILENO, "standard input", what, most, text, length, err);
    }
    /* Without O_NONBLOCK a pipe nobody writes to would keep us here. */
    const int file = open(file_name, O_RDONLY | O_NONBLOCK | O_NOCTTY | O_CLOEXEC);
    if (file < 0) {
        return cannot_read(file_name, "opened", errno, err);
    }
    bf_status status = check_kind(file, file_name, what, err);
    if (status == BF_OK) {
        status = bf__read_descriptor(file, file_name, what, most, text, length, err);
    }
    (void)close(file);
    return status;
}
