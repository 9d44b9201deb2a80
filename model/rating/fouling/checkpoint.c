/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The file of a checkpoint, numbers as the machine holds them:
 *
 *     "brinefront campaigns\n" | 0x01020304 | bytes of a cycle | count
 *     each campaign: fingerprint | cycles | bytes of state | state word | state | cycles
 *     CRC-32 of all before it
 *
 * All numbers but the CRC are 8 bytes. It serves the version and the kind of machine that wrote it;
 * others say so, as far as order and size of what they hold tell.
 */
#include "rating/fouling/checkpoint.h"

#include "base/whole_file.h"

#include <errno.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>
#include <zlib.h>

static const char magic[] = "brinefront campaigns\n"; /* written without its final zero */
static const uint64_t byte_order = 0x01020304;
enum { MAGIC = sizeof magic - 1, NUMBER = sizeof(uint64_t), CHECK = 4, HEAD = 4 };

/* ---- bytes ----------------------------------------------------------------------------------- */

static unsigned char *put(unsigned char *to, const void *bytes, size_t length)
{
    if (length > 0) {
        memcpy(to, bytes, length);
    }
    return to + length;
}

static unsigned char *put_number(unsigned char *to, uint64_t number)
{
    return put(to, &number, sizeof number);
}

static uint64_t number_at(const unsigned char *from)
{
    uint64_t number;
    memcpy(&number, from, sizeof number);
    return number;
}

static uint32_t check_of(const unsigned char *bytes, size_t length)
{
    return (uint32_t)crc32_z(crc32_z(0, NULL, 0), bytes, length);
}

/* ---- reading --------------------------------------------------------------------------------- */

static bf_status refuse(const char *file_name, const char *why, bf_error *err)
{
    return bf_error_set(err, BF_E_FILE, file_name,
                        "%s %s; it is left as it is: name another file, or remove it to begin anew",
                        file_name, why);
}

/* The whole is what was written, and for a build like this one. @return why not; NULL: it is */
static const char *what_is_wrong(const unsigned char *bytes, size_t length)
{
    if (length < MAGIC || memcmp(bytes, magic, MAGIC) != 0) {
        return "is no checkpoint of a campaign";
    }
    if (length < MAGIC + 3 * NUMBER + CHECK) {
        return "is damaged: it ends early";
    }
    uint32_t check;
    memcpy(&check, bytes + length - CHECK, sizeof check);
    if (check != check_of(bytes, length - CHECK)) {
        return "is damaged: its sum does not fit";
    }
    if (number_at(bytes + MAGIC) != byte_order ||
        number_at(bytes + MAGIC + NUMBER) != sizeof(bf_campaign_cycle)) {
        return "was written by another build or machine";
    }
    return NULL;
}

static bf_status keep(unsigned char **state, size_t *length, const unsigned char *bytes,
                      size_t count, bf_error *err)
{
    unsigned char *copy = realloc(*state, count > 0 ? count : 1);
    if (copy == NULL) {
        return bf_error_set(err, BF_E_MEMORY, "checkpoint", "no memory for a checkpoint");
    }
    memcpy(copy, bytes, count);
    *state = copy;
    *length = count;
    return BF_OK;
}

static bf_status read_series(bf_campaign_series *series, const unsigned char *from, size_t count,
                             bf_error *err)
{
    /* Room as the study makes it: the next power of two. */
    size_t room = 1;
    while (room < count) {
        room *= 2;
    }
    series->cycle = malloc(room * sizeof *series->cycle);
    if (series->cycle == NULL) {
        return bf_error_set(err, BF_E_MEMORY, "checkpoint", "no memory for %zu cycles", count);
    }
    memcpy(series->cycle, from, count * sizeof *series->cycle);
    series->count = count;
    return BF_OK;
}

static bf_status read_all(bf__checkpoint *to, bf_campaign_series *series,
                          const unsigned char *bytes, size_t length, const char *file_name,
                          bf_error *err)
{
    const char *other = "belongs to another campaign: case, options or program differ";
    const unsigned char *from = bytes + MAGIC + 2 * NUMBER;
    const unsigned char *end = bytes + length - CHECK;
    bf_status status = BF_OK;
    if (number_at(from) != to->count) {
        return refuse(file_name, other, err);
    }
    from += NUMBER;
    for (size_t k = 0; k < to->count && status == BF_OK; k++) {
        if ((size_t)(end - from) < HEAD * NUMBER) {
            return refuse(file_name, "is damaged: it ends early", err);
        }
        const uint64_t print = number_at(from);
        const size_t cycles = (size_t)number_at(from + NUMBER);
        const size_t state = (size_t)number_at(from + 2 * NUMBER);
        const size_t word = (size_t)number_at(from + 3 * NUMBER);
        from += HEAD * NUMBER;
        const size_t left = (size_t)(end - from);
        if (print != bf_campaign_fingerprint(&to->spec[k])) {
            return refuse(file_name, other, err);
        }
        if (state > left || cycles > (left - state) / sizeof(bf_campaign_cycle) ||
            word > BF_CAMPAIGN_SPENT) {
            return refuse(file_name, "is damaged: its parts do not fit", err);
        }
        if (state > 0) {
            status = keep(&to->state[k], &to->length[k], from, state, err);
            status = status == BF_OK ? read_series(&series[k], from + state, cycles, err) : status;
            series[k].state = (bf_campaign_state)word;
        }
        from += state + cycles * sizeof(bf_campaign_cycle);
    }
    return status;
}

bf_status bf__checkpoint_open(bf__checkpoint *checkpoint, const bf_campaign_batch *batch,
                              bf_campaign_series *series, bf_error *err)
{
    *checkpoint = (bf__checkpoint){
        .count = batch->count, .spec = batch->spec, .file_name = batch->checkpoint};
    if (batch->checkpoint == NULL) {
        checkpoint->count = 0;
        return BF_OK;
    }
    checkpoint->state = calloc(batch->count, sizeof *checkpoint->state);
    checkpoint->length = calloc(batch->count, sizeof *checkpoint->length);
    if (checkpoint->state == NULL || checkpoint->length == NULL) {
        return bf_error_set(err, BF_E_MEMORY, "checkpoint", "no memory for a checkpoint");
    }
    if (access(batch->checkpoint, F_OK) != 0 && errno == ENOENT) {
        return BF_OK; /* begins now */
    }
    char *text = NULL;
    size_t length = 0;
    bf_error inner = {0};
    bf_status status =
        bf__whole_file_read(batch->checkpoint, "checkpoint", SIZE_MAX / 2, &text, &length, &inner);
    if (status != BF_OK) {
        status = bf_error_set(err, status, batch->checkpoint, "cannot read %s: %s",
                              batch->checkpoint, inner.message);
    } else {
        const unsigned char *bytes = (const unsigned char *)text;
        const char *wrong = what_is_wrong(bytes, length);
        status = wrong == NULL ? read_all(checkpoint, series, bytes, length, batch->checkpoint, err)
                               : refuse(batch->checkpoint, wrong, err);
    }
    free(text);
    return status;
}

void bf__checkpoint_close(bf__checkpoint *checkpoint)
{
    for (size_t k = 0; k < checkpoint->count && checkpoint->state != NULL; k++) {
        free(checkpoint->state[k]);
    }
    free(checkpoint->state);
    free(checkpoint->length);
}

bf_status bf__checkpoint_restore(const bf__checkpoint *checkpoint, size_t which,
                                 bf_campaign *campaign, bf_error *err)
{
    if (checkpoint->count == 0 || checkpoint->state[which] == NULL) {
        return BF_OK;
    }
    bf_status status =
        bf_campaign_restore(campaign, checkpoint->state[which], checkpoint->length[which], err);
    return status == BF_E_RANGE
               ? refuse(checkpoint->file_name, "is damaged: a state does not fit its campaign", err)
               : status;
}

/* ---- writing --------------------------------------------------------------------------------- */

bf_status bf__checkpoint_take(bf__checkpoint *checkpoint, size_t which, const bf_campaign *campaign,
                              bf_error *err)
{
    if (checkpoint->count == 0) {
        return BF_OK;
    }
    const size_t length = bf_campaign_snapshot_size(campaign);
    unsigned char *state = realloc(checkpoint->state[which], length);
    if (state == NULL) {
        return bf_error_set(err, BF_E_MEMORY, "checkpoint", "no memory for a checkpoint");
    }
    bf_campaign_snapshot(campaign, state);
    checkpoint->state[which] = state;
    checkpoint->length[which] = length;
    return BF_OK;
}

bf_status bf__checkpoint_write(const bf__checkpoint *checkpoint, const bf_campaign_series *series,
                               const char *file_name, bf_error *err)
{
    size_t length = MAGIC + 3 * NUMBER + CHECK;
    for (size_t k = 0; k < checkpoint->count; k++) {
        length +=
            HEAD * NUMBER + checkpoint->length[k] + series[k].count * sizeof(bf_campaign_cycle);
    }
    unsigned char *bytes = malloc(length);
    if (bytes == NULL) {
        return bf_error_set(err, BF_E_MEMORY, file_name, "no memory for a checkpoint");
    }
    unsigned char *to = put(bytes, magic, MAGIC);
    to = put_number(to, byte_order);
    to = put_number(to, sizeof(bf_campaign_cycle));
    to = put_number(to, checkpoint->count);
    for (size_t k = 0; k < checkpoint->count; k++) {
        to = put_number(to, bf_campaign_fingerprint(&checkpoint->spec[k]));
        to = put_number(to, series[k].count);
        to = put_number(to, checkpoint->length[k]);
        to = put_number(to, (uint64_t)series[k].state);
        to = put(to, checkpoint->state[k], checkpoint->length[k]);
        to = put(to, series[k].cycle, series[k].count * sizeof(bf_campaign_cycle));
    }
    const uint32_t check = check_of(bytes, (size_t)(to - bytes));
    to = put(to, &check, sizeof check);
    bf_status status = bf__whole_file_write(file_name, bytes, (size_t)(to - bytes), err);
    free(bytes);
    return status;
}
