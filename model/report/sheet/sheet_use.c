/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a rating sheet says of a vessel in use: other flows and seasons, draws, blend, two beds in
 * turn, uneven flow. */
#include "report/sheet/sheet_parts.h"

#include <math.h>

/* 1 where a bed has a rating, NAN where it has none: times a number it leaves or hides it. */
static double rated(const bf_dose_point *point)
{
    return point->steady.cycle.outcome == BF_RATED ? 1.0 : (double)NAN;
}

/* The middle dose under another flow or in another season. */
static void otherwise(const bf_dose_point *point, const char *condition, bf__sheet *sheet)
{
    const bf__sheet_group group =
        bf__sheet_group_of_all(sheet, "the middle dose at other flows and in other seasons");
    const bf_cycle_result *cycle = &point->steady.cycle;
    bf__sheet_item *item =
        bf__sheet_add(&group, BF__QUANTITY_LEAKAGE, rated(point) * cycle->leakage_mean_eq_per_m3,
                      "mean leakage %s", condition);
    if (cycle->outcome != BF_RATED) {
        bf__sheet_say(item, "%s", bf_outcome_words(cycle->outcome));
    }
    bf__sheet_add(&group, BF__QUANTITY_CAPACITY, rated(point) * cycle->capacity_eq_per_m3,
                  "capacity per resin %s", condition);
}

static void blend(const bf_tank_dose *dose, bf__sheet *sheet)
{
    const bf__sheet_group group =
        bf__sheet_group_of_dose(sheet, "blend", dose->point.dose_kg_per_m3);
    bf__sheet_item *item =
        bf__sheet_add(&group, BF__QUANTITY_SHARE, dose->blend_share, "raw water in the blend");
    if (isnan(dose->blend_share)) {
        bf__sheet_say(item, "cannot be had");
    }
    bf__sheet_add(&group, BF__QUANTITY_WATER, dose->tank.water_m3 / (1.0 - dose->blend_share),
                  "blended water of a run");
}

/* Both beds draw their brine from the same salt: it has from the end of one regeneration, whose
 * last step is the refill, to the beginning of the next. */
static void in_turn(const bf_tank_dose *dose, bf__sheet *sheet)
{
    const bf__sheet_group group =
        bf__sheet_group_of_dose(sheet, "two beds in turn", dose->point.dose_kg_per_m3);
    const double busy_s = dose->sheet.regeneration_s;
    bf__sheet_add(&group, BF__QUANTITY_HOURS, dose->run_s, "a run at usual flow");
    bf__sheet_add(&group, BF__QUANTITY_HOURS, dose->short_run_s, "shortest run");
    bf__sheet_add(&group, BF__QUANTITY_HOURS, busy_s, "regeneration");
    const struct {
        const char *name;
        double needed_s;
    } verdicts[] = {{"ends before the other is spent", busy_s},
                    {"salt dissolved by then", busy_s + dose->sheet.saturate_s}};
    for (size_t k = 0; k < 2; k++) {
        bf__sheet_add_words(&group, verdicts[k].name,
                            isnan(rated(&dose->point))                  ? "untold"
                            : verdicts[k].needed_s <= dose->short_run_s ? "yes"
                                                                        : "no");
    }
}

/* A change, and whether it is one: two ratings of one bed differ by some of their tolerances. */
static void change(const bf__sheet_group *group, double share, double noise, const char *name)
{
    bf__sheet_item *item = bf__sheet_add(group, BF__QUANTITY_SHARE, share, "%s", name);
    if (fabs(share) <= noise) {
        bf__sheet_say(item, "within the %.1g %% that two ratings differ by anyway", 100.0 * noise);
    }
}

static void stagnation(const bf_tank_study *study, bf__sheet *sheet)
{
    const bf__sheet_group group =
        bf__sheet_group_of_all(sheet, "water standing between draws, at the middle dose");
    const bf_steady_spec *steady = &study->rating.steady;
    const bf_dose_point *even = &study->dose[study->middle].point;
    const bf_dose_point *drawn = &study->stagnation.point;
    const double both = rated(even) * rated(drawn);
    change(&group,
           both * (drawn->steady.cycle.capacity_eq_per_m3 / even->steady.cycle.capacity_eq_per_m3 -
                   1.0),
           5.0 * steady->capacity_tolerance, "capacity changes by");
    change(&group,
           both * (drawn->steady.cycle.leakage_mean_eq_per_m3 /
                       even->steady.cycle.leakage_mean_eq_per_m3 -
                   1.0),
           2.0 * steady->leakage_tolerance, "mean leakage changes by");
    bf__sheet_item *item =
        bf__sheet_add(&group, BF__QUANTITY_LEAKAGE, both * study->stagnation.first_eq_per_m3,
                      "leakage of what stood in the bed");
    if (isnan(study->stagnation.first_eq_per_m3)) {
        bf__sheet_say(item, "no draw follows a rest in the first half of a run");
    }
    bf__sheet_add(&group, BF__QUANTITY_LEAKAGE, both * study->stagnation.later_eq_per_m3,
                  "leakage of the rest of a draw");
}

static void uneven(const bf_rate_report *report, bf__sheet *sheet)
{
    const bf__sheet_group group = bf__sheet_group_of_all(sheet, "uneven flow, at the middle dose");
    const bf_uneven_flow *flow = &report->tank->uneven;
    const bf_dose_point *even = &report->study->dose[report->study->middle].point;
    const bf_dose_point *found = &report->study->uneven;
    const double both = rated(even) * rated(found);
    bf__sheet_add(&group, BF__QUANTITY_SHARE, flow->velocity_spread, "spread of the velocity");
    if (flow->wall_share > 0.0) {
        bf__sheet_add(&group, BF__QUANTITY_SHARE, flow->wall_share, "cross-section at the wall");
        bf__sheet_add(&group, BF__QUANTITY_SHARE, flow->wall_excess, "faster there by");
    }
    bf__sheet_say(bf__sheet_add(&group, BF__QUANTITY_SHARE,
                                both * (found->steady.cycle.capacity_eq_per_m3 /
                                            even->steady.cycle.capacity_eq_per_m3 -
                                        1.0),
                                "capacity changes by"),
                  "%s",
                  isnan(both) ? bf_outcome_words(found->steady.cycle.outcome)
                              : "an upper bound: nothing crosses from part to part of the bed");
    bf__sheet_add(&group, BF__QUANTITY_SHARE,
                  both * (found->steady.cycle.leakage_mean_eq_per_m3 /
                              even->steady.cycle.leakage_mean_eq_per_m3 -
                          1.0),
                  "mean leakage changes by");
}

void bf__sheet_use(const bf_rate_report *report, bf__sheet *sheet)
{
    const bf_tank_study *study = report->study;
    const bf_case_tank *tank = report->tank;
    const struct {
        int is_rated;
        const bf_dose_point *point;
        const char *condition;
    } others[] = {{study->has_peak, &study->peak, "at peak flow"},
                  {study->has_average, &study->average, "at average flow"},
                  {study->has_cold, &study->cold, "in the coldest water"},
                  {study->has_warm, &study->warm, "in the warmest water"}};
    for (size_t k = 0; k < sizeof others / sizeof *others; k++) {
        if (others[k].is_rated) {
            otherwise(others[k].point, others[k].condition, sheet);
        }
    }
    if (study->has_stagnation) {
        stagnation(study, sheet);
    }
    if (!isnan(tank->blend_eq_per_m3)) {
        const bf__sheet_group group = bf__sheet_group_of_all(sheet, "blend");
        bf__sheet_add(&group, BF__QUANTITY_LEAKAGE, tank->blend_eq_per_m3,
                      "hardness wanted of the blend");
        for (size_t d = 0; d < study->count; d++) {
            blend(&study->dose[d], sheet);
        }
    }
    for (size_t d = 0; tank->beds == 2 && d < study->count; d++) {
        in_turn(&study->dose[d], sheet);
    }
    if (study->has_uneven) {
        uneven(report, sheet);
    }
}
