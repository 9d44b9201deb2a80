/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Verification in docs/validation.md, from the manifest and the results. */
#include "report.h"

#include <string.h>

static const struct {
    const char *family, *title, *figure, *caption;
    int shows_points; /* its numbers stand beside worked or printed ones */
} families[] = {
    {"tracer", "Tracer", "tracer",
     "Step response of a closed vessel: lines Brenner, points the bed", 0},
    {"linear_isotherm", "Linear isotherm", "linear_isotherm",
     "Rosen's column: lines closed form, points the bed", 0},
    {"thomas", "Curved isotherms and the full model", "thomas",
     "Thomas' column, 20 transfer units: lines closed form, points the bed", 0},
    {"bead", "Bead", "bead",
     "One pair of ions in both directions, D ratio 5, on each one's own clock: "
     "lines the "
     "reference, points the shells",
     0},
    {"equilibrium_theory", "Equilibrium theory", "equilibrium_theory",
     "Regeneration waves: lines theory, points the bed", 0},
    {"usgs_example_11", "USGS TM 6-A43, Example 11", "usgs_example_11",
     "The dispersive run: lines published, points the bed", 0},
    {"manufactured", "Manufactured solution", "orders", "Errors on successive grids", 0},
    {"conservation", "Conservation", NULL, NULL, 0},
    {"symmetry", "Symmetry", NULL, NULL, 0},
    {"leakage_floor", "Leakage floor", "leakage_floor",
     "Hardness of the effluent through one service, 10 lb/ft3, at two "
     "tolerances",
     0},
    {"iron_laws", "Iron: laws and accounts", NULL, NULL, 1},
    {"vessel_checks", "Vessel and brine: worked values", NULL, NULL, 0},
    {"sampling", "Points and indices of a band on a function of known ones", NULL, NULL, 0},
    {"worked_examples", "Worked examples: arithmetic and units", NULL, NULL, 0}};

static int in_family(const manifest_row *row, const char *family)
{
    size_t length = strlen(family);
    return strncmp(row->id, family, length) == 0 && row->id[length] == '.';
}

static void print_errors(FILE *file, const char *errors)
{
    (void)fputs("; errors ", file);
    for (const char *c = errors; *c != '\0'; c++) {
        if (*c == ' ') {
            (void)fputs(", ", file);
        } else if (*c == ':') {
            (void)fputs(": ", file);
        } else {
            (void)fputc(*c, file);
        }
    }
}

static void print_row(FILE *file, const manifest_row *row, const result_row *result)
{
    const char *name = strchr(row->id, '.') + 1;
    const char *verdict = result->passed ? "pass" : row->known_miss ? "**known miss**" : "**MISS**";
    (void)fprintf(file, "| %s | %s | %s | %s | %.3g | %s %g | %s%s%s |\n", name, row->result,
                  row->reference, metric_name(row->metric), result->value,
                  metric_sense(row->metric) > 0 ? "<=" : ">=", row->tolerance, row->strength,
                  row->strength[0] != '\0' ? " | " : "", verdict);
}

static void print_basis(FILE *file, const manifest_row *row, const result_row *result)
{
    (void)fprintf(file, "- **%s**: %s", strchr(row->id, '.') + 1, row->basis);
    if (metric_sense(row->metric) < 0 || row->metric == METRIC_falls) {
        if (strcmp(result->errors, "-") != 0) {
            print_errors(file, result->errors);
        }
    }
    if (strcmp(result->note, "-") != 0) {
        (void)fprintf(file, "; %s", result->note);
    }
    (void)fputs(".\n", file);
}

void report_metrics(FILE *file, const manifest *rows, int published)
{
    (void)fputs("| metric | means |\n|---|---|\n", file);
    for (int m = 0; m < METRIC_COUNT; m++) {
        int length = 0;
        for (size_t i = 0; i < rows->count; i++) {
            length |=
                (int)rows->row[i].metric == m && manifest_is_published(&rows->row[i]) == published;
        }
        if (!length) {
            continue;
        }
        (void)fprintf(file, "| %s | ", metric_name((metric)m));
        for (const char *c = metric_meaning((metric)m); *c != '\0'; c++) { /* a bar ends a cell */
            (void)fputs(*c == '|' ? "\\" : "", file);
            (void)fputc(*c, file);
        }
        (void)fputs(" |\n", file);
    }
}

void report_known_misses(FILE *file, const manifest *rows, int published)
{
    (void)fputs("\nKnown misses, each with its reason below:", file);
    for (size_t i = 0; i < rows->count; i++) {
        if (rows->row[i].known_miss && manifest_is_published(&rows->row[i]) == published) {
            (void)fprintf(file, " `%s`", rows->row[i].id);
        }
    }
    (void)fputs("\n", file);
}

static void print_head(FILE *file, const manifest *rows, const results *table)
{
    size_t count = 0;
    size_t passed = 0;
    size_t index = 0;
    for (size_t i = 0; i < rows->count; i++) {
        const result_row *result = results_find(table, rows->row[i].id);
        if (!manifest_is_published(&rows->row[i])) {
            count++;
            passed += result->passed != 0;
            index += !result->passed && rows->row[i].known_miss;
        }
    }
    (void)fprintf(file,
                  "# Verification: are the equations solved right?\n\n"
                  "Generated from `validation/results.csv` by `sh "
                  "validation/report.sh`. Of %zu "
                  "comparisons %zu pass, %zu are known misses, %zu fail.\n\n"
                  "Nothing here says that they are the right equations: that is "
                  "what the published "
                  "data above are for. Closed\nforms are evaluated with GSL "
                  "inside the runner, "
                  "and held against published tables in the same row.\n\n",
                  count, passed, index, count - passed - index);
    report_metrics(file, rows, 0);
    report_known_misses(file, rows, 0);
}

void report_family(FILE *file, const manifest *rows, const results *table, const char *family)
{
    int strong = 0; /* all rows of a family say how much they bind, or none does */
    for (size_t i = 0; i < rows->count; i++) {
        strong |= in_family(&rows->row[i], family) && rows->row[i].strength[0] != '\0';
    }
    (void)fprintf(file,
                  "| row | result | reference | metric | value | tolerance | %sverdict |\n"
                  "|---|---|---|---|---|---|---|%s\n",
                  strong ? "strength | " : "", strong ? "---|" : "");
    for (size_t i = 0; i < rows->count; i++) {
        if (in_family(&rows->row[i], family)) {
            print_row(file, &rows->row[i], results_find(table, rows->row[i].id));
        }
    }
    (void)fputs("\nWhy these tolerances:\n\n", file);
    for (size_t i = 0; i < rows->count; i++) {
        if (in_family(&rows->row[i], family)) {
            print_basis(file, &rows->row[i], results_find(table, rows->row[i].id));
        }
    }
}

static void print_verification(FILE *file, const manifest *rows, const results *table,
                               const points *shown)
{
    print_head(file, rows, table);
    for (size_t f = 0; f < sizeof families / sizeof *families; f++) {
        (void)fprintf(file, "\n## %s\n", families[f].title);
        if (families[f].figure != NULL) {
            (void)fprintf(file, "\n![%s](figures/%s.svg)\n", families[f].caption,
                          families[f].figure);
        }
        if (families[f].shows_points) {
            report_points(file, rows, shown, families[f].family);
        } else {
            (void)fputs("\n", file);
        }
        report_family(file, rows, table, families[f].family);
    }
}

bf_status report_print(FILE *file, const char *part, const manifest *rows, const results *table,
                       const points *shown, bf_error *err)
{
    for (size_t i = 0; i < rows->count; i++) {
        if (results_find(table, rows->row[i].id) == NULL) {
            return bf_error_set(err, BF_E_INPUT, rows->row[i].id, "has no result; run --full");
        }
    }
    if (part == NULL || strcmp(part, "verification") == 0) {
        print_verification(file, rows, table, shown);
    } else if (strcmp(part, "published") == 0) {
        report_published(file, rows, table, shown);
    } else if (strcmp(part, "summary") == 0) {
        report_summary(file, rows, shown);
    } else {
        return bf_error_set(err, BF_E_INPUT, "--part",
                            "\"%s\" is none of verification, published, summary", part);
    }
    return ferror(file) ? bf_error_set(err, BF_E_WRITE, "report", "cannot be written") : BF_OK;
}
