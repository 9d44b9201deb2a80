/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Classes of bead sizes against the log-normal distribution itself: its means in closed form,
 * <d^n> = d_50^n exp(n^2 s^2/2) by volume, and its quantiles by GSL. */
#include "resin/bead_sizes.h"
#include "support.h"

#include <gsl/gsl_cdf.h>
#include <math.h>

START_TEST(the_surface_is_kept_and_shares_add_up)
{
    for (size_t classes = 1; classes <= BF_BEAD_CLASSES; classes++) {
        bf_resin resin = bf_resin_gel_8();
        double diameter_m[BF_BEAD_CLASSES];
        double share[BF_BEAD_CLASSES];
        resin.bead_diameter_m = 0.573e-3;
        resin.uniformity_coefficient = 1.71;
        bf__bead_sizes(&resin, classes, diameter_m, share);
        double sum = 0.0;
        double surface = 0.0;
        for (size_t k = 0; k < classes; k++) {
            ck_assert_double_gt(share[k], 0.0);
            ck_assert(k == 0 || diameter_m[k] > diameter_m[k - 1]);
            sum += share[k];
            surface += share[k] / diameter_m[k];
        }
        assert_near(sum, 1.0, 1e-14);                /* rounding */
        assert_near(1.0 / surface, 0.573e-3, 1e-14); /* rounding */
    }
}
END_TEST

/* <d^2>/d_32^2 = exp(3 s^2) and <1/d^2> d_32^2 = exp(s^2), s from GSL's quantiles; K nodes give the
 * series to s^(2K - 1), so the misses fall with K. */
START_TEST(means_are_those_of_the_distribution)
{
    bf_resin resin = bf_resin_gel_8();
    resin.uniformity_coefficient = 1.6;
    double s = log(1.6) / (gsl_cdf_ugaussian_Pinv(0.60) - gsl_cdf_ugaussian_Pinv(0.10));
    const double allowed[] = {1.0, 0.04, 2e-3, 1e-4, 3e-6}; /* the next term, (2 s)^2K/(2K)!.. */
    for (size_t classes = 2; classes <= BF_BEAD_CLASSES; classes++) {
        double diameter_m[BF_BEAD_CLASSES];
        double share[BF_BEAD_CLASSES];
        double square = 0.0;
        double inverse_square = 0.0;
        bf__bead_sizes(&resin, classes, diameter_m, share);
        for (size_t k = 0; k < classes; k++) {
            double ratio = diameter_m[k] / resin.bead_diameter_m;
            square += share[k] * ratio * ratio;
            inverse_square += share[k] / (ratio * ratio);
        }
        assert_near(square, exp(3.0 * s * s), allowed[classes - 1]);
        assert_near(inverse_square, exp(s * s), allowed[classes - 1]);
    }
}
END_TEST

START_TEST(beads_of_one_size_are_of_one_size)
{
    bf_resin resin = bf_resin_gel_8();
    double diameter_m[BF_BEAD_CLASSES];
    double share[BF_BEAD_CLASSES];
    resin.uniformity_coefficient = 1.0;
    bf__bead_sizes(&resin, 4, diameter_m, share);
    for (size_t k = 0; k < 4; k++) {
        assert_near(diameter_m[k], resin.bead_diameter_m, 1e-14);
    }
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {the_surface_is_kept_and_shares_add_up,
                                  means_are_those_of_the_distribution,
                                  beads_of_one_size_are_of_one_size};
    return support_run("resin.bead_sizes", tests, sizeof tests / sizeof *tests, 30);
}
