/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The table of what is assumed about iron: it is whole, its defaults lie inside their ranges, and
 * what lies outside is refused by name. */
#include "brinefront/iron.h"
#include "support.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof *(array))

START_TEST(every_parameter_says_what_it_rests_on)
{
    size_t calibrated = 0;
    for (size_t p = 0; p < bf_iron_parameter_count(); p++) {
        bf_iron_parameter row = bf_iron_parameter_get(p);
        printf("%-32s %11.4g  %11.4g .. %-11.4g %s\n", row.name, row.value, row.low, row.high,
               bf_iron_basis_word(row.basis));
        ck_assert_msg(row.low < row.high, "%s has no range", row.name);
        ck_assert_msg(row.low <= row.value && row.value <= row.high, "%s", row.name);
        ck_assert_uint_gt(strlen(row.meaning), 5);
        ck_assert_uint_gt(strlen(row.source), 5);
        calibrated += row.basis == BF_IRON_BASIS_CALIBRATED;
        for (size_t q = 0; q < p; q++) {
            ck_assert_str_ne(row.name, bf_iron_parameter_get(q).name);
        }
    }
    printf("%zu of %zu are calibrated\n", calibrated, bf_iron_parameter_count());
    ck_assert_uint_eq(bf_iron_parameter_count() * sizeof(double), sizeof(bf_iron_spec));
    ck_assert_uint_gt(calibrated, bf_iron_parameter_count() / 3); /* nobody measured most of it */
    ck_assert_str_eq(bf_iron_basis_word(BF_IRON_BASIS_EXACT), "exact");
    ck_assert_str_eq(bf_iron_basis_word(BF_IRON_BASIS_MEASURED), "measured");
    ck_assert_str_eq(bf_iron_basis_word(BF_IRON_BASIS_DERIVED), "derived");
    ck_assert_str_eq(bf_iron_basis_word(BF_IRON_BASIS_CALIBRATED), "calibrated");
    ck_assert_str_eq(bf_iron_basis_word((bf_iron_basis)17), "unknown");
}
END_TEST

START_TEST(defaults_pass_and_rows_reach_their_fields)
{
    bf_error err = {0};
    bf_iron_spec spec = bf_iron_spec_default();
    assert_ok(bf_iron_spec_check(&spec, &err));
    ck_assert_double_eq(spec.ageing_factor, 1.0);
    /* 2e-15 mol2/(L2 atm min) by hand: 2e-15 x 1e6/(101325 x 60). */
    assert_near(spec.oxidation_mol2_per_m6_Pa_s, 3.28974e-16, 1e-5);
    for (size_t p = 0; p < bf_iron_parameter_count(); p++) {
        ck_assert_double_eq(bf_iron_spec_get(&spec, p), bf_iron_parameter_get(p).value);
        if (strcmp(bf_iron_parameter_get(p).name, "sites_eq_per_mol") == 0) {
            bf_iron_spec_set(&spec, p, 2.5);
        }
    }
    ck_assert_double_eq(spec.sites_eq_per_mol, 2.5);
}
END_TEST

START_TEST(what_lies_outside_its_range_is_refused_by_name)
{
    for (size_t p = 0; p < bf_iron_parameter_count(); p++) {
        bf_iron_parameter row = bf_iron_parameter_get(p);
        const double span = row.high - row.low;
        const double refused[] = {row.low - 0.01 * span, row.high + 0.01 * span, (double)NAN,
                                  (double)INFINITY};
        for (size_t i = 0; i < COUNT(refused); i++) {
            bf_error err = {0};
            bf_iron_spec spec = bf_iron_spec_default();
            bf_iron_spec_set(&spec, p, refused[i]);
            assert_fails(bf_iron_spec_check(&spec, &err), BF_E_RANGE, row.name);
        }
        const double accepted[] = {row.low, row.high};
        for (size_t i = 0; i < COUNT(accepted); i++) {
            bf_error err = {0};
            bf_iron_spec spec = bf_iron_spec_default();
            bf_iron_spec_set(&spec, p, accepted[i]);
            assert_ok(bf_iron_spec_check(&spec, &err));
        }
    }
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {every_parameter_says_what_it_rests_on,
                                  defaults_pass_and_rows_reach_their_fields,
                                  what_lies_outside_its_range_is_refused_by_name};
    return support_run("iron.spec", tests, COUNT(tests), 20);
}
