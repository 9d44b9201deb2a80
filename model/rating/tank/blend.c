/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Raw water let past the bed: the share s of a blend s feed + (1 - s) leakage = wanted. Assumes a
 * leakage that stays as it is: while the run goes on it does not, and the mean is what counts.
 */
#include "brinefront/tank.h"
#include "rating/practice/both_units.h"

bf_status bf_blend_share(double feed_eq_per_m3, double leakage_eq_per_m3, double wanted_eq_per_m3,
                         double *share, bf_error *err)
{
    const int in_order = leakage_eq_per_m3 >= 0.0 && leakage_eq_per_m3 <= wanted_eq_per_m3 &&
                         wanted_eq_per_m3 <= feed_eq_per_m3 && leakage_eq_per_m3 < feed_eq_per_m3;
    if (!in_order) {
        return bf_error_set(
            err, BF_E_RANGE, "bf_blend_share",
            "a blend of %s cannot be had from a feed of %s and softened water of %s: it must lie "
            "between the two",
            bf__both(BF__QUANTITY_SETTING, wanted_eq_per_m3).text,
            bf__both(BF__QUANTITY_SETTING, feed_eq_per_m3).text,
            bf__both(BF__QUANTITY_SETTING, leakage_eq_per_m3).text);
    }
    *share = (wanted_eq_per_m3 - leakage_eq_per_m3) / (feed_eq_per_m3 - leakage_eq_per_m3);
    return BF_OK;
}
