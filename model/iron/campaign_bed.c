/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The bed of a campaign: laid new, renewed when deposits and chlorine have changed its resin,
 * handed on when the season changes its water.
 *
 * Lumped: capacity, film and bead follow the mean of bound iron over the bed (a bed has one resin),
 * so that a fouled top and a clean bottom count as an average bed.
 */
#include "iron/campaign_state.h"

#include "bed/alter.h"
#include "brinefront/hydraulics.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

bf_status bf__campaign_read_deposits(bf_campaign *c, bf_error *err)
{
    return bf__iron_bed_read(c->iron_bed, &c->deposits, err);
}

bf_status bf__campaign_write_deposits(bf_campaign *c, bf_error *err)
{
    return bf__iron_bed_write(c->iron_bed, &c->deposits, err);
}

/* Of all waters of the year and the recipe; iron where a deposit may give some off; H where acid
 * cleans. */
static bf_ion_set ions_of(const bf_campaign *c)
{
    const bf_campaign_spec *spec = &c->spec;
    double water[BF_ION_COUNT];
    memcpy(water, spec->water.ion_eq_per_m3, sizeof water);
    for (size_t k = 0; k < spec->season_count; k++) {
        for (size_t i = 0; i < BF_CATION_COUNT; i++) {
            water[i] = fmax(water[i], spec->season[k].water.ion_eq_per_m3[i]);
        }
    }
    if (c->with_iron) {
        water[BF_ION_FE] = fmax(water[BF_ION_FE], 1.0);
    }
    if (spec->cleaning.every_days > 0.0 && spec->cleaning.agent == BF_CLEANER_HYDROCHLORIC) {
        water[BF_ION_H] = 1.0;
    }
    return bf_recipe_ions(&c->recipe, water);
}

bf_status bf__campaign_make_bed(const bf_campaign *c, bf__iron_bed **out, bf_error *err)
{
    const bf_ion_set ions = ions_of(c);
    return bf__iron_bed_create(&c->bed_spec, c->selectivity, &ions, &c->spec.iron,
                               c->with_iron ? &c->feed : NULL, out, err);
}

int bf__campaign_respecify(bf_campaign *c)
{
    const bf_iron_spec *iron = &c->spec.iron;
    const bf_resin *new = &c->spec.bed.resin;
    const double bound = c->now.bound_kg_per_m3;
    bf_bed_spec *bed = &c->bed_spec;
    const double oxidised =
        bf_resin_volume_capacity(iron, c->now.moisture, new->bead_density_kg_per_m3);
    bed->resin.total_capacity_eq_per_m3 =
        bf_iron_capacity_eq_per_m3(iron, new->total_capacity_eq_per_m3, oxidised, bound);
    /* The coat alone, as water: no film before it, diffusivity 1. */
    bed->coat_m = c->spec.bed.coat_m + 1.0 / bf_iron_film_m_per_s(iron, (double)INFINITY, 1.0,
                                                                  new->bead_diameter_m,
                                                                  new->void_fraction, bound);
    const double slower = bf_iron_bead_diffusivity_ratio(iron, bound);
    for (size_t i = 0; i < BF_CATION_COUNT; i++) {
        bed->resin.diffusivity_25C_m2_per_s[i] = slower * new->diffusivity_25C_m2_per_s[i];
    }
    c->site.resin = bed->resin;
    return bed->resin.total_capacity_eq_per_m3 >= BF_CAMPAIGN_LEAST_SITES; /* as bf_resin_check() */
}

/* The state of the bed moves into another. */
static bf_status move(bf_campaign *c, bf__iron_bed *next, bf_error *err)
{
    bf_status status = bf_bed_copy(next->bed, c->iron_bed->bed, err);
    bf__iron_bed_free(status == BF_OK ? c->iron_bed : next);
    c->iron_bed = status == BF_OK ? next : c->iron_bed;
    return status;
}

bf_status bf__campaign_renew(bf_campaign *c, bf_error *err)
{
    const double before = c->bed_spec.resin.total_capacity_eq_per_m3;
    bf__iron_bed *next = NULL;
    if (!bf__campaign_respecify(c)) {
        c->now.spent = 1;
        return BF_OK;
    }
    bf_status status = bf__campaign_make_bed(c, &next, err);
    status = status == BF_OK ? move(c, next, err) : status;
    if (status == BF_OK) {
        bf__bed_change_sites(c->iron_bed->bed, before);
    }
    return status;
}

/* ---- seasons --------------------------------------------------------------------------------- */

/* All that hangs on the water alone; the equilibrium is new. */
static bf_status take_water(bf_campaign *c, size_t season, bf_error *err)
{
    const bf_campaign_spec *spec = &c->spec;
    bf_status status = bf_campaign_feed(spec, spec->season_count > 0 ? &spec->season[season] : NULL,
                                        &c->water, &c->feed, err);
    if (status == BF_OK) {
        status = bf_fluid_of_water(c->water.temperature_K, &c->fluid, err);
    }
    if (status != BF_OK) {
        return status;
    }
    c->now.season = season;
    c->bed_spec.temperature_K = c->water.temperature_K;
    c->site.water = c->water;
    c->pressure_clean_Pa_per_m = bf_pressure_gradient_Pa_per_m(
        &c->fluid, spec->recipe.step[0].velocity_m_per_s, spec->bed.resin.bead_diameter_m,
        spec->bed.resin.void_fraction);
    bf_selectivity_spec equilibrium = {.law = BF_EQUILIBRIUM_MASS_ACTION,
                                       .ions = ions_of(c),
                                       .total_capacity_eq_per_m3 =
                                           spec->bed.resin.total_capacity_eq_per_m3,
                                       .temperature_K = c->water.temperature_K};
    memcpy(equilibrium.constant, c->bed_spec.resin.selectivity, sizeof equilibrium.constant);
    return bf_selectivity_create(&equilibrium, &c->selectivity, err);
}

bf_status bf__campaign_enter_season(bf_campaign *c, size_t season, bf_error *err)
{
    bf_selectivity *before = c->selectivity; /* the old bed still reads it */
    bf__iron_bed *next = NULL;
    bf_status status = take_water(c, season, err);
    status = status == BF_OK ? bf__campaign_make_bed(c, &next, err) : status;
    status = status == BF_OK ? move(c, next, err) : status;
    if (status == BF_OK) {
        bf_selectivity_free(before);
    } else if (c->selectivity != before) {
        bf_selectivity_free(c->selectivity);
        c->selectivity = before;
    }
    c->now.alike = 0;
    c->now.paces = 0;
    c->now.stride = 0;
    return status;
}

/* ---- life ------------------------------------------------------------------------------------ */

static bf_status lay_deposit(bf_campaign *c, bf_error *err)
{
    const double kg_per_mol = bf__iron_kg_per_mol();
    const bf_iron_deposit *deposit = &c->spec.deposit;
    for (size_t k = 0; k < c->deposits.cells; k++) {
        c->deposits.loose[k] = deposit->loose_kg_per_m3 / kg_per_mol;
        c->deposits.bound[k] = deposit->bound_kg_per_m3 / kg_per_mol;
    }
    c->now.iron.at_start = bf__mean_of(c->deposits.loose, c->deposits.cells) +
                           bf__mean_of(c->deposits.bound, c->deposits.cells);
    c->now.bound_kg_per_m3 = deposit->bound_kg_per_m3;
    bf_status status = bf__campaign_write_deposits(c, err);
    return status == BF_OK ? bf__campaign_renew(c, err) : status;
}

static void plan(bf_campaign *c)
{
    const bf_campaign_spec *spec = &c->spec;
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
    c->stagnation_s = fmax(days * BF_IRON_S_PER_DAY / (double)c->draws - draw_s, 0.0);
}

static int brings_iron(const bf_campaign_spec *spec)
{
    double iron = spec->season_count > 0 ? 0.0 : spec->water.ion_eq_per_m3[BF_ION_FE];
    for (size_t k = 0; k < spec->season_count; k++) {
        iron += spec->season[k].water.ion_eq_per_m3[BF_ION_FE];
    }
    return iron + spec->deposit.loose_kg_per_m3 + spec->deposit.bound_kg_per_m3 > 0.0;
}

/* The bed as new: cycle 0. */
static bf_status lay(bf_campaign *c, bf_error *err)
{
    const bf_campaign_spec *spec = &c->spec;
    c->now = (bf__campaign_now){.moisture = spec->iron.moisture_new,
                                .next_cleaning_day = spec->cleaning.every_days};
    c->now.potential_due = spec->potential_every < 6 ? spec->potential_every : 6;
    c->bed_spec = spec->bed;
    c->bed_spec.resin = bf_campaign_resin(spec);
    c->site = (bf_site){.depth_m = spec->bed.depth_m, .resin = c->bed_spec.resin};
    c->with_iron = brings_iron(spec);
    c->fouls =
        c->with_iron || spec->free_chlorine_g_per_m3 > 0.0 || spec->chloramine_g_per_m3 > 0.0;
    plan(c);
    const size_t n = spec->bed.cells;
    c->memory = calloc(7 * n, sizeof *c->memory);
    if (c->memory == NULL) {
        return bf_error_set(err, BF_E_MEMORY, "bf_campaign_create", "no memory for a campaign");
    }
    c->deposits = (bf__deposits){.loose = c->memory, .bound = c->memory + n, .cells = n};
    c->oxygen = c->memory + 2 * n;
    c->pace = c->memory + 3 * n;
    c->pace_before = c->memory + 5 * n;
    bf_status status = take_water(c, bf_campaign_season_index(spec, 0.0), err);
    if (status == BF_OK) {
        status = bf__campaign_make_bed(c, &c->iron_bed, err);
    }
    if (status == BF_OK) {
        double soft[BF_ION_COUNT];
        bf_site_supply(&c->site, BF_SUPPLY_SOFT, soft);
        status = bf_bed_fill(c->iron_bed->bed, NULL, soft, err);
    }
    return status == BF_OK && c->with_iron ? lay_deposit(c, err) : status;
}

bf_status bf_campaign_create(const bf_campaign_spec *spec, bf_campaign **out, bf_error *err)
{
    *out = NULL;
    bf_status status = bf_campaign_spec_check(spec, err);
    if (status != BF_OK) {
        return status;
    }
    bf_campaign *campaign = calloc(1, sizeof *campaign);
    if (campaign == NULL) {
        return bf_error_set(err, BF_E_MEMORY, "bf_campaign_create", "no memory for a campaign");
    }
    campaign->spec = *spec;
    campaign->fingerprint = bf_campaign_fingerprint(spec);
    status = lay(campaign, err);
    if (status == BF_OK) {
        *out = campaign;
    } else {
        bf_campaign_free(campaign);
    }
    return status;
}

void bf_campaign_free(bf_campaign *campaign)
{
    if (campaign != NULL) {
        bf__iron_bed_free(campaign->iron_bed);
        bf_selectivity_free(campaign->selectivity);
        free(campaign->memory);
        free(campaign);
    }
}
