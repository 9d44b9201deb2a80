/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Diffusion inside a bead (Nernst-Planck, no net current, no co-ions).
 *
 *     N_i = -Q_b D_i (dy_i/dr + z_i y_i psi),   psi = -sum D_k dy_k/dr / sum z_k D_k y_k
 *
 * N_i flux of ion i, eq/(m2 s); Q_b capacity per bead volume, eq/m3; y_i equivalent fraction; D_i
 * self-diffusivity in the bead, m2/s; z_i charge; r radius, m. The sums run over all counter-ions
 * with Na, so sum N = 0: capacity stays constant and the bead neutral.
 *
 * Discretisation: M concentric shells of equal volume. The node of the outermost shell lies ON the
 * bead surface, where it meets the film; the node of an inner shell at the middle of its radii,
 * that of the core at 0.75 of its radius. Between two nodes the gradient is a difference and y in
 * the migration term the mean of the two, taken as zero where it is negative: mobility of nothing
 * is nothing, and the denominator stays above the least z D. Measured order in M: 2 for a bead
 * whose surface is held, near 3 for the capacity of a cycle (docs/decisions/grid.md).
 *
 * With face radius r_f, node distance d_f and shell volume V/M, the shells exchange
 *     dy_m/dt = +w_f Phi, dy_(m+1)/dt = -w_f Phi,   w_f = 3 M r_f^2/(R^3 d_f)
 *     Phi_i = D_i [(y_out,i - y_in,i) + z_i h_i P],  P = -sum D_k (y_out,k - y_in,k)/sum z_k D_k
 * h_k
 *
 * Source: Helfferich & Plesset, J. Chem. Phys. 28 (1958) 418 for the equations.
 * Not modelled here: co-ion uptake, swelling, bead size distribution.
 */
#include "resin/bead.h"

#include <math.h>

void bf__bead_face_weights(size_t shells, double bead_diameter_m, double *weight)
{
    const double radius = 0.5 * bead_diameter_m;
    const double count = (double)shells;
    for (size_t m = 0; m + 1 < shells; m++) {
        double inside = radius * cbrt((double)m / count);
        double face = radius * cbrt((double)(m + 1) / count);
        double outside = radius * cbrt((double)(m + 2) / count);
        double inner_node = m == 0 ? 0.75 * face : 0.5 * (inside + face);
        double outer_node = m + 2 == shells ? radius : 0.5 * (face + outside);
        weight[m] =
            3.0 * count * face * face / (radius * radius * radius * (outer_node - inner_node));
    }
}

/* P, sum z D h, and h of Na at the face. */
typedef struct face {
    double *pull;      /* P */
    double *mobility;  /* sum z D h */
    double *rest_mean; /* 1 - sum of means: h of Na before the cut at zero */
} face;

static void find_face(size_t count, size_t n, size_t stride, const double *diffusivity,
                      const double *charge, const double *inner, const double *outer, face at)
{
    double *restrict pull = at.pull;
    double *restrict mobility = at.mobility;
    double *restrict rest = at.rest_mean;
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
            mobility[p] += drift * fmax(mean, 0.0);
            rest[p] -= mean;
        }
    }
    const double drift = charge[count] * sodium;
    for (size_t p = 0; p < n; p++) {
        mobility[p] += drift * fmax(rest[p], 0.0);
        pull[p] /= mobility[p];
    }
}

void bf__bead_flux(size_t count, size_t n, size_t stride, const double *diffusivity,
                   const double *charge, const double *inner, const double *outer, double *work,
                   double *flux)
{
    face at = {.pull = work, .mobility = work + stride, .rest_mean = work + 2 * stride};
    find_face(count, n, stride, diffusivity, charge, inner, outer, at);
    const double *restrict pull = at.pull;
    for (size_t i = 0; i < count; i++) {
        const double *restrict in = inner + i * stride;
        const double *restrict out = outer + i * stride;
        double *restrict to = flux + i * stride;
        const double own = diffusivity[i];
        const double valence = charge[i];
        for (size_t p = 0; p < n; p++) {
            double mean = fmax(0.5 * (in[p] + out[p]), 0.0);
            to[p] = own * (out[p] - in[p] + valence * mean * pull[p]);
        }
    }
}

void bf__bead_flux_slope(size_t count, size_t n, size_t stride, const double *diffusivity,
                         const double *charge, const double *inner, const double *outer,
                         double *work, double *by_inner, double *by_outer)
{
    face at = {.pull = work, .mobility = work + stride, .rest_mean = work + 2 * stride};
    find_face(count, n, stride, diffusivity, charge, inner, outer, at);
    const double *restrict pull = at.pull;
    const double *restrict mobility = at.mobility;
    const double *restrict rest = at.rest_mean;
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
                double h = fmax(mean_i, 0.0);
                double mobile_i = mean_i > 0.0 ? 1.0 : 0.0;
                double mean_k = 0.5 * (in_k[p] + out_k[p]);
                double drift_k = mean_k > 0.0 ? drift : 0.0;
                double drift_rest = rest[p] > 0.0 ? sodium_drift : 0.0;
                double pull_by_difference = -excess / mobility[p];
                double pull_by_mean = -pull[p] * (drift_k - drift_rest) / mobility[p];
                double by_difference = own * (same + valence * h * pull_by_difference);
                double by_mean = own * valence * (same * mobile_i * pull[p] + h * pull_by_mean);
                to_outer[p] = 0.5 * by_mean + by_difference;
                to_inner[p] = 0.5 * by_mean - by_difference;
            }
        }
    }
}
