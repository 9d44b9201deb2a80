/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From the texts of a case file to SI numbers, each checked against its key's range. */
#include "case/reader.h"

#include "brinefront/brine.h"
#include "brinefront/units.h"
#include "case/file/date.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

void bf__reader_find(bf__reader *r, const char *path, long line, long column, const char *sentence)
{
    bf_notes_add_at(r->notes, BF_NOTE_FINDING, path, line, column, "%s", sentence);
    if (r->status == BF_OK) {
        r->status = bf_error_set(r->err, BF_E_INPUT, r->file_name, "%s: %s", path, sentence);
        if (r->err != NULL) {
            r->err->line = line;
            r->err->column = column;
        }
    }
}

void bf__reader_find_key(bf__reader *r, bf__key_id id, const char *sentence)
{
    const bf__stated *s = &r->key[id];
    bf__reader_find(r, bf__key_get(id)->path, s->line, s->column, sentence);
}

/* Nonzero for "20 gal/ft3", zero for "2", "2e0" and "2 %". */
static int has_unit(const char *text)
{
    for (text += strspn(text, " 0123456789.+-eE"); *text != '\0'; text++) {
        if (isalpha((unsigned char)*text)) {
            return 1;
        }
    }
    return 0;
}

static bf_status wrong_kind(bf__key_id id, const char *text, bf_error *err)
{
    const char *wrong = has_unit(text) ? "is not accepted here" : "has no unit";
    return bf_error_set(err, BF_E_INPUT, bf__key_get(id)->path, "\"%s\" %s; take %s", text, wrong,
                        bf_case_key_get(id).kind);
}

/* Metres per second from a flow in any of its forms. */
static bf_status read_flow(const bf__reader *r, bf__key_id id, const bf_quantity *q,
                           const char *text, double *out, bf_error *err)
{
    const double depth_m = r->out->rating.bed.depth_m;
    switch (q->dimension) {
    case BF_DIMENSION_VELOCITY: *out = q->value; return BF_OK;
    case BF_DIMENSION_RATE:
    case BF_DIMENSION_BED_VOLUMES_PER_TIME: *out = q->value * depth_m; return BF_OK;
    case BF_DIMENSION_FLOW: *out = q->value / r->area_m2; return BF_OK;
    default: return wrong_kind(id, text, err);
    }
}

/* Bed volumes from a volume of water; "20 gal/ft3" is a number with a unit. */
static bf_status read_water(const bf__reader *r, bf__key_id id, const bf_quantity *q,
                            const char *text, double *out, bf_error *err)
{
    switch (q->dimension) {
    case BF_DIMENSION_BED_VOLUMES: *out = q->value; return BF_OK;
    case BF_DIMENSION_VOLUME:
        *out = q->value / (r->area_m2 * r->out->rating.bed.depth_m);
        return BF_OK;
    case BF_DIMENSION_NUMBER:
        if (has_unit(text)) {
            *out = q->value;
            return BF_OK;
        }
        return bf_error_set(err, BF_E_INPUT, "",
                            "\"%s\" has no unit; write \"%s BV\" for bed volumes", text, text);
    default: return wrong_kind(id, text, err);
    }
}

static bf_status read_freeboard(const bf__reader *r, bf__key_id id, const bf_quantity *q,
                                const char *text, double *out, bf_error *err)
{
    switch (q->dimension) {
    case BF_DIMENSION_LENGTH: *out = q->value; return BF_OK;
    case BF_DIMENSION_NUMBER: *out = q->value * r->out->rating.bed.depth_m; return BF_OK;
    default: return wrong_kind(id, text, err);
    }
}

/* Mass fraction; salometer degrees are percent of saturation at the case's own temperature. */
static bf_status read_strength(const bf__reader *r, const bf_quantity *q, double *out,
                               bf_error *err)
{
    if (q->dimension != BF_DIMENSION_SALOMETER) {
        return bf_quantity_as(q, BF_DIMENSION_MASS_FRACTION, out, err);
    }
    double temperature_K = bf__reader_value(r, BF__KEY_TEMPERATURE);
    bf_salt salt = bf__reader_chosen(r, BF__KEY_SALT, "KCl") ? BF_SALT_KCL : BF_SALT_NACL;
    double saturated;
    /* 20 C: the default of water.temperature, where that was refused. */
    bf_status status =
        bf_brine_saturation(salt, isnan(temperature_K) ? 293.15 : temperature_K, &saturated, err);
    *out = status == BF_OK ? 0.01 * q->value * saturated : (double)NAN;
    return status;
}

/* Days since 1970-01-01, or since the beginning of the year. */
static bf_status read_day(bf__key_id id, const char *text, double *out, bf_error *err)
{
    int is_date = bf__key_get(id)->kind == BF__KIND_DATE;
    if (is_date ? bf__date_read(text, out) : bf__date_read_day_of_year(text, out)) {
        return BF_OK;
    }
    return bf_error_set(err, BF_E_INPUT, bf__key_get(id)->path, "\"%s\" is not %s", text,
                        bf_case_key_get(id).kind);
}

/* The number of a text for a key, in the key's own SI unit. */
static bf_status read_number(const bf__reader *r, bf__key_id id, const char *text, double *out,
                             bf_error *err)
{
    if (bf__key_get(id)->kind == BF__KIND_DATE || bf__key_get(id)->kind == BF__KIND_MONTH_DAY) {
        return read_day(id, text, out, err);
    }
    bf_quantity q;
    bf_status status = bf_quantity_parse(text, &q, err);
    if (status != BF_OK) {
        return status;
    }
    switch (bf__key_get(id)->kind) {
    case BF__KIND_NUMBER:
    case BF__KIND_COUNT:
    case BF__KIND_PARAMETER:
    case BF__KIND_FRACTION: status = bf_quantity_as(&q, BF_DIMENSION_NUMBER, out, err); break;
    case BF__KIND_HARDNESS: status = bf_quantity_as_hardness(&q, out, err); break;
    case BF__KIND_ION: status = bf_quantity_as_ion(&q, bf__key_ion(id), out, err); break;
    case BF__KIND_CAPACITY:
        status = bf_quantity_as(&q, BF_DIMENSION_EQUIVALENTS_PER_VOLUME, out, err);
        break;
    case BF__KIND_MASS_PER_VOLUME:
    case BF__KIND_DISSOLVED:
        status = bf_quantity_as(&q, BF_DIMENSION_MASS_PER_VOLUME, out, err);
        break;
    case BF__KIND_DOSES:
    case BF__KIND_DOSE:
        status = bf__dose_read(text, r->area_m2 * r->out->rating.bed.depth_m, out, err);
        break;
    case BF__KIND_CONDUCTIVITY:
        status = bf_quantity_as(&q, BF_DIMENSION_CONDUCTIVITY, out, err);
        break;
    case BF__KIND_TEMPERATURE:
        status = bf_quantity_as(&q, BF_DIMENSION_TEMPERATURE, out, err);
        break;
    case BF__KIND_LENGTH: status = bf_quantity_as(&q, BF_DIMENSION_LENGTH, out, err); break;
    case BF__KIND_VOLUME: status = bf_quantity_as(&q, BF_DIMENSION_VOLUME, out, err); break;
    case BF__KIND_PRESSURE: status = bf_quantity_as(&q, BF_DIMENSION_PRESSURE, out, err); break;
    case BF__KIND_SPAN:
    case BF__KIND_TIME: status = bf_quantity_as(&q, BF_DIMENSION_TIME, out, err); break;
    case BF__KIND_DIFFUSIVITY:
        status = bf_quantity_as(&q, BF_DIMENSION_DIFFUSIVITY, out, err);
        break;
    case BF__KIND_ENERGY_PER_MOLE:
        status = bf_quantity_as(&q, BF_DIMENSION_ENERGY_PER_MOLE, out, err);
        break;
    case BF__KIND_MASS_FRACTION:
        status = bf_quantity_as(&q, BF_DIMENSION_MASS_FRACTION, out, err);
        break;
    case BF__KIND_STRENGTH: status = read_strength(r, &q, out, err); break;
    case BF__KIND_FLOW: status = read_flow(r, id, &q, text, out, err); break;
    case BF__KIND_WATER: status = read_water(r, id, &q, text, out, err); break;
    case BF__KIND_FREEBOARD: status = read_freeboard(r, id, &q, text, out, err); break;
    case BF__KIND_DATE:
    case BF__KIND_MONTH_DAY:
    case BF__KIND_MAPPINGS:
    case BF__KIND_TEXT:
    case BF__KIND_CHOICE: status = wrong_kind(id, text, err); break;
    }
    return status;
}

/* Read and compare with the key's range; a finding and 0 on failure. */
int bf__reader_within(bf__reader *r, bf__key_id id, const char *text, long line, long column,
                      double *out)
{
    const bf_case_key shown = bf_case_key_get(id);
    const bf_case_key *key = &shown;
    const bf__kind kind = bf__key_get(id)->kind;
    bf_error err = {0};
    if (read_number(r, id, text, out, &err) != BF_OK) {
        bf__reader_find(r, key->path, line, column + (err.column > 0 ? err.column - 1 : 0),
                        err.message);
        return 0;
    }
    double least = -(double)INFINITY;
    double most = (double)INFINITY;
    bf_error ignored = {0};
    if ((*key->least != '\0' && read_number(r, id, key->least, &least, &ignored) != BF_OK) ||
        (*key->most != '\0' && read_number(r, id, key->most, &most, &ignored) != BF_OK)) {
        least = most =
            (double)NAN; /* a slip in keys.def: refuse everything; a test reads them all */
    }
    int is_against_bed =
        kind == BF__KIND_FLOW || kind == BF__KIND_WATER || kind == BF__KIND_FREEBOARD;
    if (is_against_bed && r->bed_is_made_up) {
        return 1;
    }
    /* The bounds are texts too: a value on a bound may miss it by a rounding. */
    double slack = 1e-9 * fabs(*out);
    if (kind == BF__KIND_PARAMETER) { /* whose bounds are printed with six digits */
        slack = 1e-5 * fabs(*out);
    }
    if (!(*out >= least - slack && *out <= most + slack)) {
        char sentence[600];
        (void)snprintf(sentence, sizeof sentence, "\"%s\" is out of range; accepted are %s to %s",
                       text, key->least, key->most);
        bf__reader_find(r, key->path, line, column, sentence);
        return 0;
    }
    if (kind == BF__KIND_PARAMETER) {
        const bf_iron_parameter row = bf_iron_parameter_get(bf__key_parameter(id));
        *out = fmin(fmax(*out, row.low), row.high);
    }
    if (kind == BF__KIND_COUNT && *out != floor(*out)) {
        char sentence[300];
        (void)snprintf(sentence, sizeof sentence, "\"%s\" is not a whole number", text);
        bf__reader_find(r, key->path, line, column, sentence);
        return 0;
    }
    return 1;
}

int bf__reader_has(const bf__reader *r, bf__key_id id)
{
    return r->key[id].is_read;
}

int bf__reader_is_stated(const bf__reader *r, bf__key_id id)
{
    return r->key[id].text != NULL;
}

int bf__reader_is_own(const bf__reader *r, bf__key_id id)
{
    return bf__reader_is_stated(r, id) && !r->key[id].is_default;
}

double bf__reader_value(const bf__reader *r, bf__key_id id)
{
    return r->key[id].is_read ? r->key[id].value : (double)NAN;
}

void bf__reader_read(bf__reader *r, bf__key_id id)
{
    bf__stated *s = &r->key[id];
    if (s->text != NULL) {
        s->is_read = bf__reader_within(r, id, s->text, s->line, s->column, &s->value);
    }
}

/* Nonzero when the choice is `word`. */
int bf__reader_chosen(const bf__reader *r, bf__key_id id, const char *word)
{
    return r->key[id].text != NULL && strcmp(r->key[id].text, word) == 0;
}

void bf__reader_check_choice(bf__reader *r, bf__key_id id)
{
    const bf__key *key = bf__key_get(id);
    const char *text = r->key[id].text;
    size_t length = strlen(text);
    for (const char *word = key->least; *word != '\0';) {
        size_t width = strcspn(word, " ");
        if (width == length && strncmp(word, text, width) == 0) {
            return;
        }
        word += width + (word[width] == ' ' ? 1 : 0);
    }
    char sentence[300];
    (void)snprintf(sentence, sizeof sentence, "\"%s\" is not a choice; the choices are: %s", text,
                   key->least);
    bf__reader_find_key(r, id, sentence);
}

/* ---- lists of mappings ----------------------------------------------------------------------- */

static bf__key_id first_of_section(bf__section_id section)
{
    bf__key_id id = 0;
    while (id < BF__KEY_COUNT && bf__key_get(id)->section != section) {
        id++;
    }
    return id;
}

size_t bf__reader_items(bf__reader *r, bf__section_id section, size_t most, const char *too_many,
                        bf__item *items)
{
    const bf__key_id first = first_of_section(section);
    const bf__key_id list = bf__key_list_of(first);
    size_t count = 0;
    for (size_t e = 0; e < r->yaml->count; e++) {
        const bf__yaml_entry *entry = &r->yaml->entries[e];
        bf__key_id id = bf__key_find(entry->path);
        const char *open = strchr(entry->path, '[');
        if (open == NULL || (id != list && (!bf__key_is_item(id) || bf__key_list_of(id) != list))) {
            continue;
        }
        size_t index = (size_t)strtoul(open + 1, NULL, 10);
        if (index >= most) {
            bf__reader_find(r, bf__key_get(list)->path, entry->line, entry->column, too_many);
            return count;
        }
        count = index + 1 > count ? index + 1 : count;
        bf__stated *s = &items[index].key[bf__key_place(id == list ? first : id)];
        *s = (bf__stated){.text = entry->value, .line = entry->line, .column = entry->column};
        if (bf__key_get(id)->kind == BF__KIND_CHOICE) {
            bf__stated keep = r->key[id];
            r->key[id] = *s; /* checked like a key of its own */
            bf__reader_check_choice(r, id);
            r->key[id] = keep;
        } else if (id == list) {
            char sentence[200];
            (void)snprintf(sentence, sizeof sentence, "not a mapping; begin it with {%s: ...}",
                           strrchr(bf__key_get(first)->path, '.') + 1);
            bf__reader_find(r, bf__key_get(id)->path, s->line, s->column, sentence);
        } else {
            s->is_read = bf__reader_within(r, id, s->text, s->line, s->column, &s->value);
        }
    }
    return count;
}

const bf__stated *bf__item_first(const bf__item *item)
{
    const bf__stated *first = NULL;
    for (size_t k = 0; k < BF__ITEM_KEYS; k++) {
        const bf__stated *s = &item->key[k];
        int is_before = first == NULL || s->line < first->line ||
                        (s->line == first->line && s->column < first->column);
        first = s->text != NULL && is_before ? s : first;
    }
    return first;
}

const bf__stated *bf__item_get(const bf__item *item, bf__key_id id)
{
    return &item->key[bf__key_place(id)];
}

int bf__item_has(const bf__item *item, bf__key_id id)
{
    return item != NULL && bf__item_get(item, id)->text != NULL;
}

double bf__item_value(const bf__item *item, bf__key_id id, double otherwise)
{
    return bf__item_has(item, id) && bf__item_get(item, id)->is_read ? bf__item_get(item, id)->value
                                                                     : otherwise;
}

void bf__reader_find_cause(bf__reader *r, const bf__item *item, bf__key_id own, bf__key_id common,
                           const char *sentence)
{
    if (bf__item_has(item, own)) {
        const bf__stated *s = bf__item_get(item, own);
        bf__reader_find(r, bf__key_get(own)->path, s->line, s->column, sentence);
    } else {
        bf__reader_find_key(r, common, sentence);
    }
}
