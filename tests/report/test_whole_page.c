/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A page arrives whole or not at all, whichever allocation fails and from two threads at once; and
 * it needs no case file. */
#include "../rating/coarse_bed.h"
#include "brinefront/report.h"
#include "short_memory.h"

#include <pthread.h>
#include <string.h>

/* ---- a report from plain structs ------------------------------------------------------------- */

enum { DOSES = 2 };

typedef struct rated {
    bf_rating_spec rating;
    bf_dose_point points[DOSES];
    bf_case_tank tank;
    bf_tank_study study;
    bf_rate_report report;
} rated;

static rated bed;

/* A bed rated without a case file: the curve alone, and in a vessel. */
static void rate_once(void)
{
    static const double doses[DOSES] = {96.1, 240.3};
    bf_error err = {0};
    if (bed.study.count > 0) {
        return;
    }
    bed.rating = coarse_bed();
    const bf_dose_curve_spec curve = {.dose_kg_per_m3 = doses, .count = DOSES, .threads = 1};
    assert_ok(bf_dose_curve(&bed.rating, &curve, bed.points, NULL, &err));
    bed.tank = (bf_case_tank){.is_stated = 1,
                              .spec = bf_tank_spec_default(),
                              .protocol = BF_PROTOCOL_OWN,
                              .quantile = 0.1,
                              .samples = 16,
                              .blend_eq_per_m3 = (double)NAN,
                              .beds = 2,
                              .uneven = bf_uneven_flow_default(),
                              .stagnation = {(double)NAN, (double)NAN}};
    bed.tank.spec.diameter_m = bed.rating.bed.diameter_m;
    const bf_tank_study_spec spec = {.rating = &bed.rating,
                                     .tank = &bed.tank.spec,
                                     .protocol = bed.tank.protocol,
                                     .quantile = bed.tank.quantile,
                                     .samples = bed.tank.samples,
                                     .blend_eq_per_m3 = bed.tank.blend_eq_per_m3,
                                     .uneven = bed.tank.uneven,
                                     .stagnation = bed.tank.stagnation,
                                     .dose_kg_per_m3 = doses,
                                     .count = DOSES,
                                     .threads = 1};
    assert_ok(bf_tank_study_run(&spec, &bed.study, NULL, &err));
    bed.report = (bf_rate_report){.page = {.title = "plain structs", .rating = &bed.rating},
                                  .points = bed.points,
                                  .count = DOSES,
                                  .grid = {(double)NAN, (double)NAN, (double)NAN}};
}

#define PRINTER(function)                                                                          \
    static bf_status any_##function(const void *report, FILE *out, bf_error *err)                  \
    {                                                                                              \
        return function((const bf_rate_report *)report, out, err);                                 \
    }
PRINTER(bf_report_rate_table)
PRINTER(bf_report_rate_csv)
PRINTER(bf_report_rate_json)
static page_printer *const forms[] = {any_bf_report_rate_table, any_bf_report_rate_csv,
                                      any_bf_report_rate_json};
enum { TABLE, CSV, JSON, FORMS };

START_TEST(a_report_needs_no_case_file)
{
    static char text[ARRIVED];
    rate_once();
    bf_rate_report report = bed.report;
    for (int form = 0; form < FORMS; form++) {
        ck_assert_int_eq(arrive(forms[form], &report, -1, text), BF_OK);
        ck_assert_ptr_nonnull(strstr(text, "plain structs"));
    }
    report.study = &bed.study;
    report.tank = &bed.tank;
    ck_assert_int_eq(arrive(forms[TABLE], &report, -1, text), BF_OK);
    ck_assert_ptr_nonnull(strstr(text, "\nPractical rating\n"));
    ck_assert_ptr_nonnull(strstr(text, "\nTwo beds in turn\n"));
}
END_TEST

START_TEST(a_page_is_whole_whichever_allocation_fails)
{
    rate_once();
    bf_rate_report report = bed.report;
    for (int sheet = 0; sheet < 2; sheet++) {
        report.study = sheet ? &bed.study : NULL;
        report.tank = sheet ? &bed.tank : NULL;
        assert_whole_or_nothing("table", forms[TABLE], &report);
        assert_whole_or_nothing("CSV", forms[CSV], &report);
        assert_whole_or_nothing("JSON", forms[JSON], &report);
    }
}
END_TEST

/* ---- two threads ----------------------------------------------------------------------------- */

typedef struct thread_work {
    bf_rate_report report;
    char whole[ARRIVED];
    char text[ARRIVED];
    long allocations;
    int wrong; /* pages that were neither whole nor nothing */
} thread_work;

static void *print_many(void *context)
{
    thread_work *work = context;
    for (int i = 0; i < 20; i++) {
        const bf_status status = arrive(forms[TABLE], &work->report, work->allocations, work->text);
        work->wrong += work->allocations < 0
                           ? status != BF_OK || strcmp(work->text, work->whole) != 0
                           : status != BF_E_MEMORY || work->text[0] != '\0';
    }
    return NULL;
}

/* One thread has all the memory it wants, the other runs short in the midst of a sheet. */
START_TEST(two_threads_print_at_once)
{
    static thread_work work[2];
    pthread_t other;
    rate_once();
    for (size_t k = 0; k < 2; k++) {
        work[k].report = bed.report;
        work[k].report.study = &bed.study;
        work[k].report.tank = &bed.tank;
        work[k].allocations = k == 0 || !MEMORY_CAN_FAIL ? -1 : 3;
        ck_assert_int_eq(arrive(forms[TABLE], &work[k].report, -1, work[k].whole), BF_OK);
    }
    ck_assert_int_eq(pthread_create(&other, NULL, print_many, &work[1]), 0);
    (void)print_many(&work[0]);
    ck_assert_int_eq(pthread_join(other, NULL), 0);
    ck_assert_int_eq(work[0].wrong, 0);
    ck_assert_int_eq(work[1].wrong, 0);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("report.whole_page");
    TCase *group = tcase_create("all");
    tcase_set_timeout(group, 120.0);
    suite_add_tcase(suite, group);
    tcase_add_test(group, a_report_needs_no_case_file);
    tcase_add_test(group, two_threads_print_at_once);
    if (MEMORY_CAN_FAIL) {
        tcase_add_test(group, a_page_is_whole_whichever_allocation_fails);
    }
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    const int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? 0 : 1;
}
