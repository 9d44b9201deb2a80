/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A bed and the source term of iron that belongs to it, pair and freed together. */
#include "iron/iron_bed.h"

#include <stdlib.h>

static int rate(void *context, double time_s, const bf_cells *cells, const bf_rates *rates)
{
    const bf__iron_bed *iron_bed = context;
    return iron_bed->open ? iron_bed->term.rate(iron_bed->term.context, time_s, cells, rates) : 0;
}

static int slope(void *context, double time_s, const bf_cells *cells, double *const *block)
{
    const bf__iron_bed *iron_bed = context;
    return iron_bed->open ? iron_bed->term.slope(iron_bed->term.context, time_s, cells, block) : 0;
}

bf_status bf__iron_bed_create(const bf_bed_spec *bed, const bf_selectivity *selectivity,
                              const bf_ion_set *ions, const bf_iron_spec *iron,
                              const bf_iron_water *feed, bf__iron_bed **out, bf_error *err)
{
    *out = NULL;
    bf_bed_spec spec = *bed;
    bf_source gated;
    bf__iron_bed *pair = calloc(1, sizeof *pair);
    bf_status status =
        pair != NULL ? BF_OK
                     : bf_error_set(err, BF_E_MEMORY, "bf_campaign_run", "no memory for a bed");
    if (status == BF_OK && feed != NULL) {
        status = bf_iron_source_create(iron, feed, bed, ions, &pair->source, err);
        if (status == BF_OK) {
            pair->term = bf_iron_source_term(pair->source);
            gated = pair->term;
            gated.context = pair;
            gated.rate = rate;
            gated.slope = slope;
            spec.sources = &gated;
            spec.source_count = 1;
        }
    }
    if (status == BF_OK) {
        status = bf_bed_create(&spec, selectivity, &pair->bed, err);
    }
    if (status == BF_OK) {
        *out = pair;
        pair = NULL;
    }
    bf__iron_bed_free(pair);
    return status;
}

void bf__iron_bed_free(bf__iron_bed *iron_bed)
{
    if (iron_bed != NULL) {
        bf_bed_free(iron_bed->bed);
        bf_iron_source_free(iron_bed->source);
        free(iron_bed);
    }
}

bf_status bf__iron_bed_open(bf__iron_bed *iron_bed, double velocity_m_per_s, bf_error *err)
{
    iron_bed->open = 1;
    return bf_iron_source_set_velocity(iron_bed->source, velocity_m_per_s, err);
}

bf_status bf__iron_bed_read(const bf__iron_bed *iron_bed, bf__deposits *deposits, bf_error *err)
{
    bf_status status = bf_bed_local(iron_bed->bed, BF_IRON_LOOSE, deposits->loose, err);
    return status == BF_OK ? bf_bed_local(iron_bed->bed, BF_IRON_BOUND, deposits->bound, err)
                           : status;
}

bf_status bf__iron_bed_write(bf__iron_bed *iron_bed, const bf__deposits *deposits, bf_error *err)
{
    bf_status status = bf_bed_set_local(iron_bed->bed, BF_IRON_LOOSE, deposits->loose, err);
    return status == BF_OK ? bf_bed_set_local(iron_bed->bed, BF_IRON_BOUND, deposits->bound, err)
                           : status;
}
