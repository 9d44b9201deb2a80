/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A page arrives whole or not at all, whichever allocation fails and from two threads at once; and
 * it needs no case file. */
#include "../rating/coarse_bed.h"
#include "brinefront/report.h"

#include <pthread.h>
#include <stdatomic.h>
#include <string.h>

/* ---- allocations that fail ------------------------------------------------------------------- */

/* Of this thread: how many allocations are still granted; negative: all. */
static _Thread_local long granted = -1;

static int is_granted(void)
{
    if (granted > 0) {
        granted--;
    }
    return granted != 0;
}

#if !defined(__SANITIZE_ADDRESS__) && !defined(__SANITIZE_THREAD__)
enum { MEMORY_CAN_FAIL = 1 };

/* The C library's own streams come here too, since a program may bring its own malloc: glibc
 * manual, "Replacing malloc". */
void *__libc_malloc(size_t size);
void *__libc_calloc(size_t count, size_t size);
void *__libc_realloc(void *old, size_t size);
__attribute__((visibility("default"))) void *malloc(size_t size);
__attribute__((visibility("default"))) void *calloc(size_t count, size_t size);
__attribute__((visibility("default"))) void *realloc(void *old, size_t size);

void *malloc(size_t size)
{
    return is_granted() ? __libc_malloc(size) : NULL;
}

void *calloc(size_t count, size_t size)
{
    return is_granted() ? __libc_calloc(count, size) : NULL;
}

void *realloc(void *old, size_t size)
{
    return is_granted() ? __libc_realloc(old, size) : NULL;
}
#else
enum { MEMORY_CAN_FAIL = 0 }; /* the sanitizer has a malloc of its own */
#endif

/* ---- a report from plain structs ------------------------------------------------------------- */

enum { DOSES = 2, TEXT = 60000 };

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
                              .draws = {(double)NAN, (double)NAN}};
    bed.tank.spec.diameter_m = bed.rating.bed.diameter_m;
    const bf_tank_study_spec spec = {.rating = &bed.rating,
                                     .tank = &bed.tank.spec,
                                     .protocol = bed.tank.protocol,
                                     .quantile = bed.tank.quantile,
                                     .samples = bed.tank.samples,
                                     .blend_eq_per_m3 = bed.tank.blend_eq_per_m3,
                                     .uneven = bed.tank.uneven,
                                     .draws = bed.tank.draws,
                                     .dose_kg_per_m3 = doses,
                                     .count = DOSES,
                                     .threads = 1};
    assert_ok(bf_tank_study_run(&spec, &bed.study, NULL, &err));
    bed.report = (bf_rate_report){.page = {.title = "plain structs", .rating = &bed.rating},
                                  .points = bed.points,
                                  .count = DOSES,
                                  .grid = {(double)NAN, (double)NAN, (double)NAN}};
}

typedef bf_status printer(const bf_rate_report *report, FILE *out, bf_error *err);
static printer *const forms[] = {bf_report_rate_table, bf_report_rate_csv, bf_report_rate_json};
enum { TABLE, CSV, JSON, FORMS };

/* What arrives at a file whose buffer is this function's own, so that the file needs no memory. */
static bf_status arrive(const bf_rate_report *report, int form, long allocations, char *text)
{
    char buffer[BUFSIZ];
    bf_error err = {0};
    FILE *file = tmpfile();
    ck_assert_ptr_nonnull(file);
    ck_assert_int_eq(setvbuf(file, buffer, _IOFBF, sizeof buffer), 0);
    granted = allocations;
    const bf_status status = forms[form](report, file, &err);
    granted = -1;
    rewind(file);
    const size_t length = fread(text, 1, TEXT - 1, file);
    text[length] = '\0';
    ck_assert_int_eq(fclose(file), 0);
    return status;
}

START_TEST(a_report_needs_no_case_file)
{
    static char text[TEXT];
    rate_once();
    bf_rate_report report = bed.report;
    for (int form = 0; form < FORMS; form++) {
        ck_assert_int_eq(arrive(&report, form, -1, text), BF_OK);
        ck_assert_ptr_nonnull(strstr(text, "plain structs"));
    }
    report.study = &bed.study;
    report.tank = &bed.tank;
    ck_assert_int_eq(arrive(&report, TABLE, -1, text), BF_OK);
    ck_assert_ptr_nonnull(strstr(text, "\nPractical rating\n"));
    ck_assert_ptr_nonnull(strstr(text, "\nTwo beds in turn\n"));
}
END_TEST

/* Every number of allocations from none up to enough. */
static void assert_whole_or_nothing(const bf_rate_report *report, int form)
{
    static _Thread_local char whole[TEXT], text[TEXT];
    long allocations = 0;
    bf_status status = arrive(report, form, -1, whole);
    ck_assert_int_eq(status, BF_OK);
    do {
        status = arrive(report, form, allocations, text);
        ck_assert_msg(status == BF_OK || status == BF_E_MEMORY, "%s", bf_status_name(status));
        ck_assert_msg(strcmp(text, status == BF_OK ? whole : "") == 0,
                      "after %ld allocations %s and %zu of %zu bytes", allocations,
                      bf_status_name(status), strlen(text), strlen(whole));
        allocations++;
    } while (status != BF_OK);
    ck_assert_int_gt(allocations, 2);
}

START_TEST(a_page_is_whole_whichever_allocation_fails)
{
    rate_once();
    bf_rate_report report = bed.report;
    for (int sheet = 0; sheet < 2; sheet++) {
        report.study = sheet ? &bed.study : NULL;
        report.tank = sheet ? &bed.tank : NULL;
        assert_whole_or_nothing(&report, TABLE);
        assert_whole_or_nothing(&report, CSV);
    }
}
END_TEST

/* ---- two threads ----------------------------------------------------------------------------- */

typedef struct thread_work {
    bf_rate_report report;
    char whole[TEXT];
    char text[TEXT];
    long allocations;
    int wrong; /* pages that were neither whole nor nothing */
} thread_work;

static void *print_many(void *context)
{
    thread_work *work = context;
    for (int i = 0; i < 20; i++) {
        const bf_status status = arrive(&work->report, TABLE, work->allocations, work->text);
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
        ck_assert_int_eq(arrive(&work[k].report, TABLE, -1, work[k].whole), BF_OK);
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
