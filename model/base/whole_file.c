/* SPDX-License-Identifier: GPL-3.0-or-later */
#define _XOPEN_SOURCE 700 /* realpath() */

#include "base/whole_file.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static bf_status cannot_write(const char *name, int reason, bf_error *err)
{
    return bf_error_set(err, BF_E_WRITE, name, "cannot write %s: %s", name, strerror(reason));
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
    for (int k = 0; k < 1000 && file < 0 && errno == EEXIST; k++) {
        (void)snprintf(name, room, "%s.%ld-%d", target, (long)getpid(), k);
        file = open(name, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
    }
    return file;
}

bf_status bf__whole_file_may_write(const char *file_name, bf_error *err)
{
    struct stat there;
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

bf_status bf__whole_file_write(const char *file_name, const void *bytes, size_t length,
                               bf_error *err)
{
    bf_status status = BF_OK;
    struct stat there;
    int is_special = stat(file_name, &there) == 0 && !S_ISREG(there.st_mode);
    /* Behind a symbolic link the file it names is replaced, not the link. */
    char *named = realpath(file_name, NULL);
    const char *target = named != NULL ? named : file_name;
    size_t room = strlen(target) + 32;
    char *beside = malloc(room);
    int file = -1;
    int made = 0;
    int reason = 0;
    if (beside == NULL) {
        free(named);
        return bf_error_set(err, BF_E_MEMORY, file_name, "no memory to write %s", file_name);
    }
    if (is_special) { /* a device or a pipe cannot be replaced: write into it */
        file = open(file_name, O_WRONLY | O_CLOEXEC);
    } else {
        file = open_beside(target, beside, room);
        made = file >= 0;
    }
    if (file < 0) {
        reason = errno;
        goto done;
    }
    reason = write_all(file, bytes, length);
    if (made && reason == 0) {
        /* A new file has the mode that the user's mask gives it, one that is replaced keeps its. */
        const int keeps = stat(target, &there) == 0;
        reason = (keeps && fchmod(file, there.st_mode & 0777) != 0) || fsync(file) != 0 ? errno : 0;
    }
    if (close(file) != 0 && reason == 0) {
        reason = errno;
    }
    if (made && reason == 0 && rename(beside, target) != 0) {
        reason = errno;
    }
    if (made && reason != 0) {
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

bf_status bf__whole_file_read(const char *file_name, unsigned char **bytes, size_t *length,
                              bf_error *err)
{
    *bytes = NULL;
    *length = 0;
    FILE *file = fopen(file_name, "rb");
    struct stat there;
    if (file == NULL || fstat(fileno(file), &there) != 0) {
        int reason = errno;
        if (file != NULL) {
            (void)fclose(file);
        }
        return bf_error_set(err, BF_E_FILE, file_name, "cannot read %s: %s", file_name,
                            strerror(reason));
    }
    const size_t room = S_ISREG(there.st_mode) ? (size_t)there.st_size : 0;
    unsigned char *read = malloc(room + 1);
    bf_status status = BF_OK;
    if (read == NULL) {
        status = bf_error_set(err, BF_E_MEMORY, file_name, "no memory to read %s", file_name);
    } else if (!S_ISREG(there.st_mode) || fread(read, 1, room, file) != room) {
        status = bf_error_set(err, BF_E_FILE, file_name, "cannot read %s: %s", file_name,
                              S_ISREG(there.st_mode) ? "it ends early" : "it is no ordinary file");
    }
    (void)fclose(file);
    if (status == BF_OK) {
        *bytes = read;
        *length = room;
    } else {
        free(read);
    }
    return status;
}
