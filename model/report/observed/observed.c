/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What was measured against what was computed for that day.
 *
 * Iron on the resin is compared with bound iron: loose deposit is washed off a sample, exchanged
 * iron goes with brine. No verdict: a residual has many causes.
 */
#include "report/observed/observed.h"

#include "report/campaign/campaign_show.h"
#include "report/page/assumptions.h"

#include <math.h>

/* Below this share of the value a range is no measure of anything. */
static const double least_half_range = 0.005;
/* A range from one to so many times that holds nearly anything that might be measured. */
static const double wide_factor = 5.0;

static const struct {
    const char *word;
    bf_campaign_quantity quantity;
    double si; /* from the campaign's unit to that of what was observed */
} kinds[BF_OBSERVED_COUNT] = {
    [BF_OBSERVED_CAPACITY] = {"capacity", BF_CAMPAIGN_POTENTIAL, 1.0},
    [BF_OBSERVED_PRESSURE_DROP] = {"pressure drop", BF_CAMPAIGN_PRESSURE, 1.0},
    [BF_OBSERVED_IRON] = {"iron on resin", BF_CAMPAIGN_BOUND, 1.0},
    [BF_OBSERVED_MOISTURE] = {"moisture", BF_CAMPAIGN_MOISTURE, 1.0},
    [BF_OBSERVED_SOFT_HARDNESS] = {"hardness", BF_CAMPAIGN_HARDNESS, 1.0},
    [BF_OBSERVED_SOFT_IRON] = {"iron", BF_CAMPAIGN_IRON, 1e-3},
};

const char *bf__observed_word(bf_observed what)
{
    return kinds[what].word;
}

const char *bf__observed_unit(bf_observed what, bf_unit_system units)
{
    switch (what) {
    case BF_OBSERVED_CAPACITY: return bf__unit_of_capacity(units);
    case BF_OBSERVED_PRESSURE_DROP: return bf__unit_of_pressure(units);
    case BF_OBSERVED_IRON: return bf__unit_of_deposit(units);
    case BF_OBSERVED_SOFT_HARDNESS:
    case BF_OBSERVED_SOFT_IRON: return "mg/L";
    default: return "%";
    }
}

double bf__observed_show(bf_observed what, bf_unit_system units, double value)
{
    switch (what) {
    case BF_OBSERVED_CAPACITY: return bf__show_capacity(units, value);
    case BF_OBSERVED_PRESSURE_DROP: return bf__show_pressure(units, value);
    case BF_OBSERVED_IRON: return bf__show_deposit(units, value);
    case BF_OBSERVED_SOFT_HARDNESS: return bf__mg_per_L_CaCO3(value);
    case BF_OBSERVED_SOFT_IRON: return 1e3 * value;
    default: return 100.0 * value;
    }
}

static bf__residual residual_of(const bf_foul_report *report, const bf_observation *row,
                                bf_observed what)
{
    bf__residual r = {.row = row, .what = what, .observed = row->value[what]};
    r.computed = bf__foul_span(report->series, kinds[what].quantity, row->day);
    const double factor = what == BF_OBSERVED_PRESSURE_DROP
                              ? bf__campaign_clean_drop_Pa(report->spec, row->day)
                              : kinds[what].si;
    r.computed.expected *= factor;
    r.computed.low *= factor;
    r.computed.high *= factor;
    r.is_told = bf__foul_reaches(report, row->day) && !isnan(r.computed.expected);
    const double half = 0.5 * (r.computed.high - r.computed.low);
    r.residual = r.observed - r.computed.expected;
    r.has_range = half > least_half_range * fabs(r.computed.expected);
    const double side = r.residual < 0.0 ? r.computed.expected - r.computed.low
                                         : r.computed.high - r.computed.expected;
    r.of_its_side = r.has_range && side > 0.0 ? r.residual / side : (double)NAN;
    r.is_wide = r.has_range && r.computed.high > wide_factor * r.computed.low;
    r.is_inside = r.has_range && r.observed >= r.computed.low && r.observed <= r.computed.high;
    return r;
}

size_t bf__residuals(const bf_foul_report *report, size_t observation, bf__residual *out)
{
    const bf_observation *row = &report->observations->row[observation];
    size_t count = 0;
    for (size_t what = 0; what < BF_OBSERVED_COUNT; what++) {
        if (!isnan(row->value[what])) {
            out[count++] = residual_of(report, row, (bf_observed)what);
        }
    }
    return count;
}

bf__residual_count bf__residuals_count(const bf_foul_report *report)
{
    bf__residual_count sum = {0};
    for (size_t o = 0; o < report->observations->count; o++) {
        bf__residual of[BF_OBSERVED_COUNT];
        const size_t count = bf__residuals(report, o, of);
        for (size_t r = 0; r < count; r++) {
            sum.told += of[r].is_told ? 1 : 0;
            sum.has_range += of[r].is_told && of[r].has_range ? 1 : 0;
            sum.inside += of[r].is_told && of[r].is_inside ? 1 : 0;
            sum.wide += of[r].is_told && of[r].is_inside && of[r].is_wide ? 1 : 0;
        }
    }
    return sum;
}

bf__rangeless bf__residuals_rangeless(const bf_foul_report *report, bf_observed what)
{
    bf__rangeless sum = {.least = (double)INFINITY, .most = -(double)INFINITY};
    for (size_t o = 0; o < report->observations->count; o++) {
        bf__residual of[BF_OBSERVED_COUNT];
        const size_t count = bf__residuals(report, o, of);
        for (size_t r = 0; r < count; r++) {
            if (of[r].what == what && of[r].is_told && !of[r].has_range) {
                const double off = of[r].residual / of[r].computed.expected;
                sum.count++;
                sum.least = fmin(sum.least, off);
                sum.most = fmax(sum.most, off);
            }
        }
    }
    return sum;
}
