/* SPDX-License-Identifier: GPL-3.0-or-later */
/* brinefront rate CASE: capacity, leakage and salt efficiency against salt dose. */
#include "command.h"

#include <stdlib.h>
#include <unistd.h>

typedef struct options {
    const char *file_name;
    const char *doses;
    const char *output;
    bf_unit_system units;
    command_form form;
    bf_solver solver;
    int threads;
} options;

enum { OPTION_DOSES = 256, OPTION_UNITS, OPTION_FORMAT, OPTION_THREADS, OPTION_SOLVER };

static const struct argp_option known[] = {
    {"doses", OPTION_DOSES, "LIST", 0, "doses in place of the case's, such as \"3, 6, 10 lb/ft3\"",
     0},
    {"units", OPTION_UNITS, "SYSTEM", 0, "us or si; us where nothing is said", 0},
    {"format", OPTION_FORMAT, "FORM", 0, "table, csv or json; table where nothing is said", 0},
    {"output", 'o', "FILE", 0, "write to FILE, whole or not at all", 0},
    {"solver", OPTION_SOLVER, "WAY", 0,
     "block: by the bed's structure (where nothing is said); banded: by the integrator library's "
     "own means, some fifty times slower, to check the other",
     0},
    {"threads", OPTION_THREADS, "N", 0,
     "doses computed at a time; all processors where nothing is "
     "said; the numbers do not depend on it",
     0},
    {0}};

static error_t take(int key, char *value, struct argp_state *state)
{
    options *to = state->input;
    switch (key) {
    case OPTION_DOSES: to->doses = value; break;
    case 'o': to->output = value; break;
    case OPTION_UNITS: to->units = command_units(state, value); break;
    case OPTION_SOLVER: to->solver = command_solver(state, value); break;
    case OPTION_FORMAT: to->form = command_format(state, value); break;
    case OPTION_THREADS: to->threads = command_threads(state, value); break;
    case ARGP_KEY_ARG: to->file_name = command_case(state, value); break;
    case ARGP_KEY_NO_ARGS: argp_error(state, "name a case file, or - for standard input"); break;
    default: return ARGP_ERR_UNKNOWN;
    }
    return 0;
}

static void show_progress(void *context, size_t done, size_t total)
{
    (void)context;
    (void)fprintf(stderr, "\rcomputing: %zu of %zu runs to a steady cycle%s", done, total,
                  done == total ? "\r\033[K" : "");
    (void)fflush(stderr);
}

int command_rate(int argc, char **argv)
{
    options asked = {.units = BF_UNITS_US};
    const struct argp parser = {.options = known,
                                .parser = take,
                                .args_doc = "CASE",
                                .doc = "Capacity, leakage and salt efficiency of the bed of CASE "
                                       "at a list of salt doses, each "
                                       "at its cyclic steady state."};
    bf_error err = {0};
    bf_notes *notes = NULL;
    bf_case *input = calloc(1, sizeof *input);
    bf_dose_point *points = NULL;
    bf_output output = {0};
    bf_status status = argp_parse(&parser, argc, argv, 0, NULL, &asked) == 0 ? BF_OK : BF_E_INPUT;
    if (input == NULL) {
        status = bf_error_set(&err, BF_E_MEMORY, "rate", "no memory");
    }
    if (status == BF_OK) {
        status = bf_notes_create(&notes, &err);
    }
    if (status == BF_OK) {
        status = bf_case_read(asked.file_name, input, notes, &err);
        input->rating.bed.solver = asked.solver;
    }
    if (status == BF_OK && asked.doses != NULL) {
        status = bf_case_set_doses(input, asked.doses, &err);
    }
    if (status == BF_OK) {
        status = command_note_practice(input, notes, &err);
    }
    if (status == BF_OK) {
        status = command_leave_campaign_out(&notes, &err);
    }
    if (status == BF_OK) {
        status = bf_output_check(asked.output, &err);
    }
    if (status != BF_OK) {
        goto done;
    }
    points = calloc(input->dose_count, sizeof *points);
    if (points == NULL) {
        status = bf_error_set(&err, BF_E_MEMORY, "rate", "no memory");
        goto done;
    }
    bf_dose_curve_spec curve = {.dose_kg_per_m3 = input->dose_kg_per_m3,
                                .count = input->dose_count,
                                .threads = asked.threads,
                                .estimate_grid = 1,
                                .progress = isatty(STDERR_FILENO) ? show_progress : NULL};
    bf_rate_report report = {
        .input = input, .points = points, .count = input->dose_count, .notes = notes};
    status = bf_dose_curve(&input->rating, &curve, points, &report.grid, &err);
    if (status == BF_OK) {
        status = bf_output_open(&output, &err);
    }
    if (status == BF_OK) {
        switch (asked.form) {
        case FORM_TABLE: bf_report_rate_table(&report, asked.units, output.stream); break;
        case FORM_CSV: bf_report_rate_csv(&report, output.stream); break;
        case FORM_JSON: status = bf_report_rate_json(&report, output.stream, &err); break;
        }
    }
    if (status == BF_OK) {
        status = bf_output_deliver(&output, asked.output, &err);
    }
done:;
    int code = status == BF_OK ? EXIT_DONE : command_complain(status, &err, notes, asked.file_name);
    bf_output_close(&output);
    free(points);
    free(input);
    bf_notes_free(notes);
    return code;
}
