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
#include "rating/curve/one_rating.h"
#include "rating/sizing/probe.h"

#include <math.h>

enum { SCAN = 8 };
static const double days_a_year = 365.25;

typedef struct wish {
    const bf_rating_spec *rating;
    const bf_selectivity *selectivity;
    double water_m3_per_day, least_days, most_days;
    bf__probe *probe;
    bf_dose_point best;
    double best_dose; /* NAN: none yet */
    double best_salt;
} wish;

/* Days to the end point, from the value of a try: ln(days/least). */
static double days_of(const wish *of, double value)
{
    return of->least_days * exp(value);
}

static double salt_of(const wish *of, double dose_kg_per_m3, double days)
{
    return dose_kg_per_m3 * bf_bed_volume_m3(&of->rating->bed) * days_a_year /
           fmin(days, of->most_days);
}

static bf_status rate(void *context, double dose_kg_per_m3, double *value, bf_dose_point *point,
                      bf_error *err)
{
    wish *of = context;
    bf_status status = bf__rate_dose(of->rating, of->selectivity, dose_kg_per_m3, point, err);
    const bf_cycle_result *cycle = &point->steady.cycle;
    if (status != BF_OK || cycle->outcome != BF_RATED) {
        return status;
    }
    const double days =
        cycle->throughput_bed_volumes * bf_bed_volume_m3(&of->rating->bed) / of->water_m3_per_day;
    *value = log(days / of->least_days);
    if (bf__probe_is_enough(of->probe, *value)) {
        const double salt = salt_of(of, dose_kg_per_m3, days);
        if (!(salt >= of->best_salt)) {
            of->best = *point;
            of->best_dose = dose_kg_per_m3;
            of->best_salt = salt;
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
    wish *of = context;
    const double dose = exp(log_dose);
    const double value = bf__probe_value(of->probe, dose);
    return bf__probe_is_enough(of->probe, value) ? salt_of(of, dose, days_of(of, value))
                                                 : 1e3 * of->best_salt;
}

/* The tries that stand next to a dose; NAN where there is none allowed. */
static void neighbours(const wish *of, double dose, double *below, double *above)
{
    const bf__probe *probe = of->probe;
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
static bf_status narrow(wish *of)
{
    double below;
    double above;
    const double middle = log(of->best_dose);
    neighbours(of, of->best_dose, &below, &above);
    if (isnan(below) || isnan(above)) {
        return BF_OK; /* the best is at an end of what is allowed */
    }
    /* What it finds is kept by rate(). Salt within the noise of a rating is one. */
    (void)bf__lowest_between(salt_of_log, of, log(below), middle, log(above), 1e-2, 5e-4);
    return of->probe->status;
}

/* Where what is allowed begins between two doses of the scan. */
static bf_status find_edge(wish *of)
{
    size_t first = 0;
    while (first < SCAN &&
           !bf__probe_is_enough(of->probe, bf__probe_value(of->probe, dose_of_scan(first)))) {
        first++;
    }
    if (of->probe->status != BF_OK || first == 0 || first == SCAN) {
        return of->probe->status;
    }
    bf_status status = bf__probe_least(of->probe, dose_of_scan(first - 1), dose_of_scan(first),
                                       dose_of_scan(first));
    if (status == BF_OK && 1.05 * of->probe->enough_x < dose_of_scan(first)) {
        (void)bf__probe_value(of->probe,
                              1.05 * of->probe->enough_x); /* does salt fall on, or rise? */
    }
    return of->probe->status;
}

/* What the best dose just meets: nothing, where a lower one would be allowed. */
static bf_binding decided(const wish *of)
{
    if (of->best_dose > 1.01 * of->probe->enough_x) {
        return BF_BINDING_NONE;
    }
    if (of->best_dose <= BF_SIZING_DOSE_LOW) {
        return BF_BINDING_SIZE;
    }
    return bf__probe_jumps(of->probe) ? BF_BINDING_LEAKAGE : BF_BINDING_INTERVAL;
}

static void take(const wish *of, bf_sizing *out)
{
    const bf__probe *probe = of->probe;
    bf__sizing_take(probe, BF_BINDING_NONE, BF_BINDING_INTERVAL, out);
    if (out->binding == BF_BINDING_NONE) {
        const double days = of->best.steady.cycle.throughput_bed_volumes *
                            bf_bed_volume_m3(&of->rating->bed) / of->water_m3_per_day;
        out->decided = decided(of);
        out->days = fmin(days, of->most_days);
        out->answer = of->best_dose;
        out->salt_kg_per_year = of->best_salt;
        out->point = of->best;
    } else if (out->binding == BF_BINDING_INTERVAL) {
        for (size_t k = 0; k < probe->tries; k++) {
            out->nearest = fmax(out->nearest, days_of(of, probe->value[k])); /* fmax minds NAN */
        }
    }
}

static bf_status check(const wish *of, bf_error *err)
{
    const char *where = "bf_least_salt";
    bf_status status =
        bf__sizing_check_above_zero(where, "the water", of->water_m3_per_day, "m3 a day", err);
    if (status == BF_OK &&
        !(of->least_days > 0.0 && of->most_days >= of->least_days && isfinite(of->most_days))) {
        status = bf_error_set(err, BF_E_RANGE, where,
                              "regenerations at most each %g and at least each %g days; accepted "
                              "are days above zero, the first not above the second",
                              of->least_days, of->most_days);
    }
    return status == BF_OK ? bf__sizing_check(of->rating, BF_SIZING_DOSE_LOW, err) : status;
}

bf_status bf_least_salt(const bf_rating_spec *rating, double water_m3_per_day, double least_days,
                        double most_days, bf_sizing *out, bf_error *err)
{
    wish of = {.rating = rating,
               .water_m3_per_day = water_m3_per_day,
               .least_days = least_days,
               .most_days = most_days,
               .best_dose = (double)NAN,
               .best_salt = (double)NAN};
    bf_selectivity *selectivity = NULL;
    bf__sizing_start(rating, out);
    bf_status status = check(&of, err);
    if (status == BF_OK) {
        status = bf_rating_selectivity(rating, &selectivity, err);
        of.selectivity = selectivity;
    }
    if (status == BF_OK) {
        of.probe = bf__probe_create(rate, &of, err);
        status = of.probe != NULL ? BF_OK : BF_E_MEMORY;
    }
    for (size_t k = 0; k < SCAN && status == BF_OK; k++) {
        (void)bf__probe_value(of.probe, dose_of_scan(k));
        status = of.probe->status;
    }
    if (status == BF_OK) {
        of.probe->slope = 0.5;
        status = find_edge(&of);
    }
    if (status == BF_OK && !isnan(of.best_dose)) {
        status = narrow(&of);
    }
    if (status == BF_OK) {
        take(&of, out);
    }
    bf__probe_free(of.probe);
    bf_selectivity_free(selectivity);
    return status;
}
