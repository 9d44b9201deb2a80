/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The bed's own solver against the integrator library's banded one: other
 * vectors, other order of the unknowns, difference quotients for slopes,
 * pivoting, other settings of the iteration; the right-hand side is the same.
 * One cycle of a case from an exhausted bed, at its middle dose.
 *
 * Distances are in units of what one step may be off, relative |value| +
 * absolute. */
#include "brinefront/case.h"
#include "outcome.h"
#include "rig.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

enum { CELLS = 40 };

typedef struct solved {
    bf_cycle_result cycle;
    bf_holding left;
} solved;

static bf_status solve(const bf_rating_spec *rating, bf_solver solver, solved *out, bf_error *err)
{
    rig bed = {0};
    bf_rating_spec spec = *rating;
    spec.bed.solver = solver;
    bf_site site = bf_rating_site(&spec);
    bf_status status;
    TRY(bf_rating_selectivity(&spec, &bed.selectivity, err));
    TRY(bf_rating_bed(&spec, bed.selectivity, &bed.bed, err));
    TRY(bf_rating_exhaust(&spec, bed.selectivity, bed.bed, err));
    TRY(bf_cycle_regenerate(&spec.recipe, &site, bed.bed, err));
    TRY(bf_cycle_run(&spec.recipe, &site, bed.bed, &out->cycle, err));
    out->left = bf_bed_holding(bed.bed);
done:
    rig_free(&bed);
    return status;
}

static double apart(double a, double b, double relative, double absolute)
{
    return (a - b) / (relative * fabs(b) + absolute);
}

static bf_status compare(const char *name, void *context, bf_error *err)
{
    outcome *out = context;
    char path[600];
    bf_case *input = calloc(1, sizeof *input);
    solved *own = calloc(2, sizeof *own);
    bf_notes *notes = NULL;
    bf_status status = input != NULL && own != NULL
                           ? BF_OK
                           : bf_error_set(err, BF_E_MEMORY, name, "memory ran out");
    TRY(status);
    (void)snprintf(path, sizeof path, "%s/cases/%s", BF_SOURCE_DIR, name);
    TRY(bf_notes_create(&notes, err));
    TRY(bf_case_read(path, input, notes, err));
    bf_rating_spec *rating = &input->rating;
    rating->bed.cells = CELLS;
    bf_recipe_set_dose(&rating->recipe, input->dose_kg_per_m3[input->dose_count / 2]);
    TRY(solve(rating, BF_SOLVER_BLOCK, &own[0], err));
    TRY(solve(rating, BF_SOLVER_BANDED, &own[1], err));
    const double relative = rating->bed.relative_tolerance;
    const double hardness = rating->bed.hardness_tolerance_eq_per_m3;
    const bf_cycle_result *a = &own[0].cycle;
    const bf_cycle_result *b = &own[1].cycle;
    outcome_add(out, 0.0, apart(a->capacity_eq_per_m3, b->capacity_eq_per_m3, relative, 0.0), 0.0);
    outcome_add(out, 1.0,
                apart(a->leakage_mean_eq_per_m3, b->leakage_mean_eq_per_m3, relative, hardness),
                0.0);
    for (size_t i = 0; i < BF_CATION_COUNT; i++) {
        double first = own[0].left.resin_fraction[i];
        double second = own[1].left.resin_fraction[i];
        double off = i == BF_ION_NA
                         ? apart(1.0 - first, 1.0 - second, relative, 1e-6) /* the rest */
                         : apart(first, second, relative, 1e-6);
        outcome_add(out, 2.0 + (double)i, off, 0.0);
    }
done:
    bf_notes_free(notes);
    free(own);
    free(input);
    return status;
}

/* variant: 0 two of them, 1 all */
static bf_status cases(int all, outcome *out, bf_error *err)
{
    if (!all) {
        bf_status status = compare("bulletin_500.yaml", out, err);
        return status == BF_OK ? compare("counter_current.yaml", out, err) : status;
    }
    size_t count;
    bf_status status = rig_every_case(compare, out, &count, err);
    (void)snprintf(out->note, sizeof out->note, "%zu cases", count);
    return status;
}

const comparison solvers_comparisons[] = {
    {"two_cases", cases, 0}, {"every_case", cases, 1}, {NULL, NULL, 0}};
