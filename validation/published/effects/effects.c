/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What each condition that the capacity tables leave out does to the capacity
 * at 5, 10 and 15 lb/ft3, and which of them, alone or together, would turn the
 * resin product table into the magazine table. The bed is
 * resin_bulletin/case.yaml; one thing is changed at a time. Nothing is tuned:
 * the changes are a list, and the answer is read off it.
 *
 *   validation_effects --write FILE              compute, and write the table
 *   validation_effects --compare FILE [--every N]  compute every Nth line; fail
 * where one moved validation_effects --print FILE              the table and
 * its answer, as Markdown
 */
#include "../source.h"
#include "try.h"

#include "brinefront/convert.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { DOSES = 3, LINES = 80, GROUP_MOST = 3, CANDIDATES = 12 };
static const double pounds[DOSES] = {5.0, 10.0, 15.0};

/* In points of %: another compiler's steps move the capacity by 0.01 %. */
static const double drift = 0.2;

/* Changes of one group exclude each other. */
static const struct {
    const char *group, *base, *changes;
} candidate_rows[] = {{"sodium of the feed", "2 meq/L", "sodium 1 meq/L"},
                      {"sodium of the feed", "2 meq/L", "sodium 4 meq/L"},
                      {"sodium of the feed", "2 meq/L", "sodium 8 meq/L"},
                      {"hardness of the feed", "500 mg/L", "hardness 200 mg/L as CaCO3"},
                      {"hardness of the feed", "500 mg/L", "hardness 342 mg/L as CaCO3"},
                      {"hardness of the feed", "500 mg/L", "hardness 400 mg/L as CaCO3"},
                      {"hardness of the feed", "500 mg/L", "hardness 800 mg/L as CaCO3"},
                      {"Ca:Mg of the feed", "2", "calcium_to_magnesium 1"},
                      {"Ca:Mg of the feed", "2", "calcium_to_magnesium 4"},
                      {"service flow", "20 BV/h", "flow 10 BV/h"},
                      {"service flow", "20 BV/h", "flow 30 BV/h"},
                      {"service flow", "20 BV/h", "flow 40 BV/h"},
                      {"brine flow", "4 BV/h", "brine_flow 2 BV/h"},
                      {"brine flow", "4 BV/h", "brine_flow 6 BV/h"},
                      {"brine strength", "10 %", "brine_strength 8 wt%"},
                      {"brine strength", "10 %", "brine_strength 15 wt%"},
                      {"end point", "17.1 mg/L", "end_point 5 mg/L as CaCO3"},
                      {"end point", "17.1 mg/L", "end_point 34 mg/L as CaCO3"},
                      {"bed depth", "0.76 m", "depth 0.6 m"},
                      {"bed depth", "0.76 m", "depth 1.0 m"},
                      {"bed depth", "0.76 m", "depth 1.5 m"},
                      {"bead size", "0.6 mm", "bead_diameter 0.5 mm"},
                      {"bead size", "0.6 mm", "bead_diameter 0.7 mm"},
                      {"bead size", "0.6 mm", "bead_diameter 0.8 mm"},
                      {"total capacity", "2.0 eq/L", "capacity 1.8 eq/L"},
                      {"total capacity", "2.0 eq/L", "capacity 2.2 eq/L"},
                      {"backwash and mixing", "none", "backwash_time 10 min; backwash_mixing 0"},
                      {"backwash and mixing", "none", "backwash_time 10 min; backwash_mixing 0.5"},
                      {"backwash and mixing", "none", "backwash_time 10 min; backwash_mixing 1"},
                      {"temperature", "20 C", "temperature 10 C"},
                      {"temperature", "20 C", "temperature 27 C"},
                      {"freeboard", "50 %", "freeboard 0 %"},
                      {"freeboard", "50 %", "freeboard 100 %"},
                      {"slow rinse", "2 BV raw", "slow_rinse_water soft"},
                      {"slow rinse", "2 BV raw", "slow_rinse_volume 4 BV"},
                      {"direction of brine", "co-current",
                       "direction counter-current; slow_rinse_volume 1.5 BV; slow_rinse_water "
                       "soft"}};
enum { KNOWN = sizeof candidate_rows / sizeof *candidate_rows };

/* One line of the table: the changes joined by " + ", the effect on capacity in
 * %. NAN: no rating.
 */
typedef struct line {
    char changes[400];
    double effect[DOSES];
} line;

typedef struct table {
    size_t count;
    line line[LINES];
} table;

/* ---- computing
 * ------------------------------------------------------------------------------
 */

static bf_status capacities(const char *case_text, const char *changes, double capacity[DOSES],
                            bf_error *err)
{
    char text[SOURCE_TEXT];
    char plain[400];
    double dose_kg_per_m3[DOSES];
    bf_dose_point point[DOSES];
    bf_status status = BF_OK;
    memcpy(text, case_text, sizeof text);
    (void)snprintf(plain, sizeof plain, "%s", changes);
    for (char *plus = strstr(plain, " + "); plus != NULL; plus = strstr(plain, " + ")) {
        memcpy(plus, ";  ", 3);
    }
    for (size_t d = 0; d < DOSES; d++) {
        dose_kg_per_m3[d] = pounds[d] * BF_KG_PER_M3_PER_LB_PER_FT3;
    }
    TRY(source_change(text, plain, err));
    TRY(source_rate(text, dose_kg_per_m3, DOSES, point, err));
    for (size_t d = 0; d < DOSES; d++) {
        capacity[d] = source_capacity(&point[d]);
    }
done:
    return status;
}

static bf_status compute(const char *case_text, const char *changes, line *out, bf_error *err)
{
    static double base[DOSES];
    double capacity[DOSES];
    bf_status status = BF_OK;
    if (base[0] == 0.0) {
        TRY(capacities(case_text, "-", base, err));
    }
    TRY(capacities(case_text, changes, capacity, err));
    (void)snprintf(out->changes, sizeof out->changes, "%s", changes);
    for (size_t d = 0; d < DOSES; d++) {
        double effect = 100.0 * (capacity[d] / base[d] - 1.0);
        out->effect[d] = capacity[d] > 0.0 ? effect : (double)NAN;
    }
done:
    return status;
}

/* The magazine table over the resin product table, % at each dose. */
static bf_status wanted_effect(double target[DOSES], bf_error *err)
{
    static source resin; /* too large for the stack */
    static source magazine;
    bf_status status = BF_OK;
    TRY(source_read("resin_bulletin", &resin, err));
    TRY(source_read("magazine_table", &magazine, err));
    for (size_t d = 0; d < DOSES; d++) {
        double first = (double)NAN;
        double second = (double)NAN;
        for (size_t r = 1; r < resin.rows; r++) {
            first = source_number(&resin, r, "dose_lb_per_ft3") == pounds[d]
                        ? source_number(&resin, r, "capacity_kgr_per_ft3")
                        : first;
        }
        for (size_t r = 1; r < magazine.rows; r++) {
            second = source_number(&magazine, r, "dose_lb_per_ft3") == pounds[d]
                         ? source_number(&magazine, r, "capacity_kgr_per_ft3")
                         : second;
        }
        target[d] = 100.0 * (second / first - 1.0);
    }
done:
    return status;
}

/* Largest distance from what is wanted, in points; INFINITY where a dose has no
 * rating. */
static double distance(const double effect[DOSES], const double target[DOSES])
{
    double worst = 0.0;
    for (size_t d = 0; d < DOSES; d++) {
        double off = fabs(effect[d] - target[d]);
        worst = isnan(off) ? (double)INFINITY : fmax(worst, off);
    }
    return worst;
}

static void combine(const table *rows, const size_t *which, size_t count, double effect[DOSES])
{
    for (size_t d = 0; d < DOSES; d++) {
        double product = 1.0;
        for (size_t i = 0; i < count; i++) {
            product *= 1.0 + 0.01 * rows->line[which[i]].effect[d];
        }
        effect[d] = 100.0 * (product - 1.0);
    }
}

/* Groups of changes whose effects, multiplied, come nearest, best first. */
typedef struct candidates {
    size_t count;
    double distance[CANDIDATES];
    size_t which[CANDIDATES][GROUP_MOST];
} candidates;

static void keep(candidates *list, double off, const size_t *which)
{
    size_t place = list->count;
    while (place > 0 && off < list->distance[place - 1]) {
        place--;
    }
    if (place == CANDIDATES) {
        return;
    }
    list->count += list->count < CANDIDATES;
    for (size_t i = list->count - 1; i > place; i--) {
        list->distance[i] = list->distance[i - 1];
        memcpy(list->which[i], list->which[i - 1], sizeof list->which[i]);
    }
    list->distance[place] = off;
    memcpy(list->which[place], which, sizeof list->which[place]);
}

/* Go through all sets of `count` changes that exclude none of each other. */
static void estimate(const table *rows, size_t count, const double target[DOSES], candidates *out)
{
    size_t which[GROUP_MOST] = {0, 1, 2};
    for (size_t i = count; i > 0;) {
        int apart = 1;
        for (i = 1; i < count; i++) {
            apart = apart &&
                    strcmp(candidate_rows[which[i]].group, candidate_rows[which[i - 1]].group) != 0;
        }
        double effect[DOSES];
        combine(rows, which, count, effect);
        double off = distance(effect, target);
        if (apart && off < (double)INFINITY) {
            keep(out, off, which);
        }
        i = count; /* the next set in order */
        while (i > 0 && which[i - 1] == KNOWN - count + i - 1) {
            i--;
        }
        if (i > 0) {
            which[i - 1]++;
        }
        for (size_t k = i; i > 0 && k < count; k++) {
            which[k] = which[k - 1] + 1;
        }
    }
}

/* Effects do not quite multiply: the most promising sets are computed, and the
 * nearest is kept. */
static bf_status nearest_set(const char *case_text, const table *rows, size_t count,
                             const double target[DOSES], line *best, bf_error *err)
{
    candidates found = {0};
    bf_status status = BF_OK;
    double least = (double)INFINITY;
    estimate(rows, count, target, &found);
    for (size_t c = 0; c < found.count; c++) {
        char changes[400] = "";
        line row;
        for (size_t i = 0; i < count; i++) {
            (void)snprintf(changes + strlen(changes), sizeof changes - strlen(changes), "%s%s",
                           i > 0 ? " + " : "", candidate_rows[found.which[c][i]].changes);
        }
        TRY(compute(case_text, changes, &row, err));
        double off = distance(row.effect, target);
        if (off < least) {
            least = off;
            *best = row;
        }
    }
done:
    return status;
}

static bf_status compute_all(table *out, bf_error *err)
{
    static source data; /* too large for the stack */
    double target[DOSES];
    bf_status status = BF_OK;
    TRY(source_read("resin_bulletin", &data, err));
    TRY(wanted_effect(target, err));
    for (size_t k = 0; k < KNOWN; k++) {
        TRY(compute(data.case_text, candidate_rows[k].changes, &out->line[out->count++], err));
    }
    for (size_t count = 2; count <= GROUP_MOST; count++) {
        TRY(nearest_set(data.case_text, out, count, target, &out->line[out->count], err));
        out->count++;
    }
done:
    return status;
}

/* ---- the file
 * -------------------------------------------------------------------------------
 */

static const char head[] = "changes,at_5_lb_per_ft3_percent,at_10_lb_per_ft3_percent,at_15_lb_per_"
                           "ft3_percent";

static bf_status write_table(const char *file_name, const table *rows, bf_error *err)
{
    FILE *file = fopen(file_name, "w");
    if (file == NULL) {
        return bf_error_set(err, BF_E_WRITE, file_name, "cannot be written");
    }
    (void)fprintf(file, "%s\n", head);
    for (size_t i = 0; i < rows->count; i++) {
        (void)fprintf(file, "%s,%.2f,%.2f,%.2f\n", rows->line[i].changes, rows->line[i].effect[0],
                      rows->line[i].effect[1], rows->line[i].effect[2]);
    }
    int failed = ferror(file);
    failed |= fclose(file);
    return failed ? bf_error_set(err, BF_E_WRITE, file_name, "cannot be written") : BF_OK;
}

static bf_status read_table(const char *file_name, table *out, bf_error *err)
{
    char text[600];
    bf_status status = BF_OK;
    FILE *file = fopen(file_name, "r");
    if (file == NULL) {
        return bf_error_set(err, BF_E_FILE, file_name, "cannot be opened");
    }
    int is_table =
        fgets(text, sizeof text, file) != NULL && strncmp(text, head, sizeof head - 1) == 0;
    while (is_table && status == BF_OK && fgets(text, sizeof text, file) != NULL) {
        line *row = &out->line[out->count];
        if (out->count == LINES || sscanf(text, "%399[^,],%lf,%lf,%lf", row->changes,
                                          &row->effect[0], &row->effect[1], &row->effect[2]) != 4) {
            status = bf_error_set(err, BF_E_INPUT, file_name, "a line cannot be read: %s", text);
        }
        out->count++;
    }
    (void)fclose(file);
    if (status == BF_OK && out->count != KNOWN + GROUP_MOST - 1) {
        status = bf_error_set(err, BF_E_INPUT, file_name, "is not the table of this program");
    }
    for (size_t k = 0; k < KNOWN && status == BF_OK; k++) {
        if (strcmp(out->line[k].changes, candidate_rows[k].changes) != 0) {
            status =
                bf_error_set(err, BF_E_INPUT, file_name, "lacks \"%s\"", candidate_rows[k].changes);
        }
    }
    return status;
}

/* @return through `moved` how many lines moved */
static bf_status compare(const table *before, size_t every, size_t *moved, bf_error *err)
{
    static source data; /* too large for the stack */
    bf_status status = BF_OK;
    TRY(source_read("resin_bulletin", &data, err));
    for (size_t i = before->count; i-- > 0;) { /* from the end: the combinations first */
        line now;
        if ((before->count - 1 - i) % every != 0) {
            continue;
        }
        TRY(compute(data.case_text, before->line[i].changes, &now, err));
        int same = 1;
        for (size_t d = 0; d < DOSES; d++) {
            double was = before->line[i].effect[d];
            int both_none = isnan(was) && isnan(now.effect[d]);
            same = same && (both_none || fabs(was - now.effect[d]) <= drift);
        }
        (void)printf("%s: %.2f %.2f %.2f%s\n", now.changes, now.effect[0], now.effect[1],
                     now.effect[2], same ? "" : "  MOVED");
        *moved += !same;
    }
done:
    return status;
}

/* ---- the page
 * -------------------------------------------------------------------------------
 */

static void print_effect(const line *row)
{
    for (size_t d = 0; d < DOSES; d++) {
        (void)(isnan(row->effect[d]) ? printf(" no rating |") : printf(" %+.1f |", row->effect[d]));
    }
}

static void print_answer(const char *how, const line *row, const double target[DOSES])
{
    (void)printf("- **%s:** %s: %+.1f, %+.1f and %+.1f %%, off by up to %.1f points.\n", how,
                 row->changes, row->effect[0], row->effect[1], row->effect[2],
                 distance(row->effect, target));
}

static bf_status print_table(const table *rows, bf_error *err)
{
    double target[DOSES];
    size_t nearest_one = 0;
    size_t steepest = 0;
    bf_status status = wanted_effect(target, err);
    if (status != BF_OK) {
        return status;
    }
    (void)printf("## What the unstated conditions do\n\n"
                 "Change of the computed capacity, %%, when one condition of "
                 "`validation/published/resin_bulletin/case.yaml` changes\nand all others "
                 "stay. Written by "
                 "`validation_effects`; nothing is tuned. \"No rating\": the effluent is "
                 "still above the "
                 "end point "
                 "after half a bed volume.\n\n"
                 "| condition | there | changed to | 5 lb/ft3 | 10 lb/ft3 | 15 lb/ft3 |\n"
                 "|---|---|---|---|---|---|\n");
    for (size_t k = 0; k < KNOWN; k++) {
        (void)printf("| %s | %s | %s |", candidate_rows[k].group, candidate_rows[k].base,
                     candidate_rows[k].changes);
        print_effect(&rows->line[k]);
        (void)printf("\n");
        const double *effect = rows->line[k].effect;
        double tilt = effect[0] - effect[2];
        const double *most = rows->line[steepest].effect;
        steepest = tilt > most[0] - most[2] || isnan(most[0] - most[2]) ? k : steepest;
        nearest_one = distance(effect, target) < distance(rows->line[nearest_one].effect, target)
                          ? k
                          : nearest_one;
    }
    const line *last = &rows->line[rows->count - 1];
    const double *most = rows->line[steepest].effect;
    double least = fmin(distance(last->effect, target), distance((last - 1)->effect, target));
    (void)printf("\n### Would one of them reconcile the two tables?\n\n"
                 "To turn the resin product table into the magazine table a "
                 "change must bring "
                 "%+.1f, %+.1f and %+.1f %% at 5, 10 and\n15 lb/ft3: more at the "
                 "low dose and less "
                 "at the high one, a tilt of %.1f points.\n\n",
                 target[0], target[1], target[2], target[0] - target[2]);
    print_answer("Alone, nearest", &rows->line[nearest_one], target);
    print_answer("Two together, nearest found", last - 1, target);
    print_answer("Three together, nearest found", last, target);
    (void)printf("- **Steepest alone:** %s tilts by %.1f of the %.1f points.\n\n",
                 rows->line[steepest].changes, most[0] - most[2], target[0] - target[2]);
    if (least <= 1.0) {
        (void)printf("So the two tables can be the same resin under other "
                     "conditions: these bring "
                     "them within a point of each\nother. That is a possibility, "
                     "not a finding: "
                     "nothing says that the magazine's bed was run so.\n");
    } else {
        (void)printf("So no condition of this list was found, alone or with two "
                     "others, that "
                     "reconciles the two tables in the model.\nWhat lifts the low "
                     "dose most (no "
                     "freeboard, a cleaner rinse) hardly lowers the high one; what "
                     "lowers the "
                     "high\ndose (less total capacity, faster brine) lowers the "
                     "low one too. "
                     "Whether the rest is another resin, another\nmethod, or a "
                     "margin on the high "
                     "doses, the sources do not tell.\n");
    }
    return BF_OK;
}

int main(int count, char **arguments)
{
    static table rows; /* too large for the stack */
    bf_error err = {0};
    size_t moved = 0;
    const char *command = count > 2 ? arguments[1] : "";
    long every = count == 5 && strcmp(arguments[3], "--every") == 0 ? atol(arguments[4]) : 1;
    bf_status status = BF_OK;
    if (strcmp(command, "--write") == 0 && count == 3) {
        status = compute_all(&rows, &err);
        status = status == BF_OK ? write_table(arguments[2], &rows, &err) : status;
    } else if (strcmp(command, "--print") == 0 && count == 3) {
        status = read_table(arguments[2], &rows, &err);
        status = status == BF_OK ? print_table(&rows, &err) : status;
    } else if (strcmp(command, "--compare") == 0 && (count == 3 || count == 5) && every > 0) {
        status = read_table(arguments[2], &rows, &err);
        status = status == BF_OK ? compare(&rows, (size_t)every, &moved, &err) : status;
    } else {
        (void)fprintf(stderr, "validation_effects --write FILE | --print FILE | --compare FILE "
                              "[--every N]\n");
        return 2;
    }
    if (status != BF_OK) {
        (void)fprintf(stderr, "%s: %s\n", err.where, err.message);
        return 2;
    }
    return moved > 0;
}
