/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the commands share: exit codes and how they speak. */
#ifndef BF_CLI_COMMAND_H
#define BF_CLI_COMMAND_H

#include "brinefront/brinefront.h"

#include <argp.h>

/* Exit codes: the computation was done; it could not be done; the input is wrong. */
enum { EXIT_DONE = 0, EXIT_NOT_DONE = 1, EXIT_WRONG_INPUT = 2 };

typedef struct command {
    const char *name;
    const char *summary;
    int (*run)(int argc, char **argv); /* argv[0] is the command's full name, for its help */
} command;

typedef enum command_form { FORM_TABLE, FORM_CSV, FORM_JSON } command_form;

int command_rate(int argc, char **argv);
int command_cycle(int argc, char **argv);
int command_check(int argc, char **argv);
int command_foul(int argc, char **argv);
int command_size(int argc, char **argv);
int command_compare(int argc, char **argv);

/* Print every finding of a case file, or the error where there is none; the exit code that fits. */
int command_complain(bf_status status, const bf_error *err, const bf_notes *notes,
                     const char *file_name);

/* One note for all that leaves practice: `check` lists it. */
bf_status command_note_practice(const bf_case *input, bf_notes *notes, bf_error *err);

/* Rate a case with a vessel under the protocol that it asks for; others stay as they are. */
bf_status command_apply_protocol(bf_case *input, bf_notes *notes, bf_error *err);

/* Leave out the notes that `is_left_out` names by their key; *notes is replaced. */
bf_status command_leave_out(bf_notes **notes, int (*is_left_out)(const char *where), bf_error *err);

/* Values of options that mean the same in every command; a wrong one ends the program with
 * EXIT_WRONG_INPUT. */
bf_unit_system command_units(struct argp_state *state, const char *value);
command_form command_format(struct argp_state *state, const char *value);
bf_solver command_solver(struct argp_state *state, const char *value);
int command_threads(struct argp_state *state, const char *value);
size_t command_samples(struct argp_state *state, const char *value);
const char *command_case(struct argp_state *state, const char *value);

/* The one dose of an option --dose; where it is NULL, the middle one of the case's. */
bf_status command_one_dose(bf_case *input, const char *text, double *dose_kg_per_m3, bf_error *err);

/* --units, --format and -o, as a child of a command's parser: on ARGP_KEY_INIT hand
 * state->child_inputs[0] a command_page. */
typedef struct command_page {
    bf_unit_system units;
    command_form form;
    const char *output;
} command_page;
extern const struct argp_child command_page_options[2];

#endif
