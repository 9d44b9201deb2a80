/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a rating sheet says of its own doubt, and how it stands against published criteria. */
#include "report/sheet/sheet_parts.h"
#include "report/sheet/sheet_promise.h"

#include <math.h>

/* What makes less of the variance is told to programs only. */
static const double worth_a_line = 0.02;

static void detail(const bf__sheet_group *group, const char *subject, const char *what,
                   double share)
{
    bf__sheet_add(group, BF__QUANTITY_SHARE, share, "%.50s, %s", subject, what)->is_detail = 1;
}

/* Shares are told where they can be trusted: docs/decisions/band.md. */
enum { FEWEST_SAMPLES = 64 };
static const double least_explained = 0.9;

static void indices(const bf_tank_study *study, int k, const char *heading, bf__sheet *sheet)
{
    const bf__sheet_group group = bf__sheet_group_of_all(sheet, heading);
    if (study->index[k] == NULL) {
        bf__sheet_add_words(&group, "no shares", "too few samples have a rating");
        return;
    }
    if (study->samples < FEWEST_SAMPLES) {
        bf__sheet_add_words(&group, "no shares", "%zu samples are too few: %d and more tell shares",
                            study->samples, FEWEST_SAMPLES);
        return;
    }
    if (!(study->explained[k] >= least_explained)) {
        bf__sheet_add_words(
            &group, "no shares",
            "the shares would foretell %.3g of the variance (Q2), less than %.2g: more "
            "samples may tell them",
            study->explained[k], least_explained);
        return;
    }
    for (size_t i = 0; i < bf_uncertain_count(); i++) {
        const bf_sobol_index *index = &study->index[k][i];
        const char *name = bf_uncertain_get(index->uncertain).name;
        bf__sheet_item *item = bf__sheet_add(&group, BF__QUANTITY_SHARE, index->total, "%s", name);
        item->is_detail = index->total < worth_a_line;
        bf__sheet_say(item, "+- %.2g, alone %.2g +- %.2g", 100.0 * index->total_error,
                      100.0 * index->alone, 100.0 * index->alone_error);
        detail(&group, name, "error", index->total_error);
        detail(&group, name, "alone", index->alone);
        detail(&group, name, "alone, error", index->alone_error);
    }
    bf__sheet_say(bf__sheet_add(&group, BF__QUANTITY_SHARE, study->explained[k],
                                "told by these indices (Q2)"),
                  "shares are of the variance of the samples; this much of that of samples left "
                  "out, the rest belongs to nobody");
}

/* A number in the units of a criterion. */
static bf__sheet_item *in_its_units(bf__sheet_item *item, const bf_criterion *criterion)
{
    item->value[BF_UNITS_SI] *= criterion->si_per_unit;
    item->unit[BF_UNITS_US] = criterion->unit;
    item->unit[BF_UNITS_SI] = criterion->si_unit;
    return item;
}

static void add_criterion(const bf_rate_report *report, bf_criterion_id id,
                          const bf__sheet_group *group)
{
    const bf_criterion *criterion = &report->study->criterion[id];
    const char *name = criterion->name;
    bf__sheet_item *item = in_its_units(
        bf__sheet_add(group, BF__QUANTITY_PLAIN, criterion->found, "%s", name), criterion);
    bf__sheet_say(item, "%s", bf_criterion_verdict(criterion));
    if (!isnan(criterion->found)) {
        bf__sheet_say(item, ", margin %+.3g %%", 100.0 * criterion->margin);
    }
    bf__sheet_say(item, ": %s %.4g %s (%s)", criterion->at_least ? "at least" : "at most",
                  criterion->limit, criterion->unit, criterion->source);
    if (bf__sheet_promise_fails(report, id)) {
        bf__sheet_say(item, "; the practical rating, %.4g %s, does not",
                      bf_round_down(bf__sheet_promised_efficiency(report, id), 3), criterion->unit);
    }
    in_its_units(bf__sheet_add(group, BF__QUANTITY_PLAIN, criterion->limit, "%.60s, limit", name),
                 criterion)
        ->is_detail = 1;
    detail(group, name, "margin", criterion->margin);
}

void bf__sheet_doubt(const bf_rate_report *report, bf__sheet *sheet)
{
    const bf_tank_study *study = report->study;
    const bf__sheet_group group =
        bf__sheet_group_of_all(sheet, "published criteria, smallest dose");
    indices(study, 0, "what the doubt in capacity comes from, middle dose", sheet);
    indices(study, 1, "what the doubt in leakage comes from, middle dose", sheet);
    for (size_t k = 0; k < BF_CRITERIA; k++) {
        add_criterion(report, (bf_criterion_id)k, &group);
    }
    bf__sheet_add_words(&group, "what this is", "a computed estimate, not a certification");
}
