/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The parameters of iron as one table: iron.h states each row's value, range, basis and source. */
#include "brinefront/iron.h"

#include <assert.h>
#include <string.h>

static const bf_iron_parameter parameters[] = {
#define ROW(field, value, low, high, basis, meaning, source)                                       \
    {#field, (value), (low), (high), (basis), (meaning), (source)},
    BF_IRON_PARAMETER_TABLE(ROW)
#undef ROW
};

static const size_t offsets[] = {
#define ROW(field, value, low, high, basis, meaning, source) offsetof(bf_iron_spec, field),
    BF_IRON_PARAMETER_TABLE(ROW)
#undef ROW
};

const char *bf_iron_basis_word(bf_iron_basis basis)
{
    switch (basis) {
    case BF_IRON_BASIS_EXACT: return "exact";
    case BF_IRON_BASIS_MEASURED: return "measured";
    case BF_IRON_BASIS_DERIVED: return "derived";
    case BF_IRON_BASIS_CALIBRATED: return "calibrated";
    }
    return "unknown";
}

size_t bf_iron_parameter_count(void)
{
    return sizeof parameters / sizeof *parameters;
}

bf_iron_parameter bf_iron_parameter_get(size_t index)
{
    assert(index < bf_iron_parameter_count());
    return parameters[index];
}

double bf_iron_spec_get(const bf_iron_spec *spec, size_t index)
{
    assert(index < bf_iron_parameter_count());
    double value;
    memcpy(&value, (const char *)spec + offsets[index], sizeof value);
    return value;
}

void bf_iron_spec_set(bf_iron_spec *spec, size_t index, double value)
{
    assert(index < bf_iron_parameter_count());
    memcpy((char *)spec + offsets[index], &value, sizeof value);
}

bf_iron_spec bf_iron_spec_default(void)
{
    bf_iron_spec spec;
    for (size_t p = 0; p < bf_iron_parameter_count(); p++) {
        bf_iron_spec_set(&spec, p, parameters[p].value);
    }
    return spec;
}

bf_status bf_iron_spec_check(const bf_iron_spec *spec, bf_error *err)
{
    for (size_t p = 0; p < bf_iron_parameter_count(); p++) {
        const bf_iron_parameter *row = &parameters[p];
        double value = bf_iron_spec_get(spec, p);
        if (!(value >= row->low && value <= row->high)) {
            return bf_error_set(err, BF_E_RANGE, "iron",
                                "%s (%s) is %g; it is believed to lie between %g and %g", row->name,
                                row->meaning, value, row->low, row->high);
        }
    }
    return BF_OK;
}
