/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Nothing is allocated while a bed runs, and every allocation before that may fail. The linker
 * sends the model's calls of malloc and its kin here (--wrap, see CMakeLists.txt); those inside
 * shared libraries are not seen. */
#include "bed/block_solver.h"
#include "bed/vector.h"
#include "column_case.h"
#include "simple_bed.h"
#include "support.h"

#include <cvode/cvode.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof *(array))

/* volatile: a compiler takes malloc() to leave a program's own variables alone. */
static volatile struct {
    size_t calls;
    size_t fail_from; /* this call and the later ones fail; 0: none */
    size_t fail_to;   /* first that succeeds again */
} heap;

void *__real_malloc(size_t size);
void *__real_calloc(size_t count, size_t size);
void *__real_realloc(void *old, size_t size);
void *__real_aligned_alloc(size_t alignment, size_t size);
void *__wrap_malloc(size_t size);
void *__wrap_calloc(size_t count, size_t size);
void *__wrap_realloc(void *old, size_t size);
void *__wrap_aligned_alloc(size_t alignment, size_t size);

static int fails_now(void)
{
    heap.calls++;
    return heap.fail_from > 0 && heap.calls >= heap.fail_from && heap.calls < heap.fail_to;
}

void *__wrap_malloc(size_t size)
{
    return fails_now() ? NULL : __real_malloc(size);
}

void *__wrap_calloc(size_t count, size_t size)
{
    return fails_now() ? NULL : __real_calloc(count, size);
}

void *__wrap_realloc(void *old, size_t size)
{
    return fails_now() ? NULL : __real_realloc(old, size);
}

void *__wrap_aligned_alloc(size_t alignment, size_t size)
{
    return fails_now() ? NULL : __real_aligned_alloc(alignment, size);
}

/* From here on it is SUNDIALS that asks for vectors, and N_VClone() of 6.4.1 writes through the
 * NULL that a failed clone returns: nothing outside that library can survive it, so nothing fails.
 */
int __real_CVodeInit(void *cvode_mem, CVRhsFn f, realtype t0, N_Vector y0);
int __wrap_CVodeInit(void *cvode_mem, CVRhsFn f, realtype t0, N_Vector y0);

int __wrap_CVodeInit(void *cvode_mem, CVRhsFn f, realtype t0, N_Vector y0)
{
    heap.fail_from = 0;
    return __real_CVodeInit(cvode_mem, f, t0, y0);
}

/* The test framework allocates, too: counts are read before they are asserted. */
START_TEST(the_counter_counts)
{
    void *volatile memory; /* volatile: not optimised away */
    size_t calls[5];
    heap.calls = 0;
    memory = malloc(17);
    calls[0] = heap.calls;
    memory = realloc(memory, 41);
    calls[1] = heap.calls;
    free(memory);
    memory = calloc(3, 5);
    calls[2] = heap.calls;
    free(memory);
    memory = aligned_alloc(64, 128);
    calls[3] = heap.calls;
    free(memory);
    /* The model's own calls are seen, not only this file's. */
    bf_error err = {0};
    bf_selectivity *selectivity = NULL;
    bf_selectivity_spec spec = {.law = BF_EQUILIBRIUM_LINEAR,
                                .ions = {.count = 1, .ion = {BF_ION_CA}},
                                .constant = {[BF_ION_CA] = 1.0}};
    bf_status status = bf_selectivity_create(&spec, &selectivity, &err);
    calls[4] = heap.calls;
    ck_assert_int_eq(status, BF_OK);
    for (size_t i = 0; i < COUNT(calls); i++) {
        ck_assert_uint_eq(calls[i], i + 1);
    }
    bf_selectivity_free(selectivity);
    /* And they fail when told to. */
    heap.calls = 0;
    heap.fail_from = 1;
    heap.fail_to = 2;
    void *volatile first = malloc(17);
    void *volatile second = malloc(17);
    heap.fail_from = 0;
    ck_assert_ptr_null(first);
    ck_assert_ptr_nonnull(second);
    free(second);
}
END_TEST

/* Every rate law and number of sources, few ions and all. */
START_TEST(the_right_hand_side_and_its_matrix_allocate_nothing)
{
    unsigned long long seed = 701;
    const size_t ion_counts[] = {1, 3, 9};
    for (size_t n = 0; n < COUNT(ion_counts); n++) {
        bf_selectivity *tables = column_equilibrium(ion_counts[n], BF_EQUILIBRIUM_MASS_ACTION);
        bf_selectivity *factors =
            column_equilibrium(ion_counts[n], BF_EQUILIBRIUM_SEPARATION_FACTOR);
        for (int law = BF_RATE_FILM_AND_BEAD; law <= BF_RATE_EQUILIBRIUM; law++) {
            for (int sources = 0; sources <= 3; sources++) {
                bf_error err = {0};
                column_choice choice = {
                    .cells = 13,
                    .ions = ion_counts[n],
                    .shells = law == BF_RATE_FILM_AND_BEAD || law == BF_RATE_BEAD ? 5 : 1,
                    .freeboard = (bf__freeboard)(sources % 3),
                    .rate_law = (bf_rate_law)law,
                    .equilibrium = law == BF_RATE_REACTION ? BF_EQUILIBRIUM_SEPARATION_FACTOR
                                                           : BF_EQUILIBRIUM_MASS_ACTION,
                    .sources = sources};
                column_case sample;
                column_case_create(&choice, law == BF_RATE_REACTION ? factors : tables, &seed,
                                   &sample);
                bf__jacobian *jacobian = NULL;
                bf__block_solver *solver = NULL;
                assert_ok(bf__jacobian_create(&sample.column.layout, sources > 0, &jacobian, &err));
                assert_ok(
                    bf__block_solver_create(&sample.column.layout, sources > 0, &solver, &err));
                double *rate = calloc(sample.length, sizeof *rate);
                ck_assert_ptr_nonnull(rate);

                int flags[3];
                size_t calls[4];
                heap.calls = 0;
                flags[0] = bf__column_rate(&sample.column, 0.3, sample.state, rate);
                calls[0] = heap.calls;
                flags[1] = bf__jacobian_evaluate(jacobian, &sample.column, 0.3, sample.state);
                calls[1] = heap.calls;
                flags[2] = bf__block_solver_factor(solver, &sample.column, jacobian, 2.7);
                calls[2] = heap.calls;
                bf__block_solver_solve(solver, rate, rate);
                calls[3] = heap.calls;
                for (size_t i = 0; i < COUNT(calls); i++) {
                    ck_assert_uint_eq(calls[i], 0);
                    ck_assert_int_eq(i < 3 ? flags[i] : 0, 0);
                }

                free(rate);
                bf__block_solver_free(solver);
                bf__jacobian_free(jacobian);
                column_case_free(&sample);
            }
        }
        bf_selectivity_free(tables);
        bf_selectivity_free(factors);
    }
}
END_TEST

static bf_bed_spec small_bed(void)
{
    bf_bed_spec spec = simple_bed();
    spec.cells = 12;
    spec.shells = 3;
    return spec;
}

/* A whole run, with an end point and an observer: CVODE may do as it likes in its own library, the
 * model allocates nothing. */
static void ignore(void *context, const bf_moment *moment)
{
    (void)context, (void)moment;
}

START_TEST(a_run_allocates_nothing)
{
    bf_error err = {0};
    bf_selectivity *selectivity = column_equilibrium(3, BF_EQUILIBRIUM_MASS_ACTION);
    bf_bed_spec spec = small_bed();
    bf_bed *bed = NULL;
    assert_ok(bf_bed_create(&spec, selectivity, &bed, &err));
    bf_flow flow = {.direction = BF_FLOW_UP,
                    .velocity_m_per_s = 4e-3,
                    .duration_s = 1e6,
                    .inlet_eq_per_m3 = {[BF_ION_NA] = 2.0, [BF_ION_CA] = 5.0, [BF_ION_K] = 0.3},
                    .fluid = {.density_kg_per_m3 = 998.2, .viscosity_Pa_s = 1.002e-3},
                    .end_hardness_eq_per_m3 = 0.3,
                    .observe = ignore};
    bf_passage passage;
    heap.calls = 0;
    bf_status status = bf_bed_run(bed, &flow, &passage, &err);
    size_t calls = heap.calls;
    ck_assert_int_eq(status, BF_OK);
    ck_assert_int_eq(passage.reached_end_hardness, 1);
    ck_assert_uint_eq(calls, 0);
    bf_bed_free(bed);
    bf_selectivity_free(selectivity);
}
END_TEST

/* Each allocation up to CVodeInit() fails in its turn, alone and with all that follow: the call
 * says so, hands out nothing, and leaks nothing (the address sanitizer's build sees to that). */
START_TEST(a_bed_without_memory_is_refused)
{
    bf_selectivity *selectivity = column_equilibrium(2, BF_EQUILIBRIUM_MASS_ACTION_IDEAL);
    bf_source source = {
        .name = "feed", .local_count = 1, .local_tolerance = 1e-6, .rate = feed_rate};
    bf_bed_spec spec = small_bed();
    spec.sources = &source;
    spec.source_count = 1;
    for (int way = 0; way < 4; way++) {
        const int rest = way % 2;
        spec.solver = way < 2 ? BF_SOLVER_BLOCK : BF_SOLVER_BANDED;
        size_t failed = 0;
        for (;;) {
            bf_error err = {0};
            bf_bed *bed = NULL;
            heap.calls = 0;
            heap.fail_from = failed + 1;
            heap.fail_to = rest ? (size_t)-1 : failed + 2;
            bf_status status = bf_bed_create(&spec, selectivity, &bed, &err);
            heap.fail_from = 0;
            if (status == BF_OK) {
                bf_bed_free(bed);
                break;
            }
            ck_assert_msg(status == BF_E_MEMORY, "allocation %zu: %s, \"%s\"", failed + 1,
                          bf_status_name(status), err.message);
            ck_assert_ptr_nonnull(strstr(err.message, "no memory"));
            ck_assert_ptr_null(bed);
            failed++;
        }
        printf("bf_bed_create: %zu allocations of the model, each may fail\n", failed);
        ck_assert_uint_gt(failed, 10);
    }
    bf_selectivity_free(selectivity);
}
END_TEST

START_TEST(an_equilibrium_without_memory_is_refused)
{
    bf_selectivity_spec spec = {.law = BF_EQUILIBRIUM_MASS_ACTION,
                                .ions = {.count = 2, .ion = {BF_ION_CA, BF_ION_K}},
                                .constant = {[BF_ION_CA] = 18.0, [BF_ION_K] = 1.46},
                                .temperature_K = 293.15};
    size_t failed = 0;
    for (;; failed++) {
        bf_error err = {0};
        bf_selectivity *selectivity = NULL;
        heap.calls = 0;
        heap.fail_from = failed + 1;
        heap.fail_to = failed + 2;
        bf_status status = bf_selectivity_create(&spec, &selectivity, &err);
        heap.fail_from = 0;
        if (status == BF_OK) {
            bf_selectivity_free(selectivity);
            break;
        }
        ck_assert_int_eq(status, BF_E_MEMORY);
        ck_assert_ptr_nonnull(strstr(err.message, "no memory"));
        ck_assert_ptr_null(selectivity);
    }
    ck_assert_uint_eq(failed, 3); /* the handle and two tables */
}
END_TEST

/* A vector and its clone take two allocations each beside SUNDIALS's own. The operation is called
 * by itself, not through N_VClone(): see above. */
START_TEST(a_vector_without_memory_is_none)
{
    SUNContext context = NULL;
    ck_assert_int_eq(SUNContext_Create(NULL, &context), 0);
    N_Vector vector = bf__vector_create(23, context);
    ck_assert_ptr_nonnull(vector);
    N_Vector product[4];
    for (size_t k = 0; k < COUNT(product); k++) {
        heap.calls = 0;
        heap.fail_from = 1 + k % 2;
        heap.fail_to = heap.fail_from + 1;
        product[k] = k < 2 ? bf__vector_create(23, context) : vector->ops->nvclone(vector);
        heap.fail_from = 0;
    }
    for (size_t k = 0; k < COUNT(product); k++) {
        ck_assert_ptr_null(product[k]);
    }
    N_VDestroy(vector);
    ck_assert_int_eq(SUNContext_Free(&context), 0);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {the_counter_counts,
                                  the_right_hand_side_and_its_matrix_allocate_nothing,
                                  a_run_allocates_nothing,
                                  a_bed_without_memory_is_refused,
                                  an_equilibrium_without_memory_is_refused,
                                  a_vector_without_memory_is_none};
    return support_run("bed.no_allocation", tests, COUNT(tests), 120);
}
