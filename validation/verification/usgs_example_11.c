/* SPDX-License-Identifier: GPL-3.0-or-later */
/* USGS Techniques and Methods 6-A43 (Parkhurst & Appelo 2013), Example 11: a
 * column of sodium and potassium nitrate with exchangers is flushed with
 * calcium chloride. 1.1 meq of exchangers and 1.2 meq of cations a kg of water;
 * log K (Gaines-Thomas) K 0.7, Ca 0.8; 40 cells; one pore volume is 40
 * displacements. Effluents are the report's own numbers, mmol per kg of water.
 *
 * Mixing cells: forty stirred cells, each brought to equilibrium by
 * bf_selectivity_to_water(). Dispersive run: the bed itself (rate law:
 * equilibrium), with the example's dispersivity, Pe = 40.
 */
#include "closed_forms.h"
#include "outcome.h"
#include "rig.h"

#include <math.h>
#include <string.h>

enum { CELLS = 40, SHIFTS = 101 };

static const double capacity_eq_per_m3 = 1.1;
static const double normality_eq_per_m3 = 1.2;

/* K_N of Ca = K_GT/(2 Q), with Q in eq per litre of water. */
static bf_selectivity_spec example(double capacity)
{
    bf_selectivity_spec law = {.law = BF_EQUILIBRIUM_MASS_ACTION_IDEAL,
                               .ions = {.count = 2, .ion = {BF_ION_CA, BF_ION_K}},
                               .total_capacity_eq_per_m3 = capacity,
                               .temperature_K = 298.15};
    law.constant[BF_ION_CA] = pow(10.0, 0.8) / (2.0 * 1e-3 * capacity_eq_per_m3);
    law.constant[BF_ION_K] = pow(10.0, 0.7);
    return law;
}

typedef struct cell {
    double pore[2], fraction[2]; /* Ca, K */
} cell;

static void miss_of(const bf_selectivity *law, const double *total, const double *y, double *miss,
                    double *pore)
{
    bf_selectivity_to_water(law, normality_eq_per_m3, pore, y, pore);
    for (int i = 0; i < 2; i++) {
        miss[i] = capacity_eq_per_m3 * y[i] + pore[i] - total[i];
    }
}

/* Share what the cell holds between exchanger and water: Newton in y, slopes by
 * differences.
 * @return 0 when it converged */
static int equilibrate(const bf_selectivity *law, cell *box)
{
    double total[2];
    double *y = box->fraction;
    for (int i = 0; i < 2; i++) {
        total[i] = capacity_eq_per_m3 * y[i] + box->pore[i];
    }
    for (int pass = 0; pass < 100; pass++) {
        double miss[2];
        double slope[2][2];
        miss_of(law, total, y, miss, box->pore);
        if (fmax(fabs(miss[0]), fabs(miss[1])) < 1e-13) {
            return 0;
        }
        for (int k = 0; k < 2; k++) {
            double moved[2] = {y[0], y[1]};
            double pore[2];
            double mix[2];
            moved[k] += 1e-7;
            miss_of(law, total, moved, mix, pore);
            slope[0][k] = (mix[0] - miss[0]) / 1e-7;
            slope[1][k] = (mix[1] - miss[1]) / 1e-7;
        }
        double det = slope[0][0] * slope[1][1] - slope[0][1] * slope[1][0];
        double change[2] = {(miss[1] * slope[0][1] - miss[0] * slope[1][1]) / det,
                            (miss[0] * slope[1][0] - miss[1] * slope[0][0]) / det};
        for (int i = 0; i < 2; i++) { /* stay between none ... */
            y[i] = fmax(y[i] + change[i], 0.1 * y[i]);
        }
        double sum = fmax(y[0] + y[1], 1.0); /* ... and all */
        y[0] /= sum;
        y[1] /= sum;
    }
    return 1;
}

/* Effluent after each shift: [shift][ion], Ca, K in eq/m3. */
static bf_status mix(double effluent[SHIFTS][2], double initial[2], bf_error *err)
{
    bf_selectivity *law = NULL;
    cell column[CELLS];
    bf_status status = BF_OK;
    bf_selectivity_spec spec = example(capacity_eq_per_m3);
    TRY(bf_selectivity_create(&spec, &law, err));
    const double start[2] = {0.0, 0.2};
    for (size_t k = 0; k < CELLS; k++) {
        memcpy(column[k].pore, start, sizeof start);
        bf_selectivity_to_resin(law, normality_eq_per_m3, start, column[k].fraction);
    }
    memcpy(initial, column[0].fraction, sizeof column[0].fraction);
    for (size_t s = 0; s < SHIFTS; s++) {
        for (size_t k = CELLS; k-- > 1;) {
            memcpy(column[k].pore, column[k - 1].pore, sizeof start);
        }
        column[0].pore[0] = normality_eq_per_m3;
        column[0].pore[1] = 0.0;
        for (size_t k = 0; k < CELLS; k++) {
            if (equilibrate(law, &column[k]) != 0) {
                status = bf_error_set(err, BF_E_SOLVER, "usgs_example_11.c",
                                      "cell %zu of shift %zu does not come to equilibrium", k, s);
                goto done;
            }
        }
        memcpy(effluent[s], column[CELLS - 1].pore, sizeof start);
    }
done:
    bf_selectivity_free(law);
    return status;
}

/* Na, K, Ca in mmol per kg of water, as printed, and half a unit of the last
 * digit printed. */
static const struct {
    double pore_volumes, printed[3], half[3];
} mixing[] = {{0.7625, {1.0, .2, 0}, {5e-6, 5e-6, 5e-9}},
              {1.3875, {.99993, .20007, 0}, {5e-6, 5e-6, 5e-9}},
              {1.4625, {.99376, .20624, 0}, {5e-6, 5e-6, 5e-9}},
              {1.4875, {.97266, .22734, 0}, {5e-6, 5e-6, 5e-9}},
              {1.5125, {.88947, .31053, 0}, {5e-6, 5e-6, 5e-9}},
              {1.5375, {.65396, .54604, 0}, {5e-6, 5e-6, 5e-9}},
              {1.5625, {.31876, .88124, 0}, {5e-6, 5e-6, 5e-9}},
              {1.5875, {.10663, 1.0934, 0}, {5e-6, 5e-5, 5e-9}},
              {1.7625, {9.0e-6, 1.2000, 0}, {5e-8, 5e-5, 5e-7}},
              {1.8375, {1.4e-7, 1.2000, 2.8e-7}, {5e-9, 5e-5, 5e-9}},
              {1.8625, {0, 1.1999, 3.94e-5}, {5e-8, 5e-5, 5e-8}},
              {1.8875, {0, 1.1890, .0054946}, {5e-8, 5e-5, 5e-8}},
              {1.9125, {0, .70494, .24753}, {5e-8, 5e-6, 5e-6}},
              {1.9375, {0, .096078, .55196}, {5e-8, 5e-7, 5e-6}},
              {1.9625, {0, .0091268, .59544}, {5e-8, 5e-8, 5e-6}},
              {2.0125, {0, 7.7e-5, .59996}, {5e-8, 5e-7, 5e-6}},
              {2.5125, {0, 0, .60000}, {5e-8, 5e-8, 5e-6}}};

/* Pairs are in units of the last printed digit's half, so that 1 means "the
 * same digits". */
static bf_status mixing_cells(int variant, outcome *out, bf_error *err)
{
    double effluent[SHIFTS][2];
    double initial[2];
    bf_status status = BF_OK;
    (void)variant;
    TRY(mix(effluent, initial, err));
    /* Before the flush: KX 0.5507, NaX 0.5493 mmol. */
    outcome_add(out, 0.0, initial[1] * 1.1 / 5e-5, .5507 / 5e-5);
    outcome_add(out, 0.0, (1.0 - initial[1]) * 1.1 / 5e-5, .5493 / 5e-5);
    for (size_t r = 0; r < sizeof mixing / sizeof *mixing; r++) {
        size_t shift = (size_t)lround(mixing[r].pore_volumes * 40.0 - 0.5);
        const double *now = effluent[shift - 1];
        const double equivalents[3] = {normality_eq_per_m3 - now[0] - now[1], now[1], 0.5 * now[0]};
        for (int i = 0; i < 3; i++) {
            outcome_add(out, mixing[r].pore_volumes, equivalents[i] / mixing[r].half[i],
                        mixing[r].printed[i] / mixing[r].half[i]);
        }
    }
done:
    return status;
}

/* The dispersive run: Cl, Na, K, Ca. */
static const double dispersive[][5] = {{0.7625, .1614001, .9999995, .2000005, 0},
                                       {0.9125, .4598691, .9999623, .2000377, 0},
                                       {1.0125, .6800593, .9996408, .2003592, 0},
                                       {1.1375, .9052265, .9960578, .2039422, 0},
                                       {1.2625, 1.0512535, .9689960, .2310040, 0},
                                       {1.3875, 1.1316258, .8344533, .3655467, 0},
                                       {1.4625, 1.1586564, .6674662, .5325338, 0},
                                       {1.4875, 1.1652254, .6042302, .5957698, 0},
                                       {1.5125, 1.1708231, .5410707, .6589293, 0},
                                       {1.5375, 1.1755776, .4799177, .7200823, 0},
                                       {1.5625, 1.1796037, .4221747, .7778253, 0},
                                       {1.5875, 1.1830031, .3687297, .8312703, 0},
                                       {1.7625, 1.1955046, .1223835, 1.0775935, 1.15e-5},
                                       {1.8375, 1.1975199, .0666823, 1.0249372, .0541903},
                                       {1.8625, 1.1979717, .0505320, .7350507, .2072087},
                                       {1.8875, 1.1983433, .0387970, .5356918, .3127556},
                                       {1.9125, 1.1986487, .0300768, .4021188, .3839022},
                                       {1.9375, 1.1988991, .0234446, .3068522, .4348516},
                                       {1.9625, 1.1991041, .0183405, .2366188, .4725204},
                                       {2.0125, 1.1994088, .0113029, .1435541, .5225715},
                                       {2.5125, 1.1999924, .0001035, .0015202, .5991882}};
enum { DISPERSIVE = sizeof dispersive / sizeof *dispersive };

/* Everything 2000 times as strong: a bed's capacity is 500 eq/m3 at least, and
 * only ratios count.
 */
static const double stronger = 2000.0;

/* 0.08 m, 720 s a cell of 2 mm, dispersivity 2 mm. With `tracer` the exchangers
 * idle: the normality steps up over a sodium bed, as chloride does over
 * nitrate. */
static bf_status disperse(size_t cells, int tracer, bf_ion ion, double *exit, bf_error *err)
{
    rig bed = {0};
    double time_s[DISPERSIVE];
    double resin[BF_ION_COUNT] = {0};
    bf_status status = BF_OK;
    bf_bed_spec spec = rig_bed_spec(BF_RATE_EQUILIBRIUM, cells, 1);
    const double velocity = 0.002 / 720.0;
    spec.depth_m = 0.08;
    spec.dispersion_m2_per_s = 0.002 * velocity;
    spec.resin.total_capacity_eq_per_m3 = stronger * capacity_eq_per_m3 * spec.resin.void_fraction;
    spec.relative_tolerance = 1e-6;
    bf_selectivity_spec law = example(spec.resin.total_capacity_eq_per_m3);
    bf_flow flow = rig_flow(velocity * spec.resin.void_fraction, 1.0);
    double water[BF_ION_COUNT] = {[BF_ION_NA] = 1.0 * stronger, [BF_ION_K] = 0.2 * stronger};
    flow.inlet_eq_per_m3[BF_ION_CA] = normality_eq_per_m3 * stronger;
    if (tracer) {
        flow.inlet_eq_per_m3[BF_ION_CA] = 0.0;
        flow.inlet_eq_per_m3[BF_ION_NA] = 1e-3 * stronger + normality_eq_per_m3 * stronger;
        water[BF_ION_NA] = 1e-3 * stronger;
        water[BF_ION_K] = 0.0;
    }
    for (size_t i = 0; i < DISPERSIVE; i++) {
        time_s[i] = dispersive[i][0] * 40.0 * 720.0;
    }
    TRY(rig_build(&law, &spec, &bed, err));
    double pore[2] = {0.0, water[BF_ION_K]};
    double y[2];
    bf_selectivity_to_resin(bed.selectivity, normality_eq_per_m3 * stronger, pore, y);
    resin[BF_ION_K] = y[1];
    TRY(bf_bed_fill(bed.bed, resin, water, err));
    TRY(rig_exits(bed.bed, &flow, ion, DISPERSIVE, time_s, exit, err));
    for (size_t i = 0; i < DISPERSIVE; i++) {
        exit[i] = exit[i] / stronger - (tracer ? 1e-3 : 0.0);
    }
done:
    rig_free(&bed);
    return status;
}

/* variant 0: against Brenner's solution of the closed column, to its own
 * accuracy; 1: against the printed run, itself within 0.0021 of the solution
 * for an endless column. */
static bf_status chloride(int variant, outcome *out, bf_error *err)
{
    double exit[DISPERSIVE];
    bf_status status = BF_OK;
    /* T = .7625 .9125 1.0125 of the report's own analytical curve, c0 = 1.2, Pe
   * = 40. */
    outcome_spot(out, 1.2 * closed_ogata_banks(40.0, 0.7625), .1593213, 6e-8);
    outcome_spot(out, 1.2 * closed_ogata_banks(40.0, 0.9125), .4578132, 6e-8);
    outcome_spot(out, 1.2 * closed_ogata_banks(40.0, 1.0125), .6793783, 6e-8);
    TRY(disperse(320, 1, BF_ION_NA, exit, err));
    for (size_t i = 0; i < DISPERSIVE; i++) {
        double t = dispersive[i][0];
        outcome_add(out, t, exit[i],
                    variant == 0 ? 1.2 * closed_brenner(40.0, t) : dispersive[i][1]);
    }
done:
    return status;
}

/* variant: the ion; in mmol, so calcium counts half. */
static bf_status cation(int variant, outcome *out, bf_error *err)
{
    const bf_ion ion = (bf_ion)variant;
    const size_t column = ion == BF_ION_NA ? 2 : ion == BF_ION_K ? 3 : 4;
    double exit[DISPERSIVE];
    bf_status status = BF_OK;
    TRY(disperse(320, 0, ion, exit, err));
    for (size_t i = 0; i < DISPERSIVE; i++) {
        outcome_add(out, dispersive[i][0], exit[i] * (ion == BF_ION_CA ? 0.5 : 1.0),
                    dispersive[i][column]);
    }
done:
    return status;
}

/* Shocks of equilibrium theory: Na/K at 1 + NaX/Na = 1.54935, K/Ca at 1
 * + 1.1/1.2 = 1.91667 pore volumes, seen as the pore volumes by which a front's
 * middle arrives in a bed without dispersion: half of its sodium gone, half of
 * its calcium come. */
typedef struct passing {
    double na, ca, time_s, at_na_s, at_ca_s;
} passing;

static void watch(void *context, const bf_moment *moment)
{
    passing *record = context;
    double na = moment->effluent_eq_per_m3[BF_ION_NA] / stronger;
    double ca = moment->effluent_eq_per_m3[BF_ION_CA] / stronger;
    double step_s = moment->time_s - record->time_s;
    if (record->na >= 0.5 && na < 0.5) {
        record->at_na_s = record->time_s + step_s * (record->na - 0.5) / (record->na - na);
    }
    if (record->ca < 0.6 && ca >= 0.6) {
        record->at_ca_s = record->time_s + step_s * (0.6 - record->ca) / (ca - record->ca);
    }
    record->na = na;
    record->ca = ca;
    record->time_s = moment->time_s;
}

static bf_status shocks(int variant, outcome *out, bf_error *err)
{
    const size_t cells[4] = {40, 80, 160, 320};
    rig bed = {0};
    bf_status status = BF_OK;
    (void)variant;
    for (size_t g = 0; g < 4; g++) {
        bf_passage passage;
        passing record = {.na = 1.0, .at_na_s = (double)NAN, .at_ca_s = (double)NAN};
        bf_bed_spec spec = rig_bed_spec(BF_RATE_EQUILIBRIUM, cells[g], 1);
        spec.depth_m = 0.08;
        spec.resin.total_capacity_eq_per_m3 =
            stronger * capacity_eq_per_m3 * spec.resin.void_fraction;
        spec.relative_tolerance = 1e-6;
        bf_selectivity_spec law = example(spec.resin.total_capacity_eq_per_m3);
        const double water[BF_ION_COUNT] = {
            [BF_ION_NA] = 1.0 * stronger, [BF_ION_K] = 0.2 * stronger};
        double resin[BF_ION_COUNT] = {0};
        bf_flow flow = rig_flow(0.002 / 720.0 * spec.resin.void_fraction, 2.5 * 40.0 * 720.0);
        flow.inlet_eq_per_m3[BF_ION_CA] = normality_eq_per_m3 * stronger;
        flow.observe = watch;
        flow.context = &record;
        TRY(rig_build(&law, &spec, &bed, err));
        double pore[2] = {0.0, water[BF_ION_K]};
        double y[2];
        bf_selectivity_to_resin(bed.selectivity, normality_eq_per_m3 * stronger, pore, y);
        resin[BF_ION_K] = y[1];
        TRY(bf_bed_fill(bed.bed, resin, water, err));
        TRY(bf_bed_run(bed.bed, &flow, &passage, err));
        double sodium = record.at_na_s / (40.0 * 720.0);
        double calcium = record.at_ca_s / (40.0 * 720.0);
        double exact = 1.0 + 1.1 * (1.0 - y[1]) / 1.0;
        outcome_spot(out, exact, 1.54935, 6e-6);
        double worst = fmax(fabs(sodium / exact - 1.0), fabs(calcium / (1.0 + 1.1 / 1.2) - 1.0));
        outcome_add_grid(out, (double)cells[g], isnan(sodium + calcium) ? (double)NAN : worst);
        if (g == 3) {
            outcome_add(out, 1.0, sodium, exact);
            outcome_add(out, 2.0, calcium, 1.0 + 1.1 / 1.2);
        }
        rig_free(&bed);
    }
done:
    rig_free(&bed);
    return status;
}

const comparison usgs_example_11_comparisons[] = {{"mixing_cells", mixing_cells, 0},
                                                  {"chloride_closed", chloride, 0},
                                                  {"chloride_printed", chloride, 1},
                                                  {"sodium", cation, BF_ION_NA},
                                                  {"potassium", cation, BF_ION_K},
                                                  {"calcium", cation, BF_ION_CA},
                                                  {"shocks", shocks, 0},
                                                  {NULL, NULL, 0}};
