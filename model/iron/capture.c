/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A bed of resin as a filter for ferric floc.
 *
 *     u dp/dz = -lambda u p          p = p0 exp(-lambda L)
 *     lambda = lambda0 (d0/d)^m (u0/u)^n,   d0 = 0.6 mm, u0 = 12 m/h
 *
 * p suspended iron, z and L depth m, lambda 1/m, d bead diameter m, u superficial velocity m/s.
 * lambda0, m and n are derived, not measured: lambda0 from what resin beds are said to hold back
 * (10 to 90 %, mostly 25 to 75 %, fine mesh more: Meyers, Water Cond. Purif. Feb. 2020), read as
 * 0.76 m of bed; m and n from clean-bed filtration theory (Tufenkji & Elimelech 2004) for floc of
 * 0.5 to 10 um. That theory with every collision sticking lands in the range of lambda0; how many
 * do stick is unknown.
 * Range: beads 0.3 to 1 mm, 5 to 50 m/h.
 * Not modelled here: floc size (inside lambda0), ripening, detachment, straining.
 */
#include "brinefront/fouling.h"

#include <math.h>

double bf_iron_filter_per_m(const bf_iron_spec *spec, double bead_diameter_m,
                            double velocity_m_per_s)
{
    /* d0 and u0, where lambda0 is stated. */
    const double bead_m = 0.6e-3;
    const double velocity = 12.0 / 3600.0;
    return spec->filter_per_m * pow(bead_m / bead_diameter_m, spec->filter_size_exponent) *
           pow(velocity / velocity_m_per_s, spec->filter_velocity_exponent);
}

double bf_iron_captured(double filter_per_m, double depth_m)
{
    return -expm1(-filter_per_m * depth_m);
}

double bf_iron_filter_of_share(double share, double depth_m)
{
    return -log1p(-share) / depth_m;
}
