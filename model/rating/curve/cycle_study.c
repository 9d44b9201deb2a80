/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One cycle looked at from inside. */
#include "brinefront/cycle_study.h"

#include <stdlib.h>
#include <string.h>

static void detach(bf_recipe *recipe)
{
    for (size_t s = 0; s < recipe->count; s++) {
        recipe->step[s].observe = NULL;
        recipe->step[s].finish = NULL;
        recipe->step[s].observer = NULL;
    }
}

bf_status bf_cycle_study_run(const bf_rating_spec *spec, double dose_kg_per_m3, size_t new_cycles,
                             bf_cycle_study *out, bf_error *err)
{
    memset(out, 0, sizeof *out);
    bf_selectivity *selectivity = NULL;
    bf_bed *bed = NULL;
    bf_site site = bf_rating_site(spec);
    out->dose_kg_per_m3 = dose_kg_per_m3;
    out->cells = spec->bed.cells;
    out->recipe = spec->recipe;
    bf_recipe_set_dose(&out->recipe, dose_kg_per_m3);
    bf_rating_spec dosed = *spec;
    dosed.recipe = out->recipe;
    bf_status status = bf_rating_spec_check(&dosed, err);
    if (status != BF_OK) {
        return status;
    }
    out->cycle = calloc(new_cycles > 0 ? new_cycles : 1, sizeof *out->cycle);
    if (out->cycle == NULL) {
        return bf_error_set(err, BF_E_MEMORY, "bf_cycle_study_run", "no memory");
    }
    status = bf_rating_selectivity(spec, &selectivity, err);
    if (status == BF_OK) {
        status = bf_rating_bed(spec, selectivity, &bed, err);
    }
    if (status == BF_OK && new_cycles == 0) {
        status = bf_rating_exhaust(spec, selectivity, bed, err);
    }
    if (status == BF_OK && new_cycles == 0) {
        status = bf_cycle_regenerate(&out->recipe, &site, bed, err);
    }
    if (status == BF_OK && new_cycles == 0) {
        status = bf_steady_run(&out->recipe, &site, &spec->steady, bed, &out->steady, err);
    }
    if (status == BF_OK) {
        status = bf_trace_create(spec->bed.cells, &out->trace, err);
    }
    if (status == BF_OK) {
        bf_trace_attach(out->trace, &out->recipe);
        status = bf_cycle_run(&out->recipe, &site, bed, &out->cycle[0], err);
        detach(&out->recipe);
        out->cycle_count = 1;
    }
    if (status == BF_OK) {
        status = bf_trace_check(out->trace, err);
    }
    for (; status == BF_OK && out->cycle_count < new_cycles; out->cycle_count++) {
        status = bf_cycle_run(&out->recipe, &site, bed, &out->cycle[out->cycle_count], err);
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
