/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The least dose that gives a capacity.
 *
 *     ln(capacity(dose)/wanted) = 0,    capacity at the cyclic steady state of the dose
 *
 * Capacity rises with the dose wherever there is a rating, and there is one from some dose on. A
 * capacity so small that the least dose with a rating gives more has that dose for its answer:
 * leakage decides.
 */
#include "rating/sizing/search.h"

#include <math.h>

static const char *const where = "bf_dose_for_capacity";

typedef struct target {
    bf__search search;
    double capacity_eq_per_m3;
} target;

static bf_status rate(void *context, double dose_kg_per_m3, double *value, bf_dose_point *point,
                      bf_error *err)
{
    target *wanted = context;
    bf__search *search = &wanted->search;
    bf_status status =
        bf__rate_dose(search->rating, search->selectivity, dose_kg_per_m3, point, err);
    const bf_cycle_result *cycle = &point->steady.cycle;
    *value = cycle->outcome == BF_RATED
                 ? log(cycle->capacity_eq_per_m3 / wanted->capacity_eq_per_m3)
                 : (double)NAN;
    return status != BF_OK ? status
                           : bf__practical_value(search, search->rating, dose_kg_per_m3,
                                                 dose_kg_per_m3, value, err);
}

/* What the least dose just meets. */
static bf_binding decided(const bf__probe *probe)
{
    if (probe->enough_x <= BF_SIZING_DOSE_LOW) {
        return BF_BINDING_SIZE;
    }
    return bf__probe_jumps(probe) ? BF_BINDING_LEAKAGE : BF_BINDING_CAPACITY;
}

static bf_status look_for(target *wanted)
{
    const bf_recipe *recipe = &wanted->search.rating->recipe;
    bf__probe *probe = wanted->search.probe;
    /* Half the salt's equivalents at work: what doses in use come to. */
    const double per_kg = bf_recipe_dose_eq_per_m3(recipe) / bf_recipe_dose_kg_per_m3(recipe);
    const double guess = 2.0 * wanted->capacity_eq_per_m3 / (isfinite(per_kg) ? per_kg : 17.0);
    probe->slope = 0.5;
    return bf__probe_least(probe, BF_SIZING_DOSE_LOW, BF_SIZING_DOSE_HIGH, guess);
}

bf_status bf_dose_for_capacity(const bf_rating_spec *rating, double capacity_eq_per_m3,
                               const bf_sizing_spec *spec, bf_sizing *out, bf_error *err)
{
    target wanted = {.capacity_eq_per_m3 = capacity_eq_per_m3};
    bf__sizing_start(rating, out);
    bf_status status =
        bf__sizing_check_above_zero(where, "the capacity wanted", capacity_eq_per_m3, "eq/m3", err);
    if (status == BF_OK) {
        status = bf__search_open(where, rating, spec, BF_SIZING_DOSE_LOW, rate, &wanted,
                                 &wanted.search, err);
    }
    if (status == BF_OK) {
        status = look_for(&wanted);
    }
    if (status == BF_OK || status == BF_E_STOPPED) {
        bf__search_take(&wanted.search, status, decided(wanted.search.probe), BF_BINDING_CAPACITY,
                        out);
        const bf_outcome outcome = out->point.steady.cycle.outcome;
        if (out->binding != BF_BINDING_NONE &&
            (outcome == BF_RATED || outcome == BF_END_NOT_REACHED)) {
            out->nearest = out->point.steady.cycle.capacity_eq_per_m3;
        }
    }
    bf__search_close(&wanted.search);
    return status;
}
