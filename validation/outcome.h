/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a comparison yields, before any metric or tolerance is applied to it:
 * pairs of a computed and a reference value, and the errors of a sequence of
 * grids. */
#ifndef BF_VALIDATION_OUTCOME_H
#define BF_VALIDATION_OUTCOME_H

#include "brinefront/status.h"

enum { OUTCOME_POINTS = 512, OUTCOME_GRIDS = 8, OUTCOME_PUBLISHED = 32 };

/** What the page says of a published number. */
typedef struct outcome_label {
    char point[64]; /* "5 lb/ft3" */
    char unit[24];
    char published[24]; /* as data.csv has it: "20.0", ">= 20", "<= 5", "50 to 70"
                       */
} outcome_label;

typedef struct outcome {
    size_t points;
    double place[OUTCOME_POINTS]; /* where: a time, a level, a number */
    double computed[OUTCOME_POINTS];
    double reference[OUTCOME_POINTS];                 /* of a range its middle, of a limit the
                                       limit */
    double low[OUTCOME_POINTS], high[OUTCOME_POINTS]; /* both the reference where it is a number */
    outcome_label label[OUTCOME_PUBLISHED]; /* of the first points; empty: not published */
    size_t grids;
    double intervals[OUTCOME_GRIDS]; /* cells, shells, or 1/tolerance: more is
                                      finer */
    double error[OUTCOME_GRIDS];
    /* Closed form against the published table: largest distance over what the
   * table's digits (and a numerical reference's own error) allow. Above 1 the
   * row fails. */
    double spot;
    size_t spots;   /* how many values of the table were looked at */
    char note[240]; /* for the report; no commas, no quotes */
} outcome;

/* One more than there is room for turns the last into NAN, which no metric
 * passes. */
void outcome_add(outcome *out, double place, double computed, double reference);
void outcome_add_grid(outcome *out, double intervals, double error);
/** A point that stands against `label->published`; text that cannot be read
 * adds NAN. */
void outcome_add_published(outcome *out, const outcome_label *label, double computed);
/** Enter one value of a table. @param allowed  half its last digit, or more
 * with a reason beside */
void outcome_spot(outcome *out, double closed_form, double table, double allowed);

/** One comparison. `variant` tells comparisons that share a function apart. */
typedef bf_status comparison_run(int variant, outcome *out, bf_error *err);

typedef struct comparison {
    const char *name; /* what the manifest's column "case" says; NULL ends a list */
    comparison_run *run;
    int variant;
} comparison;

/* One list a family, in verification/ ... */
extern const comparison tracer_comparisons[], linear_isotherm_comparisons[], thomas_comparisons[],
    bead_comparisons[], equilibrium_theory_comparisons[], usgs_example_11_comparisons[],
    manufactured_comparisons[], conservation_comparisons[], symmetry_comparisons[],
    leakage_floor_comparisons[], solvers_comparisons[];
/* ... and in published/. */
extern const comparison capacity_comparisons[], leakage_comparisons[], corrections_comparisons[],
    hydraulics_comparisons[], regenerants_comparisons[], practice_comparisons[];
/* ... and in iron/. */
extern const comparison iron_laws_comparisons[], iron_accounts_comparisons[],
    iron_exchange_comparisons[], iron_floc_comparisons[], iron_fouling_comparisons[];
/* ... and of vessels in rating/: the first against published laws, the others
 * verify. */
extern const comparison vessel_comparisons[], vessel_checks_comparisons[], sampling_comparisons[],
    worked_examples_comparisons[];

#endif
