/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which keys a file states, and what stands for those that it leaves out. Paths that are no key
 * become findings. */
#include "case/stages.h"

#include <stdio.h>
#include <string.h>

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

void bf__stage_stated(bf__reader *r)
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
        const char *text = bf__default_text(r, (bf__key_id)k);
        if (r->key[k].text == NULL && text != NULL) {
            r->key[k] = (bf__stated){.text = text, .is_default = 1};
        }
    }
}
