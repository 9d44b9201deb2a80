/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The bytes of a checkpoint, numbers as the machine holds them:
 *
 *     "brinefront campaigns\n" | 0x01020304 | bytes of a cycle | count
 *     each campaign: fingerprint | cycles | bytes of state | state word | state | cycles
 *     CRC-32 of all before it
 *
 * All numbers but the CRC are 8 bytes. It serves the version and the kind of machine that wrote it;
 * others say so, as far as order and size of what they hold tell.
 */
#include "rating/fouling/checkpoint.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <zlib.h>

static const char magic[] = "brinefront campaigns\n"; /* written without its final zero */
static const uint64_t byte_order = 0x01020304;
enum { MAGIC = sizeof magic - 1, NUMBER = sizeof(uint64_t), CHECK = 4, HEAD = 4 };

/* ---- bytes ----------------------------------------------------------------------------------- */

/* @return where the next goes */
static unsigned char *put(unsigned char *place, const void *bytes, size_t length)
{
    if (length > 0) {
        memcpy(place, bytes, length);
    }
    return place + length;
}

static unsigned char *put_number(unsigned char *place, uint64_t number)
{
    return put(place, &number, sizeof number);
}

static uint64_t number_at(const unsigned char *place)
{
    uint64_t number;
    memcpy(&number, place, sizeof number);
    return number;
}

static uint32_t check_of(const unsigned char *bytes, size_t length)
{
    return (uint32_t)crc32_z(crc32_z(0, NULL, 0), bytes, length);
}

/* ---- reading --------------------------------------------------------------------------------- */

static bf_status refuse(const bf_campaign_batch *batch, const char *why, bf_error *err)
{
    const char *name = batch->saved_name != NULL ? batch->saved_name : "the saved state";
    return bf_error_set(err, BF_E_FILE, name,
                        "%s %s; it is left as it is: name another, or remove it to begin anew",
                        name, why);
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
    unsigned char *copy = malloc(count);
    if (copy == NULL) {
        return bf_error_set(err, BF_E_MEMORY, "checkpoint", "no memory for a checkpoint");
    }
    memcpy(copy, bytes, count);
    *state = copy;
    *length = count;
    return BF_OK;
}

static bf_status read_series(bf_campaign_series *series, const unsigned char *bytes, size_t count,
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
    memcpy(series->cycle, bytes, count * sizeof *series->cycle);
    series->count = count;
    return BF_OK;
}

static bf_status read_all(bf__checkpoint *checkpoint, bf_campaign_series *series, bf_error *err)
{
    const char *other = "belongs to another campaign: case, options or program differ";
    const bf_campaign_batch *batch = checkpoint->batch;
    const unsigned char *bytes = batch->saved;
    const unsigned char *place = bytes + MAGIC + 2 * NUMBER;
    const unsigned char *end = bytes + batch->saved_length - CHECK;
    bf_status status = BF_OK;
    if (number_at(place) != batch->count) {
        return refuse(batch, other, err);
    }
    place += NUMBER;
    for (size_t k = 0; k < batch->count && status == BF_OK; k++) {
        if ((size_t)(end - place) < HEAD * NUMBER) {
            return refuse(batch, "is damaged: it ends early", err);
        }
        const uint64_t print = number_at(place);
        const size_t cycles = (size_t)number_at(place + NUMBER);
        const size_t state = (size_t)number_at(place + 2 * NUMBER);
        const size_t word = (size_t)number_at(place + 3 * NUMBER);
        place += HEAD * NUMBER;
        const size_t left = (size_t)(end - place);
        if (print != bf_campaign_fingerprint(&batch->spec[k])) {
            return refuse(batch, other, err);
        }
        if (state > left || cycles > (left - state) / sizeof(bf_campaign_cycle) ||
            word > BF_CAMPAIGN_SPENT) {
            return refuse(batch, "is damaged: its parts do not fit", err);
        }
        if (state > 0) {
            status = keep(&checkpoint->state[k], &checkpoint->length[k], place, state, err);
            status = status == BF_OK ? read_series(&series[k], place + state, cycles, err) : status;
            series[k].state = (bf_campaign_state)word;
        }
        place += state + cycles * sizeof(bf_campaign_cycle);
    }
    return status;
}

bf_status bf__checkpoint_open(bf__checkpoint *checkpoint, const bf_campaign_batch *batch,
                              bf_campaign_series *series, bf_error *err)
{
    *checkpoint = (bf__checkpoint){.batch = batch};
    checkpoint->state = calloc(batch->count, sizeof *checkpoint->state);
    checkpoint->length = calloc(batch->count, sizeof *checkpoint->length);
    if (checkpoint->state == NULL || checkpoint->length == NULL) {
        return bf_error_set(err, BF_E_MEMORY, "checkpoint", "no memory for a checkpoint");
    }
    if (batch->saved == NULL) {
        return BF_OK; /* begins now */
    }
    const char *wrong = what_is_wrong(batch->saved, batch->saved_length);
    return wrong == NULL ? read_all(checkpoint, series, err) : refuse(batch, wrong, err);
}

void bf__checkpoint_close(bf__checkpoint *checkpoint)
{
    for (size_t k = 0; checkpoint->state != NULL && k < checkpoint->batch->count; k++) {
        free(checkpoint->state[k]);
    }
    free(checkpoint->state);
    free(checkpoint->length);
}

bf_status bf__checkpoint_restore(const bf__checkpoint *checkpoint, size_t index,
                                 bf_campaign *campaign, bf_error *err)
{
    if (checkpoint->state[index] == NULL) {
        return BF_OK;
    }
    bf_status status =
        bf_campaign_restore(campaign, checkpoint->state[index], checkpoint->length[index], err);
    return status == BF_E_RANGE
               ? refuse(checkpoint->batch, "is damaged: a state does not fit its campaign", err)
               : status;
}

/* ---- writing --------------------------------------------------------------------------------- */

bf_status bf__checkpoint_take(bf__checkpoint *checkpoint, size_t index, const bf_campaign *campaign,
                              bf_error *err)
{
    if (checkpoint->batch->save == NULL) {
        return BF_OK;
    }
    const size_t length = bf_campaign_snapshot_size(campaign);
    unsigned char *state = realloc(checkpoint->state[index], length);
    if (state == NULL) {
        return bf_error_set(err, BF_E_MEMORY, "checkpoint", "no memory for a checkpoint");
    }
    bf_campaign_snapshot(campaign, state);
    checkpoint->state[index] = state;
    checkpoint->length[index] = length;
    return BF_OK;
}

bf_status bf__checkpoint_save(const bf__checkpoint *checkpoint, const bf_campaign_series *series,
                              bf_error *err)
{
    const bf_campaign_batch *batch = checkpoint->batch;
    size_t length = MAGIC + 3 * NUMBER + CHECK;
    for (size_t k = 0; k < batch->count; k++) {
        length +=
            HEAD * NUMBER + checkpoint->length[k] + series[k].count * sizeof(bf_campaign_cycle);
    }
    unsigned char *bytes = malloc(length);
    if (bytes == NULL) {
        return bf_error_set(err, BF_E_MEMORY, "checkpoint", "no memory for a checkpoint");
    }
    unsigned char *place = put(bytes, magic, MAGIC);
    place = put_number(place, byte_order);
    place = put_number(place, sizeof(bf_campaign_cycle));
    place = put_number(place, batch->count);
    for (size_t k = 0; k < batch->count; k++) {
        place = put_number(place, bf_campaign_fingerprint(&batch->spec[k]));
        place = put_number(place, series[k].count);
        place = put_number(place, checkpoint->length[k]);
        place = put_number(place, (uint64_t)series[k].state);
        place = put(place, checkpoint->state[k], checkpoint->length[k]);
        place = put(place, series[k].cycle, series[k].count * sizeof(bf_campaign_cycle));
    }
    const uint32_t check = check_of(bytes, (size_t)(place - bytes));
    place = put(place, &check, sizeof check);
    bf_status status = batch->save(batch->context, bytes, (size_t)(place - bytes), err);
    free(bytes);
    return status;
}
