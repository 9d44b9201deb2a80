/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The section `water`: the analysis as it is stated, and the water that it is completed to. */
#include "case/stages.h"

#include <string.h>

/* The first value of the file's analysis; one without a place where nothing is stated. */
static const bf__stated *first_of_water(const bf__reader *r)
{
    const bf__stated *first = &r->key[BF__KEY_HARDNESS];
    for (size_t k = 0; k < BF__KEY_COUNT; k++) {
        const bf__stated *s = &r->key[k];
        int is_before =
            s->line < first->line || (s->line == first->line && s->column < first->column);
        if (strcmp(bf__key_section((bf__key_id)k)->name, "water") == 0 && s->line > 0 &&
            (first->line == 0 || is_before)) {
            first = s;
        }
    }
    return first;
}

bf_water_analysis bf__stated_analysis(const bf__reader *r)
{
    bf_water_analysis analysis = bf_water_analysis_default();
    analysis.hardness_eq_per_m3 = bf__reader_value(r, BF__KEY_HARDNESS);
    analysis.calcium_to_magnesium = bf__reader_value(r, BF__KEY_CA_TO_MG);
    analysis.dissolved_solids_kg_per_m3 = bf__reader_value(r, BF__KEY_DISSOLVED_SOLIDS);
    analysis.conductivity_S_per_m = bf__reader_value(r, BF__KEY_CONDUCTIVITY);
    analysis.temperature_K = bf__reader_value(r, BF__KEY_TEMPERATURE);
    analysis.pH = bf__reader_value(r, BF__KEY_PH);
    for (size_t k = 0; k < BF__KEY_COUNT; k++) {
        if (bf__key_get((bf__key_id)k)->kind == BF__KIND_ION && r->key[k].is_read) {
            analysis.ion_eq_per_m3[bf__key_ion((bf__key_id)k)] = r->key[k].value;
        }
    }
    return analysis;
}

void bf__stage_water(bf__reader *r)
{
    if (r->status == BF_OK) { /* otherwise the analysis is known to be incomplete */
        const bf_water_analysis analysis = bf__stated_analysis(r);
        bf_error err = {0};
        if (bf_water_complete(&analysis, &r->out->rating.water, r->notes, &err) != BF_OK) {
            const bf__stated *first =
                first_of_water(r); /* the analysis as a whole is what is wrong */
            bf__reader_find(r, "water", first->line, first->column, err.message);
        }
    }
}
