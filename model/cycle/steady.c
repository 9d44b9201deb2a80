/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The cyclic steady state by repetition.
 *
 *     d_k = (g_k - g_(k-1))/|g_k|   change of capacity, and of mean leakage, from cycle to cycle
 *     q   = |d_k|/|d_(k-1)|         observed contraction
 *     e_k = |d_k| q/(1 - q)         what is still to come, were the contraction to stay
 *
 * Stops when e of both is within tolerance, not when d is: with q = 0.9 a change of 1e-3 leaves ten
 * times as much to come. q is held to at least 0.3: the first change may be from resin as delivered
 * to the first regeneration, no contraction at all, and would make the second look far too small.
 * Changes that alternate in sign leave no more than the last of them. Changes that grow say
 * nothing, unless they are below half the tolerance: then it is the time integration's own noise
 * (about 1e-4 of the capacity at a relative tolerance of 3e-4) that moves, and e is taken as twice
 * the change.
 *
 * Rejected: Anderson acceleration by KINSOL. Most recipes settle in 3 to 8 cycles, where it has
 * nothing to work with; it pays only for the slow ones.
 */
#include "cycle/approach.h"

#include <math.h>

/* Numerical choice: below what the constants leave open, above the noise of the time integration;
 * leakage, which is less sharp, 25 times looser. The accepted ranges are wide,
 * common practice, no source. */
bf_steady_spec bf_steady_spec_default(void)
{
    return (bf_steady_spec){
        .most_cycles = 200, .capacity_tolerance = 2e-4, .leakage_tolerance = 5e-3};
}

bf_status bf__steady_check(const bf_steady_spec *spec, bf_error *err)
{
    const char *where = "bf_steady_run";
    if (spec->most_cycles < 2 || spec->most_cycles > 10000) {
        return bf_error_set(err, BF_E_RANGE, where, "at most %zu cycles; accepted are 2 to 10000",
                            spec->most_cycles);
    }
    if (!(spec->capacity_tolerance >= 1e-8 && spec->capacity_tolerance <= 0.1) ||
        !(spec->leakage_tolerance >= 1e-8 && spec->leakage_tolerance <= 1.0)) {
        return bf_error_set(err, BF_E_RANGE, where,
                            "tolerances %g of capacity and %g of leakage; accepted are 1e-8 to 0.1 "
                            "and 1e-8 to 1",
                            spec->capacity_tolerance, spec->leakage_tolerance);
    }
    return BF_OK;
}

/* A change that shrank fast once may not do so again: no contraction below 0.3 is believed, a
 * numerical choice (seen: 0.005 to 0.4). */
static double still_to_come(double before, double change, double tolerance)
{
    double size = fabs(change);
    double contraction = before != 0.0 ? fmax(size / fabs(before), 0.3) : 0.3;
    if (before * change < 0.0 && contraction < 1.0) {
        return size;
    }
    if (contraction < 1.0) {
        return size * contraction / (1.0 - contraction);
    }
    return size <= 0.5 * tolerance ? 2.0 * size : (double)INFINITY;
}

bf__approach bf__approach_start(double tolerance)
{
    return (bf__approach){.tolerance = tolerance,
                          .last = (double)NAN,
                          .change = (double)NAN,
                          .error = (double)INFINITY};
}

void bf__approach_follow(bf__approach *approach, double value)
{
    double change = (value - approach->last) / fmax(fabs(value), 1e-300);
    approach->error = isnan(approach->change)
                          ? (double)INFINITY
                          : still_to_come(approach->change, change, approach->tolerance);
    approach->change = isnan(approach->last) ? (double)NAN : change;
    approach->last = value;
}

bf_status bf__steady_repeat(const bf_steady_spec *spec, bf__run_cycle *run, void *context,
                            bf_steady_result *out, bf_error *err)
{
    bf_status status = bf__steady_check(spec, err);
    bf__approach capacity = bf__approach_start(spec->capacity_tolerance);
    bf__approach leakage = bf__approach_start(spec->leakage_tolerance);
    int steady = 0;
    for (out->cycles = 0; status == BF_OK && !steady && out->cycles < spec->most_cycles;) {
        status = run(context, &out->cycle, err);
        out->cycles++;
        if (status == BF_OK) {
            bf__approach_follow(&capacity, out->cycle.capacity_eq_per_m3);
            bf__approach_follow(&leakage, out->cycle.leakage_mean_eq_per_m3);
            steady = capacity.error <= spec->capacity_tolerance &&
                     leakage.error <= spec->leakage_tolerance;
        }
    }
    out->capacity_error = capacity.error;
    out->leakage_error = leakage.error;
    if (status == BF_OK && !steady) {
        out->cycle.outcome = BF_NOT_STEADY;
    }
    return status;
}

typedef struct one_bed {
    const bf_recipe *recipe;
    const bf_site *site;
    bf_bed *bed;
} one_bed;

static bf_status run_one(void *context, bf_cycle_result *out, bf_error *err)
{
    const one_bed *one = context;
    return bf_cycle_run(one->recipe, one->site, one->bed, out, err);
}

bf_status bf_steady_run(const bf_recipe *recipe, const bf_site *site, const bf_steady_spec *spec,
                        bf_bed *bed, bf_steady_result *out, bf_error *err)
{
    one_bed one = {.recipe = recipe, .site = site, .bed = bed};
    return bf__steady_repeat(spec, run_one, &one, out, err);
}
