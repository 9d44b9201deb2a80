/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Output whole or not at all. */
#include "base/whole_file.h"
#include "brinefront/report.h"

#include <stdlib.h>
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

bf_status bf_output_check(const char *file_name, bf_error *err)
{
    return file_name == NULL ? BF_OK : bf__whole_file_may_write(file_name, err);
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

bf_status bf_output_deliver(bf_output *output, const char *file_name, bf_error *err)
{
    int failed = ferror(output->stream);
    failed = fclose(output->stream) != 0 || failed;
    output->stream = NULL;
    if (failed) {
        return bf_error_set(err, BF_E_MEMORY, "output", "no memory for the output");
    }
    /* Standard output is not ours to close: a failing one shows at the write itself. */
    return file_name == NULL ? bf__write_descriptor(STDOUT_FILENO, "standard output", output->text,
                                                    output->length, err)
                             : bf__whole_file_write(file_name, output->text, output->length, err);
}
