/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How a page is made, and where it goes: options that are the same in several commands. */
#include "command.h"

enum { OPTION_UNITS = 512, OPTION_FORMAT }; /* beyond the numbers of the commands' own */

static const struct argp_option known[] = {
    {"units", OPTION_UNITS, "SYSTEM", 0, "us or si; us where nothing is said", 0},
    {"format", OPTION_FORMAT, "FORM", 0, "table, csv or json; table where nothing is said", 0},
    {"output", 'o', "FILE", 0, "write to FILE, whole or not at all", 0},
    {0}};

static error_t take(int key, char *value, struct argp_state *state)
{
    command_page *to = state->input;
    switch (key) {
    case OPTION_UNITS: to->units = command_units(state, value); break;
    case OPTION_FORMAT: to->form = command_format(state, value); break;
    case 'o': to->output = value; break;
    default: return ARGP_ERR_UNKNOWN;
    }
    return 0;
}

static const struct argp page_parser = {.options = known, .parser = take};

const struct argp_child command_page_options[2] = {{&page_parser, 0, NULL, 0}, {0}};
