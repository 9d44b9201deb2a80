/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Raw water let past the bed: the share s of a blend s feed + (1 - s) leakage = wanted. Assumes a
 * leakage that stays as it is: while the run goes on it does not, and the mean is what counts.
 */
#include "brinefront/convert.h"
#include "brinefront/tank.h"

bf_status bf_blend_share(double feed_eq_per_m3, double leakage_eq_per_m3, double wanted_eq_per_m3,
                         double *share, bf_error *err)
{
    const int in_order = leakage_eq_per_m3 >= 0.0 && leakage_eq_per_m3 <= wanted_eq_per_m3 &&
                         wanted_eq_per_m3 <= feed_eq_per_m3 && leakage_eq_per_m3 < feed_eq_per_m3;
    if (!in_order) {
        const double mg_per_L = BF_G_CACO3_PER_EQ;
        return bf_error_set(
            err, BF_E_RANGE, "bf_blend_share",
            "a blend of %.4g mg/L (%.4g gpg) cannot be had from a feed of %.4g mg/L (%.4g gpg) and "
            "softened water of %.4g mg/L (%.4g gpg): it must lie between the two",
            mg_per_L * wanted_eq_per_m3, wanted_eq_per_m3 / BF_EQ_PER_M3_PER_GPG,
            mg_per_L * feed_eq_per_m3, feed_eq_per_m3 / BF_EQ_PER_M3_PER_GPG,
            mg_per_L * leakage_eq_per_m3, leakage_eq_per_m3 / BF_EQ_PER_M3_PER_GPG);
    }
    *share = (wanted_eq_per_m3 - leakage_eq_per_m3) / (feed_eq_per_m3 - leakage_eq_per_m3);
    return BF_OK;
}
