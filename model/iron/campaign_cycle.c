/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One cycle of a campaign.
 *
 *     draw, stagnation, draw, stagnation, .. | cleaning, when due | the other steps of the recipe
 *     | the resin of the next cycle
 *
 * Why two time scales: while water runs, oxidation, filtration and exchange act on each other
 * within minutes and are integrated together; what deposits do to the resin (capacity, film, bead:
 * deposit.c; moisture: resin_oxidation.c) shows over months, so it is renewed once a cycle.
 */
#include "iron/campaign_state.h"

#include <math.h>

/* Without iron or chlorine: the plain cycle. */
static bf_status run_plain(bf_campaign *c, bf__service *s, bf_campaign_cycle *out, bf_error *err)
{
    bf_cycle_result result;
    bf_status status = bf_cycle_run(&c->plain, &c->site, c->iron_bed->bed, &result, err);
    for (size_t k = 0; k < result.step_count && status == BF_OK; k++) {
        double suspended;
        status = bf__campaign_book(c, &c->plain.step[k], &result.step[k].passage, k == 0,
                                   &suspended, err);
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

/* Draws and stagnation, cleaning, regeneration, the next resin. */
static bf_status run_fouling(bf_campaign *c, bf__service *s, bf_campaign_cycle *out, bf_error *err)
{
    bf_status status = bf__campaign_serve(c, s, err);
    out->pressure_ratio = s->pressure_ratio;
    status = status == BF_OK ? bf__campaign_regenerate(c, out, err) : status;
    status = status == BF_OK ? bf__campaign_take_stock(c, err) : status;
    const bf_campaign_spec *spec = &c->spec;
    c->now.bound_kg_per_m3 = bf__iron_kg_per_mol() * c->now.iron.bound;
    c->now.moisture += bf_resin_moisture_rise(
        &spec->iron, 1e-3 * spec->free_chlorine_g_per_m3 * s->bed_volumes,
        1e-3 * spec->chloramine_g_per_m3 * s->bed_volumes, c->now.bound_kg_per_m3);
    return status == BF_OK ? bf__campaign_renew(c, err) : status;
}

static double top_tenth(const double *values, size_t count)
{
    const size_t top = (count + 9) / 10;
    return bf__mean_of(values, top);
}

static void report(const bf_campaign *c, const bf__service *s, bf_campaign_cycle *out)
{
    const double g_per_mol = 1e3 * bf__iron_kg_per_mol();
    const size_t n = c->deposits.cells;
    out->service_bed_volumes = s->bed_volumes;
    out->hardness_mean_eq_per_m3 = s->hardness / s->bed_volumes;
    out->hardness_last_eq_per_m3 = s->hardness_last;
    out->iron_mean_g_per_m3 = g_per_mol * s->iron / s->bed_volumes;
    out->suspended_mean_g_per_m3 = g_per_mol * s->suspended / s->bed_volumes;
    out->manganese_mean_g_per_m3 =
        bf_ion_get(BF_ION_MN)->molar_mass_g_per_mol * s->manganese / s->bed_volumes;
    out->iron_heel_eq_per_m3 = c->bed_spec.resin.total_capacity_eq_per_m3 *
                               bf_bed_holding(c->iron_bed->bed).resin_fraction[BF_ION_FE];
    out->loose_kg_per_m3 = bf__iron_kg_per_mol() * c->now.iron.loose;
    out->bound_kg_per_m3 = bf__iron_kg_per_mol() * c->now.iron.bound;
    out->loose_top_kg_per_m3 = bf__iron_kg_per_mol() * top_tenth(c->deposits.loose, n);
    out->bound_top_kg_per_m3 = bf__iron_kg_per_mol() * top_tenth(c->deposits.bound, n);
    out->retention = c->now.iron.in > 0.0 ? (c->now.iron.loose + c->now.iron.bound -
                                             c->now.iron.at_start + c->now.dissolved_mol_per_m3) /
                                                c->now.iron.in
                                          : (double)NAN;
    out->total_capacity_eq_per_m3 = c->bed_spec.resin.total_capacity_eq_per_m3;
    out->moisture = c->now.moisture;
    out->alkalinity_low_eq_per_m3 = c->with_iron ? s->alkalinity_low : (double)NAN;
    out->skip_error_kg_per_m3 = bf__iron_kg_per_mol() * c->now.skip_error_mol_per_m3;
    out->iron = c->now.iron;
    out->manganese = c->now.manganese;
}

/* Whether the cycle that has just run is to be followed by a potential; the next comes later. */
static int asks_potential(bf_campaign *c)
{
    bf__campaign_now *now = &c->now;
    const int last = now->cycles + 1 >= c->spec.cycles;
    const int due =
        !c->unrecorded && now->potential_due > 0 && (now->cycles + 1 >= now->potential_due || last);
    if (due) {
        now->potential_due = now->cycles + 1 + c->spec.potential_every;
    }
    return due && !now->spent;
}

bf_status bf__campaign_cycle(bf_campaign *c, bf_campaign_cycle *out, bf_error *err)
{
    bf__campaign_now *now = &c->now;
    const double days = bf_campaign_days(&c->spec);
    const size_t season = bf_campaign_season_index(&c->spec, days * (double)now->cycles);
    bf__service s = {.alkalinity_low = (double)INFINITY, .pressure_ratio = 1.0};
    *out = (bf_campaign_cycle){.cycle = now->cycles + 1,
                               .day = days * (double)(now->cycles + 1),
                               .pressure_ratio = 1.0,
                               .potential_eq_per_m3 = (double)NAN};
    bf_status status = season != now->season ? bf__campaign_enter_season(c, season, err) : BF_OK;
    if (status == BF_OK) {
        status = c->fouls ? run_fouling(c, &s, out, err) : run_plain(c, &s, out, err);
    }
    status = status == BF_OK ? bf__campaign_take_stock(c, err) : status;
    if (status == BF_OK && asks_potential(c)) {
        status = bf__campaign_potential(c, out, err);
    }
    if (status == BF_OK) {
        report(c, &s, out);
        now->cycles++;
        now->alike++;
    }
    return status;
}
