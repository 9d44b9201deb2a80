/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Bead sizes, log-normal by volume:
 *
 *     ln d ~ N(ln d_50, s^2),   UC = d_60/d_10 = exp(s (z_60 - z_10)),   z_60 - z_10 = 1.534899
 *     d_k = c exp(s x_k), share w_k;  x_k, w_k the K nodes of Gauss-Hermite;  sum w_k/d_k = 1/d_32
 *
 * K classes give every mean of a power of d as 2K - 1 terms of its series in s do: for UC 1.6 three
 * are within 0.2 % of the mean of d^2, which sets how long beads take. c, not d_50, is chosen, so
 * that the surface per volume is exactly that of the resin's mean diameter d_32.
 *
 * UC: uniformity coefficient, the sieve opening that passes 60 % over that which passes 10 % (from
 * memory; by volume here). Standard 16-50 mesh resin has 1.6 (Wirth, WC&P, Feb 2022), at most 1.7
 * to 1.9 (data sheets named in validation/published/sensitivity/physics.md); beads made in one size
 * 1.1 (from memory). That the sizes are log-normal is assumed. Range 1 .. 2.5.
 * Source: nodes and weights: roots in closed form of the Hermite polynomials for exp(-x^2/2); as
 * Abramowitz & Stegun (1964) Table 25.10 has them for exp(-x^2) (from memory).
 * Left out: the cut at the sieves on both ends; sorting by size in a backwash.
 */
#include "resin/bead_sizes.h"

#include <math.h>

static const struct {
    double node[BF_BEAD_CLASSES], weight[BF_BEAD_CLASSES];
} hermite[BF_BEAD_CLASSES] = {
    {{0.0}, {1.0}},
    {{-1.0, 1.0}, {0.5, 0.5}},
    {{-1.7320508075688772, 0.0, 1.7320508075688772}, {1.0 / 6.0, 2.0 / 3.0, 1.0 / 6.0}},
    {{-2.3344142183389773, -0.7419637843027258, 0.7419637843027258, 2.3344142183389773},
     {0.04587585476806849, 0.4541241452319315, 0.4541241452319315, 0.04587585476806849}},
    {{-2.8569700138728056, -1.3556261799742659, 0.0, 1.3556261799742659, 2.8569700138728056},
     {0.011257411327720691, 0.22207592200561266, 8.0 / 15.0, 0.22207592200561266,
      0.011257411327720691}}};

void bf__bead_sizes(const bf_resin *resin, size_t classes, double *diameter_m, double *share)
{
    const double sixty_less_ten = 1.5348986689; /* z_60 - z_10, standard deviations */
    const double spread = log(resin->uniformity_coefficient) / sixty_less_ten;
    double surface = 0.0; /* of beads around a diameter of 1 */
    for (size_t k = 0; k < classes; k++) {
        share[k] = hermite[classes - 1].weight[k];
        surface += share[k] * exp(-spread * hermite[classes - 1].node[k]);
    }
    for (size_t k = 0; k < classes; k++) {
        diameter_m[k] =
            resin->bead_diameter_m * surface * exp(spread * hermite[classes - 1].node[k]);
    }
}
