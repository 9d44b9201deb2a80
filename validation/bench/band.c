/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a band costs.
 *
 *     bench_band FILE [SAMPLES]    one band at the case's middle dose, on all processors
 *
 * Prints a row of CSV: table, case, dose in kg/m3, samples, cells and shells of the samples,
 * threads, wall seconds, CPU seconds. */
#include "brinefront/brinefront.h"

#include <omp.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

static double seconds(clockid_t clock)
{
    struct timespec now;
    (void)clock_gettime(clock, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

int main(int argc, char **argv)
{
    bf_error err = {0};
    if (argc != 2 && argc != 3) {
        (void)fputs("usage: bench_band FILE [SAMPLES]\n", stderr);
        return 2;
    }
    const char *slash = strrchr(argv[1], '/');
    bf_band *band = NULL;
    bf_notes *notes = NULL;
    bf_case *input = calloc(1, sizeof *input);
    bf_status status =
        input == NULL ? bf_error_set(&err, BF_E_MEMORY, "bench", "memory ran out") : BF_OK;
    if (status == BF_OK) {
        status = bf_notes_create(&notes, &err);
    }
    if (status == BF_OK) {
        status = bf_case_read(argv[1], input, notes, &err);
    }
    if (status == BF_OK) {
        bf_band_spec spec = bf_band_spec_default();
        spec.dose_kg_per_m3 = input->dose_kg_per_m3[input->dose_count / 2];
        spec.samples = argc == 3 ? strtoul(argv[2], NULL, 10) : spec.samples;
        const double wall = seconds(CLOCK_MONOTONIC);
        const double cpu = seconds(CLOCK_PROCESS_CPUTIME_ID);
        status = bf_band_create(&input->rating, &spec, &band, &err);
        if (status == BF_OK) {
            printf("band,%s,%.4g,%zu,%zu,%zu,%d,%.3g,%.3g\n", slash != NULL ? slash + 1 : argv[1],
                   spec.dose_kg_per_m3, spec.samples, spec.cells, spec.shells, omp_get_num_procs(),
                   seconds(CLOCK_MONOTONIC) - wall, seconds(CLOCK_PROCESS_CPUTIME_ID) - cpu);
        }
    }
    if (status != BF_OK) {
        (void)fprintf(stderr, "bench_band: %s: %s\n", err.where, err.message);
    }
    bf_band_free(band);
    bf_notes_free(notes);
    free(input);
    return status != BF_OK;
}
