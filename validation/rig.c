/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Builds a bed for a comparison, runs it, reads its effluent; walks over the
 * cases of the project. */
#include "rig.h"

#include <dirent.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

bf_bed_spec rig_bed_spec(bf_rate_law law, size_t cells, size_t shells)
{
    bf_bed_spec spec = bf_bed_spec_default();
    spec.freeboard_m = 0.0;
    spec.resin.bead_diameter_m = 0.6e-3; /* closed forms are of beads of one size */
    spec.resin.uniformity_coefficient = 1.0;
    spec.dispersion_m2_per_s = 0.0;
    spec.rate_law = law;
    spec.cells = cells;
    spec.shells = shells;
    spec.relative_tolerance = 1e-8;
    spec.hardness_tolerance_eq_per_m3 = 1e-8;
    for (size_t i = 0; i < BF_CATION_COUNT; i++) {
        spec.resin.activation_J_per_mol[i] = 0.0;
    }
    return spec;
}

bf_selectivity_spec rig_pair(bf_equilibrium_law law, bf_ion ion, double constant)
{
    bf_selectivity_spec spec = {.law = law,
                                .ions = {.count = 1, .ion = {ion}},
                                .total_capacity_eq_per_m3 = 2000.0,
                                .temperature_K = 293.15};
    spec.constant[ion] = constant;
    return spec;
}

bf_status rig_build(const bf_selectivity_spec *equilibrium, const bf_bed_spec *spec, rig *out,
                    bf_error *err)
{
    bf_status status = bf_selectivity_create(equilibrium, &out->selectivity, err);
    if (status == BF_OK) {
        status = bf_bed_create(spec, out->selectivity, &out->bed, err);
    }
    return status;
}

void rig_free(rig *bed)
{
    bf_bed_free(bed->bed);
    bf_selectivity_free(bed->selectivity);
    *bed = (rig){0};
}

bf_flow rig_flow(double velocity_m_per_s, double duration_s)
{
    bf_flow flow = {.direction = BF_FLOW_DOWN,
                    .velocity_m_per_s = velocity_m_per_s,
                    .duration_s = duration_s,
                    .fluid = {.density_kg_per_m3 = 998.2, .viscosity_Pa_s = 1.002e-3},
                    .end_hardness_eq_per_m3 = (double)NAN};
    return flow;
}

typedef struct last {
    bf_ion ion;
    double value;
} last;

static void keep(void *context, const bf_moment *moment)
{
    last *record = context;
    record->value = moment->effluent_eq_per_m3[record->ion];
}

bf_status rig_exits(bf_bed *bed, bf_flow *flow, bf_ion ion, size_t count, const double *time_s,
                    double *exit_eq_per_m3, bf_error *err)
{
    bf_status status = BF_OK;
    last record = {.ion = ion, .value = (double)NAN};
    flow->observe = keep;
    flow->context = &record;
    for (size_t i = 0; i < count && status == BF_OK; i++) {
        bf_passage passage;
        flow->duration_s = time_s[i] - (i > 0 ? time_s[i - 1] : 0.0);
        status = bf_bed_run(bed, flow, &passage, err);
        exit_eq_per_m3[i] = record.value;
    }
    return status;
}

static int is_case(const struct dirent *entry)
{
    const char *end = strrchr(entry->d_name, '.');
    return end != NULL && strcmp(end, ".yaml") == 0;
}

bf_status rig_every_case(bf_status (*look)(const char *name, void *context, bf_error *err),
                         void *context, size_t *count, bf_error *err)
{
    struct dirent **found = NULL;
    bf_status status = BF_OK;
    int all = scandir(BF_SOURCE_DIR "/cases", &found, is_case, alphasort);
    *count = 0;
    if (all <= 0) {
        return bf_error_set(err, BF_E_FILE, "cases/", "no case was found");
    }
    for (int n = 0; n < all; n++) {
        if (status == BF_OK) {
            status = look(found[n]->d_name, context, err);
            (*count)++;
        }
        free(found[n]);
    }
    free(found);
    return status;
}
