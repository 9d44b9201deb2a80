/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Output whole or not at all.
 *
 * The stream is a cookie of ours, not open_memstream(): glibc 2.36 drops what does not fit in memory
 * and leaves ferror() unset (measured, tests/report/test_whole_page.c). */
#define _GNU_SOURCE /* fopencookie() */

#include "brinefront/files.h"
#include "brinefront/report.h"

#include <stdlib.h>
#include <string.h>

/* Take all of it, or none. */
static ssize_t append(void *cookie, const char *bytes, size_t count)
{
    bf_output *output = cookie;
    if (output->length + count + 1 > output->room) {
        const size_t room = 2 * (output->length + count + 1);
        char *more = realloc(output->text, room);
        if (more == NULL) {
            return 0; /* the stream remembers it as an error */
        }
        output->text = more;
        output->room = room;
    }
    (void)memcpy(output->text + output->length, bytes, count);
    output->length += count;
    output->text[output->length] = '\0';
    return (ssize_t)count;
}

bf_status bf_output_open(bf_output *output, bf_error *err)
{
    *output = (bf_output){.text = calloc(1, 1), .room = 1};
    output->stream = output->text == NULL
                         ? NULL
                         : fopencookie(output, "w", (cookie_io_functions_t){.write = append});
    if (output->stream == NULL) {
        bf_output_close(output);
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

bf_status bf_output_finish(bf_output *output, bf_error *err)
{
    int failed = ferror(output->stream);
    failed = fclose(output->stream) != 0 || failed;
    output->stream = NULL;
    return failed ? bf_error_set(err, BF_E_MEMORY, "output", "no memory for the output") : BF_OK;
}

bf_status bf_output_deliver(bf_output *output, const char *file_name, bf_error *err)
{
    const bf_status status = bf_output_finish(output, err);
    return status != BF_OK ? status
                           : bf_file_write(file_name != NULL ? file_name : "-", output->text,
                                           output->length, err);
}
