/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Each cycle runs the service twice: once on copies, far enough to find where
 * the mixture passes the end point, and then exactly to there. Between the
 * integrator's steps the logarithm of the hardness is read on a straight line,
 * as the front rises exponentially. */
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
    course outflow;
} lane;

static void watch(void *observer, const bf_step *step, const bf_moment *moment)
{
    course *run = observer;
    (void)step;
    if (run->count < MOMENTS) {
        run->bed_volumes[run->count] = moment->bed_volumes;
        run->hardness[run->count] = fmax(moment->hardness_eq_per_m3, 1e-9);
        run->count++;
    }
}

static double hardness_at(const course *run, double bed_volumes)
{
    size_t low = 0;
    size_t high = run->count - 1;
    if (bed_volumes <= run->bed_volumes[low]) {
        return run->hardness[low];
    }
    if (bed_volumes >= run->bed_volumes[high]) {
        return run->hardness[high];
    }
    while (high - low > 1) {
        size_t middle = (low + high) / 2;
        *(run->bed_volumes[middle] <= bed_volumes ? &low : &high) = middle;
    }
    double part =
        (bed_volumes - run->bed_volumes[low]) / (run->bed_volumes[high] - run->bed_volumes[low]);
    return exp((1.0 - part) * log(run->hardness[low]) + part * log(run->hardness[high]));
}

static double mixture(const lanes *group, const lane *path, double bed_volumes)
{
    double hardness = 0.0;
    double flow = 0.0;
    for (size_t i = 0; i < group->count; i++) {
        double part = group->share[i] * group->velocity[i];
        hardness += part * hardness_at(&path[i].outflow, bed_volumes * group->velocity[i]);
        flow += part;
    }
    return hardness / flow;
}

/* Bed volumes (of the mean) at which the mixture rises through `end`; NAN: it
 * does not, or it is above it after half a bed volume. */
static double end_of_run(const lanes *group, const lane *path, double end, double longest)
{
    const double stride = 0.25;
    double low = 0.5;
    if (mixture(group, path, low) >= end) {
        return (double)NAN;
    }
    while (mixture(group, path, low + stride) < end) {
        low += stride;
        if (low > longest) {
            return (double)NAN;
        }
    }
    double high = low + stride;
    while (high - low > 1e-6) {
        double middle = 0.5 * (low + high);
        *(mixture(group, path, middle) < end ? &low : &high) = middle;
    }
    return 0.5 * (low + high);
}

static bf_status open_lane(const bf_rating_spec *spec, const lanes *group, size_t i, double dose,
                           const bf_selectivity *selectivity, lane *out, bf_error *err)
{
    bf_status status = BF_OK;
    bf_rating_spec own = *spec;
    bf_site site = bf_rating_site(spec);
    own.bed.resin.bead_diameter_m = group->bead_m[i];
    out->recipe = spec->recipe;
    for (size_t s = 0; s < out->recipe.count; s++) {
        double factor = s > 0 && group->service_only ? 1.0 : group->velocity[i];
        out->recipe.step[s].velocity_m_per_s *= factor;
        out->recipe.step[s].bed_volumes *= factor;
    }
    bf_recipe_set_dose(&out->recipe, dose * (group->service_only ? 1.0 : group->velocity[i]));
    TRY(bf_rating_bed(&own, selectivity, &out->bed, err));
    TRY(bf_rating_bed(&own, selectivity, &out->copy, err));
    TRY(bf_rating_exhaust(&own, selectivity, out->bed, err));
    TRY(bf_cycle_regenerate(&out->recipe, &site, out->bed, err));
done:
    return status;
}

/* A service of a fixed volume. */
static bf_status serve(const bf_rating_spec *spec, const lane *path, double bed_volumes,
                       course *record, bf_bed *bed, bf_step_result *out, bf_error *err)
{
    bf_site site = bf_rating_site(spec);
    bf_step step = path->recipe.step[0];
    step.end_hardness_eq_per_m3 = NAN;
    step.stop_hardness_eq_per_m3 = NAN;
    step.bed_volumes = bed_volumes;
    step.observe = record != NULL ? watch : NULL;
    step.observer = record;
    return step.type->run(&step, &site, bed, out, err);
}

typedef struct cycle_sum {
    double capacity, leakage;
} cycle_sum;

static bf_status one_cycle(const bf_rating_spec *spec, const lanes *group, lane *path,
                           double longest, cycle_sum *out, bf_error *err)
{
    bf_status status = BF_OK;
    bf_site site = bf_rating_site(spec);
    bf_step_result done_now;
    double entered = 0.0;
    double left = 0.0;
    double volume = 0.0;
    for (size_t i = 0; i < group->count; i++) {
        path[i].outflow.count = 0;
        TRY(bf_bed_copy(path[i].copy, path[i].bed, err));
        TRY(serve(spec, &path[i], longest * group->velocity[i], &path[i].outflow, path[i].copy,
                  &done_now, err));
    }
    double end = end_of_run(group, path, spec->recipe.step[0].end_hardness_eq_per_m3, longest);
    *out = (cycle_sum){(double)NAN, (double)NAN};
    if (isnan(end)) {
        return BF_OK;
    }
    for (size_t i = 0; i < group->count; i++) {
        TRY(serve(spec, &path[i], end * group->velocity[i], NULL, path[i].bed, &done_now, err));
        entered += group->share[i] * bf_ion_hardness(done_now.passage.in_eq_per_m3);
        left += group->share[i] * bf_ion_hardness(done_now.passage.out_eq_per_m3);
        volume += group->share[i] * end * group->velocity[i];
        TRY(bf_cycle_regenerate(&path[i].recipe, &site, path[i].bed, err));
    }
    *out = (cycle_sum){entered - left, left / volume};
done:
    return status;
}

bf_status lanes_rate(const bf_rating_spec *spec, const lanes *group, double dose_kg_per_m3,
                     double *capacity_eq_per_m3, double *leakage_eq_per_m3, bf_error *err)
{
    static lane path[LANES]; /* too large for the stack */
    bf_selectivity *selectivity = NULL;
    bf_status status = BF_OK;
    cycle_sum before = {0.0, 0.0};
    cycle_sum now = {(double)NAN, (double)NAN};
    /* Nine tenths of all that the resin holds is more than any dose here leaves
   * free. */
    double longest =
        0.9 * spec->bed.resin.total_capacity_eq_per_m3 / spec->water.hardness_eq_per_m3;
    memset(path, 0, sizeof path);
    TRY(bf_rating_selectivity(spec, &selectivity, err));
    for (size_t i = 0; i < group->count; i++) {
        TRY(open_lane(spec, group, i, dose_kg_per_m3, selectivity, &path[i], err));
    }
    for (size_t c = 0; c < MOST_CYCLES; c++) {
        TRY(one_cycle(spec, group, path, longest, &now, err));
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
        bf_bed_free(path[i].bed);
        bf_bed_free(path[i].copy);
    }
    bf_selectivity_free(selectivity);
    return status;
}
