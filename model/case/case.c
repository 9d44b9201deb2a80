/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From a case file to a rating specification.
 *
 *  1. yaml.c turns the file into paths with texts; unknown and repeated paths become findings.
 *  2. Keys nobody stated take their default text from keys.def, so that a default is read by the
 *     very same code as a stated value.
 *  3. The bed's geometry first: flows and volumes are stated against it.
 *  4. Every text becomes an SI number, is compared with its range, and lands in its struct.
 *  5. What only the whole can tell (brine above saturation, end point above the feed) is checked
 *     last and reported at the line that caused it.
 */
#include "brinefront/case.h"

#include "brinefront/units.h"
#include "case/keys.h"
#include "case/yaml.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

static const double pi = 3.14159265358979323846;

typedef struct stated {
    const char *text; /* NULL: neither stated nor filled in */
    int is_default;
    long line, column;
    double value; /* SI, once read; of a flow m/s, of a volume of water BV, of a freeboard m */
    int is_read;
} stated;

typedef struct reader {
    const char *file_name;
    const bf__yaml *yaml;
    bf_notes *notes;
    bf_error *err;
    bf_status status; /* the first finding's */
    int is_whole;     /* the file could be read to its end: what is missing is missing */
    stated key[BF__KEY_COUNT];
    bf_case *out;
    double area_m2;     /* 0 until the geometry is known */
    int bed_is_made_up; /* the file's is wrong: what is stated against it cannot be judged */
} reader;

/* ---- findings -----------------------------------------------------------------------------------
 */

static void find(reader *r, const char *path, long line, long column, const char *sentence)
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

static void find_key(reader *r, bf__key_id id, const char *sentence)
{
    const stated *s = &r->key[id];
    find(r, bf__key_get(id)->path, s->line, s->column, sentence);
}

/* ---- texts to numbers ---------------------------------------------------------------------------
 */

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
    return bf_error_set(err, BF_E_INPUT, bf__key_get(id)->path,
                        "\"%s\" is not accepted here; take %s", text, bf_case_key_get(id).kind);
}

/* Metres per second from a flow in any of its forms. */
static bf_status read_flow(const reader *r, bf__key_id id, const bf_quantity *q, const char *text,
                           double *out, bf_error *err)
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
static bf_status read_water(const reader *r, bf__key_id id, const bf_quantity *q, const char *text,
                            double *out, bf_error *err)
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

static bf_status read_freeboard(const reader *r, bf__key_id id, const bf_quantity *q,
                                const char *text, double *out, bf_error *err)
{
    switch (q->dimension) {
    case BF_DIMENSION_LENGTH: *out = q->value; return BF_OK;
    case BF_DIMENSION_NUMBER: *out = q->value * r->out->rating.bed.depth_m; return BF_OK;
    default: return wrong_kind(id, text, err);
    }
}

/* The number of a text for a key, in the key's own SI unit. */
static bf_status read_number(const reader *r, bf__key_id id, const char *text, double *out,
                             bf_error *err)
{
    bf_quantity q;
    bf_status status = bf_quantity_parse(text, &q, err);
    if (status != BF_OK) {
        return status;
    }
    switch (bf__key_get(id)->kind) {
    case BF__KIND_NUMBER:
    case BF__KIND_COUNT:
    case BF__KIND_FRACTION: status = bf_quantity_as(&q, BF_DIMENSION_NUMBER, out, err); break;
    case BF__KIND_HARDNESS: status = bf_quantity_as_hardness(&q, out, err); break;
    case BF__KIND_ION: status = bf_quantity_as_ion(&q, bf__key_ion(id), out, err); break;
    case BF__KIND_CAPACITY:
        status = bf_quantity_as(&q, BF_DIMENSION_EQUIVALENTS_PER_VOLUME, out, err);
        break;
    case BF__KIND_MASS_PER_VOLUME:
    case BF__KIND_DOSES: status = bf_quantity_as(&q, BF_DIMENSION_MASS_PER_VOLUME, out, err); break;
    case BF__KIND_CONDUCTIVITY:
        status = bf_quantity_as(&q, BF_DIMENSION_CONDUCTIVITY, out, err);
        break;
    case BF__KIND_TEMPERATURE:
        status = bf_quantity_as(&q, BF_DIMENSION_TEMPERATURE, out, err);
        break;
    case BF__KIND_LENGTH: status = bf_quantity_as(&q, BF_DIMENSION_LENGTH, out, err); break;
    case BF__KIND_VOLUME: status = bf_quantity_as(&q, BF_DIMENSION_VOLUME, out, err); break;
    case BF__KIND_TIME: status = bf_quantity_as(&q, BF_DIMENSION_TIME, out, err); break;
    case BF__KIND_DIFFUSIVITY:
        status = bf_quantity_as(&q, BF_DIMENSION_DIFFUSIVITY, out, err);
        break;
    case BF__KIND_ENERGY_PER_MOLE:
        status = bf_quantity_as(&q, BF_DIMENSION_ENERGY_PER_MOLE, out, err);
        break;
    case BF__KIND_STRENGTH:
        status = bf_quantity_as(&q, BF_DIMENSION_MASS_FRACTION, out, err);
        break;
    case BF__KIND_FLOW: status = read_flow(r, id, &q, text, out, err); break;
    case BF__KIND_WATER: status = read_water(r, id, &q, text, out, err); break;
    case BF__KIND_FREEBOARD: status = read_freeboard(r, id, &q, text, out, err); break;
    case BF__KIND_TEXT:
    case BF__KIND_CHOICE: status = wrong_kind(id, text, err); break;
    }
    return status;
}

/* Read and compare with the key's range; a finding and 0 on failure. */
static int read_within(reader *r, bf__key_id id, const char *text, long line, long column,
                       double *out)
{
    const bf__key *key = bf__key_get(id);
    bf_error err = {0};
    if (read_number(r, id, text, out, &err) != BF_OK) {
        find(r, key->path, line, column + (err.column > 0 ? err.column - 1 : 0), err.message);
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
    int is_against_bed = key->kind == BF__KIND_FLOW || key->kind == BF__KIND_WATER ||
                         key->kind == BF__KIND_FREEBOARD;
    if (is_against_bed && r->bed_is_made_up) {
        return 1;
    }
    /* The bounds are texts too: a value on a bound may miss it by a rounding. */
    double slack = 1e-9 * fabs(*out);
    if (!(*out >= least - slack && *out <= most + slack)) {
        char sentence[300];
        (void)snprintf(sentence, sizeof sentence, "\"%s\" is out of range; accepted are %s to %s",
                       text, key->least, key->most);
        find(r, key->path, line, column, sentence);
        return 0;
    }
    if (key->kind == BF__KIND_COUNT && *out != floor(*out)) {
        char sentence[300];
        (void)snprintf(sentence, sizeof sentence, "\"%s\" is not a whole number", text);
        find(r, key->path, line, column, sentence);
        return 0;
    }
    return 1;
}

static int has(const reader *r, bf__key_id id)
{
    return r->key[id].is_read;
}

static int is_stated(const reader *r, bf__key_id id)
{
    return r->key[id].text != NULL;
}

static double value_of(const reader *r, bf__key_id id)
{
    return r->key[id].is_read ? r->key[id].value : (double)NAN;
}

static void read_key(reader *r, bf__key_id id)
{
    stated *s = &r->key[id];
    if (s->text != NULL) {
        s->is_read = read_within(r, id, s->text, s->line, s->column, &s->value);
    }
}

/* Nonzero when the choice is `word`. */
static int chosen(const reader *r, bf__key_id id, const char *word)
{
    return r->key[id].text != NULL && strcmp(r->key[id].text, word) == 0;
}

static void check_choice(reader *r, bf__key_id id)
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
    find_key(r, id, sentence);
}

/* ---- the steps of reading -----------------------------------------------------------------------
 */

static void collect(reader *r)
{
    for (size_t e = 0; e < r->yaml->count; e++) {
        const bf__yaml_entry *entry = &r->yaml->entries[e];
        bf__key_id id = bf__key_find(entry->path);
        int is_item = strchr(entry->path, '[') != NULL;
        if (id == BF__KEY_COUNT) {
            const char *near = bf__key_nearest(entry->path);
            char sentence[300];
            (void)snprintf(sentence, sizeof sentence, "no such key%s%s%s",
                           near ? "; did you mean " : "", near ? near : "",
                           near ? "?" : "; docs/case-keys.md lists them all");
            find(r, entry->path, entry->key_line, entry->key_column, sentence);
        } else if (is_item && bf__key_get(id)->kind != BF__KIND_DOSES) {
            find(r, entry->path, entry->line, entry->column, "a list where one value is expected");
        } else if (r->key[id].text == NULL) { /* of a list, the first item stands for it */
            r->key[id] =
                (stated){.text = entry->value, .line = entry->line, .column = entry->column};
        }
    }
    for (size_t k = 0; k < BF__KEY_COUNT; k++) {
        const bf__key *key = bf__key_get((bf__key_id)k);
        if (r->key[k].text == NULL && *key->default_text != '\0') {
            r->key[k] = (stated){.text = key->default_text, .is_default = 1};
            if (strncmp(key->path, "numerics.", 9) != 0) {
                bf_notes_add(r->notes, BF_NOTE_ASSUMED, key->path, "%s%s%s%s", key->default_text,
                             *key->source ? " (" : "", key->source, *key->source ? ")" : "");
            }
        }
    }
}

/* Diameter, depth and resin volume: two of them fix the third. */
static void read_geometry(reader *r)
{
    const double practice_depth_m = 0.76; /* 30 in: published beds, 24 in or more */
    bf_bed_spec *bed = &r->out->rating.bed;
    read_key(r, BF__KEY_DIAMETER);
    read_key(r, BF__KEY_DEPTH);
    read_key(r, BF__KEY_RESIN_VOLUME);
    double diameter = value_of(r, BF__KEY_DIAMETER);
    double depth = value_of(r, BF__KEY_DEPTH);
    double volume = value_of(r, BF__KEY_RESIN_VOLUME);
    if (has(r, BF__KEY_DIAMETER) && has(r, BF__KEY_DEPTH) && has(r, BF__KEY_RESIN_VOLUME)) {
        double of_both = 0.25 * pi * diameter * diameter * depth;
        if (fabs(volume - of_both) > 0.02 * of_both) {
            char sentence[300];
            (void)snprintf(sentence, sizeof sentence,
                           "resin volume %.4g L contradicts diameter and depth, which make %.4g L; "
                           "state two of the three",
                           1e3 * volume, 1e3 * of_both);
            find_key(r, BF__KEY_RESIN_VOLUME, sentence);
        }
    } else if (has(r, BF__KEY_RESIN_VOLUME)) {
        if (!has(r, BF__KEY_DEPTH) && has(r, BF__KEY_DIAMETER)) {
            depth = volume / (0.25 * pi * diameter * diameter);
            bf_notes_add(r->notes, BF_NOTE_DEDUCED, "bed.depth",
                         "%.4g m from resin volume and diameter", depth);
        } else {
            if (!has(r, BF__KEY_DEPTH)) {
                depth = practice_depth_m;
                bf_notes_add(r->notes, BF_NOTE_ASSUMED, "bed.depth",
                             "0.76 m (30 in; published beds are 24 in or deeper)");
            }
            diameter = sqrt(volume / (0.25 * pi * depth));
            bf_notes_add(r->notes, BF_NOTE_DEDUCED, "bed.diameter",
                         "%.4g m from resin volume and depth", diameter);
        }
    } else if (!has(r, BF__KEY_DIAMETER) || !has(r, BF__KEY_DEPTH)) {
        int count = is_stated(r, BF__KEY_DIAMETER) + is_stated(r, BF__KEY_DEPTH);
        /* A value that is stated but wrong has its finding already. */
        if (r->is_whole && count < 2 && !is_stated(r, BF__KEY_RESIN_VOLUME)) {
            find(r, "bed", 0, 0,
                 count > 0 ? "diameter, depth and resin_volume: two of them are needed"
                           : "no bed: state bed.diameter and bed.depth, or bed.resin_volume");
        }
        r->bed_is_made_up = 1; /* so that the rest of the file can still be read */
        diameter = 0.26;
        depth = practice_depth_m;
    }
    if (!(depth >= 0.01 && depth <= 10.0 && diameter >= 0.01 && diameter <= 10.0)) {
        char sentence[200];
        (void)snprintf(sentence, sizeof sentence,
                       "the bed comes to %.4g m across and %.4g m deep; accepted are 1 cm to 10 m",
                       diameter, depth);
        find(r, "bed", r->key[BF__KEY_RESIN_VOLUME].line, r->key[BF__KEY_RESIN_VOLUME].column,
             sentence);
        r->bed_is_made_up = 1;
        diameter = 0.26;
        depth = practice_depth_m;
    }
    bed->diameter_m = diameter;
    bed->depth_m = depth;
    r->area_m2 = 0.25 * pi * diameter * diameter;
}

/* A title is one line, whatever the file makes of it. */
static void read_title(reader *r)
{
    const char *text = is_stated(r, BF__KEY_TITLE) ? r->key[BF__KEY_TITLE].text : "";
    size_t length = strlen(text);
    length = length < sizeof r->out->title ? length : sizeof r->out->title - 1;
    while (((unsigned char)text[length] & 0xC0U) == 0x80U) {
        length--; /* not in the middle of a character */
    }
    for (size_t i = 0; i < length; i++) {
        r->out->title[i] = text[i] == '\n' || text[i] == '\t' ? ' ' : text[i];
    }
}

static void read_all(reader *r)
{
    for (size_t k = 0; k < BF__KEY_COUNT; k++) {
        bf__key_id id = (bf__key_id)k;
        switch (bf__key_get(id)->kind) {
        case BF__KIND_TEXT: break;
        case BF__KIND_CHOICE: check_choice(r, id); break;
        case BF__KIND_DOSES: break; /* read_doses() */
        default:
            if (id != BF__KEY_DIAMETER && id != BF__KEY_DEPTH && id != BF__KEY_RESIN_VOLUME) {
                read_key(r, id);
            }
            break;
        }
    }
}

static void add_dose(reader *r, const char *text, long line, long column)
{
    bf_case *out = r->out;
    double dose;
    if (!read_within(r, BF__KEY_DOSES, text, line, column, &dose)) {
        return;
    }
    if (out->dose_count == BF_CASE_DOSES) {
        char sentence[100];
        (void)snprintf(sentence, sizeof sentence, "more than %d doses", BF_CASE_DOSES);
        find(r, "regeneration.doses", line, column, sentence);
        return;
    }
    out->dose_kg_per_m3[out->dose_count++] = dose;
}

/* A list of the file, or a list in one text, as the default is. */
static void read_doses(reader *r)
{
    const bf__key *key = bf__key_get(BF__KEY_DOSES);
    int is_list = 0;
    for (size_t e = 0; e < r->yaml->count; e++) {
        const bf__yaml_entry *entry = &r->yaml->entries[e];
        if (bf__key_find(entry->path) == BF__KEY_DOSES && strcmp(entry->path, key->path) != 0) {
            add_dose(r, entry->value, entry->line, entry->column);
            is_list = 1;
        }
    }
    bf_error err = {0};
    if (!is_list && bf_case_set_doses(r->out, r->key[BF__KEY_DOSES].text, &err) != BF_OK) {
        find_key(r, BF__KEY_DOSES, err.message);
    }
}

/* ---- building -----------------------------------------------------------------------------------
 */

/* An error of a layer to the left, reported at the key that caused it. */
static void pass_on(reader *r, bf__key_id cause, bf_status status, const bf_error *err)
{
    if (status != BF_OK) {
        find_key(r, cause, err->message);
    }
}

/* The first value of the file's analysis; one without a place where nothing is stated. */
static const stated *first_of_water(const reader *r)
{
    const stated *first = &r->key[BF__KEY_HARDNESS];
    for (size_t k = 0; k < BF__KEY_COUNT; k++) {
        const stated *s = &r->key[k];
        int is_before =
            s->line < first->line || (s->line == first->line && s->column < first->column);
        if (strncmp(bf__key_get((bf__key_id)k)->path, "water.", 6) == 0 && s->line > 0 &&
            (first->line == 0 || is_before)) {
            first = s;
        }
    }
    return first;
}

static void build_water(reader *r)
{
    bf_water_analysis analysis = bf_water_analysis_default();
    analysis.hardness_eq_per_m3 = value_of(r, BF__KEY_HARDNESS);
    analysis.calcium_to_magnesium = value_of(r, BF__KEY_CA_TO_MG);
    analysis.dissolved_solids_kg_per_m3 = value_of(r, BF__KEY_DISSOLVED_SOLIDS);
    analysis.conductivity_S_per_m = value_of(r, BF__KEY_CONDUCTIVITY);
    analysis.temperature_K = value_of(r, BF__KEY_TEMPERATURE);
    analysis.pH = value_of(r, BF__KEY_PH);
    for (size_t k = 0; k < BF__KEY_COUNT; k++) {
        if (bf__key_get((bf__key_id)k)->kind == BF__KIND_ION && r->key[k].is_read) {
            analysis.ion_eq_per_m3[bf__key_ion((bf__key_id)k)] = r->key[k].value;
        }
    }
    if (r->status == BF_OK) { /* otherwise the analysis is known to be incomplete */
        bf_error err = {0};
        if (bf_water_complete(&analysis, &r->out->rating.water, r->notes, &err) != BF_OK) {
            const stated *first = first_of_water(r); /* the analysis as a whole is what is wrong */
            find(r, "water", first->line, first->column, err.message);
        }
    }
}

static void build_bed(reader *r)
{
    bf_bed_spec *bed = &r->out->rating.bed;
    bf_error err = {0};
    if (bf_resin_find(r->key[BF__KEY_RESIN].text, &bed->resin, &err) != BF_OK) {
        bed->resin = bf_resin_gel_8(); /* the choice has been found wrong already */
    }
    const struct {
        bf__key_id id;
        double *to;
    } fields[] = {
        {BF__KEY_CAPACITY, &bed->resin.capacity_eq_per_m3},
        {BF__KEY_VOID, &bed->resin.void_fraction},
        {BF__KEY_BEAD_DIAMETER, &bed->resin.bead_diameter_m},
        {BF__KEY_BEAD_DENSITY, &bed->resin.bead_density_kg_per_m3},
        {BF__KEY_FREEBOARD, &bed->freeboard_m},
        {BF__KEY_TEMPERATURE, &bed->temperature_K},
        {BF__KEY_RELATIVE_TOLERANCE, &bed->relative_tolerance},
        {BF__KEY_HARDNESS_TOLERANCE, &bed->hardness_tolerance_eq_per_m3},
    };
    for (size_t f = 0; f < sizeof fields / sizeof *fields; f++) {
        if (has(r, fields[f].id)) {
            *fields[f].to = value_of(r, fields[f].id);
        }
    }
    for (size_t i = 0; i < BF_CATION_COUNT; i++) {
        if (has(r, (bf__key_id)(BF__KEY_SELECTIVITY_NA + i))) {
            bed->resin.selectivity[i] = value_of(r, (bf__key_id)(BF__KEY_SELECTIVITY_NA + i));
        }
        if (has(r, (bf__key_id)(BF__KEY_DIFFUSIVITY_NA + i))) {
            bed->resin.diffusivity_25C_m2_per_s[i] =
                value_of(r, (bf__key_id)(BF__KEY_DIFFUSIVITY_NA + i));
        }
        if (has(r, (bf__key_id)(BF__KEY_ACTIVATION_NA + i))) {
            bed->resin.activation_J_per_mol[i] =
                value_of(r, (bf__key_id)(BF__KEY_ACTIVATION_NA + i));
        }
    }
    if (bed->resin.selectivity[BF_ION_NA] != 1.0) {
        find_key(r, BF__KEY_SELECTIVITY_NA,
                 "sodium is what the others are measured against: it is 1");
    }
    bed->cells = has(r, BF__KEY_CELLS) ? (size_t)value_of(r, BF__KEY_CELLS) : bed->cells;
    bed->shells = has(r, BF__KEY_SHELLS) ? (size_t)value_of(r, BF__KEY_SHELLS) : bed->shells;
}

static bf_step *add_step(bf_recipe *recipe, const bf_step_type *type, double velocity_m_per_s)
{
    bf_step *step = &recipe->step[recipe->count++];
    *step = (bf_step){.type = type,
                      .direction = BF_FLOW_DOWN,
                      .supply = BF_SUPPLY_RAW,
                      .velocity_m_per_s = velocity_m_per_s,
                      .bed_volumes = (double)NAN,
                      .end_hardness_eq_per_m3 = (double)NAN,
                      .stop_hardness_eq_per_m3 = (double)NAN};
    return step;
}

static void build_recipe(reader *r)
{
    bf_recipe *recipe = &r->out->rating.recipe;
    const double depth_m = r->out->rating.bed.depth_m;
    const bf_salt salt = chosen(r, BF__KEY_SALT, "KCl") ? BF_SALT_KCL : BF_SALT_NACL;
    const double strength = value_of(r, BF__KEY_BRINE_STRENGTH);
    const bf_supply brine_water =
        chosen(r, BF__KEY_BRINE_WATER, "raw") ? BF_SUPPLY_RAW : BF_SUPPLY_SOFT;
    const bf_direction direction =
        chosen(r, BF__KEY_DIRECTION, "counter-current") ? BF_FLOW_UP : BF_FLOW_DOWN;

    bf_step *step = add_step(recipe, &bf_step_service, value_of(r, BF__KEY_SERVICE_FLOW));
    step->bed_volumes = value_of(r, BF__KEY_SERVICE_VOLUME);
    step->end_hardness_eq_per_m3 = value_of(r, BF__KEY_END_POINT);
    step->stop_hardness_eq_per_m3 = value_of(r, BF__KEY_STOP_AT);

    if (value_of(r, BF__KEY_BACKWASH_TIME) > 0.0) {
        step = add_step(recipe, &bf_step_backwash, value_of(r, BF__KEY_BACKWASH_FLOW));
        step->direction = BF_FLOW_UP;
        step->bed_volumes = value_of(r, BF__KEY_BACKWASH_TIME) * step->velocity_m_per_s / depth_m;
        step->mix_share = value_of(r, BF__KEY_BACKWASH_MIXING);
    }
    step = add_step(recipe, &bf_step_brine, value_of(r, BF__KEY_BRINE_FLOW));
    step->direction = direction;
    step->supply = brine_water;
    step->salt = salt;
    step->mass_fraction = strength;
    if (value_of(r, BF__KEY_SLOW_RINSE_VOLUME) > 0.0) {
        step = add_step(recipe, &bf_step_slow_rinse, value_of(r, BF__KEY_SLOW_RINSE_FLOW));
        step->direction = direction;
        step->supply = chosen(r, BF__KEY_SLOW_RINSE_WATER, "soft") ? BF_SUPPLY_SOFT : BF_SUPPLY_RAW;
        step->bed_volumes = value_of(r, BF__KEY_SLOW_RINSE_VOLUME);
    }
    if (value_of(r, BF__KEY_FAST_RINSE_VOLUME) > 0.0) {
        step = add_step(recipe, &bf_step_fast_rinse, value_of(r, BF__KEY_FAST_RINSE_FLOW));
        step->bed_volumes = value_of(r, BF__KEY_FAST_RINSE_VOLUME);
    }
    step = add_step(recipe, &bf_step_refill, value_of(r, BF__KEY_REFILL_FLOW));
    step->supply = brine_water;
    step->salt = salt;
    step->mass_fraction = strength;
}

/* What only the whole can tell. */
static void check_whole(reader *r)
{
    const bf_rating_spec *rating = &r->out->rating;
    bf_error err = {0};
    bf_brine brine;
    bf_status status = bf_brine_of_mass_fraction(rating->recipe.step[rating->recipe.count - 1].salt,
                                                 value_of(r, BF__KEY_BRINE_STRENGTH),
                                                 rating->water.temperature_K, &brine, &err);
    pass_on(r, BF__KEY_BRINE_STRENGTH, status, &err);
    if (value_of(r, BF__KEY_END_POINT) >= rating->water.hardness_eq_per_m3) {
        find_key(r, BF__KEY_END_POINT,
                 "the end point is not below the hardness of the feed; lower it");
    }
    if (value_of(r, BF__KEY_STOP_AT) <= value_of(r, BF__KEY_END_POINT)) {
        find_key(r, BF__KEY_STOP_AT, "stop_at is not above end_point; raise it or leave it out");
    }
    if (value_of(r, BF__KEY_STOP_AT) >= rating->water.hardness_eq_per_m3) {
        find_key(r, BF__KEY_STOP_AT, "stop_at is not below the hardness of the feed; lower it");
    }
    if (r->status == BF_OK) {
        bf_rating_spec probe = *rating;
        bf_recipe_set_dose(&probe.recipe, r->out->dose_kg_per_m3[0]);
        status = bf_rating_spec_check(&probe, &err);
        if (status != BF_OK) {
            find(r, err.where, 0, 0, err.message);
        }
    }
}

static bf_status build(const char *file_name, const bf__yaml *yaml, bf_status so_far, bf_case *out,
                       bf_notes *notes, bf_error *err)
{
    memset(out, 0, sizeof *out);
    out->rating.bed = bf_bed_spec_default();
    out->rating.steady = bf_steady_spec_default();
    reader r = {.file_name = file_name,
                .yaml = yaml,
                .notes = notes,
                .err = err,
                .status = so_far,
                .is_whole = so_far == BF_OK,
                .out = out};
    collect(&r);
    read_geometry(&r);
    read_all(&r);
    read_doses(&r);
    read_title(&r);
    if (has(&r, BF__KEY_MOST_CYCLES)) {
        out->rating.steady.most_cycles = (size_t)value_of(&r, BF__KEY_MOST_CYCLES);
    }
    build_water(&r);
    build_bed(&r);
    if (r.status == BF_OK) {
        build_recipe(&r);
        check_whole(&r);
    }
    return r.status;
}

bf_status bf_case_read(const char *file_name, bf_case *out, bf_notes *notes, bf_error *err)
{
    bf__yaml yaml = {0};
    bf_status status = bf__yaml_read_file(file_name, &yaml, notes, err);
    if (status == BF_OK || status == BF_E_INPUT) {
        const char *name = strcmp(file_name, "-") == 0 ? "standard input" : file_name;
        status = build(name, &yaml, status, out, notes, err);
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

/* ---- a list of doses in one text ----------------------------------------------------------------
 */

/* Split at commas and spaces into numbers; whatever else follows a number is the unit of all before
 * it that have none. */
bf_status bf_case_set_doses(bf_case *to, const char *text, bf_error *err)
{
    double dose[BF_CASE_DOSES];
    char number[BF_CASE_DOSES][32];
    size_t count = 0;
    size_t without_unit = 0;
    const char *at = text;
    bf_error inner = {0};
    while (*at != '\0') {
        at += strspn(at, ", \t");
        if (*at == '\0') {
            break;
        }
        size_t width = strcspn(at, ", \t");
        size_t digits = strspn(at, "0123456789.+-eE");
        digits = digits < width ? digits : width;
        const char *unit = at + digits;
        int starts_number = digits > 0 && (isdigit((unsigned char)*at) || strchr("+-.", *at));
        if (starts_number) {
            if (count == BF_CASE_DOSES || digits >= sizeof number[0]) {
                return bf_error_set(err, BF_E_INPUT, "doses",
                                    "\"%s\" holds more than %d doses or too long a number", text,
                                    BF_CASE_DOSES);
            }
            (void)snprintf(number[count++], sizeof number[0], "%.*s", (int)digits, at);
            if (digits == width) {
                at += width;
                continue;
            }
        } else if (without_unit == count) {
            return bf_error_set(
                err, BF_E_INPUT, "doses",
                "\"%.*s\" in \"%s\" is not a dose; write doses as \"3, 6, 10 lb/ft3\"", (int)width,
                at, text);
        } else {
            unit = at;
        }
        size_t unit_length = (size_t)(at + width - unit);
        for (; without_unit < count; without_unit++) {
            char whole[96];
            (void)snprintf(whole, sizeof whole, "%s %.*s", number[without_unit],
                           (int)(unit_length < 40 ? unit_length : 40), unit);
            bf_quantity q;
            bf_status status = bf_quantity_parse(whole, &q, &inner);
            if (status == BF_OK) {
                status =
                    bf_quantity_as(&q, BF_DIMENSION_MASS_PER_VOLUME, &dose[without_unit], &inner);
            }
            if (status != BF_OK) {
                return bf_error_set(err, BF_E_INPUT, "doses", "dose \"%s\": %s", whole,
                                    inner.message);
            }
            if (!(dose[without_unit] >= 1.0 && dose[without_unit] <= 1000.0)) {
                return bf_error_set(err, BF_E_INPUT, "doses",
                                    "dose \"%s\" is out of range; accepted are 1 to 1000 g/L",
                                    whole);
            }
        }
        at += width;
    }
    if (count == 0 || without_unit < count) {
        return bf_error_set(err, BF_E_INPUT, "doses",
                            count == 0
                                ? "\"%s\" holds no dose; write \"3, 6, 10 lb/ft3\""
                                : "\"%s\" has no unit; add lb/ft3 or g/L behind the last dose",
                            text);
    }
    memcpy(to->dose_kg_per_m3, dose, count * sizeof *dose);
    to->dose_count = count;
    return BF_OK;
}
