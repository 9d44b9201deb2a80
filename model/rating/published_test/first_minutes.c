/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Ten samples, a minute apart, of a run at its steady cycle: c(60 s), c(120 s), .. c(600 s), on a
 * straight line between the moments of the integrator.
 */
#include "brinefront/first_minutes.h"

#include "brinefront/convert.h"

#include <math.h>

/* The run that goes on; each cycle writes over the one before. */
typedef struct samples {
    double hardness[BF_FIRST_MINUTES];
    size_t count;
    double before_s, before_hardness;
} samples;

static void take(void *observer, const bf_step *step, const bf_moment *moment)
{
    samples *taken = observer;
    const double now_s = moment->time_s;
    const double hardness = moment->hardness_eq_per_m3;
    (void)step;
    if (taken->count > 0 && now_s < taken->before_s) {
        taken->count = 0; /* another cycle */
    }
    while (taken->count < BF_FIRST_MINUTES && now_s >= BF_S_PER_MIN * (double)(taken->count + 1)) {
        const double minute_s = BF_S_PER_MIN * (double)(taken->count + 1);
        const double span_s = now_s - taken->before_s;
        const double part = minute_s > taken->before_s && span_s > 0.0
                                ? (minute_s - taken->before_s) / span_s
                                : 1.0;
        taken->hardness[taken->count++] =
            taken->before_hardness + part * (hardness - taken->before_hardness);
    }
    taken->before_s = now_s;
    taken->before_hardness = hardness;
}

bf_status bf_first_minutes_rate(const bf_rating_spec *rating, double dose_kg_per_m3,
                                double m3_per_s, bf_first_minutes *out, bf_error *err)
{
    samples seen = {0};
    bf_rating_spec run = *rating;
    bf_step *service = &run.recipe.step[0];
    const bf_dose_curve_spec curve = {.dose_kg_per_m3 = &dose_kg_per_m3, .count = 1, .threads = 1};
    service->velocity_m_per_s = m3_per_s / bf_bed_area_m2(&run.bed);
    service->observe = take;
    service->observer = &seen;
    bf_status status = bf_dose_curve(&run, &curve, &out->point, NULL, err);
    if (status != BF_OK) {
        return status;
    }
    const bf_cycle_result *cycle = &out->point.steady.cycle;
    const double run_s = cycle->step[0].passage.duration_s;
    double highest = run_s < BF_S_PER_MIN * BF_FIRST_MINUTES
                         ? cycle->step[0].passage.hardness_last_eq_per_m3
                         : 0.0;
    for (size_t k = 0; k < BF_FIRST_MINUTES; k++) {
        const int has_run = k < seen.count && run_s >= BF_S_PER_MIN * (double)(k + 1);
        out->sample_eq_per_m3[k] = has_run ? seen.hardness[k] : (double)NAN;
        highest = fmax(highest, out->sample_eq_per_m3[k]); /* passes over NAN */
    }
    out->highest_eq_per_m3 = cycle->outcome == BF_NOT_STEADY ? (double)NAN : highest;
    return BF_OK;
}
