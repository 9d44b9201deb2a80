/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the uncertainty of each constant does to capacity and leakage: one
 * constant at a time, at its low and at its high limit, on the bed of
 * resin_bulletin/case.yaml. Nothing is tuned: the limits are those of the
 * constants' sources.
 *
 *   validation_sensitivity --write FILE | --print FILE | --compare FILE
 * [--every N]
 */
#include "table.h"

#include "try.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

typedef struct side {
    size_t which;
    int high;
} side;

/* Two lines a constant, one where it has no high limit. */
static size_t sides(side *end)
{
    size_t count = 0;
    for (size_t k = 0; k < uncertain_count(); k++) {
        for (int high = 0; high < 2; high++) {
            if (!high || strcmp(uncertain_get(k)->high, "-") != 0) {
                end[count++] = (side){k, high};
            }
        }
    }
    return count;
}

static side side_of(size_t line)
{
    side all[TABLE_LINES];
    (void)sides(all);
    return all[line];
}

static const char *name(size_t line)
{
    static char text[200];
    side end = side_of(line);
    (void)snprintf(text, sizeof text, "%s: %s", uncertain_get(end.which)->name,
                   end.high ? uncertain_get(end.which)->high : uncertain_get(end.which)->low);
    return text;
}

static bf_status compute(size_t line, effect *out, bf_error *err)
{
    uncertain_bed bed;
    bf_status status = BF_OK;
    side end = side_of(line);
    TRY(uncertain_bed_of("resin_bulletin", &bed, err));
    uncertain_set(&bed, end.which, end.high ? 1.0 : 0.0);
    TRY(table_effect(&bed, out, err));
done:
    return status;
}

/* ---- the page
 * -------------------------------------------------------------------------------
 */

typedef struct constant_line {
    const uncertain *constant;
    const effect *low, *high; /* NULL: no such limit */
    double size;              /* largest effect on capacity; no rating counts as all of it */
} constant_line;

static double size_of(const effect *row)
{
    double size = 0.0;
    for (size_t d = 0; row != NULL && d < TABLE_DOSES; d++) {
        size = fmax(size, isnan(row->capacity[d]) ? 100.0 : fabs(row->capacity[d]));
    }
    return size;
}

static int larger_first(const void *a, const void *b)
{
    const constant_line *left = a;
    const constant_line *right = b;
    return (left->size < right->size) - (left->size > right->size);
}

static void print_pair(const double *low, const double *high)
{
    for (size_t d = 0; d < TABLE_DOSES; d++) {
        (void)printf(" ");
        table_print_number(low[d]);
        if (high != NULL) {
            (void)printf(" / ");
            table_print_number(high[d]);
        }
        (void)printf(" |");
    }
}

static void print(const effect *lines)
{
    side all[TABLE_LINES];
    constant_line sorted[TABLE_LINES];
    size_t lines_count = sides(all);
    size_t count = 0;
    for (size_t i = 0; i < lines_count; i++) {
        if (!all[i].high) {
            int both = i + 1 < lines_count && all[i + 1].high;
            const effect *high = both ? &lines[i + 1] : NULL;
            sorted[count++] = (constant_line){uncertain_get(all[i].which), &lines[i], high,
                                              fmax(size_of(&lines[i]), size_of(high))};
        }
    }
    qsort(sorted, count, sizeof *sorted, larger_first);
    (void)printf("## What the uncertain constants do\n\n"
                 "Change of computed capacity and mean leakage, %%, when one "
                 "constant goes to its low / "
                 "high limit and all others\nstay; bed of "
                 "`validation/published/resin_bulletin/case.yaml`, "
                 "6, 10 and 15 lb/ft3, largest effect on capacity first.\nThe "
                 "limits are those the sources "
                 "of each constant leave it (last column), not errors of "
                 "measurement. Written by\n"
                 "`validation_sensitivity`.\n\n"
                 "| constant | low | assumed | high | capacity, 6 | 10 | 15 | "
                 "leakage, 6 | 10 | 15 | limits "
                 "from |\n|---|---|---|---|---|---|---|---|---|---|---|\n");
    for (size_t k = 0; k < count; k++) {
        const constant_line *constant = &sorted[k];
        (void)printf("| %s | %s | %s | %s |", constant->constant->name, constant->constant->low,
                     constant->constant->assumed, constant->constant->high);
        print_pair(constant->low->capacity,
                   constant->high != NULL ? constant->high->capacity : NULL);
        print_pair(constant->low->leakage, constant->high != NULL ? constant->high->leakage : NULL);
        (void)printf(" %s |\n", constant->constant->grounds);
    }
    (void)printf("\nDiffusivities in water are no line of their own: the tables "
                 "agree to 1 %%, the film "
                 "goes with their power 2/3,\nand the two film laws differ by a "
                 "third. The selectivity in "
                 "brine is moved in the brine and slow rinse steps alone.\n");
}

int main(int count, char **arguments)
{
    side all[TABLE_LINES];
    const table rows = {"validation_sensitivity", sides(all), name, compute, NULL, print};
    return table_main(&rows, count, arguments);
}
