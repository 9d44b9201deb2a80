/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What must not matter: the names of ions, the units of the text, the direction
 * of a bed turned over, a cut through the bed; and a bed at rest stays at rest.
 * Film and bead law throughout. */
#include "brinefront/case.h"
#include "outcome.h"
#include "rig.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { CELLS = 48 };

static bf_selectivity_spec mixture(void)
{
    bf_selectivity_spec law = {
        .law = BF_EQUILIBRIUM_MASS_ACTION_IDEAL,
        .ions = {.count = 4, .ion = {BF_ION_CA, BF_ION_MG, BF_ION_SR, BF_ION_K}},
        .constant = {[BF_ION_CA] = 2.6, [BF_ION_MG] = 1.7, [BF_ION_SR] = 3.1, [BF_ION_K] = 1.46},
        .total_capacity_eq_per_m3 = 2000.0,
        .temperature_K = 293.15};
    return law;
}

static bf_flow hard_water(double bed_volumes)
{
    bf_flow flow = rig_flow(0.76 / 180.0, bed_volumes * 180.0);
    flow.inlet_eq_per_m3[BF_ION_NA] = 2.0;
    flow.inlet_eq_per_m3[BF_ION_CA] = 5.3;
    flow.inlet_eq_per_m3[BF_ION_MG] = 2.7;
    flow.inlet_eq_per_m3[BF_ION_SR] = 0.4;
    flow.inlet_eq_per_m3[BF_ION_K] = 0.6;
    return flow;
}

/* Ca -> Mg -> Sr -> Ca with everything that belongs to them. */
static bf_status relabelled(int variant, outcome *out, bf_error *err)
{
    const bf_ion order[2][3] = {{BF_ION_CA, BF_ION_MG, BF_ION_SR},
                                {BF_ION_MG, BF_ION_SR, BF_ION_CA}};
    const double constant[3] = {2.6, 1.7, 3.1};
    const double inside[3] = {1.1e-11, 0.7e-11, 0.9e-11};
    const double feed[3] = {5.3, 2.7, 0.4};
    double profile[2][3][CELLS];
    rig bed = {0};
    bf_status status = BF_OK;
    (void)variant;
    for (int n = 0; n < 2; n++) {
        bf_passage passage;
        bf_selectivity_spec law = mixture();
        bf_bed_spec spec = rig_bed_spec(BF_RATE_FILM_AND_BEAD, CELLS, 3);
        bf_flow flow = hard_water(150.0);
        spec.film_m_per_s = 5e-5;
        for (int i = 0; i < 3; i++) {
            law.constant[order[n][i]] = constant[i];
            spec.resin.diffusivity_25C_m2_per_s[order[n][i]] = inside[i];
            flow.inlet_eq_per_m3[order[n][i]] = feed[i];
        }
        TRY(rig_build(&law, &spec, &bed, err));
        TRY(bf_bed_run(bed.bed, &flow, &passage, err));
        for (int i = 0; i < 3; i++) {
            bf_bed_profile(bed.bed, order[n][i], profile[n][i], NULL);
        }
        rig_free(&bed);
    }
    for (int i = 0; i < 3; i++) {
        for (size_t k = 0; k < CELLS; k++) {
            outcome_add(out, (double)k, profile[1][i][k], profile[0][i][k]);
        }
    }
done:
    rig_free(&bed);
    return status;
}

/* Exact definitions: 1 gal = 231 in3, 1 in = 25.4 mm, 1 lb = 0.45359237 kg, 1
 * gr = lb/7000. */
static const char text[] =
    "title: two systems of units\n"
    "water:\n  hardness: %.17g %s\n  calcium_to_magnesium: 2\n  sodium: 2 "
    "meq/L\n"
    "  temperature: %.17g %s\n"
    "bed:\n  diameter: %.17g %s\n  depth: %.17g %s\n  freeboard: %.17g %s\n"
    "service:\n  flow: %.17g %s\n  end_point: %.17g %s\n"
    "regeneration:\n  doses: [%.17g %s]\n  brine_strength: 10 wt%%\n  "
    "brine_flow: %.17g %s\n"
    "  backwash_time: 0 min\n  slow_rinse_volume: %.17g %s\n  slow_rinse_flow: "
    "%.17g %s\n"
    "  fast_rinse_volume: %.17g %s\n  fast_rinse_flow: %.17g %s\n";

static bf_status read_case(int si, bf_case *input, bf_error *err)
{
    const double inch = 0.0254;
    const double gallon = 231.0 * inch * inch * inch;
    const double pound = 0.45359237;
    const double grains = pound / 7000.0 / gallon * 1e3; /* g per m3, which is mg/L */
    const double foot = 12.0 * inch;
    const double gpm = gallon * 60.0; /* m3/h */
    char draft[2000];
    int length = si ? snprintf(draft, sizeof draft, text, 19.0 * grains, "mg/L as CaCO3", 291.15,
                               "K", 11.0 * inch, "m", 31.0 * inch, "m", 14.0 * inch, "m", 3.7 * gpm,
                               "m3/h", grains, "mg/L as CaCO3", 9.0 * pound / (foot * foot * foot),
                               "kg/m3", 0.8 * gpm, "m3/h", 19.0 * gallon, "m3", 0.7 * gpm, "m3/h",
                               23.0 * gallon, "m3", 2.9 * gpm, "m3/h")
                    : snprintf(draft, sizeof draft, text, 19.0, "gpg", 64.4, "F", 11.0, "in", 31.0,
                               "in", 14.0, "in", 3.7, "gpm", 1.0, "gpg", 9.0, "lb/ft3", 0.8, "gpm",
                               19.0, "gal", 0.7, "gpm", 23.0, "gal", 2.9, "gpm");
    return bf_case_read_text(draft, (size_t)length, si ? "SI" : "US", input, NULL, err);
}

static bf_status units(int variant, outcome *out, bf_error *err)
{
    bf_case *us = calloc(1, sizeof *us);
    bf_case *si = calloc(1, sizeof *si);
    bf_status status = us != NULL && si != NULL
                           ? BF_OK
                           : bf_error_set(err, BF_E_MEMORY, "units", "memory ran out");
    (void)variant;
    TRY(status);
    TRY(read_case(0, us, err));
    TRY(read_case(1, si, err));
    for (size_t i = 0; i < us->value_count && i < si->value_count; i++) {
        if (!isnan(us->value[i].value) || !isnan(si->value[i].value)) {
            outcome_add(out, (double)us->value[i].key, us->value[i].value, si->value[i].value);
        }
    }
    outcome_add(out, -1.0, (double)us->value_count, (double)si->value_count);
    outcome_add(out, -2.0, us->dose_kg_per_m3[0], si->dose_kg_per_m3[0]);
    outcome_add(out, -3.0, us->rating.bed.temperature_K, si->rating.bed.temperature_K);
    for (size_t s = 0; s < us->rating.recipe.count; s++) {
        outcome_add(out, (double)s, us->rating.recipe.step[s].velocity_m_per_s,
                    si->rating.recipe.step[s].velocity_m_per_s);
    }
    (void)snprintf(out->note, sizeof out->note, "%zu numbers compared", out->points);
done:
    free(us);
    free(si);
    return status;
}

/* Resin in equilibrium with the water it stands in: flow down, flow up, no
 * flow. */
static bf_status at_rest(int variant, outcome *out, bf_error *err)
{
    bf_selectivity_spec law = mixture();
    bf_bed_spec spec = rig_bed_spec(BF_RATE_FILM_AND_BEAD, CELLS, 3);
    bf_flow flow = hard_water(30.0);
    rig bed = {0};
    double resin[BF_ION_COUNT] = {0};
    double pore[4];
    double y[4];
    double normality = 0.0;
    bf_status status = BF_OK;
    (void)variant;
    TRY(rig_build(&law, &spec, &bed, err));
    for (size_t i = 0; i < BF_CATION_COUNT; i++) {
        normality += flow.inlet_eq_per_m3[i];
    }
    for (size_t i = 0; i < 4; i++) {
        pore[i] = flow.inlet_eq_per_m3[law.ions.ion[i]];
    }
    bf_selectivity_to_resin(bed.selectivity, normality, pore, y);
    for (size_t i = 0; i < 4; i++) {
        resin[law.ions.ion[i]] = y[i];
    }
    TRY(bf_bed_fill(bed.bed, resin, flow.inlet_eq_per_m3, err));
    for (int way = 0; way < 3; way++) {
        bf_passage passage;
        flow.direction = way == 1 ? BF_FLOW_UP : BF_FLOW_DOWN;
        flow.velocity_m_per_s = way == 2 ? 0.0 : flow.velocity_m_per_s;
        TRY(bf_bed_run(bed.bed, &flow, &passage, err));
        for (size_t i = 0; i < 4; i++) {
            double fraction[CELLS];
            bf_bed_profile(bed.bed, law.ions.ion[i], fraction, NULL);
            for (size_t k = 0; k < CELLS; k += 3) {
                outcome_add(out, (double)k, fraction[k], y[i]);
            }
        }
    }
done:
    rig_free(&bed);
    return status;
}

/* Flow turned round and bed turned over, without freeboard: service, brine and
 * service. */
static bf_status mirrored(int variant, outcome *out, bf_error *err)
{
    bf_selectivity_spec law = mixture();
    bf_bed_spec spec = rig_bed_spec(BF_RATE_FILM_AND_BEAD, CELLS, 3);
    rig bed[2] = {{0}, {0}};
    bf_status status = BF_OK;
    (void)variant;
    spec.relative_tolerance = 1e-5;
    spec.dispersion_m2_per_s = (double)NAN; /* as correlated */
    spec.film_m_per_s = (double)NAN;
    TRY(rig_build(&law, &spec, &bed[0], err));
    TRY(rig_build(&law, &spec, &bed[1], err));
    for (int leg = 0; leg < 3; leg++) {
        bf_flow flow = hard_water(leg == 0 ? 130.0 : leg == 1 ? 1.1 : 20.0);
        if (leg == 1) { /* brine, the other way */
            memset(flow.inlet_eq_per_m3, 0, sizeof flow.inlet_eq_per_m3);
            flow.inlet_eq_per_m3[BF_ION_NA] = 1830.0;
            flow.velocity_m_per_s *= 0.2;
            flow.duration_s *= 5.0;
        }
        for (int n = 0; n < 2; n++) {
            bf_passage passage;
            flow.direction = (leg == 1) == (n == 1) ? BF_FLOW_DOWN : BF_FLOW_UP;
            TRY(bf_bed_run(bed[n].bed, &flow, &passage, err));
        }
    }
    for (size_t i = 0; i < 4; i++) {
        double copy[CELLS];
        double back[CELLS];
        bf_bed_profile(bed[0].bed, law.ions.ion[i], copy, NULL);
        bf_bed_profile(bed[1].bed, law.ions.ion[i], back, NULL);
        for (size_t k = 0; k < CELLS; k++) {
            outcome_add(out, (double)k, back[CELLS - 1 - k], copy[k]);
        }
    }
done:
    rig_free(&bed[0]);
    rig_free(&bed[1]);
    return status;
}

/* One bed against two of half its depth in a row, well into the breakthrough:
 * what leaves the first is handed to the second as the mean of each half bed
 * volume. */
static bf_status halves(int variant, outcome *out, bf_error *err)
{
    enum { SLICES = 270 }; /* the front straddles the cut */
    bf_selectivity_spec law = rig_pair(BF_EQUILIBRIUM_MASS_ACTION_IDEAL, BF_ION_CA, 2.6);
    bf_bed_spec spec = rig_bed_spec(BF_RATE_FILM_AND_BEAD, 2 * CELLS, 3);
    rig bed[3] = {{0}, {0}, {0}};
    bf_status status = BF_OK;
    bf_passage passage;
    (void)variant;
    spec.relative_tolerance = 1e-5;
    spec.film_m_per_s = (double)NAN;
    bf_flow flow = rig_flow(0.76 / 180.0, SLICES * 90.0);
    flow.inlet_eq_per_m3[BF_ION_CA] = 8.0;
    flow.inlet_eq_per_m3[BF_ION_NA] = 2.0;
    TRY(rig_build(&law, &spec, &bed[0], err));
    spec.depth_m *= 0.5;
    spec.cells = CELLS;
    TRY(rig_build(&law, &spec, &bed[1], err));
    TRY(rig_build(&law, &spec, &bed[2], err));
    TRY(bf_bed_run(bed[0].bed, &flow, &passage, err));
    for (int s = 0; s < SLICES; s++) {
        bf_flow slice = flow;
        slice.duration_s = 90.0;
        TRY(bf_bed_run(bed[1].bed, &slice, &passage, err));
        for (size_t i = 0; i < BF_CATION_COUNT; i++) {
            slice.inlet_eq_per_m3[i] = fmax(passage.out_eq_per_m3[i], 0.0) / passage.bed_volumes;
        }
        TRY(bf_bed_run(bed[2].bed, &slice, &passage, err));
    }
    double whole[2 * CELLS];
    double parts[2 * CELLS];
    bf_bed_profile(bed[0].bed, BF_ION_CA, whole, NULL);
    bf_bed_profile(bed[1].bed, BF_ION_CA, parts, NULL);
    bf_bed_profile(bed[2].bed, BF_ION_CA, parts + CELLS, NULL);
    for (size_t k = 0; k < 2 * CELLS; k++) {
        outcome_add(out, ((double)k + 0.5) / (2.0 * CELLS), parts[k], whole[k]);
    }
done:
    for (int n = 0; n < 3; n++) {
        rig_free(&bed[n]);
    }
    return status;
}

const comparison symmetry_comparisons[] = {{"relabelled", relabelled, 0}, {"units", units, 0},
                                           {"at_rest", at_rest, 0},       {"mirrored", mirrored, 0},
                                           {"halves", halves, 0},         {NULL, NULL, 0}};
