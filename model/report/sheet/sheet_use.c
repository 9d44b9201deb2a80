/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a rating sheet says of a vessel in use: other flows and seasons, draws, blend, two beds in
 * turn, uneven flow. */
#include "brinefront/convert.h"
#include "report/sheet/sheet.h"

#include <math.h>

static const char *const standing = "water standing between draws, at the middle dose";

static void otherwise(const bf_dose_point *point, const char *how, bf__sheet *to)
{
    const char *group = "the middle dose at other flows and in other seasons";
    const bf_cycle_result *cycle = &point->steady.cycle;
    const double told = cycle->outcome == BF_RATED ? 1.0 : (double)NAN;
    char name[80];
    (void)snprintf(name, sizeof name, "mean leakage %s", how);
    bf__sheet_item *item = bf__sheet_add(to, group, (double)NAN, BF__QUANTITY_LEAKAGE,
                                         told * cycle->leakage_mean_eq_per_m3, name);
    if (cycle->outcome != BF_RATED) {
        (void)snprintf(item->words, sizeof item->words, "%s", bf_outcome_words(cycle->outcome));
    }
    (void)snprintf(name, sizeof name, "capacity per resin %s", how);
    (void)bf__sheet_add(to, group, (double)NAN, BF__QUANTITY_CAPACITY,
                        told * cycle->capacity_eq_per_m3, name);
}

static void blend(const bf_rate_report *report, const bf_tank_dose *of, bf__sheet *to)
{
    bf__sheet_item *item = bf__sheet_add(to, "blend", of->point.dose_kg_per_m3, BF__QUANTITY_SHARE,
                                         of->blend_share, "raw water in the blend");
    if (isnan(of->blend_share)) {
        (void)snprintf(item->words, sizeof item->words, "cannot be had");
    }
    (void)bf__sheet_add(to, "blend", of->point.dose_kg_per_m3, BF__QUANTITY_WATER,
                        of->tank.water_m3 / (1.0 - of->blend_share), "blended water of a run");
    (void)report;
}

/* Both beds draw their brine from the same salt: it has from the end of one regeneration, whose
 * last step is the refill, to the beginning of the next. */
static void in_turn(const bf_tank_dose *of, bf__sheet *to)
{
    const char *group = "two beds in turn";
    const double dose = of->point.dose_kg_per_m3;
    const double busy_s = of->sheet.regeneration_s;
    const int rated = of->point.steady.cycle.outcome == BF_RATED;
    (void)bf__sheet_add(to, group, dose, BF__QUANTITY_HOURS, of->run_s, "a run at usual flow");
    (void)bf__sheet_add(to, group, dose, BF__QUANTITY_HOURS, of->short_run_s, "shortest run");
    (void)bf__sheet_add(to, group, dose, BF__QUANTITY_HOURS, busy_s, "regeneration");
    const struct {
        const char *name;
        double needed_s;
    } verdicts[] = {{"ends before the other is spent", busy_s},
                    {"salt dissolved by then", busy_s + of->sheet.saturate_s}};
    for (size_t k = 0; k < 2; k++) {
        bf__sheet_item *item =
            bf__sheet_add(to, group, dose, BF__QUANTITY_PLAIN, (double)NAN, verdicts[k].name);
        (void)snprintf(item->words, sizeof item->words, "%s",
                       !rated                                    ? "untold"
                       : verdicts[k].needed_s <= of->short_run_s ? "yes"
                                                                 : "no");
    }
}

/* A change, and whether it is one: two ratings of one bed differ by some of their tolerances. */
static void change(double by, double noise, const char *name, bf__sheet *to)
{
    bf__sheet_item *item = bf__sheet_add(to, standing, (double)NAN, BF__QUANTITY_SHARE, by, name);
    if (fabs(by) <= noise) {
        (void)snprintf(item->words, sizeof item->words,
                       "within the %.1g %% that two ratings differ by anyway", 100.0 * noise);
    }
}

static void draws(const bf_tank_study *study, bf__sheet *to)
{
    const bf_steady_spec *steady = &study->rating.steady;
    const bf_cycle_result *even = &study->dose[study->middle].point.steady.cycle;
    const bf_cycle_result *drawn = &study->drawn.point.steady.cycle;
    const double told = even->outcome == BF_RATED && drawn->outcome == BF_RATED ? 1.0 : (double)NAN;
    change(told * (drawn->capacity_eq_per_m3 / even->capacity_eq_per_m3 - 1.0),
           5.0 * steady->capacity_tolerance, "capacity changes by", to);
    change(told * (drawn->leakage_mean_eq_per_m3 / even->leakage_mean_eq_per_m3 - 1.0),
           2.0 * steady->leakage_tolerance, "mean leakage changes by", to);
    bf__sheet_item *item =
        bf__sheet_add(to, standing, (double)NAN, BF__QUANTITY_LEAKAGE,
                      told * study->drawn.first_eq_per_m3, "leakage of what stood in the bed");
    if (isnan(study->drawn.first_eq_per_m3)) {
        (void)snprintf(item->words, sizeof item->words,
                       "no draw follows a rest in the first half of a run");
    }
    (void)bf__sheet_add(to, standing, (double)NAN, BF__QUANTITY_LEAKAGE,
                        told * study->drawn.later_eq_per_m3, "leakage of the rest of a draw");
}

static void uneven(const bf_rate_report *report, bf__sheet *to)
{
    const char *group = "uneven flow, at the middle dose";
    const bf_uneven_flow *flow = &report->tank->uneven;
    const bf_cycle_result *even = &report->study->dose[report->study->middle].point.steady.cycle;
    const bf_cycle_result *found = &report->study->uneven.steady.cycle;
    const int both = even->outcome == BF_RATED && found->outcome == BF_RATED;
    const double told = both ? 1.0 : (double)NAN;
    (void)bf__sheet_add(to, group, (double)NAN, BF__QUANTITY_SHARE, flow->velocity_spread,
                        "spread of the velocity");
    if (flow->wall_share > 0.0) {
        (void)bf__sheet_add(to, group, (double)NAN, BF__QUANTITY_SHARE, flow->wall_share,
                            "cross-section at the wall");
        (void)bf__sheet_add(to, group, (double)NAN, BF__QUANTITY_SHARE, flow->wall_excess,
                            "faster there by");
    }
    bf__sheet_item *item = bf__sheet_add(
        to, group, (double)NAN, BF__QUANTITY_SHARE,
        told * (found->capacity_eq_per_m3 / even->capacity_eq_per_m3 - 1.0), "capacity changes by");
    (void)snprintf(item->words, sizeof item->words, "%s",
                   both ? "an upper bound: nothing crosses from part to part of the bed"
                        : bf_outcome_words(found->outcome));
    (void)bf__sheet_add(to, group, (double)NAN, BF__QUANTITY_SHARE,
                        told * (found->leakage_mean_eq_per_m3 / even->leakage_mean_eq_per_m3 - 1.0),
                        "mean leakage changes by");
}

void bf__sheet_use(const bf_rate_report *report, bf__sheet *to)
{
    const bf_tank_study *study = report->study;
    const bf_case_tank *tank = report->tank;
    if (study->has_peak) {
        otherwise(&study->peak, "at peak flow", to);
    }
    if (study->has_average) {
        otherwise(&study->average, "at average flow", to);
    }
    if (study->has_cold) {
        otherwise(&study->cold, "in the coldest water", to);
    }
    if (study->has_warm) {
        otherwise(&study->warm, "in the warmest water", to);
    }
    if (study->has_draws) {
        draws(study, to);
    }
    if (!isnan(tank->blend_eq_per_m3)) {
        (void)bf__sheet_add(to, "blend", (double)NAN, BF__QUANTITY_LEAKAGE, tank->blend_eq_per_m3,
                            "hardness wanted of the blend");
        for (size_t d = 0; d < study->count; d++) {
            blend(report, &study->dose[d], to);
        }
    }
    for (size_t d = 0; tank->beds == 2 && d < study->count; d++) {
        in_turn(&study->dose[d], to);
    }
    if (study->has_uneven) {
        uneven(report, to);
    }
}
