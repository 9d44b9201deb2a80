/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rating/practice/both_units.h"

#include "brinefront/band.h"
#include "brinefront/convert.h"

#include <stdio.h>

static bf__words say(double si, const char *si_unit, double us, const char *us_unit)
{
    bf__words words;
    (void)snprintf(words.text, sizeof words.text, "%.4g %s (%.4g %s)", si, si_unit, us, us_unit);
    return words;
}

static bf__words say_at_most(double si, const char *si_unit, double us, const char *us_unit)
{
    return say(bf_round_down(si, 4), si_unit, bf_round_down(us, 4), us_unit);
}

bf__words bf__both_flow(double m3_per_s)
{
    return say(m3_per_s * BF_S_PER_H, "m3/h", m3_per_s * BF_S_PER_MIN / BF_M3_PER_GAL, "gpm");
}

bf__words bf__both_flow_at_most(double m3_per_s)
{
    return say_at_most(m3_per_s * BF_S_PER_H, "m3/h", m3_per_s * BF_S_PER_MIN / BF_M3_PER_GAL,
                       "gpm");
}

bf__words bf__both_length(double m)
{
    return say(m, "m", m / BF_M_PER_IN, "in");
}

bf__words bf__both_volume(double m3)
{
    return say(1e3 * m3, "L", m3 / BF_M3_PER_FT3, "ft3");
}

bf__words bf__both_volume_at_most(double m3)
{
    return say_at_most(1e3 * m3, "L", m3 / BF_M3_PER_FT3, "ft3");
}

bf__words bf__both_pressure(double Pa)
{
    return say(1e-3 * Pa, "kPa", Pa / BF_PA_PER_PSI, "psi");
}

bf__words bf__both_velocity(double m_per_s)
{
    const double m_per_s_per_gpm_per_ft2 = BF_M3_PER_GAL / BF_S_PER_MIN / BF_M_PER_FT / BF_M_PER_FT;
    return say(m_per_s * BF_S_PER_H, "m/h", m_per_s / m_per_s_per_gpm_per_ft2, "gpm/ft2");
}

bf__words bf__both_per_bed(double m3_per_s, double resin_m3)
{
    const double per_s = m3_per_s / resin_m3;
    return say(per_s * BF_S_PER_H, "BV/h", per_s * BF_S_PER_MIN * BF_M3_PER_FT3 / BF_M3_PER_GAL,
               "gpm/ft3");
}

bf__words bf__both_temperature(double K)
{
    double t = K - BF_K_AT_0_C;
    return say(t, "C", 32.0 + 1.8 * t, "F");
}
