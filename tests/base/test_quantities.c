/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Units in which results are shown, against the reader of units, which has them from the
 * definitions of udunits and knows nothing of the table, and against figures worked by hand. */
#include "base/quantities.h"
#include "brinefront/units.h"
#include "support.h"

#include <stdio.h>
#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof *(array))

/* What is shown in a unit is read back as the same SI, wherever the reader knows the unit: all but
 * capacities, hardness and what counts CaCO3, and metals, which campaigns count in g/m3: the next
 * test has them. */
START_TEST(the_reader_of_units_reads_them_back)
{
    bf_error err = {0};
    size_t looked = 0;
    for (size_t q = 0; q < BF__QUANTITIES; q++) {
        for (int u = 0; u < 2; u++) {
            const double si = 3.7; /* nothing special */
            const bf__unit unit = bf__quantity_unit((bf__quantity)q, (bf_unit_system)u);
            const double shown = bf__quantity_show((bf__quantity)q, (bf_unit_system)u, si);
            char text[64];
            bf_quantity quantity;
            (void)snprintf(text, sizeof text, "%.17g %s", shown, unit.text);
            if (*unit.text == '\0' || bf_quantity_parse(text, &quantity, &err) != BF_OK) {
                continue;
            }
            if (q == BF__QUANTITY_METAL || quantity.basis != BF_BASIS_NONE ||
                strncmp(unit.text, "gpg", 3) == 0 || strncmp(unit.text, "kgr", 3) == 0 ||
                strstr(unit.text, "gr/") != NULL || strstr(unit.text, "/kgr") != NULL) {
                continue;
            }
            /* both do a handful of roundings */
            ck_assert_msg(support_near(quantity.value, si, 1e-12, 0.0, text, __FILE__, __LINE__),
                          "%s is no 3.7 in SI", text);
            looked++;
        }
    }
    ck_assert_uint_ge(looked, 40);
}
END_TEST

/* By hand, from 453.59237 g a pound of 7000 grains, 3.785411784 L a gallon, 28.316846592 L a cubic
 * foot and 50.04345 g an equivalent; seven digits are written down. */
START_TEST(what_counts_as_CaCO3_by_hand)
{
    static const struct {
        bf__quantity quantity;
        double si, us_shown, si_shown;
        const char *us_unit, *si_unit;
    } rows[] = {
        {BF__QUANTITY_CAPACITY, 1000.0, 21.868774, 1.0, "kgr/ft3", "eq/L"},
        {BF__QUANTITY_HELD, 100.0, 77.228845, 100.0, "kgr", "eq"},
        {BF__QUANTITY_HELD_CACO3, 6.479891, 100.0, 6.479891, "kgr", "kg CaCO3"},
        {BF__QUANTITY_LEAKAGE, 0.1, 5.004345, 5.004345, "mg/L CaCO3", "mg/L CaCO3"},
        {BF__QUANTITY_HARDNESS, 6.841279, 20.0, 6.841279, "gpg", "meq/L"},
        {BF__QUANTITY_SETTING, 6.841279, 20.0, 342.3612, "gpg", "mg/L as CaCO3"},
        {BF__QUANTITY_EFFICIENCY, 0.5, 3500.0, 500.0, "gr/lb", "g CaCO3/kg"},
        {BF__QUANTITY_WASTE, 0.01, 0.1711806, 10.0, "gal/kgr", "L/kg CaCO3"},
        {BF__QUANTITY_METAL, 0.3, 0.3, 0.3, "mg/L", "mg/L"},
        {BF__QUANTITY_ALKALINITY, 4.7, 4.7, 4.7, "meq/L", "meq/L"},
        {BF__QUANTITY_WASTE_PER_EQ, 5.004345e-4, 0.1711806, 10.0, "gal/kgr", "L/kg"},
        {BF__QUANTITY_ADDITION, 0.1, 0.2923430, 0.1, "gpg per mg/L", "meq per mg"},
        {BF__QUANTITY_TEMPERATURE, 293.15, 68.0, 20.0, "F", "C"},
        {BF__QUANTITY_SHARE, 0.125, 12.5, 12.5, "%", "%"},
    };
    for (size_t i = 0; i < COUNT(rows); i++) {
        const bf__quantity quantity = rows[i].quantity;
        assert_near(bf__quantity_show(quantity, BF_UNITS_US, rows[i].si), rows[i].us_shown, 4e-7);
        assert_near(bf__quantity_show(quantity, BF_UNITS_SI, rows[i].si), rows[i].si_shown, 4e-7);
        ck_assert_str_eq(bf__quantity_unit(quantity, BF_UNITS_US).text, rows[i].us_unit);
        ck_assert_str_eq(bf__quantity_unit(quantity, BF_UNITS_SI).text, rows[i].si_unit);
    }
}
END_TEST

/* No kind was left out of the table; only plain numbers have no unit. */
START_TEST(every_kind_has_a_unit)
{
    for (size_t q = 0; q < BF__QUANTITIES; q++) {
        for (int u = 0; u < 2; u++) {
            const bf__unit unit = bf__quantity_unit((bf__quantity)q, (bf_unit_system)u);
            ck_assert_msg(unit.text != NULL && unit.column != NULL && unit.scale > 0.0,
                          "kind %zu has no row", q);
            ck_assert_int_eq(*unit.text == '\0', q == BF__QUANTITY_PLAIN);
            ck_assert_uint_le(strlen(unit.column), strlen(unit.text));
        }
    }
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {the_reader_of_units_reads_them_back, what_counts_as_CaCO3_by_hand,
                                  every_kind_has_a_unit};
    return support_run("base.quantities", tests, COUNT(tests), 60);
}
