/* SPDX-License-Identifier: GPL-3.0-or-later */
/* brinefront rate CASE: capacity, leakage and salt efficiency against salt dose. */
#include "command.h"

#include <stdlib.h>
#include <string.h>
#include <unistd.h>

typedef struct options {
    const char *file_name;
    const char *doses;
    const char *overlay;
    command_page page;
    bf_solver solver;
    int threads;
    size_t samples; /* 0: not said */
} options;

enum { OPTION_DOSES = 256, OPTION_THREADS, OPTION_SOLVER, OPTION_SAMPLES, OPTION_OVERLAY };

static const struct argp_option known[] = {
    {"doses", OPTION_DOSES, "LIST", 0, "doses in place of the case's, such as \"3, 6, 10 lb/ft3\"",
     0},
    {"overlay", OPTION_OVERLAY, "FILE", 0,
     "lay a table of your own over the curve: comma-separated values with the head \"dose "
     "[lb/ft3], "
     "capacity [kgr/ft3]\"",
     0},
    {"samples", OPTION_SAMPLES, "N", 0,
     "of a vessel: samples of the uncertain constants for each band, 16 to 65536, in place of the "
     "case's",
     0},
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
    case ARGP_KEY_INIT: state->child_inputs[0] = &to->page; break;
    case OPTION_DOSES: to->doses = value; break;
    case OPTION_SOLVER: to->solver = command_solver(state, value); break;
    case OPTION_THREADS: to->threads = command_threads(state, value); break;
    case OPTION_SAMPLES: to->samples = command_samples(state, value); break;
    case OPTION_OVERLAY: to->overlay = value; break;
    case ARGP_KEY_ARG: to->file_name = command_case(state, value); break;
    case ARGP_KEY_NO_ARGS: argp_error(state, "name a case file, or - for standard input"); break;
    case ARGP_KEY_END:
        if (to->overlay != NULL && to->file_name != NULL && strcmp(to->overlay, "-") == 0 &&
            strcmp(to->file_name, "-") == 0) {
            argp_error(state, "standard input cannot be both the case and the overlay");
        }
        break;
    default: return ARGP_ERR_UNKNOWN;
    }
    return 0;
}

static int show_share(void *context, double share)
{
    (void)context;
    (void)fprintf(stderr, "\rcomputing: %3.0f %% done%s", 100.0 * share,
                  share >= 1.0 ? "\r\033[K" : "");
    (void)fflush(stderr);
    return 0;
}

static bf_watch watch_of_terminal(void)
{
    return (bf_watch){.tell = isatty(STDERR_FILENO) ? show_share : NULL};
}

static void clear_share(void)
{
    if (isatty(STDERR_FILENO)) {
        (void)fputs("\r\033[K", stderr);
        (void)fflush(stderr);
    }
}

/* ---- what is computed ------------------------------------------------------------------------ */

typedef struct rating {
    bf_dose_point *points;
    bf_overlay overlay;
    bf_dose_point *overlay_points;
    bf_tank_study study;
} rating;

static bf_status compute_curve(const options *asked, const bf_case *input, rating *to,
                               bf_grid_estimate *grid, bf_error *err)
{
    const bf_dose_curve_spec curve = {.dose_kg_per_m3 = input->dose_kg_per_m3,
                                      .count = input->dose_count,
                                      .threads = asked->threads,
                                      .estimate_grid = 1,
                                      .watch = watch_of_terminal()};
    return bf_dose_curve(&input->rating, &curve, to->points, grid, err);
}

/* The vessel's study; the case then shows what was rated, which may be a published test. */
static bf_status compute_sheet(const options *asked, bf_case *input, rating *to,
                               bf_grid_estimate *grid, bf_notes *notes, bf_error *err)
{
    const bf_case_tank *tank = &input->tank;
    const bf_tank_study_spec spec = {.rating = &input->rating,
                                     .tank = &tank->spec,
                                     .protocol = tank->protocol,
                                     .quantile = tank->quantile,
                                     .samples = tank->samples,
                                     .blend_eq_per_m3 = tank->blend_eq_per_m3,
                                     .uneven = tank->uneven,
                                     .draws = tank->draws,
                                     .dose_kg_per_m3 = input->dose_kg_per_m3,
                                     .count = input->dose_count,
                                     .threads = asked->threads,
                                     .watch = watch_of_terminal()};
    bf_status status = bf_tank_study_run(&spec, &to->study, notes, err);
    clear_share();
    if (status == BF_OK) {
        input->rating = to->study.rating;
        *grid = to->study.grid;
        for (size_t d = 0; d < input->dose_count; d++) {
            to->points[d] = to->study.dose[d].point;
        }
    }
    return status;
}

static bf_status compute_overlay(const options *asked, const bf_case *input, rating *to,
                                 bf_error *err)
{
    double dose[BF_CASE_DOSES];
    for (size_t r = 0; r < to->overlay.count; r++) {
        dose[r] = to->overlay.row[r].dose_kg_per_m3;
    }
    to->overlay_points = calloc(to->overlay.count, sizeof *to->overlay_points);
    if (to->overlay_points == NULL) {
        return bf_error_set(err, BF_E_MEMORY, "rate", "no memory");
    }
    const bf_dose_curve_spec curve = {.dose_kg_per_m3 = dose,
                                      .count = to->overlay.count,
                                      .threads = asked->threads,
                                      .watch = watch_of_terminal()};
    return bf_dose_curve(&input->rating, &curve, to->overlay_points, NULL, err);
}

/* The case's own number, which an option stands in for. */
static int is_samples(const char *where)
{
    return strcmp(where, "rating.samples") == 0;
}

int command_rate(int argc, char **argv)
{
    options asked = {.page = {.units = BF_UNITS_US}};
    const struct argp parser = {.options = known,
                                .parser = take,
                                .args_doc = "CASE",
                                .doc = "Capacity, leakage and salt efficiency of the bed of CASE "
                                       "at a list of salt doses, each "
                                       "at its cyclic steady state.",
                                .children = command_page_options};
    bf_error err = {0};
    bf_notes *notes = NULL;
    bf_case *input = calloc(1, sizeof *input);
    rating *made = calloc(1, sizeof *made);
    const char *being_read = NULL;
    bf_output output = {0};
    bf_status status = argp_parse(&parser, argc, argv, 0, NULL, &asked) == 0 ? BF_OK : BF_E_INPUT;
    being_read = asked.file_name;
    if (input == NULL || made == NULL) {
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
    if (status == BF_OK && asked.samples > 0) {
        if (input->tank.is_stated) {
            input->tank.samples = asked.samples;
            status = command_leave_out(&notes, is_samples, &err);
        } else {
            status = bf_error_set(&err, BF_E_INPUT, "--samples",
                                  "--samples is of the band of a vessel, and the case has none: "
                                  "add a section `tank`, such as \"tank: {size: 10x54}\"");
        }
    }
    if (status == BF_OK) {
        status = command_note_practice(input, notes, &err);
    }
    if (status == BF_OK) {
        status = command_leave_out(&notes, bf_case_key_is_of_campaign, &err);
    }
    if (status == BF_OK) {
        status = bf_output_check(asked.page.output, &err);
    }
    if (status == BF_OK && asked.overlay != NULL) {
        being_read = asked.overlay;
        status = bf_overlay_read(asked.overlay, input, &made->overlay, notes, &err);
    }
    if (status == BF_OK) {
        made->points = calloc(input->dose_count, sizeof *made->points);
        status =
            made->points == NULL ? bf_error_set(&err, BF_E_MEMORY, "rate", "no memory") : BF_OK;
    }
    bf_grid_estimate grid = {0};
    if (status == BF_OK) {
        status = input->tank.is_stated ? compute_sheet(&asked, input, made, &grid, notes, &err)
                                       : compute_curve(&asked, input, made, &grid, &err);
    }
    if (status == BF_OK && asked.overlay != NULL) {
        status = compute_overlay(&asked, input, made, &err);
    }
    if (status == BF_OK) {
        status = bf_output_open(&output, &err);
    }
    if (status == BF_OK) {
        const bf_rate_report report = {.page = bf_page_of_case(input, notes, asked.page.units),
                                       .points = made->points,
                                       .count = input->dose_count,
                                       .grid = grid,
                                       .study = input->tank.is_stated ? &made->study : NULL,
                                       .tank = &input->tank,
                                       .overlay = asked.overlay != NULL ? &made->overlay : NULL,
                                       .overlay_points = made->overlay_points};
        switch (asked.page.form) {
        case FORM_TABLE: status = bf_report_rate_table(&report, output.stream, &err); break;
        case FORM_CSV: status = bf_report_rate_csv(&report, output.stream, &err); break;
        case FORM_JSON: status = bf_report_rate_json(&report, output.stream, &err); break;
        }
    }
    if (status == BF_OK) {
        status = bf_output_deliver(&output, asked.page.output, &err);
    }
    int code = status == BF_OK ? EXIT_DONE : command_complain(status, &err, notes, being_read);
    bf_output_close(&output);
    if (made != NULL) {
        bf_tank_study_free(&made->study);
        free(made->overlay_points);
        free(made->points);
    }
    free(made);
    free(input);
    bf_notes_free(notes);
    return code;
}
