/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One cycle looked at from inside. */
#include "brinefront/cycle_study.h"

#include "rating/curve/one_rating.h"

#include <stdlib.h>

static void detach(bf_recipe *recipe)
{
    for (size_t s = 0; s < recipe->count; s++) {
        recipe->step[s].observe = NULL;
        recipe->step[s].finish = NULL;
        recipe->step[s].observer = NULL;
    }
}

/* The bed that is looked at: as delivered, or in its steady cycle. */
static bf_status prepare(const bf_rating_spec *dosed, const bf_selectivity *selectivity,
                         size_t new_cycles, bf_bed **bed, bf_cycle_study *out, bf_error *err)
{
    bf_dose_point point;
    if (new_cycles > 0) {
        return bf_rating_bed(dosed, selectivity, bed, err);
    }
    bf_status status = bf__regenerated_bed(dosed, selectivity, bed, err);
    if (status == BF_OK) {
        status = bf__settle_bed(dosed, out->dose_kg_per_m3, *bed, &point, err);
        out->steady = point.steady;
    }
    return status;
}

static bf_status run_cycles(const bf_site *site, size_t count, bf_bed *bed, bf_cycle_study *out,
                            bf_error *err)
{
    bf_status status = BF_OK;
    bf_trace_attach(out->trace, &out->recipe);
    for (; status == BF_OK && out->cycle_count < count; out->cycle_count++) {
        status = bf_cycle_run(&out->recipe, site, bed, &out->cycle[out->cycle_count], err);
        detach(&out->recipe); /* the first cycle is traced */
    }
    return status == BF_OK ? bf_trace_check(out->trace, err) : status;
}

bf_status bf_cycle_study_run(const bf_rating_spec *spec, double dose_kg_per_m3, size_t new_cycles,
                             bf_cycle_study *out, bf_error *err)
{
    const size_t cycles = new_cycles > 0 ? new_cycles : 1;
    bf_selectivity *selectivity = NULL;
    bf_bed *bed = NULL;
    bf_rating_spec dosed;
    *out = (bf_cycle_study){.dose_kg_per_m3 = dose_kg_per_m3, .cells = spec->bed.cells};
    bf_status status = bf__dosed_spec("bf_cycle_study_run", spec, &dose_kg_per_m3, 1, &dosed, err);
    if (status != BF_OK) {
        return status;
    }
    const bf_site site = bf_rating_site(&dosed);
    out->recipe = dosed.recipe;
    out->cycle = calloc(cycles, sizeof *out->cycle);
    if (out->cycle == NULL) {
        return bf_error_set(err, BF_E_MEMORY, "bf_cycle_study_run", "no memory");
    }
    status = bf_rating_selectivity(spec, &selectivity, err);
    if (status == BF_OK) {
        status = prepare(&dosed, selectivity, new_cycles, &bed, out, err);
    }
    if (status == BF_OK) {
        status = bf_trace_create(spec->bed.cells, &out->trace, err);
    }
    if (status == BF_OK) {
        status = run_cycles(&site, cycles, bed, out, err);
    }
    bf_bed_free(bed);
    bf_selectivity_free(selectivity);
    return status;
}

void bf_cycle_study_free(bf_cycle_study *study)
{
    free(study->cycle);
    bf_trace_free(study->trace);
    study->cycle = NULL;
    study->trace = NULL;
}
