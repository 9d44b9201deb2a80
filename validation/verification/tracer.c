/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Advection and dispersion alone: the normality steps up over a resin that is
 * all sodium, so that nothing exchanges. Rate law: film (idle). A closed vessel
 * answers as Brenner says; an endless bed would answer as Ogata & Banks say,
 * and the two must be told apart. */
#include "closed_forms.h"
#include "outcome.h"
#include "rig.h"

#include <math.h>

enum { TIMES = 15 };

static double voids_of(size_t i)
{
    return 0.25 + 0.125 * (double)i;
}

/* 1 m, void 0.38, 0.38 mm/s: a void is passed in 1000 s. The step is 1000
 * eq/m3, a million times the absolute tolerance. */
static bf_status respond(double peclet, size_t cells, double *response, bf_error *err)
{
    rig bed = {0};
    double time_s[TIMES];
    bf_status status = BF_OK;
    bf_selectivity_spec law = rig_pair(BF_EQUILIBRIUM_MASS_ACTION_IDEAL, BF_ION_CA, 2.6);
    bf_bed_spec spec = rig_bed_spec(BF_RATE_FILM, cells, 1);
    spec.depth_m = 1.0;
    spec.dispersion_m2_per_s = 1e-3 / peclet; /* Pe = (u/eps) L/D_L */
    bf_flow flow = rig_flow(0.38e-3, 1.0);
    flow.inlet_eq_per_m3[BF_ION_NA] = 1001.0;
    for (size_t i = 0; i < TIMES; i++) {
        time_s[i] = 1000.0 * voids_of(i);
    }
    TRY(rig_build(&law, &spec, &bed, err));
    TRY(rig_exits(bed.bed, &flow, BF_ION_NA, TIMES, time_s, response, err));
    for (size_t i = 0; i < TIMES; i++) {
        response[i] = (response[i] - 1.0) / 1000.0;
    }
done:
    rig_free(&bed);
    return status;
}

/* Brenner 1962, exit step response by his series, at Pe = 4, 40, 160; T = .5
 * .75 1 1.25 1.5 2. */
static void spot_brenner(outcome *out)
{
    const double voids[6] = {0.5, 0.75, 1.0, 1.25, 1.5, 2.0};
    const struct {
        double peclet, exit[6];
    } rows[] = {{4, {.18792848, .41987148, .60909971, .74269318, .83226389, .92942424}},
                {40, {.00093301, .11387300, .54347576, .87032990, .97550197, .99956187}},
                {160, {1.508e-10, .00556496, .52216159, .98053064, .99990179, 1.0}}};
    for (size_t r = 0; r < 3; r++) {
        for (size_t k = 0; k < 6; k++) {
            outcome_spot(out, closed_brenner(rows[r].peclet, voids[k]), rows[r].exit[k], 6e-9);
        }
    }
}

static bf_status brenner(int peclet, outcome *out, bf_error *err)
{
    const size_t cells[] = {50, 100, 200, 400};
    bf_status status = BF_OK;
    spot_brenner(out);
    for (size_t g = 0; g < 4; g++) {
        double response[TIMES];
        double worst = 0.0;
        TRY(respond(peclet, cells[g], response, err));
        for (size_t i = 0; i < TIMES; i++) {
            double exact = closed_brenner(peclet, voids_of(i));
            worst = fmax(worst, fabs(response[i] - exact));
            if (g == 3) {
                outcome_add(out, voids_of(i), response[i], exact);
            }
        }
        outcome_add_grid(out, (double)cells[g], worst);
    }
done:
    return status;
}

/* Ogata & Banks 1961, Pe 4 and 40. */
static bf_status ogata_banks(int peclet, outcome *out, bf_error *err)
{
    bf_status status = BF_OK;
    double response[TIMES];
    outcome_spot(out, closed_ogata_banks(4, 0.75), .458023, 6e-7);
    outcome_spot(out, closed_ogata_banks(4, 2.0), .915047, 6e-7);
    outcome_spot(out, closed_ogata_banks(40, 0.75), .117312, 6e-7);
    outcome_spot(out, closed_ogata_banks(40, 1.1), .705284, 6e-7);
    TRY(respond(peclet, 200, response, err));
    for (size_t i = 0; i < TIMES; i++) {
        outcome_add(out, voids_of(i), response[i], closed_ogata_banks(peclet, voids_of(i)));
    }
done:
    return status;
}

const comparison tracer_comparisons[] = {
    {"brenner_pe_4", brenner, 4},           {"brenner_pe_40", brenner, 40},
    {"brenner_pe_160", brenner, 160},       {"ogata_banks_pe_4", ogata_banks, 4},
    {"ogata_banks_pe_40", ogata_banks, 40}, {NULL, NULL, 0}};
