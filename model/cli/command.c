/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Options and notes that mean the same in every command. */
#include "command.h"

#include <stdlib.h>
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

int command_threads(struct argp_state *state, const char *value)
{
    char *end;
    long count = strtol(value, &end, 10);
    if (*value == '\0' || *end != '\0' || count < 1 || count > 1024) {
        argp_error(state, "--threads is \"%s\"; accepted are whole numbers from 1 to 1024", value);
    }
    return (int)count;
}

size_t command_samples(struct argp_state *state, const char *value)
{
    char *end;
    long count = strtol(value, &end, 10);
    if (*value == '\0' || *end != '\0' || count < BF_BAND_LEAST_SAMPLES ||
        count > BF_BAND_MOST_SAMPLES) {
        argp_error(state, "--samples is \"%s\"; accepted are whole numbers from %d to %d", value,
                   BF_BAND_LEAST_SAMPLES, BF_BAND_MOST_SAMPLES);
    }
    return (size_t)count;
}

const char *command_case(struct argp_state *state, const char *value)
{
    if (state->arg_num > 0) {
        argp_error(state, "one case at a time; \"%s\" is one too many", value);
    }
    return value;
}

bf_status command_one_dose(bf_case *input, const char *text, double *dose_kg_per_m3, bf_error *err)
{
    if (text == NULL) {
        *dose_kg_per_m3 = input->dose_kg_per_m3[input->dose_count / 2];
        return BF_OK;
    }
    bf_status status = bf_case_set_doses(input, text, err);
    if (status == BF_OK && input->dose_count != 1) {
        status = bf_error_set(err, BF_E_INPUT, "--dose",
                              "--dose is \"%s\": one dose at a time, such as \"6 lb/ft3\"", text);
    }
    *dose_kg_per_m3 = input->dose_kg_per_m3[0];
    return status;
}

bf_status command_note_practice(const bf_case *input, bf_notes *notes, bf_error *err)
{
    bf_notes *practice = NULL;
    bf_status status = bf_notes_create(&practice, err);
    if (status == BF_OK) {
        status = bf_practice_notes(&input->rating, input->dose_kg_per_m3, input->dose_count,
                                   practice, err);
    }
    if (status == BF_OK && bf_notes_count(practice) > 0) {
        bf_notes_add(notes, BF_NOTE_CAUTION, "practice",
                     bf_notes_count(practice) == 1
                         ? "%zu value lies outside published practice: brinefront check lists it"
                         : "%zu values lie outside published practice: brinefront check lists them",
                     bf_notes_count(practice));
    }
    bf_notes_free(practice);
    return status;
}

bf_status command_apply_protocol(bf_case *input, bf_notes *notes, bf_error *err)
{
    bf_tank_sheet sheet;
    bf_rating_spec dosed = input->rating;
    if (!input->tank.is_stated || input->tank.protocol == BF_PROTOCOL_OWN) {
        return BF_OK;
    }
    bf_recipe_set_dose(&dosed.recipe, input->dose_kg_per_m3[input->dose_count / 2]);
    bf_status status = bf_tank_sheet_of(&input->tank.spec, &dosed, &sheet, err);
    return status != BF_OK ? status
                           : bf_protocol_apply(input->tank.protocol, &input->rating,
                                               sheet.rated_m3_per_s, &input->rating, notes, err);
}

bf_status command_leave_out(bf_notes **notes, int (*is_left_out)(const char *where), bf_error *err)
{
    bf_notes *kept = NULL;
    bf_status status = bf_notes_create(&kept, err);
    if (status != BF_OK) {
        return status;
    }
    for (size_t n = 0; n < bf_notes_count(*notes); n++) {
        const bf_note note = bf_notes_get(*notes, n);
        if (!is_left_out(note.where)) {
            bf_notes_add_at(kept, note.kind, note.where, note.line, note.column, "%s", note.text);
        }
    }
    bf_notes_free(*notes);
    *notes = kept;
    return BF_OK;
}
