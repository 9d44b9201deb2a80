/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One value with its unit from outside a case file, of one of a few kinds. */
#include "brinefront/units.h"

#include <stdio.h>
#include <string.h>

/* "m3, L, gal or ft3; or m3/h, L/min or gpm" */
static void list_units(const bf_dimension *accepted, size_t count, char *text, size_t room)
{
    text[0] = '\0';
    for (size_t k = 0; k < count; k++) {
        const size_t length = strlen(text);
        const char *examples = accepted[k] == BF_DIMENSION_NUMBER
                                   ? "a plain number"
                                   : bf_dimension_get(accepted[k])->examples;
        (void)snprintf(text + length, room - length, "%s%s", k > 0 ? "; or " : "", examples);
    }
}

bf_status bf_quantity_read(const char *name, const char *text, const bf_dimension *accepted,
                           size_t count, bf_quantity *out, bf_error *err)
{
    bf_error inner = {0};
    bf_quantity read;
    char units[300];
    list_units(accepted, count, units, sizeof units);
    if (bf_quantity_parse(text, &read, &inner) != BF_OK) {
        return bf_error_set(err, BF_E_INPUT, name, "%s is \"%s\": %.300s; take %s", name, text,
                            inner.message, units);
    }
    size_t kind = 0;
    while (kind < count && read.dimension != accepted[kind]) {
        kind++;
    }
    if (kind == count || read.basis == BF_BASIS_ION || read.basis == BF_BASIS_NAMED_ION) {
        return bf_error_set(err, BF_E_INPUT, name, "%s is \"%s\"; take %s", name, text, units);
    }
    if (!(read.value > 0.0)) {
        return bf_error_set(err, BF_E_INPUT, name, "%s is \"%s\"; accepted are values above zero",
                            name, text);
    }
    *out = read;
    return BF_OK;
}
