/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Doses: a list of the file or a text, per volume of resin, in all, or by the volume of brine. */
#include "plain.h"

START_TEST(doses_are_a_list_in_any_spelling)
{
    static const char *const spellings[] = {
        "[48.05 g/L, 96.1 g/L, 144.2 g/L]",
        "\n    - 48.05 g/L\n    - 96.1 kg/m3\n    - 0.1442 kg/L",
        "48.05, 96.1, 144.2 g/L",
        "48.05 96.1 144.2 g/L",
        "48.05 g/L 96.1,144.2g/L",
    };
    bf_error err = {0};
    bf_case c;
    for (size_t i = 0; i < COUNT(spellings); i++) {
        draft d = plain_draft();
        draft_set(&d, "regeneration.doses", spellings[i]);
        assert_ok(draft_read(&d, &c, NULL, &err));
        ck_assert_uint_eq(c.dose_count, 3);
        assert_near(c.dose_kg_per_m3[0], 48.05, EXACT);
        assert_near(c.dose_kg_per_m3[1], 96.1, EXACT);
        assert_near(c.dose_kg_per_m3[2], 144.2, EXACT);
    }
}
END_TEST

START_TEST(doses_in_a_text_share_a_unit)
{
    static const struct {
        const char *text;
        size_t count;
        double kg_per_m3[4];
    } lists[] = {
        {"7.25 lb/ft3", 1, {7.25 * LB / FT3}},
        {"  3,6 , 10\tlb/ft3 ", 3, {3 * LB / FT3, 6 * LB / FT3, 10 * LB / FT3}},
        {"3 6 lb/ft3, 170 g/L", 3, {3 * LB / FT3, 6 * LB / FT3, 170}},
        {"170 g/L 6lb/ft3", 2, {170, 6 * LB / FT3}},
        {"1.1e2 +93. g/L", 2, {110, 93}},
        {"10 5 5 10 lb/ft3", 4, {10 * LB / FT3, 5 * LB / FT3, 5 * LB / FT3, 10 * LB / FT3}},
        {"1 1000 g/L", 2, {1, 1000}},
    };
    bf_error err = {0};
    bf_case c = {0};
    for (size_t i = 0; i < COUNT(lists); i++) {
        assert_ok(bf_case_set_doses(&c, lists[i].text, &err));
        ck_assert_uint_eq(c.dose_count, lists[i].count);
        for (size_t d = 0; d < c.dose_count; d++) {
            assert_near(c.dose_kg_per_m3[d], lists[i].kg_per_m3[d], EXACT);
        }
    }
}
END_TEST

START_TEST(wrong_texts_of_doses_leave_the_doses_alone)
{
    static const struct {
        const char *text, *part;
    } wrong[] = {
        {"", "holds no dose"},
        {" , ,", "holds no dose"},
        {"5", "has no unit; add lb/ft3 or g/L"},
        {"5 lb/ft3, 7", "has no unit"},
        {"lb/ft3", "\"lb/ft3\" in \"lb/ft3\" is not a dose"},
        {"5 lb/ft3 as NaCl", "\"as\" in"},
        {"five lb/ft3", "\"five\" in"},
        {"5 ft", "dose \"5 ft\": "},
        {"5 lb/ft", "dose \"5 lb/ft\": "},
        {"5 lbz/ft3", "dose \"5 lbz/ft3\": "},
        {"5 % ", "dose \"5 %\": "},
        {"1.2.3 g/L", "dose \"1.2.3 g/L\": "},
        {"-5 lb/ft3", "is out of range; accepted are 1 to 1000 g/L"},
        {"0 g/L", "is out of range"},
        {"0.999 g/L", "is out of range"},
        {"6, 1000.1 g/L", "dose \"1000.1 g/L\" is out of range"},
        {"1e400 g/L", "dose \"1e400 g/L\": "},
        {"5 nan", "dose \"5 nan\": "},
        {"11111111112222222222333333333344 g/L", "too long a number"},
    };
    bf_error err = {0};
    bf_case c = {.dose_kg_per_m3 = {123.4}, .dose_count = 1};
    for (size_t i = 0; i < COUNT(wrong); i++) {
        ck_assert_msg(bf_case_set_doses(&c, wrong[i].text, &err) == BF_E_INPUT &&
                          strstr(err.message, wrong[i].part) != NULL,
                      "\"%s\": %s", wrong[i].text, err.message);
        ck_assert_int_eq(bf_case_set_doses(&c, wrong[i].text, NULL), BF_E_INPUT);
        ck_assert_uint_eq(c.dose_count, 1);
        ck_assert_double_eq(c.dose_kg_per_m3[0], 123.4);
    }
}
END_TEST

START_TEST(so_many_doses_and_no_more)
{
    char text[1000] = "";
    char list[2000] = "[";
    for (int i = 0; i < BF_CASE_DOSES; i++) {
        (void)snprintf(text + strlen(text), sizeof text - strlen(text), "%d ", 10 + i);
        (void)snprintf(list + strlen(list), sizeof list - strlen(list), "%d g/L, ", 10 + i);
    }
    char one_more[1100];
    char file[2100];
    bf_error err = {0};
    bf_case c = {0};
    (void)snprintf(one_more, sizeof one_more, "%s g/L", text);
    assert_ok(bf_case_set_doses(&c, one_more, &err));
    ck_assert_uint_eq(c.dose_count, BF_CASE_DOSES);
    ck_assert_double_eq(c.dose_kg_per_m3[BF_CASE_DOSES - 1], 10.0 + BF_CASE_DOSES - 1);
    (void)snprintf(one_more, sizeof one_more, "%s 99 g/L", text);
    assert_fails(bf_case_set_doses(&c, one_more, &err), BF_E_INPUT, "more than 64 doses");

    draft d = plain_draft();
    (void)snprintf(file, sizeof file, "%s]", list);
    draft_set(&d, "regeneration.doses", file);
    assert_ok(draft_read(&d, &c, NULL, &err));
    ck_assert_uint_eq(c.dose_count, BF_CASE_DOSES);
    (void)snprintf(file, sizeof file, "%s99 g/L]", list);
    draft_set(&d, "regeneration.doses", file);
    assert_fails(draft_read(&d, &c, NULL, &err), BF_E_INPUT, "more than 64 doses");
}
END_TEST

/* Mass of salt and water by hand. Densities at 20 C, kg/m3 (CRC Handbook, concentrative properties
 * of aqueous NaCl): 8 wt% 1055.9, 10 wt% 1070.7, 20 wt% 1147.8, 26 wt% 1197.2; water 998.2. */
START_TEST(salt_may_be_stated_in_all_or_by_the_brine)
{
    bf_error err = {0};
    bf_case c;
    /* 0.3 m across, 0.8 m deep: pi/4 0.09 0.8 = 0.0565487 m3. 12 lb = 5.443108 kg: 96.2553 kg/m3.
     */
    assert_ok(read_text(GOOD_WATER GOOD_BED "regeneration: {doses: [12 lb, 80 g/L, 9.5 kg]}\n", &c,
                        NULL, &err));
    ck_assert_uint_eq(c.dose_count, 3);
    assert_near(c.dose_kg_per_m3[0], 5.44310844 / 0.0565486678, 1e-8);
    assert_near(c.dose_kg_per_m3[1], 80.0, EXACT);
    assert_near(c.dose_kg_per_m3[2], 9.5 / 0.0565486678, 1e-8);
    assert_ok(bf_case_set_doses(&c, "6, 12 lb", &err));
    assert_near(c.dose_kg_per_m3[1], 2.0 * c.dose_kg_per_m3[0], EXACT);
    /* Brine of 10 wt% at 20 C holds 107.07 g/L (1070.7 kg/m3: tables of NaCl solutions). */
    assert_ok(
        read_text(GOOD_WATER GOOD_BED "regeneration: {brine_volume: 1.3 BV}\n", &c, NULL, &err));
    ck_assert_uint_eq(c.dose_count, 1);
    assert_near(c.dose_kg_per_m3[0], 1.3 * 107.07, 5e-4);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {doses_are_a_list_in_any_spelling, doses_in_a_text_share_a_unit,
                                  wrong_texts_of_doses_leave_the_doses_alone,
                                  so_many_doses_and_no_more,
                                  salt_may_be_stated_in_all_or_by_the_brine};
    return support_run("case.doses", tests, COUNT(tests), 60);
}
