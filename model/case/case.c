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
 *  6. Where the file has a section `tank`, tank.c makes the vessel of it from all of that;
 *  7. where it has a section `campaign`, campaign.c the years.
 */
#include "brinefront/case.h"

#include "case/file/file.h"
#include "case/reader.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static const double pi = 3.14159265358979323846;

/* ---- the steps of reading ------------------------------------------------------------------- */

/* The key above a path, bed.depth of "bed.depth.value"; BF__KEY_COUNT where there is none. */
static bf__key_id key_above(const char *path)
{
    char above[400];
    const char *dot = strrchr(path, '.');
    if (dot == NULL || strchr(path, '[') != NULL) {
        return BF__KEY_COUNT;
    }
    (void)snprintf(above, sizeof above, "%.*s", (int)(dot - path), path);
    return bf__key_find(above);
}

/* The first key below a path, "bed.diameter" of "bed"; NULL where there is none. */
static const char *key_below(const char *path)
{
    size_t length = strlen(path);
    for (size_t k = 0; k < BF__KEY_COUNT; k++) {
        const char *key = bf__key_get((bf__key_id)k)->path;
        if (strncmp(key, path, length) == 0 && key[length] == '.') {
            return key;
        }
    }
    return NULL;
}

static void find_unknown(bf__reader *r, const bf__yaml_entry *entry)
{
    const char *path = entry->path;
    const char *below = key_below(path);
    const char *near = bf__key_nearest(path);
    bf__key_id above = key_above(path);
    char sentence[300];
    if (below != NULL) {
        (void)snprintf(sentence, sizeof sentence,
                       "a section, not a value: its keys, such as %s, stand below it, indented",
                       below + strlen(path) + 1);
    } else if (above == BF__KEY_STEPS) {
        (void)snprintf(
            sentence, sizeof sentence,
            "steps is a list: write [backwash, brine, ...], or put \"- \" before `step`");
    } else if (above == BF__KEY_SEASONS) {
        (void)snprintf(sentence, sizeof sentence,
                       "seasons is a list: put \"- \" before the first key of each");
    } else if (above != BF__KEY_COUNT) {
        (void)snprintf(sentence, sizeof sentence, "%s takes a value, no keys of its own",
                       bf__key_get(above)->path);
    } else if (bf__key_is_in_list(path)) {
        (void)snprintf(sentence, sizeof sentence, "a list where none is expected");
    } else if (near != NULL) {
        (void)snprintf(sentence, sizeof sentence, "no such key; did you mean %s?", near);
    } else {
        (void)snprintf(sentence, sizeof sentence, "no such key; docs/case-keys.md lists them all");
    }
    bf__reader_find(r, path, entry->key_line, entry->key_column, sentence);
}

static void collect(bf__reader *r)
{
    for (size_t e = 0; e < r->yaml->count; e++) {
        const bf__yaml_entry *entry = &r->yaml->entries[e];
        bf__key_id id = bf__key_find(entry->path);
        int is_item = strchr(entry->path, '[') != NULL;
        r->has_campaign = r->has_campaign || strncmp(entry->path, "campaign.", 9) == 0;
        r->has_tank = r->has_tank || strncmp(entry->path, "tank.", 5) == 0;
        if (id == BF__KEY_COUNT) {
            find_unknown(r, entry);
        } else if (bf__key_is_item(id) || (is_item && bf__key_is_list(id) && id != BF__KEY_DOSES)) {
            continue; /* recipe.c and campaign.c read the items */
        } else if (is_item && !bf__key_is_list(id)) {
            bf__reader_find(r, entry->path, entry->line, entry->column,
                            "a list where one value is expected");
        } else if (r->key[id].text == NULL) { /* of a list, the first item stands for it */
            r->key[id] =
                (bf__stated){.text = entry->value, .line = entry->line, .column = entry->column};
        }
    }
    for (size_t k = 0; k < BF__KEY_COUNT; k++) {
        const char *text = bf__reader_default(r, (bf__key_id)k);
        if (r->key[k].text == NULL && text != NULL) {
            r->key[k] = (bf__stated){.text = text, .is_default = 1};
        }
    }
}

static int has_step(const bf_recipe *recipe, bf_step_role role)
{
    return bf_recipe_find(recipe, role) != NULL;
}

/* Does a value that was filled in play a part in the cycle as it was built? */
static int is_in_play(const bf__reader *r, bf__key_id id)
{
    const bf_recipe *recipe = &r->out->rating.recipe;
    const int is_drawn = bf__reader_is_stated(r, BF__KEY_DRAW_FLOW);
    const int is_sea = bf__reader_chosen(r, BF__KEY_SALT, "sea_water");
    switch (id) {
    case BF__KEY_BACKWASH_TIME:
    case BF__KEY_BACKWASH_MIXING: return has_step(recipe, BF_ROLE_BACKWASH);
    case BF__KEY_DOSES: return !bf__reader_is_stated(r, BF__KEY_BRINE_VOLUME);
    case BF__KEY_BRINE_FLOW: return !is_drawn;
    case BF__KEY_BRINE_STRENGTH: return !is_drawn && !is_sea;
    case BF__KEY_BRINE_WATER: return !is_sea;
    case BF__KEY_SLOW_RINSE_FLOW: return is_drawn || has_step(recipe, BF_ROLE_SLOW_RINSE);
    case BF__KEY_SLOW_RINSE_VOLUME:
    case BF__KEY_SLOW_RINSE_WATER: return has_step(recipe, BF_ROLE_SLOW_RINSE);
    case BF__KEY_FAST_RINSE_FLOW:
    case BF__KEY_FAST_RINSE_VOLUME: return has_step(recipe, BF_ROLE_FAST_RINSE);
    case BF__KEY_REFILL_FLOW: return has_step(recipe, BF_ROLE_REFILL);
    default: return strcmp(bf__key_section(id)->name, "numerics") != 0;
    }
}

static void note_assumptions(const bf__reader *r)
{
    for (size_t k = 0; k < BF__KEY_COUNT; k++) {
        const bf__key *key = bf__key_get((bf__key_id)k);
        if (r->key[k].is_default && is_in_play(r, (bf__key_id)k)) {
            bf_notes_add(r->notes, BF_NOTE_ASSUMED, key->path, "%s%s%s%s", r->key[k].text,
                         *key->source ? " (" : "", key->source, *key->source ? ")" : "");
        }
    }
}

/* Diameter, depth and resin volume: two of them fix the third. */
static void read_geometry(bf__reader *r)
{
    const double practice_depth_m = 0.76; /* 30 in: published beds, 24 in or more */
    bf_bed_spec *bed = &r->out->rating.bed;
    bf__reader_read(r, BF__KEY_DIAMETER);
    bf__reader_read(r, BF__KEY_DEPTH);
    bf__reader_read(r, BF__KEY_RESIN_VOLUME);
    bf__reader_take_size(r);
    double diameter = bf__reader_value(r, BF__KEY_DIAMETER);
    double depth = bf__reader_value(r, BF__KEY_DEPTH);
    double volume = bf__reader_value(r, BF__KEY_RESIN_VOLUME);
    if (bf__reader_has(r, BF__KEY_DIAMETER) && bf__reader_has(r, BF__KEY_DEPTH) &&
        bf__reader_has(r, BF__KEY_RESIN_VOLUME)) {
        double of_both = 0.25 * pi * diameter * diameter * depth;
        if (fabs(volume - of_both) > 0.02 * of_both) {
            char sentence[300];
            (void)snprintf(sentence, sizeof sentence,
                           "resin volume %.4g L contradicts diameter and depth, which make %.4g L; "
                           "state two of the three",
                           1e3 * volume, 1e3 * of_both);
            bf__reader_find_key(r, BF__KEY_RESIN_VOLUME, sentence);
        }
    } else if (bf__reader_has(r, BF__KEY_RESIN_VOLUME)) {
        if (!bf__reader_has(r, BF__KEY_DEPTH) && bf__reader_has(r, BF__KEY_DIAMETER)) {
            depth = volume / (0.25 * pi * diameter * diameter);
            bf_notes_add(r->notes, BF_NOTE_DEDUCED, "bed.depth",
                         "%.4g m from resin volume and diameter", depth);
        } else {
            if (!bf__reader_has(r, BF__KEY_DEPTH)) {
                depth = practice_depth_m;
                bf_notes_add(r->notes, BF_NOTE_ASSUMED, "bed.depth",
                             "0.76 m (30 in; published beds are 24 in or deeper)");
            }
            diameter = sqrt(volume / (0.25 * pi * depth));
            bf_notes_add(r->notes, BF_NOTE_DEDUCED, "bed.diameter",
                         "%.4g m from resin volume and depth", diameter);
        }
    } else if (!bf__reader_has(r, BF__KEY_DIAMETER) || !bf__reader_has(r, BF__KEY_DEPTH)) {
        int count =
            (bf__reader_is_stated(r, BF__KEY_DIAMETER) || bf__reader_has(r, BF__KEY_DIAMETER)) +
            bf__reader_is_stated(r, BF__KEY_DEPTH);
        /* A value that is stated but wrong has its finding already. */
        if (r->is_whole && count < 2 && !bf__reader_is_stated(r, BF__KEY_RESIN_VOLUME) &&
            !bf__reader_is_stated(r, BF__KEY_TANK_SIZE)) {
            bf__reader_find(r, "bed", 0, 0,
                            count > 0
                                ? "diameter, depth and resin_volume: two of them are needed"
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
        bf__reader_find(r, "bed", r->key[BF__KEY_RESIN_VOLUME].line,
                        r->key[BF__KEY_RESIN_VOLUME].column, sentence);
        r->bed_is_made_up = 1;
        diameter = 0.26;
        depth = practice_depth_m;
    }
    bed->diameter_m = diameter;
    bed->depth_m = depth;
    r->area_m2 = bf_bed_area_m2(bed);
}

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
        case BF__KIND_DOSES: break;    /* read_doses() */
        case BF__KIND_MAPPINGS: break; /* campaign.c */
        default:
            if (id != BF__KEY_DIAMETER && id != BF__KEY_DEPTH && id != BF__KEY_RESIN_VOLUME) {
                bf__reader_read(r, id);
            }
            break;
        }
    }
}

static void add_dose(bf__reader *r, const char *text, long line, long column)
{
    bf_case *out = r->out;
    double dose;
    if (!bf__reader_within(r, BF__KEY_DOSES, text, line, column, &dose)) {
        return;
    }
    if (out->dose_count == BF_CASE_DOSES) {
        char sentence[100];
        (void)snprintf(sentence, sizeof sentence, "more than %d doses", BF_CASE_DOSES);
        bf__reader_find(r, "regeneration.doses", line, column, sentence);
        return;
    }
    out->dose_kg_per_m3[out->dose_count++] = dose;
}

/* A list of the file, or a list in one text, as the default is. */
static void read_doses(bf__reader *r)
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
        bf__reader_find_key(r, BF__KEY_DOSES, err.message);
    }
}

/* ---- building -------------------------------------------------------------------------------- */

/* The first value of the file's analysis; one without a place where nothing is stated. */
static const bf__stated *first_of_water(const bf__reader *r)
{
    const bf__stated *first = &r->key[BF__KEY_HARDNESS];
    for (size_t k = 0; k < BF__KEY_COUNT; k++) {
        const bf__stated *s = &r->key[k];
        int is_before =
            s->line < first->line || (s->line == first->line && s->column < first->column);
        if (strcmp(bf__key_section((bf__key_id)k)->name, "water") == 0 && s->line > 0 &&
            (first->line == 0 || is_before)) {
            first = s;
        }
    }
    return first;
}

bf_water_analysis bf__reader_analysis(const bf__reader *r)
{
    bf_water_analysis analysis = bf_water_analysis_default();
    analysis.hardness_eq_per_m3 = bf__reader_value(r, BF__KEY_HARDNESS);
    analysis.calcium_to_magnesium = bf__reader_value(r, BF__KEY_CA_TO_MG);
    analysis.dissolved_solids_kg_per_m3 = bf__reader_value(r, BF__KEY_DISSOLVED_SOLIDS);
    analysis.conductivity_S_per_m = bf__reader_value(r, BF__KEY_CONDUCTIVITY);
    analysis.temperature_K = bf__reader_value(r, BF__KEY_TEMPERATURE);
    analysis.pH = bf__reader_value(r, BF__KEY_PH);
    for (size_t k = 0; k < BF__KEY_COUNT; k++) {
        if (bf__key_get((bf__key_id)k)->kind == BF__KIND_ION && r->key[k].is_read) {
            analysis.ion_eq_per_m3[bf__key_ion((bf__key_id)k)] = r->key[k].value;
        }
    }
    return analysis;
}

static void build_water(bf__reader *r)
{
    if (r->status == BF_OK) { /* otherwise the analysis is known to be incomplete */
        const bf_water_analysis analysis = bf__reader_analysis(r);
        bf_error err = {0};
        if (bf_water_complete(&analysis, &r->out->rating.water, r->notes, &err) != BF_OK) {
            const bf__stated *first =
                first_of_water(r); /* the analysis as a whole is what is wrong */
            bf__reader_find(r, "water", first->line, first->column, err.message);
        }
    }
}

static void build_bed(bf__reader *r)
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
        {BF__KEY_UNIFORMITY, &bed->resin.uniformity_coefficient},
        {BF__KEY_BEAD_DENSITY, &bed->resin.bead_density_kg_per_m3},
        {BF__KEY_FREEBOARD, &bed->freeboard_m},
        {BF__KEY_TEMPERATURE, &bed->temperature_K},
        {BF__KEY_RELATIVE_TOLERANCE, &bed->relative_tolerance},
        {BF__KEY_HARDNESS_TOLERANCE, &bed->hardness_tolerance_eq_per_m3},
    };
    for (size_t f = 0; f < sizeof fields / sizeof *fields; f++) {
        if (bf__reader_has(r, fields[f].id)) {
            *fields[f].to = bf__reader_value(r, fields[f].id);
        }
    }
    for (size_t i = 0; i < BF_CATION_COUNT; i++) {
        if (bf__reader_has(r, (bf__key_id)(BF__KEY_SELECTIVITY_NA + i))) {
            bed->resin.selectivity[i] =
                bf__reader_value(r, (bf__key_id)(BF__KEY_SELECTIVITY_NA + i));
        }
        if (bf__reader_has(r, (bf__key_id)(BF__KEY_DIFFUSIVITY_NA + i))) {
            bed->resin.diffusivity_25C_m2_per_s[i] =
                bf__reader_value(r, (bf__key_id)(BF__KEY_DIFFUSIVITY_NA + i));
        }
        if (bf__reader_has(r, (bf__key_id)(BF__KEY_ACTIVATION_NA + i))) {
            bed->resin.activation_J_per_mol[i] =
                bf__reader_value(r, (bf__key_id)(BF__KEY_ACTIVATION_NA + i));
        }
    }
    if (bed->resin.selectivity[BF_ION_NA] != 1.0) {
        bf__reader_find_key(r, BF__KEY_SELECTIVITY_NA,
                            "sodium is what the others are measured against: it is 1");
    }
    bed->cells =
        bf__reader_has(r, BF__KEY_CELLS) ? (size_t)bf__reader_value(r, BF__KEY_CELLS) : bed->cells;
    bed->shell_law =
        bf__reader_chosen(r, BF__KEY_SHELL_LAW, "equal") ? BF_SHELLS_EQUAL : BF_SHELLS_MATCHED;
    if (bf__reader_has(r, BF__KEY_BEAD_CLASSES)) {
        bed->bead_classes = (size_t)bf__reader_value(r, BF__KEY_BEAD_CLASSES);
    }
    bed->shells = bf__reader_has(r, BF__KEY_SHELLS) ? (size_t)bf__reader_value(r, BF__KEY_SHELLS)
                                                    : bed->shells;
    if (bed->resin.uniformity_coefficient > 1.0 &&
        bed->bead_classes * bed->shells > BF_BEAD_SHELLS) {
        char sentence[160];
        (void)snprintf(sentence, sizeof sentence,
                       "%zu shells in each of %zu classes of beads; there is room for %d in all",
                       bed->shells, bed->bead_classes, BF_BEAD_SHELLS);
        bf__reader_find_key(
            r, bf__reader_is_stated(r, BF__KEY_SHELLS) ? BF__KEY_SHELLS : BF__KEY_BEAD_CLASSES,
            sentence);
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
    collect(&r);
    read_geometry(&r);
    read_all(&r);
    read_doses(&r);
    read_title(&r);
    if (bf__reader_has(&r, BF__KEY_MOST_CYCLES)) {
        out->rating.steady.most_cycles = (size_t)bf__reader_value(&r, BF__KEY_MOST_CYCLES);
    }
    build_water(&r);
    build_bed(&r);
    bf__reader_set_freeboard(&r);
    bf__reader_build_recipe(&r);
    bf__reader_fill_dose(&r);
    keep_values(&r);
    if (r.status == BF_OK) {
        note_assumptions(&r);
        check_whole(&r);
    }
    bf__reader_build_tank(&r);
    bf__reader_build_campaign(&r);
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
