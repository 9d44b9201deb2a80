/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From a case file to a rating specification.
 *
 * yaml.c turns the file into paths with texts. The stages (stages.h) then make a case of them: what
 * nobody states is filled in, the bed's size comes first, as flows and volumes are stated against
 * it, every text becomes an SI number within its range and lands in its struct. What only the whole
 * can tell (brine above saturation, end point above the feed) is checked late and reported at the
 * line that caused it. All findings of a file are collected before it is refused.
 */
#include "brinefront/case.h"

#include "case/file/file.h"
#include "case/stages.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* A title is one line, whatever the file makes of it. */
static void read_title(bf__reader *r)
{
    const char *text = bf__reader_is_stated(r, BF__KEY_TITLE) ? r->key[BF__KEY_TITLE].text : "";
    size_t length = strlen(text);
    length = length < sizeof r->out->title ? length : sizeof r->out->title - 1;
    while (((unsigned char)text[length] & 0xC0U) == 0x80U) {
        length--; /* not in the middle of a character */
    }
    for (size_t i = 0; i < length; i++) {
        r->out->title[i] = text[i] == '\n' || text[i] == '\t' ? ' ' : text[i];
    }
}

static void read_all(bf__reader *r)
{
    for (size_t k = 0; k < BF__KEY_COUNT; k++) {
        bf__key_id id = (bf__key_id)k;
        switch (bf__key_get(id)->kind) {
        case BF__KIND_TEXT: break;
        case BF__KIND_CHOICE:
            if (bf__reader_is_stated(r, id) && id != BF__KEY_STEPS) {
                bf__reader_check_choice(r, id);
            }
            break;
        case BF__KIND_DOSES: break;    /* stated_doses.c */
        case BF__KIND_MAPPINGS: break; /* campaign.c */
        default:
            if (id != BF__KEY_DIAMETER && id != BF__KEY_DEPTH && id != BF__KEY_RESIN_VOLUME) {
                bf__reader_read(r, id);
            }
            break;
        }
    }
}

/* What only the whole can tell. */
static void check_whole(bf__reader *r)
{
    const bf_rating_spec *rating = &r->out->rating;
    bf_error err = {0};
    if (bf__reader_value(r, BF__KEY_END_POINT) >= rating->water.hardness_eq_per_m3) {
        bf__reader_find_key(r, BF__KEY_END_POINT,
                            "the end point is not below the hardness of the feed; lower it");
    }
    if (bf__reader_value(r, BF__KEY_STOP_AT) <= bf__reader_value(r, BF__KEY_END_POINT)) {
        bf__reader_find_key(r, BF__KEY_STOP_AT,
                            "stop_at is not above end_point; raise it or leave it out");
    }
    if (bf__reader_value(r, BF__KEY_STOP_AT) >= rating->water.hardness_eq_per_m3) {
        bf__reader_find_key(r, BF__KEY_STOP_AT,
                            "stop_at is not below the hardness of the feed; lower it");
    }
    if (r->status == BF_OK) {
        bf_rating_spec probe = *rating;
        bf_recipe_set_dose(&probe.recipe, r->out->dose_kg_per_m3[0]);
        bf_status status = bf_rating_spec_check(&probe, &err);
        if (status != BF_OK) {
            bf__reader_find(r, err.where, 0, 0, err.message);
        }
    }
}

/* Keep what was read, so that it can be printed back. */
static void keep_values(const bf__reader *r)
{
    bf_case *out = r->out;
    _Static_assert((int)BF__KEY_COUNT <= (int)BF_CASE_VALUES, "make room for every key in bf_case");
    for (size_t k = 0; k < BF__KEY_COUNT; k++) {
        const bf__stated *s = &r->key[k];
        if (s->text != NULL) {
            bf_case_value *value = &out->value[out->value_count++];
            *value = (bf_case_value){.key = k,
                                     .is_default = s->is_default,
                                     .value = s->is_read ? s->value : (double)NAN};
            (void)snprintf(value->text, sizeof value->text, "%s", s->text);
        }
    }
}

static bf_status build(const char *file_name, const bf__yaml *yaml, bf_status so_far, bf_case *out,
                       bf_notes *notes, bf_error *err)
{
    memset(out, 0, sizeof *out);
    out->rating.bed = bf_bed_spec_default();
    out->rating.steady = bf_steady_spec_default();
    bf__reader r = {.file_name = file_name,
                    .yaml = yaml,
                    .notes = notes,
                    .err = err,
                    .status = so_far,
                    .is_whole = so_far == BF_OK,
                    .out = out};
    bf__stage_stated(&r);
    bf__stage_geometry(&r);
    read_all(&r);
    bf__stage_doses(&r);
    read_title(&r);
    if (bf__reader_has(&r, BF__KEY_MOST_CYCLES)) {
        out->rating.steady.most_cycles = (size_t)bf__reader_value(&r, BF__KEY_MOST_CYCLES);
    }
    bf__stage_water(&r);
    bf__stage_bed(&r);
    bf__stage_freeboard(&r);
    bf__stage_recipe(&r);
    bf__stage_campaign_dose(&r);
    keep_values(&r);
    if (r.status == BF_OK) {
        bf__stage_note_defaults(&r);
        check_whole(&r);
    }
    bf__stage_tank(&r);
    bf__stage_campaign(&r);
    return r.status;
}

bf_status bf_case_read(const char *file_name, bf_case *out, bf_notes *notes, bf_error *err)
{
    bf__yaml yaml = {0};
    bf_status status = bf__yaml_read_file(file_name, &yaml, notes, err);
    if (status == BF_OK || status == BF_E_INPUT) {
        status = build(bf__file_name(file_name), &yaml, status, out, notes, err);
    }
    bf__yaml_free(&yaml);
    return status;
}

bf_status bf_case_read_text(const char *text, size_t length, const char *name, bf_case *out,
                            bf_notes *notes, bf_error *err)
{
    bf__yaml yaml = {0};
    bf_status status = bf__yaml_read_text(text, length, name, &yaml, notes, err);
    if (status == BF_OK || status == BF_E_INPUT) {
        status = build(name, &yaml, status, out, notes, err);
    }
    bf__yaml_free(&yaml);
    return status;
}
