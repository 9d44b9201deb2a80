/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A value of a case in the units people read, SI and U.S.; the way back from reader.c. */
#include "base/quantities.h"
#include "brinefront/convert.h"
#include "case/keys.h"

#include <math.h>
#include <stdio.h>

/* What a key's number is. A plain one has no unit: the text is shown as it stands. */
static bf__quantity quantity_of(bf__key_id id)
{
    switch (bf__key_get(id)->kind) {
    case BF__KIND_HARDNESS:
    case BF__KIND_ION: return BF__QUANTITY_HARDNESS;
    case BF__KIND_CAPACITY: return BF__QUANTITY_CAPACITY;
    case BF__KIND_MASS_PER_VOLUME:
    case BF__KIND_DOSE:
    case BF__KIND_DOSES: return BF__QUANTITY_MASS_PER_VOLUME;
    case BF__KIND_DISSOLVED: return BF__QUANTITY_DISSOLVED;
    case BF__KIND_SPAN: return BF__QUANTITY_DAYS;
    case BF__KIND_CONDUCTIVITY: return BF__QUANTITY_CONDUCTIVITY;
    case BF__KIND_TEMPERATURE: return BF__QUANTITY_TEMPERATURE;
    case BF__KIND_LENGTH:
        return id == BF__KEY_BEAD_DIAMETER ? BF__QUANTITY_BEAD : BF__QUANTITY_LENGTH;
    case BF__KIND_FREEBOARD: return BF__QUANTITY_LENGTH;
    case BF__KIND_VOLUME: return BF__QUANTITY_RESIN;
    case BF__KIND_TIME: return BF__QUANTITY_SECONDS;
    case BF__KIND_PRESSURE: return BF__QUANTITY_PRESSURE;
    case BF__KIND_DIFFUSIVITY: return BF__QUANTITY_DIFFUSIVITY;
    case BF__KIND_ENERGY_PER_MOLE: return BF__QUANTITY_ENERGY_PER_MOLE;
    case BF__KIND_MASS_FRACTION:
    case BF__KIND_STRENGTH: return BF__QUANTITY_MASS_FRACTION;
    case BF__KIND_FLOW: return BF__QUANTITY_FLOW;
    case BF__KIND_WATER: return BF__QUANTITY_WATER;
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
    return BF__QUANTITY_PLAIN;
}

/* A flow is kept as a velocity in the bed, a volume of water in bed volumes. */
static double bed_share(const bf_bed_spec *bed, bf__key_id id)
{
    const bf__kind kind = bf__key_get(id)->kind;
    return kind == BF__KIND_FLOW    ? bf_bed_area_m2(bed)
           : kind == BF__KIND_WATER ? bf_bed_volume_m3(bed)
                                    : 1.0;
}

int bf_case_value_show(const bf_bed_spec *bed, const bf_case_value *value, bf_unit_system units,
                       char *text, size_t room)
{
    const bf__key_id id = (bf__key_id)value->key;
    const bf__quantity quantity = quantity_of(id);
    if (quantity == BF__QUANTITY_PLAIN || isnan(value->value)) {
        (void)snprintf(text, room, "%s", value->text);
        return 0;
    }
    if (bf__key_get(id)->kind == BF__KIND_ION && units == BF_UNITS_US) {
        /* Laboratories in the U.S. state ions by mass; which ion it is, its key says. */
        (void)snprintf(text, room, "%.4g mg/L",
                       value->value * bf_ion_equivalent_mass_g_per_eq(bf__key_ion(id)));
        return 1;
    }
    (void)snprintf(text, room, "%.4g %s",
                   bf__quantity_show(quantity, units, value->value * bed_share(bed, id)),
                   bf__quantity_unit(quantity, units).text);
    return 1;
}
