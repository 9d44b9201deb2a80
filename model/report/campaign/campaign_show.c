/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/campaign/campaign_show.h"

#include "brinefront/convert.h"

#include <math.h>

double bf__show_capacity(bf_unit_system units, double eq_per_m3)
{
    return units == BF_UNITS_US ? eq_per_m3 / BF_EQ_PER_M3_PER_KGR_PER_FT3 : 1e-3 * eq_per_m3;
}

const char *bf__unit_of_capacity(bf_unit_system units)
{
    return units == BF_UNITS_US ? "kgr/ft3" : "eq/L";
}

double bf__show_deposit(bf_unit_system units, double kg_per_m3)
{
    return units == BF_UNITS_US ? 1e3 * kg_per_m3 * BF_M3_PER_FT3 : kg_per_m3;
}

const char *bf__unit_of_deposit(bf_unit_system units)
{
    return units == BF_UNITS_US ? "g/ft3" : "g/L";
}

double bf__show_pressure(bf_unit_system units, double pressure_Pa)
{
    return units == BF_UNITS_US ? pressure_Pa / BF_PA_PER_PSI : 1e-3 * pressure_Pa;
}

const char *bf__unit_of_pressure(bf_unit_system units)
{
    return units == BF_UNITS_US ? "psi" : "kPa";
}

double bf__show_dose(bf_unit_system units, double kg_per_m3)
{
    return units == BF_UNITS_US ? kg_per_m3 / BF_KG_PER_M3_PER_LB_PER_FT3 : kg_per_m3;
}

const char *bf__unit_of_dose(bf_unit_system units)
{
    return units == BF_UNITS_US ? "lb/ft3" : "g/L";
}

double bf__show_addition(bf_unit_system units, double eq_per_g)
{
    return units == BF_UNITS_US ? eq_per_g / BF_EQ_PER_M3_PER_GPG : eq_per_g;
}

const char *bf__unit_of_addition(bf_unit_system units)
{
    return units == BF_UNITS_US ? "gpg per mg/L" : "meq per mg";
}

double bf__show_mass(bf_unit_system units, double mass_kg)
{
    return units == BF_UNITS_US ? mass_kg / BF_KG_PER_LB : mass_kg;
}

const char *bf__unit_of_mass(bf_unit_system units)
{
    return units == BF_UNITS_US ? "lb" : "kg";
}

double bf__show_volume(bf_unit_system units, double volume_m3)
{
    return units == BF_UNITS_US ? volume_m3 / BF_M3_PER_GAL : volume_m3;
}

const char *bf__unit_of_volume(bf_unit_system units)
{
    return units == BF_UNITS_US ? "gal" : "m3";
}

double bf__ion_mg_per_L(const bf_water *water, bf_ion ion)
{
    return water->ion_eq_per_m3[ion] * bf_ion_equivalent_mass_g_per_eq(ion);
}

void bf__print_number(int width, int decimals, double value, FILE *out)
{
    if (isnan(value)) {
        (void)fprintf(out, "%*s", width, "-");
    } else {
        (void)fprintf(out, "%*.*f", width, decimals, value);
    }
}

void bf__print_range(int width, int decimals, double low, double high, FILE *out)
{
    char text[64] = "-";
    if (!isnan(low) && !isnan(high)) {
        (void)snprintf(text, sizeof text, "%.*f to %.*f", decimals, low, decimals, high);
    }
    (void)fprintf(out, "%*s", width, text);
}
