/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The error struct, the list of notes, and the exact factors of convert.h. */
#include "brinefront/convert.h"
#include "brinefront/status.h"
#include "support.h"

#include <math.h>

#include <string.h>

START_TEST(an_error_carries_code_place_and_sentence)
{
    bf_error err = {0};
    bf_status status = bf_error_set(&err, BF_E_RANGE, "bed.depth", "depth is %.1f m", 7.25);
    ck_assert_int_eq(status, BF_E_RANGE);
    ck_assert_int_eq(err.code, BF_E_RANGE);
    ck_assert_str_eq(err.where, "bed.depth");
    ck_assert_str_eq(err.message, "depth is 7.2 m");
    ck_assert_int_eq(bf_error_set(NULL, BF_E_FILE, "x", "y"), BF_E_FILE);
}
END_TEST

START_TEST(every_status_has_a_name_and_a_meaning)
{
#define NAMED(name, value, meaning)                                                                \
    ck_assert_str_eq(bf_status_name(name), #name);                                                 \
    ck_assert_str_eq(bf_status_meaning(name), meaning);                                            \
    ck_assert_int_eq((int)(name), value);
    BF_STATUS_TABLE(NAMED)
#undef NAMED
}
END_TEST

START_TEST(notes_keep_order_and_text)
{
    bf_error err = {0};
    bf_notes *notes = NULL;
    assert_ok(bf_notes_create(&notes, &err));
    for (int i = 0; i < 100; i++) {
        bf_notes_add(notes, BF_NOTE_ASSUMED, "water", "note %d", i);
    }
    bf_notes_add_at(notes, BF_NOTE_FINDING, "bed.depth", 12, 5, "no unit");
    ck_assert_uint_eq(bf_notes_count(notes), 101);
    ck_assert_str_eq(bf_notes_get(notes, 57).text, "note 57");
    ck_assert_int_eq(bf_notes_get(notes, 100).line, 12);
    ck_assert_int_eq(bf_notes_get(notes, 100).column, 5);
    ck_assert_uint_eq(bf_notes_lost(notes), 0);
    bf_notes_add(NULL, BF_NOTE_ASSUMED, "nowhere", "ignored");
    bf_notes_free(notes);
}
END_TEST

START_TEST(factors_agree_with_the_trade)
{
    /* "1 lb/ft3 = 16.018 g/L", "1 kgr/ft3 = 0.04573 eq/L", "1 gpg = 17.12 mg/L": the rounding of
     * these published figures is the tolerance. */
    assert_near(BF_KG_PER_M3_PER_LB_PER_FT3, 16.018, 3e-5);
    assert_near(BF_EQ_PER_M3_PER_KGR_PER_FT3, 45.73, 2e-4);
    assert_near(BF_EQ_PER_M3_PER_GPG * BF_G_CACO3_PER_EQ, 17.12, 2e-4);
    /* 1 psi = 6894.757 Pa, NIST SP 811: lb * g / in2 with g = 9.80665. */
    assert_near(BF_PA_PER_PSI, BF_KG_PER_LB * 9.80665 / (BF_M_PER_IN * BF_M_PER_IN), 1e-13);
    assert_near(BF_PI, acos(-1.0), 1e-15);
    assert_near(BF_M3_PER_FT3, BF_M_PER_FT * BF_M_PER_FT * BF_M_PER_FT, 1e-13);
    /* A gallon is 231 cubic inches. */
    assert_near(BF_M3_PER_GAL, 231.0 * BF_M_PER_IN * BF_M_PER_IN * BF_M_PER_IN, 1e-13);
    assert_near(BF_KG_PER_GRAIN * 7000.0, BF_KG_PER_LB, 1e-13);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {an_error_carries_code_place_and_sentence,
                                  every_status_has_a_name_and_a_meaning, notes_keep_order_and_text,
                                  factors_agree_with_the_trade};
    return support_run("base.status", tests, sizeof tests / sizeof *tests, 20);
}
