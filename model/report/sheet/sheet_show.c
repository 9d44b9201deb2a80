/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The units in which a rating sheet shows each kind of number. */
#include "brinefront/convert.h"
#include "report/sheet/sheet.h"

static const double gr_per_lb_per_kg_per_kg = BF_KG_PER_LB / BF_KG_PER_GRAIN;

bf__sheet_unit bf__sheet_shown(bf__sheet_kind kind, bf_unit_system units)
{
    const int us = units == BF_UNITS_US;
    const double gpm = BF_M3_PER_GAL / BF_S_PER_MIN;
    switch (kind) {
    case BF__SHEET_LENGTH:
        return us ? (bf__sheet_unit){"in", 1.0 / BF_M_PER_IN, 0.0}
                  : (bf__sheet_unit){"m", 1.0, 0.0};
    case BF__SHEET_AREA:
        return us ? (bf__sheet_unit){"ft2", 1.0 / BF_M_PER_FT / BF_M_PER_FT, 0.0}
                  : (bf__sheet_unit){"m2", 1.0, 0.0};
    case BF__SHEET_RESIN:
        return us ? (bf__sheet_unit){"ft3", 1.0 / BF_M3_PER_FT3, 0.0}
                  : (bf__sheet_unit){"L", 1e3, 0.0};
    case BF__SHEET_WATER:
        return us ? (bf__sheet_unit){"gal", 1.0 / BF_M3_PER_GAL, 0.0}
                  : (bf__sheet_unit){"L", 1e3, 0.0};
    case BF__SHEET_FLOW:
        return us ? (bf__sheet_unit){"gpm", 1.0 / gpm, 0.0}
                  : (bf__sheet_unit){"m3/h", BF_S_PER_H, 0.0};
    case BF__SHEET_VELOCITY:
        return us ? (bf__sheet_unit){"gpm/ft2", BF_M_PER_FT * BF_M_PER_FT / gpm, 0.0}
                  : (bf__sheet_unit){"m/h", BF_S_PER_H, 0.0};
    case BF__SHEET_PER_BED:
        return us ? (bf__sheet_unit){"gpm/ft3", BF_M3_PER_FT3 / gpm, 0.0}
                  : (bf__sheet_unit){"BV/h", BF_S_PER_H, 0.0};
    case BF__SHEET_PRESSURE:
        return us ? (bf__sheet_unit){"psi", 1.0 / BF_PA_PER_PSI, 0.0}
                  : (bf__sheet_unit){"kPa", 1e-3, 0.0};
    case BF__SHEET_TEMPERATURE:
        return us ? (bf__sheet_unit){"F", 1.8, 32.0 - 1.8 * BF_K_AT_0_C}
                  : (bf__sheet_unit){"C", 1.0, -BF_K_AT_0_C};
    case BF__SHEET_MINUTES: return (bf__sheet_unit){"min", 1.0 / BF_S_PER_MIN, 0.0};
    case BF__SHEET_HOURS: return (bf__sheet_unit){"h", 1.0 / BF_S_PER_H, 0.0};
    case BF__SHEET_MASS:
        return us ? (bf__sheet_unit){"lb", 1.0 / BF_KG_PER_LB, 0.0}
                  : (bf__sheet_unit){"kg", 1.0, 0.0};
    case BF__SHEET_DOSE:
        return us ? (bf__sheet_unit){"lb/ft3", 1.0 / BF_KG_PER_M3_PER_LB_PER_FT3, 0.0}
                  : (bf__sheet_unit){"g/L", 1.0, 0.0};
    case BF__SHEET_HELD:
        return us ? (bf__sheet_unit){"kgr", 1e-3 / BF_KG_PER_GRAIN, 0.0}
                  : (bf__sheet_unit){"kg CaCO3", 1.0, 0.0};
    case BF__SHEET_CAPACITY:
        return us ? (bf__sheet_unit){"kgr/ft3", 1.0 / BF_EQ_PER_M3_PER_KGR_PER_FT3, 0.0}
                  : (bf__sheet_unit){"eq/L", 1e-3, 0.0};
    case BF__SHEET_HARDNESS: /* the trade's own tables say mg/L of what leaks */
        return (bf__sheet_unit){"mg/L CaCO3", BF_G_CACO3_PER_EQ, 0.0};
    case BF__SHEET_EFFICIENCY:
        return us ? (bf__sheet_unit){"gr/lb", gr_per_lb_per_kg_per_kg, 0.0}
                  : (bf__sheet_unit){"g CaCO3/kg", 1e3, 0.0};
    case BF__SHEET_WASTE:
        return us ? (bf__sheet_unit){"gal/kgr", 1e3 * BF_KG_PER_GRAIN / BF_M3_PER_GAL, 0.0}
                  : (bf__sheet_unit){"L/kg CaCO3", 1e3, 0.0};
    case BF__SHEET_SHARE: return (bf__sheet_unit){"%", 100.0, 0.0};
    case BF__SHEET_SAMPLES: return (bf__sheet_unit){"samples", 1.0, 0.0};
    case BF__SHEET_WORDS:
    case BF__SHEET_OTHER:
    case BF__SHEET_KINDS: break;
    }
    return (bf__sheet_unit){"", 1.0, 0.0};
}
