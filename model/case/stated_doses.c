/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How much salt: the doses that are rated, and the one of a campaign. */
#include "case/stages.h"

#include <stdio.h>
#include <string.h>

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
void bf__stage_doses(bf__reader *r)
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

/* Where a campaign states no dose it takes the middle one. */
void bf__stage_campaign_dose(bf__reader *r)
{
    const bf_case *input = r->out;
    if (!r->has_campaign || bf__reader_is_stated(r, BF__KEY_DOSE) || input->dose_count == 0) {
        return;
    }
    const double dose = input->dose_kg_per_m3[input->dose_count / 2];
    (void)snprintf(r->dose_text, sizeof r->dose_text, "%.4g g/L", dose);
    r->key[BF__KEY_DOSE] =
        (bf__stated){.text = r->dose_text, .is_default = 1, .value = dose, .is_read = 1};
}
