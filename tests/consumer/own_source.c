/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Brings a source term of its own: calcium leaves the pore water as scale, at a rate that goes with
 * its concentration, and stays where it fell out. */
#include <brinefront/brinefront.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

typedef struct scale {
    double k_per_s;
    double void_fraction;
    size_t calcium; /* its place among the ions that the bed tracks */
} scale;

/* Per second: pore water in eq/m3 of it, scale (the local state) in eq/m3 of bed. */
static int scale_rate(void *context, double time_s, const bf_cells *cells, const bf_rates *rates)
{
    const scale *own = context;
    (void)time_s;
    for (size_t j = 0; j < cells->count; j++) {
        const double loss = own->k_per_s * cells->pore[own->calcium][j];
        rates->pore[own->calcium][j] -= loss;
        rates->normality[j] -= loss;
        rates->local[0][j] += own->void_fraction * loss;
    }
    return 0;
}

/* Runs the first cycle of a new bed; prints its capacity and how much scale it holds then. */
static bf_status run(bf_rating_spec *rating, double k_per_s, bf_error *err)
{
    static bf_cycle_result cycle;
    const bf_site site = {rating->water, rating->bed.depth_m, rating->bed.resin};
    const bf_ion_set ions = bf_recipe_ions(&rating->recipe, rating->water.ion_eq_per_m3);
    scale own = {k_per_s, rating->bed.resin.void_fraction, bf_ion_set_index(&ions, BF_ION_CA)};
    const bf_source source = {.name = "scale",
                              .local_count = 1,
                              .local_tolerance = 1e-3,
                              .context = &own,
                              .rate = scale_rate};
    bf_selectivity *selectivity = NULL;
    bf_bed *bed = NULL;
    double *deposit = NULL;

    rating->bed.sources = &source;
    rating->bed.source_count = 1;
    bf_status status = bf_rating_selectivity(rating, &selectivity, err);
    if (status != BF_OK || (status = bf_rating_bed(rating, selectivity, &bed, err)) != BF_OK ||
        (status = bf_cycle_run(&rating->recipe, &site, bed, &cycle, err)) != BF_OK) {
        goto done;
    }
    const size_t cells = bf_bed_cell_count(bed);
    deposit = calloc(cells, sizeof *deposit);
    if (deposit == NULL) {
        status = bf_error_set(err, BF_E_MEMORY, "own_source", "no memory for the profile");
        goto done;
    }
    status = bf_bed_local(bed, 0, deposit, err);
    double sum = 0.0, missing = 0.0;
    for (size_t j = 0; j < cells; j++) {
        sum += deposit[j] / (double)cells;
    }
    for (size_t s = 0; s < cycle.step_count; s++) { /* what the bed cannot account for */
        const bf_passage *passage = &cycle.step[s].passage;
        missing += passage->in_eq_per_m3[BF_ION_CA] - passage->out_eq_per_m3[BF_ION_CA] -
                   passage->stored_eq_per_m3[BF_ION_CA];
    }
    (void)printf("k %.0e 1/s: capacity %.1f eq/m3, scale %.3f eq/m3, calcium missing %.3f eq/m3\n",
                 k_per_s, cycle.capacity_eq_per_m3, sum, missing);
done:
    free(deposit);
    bf_bed_free(bed);
    bf_selectivity_free(selectivity);
    return status;
}

int main(void)
{
    static const char text[] = "water: {hardness: 18 gpg}\n"
                               "bed: {resin_volume: 1.5 ft3}\n";
    static bf_case input; /* large: not for the stack */
    bf_error err = {0};
    bf_status status = bf_case_read_text(text, strlen(text), "my bed", &input, NULL, &err);
    bf_recipe_set_dose(&input.rating.recipe, 100.0);
    for (int i = 0; status == BF_OK && i < 2; i++) {
        status = run(&input.rating, i == 0 ? 0.0 : 1e-3, &err);
    }
    if (status != BF_OK) {
        (void)fprintf(stderr, "%s: %s\n", err.where, err.message);
    }
    return status == BF_OK ? 0 : 1;
}
