/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Published data in docs/validation.md and in README.md. */
#include "report.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static const struct {
    const char *family, *title;
} families[] = {
    {"capacity", "Capacity against salt dose"},   {"leakage", "Leakage"},
    {"corrections", "What moves the capacity"},   {"regenerants", "What a pound of salt does"},
    {"hydraulics", "Pressure drop and backwash"}, {"practice", "Practice"},
    {"iron_rules", "Iron: rules of the trade"},   {"vessel", "The vessel in cold and warm water"}};

typedef struct tally {
    size_t rows, passed, literature, points, inside;
} tally;

static const manifest_row *row_of(const manifest *rows, const char *id)
{
    for (size_t i = 0; i < rows->count; i++) {
        if (strcmp(rows->row[i].id, id) == 0) {
            return &rows->row[i];
        }
    }
    return NULL;
}

static tally count(const manifest *rows, const results *table, const points *shown,
                   manifest_kind kind)
{
    tally sum = {0};
    for (size_t i = 0; i < rows->count; i++) {
        const result_row *result = results_find(table, rows->row[i].id);
        if (rows->row[i].kind == kind) {
            sum.rows++;
            sum.passed += result->passed != 0;
            sum.literature += !result->passed && rows->row[i].known_miss;
        }
    }
    for (size_t i = 0; i < shown->count; i++) {
        const manifest_row *row = row_of(rows, shown->point[i].id);
        if (row != NULL && row->kind == kind) {
            sum.points++;
            sum.inside += point_passes(&shown->point[i], row) != 0;
        }
    }
    return sum;
}

/* "-1.9 %" from a number, distance from the nearer limit of a range. */
static void print_difference(FILE *file, const point *entry)
{
    outcome one;
    point_outcome(entry, &one);
    double nearer = one.computed[0] < one.low[0] ? one.low[0] : one.high[0];
    int inside =
        one.low[0] < one.high[0] && one.computed[0] >= one.low[0] && one.computed[0] <= one.high[0];
    if (inside) {
        (void)fputs("inside", file);
    } else {
        (void)fprintf(file, "%+.1f %%", 100.0 * (one.computed[0] / nearer - 1.0));
    }
}

void report_points(FILE *file, const manifest *rows, const points *shown, const char *family)
{
    size_t length = strlen(family);
    (void)fputs("\n| row | point | published | computed | unit | difference | |\n"
                "|---|---|---|---|---|---|---|\n",
                file);
    for (size_t i = 0; i < shown->count; i++) {
        const point *one = &shown->point[i];
        const manifest_row *row = row_of(rows, one->id);
        if (row == NULL || strncmp(one->id, family, length) != 0 || one->id[length] != '.') {
            continue;
        }
        (void)fprintf(file, "| %s | %s | %s | %.4g | %s | ", one->id + length + 1, one->label.point,
                      one->label.published, one->computed, one->label.unit);
        print_difference(file, one);
        (void)fprintf(file, " | %s |\n", point_passes(one, row) ? "within" : "**out**");
    }
    (void)fputs("\n", file);
}

static const point *find(const points *shown, const char *id, const char *label)
{
    for (size_t i = 0; i < shown->count; i++) {
        if (strcmp(shown->point[i].id, id) == 0 &&
            strcmp(shown->point[i].label.point, label) == 0) {
            return &shown->point[i];
        }
    }
    return NULL;
}

/* The two tables beside each other at the doses they share. */
static void print_disagreement(FILE *file, const points *shown)
{
    (void)fputs("\nWhere the sources disagree: the two tables at the doses they "
                "share, kgr/ft3. No "
                "bed run in one way can meet both\nbetter than to half the last "
                "column.\n\n"
                "| dose | resin table | computed | | magazine table | computed | "
                "| second over "
                "first |\n|---|---|---|---|---|---|---|---|\n",
                file);
    for (size_t i = 0; i < shown->count; i++) {
        const point *b = &shown->point[i];
        const point *a = strcmp(b->id, "capacity.magazine_table") == 0
                             ? find(shown, "capacity.resin_bulletin", b->label.point)
                             : NULL;
        if (a == NULL) {
            continue;
        }
        double first = strtod(a->label.published, NULL);
        double second = strtod(b->label.published, NULL);
        (void)fprintf(file, "| %s | %s | %.1f | %+.1f %% | %s | %.1f | %+.1f %% | %+.1f %% |\n",
                      b->label.point, a->label.published, a->computed,
                      100.0 * (a->computed / first - 1.0), b->label.published, b->computed,
                      100.0 * (b->computed / second - 1.0), 100.0 * (second / first - 1.0));
    }
}

void report_published(FILE *file, const manifest *rows, const results *table, const points *shown)
{
    tally predicted = count(rows, table, shown, KIND_PREDICTED);
    tally calibrated = count(rows, table, shown, KIND_CALIBRATED);
    tally practice = count(rows, table, shown, KIND_PRACTICE);
    (void)fprintf(file,
                  "# Published data: are they the right equations?\n\n"
                  "Generated from `validation/results.csv` and "
                  "`validation/published/points.csv` by "
                  "`sh validation/report.sh`.\n\n"
                  "Nothing was fitted to any of these numbers: %zu predicted comparisons, "
                  "%zu calibrated. Of "
                  "the predicted ones %zu pass,\n%zu are known misses, %zu fail; of their "
                  "%zu published "
                  "numbers %zu lie within the tolerance of their row. Beside them\nstand "
                  "%zu comparisons "
                  "with ranges and directions of practice (%zu pass, %zu known misses), "
                  "which measure "
                  "nothing;\nuncertain constants of iron were chosen so that some of those "
                  "hold, as their "
                  "rows say.\n\n"
                  "Conditions that a source leaves out were assumed once, before the first "
                  "comparison, the "
                  "same for all sources\n(`validation/published/assumed.yaml`). Each "
                  "source has a folder in "
                  "`validation/published/`: `data.csv` with its numbers,\n`source.md` with "
                  "the citation and "
                  "what we assumed, `case.yaml` with the bed.\n\n",
                  predicted.rows, calibrated.rows, predicted.passed, predicted.literature,
                  predicted.rows - predicted.passed - predicted.literature, predicted.points,
                  predicted.inside, practice.rows, practice.passed, practice.literature);
    report_metrics(file, rows, 1);
    report_known_misses(file, rows, 1);
    for (size_t f = 0; f < sizeof families / sizeof *families; f++) {
        (void)fprintf(file, "\n## %s\n", families[f].title);
        report_points(file, rows, shown, families[f].family);
        report_family(file, rows, table, families[f].family);
        if (f == 0) {
            print_disagreement(file, shown);
        }
    }
}

/* ---- the table of README.md
 * ----------------------------------------------------------------- */

/* One line: how many points of a row lie within, and the one that is furthest
 * off. */
static void print_line(FILE *file, const char *name, const manifest *rows, const points *shown,
                       const char *const *ids)
{
    size_t all = 0;
    size_t inside = 0;
    double furthest = 0.0;
    for (; *ids != NULL; ids++) {
        const manifest_row *row = row_of(rows, *ids);
        for (size_t i = 0; i < shown->count; i++) {
            outcome one;
            if (row == NULL || strcmp(shown->point[i].id, *ids) != 0) {
                continue;
            }
            point_outcome(&shown->point[i], &one);
            double limit = one.computed[0] < one.low[0] ? one.low[0] : one.high[0];
            double off = one.computed[0] < one.low[0] || one.computed[0] > one.high[0]
                             ? one.computed[0] / limit - 1.0
                             : 0.0;
            furthest = fabs(off) > fabs(furthest) ? off : furthest;
            all++;
            inside += point_passes(&shown->point[i], row) != 0;
        }
    }
    (void)fprintf(file, "| %s | %zu of %zu | %+.1f %% |\n", name, inside, all, 100.0 * furthest);
}

void report_summary(FILE *file, const manifest *rows, const points *shown)
{
    static const char *const resin[] = {"capacity.resin_bulletin", NULL};
    static const char *const magazine[] = {"capacity.magazine_table", NULL};
    static const char *const ratings[] = {"capacity.several_ratings", "capacity.single_ratings",
                                          "capacity.design_ceiling", NULL};
    static const char *const leakage[] = {"leakage.michaud_2010",
                                          "leakage.c100_sheet_10_lb",
                                          "leakage.c100_sheet_4_lb",
                                          "leakage.davis_2010_10_lb",
                                          "leakage.davis_2010_5_lb",
                                          "leakage.low_doses",
                                          NULL};
    static const char *const corrections[] = {"corrections.sodium",     "corrections.hardness_300",
                                              "corrections.warm_water", "corrections.flow_160",
                                              "corrections.fine_mesh",  NULL};
    static const char *const hydraulics[] = {"hydraulics.pressure", "hydraulics.backwash",
                                             "hydraulics.backwash_velocity", NULL};
    static const char *const iron_laws[] = {"iron_laws.1_half_lives",
                                            "iron_laws.1_published_laws",
                                            "iron_laws.2_slopes",
                                            "iron_laws.3_figures",
                                            "iron_laws.3_figures_bed",
                                            "iron_laws.4_manganese",
                                            "iron_laws.5_removed",
                                            "iron_laws.5_with_magnesium",
                                            "iron_laws.5_before_calcium",
                                            "iron_laws.14_dithionite",
                                            NULL};
    static const char *const iron_rules[] = {"iron_rules.6_floc",
                                             "iron_rules.6_floc_directions",
                                             "iron_rules.7_heel",
                                             "iron_rules.7_low_salt",
                                             "iron_rules.7_high_salt",
                                             "iron_rules.8_interval",
                                             "iron_rules.9_early",
                                             "iron_rules.10_retention",
                                             "iron_rules.10_sites",
                                             "iron_rules.10_hardness",
                                             "iron_rules.11_cleaned",
                                             "iron_rules.11_cleaned_at_once",
                                             "iron_rules.12_waters",
                                             "iron_rules.13_brines",
                                             "iron_rules.15_pressure_grows",
                                             "iron_rules.15_pressure",
                                             "iron_rules.16_chlorine",
                                             "iron_rules.16_chlorine_half",
                                             NULL};
    (void)fputs("| published, and nothing fitted to it but where said | within "
                "its tolerance | "
                "furthest off |\n"
                "|---|---|---|\n",
                file);
    print_line(file, "resin product table at 500 mg/L, tolerance 5 %", rows, shown, resin);
    print_line(file, "magazine table at 10 % brine, 12 %", rows, shown, magazine);
    print_line(file, "all other ratings and the design ceiling, 2.5 to 8 %", rows, shown, ratings);
    print_line(file, "leakage: one value (factor 2) and limits", rows, shown, leakage);
    print_line(file,
               "corrections for sodium, hardness, temperature, flow, mesh, 0.02 "
               "and 0.03",
               rows, shown, corrections);
    print_line(file, "pressure drop and backwash, 5 and 25 %", rows, shown, hydraulics);
    print_line(file, "iron: worked values of the laws that are used, and figures", rows, shown,
               iron_laws);
    print_line(file, "iron: rules of the trade, some of which chose its constants", rows, shown,
               iron_rules);
}
