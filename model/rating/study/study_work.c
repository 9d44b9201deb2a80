/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How far a study is, for whoever watches it. */
#include "rating/study/study.h"

#include <math.h>

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
