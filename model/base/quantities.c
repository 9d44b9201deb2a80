/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The table of units in which results are shown. */
#include "base/quantities.h"

#include "brinefront/convert.h"

#define M3_PER_S_PER_GPM (BF_M3_PER_GAL / BF_S_PER_MIN)
#define KG_CACO3_PER_EQ (1e-3 * BF_G_CACO3_PER_EQ)
#define KG_PER_KGR (1e3 * BF_KG_PER_GRAIN)

/* A row: unit, scale and decimals, U.S. and then SI. ALIKE: one unit for both. */
/* clang-format off */
#define UNITS(us, us_scale, us_decimals, si, si_scale, si_decimals)                                \
    {{us, us, us_scale, 0.0, us_decimals}, {si, si, si_scale, 0.0, si_decimals}}
#define ALIKE(text, scale, decimals) UNITS(text, scale, decimals, text, scale, decimals)

static const bf__unit table[BF__QUANTITIES][2] = {
    [BF__QUANTITY_PLAIN] = ALIKE("", 1.0, 0),
    [BF__QUANTITY_LENGTH] = UNITS("in", 1.0 / BF_M_PER_IN, 1, "m", 1.0, 3),
    [BF__QUANTITY_BEAD] = UNITS("mm", 1e3, 2, "m", 1.0, 5),
    [BF__QUANTITY_AREA] = UNITS("ft2", 1.0 / BF_M_PER_FT / BF_M_PER_FT, 2, "m2", 1.0, 3),
    [BF__QUANTITY_RESIN] = UNITS("ft3", 1.0 / BF_M3_PER_FT3, 2, "L", 1e3, 1),
    [BF__QUANTITY_WATER] = UNITS("gal", 1.0 / BF_M3_PER_GAL, 0, "L", 1e3, 0),
    [BF__QUANTITY_SUPPLY] = UNITS("gal", 1.0 / BF_M3_PER_GAL, 0, "m3", 1.0, 2),
    [BF__QUANTITY_BED_VOLUMES] = UNITS("gal/ft3", BF_M3_PER_FT3 / BF_M3_PER_GAL, 1, "BV", 1.0, 1),
    [BF__QUANTITY_FLOW] = UNITS("gpm", 1.0 / M3_PER_S_PER_GPM, 1, "m3/h", BF_S_PER_H, 2),
    [BF__QUANTITY_VELOCITY] =
        UNITS("gpm/ft2", BF_M_PER_FT * BF_M_PER_FT / M3_PER_S_PER_GPM, 1, "m/h", BF_S_PER_H, 1),
    [BF__QUANTITY_BED_VOLUMES_PER_TIME] =
        UNITS("gpm/ft3", BF_M3_PER_FT3 / M3_PER_S_PER_GPM, 1, "BV/h", BF_S_PER_H, 1),
    [BF__QUANTITY_PRESSURE] = UNITS("psi", 1.0 / BF_PA_PER_PSI, 2, "kPa", 1e-3, 1),
    [BF__QUANTITY_TEMPERATURE] = {{"F", "F", 1.8, 32.0 - 1.8 * BF_K_AT_0_C, 0},
                                  {"C", "C", 1.0, -BF_K_AT_0_C, 0}},
    [BF__QUANTITY_SECONDS] = UNITS("min", 1.0 / BF_S_PER_MIN, 1, "s", 1.0, 0),
    [BF__QUANTITY_MINUTES] = ALIKE("min", 1.0 / BF_S_PER_MIN, 1),
    [BF__QUANTITY_HOURS] = ALIKE("h", 1.0 / BF_S_PER_H, 1),
    [BF__QUANTITY_DAYS] = ALIKE("d", 1.0 / (24.0 * BF_S_PER_H), 1),
    [BF__QUANTITY_MASS] = UNITS("lb", 1.0 / BF_KG_PER_LB, 2, "kg", 1.0, 2),
    [BF__QUANTITY_DOSE] = UNITS("lb/ft3", 1.0 / BF_KG_PER_M3_PER_LB_PER_FT3, 2, "g/L", 1.0, 1),
    [BF__QUANTITY_MASS_PER_VOLUME] =
        UNITS("lb/ft3", 1.0 / BF_KG_PER_M3_PER_LB_PER_FT3, 2, "kg/m3", 1.0, 1),
    [BF__QUANTITY_DISSOLVED] = ALIKE("mg/L", 1e3, 2),
    [BF__QUANTITY_METAL] = ALIKE("mg/L", 1.0, 2),
    [BF__QUANTITY_ALKALINITY] = ALIKE("meq/L", 1.0, 2),
    [BF__QUANTITY_MASS_FRACTION] = ALIKE("wt%", 100.0, 2),
    [BF__QUANTITY_CAPACITY] =
        UNITS("kgr/ft3", 1.0 / BF_EQ_PER_M3_PER_KGR_PER_FT3, 2, "eq/L", 1e-3, 3),
    [BF__QUANTITY_HELD] = UNITS("kgr", KG_CACO3_PER_EQ / KG_PER_KGR, 1, "eq", 1.0, 1),
    [BF__QUANTITY_HELD_CACO3] = UNITS("kgr", 1.0 / KG_PER_KGR, 1, "kg CaCO3", 1.0, 2),
    /* The trade's own tables say mg/L of what leaks. */
    [BF__QUANTITY_LEAKAGE] = {{"mg/L CaCO3", "mg/L", BF_G_CACO3_PER_EQ, 0.0, 2},
                              {"mg/L CaCO3", "mg/L", BF_G_CACO3_PER_EQ, 0.0, 2}},
    [BF__QUANTITY_HARDNESS] = UNITS("gpg", 1.0 / BF_EQ_PER_M3_PER_GPG, 1, "meq/L", 1.0, 2),
    [BF__QUANTITY_SETTING] =
        UNITS("gpg", 1.0 / BF_EQ_PER_M3_PER_GPG, 1, "mg/L as CaCO3", BF_G_CACO3_PER_EQ, 0),
    [BF__QUANTITY_EFFICIENCY] = {{"gr/lb", "gr/lb", BF_KG_PER_LB / BF_KG_PER_GRAIN, 0.0, 0},
                                 {"g CaCO3/kg", "g/kg", 1e3, 0.0, 0}},
    [BF__QUANTITY_WASTE] = {{"gal/kgr", "gal/kgr", KG_PER_KGR / BF_M3_PER_GAL, 0.0, 2},
                            {"L/kg CaCO3", "L/kg", 1e3, 0.0, 1}},
    [BF__QUANTITY_WASTE_PER_EQ] = UNITS("gal/kgr", KG_PER_KGR / KG_CACO3_PER_EQ / BF_M3_PER_GAL, 2,
                                        "L/kg", 1e3 / KG_CACO3_PER_EQ, 1),
    [BF__QUANTITY_DEPOSIT] = UNITS("g/ft3", 1e3 * BF_M3_PER_FT3, 1, "g/L", 1.0, 2),
    [BF__QUANTITY_ADDITION] =
        UNITS("gpg per mg/L", 1.0 / BF_EQ_PER_M3_PER_GPG, 2, "meq per mg", 1.0, 3),
    [BF__QUANTITY_CONDUCTIVITY] = ALIKE("uS/cm", 1e4, 0),
    [BF__QUANTITY_DIFFUSIVITY] = ALIKE("m2/s", 1.0, 12),
    [BF__QUANTITY_ENERGY_PER_MOLE] = ALIKE("kJ/mol", 1e-3, 1),
    [BF__QUANTITY_SHARE] = ALIKE("%", 100.0, 1),
    [BF__QUANTITY_SAMPLES] = ALIKE("samples", 1.0, 0),
};
/* clang-format on */

bf__unit bf__quantity_unit(bf__quantity quantity, bf_unit_system units)
{
    return table[quantity][units];
}

double bf__quantity_show(bf__quantity quantity, bf_unit_system units, double si)
{
    const bf__unit *unit = &table[quantity][units];
    return si * unit->scale + unit->shift;
}
