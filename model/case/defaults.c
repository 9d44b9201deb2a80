/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What stands for a key that nobody states, and what is said of it.
 *
 * A default is a text of keys.def and is read by the very same code as a stated value. Without a
 * vessel, or without a campaign, nothing of theirs is filled in.
 */
#include "case/stages.h"

#include <string.h>

bf__cleaning bf__default_cleaning(const bf__reader *r)
{
    return bf__reader_chosen(r, BF__KEY_CLEANING_AGENT, "hydrochloric_acid") ? BF__CLEANING_ACID
           : bf__reader_chosen(r, BF__KEY_CLEANING_AGENT, "sodium_dithionite") ||
                   bf__reader_chosen(r, BF__KEY_CLEANING_AGENT, "sodium_bisulfite")
               ? BF__CLEANING_REDUCTANT
               : BF__CLEANING_NONE;
}

/* A key may be filled in only beside another, which has its stated text already. */
const char *bf__default_text(const bf__reader *r, bf__key_id id)
{
    const char *text = bf__key_get(id)->default_text;
    const bf__cleaning cleaning = bf__default_cleaning(r);
    int is_filled_in = *text != '\0' && (r->has_campaign || !bf__key_is_of_campaign(id)) &&
                       (r->has_tank || !bf__key_is_of_tank(id));
    switch (id) {
    case BF__KEY_DAYS_BETWEEN:
        is_filled_in = is_filled_in && !bf__reader_is_stated(r, BF__KEY_WATER_BETWEEN);
        break;
    case BF__KEY_CLEANING_EVERY:
    case BF__KEY_CLEANING_CONTACT:
    case BF__KEY_CLEANING_OXIDE:
        is_filled_in = is_filled_in && cleaning != BF__CLEANING_NONE;
        break;
    case BF__KEY_CLEANING_PH:
        is_filled_in = is_filled_in && cleaning == BF__CLEANING_REDUCTANT;
        break;
    case BF__KEY_CLEANING_STRENGTH:
        is_filled_in = is_filled_in && cleaning == BF__CLEANING_ACID;
        break;
    case BF__KEY_CLEANING_AMOUNT:
        text = cleaning == BF__CLEANING_ACID ? "10 lb/ft3" : "4 oz/ft3";
        is_filled_in = cleaning != BF__CLEANING_NONE;
        break;
    default: break;
    }
    return is_filled_in ? text : NULL;
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

void bf__stage_note_defaults(const bf__reader *r)
{
    for (size_t k = 0; k < BF__KEY_COUNT; k++) {
        const bf__key *key = bf__key_get((bf__key_id)k);
        if (r->key[k].is_default && is_in_play(r, (bf__key_id)k)) {
            bf_notes_add(r->notes, BF_NOTE_ASSUMED, key->path, "%s%s%s%s", r->key[k].text,
                         *key->source ? " (" : "", key->source, *key->source ? ")" : "");
        }
    }
}
