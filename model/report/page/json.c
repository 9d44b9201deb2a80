/* SPDX-License-Identifier: GPL-3.0-or-later */
/* JSON documents: what all of them begin with, and how they are written whole or not at all. */
#include "report/page/json.h"

#include "brinefront/convert.h"
#include "brinefront/version.h"
#include "report/page/assumptions.h"
#include "report/page/page.h"

#include <math.h>
#include <string.h>

static const size_t significant_digits = 9;

/* The mark is a second reference, which needs no memory; nothing else in a document has one. */
void bf__json_set(json_t *object, const char *name, json_t *value)
{
    if (json_object_set_new(object, name, value) != 0) {
        (void)json_incref(object);
    }
}

void bf__json_append(json_t *array, json_t *value)
{
    if (json_array_append_new(array, value) != 0) {
        (void)json_incref(array);
    }
}

/* Nonzero: no mark anywhere. Marks are removed, so that the document can be freed. */
static int is_whole(json_t *value)
{
    int whole = 1;
    const char *name;
    json_t *part;
    size_t i;
    if (!json_is_object(value) && !json_is_array(value)) {
        return value != NULL;
    }
    for (; value->refcount > 1; whole = 0) {
        json_decref(value);
    }
    json_object_foreach(value, name, part)
    {
        whole = is_whole(part) && whole;
    }
    json_array_foreach(value, i, part)
    {
        whole = is_whole(part) && whole;
    }
    return whole;
}

void bf__json_number(json_t *object, const char *name, double value)
{
    bf__json_set(object, name, isfinite(value) ? json_real(value) : json_null());
}

/* Length of a text of UTF-8 without a character that is not whole at its end: it may have been cut
 * to fit, and JSON does not allow the rest. */
static size_t length_of_whole(const char *text)
{
    const size_t length = strlen(text);
    size_t after = 0; /* bytes that continue the last character */
    while (after < length && after < 3 &&
           ((unsigned char)text[length - 1 - after] & 0xC0) == 0x80) {
        after++;
    }
    if (after == length) {
        return length;
    }
    const unsigned char first = (unsigned char)text[length - 1 - after];
    const size_t needed = first >= 0xF0 ? 3 : first >= 0xE0 ? 2 : first >= 0xC0 ? 1 : 0;
    return after < needed ? length - 1 - after : length;
}

void bf__json_quantity(json_t *object, const char *name, bf__quantity kind, double value)
{
    bf__json_number(object, name, bf__quantity_show(kind, BF_UNITS_SI, value));
}

void bf__json_text(json_t *object, const char *name, const char *value)
{
    bf__json_set(object, name, json_stringn(value, length_of_whole(value)));
}

void bf__columns_json(const bf__column *columns, size_t count, const double *values, json_t *object)
{
    for (size_t c = 0; c < count; c++) {
        for (int system = BF_UNITS_SI; system >= BF_UNITS_US; system--) {
            const char *name = columns[c].name[system];
            if (name != NULL) {
                bf__json_number(
                    object, name,
                    bf__quantity_show(columns[c].kind, (bf_unit_system)system, values[c]));
            }
        }
    }
}

json_t *bf__json_cations(const double *per_ion)
{
    json_t *object = json_object();
    for (size_t i = 0; i < BF_CATION_COUNT; i++) {
        if (per_ion[i] != 0.0) {
            bf__json_number(object, bf_ion_get((bf_ion)i)->symbol, per_ion[i]);
        }
    }
    return object;
}

static json_t *feed_of(const bf_water *water)
{
    json_t *feed = json_object();
    bf__json_number(feed, "hardness_mg_per_L_CaCO3", bf__mg_per_L_CaCO3(water->hardness_eq_per_m3));
    bf__json_number(feed, "normality_meq_per_L", water->normality_eq_per_m3);
    bf__json_number(feed, "temperature_C", water->temperature_K - BF_K_AT_0_C);
    bf__json_number(feed, "pH", water->pH);
    bf__json_set(feed, "cations_meq_per_L", bf__json_cations(water->ion_eq_per_m3));
    return feed;
}

static json_t *bed_of(const bf_bed_spec *spec)
{
    json_t *bed = json_object();
    bf__json_number(bed, "diameter_m", spec->diameter_m);
    bf__json_number(bed, "depth_m", spec->depth_m);
    bf__json_number(bed, "freeboard_m", spec->freeboard_m);
    bf__json_text(bed, "resin", spec->resin.name);
    bf__json_number(bed, "capacity_eq_per_L", 1e-3 * spec->resin.total_capacity_eq_per_m3);
    bf__json_number(bed, "void_fraction", spec->resin.void_fraction);
    bf__json_number(bed, "bead_mm", 1e3 * spec->resin.bead_diameter_m);
    bf__json_number(bed, "uniformity_coefficient", spec->resin.uniformity_coefficient);
    bf__json_set(bed, "cells", json_integer((json_int_t)spec->cells));
    bf__json_set(bed, "shells", json_integer((json_int_t)spec->shells));
    bf__json_text(bed, "solver", spec->solver == BF_SOLVER_BANDED ? "banded" : "block");
    return bed;
}

static const char *supply_word(bf_supply supply)
{
    switch (supply) {
    case BF_SUPPLY_RAW: return "raw";
    case BF_SUPPLY_SOFT: return "soft";
    case BF_SUPPLY_SEA: return "sea";
    }
    return "";
}

static json_t *steps_of(const bf_rating_spec *rating)
{
    json_t *steps = json_array();
    for (size_t s = 0; s < rating->recipe.count; s++) {
        const bf_step *stated = &rating->recipe.step[s];
        json_t *step = json_object();
        bf__json_text(step, "name", stated->type->name);
        bf__json_text(step, "direction", stated->direction == BF_FLOW_UP ? "up" : "down");
        bf__json_text(step, "water", supply_word(stated->supply));
        bf__json_number(step, "flow_BV_per_h",
                        stated->velocity_m_per_s / rating->bed.depth_m * BF_S_PER_H);
        bf__json_number(step, "velocity_m_per_h", stated->velocity_m_per_s * BF_S_PER_H);
        if (stated->bed_volumes > 0.0) {
            bf__json_number(step, "volume_BV", stated->bed_volumes);
        }
        if (stated->type->role == BF_ROLE_SERVICE) {
            bf__json_number(step, "end_point_mg_per_L_CaCO3",
                            bf__mg_per_L_CaCO3(stated->end_hardness_eq_per_m3));
        }
        if (stated->type->role == BF_ROLE_BRINE) {
            bf__json_text(step, "salt", bf_salt_symbol(stated->salt));
            bf__json_number(step, "strength_wt_percent", 100.0 * stated->mass_fraction);
        }
        bf__json_append(steps, step);
    }
    return steps;
}

static json_t *notes_of(const bf_notes *notes)
{
    json_t *list = json_array();
    for (size_t n = 0; n < bf_notes_count(notes); n++) {
        bf_note found = bf_notes_get(notes, n);
        json_t *note = json_object();
        bf__json_text(note, "kind", bf__note_word(found.kind));
        bf__json_text(note, "where", found.where);
        bf__json_text(note, "text", found.text);
        bf__json_append(list, note);
    }
    return list;
}

json_t *bf__json_head(const char *command, const char *title)
{
    json_t *document = json_object();
    bf__json_text(document, "program", "brinefront");
    bf__json_text(document, "version", bf_version());
    bf__json_text(document, "command", command);
    bf__json_text(document, "title", title);
    bf__json_text(document, "caution",
                  "A computed estimate for sound resin and steady operation, not a certification; "
                  "drinking-water and discharge rules, local codes and licensed practice decide.");
    return document;
}

void bf__json_case(json_t *object, const bf_page *page)
{
    bf__json_set(object, "feed", feed_of(&page->rating->water));
    bf__json_set(object, "bed", bed_of(&page->rating->bed));
    bf__json_set(object, "steps", steps_of(page->rating));
    bf__json_set(object, "notes", notes_of(page->notes));
}

json_t *bf__json_document(const char *command, const bf_page *page)
{
    json_t *document = bf__json_head(command, page->title);
    if (page->stopped_early) {
        (void)json_object_set_new(document, "stopped_early", json_true());
    }
    bf__json_case(document, page);
    return document;
}

/* To a stream, which remembers what it could not take: json_dumps() of jansson 2.14 loses the name of
 * a member where memory is short (measured, tests/report/test_whole_page.c). */
static bf_status print_document(const void *context, FILE *out, bf_error *err)
{
    if (json_dumpf(context, out, JSON_INDENT(1) | JSON_REAL_PRECISION(significant_digits)) != 0) {
        return bf_error_set(err, BF_E_MEMORY, "output", "no memory for the output");
    }
    (void)fputc('\n', out);
    return BF_OK;
}

bf_status bf__json_write(json_t *document, FILE *out, bf_error *err)
{
    const bf_status status =
        is_whole(document) ? bf__page_try(print_document, document, out, err)
                           : bf_error_set(err, BF_E_MEMORY, "output", "no memory for the output");
    json_decref(document);
    return status;
}
