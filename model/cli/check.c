/* SPDX-License-Identifier: GPL-3.0-or-later */
/* brinefront check CASE: the case printed back; and the reference of keys, units and errors. */
#include "command.h"

#include <stdlib.h>

typedef struct options {
    const char *file_name;
    const char *output;
    command_form form;
    void (*reference)(FILE *out); /* prints a reference in place of a case */
} options;

enum { OPTION_FORMAT = 256, OPTION_KEYS, OPTION_UNITS, OPTION_ERRORS };

static const struct argp_option known[] = {
    {"format", OPTION_FORMAT, "FORM", 0, "table or json; table where nothing is said", 0},
    {"output", 'o', "FILE", 0, "write to FILE, whole or not at all", 0},
    {"keys", OPTION_KEYS, NULL, 0, "describe all keys of a case file", 1},
    {"units", OPTION_UNITS, NULL, 0, "describe all units", 1},
    {"errors", OPTION_ERRORS, NULL, 0, "describe all status codes of the library", 1},
    {0}};

static error_t take(int key, char *value, struct argp_state *state)
{
    options *to = state->input;
    switch (key) {
    case 'o': to->output = value; break;
    case OPTION_FORMAT:
        to->form = command_format(state, value);
        if (to->form == FORM_CSV) {
            argp_error(state, "--format is \"csv\"; of a check, table and json are accepted");
        }
        break;
    case OPTION_KEYS: to->reference = bf_report_keys; break;
    case OPTION_UNITS: to->reference = bf_report_units; break;
    case OPTION_ERRORS: to->reference = bf_report_errors; break;
    case ARGP_KEY_ARG: to->file_name = command_case(state, value); break;
    case ARGP_KEY_END:
        if (to->file_name == NULL && to->reference == NULL) {
            argp_error(state, "name a case file, or - for standard input");
        }
        break;
    default: return ARGP_ERR_UNKNOWN;
    }
    return 0;
}

static bf_status check_case(const options *asked, bf_case *input, bf_notes *notes, FILE *out,
                            bf_error *err)
{
    bf_deduced deduced;
    bf_status status = bf_case_read(asked->file_name, input, notes, err);
    if (status == BF_OK) {
        status = bf_deduce(&input->rating, &deduced, err);
    }
    if (status == BF_OK) {
        status =
            bf_practice_notes(&input->rating, input->dose_kg_per_m3, input->dose_count, notes, err);
    }
    bf_check_report report = {.input = input, .deduced = &deduced, .notes = notes};
    if (status == BF_OK && asked->form == FORM_JSON) {
        status = bf_report_check_json(&report, out, err);
    } else if (status == BF_OK) {
        status = bf_report_check_table(&report, out, err);
    }
    return status;
}

int command_check(int argc, char **argv)
{
    options asked = {0};
    const struct argp parser = {
        .options = known,
        .parser = take,
        .args_doc = "CASE",
        .doc = "Print CASE back in SI and U.S. units with everything that was "
               "filled in, what follows from it, and where it leaves practice. "
               "Nothing is simulated."};
    bf_error err = {0};
    bf_notes *notes = NULL;
    bf_case *input = calloc(1, sizeof *input);
    bf_output output = {0};
    bf_status status = argp_parse(&parser, argc, argv, 0, NULL, &asked) == 0 ? BF_OK : BF_E_INPUT;
    if (input == NULL) {
        status = bf_error_set(&err, BF_E_MEMORY, "check", "no memory");
    }
    if (status == BF_OK) {
        status = bf_notes_create(&notes, &err);
    }
    if (status == BF_OK) {
        status = bf_output_open(&output, &err);
    }
    if (status == BF_OK && asked.reference != NULL) {
        asked.reference(output.stream);
    } else if (status == BF_OK) {
        status = check_case(&asked, input, notes, output.stream, &err);
    }
    if (status == BF_OK) {
        status = bf_output_deliver(&output, asked.output, &err);
    }
    int code = status == BF_OK
                   ? EXIT_DONE
                   : command_complain(status, &err, notes, asked.file_name ? asked.file_name : "");
    bf_output_close(&output);
    free(input);
    bf_notes_free(notes);
    return code;
}
