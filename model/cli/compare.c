/* SPDX-License-Identifier: GPL-3.0-or-later */
/* brinefront compare CASE CASE...: beds side by side. */
#include "command.h"

#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum { CASES = BF_COMPARED_BEDS, SAMPLES_WHERE_NOTHING_IS_SAID = 64 };

typedef struct options {
    const char *file_name[CASES];
    size_t cases;
    command_page page;
    const char *doses;
    int threads;
    size_t samples; /* 0: not said */
    int no_band;
} options;

enum { OPTION_DOSES = 256, OPTION_SAMPLES, OPTION_NO_BAND, OPTION_THREADS };

static const struct argp_option known[] = {
    {"doses", OPTION_DOSES, "LIST", 0,
     "doses for all cases, such as \"6, 10 lb/ft3\"; where nothing is said those that all cases "
     "share, or the middle one of each where they share none",
     0},
    {"samples", OPTION_SAMPLES, "N", 0,
     "samples of the uncertain constants, 16 to 65536; 64 where nothing is said", 0},
    {"no-band", OPTION_NO_BAND, NULL, 0,
     "ratings alone, which is some twenty times quicker: not told whether a difference is beyond "
     "what the uncertain constants leave open",
     0},
    {"threads", OPTION_THREADS, "N", 0,
     "ratings computed at a time; all processors where nothing is said; the numbers do not depend "
     "on it",
     0},
    {0}};

static void take_case(struct argp_state *state, options *to, const char *value)
{
    if (to->cases == CASES) {
        argp_error(state, "%d cases at the most; \"%s\" is one too many", CASES, value);
    }
    for (size_t c = 0; c < to->cases; c++) {
        if (strcmp(value, "-") == 0 && strcmp(to->file_name[c], "-") == 0) {
            argp_error(state, "standard input can be one case only");
        }
    }
    to->file_name[to->cases++] = value;
}

static error_t take(int key, char *value, struct argp_state *state)
{
    options *to = state->input;
    switch (key) {
    case ARGP_KEY_INIT: state->child_inputs[0] = &to->page; break;
    case OPTION_DOSES: to->doses = value; break;
    case OPTION_SAMPLES: to->samples = command_samples(state, value); break;
    case OPTION_NO_BAND: to->no_band = 1; break;
    case OPTION_THREADS: to->threads = command_threads(state, value); break;
    case ARGP_KEY_ARG: take_case(state, to, value); break;
    case ARGP_KEY_END:
        if (to->cases < 2) {
            argp_error(state, "name two cases at least, up to %d; - is standard input", CASES);
        }
        if (to->no_band && to->samples > 0) {
            argp_error(state, "--samples is of the band, which --no-band leaves out");
        }
        break;
    default: return ARGP_ERR_UNKNOWN;
    }
    return 0;
}

static int show_share(void *context, double share)
{
    (void)context;
    (void)fprintf(stderr, "\rcomparing: %3.0f %% done%s", 100.0 * share,
                  share >= 1.0 ? "\r\033[K" : "");
    (void)fflush(stderr);
    return 0;
}

/* What is read, and what comes of it. */
typedef struct work {
    bf_case *input[CASES];
    bf_notes *notes[CASES];
    const bf_rating_spec *rating[CASES];
    double dose[BF_CASE_DOSES * CASES]; /* rows of cases */
    size_t doses;
    bf_compared_point *points;
} work;

static void free_work(work *of)
{
    for (size_t c = 0; c < CASES; c++) {
        free(of->input[c]);
        bf_notes_free(of->notes[c]);
    }
    free(of->points);
}

/* @param failed  out: the case that is wrong */
static bf_status read_cases(const options *asked, work *to, size_t *failed, bf_error *err)
{
    bf_status status = BF_OK;
    for (size_t c = 0; c < asked->cases && status == BF_OK; c++) {
        *failed = c;
        to->input[c] = calloc(1, sizeof *to->input[c]);
        if (to->input[c] == NULL) {
            return bf_error_set(err, BF_E_MEMORY, "compare", "no memory");
        }
        to->rating[c] = &to->input[c]->rating;
        status = bf_notes_create(&to->notes[c], err);
        if (status == BF_OK) {
            status = bf_case_read(asked->file_name[c], to->input[c], to->notes[c], err);
        }
        if (status == BF_OK && asked->doses != NULL) {
            status = bf_case_set_doses(to->input[c], asked->doses, err);
        }
        if (status == BF_OK) {
            status = command_apply_protocol(to->input[c], to->notes[c], err);
        }
        if (status == BF_OK) {
            status = command_note_practice(to->input[c], to->notes[c], err);
        }
    }
    return status;
}

/* A list given is a row a dose for every case: "10 lb" is another dose in another bed. Else what
 * all share, and last the middle one of each. */
static void choose_doses(const options *asked, work *to)
{
    const double *list[CASES];
    size_t count[CASES];
    double shared[BF_CASE_DOSES];
    for (size_t c = 0; c < asked->cases; c++) {
        list[c] = to->input[c]->dose_kg_per_m3;
        count[c] = to->input[c]->dose_count;
    }
    const size_t found = bf_shared_doses(list, count, asked->cases, shared);
    to->doses = asked->doses != NULL ? count[0] : found > 0 ? found : 1;
    for (size_t d = 0; d < to->doses; d++) {
        for (size_t c = 0; c < asked->cases; c++) {
            to->dose[d * asked->cases + c] = asked->doses != NULL ? list[c][d]
                                             : found > 0          ? shared[d]
                                                                  : list[c][count[c] / 2];
        }
    }
}

static bf_status compare(const options *asked, work *of, size_t samples, bf_error *err)
{
    choose_doses(asked, of);
    of->points = calloc(of->doses * asked->cases, sizeof *of->points);
    if (of->points == NULL) {
        return bf_error_set(err, BF_E_MEMORY, "compare", "no memory");
    }
    const bf_comparison_spec spec = {.rating = of->rating,
                                     .beds = asked->cases,
                                     .dose_kg_per_m3 = of->dose,
                                     .doses = of->doses,
                                     .samples = samples,
                                     .threads = asked->threads,
                                     .watch = {.tell = isatty(STDERR_FILENO) ? show_share : NULL}};
    return bf_compare(&spec, of->points, err);
}

static bf_status tell(const options *asked, const work *of, size_t samples, FILE *out,
                      bf_error *err)
{
    bf_page page[CASES];
    for (size_t c = 0; c < asked->cases; c++) {
        page[c] = bf_page_of_case(of->input[c], of->notes[c], asked->page.units);
    }
    const bf_compare_report report = {.page = page,
                                      .name = asked->file_name,
                                      .cases = asked->cases,
                                      .points = of->points,
                                      .doses = of->doses,
                                      .samples = samples};
    switch (asked->page.form) {
    case FORM_TABLE: return bf_report_compare_table(&report, out, err);
    case FORM_CSV: return bf_report_compare_csv(&report, out, err);
    case FORM_JSON: return bf_report_compare_json(&report, out, err);
    }
    return BF_OK;
}

int command_compare(int argc, char **argv)
{
    options asked = {.page = {.units = BF_UNITS_US}};
    const struct argp parser = {
        .options = known,
        .parser = take,
        .args_doc = "CASE CASE...",
        .doc = "Beds side by side: what differs between the cases, what each gives, and whether "
               "the difference to the first is more than the uncertain constants leave open.",
        .children = command_page_options};
    bf_error err = {0};
    work *of = calloc(1, sizeof *of);
    bf_output output = {0};
    size_t failed = 0;
    bf_status status = argp_parse(&parser, argc, argv, 0, NULL, &asked) == 0 ? BF_OK : BF_E_INPUT;
    if (of == NULL) {
        (void)bf_error_set(&err, BF_E_MEMORY, "compare", "no memory");
        return command_complain(BF_E_MEMORY, &err, NULL, "");
    }
    const size_t samples = asked.no_band        ? 0
                           : asked.samples == 0 ? SAMPLES_WHERE_NOTHING_IS_SAID
                                                : asked.samples;
    if (status == BF_OK) {
        status = read_cases(&asked, of, &failed, &err);
    }
    if (status == BF_OK) {
        status = bf_output_check(asked.page.output, &err);
    }
    if (status == BF_OK) {
        status = compare(&asked, of, samples, &err);
    }
    if (status == BF_OK) {
        status = bf_output_open(&output, &err);
    }
    if (status == BF_OK) {
        status = tell(&asked, of, samples, output.stream, &err);
    }
    if (status == BF_OK) {
        status = bf_output_deliver(&output, asked.page.output, &err);
    }
    int code = status == BF_OK
                   ? EXIT_DONE
                   : command_complain(status, &err, of->notes[failed], asked.file_name[failed]);
    bf_output_close(&output);
    free_work(of);
    free(of);
    return code;
}
