/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Every case with a campaign is simulated and every case with a vessel gets its rating sheet, on grids
 * too coarse to trust and quick to run, and compared with the numbers it gave before,
 * tests/cases/coarse/years.csv and vessels.csv. Regression, not validation: such a number says only
 * that nothing moved. Where one is moved on purpose, write the files anew:
 *     build/tests/cases.coarse --write */
#include "brinefront/case.h"
#include "brinefront/fouling_study.h"
#include "brinefront/tank_study.h"
#include "support.h"

#include <dirent.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof *(array))

/* Another compiler rounds otherwise (test_cases.c): 5e-3 of what is held, 2e-2 of what leaks. */
#define SAME_AMOUNT 0.005
#define SAME_LEAKAGE 0.02

enum { NAMES = 64, ROWS = 400, CYCLES = 12 };

static int writing;

/* "case,quantity,value,tolerance" */
typedef struct row {
    char name[64], quantity[64];
    double value, tolerance;
} row;

typedef struct table {
    row row[ROWS];
    size_t count;
} table;

static void add(table *out, const char *name, const char *quantity, double value, double tolerance)
{
    ck_assert_uint_lt(out->count, ROWS);
    row *next = &out->row[out->count++];
    (void)snprintf(next->name, sizeof next->name, "%s", name);
    (void)snprintf(next->quantity, sizeof next->quantity, "%s", quantity);
    next->value = value;
    next->tolerance = tolerance;
}

static void read_case(const char *name, bf_case *out)
{
    char path[600];
    bf_error err = {0};
    (void)snprintf(path, sizeof path, "%s/cases/%s.yaml", BF_SOURCE_DIR, name);
    assert_ok(bf_case_read(path, out, NULL, &err));
}

/* A dozen cycles on eight cells, those that a case wants skipped skipped. */
static int add_years(const bf_case *input, const char *name, table *out)
{
    bf_error err = {0};
    bf_campaign_cycle cycle[CYCLES];
    size_t done = 0;
    if (!input->campaign.is_stated) {
        return 0;
    }
    bf_campaign_spec spec = input->campaign.spec;
    spec.bed.cells = 8;
    spec.bed.shells = 2;
    spec.slices = 2;
    spec.draws_per_day = 1.0;
    spec.cycles = CYCLES;
    spec.potential_every = CYCLES;
    assert_ok(bf_campaign_run(&spec, cycle, &done, &err));
    ck_assert_uint_gt(done, 0);
    const bf_campaign_cycle *last = &cycle[done - 1];
    /* As in test_campaign_events.c, the default tolerance; 2e-8 was measured on these cases. */
    ck_assert_double_le(fabs(bf_campaign_account_error(&last->iron)), 1e-6);
    ck_assert_double_le(fabs(bf_campaign_account_error(&last->manganese)), 1e-6);
    add(out, name, "cycles", (double)last->cycle, 0.0);
    add(out, name, "day", last->day, 1e-9);
    add(out, name, "loose_kg_per_m3", last->loose_kg_per_m3, SAME_AMOUNT);
    add(out, name, "bound_kg_per_m3", last->bound_kg_per_m3, SAME_AMOUNT);
    add(out, name, "potential_eq_per_m3", last->potential_eq_per_m3, SAME_AMOUNT);
    add(out, name, "pressure_ratio", last->pressure_ratio, SAME_AMOUNT);
    add(out, name, "moisture", last->moisture, SAME_AMOUNT);
    add(out, name, "hardness_mean_eq_per_m3", last->hardness_mean_eq_per_m3, SAME_LEAKAGE);
    add(out, name, "iron_mean_g_per_m3", last->iron_mean_g_per_m3, SAME_LEAKAGE);
    add(out, name, "manganese_mean_g_per_m3", last->manganese_mean_g_per_m3, SAME_LEAKAGE);
    return 1;
}

/* The whole study of a vessel at the last two doses, its bands of the fewest samples. */
static int add_vessel(const bf_case *input, const char *name, table *out)
{
    static bf_tank_study study;
    bf_error err = {0};
    if (!input->tank.is_stated) {
        return 0;
    }
    bf_rating_spec rating = input->rating;
    rating.bed.cells = 12;
    rating.bed.shells = 1;
    const size_t count = input->dose_count < 2 ? input->dose_count : 2;
    bf_tank_study_spec spec = {.rating = &rating,
                               .tank = &input->tank.spec,
                               .protocol = input->tank.protocol,
                               .quantile = input->tank.quantile,
                               .samples = 16,
                               .blend_eq_per_m3 = input->tank.blend_eq_per_m3,
                               .uneven = input->tank.uneven,
                               .stagnation = input->tank.stagnation,
                               .dose_kg_per_m3 = input->dose_kg_per_m3 + input->dose_count - count,
                               .count = count};
    assert_ok(bf_tank_study_run(&spec, &study, NULL, &err));
    size_t criteria = 0;
    for (size_t c = 0; c < BF_CRITERIA; c++) {
        criteria += study.criterion[c].holds > 0;
    }
    add(out, name, "criteria", (double)criteria, 0.0);
    add(out, name, "rated_m3_per_s", study.sheet.rated_m3_per_s, 1e-6);
    add(out, name, "bed_rated_Pa", study.sheet.bed_rated_Pa, 1e-6);
    for (size_t d = 0; d < study.count; d++) {
        const bf_tank_dose *dose = &study.dose[d];
        ck_assert_int_ne(dose->has_band, 0);
        ck_assert_double_lt(dose->point.steady.cycle.balance_error, 1e-6);
        add(out, name, "dose_kg_per_m3", dose->point.dose_kg_per_m3, 1e-9);
        add(out, name, "capacity_kg", dose->tank.capacity_kg, SAME_AMOUNT);
        add(out, name, "water_m3", dose->tank.water_m3, SAME_AMOUNT);
        add(out, name, "regeneration_s", dose->sheet.regeneration_s, 1e-6);
        add(out, name, "practical_eq_per_m3", dose->span[BF_BAND_CAPACITY].practical, SAME_AMOUNT);
        add(out, name, "leakage_high_eq_per_m3", dose->span[BF_BAND_LEAKAGE].high, SAME_LEAKAGE);
    }
    bf_tank_study_free(&study);
    return 1;
}

static int by_name(const void *a, const void *b)
{
    return strcmp(a, b);
}

/* Names of the cases, sorted. */
static size_t all_cases(char names[NAMES][64])
{
    DIR *folder = opendir(BF_SOURCE_DIR "/cases");
    ck_assert_ptr_nonnull(folder);
    size_t count = 0;
    for (struct dirent *entry; (entry = readdir(folder)) != NULL;) {
        const char *dot = strrchr(entry->d_name, '.');
        if (dot != NULL && strcmp(dot, ".yaml") == 0) {
            ck_assert_uint_lt(count, NAMES);
            (void)snprintf(names[count++], 64, "%.*s", (int)(dot - entry->d_name), entry->d_name);
        }
    }
    ck_assert_int_eq(closedir(folder), 0);
    qsort(names, count, sizeof *names, by_name);
    return count;
}

static void write_table(const char *path, const table *found)
{
    FILE *file = fopen(path, "w");
    ck_assert_ptr_nonnull(file);
    for (size_t i = 0; i < found->count; i++) {
        const row *r = &found->row[i];
        (void)fprintf(file, "%s,%s,%.6g\n", r->name, r->quantity, r->value);
    }
    ck_assert_int_eq(fclose(file), 0);
}

/* The stored rows are those found, in their order. */
static void compare(const char *path, const table *found)
{
    char line[200];
    size_t index = 0;
    FILE *file = fopen(path, "r");
    ck_assert_msg(file != NULL, "%s is not there", path);
    while (fgets(line, sizeof line, file) != NULL) {
        char name[64], quantity[64];
        double value = 0.0;
        ck_assert_int_eq(sscanf(line, "%63[^,],%63[^,],%lf", name, quantity, &value), 3);
        ck_assert_msg(index < found->count, "%s,%s: no longer computed", name, quantity);
        const row *r = &found->row[index++];
        ck_assert_str_eq(r->name, name);
        ck_assert_str_eq(r->quantity, quantity);
        /* Six digits are stored; what is nothing is nothing to 1e-9 of its unit. */
        const int near = isnan(value) ? isnan(r->value)
                                      : support_near(r->value, value, r->tolerance + 5e-6, 1e-9,
                                                     quantity, __FILE__, __LINE__);
        ck_assert_msg(near, "%s: %s was %g, is %g", name, quantity, value, r->value);
    }
    ck_assert_int_eq(fclose(file), 0);
    ck_assert_msg(index == found->count, "%s lacks %s, %s", path, found->row[index].name,
                  found->row[index].quantity);
}

static void check(int (*compute)(const bf_case *input, const char *name, table *out),
                  const char *path)
{
    static table found;
    static bf_case input;
    char names[NAMES][64];
    const size_t count = all_cases(names);
    size_t computed = 0;
    found.count = 0; /* the two tests share it where they run in one process */
    for (size_t i = 0; i < count; i++) {
        read_case(names[i], &input);
        computed += compute(&input, names[i], &found) != 0;
    }
    ck_assert_uint_gt(computed, 0);
    if (writing) {
        write_table(path, &found);
    } else {
        compare(path, &found);
    }
}

START_TEST(every_campaign_is_simulated)
{
    check(add_years, BF_SOURCE_DIR "/tests/cases/coarse/years.csv");
}
END_TEST

START_TEST(every_vessel_is_rated)
{
    check(add_vessel, BF_SOURCE_DIR "/tests/cases/coarse/vessels.csv");
}
END_TEST

int main(int count, char **arguments)
{
    const TTest *const tests[] = {every_campaign_is_simulated, every_vessel_is_rated};
    writing = count == 2 && strcmp(arguments[1], "--write") == 0;
    return support_run("coarse cases", tests, COUNT(tests), 300);
}
