/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Each cycle runs the service twice: once on copies, far enough to find where the mixture passes
 * the end point, and then exactly to there. Between the integrator's steps the logarithm of the
 * hardness is read on a straight line, as the front rises exponentially. */
#include "lanes.h"

#include "try.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { MOMENTS = 4000, MOST_CYCLES = 30 };

typedef struct course {
    size_t count;
    double bed_volumes[MOMENTS], hardness[MOMENTS];
} course;

typedef struct lane {
    bf_bed *bed, *copy;
    bf_recipe recipe;
    course seen;
} lane;

static void watch(void *observer, const bf_step *step, const bf_moment *moment)
{
    course *to = observer;
    (void)step;
    if (to->count < MOMENTS) {
        to->bed_volumes[to->count] = moment->bed_volumes;
        to->hardness[to->count] = fmax(moment->hardness_eq_per_m3, 1e-9);
        to->count++;
    }
}

static double hardness_at(const course *of, double bed_volumes)
{
    size_t low = 0;
    size_t high = of->count - 1;
    if (bed_volumes <= of->bed_volumes[low]) {
        return of->hardness[low];
    }
    if (bed_volumes >= of->bed_volumes[high]) {
        return of->hardness[high];
    }
    while (high - low > 1) {
        size_t middle = (low + high) / 2;
        *(of->bed_volumes[middle] <= bed_volumes ? &low : &high) = middle;
    }
    double part =
        (bed_volumes - of->bed_volumes[low]) / (of->bed_volumes[high] - of->bed_volumes[low]);
    return exp((1.0 - part) * log(of->hardness[low]) + part * log(of->hardness[high]));
}

static double mixture(const lanes *of, const lane *at, double bed_volumes)
{
    double hardness = 0.0;
    double flow = 0.0;
    for (size_t i = 0; i < of->count; i++) {
        double part = of->share[i] * of->velocity[i];
        hardness += part * hardness_at(&at[i].seen, bed_volumes * of->velocity[i]);
        flow += part;
    }
    return hardness / flow;
}

/* Bed volumes (of the mean) at which the mixture rises through `end`; NAN: it does not, or it is
 * above it after half a bed volume. */
static double end_of_run(const lanes *of, const lane *at, double end, double longest)
{
    const double stride = 0.25;
    double low = 0.5;
    if (mixture(of, at, low) >= end) {
        return (double)NAN;
    }
    while (mixture(of, at, low + stride) < end) {
        low += stride;
        if (low > longest) {
            return (double)NAN;
        }
    }
    double high = low + stride;
    while (high - low > 1e-6) {
        double middle = 0.5 * (low + high);
        *(mixture(of, at, middle) < end ? &low : &high) = middle;
    }
    return 0.5 * (low + high);
}

static bf_status open_lane(const bf_rating_spec *spec, const lanes *of, size_t i, double dose,
                           const bf_selectivity *selectivity, lane *out, bf_error *err)
{
    bf_status status = BF_OK;
    bf_rating_spec own = *spec;
    bf_site site = bf_rating_site(spec);
    own.bed.resin.bead_diameter_m = of->bead_m[i];
    out->recipe = spec->recipe;
    for (size_t s = 0; s < out->recipe.count; s++) {
        double factor = s > 0 && of->service_only ? 1.0 : of->velocity[i];
        out->recipe.step[s].velocity_m_per_s *= factor;
        out->recipe.step[s].bed_volumes *= factor;
    }
    bf_recipe_set_dose(&out->recipe, dose * (of->service_only ? 1.0 : of->velocity[i]));
    TRY(bf_rating_bed(&own, selectivity, &out->bed, err));
    TRY(bf_rating_bed(&own, selectivity, &out->copy, err));
    TRY(bf_rating_exhaust(&own, selectivity, out->bed, err));
    TRY(bf_cycle_regenerate(&out->recipe, &site, out->bed, err));
done:
    return status;
}

/* A service of a fixed volume. */
static bf_status serve(const bf_rating_spec *spec, const lane *of, double bed_volumes, course *seen,
                       bf_bed *bed, bf_step_result *out, bf_error *err)
{
    bf_site site = bf_rating_site(spec);
    bf_step step = of->recipe.step[0];
    step.end_hardness_eq_per_m3 = NAN;
    step.stop_hardness_eq_per_m3 = NAN;
    step.bed_volumes = bed_volumes;
    step.observe = seen != NULL ? watch : NULL;
    step.observer = seen;
    return step.type->run(&step, &site, bed, out, err);
}

typedef struct cycle_sum {
    double capacity, leakage;
} cycle_sum;

static bf_status one_cycle(const bf_rating_spec *spec, const lanes *of, lane *at, double longest,
                           cycle_sum *out, bf_error *err)
{
    bf_status status = BF_OK;
    bf_site site = bf_rating_site(spec);
    bf_step_result done_now;
    double entered = 0.0;
    double left = 0.0;
    double volume = 0.0;
    for (size_t i = 0; i < of->count; i++) {
        at[i].seen.count = 0;
        TRY(bf_bed_copy(at[i].copy, at[i].bed, err));
        TRY(serve(spec, &at[i], longest * of->velocity[i], &at[i].seen, at[i].copy, &done_now,
                  err));
    }
    double end = end_of_run(of, at, spec->recipe.step[0].end_hardness_eq_per_m3, longest);
    *out = (cycle_sum){(double)NAN, (double)NAN};
    if (isnan(end)) {
        return BF_OK;
    }
    for (size_t i = 0; i < of->count; i++) {
        TRY(serve(spec, &at[i], end * of->velocity[i], NULL, at[i].bed, &done_now, err));
        entered += of->share[i] * bf_ion_hardness(done_now.passage.in_eq_per_m3);
        left += of->share[i] * bf_ion_hardness(done_now.passage.out_eq_per_m3);
        volume += of->share[i] * end * of->velocity[i];
        TRY(bf_cycle_regenerate(&at[i].recipe, &site, at[i].bed, err));
    }
    *out = (cycle_sum){entered - left, left / volume};
done:
    return status;
}

bf_status lanes_rate(const bf_rating_spec *spec, const lanes *of, double dose_kg_per_m3,
                     double *capacity_eq_per_m3, double *leakage_eq_per_m3, bf_error *err)
{
    static lane at[LANES]; /* too large for the stack */
    bf_selectivity *selectivity = NULL;
    bf_status status = BF_OK;
    cycle_sum before = {0.0, 0.0};
    cycle_sum now = {(double)NAN, (double)NAN};
    /* Nine tenths of all that the resin holds is more than any dose here leaves free. */
    double longest = 0.9 * spec->bed.resin.capacity_eq_per_m3 / spec->water.hardness_eq_per_m3;
    memset(at, 0, sizeof at);
    TRY(bf_rating_selectivity(spec, &selectivity, err));
    for (size_t i = 0; i < of->count; i++) {
        TRY(open_lane(spec, of, i, dose_kg_per_m3, selectivity, &at[i], err));
    }
    for (size_t c = 0; c < MOST_CYCLES; c++) {
        TRY(one_cycle(spec, of, at, longest, &now, err));
        int settled = fabs(now.capacity / before.capacity - 1.0) < 5e-5 &&
                      fabs(now.leakage / before.leakage - 1.0) < 5e-4;
        before = now;
        if (settled || isnan(now.capacity)) {
            break;
        }
    }
    *capacity_eq_per_m3 = now.capacity;
    *leakage_eq_per_m3 = now.leakage;
done:
    for (size_t i = 0; i < LANES; i++) {
        bf_bed_free(at[i].bed);
        bf_bed_free(at[i].copy);
    }
    bf_selectivity_free(selectivity);
    return status;
}
