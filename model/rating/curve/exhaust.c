/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A bed run on until it is exhausted, before it is regenerated: how published tests begin each run
 * (protocol.c). It is a service of another velocity whose end point is the step's
 * `stop_hardness_eq_per_m3`, and bf_step_service runs it. */
#include "brinefront/criteria.h"

#include <math.h>
#include <stdlib.h>

static bf_step as_service(const bf_step *step)
{
    bf_step inner = *step; /* keeps its own type, whose name stands in errors and results */
    inner.end_hardness_eq_per_m3 = step->stop_hardness_eq_per_m3;
    inner.stop_hardness_eq_per_m3 = (double)NAN;
    return inner;
}

static bf_status check_exhaust(const bf_step *step, bf_error *err)
{
    const bf_step inner = as_service(step);
    if (!(step->stop_hardness_eq_per_m3 > 0.0 && isfinite(step->stop_hardness_eq_per_m3))) {
        return bf_error_set(err, BF_E_RANGE, step->type->name,
                            "the hardness at which the bed counts as exhausted is %g eq/m3; it "
                            "must be above zero",
                            step->stop_hardness_eq_per_m3);
    }
    return bf_step_service.check(&inner, err);
}

/* Hardness of the water in the last cell the flow passes, which is what leaves next. */
static bf_status at_the_exit(const bf_step *step, const bf_bed *bed, double *eq_per_m3,
                             bf_error *err)
{
    const size_t cells = bf_bed_cell_count(bed);
    double *pore = malloc(cells * sizeof *pore);
    if (pore == NULL) {
        return bf_error_set(err, BF_E_MEMORY, step->type->name, "no memory for a profile");
    }
    *eq_per_m3 = 0.0;
    for (size_t i = 0; i < BF_CATION_COUNT; i++) {
        if (bf_ion_is_hardness((bf_ion)i)) {
            bf_bed_profile(bed, (bf_ion)i, NULL, pore);
            *eq_per_m3 += pore[step->direction == BF_FLOW_DOWN ? cells - 1 : 0];
        }
    }
    free(pore);
    return BF_OK;
}

static bf_status run_exhaust(const bf_step *step, const bf_site *site, bf_bed *bed,
                             bf_step_result *out, bf_error *err)
{
    const bf_step inner = as_service(step);
    double leaves_eq_per_m3 = 0.0;
    bf_status status = at_the_exit(step, bed, &leaves_eq_per_m3, err);
    if (status != BF_OK) {
        return status;
    }
    /* A service stops where the effluent RISES through its end point: it would not stop on a bed
     * that is past it. */
    *out = (bf_step_result){.name = step->type->name, .depth_ratio = 1.0};
    if (leaves_eq_per_m3 < step->stop_hardness_eq_per_m3) {
        status = bf_step_service.run(&inner, site, bed, out, err);
        out->counted = (bf_passage){0};
    }
    return status;
}

static bf_status needs_exhaust(const bf_step *step, const bf_site *site, bf_step_needs *out,
                               bf_error *err)
{
    const bf_step inner = as_service(step);
    return bf_step_service.needs(&inner, site, out, err);
}

const bf_step_type bf_step_exhaust = {
    .name = "exhaust",
    .word = "exhaust",
    .role = BF_ROLE_EXHAUST,
    .scaling = BF_SCALES_WITH_BED,
    .fields = BF_STEP_VELOCITY | BF_STEP_VOLUME | BF_STEP_SUPPLY | BF_STEP_DIRECTION,
    .check = check_exhaust,
    .needs = needs_exhaust,
    .run = run_exhaust,
};
