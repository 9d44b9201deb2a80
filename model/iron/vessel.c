/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "iron/vessel.h"

#include <stdlib.h>

static int rate(void *context, double time_s, const bf_cells *cells, const bf_rates *rates)
{
    const bf__vessel *vessel = context;
    return vessel->open ? vessel->term.rate(vessel->term.context, time_s, cells, rates) : 0;
}

static int slope(void *context, double time_s, const bf_cells *cells, double *const *block)
{
    const bf__vessel *vessel = context;
    return vessel->open ? vessel->term.slope(vessel->term.context, time_s, cells, block) : 0;
}

bf_status bf__vessel_create(const bf_bed_spec *bed, const bf_selectivity *selectivity,
                            const bf_ion_set *ions, const bf_iron_spec *iron,
                            const bf_iron_water *feed, bf__vessel **out, bf_error *err)
{
    *out = NULL;
    bf_bed_spec spec = *bed;
    bf_source gated;
    bf__vessel *made = calloc(1, sizeof *made);
    bf_status status =
        made != NULL ? BF_OK
                     : bf_error_set(err, BF_E_MEMORY, "bf_campaign_run", "no memory for a bed");
    if (status == BF_OK && feed != NULL) {
        status = bf_iron_source_create(iron, feed, bed, ions, &made->source, err);
        if (status == BF_OK) {
            made->term = bf_iron_source_term(made->source);
            gated = made->term;
            gated.context = made;
            gated.rate = rate;
            gated.slope = slope;
            spec.sources = &gated;
            spec.source_count = 1;
        }
    }
    if (status == BF_OK) {
        status = bf_bed_create(&spec, selectivity, &made->bed, err);
    }
    if (status == BF_OK) {
        *out = made;
        made = NULL;
    }
    bf__vessel_free(made);
    return status;
}

void bf__vessel_free(bf__vessel *vessel)
{
    if (vessel != NULL) {
        bf_bed_free(vessel->bed);
        bf_iron_source_free(vessel->source);
        free(vessel);
    }
}

bf_status bf__vessel_open(bf__vessel *vessel, double velocity_m_per_s, bf_error *err)
{
    vessel->open = 1;
    return bf_iron_source_set_velocity(vessel->source, velocity_m_per_s, err);
}

bf_status bf__vessel_read(const bf__vessel *vessel, bf__deposits *deposits, bf_error *err)
{
    bf_status status = bf_bed_local(vessel->bed, BF_IRON_LOOSE, deposits->loose, err);
    return status == BF_OK ? bf_bed_local(vessel->bed, BF_IRON_BOUND, deposits->bound, err)
                           : status;
}

bf_status bf__vessel_write(bf__vessel *vessel, const bf__deposits *deposits, bf_error *err)
{
    bf_status status = bf_bed_set_local(vessel->bed, BF_IRON_LOOSE, deposits->loose, err);
    return status == BF_OK ? bf_bed_set_local(vessel->bed, BF_IRON_BOUND, deposits->bound, err)
                           : status;
}
