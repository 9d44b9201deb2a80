/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The least dose that gives a capacity.
 *
 *     ln(capacity(dose)/wanted) = 0,    capacity at the cyclic steady state of the dose
 *
 * Capacity rises with the dose wherever there is a rating, and there is one from some dose on. A
 * capacity so small that the least dose with a rating gives more has that dose for its answer:
 * leakage decides.
 */
#include "rating/curve/one_rating.h"
#include "rating/sizing/practical.h"
#include "rating/sizing/probe.h"

#include <math.h>

typedef struct wish {
    const bf_rating_spec *rating;
    const bf_selectivity *selectivity;
    double capacity_eq_per_m3;
    bf__practical practical;
} wish;

static bf_status rate(void *context, double dose_kg_per_m3, double *value, bf_dose_point *point,
                      bf_error *err)
{
    wish *of = context;
    bf_status status = bf__rate_dose(of->rating, of->selectivity, dose_kg_per_m3, point, err);
    const bf_cycle_result *cycle = &point->steady.cycle;
    *value = cycle->outcome == BF_RATED ? log(cycle->capacity_eq_per_m3 / of->capacity_eq_per_m3)
                                        : (double)NAN;
    return status != BF_OK ? status
                           : bf__practical_value(&of->practical, of->rating, dose_kg_per_m3,
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

bf_status bf_dose_for_capacity(const bf_rating_spec *rating, double capacity_eq_per_m3,
                               bf_sizing *out, bf_error *err)
{
    return bf_practical_dose_for_capacity(rating, capacity_eq_per_m3, NULL, out, err);
}

bf_status bf_practical_dose_for_capacity(const bf_rating_spec *rating, double capacity_eq_per_m3,
                                         const bf_practical *practical, bf_sizing *out,
                                         bf_error *err)
{
    wish of = {.rating = rating,
               .capacity_eq_per_m3 = capacity_eq_per_m3,
               .practical = bf__practical_start(practical)};
    bf_selectivity *selectivity = NULL;
    bf__probe *probe = NULL;
    bf__sizing_start(rating, out);
    bf_status status = bf__sizing_check_above_zero("bf_dose_for_capacity", "the capacity wanted",
                                                   capacity_eq_per_m3, "eq/m3", err);
    if (status == BF_OK) {
        status = bf__practical_check(practical, err);
    }
    if (status == BF_OK) {
        status = bf__sizing_check(rating, BF_SIZING_DOSE_LOW, err);
    }
    if (status == BF_OK) {
        status = bf_rating_selectivity(rating, &selectivity, err);
        of.selectivity = selectivity;
    }
    if (status == BF_OK) {
        probe = bf__probe_create(rate, &of, err);
        status = probe != NULL ? BF_OK : BF_E_MEMORY;
    }
    if (status == BF_OK) {
        /* Half the salt's equivalents at work: what doses in use come to. */
        const double per_kg =
            bf_recipe_dose_eq_per_m3(&rating->recipe) / bf_recipe_dose_kg_per_m3(&rating->recipe);
        const double guess = 2.0 * capacity_eq_per_m3 / (isfinite(per_kg) ? per_kg : 17.0);
        probe->slope = 0.5;
        status = bf__probe_least(probe, BF_SIZING_DOSE_LOW, BF_SIZING_DOSE_HIGH, guess);
    }
    if (status == BF_OK) {
        bf__sizing_take(probe, decided(probe), BF_BINDING_CAPACITY, out);
        out->practical_ratio = of.practical.ratio_of_least;
        const bf_outcome outcome = out->point.steady.cycle.outcome;
        if (out->binding != BF_BINDING_NONE &&
            (outcome == BF_RATED || outcome == BF_END_NOT_REACHED)) {
            out->nearest = out->point.steady.cycle.capacity_eq_per_m3;
        }
    }
    bf__probe_free(probe);
    bf_selectivity_free(selectivity);
    return status;
}
