/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a rating sheet says dose by dose: the whole tank, its band, and the regeneration. */
#include "report/sheet/sheet_parts.h"
#include "report/sheet/sheet_promise.h"

#include <math.h>

static void whole_tank(const bf_tank_dose *dose, bf__sheet *sheet)
{
    const bf__sheet_group group =
        bf__sheet_group_of_dose(sheet, "capacity of the whole tank", dose->point.dose_kg_per_m3);
    const bf_cycle_result *cycle = &dose->point.steady.cycle;
    const double rated = cycle->outcome == BF_RATED ? 1.0 : (double)NAN;
    bf__sheet_item *item =
        bf__sheet_add(&group, BF__QUANTITY_HELD_CACO3, dose->tank.capacity_kg, "capacity");
    if (cycle->outcome != BF_RATED) {
        bf__sheet_say(item, "%s", bf_outcome_words(cycle->outcome));
    }
    bf__sheet_add(&group, BF__QUANTITY_CAPACITY, rated * cycle->capacity_eq_per_m3, "per resin");
    bf__sheet_add(&group, BF__QUANTITY_MASS, dose->tank.salt_kg, "salt");
    bf__sheet_add(&group, BF__QUANTITY_EFFICIENCY, dose->tank.efficiency_kg_per_kg, "per salt");
    bf__sheet_add(&group, BF__QUANTITY_LEAKAGE, rated * cycle->leakage_mean_eq_per_m3,
                  "mean leakage");
    bf__sheet_add(&group, BF__QUANTITY_LEAKAGE, rated * cycle->leakage_first_eq_per_m3,
                  "leakage at first");
    bf__sheet_add(&group, BF__QUANTITY_WATER, dose->tank.water_m3, "water of a run");
    bf__sheet_add(&group, BF__QUANTITY_WATER, dose->sheet.regeneration_m3,
                  "water of a regeneration");
    bf__sheet_add(&group, BF__QUANTITY_WASTE, dose->tank.waste_m3_per_kg, "waste per capacity");
}

static void band(const bf_rate_report *report, const bf_tank_dose *dose, bf__sheet *sheet)
{
    const bf__sheet_group group = bf__sheet_group_of_dose(
        sheet, "band left open by the uncertain constants", dose->point.dose_kg_per_m3);
    if (!dose->has_band) {
        return;
    }
    for (size_t q = 0; q < BF_BAND_QUANTITIES; q++) {
        const bf_tank_span *span = &dose->span[q];
        const double values[] = {span->low, span->middle, span->high};
        static const char *const shares[] = {"P10", "P50", "P90"};
        for (size_t k = 0; k < 3; k++) {
            bf__sheet_add(&group, bf__sheet_quantities[q].quantity,
                          bf__sheet_of_tank(report, dose, (bf_band_quantity)q, values[k]), "%s %s",
                          bf__sheet_quantities[q].name, shares[k]);
        }
    }
    bf__sheet_add(&group, BF__QUANTITY_SAMPLES, (double)dose->unrated, "without a rating");
}

/* A step of the regeneration; steps of one name are numbered. */
static void add_step(const bf__sheet_group *group, const bf_recipe *recipe, size_t step,
                     double step_s)
{
    const bf_step_type *type = recipe->step[step].type;
    size_t alike = 0;
    size_t number = 0;
    for (size_t s = 0; s < recipe->count; s++) {
        alike += recipe->step[s].type == type ? 1 : 0;
        number = s == step ? alike : number;
    }
    if (alike > 1) {
        bf__sheet_add(group, BF__QUANTITY_MINUTES, step_s, "%s %zu", type->name, number);
    } else {
        bf__sheet_add(group, BF__QUANTITY_MINUTES, step_s, "%s", type->name);
    }
}

static void regeneration(const bf_rate_report *report, const bf_tank_dose *dose, bf__sheet *sheet)
{
    const bf__sheet_group group =
        bf__sheet_group_of_dose(sheet, "regeneration", dose->point.dose_kg_per_m3);
    const bf_recipe *recipe = &report->study->rating.recipe;
    for (size_t s = 0; s < recipe->count; s++) {
        if (!bf_step_serves(&recipe->step[s])) {
            add_step(&group, recipe, s, dose->sheet.step_s[s]);
        }
    }
    bf__sheet_add(&group, BF__QUANTITY_MINUTES, dose->sheet.regeneration_s, "all of it");
    bf__sheet_add(&group, BF__QUANTITY_WATER, dose->sheet.brine_m3, "brine, if drawn saturated");
    bf__sheet_add(&group, BF__QUANTITY_WATER, dose->sheet.refill_m3, "water to the salt for it");
    bf__sheet_add(&group, BF__QUANTITY_SHARE,
                  dose->salt_left_eq_per_m3 / dose->point.dose_eq_per_m3,
                  "salt left after the rinse");
}

/* A row of a user's own table. */
static void overlay_row(const bf_rate_report *report, size_t row, bf__sheet *sheet)
{
    const bf_overlay_residual residual = bf_report_overlay_residual(report, row);
    const bf__sheet_group group =
        bf__sheet_group_of_dose(sheet, "overlay", residual.dose_kg_per_m3);
    bf__sheet_add(&group, BF__QUANTITY_CAPACITY, residual.stated_eq_per_m3, "stated");
    bf__sheet_add(&group, BF__QUANTITY_CAPACITY, residual.computed_eq_per_m3, "computed");
    bf__sheet_add(&group, BF__QUANTITY_CAPACITY, residual.residual_eq_per_m3,
                  "stated less computed");
    bf__sheet_add(&group, BF__QUANTITY_SHARE, residual.relative, "relative residual");
    bf__sheet_add_words(&group, "between P10 and P90",
                        !residual.has_band   ? "no band"
                        : residual.is_inside ? "inside"
                                             : "outside");
}

void bf__sheet_rating(const bf_rate_report *report, bf__sheet *sheet)
{
    const bf_tank_study *study = report->study;
    for (size_t d = 0; d < study->count; d++) {
        whole_tank(&study->dose[d], sheet);
    }
    for (size_t d = 0; d < study->count; d++) {
        band(report, &study->dose[d], sheet);
    }
    for (size_t r = 0; report->overlay != NULL && r < report->overlay->count; r++) {
        overlay_row(report, r, sheet);
    }
    for (size_t d = 0; d < study->count; d++) {
        regeneration(report, &study->dose[d], sheet);
    }
    const bf__sheet_group group = bf__sheet_group_of_all(sheet, "regeneration");
    bf__sheet_add(&group, BF__QUANTITY_HOURS, study->sheet.saturate_s,
                  "until the salt has saturated, up to");
}
