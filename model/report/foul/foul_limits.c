/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What limits a fouling bed, and since when.
 *
 * A limit is an excess e of each cycle, above zero when it is passed. The day is where a straight
 * line between two cycles passes zero, so that skipped cycles do not postpone it.
 */
#include "report/foul/foul_limits.h"

#include "brinefront/convert.h"
#include "report/foul/foul_read.h"
#include "report/page/assumptions.h"
#include "report/page/figure.h"

#include <math.h>
#include <stdlib.h>

/* Figures of practice and of standards. */
static const double iron_mg_per_L = 0.3;       /* US EPA secondary standards, 40 CFR 143.3 */
static const double manganese_mg_per_L = 0.05; /* the same */
static const double sites_left = 0.8;          /* of new resin; trade, Reskem 2011 */
static const double drop_psi = 15.0;           /* NSF/ANSI 44 as articles of certifiers put it */
static const double moisture_of_worn_resin = 0.60; /* from memory */

typedef double excess(const bf_foul_report *report, const bf_campaign_cycle *cycle);

static double below_rating(const bf_foul_report *report, const bf_campaign_cycle *cycle)
{
    return report->campaign->needed_eq_per_m3 - cycle->potential_eq_per_m3;
}

static double below_need(const bf_foul_report *report, const bf_campaign_cycle *cycle)
{
    return bf__campaign_need_eq_per_m3(report->spec, cycle->day) - cycle->potential_eq_per_m3;
}

static double leaks_from_the_start(const bf_foul_report *report, const bf_campaign_cycle *cycle)
{
    (void)report;
    if (isnan(cycle->potential_eq_per_m3)) {
        return (double)NAN;
    }
    return cycle->potential_outcome == BF_LEAKS_FROM_THE_START ? 1.0 : -1.0;
}

static double end_point(const bf_foul_report *report)
{
    return report->spec->recipe.step[0].end_hardness_eq_per_m3;
}

static double hard_at_the_end(const bf_foul_report *report, const bf_campaign_cycle *cycle)
{
    return cycle->hardness_last_eq_per_m3 - end_point(report);
}

static double hard_on_average(const bf_foul_report *report, const bf_campaign_cycle *cycle)
{
    return cycle->hardness_mean_eq_per_m3 - end_point(report);
}

static double too_much_iron(const bf_foul_report *report, const bf_campaign_cycle *cycle)
{
    (void)report;
    return cycle->iron_mean_g_per_m3 - iron_mg_per_L;
}

static double too_much_manganese(const bf_foul_report *report, const bf_campaign_cycle *cycle)
{
    (void)report;
    return cycle->manganese_mean_g_per_m3 - manganese_mg_per_L;
}

static double too_few_sites(const bf_foul_report *report, const bf_campaign_cycle *cycle)
{
    return sites_left * report->spec->bed.resin.capacity_eq_per_m3 - cycle->capacity_eq_per_m3;
}

static double too_much_drop(const bf_foul_report *report, const bf_campaign_cycle *cycle)
{
    return cycle->pressure_ratio * bf__campaign_clean_drop_Pa(report->spec, cycle->day) -
           drop_psi * BF_PA_PER_PSI;
}

static double no_alkalinity(const bf_foul_report *report, const bf_campaign_cycle *cycle)
{
    (void)report;
    return -cycle->alkalinity_low_eq_per_m3;
}

static double too_moist(const bf_foul_report *report, const bf_campaign_cycle *cycle)
{
    (void)report;
    return cycle->moisture - moisture_of_worn_resin;
}

static double first_day(const bf_foul_report *report, const bf_campaign_series *series, excess *of)
{
    double day = (double)NAN;
    double before = (double)NAN;
    for (size_t c = 0; c < series->count; c++) {
        const bf_campaign_cycle *cycle = &series->cycle[c];
        const double now = of(report, cycle);
        if (isnan(now)) {
            continue;
        }
        if (now > 0.0) {
            return isnan(before) ? 0.0 : day + (cycle->day - day) * before / (before - now);
        }
        day = cycle->day;
        before = now;
    }
    return (double)NAN;
}

/* Add a limit whose text the caller then writes. */
static bf__limit *add(const bf_foul_report *report, const char *name, const char *source,
                      excess *of, bf__limit *out, size_t *count)
{
    bf__limit *limit = &out[(*count)++];
    *limit = (bf__limit){.name = name, .source = source};
    for (size_t s = 0; s < BF_FOULING_SERIES; s++) {
        limit->day[s] = first_day(report, &report->series[s], of);
    }
    return limit;
}

static void add_spent(const bf_foul_report *report, bf__limit *out, size_t *count)
{
    bf__limit *limit = &out[(*count)++];
    *limit = (bf__limit){.name = "bed spent", .source = ""};
    for (size_t s = 0; s < BF_FOULING_SERIES; s++) {
        const bf_campaign_series *of = &report->series[s];
        limit->day[s] = of->state == BF_CAMPAIGN_SPENT && of->count > 0
                            ? of->cycle[of->count - 1].day
                            : (double)NAN;
    }
    (void)snprintf(limit->text, sizeof limit->text,
                   "the bed is spent: less than 0.5 eq/L of sites");
}

double bf__limit_earliest(const bf__limit *limit)
{
    double day = (double)INFINITY;
    for (size_t s = 0; s < BF_FOULING_SERIES; s++) {
        day = fmin(day, limit->day[s]);
    }
    return day;
}

double bf__limit_latest(const bf__limit *limit)
{
    double day = 0.0;
    for (size_t s = 0; s < BF_FOULING_SERIES; s++) {
        day = isnan(limit->day[s]) ? (double)INFINITY : fmax(day, limit->day[s]);
    }
    return day;
}

static double order(double day)
{
    return isnan(day) ? 1e300 : fmin(day, 1e300);
}

static int earlier_first(const void *a, const void *b)
{
    const bf__limit *left = a;
    const bf__limit *right = b;
    const double expected[2] = {order(left->day[BF_FOULING_EXPECTED]),
                                order(right->day[BF_FOULING_EXPECTED])};
    const double earliest[2] = {order(bf__limit_earliest(left)), order(bf__limit_earliest(right))};
    if (expected[0] != expected[1]) {
        return expected[0] < expected[1] ? -1 : 1;
    }
    return (earliest[0] > earliest[1]) - (earliest[0] < earliest[1]);
}

static void add_capacity(const bf_foul_report *report, bf_unit_system units, bf__limit *out,
                         size_t *count)
{
    const double needed = report->campaign->needed_eq_per_m3;
    bf__limit *limit;
    if (!isnan(needed)) {
        limit = add(report, "capacity below its rating", "", below_rating, out, count);
        (void)snprintf(limit->text, sizeof limit->text,
                       "capacity to the end point below the rating stated, %s",
                       bf__figure_digits(BF__QUANTITY_CAPACITY, units, needed, 3).text);
    }
    limit = add(report, "capacity below need", "", below_need, out, count);
    (void)snprintf(
        limit->text, sizeof limit->text,
        "capacity to the end point below the hardness that arrives between regenerations%s, "
        "%s",
        report->spec->season_count > 0 ? " (first season)" : "",
        bf__figure_digits(BF__QUANTITY_CAPACITY, units,
                          bf__campaign_need_eq_per_m3(report->spec, 0.0), 3)
            .text);
    limit = add(report, "leaks from the start", "", leaks_from_the_start, out, count);
    (void)snprintf(limit->text, sizeof limit->text,
                   "hardness above the end point from the start of a run: no capacity to it");
    limit = add(report, "resin capacity", "trade advice, replace or consider it: Reskem 2011",
                too_few_sites, out, count);
    (void)snprintf(limit->text, sizeof limit->text,
                   "total capacity of the resin below %s, %.0f %% under new",
                   bf__figure_digits(BF__QUANTITY_CAPACITY, units,
                                     sites_left * report->spec->bed.resin.capacity_eq_per_m3, 3)
                       .text,
                   100.0 * (1.0 - sites_left));
}

static void add_water(const bf_foul_report *report, bf__limit *out, size_t *count)
{
    bf__limit *limit;
    if (!isnan(end_point(report))) {
        const double end = bf__mg_per_L_CaCO3(end_point(report));
        limit = add(report, "hardness before regeneration", "", hard_at_the_end, out, count);
        (void)snprintf(limit->text, sizeof limit->text,
                       "hardness of the softened water above the end point, %.3g mg/L as CaCO3, "
                       "when the bed comes to be regenerated",
                       end);
        limit = add(report, "mean hardness", "", hard_on_average, out, count);
        (void)snprintf(
            limit->text, sizeof limit->text,
            "hardness of the softened water above the end point on the average of a run");
    }
    if (bf__campaign_brings(report->spec, BF_ION_FE)) {
        limit = add(report, "iron in the product", "US EPA secondary standard, 40 CFR 143.3",
                    too_much_iron, out, count);
        (void)snprintf(limit->text, sizeof limit->text,
                       "iron above %.1f mg/L in the softened water", iron_mg_per_L);
    }
    if (bf__campaign_brings(report->spec, BF_ION_MN)) {
        limit = add(report, "manganese in the product", "US EPA secondary standard, 40 CFR 143.3",
                    too_much_manganese, out, count);
        (void)snprintf(limit->text, sizeof limit->text,
                       "manganese above %.2f mg/L in the softened water", manganese_mg_per_L);
    }
}

size_t bf__foul_limits(const bf_foul_report *report, bf_unit_system units, bf__limit *out)
{
    size_t count = 0;
    add_capacity(report, units, out, &count);
    add_water(report, out, &count);
    bf__limit *limit =
        add(report, "pressure drop",
            "NSF/ANSI 44 as certifiers describe it, for valve and piping too; standard not seen",
            too_much_drop, out, &count);
    (void)snprintf(
        limit->text, sizeof limit->text, "pressure drop of the bed alone above %s at service flow",
        bf__figure_digits(BF__QUANTITY_PRESSURE, units, drop_psi * BF_PA_PER_PSI, 4).text);
    if (bf__campaign_brings(report->spec, BF_ION_FE) &&
        bf__case_states(&report->page, "water.alkalinity")) {
        limit = add(report, "alkalinity used up", "", no_alkalinity, out, &count);
        (void)snprintf(limit->text, sizeof limit->text,
                       "alkalinity used up: the water no longer holds the pH that was stated");
    }
    if (bf__campaign_has_chlorine(report->spec)) {
        limit = add(report, "worn resin", "end of life of 8 % gel, from memory", too_moist, out,
                    &count);
        (void)snprintf(limit->text, sizeof limit->text, "moisture of the resin above %.0f %%",
                       100.0 * moisture_of_worn_resin);
    }
    add_spent(report, out, &count);
    qsort(out, count, sizeof *out, earlier_first);
    return count;
}

void bf__limit_when(double day, char *text, size_t room)
{
    if (!isfinite(day)) {
        (void)snprintf(text, room, "never");
    } else if (day <= 0.0) {
        (void)snprintf(text, room, "from the start");
    } else {
        (void)snprintf(text, room, "month %.0f", ceil(day / BF__DAYS_PER_MONTH));
    }
}
