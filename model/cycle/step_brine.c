/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Brine: the salt of a dose, dissolved to a strength, or as much sea water as holds that salt.
 *
 *     bed volumes   dose/(kg salt per m3 of brine)
 *     its water     bed volumes * (kg water per m3 of brine)/(kg water per m3 of water)
 *     its cations   those of the salt, and those of the supply diluted to the brine's share of water
 *     from the salt saturated brine: dose/(kg salt per m3 of saturated brine)
 *     put to it     dose/(kg salt per m3 of water that saturates on it)
 *
 * Salt is taken as pure. Brine is drawn saturated and diluted on its way to the bed; the salt has
 * the temperature of the water. Sea water is no fresh water: it counts as none.
 */
#include "cycle/step.h"

static bf_status check_salt(const bf_step *step, bf_error *err)
{
    if (!(step->mass_fraction > 0.0 && step->mass_fraction < 1.0)) {
        return bf_error_set(err, BF_E_RANGE, step->type->name,
                            "brine strength is %g wt%%; it must be above 0 and below 100",
                            100.0 * step->mass_fraction);
    }
    return bf__step_check_dose(step, err);
}

static bf_status check_brine(const bf_step *step, bf_error *err)
{
    bf_step strong = *step;
    if (step->supply == BF_SUPPLY_SEA) {
        strong.mass_fraction = bf_sea_salt_kg_per_kg();
    }
    bf_status status = bf__step_check_blocking(step, err);
    return status == BF_OK ? check_salt(&strong, err) : status;
}

/* Brine of a strength at the site, and its share of water by volume. */
static bf_status make_brine(const bf_step *step, const bf_site *site, bf_brine *brine,
                            double *water_share, bf_error *err)
{
    bf_fluid water;
    bf_status status = bf_brine_of_mass_fraction(step->salt, step->mass_fraction,
                                                 site->water.temperature_K, brine, err);
    if (status == BF_OK) {
        status = bf_fluid_of_water(site->water.temperature_K, &water, err);
    }
    if (status == BF_OK) {
        *water_share = brine->water_per_solution_kg_per_m3 / water.density_kg_per_m3;
    }
    return status;
}

static void need_sea(const bf_step *step, const bf_site *site, bf_step_needs *out)
{
    const double bed_volumes = step->dose_kg_per_m3 / bf_sea_salt_kg_per_m3();
    bf__step_needs_flow(step, site, bed_volumes, 0.0, out);
    out->salt_kg_per_m3 = step->dose_kg_per_m3;
    out->brine_bed_volumes = bed_volumes;
}

static bf_status needs_brine(const bf_step *step, const bf_site *site, bf_step_needs *out,
                             bf_error *err)
{
    const double temperature_K = site->water.temperature_K;
    const double dose = step->dose_kg_per_m3;
    bf_brine brine;
    bf_brine saturated;
    double water_share = 0.0;
    double strength = 0.0;
    if (step->supply == BF_SUPPLY_SEA) {
        need_sea(step, site, out);
        return BF_OK;
    }
    bf_status status = make_brine(step, site, &brine, &water_share, err);
    if (status == BF_OK) {
        status = bf_brine_saturation(step->salt, temperature_K, &strength, err);
    }
    if (status == BF_OK) {
        status = bf_brine_of_mass_fraction(step->salt, strength, temperature_K, &saturated, err);
    }
    if (status == BF_OK) {
        const double bed_volumes = dose / brine.salt_per_solution_kg_per_m3;
        bf__step_needs_flow(step, site, bed_volumes, bed_volumes * water_share, out);
        out->salt_kg_per_m3 = dose;
        out->brine_bed_volumes = dose / saturated.salt_per_solution_kg_per_m3;
        out->refill_bed_volumes = dose / saturated.salt_per_water_kg_per_m3;
    }
    return status;
}

/* Composition and fluid of what enters. */
static bf_status fill_flow(const bf_step *step, const bf_site *site, bf_flow *flow, bf_error *err)
{
    bf_site_supply(site, step->supply, flow->inlet_eq_per_m3);
    if (step->supply == BF_SUPPLY_SEA) {
        return bf_fluid_of_brine(BF_SALT_NACL, bf_sea_salt_kg_per_kg(), site->water.temperature_K,
                                 &flow->fluid, err);
    }
    bf_brine brine;
    double water_share = 0.0;
    bf_status status = make_brine(step, site, &brine, &water_share, err);
    if (status == BF_OK) {
        for (size_t i = 0; i < BF_CATION_COUNT; i++) {
            flow->inlet_eq_per_m3[i] *= water_share;
        }
        flow->inlet_eq_per_m3[step->salt == BF_SALT_KCL ? BF_ION_K : BF_ION_NA] +=
            brine.normality_eq_per_m3;
        flow->fluid = brine.fluid;
    }
    return status;
}

static bf_status run_brine(const bf_step *step, const bf_site *site, bf_bed *bed,
                           bf_step_result *out, bf_error *err)
{
    bf_step_needs needs;
    bf_passage passage;
    bf__relay relay;
    bf_status status = needs_brine(step, site, &needs, err);
    if (status != BF_OK) {
        return status;
    }
    bf_flow flow = bf__step_flow(step, needs.duration_s, &relay);
    status = fill_flow(step, site, &flow, err);
    if (status == BF_OK) {
        status = bf_bed_run(bed, &flow, &passage, err);
    }
    if (status == BF_OK) {
        bf__step_record(step, &needs, &passage, out);
    }
    return status;
}

static void divide_dose(bf_step *step, double parts)
{
    step->dose_kg_per_m3 /= parts;
}

const bf_step_type bf_step_brine = {
    .name = "brine",
    .word = "brine",
    .role = BF_ROLE_BRINE,
    .scaling = BF_SCALES_WITH_BED,
    .fields =
        BF_STEP_VELOCITY | BF_STEP_SUPPLY | BF_STEP_DIRECTION | BF_STEP_STRENGTH | BF_STEP_DOSE,
    .check = check_brine,
    .needs = needs_brine,
    .run = run_brine,
    .divide = divide_dose,
};
