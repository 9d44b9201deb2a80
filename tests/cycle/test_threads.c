/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Two beds in two threads, sharing one equilibrium, do to the bit what they do one after the other:
 * nothing is kept outside the bed. */
#include "rig.h"

#include <pthread.h>

enum { CELLS = 36, SHELLS = 4, IONS = 5, BEDS = 2, PROFILES = 2 * IONS * CELLS };

static const bf_ion ions[IONS] = {BF_ION_NA, BF_ION_CA, BF_ION_MG, BF_ION_K, BF_ION_FE};

/* Everything a run leaves behind, doubles only: no padding to compare. */
typedef struct trace {
    double profile[PROFILES];
    double figure[12];
    double step[BF_RECIPE_STEPS][3 * BF_ION_COUNT + 8];
} trace;

typedef struct job {
    const bf_selectivity *selectivity;
    bf_site site;
    bf_bed_spec spec;
    bf_recipe recipe;
    bf_status status;
    bf_error err;
    trace left;
} job;

static void note_step(const bf_step_result *step, double *trace_line)
{
    const bf_passage *passage = &step->passage;
    const double figures[] = {step->duration_s,
                              step->bed_volumes,
                              step->water_bed_volumes,
                              passage->hardness_low_eq_per_m3,
                              passage->hardness_last_eq_per_m3,
                              passage->imbalance_eq_per_m3,
                              (double)passage->steps,
                              step->counted.duration_s};
    memcpy(trace_line, figures, sizeof figures);
    trace_line += sizeof figures / sizeof *figures;
    memcpy(trace_line, passage->in_eq_per_m3, sizeof passage->in_eq_per_m3);
    memcpy(trace_line + BF_ION_COUNT, passage->out_eq_per_m3, sizeof passage->out_eq_per_m3);
    memcpy(trace_line + 2 * BF_ION_COUNT, passage->stored_eq_per_m3,
           sizeof passage->stored_eq_per_m3);
}

static void note(const bf_bed *bed, const bf_steady_result *result, trace *trace_line)
{
    memset(trace_line, 0, sizeof *trace_line);
    for (size_t i = 0; i < IONS; i++) {
        double *profile = trace_line->profile + 2 * i * CELLS;
        bf_bed_profile(bed, ions[i], profile, profile + CELLS);
    }
    const bf_cycle_result *cycle = &result->cycle;
    const double figures[12] = {
        cycle->capacity_eq_per_m3,    cycle->leakage_mean_eq_per_m3, cycle->leakage_first_eq_per_m3,
        cycle->leakage_low_eq_per_m3, cycle->throughput_bed_volumes, cycle->water_bed_volumes,
        cycle->salt_kg_per_m3,        cycle->regeneration_s,         cycle->balance_error,
        result->capacity_error,       result->leakage_error,         (double)result->cycles};
    memcpy(trace_line->figure, figures, sizeof figures);
    for (size_t s = 0; s < cycle->step_count; s++) {
        note_step(&cycle->step[s], trace_line->step[s]);
    }
}

/* Runs in a thread, where no assertion may fail: it reports by status. */
static void *work(void *argument)
{
    job *own = argument;
    const bf_steady_spec spec = {
        .most_cycles = 4, .capacity_tolerance = 1e-8, .leakage_tolerance = 1e-8};
    bf_bed *bed = NULL;
    bf_steady_result result;
    own->status = bf_bed_create(&own->spec, own->selectivity, &bed, &own->err);
    if (own->status == BF_OK) {
        own->status = bf_steady_run(&own->recipe, &own->site, &spec, bed, &result, &own->err);
    }
    if (own->status == BF_OK) {
        note(bed, &result, &own->left);
    }
    bf_bed_free(bed);
    return NULL;
}

START_TEST(two_threads_leave_the_bits_of_one)
{
    bf_error err = {0};
    bf_water water;
    rig r;
    const double more[BF_ION_COUNT] = {[BF_ION_FE] = 0.037};
    assert_ok(rig_water(413.0, 2.37, more, &water, &err));
    assert_ok(rig_open(&r, &water, BF_SALT_KCL, 0.38, CELLS, SHELLS, &err));
    job jobs[BEDS] = {
        {.selectivity = r.selectivity, .site = r.site, .spec = r.spec},
        {.selectivity = r.selectivity, .site = r.site, .spec = r.spec},
    };
    jobs[0].recipe = rig_co_current(7.3);
    jobs[1].recipe = rig_counter_current(5.9);
    jobs[1].recipe.step[1].salt = BF_SALT_KCL;

    trace alone[BEDS];
    for (size_t b = 0; b < BEDS; b++) {
        (void)work(&jobs[b]);
        ck_assert_msg(jobs[b].status == BF_OK, "%s", jobs[b].err.message);
        alone[b] = jobs[b].left;
    }
    /* The two differ, and both did something: else equality below would prove nothing. */
    ck_assert_int_ne(memcmp(&alone[0], &alone[1], sizeof alone[0]), 0);
    ck_assert_double_gt(alone[0].figure[0], 500.0);
    ck_assert_double_gt(alone[1].figure[0], 500.0);

    for (int round = 0; round < 3; round++) {
        pthread_t thread[BEDS];
        for (size_t b = 0; b < BEDS; b++) {
            memset(&jobs[b].left, 0, sizeof jobs[b].left);
            ck_assert_int_eq(pthread_create(&thread[b], NULL, work, &jobs[b]), 0);
        }
        for (size_t b = 0; b < BEDS; b++) {
            ck_assert_int_eq(pthread_join(thread[b], NULL), 0);
        }
        for (size_t b = 0; b < BEDS; b++) {
            const trace *left = &jobs[b].left;
            ck_assert_msg(jobs[b].status == BF_OK, "%s", jobs[b].err.message);
            ck_assert_int_eq(memcmp(left->profile, alone[b].profile, sizeof left->profile), 0);
            ck_assert_int_eq(memcmp(left->figure, alone[b].figure, sizeof left->figure), 0);
            ck_assert_int_eq(memcmp(left->step, alone[b].step, sizeof left->step), 0);
        }
    }
    rig_close(&r);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {two_threads_leave_the_bits_of_one};
    return support_run("cycle.threads", tests, sizeof tests / sizeof *tests, 120);
}
