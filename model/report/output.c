/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Output whole or not at all. */
#define _XOPEN_SOURCE 700 /* realpath() */

#include "brinefront/report.h"

#include <errno.h>
#include <fcntl.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

bf_status bf_output_open(bf_output *output, bf_error *err)
{
    output->text = NULL;
    output->length = 0;
    output->stream = open_memstream(&output->text, &output->length);
    if (output->stream == NULL) {
        return bf_error_set(err, BF_E_MEMORY, "output", "no memory for the output");
    }
    return BF_OK;
}

void bf_output_close(bf_output *output)
{
    if (output->stream != NULL) {
        (void)fclose(output->stream);
        output->stream = NULL;
    }
    free(output->text);
    output->text = NULL;
}

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

/* Standard output is not ours to close: a failing one shows at the write itself. */
static bf_status to_standard_output(const bf_output *output, bf_error *err)
{
    int reason = write_all(STDOUT_FILENO, output->text, output->length);
    return reason == 0 ? BF_OK : cannot_write("standard output", reason, err);
}

static bf_status to_file(const bf_output *output, const char *file_name, bf_error *err)
{
    bf_status status = BF_OK;
    struct stat there;
    int is_special = stat(file_name, &there) == 0 && !S_ISREG(there.st_mode);
    /* Behind a symbolic link the file it names is replaced, not the link. */
    char *named = realpath(file_name, NULL);
    const char *target = named != NULL ? named : file_name;
    size_t room = strlen(target) + 8;
    char *beside = malloc(room);
    int file = -1;
    int made = 0;
    int reason = 0;
    if (beside == NULL) {
        free(named);
        return bf_error_set(err, BF_E_MEMORY, "output", "no memory for the output");
    }
    if (is_special) { /* a device or a pipe cannot be replaced: write into it */
        file = open(file_name, O_WRONLY | O_CLOEXEC);
    } else {
        (void)snprintf(beside, room, "%s.XXXXXX", target);
        file = mkstemp(beside);
        made = file >= 0;
    }
    if (file < 0) {
        reason = errno;
        goto done;
    }
    reason = write_all(file, output->text, output->length);
    if (made && reason == 0) {
        mode_t mask = umask(0);
        (void)umask(mask);
        mode_t mode = stat(target, &there) == 0 ? there.st_mode & 0777 : 0666 & ~mask;
        reason = fchmod(file, mode) != 0 || fsync(file) != 0 ? errno : 0;
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

bf_status bf_output_deliver(bf_output *output, const char *file_name, bf_error *err)
{
    int failed = ferror(output->stream);
    failed = fclose(output->stream) != 0 || failed;
    output->stream = NULL;
    if (failed) {
        return bf_error_set(err, BF_E_MEMORY, "output", "no memory for the output");
    }
    return file_name == NULL ? to_standard_output(output, err) : to_file(output, file_name, err);
}
