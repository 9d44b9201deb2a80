/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A value of a case in the units people read, SI and U.S.; the way back from reader.c. */
#include "brinefront/convert.h"
#include "case/keys.h"

#include <math.h>
#include <stdio.h>

/* How a kind is shown: number = (SI value)*scale + shift. A unit of "" shows the text as it stands.
 */
typedef struct shown {
    const char *unit;
    double scale;
    double shift;
} shown;

static shown in_si(const bf_bed_spec *bed, bf__key_id id)
{
    const double area_m2 = bf_bed_area_m2(bed);
    switch (bf__key_get(id)->kind) {
    case BF__KIND_HARDNESS: return (shown){"meq/L", 1.0, 0.0};
    case BF__KIND_ION: return (shown){"meq/L", 1.0, 0.0};
    case BF__KIND_CAPACITY: return (shown){"eq/L", 1e-3, 0.0};
    case BF__KIND_MASS_PER_VOLUME:
    case BF__KIND_DOSE:
    case BF__KIND_DOSES: return (shown){"kg/m3", 1.0, 0.0};
    case BF__KIND_DISSOLVED: return (shown){"mg/L", 1e3, 0.0};
    case BF__KIND_SPAN: return (shown){"d", 1.0 / (24.0 * BF_S_PER_H), 0.0};
    case BF__KIND_CONDUCTIVITY: return (shown){"uS/cm", 1e4, 0.0};
    case BF__KIND_TEMPERATURE: return (shown){"C", 1.0, -BF_K_AT_0_C};
    case BF__KIND_LENGTH:
    case BF__KIND_FREEBOARD: return (shown){"m", 1.0, 0.0};
    case BF__KIND_VOLUME: return (shown){"L", 1e3, 0.0};
    case BF__KIND_TIME: return (shown){"s", 1.0, 0.0};
    case BF__KIND_PRESSURE: return (shown){"kPa", 1e-3, 0.0};
    case BF__KIND_DIFFUSIVITY: return (shown){"m2/s", 1.0, 0.0};
    case BF__KIND_ENERGY_PER_MOLE: return (shown){"kJ/mol", 1e-3, 0.0};
    case BF__KIND_MASS_FRACTION:
    case BF__KIND_STRENGTH: return (shown){"wt%", 100.0, 0.0};
    case BF__KIND_FLOW: return (shown){"m3/h", area_m2 * BF_S_PER_H, 0.0};
    case BF__KIND_WATER: return (shown){"L", bf_bed_volume_m3(bed) * 1e3, 0.0};
    case BF__KIND_TEXT:
    case BF__KIND_CHOICE:
    case BF__KIND_NUMBER:
    case BF__KIND_COUNT:
    case BF__KIND_DATE:
    case BF__KIND_MONTH_DAY:
    case BF__KIND_MAPPINGS:
    case BF__KIND_PARAMETER:
    case BF__KIND_FRACTION: break;
    }
    return (shown){"", 1.0, 0.0};
}

static shown in_us(const bf_bed_spec *bed, bf__key_id id)
{
    const double area_m2 = bf_bed_area_m2(bed);
    switch (bf__key_get(id)->kind) {
    case BF__KIND_HARDNESS: return (shown){"gpg", 1.0 / BF_EQ_PER_M3_PER_GPG, 0.0};
    case BF__KIND_ION:
        return (shown){"mg/L", bf_ion_equivalent_mass_g_per_eq(bf__key_ion(id)), 0.0};
    case BF__KIND_CAPACITY: return (shown){"kgr/ft3", 1.0 / BF_EQ_PER_M3_PER_KGR_PER_FT3, 0.0};
    case BF__KIND_MASS_PER_VOLUME:
    case BF__KIND_DOSE:
    case BF__KIND_DOSES: return (shown){"lb/ft3", 1.0 / BF_KG_PER_M3_PER_LB_PER_FT3, 0.0};
    case BF__KIND_TEMPERATURE: return (shown){"F", 1.8, 32.0 - 1.8 * BF_K_AT_0_C};
    case BF__KIND_LENGTH:
        return bf__key_get(id)->path == bf__key_get(BF__KEY_BEAD_DIAMETER)->path
                   ? (shown){"mm", 1e3, 0.0}
                   : (shown){"in", 1.0 / BF_M_PER_IN, 0.0};
    case BF__KIND_FREEBOARD: return (shown){"in", 1.0 / BF_M_PER_IN, 0.0};
    case BF__KIND_VOLUME: return (shown){"ft3", 1.0 / BF_M3_PER_FT3, 0.0};
    case BF__KIND_PRESSURE: return (shown){"psi", 1.0 / BF_PA_PER_PSI, 0.0};
    case BF__KIND_TIME: return (shown){"min", 1.0 / BF_S_PER_MIN, 0.0};
    case BF__KIND_FLOW: return (shown){"gpm", area_m2 * BF_S_PER_MIN / BF_M3_PER_GAL, 0.0};
    case BF__KIND_WATER: return (shown){"gal", bf_bed_volume_m3(bed) / BF_M3_PER_GAL, 0.0};
    default: return in_si(bed, id);
    }
}

int bf_case_value_show(const bf_bed_spec *bed, const bf_case_value *value, bf_unit_system units,
                       char *text, size_t room)
{
    bf__key_id id = (bf__key_id)value->key;
    shown how = units == BF_UNITS_SI ? in_si(bed, id) : in_us(bed, id);
    int has_unit = *how.unit != '\0' && !isnan(value->value);
    if (has_unit) {
        (void)snprintf(text, room, "%.4g %s", value->value * how.scale + how.shift, how.unit);
    } else {
        (void)snprintf(text, room, "%s", value->text);
    }
    return has_unit;
}
