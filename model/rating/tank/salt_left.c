/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Salt that a regeneration leaves behind.
 *
 *     left = sum over the steps of regeneration, over the cations, of (stored in bed and freeboard)
 *
 * Resin exchanges one equivalent for another and holds as many before as after: what is stored more
 * is in the water. It counts from the water that the service left, which has the feed's normality.
 * Not modelled here: salt inside the beads (co-ions), which rinses out after it.
 */
#include "brinefront/tank.h"

double bf_salt_left_eq_per_m3(const bf_recipe *recipe, const bf_cycle_result *cycle)
{
    double left = 0.0;
    for (size_t s = 0; s < cycle->step_count; s++) {
        for (size_t i = 0; i < BF_CATION_COUNT && !bf_step_serves(&recipe->step[s]); i++) {
            left += cycle->step[s].passage.stored_eq_per_m3[i];
        }
    }
    return left;
}
