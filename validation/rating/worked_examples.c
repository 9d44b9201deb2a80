/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Published worked examples: what a rating per bed volume comes to in a vessel.
 * They check arithmetic and units, nothing of the model: capacity and salt dose
 * are theirs.
 *
 * Chem-Aqua 2019,
 * https://www.chemaqua.com/en-us/Blog/how-to-calculate-softener-capacity; S.
 * Seth 2015 (Duolite C-20); ChEResources,
 * http://www.cheresources.com/content/articles/utilities/water-chemistry-and-treatment?pg=2;
 * Water Treatment Plant Design 4e p. 12.46. Of the first the 180,000 gr, of the
 * second the 59.62 g/L, the third and the fourth whole are the sources' own;
 * the rest was worked from them by hand.
 */
#include "outcome.h"

#include "brinefront/convert.h"
#include "brinefront/tank.h"

/* A bed of a volume, and a run of it. */
typedef struct example {
    bf_rating_spec rating;
    bf_dose_point point;
} example;

static void set_up(double resin_m3, double dose_kg_per_m3, double capacity_kg_per_m3,
                   double throughput_bed_volumes, example *out)
{
    *out = (example){.rating = {.bed = bf_bed_spec_default()},
                     .point = {.dose_kg_per_m3 = dose_kg_per_m3}};
    out->rating.bed.depth_m = resin_m3 / bf_bed_area_m2(&out->rating.bed);
    out->point.steady.cycle.capacity_eq_per_m3 = 1e3 * capacity_kg_per_m3 / BF_G_CACO3_PER_EQ;
    out->point.steady.cycle.throughput_bed_volumes = throughput_bed_volumes;
}

/* 6 ft3 at 15 lb/ft3 and 30 kgr/ft3 on 118 ppm, said to be 6.9 gpg. */
static bf_status municipal(int variant, outcome *out, bf_error *err)
{
    static example worked; /* too large for the stack */
    const double capacity = 30e3 * BF_KG_PER_GRAIN / BF_M3_PER_FT3;
    const double hardness = 6.9 * BF_KG_PER_GRAIN / BF_M3_PER_GAL;
    (void)variant, (void)err;
    set_up(6.0 * BF_M3_PER_FT3, 15.0 * BF_KG_PER_M3_PER_LB_PER_FT3, capacity, capacity / hardness,
           &worked);
    const bf_tank_rating pieces = bf_tank_rating_of(&worked.rating, &worked.point);
    outcome_add(out, 0.0, pieces.capacity_kg / BF_KG_PER_GRAIN, 180000.0);
    outcome_add(out, 1.0, pieces.water_m3 / BF_M3_PER_GAL, 26090.0);
    outcome_add(out, 2.0, pieces.salt_kg / BF_KG_PER_LB, 90.0);
    return BF_OK;
}

/* 65 m3/h for 22 h, sodium 42.36 ppm being 36 % of all cations, 150 g/L, 69 g/L
 * less 4 and 10 %. */
static bf_status industrial(int variant, outcome *out, bf_error *err)
{
    static example worked; /* too large for the stack */
    const double water_m3 = 65.0 * 22.0;
    const double hardness_kg_per_m3 = 1e-3 * 42.36 / 0.36 * (1.0 - 0.36);
    const double capacity_kg_per_m3 = 69.0 * 0.96 * 0.9;
    const double throughput_bed_volumes = capacity_kg_per_m3 / hardness_kg_per_m3;
    (void)variant, (void)err;
    set_up(water_m3 / throughput_bed_volumes, 150.0, capacity_kg_per_m3, throughput_bed_volumes,
           &worked);
    const bf_tank_rating pieces = bf_tank_rating_of(&worked.rating, &worked.point);
    const double resin_m3 = bf_bed_volume_m3(&worked.rating.bed);
    outcome_add(out, 0.0, pieces.water_m3, 1430.0);
    outcome_add(out, 1.0, pieces.capacity_kg / resin_m3, 59.62);
    outcome_add(out, 2.0, pieces.capacity_kg, 108.0);
    outcome_add(out, 3.0, resin_m3, 1.81);
    outcome_add(out, 4.0, pieces.salt_kg, 271.0);
    return BF_OK;
}

/* Four persons at 60 gal a day, 18 gpg and 1.5 ppm of iron at 2 gpg each, three
 * days. */
static bf_status household(int variant, outcome *out, bf_error *err)
{
    static example worked; /* too large for the stack */
    const double day_m3 = 4.0 * 60.0 * BF_M3_PER_GAL;
    const double gpg = 18.0 + 2.0 * 1.5;
    const double resin_m3 = 1.5 * BF_M3_PER_FT3; /* any: it falls out */
    (void)variant, (void)err;
    for (int days = 1; days <= 3; days += 2) {
        const double bed_volumes = days * day_m3 / resin_m3;
        set_up(resin_m3, 96.0, bed_volumes * gpg * BF_KG_PER_GRAIN / BF_M3_PER_GAL, bed_volumes,
               &worked);
        outcome_add(out, days,
                    bf_tank_rating_of(&worked.rating, &worked.point).capacity_kg / BF_KG_PER_GRAIN,
                    days == 1 ? 5040.0 : 15120.0);
    }
    return BF_OK;
}

/* 80 gal/ft3 to regenerate, 2,400 gal/ft3 softened: hardness of the waste over
 * that of the feed. */
static bf_status waste(int variant, outcome *out, bf_error *err)
{
    static example worked; /* too large for the stack */
    const double bed_volumes = 2400.0 * BF_M3_PER_GAL / BF_M3_PER_FT3;
    const double hardness_kg_per_m3 = 0.283;
    (void)variant, (void)err;
    set_up(0.157, 131.0, bed_volumes * hardness_kg_per_m3, bed_volumes, &worked);
    worked.point.steady.cycle.water_bed_volumes = 80.0 * BF_M3_PER_GAL / BF_M3_PER_FT3;
    const bf_tank_rating pieces = bf_tank_rating_of(&worked.rating, &worked.point);
    outcome_add(out, 0.0, 1.0 / pieces.waste_m3_per_kg / (pieces.capacity_kg / pieces.water_m3),
                30.0);
    return BF_OK;
}

const comparison worked_examples_comparisons[] = {{"municipal", municipal, 0},
                                                  {"industrial", industrial, 0},
                                                  {"household", household, 0},
                                                  {"waste", waste, 0},
                                                  {NULL, NULL, 0}};
