/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Linear isotherm y = k c, no dispersion: what leaves the bed is known for a
 * linear driving force and for a film (the J function), and for diffusion in
 * the bead with and without a film (Rosen).
 *
 * Contact time L/u is 600 s, feed 10 eq/m3 of calcium in 20, k = 0.05 m3/eq, so
 * the resin comes to y = 0.5. With every diffusivity in the bead the same,
 * Nernst-Planck is Fick whatever the charges.
 */
#include "closed_forms.h"
#include "outcome.h"
#include "rig.h"

#include <math.h>

enum { TIMES = 15, GRIDS = 4 };

static const double feed_eq_per_m3 = 10.0;
static const double slope_m3_per_eq = 0.05;
static const double contact_s = 600.0;
static const double capacity_eq_per_m3 = 2000.0;

/* What arrives at throughput T: after the voids, T times what the resin takes.
 */
static double throughput_of(size_t i)
{
    return 0.25 + 0.125 * (double)i;
}

static bf_status respond(const bf_bed_spec *spec, double *response, bf_error *err)
{
    rig bed = {0};
    double time_s[TIMES];
    bf_status status = BF_OK;
    const double water[BF_ION_COUNT] = {[BF_ION_NA] = 20.0};
    bf_selectivity_spec law = rig_pair(BF_EQUILIBRIUM_LINEAR, BF_ION_CA, slope_m3_per_eq);
    bf_flow flow = rig_flow(spec->depth_m / contact_s, 1.0);
    flow.inlet_eq_per_m3[BF_ION_CA] = feed_eq_per_m3;
    flow.inlet_eq_per_m3[BF_ION_NA] = 20.0 - feed_eq_per_m3;
    for (size_t i = 0; i < TIMES; i++) {
        double uptake = capacity_eq_per_m3 * slope_m3_per_eq;
        time_s[i] = contact_s * (spec->resin.void_fraction + uptake * throughput_of(i));
    }
    TRY(rig_build(&law, spec, &bed, err));
    TRY(bf_bed_fill(bed.bed, NULL, water, err));
    TRY(rig_exits(bed.bed, &flow, BF_ION_CA, TIMES, time_s, response, err));
    for (size_t i = 0; i < TIMES; i++) {
        response[i] /= feed_eq_per_m3;
    }
done:
    rig_free(&bed);
    return status;
}

static void note_grid(outcome *out, size_t cells, int finest, const double *response,
                      const double *exact)
{
    double worst = 0.0;
    for (size_t i = 0; i < TIMES; i++) {
        worst = fmax(worst, fabs(response[i] - exact[i]));
        if (finest) {
            outcome_add(out, throughput_of(i), response[i], exact[i]);
        }
    }
    outcome_add_grid(out, (double)cells, worst);
}

/* J function, table of Hiester & Vermeulen's formula evaluated to nine digits.
 */
static void spot_j(outcome *out)
{
    const double rows[][3] = {{1, 1, .654254161},    {2, 4, .851936357},     {10, 5, .119793752},
                              {10, 10, .544890156},  {20, 30, .932278320},   {50, 60, .841895951},
                              {60, 50, .182302996},  {100, 100, .514113580}, {100, 120, .916758307},
                              {120, 100, .094086350}};
    for (size_t r = 0; r < sizeof rows / sizeof *rows; r++) {
        outcome_spot(out, closed_j(rows[r][0], rows[r][1]), rows[r][2], 6e-10);
    }
}

/* Both laws have `units` transfer units: N = Q k K L/u of the driving force, N
 * = h L/u of the film, h = k_f 6 (1 - eps)/d. */
static bf_status driven(bf_rate_law law, double units, outcome *out, bf_error *err)
{
    const size_t cells[GRIDS] = {50, 100, 200, 400};
    bf_status status = BF_OK;
    double exact[TIMES];
    spot_j(out);
    for (size_t i = 0; i < TIMES; i++) {
        exact[i] = closed_j(units, units * throughput_of(i));
    }
    for (size_t g = 0; g < GRIDS; g++) {
        double response[TIMES];
        bf_bed_spec spec = rig_bed_spec(law, cells[g], 1);
        double per_s = units / contact_s;
        spec.rate_constant_per_s[BF_ION_CA] = per_s / (capacity_eq_per_m3 * slope_m3_per_eq);
        spec.film_m_per_s =
            per_s * spec.resin.bead_diameter_m / (6.0 * (1.0 - spec.resin.void_fraction));
        TRY(respond(&spec, response, err));
        note_grid(out, cells[g], g + 1 == GRIDS, response, exact);
    }
done:
    return status;
}

static bf_status driving_force(int units, outcome *out, bf_error *err)
{
    return driven(BF_RATE_LINEAR_DRIVING_FORCE, units, out, err);
}

static bf_status film(int units, outcome *out, bf_error *err)
{
    return driven(BF_RATE_FILM, units, out, err);
}

/* Rosen 1952 and 1954 by both of his forms, at X 5 and 20 and stoichiometric
 * times .5 .75 1 1.25 1.5 2. */
static void spot_rosen(outcome *out)
{
    const double throughput[6] = {0.5, 0.75, 1.0, 1.25, 1.5, 2.0};
    const struct {
        double nu, x, u[6];
    } rows[] = {{0.0, 5, {.01557798, .1919636, .5405694, .8191603, .9473928, .9977329}},
                {0.0, 20, {3.6432e-6, .02836957, .5201826, .9535192, .9990418, 1.0}},
                {0.1, 5, {.0509823, .2502566, .5413991, .7802289, .9144262, .9920343}},
                {0.1, 20, {2.78088e-4, .06496036, .5205979, .9189530, .9952835, .9999986}}};
    for (size_t r = 0; r < 4; r++) {
        for (size_t k = 0; k < 6; k++) {
            double y = throughput[k] * rows[r].x / 1.5;
            outcome_spot(out, closed_rosen(rows[r].nu, rows[r].x, y), rows[r].u[k], 6e-8);
        }
    }
}

/* variant: X, and a negative one for nu = 0.1 instead of 0. */
static bf_status rosen(int variant, outcome *out, bf_error *err)
{
    const size_t cells[GRIDS] = {40, 80, 160, 320};
    const size_t shells[GRIDS] = {2, 4, 8, 16};
    const double x = fabs((double)variant);
    const double nu = variant < 0 ? 0.1 : 0.0;
    bf_status status = BF_OK;
    double exact[TIMES];
    spot_rosen(out);
    for (size_t i = 0; i < TIMES; i++) {
        exact[i] = closed_rosen(nu, x, throughput_of(i) * x / 1.5); /* 3Y/2X: the throughput */
    }
    for (size_t g = 0; g < GRIDS; g++) {
        double response[TIMES];
        bf_rate_law law = nu > 0.0 ? BF_RATE_FILM_AND_BEAD : BF_RATE_BEAD;
        bf_bed_spec spec = rig_bed_spec(law, cells[g], shells[g]);
        double radius = 0.5 * spec.resin.bead_diameter_m;
        double content = capacity_eq_per_m3 * slope_m3_per_eq; /* K (1 - eps) */
        double diffusivity = x * radius * radius / (3.0 * content * contact_s);
        for (size_t i = 0; i < BF_CATION_COUNT; i++) {
            spec.resin.diffusivity_25C_m2_per_s[i] = diffusivity;
        }
        if (nu > 0.0) {
            spec.film_m_per_s =
                diffusivity * content / ((1.0 - spec.resin.void_fraction) * radius * nu);
        }
        TRY(respond(&spec, response, err));
        note_grid(out, cells[g], g + 1 == GRIDS, response, exact);
    }
done:
    return status;
}

const comparison linear_isotherm_comparisons[] = {{"j_driving_force_n_10", driving_force, 10},
                                                  {"j_driving_force_n_50", driving_force, 50},
                                                  {"j_film_n_10", film, 10},
                                                  {"j_film_n_50", film, 50},
                                                  {"rosen_nu_0_x_5", rosen, 5},
                                                  {"rosen_nu_0_x_20", rosen, 20},
                                                  {"rosen_nu_0.1_x_5", rosen, -5},
                                                  {"rosen_nu_0.1_x_20", rosen, -20},
                                                  {NULL, NULL, 0}};
