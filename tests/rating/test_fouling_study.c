/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Campaigns side by side: the same bits however they run, stopped or killed and taken up again too;
 * a saved state that is damaged or another's is refused and left alone. */
#include "brinefront/fouling_study.h"

#include "../iron/trial.h"

#include <glob.h>
#include <signal.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

enum { CAMPAIGNS = 3 };

static void make_specs(bf_campaign_spec spec[CAMPAIGNS])
{
    bf_campaign_spec one = trial(9.3);
    set_water(&one, 18.0, 2.7, 7.6, 1.2);
    one.bed.cells = 10;
    one.draws_per_day = 0.7;
    one.cycles = 24;
    one.potential_every = 5;
    bf_fouling_range(&one, spec);
}

static void assert_same(const bf_campaign_series *a, const bf_campaign_series *b)
{
    ck_assert_uint_eq(a->count, b->count);
    ck_assert_int_eq(a->state, b->state);
    for (size_t k = 0; k < a->count; k++) {
        const bf_campaign_cycle *x = &a->cycle[k];
        const bf_campaign_cycle *y = &b->cycle[k];
        ck_assert(x->cycle == y->cycle && x->bound_kg_per_m3 == y->bound_kg_per_m3);
        ck_assert(x->hardness_last_eq_per_m3 == y->hardness_last_eq_per_m3);
        ck_assert(x->iron.product == y->iron.product && x->iron.waste == y->iron.waste);
        ck_assert(x->potential_eq_per_m3 == y->potential_eq_per_m3 ||
                  (isnan(x->potential_eq_per_m3) && isnan(y->potential_eq_per_m3)));
    }
}

static void free_all(bf_campaign_series series[CAMPAIGNS])
{
    for (int k = 0; k < CAMPAIGNS; k++) {
        bf_campaign_series_free(&series[k]);
    }
}

static const char *a_name(char name[64])
{
    (void)snprintf(name, 64, "/tmp/brinefront-study-%ld", (long)getpid());
    (void)unlink(name);
    return name;
}

/* The file, and what a process that was killed while it wrote left beside it. */
static void remove_all(const char *name)
{
    char pattern[80];
    glob_t found;
    (void)snprintf(pattern, sizeof pattern, "%s*", name);
    if (glob(pattern, 0, NULL, &found) == 0) {
        for (size_t k = 0; k < found.gl_pathc; k++) {
            (void)unlink(found.gl_pathv[k]);
        }
        globfree(&found);
    }
}

static size_t reports;
static double last_share;

static int listen(void *context, double share)
{
    (void)context;
    ck_assert(share >= last_share && share <= 1.0);
    last_share = share;
    reports++;
    return 0;
}

START_TEST(threads_do_not_change_a_bit)
{
    bf_error err = {0};
    bf_campaign_spec spec[CAMPAIGNS];
    make_specs(spec);
    bf_campaign_series one[CAMPAIGNS];
    bf_campaign_series two[CAMPAIGNS];
    bf_campaign_batch batch = {
        .spec = spec, .count = CAMPAIGNS, .threads = 1, .watch = {listen, NULL}};
    reports = 0;
    last_share = 0.0;
    assert_ok(bf_campaign_batch_run(&batch, one, &err));
    ck_assert_uint_eq(reports, 72);
    assert_near(last_share, 1.0, 1e-12);
    batch.threads = 2;
    batch.watch.tell = NULL;
    assert_ok(bf_campaign_batch_run(&batch, two, &err));
    for (int k = 0; k < CAMPAIGNS; k++) {
        assert_same(&one[k], &two[k]);
        ck_assert_int_eq(one[k].state, BF_CAMPAIGN_COMPLETE);
    }
    const size_t end = one[0].count - 1;
    ck_assert(one[BF_FOULING_LOW].cycle[end].bound_kg_per_m3 <
              one[BF_FOULING_EXPECTED].cycle[end].bound_kg_per_m3);
    ck_assert(one[BF_FOULING_EXPECTED].cycle[end].bound_kg_per_m3 <
              one[BF_FOULING_HIGH].cycle[end].bound_kg_per_m3);
    free_all(one);
    free_all(two);
}
END_TEST

START_TEST(a_series_is_read_between_its_cycles)
{
    bf_campaign_cycle cycle[3] = {
        {.day = 3.0, .bound_kg_per_m3 = 1.0, .potential_eq_per_m3 = (double)NAN},
        {.day = 6.0, .bound_kg_per_m3 = 2.5, .potential_eq_per_m3 = 900.0},
        {.day = 12.0, .bound_kg_per_m3 = 4.0, .potential_eq_per_m3 = (double)NAN}};
    const bf_campaign_series series = {.cycle = cycle, .count = 3};
    assert_near(bf_campaign_series_at(&series, BF_CAMPAIGN_BOUND, 1.0), 1.0, 1e-15);
    assert_near(bf_campaign_series_at(&series, BF_CAMPAIGN_BOUND, 3.0), 1.0, 1e-15);
    assert_near(bf_campaign_series_at(&series, BF_CAMPAIGN_BOUND, 8.0), 3.0, 1e-15);
    assert_near(bf_campaign_series_at(&series, BF_CAMPAIGN_BOUND, 99.0), 4.0, 1e-15);
    assert_near(bf_campaign_series_at(&series, BF_CAMPAIGN_POTENTIAL, 1.0), 900.0, 1e-15);
    assert_near(bf_campaign_series_at(&series, BF_CAMPAIGN_POTENTIAL, 40.0), 900.0, 1e-15);
    const bf_campaign_series none = {0};
    ck_assert(isnan(bf_campaign_series_at(&none, BF_CAMPAIGN_BOUND, 1.0)));
    /* Every quantity reads something of its own. */
    bf_campaign_cycle all;
    double *field[BF_CAMPAIGN_QUANTITIES] = {[BF_CAMPAIGN_POTENTIAL] = &all.potential_eq_per_m3,
                                             [BF_CAMPAIGN_CAPACITY] = &all.total_capacity_eq_per_m3,
                                             [BF_CAMPAIGN_HARDNESS] = &all.hardness_mean_eq_per_m3,
                                             [BF_CAMPAIGN_IRON] = &all.iron_mean_g_per_m3,
                                             [BF_CAMPAIGN_MANGANESE] = &all.manganese_mean_g_per_m3,
                                             [BF_CAMPAIGN_PRESSURE] = &all.pressure_ratio,
                                             [BF_CAMPAIGN_LOOSE] = &all.loose_kg_per_m3,
                                             [BF_CAMPAIGN_BOUND] = &all.bound_kg_per_m3,
                                             [BF_CAMPAIGN_BOUND_TOP] = &all.bound_top_kg_per_m3,
                                             [BF_CAMPAIGN_RETENTION] = &all.retention,
                                             [BF_CAMPAIGN_MOISTURE] = &all.moisture,
                                             [BF_CAMPAIGN_ALKALINITY] =
                                                 &all.alkalinity_low_eq_per_m3};
    const bf_campaign_series single = {.cycle = &all, .count = 1};
    for (int q = 0; q < BF_CAMPAIGN_QUANTITIES; q++) {
        all = (bf_campaign_cycle){.day = 1.0};
        *field[q] = 0.37 + q;
        ck_assert(bf_campaign_series_at(&single, (bf_campaign_quantity)q, 1.0) == 0.37 + q);
    }
}
END_TEST

static size_t resumed_cycle;

static void hear_resumed(void *context, size_t cycle)
{
    (void)context;
    resumed_cycle = cycle;
}

/* The process is killed as soon as its checkpoint is there, again and again; what it leaves goes on
 * to the same bits, and a run that was complete only reads. */
START_TEST(a_killed_run_goes_on)
{
    bf_error err = {0};
    char name[64];
    bf_campaign_spec spec[CAMPAIGNS];
    make_specs(spec);
    bf_campaign_series whole[CAMPAIGNS];
    bf_campaign_series resumed[CAMPAIGNS];
    bf_campaign_batch batch = {.spec = spec, .count = CAMPAIGNS, .threads = 2};
    assert_ok(bf_campaign_batch_run(&batch, whole, &err));
    (void)a_name(name);
    int killed = 0;
    for (int time = 0; time < 3; time++) {
        const pid_t child = fork();
        ck_assert_int_ge(child, 0);
        if (child == 0) {
            batch.threads = 1; /* threads of a forked process are its own */
            _exit(bf_campaign_batch_run_file(&batch, name, resumed, &err) == BF_OK ? 0 : 1);
        }
        /* Long enough for the first checkpoint, on a slow machine too. */
        struct stat status;
        for (int wait = 0;
             wait < 2000 && (stat(name, &status) != 0 || status.st_size < 8000 * (time + 1));
             wait++) {
            (void)nanosleep(&(struct timespec){.tv_nsec = 10000000}, NULL);
        }
        (void)nanosleep(&(struct timespec){.tv_nsec = 50000000}, NULL);
        (void)kill(child, SIGKILL);
        int how;
        ck_assert_int_eq(waitpid(child, &how, 0), child);
        killed += WIFSIGNALED(how);
    }
    printf("killed %d of 3 times\n", killed);
    ck_assert_int_gt(killed, 0);
    ck_assert_int_eq(access(name, R_OK), 0);
    for (int time = 0; time < 2; time++) {
        reports = 0;
        last_share = 0.0;
        batch.watch.tell = listen;
        batch.resumed = hear_resumed;
        resumed_cycle = 0;
        assert_ok(bf_campaign_batch_run_file(&batch, name, resumed, &err));
        /* Something was left the first time, nothing the second. */
        ck_assert_int_eq(resumed_cycle > 0, time == 0);
        ck_assert_uint_le(resumed_cycle, spec[0].cycles);
        ck_assert_uint_lt(reports, time == 0 ? 72 : 1); /* the rest; nothing */
        for (int k = 0; k < CAMPAIGNS; k++) {
            assert_same(&resumed[k], &whole[k]);
        }
        free_all(resumed);
    }
    free_all(whole);
    remove_all(name);
}
END_TEST

static size_t load(const char *name, unsigned char **bytes)
{
    FILE *file = fopen(name, "rb");
    ck_assert_ptr_nonnull(file);
    *bytes = malloc(1U << 20);
    const size_t length = fread(*bytes, 1, 1U << 20, file);
    (void)fclose(file);
    return length;
}

static void save(const char *name, const unsigned char *bytes, size_t length)
{
    FILE *file = fopen(name, "wb");
    ck_assert_ptr_nonnull(file);
    ck_assert_uint_eq(fwrite(bytes, 1, length, file), length);
    ck_assert_int_eq(fclose(file), 0);
}

/* Each refusal says why, and the file stays byte for byte. */
static void assert_refused(const bf_campaign_batch *batch, const char *name, const char *why)
{
    bf_error err = {0};
    bf_campaign_series series[CAMPAIGNS];
    unsigned char *before;
    unsigned char *after;
    const size_t length = load(name, &before);
    assert_fails(bf_campaign_batch_run_file(batch, name, series, &err), BF_E_FILE, why);
    ck_assert_uint_eq(load(name, &after), length);
    ck_assert_int_eq(memcmp(before, after, length), 0);
    free(before);
    free(after);
    free_all(series);
}

START_TEST(a_checkpoint_that_does_not_fit_is_refused)
{
    bf_error err = {0};
    char name[64];
    bf_campaign_spec spec[CAMPAIGNS];
    make_specs(spec);
    for (int k = 0; k < CAMPAIGNS; k++) {
        spec[k].cycles = 2;
    }
    bf_campaign_series series[CAMPAIGNS];
    bf_campaign_batch batch = {.spec = spec, .count = CAMPAIGNS};
    assert_ok(bf_campaign_batch_run_file(&batch, a_name(name), series, &err));
    free_all(series);
    unsigned char *bytes;
    const size_t length = load(name, &bytes);
    /* One bit anywhere, an early end, another kind of file, nothing. */
    const size_t places[] = {25, 60, length / 2, length - 2};
    for (size_t p = 0; p < 4; p++) {
        bytes[places[p]] ^= 0x10;
        save(name, bytes, length);
        assert_refused(&batch, name, "sum does not fit");
        bytes[places[p]] ^= 0x10;
    }
    save(name, bytes, length - 1);
    assert_refused(&batch, name, "damaged");
    save(name, bytes, 30);
    assert_refused(&batch, name, "ends early");
    save(name, (const unsigned char *)"day,capacity\n", 13);
    assert_refused(&batch, name, "no checkpoint");
    save(name, bytes, 0);
    assert_refused(&batch, name, "no checkpoint");
    save(name, bytes, length);
    spec[1].water_m3_per_day *= 1.01;
    assert_refused(&batch, name, "another campaign");
    spec[1].water_m3_per_day = spec[0].water_m3_per_day;
    batch.count = 2;
    assert_refused(&batch, name, "another campaign");
    batch.count = CAMPAIGNS;
    /* And the whole one is taken. */
    assert_ok(bf_campaign_batch_run_file(&batch, name, series, &err));
    free_all(series);
    remove_all(name);
    assert_fails(bf_campaign_batch_run_file(&batch, "/no/such/folder/state", series, &err),
                 BF_E_WRITE, "/no/such/folder");
    free_all(series);
    assert_fails(bf_campaign_batch_run_file(&batch, "/tmp", series, &err), BF_E_FILE, "/tmp");
    free_all(series);
    spec[2].slices = 0;
    assert_fails(bf_campaign_batch_run(&batch, series, &err), BF_E_RANGE, "slices");
    free_all(series);
    free(bytes);
}
END_TEST

/* ---- bytes in, bytes out --------------------------------------------------------------------- */

typedef struct shelf {
    unsigned char *bytes;
    size_t length;
    size_t times;      /* it was saved */
    size_t full_after; /* times that are taken; 0: all */
    size_t stop_after; /* times told until a stop is asked for; 0: never */
} shelf;

static bf_status put_away(void *context, const void *bytes, size_t length, bf_error *err)
{
    shelf *s = context;
    s->times++;
    if (s->full_after > 0 && s->times > s->full_after) {
        return bf_error_set(err, BF_E_WRITE, "shelf", "the shelf is full");
    }
    free(s->bytes);
    s->bytes = malloc(length);
    ck_assert_ptr_nonnull(s->bytes);
    memcpy(s->bytes, bytes, length);
    s->length = length;
    return BF_OK;
}

static int stop_after(void *context, double share)
{
    const shelf *s = context;
    ck_assert(share >= last_share && share <= 1.0);
    last_share = share;
    reports++;
    return s->stop_after > 0 && reports >= s->stop_after;
}

/* Stopped again and again, in one thread and in two, it gives the cycles of the whole run so far,
 * and what it saved goes on to its end. */
START_TEST(a_stopped_run_goes_on_from_its_bytes)
{
    bf_error err = {0};
    bf_campaign_spec spec[CAMPAIGNS];
    make_specs(spec);
    bf_campaign_series whole[CAMPAIGNS];
    bf_campaign_series part[CAMPAIGNS];
    const bf_campaign_batch plain = {.spec = spec, .count = CAMPAIGNS, .threads = 2};
    assert_ok(bf_campaign_batch_run(&plain, whole, &err));
    for (int threads = 1; threads <= 2; threads++) {
        shelf s = {.stop_after = 17};
        size_t stops = 0;
        size_t cycles = 0;
        bf_status status = BF_E_STOPPED;
        while (status == BF_E_STOPPED) {
            /* Now and then only: what a stop leaves is saved all the same. */
            unsigned char *saved = s.bytes;
            const bf_campaign_batch batch = {.spec = spec,
                                             .count = CAMPAIGNS,
                                             .threads = threads,
                                             .watch = {stop_after, &s},
                                             .saved = saved,
                                             .saved_length = s.length,
                                             .save = put_away,
                                             .save_every_s = 1e6,
                                             .resumed = hear_resumed,
                                             .context = &s};
            s.bytes = NULL;
            reports = 0;
            last_share = 0.0;
            status = bf_campaign_batch_run(&batch, part, &err);
            free(saved);
            cycles = 0;
            for (int k = 0; k < CAMPAIGNS; k++) {
                cycles += part[k].count;
                ck_assert(part[k].count <= whole[k].count);
                for (size_t c = 0; c < part[k].count; c++) {
                    ck_assert(part[k].cycle[c].bound_kg_per_m3 ==
                              whole[k].cycle[c].bound_kg_per_m3);
                }
                if (status == BF_OK) {
                    assert_same(&part[k], &whole[k]);
                }
            }
            if (status == BF_E_STOPPED) {
                stops++;
                ck_assert_msg(strstr(err.message, "stopped") != NULL, "%s", err.message);
                /* Another thread may end a cycle that it had begun. */
                ck_assert_uint_ge(cycles, 17 * stops);
                ck_assert_uint_le(cycles, (17 + (size_t)threads - 1) * stops);
            }
            free_all(part);
        }
        ck_assert_msg(status == BF_OK, "%s", err.message);
        ck_assert_uint_eq(cycles, 72);
        ck_assert_uint_ge(stops, 3);
        free(s.bytes);
    }
    free_all(whole);
}
END_TEST

START_TEST(a_stop_after_the_last_cycle_is_no_stop)
{
    bf_error err = {0};
    bf_campaign_spec spec[CAMPAIGNS];
    make_specs(spec);
    for (int k = 0; k < CAMPAIGNS; k++) {
        spec[k].cycles = 2;
    }
    bf_campaign_series series[CAMPAIGNS];
    shelf s = {.stop_after = 6};
    const bf_campaign_batch batch = {
        .spec = spec, .count = CAMPAIGNS, .threads = 1, .watch = {stop_after, &s}};
    reports = 0;
    last_share = 0.0;
    assert_ok(bf_campaign_batch_run(&batch, series, &err));
    ck_assert_uint_eq(reports, 6);
    free_all(series);
}
END_TEST

/* Damaged bytes in memory are refused by name; what cannot be saved ends the batch, whose series
 * stay readable. */
START_TEST(saving_can_fail)
{
    bf_error err = {0};
    bf_campaign_spec spec[CAMPAIGNS];
    make_specs(spec);
    bf_campaign_series series[CAMPAIGNS];
    shelf s = {.full_after = 4};
    bf_campaign_batch batch = {
        .spec = spec, .count = CAMPAIGNS, .threads = 2, .save = put_away, .context = &s};
    assert_fails(bf_campaign_batch_run(&batch, series, &err), BF_E_WRITE, "the shelf is full");
    ck_assert_uint_eq(s.times, 5);
    size_t cycles = 0;
    for (int k = 0; k < CAMPAIGNS; k++) {
        cycles += series[k].count;
    }
    ck_assert_uint_ge(cycles, 4);
    ck_assert_uint_le(cycles, 5);
    free_all(series);
    batch.saved = s.bytes;
    batch.saved_length = s.length;
    s.bytes[s.length / 3] ^= 0x04;
    assert_fails(bf_campaign_batch_run(&batch, series, &err), BF_E_FILE,
                 "the saved state is damaged");
    free_all(series);
    batch.saved_name = "drawer 7";
    assert_fails(bf_campaign_batch_run(&batch, series, &err), BF_E_FILE, "drawer 7 is damaged");
    free_all(series);
    batch.saved_length = 0;
    assert_fails(bf_campaign_batch_run(&batch, series, &err), BF_E_FILE, "no checkpoint");
    free_all(series);
    free(s.bytes);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {threads_do_not_change_a_bit,
                                  a_series_is_read_between_its_cycles,
                                  a_killed_run_goes_on,
                                  a_checkpoint_that_does_not_fit_is_refused,
                                  a_stopped_run_goes_on_from_its_bytes,
                                  a_stop_after_the_last_cycle_is_no_stop,
                                  saving_can_fail};
    return support_run("rating.fouling_study", tests, sizeof tests / sizeof *tests, 300.0);
}
