/* SPDX-License-Identifier: GPL-3.0-or-later */
/* In - out - stored of every cation and of the charge, through every step of
 * two cycles of every case in cases/ (rate law: film and bead, as the cases
 * are). Amounts are equivalents, so the sum over the cations is the charge. */
#include "brinefront/case.h"
#include "outcome.h"
#include "rig.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

/* Largest imbalance of a step over all that passed in it. */
static double imbalance(const bf_passage *passage, int charge)
{
    double passed = 0.0;
    double sum = 0.0;
    double worst = 0.0;
    for (size_t i = 0; i < BF_CATION_COUNT; i++) {
        double off =
            passage->in_eq_per_m3[i] - passage->out_eq_per_m3[i] - passage->stored_eq_per_m3[i];
        passed += passage->in_eq_per_m3[i] + passage->out_eq_per_m3[i];
        sum += off;
        worst = fmax(worst, fabs(off));
    }
    worst = charge ? fabs(sum) : worst;
    return passed > 0.0 ? worst / passed : 0.0;
}

static bf_status two_cycles(const char *name, int charge, double *worst, size_t *steps,
                            bf_error *err)
{
    char path[600];
    bf_case *input = calloc(1, sizeof *input);
    bf_notes *notes = NULL;
    rig bed = {0};
    bf_status status =
        input != NULL ? BF_OK : bf_error_set(err, BF_E_MEMORY, name, "memory ran out");
    TRY(status);
    (void)snprintf(path, sizeof path, "%s/cases/%s", BF_SOURCE_DIR, name);
    TRY(bf_notes_create(&notes, err));
    TRY(bf_case_read(path, input, notes, err));
    bf_rating_spec *rating = &input->rating;
    if (input->dose_count > 0) {
        bf_recipe_set_dose(&rating->recipe, input->dose_kg_per_m3[input->dose_count / 2]);
    }
    bf_site site = bf_rating_site(rating);
    TRY(bf_rating_selectivity(rating, &bed.selectivity, err));
    TRY(bf_rating_bed(rating, bed.selectivity, &bed.bed, err));
    for (int cycle = 0; cycle < 2; cycle++) {
        bf_cycle_result result;
        TRY(bf_cycle_run(&rating->recipe, &site, bed.bed, &result, err));
        for (size_t s = 0; s < result.step_count; s++) {
            *worst = fmax(*worst, imbalance(&result.step[s].passage, charge));
            *steps += result.step[s].passage.duration_s > 0.0;
        }
    }
done:
    rig_free(&bed);
    bf_notes_free(notes);
    free(input);
    return status;
}

typedef struct tally {
    int charge;
    size_t steps;
    outcome *out;
} tally;

static bf_status look(const char *name, void *context, bf_error *err)
{
    tally *count = context;
    double worst = 0.0;
    bf_status status = two_cycles(name, count->charge, &worst, &count->steps, err);
    outcome_add(count->out, (double)count->out->points, worst, 0.0);
    return status;
}

/* variant: 0 every cation, 1 the charge. One pair a case. */
static bf_status every_case(int charge, outcome *out, bf_error *err)
{
    tally sum = {.charge = charge, .out = out};
    size_t count;
    bf_status status = rig_every_case(look, &sum, &count, err);
    (void)snprintf(out->note, sizeof out->note, "%zu cases; %zu steps", count, sum.steps);
    return status;
}

const comparison conservation_comparisons[] = {
    {"ions", every_case, 0}, {"charge", every_case, 1}, {NULL, NULL, 0}};
