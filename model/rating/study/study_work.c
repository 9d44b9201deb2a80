/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How far a study is, for whoever watches it. */
#include "rating/study/study.h"

#include <math.h>

static size_t is_stated(double value)
{
    return isnan(value) ? (size_t)0 : (size_t)1;
}

double bf__study_ratings(const bf_tank_study_spec *spec, const bf_tank_study *study)
{
    const bf_tank_spec *tank = spec->tank;
    const size_t bands = 1 + (size_t)(study->middle != study->least) +
                         (size_t)(study->most != study->middle && study->most != study->least);
    size_t count = spec->count + 2 + 1; /* the grid's two, the first minutes */
    count += is_stated(tank->peak_m3_per_s) + is_stated(tank->average_m3_per_s);
    count += is_stated(tank->coldest_K) + is_stated(tank->warmest_K);
    count += bf__study_has_stagnation(spec) ? BF__RATINGS_OF_STAGNATION : 0;
    count += bf__study_has_uneven_flow(spec) ? BF__RATINGS_OF_UNEVEN_FLOW : 0;
    return (double)(count + bands * (spec->samples + BF_BAND_LEAST_SAMPLES));
}

int bf__study_has_stagnation(const bf_tank_study_spec *spec)
{
    return !isnan(spec->stagnation.draw_bed_volumes);
}

int bf__study_has_uneven_flow(const bf_tank_study_spec *spec)
{
    return spec->uneven.velocity_spread > 0.0 || spec->uneven.wall_share > 0.0;
}

bf_watch bf__study_begin(bf__study_work *work, double ratings)
{
    work->part.start = fmin(work->before / work->total, 1.0);
    work->before += ratings;
    work->part.end = fmin(work->before / work->total, 1.0);
    return bf__watch_part(&work->part);
}

bf_status bf__study_tell_done(bf__study_work *work, double ratings, bf_error *err)
{
    const bf_watch watch = bf__study_begin(work, ratings);
    if (watch.tell != NULL && watch.tell(watch.context, 1.0) != 0) {
        return bf_error_set(err, BF_E_STOPPED, "bf_tank_study_run", "stopped before it was done");
    }
    return BF_OK;
}
