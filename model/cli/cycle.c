/* SPDX-License-Identifier: GPL-3.0-or-later */
/* brinefront cycle CASE: one cycle looked at from inside. */
#include "command.h"

#include <stdlib.h>
#include <string.h>

typedef struct options {
    const char *file_name;
    const char *dose;
    command_page page;
    bf_solver solver;
    size_t new_cycles; /* 0: the steady cycle */
} options;

enum { OPTION_DOSE = 256, OPTION_FROM, OPTION_SOLVER };
enum { CYCLES_FROM_NEW = 6 };

static const struct argp_option known[] = {
    {"dose", OPTION_DOSE, "DOSE", 0,
     "salt dose, such as \"6 lb/ft3\"; the middle one of the case's where nothing is said", 0},
    {"from", OPTION_FROM, "START", 0,
     "steady: the cycle that repeats itself (where nothing is said); new: the first cycles of "
     "resin "
     "as delivered",
     0},
    {"solver", OPTION_SOLVER, "WAY", 0,
     "block: by the bed's structure (where nothing is said); banded: by the integrator library's "
     "own means, some fifty times slower, to check the other",
     0},
    {0}};

static error_t take(int key, char *value, struct argp_state *state)
{
    options *to = state->input;
    switch (key) {
    case ARGP_KEY_INIT: state->child_inputs[0] = &to->page; break;
    case OPTION_DOSE: to->dose = value; break;
    case OPTION_FROM:
        if (strcmp(value, "steady") != 0 && strcmp(value, "new") != 0) {
            argp_error(state, "--from is \"%s\"; accepted are steady and new", value);
        }
        to->new_cycles = strcmp(value, "new") == 0 ? CYCLES_FROM_NEW : 0;
        break;
    case OPTION_SOLVER: to->solver = command_solver(state, value); break;
    case ARGP_KEY_ARG: to->file_name = command_case(state, value); break;
    case ARGP_KEY_NO_ARGS: argp_error(state, "name a case file, or - for standard input"); break;
    default: return ARGP_ERR_UNKNOWN;
    }
    return 0;
}

int command_cycle(int argc, char **argv)
{
    options asked = {.page = {.units = BF_UNITS_US}};
    const struct argp parser = {
        .options = known,
        .parser = take,
        .args_doc = "CASE",
        .doc = "One cycle of the bed of CASE: what each step takes and gives, the softened water "
               "along the run, what the regeneration sends to drain, and the bed after each step.",
        .children = command_page_options};
    bf_error err = {0};
    bf_notes *notes = NULL;
    bf_case *input = calloc(1, sizeof *input);
    bf_cycle_study study = {0};
    bf_output output = {0};
    double dose = 0.0;
    bf_status status = argp_parse(&parser, argc, argv, 0, NULL, &asked) == 0 ? BF_OK : BF_E_INPUT;
    if (input == NULL) {
        status = bf_error_set(&err, BF_E_MEMORY, "cycle", "no memory");
    }
    if (status == BF_OK) {
        status = bf_notes_create(&notes, &err);
    }
    if (status == BF_OK) {
        status = bf_case_read(asked.file_name, input, notes, &err);
        input->rating.bed.solver = asked.solver;
    }
    if (status == BF_OK) {
        status = command_apply_protocol(input, notes, &err);
    }
    if (status == BF_OK) {
        status = command_leave_out(&notes, bf_case_key_is_of_campaign, &err);
    }
    if (status == BF_OK) {
        status = bf_output_check(asked.page.output, &err);
    }
    if (status == BF_OK) {
        status = command_one_dose(input, asked.dose, &dose, &err);
    }
    if (status == BF_OK) {
        status = bf_cycle_study_run(&input->rating, dose, asked.new_cycles, &study, &err);
    }
    if (status == BF_OK) {
        status = bf_output_open(&output, &err);
    }
    if (status == BF_OK) {
        bf_cycle_report report = {.page = bf_page_of_case(input, notes, asked.page.units),
                                  .study = &study};
        switch (asked.page.form) {
        case FORM_TABLE: status = bf_report_cycle_table(&report, output.stream, &err); break;
        case FORM_CSV: status = bf_report_cycle_csv(&report, output.stream, &err); break;
        case FORM_JSON: status = bf_report_cycle_json(&report, output.stream, &err); break;
        }
    }
    if (status == BF_OK) {
        status = bf_output_deliver(&output, asked.page.output, &err);
    }
    int code = status == BF_OK ? EXIT_DONE : command_complain(status, &err, notes, asked.file_name);
    bf_output_close(&output);
    bf_cycle_study_free(&study);
    free(input);
    bf_notes_free(notes);
    return code;
}
