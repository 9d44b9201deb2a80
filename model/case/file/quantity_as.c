/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a quantity comes to where a kind of it is wanted: as it stands, or in equivalents of an ion or
 * of hardness.
 *
 *     C = 1000 m/M,   C = |z| n
 *
 * C eq/m3, m kg/m3, M equivalent mass g/eq, n mol/m3, z charge of the ion.
 */
#include "brinefront/units.h"

#include <stdbool.h>
#include <stdlib.h>

/* "wanted: length, such as m or ft; this is mass (kg)" */
static bf_status wrong_kind(const bf_quantity *quantity, bf_dimension wanted, const char *where,
                            bf_error *err)
{
    const bf_dimension_info *want = bf_dimension_get(wanted);
    const bf_dimension_info *have = bf_dimension_get(quantity->dimension);
    if (quantity->dimension == BF_DIMENSION_NUMBER) {
        return bf_error_set(err, BF_E_INPUT, where,
                            "the number has no unit; wanted: %s, such as %s", want->name,
                            want->examples);
    }
    return bf_error_set(err, BF_E_INPUT, where, "wanted: %s, such as %s; this is %s (%s)",
                        want->name, want->examples, have->name, have->si_unit);
}

static bool fits(bf_dimension dimension, bf_dimension wanted)
{
    return dimension == wanted ||
           (wanted == BF_DIMENSION_MASS_FRACTION && dimension == BF_DIMENSION_NUMBER) ||
           (wanted == BF_DIMENSION_BED_VOLUMES_PER_TIME && dimension == BF_DIMENSION_RATE);
}

bf_status bf_quantity_as(const bf_quantity *quantity, bf_dimension wanted, double *value,
                         bf_error *err)
{
    if (!fits(quantity->dimension, wanted)) {
        return wrong_kind(quantity, wanted, "bf_quantity_as", err);
    }
    if (quantity->basis == BF_BASIS_ION || quantity->basis == BF_BASIS_NAMED_ION) {
        return bf_error_set(err, BF_E_INPUT, "bf_quantity_as",
                            "no ion is counted here: leave out 'as ...' or write as CaCO3");
    }
    *value = quantity->value;
    return BF_OK;
}

bf_status bf_quantity_as_ion(const bf_quantity *quantity, bf_ion ion,
                             double *concentration_eq_per_m3, bf_error *err)
{
    static const char where[] = "bf_quantity_as_ion";
    const bf_ion_info *info = bf_ion_get(ion);
    if (quantity->basis == BF_BASIS_NAMED_ION && quantity->named_ion != ion) {
        return bf_error_set(err, BF_E_INPUT, where,
                            "the quantity counts %s where %s is stated: write as %s or as CaCO3",
                            bf_ion_get(quantity->named_ion)->symbol, info->symbol, info->symbol);
    }
    if (quantity->dimension == BF_DIMENSION_EQUIVALENTS_PER_VOLUME) {
        *concentration_eq_per_m3 = quantity->value;
    } else if (quantity->dimension == BF_DIMENSION_MOLES_PER_VOLUME) {
        *concentration_eq_per_m3 = quantity->value * abs(info->charge);
    } else if (quantity->dimension != BF_DIMENSION_MASS_PER_VOLUME) {
        return wrong_kind(quantity, BF_DIMENSION_EQUIVALENTS_PER_VOLUME, where, err);
    } else if (ion == BF_ION_HCO3 && quantity->basis == BF_BASIS_NONE) {
        return bf_error_set(err, BF_E_INPUT, where,
                            "alkalinity by mass can be meant in two ways: write mg/L as CaCO3, or "
                            "mg/L as HCO3");
    } else {
        *concentration_eq_per_m3 = quantity->value * 1000.0 / bf_ion_equivalent_mass_g_per_eq(ion);
    }
    return BF_OK;
}

bf_status bf_quantity_as_hardness(const bf_quantity *quantity, double *hardness_eq_per_m3,
                                  bf_error *err)
{
    static const char where[] = "bf_quantity_as_hardness";
    bool named = quantity->basis == BF_BASIS_NAMED_ION;
    if (named && !bf_ion_is_hardness(quantity->named_ion)) {
        return bf_error_set(err, BF_E_INPUT, where,
                            "%s is no ion of hardness: write as CaCO3 or as Ca",
                            bf_ion_get(quantity->named_ion)->symbol);
    }
    if (quantity->dimension == BF_DIMENSION_EQUIVALENTS_PER_VOLUME) {
        *hardness_eq_per_m3 = quantity->value;
    } else if (quantity->dimension == BF_DIMENSION_MOLES_PER_VOLUME) {
        *hardness_eq_per_m3 = 2.0 * quantity->value; /* the ions of hardness are divalent */
    } else if (quantity->dimension != BF_DIMENSION_MASS_PER_VOLUME) {
        return wrong_kind(quantity, BF_DIMENSION_EQUIVALENTS_PER_VOLUME, where, err);
    } else if (!named) {
        return bf_error_set(err, BF_E_INPUT, where,
                            "hardness is a sum of ions, so a mass of it needs a basis: write mg/L "
                            "as CaCO3, or state calcium and magnesium, each in mg/L as ion");
    } else {
        *hardness_eq_per_m3 =
            quantity->value * 1000.0 / bf_ion_equivalent_mass_g_per_eq(quantity->named_ion);
    }
    return BF_OK;
}
