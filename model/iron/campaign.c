/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A bed run cycle after cycle on water with iron.
 *
 *     a cycle: draw, stand, draw, stand, .. | cleaning, when due | the other steps of the recipe
 *
 *     draw, fast rinse   bf_bed_run() with the term of source.c: fast chemistry, in the integrator
 *     stand              standing.c, with the oxygen that the draw left in each cell
 *     brine, slow rinse  plain exchange, cut into slices; after each, exchanged iron ages by the
 *     and hold           law in brine, in the water that each cell then has
 *     backwash           plain exchange; S_s -> S_s exp(-k_bw t E), cell by cell; mixing takes the
 *                        deposits along with the resin
 *     cleaning           dS/dt of cleaning.c, cell by cell; Fe2+ goes to Na sites of the cell while
 *                        there are any, the rest leaves with the liquid; the brine elutes it
 *     end of the cycle   Q, film and bead from the bed's mean S_x (deposit.c) and moisture
 *                        (resin_oxidation.c) make the next bed; sites lost hand over their ions
 *
 * Why two time scales: while water runs, oxidation, filtration and exchange act on each other
 * within minutes; what deposits do to the resin shows over months, so it is renewed once a cycle.
 * Accounts: what the bed's integrals and the steps between runs move, counted mol by mol.
 *
 * Lumped: Q, film and bead by the mean over the bed (a bed has one resin), so that a fouled top and
 * a clean bottom count as an average bed. The void that loose deposit takes raises the pressure
 * drop only: the bed makes its beads of 1 - eps, so a smaller void there would be more beads.
 * Assumes: the time of a regeneration is part of the last stand; floc of the water used for brine,
 * slow rinse and backwash passes; freeboard water does not oxidise iron; dissolved iron in brine
 * leaves before it oxidises.
 */
#include "brinefront/campaign.h"

#include "bed/alter.h"
#include "brinefront/hydraulics.h"
#include "iron/vessel.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

typedef struct campaign {
    const bf_campaign_spec *spec;
    bf_water water; /* as it reaches the bed */
    bf_iron_water feed;
    bf_site site;
    bf_bed_spec bed_spec; /* as the bed is now */
    bf_recipe recipe;     /* service: one draw */
    bf_recipe plain;      /* service: the whole volume */
    size_t draws;
    double stand_s;
    int with_iron; /* iron or deposit: the source takes part */
    int fouls;     /* the resin changes */
    bf_selectivity *selectivity;
    bf__vessel *vessel;
    double *memory;
    bf__deposits deposits; /* filled from the bed where they are worked on */
    double *oxygen;        /* of cells */
    double moisture;
    double next_cleaning_day;
    bf_campaign_account iron, manganese;
    bf_fluid fluid;
    double pressure_clean_Pa_per_m;
} campaign;

static double kg_per_mol(void)
{
    return 1e-3 * bf_ion_get(BF_ION_FE)->molar_mass_g_per_mol;
}

static double mean_of(const double *values, size_t count)
{
    double sum = 0.0;
    for (size_t k = 0; k < count; k++) {
        sum += values[k];
    }
    return sum / (double)count;
}

/* ---- the bed --------------------------------------------------------------------------------- */

/* Of water and recipe, and iron where a deposit may give some off. */
static bf_ion_set ions_of(const campaign *c)
{
    double water[BF_ION_COUNT];
    memcpy(water, c->water.ion_eq_per_m3, sizeof water);
    if (c->with_iron) {
        water[BF_ION_FE] = fmax(water[BF_ION_FE], 1.0);
    }
    return bf_recipe_ions(&c->recipe, water);
}

/* A bed of c->bed_spec, with the term of iron where there is any. */
static bf_status make_vessel(const campaign *c, bf__vessel **out, bf_error *err)
{
    const bf_ion_set ions = ions_of(c);
    return bf__vessel_create(&c->bed_spec, c->selectivity, &ions, &c->spec->iron,
                             c->with_iron ? &c->feed : NULL, out, err);
}

static bf_status read_deposits(campaign *c, bf_error *err)
{
    return bf__vessel_read(c->vessel, &c->deposits, err);
}

static bf_status write_deposits(campaign *c, bf_error *err)
{
    return bf__vessel_write(c->vessel, &c->deposits, err);
}

/* The resin as bound iron and chlorine leave it. */
static void respecify(const campaign *c, double bound_kg_per_m3, bf_bed_spec *to)
{
    const bf_campaign_spec *spec = c->spec;
    const bf_iron_spec *iron = &spec->iron;
    const bf_resin *new = &spec->bed.resin;
    const double oxidised =
        bf_resin_volume_capacity(iron, c->moisture, new->bead_density_kg_per_m3);
    to->resin.capacity_eq_per_m3 =
        bf_iron_capacity_eq_per_m3(iron, new->capacity_eq_per_m3, oxidised, bound_kg_per_m3);
    /* The coat alone, as water: no film before it, diffusivity 1. */
    to->coat_m = spec->bed.coat_m + 1.0 / bf_iron_film_m_per_s(iron, (double)INFINITY, 1.0,
                                                               new->bead_diameter_m,
                                                               new->void_fraction, bound_kg_per_m3);
    const double slower = bf_iron_bead_diffusivity_ratio(iron, bound_kg_per_m3);
    for (size_t i = 0; i < BF_CATION_COUNT; i++) {
        to->resin.diffusivity_25C_m2_per_s[i] = slower * new->diffusivity_25C_m2_per_s[i];
    }
}

/* Put the state into a bed of the resin as it is now. */
static bf_status renew(campaign *c, double bound_kg_per_m3, bf_error *err)
{
    const double before = c->bed_spec.resin.capacity_eq_per_m3;
    bf__vessel *next = NULL;
    respecify(c, bound_kg_per_m3, &c->bed_spec);
    bf_status status = make_vessel(c, &next, err);
    status = status == BF_OK ? bf_bed_copy(next->bed, c->vessel->bed, err) : status;
    if (status != BF_OK) {
        bf__vessel_free(next);
        return status;
    }
    bf__bed_change_sites(next->bed, before);
    bf__vessel_free(c->vessel);
    c->vessel = next;
    c->site.resin = c->bed_spec.resin;
    return BF_OK;
}

static void take_down(campaign *c)
{
    bf__vessel_free(c->vessel);
    bf_selectivity_free(c->selectivity);
    free(c->memory);
}

static bf_status lay_deposit(campaign *c, bf_error *err)
{
    for (size_t k = 0; k < c->deposits.cells; k++) {
        c->deposits.loose[k] = c->spec->deposit.loose_kg_per_m3 / kg_per_mol();
        c->deposits.bound[k] = c->spec->deposit.bound_kg_per_m3 / kg_per_mol();
    }
    c->iron.at_start = mean_of(c->deposits.loose, c->deposits.cells) +
                       mean_of(c->deposits.bound, c->deposits.cells);
    bf_status status = write_deposits(c, err);
    return status == BF_OK ? renew(c, c->spec->deposit.bound_kg_per_m3, err) : status;
}

static void plan(campaign *c)
{
    const bf_campaign_spec *spec = c->spec;
    const double days = bf_campaign_days(spec);
    c->plain = spec->recipe;
    c->plain.step[0].bed_volumes = bf_campaign_bed_volumes(spec);
    c->plain.step[0].end_hardness_eq_per_m3 = (double)NAN;
    c->plain.step[0].stop_hardness_eq_per_m3 = (double)NAN;
    c->recipe = c->plain;
    c->draws = (size_t)fmax(floor(days * spec->draws_per_day + 0.5), 1.0);
    c->recipe.step[0].bed_volumes /= (double)c->draws;
    const double draw_s =
        c->recipe.step[0].bed_volumes * spec->bed.depth_m / c->recipe.step[0].velocity_m_per_s;
    c->stand_s = fmax(days * BF_IRON_S_PER_DAY / (double)c->draws - draw_s, 0.0);
}

static bf_status set_up(campaign *c, const bf_campaign_spec *spec, bf_error *err)
{
    *c = (campaign){.spec = spec,
                    .bed_spec = spec->bed,
                    .moisture = spec->iron.moisture_new,
                    .next_cleaning_day = spec->cleaning.every_days};
    bf_status status = bf_campaign_feed(spec, NULL, &c->water, &c->feed, err);
    if (status != BF_OK) {
        return status;
    }
    status = bf_fluid_of_water(spec->water.temperature_K, &c->fluid, err);
    if (status != BF_OK) {
        return status;
    }
    double *selectivity = c->bed_spec.resin.selectivity;
    selectivity[BF_ION_FE] = spec->iron.iron_over_magnesium * selectivity[BF_ION_MG];
    selectivity[BF_ION_MN] = spec->iron.manganese_over_magnesium * selectivity[BF_ION_MG];
    c->bed_spec.temperature_K = spec->water.temperature_K;
    c->site =
        (bf_site){.water = c->water, .depth_m = spec->bed.depth_m, .resin = c->bed_spec.resin};
    c->with_iron = spec->water.ion_eq_per_m3[BF_ION_FE] > 0.0 ||
                   spec->deposit.loose_kg_per_m3 + spec->deposit.bound_kg_per_m3 > 0.0;
    c->fouls = c->with_iron || spec->free_chlorine_g_per_m3 > 0.0;
    plan(c);
    c->pressure_clean_Pa_per_m = bf_pressure_gradient_Pa_per_m(
        &c->fluid, spec->recipe.step[0].velocity_m_per_s, spec->bed.resin.bead_diameter_m,
        spec->bed.resin.void_fraction);
    const size_t n = spec->bed.cells;
    c->memory = calloc(3 * n, sizeof *c->memory);
    if (c->memory == NULL) {
        return bf_error_set(err, BF_E_MEMORY, "bf_campaign_run", "no memory for a campaign");
    }
    c->deposits = (bf__deposits){.loose = c->memory, .bound = c->memory + n, .cells = n};
    c->oxygen = c->memory + 2 * n;
    bf_selectivity_spec equilibrium = {.law = BF_EQUILIBRIUM_MASS_ACTION,
                                       .ions = ions_of(c),
                                       .capacity_eq_per_m3 = c->bed_spec.resin.capacity_eq_per_m3,
                                       .temperature_K = spec->water.temperature_K};
    memcpy(equilibrium.constant, selectivity, sizeof equilibrium.constant);
    status = bf_selectivity_create(&equilibrium, &c->selectivity, err);
    if (status == BF_OK) {
        status = make_vessel(c, &c->vessel, err);
    }
    if (status == BF_OK) {
        double soft[BF_ION_COUNT];
        bf_site_supply(&c->site, BF_SUPPLY_SOFT, soft);
        status = bf_bed_fill(c->vessel->bed, NULL, soft, err);
    }
    return status == BF_OK && c->with_iron ? lay_deposit(c, err) : status;
}

/* ---- accounts -------------------------------------------------------------------------------- */

/* Iron that left suspended since this was asked last, mol per m3 of bed. */
static bf_status take_suspended(campaign *c, double *suspended, bf_error *err)
{
    *suspended = 0.0;
    if (!c->with_iron) {
        return BF_OK;
    }
    double *values = c->oxygen; /* free between draws */
    bf_status status = bf_bed_local(c->vessel->bed, BF_IRON_SUSPENDED_OUT, values, err);
    *suspended = mean_of(values, c->deposits.cells);
    memset(values, 0, c->deposits.cells * sizeof *values);
    const size_t accounts[] = {BF_IRON_OXYGEN_OUT, BF_IRON_SUSPENDED_OUT, BF_IRON_ALKALINITY_OUT};
    for (size_t a = 0; a < 3 && status == BF_OK; a++) {
        status = bf_bed_set_local(c->vessel->bed, accounts[a], values, err);
    }
    return status;
}

/* A passage into the accounts; `to` picks product or waste. */
static bf_status book(campaign *c, const bf_step *step, const bf_passage *passage, int product,
                      double *suspended, bf_error *err)
{
    bf_status status = take_suspended(c, suspended, err);
    const double floc_in = step->supply == BF_SUPPLY_RAW ? 1e-3 * c->feed.colloidal_iron_g_per_m3 /
                                                               kg_per_mol() * passage->bed_volumes
                                                         : 0.0;
    if (!c->vessel->open) {
        *suspended = floc_in; /* it passes */
    }
    const double iron_out = 0.5 * passage->out_eq_per_m3[BF_ION_FE] + *suspended;
    const double manganese_out = 0.5 * passage->out_eq_per_m3[BF_ION_MN];
    c->iron.in += 0.5 * passage->in_eq_per_m3[BF_ION_FE] + floc_in;
    c->manganese.in += 0.5 * passage->in_eq_per_m3[BF_ION_MN];
    *(product ? &c->iron.product : &c->iron.waste) += iron_out;
    *(product ? &c->manganese.product : &c->manganese.waste) += manganese_out;
    return status;
}

static bf_status take_stock(campaign *c, bf_error *err)
{
    double held[BF_ION_COUNT];
    bf__bed_held(c->vessel->bed, held);
    c->iron.held = 0.5 * held[BF_ION_FE];
    c->manganese.held = 0.5 * held[BF_ION_MN];
    bf_status status = c->with_iron ? read_deposits(c, err) : BF_OK;
    c->iron.loose = mean_of(c->deposits.loose, c->deposits.cells);
    c->iron.bound = mean_of(c->deposits.bound, c->deposits.cells);
    return status;
}

/* ---- service --------------------------------------------------------------------------------- */

typedef struct service {
    double bed_volumes, hardness, hardness_last, iron, suspended, manganese, alkalinity_low;
} service;

/* The bed as a draw leaves it: alkalinity at its end, pressure, and oxygen into c->oxygen. */
static bf_status look_at_water(campaign *c, service *s, bf_error *err)
{
    const bf_direction direction = c->recipe.step[0].direction;
    double *alkalinity = c->deposits.loose; /* read again below */
    bf_status status = bf_iron_source_profile(c->vessel->source, c->vessel->bed, direction,
                                              c->oxygen, NULL, alkalinity, err);
    if (status == BF_OK) {
        const size_t last = direction == BF_FLOW_DOWN ? c->deposits.cells - 1 : 0;
        s->alkalinity_low = fmin(s->alkalinity_low, alkalinity[last]);
        status = read_deposits(c, err);
    }
    return status;
}

static bf_status stand(campaign *c, bf_error *err)
{
    const bf__standing how = {.spec = &c->spec->iron,
                              .temperature_K = c->feed.temperature_K,
                              .pH = c->feed.pH,
                              .duration_s = c->stand_s,
                              .oxygen_mol_per_m3 = c->oxygen,
                              .dissolved_too = 1};
    bf__iron_stand(&how, c->vessel->bed, &c->deposits);
    return write_deposits(c, err);
}

static bf_status draw(campaign *c, service *s, bf_error *err)
{
    const bf_step *step = &c->recipe.step[0];
    bf_step_result result;
    double suspended = 0.0;
    c->vessel->open = 0;
    bf_status status = c->with_iron && step->supply == BF_SUPPLY_RAW
                           ? bf__vessel_open(c->vessel, step->velocity_m_per_s, err)
                           : BF_OK;
    status =
        status == BF_OK ? step->type->run(step, &c->site, c->vessel->bed, &result, err) : status;
    status = status == BF_OK ? book(c, step, &result.passage, 1, &suspended, err) : status;
    if (status == BF_OK) {
        s->bed_volumes += result.passage.bed_volumes;
        s->hardness += bf_ion_hardness(result.passage.out_eq_per_m3);
        s->hardness_last = result.passage.hardness_last_eq_per_m3;
        s->iron += 0.5 * result.passage.out_eq_per_m3[BF_ION_FE] + suspended;
        s->suspended += suspended;
        s->manganese += 0.5 * result.passage.out_eq_per_m3[BF_ION_MN];
    }
    if (status == BF_OK && c->with_iron) {
        status = look_at_water(c, s, err);
    }
    return status == BF_OK && c->with_iron && c->stand_s > 0.0 ? stand(c, err) : status;
}

static double pressure_ratio(const campaign *c)
{
    if (!c->with_iron) {
        return 1.0;
    }
    double sum = 0.0;
    for (size_t k = 0; k < c->deposits.cells; k++) {
        sum += bf_iron_pressure_gradient_Pa_per_m(
            &c->spec->iron, &c->fluid, c->recipe.step[0].velocity_m_per_s,
            c->spec->bed.resin.bead_diameter_m, c->spec->bed.resin.void_fraction,
            kg_per_mol() * c->deposits.loose[k]);
    }
    return sum / (double)c->deposits.cells / c->pressure_clean_Pa_per_m;
}

/* ---- between services ------------------------------------------------------------------------ */

static bf_status clean(campaign *c, double *cleaned_kg_per_m3, bf_error *err)
{
    const bf_campaign_spec *spec = c->spec;
    bf_status status = read_deposits(c, err);
    for (size_t k = 0; k < c->deposits.cells && status == BF_OK; k++) {
        const bf_dithionite_clean how = {.dose_kg_per_m3 = spec->cleaning.dose_kg_per_m3,
                                         .duration_s = spec->cleaning.duration_s,
                                         .pH = spec->cleaning.pH,
                                         .bound_kg_per_m3 = kg_per_mol() * c->deposits.bound[k],
                                         .aged = spec->cleaning.aged};
        double removed = 0.0;
        status = bf_cleaning_dithionite(&spec->iron, &how, &removed, err);
        const double mol = removed / kg_per_mol();
        const double room = 0.5 * bf__bed_load(c->vessel->bed, k, BF_ION_FE, 2.0 * mol);
        c->deposits.bound[k] -= mol;
        c->iron.cleaned += (mol - room) / (double)c->deposits.cells;
        *cleaned_kg_per_m3 += removed / (double)c->deposits.cells;
    }
    return status == BF_OK ? write_deposits(c, err) : status;
}

/* Exchanged iron ages while a slice of brine or rinse passes, or stands. */
static bf_status age_in_brine(campaign *c, const bf_step *step, const bf_step_result *result,
                              bf_error *err)
{
    const bf_campaign_spec *spec = c->spec;
    const int brine = step->type == &bf_step_brine || step->type == &bf_step_slow_rinse ||
                      step->type == &bf_step_hold;
    const double oxygen = brine ? spec->brine_oxygen_mol_per_m3 : c->feed.oxygen_mol_per_m3;
    const double water = result->passage.bed_volumes > 0.0 ? result->passage.bed_volumes
                                                           : spec->bed.resin.void_fraction;
    const bf__standing how = {.spec = &spec->iron,
                              .temperature_K = c->feed.temperature_K,
                              .pH = brine && !isnan(spec->brine_pH) ? spec->brine_pH : c->feed.pH,
                              .duration_s = result->passage.duration_s,
                              .flowing_oxygen_mol_per_m3 = oxygen,
                              .flowing_oxygen_supply_mol_per_m3 = oxygen * water};
    bf_status status = read_deposits(c, err);
    if (status == BF_OK) {
        bf__iron_stand(&how, c->vessel->bed, &c->deposits);
        status = write_deposits(c, err);
    }
    return status;
}

/* What brine takes off of bound iron, once a regeneration. */
static bf_status elute_bound(campaign *c, bf_error *err)
{
    const double left = 1.0 - c->spec->iron.brine_removal;
    bf_status status = read_deposits(c, err);
    c->iron.waste += (1.0 - left) * mean_of(c->deposits.bound, c->deposits.cells);
    for (size_t k = 0; k < c->deposits.cells; k++) {
        c->deposits.bound[k] *= left;
    }
    return status == BF_OK ? write_deposits(c, err) : status;
}

static void mix(double *values, size_t count, double part)
{
    const double mean = mean_of(values, count);
    for (size_t k = 0; k < count; k++) {
        values[k] += part * (mean - values[k]);
    }
}

static bf_status wash(campaign *c, const bf_step *step, const bf_step_result *result, bf_error *err)
{
    bf_status status = read_deposits(c, err);
    const size_t n = c->deposits.cells;
    for (size_t k = 0; k < n && status == BF_OK; k++) {
        const bf_iron_deposit before = {.loose_kg_per_m3 = c->deposits.loose[k]};
        bf_iron_deposit after =
            bf_iron_backwash(&c->spec->iron, before, result->duration_s, result->bed_expansion);
        c->iron.waste += (before.loose_kg_per_m3 - after.loose_kg_per_m3) / (double)n;
        c->deposits.loose[k] = after.loose_kg_per_m3;
    }
    mix(c->deposits.loose, n, step->mix_share);
    mix(c->deposits.bound, n, step->mix_share);
    return status == BF_OK ? write_deposits(c, err) : status;
}

/* Whether a step is cut, and one slice of it. */
static size_t cut(const campaign *c, const bf_step *step, bf_step *slice)
{
    *slice = *step;
    const double parts = (double)c->spec->slices;
    if (!c->with_iron) {
        return 1;
    }
    if (step->type == &bf_step_brine) {
        slice->dose_kg_per_m3 /= parts;
    } else if (step->type == &bf_step_slow_rinse) {
        slice->bed_volumes /= parts;
    } else if (step->type == &bf_step_hold) {
        slice->duration_s /= parts;
    } else {
        return 1;
    }
    return c->spec->slices;
}

static bf_status run_other(campaign *c, const bf_step *step, bf_campaign_cycle *out, bf_error *err)
{
    bf_step slice;
    const size_t parts = cut(c, step, &slice);
    const int refill = step->type == &bf_step_refill;
    const int sourced =
        c->with_iron && step->type == &bf_step_fast_rinse && step->supply == BF_SUPPLY_RAW;
    bf_status status = BF_OK;
    c->vessel->open = 0;
    if (sourced) {
        status = bf__vessel_open(c->vessel, step->velocity_m_per_s, err);
    }
    for (size_t p = 0; p < parts && status == BF_OK; p++) {
        bf_step_result result;
        double suspended = 0.0;
        status = slice.type->run(&slice, &c->site, c->vessel->bed, &result, err);
        if (status != BF_OK) {
            break;
        }
        out->salt_kg_per_m3 += result.salt_kg_per_m3;
        out->water_bed_volumes += result.water_bed_volumes;
        if (refill) {
            break;
        }
        status = book(c, &slice, &result.passage, 0, &suspended, err);
        if (status == BF_OK && c->with_iron && !sourced) {
            status = age_in_brine(c, &slice, &result, err);
        }
        if (status == BF_OK && c->with_iron && step->type == &bf_step_backwash) {
            status = wash(c, step, &result, err);
        }
    }
    return status;
}

/* ---- a cycle --------------------------------------------------------------------------------- */

static bf_status find_potential(campaign *c, bf_campaign_cycle *out, bf_error *err)
{
    bf__vessel *twin = NULL;
    const bf_step *first = &c->spec->recipe.step[0];
    bf_recipe to_end = {.step = {*first}, .count = 1};
    to_end.step[0].bed_volumes = (double)NAN;
    to_end.step[0].stop_hardness_eq_per_m3 = (double)NAN;
    if (isnan(first->end_hardness_eq_per_m3)) {
        return BF_OK;
    }
    bf_cycle_result result;
    bf_status status = make_vessel(c, &twin, err);
    status = status == BF_OK ? bf_bed_copy(twin->bed, c->vessel->bed, err) : status;
    if (status == BF_OK && c->with_iron) {
        status = bf__vessel_open(twin, first->velocity_m_per_s, err);
    }
    status = status == BF_OK ? bf_cycle_run(&to_end, &c->site, twin->bed, &result, err) : status;
    if (status == BF_OK) {
        out->potential_eq_per_m3 = result.capacity_eq_per_m3;
        out->potential_outcome = result.outcome;
    }
    bf__vessel_free(twin);
    return status;
}

/* Without iron or chlorine: the plain cycle. */
static bf_status run_plain(campaign *c, service *s, bf_campaign_cycle *out, bf_error *err)
{
    bf_cycle_result result;
    bf_status status = bf_cycle_run(&c->plain, &c->site, c->vessel->bed, &result, err);
    for (size_t k = 0; k < result.step_count && status == BF_OK; k++) {
        double suspended;
        status = book(c, &c->plain.step[k], &result.step[k].passage, k == 0, &suspended, err);
    }
    if (status == BF_OK) {
        const bf_passage *passage = &result.step[0].passage;
        s->bed_volumes = passage->bed_volumes;
        s->hardness = bf_ion_hardness(passage->out_eq_per_m3);
        s->hardness_last = passage->hardness_last_eq_per_m3;
        s->manganese = 0.5 * passage->out_eq_per_m3[BF_ION_MN];
        out->salt_kg_per_m3 = result.salt_kg_per_m3;
        out->water_bed_volumes = result.water_bed_volumes;
    }
    return status;
}

static bf_status run_fouling(campaign *c, service *s, bf_campaign_cycle *out, bf_error *err)
{
    bf_status status = BF_OK;
    for (size_t d = 0; d < c->draws && status == BF_OK; d++) {
        status = draw(c, s, err);
        if (d + 1 == c->draws) {
            out->pressure_ratio = pressure_ratio(c);
        }
    }
    if (status == BF_OK && c->with_iron && c->spec->cleaning.every_days > 0.0 &&
        out->day >= c->next_cleaning_day) {
        status = clean(c, &out->cleaned_kg_per_m3, err);
        c->next_cleaning_day += c->spec->cleaning.every_days;
    }
    for (size_t k = 1; k < c->recipe.count && status == BF_OK; k++) {
        status = run_other(c, &c->recipe.step[k], out, err);
    }
    if (status == BF_OK && c->with_iron && c->spec->iron.brine_removal > 0.0) {
        status = elute_bound(c, err);
    }
    if (status == BF_OK) {
        status = take_stock(c, err);
    }
    const double bound = kg_per_mol() * c->iron.bound;
    c->moisture += bf_resin_moisture_rise(
        &c->spec->iron, 1e-3 * c->spec->free_chlorine_g_per_m3 * s->bed_volumes, 0.0, bound);
    return status == BF_OK ? renew(c, bound, err) : status;
}

static double top_tenth(const double *values, size_t count)
{
    const size_t top = (count + 9) / 10;
    return mean_of(values, top);
}

static void report(const campaign *c, const service *s, double dissolved_kg_per_m3,
                   bf_campaign_cycle *out)
{
    const double g_per_mol = 1e3 * kg_per_mol();
    const size_t n = c->deposits.cells;
    out->service_bed_volumes = s->bed_volumes;
    out->hardness_mean_eq_per_m3 = s->hardness / s->bed_volumes;
    out->hardness_last_eq_per_m3 = s->hardness_last;
    out->iron_mean_g_per_m3 = g_per_mol * s->iron / s->bed_volumes;
    out->suspended_mean_g_per_m3 = g_per_mol * s->suspended / s->bed_volumes;
    out->manganese_mean_g_per_m3 =
        bf_ion_get(BF_ION_MN)->molar_mass_g_per_mol * s->manganese / s->bed_volumes;
    out->iron_heel_eq_per_m3 = c->bed_spec.resin.capacity_eq_per_m3 *
                               bf_bed_holding(c->vessel->bed).resin_fraction[BF_ION_FE];
    out->loose_kg_per_m3 = kg_per_mol() * c->iron.loose;
    out->bound_kg_per_m3 = kg_per_mol() * c->iron.bound;
    out->loose_top_kg_per_m3 = kg_per_mol() * top_tenth(c->deposits.loose, n);
    out->bound_top_kg_per_m3 = kg_per_mol() * top_tenth(c->deposits.bound, n);
    out->retention = c->iron.in > 0.0 ? (c->iron.loose + c->iron.bound - c->iron.at_start +
                                         dissolved_kg_per_m3 / kg_per_mol()) /
                                            c->iron.in
                                      : (double)NAN;
    out->capacity_eq_per_m3 = c->bed_spec.resin.capacity_eq_per_m3;
    out->moisture = c->moisture;
    out->alkalinity_low_eq_per_m3 = c->with_iron ? s->alkalinity_low : (double)NAN;
    out->iron = c->iron;
    out->manganese = c->manganese;
}

bf_status bf_campaign_run(const bf_campaign_spec *spec, bf_campaign_cycle *cycles, size_t *done,
                          bf_error *err)
{
    *done = 0;
    bf_status status = bf_campaign_spec_check(spec, err);
    if (status != BF_OK) {
        return status;
    }
    campaign c;
    double dissolved = 0.0; /* by all cleanings */
    status = set_up(&c, spec, err);
    while (status == BF_OK && *done < spec->cycles) {
        bf_campaign_cycle *out = &cycles[*done];
        service s = {.alkalinity_low = (double)INFINITY};
        *out = (bf_campaign_cycle){.cycle = *done + 1,
                                   .day = bf_campaign_days(spec) * (double)(*done + 1),
                                   .pressure_ratio = 1.0,
                                   .potential_eq_per_m3 = (double)NAN};
        if (spec->potential_every > 0 && *done % spec->potential_every == 0) {
            status = find_potential(&c, out, err);
        }
        if (status == BF_OK) {
            status = c.fouls ? run_fouling(&c, &s, out, err) : run_plain(&c, &s, out, err);
        }
        if (status == BF_OK) {
            status = take_stock(&c, err);
        }
        if (status == BF_OK) {
            dissolved += out->cleaned_kg_per_m3;
            report(&c, &s, dissolved, out);
            (*done)++;
        }
    }
    take_down(&c);
    return status;
}
