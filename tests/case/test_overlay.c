/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A user's own table of dose and capacity: units into SI, and every finding with its place. */
#include "brinefront/overlay.h"

#include "draft.h"
#include "support.h"

#include <stdlib.h>

#define COUNT(array) (sizeof(array) / sizeof *(array))

#define LB 0.45359237
#define FT3 (0.3048 * 0.3048 * 0.3048)
#define KGR (1e3 * (LB / 7000.0) * 1e3 / 50.04345) /* eq */
#define BED 0.0566                                 /* m3 */

static const bf_case *the_case(void)
{
    static bf_case c;
    bf_error err = {0};
    draft d = {0};
    draft_set(&d, "water.hardness", "317 mg/L as CaCO3");
    draft_set(&d, "bed.resin_volume", "56.6 L");
    assert_ok(draft_read(&d, &c, NULL, &err));
    return &c;
}

START_TEST(units_of_the_head_hold_for_the_column)
{
    static const struct {
        const char *text;
        double dose, capacity;
    } tables[] = {
        {"dose [lb/ft3], capacity [kgr/ft3]\n7.3, 23.1\n", 7.3 * LB / FT3, 23.1 * KGR / FT3},
        {"# mine\ncapacity [eq/L],dose [g/L]\r\n1.13,117\r\n", 117.0, 1130.0},
        {"\xEF\xBB\xBF\"dose [lb]\", capacity [kgr]\n\n15.5,47\n", 15.5 * LB / BED,
         47.0 * KGR / BED},
        {"dose [kg],capacity [g/L as CaCO3]\n6.1,55.5\n", 6.1 / BED, 55500.0 / 50.04345},
    };
    for (size_t t = 0; t < COUNT(tables); t++) {
        bf_error err = {0};
        bf_overlay overlay;
        assert_ok(bf_overlay_read_text(tables[t].text, strlen(tables[t].text), "mine.csv",
                                       the_case(), &overlay, NULL, &err));
        ck_assert_uint_eq(overlay.count, 1);
        assert_near(overlay.row[0].dose_kg_per_m3, tables[t].dose, 1e-12);
        assert_near(overlay.row[0].capacity_eq_per_m3, tables[t].capacity, 1e-7);
    }
}
END_TEST

static const struct {
    const char *text;
    long line, column;
    const char *words;
} refusals[] = {
    {"", 1, 1, "holds no dose and capacity"},
    {"dose [lb/ft3], capacity [kgr/ft3]\n", 2, 1, "holds no dose and capacity"},
    {"dose [lb/ft3], rating [kgr/ft3]\n5,20\n", 1, 16, "there are dose and capacity"},
    {"dose [lb/ft3]; capacity [kgr/ft3]\n5;20\n", 1, 1, "commas separate the columns"},
    {"dose [lb/ft3], dose [g/L], capacity [eq/L]\n5,80,1\n", 1, 16, "there twice"},
    {"dose [lb/ft3]\n5\n", 1, 1, "no column capacity"},
    {"capacity [eq/L]\n1\n", 1, 1, "no column dose"},
    {"dose, capacity [eq/L]\n5,1\n", 1, 1, "write the unit in brackets"},
    {"dose [lb/ft3], capacity [gpm]\n5,1\n", 1, 16, "an example is [kgr/ft3]"},
    {"dose [lb/ft3], capacity [kgr/ft3]\n5,20,3\n", 2, 1, "3 fields where the head has 2"},
    {"dose [lb/ft3], capacity [kgr/ft3]\n5,\n", 2, 3, "is not a number"},
    {"dose [lb/ft3], capacity [kgr/ft3]\n5 lb,20\n", 2, 1, "its unit stands in the head"},
    {"dose [lb/ft3], capacity [kgr/ft3]\n5,200\n", 2, 3, "out of range"},
    {"dose [g/L], capacity [kgr/ft3]\n5000,20\n", 2, 1, "accepted are 1 to 1000 g/L"},
};

START_TEST(every_refusal_at_its_place)
{
    for (size_t k = 0; k < COUNT(refusals); k++) {
        bf_error err = {0};
        bf_overlay overlay;
        ck_assert_msg(bf_overlay_read_text(refusals[k].text, strlen(refusals[k].text), "mine.csv",
                                           the_case(), &overlay, NULL, &err) == BF_E_INPUT,
                      "%zu", k);
        ck_assert_msg(strstr(err.message, refusals[k].words) != NULL, "%zu: %s", k, err.message);
        ck_assert_msg(err.line == refusals[k].line && err.column == refusals[k].column,
                      "%zu: at %ld:%ld", k, err.line, err.column);
        ck_assert_uint_eq(overlay.count, 0);
    }
}
END_TEST

START_TEST(too_many_rows_are_refused)
{
    static char text[4000] = "dose [g/L], capacity [eq/L]\n";
    bf_error err = {0};
    bf_overlay overlay;
    for (int r = 0; r < BF_CASE_DOSES; r++) {
        (void)strcat(text, "80,1\n");
    }
    assert_ok(
        bf_overlay_read_text(text, strlen(text), "mine.csv", the_case(), &overlay, NULL, &err));
    ck_assert_uint_eq(overlay.count, BF_CASE_DOSES);
    (void)strcat(text, "80,1\n");
    assert_fails(
        bf_overlay_read_text(text, strlen(text), "mine.csv", the_case(), &overlay, NULL, &err),
        BF_E_INPUT, "more than 64 rows");
    assert_fails(bf_overlay_read("no/such.csv", the_case(), &overlay, NULL, &err), BF_E_FILE,
                 "cannot be opened");
}
END_TEST

START_TEST(the_shipped_table_is_read)
{
    bf_error err = {0};
    bf_overlay overlay;
    assert_ok(bf_overlay_read(BF_SOURCE_DIR "/cases/tank_10x54_overlay.csv", the_case(), &overlay,
                              NULL, &err));
    ck_assert_uint_ge(overlay.count, 3);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {units_of_the_head_hold_for_the_column, every_refusal_at_its_place,
                                  too_many_rows_are_refused, the_shipped_table_is_read};
    return support_run("overlay", tests, COUNT(tests), 60);
}
