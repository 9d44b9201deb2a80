/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Types of steps by their word. A type uses step.c and nothing of this, so that a new one is a file
 * and a word. */
#include "cycle/step.h"

#include <string.h>

const bf_step_type *bf_step_type_find(const char *word)
{
#define TYPE(word) &bf_step_##word,
    static const bf_step_type *const types[] = {BF_STEP_TABLE(TYPE, TYPE)};
#undef TYPE
    for (size_t t = 0; t < sizeof types / sizeof *types; t++) {
        if (strcmp(types[t]->word, word) == 0) {
            return types[t];
        }
    }
    return NULL;
}
