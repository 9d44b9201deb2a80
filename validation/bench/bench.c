/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How fast, and at what error: CPU seconds of one cycle for three ways of solving the same
 * equations, its growth with cells, shells and ions, and the cycles to a steady state.
 *
 *     bench precision LABEL CELLS SHELLS TOLERANCE..   every way at every tolerance
 *     bench scaling                                    the bed's own way on other grids
 *     bench steady                                     cycles with and without continuation
 *     bench memory                                     peak memory of twelve doses, two threads
 *
 * Each prints rows of CSV. Times are medians of RUNS cycles from one and the same bed, which a
 * reference at a tolerance of 1e-8 has brought to the start of a service. Only ratios of one run
 * mean anything: machines, and what else they do, differ. */
#include "brinefront/brinefront.h"
#include "newton_klu.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <time.h>

enum { RUNS = 5, PLACES = 60, TRACE = 40000 };

#define TRY(call)                                                                                  \
    do {                                                                                           \
        if ((status = (call)) != BF_OK) {                                                          \
            goto done;                                                                             \
        }                                                                                          \
    } while (0)

static double cpu_s(void)
{
    struct timespec now;
    (void)clock_gettime(CLOCK_THREAD_CPUTIME_ID, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

/* ---- a case, and one cycle of it ------------------------------------------------------------- */

static bf_status read_case(const char *name, double dose_lb_per_ft3, bf_rating_spec *out,
                           bf_error *err)
{
    bf_notes *notes = NULL;
    char path[600];
    bf_case *input = calloc(1, sizeof *input);
    bf_status status =
        input != NULL ? BF_OK : bf_error_set(err, BF_E_MEMORY, "bench", "memory ran out");
    TRY(status);
    (void)snprintf(path, sizeof path, "%s/cases/%s", BF_SOURCE_DIR, name);
    TRY(bf_notes_create(&notes, err));
    TRY(bf_case_read(path, input, notes, err));
    *out = input->rating;
    bf_recipe_set_dose(&out->recipe, dose_lb_per_ft3 * BF_KG_PER_M3_PER_LB_PER_FT3);
done:
    bf_notes_free(notes);
    free(input);
    return status;
}

typedef struct curve {
    size_t count;
    double bed_volumes[TRACE], hardness[TRACE];
} curve;

static void keep(void *observer, const bf_step *step, const bf_moment *moment)
{
    curve *way = observer;
    (void)step;
    if (way->count < TRACE) {
        way->bed_volumes[way->count] = moment->bed_volumes;
        way->hardness[way->count++] = moment->hardness_eq_per_m3;
    }
}

/* Linear in the logarithm between two steps. */
static double read_curve(const curve *way, double bed_volumes)
{
    size_t k = 1;
    while (k + 1 < way->count && way->bed_volumes[k] < bed_volumes) {
        k++;
    }
    double share =
        (bed_volumes - way->bed_volumes[k - 1]) / (way->bed_volumes[k] - way->bed_volumes[k - 1]);
    double low = log(fmax(way->hardness[k - 1], 1e-12));
    double high = log(fmax(way->hardness[k], 1e-12));
    return exp(low + share * (high - low));
}

typedef struct measured {
    double seconds;
    long steps;
    double capacity, leakage;
    curve effluent;
} measured;

static int ascending(const void *a, const void *b)
{
    double x = *(const double *)a;
    double y = *(const double *)b;
    return (x > y) - (x < y);
}

/* Median of `runs` cycles from `start`. */
static bf_status measure(const bf_rating_spec *rating, const bf_selectivity *selectivity,
                         const bf__newton_kind *kind, const bf_bed *start, int runs, measured *out,
                         bf_error *err)
{
    bf_bed *bed = NULL;
    bf_recipe recipe = rating->recipe;
    bf_site site = bf_rating_site(rating);
    double seconds[64];
    bf_status status;
    TRY(bf_rating_bed(rating, selectivity, &bed, err));
    TRY(bf__bed_solve_by(bed, kind, err));
    recipe.step[0].observe = keep;
    recipe.step[0].observer = &out->effluent;
    for (int run = 0; run < runs; run++) {
        bf_cycle_result cycle;
        TRY(bf_bed_copy(bed, start, err));
        out->effluent.count = 0;
        double begin = cpu_s();
        TRY(bf_cycle_run(&recipe, &site, bed, &cycle, err));
        seconds[run] = cpu_s() - begin;
        out->capacity = cycle.capacity_eq_per_m3;
        out->leakage = cycle.leakage_mean_eq_per_m3;
        out->steps = 0;
        for (size_t s = 0; s < cycle.step_count; s++) {
            out->steps += cycle.step[s].passage.steps;
        }
    }
    qsort(seconds, (size_t)runs, sizeof *seconds, ascending);
    out->seconds = seconds[runs / 2];
done:
    bf_bed_free(bed);
    return status;
}

/* The bed at the start of a service, after one cycle of it at a tolerance of 1e-8. */
static bf_status prepare(const bf_rating_spec *rating, const bf_selectivity *selectivity,
                         bf_bed **out, bf_error *err)
{
    bf_rating_spec tight = *rating;
    tight.bed.relative_tolerance = 1e-8;
    tight.bed.hardness_tolerance_eq_per_m3 = 1e-9;
    bf_site site = bf_rating_site(&tight);
    bf_cycle_result ignored;
    bf_status status;
    TRY(bf_rating_bed(&tight, selectivity, out, err));
    TRY(bf_rating_exhaust(&tight, selectivity, *out, err));
    TRY(bf_cycle_regenerate(&tight.recipe, &site, *out, err));
    TRY(bf_cycle_run(&tight.recipe, &site, *out, &ignored, err));
done:
    return status;
}

/* ---- the tables ------------------------------------------------------------------------------ */

/* Largest distance of two effluent curves over the reference's service, in parts of its end. */
static double curve_error(const curve *way, const curve *reference)
{
    double worst = 0.0;
    double end = reference->bed_volumes[reference->count - 1];
    double top = reference->hardness[reference->count - 1];
    for (int place = 1; place < PLACES; place++) {
        double time = end * (double)place / (double)PLACES;
        worst = fmax(worst, fabs(read_curve(way, time) - read_curve(reference, time)) / top);
    }
    return worst;
}

static bf_status precision(const char *label, size_t cells, size_t shells, size_t count,
                           char **tolerances, bf_error *err)
{
    static const struct {
        const char *name;
        const bf__newton_kind *kind;
        int stock;
    } ways[] = {{"block", &bf__newton_block, 0},
                {"banded", &bf__newton_banded, 1},
                {"KLU", &bf__newton_klu, 1}};
    const int optimised = strcmp(label, "installed") != 0;
    bf_selectivity *selectivity = NULL;
    bf_bed *start = NULL;
    bf_rating_spec rating;
    measured *reference = calloc(2, sizeof *reference);
    bf_status status =
        reference != NULL ? BF_OK : bf_error_set(err, BF_E_MEMORY, "bench", "memory ran out");
    TRY(status);
    measured *found = reference + 1;
    TRY(read_case("bulletin_500.yaml", 10.0, &rating, err));
    rating.bed.cells = cells;
    rating.bed.shells = shells;
    TRY(bf_rating_selectivity(&rating, &selectivity, err));
    TRY(prepare(&rating, selectivity, &start, err));
    bf_rating_spec tight = rating;
    tight.bed.relative_tolerance = 1e-8;
    tight.bed.hardness_tolerance_eq_per_m3 = 1e-9;
    TRY(measure(&tight, selectivity, &bf__newton_block, start, 1, reference, err));
    for (size_t w = 0; w < sizeof ways / sizeof *ways; w++) {
        if (optimised && !ways[w].stock) {
            continue;
        }
        for (size_t t = 0; t < count; t++) {
            rating.bed.relative_tolerance = strtod(tolerances[t], NULL);
            TRY(measure(&rating, selectivity, ways[w].kind, start, RUNS, found, err));
            printf("precision,%s,%s,%zu,%zu,2,%s,%.3e,%.3e,%.3e,%.6f,%ld\n", ways[w].name, label,
                   cells, shells, tolerances[t], fabs(found->capacity / reference->capacity - 1.0),
                   fabs(found->leakage / reference->leakage - 1.0),
                   curve_error(&found->effluent, &reference->effluent), found->seconds,
                   found->steps);
            (void)fflush(stdout);
        }
    }
done:
    bf_bed_free(start);
    bf_selectivity_free(selectivity);
    free(reference);
    return status;
}

static bf_status one_grid(const char *table, size_t cells, size_t shells, size_t ions,
                          bf_error *err)
{
    static const bf_ion more[] = {BF_ION_K, BF_ION_SR, BF_ION_BA, BF_ION_MN};
    bf_selectivity *selectivity = NULL;
    bf_bed *start = NULL;
    bf_rating_spec rating;
    measured *found = calloc(1, sizeof *found);
    bf_status status =
        found != NULL ? BF_OK : bf_error_set(err, BF_E_MEMORY, "bench", "memory ran out");
    TRY(status);
    TRY(read_case("bulletin_500.yaml", 10.0, &rating, err));
    rating.bed.cells = cells;
    rating.bed.shells = shells;
    for (size_t i = 0; i + 2 < ions; i++) { /* traces, invented */
        rating.water.ion_eq_per_m3[more[i]] = 0.02;
        rating.water.normality_eq_per_m3 += 0.02;
    }
    TRY(bf_rating_selectivity(&rating, &selectivity, err));
    TRY(prepare(&rating, selectivity, &start, err));
    TRY(measure(&rating, selectivity, &bf__newton_block, start, RUNS, found, err));
    printf("%s,block,installed,%zu,%zu,%zu,%g,,,,%.6f,%ld\n", table, cells, shells, ions,
           rating.bed.relative_tolerance, found->seconds, found->steps);
    (void)fflush(stdout);
done:
    bf_bed_free(start);
    bf_selectivity_free(selectivity);
    free(found);
    return status;
}

static bf_status scaling(bf_error *err)
{
    static const size_t cells[] = {30, 60, 120, 240, 480};
    static const size_t shells[] = {1, 2, 3, 4, 6, 8};
    bf_status status = BF_OK;
    for (size_t k = 0; k < 5; k++) {
        TRY(one_grid("cells", cells[k], 3, 2, err));
    }
    for (size_t k = 0; k < 6; k++) {
        TRY(one_grid("shells", 120, shells[k], 2, err));
    }
    for (size_t ions = 2; ions <= 6; ions++) {
        TRY(one_grid("ions", 120, 3, ions, err));
    }
done:
    return status;
}

static const double twelve_doses[] = {3, 4, 5, 6, 7.5, 8, 9, 10, 12, 15, 18, 20};
enum { DOSES = sizeof twelve_doses / sizeof *twelve_doses };

static bf_status memory(bf_error *err)
{
    double dose_kg_per_m3[DOSES];
    bf_rating_spec rating;
    bf_grid_estimate grid;
    struct rusage usage;
    bf_dose_point *points = calloc(DOSES, sizeof *points);
    bf_status status =
        points != NULL ? BF_OK : bf_error_set(err, BF_E_MEMORY, "bench", "memory ran out");
    TRY(status);
    for (size_t d = 0; d < DOSES; d++) {
        dose_kg_per_m3[d] = twelve_doses[d] * BF_KG_PER_M3_PER_LB_PER_FT3;
    }
    bf_dose_curve_spec spec = {
        .dose_kg_per_m3 = dose_kg_per_m3, .count = DOSES, .threads = 2, .estimate_grid = 1};
    TRY(read_case("bulletin_500.yaml", 10.0, &rating, err));
    TRY(bf_dose_curve(&rating, &spec, points, &grid, err));
    (void)getrusage(RUSAGE_SELF, &usage);
    printf("memory,block,installed,%zu,%zu,2,2,%ld,,,,\n", rating.bed.cells, rating.bed.shells,
           usage.ru_maxrss);
done:
    free(points);
    return status;
}

/* Cycles to the steady state: each dose from an exhausted bed, as a rating does; and each from the
 * bed that the dose before it left at the end of its last service. */
static bf_status steady_of(const char *name, bf_error *err)
{
    bf_selectivity *selectivity = NULL;
    bf_bed *own = NULL;
    bf_bed *chained = NULL;
    bf_rating_spec rating;
    bf_status status;
    TRY(read_case(name, 10.0, &rating, err));
    TRY(bf_rating_selectivity(&rating, &selectivity, err));
    TRY(bf_rating_bed(&rating, selectivity, &own, err));
    TRY(bf_rating_bed(&rating, selectivity, &chained, err));
    bf_site site = bf_rating_site(&rating);
    TRY(bf_rating_exhaust(&rating, selectivity, chained, err));
    for (size_t d = 0; d < DOSES; d++) {
        bf_steady_result alone, after;
        bf_step_result service;
        bf_recipe_set_dose(&rating.recipe, twelve_doses[d] * BF_KG_PER_M3_PER_LB_PER_FT3);
        TRY(bf_rating_exhaust(&rating, selectivity, own, err));
        TRY(bf_cycle_regenerate(&rating.recipe, &site, own, err));
        TRY(bf_steady_run(&rating.recipe, &site, &rating.steady, own, &alone, err));
        TRY(bf_cycle_regenerate(&rating.recipe, &site, chained, err));
        TRY(bf_steady_run(&rating.recipe, &site, &rating.steady, chained, &after, err));
        TRY(bf_step_service.run(&rating.recipe.step[0], &site, chained, &service, err));
        printf("steady,%s,installed,%zu,%zu,2,%g,%.3e,%.3e,,%zu,%zu\n", name, rating.bed.cells,
               rating.bed.shells, twelve_doses[d],
               after.cycle.capacity_eq_per_m3 / alone.cycle.capacity_eq_per_m3 - 1.0,
               after.cycle.leakage_mean_eq_per_m3 / alone.cycle.leakage_mean_eq_per_m3 - 1.0,
               alone.cycles, after.cycles);
        (void)fflush(stdout);
    }
done:
    bf_bed_free(own);
    bf_bed_free(chained);
    bf_selectivity_free(selectivity);
    return status;
}

int main(int argc, char **argv)
{
    bf_error err = {0};
    bf_status status = BF_E_INPUT;
    if (argc >= 6 && strcmp(argv[1], "precision") == 0) {
        status = precision(argv[2], strtoul(argv[3], NULL, 10), strtoul(argv[4], NULL, 10),
                           (size_t)argc - 5, argv + 5, &err);
    } else if (argc == 2 && strcmp(argv[1], "scaling") == 0) {
        status = scaling(&err);
    } else if (argc == 2 && strcmp(argv[1], "steady") == 0) {
        status = steady_of("bulletin_500.yaml", &err);
        status = status == BF_OK ? steady_of("counter_current.yaml", &err) : status;
    } else if (argc == 2 && strcmp(argv[1], "memory") == 0) {
        status = memory(&err);
    } else {
        (void)fputs(
            "usage: bench precision LABEL CELLS SHELLS TOLERANCE.. | scaling | steady | memory\n",
            stderr);
        return 2;
    }
    if (status != BF_OK) {
        (void)fprintf(stderr, "bench: %s: %s\n", err.where, err.message);
    }
    return status != BF_OK;
}
