/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How unevenly water runs through a bed: beds of equal cross-section at quantiles of a normal
 * distribution of velocities, and a ring at the wall.
 *
 * Quantiles at the middles of equal shares, z_k = Phi^-1((k + 1/2)/n), have the mean 0 but a spread
 * below 1 (0.67 for two, 0.94 for nine). They are scaled to the spread asked for, so that mean and
 * standard deviation are right for any number of beds.
 *
 * Wall. Beads cannot lie closer to a wall than it lets them: the void at a distance s from it is
 *
 *     e(s) = e (1 + 1.36 exp(-5 s/d))
 *
 * (Giese, Rottschaefer & Vortmeyer, AIChE J. 44 (1998) 484; Winterberg & Tsotsas, AIChE J. 46
 * (2000) 1084; coefficients checked against public uses of them, papers from memory). Its mean over
 * a ring as wide as a bead is e_w = e (1 + 1.36 (1 - exp(-5))/5), 1.27 e. The wall itself holds the
 * water back: it adds to the surface S on which water rubs,
 *
 *     S = 6 (1 - e)/d inside,    S_w = 6 (1 - e_w)/d + D/((D - d) d) in the ring,
 *
 * as Carman (Trans. Inst. Chem. Eng. 15 (1937) 150) and Mehta & Hawley (Ind. Eng. Chem. Process
 * Des. Dev. 8 (1969) 280; from memory) do for a whole column. At one pressure gradient, water being
 * slow (below Re 10),
 *
 *     u_w/u = (e_w/e)^3 (S/S_w)^2,    1.69 for e = 0.38.
 *
 * That ring is no bed of its own: on its way through the depth L water crosses sideways over
 *
 *     w = sqrt(2 D_T t) = sqrt(2 d L/Pe_T),    Pe_T = u d/D_T = 12
 *
 * (u in the pores; Delgado, Heat Mass Transfer 42 (2006) 279, limit for fast flow, number from
 * memory; in water at Re 1 to 5 Pe_T is larger by a factor of 2 or 3, w smaller by its root). That
 * is 9 mm at 0.76 m, fifteen beads. The bed at the wall is as wide as that, and the ring's excess
 * of water is spread over it. As a bed of its own the ring alone would double the leakage of a
 * vessel of 0.26 m and take a third off the capacity of one of 52 mm, which is why it is not.
 *
 * Assumed: beads of one size, smooth wall. Not modelled here: that the ring also holds less resin
 * (by a sixth), and that beads of several sizes fill it better.
 */
#include "brinefront/parallel_beds.h"

#include <gsl/gsl_cdf.h>
#include <math.h>

bf_uneven_flow bf_uneven_flow_default(void)
{
    return (bf_uneven_flow){.beds = 1};
}

/* Share of the cross-section within a distance of the wall. */
static double share_within(double distance_m, double diameter_m)
{
    const double core = fmax(1.0 - 2.0 * distance_m / diameter_m, 0.0);
    return 1.0 - core * core;
}

void bf_uneven_flow_wall(const bf_bed_spec *bed, bf_uneven_flow *out)
{
    const double bead_m = bed->resin.bead_diameter_m;
    const double inside = bed->resin.void_fraction;
    const double ring = inside * (1.0 + 1.36 * (1.0 - exp(-5.0)) / 5.0);
    const double narrow = bed->diameter_m / fmax(bed->diameter_m - bead_m, bead_m);
    const double surface = 6.0 * (1.0 - inside) / (6.0 * (1.0 - ring) + narrow);
    const double faster = pow(ring / inside, 3.0) * surface * surface;
    const double width_m = fmax(sqrt(2.0 * bead_m * bed->depth_m / 12.0), bead_m);
    const double excess = share_within(bead_m, bed->diameter_m) * fmax(faster - 1.0, 0.0);
    out->wall_share = fmin(share_within(width_m, bed->diameter_m), 0.5);
    out->wall_excess = fmin(excess / out->wall_share, 1.0);
}

bf_status bf_uneven_flow_check(const bf_uneven_flow *uneven, bf_error *err)
{
    const char *where = "bf_uneven_flow";
    if (uneven->beds < 1 || uneven->beds > BF_PARALLEL_BEDS) {
        return bf_error_set(err, BF_E_RANGE, where, "%zu beds side by side; accepted are 1 to %d",
                            uneven->beds, BF_PARALLEL_BEDS);
    }
    if (!(uneven->velocity_spread >= 0.0 && uneven->velocity_spread <= 0.3)) {
        return bf_error_set(err, BF_E_RANGE, where,
                            "spread of the velocities is %g of their mean; accepted are 0 to 0.3",
                            uneven->velocity_spread);
    }
    if (uneven->velocity_spread > 0.0 && uneven->beds < 2) {
        return bf_error_set(err, BF_E_RANGE, where,
                            "one bed has no spread of velocities; take two beds or more");
    }
    if (!(uneven->wall_share >= 0.0 && uneven->wall_share <= 0.5)) {
        return bf_error_set(err, BF_E_RANGE, where,
                            "share of the cross-section at the wall is %g; accepted are 0 to 0.5",
                            uneven->wall_share);
    }
    if (!(uneven->wall_excess >= 0.0 && uneven->wall_excess <= 1.0)) {
        return bf_error_set(err, BF_E_RANGE, where,
                            "water at the wall is faster by %g of the velocity inside; accepted "
                            "are 0 to 1",
                            uneven->wall_excess);
    }
    return BF_OK;
}

size_t bf_uneven_flow_beds(const bf_uneven_flow *uneven, double *share, double *velocity)
{
    const size_t inside = uneven->beds;
    const size_t count = uneven->wall_share > 0.0 ? inside + 1 : inside;
    double quantile[BF_PARALLEL_BEDS];
    double square = 0.0;
    for (size_t k = 0; k < inside; k++) {
        quantile[k] = gsl_cdf_ugaussian_Pinv(((double)k + 0.5) / (double)inside);
        square += quantile[k] * quantile[k] / (double)inside;
    }
    const double scale = square > 0.0 ? uneven->velocity_spread / sqrt(square) : 0.0;
    double mean = 0.0;
    for (size_t k = 0; k < count; k++) {
        const int at_wall = k == inside;
        share[k] = at_wall ? uneven->wall_share : (1.0 - uneven->wall_share) / (double)inside;
        velocity[k] = at_wall ? 1.0 + uneven->wall_excess : 1.0 + scale * quantile[k];
        mean += share[k] * velocity[k];
    }
    for (size_t k = 0; k < count; k++) {
        velocity[k] /= mean;
    }
    return count;
}
