/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a rating sheet says dose by dose: the whole tank, its band, and the regeneration. */
#include "brinefront/convert.h"
#include "report/sheet/sheet.h"

#include <math.h>
#include <string.h>

static void the_tank(const bf_tank_dose *of, bf__sheet *to)
{
    const char *group = "capacity of the whole tank";
    const bf_cycle_result *cycle = &of->point.steady.cycle;
    const double dose = of->point.dose_kg_per_m3;
    const int rated = cycle->outcome == BF_RATED;
    const double told = rated ? 1.0 : (double)NAN;
    bf__sheet_item *item =
        bf__sheet_add(to, group, dose, BF__QUANTITY_HELD_CACO3, of->tank.capacity_kg, "capacity");
    if (!rated) {
        (void)snprintf(item->words, sizeof item->words, "%s", bf_outcome_words(cycle->outcome));
    }
    (void)bf__sheet_add(to, group, dose, BF__QUANTITY_CAPACITY, told * cycle->capacity_eq_per_m3,
                        "per resin");
    (void)bf__sheet_add(to, group, dose, BF__QUANTITY_MASS, of->tank.salt_kg, "salt");
    (void)bf__sheet_add(to, group, dose, BF__QUANTITY_EFFICIENCY, of->tank.efficiency_kg_per_kg,
                        "per salt");
    (void)bf__sheet_add(to, group, dose, BF__QUANTITY_LEAKAGE, told * cycle->leakage_mean_eq_per_m3,
                        "mean leakage");
    (void)bf__sheet_add(to, group, dose, BF__QUANTITY_LEAKAGE,
                        told * cycle->leakage_first_eq_per_m3, "leakage at first");
    (void)bf__sheet_add(to, group, dose, BF__QUANTITY_WATER, of->tank.water_m3, "water of a run");
    (void)bf__sheet_add(to, group, dose, BF__QUANTITY_WATER, of->sheet.regeneration_m3,
                        "water of a regeneration");
    (void)bf__sheet_add(to, group, dose, BF__QUANTITY_WASTE, of->tank.waste_m3_per_kg,
                        "waste per capacity");
}

static void band(const bf_rate_report *report, const bf_tank_dose *of, bf__sheet *to)
{
    const char *group = "band left open by the uncertain constants";
    const double dose = of->point.dose_kg_per_m3;
    char name[80];
    for (size_t q = 0; q < BF_BAND_QUANTITIES && of->has_band; q++) {
        const bf_band_quantity what = (bf_band_quantity)q;
        const bf__sheet_quantity told = bf__sheet_quantity_of(what);
        const bf_tank_span *span = &of->span[q];
        const double values[] = {span->low, span->middle, span->high};
        static const char *const shares[] = {"P10", "P50", "P90"};
        for (size_t k = 0; k < 3; k++) {
            (void)snprintf(name, sizeof name, "%s %s", told.name, shares[k]);
            (void)bf__sheet_add(to, group, dose, told.kind,
                                bf__sheet_of_tank(report, of, what, values[k]), name);
        }
    }
    if (of->has_band) {
        (void)bf__sheet_add(to, group, dose, BF__QUANTITY_SAMPLES, (double)of->unrated,
                            "without a rating");
    }
}

static void regeneration(const bf_rate_report *report, const bf_tank_dose *of, bf__sheet *to)
{
    const char *group = "regeneration";
    const bf_recipe *recipe = &report->study->rating.recipe;
    const double dose = of->point.dose_kg_per_m3;
    char name[80];
    for (size_t s = 0; s < recipe->count; s++) {
        size_t alike = 0; /* steps of one name, before and after */
        size_t before = 0;
        if (bf_step_serves(&recipe->step[s])) {
            continue;
        }
        for (size_t other = 0; other < recipe->count; other++) {
            const int is_alike = recipe->step[other].type == recipe->step[s].type;
            alike += is_alike ? 1 : 0;
            before += is_alike && other < s ? 1 : 0;
        }
        if (alike > 1) {
            (void)snprintf(name, sizeof name, "%s %zu", recipe->step[s].type->name, before + 1);
        } else {
            (void)snprintf(name, sizeof name, "%s", recipe->step[s].type->name);
        }
        (void)bf__sheet_add(to, group, dose, BF__QUANTITY_MINUTES, of->sheet.step_s[s], name);
    }
    (void)bf__sheet_add(to, group, dose, BF__QUANTITY_MINUTES, of->sheet.regeneration_s,
                        "all of it");
    (void)bf__sheet_add(to, group, dose, BF__QUANTITY_WATER, of->sheet.brine_m3,
                        "brine, if drawn saturated");
    (void)bf__sheet_add(to, group, dose, BF__QUANTITY_WATER, of->sheet.refill_m3,
                        "water to the salt for it");
    (void)bf__sheet_add(to, group, dose, BF__QUANTITY_SHARE,
                        of->salt_left_eq_per_m3 / of->point.dose_eq_per_m3,
                        "salt left after the rinse");
}

/* ---- a user's own table -----------------------------------------------------------------------
 */

static void overlay(const bf_rate_report *report, bf__sheet *to)
{
    const char *group = "overlay";
    for (size_t r = 0; report->overlay != NULL && r < report->overlay->count; r++) {
        const bf_overlay_residual of = bf_report_overlay_residual(report, r);
        const double dose = of.dose_kg_per_m3;
        (void)bf__sheet_add(to, group, dose, BF__QUANTITY_CAPACITY, of.stated_eq_per_m3, "stated");
        (void)bf__sheet_add(to, group, dose, BF__QUANTITY_CAPACITY, of.computed_eq_per_m3,
                            "computed");
        (void)bf__sheet_add(to, group, dose, BF__QUANTITY_CAPACITY, of.residual_eq_per_m3,
                            "stated less computed");
        (void)bf__sheet_add(to, group, dose, BF__QUANTITY_SHARE, of.relative, "relative residual");
        bf__sheet_item *item =
            bf__sheet_add(to, group, dose, BF__QUANTITY_PLAIN, (double)NAN, "between P10 and P90");
        (void)snprintf(item->words, sizeof item->words, "%s",
                       !of.has_band   ? "no band"
                       : of.is_inside ? "inside"
                                      : "outside");
    }
}

void bf__sheet_rating(const bf_rate_report *report, bf__sheet *to)
{
    const bf_tank_study *study = report->study;
    for (size_t d = 0; d < study->count; d++) {
        the_tank(&study->dose[d], to);
    }
    for (size_t d = 0; d < study->count; d++) {
        band(report, &study->dose[d], to);
    }
    overlay(report, to);
    for (size_t d = 0; d < study->count; d++) {
        regeneration(report, &study->dose[d], to);
    }
    (void)bf__sheet_add(to, "regeneration", (double)NAN, BF__QUANTITY_HOURS,
                        study->sheet.saturate_s, "until the salt has saturated, up to");
}
