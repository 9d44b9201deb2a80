/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Time, water and brine of a regeneration: what its steps need, summed, for a bed of this size.
 *
 * Source: time to saturate up to 3 h, depending on temperature: R. Slovak, WC&P, Mar 2004; no law
 * of it is known to us, so its bound is told.
 */
#include "rating/tank/regeneration_needs.h"

#include "brinefront/convert.h"

#include <math.h>

static const double longest_saturation_s = 3.0 * BF_S_PER_H;

bf_status bf__regeneration_needs_of(const bf_rating_spec *rating, bf__regeneration_needs *out,
                                    bf_error *err)
{
    const bf_recipe *recipe = &rating->recipe;
    const bf_site site = bf_rating_site(rating);
    const double area_m2 = bf_bed_area_m2(&rating->bed);
    const double resin_m3 = area_m2 * rating->bed.depth_m;
    bf_status status = BF_OK;
    *out = (bf__regeneration_needs){0};
    for (size_t s = 0; s < recipe->count && status == BF_OK; s++) {
        const bf_step *step = &recipe->step[s];
        bf_step_needs needs;
        if (bf_step_serves(step)) {
            continue;
        }
        status = step->type->needs(step, &site, &needs, err);
        if (status == BF_OK) {
            out->step_s[s] = needs.duration_s;
            out->duration_s += needs.duration_s;
            out->water_m3 += needs.water_bed_volumes;
            out->brine_m3 += needs.brine_bed_volumes;
            out->refill_m3 += needs.refill_bed_volumes;
            out->drain_m3_per_s = fmax(out->drain_m3_per_s, area_m2 * needs.drain_m_per_s);
        }
    }
    out->saturate_s = out->refill_m3 > 0.0 ? longest_saturation_s : 0.0;
    out->water_m3 *= resin_m3;
    out->brine_m3 *= resin_m3;
    out->refill_m3 *= resin_m3;
    return status;
}
