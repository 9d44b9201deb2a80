/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What was measured against what was computed for that day.
 *
 * Iron on the resin is compared with bound iron: loose deposit is washed off a sample, exchanged
 * iron goes with brine. No verdict: a residual has many causes.
 */
#include "report/observed/observed.h"

#include <math.h>

/* Below this share of the value a range is no measure of anything. */
static const double least_half_range = 0.005;
/* A range from one to so many times that holds nearly anything that might be measured. */
static const double wide_factor = 5.0;

#define READING(text, csv_name, json_unit, what, us, si, from, factor)                             \
    {                                                                                              \
        .word = text, .name = csv_name, .unit = json_unit, .kind = BF__QUANTITY_##what,            \
        .decimals = {us, si}, .source = BF_CAMPAIGN_##from, .scale = factor                        \
    }

const bf__observed_quantity bf__observed_quantities[BF_OBSERVED_COUNT] = {
    [BF_OBSERVED_CAPACITY] =
        READING("capacity", "observed_capacity_eq_per_L", "eq/L", CAPACITY, 2, 3, POTENTIAL, 1.0),
    [BF_OBSERVED_PRESSURE_DROP] = READING("pressure drop", "observed_pressure_drop_kPa", "kPa",
                                          PRESSURE, 2, 3, PRESSURE, 1.0),
    [BF_OBSERVED_IRON] =
        READING("iron on resin", "observed_iron_g_per_L_bed", "g/L bed", DEPOSIT, 2, 3, BOUND, 1.0),
    [BF_OBSERVED_MOISTURE] =
        READING("moisture", "observed_moisture_percent", "%", SHARE, 2, 2, MOISTURE, 1.0),
    [BF_OBSERVED_SOFT_HARDNESS] = READING("hardness", "observed_softened_hardness_mg_per_L_CaCO3",
                                          "mg/L as CaCO3", LEAKAGE, 2, 2, HARDNESS, 1.0),
    [BF_OBSERVED_SOFT_IRON] =
        READING("iron", "observed_softened_iron_mg_per_L", "mg/L", DISSOLVED, 3, 3, IRON, 1e-3),
};

static bf__residual residual_of(const bf_foul_report *report, const bf_observation *row,
                                bf_observed what)
{
    bf__residual r = {.row = row, .what = what, .observed = row->value[what]};
    r.computed = bf__years_span(report->series, bf__observed_quantities[what].source, row->day);
    const double factor = what == BF_OBSERVED_PRESSURE_DROP
                              ? bf__campaign_clean_drop_Pa(report->spec, row->day)
                              : bf__observed_quantities[what].scale;
    r.computed.expected *= factor;
    r.computed.low *= factor;
    r.computed.high *= factor;
    r.is_computed =
        bf__years_reach(report->spec, report->series, row->day) && !isnan(r.computed.expected);
    const double half = 0.5 * (r.computed.high - r.computed.low);
    r.residual = r.observed - r.computed.expected;
    r.has_range = half > least_half_range * fabs(r.computed.expected);
    const double side = r.residual < 0.0 ? r.computed.expected - r.computed.low
                                         : r.computed.high - r.computed.expected;
    r.residual_of_side = r.has_range && side > 0.0 ? r.residual / side : (double)NAN;
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
        bf__residual residuals[BF_OBSERVED_COUNT];
        const size_t count = bf__residuals(report, o, residuals);
        for (size_t r = 0; r < count; r++) {
            sum.has_range += residuals[r].is_computed && residuals[r].has_range ? 1 : 0;
            sum.inside += residuals[r].is_computed && residuals[r].is_inside ? 1 : 0;
            sum.wide +=
                residuals[r].is_computed && residuals[r].is_inside && residuals[r].is_wide ? 1 : 0;
        }
    }
    return sum;
}

bf__rangeless bf__residuals_rangeless(const bf_foul_report *report, bf_observed what)
{
    bf__rangeless sum = {.least = (double)INFINITY, .most = -(double)INFINITY};
    for (size_t o = 0; o < report->observations->count; o++) {
        bf__residual residuals[BF_OBSERVED_COUNT];
        const size_t count = bf__residuals(report, o, residuals);
        for (size_t r = 0; r < count; r++) {
            if (residuals[r].what == what && residuals[r].is_computed && !residuals[r].has_range) {
                const double off = residuals[r].residual / residuals[r].computed.expected;
                sum.count++;
                sum.least = fmin(sum.least, off);
                sum.most = fmax(sum.most, off);
            }
        }
    }
    return sum;
}
