/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Water and resin everywhere in equilibrium (rate law: equilibrium), no
 * dispersion: fronts are shocks and waves whose places are known (DeVault 1943;
 * Helfferich & Klein 1970). Calcium against sodium, K_N = 2.6, Q = 2000 eq/m3,
 * void 0.38. */
#include "closed_forms.h"
#include "outcome.h"
#include "rig.h"

#include <math.h>

enum { GRIDS = 4, LEVELS = 17 };

static const size_t cells[GRIDS] = {40, 80, 160, 320};
static const double void_fraction = 0.38;
static const double selectivity_N = 2.6;
static const double capacity_eq_per_m3 = 2000.0;

/* Service with 10 eq/m3 of which a share x is calcium: the whole front is one
 * shock at eps + (Q/C) y/x. variant: 100 x. */
static bf_status shock(int variant, outcome *out, bf_error *err)
{
    const double x = 0.01 * variant;
    const double l = selectivity_N * capacity_eq_per_m3 / 10.0;
    const double arrival = void_fraction + capacity_eq_per_m3 / 10.0 * closed_mass_action(l, x) / x;
    const double sodium[BF_ION_COUNT] = {[BF_ION_NA] = 10.0};
    bf_status status = BF_OK;
    rig bed = {0};
    outcome_spot(out, closed_mass_action(l, 0.8), 0.99024, 6e-6);
    outcome_spot(out, arrival, variant == 100 ? 200.38 : 247.94, 6e-3);
    for (size_t g = 0; g < GRIDS; g++) {
        bf_passage passage;
        bf_selectivity_spec law =
            rig_pair(BF_EQUILIBRIUM_MASS_ACTION_IDEAL, BF_ION_CA, selectivity_N);
        bf_bed_spec spec = rig_bed_spec(BF_RATE_EQUILIBRIUM, cells[g], 1);
        spec.relative_tolerance = 1e-6;
        bf_flow flow = rig_flow(spec.depth_m / 180.0, 400.0 * 180.0);
        flow.inlet_eq_per_m3[BF_ION_CA] = 10.0 * x;
        flow.inlet_eq_per_m3[BF_ION_NA] = 10.0 - 10.0 * x;
        flow.end_hardness_eq_per_m3 = 5.0 * x;
        TRY(rig_build(&law, &spec, &bed, err));
        TRY(bf_bed_fill(bed.bed, NULL, sodium, err));
        TRY(bf_bed_run(bed.bed, &flow, &passage, err));
        double measured = passage.reached_end_hardness ? passage.bed_volumes : (double)NAN;
        outcome_add_grid(out, (double)cells[g], fabs(measured / arrival - 1.0));
        if (g + 1 == GRIDS) {
            outcome_add(out, x, measured, arrival);
        }
        rig_free(&bed);
    }
done:
    rig_free(&bed);
    return status;
}

typedef struct crossings {
    double arrival[LEVELS], share, bed_volumes, normality;
} crossings;

static double level_of(size_t i)
{
    return 0.9 - 0.05 * (double)i;
}

static void note_crossings(void *context, const bf_moment *moment)
{
    crossings *record = context;
    double share = moment->hardness_eq_per_m3 / record->normality;
    for (size_t i = 0; i < LEVELS; i++) {
        if (record->share >= level_of(i) && share < level_of(i)) {
            record->arrival[i] = record->bed_volumes + (moment->bed_volumes - record->bed_volumes) *
                                                           (record->share - level_of(i)) /
                                                           (record->share - share);
        }
    }
    record->share = share;
    record->bed_volumes = moment->bed_volumes;
}

/* Published places (x = .75 .5 .25) of the waves, DeVault's theory. */
static void spot_waves(outcome *out)
{
    const double rows[][4] = {{500, 1.906, 2.481, 4.189},
                              {1000, 1.419, 1.730, 2.562},
                              {2000, 1.076, 1.212, 1.524},
                              {4000, 0.835, 0.862, 0.913}};
    for (size_t r = 0; r < 4; r++) {
        double ratio = capacity_eq_per_m3 / rows[r][0];
        for (size_t k = 1; k < 4; k++) {
            double x = 1.0 - 0.25 * (double)k;
            double arrival =
                void_fraction + ratio * closed_mass_action_slope(selectivity_N * ratio, x);
            outcome_spot(out, arrival, rows[r][k], 6e-4);
        }
    }
}

/* Regeneration of a calcium bed with as strong a sodium brine: the exit passes
 * x at eps + (Q/C) dy/dx. variant: normality in eq/m3. */
static bf_status wave(int variant, outcome *out, bf_error *err)
{
    const double normality = variant;
    const double ratio = capacity_eq_per_m3 / normality;
    const double resin[BF_ION_COUNT] = {[BF_ION_CA] = 1.0};
    const double water[BF_ION_COUNT] = {[BF_ION_CA] = normality};
    bf_status status = BF_OK;
    rig bed = {0};
    spot_waves(out);
    for (size_t g = 0; g < GRIDS; g++) {
        bf_passage passage;
        crossings record = {.share = 1.0, .normality = normality};
        bf_selectivity_spec law =
            rig_pair(BF_EQUILIBRIUM_MASS_ACTION_IDEAL, BF_ION_CA, selectivity_N);
        bf_bed_spec spec = rig_bed_spec(BF_RATE_EQUILIBRIUM, cells[g], 1);
        double most = void_fraction + ratio * closed_mass_action_slope(selectivity_N * ratio, 0.05);
        spec.relative_tolerance = 1e-7;
        bf_flow flow = rig_flow(spec.depth_m / 900.0, most * 1.1 * 900.0);
        flow.inlet_eq_per_m3[BF_ION_NA] = normality;
        flow.observe = note_crossings;
        flow.context = &record;
        for (size_t i = 0; i < LEVELS; i++) {
            record.arrival[i] = (double)NAN;
        }
        TRY(rig_build(&law, &spec, &bed, err));
        TRY(bf_bed_fill(bed.bed, resin, water, err));
        TRY(bf_bed_run(bed.bed, &flow, &passage, err));
        double sum = 0.0;
        for (size_t i = 0; i < LEVELS; i++) {
            double slope = closed_mass_action_slope(selectivity_N * ratio, level_of(i));
            double arrival = void_fraction + ratio * slope;
            sum += pow(record.arrival[i] / arrival - 1.0, 2.0);
            if (g + 1 == GRIDS) {
                outcome_add(out, level_of(i), record.arrival[i], arrival);
            }
        }
        outcome_add_grid(out, (double)cells[g], sqrt(sum / LEVELS));
        rig_free(&bed);
    }
done:
    rig_free(&bed);
    return status;
}

const comparison equilibrium_theory_comparisons[] = {{"shock_x_1", shock, 100},
                                                     {"shock_x_0.8", shock, 80},
                                                     {"wave_0.5_N", wave, 500},
                                                     {"wave_1_N", wave, 1000},
                                                     {"wave_2_N", wave, 2000},
                                                     {"wave_4_N", wave, 4000},
                                                     {NULL, NULL, 0}};
