/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A solution made up beforehand, and a source term that makes it one (P. J.
 * Roache, J. Fluids Eng. 124 (2002) 4): every term of the full model is at work
 * (film and bead law): advection, dispersion, film, mass action of Ca, Mg, K
 * against Na, Nernst-Planck between three equal shells.
 *
 *     C = C0 (1 + 0.3 A f), c_i = c0_i (1 + a_i A f), y_mi = y0_i + b_mi A g
 *     A(t) = 1 - cos(w t), f(s) = sin(pi s/2) + pi/(2 Pe), g(s) = cos(pi s/2),
 * s = depth of flow/L
 *
 * f meets the inlet's flux condition f(0) = f'(0)/Pe and the outlet's f'(1) =
 * 0, and A(0) = 0 leaves the bed uniform at the start. Along the bed the
 * derivatives are the exact ones, so the error is that of the cells; inside the
 * bead the source holds the shells' own equations, written down here anew from
 * the head of resin/bead.c, so that the shells' size does not enter.
 */
#include "outcome.h"
#include "rig.h"

#include <gsl/gsl_math.h>
#include <math.h>

enum { IONS = 3, SHELLS = 3, MOST_CELLS = 400 };

static const bf_ion ions[IONS] = {BF_ION_CA, BF_ION_MG, BF_ION_K};
static const double charge[IONS + 1] = {2.0, 2.0, 1.0, 1.0};
static const double diffusivity[IONS + 1] = {3e-10, 5e-10, 8e-10, 1e-9}; /* in the bead; Na last */
static const double start_c[IONS] = {30.0, 20.0, 15.0};
static const double swing[IONS] = {0.5, -0.3, 0.4};
static const double start_y[IONS] = {0.3, 0.2, 0.15};
static const double y_swing[SHELLS][IONS] = {
    {0.02, -0.03, 0.01}, {0.04, -0.02, -0.03}, {-0.05, 0.06, 0.04}};
static const double normality0 = 100.0;
static const double peclet = 10.0;
static const double duration_s = 60.0;
static const double film_m_per_s = 1e-5;

typedef struct solution_terms {
    const bf_selectivity *selectivity;
    bf_bed_spec spec;
    bf_direction way;
    double velocity_m_per_s; /* superficial */
} solution_terms;

typedef struct shape {
    double value, first, second; /* of f, by depth of flow */
    double resin;                /* g */
    double now, rate;            /* A and dA/dt */
} shape;

static shape shape_at(const solution_terms *solution, double depth_m, double time_s)
{
    const double length = solution->spec.depth_m;
    const double w = 2.0 / duration_s;
    const double s = solution->way == BF_FLOW_DOWN ? depth_m / length : 1.0 - depth_m / length;
    const double k = M_PI_2 / length;
    shape wave = {.value = sin(M_PI_2 * s) + M_PI_2 / peclet,
                  .first = k * cos(M_PI_2 * s),
                  .second = -k * k * sin(M_PI_2 * s),
                  .resin = cos(M_PI_2 * s),
                  .now = 1.0 - cos(w * time_s),
                  .rate = w * sin(w * time_s)};
    return wave;
}

static double pore_of(const shape *wave, size_t i)
{
    return start_c[i] * (1.0 + swing[i] * wave->now * wave->value);
}

static double fraction_of(const shape *wave, size_t m, size_t i)
{
    return start_y[i] + y_swing[m][i] * wave->now * wave->resin;
}

/* Phi of one face between equal shells. */
static void face_flux(const double *inner, const double *outer, double *flux)
{
    double pull = 0.0;
    double mobility = 0.0;
    double inlet[IONS + 1];
    double out[IONS + 1];
    inlet[IONS] = out[IONS] = 1.0;
    for (size_t i = 0; i < IONS; i++) {
        inlet[i] = inner[i];
        out[i] = outer[i];
        inlet[IONS] -= inner[i];
        out[IONS] -= outer[i];
    }
    for (size_t i = 0; i <= IONS; i++) {
        pull -= diffusivity[i] * (out[i] - inlet[i]);
        mobility += charge[i] * diffusivity[i] * 0.5 * (inlet[i] + out[i]);
    }
    for (size_t i = 0; i < IONS; i++) {
        flux[i] = diffusivity[i] *
                  (out[i] - inlet[i] + charge[i] * 0.5 * (inlet[i] + out[i]) * pull / mobility);
    }
}

/* w of face m, 1/m2: 3 r^2/(R^3 (distance of nodes)). */
static double face_weight(size_t m, double radius)
{
    double inside = radius * cbrt((double)m / SHELLS);
    double face = radius * cbrt((double)(m + 1) / SHELLS);
    double outside = radius * cbrt((double)(m + 2) / SHELLS);
    double inner = m == 0 ? 0.75 * face : 0.5 * (inside + face);
    double outer = m + 2 == SHELLS ? radius : 0.5 * (face + outside);
    return 3.0 * face * face / (radius * radius * radius * (outer - inner));
}

static int force(void *context, double time_s, const bf_cells *cells, const bf_rates *rates)
{
    const solution_terms *solution = context;
    const bf_bed_spec *spec = &solution->spec;
    const double v = solution->velocity_m_per_s / spec->resin.void_fraction;
    const double d = spec->dispersion_m2_per_s;
    const double h =
        film_m_per_s * 6.0 * (1.0 - spec->resin.void_fraction) / spec->resin.bead_diameter_m;
    for (size_t j = 0; j < cells->count; j++) {
        shape wave = shape_at(solution, cells->depth_m[j], time_s);
        double moving = wave.rate * wave.value + wave.now * (v * wave.first - d * wave.second);
        double normality = normality0 * (1.0 + 0.3 * wave.now * wave.value);
        double pore[IONS];
        double y[SHELLS][IONS];
        double water[IONS];
        double exchange[IONS];
        for (size_t i = 0; i < IONS; i++) {
            pore[i] = pore_of(&wave, i);
            for (size_t m = 0; m < SHELLS; m++) {
                y[m][i] = fraction_of(&wave, m, i);
            }
        }
        bf_selectivity_to_water(solution->selectivity, normality, pore, y[SHELLS - 1], water);
        rates->normality[j] += normality0 * 0.3 * moving;
        for (size_t i = 0; i < IONS; i++) {
            exchange[i] = h * (pore[i] - water[i]);
            rates->pore[i][j] +=
                start_c[i] * swing[i] * moving + exchange[i] / spec->resin.void_fraction;
            for (size_t m = 0; m < SHELLS; m++) {
                rates->shell[m * IONS + i][j] += y_swing[m][i] * wave.rate * wave.resin;
            }
            rates->shell[(SHELLS - 1) * IONS + i][j] -=
                SHELLS * exchange[i] / spec->resin.total_capacity_eq_per_m3;
        }
        for (size_t m = 0; m + 1 < SHELLS; m++) {
            double flux[IONS];
            double w = SHELLS * face_weight(m, 0.5 * spec->resin.bead_diameter_m);
            face_flux(y[m], y[m + 1], flux);
            for (size_t i = 0; i < IONS; i++) {
                rates->shell[m * IONS + i][j] -= w * flux[i];
                rates->shell[(m + 1) * IONS + i][j] += w * flux[i];
            }
        }
    }
    return 0;
}

typedef struct profiles {
    double pore[IONS][MOST_CELLS], resin[IONS][MOST_CELLS];
} profiles;

/* Run the forced bed to the end; what it should be then and what it is. */
static bf_status run_forced(bf_direction way, size_t cells, double tolerance, profiles *profile,
                            profiles *exact, bf_error *err)
{
    rig bed = {0};
    bf_passage passage;
    bf_status status = BF_OK;
    bf_selectivity_spec law = {
        .law = BF_EQUILIBRIUM_MASS_ACTION_IDEAL,
        .ions = {.count = IONS, .ion = {ions[0], ions[1], ions[2]}},
        .constant = {[BF_ION_CA] = 2.6, [BF_ION_MG] = 1.7, [BF_ION_K] = 1.46},
        .total_capacity_eq_per_m3 = 2000.0};
    solution_terms forced = {.spec = rig_bed_spec(BF_RATE_FILM_AND_BEAD, cells, SHELLS),
                             .way = way};
    bf_bed_spec *spec = &forced.spec;
    bf_source source = {.name = "manufactured", .context = &forced, .rate = force};
    double resin[BF_ION_COUNT] = {0};
    forced.velocity_m_per_s = spec->depth_m / 180.0;
    spec->shell_law = BF_SHELLS_EQUAL;
    spec->film_m_per_s = film_m_per_s;
    spec->dispersion_m2_per_s =
        forced.velocity_m_per_s / spec->resin.void_fraction * spec->depth_m / peclet;
    spec->relative_tolerance = tolerance;
    spec->hardness_tolerance_eq_per_m3 = tolerance > 1e-9 ? tolerance : 1e-9;
    for (size_t i = 0; i < IONS; i++) {
        spec->resin.diffusivity_25C_m2_per_s[ions[i]] = diffusivity[i];
        resin[ions[i]] = start_y[i];
    }
    spec->resin.diffusivity_25C_m2_per_s[BF_ION_NA] = diffusivity[IONS];
    spec->sources = &source;
    spec->source_count = 1;
    bf_flow flow = rig_flow(forced.velocity_m_per_s, duration_s);
    flow.direction = way;
    flow.inlet_eq_per_m3[BF_ION_NA] = normality0;
    for (size_t i = 0; i < IONS; i++) {
        flow.inlet_eq_per_m3[ions[i]] = start_c[i];
        flow.inlet_eq_per_m3[BF_ION_NA] -= start_c[i];
    }
    TRY(rig_build(&law, spec, &bed, err));
    forced.selectivity = bed.selectivity;
    TRY(bf_bed_fill(bed.bed, resin, flow.inlet_eq_per_m3, err));
    TRY(bf_bed_run(bed.bed, &flow, &passage, err));
    for (size_t i = 0; i < IONS; i++) {
        bf_bed_profile(bed.bed, ions[i], profile->resin[i], profile->pore[i]);
        for (size_t k = 0; k < cells; k++) {
            double depth_m = spec->depth_m * ((double)k + 0.5) / (double)cells;
            shape wave = shape_at(&forced, depth_m, duration_s);
            exact->pore[i][k] = pore_of(&wave, i);
            exact->resin[i][k] = 0.0;
            for (size_t m = 0; m < SHELLS; m++) {
                exact->resin[i][k] += fraction_of(&wave, m, i) / SHELLS;
            }
        }
    }
done:
    rig_free(&bed);
    return status;
}

/* Mean distance, water over its own concentration and resin, over ions and
 * cells. */
static double distance(size_t cells, const profiles *a, const profiles *b)
{
    double sum = 0.0;
    for (size_t i = 0; i < IONS; i++) {
        for (size_t k = 0; k < cells; k++) {
            sum += fabs(a->pore[i][k] - b->pore[i][k]) / start_c[i];
            sum += fabs(a->resin[i][k] - b->resin[i][k]);
        }
    }
    return sum / (double)(cells * IONS);
}

/* variant: direction of flow */
static bf_status in_space(int variant, outcome *out, bf_error *err)
{
    const size_t cells[] = {25, 50, 100, 200, 400};
    static const double finest = 1e-10;
    bf_status status = BF_OK;
    for (size_t g = 0; g < 5; g++) {
        profiles profile;
        profiles exact;
        TRY(run_forced((bf_direction)variant, cells[g], finest, &profile, &exact, err));
        outcome_add_grid(out, (double)cells[g], distance(cells[g], &profile, &exact));
        for (size_t k = 0; g == 2 && k < cells[g]; k++) {
            outcome_add(out, ((double)k + 0.5) / 100.0, profile.pore[0][k] / start_c[0],
                        exact.pore[0][k] / start_c[0]);
        }
    }
done:
    return status;
}

/* On one grid, against the tightest tolerance. */
static bf_status in_time(int variant, outcome *out, bf_error *err)
{
    const double tolerance[] = {1e-2, 1e-3, 1e-4, 1e-5, 1e-6};
    const size_t cells = 50;
    profiles tight;
    profiles exact;
    bf_status status = BF_OK;
    (void)variant;
    TRY(run_forced(BF_FLOW_DOWN, cells, 1e-10, &tight, &exact, err));
    for (size_t g = 0; g < 5; g++) {
        profiles profile;
        TRY(run_forced(BF_FLOW_DOWN, cells, tolerance[g], &profile, &exact, err));
        outcome_add_grid(out, 1.0 / tolerance[g], distance(cells, &profile, &tight));
    }
done:
    return status;
}

/* A front of no width: normality steps over sodium resin (film law, idle) and
 * has crossed 0.4137 of the bed. Mean distance from the exact cell means, in
 * steps. */
static bf_status square_front(int variant, outcome *out, bf_error *err)
{
    const size_t cells[] = {50, 100, 200, 400};
    const double crossed = 0.4137;
    rig bed = {0};
    bf_status status = BF_OK;
    (void)variant;
    for (size_t g = 0; g < 4; g++) {
        double pore[MOST_CELLS];
        bf_passage passage;
        double sum = 0.0;
        bf_selectivity_spec law = rig_pair(BF_EQUILIBRIUM_MASS_ACTION_IDEAL, BF_ION_CA, 2.6);
        bf_bed_spec spec = rig_bed_spec(BF_RATE_FILM, cells[g], 1);
        bf_flow flow = rig_flow(spec.depth_m / 180.0, crossed * 180.0 * spec.resin.void_fraction);
        flow.inlet_eq_per_m3[BF_ION_NA] = 1001.0;
        TRY(rig_build(&law, &spec, &bed, err));
        TRY(bf_bed_run(bed.bed, &flow, &passage, err));
        bf_bed_profile(bed.bed, BF_ION_NA, NULL, pore);
        for (size_t k = 0; k < cells[g]; k++) {
            double exact = fmin(fmax(crossed * (double)cells[g] - (double)k, 0.0), 1.0);
            sum += fabs((pore[k] - 1.0) / 1000.0 - exact);
        }
        outcome_add_grid(out, (double)cells[g], sum / (double)cells[g]);
        rig_free(&bed);
    }
done:
    rig_free(&bed);
    return status;
}

const comparison manufactured_comparisons[] = {{"space_down", in_space, BF_FLOW_DOWN},
                                               {"space_up", in_space, BF_FLOW_UP},
                                               {"time", in_time, 0},
                                               {"square_front", square_front, 0},
                                               {NULL, NULL, 0}};
