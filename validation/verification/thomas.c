/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Curved isotherms with closed solutions: reaction kinetics (Thomas) at any
 * separation factor, the constant pattern of a film and of a linear driving
 * force, and the full model (film and Nernst-Planck shells in series) in the
 * one pair for which it is linear: two monovalent ions of one diffusivity and
 * no preference, where Rosen's solution holds. */
#include "closed_forms.h"
#include "outcome.h"
#include "rig.h"

#include <math.h>

enum { TIMES = 15, GRIDS = 4, LEVELS = 17 };

static const double feed_eq_per_m3 = 10.0;
static const double contact_s = 180.0;
static const double capacity_eq_per_m3 = 2000.0;

static double throughput_of(size_t i)
{
    return 0.25 + 0.125 * (double)i;
}

/* Pure feed of the ion over a sodium resin. */
static bf_status prepare(const bf_selectivity_spec *law, const bf_bed_spec *spec, rig *bed,
                         bf_flow *flow, bf_error *err)
{
    bf_ion ion = law->ions.ion[0];
    const double water[BF_ION_COUNT] = {[BF_ION_NA] = feed_eq_per_m3};
    bf_status status = rig_build(law, spec, bed, err);
    if (status == BF_OK) {
        status = bf_bed_fill(bed->bed, NULL, water, err);
    }
    *flow = rig_flow(spec->depth_m / contact_s, 1.0);
    flow->inlet_eq_per_m3[ion] = feed_eq_per_m3;
    return status;
}

static bf_status respond(const bf_selectivity_spec *law, const bf_bed_spec *spec, double *response,
                         bf_error *err)
{
    rig bed = {0};
    bf_flow flow;
    double time_s[TIMES];
    bf_status status = BF_OK;
    for (size_t i = 0; i < TIMES; i++) {
        double uptake = capacity_eq_per_m3 / feed_eq_per_m3;
        time_s[i] = contact_s * (spec->resin.void_fraction + uptake * throughput_of(i));
    }
    TRY(prepare(law, spec, &bed, &flow, err));
    TRY(rig_exits(bed.bed, &flow, law->ions.ion[0], TIMES, time_s, response, err));
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

/* Thomas 1944, exit at throughputs .5 .75 1 1.25 1.5, eight digits. */
static void spot_thomas(outcome *out)
{
    const double throughput[5] = {0.5, 0.75, 1.0, 1.25, 1.5};
    const struct {
        double r, units, exit[5];
    } rows[] = {{0.25, 10, {.02007810, .12989125, .50265941, .87079260, .97827140}},
                {0.25, 20, {5.1169653e-4, .02281595, .50015136, .97710361, .99945239}},
                {0.5, 10, {.04505185, .19610204, .51257099, .81144031, .94648658}},
                {0.5, 20, {.00366216, .06693727, .50350172, .93157059, .99478996}},
                {1, 10, {.11979375, .31634469, .54489016, .73707864, .86577983}},
                {1, 20, {.03934503, .22301699, .53163914, .79432690, .93227832}},
                {2, 10, {.27052778, .45943567, .60401282, .71192123, .79297120}},
                {2, 20, {.20714317, .42824550, .59605533, .71840167, .80862845}}};
    for (size_t r = 0; r < sizeof rows / sizeof *rows; r++) {
        for (size_t k = 0; k < 5; k++) {
            outcome_spot(out, closed_thomas(rows[r].r, rows[r].units, throughput[k]),
                         rows[r].exit[k], 6e-9);
        }
    }
}

/* variant: 100 r; 20 transfer units, N = Q k L/(u C). */
static bf_status reaction(int variant, outcome *out, bf_error *err)
{
    const size_t cells[GRIDS] = {50, 100, 200, 400};
    const double r = 0.01 * variant;
    const double units = 20.0;
    bf_status status = BF_OK;
    double exact[TIMES];
    spot_thomas(out);
    for (size_t i = 0; i < TIMES; i++) {
        exact[i] = closed_thomas(r, units, throughput_of(i));
    }
    for (size_t g = 0; g < GRIDS; g++) {
        double response[TIMES];
        bf_selectivity_spec law = rig_pair(BF_EQUILIBRIUM_SEPARATION_FACTOR, BF_ION_CA, 1.0 / r);
        bf_bed_spec spec = rig_bed_spec(BF_RATE_REACTION, cells[g], 1);
        spec.rate_constant_per_s[BF_ION_CA] =
            units * feed_eq_per_m3 / (capacity_eq_per_m3 * contact_s);
        TRY(respond(&law, &spec, response, err));
        note_grid(out, cells[g], g + 1 == GRIDS, response, exact);
    }
done:
    return status;
}

/* Symmetric 10-90 % time (1 + r) ln 9/(1 - r), both laws. */
static void spot_pattern(outcome *out)
{
    outcome_spot(out, closed_pattern_film(0.1, 0.1, 0.9), 2.685497, 6e-7);
    outcome_spot(out, closed_pattern_film(0.2, 0.05, 0.95), 4.416658, 6e-7);
    outcome_spot(out, closed_pattern_driving_force(0.2, 0.1, 0.9), 3.295837, 6e-7);
    outcome_spot(out, closed_pattern_driving_force(0.5, 0.05, 0.95), 8.833317, 6e-7);
}

/* r = 0.2, 40 transfer units: the front has its final shape long before the
 * outlet. Times between X = 0.5 and the levels .1 .15 .. .9, each the root the
 * integrator finds, in units of 1/k; k = h C/Q of the film. */
static bf_status pattern(bf_rate_law rate, outcome *out, bf_error *err)
{
    const size_t cells[GRIDS] = {50, 100, 200, 400};
    const double r = 0.2;
    const double units = 40.0;
    bf_status status = BF_OK;
    rig bed = {0};
    spot_pattern(out);
    for (size_t g = 0; g < GRIDS; g++) {
        double at_s[LEVELS];
        double passed_s = 0.0;
        double worst = 0.0;
        bf_flow flow;
        bf_selectivity_spec law = rig_pair(BF_EQUILIBRIUM_SEPARATION_FACTOR, BF_ION_CA, 1.0 / r);
        bf_bed_spec spec = rig_bed_spec(rate, cells[g], 1);
        double per_s = units * feed_eq_per_m3 / (capacity_eq_per_m3 * contact_s); /* k */
        spec.rate_constant_per_s[BF_ION_CA] = per_s;
        spec.film_m_per_s = per_s * capacity_eq_per_m3 / feed_eq_per_m3 *
                            spec.resin.bead_diameter_m / (6.0 * (1.0 - spec.resin.void_fraction));
        TRY(prepare(&law, &spec, &bed, &flow, err));
        for (size_t i = 0; i < LEVELS; i++) {
            bf_passage passage;
            flow.end_hardness_eq_per_m3 = (0.1 + 0.05 * (double)i) * feed_eq_per_m3;
            flow.duration_s = 1e6;
            TRY(bf_bed_run(bed.bed, &flow, &passage, err));
            passed_s += passage.duration_s;
            at_s[i] = passage.reached_end_hardness ? passed_s : (double)NAN;
        }
        for (size_t i = 0; i < LEVELS; i++) {
            double level = 0.1 + 0.05 * (double)i;
            double computed = per_s * (at_s[i] - at_s[LEVELS / 2]);
            double exact = rate == BF_RATE_FILM ? closed_pattern_film(r, 0.5, level)
                                                : closed_pattern_driving_force(r, 0.5, level);
            worst = !(fabs(computed - exact) <= worst) ? fabs(computed - exact) : worst;
            if (g + 1 == GRIDS) {
                outcome_add(out, level, computed, exact);
            }
        }
        outcome_add_grid(out, (double)cells[g], worst);
        rig_free(&bed);
    }
done:
    rig_free(&bed);
    return status;
}

static bf_status pattern_film(int variant, outcome *out, bf_error *err)
{
    (void)variant;
    return pattern(BF_RATE_FILM, out, err);
}

static bf_status pattern_driving_force(int variant, outcome *out, bf_error *err)
{
    (void)variant;
    return pattern(BF_RATE_LINEAR_DRIVING_FORCE, out, err);
}

/* Potassium for sodium, K_N = 1, equal diffusivities: y* = x, no field. The
 * resin is loaded to y =
 * 1. Rosen, X = 10, nu = 0.1. */
static bf_status full_model(int variant, outcome *out, bf_error *err)
{
    const size_t cells[GRIDS] = {40, 80, 160, 320};
    const size_t shells[GRIDS] = {2, 4, 8, 16};
    const double x = 10.0;
    const double nu = 0.1;
    const double throughput[5] = {0.5, 0.75, 1.0, 1.25, 1.5};
    const double table[5] = {.00823096, .1511141, .5291770, .8469173, .9691717}; /* Rosen 1954 */
    bf_status status = BF_OK;
    double exact[TIMES];
    (void)variant;
    for (size_t k = 0; k < 5; k++) {
        outcome_spot(out, closed_rosen(nu, x, throughput[k] * x / 1.5), table[k], 6e-8);
    }
    for (size_t i = 0; i < TIMES; i++) {
        exact[i] = closed_rosen(nu, x, throughput_of(i) * x / 1.5);
    }
    for (size_t g = 0; g < GRIDS; g++) {
        double response[TIMES];
        bf_selectivity_spec law = rig_pair(BF_EQUILIBRIUM_MASS_ACTION_IDEAL, BF_ION_K, 1.0);
        bf_bed_spec spec = rig_bed_spec(BF_RATE_FILM_AND_BEAD, cells[g], shells[g]);
        double radius = 0.5 * spec.resin.bead_diameter_m;
        double content = capacity_eq_per_m3 / feed_eq_per_m3;
        double diffusivity = x * radius * radius / (3.0 * content * contact_s);
        for (size_t i = 0; i < BF_CATION_COUNT; i++) {
            spec.resin.diffusivity_25C_m2_per_s[i] = diffusivity;
        }
        spec.film_m_per_s =
            diffusivity * content / ((1.0 - spec.resin.void_fraction) * radius * nu);
        TRY(respond(&law, &spec, response, err));
        note_grid(out, cells[g], g + 1 == GRIDS, response, exact);
    }
done:
    return status;
}

const comparison thomas_comparisons[] = {
    {"thomas_r_0.25", reaction, 25},     {"thomas_r_0.5", reaction, 50},
    {"thomas_r_1", reaction, 100},       {"thomas_r_2", reaction, 200},
    {"pattern_film", pattern_film, 0},   {"pattern_driving_force", pattern_driving_force, 0},
    {"full_model_rosen", full_model, 0}, {NULL, NULL, 0}};
