/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A campaign's whole state as bytes.
 *
 *     bytes: head | bf__campaign_now | paces, 4 doubles a cell | state of the bed
 *     head:  bytes in all | fingerprint of the spec | CRC-32 of all that follows the head
 *
 * What follows from the spec and from these (resin, equilibrium, bed) is made anew, the same way
 * each cycle makes it, so that the campaign goes on with the same bits.
 */
#include "iron/campaign_state.h"

#include "bed/alter.h"

#include <stdint.h>
#include <string.h>
#include <zlib.h>

typedef struct head {
    uint64_t bytes, fingerprint, check;
} head;

static size_t state_size(const bf_campaign *c)
{
    return bf__layout_kept(&bf__bed_column(c->iron_bed->bed)->layout) * sizeof(double);
}

static size_t paces_size(const bf_campaign *c)
{
    return 4 * c->deposits.cells * sizeof(double);
}

static uint64_t check_of(const void *bytes, size_t length)
{
    return crc32_z(crc32_z(0, NULL, 0), bytes, length);
}

size_t bf_campaign_snapshot_size(const bf_campaign *c)
{
    return sizeof(head) + sizeof c->now + paces_size(c) + state_size(c);
}

void bf_campaign_snapshot(const bf_campaign *c, void *bytes)
{
    const size_t length = bf_campaign_snapshot_size(c);
    unsigned char *body = (unsigned char *)bytes + sizeof(head);
    unsigned char *paces = body + sizeof c->now;
    memcpy(body, &c->now, sizeof c->now);
    memcpy(paces, c->pace, paces_size(c));
    memcpy(paces + paces_size(c), bf__bed_state(c->iron_bed->bed), state_size(c));
    const head first = {.bytes = length,
                        .fingerprint = c->fingerprint,
                        .check = check_of(body, length - sizeof first)};
    memcpy(bytes, &first, sizeof first);
}

/* ---- restoring ------------------------------------------------------------------------------- */

static bf_status check_bytes(const bf_campaign *c, const void *bytes, size_t length, bf_error *err)
{
    const char *where = "bf_campaign_restore";
    head first;
    if (length != bf_campaign_snapshot_size(c)) {
        return bf_error_set(err, BF_E_RANGE, where, "%zu bytes of state; this campaign has %zu",
                            length, bf_campaign_snapshot_size(c));
    }
    memcpy(&first, bytes, sizeof first);
    const unsigned char *body = (const unsigned char *)bytes + sizeof first;
    if (first.bytes != length || first.check != check_of(body, length - sizeof first)) {
        return bf_error_set(err, BF_E_RANGE, where, "the bytes of state are damaged");
    }
    if (first.fingerprint != c->fingerprint) {
        return bf_error_set(err, BF_E_RANGE, where, "the bytes of state are another campaign's");
    }
    return BF_OK;
}

/* Bytes that were found good, into a campaign that may be left half done. */
static bf_status fill(bf_campaign *c, const unsigned char *body, bf_error *err)
{
    bf__campaign_now now;
    memcpy(&now, body, sizeof now);
    bf_status status = BF_OK;
    if (now.season >= (c->spec.season_count > 0 ? c->spec.season_count : 1)) {
        return bf_error_set(err, BF_E_RANGE, "bf_campaign_restore", "there is no season %zu",
                            now.season);
    }
    if (now.season != c->now.season) {
        status = bf__campaign_enter_season(c, now.season, err);
    }
    c->now = now;
    bf__iron_bed *next = NULL;
    if (status == BF_OK && bf__campaign_respecify(c)) {
        status = bf__campaign_make_bed(c, &next, err);
    }
    if (next != NULL) {
        bf__iron_bed_free(c->iron_bed);
        c->iron_bed = next;
    }
    memcpy(c->pace, body + sizeof now, paces_size(c));
    memcpy(bf__bed_state(c->iron_bed->bed), body + sizeof now + paces_size(c), state_size(c));
    return status;
}

bf_status bf_campaign_restore(bf_campaign *c, const void *bytes, size_t length, bf_error *err)
{
    bf_campaign *scratch = NULL;
    bf_status status = check_bytes(c, bytes, length, err);
    status = status == BF_OK ? bf_campaign_create(&c->spec, &scratch, err) : status;
    status =
        status == BF_OK ? fill(scratch, (const unsigned char *)bytes + sizeof(head), err) : status;
    if (status == BF_OK) {
        const bf_campaign before = *c;
        *c = *scratch;
        *scratch = before;
    }
    bf_campaign_free(scratch);
    return status;
}
