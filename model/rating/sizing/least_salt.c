/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The dose that uses least salt a year.
 *
 *     salt(dose) = dose V (days of a year)/min(days(dose), most),
 *     days(dose) = throughput(dose) V/(water a day) >= least
 *
 * A lower dose takes more out of each kg of salt. In every recipe tried salt falls all the way
 * down to the least dose allowed, by `least` or by a rating that exists: that edge is a root
 * (bf__probe_least). Nothing proves that it always does, so the range is scanned on a scale of
 * logarithms first, and a minimum between three doses is narrowed by Brent's method.
 *
 * There salt is flat: the noise of a rating, 2e-4, hides some percent of dose. The search stops at
 * it.
 */
#include "rating/sizing/search.h"

#include "base/calendar.h"

#include <math.h>

enum { SCAN = 8 };
static const char *const where = "bf_least_salt";

typedef struct target {
    bf__search search;
    double water_m3_per_day, least_days, most_days;
    bf_dose_point best;
    double best_dose_kg_per_m3; /* NAN: none yet */
    double best_salt_kg_per_year;
} target;

/* Days to the end point, from the value of a try: ln(days/least). */
static double days_of(const target *wanted, double value)
{
    return wanted->least_days * exp(value);
}

static double salt_of(const target *wanted, double dose_kg_per_m3, double days)
{
    return dose_kg_per_m3 * bf_bed_volume_m3(&wanted->search.rating->bed) * BF__DAYS_PER_YEAR /
           fmin(days, wanted->most_days);
}

static bf_status rate(void *context, double dose_kg_per_m3, double *value, bf_dose_point *point,
                      bf_error *err)
{
    target *wanted = context;
    bf_status status = bf__rate_dose(wanted->search.rating, wanted->search.selectivity,
                                     dose_kg_per_m3, point, err);
    const bf_cycle_result *cycle = &point->steady.cycle;
    if (status != BF_OK || cycle->outcome != BF_RATED) {
        return status;
    }
    const double days = cycle->throughput_bed_volumes *
                        bf_bed_volume_m3(&wanted->search.rating->bed) / wanted->water_m3_per_day;
    *value = log(days / wanted->least_days);
    if (bf__probe_is_enough(wanted->search.probe, *value)) {
        const double salt = salt_of(wanted, dose_kg_per_m3, days);
        if (!(salt >= wanted->best_salt_kg_per_year)) {
            wanted->best = *point;
            wanted->best_dose_kg_per_m3 = dose_kg_per_m3;
            wanted->best_salt_kg_per_year = salt;
        }
    }
    return status;
}

static double dose_of_scan(size_t k)
{
    const double step = log((double)BF_SIZING_DOSE_HIGH / BF_SIZING_DOSE_LOW) / (SCAN - 1);
    return k == SCAN - 1 ? BF_SIZING_DOSE_HIGH : BF_SIZING_DOSE_LOW * exp(step * (double)k);
}

/* For GSL: finite everywhere. A dose that is not allowed costs more than any that is. */
static double salt_of_log(double log_dose, void *context)
{
    target *wanted = context;
    const double dose = exp(log_dose);
    const double value = bf__probe_value(wanted->search.probe, dose);
    return bf__probe_is_enough(wanted->search.probe, value)
               ? salt_of(wanted, dose, days_of(wanted, value))
               : 1e3 * wanted->best_salt_kg_per_year;
}

/* The tries that stand next to a dose; NAN where there is none allowed. */
static void neighbours(const target *wanted, double dose, double *below, double *above)
{
    const bf__probe *probe = wanted->search.probe;
    *below = (double)NAN;
    *above = (double)NAN;
    for (size_t k = 0; k < probe->tries; k++) {
        if (bf__probe_is_enough(probe, probe->value[k])) {
            const double x = probe->x[k];
            *below = x < dose && !(x <= *below) ? x : *below;
            *above = x > dose && !(x >= *above) ? x : *above;
        }
    }
}

/* Narrow a minimum between the best dose and its neighbours. */
static bf_status narrow(target *wanted)
{
    double below;
    double above;
    const double middle = log(wanted->best_dose_kg_per_m3);
    neighbours(wanted, wanted->best_dose_kg_per_m3, &below, &above);
    if (isnan(below) || isnan(above)) {
        return BF_OK; /* the best is at an end of what is allowed */
    }
    /* What it finds is kept by rate(). Salt within the noise of a rating is one. */
    (void)bf__lowest_between(salt_of_log, wanted, log(below), middle, log(above), 1e-2, 5e-4);
    return wanted->search.probe->status;
}

/* Where what is allowed begins between two doses of the scan. */
static bf_status find_edge(target *wanted)
{
    size_t first = 0;
    while (first < SCAN &&
           !bf__probe_is_enough(wanted->search.probe,
                                bf__probe_value(wanted->search.probe, dose_of_scan(first)))) {
        first++;
    }
    if (wanted->search.probe->status != BF_OK || first == 0 || first == SCAN) {
        return wanted->search.probe->status;
    }
    bf_status status = bf__probe_least(wanted->search.probe, dose_of_scan(first - 1),
                                       dose_of_scan(first), dose_of_scan(first));
    if (status == BF_OK && 1.05 * wanted->search.probe->enough_x < dose_of_scan(first)) {
        (void)bf__probe_value(wanted->search.probe,
                              1.05 *
                                  wanted->search.probe->enough_x); /* does salt fall on, or rise? */
    }
    return wanted->search.probe->status;
}

/* What the best dose just meets: nothing, where a lower one would be allowed. */
static bf_binding decided(const target *wanted)
{
    if (wanted->best_dose_kg_per_m3 > 1.01 * wanted->search.probe->enough_x) {
        return BF_BINDING_NONE;
    }
    if (wanted->best_dose_kg_per_m3 <= BF_SIZING_DOSE_LOW) {
        return BF_BINDING_SIZE;
    }
    return bf__probe_jumps(wanted->search.probe) ? BF_BINDING_LEAKAGE : BF_BINDING_INTERVAL;
}

static void take(const target *wanted, bf_status status, bf_sizing *out)
{
    const bf__probe *probe = wanted->search.probe;
    bf__search_take(&wanted->search, status, BF_BINDING_NONE, BF_BINDING_INTERVAL, out);
    if (out->binding == BF_BINDING_NONE) {
        const double days = wanted->best.steady.cycle.throughput_bed_volumes *
                            bf_bed_volume_m3(&wanted->search.rating->bed) /
                            wanted->water_m3_per_day;
        out->decided = decided(wanted);
        out->days = fmin(days, wanted->most_days);
        out->answer = wanted->best_dose_kg_per_m3;
        out->salt_kg_per_year = wanted->best_salt_kg_per_year;
        out->point = wanted->best;
    } else if (out->binding == BF_BINDING_INTERVAL) {
        for (size_t k = 0; k < probe->tries; k++) {
            out->nearest =
                fmax(out->nearest, days_of(wanted, probe->value[k])); /* fmax minds NAN */
        }
    }
}

static bf_status check(const target *wanted, bf_error *err)
{
    bf_status status =
        bf__sizing_check_above_zero(where, "the water", wanted->water_m3_per_day, "m3 a day", err);
    if (status == BF_OK && !(wanted->least_days > 0.0 && wanted->most_days >= wanted->least_days &&
                             isfinite(wanted->most_days))) {
        status = bf_error_set(err, BF_E_RANGE, where,
                              "regenerations at most each %g and at least each %g days; accepted "
                              "are days above zero, the first not above the second",
                              wanted->least_days, wanted->most_days);
    }
    return status;
}

static bf_status look_for(target *wanted)
{
    bf__probe *probe = wanted->search.probe;
    for (size_t k = 0; k < SCAN; k++) {
        (void)bf__probe_value(probe, dose_of_scan(k)); /* after an error nothing is tried */
    }
    probe->slope = 0.5;
    bf_status status = probe->status == BF_OK ? find_edge(wanted) : probe->status;
    if (status == BF_OK && !isnan(wanted->best_dose_kg_per_m3)) {
        status = narrow(wanted);
    }
    return status;
}

bf_status bf_least_salt(const bf_rating_spec *rating, double water_m3_per_day, double least_days,
                        double most_days, const bf_sizing_spec *spec, bf_sizing *out, bf_error *err)
{
    target wanted = {.water_m3_per_day = water_m3_per_day,
                     .least_days = least_days,
                     .most_days = most_days,
                     .best_dose_kg_per_m3 = (double)NAN,
                     .best_salt_kg_per_year = (double)NAN};
    bf__sizing_start(rating, out);
    bf_status status = check(&wanted, err);
    if (status == BF_OK) {
        status = bf__search_open(where, rating, spec, BF_SIZING_DOSE_LOW, rate, &wanted,
                                 &wanted.search, err);
    }
    if (status == BF_OK) {
        status = look_for(&wanted);
    }
    if (status == BF_OK || status == BF_E_STOPPED) {
        take(&wanted, status, out);
    }
    bf__search_close(&wanted.search);
    return status;
}
