/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Diffusion inside a bead (Nernst-Planck, no net current, no co-ions).
 *
 *     N_i = -Q_b D_i (dy_i/dr + z_i y_i psi),   psi = -sum D_k dy_k/dr / sum z_k D_k y_k
 *
 * N_i flux of ion i, eq/(m2 s); Q_b capacity per bead volume, eq/m3; y_i equivalent fraction; D_i
 * self-diffusivity in the bead, m2/s; z_i charge; r radius, m. The sums run over all counter-ions
 * with Na, so sum N = 0: capacity stays constant and the bead neutral.
 *
 * Discretisation: a chain of M shells, core first, the outermost lying on the bead surface, where
 * it meets the film. With volumes v_m (shares of the bead) and face weights w_m (1/m2)
 *
 *     v_m dy_m/dt = w_m Phi_m - w_(m-1) Phi_(m-1)
 *     Phi_i = D_i [(y_out,i - y_in,i) + z_i h_i P]
 *     P = -sum D_k (y_out,k - y_in,k)/sum z_k D_k h_k
 *
 * h is the mean of the two y, taken as zero where it is negative: mobility of nothing is nothing,
 * and the denominator stays above the least z D.
 *
 * BF_SHELLS_MATCHED. One ion of diffusivity D in a sphere of radius R, its surface held at
 * exp(s t D/R^2): the mean over the surface value is
 *
 *     Y(s) = 3 (sqrt(s) coth sqrt(s) - 1)/s = 3/(3 + s/(5 + s/(7 + s/(9 + ...))))
 *
 * Cut after 2M - 1 terms the fraction agrees with Y in its first 2M - 1 coefficients at s = 0. A
 * chain of M shells has a Y of just that form, and reading its volumes and weights off the cut
 * fraction is a second, finite continued fraction (Cauer's ladder, w in 1/R^2):
 *
 *     s Y = s v_(M-1) + 1/(1/w_(M-2) + 1/(s v_(M-2) + 1/(1/w_(M-3) + ...)))
 *
 * The outermost shell gets 3/(M (2M + 1)) of the volume, the others more the deeper they lie but
 * for the core; all volumes and weights are positive. Built in double precision to 3e-11 for
 * M = 16.
 *
 * BF_SHELLS_EQUAL. Shells of equal volume; node of an inner shell at the middle of its radii, that
 * of the core at 0.75 of its radius, where its mean radius is; w_m = 3 r_f^2/(R (distance of nodes)).
 *
 * Measured (docs/decisions/shells.md): capacity of a cycle off by 0.04 % with 3 matched shells, by
 * 1.1 % with 3 equal ones. A surface that jumps is met less well: the matched chain answers its
 * first moments only.
 *
 * Source: Helfferich & Plesset, J. Chem. Phys. 28 (1958) 418 for the equations.
 * Not modelled here: co-ion uptake, swelling, bead size distribution.
 */
#include "resin/bead.h"

#include "base/hot.h"
#include <math.h>
#include <string.h>

static void equal_ladder(size_t shells, double radius, double *volume, double *weight)
{
    const double count = (double)shells;
    for (size_t m = 0; m < shells; m++) {
        volume[m] = 1.0 / count;
    }
    for (size_t m = 0; m + 1 < shells; m++) {
        double inside = radius * cbrt((double)m / count);
        double face = radius * cbrt((double)(m + 1) / count);
        double outside = radius * cbrt((double)(m + 2) / count);
        double inner_node = m == 0 ? 0.75 * face : 0.5 * (inside + face);
        double outer_node = m + 2 == shells ? radius : 0.5 * (face + outside);
        weight[m] = 3.0 * face * face / (radius * radius * radius * (outer_node - inner_node));
    }
}

enum { POWERS = BF__BEAD_SHELLS_MAX + 1 };

/* Numerator and denominator of Y cut after `terms` terms, coefficient of s^k at [k]. Convergents of
 * 3/(3 + s/(5 + s/(7 + ...))) follow A_j = (2j + 1) A_(j-1) + s A_(j-2), the first numerator being
 * 3: all terms positive, so nothing cancels. */
static void cut_fraction(size_t terms, double *numerator, double *denominator)
{
    double before_n[POWERS] = {0.0};
    double before_d[POWERS] = {1.0};
    memset(numerator, 0, POWERS * sizeof *numerator);
    memset(denominator, 0, POWERS * sizeof *denominator);
    numerator[0] = 3.0; /* after the first term: 3/3 */
    denominator[0] = 3.0;
    for (size_t j = 2; j <= terms; j++) {
        const double b = (double)(2 * j + 1);
        double next_n[POWERS];
        double next_d[POWERS];
        for (size_t k = 0; k < POWERS; k++) {
            next_n[k] = b * numerator[k] + (k > 0 ? before_n[k - 1] : 0.0);
            next_d[k] = b * denominator[k] + (k > 0 ? before_d[k - 1] : 0.0);
        }
        memcpy(before_n, numerator, sizeof before_n);
        memcpy(before_d, denominator, sizeof before_d);
        memcpy(numerator, next_n, sizeof next_n);
        memcpy(denominator, next_d, sizeof next_d);
    }
}

static void matched_ladder(size_t shells, double radius, double *volume, double *weight)
{
    double numerator[POWERS];
    double rest[POWERS];        /* of s Y: what is not yet read off, over ... */
    double denominator[POWERS]; /* ... this */
    cut_fraction(2 * shells - 1, numerator, denominator);
    rest[0] = 0.0;
    for (size_t k = 0; k < shells; k++) {
        rest[k + 1] = numerator[k];
    }
    for (size_t degree = shells; degree > 0; degree--) {
        double v = rest[degree] / denominator[degree - 1];
        volume[degree - 1] = v;
        if (degree == 1) {
            break;
        }
        for (size_t k = 1; k < degree; k++) {
            rest[k] -= v * denominator[k - 1];
        }
        double resistance = denominator[degree - 1] / rest[degree - 1];
        weight[degree - 2] = 1.0 / (resistance * radius * radius);
        for (size_t k = 0; k + 1 < degree; k++) {
            denominator[k] -= resistance * rest[k];
        }
    }
}

void bf__bead_ladder(bf_shell_law law, size_t shells, double bead_diameter_m, double *volume,
                     double *weight)
{
    if (law == BF_SHELLS_EQUAL) {
        equal_ladder(shells, 0.5 * bead_diameter_m, volume, weight);
    } else {
        matched_ladder(shells, 0.5 * bead_diameter_m, volume, weight);
    }
}

/* fmax() minds NaN and is a call; this one the compiler vectorises. */
static inline double positive(double value)
{
    return value > 0.0 ? value : 0.0;
}

/* P, 1/sum z D h, and h of Na at the face. */
typedef struct face {
    double *pull;         /* P */
    double *per_mobility; /* 1/sum z D h */
    double *rest_mean;    /* 1 - sum of means: h of Na before the cut at zero */
} face;

static void find_face(size_t count, size_t n, size_t stride, const double *diffusivity,
                      const double *charge, const double *inner, const double *outer, face place)
{
    double *restrict pull = place.pull;
    double *restrict mobility = place.per_mobility; /* until the last line */
    double *restrict rest = place.rest_mean;
    const double sodium = diffusivity[count];
    for (size_t p = 0; p < n; p++) {
        pull[p] = 0.0;
        mobility[p] = 0.0;
        rest[p] = 1.0;
    }
    for (size_t k = 0; k < count; k++) {
        const double *restrict in = inner + k * stride;
        const double *restrict out = outer + k * stride;
        const double excess = diffusivity[k] - sodium;
        const double drift = charge[k] * diffusivity[k];
        for (size_t p = 0; p < n; p++) {
            double mean = 0.5 * (in[p] + out[p]);
            pull[p] -= excess * (out[p] - in[p]);
            mobility[p] += drift * positive(mean);
            rest[p] -= mean;
        }
    }
    const double drift = charge[count] * sodium;
    for (size_t p = 0; p < n; p++) {
        mobility[p] = 1.0 / (mobility[p] + drift * positive(rest[p]));
        pull[p] *= mobility[p];
    }
}

BF__HOT void bf__bead_flux(size_t count, size_t n, size_t stride, const double *diffusivity,
                           const double *charge, const double *inner, const double *outer,
                           double *work, double *flux)
{
    face place = {.pull = work, .per_mobility = work + stride, .rest_mean = work + 2 * stride};
    find_face(count, n, stride, diffusivity, charge, inner, outer, place);
    const double *restrict pull = place.pull;
    for (size_t i = 0; i < count; i++) {
        const double *restrict in = inner + i * stride;
        const double *restrict out = outer + i * stride;
        double *restrict result = flux + i * stride;
        const double own = diffusivity[i];
        const double valence = charge[i];
        for (size_t p = 0; p < n; p++) {
            double mean = positive(0.5 * (in[p] + out[p]));
            result[p] = own * (out[p] - in[p] + valence * mean * pull[p]);
        }
    }
}

BF__HOT void bf__bead_flux_slope(size_t count, size_t n, size_t stride, const double *diffusivity,
                                 const double *charge, const double *inner, const double *outer,
                                 double *work, double *by_inner, double *by_outer)
{
    face place = {.pull = work, .per_mobility = work + stride, .rest_mean = work + 2 * stride};
    find_face(count, n, stride, diffusivity, charge, inner, outer, place);
    const double *restrict pull = place.pull;
    const double *restrict per_mobility = place.per_mobility;
    const double *restrict rest = place.rest_mean;
    const double sodium = diffusivity[count];
    const double sodium_drift = charge[count] * sodium;
    for (size_t i = 0; i < count; i++) {
        const double *restrict in_i = inner + i * stride;
        const double *restrict out_i = outer + i * stride;
        const double own = diffusivity[i];
        const double valence = charge[i];
        for (size_t k = 0; k < count; k++) {
            const double *restrict in_k = inner + k * stride;
            const double *restrict out_k = outer + k * stride;
            double *restrict to_inner = by_inner + (i * count + k) * stride;
            double *restrict to_outer = by_outer + (i * count + k) * stride;
            const double excess = diffusivity[k] - sodium;
            const double drift = charge[k] * diffusivity[k];
            const double same = i == k ? 1.0 : 0.0;
            for (size_t p = 0; p < n; p++) {
                double mean_i = 0.5 * (in_i[p] + out_i[p]);
                double h = positive(mean_i);
                double mobile_i = mean_i > 0.0 ? 1.0 : 0.0;
                double mean_k = 0.5 * (in_k[p] + out_k[p]);
                double drift_k = mean_k > 0.0 ? drift : 0.0;
                double drift_rest = rest[p] > 0.0 ? sodium_drift : 0.0;
                double pull_by_difference = -excess * per_mobility[p];
                double pull_by_mean = -pull[p] * (drift_k - drift_rest) * per_mobility[p];
                double by_difference = own * (same + valence * h * pull_by_difference);
                double by_mean = own * valence * (same * mobile_i * pull[p] + h * pull_by_mean);
                to_outer[p] = 0.5 * by_mean + by_difference;
                to_inner[p] = 0.5 * by_mean - by_difference;
            }
        }
    }
}
