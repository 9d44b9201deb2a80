/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The pressure that bed and fittings take.
 *
 *     dp = L (A u + B u^2) + F Q^2,   u = Q/area
 *
 *     A, B   Ergun (hydraulics.h) on the Sauter mean of the beads
 *     F      sum over the fittings of their pressure over the square of their flow
 *
 * L settled depth m, Q flow m3/s. Ergun's bead is the one of the same surface per volume: the resin
 * record's bead diameter is that mean, and the classes of a spread keep it (resin/bead_sizes.c), so
 * a spread changes no pressure as long as the void stays (assumed).
 *
 * Not modelled here: resistance of the gravel (assumed small), dirt, fines, compressed beads.
 */
#include "rating/tank/tank_pressure.h"

#include "brinefront/hydraulics.h"

#include <math.h>

static double fitting_Pa_s2_per_m6(double pressure_Pa, double flow_m3_per_s)
{
    return isnan(pressure_Pa) ? 0.0 : pressure_Pa / (flow_m3_per_s * flow_m3_per_s);
}

bf_status bf__pressure_law_of(const bf_tank_spec *tank, const bf_resin *resin, double temperature_K,
                              bf__pressure_law *out, bf_error *err)
{
    bf_fluid water;
    bf_status status = bf_fluid_of_water(temperature_K, &water, err);
    if (status != BF_OK) {
        return status;
    }
    /* Two values of Ergun's own function tell its two terms apart: its equation stands once. */
    const double once =
        bf_pressure_gradient_Pa_per_m(&water, 1.0, resin->bead_diameter_m, resin->void_fraction);
    const double twice =
        bf_pressure_gradient_Pa_per_m(&water, 2.0, resin->bead_diameter_m, resin->void_fraction);
    out->square_Pa_s2_per_m3 = 0.5 * (twice - 2.0 * once);
    out->linear_Pa_s_per_m2 = once - out->square_Pa_s2_per_m3;
    out->fittings_Pa_s2_per_m6 =
        fitting_Pa_s2_per_m6(tank->valve_Pa, tank->valve_m3_per_s) +
        fitting_Pa_s2_per_m6(tank->distributor_Pa, tank->distributor_m3_per_s);
    return BF_OK;
}

/* The root of square x^2 + linear x = pressure, written so that nothing cancels. */
static double positive_root(double linear, double square, double pressure_Pa)
{
    return 2.0 * pressure_Pa / (linear + sqrt(linear * linear + 4.0 * square * pressure_Pa));
}

/* The law of one bed, by its flow: dp = linear Q + square Q^2. */
static double linear_term(const bf__pressure_law *law, double depth_m, double area_m2)
{
    return depth_m * law->linear_Pa_s_per_m2 / area_m2;
}

static double square_term(const bf__pressure_law *law, double depth_m, double area_m2)
{
    return depth_m * law->square_Pa_s2_per_m3 / (area_m2 * area_m2) + law->fittings_Pa_s2_per_m6;
}

double bf__pressure_Pa(const bf__pressure_law *law, double depth_m, double area_m2,
                       double flow_m3_per_s)
{
    return flow_m3_per_s * (linear_term(law, depth_m, area_m2) +
                            square_term(law, depth_m, area_m2) * flow_m3_per_s);
}

double bf__pressure_flow_m3_per_s(const bf__pressure_law *law, double depth_m, double area_m2,
                                  double pressure_Pa)
{
    return positive_root(linear_term(law, depth_m, area_m2), square_term(law, depth_m, area_m2),
                         pressure_Pa);
}

/* What the fittings leave to the bed. */
static double bed_share_Pa(const bf__pressure_law *law, double flow_m3_per_s, double pressure_Pa)
{
    return pressure_Pa - law->fittings_Pa_s2_per_m6 * flow_m3_per_s * flow_m3_per_s;
}

double bf__pressure_depth_m(const bf__pressure_law *law, double area_m2, double flow_m3_per_s,
                            double pressure_Pa)
{
    const double velocity = flow_m3_per_s / area_m2;
    return bed_share_Pa(law, flow_m3_per_s, pressure_Pa) /
           (velocity * (law->linear_Pa_s_per_m2 + law->square_Pa_s2_per_m3 * velocity));
}

double bf__pressure_velocity_m_per_s(const bf__pressure_law *law, double depth_m,
                                     double flow_m3_per_s, double pressure_Pa)
{
    const double left_Pa = bed_share_Pa(law, flow_m3_per_s, pressure_Pa);
    return positive_root(law->linear_Pa_s_per_m2, law->square_Pa_s2_per_m3,
                         fmax(left_Pa, 0.0) / depth_m);
}
