/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The words of the limits that bind. */
#include "brinefront/sizing.h"

const char *bf_binding_words(bf_binding binding)
{
    switch (binding) {
    case BF_BINDING_NONE: return "none";
    case BF_BINDING_CAPACITY: return "capacity";
    case BF_BINDING_LEAKAGE: return "leakage";
    case BF_BINDING_INTERVAL: return "interval between regenerations";
    case BF_BINDING_FLOW: return "flow";
    case BF_BINDING_SIZE: return "end of the range looked at";
    case BF_BINDING_CYCLE: return "no steady cycle to the end point";
    }
    return "unknown";
}
