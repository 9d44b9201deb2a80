/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Iron that arrives as floc, in a bed that runs: what it holds back over one service. */
#include "iron/trial.h"
#include "try.h"

#include "brinefront/convert.h"

#include <stdio.h>

/* Share of 3 mg/L of suspended iron, and nothing but, that a new bed keeps out of the product. */
static bf_status retention(double velocity_m_per_h, double bead_mm, double *share, bf_error *err)
{
    bf_campaign_spec spec;
    bf_campaign_cycle last;
    bf_status status = BF_OK;
    TRY(trial_spec(10.0, &spec, err));
    spec.ferric_share = 1.0;
    spec.oxygen_mol_per_m3 = 0.0;
    spec.brine_oxygen_mol_per_m3 = 0.0;
    spec.recipe.step[0].velocity_m_per_s = velocity_m_per_h / BF_S_PER_H;
    spec.bed.resin.bead_diameter_m = 1e-3 * bead_mm;
    spec.cycles = 1;
    TRY(trial_last(&spec, &last, err));
    *share = 1.0 - last.iron_mean_g_per_m3 / 3.0;
done:
    return status;
}

/* Run once for both rows: 12 and 24 m/h with 0.6 mm, then with 0.45 mm.
 * variant 0: shares, 1: what finer beads and a faster flow do. */
static bf_status floc(int variant, outcome *out, bf_error *err)
{
    static double share[4];
    static size_t done_before;
    bf_status status = BF_OK;
    for (; done_before < 4; done_before++) {
        TRY(retention(done_before % 2 == 0 ? 12.0 : 24.0, done_before < 2 ? 0.60 : 0.45,
                      &share[done_before], err));
    }
    if (variant == 0) {
        trial_add(out, "12 m/h typically", "25 to 75", "%", 100.0 * share[0]);
        trial_add(out, "24 m/h typically", "25 to 75", "%", 100.0 * share[1]);
        trial_add(out, "12 m/h", "10 to 90", "%", 100.0 * share[0]);
        trial_add(out, "24 m/h", "10 to 90", "%", 100.0 * share[1]);
    } else {
        trial_add(out, "beads of 0.45 over 0.6 mm at 12 m/h", ">= 1", "-",
                  trial_ratio(share[2], share[0]));
        trial_add(out, "beads of 0.45 over 0.6 mm at 24 m/h", ">= 1", "-",
                  trial_ratio(share[3], share[1]));
        trial_add(out, "24 over 12 m/h with 0.6 mm", "<= 1", "-", trial_ratio(share[1], share[0]));
        trial_add(out, "24 over 12 m/h with 0.45 mm", "<= 1", "-", trial_ratio(share[3], share[2]));
    }
done:
    return status;
}

const comparison iron_floc_comparisons[] = {
    {"floc", floc, 0}, {"floc_directions", floc, 1}, {NULL, NULL, 0}};
