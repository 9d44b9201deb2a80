/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What skipped cycles save and cost, and what a campaign without iron costs over the plain cycle.
 *
 *     bench_campaign FILE YEARS TOLERANCE..   the campaign of a case, shortened or lengthened; 0
 *                                             simulates every cycle and comes first
 *     bench_campaign --plain FILE             its cycles without iron, by campaign and by the cycle
 *
 * Each prints rows of CSV: table, case, years or cycles, tolerance, cycles simulated, CPU seconds,
 * and of the last cycle: bound iron kg/m3, hardness to the end point eq/m3, iron in the product
 * g/m3, the error of skipping it says, kg/m3, the largest error of the account of iron. */
#include "brinefront/brinefront.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

static double cpu_s(void)
{
    struct timespec now;
    (void)clock_gettime(CLOCK_THREAD_CPUTIME_ID, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

static bf_status read_case(const char *name, bf_case *input, bf_error *err)
{
    bf_notes *notes = NULL;
    bf_status status = bf_notes_create(&notes, err);
    status = status == BF_OK ? bf_case_read(name, input, notes, err) : status;
    bf_notes_free(notes);
    if (status == BF_OK && !input->campaign.is_stated) {
        status = bf_error_set(err, BF_E_INPUT, name, "%s has no campaign", name);
    }
    return status;
}

static bf_status years_of(const char *name, const bf_campaign_spec *campaign, double years,
                          double tolerance, bf_error *err)
{
    bf_campaign_spec spec = *campaign;
    spec.skip_tolerance = tolerance;
    spec.cycles = (size_t)(365.25 * years / bf_campaign_days(&spec));
    size_t done = 0;
    double worst = 0.0;
    bf_campaign_cycle *cycles = calloc(spec.cycles, sizeof *cycles);
    if (cycles == NULL) {
        return bf_error_set(err, BF_E_MEMORY, "bench", "memory ran out");
    }
    const double before = cpu_s();
    bf_status status = bf_campaign_run(&spec, cycles, &done, err);
    const double after = cpu_s();
    for (size_t k = 0; k < done; k++) {
        worst = fmax(worst, fabs(bf_campaign_account_error(&cycles[k].iron)));
    }
    if (status == BF_OK) {
        const bf_campaign_cycle *end = &cycles[done - 1];
        printf("campaign,%s,%g,%g,%zu,%.4g,%.6g,%.6g,%.6g,%.3g,%.2g\n", name, years, tolerance,
               done, after - before, end->bound_kg_per_m3, end->potential_eq_per_m3,
               end->iron_mean_g_per_m3, end->skip_error_kg_per_m3, worst);
        (void)fflush(stdout);
    }
    free(cycles);
    return status;
}

enum { CYCLES = 60, TIMES = 5 };

static int ascending(const void *a, const void *b)
{
    const double *x = a;
    const double *y = b;
    return *x < *y ? -1 : *x > *y;
}

/* The same cycles by bf_cycle_run(), from a bed of their own. */
static bf_status plain_cycles(const bf_campaign_spec *spec, double *seconds, bf_error *err)
{
    bf_rating_spec rating = {.water = spec->water, .bed = spec->bed, .recipe = spec->recipe};
    bf_selectivity *selectivity = NULL;
    bf_bed *bed = NULL;
    const bf_site site = bf_rating_site(&rating);
    rating.recipe.step[0].bed_volumes = bf_campaign_bed_volumes(spec);
    rating.recipe.step[0].end_hardness_eq_per_m3 = (double)NAN;
    const double before = cpu_s(); /* bed and equilibrium are laid by a campaign, too */
    bf_status status = bf_rating_selectivity(&rating, &selectivity, err);
    status = status == BF_OK ? bf_rating_bed(&rating, selectivity, &bed, err) : status;
    for (size_t k = 0; k < CYCLES && status == BF_OK; k++) {
        bf_cycle_result result;
        status = bf_cycle_run(&rating.recipe, &site, bed, &result, err);
    }
    *seconds = cpu_s() - before;
    bf_bed_free(bed);
    bf_selectivity_free(selectivity);
    return status;
}

static bf_status plain(const char *name, const bf_campaign_spec *campaign, bf_error *err)
{
    static bf_campaign_cycle cycles[CYCLES];
    bf_campaign_spec spec = *campaign;
    const double iron = spec.water.ion_eq_per_m3[BF_ION_FE];
    spec.water.ion_eq_per_m3[BF_ION_FE] = 0.0;
    spec.water.ion_eq_per_m3[BF_ION_NA] += iron;
    spec.deposit = (bf_iron_deposit){0};
    spec.cleaning.every_days = 0.0;
    spec.season_count = 0;
    spec.free_chlorine_g_per_m3 = spec.chloramine_g_per_m3 = 0.0;
    spec.potential_every = 0;
    spec.skip_tolerance = 0.0;
    spec.cycles = CYCLES;
    double by_campaign[TIMES];
    double by_cycle[TIMES];
    bf_status status = BF_OK;
    for (int t = 0; t < TIMES && status == BF_OK; t++) {
        size_t done;
        const double before = cpu_s();
        status = bf_campaign_run(&spec, cycles, &done, err);
        by_campaign[t] = cpu_s() - before;
        status = status == BF_OK ? plain_cycles(&spec, &by_cycle[t], err) : status;
    }
    if (status == BF_OK) {
        qsort(by_campaign, TIMES, sizeof *by_campaign, ascending);
        qsort(by_cycle, TIMES, sizeof *by_cycle, ascending);
        printf("plain,%s,%d,,%d,%.4g,%.4g,,,,\n", name, CYCLES, CYCLES, by_campaign[TIMES / 2],
               by_cycle[TIMES / 2]);
    }
    return status;
}

int main(int argc, char **argv)
{
    bf_error err = {0};
    const int is_plain = argc == 3 && strcmp(argv[1], "--plain") == 0;
    if (!is_plain && argc < 4) {
        (void)fputs("usage: bench_campaign FILE YEARS TOLERANCE.. | --plain FILE\n", stderr);
        return 2;
    }
    const char *file = is_plain ? argv[2] : argv[1];
    const char *slash = strrchr(file, '/');
    const char *name = slash != NULL ? slash + 1 : file;
    bf_case *input = calloc(1, sizeof *input);
    bf_status status = input != NULL ? read_case(file, input, &err) : BF_E_MEMORY;
    if (status == BF_OK && is_plain) {
        status = plain(name, &input->campaign.spec, &err);
    }
    for (int k = 3; k < argc && status == BF_OK && !is_plain; k++) {
        status = years_of(name, &input->campaign.spec, strtod(argv[2], NULL), strtod(argv[k], NULL),
                          &err);
    }
    if (status != BF_OK) {
        (void)fprintf(stderr, "bench_campaign: %s: %s\n", err.where, err.message);
    }
    free(input);
    return status != BF_OK;
}
