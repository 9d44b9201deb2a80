/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Campaigns whose state is kept in a file: the one place of the studies that opens one. */
#include "brinefront/fouling_study.h"

#include "brinefront/files.h"

#include <errno.h>
#include <stdint.h>
#include <stdlib.h>
#include <unistd.h>

typedef struct place {
    const bf_campaign_batch *batch;
    const char *file_name;
} place;

static bf_status save(void *context, const void *bytes, size_t length, bf_error *err)
{
    const place *p = context;
    return bf_file_write(p->file_name, bytes, length, err);
}

static void pass_on(void *context, size_t cycle)
{
    const place *p = context;
    p->batch->resumed(p->batch->context, cycle);
}

bf_status bf_campaign_batch_run_file(const bf_campaign_batch *batch, const char *file_name,
                                     bf_campaign_series *series, bf_error *err)
{
    place p = {.batch = batch, .file_name = file_name};
    char *bytes = NULL;
    size_t length = 0;
    bf_status status = BF_OK;
    for (size_t k = 0; k < batch->count; k++) {
        series[k] = (bf_campaign_series){0};
    }
    if (access(file_name, F_OK) == 0 || errno != ENOENT) {
        bf_error inner = {0};
        status = bf_file_read(file_name, "checkpoint", SIZE_MAX / 2, &bytes, &length, &inner);
        status = status == BF_OK ? BF_OK
                                 : bf_error_set(err, status, file_name, "cannot read %s: %s",
                                                file_name, inner.message);
    }
    if (status == BF_OK) {
        bf_campaign_batch saving = *batch;
        saving.saved = bytes;
        saving.saved_length = length;
        saving.saved_name = file_name;
        saving.save = save;
        saving.resumed = batch->resumed != NULL ? pass_on : NULL;
        saving.context = &p;
        status = bf_campaign_batch_run(&saving, series, err);
    }
    free(bytes);
    return status;
}
