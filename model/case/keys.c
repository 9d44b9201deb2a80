/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The keys of a case file as a table, and which key a path of the file means. */
#include "case/keys.h"

#include "base/nearest.h"

#include <stdio.h>
#include <string.h>

static const bf__section sections[BF__SECTION_COUNT] = {
#define BF__SECTION_ROW(id, name, user, list) {name, BF__USER_##user, BF__KEY_##list},
    BF__SECTION_TABLE(BF__SECTION_ROW)
#undef BF__SECTION_ROW
};

static const bf__key keys[BF__KEY_COUNT] = {
#define KEY(id, section, path, kind, text, least, most, help, source)                              \
    {BF__SECTION_##section, path, BF__KIND_##kind, text, least, most, help, source},
#include "case/keys.def"
#undef KEY
};

static const char *words_of(bf__kind kind)
{
    switch (kind) {
#define BF__KIND_CASE(name, words)                                                                 \
    case BF__KIND_##name: return words;
        BF__KIND_TABLE(BF__KIND_CASE)
#undef BF__KIND_CASE
    }
    return "";
}

const bf__key *bf__key_get(bf__key_id id)
{
    return &keys[id];
}

/* "regeneration.steps[2].flow" -> "regeneration.steps.flow", and where the first index ended. */
static size_t without_indices(const char *path, char *plain, size_t room)
{
    size_t length = 0;
    size_t indices = 0;
    for (const char *p = path; *p != '\0' && length + 1 < room; p++) {
        if (*p == '[') {
            p += strcspn(p, "]");
            indices++;
            if (*p == '\0') {
                break;
            }
        } else {
            plain[length++] = *p;
        }
    }
    plain[length] = '\0';
    return indices;
}

int bf__key_is_in_list(const char *path)
{
    char plain[400];
    size_t indices = without_indices(path, plain, sizeof plain);
    for (size_t k = 0; indices > 0 && k < BF__KEY_COUNT; k++) {
        if (strcmp(keys[k].path, plain) == 0) {
            return bf__key_find(path) == BF__KEY_COUNT;
        }
    }
    return 0;
}

const bf__section *bf__key_section(bf__key_id id)
{
    return &sections[keys[id].section];
}

size_t bf__key_place(bf__key_id id)
{
    size_t place = 0;
    for (size_t k = 0; k < (size_t)id; k++) {
        place += keys[k].section == keys[id].section;
    }
    return place;
}

int bf__key_is_list(bf__key_id id)
{
    int is_list = id == BF__KEY_DOSES;
    for (size_t s = 0; s < BF__SECTION_COUNT && id < BF__KEY_COUNT; s++) {
        is_list = is_list || sections[s].list == id;
    }
    return is_list;
}

bf__key_id bf__key_list_of(bf__key_id id)
{
    return id < BF__KEY_COUNT ? bf__key_section(id)->list : BF__KEY_COUNT;
}

int bf__key_is_item(bf__key_id id)
{
    return bf__key_list_of(id) != BF__KEY_COUNT;
}

size_t bf__key_parameter(bf__key_id id)
{
    return bf__key_place(id); /* keys.def takes them from the table, in its order */
}

int bf__key_is_of_campaign(bf__key_id id)
{
    return bf__key_section(id)->user == BF__USER_CAMPAIGN;
}

int bf__key_is_of_tank(bf__key_id id)
{
    return bf__key_section(id)->user == BF__USER_TANK;
}

bf__key_id bf__key_find(const char *path)
{
    char plain[400];
    size_t indices = without_indices(path, plain, sizeof plain);
    for (size_t k = 0; k < BF__KEY_COUNT; k++) {
        if (strcmp(keys[k].path, plain) == 0) {
            /* Inside an item only what items are made of; outside, only what is not. An index
             * stands behind the list's own name: regeneration[0].steps is none of ours. */
            const bf__key_id list = bf__key_list_of((bf__key_id)k);
            int is_inside = strchr(path, ']') != NULL && strchr(path, ']')[1] != '\0';
            int is_of_list = list != BF__KEY_COUNT &&
                             strncmp(path, keys[list].path, strlen(keys[list].path)) == 0;
            return indices <= 1 && is_inside == (list != BF__KEY_COUNT) &&
                           (is_of_list || !is_inside)
                       ? (bf__key_id)k
                       : BF__KEY_COUNT;
        }
    }
    return BF__KEY_COUNT;
}

/* Four letters say which name was meant. */
static int begins(const char *name, const char *word, size_t length)
{
    return length >= 4 && strncmp(name, word, length) == 0;
}

/* A path is near when its last name is near a key's, be it in another section, or as a whole; or
 * when a key begins with it. */
const char *bf__key_nearest(const char *path)
{
    const char *nearest = NULL;
    char plain[400];
    (void)without_indices(path, plain, sizeof plain);
    size_t length = strlen(plain);
    const char *dot = strrchr(plain, '.');
    const char *last = dot == NULL ? plain : dot + 1;
    size_t last_length = strlen(last);
    const int limit = bf__nearest_limit(last_length);
    int best = limit + 1;
    for (size_t k = 0; k < BF__KEY_COUNT; k++) {
        const char *key_dot = strrchr(keys[k].path, '.');
        const char *key_last = key_dot == NULL ? keys[k].path : key_dot + 1;
        int whole = bf__nearest_distance(plain, length, keys[k].path, strlen(keys[k].path));
        int tail = bf__nearest_distance(last, last_length, key_last, strlen(key_last)) + 1;
        int distance = whole < tail ? whole : tail;
        if (distance > limit && begins(keys[k].path, plain, length)) {
            distance = limit;
        }
        if (distance < best) {
            best = distance;
            nearest = keys[k].path;
        }
    }
    return nearest;
}

bf_ion bf__key_ion(bf__key_id id)
{
    const char *path = keys[id].path;
    const char *name = strrchr(path, '.');
    int by_ion = keys[id].kind == BF__KIND_ION || strncmp(path, "resin.selectivity.", 18) == 0 ||
                 strncmp(path, "resin.diffusivity.", 18) == 0 ||
                 strncmp(path, "resin.activation.", 17) == 0;
    for (size_t i = 0; by_ion && i < BF_ION_COUNT; i++) {
        if (strcmp(bf_ion_get((bf_ion)i)->name, name + 1) == 0) {
            return (bf_ion)i;
        }
    }
    return BF_ION_COUNT;
}

int bf_case_key_is_of_campaign(const char *where)
{
    const size_t length = strlen(where);
    int is_known = 0;
    int all = 1; /* a campaign has some keys in `water` and `numerics`, but these are not its own */
    for (size_t k = 0; k < BF__KEY_COUNT; k++) {
        const char *path = keys[k].path;
        if (strncmp(path, where, length) == 0 && (path[length] == '\0' || path[length] == '.')) {
            is_known = 1;
            all = all && bf__key_is_of_campaign((bf__key_id)k);
        }
    }
    return is_known && all;
}

size_t bf_case_key_count(void)
{
    return BF__KEY_COUNT;
}

bf_case_key bf_case_key_get(size_t index)
{
    const bf__key *key = &keys[index];
    bf_case_key out = {.section = bf__key_section((bf__key_id)index)->name,
                       .path = key->path,
                       .kind = words_of(key->kind),
                       .help = key->help,
                       .source = key->source};
    if (key->kind == BF__KIND_PARAMETER) {
        const bf_iron_parameter row = bf_iron_parameter_get(bf__key_parameter((bf__key_id)index));
        (void)snprintf(out.default_text, sizeof out.default_text, "%g", row.value);
        (void)snprintf(out.least, sizeof out.least, "%g", row.low);
        (void)snprintf(out.most, sizeof out.most, "%g", row.high);
    } else {
        (void)snprintf(out.default_text, sizeof out.default_text, "%s", key->default_text);
        (void)snprintf(out.least, sizeof out.least, "%s", key->least);
        (void)snprintf(out.most, sizeof out.most, "%s", key->most);
    }
    return out;
}
