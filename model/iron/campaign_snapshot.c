/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A campaign's whole state as bytes, and the number that tells its spec from others.
 *
 *     bytes: bf__campaign_now | paces, 4 doubles a cell | state of the bed
 *
 * What follows from the spec and from these (resin, equilibrium, bed) is made anew, the same way
 * each cycle makes it, so that the campaign goes on with the same bits.
 */
#include "iron/campaign_state.h"

#include "bed/alter.h"

#include <stdlib.h>
#include <string.h>
#include <zlib.h>

static size_t state_size(const bf_campaign *c)
{
    return bf__layout_length(&bf__bed_column(c->vessel->bed)->at) * sizeof(double);
}

static size_t paces_size(const bf_campaign *c)
{
    return 4 * c->deposits.cells * sizeof(double);
}

size_t bf_campaign_snapshot_size(const bf_campaign *c)
{
    return sizeof c->now + paces_size(c) + state_size(c);
}

void bf_campaign_snapshot(const bf_campaign *c, void *bytes)
{
    unsigned char *to = bytes;
    memcpy(to, &c->now, sizeof c->now);
    memcpy(to + sizeof c->now, c->pace, paces_size(c));
    memcpy(to + sizeof c->now + paces_size(c), bf__bed_state(c->vessel->bed), state_size(c));
}

bf_status bf_campaign_restore(bf_campaign *c, const void *bytes, size_t length, bf_error *err)
{
    const unsigned char *from = bytes;
    if (length != bf_campaign_snapshot_size(c)) {
        return bf_error_set(err, BF_E_RANGE, "bf_campaign_restore",
                            "%zu bytes of state; this campaign has %zu", length,
                            bf_campaign_snapshot_size(c));
    }
    bf__campaign_now now;
    memcpy(&now, from, sizeof now);
    bf_status status = BF_OK;
    if (now.season != c->now.season) {
        if (now.season >= BF_CAMPAIGN_SEASONS) {
            return bf_error_set(err, BF_E_RANGE, "bf_campaign_restore", "no season %zu",
                                now.season);
        }
        status = bf__campaign_enter_season(c, now.season, err);
    }
    c->now = now;
    bf__vessel *next = NULL;
    if (status == BF_OK && bf__campaign_respecify(c)) {
        status = bf__campaign_vessel(c, &next, err);
    }
    if (status == BF_OK && next != NULL) {
        bf__vessel_free(c->vessel);
        c->vessel = next;
    }
    memcpy(c->pace, from + sizeof now, paces_size(c));
    memcpy(bf__bed_state(c->vessel->bed), from + sizeof now + paces_size(c), state_size(c));
    return status;
}

/* ---- fingerprint ----------------------------------------------------------------------------- */

static void add(unsigned long *print, const void *bytes, size_t length)
{
    *print = crc32(*print, bytes, (uInt)length);
}

static void add_number(unsigned long *print, double value)
{
    add(print, &value, sizeof value);
}

static void add_step(unsigned long *print, const bf_step *step)
{
    const double numbers[] = {(double)step->direction,
                              (double)step->supply,
                              step->velocity_m_per_s,
                              step->bed_volumes,
                              step->duration_s,
                              step->end_hardness_eq_per_m3,
                              step->stop_hardness_eq_per_m3,
                              (double)step->salt,
                              step->dose_kg_per_m3,
                              step->mass_fraction,
                              step->mix_share,
                              step->blocking_velocity_m_per_s};
    add(print, step->type->name, strlen(step->type->name));
    add(print, numbers, sizeof numbers);
}

static void add_bed(unsigned long *print, const bf_bed_spec *bed)
{
    const double numbers[] = {bed->diameter_m,
                              bed->depth_m,
                              bed->freeboard_m,
                              bed->film_m_per_s,
                              bed->coat_m,
                              bed->dispersion_m2_per_s,
                              bed->dispersion_factor,
                              bed->relative_tolerance,
                              bed->hardness_tolerance_eq_per_m3,
                              (double)bed->rate_law,
                              (double)bed->film_law,
                              (double)bed->cells,
                              (double)bed->shells,
                              (double)bed->bead_classes,
                              (double)bed->shell_law,
                              (double)bed->solver,
                              bed->resin.capacity_eq_per_m3,
                              bed->resin.void_fraction,
                              bed->resin.bead_diameter_m,
                              bed->resin.uniformity_coefficient,
                              bed->resin.bead_density_kg_per_m3};
    add(print, numbers, sizeof numbers);
    add(print, bed->rate_constant_per_s, sizeof bed->rate_constant_per_s);
    add(print, bed->resin.selectivity, sizeof bed->resin.selectivity);
    add(print, bed->resin.diffusivity_25C_m2_per_s, sizeof bed->resin.diffusivity_25C_m2_per_s);
    add(print, bed->resin.activation_J_per_mol, sizeof bed->resin.activation_J_per_mol);
}

unsigned long bf_campaign_fingerprint(const bf_campaign_spec *spec)
{
    unsigned long print = crc32(0, NULL, 0);
    const bf_campaign_cleaning *cleaning = &spec->cleaning;
    const double numbers[] = {spec->oxygen_mol_per_m3,
                              spec->start_day,
                              spec->contact_s,
                              spec->ferric_share,
                              spec->free_chlorine_g_per_m3,
                              spec->chloramine_g_per_m3,
                              spec->brine_pH,
                              spec->brine_oxygen_mol_per_m3,
                              (double)spec->slices,
                              spec->water_m3_per_day,
                              spec->service_bed_volumes,
                              spec->days_between,
                              spec->draws_per_day,
                              (double)spec->cycles,
                              cleaning->every_days,
                              (double)cleaning->agent,
                              cleaning->dose_kg_per_m3,
                              cleaning->duration_s,
                              cleaning->pH,
                              cleaning->mass_fraction,
                              (double)cleaning->aged,
                              spec->deposit.loose_kg_per_m3,
                              spec->deposit.bound_kg_per_m3,
                              (double)spec->potential_every,
                              spec->skip_tolerance};
    add(&print, BF_VERSION, sizeof BF_VERSION);
    add(&print, numbers, sizeof numbers);
    add(&print, &spec->water, sizeof spec->water); /* doubles only */
    for (size_t k = 0; k < spec->season_count; k++) {
        add_number(&print, spec->season[k].from_day);
        add(&print, &spec->season[k].water, sizeof spec->season[k].water);
        add_number(&print, spec->season[k].oxygen_mol_per_m3);
    }
    add_bed(&print, &spec->bed);
    for (size_t k = 0; k < spec->recipe.count; k++) {
        add_step(&print, &spec->recipe.step[k]);
    }
    add(&print, &spec->iron, sizeof spec->iron); /* doubles only */
    return print;
}
