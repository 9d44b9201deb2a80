/* SPDX-License-Identifier: GPL-3.0-or-later */
/* brinefront size CASE: ratings asked backwards, one question at a time. */
#include "command.h"

#include <math.h>
#include <stdlib.h>
#include <unistd.h>

typedef struct options {
    const char *file_name;
    command_page page;
    int asked[BF_SIZE_QUESTIONS]; /* nonzero: this question */
    const char *capacity, *dose, *flow, *interval, *diameter, *water, *least_days, *most_days;
    int practical;
    int threads;
} options;

enum {
    OPTION_CAPACITY = 256,
    OPTION_BED,
    OPTION_SALT,
    OPTION_END_POINT,
    OPTION_DOSE,
    OPTION_FLOW,
    OPTION_INTERVAL,
    OPTION_DIAMETER,
    OPTION_WATER,
    OPTION_LEAST_DAYS,
    OPTION_MOST_DAYS,
    OPTION_PRACTICAL,
    OPTION_THREADS
};

/* Common practice, no source: nobody regenerates more than once a day by choice, and a bed that
 * stands longer than two weeks wants a flushing of its own. */
static const double least_days_where_nothing_is_said = 1.0;
static const double most_days_where_nothing_is_said = 14.0;
static const double s_per_day = 86400.0;
static const size_t samples_where_nothing_is_said = 128; /* as rating.samples has it */

static const struct argp_option known[] = {
    {NULL, 0, NULL, 0, "One question:", 1},
    {"capacity", OPTION_CAPACITY, "VALUE", 0,
     "the least dose that holds VALUE, \"20 kgr/ft3\", or \"30 kgr\" in the whole bed", 1},
    {"bed", OPTION_BED, NULL, 0,
     "the smallest bed that softens --flow for --interval at --dose, within 15 gpm/ft2, 40 BV/h "
     "and 15 psi, or the limits of the case's tank",
     1},
    {"salt", OPTION_SALT, NULL, 0, "the dose that takes least salt a year for --water", 1},
    {"end-point", OPTION_END_POINT, NULL, 0, "the lowest end point that --dose can hold", 1},
    {NULL, 0, NULL, 0, "What belongs to it:", 2},
    {"dose", OPTION_DOSE, "DOSE", 0,
     "of --bed and --end-point: salt dose, such as \"6 lb/ft3\"; the middle one of the case's "
     "where nothing is said",
     2},
    {"flow", OPTION_FLOW, "VALUE", 0, "of --bed: what the bed carries, such as \"9 gpm\"", 2},
    {"interval", OPTION_INTERVAL, "VALUE", 0,
     "of --bed: water between regenerations, such as \"3000 gal\"", 2},
    {"diameter", OPTION_DIAMETER, "VALUE", 0,
     "of --bed: inside diameter of a vessel that stands, so that the depth grows; where nothing is "
     "said the depth is the case's and the diameter grows",
     2},
    {"practical", OPTION_PRACTICAL, NULL, 0,
     "of --capacity and --bed: let nine of ten samples of the uncertain constants hold it (or what "
     "rating.quantile and rating.samples say), in place of the case as it stands",
     2},
    {"threads", OPTION_THREADS, "N", 0,
     "of --practical: samples computed side by side; default: as many as there are processors", 2},
    {"water", OPTION_WATER, "VALUE", 0, "of --salt: water a day, such as \"300 gal\"", 2},
    {"least-days", OPTION_LEAST_DAYS, "DAYS", 0,
     "of --salt: no regeneration sooner; 1 where nothing is said", 2},
    {"most-days", OPTION_MOST_DAYS, "DAYS", 0,
     "of --salt: none later; 14 where nothing is said (common practice, no source)", 2},
    {0}};

/* ---- what is asked --------------------------------------------------------------------------- */

static const char *const question_option[BF_SIZE_QUESTIONS] = {"--capacity", "--bed", "--salt",
                                                               "--end-point"};

static size_t count_asked(const options *of)
{
    size_t count = 0;
    for (size_t q = 0; q < BF_SIZE_QUESTIONS; q++) {
        count += of->asked[q] != 0;
    }
    return count;
}

static bf_size_question question_of(const options *of)
{
    size_t q = 0;
    while (q + 1 < BF_SIZE_QUESTIONS && !of->asked[q]) {
        q++;
    }
    return (bf_size_question)q;
}

static void check_together(struct argp_state *state, const options *of)
{
    if (of->file_name == NULL) {
        argp_error(state, "name a case file, or - for standard input");
    }
    if (count_asked(of) != 1) {
        argp_error(state, "one question at a time: --capacity, --bed, --salt or --end-point");
    }
    const bf_size_question asked = question_of(of);
    const struct {
        const char *name, *value;
        int belongs, is_needed;
    } table[] = {
        {"--dose", of->dose, asked == BF_SIZE_BED || asked == BF_SIZE_END_POINT, 0},
        {"--flow", of->flow, asked == BF_SIZE_BED, 1},
        {"--interval", of->interval, asked == BF_SIZE_BED, 1},
        {"--diameter", of->diameter, asked == BF_SIZE_BED, 0},
        {"--practical", of->practical ? "" : NULL, asked == BF_SIZE_DOSE || asked == BF_SIZE_BED,
         0},
        {"--water", of->water, asked == BF_SIZE_SALT, 1},
        {"--least-days", of->least_days, asked == BF_SIZE_SALT, 0},
        {"--most-days", of->most_days, asked == BF_SIZE_SALT, 0},
    };
    for (size_t o = 0; o < sizeof table / sizeof *table; o++) {
        if (table[o].value != NULL && !table[o].belongs) {
            argp_error(state, "%s does not belong to %s", table[o].name, question_option[asked]);
        }
        if (table[o].value == NULL && table[o].belongs && table[o].is_needed) {
            argp_error(state, "%s needs %s", question_option[asked], table[o].name);
        }
    }
}

static error_t take(int key, char *value, struct argp_state *state)
{
    options *to = state->input;
    switch (key) {
    case ARGP_KEY_INIT: state->child_inputs[0] = &to->page; break;
    case OPTION_CAPACITY:
        to->asked[BF_SIZE_DOSE] = 1;
        to->capacity = value;
        break;
    case OPTION_BED: to->asked[BF_SIZE_BED] = 1; break;
    case OPTION_SALT: to->asked[BF_SIZE_SALT] = 1; break;
    case OPTION_END_POINT: to->asked[BF_SIZE_END_POINT] = 1; break;
    case OPTION_DOSE: to->dose = value; break;
    case OPTION_FLOW: to->flow = value; break;
    case OPTION_INTERVAL: to->interval = value; break;
    case OPTION_DIAMETER: to->diameter = value; break;
    case OPTION_WATER: to->water = value; break;
    case OPTION_LEAST_DAYS: to->least_days = value; break;
    case OPTION_MOST_DAYS: to->most_days = value; break;
    case OPTION_THREADS: to->threads = command_threads(state, value); break;
    case OPTION_PRACTICAL: to->practical = 1; break;
    case ARGP_KEY_ARG: to->file_name = command_case(state, value); break;
    case ARGP_KEY_END: check_together(state, to); break;
    default: return ARGP_ERR_UNKNOWN;
    }
    return 0;
}

/* ---- values ---------------------------------------------------------------------------------- */

static bf_status read_one(const char *name, const char *text, bf_dimension accepted, double *value,
                          bf_error *err)
{
    bf_quantity q;
    bf_status status = bf_quantity_read(name, text, &accepted, 1, &q, err);
    if (status == BF_OK) {
        *value = q.value;
    }
    return status;
}

/* Per bed, or of the whole bed. */
static bf_status read_capacity(const char *text, double bed_m3, double *eq_per_m3, bf_error *err)
{
    static const bf_dimension accepted[] = {BF_DIMENSION_EQUIVALENTS_PER_VOLUME,
                                            BF_DIMENSION_EQUIVALENTS};
    bf_quantity q;
    bf_status status = bf_quantity_read("--capacity", text, accepted, 2, &q, err);
    if (status == BF_OK) {
        *eq_per_m3 = q.dimension == BF_DIMENSION_EQUIVALENTS ? q.value / bed_m3 : q.value;
    }
    return status;
}

/* A volume is of a day; a flow says its time itself. */
static bf_status read_water(const char *text, double *m3_per_day, bf_error *err)
{
    static const bf_dimension accepted[] = {BF_DIMENSION_VOLUME, BF_DIMENSION_FLOW};
    bf_quantity q;
    bf_status status = bf_quantity_read("--water", text, accepted, 2, &q, err);
    if (status == BF_OK) {
        *m3_per_day = q.dimension == BF_DIMENSION_FLOW ? q.value * s_per_day : q.value;
    }
    return status;
}

/* A plain number counts days. */
static bf_status read_days(const char *name, const char *text, double nothing_said, double *days,
                           bf_error *err)
{
    static const bf_dimension accepted[] = {BF_DIMENSION_NUMBER, BF_DIMENSION_TIME};
    bf_quantity q;
    *days = nothing_said;
    if (text == NULL) {
        return BF_OK;
    }
    bf_status status = bf_quantity_read(name, text, accepted, 2, &q, err);
    if (status == BF_OK) {
        *days = q.dimension == BF_DIMENSION_TIME ? q.value / s_per_day : q.value;
    }
    return status;
}

static bf_status read_range_of_days(const options *asked, bf_size_report *to, bf_error *err)
{
    bf_status status = read_days("--least-days", asked->least_days,
                                 least_days_where_nothing_is_said, &to->least_days, err);
    if (status == BF_OK) {
        status =
            read_days("--most-days", asked->most_days,
                      fmax(most_days_where_nothing_is_said, to->least_days), &to->most_days, err);
    }
    if (status == BF_OK && to->most_days < to->least_days) {
        status = bf_error_set(err, BF_E_INPUT, "size",
                              "--least-days is %g and --most-days %g; the first is not to be above "
                              "the second",
                              to->least_days, to->most_days);
    }
    return status;
}

/* ---- the command ----------------------------------------------------------------------------- */

static bf_status find(const options *asked, bf_case *input, bf_tank_spec *tank,
                      const bf_sizing_spec *spec, bf_sizing *found, bf_size_report *to,
                      bf_error *err)
{
    const bf_rating_spec *rating = &input->rating;
    bf_status status = BF_OK;
    switch (to->question) {
    case BF_SIZE_DOSE:
        status = read_capacity(asked->capacity, bf_bed_volume_m3(&rating->bed),
                               &to->capacity_eq_per_m3, err);
        return status != BF_OK
                   ? status
                   : bf_dose_for_capacity(rating, to->capacity_eq_per_m3, spec, found, err);
    case BF_SIZE_BED:
        status = command_one_dose(input, asked->dose, &to->dose_kg_per_m3, err);
        if (status == BF_OK) {
            status = read_one("--flow", asked->flow, BF_DIMENSION_FLOW, &to->flow_m3_per_s, err);
        }
        if (status == BF_OK) {
            status =
                read_one("--interval", asked->interval, BF_DIMENSION_VOLUME, &to->interval_m3, err);
        }
        if (status == BF_OK && asked->diameter != NULL) {
            status = read_one("--diameter", asked->diameter, BF_DIMENSION_LENGTH, &tank->diameter_m,
                              err);
        }
        return status != BF_OK ? status
                               : bf_smallest_bed(rating, tank, to->dose_kg_per_m3, to->interval_m3,
                                                 to->flow_m3_per_s, spec, found, err);
    case BF_SIZE_SALT:
        status = read_water(asked->water, &to->water_m3_per_day, err);
        if (status == BF_OK) {
            status = read_range_of_days(asked, to, err);
        }
        return status != BF_OK ? status
                               : bf_least_salt(rating, to->water_m3_per_day, to->least_days,
                                               to->most_days, spec, found, err);
    case BF_SIZE_END_POINT:
        status = command_one_dose(input, asked->dose, &to->dose_kg_per_m3, err);
        return status != BF_OK
                   ? status
                   : bf_holdable_end_point(rating, to->dose_kg_per_m3, spec, found, err);
    case BF_SIZE_QUESTIONS: break;
    }
    return status;
}

/* The common size for the bed that was found, where no vessel stands. A practical bed is looked for
 * by the longer run that its rating as it stands makes. */
static bf_status find_vessel(const bf_case *input, const bf_tank_spec *tank,
                             const bf_sizing_spec *spec, bf_sizing *in_vessel, bf_size_report *to,
                             bf_error *err)
{
    bf_sizing_spec nominal = *spec;
    nominal.quantile = 0.0;
    const bf_sizing *found = to->found;
    size_t size = bf_tank_size_count();
    if (to->question != BF_SIZE_BED || !isnan(tank->diameter_m) ||
        found->binding != BF_BINDING_NONE) {
        return BF_OK;
    }
    const double ratio = isnan(found->practical_ratio) ? 1.0 : found->practical_ratio;
    bf_status status =
        bf_smallest_vessel(&input->rating, tank, to->dose_kg_per_m3, to->interval_m3 / ratio,
                           to->flow_m3_per_s, &nominal, &size, in_vessel, err);
    to->vessel = size < bf_tank_size_count() ? bf_tank_size_get(size).name : NULL;
    to->in_vessel = in_vessel;
    return status;
}

static int show_share(void *context, double share)
{
    (void)context;
    (void)fprintf(stderr, "\rcomputing: %3.0f %% done\r", 100.0 * share);
    (void)fflush(stderr);
    return 0;
}

static bf_status tell(const command_page *page, const bf_size_report *report, FILE *out,
                      bf_error *err)
{
    switch (page->form) {
    case FORM_TABLE: return bf_report_size_table(report, out, err);
    case FORM_CSV: return bf_report_size_csv(report, out, err);
    case FORM_JSON: return bf_report_size_json(report, out, err);
    }
    return BF_OK;
}

int command_size(int argc, char **argv)
{
    options asked = {.page = {.units = BF_UNITS_US}};
    const struct argp parser = {
        .options = known,
        .parser = take,
        .args_doc = "CASE",
        .doc = "The dose, the bed or the end point that does what is wanted of the bed of CASE, "
               "and what decides it. No answer is an answer too: it says what forbids one and the "
               "nearest that can be had.",
        .children = command_page_options};
    bf_error err = {0};
    bf_notes *notes = NULL;
    bf_case *input = calloc(1, sizeof *input);
    bf_sizing *found = calloc(1, sizeof *found);
    bf_sizing *in_vessel = calloc(1, sizeof *in_vessel);
    bf_sizing_spec practical = {0};
    bf_tank_spec tank = bf_tank_spec_default();
    bf_output output = {0};
    bf_status status = argp_parse(&parser, argc, argv, 0, NULL, &asked) == 0 ? BF_OK : BF_E_INPUT;
    bf_size_report report = {.question = question_of(&asked),
                             .tank = asked.asked[BF_SIZE_BED] ? &tank : NULL,
                             .practical = asked.practical ? &practical : NULL,
                             .found = found};
    if (input == NULL || found == NULL || in_vessel == NULL) {
        status = bf_error_set(&err, BF_E_MEMORY, "size", "no memory");
    }
    if (status == BF_OK) {
        status = bf_notes_create(&notes, &err);
    }
    if (status == BF_OK) {
        status = bf_case_read(asked.file_name, input, notes, &err);
    }
    if (status == BF_OK && input->tank.is_stated) {
        tank = input->tank.spec; /* the vessel stands: the bed in it grows in depth */
    }
    if (status == BF_OK && !asked.asked[BF_SIZE_BED]) {
        status = command_apply_protocol(input, notes, &err);
    } else if (status == BF_OK && input->tank.protocol != BF_PROTOCOL_OWN) {
        bf_notes_add(notes, BF_NOTE_CAUTION, "rating.protocol",
                     "not looked at: the bed that is sought has another rated flow");
    }
    if (status == BF_OK) {
        status = command_note_practice(input, notes, &err);
    }
    if (status == BF_OK) {
        status = bf_output_check(asked.page.output, &err);
    }
    practical.threads = asked.threads;
    practical.watch.tell = isatty(STDERR_FILENO) ? show_share : NULL;
    if (input != NULL) {
        practical.quantile = input->tank.is_stated ? input->tank.quantile : 0.1;
        practical.samples =
            input->tank.is_stated ? input->tank.samples : samples_where_nothing_is_said;
    }
    bf_sizing_spec search = practical;
    search.quantile = asked.practical ? practical.quantile : 0.0;
    if (status == BF_OK) {
        status = find(&asked, input, &tank, &search, found, &report, &err);
    }
    if (status == BF_OK) {
        status = find_vessel(input, &tank, &search, in_vessel, &report, &err);
    }
    if (practical.watch.tell != NULL) {
        (void)fputs("\r\033[K", stderr);
    }
    if (status == BF_OK) {
        status = bf_output_open(&output, &err);
    }
    if (status == BF_OK) {
        report.page = bf_page_of_case(input, notes, asked.page.units);
        status = tell(&asked.page, &report, output.stream, &err);
    }
    if (status == BF_OK) {
        status = bf_output_deliver(&output, asked.page.output, &err);
    }
    int code = status == BF_OK ? EXIT_DONE : command_complain(status, &err, notes, asked.file_name);
    bf_output_close(&output);
    free(in_vessel);
    free(found);
    free(input);
    bf_notes_free(notes);
    return code;
}
