/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Pages of size and compare from made-up results: which side a figure is rounded to, the word for
 * every limit, units against published factors, marks of a comparison, the width of the page. */
#include "brinefront/report.h"
#include "support.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static const char *const case_text = "title: A bed\n"
                                     "water: {hardness: 20 gpg, sodium: 2 meq/L}\n"
                                     "bed: {resin_volume: 2 ft3}\n";

static bf_case input;
static bf_notes *notes;
static bf_sizing found;
static bf_tank_spec tank;

static void set_up(void)
{
    bf_error err = {0};
    assert_ok(bf_notes_create(&notes, &err));
    assert_ok(bf_case_read_text(case_text, strlen(case_text), "case.yaml", &input, notes, &err));
    tank = bf_tank_spec_default();
    memset(&found, 0, sizeof found);
    found.bed = input.rating.bed;
    found.nearest = found.days = found.salt_kg_per_year = (double)NAN;
    found.answer = (double)NAN;
    found.ratings = 5;
    found.point.dose_kg_per_m3 = 100.0;
    found.point.steady.cycle.outcome = BF_RATED;
    found.point.steady.cycle.capacity_eq_per_m3 = 1000.0;
}

static void tear_down(void)
{
    bf_notes_free(notes);
}

/* The page on one line, blanks single, for sentences that are broken somewhere. */
static char *flat_page(const bf_size_report *report, bf_unit_system units)
{
    bf_error err = {0};
    char *text = NULL;
    size_t length = 0;
    FILE *out = open_memstream(&text, &length);
    ck_assert_ptr_nonnull(out);
    bf_size_report shown = *report;
    shown.page.units = units;
    assert_ok(bf_report_size_table(&shown, out, &err));
    ck_assert_int_eq(fclose(out), 0);
    size_t line = 0;
    size_t end = 0;
    for (size_t i = 0; i < length; i++) {
        line = text[i] == '\n' ? 0 : line + 1;
        ck_assert_msg(line <= 80, "a line is wider than the page: %.90s", text + i - 80);
        const char byte = text[i] == '\n' ? ' ' : text[i];
        if (byte != ' ' || end == 0 || text[end - 1] != ' ') {
            text[end++] = byte;
        }
    }
    text[end] = '\0';
    return text;
}

static void page_holds(const bf_size_report *report, bf_unit_system units, const char *part)
{
    char *text = flat_page(report, units);
    ck_assert_msg(strstr(text, part) != NULL, "\"%.1500s\" does not contain \"%s\"", text, part);
    free(text);
}

static bf_size_report size_report(bf_size_question question)
{
    return (bf_size_report){.page = bf_page_of_case(&input, notes, BF_UNITS_US),
                            .question = question,
                            .capacity_eq_per_m3 = 914.546,  /* 20 kgr/ft3 */
                            .dose_kg_per_m3 = 96.11077,     /* 6 lb/ft3 of 16.01846 */
                            .flow_m3_per_s = 5.67811768e-4, /* 9 gpm of 3.785411784 L */
                            .interval_m3 = 11.35623535,     /* 3000 gal */
                            .tank = &tank,
                            .water_m3_per_day = 1.1356235, /* 300 gal */
                            .least_days = 2.0,
                            .most_days = 14.0,
                            .found = &found};
}

START_TEST(figures_are_rounded_to_the_unfavourable_side)
{
    bf_size_report dose = size_report(BF_SIZE_DOSE);
    found.decided = BF_BINDING_CAPACITY;
    found.answer = 80.1001; /* 5.00049 lb/ft3, 80.2 g/L; 2 ft3 take 10.001 lb, 4.536... kg */
    page_holds(&dose, BF_UNITS_US,
               "To hold 20 kgr/ft3 (40 kgr in this bed) takes a dose of 5.01 "
               "lb/ft3 at the least, 10.1 lb of salt");
    page_holds(&dose, BF_UNITS_SI, "To hold 0.9145 eq/L");
    page_holds(&dose, BF_UNITS_SI, "a dose of 80.2 g/L at the least, 4.54 kg of salt");
    bf_size_report salt = size_report(BF_SIZE_SALT);
    found.decided = BF_BINDING_INTERVAL;
    found.days = 2.999;
    found.salt_kg_per_year = 100.01;
    page_holds(&salt, BF_UNITS_SI, "101 kg a year, in regenerations 2.99 days apart");
    bf_size_report end = size_report(BF_SIZE_END_POINT);
    found.decided = BF_BINDING_LEAKAGE;
    found.answer = 0.0342068; /* a little above 0.1 gpg */
    page_holds(&end, BF_UNITS_US,
               "With 6 lb/ft3 of salt the lowest end point that can be held is "
               "0.101 gpg (1.72 mg/L as CaCO3)");
    bf_size_report bed = size_report(BF_SIZE_BED);
    found.decided = BF_BINDING_FLOW;
    found.answer = 0.0566621; /* 2.001 ft3 */
    page_holds(&bed, BF_UNITS_US,
               "To soften 3000 gal at 9 gpm between regenerations with 6 lb/ft3 "
               "of salt takes 2.01 ft3 of resin");
    page_holds(&bed, BF_UNITS_US, "limits in service: 15 gpm/ft2, 40 BV/h, 15 psi");
    page_holds(&bed, BF_UNITS_SI, "limits in service: 36.7 m/h, 40 BV/h, 103 kPa");
}
END_TEST

START_TEST(what_could_be_had_is_rounded_down)
{
    bf_size_report dose = size_report(BF_SIZE_DOSE);
    found.binding = BF_BINDING_CAPACITY;
    found.nearest = 914.0; /* 19.988 kgr/ft3 */
    page_holds(&dose, BF_UNITS_US, "The most that can be had is 19.9 kgr/ft3 (39.9 kgr)");
    page_holds(&dose, BF_UNITS_US, "The rating at the limit");
    bf_size_report bed = size_report(BF_SIZE_BED);
    found.binding = BF_BINDING_INTERVAL;
    found.nearest = 7.577; /* 2001.6 gal */
    page_holds(&bed, BF_UNITS_US, "softens 2000 gal");
    found.binding = BF_BINDING_FLOW;
    found.ratings = 0;
    found.nearest = 5.046e-4; /* 7.998 gpm */
    page_holds(&bed, BF_UNITS_US,
               "The most that a bed carries is 7.99 gpm. The limit that forbids "
               "more: flow.");
    page_holds(&bed, BF_UNITS_US, "found: without any rating");
    found.ratings = 5;
    bf_size_report salt = size_report(BF_SIZE_SALT);
    found.binding = BF_BINDING_INTERVAL;
    found.nearest = 1.9999;
    page_holds(&salt, BF_UNITS_US,
               "lasts 2 days at 300 gal a day. The longest that can be had is "
               "1.99 days.");
}
END_TEST

START_TEST(every_limit_says_why_on_every_page)
{
    const bf_binding limits[] = {BF_BINDING_LEAKAGE, BF_BINDING_CYCLE, BF_BINDING_SIZE};
    const char *const words[] = {"Leakage forbids it", "The cycle forbids it: ",
                                 "What forbids it: end of the range looked at"};
    for (size_t q = 0; q < BF_SIZE_QUESTIONS; q++) {
        bf_size_report report = size_report((bf_size_question)q);
        for (size_t k = 0; k < 3; k++) {
            found.binding = limits[k];
            found.point.steady.cycle.outcome = k == 0 ? BF_LEAKS_FROM_THE_START : BF_NOT_STEADY;
            page_holds(&report, BF_UNITS_SI, words[k]);
        }
    }
}
END_TEST

/* Whether an answer is nominal or practical, the vessel for it, and what a rinse may cure. */
START_TEST(what_stands_beside_an_answer)
{
    bf_size_report bed = size_report(BF_SIZE_BED);
    bf_sizing in_vessel = found;
    const bf_sizing_spec practical = {.quantile = 0.05, .samples = 77};
    found.answer = 0.0566621;
    found.decided = BF_BINDING_LEAKAGE;
    found.practical_ratio = (double)NAN;
    page_holds(&bed, BF_UNITS_US, "start. Nominal: of the case as it stands");
    in_vessel.bed.diameter_m = 0.3302;
    in_vessel.bed.depth_m = 0.7871; /* 30.99 in */
    bed.in_vessel = &in_vessel;
    page_holds(&bed, BF_UNITS_US, "No common vessel size does it.");
    bed.vessel = "13x54";
    page_holds(&bed, BF_UNITS_US,
               "Of common sizes 13x54 is the smallest that does it: 2.39 ft3 of resin, 31 in deep");
    bed.practical = &practical;
    page_holds(&bed, BF_UNITS_US, "Practical: asked of what all but 5 % of 77 samples hold.");
    found.practical_ratio = 0.91634;
    page_holds(&bed, BF_UNITS_US,
               "Practical: 5 % of 77 samples of the uncertain constants hold less than 0.916 times "
               "the capacity below.");
    /* 1711 eq/m3 of a dose of 100 kg/m3; 31 of them are 1.8 %. */
    bf_cycle_result *cycle = &found.point.steady.cycle;
    found.point.dose_eq_per_m3 = 1711.0;
    cycle->step_count = input.rating.recipe.count;
    cycle->step[0].passage.stored_eq_per_m3[BF_ION_NA] = -777.0; /* of the service */
    cycle->step[1].passage.stored_eq_per_m3[BF_ION_NA] = 1400.0;
    cycle->step[2].passage.stored_eq_per_m3[BF_ION_NA] = -1371.0;
    cycle->step[2].passage.stored_eq_per_m3[BF_ION_CA] = 2.0;
    page_holds(&bed, BF_UNITS_US, "The last rinse leaves 1.8 % of the salt in bed and freeboard");
    found.binding = BF_BINDING_LEAKAGE;
    page_holds(&bed, BF_UNITS_US, "The last rinse leaves 1.8 % of the salt in bed and freeboard");
}
END_TEST

/* ---- compare --------------------------------------------------------------------------------- */

static bf_compared_point points[2];

static bf_compare_report compare_report(size_t samples)
{
    static bf_page pages[2];
    static const char *const names[2] = {"one.yaml", "say, \"two\".yaml"};
    pages[0] = pages[1] = bf_page_of_case(&input, notes, BF_UNITS_US);
    memset(points, 0, sizeof points);
    for (size_t c = 0; c < 2; c++) {
        points[c].point = found.point;
        for (size_t q = 0; q < BF_COMPARED_COUNT; q++) {
            points[c].quantity[q] = (bf_compared_value){.value = 10.0 + (double)q,
                                                        .difference = (double)NAN,
                                                        .low = (double)NAN,
                                                        .high = (double)NAN};
        }
    }
    points[1].quantity[BF_COMPARED_CAPACITY].value = 914.546; /* 20 kgr/ft3 */
    points[1].quantity[BF_COMPARED_CAPACITY].difference = 0.0523;
    points[1].quantity[BF_COMPARED_CAPACITY].low = 0.0211;
    points[1].quantity[BF_COMPARED_CAPACITY].high = 0.0777;
    points[1].quantity[BF_COMPARED_CAPACITY].is_beyond = 1;
    points[1].quantity[BF_COMPARED_HELD].difference = -0.0001;
    return (bf_compare_report){
        .page = pages, .name = names, .cases = 2, .points = points, .doses = 1, .samples = samples};
}

START_TEST(differences_are_marked)
{
    const bf_compare_report report = compare_report(64);
    const char *const parts[] = {"\nB              20.00", "\nB over A %     +5.2*     +0.0 ",
                                 "\n     P10       +2.1 ", "\n     P90       +7.8 ",
                                 "of 64 samples",          "nothing but title, file and doses",
                                 "\nSalt: 6.243 lb/ft3\n"}; /* 100/16.01846 */
    char *text = NULL;
    size_t length = 0;
    FILE *out = open_memstream(&text, &length);
    ck_assert_ptr_nonnull(out);
    bf_error err = {0};
    assert_ok(bf_report_compare_table(&report, out, &err));
    ck_assert_int_eq(fclose(out), 0);
    for (size_t p = 0; p < sizeof parts / sizeof *parts; p++) {
        ck_assert_msg(strstr(text, parts[p]) != NULL, "no \"%s\" in %s", parts[p], text);
    }
    size_t line = 0;
    for (size_t i = 0; i < length; i++) {
        line = text[i] == '\n' ? 0 : line + 1;
        ck_assert_uint_le(line, 80);
    }
    free(text);
}
END_TEST

START_TEST(rows_of_a_comparison_have_as_many_fields_as_their_head)
{
    const bf_compare_report report = compare_report(0);
    char *text = NULL;
    size_t length = 0;
    FILE *out = open_memstream(&text, &length);
    ck_assert_ptr_nonnull(out);
    bf_error err = {0};
    assert_ok(bf_report_compare_csv(&report, out, &err));
    ck_assert_int_eq(fclose(out), 0);
    ck_assert_ptr_nonnull(strstr(text, "\nB,\"say, \"\"two\"\".yaml\",100,6.24"));
    ck_assert_ptr_nonnull(strstr(text, ",rated,20,0.914546,5.23,2.11,7.77,1,"));
    size_t fields[3] = {0};
    size_t rows = 0;
    int quoted = 0;
    for (const char *c = strstr(text, "\ncase,file,") + 1; *c != '\0'; c++) {
        quoted ^= *c == '"';
        ck_assert_uint_lt(rows, 3);
        fields[rows] += *c == ',' && !quoted;
        rows += *c == '\n';
    }
    ck_assert_uint_eq(rows, 3);
    ck_assert_uint_eq(fields[1], fields[0]);
    ck_assert_uint_eq(fields[2], fields[0]);
    free(text);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("report.size_report");
    TCase *tests = tcase_create("pages");
    tcase_add_checked_fixture(tests, set_up, tear_down);
    tcase_add_test(tests, figures_are_rounded_to_the_unfavourable_side);
    tcase_add_test(tests, what_could_be_had_is_rounded_down);
    tcase_add_test(tests, every_limit_says_why_on_every_page);
    tcase_add_test(tests, what_stands_beside_an_answer);
    tcase_add_test(tests, differences_are_marked);
    tcase_add_test(tests, rows_of_a_comparison_have_as_many_fields_as_their_head);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    const int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
