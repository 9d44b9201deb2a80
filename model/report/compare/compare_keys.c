/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Where cases differ, key by key. */
#include "report/compare/compare_keys.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

char bf__compare_letter(size_t which)
{
    return (char)('A' + (int)which);
}

const bf_case_value *bf__compare_value(const bf_page *page, size_t key)
{
    for (size_t v = 0; v < page->value_count; v++) {
        if (page->value[v].key == key) {
            return &page->value[v];
        }
    }
    return NULL;
}

static int is_alike(const bf_case_value *one, const bf_case_value *other)
{
    if (one == NULL || other == NULL) {
        return one == other;
    }
    return strcmp(one->text, other->text) == 0 ||
           fabs(one->value - other->value) <= 1e-6 * fabs(one->value); /* NAN: no */
}

int bf__compare_key_differs(const bf_compare_report *report, size_t key)
{
    const char *path = bf_case_key_get(key).path;
    if (strcmp(path, "title") == 0 || strcmp(path, "regeneration.doses") == 0) {
        return 0;
    }
    const bf_case_value *first = bf__compare_value(&report->page[0], key);
    for (size_t c = 1; c < report->cases; c++) {
        if (!is_alike(first, bf__compare_value(&report->page[c], key))) {
            return 1;
        }
    }
    return 0;
}

void bf__compare_value_text(const bf_page *page, size_t key, char *text, size_t room)
{
    const bf_case_value *value = bf__compare_value(page, key);
    if (value == NULL) {
        (void)snprintf(text, room, "not stated");
    } else {
        (void)snprintf(text, room, "%s%s", value->text, value->is_default ? " (filled in)" : "");
    }
}
