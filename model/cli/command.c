/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Options that mean the same in every command. */
#include "command.h"

#include <string.h>

bf_unit_system command_units(struct argp_state *state, const char *value)
{
    if (strcmp(value, "us") != 0 && strcmp(value, "si") != 0) {
        argp_error(state, "--units is \"%s\"; accepted are us and si", value);
    }
    return strcmp(value, "si") == 0 ? BF_UNITS_SI : BF_UNITS_US;
}

bf_solver command_solver(struct argp_state *state, const char *value)
{
    if (strcmp(value, "block") != 0 && strcmp(value, "banded") != 0) {
        argp_error(state, "--solver is \"%s\"; accepted are block and banded", value);
    }
    return strcmp(value, "banded") == 0 ? BF_SOLVER_BANDED : BF_SOLVER_BLOCK;
}

command_form command_format(struct argp_state *state, const char *value)
{
    if (strcmp(value, "csv") == 0) {
        return FORM_CSV;
    }
    if (strcmp(value, "json") == 0) {
        return FORM_JSON;
    }
    if (strcmp(value, "table") != 0) {
        argp_error(state, "--format is \"%s\"; accepted are table, csv and json", value);
    }
    return FORM_TABLE;
}

const char *command_case(struct argp_state *state, const char *value)
{
    if (state->arg_num > 0) {
        argp_error(state, "one case at a time; \"%s\" is one too many", value);
    }
    return value;
}
