/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A bracket and Brent's method on the logarithm of x, told when to stop by the noise of a rating.
 *
 * A rating is reproducible but not smooth: capacity carries some 2e-4 from the time integration
 * and the stop of the cycle iteration. Roots are sought no sharper. Where the value jumps (the
 * dose below which a bed leaks has no rating at all) Brent's method falls back to bisection and
 * ends on the width of the bracket; the answer is its upper side, which does have what was wanted.
 *
 * GSL reports to a handler of the whole program, which by default ends it: where memory runs out,
 * where values are not finite, where ends have one sign or stand in the wrong order. Memory is
 * therefore ours, and the rest is looked at before GSL sees it.
 */
#include "rating/sizing/probe.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_min.h>
#include <gsl/gsl_roots.h>
#include <math.h>
#include <stdlib.h>

bf_status bf__probe_create(bf__try *rate, void *context, bf_watch watch, bf__probe **out,
                           bf_error *err)
{
    bf__probe *probe = calloc(1, sizeof *probe);
    *out = probe;
    if (probe == NULL) {
        return bf_error_set(err, BF_E_MEMORY, "sizing", "no memory for a search");
    }
    probe->rate = rate;
    probe->context = context;
    probe->part.whole = watch;
    /* numerical choices: two and a half times what a rating itself may be off by, 2e-4 */
    probe->short_by = 5e-4;
    probe->close = 5e-4;
    probe->slope = 1.0;
    probe->x_tolerance = 1e-3;
    probe->err = err;
    probe->enough_x = (double)NAN;
    probe->highest_x = -(double)INFINITY;
    return BF_OK;
}

void bf__probe_free(bf__probe *probe)
{
    free(probe);
}

int bf__probe_is_enough(const bf__probe *probe, double value)
{
    return value >= -probe->short_by;
}

/* The try at x, which may have come back from its logarithm; probe->tries: none. */
static size_t find(const bf__probe *probe, double x)
{
    size_t k = 0;
    while (k < probe->tries && !(fabs(probe->x[k] - x) <= 1e-12 * x)) {
        k++;
    }
    return k;
}

/* The part of the work that the next try is. Nobody knows how many there will be: a guess that
 * never comes to an end. */
static void begin_try(bf__probe *probe)
{
    const double few_more = 6.0; /* most searches take 5 to 12 */
    const double tries = (double)probe->tries;
    probe->part.start = tries / (tries + few_more);
    probe->part.end = (tries + 1.0) / (tries + 1.0 + few_more);
}

bf_watch bf__probe_watch(bf__probe *probe)
{
    return bf__watch_part(&probe->part);
}

static void end_try(bf__probe *probe)
{
    const bf_watch watch = bf__probe_watch(probe);
    if (watch.tell != NULL && watch.tell(watch.context, 1.0) != 0) {
        probe->status = bf_error_set(probe->err, BF_E_STOPPED, "sizing",
                                     "stopped after %zu ratings", probe->tries);
    }
}

double bf__probe_value(bf__probe *probe, double x)
{
    const size_t index = find(probe, x);
    if (index < probe->tries) {
        return probe->value[index];
    }
    if (probe->status != BF_OK) {
        return (double)NAN;
    }
    if (probe->tries == BF__PROBE_TRIES) {
        probe->status = bf_error_set(probe->err, BF_E_SOLVER, "sizing",
                                     "no answer after %d ratings; tighten the tolerances of the "
                                     "steady cycle",
                                     BF__PROBE_TRIES);
        return (double)NAN;
    }
    bf_dose_point point = {0};
    double value = (double)NAN;
    begin_try(probe);
    probe->status = probe->rate(probe->context, x, &value, &point, probe->err);
    if (probe->status != BF_OK) {
        return (double)NAN;
    }
    probe->x[probe->tries] = x;
    probe->value[probe->tries] = value;
    probe->tries++;
    if (bf__probe_is_enough(probe, value) && !(x >= probe->enough_x)) {
        probe->enough_x = x;
        probe->enough = point;
    }
    if (x > probe->highest_x) {
        probe->highest_x = x;
        probe->highest = point;
    }
    end_try(probe);
    return value;
}

/* For GSL: of the logarithm, and finite. */
static double value_of_log(double log_x, void *context)
{
    const double value = bf__probe_value(context, exp(log_x));
    return isnan(value) ? -1.0 : fmax(fmin(value, 1e3), -1e3);
}

/* Value of the least that is enough; NAN where none is. */
static double value_of_enough(const bf__probe *probe)
{
    const size_t index = find(probe, probe->enough_x);
    return index < probe->tries ? probe->value[index] : (double)NAN;
}

int bf__probe_jumps(const bf__probe *probe)
{
    return value_of_enough(probe) > 2.0 * probe->close;
}

/* Between one that is not enough and one that is. */
static bf_status narrow(bf__probe *probe, double low, double high)
{
    gsl_function function = {.function = value_of_log, .params = probe};
    gsl_root_fsolver solver = {.type = gsl_root_fsolver_brent};
    if (!(low < high && value_of_log(log(low), probe) < 0.0 &&
          value_of_log(log(high), probe) > 0.0)) {
        return probe->status;
    }
    solver.state = malloc(solver.type->size);
    if (solver.state == NULL) {
        return bf_error_set(probe->err, BF_E_MEMORY, "sizing", "no memory for a search");
    }
    int going = gsl_root_fsolver_set(&solver, &function, log(low), log(high)) == GSL_SUCCESS;
    while (going && probe->status == BF_OK) {
        const double width = solver.x_upper - solver.x_lower;
        const double best = value_of_enough(probe);
        going = width > probe->x_tolerance && best > probe->close &&
                gsl_root_fsolver_iterate(&solver) == GSL_SUCCESS;
    }
    free(solver.state);
    return probe->status;
}

bf_status bf__probe_least(bf__probe *probe, double low, double high, double guess)
{
    if (!(low > 0.0 && low <= high && isfinite(high))) {
        return bf_error_set(probe->err, BF_E_RANGE, "sizing",
                            "there is nothing to look at from %g to %g", low, high);
    }
    double x = fmin(fmax(guess, low), high);
    double value = bf__probe_value(probe, x);
    /* Go the way that the value points, by what it says is lacking and a little more; where it says
     * nothing, by a factor that grows. */
    double factor = 1.2;
    double other = x;
    const int down = bf__probe_is_enough(probe, value);
    while (probe->status == BF_OK && bf__probe_is_enough(probe, value) == down &&
           x != (down ? low : high) && !(down && value <= probe->close)) {
        double ratio = isnan(value) ? factor : 1.01 * exp(fmin(fabs(value) / probe->slope, 2.0));
        ratio = fmax(ratio, 1.02);
        factor *= factor;
        other = x;
        x = down ? fmax(x / ratio, low) : fmin(x * ratio, high);
        value = bf__probe_value(probe, x);
    }
    if (probe->status != BF_OK || bf__probe_is_enough(probe, value) == down ||
        value_of_enough(probe) <= probe->close) {
        return probe->status; /* none is enough, or the lowest is, or a try hit it */
    }
    return narrow(probe, fmin(x, other), fmax(x, other));
}

typedef struct lowest {
    double (*function)(double x, void *context);
    void *context;
} lowest;

/* For GSL: finite. */
static double finite_value(double x, void *context)
{
    const lowest *wrapped = context;
    const double value = wrapped->function(x, wrapped->context);
    return isnan(value) ? 1e300 : fmax(fmin(value, 1e300), -1e300);
}

double bf__lowest_between(double (*function)(double, void *), void *context, double low,
                          double middle, double high, double width, double noise)
{
    lowest wrapped = {.function = function, .context = context};
    gsl_function finite = {.function = finite_value, .params = &wrapped};
    gsl_min_fminimizer solver = {.type = gsl_min_fminimizer_brent};
    if (!(isfinite(low) && low < middle && middle < high && isfinite(high))) {
        return middle;
    }
    const double lowest_value = finite_value(middle, &wrapped);
    const double below = finite_value(low, &wrapped);
    const double above = finite_value(high, &wrapped);
    solver.state = malloc(solver.type->size);
    int going = solver.state != NULL && lowest_value < below && lowest_value < above &&
                gsl_min_fminimizer_set_with_values(&solver, &finite, middle, lowest_value, low,
                                                   below, high, above) == GSL_SUCCESS;
    while (going) {
        middle = solver.x_minimum;
        going = solver.x_upper - solver.x_lower > width &&
                fmax(solver.f_lower, solver.f_upper) - solver.f_minimum >
                    noise * fabs(solver.f_minimum) &&
                gsl_min_fminimizer_iterate(&solver) == GSL_SUCCESS;
    }
    free(solver.state);
    return middle;
}
