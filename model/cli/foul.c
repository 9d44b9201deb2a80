/* SPDX-License-Identifier: GPL-3.0-or-later */
/* brinefront foul CASE: years of a bed on water with iron. */
#include "command.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

/* What is asked of the campaign. */
typedef enum question { ASK_YEARS, ASK_WHAT_IF, ASK_COMPENSATION, ASK_SENSITIVITY } question;

typedef struct options {
    const char *file_name;
    const char *observed;
    const char *checkpoint;
    command_page page;
    int threads;
    bf_foul_by by;
    int every_cycle;
    question question;
    double loss; /* allowed by the compensation; NAN: not stated */
} options;

enum {
    OPTION_THREADS = 256,
    OPTION_BY,
    OPTION_EVERY_CYCLE,
    OPTION_CHECKPOINT,
    OPTION_OBSERVED,
    OPTION_WHAT_IF,
    OPTION_COMPENSATION,
    OPTION_LOSS,
    OPTION_SENSITIVITY
};

static const double loss_where_nothing_is_said = 0.10;
static const double study_days = 3.0 * 365.25;
static const double checkpoint_every_s = 15.0;

static const struct argp_option known[] = {
    {"by", OPTION_BY, "STEP", 0,
     "a row a month or a quarter; months up to two years where nothing is said, quarters beyond",
     0},
    {"threads", OPTION_THREADS, "N", 0,
     "campaigns computed at a time; all processors where nothing is said; the numbers do not "
     "depend on it",
     0},
    {"every-cycle", OPTION_EVERY_CYCLE, NULL, 0,
     "simulate every cycle; else cycles that hardly differ are skipped, and the error is estimated",
     0},
    {"checkpoint", OPTION_CHECKPOINT, "FILE", 0,
     "keep the state in FILE, after 5 seconds and then each 15, and go on from it where it is "
     "there "
     "already",
     0},
    {"observed", OPTION_OBSERVED, "FILE", 0,
     "compare with what was measured: a table of comma-separated values with the units in its "
     "head, such as \"date,capacity [kgr/ft3]\"",
     0},
    {"whatif", OPTION_WHAT_IF, NULL, 0,
     "in place of the years: changes ranked by the capacity they leave after three years", 1},
    {"compensation", OPTION_COMPENSATION, NULL, 0,
     "in place of the years: hardness to count for iron so that three years cost little capacity",
     1},
    {"loss", OPTION_LOSS, "PERCENT", 0,
     "capacity that --compensation may cost; 10 where nothing is said", 1},
    {"sensitivity", OPTION_SENSITIVITY, NULL, 0,
     "in place of the years: what each uncertain parameter does over three years", 1},
    {0}};

static bf_foul_by take_by(struct argp_state *state, const char *value)
{
    if (strcmp(value, "month") != 0 && strcmp(value, "quarter") != 0) {
        argp_error(state, "--by is \"%s\"; accepted are month and quarter", value);
    }
    return strcmp(value, "month") == 0 ? BF_FOUL_BY_MONTH : BF_FOUL_BY_QUARTER;
}

/* "7.5" or "7.5 %" */
static double take_loss(struct argp_state *state, const char *value)
{
    char *end;
    const double percent = strtod(value, &end);
    end += strspn(end, " ");
    end += *end == '%' ? 1 : 0;
    if (end == value || *end != '\0' || !(percent >= 0.5 && percent <= 50.0)) {
        argp_error(state, "--loss is \"%s\"; accepted are 0.5 to 50, in percent", value);
    }
    return 0.01 * percent;
}

static void take_question(struct argp_state *state, options *to, question asked)
{
    if (to->question != ASK_YEARS && to->question != asked) {
        argp_error(state, "one of --whatif, --compensation and --sensitivity at a time");
    }
    to->question = asked;
}

/* Options that a question has no use for. */
static void check_together(struct argp_state *state, const options *asked)
{
    const struct {
        const char *name;
        int is_given;
    } of_years[] = {
        {"--by", asked->by != BF_FOUL_BY_LENGTH},
        {"--checkpoint", asked->checkpoint != NULL},
        {"--observed", asked->observed != NULL},
    };
    for (size_t o = 0; o < sizeof of_years / sizeof *of_years; o++) {
        if (of_years[o].is_given && asked->question != ASK_YEARS) {
            argp_error(state,
                       "%s belongs to the years of the bed, not to --whatif, --compensation or "
                       "--sensitivity",
                       of_years[o].name);
        }
    }
    if (asked->observed != NULL && asked->file_name != NULL && strcmp(asked->observed, "-") == 0 &&
        strcmp(asked->file_name, "-") == 0) {
        argp_error(state, "standard input cannot be both the case and what was observed");
    }
    if (!isnan(asked->loss) && asked->question != ASK_COMPENSATION) {
        argp_error(state, "--loss belongs to --compensation");
    }
}

static error_t take(int key, char *value, struct argp_state *state)
{
    options *to = state->input;
    switch (key) {
    case ARGP_KEY_INIT: state->child_inputs[0] = &to->page; break;
    case OPTION_THREADS: to->threads = command_threads(state, value); break;
    case OPTION_BY: to->by = take_by(state, value); break;
    case OPTION_EVERY_CYCLE: to->every_cycle = 1; break;
    case OPTION_CHECKPOINT: to->checkpoint = value; break;
    case OPTION_OBSERVED: to->observed = value; break;
    case OPTION_WHAT_IF: take_question(state, to, ASK_WHAT_IF); break;
    case OPTION_COMPENSATION: take_question(state, to, ASK_COMPENSATION); break;
    case OPTION_SENSITIVITY: take_question(state, to, ASK_SENSITIVITY); break;
    case OPTION_LOSS: to->loss = take_loss(state, value); break;
    case ARGP_KEY_ARG: to->file_name = command_case(state, value); break;
    case ARGP_KEY_NO_ARGS: argp_error(state, "name a case file, or - for standard input"); break;
    case ARGP_KEY_END: check_together(state, to); break;
    default: return ARGP_ERR_UNKNOWN;
    }
    return 0;
}

static int show_progress(void *context, double share)
{
    (void)context;
    (void)fprintf(stderr, "\rcomputing: %3.0f %% done", 100.0 * share);
    (void)fflush(stderr);
    return 0;
}

static void say_resumed(void *context, size_t cycle)
{
    const options *asked = context;
    (void)fprintf(stderr, "going on from cycle %zu, as %s holds it\n", cycle, asked->checkpoint);
}

static void clear_progress(void)
{
    if (isatty(STDERR_FILENO)) {
        (void)fputs("\r\033[K", stderr);
        (void)fflush(stderr);
    }
}

/* The case's campaign as it is asked for. */
static bf_status choose_campaign(const options *asked, const bf_case *input, bf_campaign_spec *spec,
                                 bf_error *err)
{
    if (!input->campaign.is_stated) {
        return bf_error_set(err, BF_E_INPUT, "campaign",
                            "the case states no campaign; add a section campaign with "
                            "water_per_day, such as \"campaign: {water_per_day: 300 gal, "
                            "duration: 3 years}\", and iron to the section water");
    }
    *spec = input->campaign.spec;
    if (asked->every_cycle) {
        spec->skip_tolerance = 0.0;
    }
    if (asked->question != ASK_YEARS) {
        /* As a case counts its own duration. */
        spec->cycles = (size_t)fmax(floor(study_days / bf_campaign_days(spec) + 1e-9), 1.0);
    }
    return BF_OK;
}

/* ---- the years ------------------------------------------------------------------------------- */

static bf_status run_years(options *asked, const bf_campaign_spec *spec, bf_campaign_series *series,
                           bf_error *err)
{
    bf_campaign_spec specs[BF_FOULING_SERIES];
    bf_fouling_range(spec, specs);
    const bf_campaign_batch batch = {.spec = specs,
                                     .count = BF_FOULING_SERIES,
                                     .threads = asked->threads,
                                     .watch.tell = isatty(STDERR_FILENO) ? show_progress : NULL,
                                     .save_every_s = checkpoint_every_s,
                                     .resumed = say_resumed,
                                     .context = asked};
    bf_status status = asked->checkpoint != NULL
                           ? bf_campaign_batch_run_file(&batch, asked->checkpoint, series, err)
                           : bf_campaign_batch_run(&batch, series, err);
    clear_progress();
    return status;
}

static bf_status tell_years(options *asked, const bf_case *input, const bf_campaign_spec *spec,
                            const bf_observations *observations, const bf_notes *notes, FILE *out,
                            bf_error *err)
{
    bf_campaign_series series[BF_FOULING_SERIES] = {{0}};
    bf_status status = run_years(asked, spec, series, err);
    if (status == BF_OK) {
        const bf_foul_report report = {.page = bf_page_of_case(input, notes, asked->page.units),
                                       .campaign = &input->campaign,
                                       .spec = spec,
                                       .series = series,
                                       .by = asked->by,
                                       .observations = observations};
        switch (asked->page.form) {
        case FORM_TABLE: status = bf_report_foul_table(&report, out, err); break;
        case FORM_CSV: status = bf_report_foul_csv(&report, out, err); break;
        case FORM_JSON: status = bf_report_foul_json(&report, out, err); break;
        }
    }
    for (size_t s = 0; s < BF_FOULING_SERIES; s++) {
        bf_campaign_series_free(&series[s]);
    }
    return status;
}

/* ---- the studies ----------------------------------------------------------------------------- */

static bf_fouling_run study_run(const options *asked)
{
    return (bf_fouling_run){.threads = asked->threads,
                            .watch.tell = isatty(STDERR_FILENO) ? show_progress : NULL};
}

static bf_status tell_what_if(const options *asked, const bf_case *input,
                              const bf_campaign_spec *spec, const bf_notes *notes, FILE *out,
                              bf_error *err)
{
    const bf_fouling_run run = study_run(asked);
    bf_fouling_end unchanged;
    bf_what_if *rows = calloc(BF_WHAT_IFS, sizeof *rows);
    size_t count = 0;
    if (rows == NULL) {
        return bf_error_set(err, BF_E_MEMORY, "foul", "no memory");
    }
    bf_status status = bf_fouling_what_if(spec, &run, &unchanged, rows, &count, err);
    clear_progress();
    if (status == BF_OK) {
        const bf_what_if_report report = {.page = bf_page_of_case(input, notes, asked->page.units),
                                          .campaign = &input->campaign,
                                          .spec = spec,
                                          .unchanged = &unchanged,
                                          .rows = rows,
                                          .count = count};
        switch (asked->page.form) {
        case FORM_TABLE: status = bf_report_what_if_table(&report, out, err); break;
        case FORM_CSV: status = bf_report_what_if_csv(&report, out, err); break;
        case FORM_JSON: status = bf_report_what_if_json(&report, out, err); break;
        }
    }
    free(rows);
    return status;
}

/* Three studies share one bar. */
static int show_part(void *context, double share)
{
    const int *part = context;
    return show_progress(NULL, (*part + share) / BF_FOULING_SERIES);
}

static bf_status tell_compensation(const options *asked, const bf_case *input,
                                   const bf_campaign_spec *spec, const bf_notes *notes, FILE *out,
                                   bf_error *err)
{
    bf_fouling_run run = study_run(asked);
    const double loss = isnan(asked->loss) ? loss_where_nothing_is_said : asked->loss;
    bf_compensation found[BF_FOULING_SERIES];
    bf_campaign_spec specs[BF_FOULING_SERIES];
    bf_status status = BF_OK;
    int part = 0;
    bf_fouling_range(spec, specs);
    run.watch.tell = run.watch.tell != NULL ? show_part : NULL;
    run.watch.context = &part;
    for (; part < BF_FOULING_SERIES && status == BF_OK; part++) {
        status = bf_fouling_compensation(&specs[part], loss, &run, &found[part], err);
    }
    clear_progress();
    if (status == BF_OK) {
        const bf_compensation_report report = {.page =
                                                   bf_page_of_case(input, notes, asked->page.units),
                                               .campaign = &input->campaign,
                                               .spec = spec,
                                               .found = &found[BF_FOULING_EXPECTED],
                                               .low = &found[BF_FOULING_LOW],
                                               .high = &found[BF_FOULING_HIGH]};
        switch (asked->page.form) {
        case FORM_TABLE: status = bf_report_compensation_table(&report, out, err); break;
        case FORM_CSV: status = bf_report_compensation_csv(&report, out, err); break;
        case FORM_JSON: status = bf_report_compensation_json(&report, out, err); break;
        }
    }
    return status;
}

static bf_status tell_sensitivity(const options *asked, const bf_case *input,
                                  const bf_campaign_spec *spec, const bf_notes *notes, FILE *out,
                                  bf_error *err)
{
    const bf_fouling_run run = study_run(asked);
    bf_fouling_end expected;
    bf_fouling_sensitivity *rows = calloc(bf_iron_parameter_count(), sizeof *rows);
    if (rows == NULL) {
        return bf_error_set(err, BF_E_MEMORY, "foul", "no memory");
    }
    bf_status status = bf_fouling_sensitivities(spec, &run, &expected, rows, err);
    clear_progress();
    if (status == BF_OK) {
        const bf_sensitivity_report report = {.page =
                                                  bf_page_of_case(input, notes, asked->page.units),
                                              .campaign = &input->campaign,
                                              .spec = spec,
                                              .expected = &expected,
                                              .rows = rows};
        switch (asked->page.form) {
        case FORM_TABLE: status = bf_report_sensitivity_table(&report, out, err); break;
        case FORM_CSV: status = bf_report_sensitivity_csv(&report, out, err); break;
        case FORM_JSON: status = bf_report_sensitivity_json(&report, out, err); break;
        }
    }
    free(rows);
    return status;
}

/* ---- the command ----------------------------------------------------------------------------- */

static bf_status tell(options *asked, const bf_case *input, const bf_campaign_spec *spec,
                      const bf_observations *observations, const bf_notes *notes, FILE *out,
                      bf_error *err)
{
    switch (asked->question) {
    case ASK_YEARS: return tell_years(asked, input, spec, observations, notes, out, err);
    case ASK_WHAT_IF: return tell_what_if(asked, input, spec, notes, out, err);
    case ASK_COMPENSATION: return tell_compensation(asked, input, spec, notes, out, err);
    case ASK_SENSITIVITY: return tell_sensitivity(asked, input, spec, notes, out, err);
    }
    return BF_OK;
}

int command_foul(int argc, char **argv)
{
    options asked = {.page = {.units = BF_UNITS_US}, .loss = (double)NAN};
    const struct argp parser = {
        .options = known,
        .parser = take,
        .args_doc = "CASE",
        .doc = "Years of the bed of CASE on its water with iron, cycle after cycle: capacity, "
               "leakage, pressure and deposits, each with its range, and what limits the bed "
               "first. CASE needs a section `campaign`.",
        .children = command_page_options};
    bf_error err = {0};
    bf_notes *notes = NULL;
    bf_case *input = calloc(1, sizeof *input);
    bf_campaign_spec *spec = calloc(1, sizeof *spec);
    bf_observations observations = {0};
    bf_output output = {0};
    bf_status status = argp_parse(&parser, argc, argv, 0, NULL, &asked) == 0 ? BF_OK : BF_E_INPUT;
    const char *being_read = asked.file_name;
    if (input == NULL || spec == NULL) {
        status = bf_error_set(&err, BF_E_MEMORY, "foul", "no memory");
    }
    if (status == BF_OK) {
        status = bf_notes_create(&notes, &err);
    }
    if (status == BF_OK) {
        status = bf_case_read(asked.file_name, input, notes, &err);
    }
    if (status == BF_OK) {
        status = command_note_practice(input, notes, &err);
    }
    if (status == BF_OK) {
        status = choose_campaign(&asked, input, spec, &err);
    }
    if (status == BF_OK && asked.observed != NULL) {
        being_read = asked.observed;
        status = bf_observations_read(asked.observed, input, &observations, notes, &err);
    }
    /* An hour of computing for a file that cannot be written is an hour lost. */
    if (status == BF_OK) {
        status = bf_output_check(asked.page.output, &err);
    }
    if (status == BF_OK) {
        status = bf_output_check(asked.checkpoint, &err);
    }
    if (status == BF_OK) {
        status = bf_output_open(&output, &err);
    }
    if (status == BF_OK) {
        status = tell(&asked, input, spec, asked.observed != NULL ? &observations : NULL, notes,
                      output.stream, &err);
    }
    if (status == BF_OK) {
        status = bf_output_deliver(&output, asked.page.output, &err);
    }
    int code = status == BF_OK ? EXIT_DONE : command_complain(status, &err, notes, being_read);
    bf_output_close(&output);
    bf_observations_free(&observations);
    free(spec);
    free(input);
    bf_notes_free(notes);
    return code;
}
