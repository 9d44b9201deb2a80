/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a pound of salt can do: its equivalents, low doses, advanced design,
 * potassium chloride. */
#include "against.h"
#include "try.h"

#include "brinefront/convert.h"
#include "brinefront/practice.h"

#include <string.h>

static const against compared[] = {
    {"low_doses", "efficiency", "efficiency_gr_per_lb", "gr/lb", measure_efficiency_gr, 0},
    {"horner_2010", "efficiency", "efficiency_gr_per_lb", "gr/lb", measure_efficiency_gr, 0}};

static bf_status one(int variant, outcome *out, bf_error *err)
{
    return against_run(&compared[variant], out, err);
}

static bf_status salt_of(const source *data, size_t row, bf_salt *salt, bf_error *err)
{
    const char *name = source_cell(data, row, "salt");
    for (int s = 0; s < BF_SALT_COUNT && name != NULL; s++) {
        if (strcmp(name, bf_salt_symbol((bf_salt)s)) == 0) {
            *salt = (bf_salt)s;
            return BF_OK;
        }
    }
    return bf_error_set(err, BF_E_INPUT, data->name, "row %zu names no salt", row);
}

/* Grains of hardness as CaCO3 that the equivalents of a pound of salt hold. */
static bf_status theoretical(int variant, outcome *out, bf_error *err)
{
    static source data; /* too large for the stack */
    bf_status status = BF_OK;
    bf_salt salt = BF_SALT_NACL;
    (void)variant;
    TRY(source_read("theoretical_efficiency", &data, err));
    for (size_t row = 0; (row = source_next(&data, "efficiency", row)) > 0;) {
        TRY(salt_of(&data, row, &salt, err));
        double grams_per_gram = BF_G_CACO3_PER_EQ / bf_salt_equivalent_mass_g_per_eq(salt);
        source_add(out, &data, row, "efficiency_gr_per_lb", bf_salt_symbol(salt), "gr/lb",
                   grams_per_gram * BF_KG_PER_LB / BF_KG_PER_GRAIN);
    }
done:
    return status;
}

/* The dose whose equivalents fill the resin once. */
static bf_status stoichiometric(int variant, outcome *out, bf_error *err)
{
    static source data; /* too large for the stack */
    char text[SOURCE_TEXT];
    bf_status status = BF_OK;
    bf_salt salt = BF_SALT_NACL;
    (void)variant;
    TRY(source_read("theoretical_efficiency", &data, err));
    for (size_t row = 0; (row = source_next(&data, "dose", row)) > 0;) {
        bf_rating_spec rating;
        bf_deduced deduced;
        char change[40] = "salt ";
        TRY(salt_of(&data, row, &salt, err));
        strcat(change, bf_salt_symbol(salt));
        memcpy(text, data.case_text, sizeof text);
        TRY(source_change(text, change, err));
        TRY(source_rating(text, &rating, err));
        TRY(bf_deduce(&rating, &deduced, err));
        source_add(out, &data, row, "dose_lb_per_ft3", bf_salt_symbol(salt), "lb/ft3",
                   deduced.salt_to_hold_all_kg_per_m3 / BF_KG_PER_M3_PER_LB_PER_FT3);
    }
done:
    return status;
}

/* Capacity with KCl over capacity with NaCl, equivalents equal. */
static bf_status potassium(int variant, outcome *out, bf_error *err)
{
    static source data; /* too large for the stack */
    char sodium_text[SOURCE_TEXT];
    bf_status status = BF_OK;
    double heavier = bf_salt_equivalent_mass_g_per_eq(BF_SALT_KCL) /
                     bf_salt_equivalent_mass_g_per_eq(BF_SALT_NACL);
    (void)variant;
    TRY(source_read("potassium", &data, err));
    memcpy(sodium_text, data.case_text, sizeof sodium_text);
    TRY(source_change(sodium_text, "salt NaCl", err));
    for (size_t row = 0; (row = source_next(&data, "capacity", row)) > 0;) {
        char point[40];
        bf_dose_point result[2];
        double dose_kg_per_m3 = against_dose(&data, row, point, sizeof point);
        double heavy_kg_per_m3 = heavier * dose_kg_per_m3;
        TRY(source_rate(data.case_text, &heavy_kg_per_m3, 1, &result[0], err));
        TRY(source_rate(sodium_text, &dose_kg_per_m3, 1, &result[1], err));
        source_add(out, &data, row, "capacity_over_NaCl", point, "of NaCl's",
                   source_capacity(&result[0]) / source_capacity(&result[1]));
    }
done:
    return status;
}

const comparison regenerants_comparisons[] = {
    {"low_doses", one, 0},           {"advanced_design", one, 1},
    {"theoretical", theoretical, 0}, {"stoichiometric", stoichiometric, 0},
    {"potassium", potassium, 0},     {NULL, NULL, 0}};
