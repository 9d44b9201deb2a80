/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Runs the comparisons of manifest.csv and judges them. Exit: 0 when every row
 * passes or is a known miss, 1 when one fails, moved, or is marked a miss and
 * passes, 2 for a wrong command or file. */
#include "iron/parameters.h"
#include "manifest.h"
#include "metrics.h"
#include "points.h"
#include "report.h"

#include <argp.h>
#include <gsl/gsl_errno.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

/* A committed number is met within a tenth of the row's tolerance: another
 * compiler rounds otherwise, and the integrator then takes other steps. */
#define DRIFT 0.1
/* A computed number beside a published one; leakage moves by 0.3 %
 * (tests/cases/test_cases.c). Its distance from the published one then moves by
 * as much of it. */
#define POINT_DRIFT 0.01

typedef struct options {
    int full, iron_parameters;
    const char *only, *results, *compare, *curves, *manifest, *report, *points, *part;
} options;

typedef struct outcome_kept {
    const comparison *row;
    outcome outcome;
    bf_status status;
    bf_error err;
    double seconds;
} outcome_kept;

typedef struct runner {
    manifest rows;
    results found, committed;
    points found_points, committed_points;
    size_t kept_count;
    outcome_kept results[MANIFEST_ROWS];
} runner;

static const struct {
    const char *name;
    const comparison *list;
} families[] = {{"tracer", tracer_comparisons},
                {"linear_isotherm", linear_isotherm_comparisons},
                {"thomas", thomas_comparisons},
                {"bead", bead_comparisons},
                {"equilibrium_theory", equilibrium_theory_comparisons},
                {"usgs_example_11", usgs_example_11_comparisons},
                {"manufactured", manufactured_comparisons},
                {"conservation", conservation_comparisons},
                {"symmetry", symmetry_comparisons},
                {"leakage_floor", leakage_floor_comparisons},
                {"solvers", solvers_comparisons},
                {"capacity", capacity_comparisons},
                {"leakage", leakage_comparisons},
                {"corrections", corrections_comparisons},
                {"hydraulics", hydraulics_comparisons},
                {"regenerants", regenerants_comparisons},
                {"practice", practice_comparisons},
                /* Laws and accounts are verification, rules are practice;
                   either looks anywhere. */
                {"iron_laws", iron_laws_comparisons},
                {"iron_laws", iron_accounts_comparisons},
                {"iron_laws", iron_exchange_comparisons},
                {"iron_laws", iron_fouling_comparisons},
                {"iron_rules", iron_floc_comparisons},
                {"iron_rules", iron_fouling_comparisons},
                {"vessel", vessel_comparisons},
                {"vessel_checks", vessel_checks_comparisons},
                {"sampling", sampling_comparisons},
                {"worked_examples", worked_examples_comparisons}};

static const comparison *find(const manifest_row *row)
{
    for (size_t f = 0; f < sizeof families / sizeof *families; f++) {
        size_t length = strlen(families[f].name);
        if (strncmp(row->id, families[f].name, length) != 0 || row->id[length] != '.') {
            continue;
        }
        for (const comparison *c = families[f].list; c->name != NULL; c++) {
            if (strcmp(c->name, row->name) == 0) {
                return c;
            }
        }
    }
    return NULL;
}

static double seconds_now(void)
{
    struct timespec now;
    (void)clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

static size_t number_in(const char *variable, size_t otherwise)
{
    const char *text = getenv(variable);
    return text != NULL ? (size_t)strtoul(text, NULL, 10) : otherwise;
}

/* Nonzero: the comparison belongs to this run. All do, unless tests/run.sh runs
 * a sample (BF_SEED in the environment) of a test that is sampled
 * (BF_SAMPLE=N): then every Nth in the manifest's order. */
static int sampled(const runner *run, const comparison *which, size_t row)
{
    size_t share = number_in("BF_SAMPLE", 1);
    if (getenv("BF_SEED") == NULL || share < 2) {
        return 1;
    }
    size_t before = 0;
    for (size_t i = 0; i < row; i++) {
        const comparison *other = find(&run->rows.row[i]);
        if (other == which) {
            break;
        }
        size_t j = 0;
        while (j < i && find(&run->rows.row[j]) != other) {
            j++;
        }
        before += j == i;
    }
    return (before + number_in("BF_SEED", 0)) % share == 0;
}

/* Each comparison runs once, however many rows look at it. */
static const outcome_kept *outcome_of(runner *run, const comparison *which)
{
    for (size_t i = 0; i < run->kept_count; i++) {
        if (run->results[i].row == which) {
            return &run->results[i];
        }
    }
    outcome_kept *entry = &run->results[run->kept_count++];
    double start = seconds_now();
    entry->row = which;
    entry->status = which->run(which->variant, &entry->outcome, &entry->err);
    entry->seconds = seconds_now() - start;
    return entry;
}

static void write_curves(const options *choice, const manifest_row *row, const outcome *out)
{
    const char *kinds[] = {"points", "grids"};
    for (int k = 0; choice->curves != NULL && k < 2; k++) {
        char name[600];
        size_t family = strcspn(row->id, ".");
        (void)snprintf(name, sizeof name, "%s/%.*s.%s.%s", choice->curves, (int)family, row->id,
                       row->name, kinds[k]);
        FILE *file = fopen(name, "w");
        if (file == NULL) {
            (void)fprintf(stderr, "%s cannot be written\n", name);
            exit(2);
        }
        for (size_t i = 0; k == 0 && i < out->points; i++) {
            (void)fprintf(file, "%.10g %.10g %.10g\n", out->place[i], out->computed[i],
                          out->reference[i]);
        }
        for (size_t i = 0; k == 1 && i < out->grids; i++) {
            (void)fprintf(file, "%.10g %.10g\n", out->intervals[i], out->error[i]);
        }
        (void)fclose(file);
    }
}

static void list_errors(const outcome *out, char *text, size_t room)
{
    size_t length = 0;
    (void)snprintf(text, room, "-");
    for (size_t g = 0; g < out->grids && length < room; g++) {
        int wrote = snprintf(text + length, room - length, "%s%.4g:%.2e", g > 0 ? " " : "",
                             out->intervals[g], out->error[g]);
        length += wrote > 0 ? (size_t)wrote : 0;
    }
}

/* @return nonzero when the row counts as a failure */
static int judge(const options *choice, runner *run, const manifest_row *row)
{
    const comparison *which = find(row);
    if (which == NULL) {
        (void)printf("%-38s there is no comparison \"%s\"\n", row->id, row->name);
        return 1;
    }
    const outcome_kept *entry = outcome_of(run, which);
    result_row *result = &run->found.row[run->found.count++];
    memcpy(result->id, row->id, sizeof result->id);
    result->seconds = entry->seconds;
    result->value = metric_value(row->metric, &entry->outcome);
    int spot = entry->outcome.spot <= 1.0;
    result->passed =
        entry->status == BF_OK && spot && metric_passes(row->metric, result->value, row->tolerance);
    list_errors(&entry->outcome, result->errors, sizeof result->errors);
    (void)snprintf(result->note, sizeof result->note, "%s",
                   entry->outcome.note[0] != '\0' ? entry->outcome.note : "-");
    write_curves(choice, row, &entry->outcome);

    const char *verdict = result->passed ? "pass" : "MISS";
    int failed = result->passed == row->known_miss;
    if (row->known_miss) {
        verdict = result->passed ? "PASSES, marked a miss" : "known miss";
    }
    (void)printf("%-38s %-11s %10.3g %s %-8.3g %6.1f s  %s", row->id, metric_name(row->metric),
                 result->value, metric_sense(row->metric) > 0 ? "<=" : ">=", row->tolerance,
                 entry->seconds, verdict);
    if (entry->status != BF_OK) {
        (void)printf(": %s (%s)", entry->err.message, entry->err.where);
    }
    if (!spot) {
        (void)printf(": the closed form misses its table by %.2g of what is allowed",
                     entry->outcome.spot);
    }
    if (metric_sense(row->metric) < 0 && entry->outcome.grids > 0) {
        (void)printf("  [%s]", result->errors);
    }
    if (entry->outcome.note[0] != '\0') {
        (void)printf("  (%s)", entry->outcome.note);
    }
    bf_error err = {0};
    if (points_keep(&run->found_points, row, &entry->outcome, &err) != BF_OK) {
        (void)printf("  %s", err.message);
        failed = 1;
    }
    if (choice->compare != NULL) {
        const result_row *before = results_find(&run->committed, row->id);
        double most = DRIFT * fabs(row->tolerance);
        if (manifest_is_published(row) && before != NULL) {
            most = POINT_DRIFT * (1.0 + fabs(before->value));
        }
        if (before == NULL || !(fabs(before->value - result->value) <= most)) {
            (void)printf("  MOVED: committed %.4g", before ? before->value : (double)NAN);
            failed = 1;
        }
        if (choice->points != NULL) {
            size_t moved =
                points_moved(&run->found_points, &run->committed_points, row->id, POINT_DRIFT);
            if (moved > 0) {
                (void)printf("  MOVED: %zu published points", moved);
                failed = 1;
            }
        }
    }
    (void)printf("\n");
    (void)fflush(stdout);
    return failed;
}

static int run_all(const options *choice, runner *run)
{
    int failures = 0;
    size_t matched = 0;
    double start = seconds_now();
    for (size_t i = 0; i < run->rows.count; i++) {
        const manifest_row *row = &run->rows.row[i];
        int selected = choice->only != NULL
                           ? strncmp(row->id, choice->only, strlen(choice->only)) == 0
                           : choice->full || row->is_fast;
        if (selected && sampled(run, find(row), i)) {
            matched++;
            failures += judge(choice, run, row);
        }
    }
    (void)printf("%zu rows, %d failures, %.1f s\n", matched, failures, seconds_now() - start);
    if (matched == 0) {
        (void)fprintf(stderr, "no row matches\n");
        return 2;
    }
    return failures > 0;
}

static error_t take(int key, char *argument, struct argp_state *state)
{
    options *choice = state->input;
    switch (key) {
    case 'f': choice->full = 0; return 0;
    case 'F': choice->full = 1; return 0;
    case 'o': choice->only = argument; return 0;
    case 'r': choice->results = argument; return 0;
    case 'c': choice->compare = argument; return 0;
    case 'C': choice->curves = argument; return 0;
    case 'm': choice->manifest = argument; return 0;
    case 'R': choice->report = argument; return 0;
    case 'p': choice->points = argument; return 0;
    case 'P': choice->part = argument; return 0;
    case 'i': choice->iron_parameters = 1; return 0;
    case ARGP_KEY_ARG: argp_error(state, "there is nothing to do with \"%s\"", argument); return 0;
    default: return ARGP_ERR_UNKNOWN;
    }
}

int main(int count, char **arguments)
{
    static runner run; /* too large for the stack */
    options choice = {.manifest = BF_SOURCE_DIR "/validation/manifest.csv"};
    const struct argp_option list[] = {
        {"fast", 'f', NULL, 0, "The fast rows (default)", 0},
        {"full", 'F', NULL, 0, "All rows", 0},
        {"only", 'o', "ID", 0, "The rows whose id begins so", 0},
        {"results", 'r', "FILE", 0, "Write the results there", 0},
        {"compare", 'c', "FILE", 0, "Fail where a value moved from that results file", 0},
        {"curves", 'C', "FOLDER", 0, "Write what the figures show there", 0},
        {"manifest", 'm', "FILE", 0, "Another manifest", 0},
        {"report", 'R', "FILE", 0, "Print the report on that results file and run nothing", 0},
        {"part", 'P', "PART", 0, "Of the report: verification (default), published or summary", 0},
        {"points", 'p', "FILE", 0,
         "The published numbers beside the computed: compared with --compare, "
         "printed with "
         "--report, else written",
         0},
        {"iron-parameters", 'i', NULL, 0, "Print the table of docs/iron.md and run nothing", 0},
        {0}};
    const struct argp parser = {
        list, take, NULL, "Compare brinefront with closed solutions, itself and published data.",
        NULL, NULL, NULL};
    bf_error err = {0};
    argp_err_exit_status = 2;
    (void)argp_parse(&parser, count, arguments, 0, NULL, &choice);
    if (choice.iron_parameters) {
        iron_parameters_print(stdout);
        return ferror(stdout) != 0;
    }
    (void)gsl_set_error_handler_off(); /* every status is looked at */
    bf_status status = manifest_read(choice.manifest, &run.rows, &err);
    const char *before = choice.report != NULL ? choice.report : choice.compare;
    if (status == BF_OK && before != NULL) {
        status = results_read(before, &run.committed, &err);
    }
    int answer = 0;
    if (status == BF_OK && before != NULL && choice.points != NULL) {
        status = points_read(choice.points, &run.committed_points, &err);
    }
    if (status == BF_OK && choice.report != NULL) {
        status = report_print(stdout, choice.part, &run.rows, &run.committed, &run.committed_points,
                              &err);
    } else if (status == BF_OK) {
        answer = run_all(&choice, &run);
        if (choice.results != NULL && answer != 2) {
            status = results_write(choice.results, &run.found, &err);
        }
        if (status == BF_OK && before == NULL && choice.points != NULL && answer != 2) {
            status = points_write(choice.points, &run.found_points, &err);
        }
    }
    if (status != BF_OK) {
        (void)fprintf(stderr, "%s: %s\n", err.where, err.message);
        return 2;
    }
    return answer;
}
