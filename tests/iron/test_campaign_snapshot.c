/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A campaign's state as bytes: damaged bytes change nothing; and the number that tells one spec
 * from another sees every byte of every field. */
#include "trial.h"

#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

/* ---- bytes that are damaged ------------------------------------------------------------------ */

/* Short cycles; the second season begins after the first of them. */
static bf_campaign_spec two_seasons(void)
{
    bf_campaign_spec spec = trial(8.3);
    set_water(&spec, 19.0, 3.4, 7.6, 1.7);
    spec.bed.cells = 6;
    spec.bed.shells = 1;
    spec.slices = 1;
    spec.draws_per_day = 0.4;
    spec.cycles = 5;
    spec.deposit.bound_kg_per_m3 = 1.3;
    spec.season_count = 2;
    spec.season[0] = (bf_campaign_season){0.0, spec.water, 0.04};
    spec.season[1] = (bf_campaign_season){2.9, spec.water, 0.07};
    spec.season[1].water.temperature_K = 289.35;
    return spec;
}

static bf_campaign *after(const bf_campaign_spec *spec, size_t cycles)
{
    bf_error err = {0};
    bf_campaign *campaign = NULL;
    bf_campaign_cycle ignored;
    assert_ok(bf_campaign_create(spec, &campaign, &err));
    for (size_t k = 0; k < cycles; k++) {
        assert_ok(bf_campaign_next(campaign, &ignored, &err));
    }
    return campaign;
}

static unsigned char *snapshot(const bf_campaign *campaign)
{
    unsigned char *bytes = malloc(bf_campaign_snapshot_size(campaign));
    ck_assert_ptr_nonnull(bytes);
    bf_campaign_snapshot(campaign, bytes);
    return bytes;
}

/* The campaign's own bytes are what they were. */
static void assert_unchanged(const bf_campaign *campaign, const unsigned char *before,
                             const char *name, size_t place)
{
    unsigned char *now = snapshot(campaign);
    ck_assert_msg(memcmp(now, before, bf_campaign_snapshot_size(campaign)) == 0,
                  "%s at %zu changed the campaign", name, place);
    free(now);
}

START_TEST(damaged_bytes_change_nothing)
{
    bf_error err = {0};
    const bf_campaign_spec spec = two_seasons();
    bf_campaign *source = after(&spec, 3);
    bf_campaign *target = after(&spec, 1);
    const size_t length = bf_campaign_snapshot_size(source);
    unsigned char *bytes = snapshot(source);
    unsigned char *before = snapshot(target);
    ck_assert_uint_eq(bf_campaign_snapshot_size(target), length);
    ck_assert(memcmp(bytes, before, length) != 0);
    for (size_t place = 0; place < length; place += place < 700 ? 1 : 41) {
        const unsigned char bit = (unsigned char)(1U << (place % 8));
        bytes[place] ^= bit;
        assert_fails(bf_campaign_restore(target, bytes, length, &err), BF_E_RANGE, "bytes");
        bytes[place] ^= bit;
        assert_unchanged(target, before, "a flipped bit", place);
    }
    for (size_t end = 0; end < length; end += 53) {
        assert_fails(bf_campaign_restore(target, bytes, end, &err), BF_E_RANGE, "bytes");
        assert_unchanged(target, before, "an early end", end);
    }
    assert_fails(bf_campaign_restore(target, bytes, length + 1, &err), BF_E_RANGE, "bytes");
    assert_ok(bf_campaign_restore(target, bytes, length, &err));
    assert_unchanged(target, bytes, "nothing", 0);
    free(before);
    free(bytes);
    bf_campaign_free(target);
    bf_campaign_free(source);
}
END_TEST

START_TEST(bytes_of_another_campaign_change_nothing)
{
    bf_error err = {0};
    bf_campaign_spec spec = two_seasons();
    bf_campaign *source = after(&spec, 2);
    spec.draws_per_day = 0.8;
    bf_campaign *target = after(&spec, 1);
    const size_t length = bf_campaign_snapshot_size(source);
    ck_assert_uint_eq(bf_campaign_snapshot_size(target), length);
    unsigned char *bytes = snapshot(source);
    unsigned char *before = snapshot(target);
    assert_fails(bf_campaign_restore(target, bytes, length, &err), BF_E_RANGE, "another");
    assert_unchanged(target, before, "another campaign", 0);
    free(before);
    free(bytes);
    bf_campaign_free(target);
    bf_campaign_free(source);
}
END_TEST

/* CRC-32 by its polynomial, one bit after the other. */
static uint64_t crc32_of(const unsigned char *bytes, size_t length)
{
    uint32_t crc = 0xffffffffU;
    for (size_t k = 0; k < length; k++) {
        crc ^= bytes[k];
        for (int bit = 0; bit < 8; bit++) {
            crc = (crc >> 1) ^ (0xedb88320U & (0U - (crc & 1U)));
        }
    }
    return crc ^ 0xffffffffU;
}

/* Bytes whose sum is right and that name a season the year does not have: word 1 after the head. */
START_TEST(a_season_that_is_not_there_changes_nothing)
{
    bf_error err = {0};
    const size_t head = 3 * sizeof(uint64_t);
    const bf_campaign_spec spec = two_seasons();
    bf_campaign *target = after(&spec, 1);
    const size_t length = bf_campaign_snapshot_size(target);
    unsigned char *bytes = snapshot(target);
    unsigned char *before = snapshot(target);
    const size_t season = 2;
    memcpy(bytes + head + sizeof(size_t), &season, sizeof season);
    const uint64_t check = crc32_of(bytes + head, length - head);
    memcpy(bytes + 2 * sizeof(uint64_t), &check, sizeof check);
    assert_fails(bf_campaign_restore(target, bytes, length, &err), BF_E_RANGE, "no season 2");
    assert_unchanged(target, before, "a season", 0);
    free(before);
    free(bytes);
    bf_campaign_free(target);
}
END_TEST

/* ---- the number that tells specs apart ------------------------------------------------------- */

/* Bytes that do not count: addresses, what must stay a count of rows, and holes between fields. */
typedef struct range {
    size_t begin, end;
} range;

/* clang-format off */
#define FIELD(S, field)                                                                            \
    {offsetof(S, field), offsetof(S, field) + sizeof(((S *)0)->field)}
#define HOLE(S, field, next)                                                                       \
    {offsetof(S, field) + sizeof(((S *)0)->field), offsetof(S, next)}
/* clang-format on */

static const range step_silent[] = {FIELD(bf_step, type),    HOLE(bf_step, salt, dose_kg_per_m3),
                                    FIELD(bf_step, context), FIELD(bf_step, observe),
                                    FIELD(bf_step, finish),  FIELD(bf_step, observer)};
static const range resin_silent[] = {FIELD(bf_resin, name)};
static const range bed_silent[] = {HOLE(bf_bed_spec, shell_law, relative_tolerance),
                                   HOLE(bf_bed_spec, solver, sources), FIELD(bf_bed_spec, sources)};
static const range cleaning_silent[] = {
    HOLE(bf_campaign_cleaning, agent, dose_kg_per_m3),
    {offsetof(bf_campaign_cleaning, aged) + sizeof(int), sizeof(bf_campaign_cleaning)}};
static const range spec_silent[] = {FIELD(bf_campaign_spec, season_count),
                                    FIELD(bf_campaign_spec, recipe.count)};

static int lies_in(size_t place, size_t begin, const range *ranges, size_t count)
{
    for (size_t k = 0; k < count; k++) {
        if (place >= begin + ranges[k].begin && place < begin + ranges[k].end) {
            return 1;
        }
    }
    return 0;
}

#define LIES_IN(place, begin, ranges)                                                              \
    lies_in(place, begin, ranges, sizeof(ranges) / sizeof *(ranges))

static int is_silent(size_t place)
{
    const size_t bed = offsetof(bf_campaign_spec, bed);
    int silent = LIES_IN(place, 0, spec_silent) || LIES_IN(place, bed, bed_silent) ||
                 LIES_IN(place, bed + offsetof(bf_bed_spec, resin), resin_silent) ||
                 LIES_IN(place, offsetof(bf_campaign_spec, cleaning), cleaning_silent);
    for (size_t k = 0; k < BF_RECIPE_STEPS; k++) {
        silent = silent || LIES_IN(place, offsetof(bf_campaign_spec, recipe.step[k]), step_silent);
    }
    return silent;
}

/* All rows in use, no two bytes alike by intent. */
static bf_campaign_spec busy_spec(void)
{
    bf_campaign_spec spec = trial(10.0);
    unsigned long long seed = 20261130;
    unsigned char *bytes = (unsigned char *)&spec;
    for (size_t place = 0; place < sizeof spec; place++) {
        bytes[place] =
            is_silent(place) ? bytes[place] : (unsigned char)(256.0 * support_uniform(&seed));
    }
    spec.season_count = BF_CAMPAIGN_SEASONS;
    spec.recipe.count = BF_RECIPE_STEPS;
    for (size_t k = 0; k < BF_RECIPE_STEPS; k++) {
        spec.recipe.step[k].type = &bf_step_fast_rinse;
    }
    return spec;
}

START_TEST(the_fingerprint_sees_every_byte_of_every_field)
{
    bf_campaign_spec spec = busy_spec();
    unsigned char *bytes = (unsigned char *)&spec;
    const unsigned long print = bf_campaign_fingerprint(&spec);
    size_t count = 0;
    for (size_t place = 0; place < sizeof spec; place++) {
        if (!is_silent(place)) {
            bytes[place] ^= (unsigned char)(1U << (place % 8));
            ck_assert_msg(bf_campaign_fingerprint(&spec) != print, "byte %zu", place);
            bytes[place] ^= (unsigned char)(1U << (place % 8));
            count++;
        }
    }
    printf("%zu of %zu bytes count\n", count, sizeof spec);
    ck_assert(bf_campaign_fingerprint(&spec) == print);
    spec.season_count--;
    ck_assert(bf_campaign_fingerprint(&spec) != print);
    spec = busy_spec();
    spec.recipe.count--;
    ck_assert(bf_campaign_fingerprint(&spec) != print);
    for (size_t k = 0; k < BF_RECIPE_STEPS; k++) {
        spec = busy_spec();
        spec.recipe.step[k].type = &bf_step_hold;
        ck_assert(bf_campaign_fingerprint(&spec) != print);
    }
    spec = busy_spec();
    spec.bed.resin.name = "gel_9.3";
    ck_assert(bf_campaign_fingerprint(&spec) != print);
    spec.bed.resin.name = NULL;
    ck_assert(bf_campaign_fingerprint(&spec) != print);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {
        damaged_bytes_change_nothing, bytes_of_another_campaign_change_nothing,
        a_season_that_is_not_there_changes_nothing, the_fingerprint_sees_every_byte_of_every_field};
    return support_run("iron.campaign_snapshot", tests, sizeof tests / sizeof *tests, 300.0);
}
