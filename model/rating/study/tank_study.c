/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A vessel rated in one go: what a rating sheet says.
 *
 *  1. The sheet of the vessel under the case's own conditions: it gives the rated flow.
 *  2. The protocol's conditions, from that flow.
 *  3. Every dose at its steady cycle; smallest, middle and largest with a band.
 *  4. The middle dose again at peak and average flow, in the coldest and the warmest water, in
 *     draws, and with uneven flow; the smallest at rated flow, for the criteria.
 */
#include "rating/study/study.h"

#include <math.h>
#include <stdlib.h>

static bf_status check(const bf_tank_study_spec *spec, bf_error *err)
{
    const char *where = "bf_tank_study_run";
    if (spec->count == 0) {
        return bf_error_set(err, BF_E_RANGE, where, "no dose is asked for");
    }
    if (!(spec->quantile > 0.0 && spec->quantile <= 0.5)) {
        return bf_error_set(err, BF_E_RANGE, where,
                            "the quantile of the practical rating is %g; accepted are above 0 up "
                            "to 0.5",
                            spec->quantile);
    }
    return bf_uneven_flow_check(&spec->uneven, err);
}

/* Which doses are the smallest, the middle one and the largest. */
static void order(const bf_tank_study_spec *spec, bf_tank_study *out)
{
    for (size_t d = 0; d < spec->count; d++) {
        size_t below = 0;
        for (size_t other = 0; other < spec->count; other++) {
            const double a = spec->dose_kg_per_m3[other];
            const double b = spec->dose_kg_per_m3[d];
            below += a < b || (a == b && other < d);
        }
        out->least = below == 0 ? d : out->least;
        out->middle = below == spec->count / 2 ? d : out->middle;
        out->most = below == spec->count - 1 ? d : out->most;
    }
}

static bf_status compute(bf__study_work *work, bf_tank_study *out, bf_notes *notes, bf_error *err)
{
    bf_status status = bf__study_rate_doses(work, out, err);
    if (status == BF_OK) {
        status = bf__study_rate_otherwise(work, out, notes, err);
    }
    if (status == BF_OK) {
        status = bf__study_add_bands(work, out, err);
    }
    if (status == BF_OK || status == BF_E_STOPPED) {
        const bf_status concluded = bf__study_conclude(work->spec, out, notes, err);
        status = concluded == BF_OK ? status : concluded;
    }
    return status;
}

bf_status bf_tank_study_run(const bf_tank_study_spec *spec, bf_tank_study *out, bf_notes *notes,
                            bf_error *err)
{
    bf__study_work work = {.spec = spec, .total = 1.0, .part = {.whole = spec->watch}};
    *out =
        (bf_tank_study){.samples = spec->samples,
                        .count = spec->count,
                        .full_flow = {.point = {.steady = {.cycle = {.outcome = BF_NOT_COMPUTED}}},
                                      .highest_eq_per_m3 = (double)NAN}};
    bf_status status = check(spec, err);
    if (status == BF_OK) {
        out->dose = calloc(spec->count, sizeof *out->dose);
        status = out->dose == NULL
                     ? bf_error_set(err, BF_E_MEMORY, "bf_tank_study_run", "no memory")
                     : BF_OK;
    }
    if (status == BF_OK) {
        order(spec, out);
        work.total = bf__study_ratings(spec, out);
        status = bf__study_sheet(spec, spec->rating, spec->dose_kg_per_m3[out->middle], &out->sheet,
                                 err);
    }
    if (status == BF_OK) {
        status = bf_protocol_apply(spec->protocol, spec->rating, out->sheet.rated_m3_per_s,
                                   &out->rating, notes, err);
    }
    if (status == BF_OK) {
        status = compute(&work, out, notes, err);
    }
    if (status != BF_OK && status != BF_E_STOPPED) {
        bf_tank_study_free(out);
    }
    return status;
}

void bf_tank_study_free(bf_tank_study *study)
{
    free(study->dose);
    free(study->index[0]);
    free(study->index[1]);
    *study = (bf_tank_study){0};
}
