/* SPDX-License-Identifier: GPL-3.0-or-later */
/* size: ratings asked backwards, one question at a time. */
#include "answer/frame.h"

#include "brinefront/units.h"

#include <math.h>

typedef struct work {
    bf_size_question question;
    bf_tank_spec tank;
    bf_sizing_spec how;
    bf_sizing found, in_tank;
    bf_size_report report; /* without its page: what was asked, and the answer */
} work;

static const double s_per_day = 86400.0;

static const bf_option options[] = {
    {.name = "capacity",
     .kind = BF_OPTION_WORDS,
     .value = "VALUE",
     .help = "the least dose that holds VALUE, \"20 kgr/ft3\", or \"30 kgr\" in the whole bed",
     .heading = "One question:"},
    {.name = "bed",
     .kind = BF_OPTION_FLAG,
     .help = "the smallest bed that softens --flow for --interval at --dose, within 15 gpm/ft2, 40 "
             "BV/h and 15 psi, or the limits of the case's tank"},
    {.name = "salt",
     .kind = BF_OPTION_FLAG,
     .help = "the dose that takes least salt a year for --water"},
    {.name = "end-point",
     .kind = BF_OPTION_FLAG,
     .help = "the lowest end point that --dose can hold"},
    {.name = "dose",
     .kind = BF_OPTION_WORDS,
     .value = "DOSE",
     .help = "of --bed and --end-point: salt dose, such as \"6 lb/ft3\"",
     .fallback = "the middle one of the case's",
     .heading = "What belongs to it:"},
    {.name = "flow",
     .kind = BF_OPTION_WORDS,
     .value = "VALUE",
     .help = "of --bed: what the bed carries, such as \"9 gpm\""},
    {.name = "interval",
     .kind = BF_OPTION_WORDS,
     .value = "VALUE",
     .help = "of --bed: water between regenerations, such as \"3000 gal\""},
    {.name = "diameter",
     .kind = BF_OPTION_WORDS,
     .value = "VALUE",
     .help = "of --bed: inside diameter of a tank that is there already, so that the depth grows",
     .fallback = "the depth is the case's and the diameter grows"},
    {.name = "practical",
     .kind = BF_OPTION_FLAG,
     .help = "of --capacity and --bed: let nine of ten samples of the uncertain constants hold it "
             "(or what rating.quantile and rating.samples say), in place of the case as it stands"},
    {.name = "water",
     .kind = BF_OPTION_WORDS,
     .value = "VALUE",
     .help = "of --salt: water a day, such as \"300 gal\""},
    {.name = "least-days",
     .kind = BF_OPTION_WORDS,
     .value = "DAYS",
     .help = "of --salt: no regeneration sooner",
     .fallback = "1"},
    {.name = "most-days",
     .kind = BF_OPTION_WORDS,
     .value = "DAYS",
     .help = "of --salt: none later",
     .fallback = "14 (common practice, no source)"},
    BF__OPTION_UNITS,
    BF__OPTION_FORMAT("table csv json"),
    BF__OPTION_THREADS,
};

/* Common practice, no source: nobody regenerates more than once a day by choice, and a bed that
 * stands longer than two weeks wants a flushing of its own. */
static const double usual_least_days = 1.0;
static const double usual_most_days = 14.0;
static const double usual_quantile = 0.1; /* as rating.quantile and rating.samples have it */
static const size_t usual_samples = 128;

/* ---- which question -------------------------------------------------------------------------- */

static const char *const question_option[BF_SIZE_QUESTIONS] = {"capacity", "bed", "salt",
                                                               "end-point"};

static bf_status find_question(const bf__frame *frame, bf_size_question *out, bf_error *err)
{
    size_t count = 0;
    for (size_t q = 0; q < BF_SIZE_QUESTIONS; q++) {
        if (bf__option(frame, question_option[q]) != NULL) {
            *out = (bf_size_question)q;
            count++;
        }
    }
    return count == 1
               ? BF_OK
               : bf_error_set(err, BF_E_INPUT, "size",
                              "one question at a time: --capacity, --bed, --salt or --end-point");
}

static bf_status parse(bf__frame *frame, bf_error *err)
{
    static const struct {
        const char *name;
        int belongs[BF_SIZE_QUESTIONS]; /* 1: may be stated, 2: must be */
    } table[] = {
        {"dose", {[BF_SIZE_BED] = 1, [BF_SIZE_END_POINT] = 1}},
        {"flow", {[BF_SIZE_BED] = 2}},
        {"interval", {[BF_SIZE_BED] = 2}},
        {"diameter", {[BF_SIZE_BED] = 1}},
        {"practical", {[BF_SIZE_DOSE] = 1, [BF_SIZE_BED] = 1}},
        {"water", {[BF_SIZE_SALT] = 2}},
        {"least-days", {[BF_SIZE_SALT] = 1}},
        {"most-days", {[BF_SIZE_SALT] = 1}},
    };
    bf_size_question question = BF_SIZE_DOSE;
    bf_status status = find_question(frame, &question, err);
    for (size_t o = 0; o < sizeof table / sizeof *table && status == BF_OK; o++) {
        const int is_stated = bf__option(frame, table[o].name) != NULL;
        const int belongs = table[o].belongs[question];
        if (is_stated && belongs == 0) {
            status = bf_error_set(err, BF_E_INPUT, "size", "--%s does not belong to --%s",
                                  table[o].name, question_option[question]);
        } else if (!is_stated && belongs == 2) {
            status = bf_error_set(err, BF_E_INPUT, "size", "--%s needs --%s",
                                  question_option[question], table[o].name);
        }
    }
    frame->leaves_protocol = question == BF_SIZE_BED; /* the bed sought has another rated flow */
    return status;
}

/* ---- values ---------------------------------------------------------------------------------- */

/* The value of an option in the first of the dimensions that it may have, or in the second, which
 * counts `second_scale` times. Where it is not stated *value stays. */
static bf_status read_value(const bf__frame *frame, const char *name,
                            const bf_dimension accepted[2], double second_scale, double *value,
                            bf_error *err)
{
    char option[40];
    bf_quantity quantity;
    const char *text = bf__option(frame, name);
    if (text == NULL) {
        return BF_OK;
    }
    (void)snprintf(option, sizeof option, "--%s", name);
    bf_status status = bf_quantity_read(option, text, accepted, accepted[0] == accepted[1] ? 1 : 2,
                                        &quantity, err);
    if (status == BF_OK) {
        *value = quantity.dimension == accepted[0] ? quantity.value : quantity.value * second_scale;
    }
    return status;
}

static bf_status read_one(const bf__frame *frame, const char *name, bf_dimension accepted,
                          double *value, bf_error *err)
{
    return read_value(frame, name, (const bf_dimension[]){accepted, accepted}, 1.0, value, err);
}

/* Per volume of bed, or of the whole bed. */
static bf_status read_capacity(const bf__frame *frame, double bed_m3, double *eq_per_m3,
                               bf_error *err)
{
    return read_value(
        frame, "capacity",
        (const bf_dimension[]){BF_DIMENSION_EQUIVALENTS_PER_VOLUME, BF_DIMENSION_EQUIVALENTS},
        1.0 / bed_m3, eq_per_m3, err);
}

/* A volume is of a day; a flow says its time itself. */
static bf_status read_water(const bf__frame *frame, double *m3_per_day, bf_error *err)
{
    return read_value(frame, "water",
                      (const bf_dimension[]){BF_DIMENSION_VOLUME, BF_DIMENSION_FLOW}, s_per_day,
                      m3_per_day, err);
}

/* A plain number counts days. */
static bf_status read_days(const bf__frame *frame, const char *name, double *days, bf_error *err)
{
    return read_value(frame, name, (const bf_dimension[]){BF_DIMENSION_NUMBER, BF_DIMENSION_TIME},
                      1.0 / s_per_day, days, err);
}

static bf_status read_range_of_days(const bf__frame *frame, bf_size_report *out, bf_error *err)
{
    out->least_days = usual_least_days;
    bf_status status = read_days(frame, "least-days", &out->least_days, err);
    out->most_days = fmax(usual_most_days, out->least_days);
    if (status == BF_OK) {
        status = read_days(frame, "most-days", &out->most_days, err);
    }
    if (status == BF_OK && out->most_days < out->least_days) {
        status = bf_error_set(err, BF_E_INPUT, "size",
                              "--least-days is %g and --most-days %g; the first is not to be above "
                              "the second",
                              out->least_days, out->most_days);
    }
    return status;
}

/* ---- answers --------------------------------------------------------------------------------- */

static bf_status find_bed(bf__frame *frame, work *w, bf_error *err)
{
    const bf_rating_spec *rating = &frame->input[0].input->rating;
    bf_size_report *report = &w->report;
    bf_status status = bf__one_dose(frame, &report->dose_kg_per_m3, err);
    if (status == BF_OK) {
        status = read_one(frame, "flow", BF_DIMENSION_FLOW, &report->flow_m3_per_s, err);
    }
    if (status == BF_OK) {
        status = read_one(frame, "interval", BF_DIMENSION_VOLUME, &report->interval_m3, err);
    }
    if (status == BF_OK) {
        status = read_one(frame, "diameter", BF_DIMENSION_LENGTH, &w->tank.diameter_m, err);
    }
    if (status == BF_OK) {
        status = bf_smallest_bed(rating, &w->tank, report->dose_kg_per_m3, report->interval_m3,
                                 report->flow_m3_per_s, &w->how, &w->found, err);
    }
    /* The common size for that bed, where no tank is there already. A practical bed is looked for
     * by the longer run that its rating as it stands makes. */
    if (status == BF_OK && isnan(w->tank.diameter_m) && w->found.binding == BF_BINDING_NONE) {
        size_t size = bf_tank_size_count();
        bf_sizing_spec nominal = w->how;
        nominal.quantile = 0.0;
        const double ratio = isnan(w->found.practical_ratio) ? 1.0 : w->found.practical_ratio;
        status = bf_smallest_vessel(rating, &w->tank, report->dose_kg_per_m3,
                                    report->interval_m3 / ratio, report->flow_m3_per_s, &nominal,
                                    &size, &w->in_tank, err);
        report->vessel = size < bf_tank_size_count() ? bf_tank_size_get(size).name : NULL;
        report->in_vessel = &w->in_tank;
    }
    return status;
}

static bf_status find(bf__frame *frame, work *w, bf_error *err)
{
    const bf_rating_spec *rating = &frame->input[0].input->rating;
    bf_size_report *report = &w->report;
    bf_status status = BF_OK;
    switch (w->question) {
    case BF_SIZE_DOSE:
        status =
            read_capacity(frame, bf_bed_volume_m3(&rating->bed), &report->capacity_eq_per_m3, err);
        return status != BF_OK ? status
                               : bf_dose_for_capacity(rating, report->capacity_eq_per_m3, &w->how,
                                                      &w->found, err);
    case BF_SIZE_BED: return find_bed(frame, w, err);
    case BF_SIZE_SALT:
        status = read_water(frame, &report->water_m3_per_day, err);
        if (status == BF_OK) {
            status = read_range_of_days(frame, report, err);
        }
        return status != BF_OK ? status
                               : bf_least_salt(rating, report->water_m3_per_day, report->least_days,
                                               report->most_days, &w->how, &w->found, err);
    case BF_SIZE_END_POINT:
        status = bf__one_dose(frame, &report->dose_kg_per_m3, err);
        return status != BF_OK
                   ? status
                   : bf_holdable_end_point(rating, report->dose_kg_per_m3, &w->how, &w->found, err);
    case BF_SIZE_QUESTIONS: break;
    }
    return status;
}

static bf_status compute(bf__frame *frame, bf_error *err)
{
    work *w = frame->work;
    const bf_case_tank *tank = &frame->input[0].input->tank;
    bf_status status = find_question(frame, &w->question, err);
    if (status != BF_OK) {
        return status;
    }
    /* A tank that the case states is there already: the bed in it grows in depth. */
    w->tank = tank->is_stated ? tank->spec : bf_tank_spec_default();
    const int is_practical = bf__option(frame, "practical") != NULL;
    const double quantile = tank->is_stated ? tank->quantile : usual_quantile;
    w->how = (bf_sizing_spec){.quantile = is_practical ? quantile : 0.0,
                              .samples = tank->is_stated ? tank->samples : usual_samples,
                              .threads = frame->threads,
                              .watch = frame->question->watch};
    if (frame->leaves_protocol && tank->protocol != BF_PROTOCOL_OWN) {
        bf_notes_add(frame->input[0].notes, BF_NOTE_CAUTION, "rating.protocol",
                     "not looked at: the bed that is sought has another rated flow");
    }
    w->report = (bf_size_report){.question = w->question,
                                 .tank = w->question == BF_SIZE_BED ? &w->tank : NULL,
                                 .practical = is_practical ? &w->how : NULL,
                                 .found = &w->found};
    return find(frame, w, err);
}

static bf_status print(const bf__frame *frame, FILE *out, bf_error *err)
{
    const work *w = frame->work;
    bf_size_report report = w->report;
    report.page = bf__page(frame, 0);
    return BF__PRINT(size, frame->form, &report, out, err);
}

const bf__command bf__command_size = {
    .about = {.name = "size",
              .summary = "the least dose, bed, salt or end point for what is wanted",
              .description =
                  "The dose, the bed or the end point that does what is wanted of the bed of CASE, "
                  "and what decides it. No answer is an answer too: it says what forbids one and "
                  "the nearest that can be had.",
              .least_cases = 1,
              .most_cases = 1,
              .option = options,
              .option_count = sizeof options / sizeof *options},
    .work_bytes = sizeof(work),
    .parse = parse,
    .compute = compute,
    .print = print};
