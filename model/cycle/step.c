/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The steps of a cycle, each a small struct of functions over bf_bed_run().
 *
 * Brine: the salt of the dose dissolved to the stated strength makes dose/(kg salt per m3 of brine)
 * bed volumes; it carries the salt's own cation and, diluted to the brine's share of water,
 * whatever its supply held. Salt is taken as pure. Backwash: exchange goes on while the water
 * passes, computed as in a settled bed (a lifted bed has the same beads and water; its film differs
 * little); afterwards a share of the resin is mixed.
 */
#include "cycle/account.h"

#include "brinefront/hydraulics.h"

#include <math.h>
#include <string.h>

/* Sea water: mol per kg of solution of the reference composition, and its density at 20 C (both
 * from memory; salinity 35.165 g/kg). */
static const double sea_salinity_kg_per_kg = 0.03516504;
static const double sea_density_kg_per_m3 = 1024.8;
static const double sea_mol_per_kg[BF_CATION_COUNT] = {
    [BF_ION_NA] = 0.4689674, [BF_ION_MG] = 0.0528171, [BF_ION_CA] = 0.0102821,
    [BF_ION_K] = 0.0102077,  [BF_ION_SR] = 0.0000907,
};

double bf_sea_salt_kg_per_kg(void)
{
    return sea_salinity_kg_per_kg;
}

double bf_sea_salt_kg_per_m3(void)
{
    return sea_salinity_kg_per_kg * sea_density_kg_per_m3;
}

void bf_site_supply(const bf_site *site, bf_supply supply, double eq_per_m3[BF_ION_COUNT])
{
    memset(eq_per_m3, 0, BF_ION_COUNT * sizeof *eq_per_m3);
    for (size_t i = 0; i < BF_CATION_COUNT; i++) {
        double value = site->water.ion_eq_per_m3[i];
        int charge = bf_ion_get((bf_ion)i)->charge;
        switch (supply) {
        case BF_SUPPLY_RAW: eq_per_m3[i] += value; break;
        case BF_SUPPLY_SOFT: eq_per_m3[charge == 2 ? BF_ION_NA : (bf_ion)i] += value; break;
        case BF_SUPPLY_SEA:
            eq_per_m3[i] = sea_mol_per_kg[i] * charge * sea_density_kg_per_m3;
            break;
        }
    }
}

/* ---- checks ---------------------------------------------------------------------------------- */

static bf_status check_flow(const bf_step *step, bf_error *err)
{
    if (!(step->velocity_m_per_s > 0.0 && step->velocity_m_per_s <= 1.0)) {
        return bf_error_set(err, BF_E_RANGE, step->type->name,
                            "velocity of the %s step is %g m/s; accepted are velocities above 0 up "
                            "to 1 m/s",
                            step->type->name, step->velocity_m_per_s);
    }
    return BF_OK;
}

static bf_status check_blocking(const bf_step *step, bf_error *err)
{
    double blocking = step->blocking_velocity_m_per_s;
    if (!(blocking >= 0.0 && blocking <= 1.0) ||
        (blocking > 0.0 && step->direction != BF_FLOW_UP)) {
        return bf_error_set(err, BF_E_RANGE, step->type->name,
                            "blocking velocity of the %s step is %g m/s; accepted are 0 to 1 m/s, "
                            "and only with upward flow",
                            step->type->name, blocking);
    }
    return BF_OK;
}

static bf_status check_volume(const bf_step *step, bf_error *err)
{
    if (!(step->bed_volumes > 0.0 && step->bed_volumes <= 1e4)) {
        return bf_error_set(err, BF_E_RANGE, step->type->name,
                            "volume of the %s step is %g bed volumes; accepted are volumes above 0 "
                            "up to 10000",
                            step->type->name, step->bed_volumes);
    }
    if (step->supply == BF_SUPPLY_SEA) {
        return bf_error_set(err, BF_E_RANGE, step->type->name,
                            "the %s step takes sea water; only a brine step can", step->type->name);
    }
    bf_status status = check_blocking(step, err);
    return status == BF_OK ? check_flow(step, err) : status;
}

static bf_status check_service(const bf_step *step, bf_error *err)
{
    const char *where = step->type->name;
    double end = step->end_hardness_eq_per_m3;
    double stop = step->stop_hardness_eq_per_m3;
    if (isnan(end) && isnan(step->bed_volumes)) {
        return bf_error_set(err, BF_E_RANGE, where,
                            "service has neither an end point nor a volume; state one of them");
    }
    if (!isnan(end) && !(end > 0.0)) {
        return bf_error_set(err, BF_E_RANGE, where,
                            "end point is %g eq/m3 of hardness; it must be above zero", end);
    }
    if (!isnan(stop) && !(stop > end)) {
        return bf_error_set(err, BF_E_RANGE, where,
                            "the hardness at which service stops, %g eq/m3, must lie above the end "
                            "point, %g eq/m3",
                            stop, end);
    }
    if (!isnan(step->bed_volumes)) {
        return check_volume(step, err);
    }
    return check_flow(step, err);
}

static bf_status check_refill(const bf_step *step, bf_error *err)
{
    if (!(step->dose_kg_per_m3 > 0.0 && step->dose_kg_per_m3 <= 2000.0)) {
        return bf_error_set(err, BF_E_RANGE, step->type->name,
                            "salt dose is %g kg per m3 of resin; accepted are doses above 0 up to "
                            "2000",
                            step->dose_kg_per_m3);
    }
    return check_flow(step, err);
}

static bf_status check_salt(const bf_step *step, bf_error *err)
{
    if (!(step->mass_fraction > 0.0 && step->mass_fraction < 1.0)) {
        return bf_error_set(err, BF_E_RANGE, step->type->name,
                            "brine strength is %g wt%%; it must be above 0 and below 100",
                            100.0 * step->mass_fraction);
    }
    return check_refill(step, err);
}

static bf_status check_brine(const bf_step *step, bf_error *err)
{
    bf_step strong = *step;
    if (step->supply == BF_SUPPLY_SEA) {
        strong.mass_fraction = sea_salinity_kg_per_kg;
    }
    bf_status status = check_blocking(step, err);
    return status == BF_OK ? check_salt(&strong, err) : status;
}

static bf_status check_backwash(const bf_step *step, bf_error *err)
{
    if (!(step->mix_share >= 0.0 && step->mix_share <= 1.0)) {
        return bf_error_set(
            err, BF_E_RANGE, step->type->name,
            "share of the resin mixed in backwash is %g; accepted are 0 (none) to 1 "
            "(fully mixed)",
            step->mix_share);
    }
    return check_volume(step, err);
}

static bf_status check_hold(const bf_step *step, bf_error *err)
{
    if (!(step->duration_s > 0.0 && step->duration_s <= 1e7)) {
        return bf_error_set(err, BF_E_RANGE, step->type->name,
                            "the bed stands for %g s; accepted are times above 0 up to 1e7 s",
                            step->duration_s);
    }
    return BF_OK;
}

/* ---- runs ------------------------------------------------------------------------------------ */

/* Hands a bed's moments on to the step's observer, shifted by what an earlier stretch of the same
 * step has passed already. */
typedef struct relay {
    const bf_step *step;
    double earlier_s;
    double earlier_bed_volumes;
} relay;

static void pass_on(void *context, const bf_moment *moment)
{
    const relay *from = context;
    bf_moment shifted = *moment;
    shifted.time_s += from->earlier_s;
    shifted.bed_volumes += from->earlier_bed_volumes;
    from->step->observe(from->step->observer, from->step, &shifted);
}

static bf_flow flow_of(const bf_step *step, double duration_s, relay *to)
{
    bf_flow flow = {.direction = step->direction,
                    .velocity_m_per_s = step->velocity_m_per_s,
                    .duration_s = duration_s,
                    .end_hardness_eq_per_m3 = NAN,
                    .bypass_freeboard = step->blocking_velocity_m_per_s > 0.0,
                    .observe = step->observe != NULL ? pass_on : NULL,
                    .context = to};
    *to = (relay){.step = step};
    return flow;
}

static void record(const bf_step *step, const bf_site *site, const bf_passage *passage,
                   bf_step_result *out)
{
    double blocking = step->blocking_velocity_m_per_s * passage->duration_s / site->depth_m;
    *out = (bf_step_result){.name = step->type->name,
                            .duration_s = passage->duration_s,
                            .bed_volumes = passage->bed_volumes,
                            .water_bed_volumes = passage->bed_volumes + blocking,
                            .passage = *passage,
                            .bed_expansion = 1.0};
}

/* Water for a fixed number of bed volumes. */
static bf_status run_water(const bf_step *step, const bf_site *site, bf_bed *bed,
                           bf_step_result *out, bf_error *err)
{
    relay to;
    bf_flow flow = flow_of(step, step->bed_volumes * site->depth_m / step->velocity_m_per_s, &to);
    bf_site_supply(site, step->supply, flow.inlet_eq_per_m3);
    bf_passage passage;
    bf_status status = bf_fluid_of_water(site->water.temperature_K, &flow.fluid, err);
    if (status == BF_OK) {
        status = bf_bed_run(bed, &flow, &passage, err);
    }
    if (status == BF_OK) {
        record(step, site, &passage, out);
    }
    return status;
}

void bf__passage_join(const bf_passage *first, const bf_passage *second, bf_passage *whole)
{
    *whole = *first;
    whole->duration_s += second->duration_s;
    whole->bed_volumes += second->bed_volumes;
    whole->reached_end_hardness = second->reached_end_hardness;
    whole->hardness_low_eq_per_m3 =
        fmin(first->hardness_low_eq_per_m3, second->hardness_low_eq_per_m3);
    whole->hardness_last_eq_per_m3 = second->hardness_last_eq_per_m3;
    whole->imbalance_eq_per_m3 += second->imbalance_eq_per_m3;
    whole->steps += second->steps;
    for (size_t i = 0; i < BF_ION_COUNT; i++) {
        whole->in_eq_per_m3[i] += second->in_eq_per_m3[i];
        whole->out_eq_per_m3[i] += second->out_eq_per_m3[i];
        whole->stored_eq_per_m3[i] += second->stored_eq_per_m3[i];
    }
}

/* The longest a service can sensibly last: the feed has brought three times the bed's capacity.
 * Without it a dose whose effluent never falls below the end point would run for ever. */
double bf__longest_service(const bf_step *step, const bf_site *site)
{
    double bound = 3.0 * site->resin.capacity_eq_per_m3 / site->water.hardness_eq_per_m3 + 10.0;
    return isnan(step->bed_volumes) ? bound : step->bed_volumes;
}

static bf_status run_service(const bf_step *step, const bf_site *site, bf_bed *bed,
                             bf_step_result *out, bf_error *err)
{
    double longest = bf__longest_service(step, site);
    const double s_per_bed_volume = site->depth_m / step->velocity_m_per_s;
    relay to;
    bf_flow flow = flow_of(step, longest * s_per_bed_volume, &to);
    bf_site_supply(site, step->supply, flow.inlet_eq_per_m3);
    flow.end_hardness_eq_per_m3 = step->end_hardness_eq_per_m3;
    bf_status status = bf_fluid_of_water(site->water.temperature_K, &flow.fluid, err);
    if (status != BF_OK) {
        return status;
    }
    bf_passage counted;
    status = bf_bed_run(bed, &flow, &counted, err);
    if (status != BF_OK) {
        return status;
    }
    bf_passage whole = counted;
    double left = longest - counted.bed_volumes;
    if (!isnan(step->stop_hardness_eq_per_m3) && counted.reached_end_hardness && left > 1e-9) {
        to.earlier_s = counted.duration_s;
        to.earlier_bed_volumes = counted.bed_volumes;
        flow.duration_s = left * s_per_bed_volume;
        flow.end_hardness_eq_per_m3 = step->stop_hardness_eq_per_m3;
        bf_passage deeper;
        status = bf_bed_run(bed, &flow, &deeper, err);
        if (status != BF_OK) {
            return status;
        }
        bf__passage_join(&counted, &deeper, &whole);
    }
    record(step, site, &whole, out);
    out->counted = counted;
    return BF_OK;
}

static bf_status run_backwash(const bf_step *step, const bf_site *site, bf_bed *bed,
                              bf_step_result *out, bf_error *err)
{
    bf_fluid water;
    bf_status status = bf_fluid_of_water(site->water.temperature_K, &water, err);
    if (status != BF_OK) {
        return status;
    }
    double expansion =
        bf_bed_expansion(&water, step->velocity_m_per_s, site->resin.bead_diameter_m,
                         site->resin.bead_density_kg_per_m3, site->resin.void_fraction);
    if (isinf(expansion)) {
        return bf_error_set(
            err, BF_E_RANGE, step->type->name,
            "backwash at %.3g m/h carries beads of %.3g mm out of the vessel; lower "
            "the flow",
            3600.0 * step->velocity_m_per_s, 1e3 * site->resin.bead_diameter_m);
    }
    status = run_water(step, site, bed, out, err);
    if (status == BF_OK) {
        bf_bed_mix(bed, step->mix_share);
        out->bed_expansion = expansion;
    }
    return status;
}

/* As much sea water as holds the dose; it is no fresh water, so it counts as none. */
static bf_status run_sea(const bf_step *step, const bf_site *site, bf_bed *bed, bf_step_result *out,
                         bf_error *err)
{
    double bed_volumes = step->dose_kg_per_m3 / bf_sea_salt_kg_per_m3();
    relay to;
    bf_flow flow = flow_of(step, bed_volumes * site->depth_m / step->velocity_m_per_s, &to);
    bf_site_supply(site, BF_SUPPLY_SEA, flow.inlet_eq_per_m3);
    bf_passage passage;
    bf_status status = bf_fluid_of_brine(BF_SALT_NACL, sea_salinity_kg_per_kg,
                                         site->water.temperature_K, &flow.fluid, err);
    if (status == BF_OK) {
        status = bf_bed_run(bed, &flow, &passage, err);
    }
    if (status == BF_OK) {
        record(step, site, &passage, out);
        out->salt_kg_per_m3 = step->dose_kg_per_m3;
        out->water_bed_volumes -= passage.bed_volumes;
    }
    return status;
}

static bf_status run_brine(const bf_step *step, const bf_site *site, bf_bed *bed,
                           bf_step_result *out, bf_error *err)
{
    if (step->supply == BF_SUPPLY_SEA) {
        return run_sea(step, site, bed, out, err);
    }
    bf_brine brine;
    bf_fluid water;
    bf_status status = bf_brine_of_mass_fraction(step->salt, step->mass_fraction,
                                                 site->water.temperature_K, &brine, err);
    if (status == BF_OK) {
        status = bf_fluid_of_water(site->water.temperature_K, &water, err);
    }
    if (status != BF_OK) {
        return status;
    }
    double bed_volumes = step->dose_kg_per_m3 / brine.salt_per_solution_kg_per_m3;
    relay to;
    bf_flow flow = flow_of(step, bed_volumes * site->depth_m / step->velocity_m_per_s, &to);
    bf_site_supply(site, step->supply, flow.inlet_eq_per_m3);
    double water_share = brine.water_per_solution_kg_per_m3 / water.density_kg_per_m3;
    for (size_t i = 0; i < BF_CATION_COUNT; i++) {
        flow.inlet_eq_per_m3[i] *= water_share;
    }
    flow.inlet_eq_per_m3[step->salt == BF_SALT_KCL ? BF_ION_K : BF_ION_NA] +=
        brine.normality_eq_per_m3;
    flow.fluid = brine.fluid;
    bf_passage passage;
    status = bf_bed_run(bed, &flow, &passage, err);
    if (status == BF_OK) {
        record(step, site, &passage, out);
        out->salt_kg_per_m3 = step->dose_kg_per_m3;
        out->water_bed_volumes -= bed_volumes * (1.0 - water_share);
    }
    return status;
}

static bf_status run_hold(const bf_step *step, const bf_site *site, bf_bed *bed,
                          bf_step_result *out, bf_error *err)
{
    relay to;
    bf_flow flow = flow_of(step, step->duration_s, &to);
    flow.velocity_m_per_s = 0.0;
    bf_site_supply(site, step->supply, flow.inlet_eq_per_m3); /* nothing enters; a valid water */
    bf_passage passage;
    bf_status status = bf_fluid_of_water(site->water.temperature_K, &flow.fluid, err);
    if (status == BF_OK) {
        status = bf_bed_run(bed, &flow, &passage, err);
    }
    if (status == BF_OK) {
        record(step, site, &passage, out);
    }
    return status;
}

static bf_status run_refill(const bf_step *step, const bf_site *site, bf_bed *bed,
                            bf_step_result *out, bf_error *err)
{
    (void)bed;
    const double temperature_K = site->water.temperature_K;
    bf_brine brine;
    double saturated = 0.0;
    bf_status status = bf_brine_saturation(step->salt, temperature_K, &saturated, err);
    if (status == BF_OK) {
        status = bf_brine_of_mass_fraction(step->salt, saturated, temperature_K, &brine, err);
    }
    if (status == BF_OK) {
        double bed_volumes = step->dose_kg_per_m3 / brine.salt_per_water_kg_per_m3;
        *out = (bf_step_result){.name = step->type->name,
                                .duration_s = bed_volumes * site->depth_m / step->velocity_m_per_s,
                                .bed_volumes = bed_volumes,
                                .bed_expansion = 1.0};
    }
    return status;
}

const bf_step_type bf_step_service = {"service", check_service, run_service, 1};
const bf_step_type bf_step_backwash = {"backwash", check_backwash, run_backwash, 0};
const bf_step_type bf_step_brine = {"brine", check_brine, run_brine, 0};
const bf_step_type bf_step_slow_rinse = {"slow rinse", check_volume, run_water, 0};
const bf_step_type bf_step_fast_rinse = {"fast rinse", check_volume, run_water, 0};
const bf_step_type bf_step_hold = {"hold", check_hold, run_hold, 0};
const bf_step_type bf_step_refill = {"refill", check_refill, run_refill, 0};
