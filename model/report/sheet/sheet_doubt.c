/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a rating sheet says of its own doubt, and how it stands against published criteria. */
#include "report/sheet/sheet.h"

#include <math.h>
#include <string.h>

/* What makes less of the variance is told to programs only. */
static const double worth_a_line = 0.02;

static void detail(bf__sheet *to, const char *group, const char *of, const char *what, double share)
{
    char name[160];
    (void)snprintf(name, sizeof name, "%.50s, %s", of, what);
    bf__sheet_add(to, group, (double)NAN, BF__QUANTITY_SHARE, share, name)->is_detail = 1;
}

/* Shares are told where they can be trusted: docs/decisions/band.md. */
enum { FEWEST_SAMPLES = 64 };
static const double least_explained = 0.9;

static void indices(const bf_tank_study *study, int k, const char *group, bf__sheet *to)
{
    char words[200] = "";
    if (study->index[k] == NULL) {
        (void)snprintf(words, sizeof words, "too few samples have a rating");
    } else if (study->samples < FEWEST_SAMPLES) {
        (void)snprintf(words, sizeof words, "%zu samples are too few: %d and more tell shares",
                       study->samples, FEWEST_SAMPLES);
    } else if (!(study->explained[k] >= least_explained)) {
        (void)snprintf(words, sizeof words,
                       "the shares would foretell %.3g of the variance (Q2), less than %.2g: more "
                       "samples may tell them",
                       study->explained[k], least_explained);
    }
    if (words[0] != '\0') {
        (void)bf__sheet_add_words(to, group, "no shares", words);
        return;
    }
    for (size_t i = 0; i < bf_uncertain_count(); i++) {
        const bf_sobol_index *of = &study->index[k][i];
        const char *name = bf_uncertain_get(of->uncertain).name;
        bf__sheet_item *item =
            bf__sheet_add(to, group, (double)NAN, BF__QUANTITY_SHARE, of->total, name);
        item->is_detail = of->total < worth_a_line;
        (void)snprintf(item->words, sizeof item->words, "+- %.2g, alone %.2g +- %.2g",
                       100.0 * of->total_error, 100.0 * of->alone, 100.0 * of->alone_error);
        detail(to, group, name, "error", of->total_error);
        detail(to, group, name, "alone", of->alone);
        detail(to, group, name, "alone, error", of->alone_error);
    }
    bf__sheet_item *item = bf__sheet_add(to, group, (double)NAN, BF__QUANTITY_SHARE,
                                         study->explained[k], "told by these indices (Q2)");
    (void)snprintf(item->words, sizeof item->words,
                   "shares are of the variance of the samples; this much of that of samples left "
                   "out, the rest belongs to nobody");
}

/* The salt efficiency that the practical rating promises at the smallest dose, in the criterion's
 * unit; NAN where it is no matter of that or there is no band. */
static double practical_efficiency(const bf_rate_report *report, bf_criterion_id id)
{
    const bf_tank_study *study = report->study;
    const bf_tank_dose *least = &study->dose[study->least];
    const int is_efficiency = id == BF_CRITERION_EFFICIENCY_RATED ||
                              id == BF_CRITERION_EFFICIENCY_STATE ||
                              id == BF_CRITERION_EFFICIENCY_DISTRICT;
    if (!is_efficiency || !least->has_band) {
        return (double)NAN;
    }
    const double kg_per_kg = bf__sheet_of_tank(report, least, BF_BAND_EFFICIENCY,
                                               least->span[BF_BAND_EFFICIENCY].practical);
    return kg_per_kg * bf__quantity_unit(BF__QUANTITY_EFFICIENCY, BF_UNITS_US).scale;
}

int bf__sheet_promise_fails(const bf_rate_report *report, bf_criterion_id id)
{
    const bf_criterion *of = &report->study->criterion[id];
    return of->holds && practical_efficiency(report, id) < of->limit; /* NAN: no */
}

static void criterion(const bf_rate_report *report, bf_criterion_id id, bf__sheet *to)
{
    const bf_criterion *of = &report->study->criterion[id];
    const char *group = "published criteria, smallest dose";
    const char *bound = of->at_least ? "at least" : "at most";
    const double limits[2] = {of->limit, of->limit * of->si_per_unit};
    const char *units[2] = {of->unit, of->si_unit};
    char name[160];
    bf__sheet_item *item =
        bf__sheet_add(to, group, (double)NAN, BF__QUANTITY_PLAIN, of->found, of->name);
    item->value[BF_UNITS_SI] = of->found * of->si_per_unit;
    item->unit[BF_UNITS_US] = units[0];
    item->unit[BF_UNITS_SI] = units[1];
    if (isnan(of->found)) {
        (void)snprintf(item->words, sizeof item->words, "%s: %s %.4g %s (%s)",
                       bf_criterion_verdict(of), bound, limits[0], units[0], of->source);
    } else {
        (void)snprintf(item->words, sizeof item->words, "%s, margin %+.3g %%: %s %.4g %s (%s)",
                       bf_criterion_verdict(of), 100.0 * of->margin, bound, limits[0], units[0],
                       of->source);
    }
    if (bf__sheet_promise_fails(report, id)) {
        const size_t length = strlen(item->words);
        (void)snprintf(item->words + length, sizeof item->words - length,
                       "; the practical rating, %.4g %s, does not",
                       bf_round_down(practical_efficiency(report, id), 3), units[0]);
    }
    (void)snprintf(name, sizeof name, "%.60s, limit", of->name);
    item = bf__sheet_add(to, group, (double)NAN, BF__QUANTITY_PLAIN, limits[0], name);
    item->value[BF_UNITS_SI] = limits[1];
    item->unit[BF_UNITS_US] = units[0];
    item->unit[BF_UNITS_SI] = units[1];
    item->is_detail = 1;
    detail(to, group, of->name, "margin", of->margin);
}

void bf__sheet_doubt(const bf_rate_report *report, bf__sheet *to)
{
    const bf_tank_study *study = report->study;
    indices(study, 0, "what the doubt in capacity comes from, middle dose", to);
    indices(study, 1, "what the doubt in leakage comes from, middle dose", to);
    for (size_t k = 0; k < BF_CRITERIA; k++) {
        criterion(report, (bf_criterion_id)k, to);
    }
    (void)bf__sheet_add_words(to, "published criteria, smallest dose", "what this is",
                              "a computed estimate, not a certification");
}
