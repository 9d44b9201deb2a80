/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Compares the sizes of structs that a caller was compiled with against the library's own. */
#include "brinefront/brinefront.h"

bf_status bf_layout_check(unsigned long layout, bf_error *err)
{
    if (layout == bf_layout()) {
        return BF_OK;
    }
    return bf_error_set(err, BF_E_RANGE, "bf_check_headers",
                        "the program was compiled with headers of another version than %s, on "
                        "which it runs; compile it anew",
                        bf_version());
}
