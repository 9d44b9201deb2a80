/* SPDX-License-Identifier: GPL-3.0-or-later */
/* foul: years of a bed on water with iron, and studies of them. */
#include "answer/frame.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* What is asked of the campaign. */
typedef enum study { STUDY_YEARS, STUDY_WHAT_IF, STUDY_COMPENSATION, STUDY_SENSITIVITY } study;

typedef struct work {
    study study;
    double loss; /* that the compensation may cost */
    bf_campaign_spec spec;
    bf_observations observations;
    bf_campaign_series series[BF_FOULING_SERIES];
    bf_fouling_end end; /* of the campaign that nothing changed */
    bf_what_if *what_if;
    size_t what_ifs;
    bf_compensation compensation[BF_FOULING_SERIES];
    bf_fouling_sensitivity *sensitivity;
} work;

static const double usual_loss = 0.10;
static const double study_days = 3.0 * 365.25;
static const double save_every_s = 15.0;

static const bf_option options[] = {
    {.name = "by",
     .kind = BF_OPTION_CHOICE,
     .value = "STEP",
     .accepted = "length month quarter",
     .help = "a row a month or a quarter; length: months up to two years, quarters beyond",
     .fallback = "length"},
    {.name = "every-cycle",
     .kind = BF_OPTION_FLAG,
     .help = "simulate every cycle; else cycles that hardly differ are skipped, and the error is "
             "estimated"},
    {.name = "checkpoint",
     .kind = BF_OPTION_STATE,
     .value = "FILE",
     .help = "keep the state in FILE, after 5 seconds and then each 15, and go on from it where it "
             "is there already"},
    {.name = "observed",
     .kind = BF_OPTION_TABLE,
     .value = "FILE",
     .help = "compare with what was measured: a table of comma-separated values with the units in "
             "its head, such as \"date,capacity [kgr/ft3]\""},
    {.name = "whatif",
     .kind = BF_OPTION_FLAG,
     .help = "changes ranked by the capacity they leave after three years",
     .heading = "In place of the years:"},
    {.name = "compensation",
     .kind = BF_OPTION_FLAG,
     .help = "hardness to count for iron so that three years cost little capacity"},
    {.name = "loss",
     .kind = BF_OPTION_WORDS,
     .value = "PERCENT",
     .help = "capacity that --compensation may cost",
     .fallback = "10"},
    {.name = "sensitivity",
     .kind = BF_OPTION_FLAG,
     .help = "what each uncertain parameter does over three years"},
    BF__OPTION_UNITS,
    BF__OPTION_FORMAT("table csv json"),
    BF__OPTION_THREADS,
};

/* ---- what is asked --------------------------------------------------------------------------- */

/* "7.5" or "7.5 %" */
static bf_status read_loss(const char *text, double *loss, bf_error *err)
{
    char *end;
    const double percent = strtod(text, &end);
    end += strspn(end, " ");
    end += *end == '%' ? 1 : 0;
    if (end == text || *end != '\0' || !(percent >= 0.5 && percent <= 50.0)) {
        return bf_error_set(err, BF_E_INPUT, "--loss",
                            "--loss is \"%s\"; accepted are 0.5 to 50, in percent", text);
    }
    *loss = 0.01 * percent;
    return BF_OK;
}

static bf_status find_study(const bf__frame *frame, study *out, bf_error *err)
{
    static const char *const name[] = {NULL, "whatif", "compensation", "sensitivity"};
    *out = STUDY_YEARS;
    for (int s = STUDY_WHAT_IF; s <= STUDY_SENSITIVITY; s++) {
        if (bf__option(frame, name[s]) != NULL) {
            if (*out != STUDY_YEARS) {
                return bf_error_set(err, BF_E_INPUT, "foul",
                                    "one of --whatif, --compensation and --sensitivity at a time");
            }
            *out = (study)s;
        }
    }
    return BF_OK;
}

static bf_status parse(bf__frame *frame, bf_error *err)
{
    static const char *const of_years[] = {"by", "checkpoint", "observed"};
    study asked = STUDY_YEARS;
    double loss;
    bf_status status = find_study(frame, &asked, err);
    for (size_t o = 0; o < sizeof of_years / sizeof *of_years && status == BF_OK; o++) {
        if (asked != STUDY_YEARS && bf__option(frame, of_years[o]) != NULL) {
            status = bf_error_set(err, BF_E_INPUT, "foul",
                                  "--%s belongs to the years of the bed, not to --whatif, "
                                  "--compensation or --sensitivity",
                                  of_years[o]);
        }
    }
    const char *text = bf__option(frame, "loss");
    if (status == BF_OK && text != NULL) {
        status = asked == STUDY_COMPENSATION
                     ? read_loss(text, &loss, err)
                     : bf_error_set(err, BF_E_INPUT, "foul", "--loss belongs to --compensation");
    }
    return status;
}

/* The case's campaign as it is asked for. */
static bf_status choose_campaign(bf__frame *frame, work *w, bf_error *err)
{
    const bf_case *input = frame->input[0].input;
    if (!input->campaign.is_stated) {
        return bf_error_set(err, BF_E_INPUT, "campaign",
                            "the case states no campaign; add a section campaign with "
                            "water_per_day, such as \"campaign: {water_per_day: 300 gal, "
                            "duration: 3 years}\", and iron to the section water");
    }
    w->spec = input->campaign.spec;
    if (bf__option(frame, "every-cycle") != NULL) {
        w->spec.skip_tolerance = 0.0;
    }
    if (w->study != STUDY_YEARS) {
        /* As a case counts its own duration. */
        w->spec.cycles = (size_t)fmax(floor(study_days / bf_campaign_days(&w->spec) + 1e-9), 1.0);
    }
    return BF_OK;
}

/* ---- what is computed ------------------------------------------------------------------------ */

/* What a stop leaves: the days that all three have lived. @return nonzero: there are some */
static int cut_to_shortest(bf_campaign_series series[BF_FOULING_SERIES])
{
    double last_day = (double)INFINITY;
    int is_some = 1;
    for (size_t s = 0; s < BF_FOULING_SERIES; s++) {
        const size_t count = series[s].count;
        is_some = is_some && count > 0;
        /* A bed that is spent has told all of it. */
        if (count > 0 && series[s].state == BF_CAMPAIGN_RUNS) {
            last_day = fmin(last_day, series[s].cycle[count - 1].day);
        }
    }
    for (size_t s = 0; s < BF_FOULING_SERIES; s++) {
        while (series[s].count > 1 && series[s].cycle[series[s].count - 1].day > last_day) {
            series[s].count--;
        }
    }
    return is_some;
}

static bf_status compute_years(bf__frame *frame, work *w, bf_error *err)
{
    const bf_question *question = frame->question;
    bf_campaign_spec specs[BF_FOULING_SERIES];
    bf_fouling_range(&w->spec, specs);
    const bf_campaign_batch batch = {.spec = specs,
                                     .count = BF_FOULING_SERIES,
                                     .threads = frame->threads,
                                     .together = 1,
                                     .watch = question->watch,
                                     .context = question->context,
                                     .saved = question->saved,
                                     .saved_length = question->saved_bytes,
                                     .resumed = question->resumed,
                                     .save = question->save,
                                     .save_every_s = save_every_s};
    bf_status status = bf_campaign_batch_run(&batch, w->series, err);
    frame->is_partial = status == BF_E_STOPPED && cut_to_shortest(w->series);
    return status;
}

/* Three studies share one watch. */
typedef struct part {
    const bf_watch *watch;
    int index;
} part;

static int tell_part(void *context, double share)
{
    const part *p = context;
    return p->watch->tell(p->watch->context, (p->index + share) / BF_FOULING_SERIES);
}

static bf_status compute_compensation(bf__frame *frame, work *w, bf_error *err)
{
    bf_campaign_spec specs[BF_FOULING_SERIES];
    part p = {.watch = &frame->question->watch};
    bf_fouling_run run = {.threads = frame->threads};
    if (p.watch->tell != NULL) {
        run.watch = (bf_watch){.tell = tell_part, .context = &p};
    }
    bf_status status = BF_OK;
    bf_fouling_range(&w->spec, specs);
    for (; p.index < BF_FOULING_SERIES && status == BF_OK; p.index++) {
        status =
            bf_fouling_compensation(&specs[p.index], w->loss, &run, &w->compensation[p.index], err);
    }
    return status;
}

static bf_status compute(bf__frame *frame, bf_error *err)
{
    work *w = frame->work;
    const bf_fouling_run run = {.threads = frame->threads, .watch = frame->question->watch};
    const bf_text *table = bf__option_table(frame, "observed");
    const char *loss = bf__option(frame, "loss");
    w->loss = usual_loss;
    bf_status status = find_study(frame, &w->study, err);
    if (status == BF_OK && loss != NULL) {
        status = read_loss(loss, &w->loss, err);
    }
    if (status == BF_OK) {
        status = choose_campaign(frame, w, err);
    }
    if (status == BF_OK && table != NULL) {
        bf__case *own = &frame->input[0];
        bf__wrong_text(frame, table, own->notes);
        status = bf_observations_read_text(table->text, table->length, table->name, own->input,
                                           &w->observations, own->notes, err);
        bf__wrong_text(frame, status == BF_OK ? NULL : table, own->notes);
    }
    if (status != BF_OK) {
        return status;
    }
    switch (w->study) {
    case STUDY_YEARS: return compute_years(frame, w, err);
    case STUDY_WHAT_IF:
        w->what_if = calloc(BF_WHAT_IFS, sizeof *w->what_if);
        return w->what_if == NULL
                   ? bf_error_set(err, BF_E_MEMORY, "foul", "no memory")
                   : bf_fouling_what_if(&w->spec, &run, &w->end, w->what_if, &w->what_ifs, err);
    case STUDY_COMPENSATION: return compute_compensation(frame, w, err);
    case STUDY_SENSITIVITY: break;
    }
    w->sensitivity = calloc(bf_iron_parameter_count(), sizeof *w->sensitivity);
    return w->sensitivity == NULL
               ? bf_error_set(err, BF_E_MEMORY, "foul", "no memory")
               : bf_fouling_sensitivities(&w->spec, &run, &w->end, w->sensitivity, err);
}

/* ---- what is printed ------------------------------------------------------------------------- */

static bf_status print_years(const bf__frame *frame, const work *w, FILE *out, bf_error *err)
{
    static const bf_foul_by by[] = {BF_FOUL_BY_LENGTH, BF_FOUL_BY_MONTH, BF_FOUL_BY_QUARTER};
    const bf_foul_report report = {
        .page = bf__page(frame, 0),
        .campaign = &frame->input[0].input->campaign,
        .spec = &w->spec,
        .series = w->series,
        .by = by[bf__option_choice(frame, "by")],
        .observations = bf__option(frame, "observed") != NULL ? &w->observations : NULL};
    return BF__PRINT(foul, frame->form, &report, out, err);
}

static bf_status print_what_if(const bf__frame *frame, const work *w, FILE *out, bf_error *err)
{
    const bf_what_if_report report = {.page = bf__page(frame, 0),
                                      .campaign = &frame->input[0].input->campaign,
                                      .spec = &w->spec,
                                      .unchanged = &w->end,
                                      .rows = w->what_if,
                                      .count = w->what_ifs};
    return BF__PRINT(what_if, frame->form, &report, out, err);
}

static bf_status print_compensation(const bf__frame *frame, const work *w, FILE *out, bf_error *err)
{
    const bf_compensation_report report = {.page = bf__page(frame, 0),
                                           .campaign = &frame->input[0].input->campaign,
                                           .spec = &w->spec,
                                           .found = &w->compensation[BF_FOULING_EXPECTED],
                                           .low = &w->compensation[BF_FOULING_LOW],
                                           .high = &w->compensation[BF_FOULING_HIGH]};
    return BF__PRINT(compensation, frame->form, &report, out, err);
}

static bf_status print_sensitivity(const bf__frame *frame, const work *w, FILE *out, bf_error *err)
{
    const bf_sensitivity_report report = {.page = bf__page(frame, 0),
                                          .campaign = &frame->input[0].input->campaign,
                                          .spec = &w->spec,
                                          .expected = &w->end,
                                          .rows = w->sensitivity};
    return BF__PRINT(sensitivity, frame->form, &report, out, err);
}

static bf_status print(const bf__frame *frame, FILE *out, bf_error *err)
{
    const work *w = frame->work;
    switch (w->study) {
    case STUDY_YEARS: return print_years(frame, w, out, err);
    case STUDY_WHAT_IF: return print_what_if(frame, w, out, err);
    case STUDY_COMPENSATION: return print_compensation(frame, w, out, err);
    case STUDY_SENSITIVITY: break;
    }
    return print_sensitivity(frame, w, out, err);
}

static void release(bf__frame *frame)
{
    work *w = frame->work;
    for (size_t s = 0; s < BF_FOULING_SERIES; s++) {
        bf_campaign_series_free(&w->series[s]);
    }
    bf_observations_free(&w->observations);
    free(w->what_if);
    free(w->sensitivity);
}

const bf__command bf__command_foul = {
    .about = {.name = "foul",
              .summary = "years of a bed on water with iron: what stays in it, what that costs",
              .description =
                  "Years of the bed of CASE on its water with iron, cycle after cycle: capacity, "
                  "leakage, pressure and deposits, each with its range, and what limits the bed "
                  "first. CASE needs a section `campaign`.",
              .least_cases = 1,
              .most_cases = 1,
              .option = options,
              .option_count = sizeof options / sizeof *options},
    .work_bytes = sizeof(work),
    .keeps_campaign = 1,
    .leaves_protocol = 1, /* a campaign has its own recipe and flow */
    .parse = parse,
    .compute = compute,
    .print = print,
    .release = release};
