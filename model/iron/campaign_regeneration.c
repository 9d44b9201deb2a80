/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The regeneration of a cycle, and the cleaning that may come before it.
 *
 *     brine, slow rinse and hold   plain exchange, cut into slices; after each, exchanged iron ages
 *                                  by the law in brine, in the water that each cell then has
 *                                  (stagnation.c)
 *     backwash                     plain exchange; S_s -> S_s exp(-k_bw t E), cell by cell; mixing
 *                                  takes the deposits along with the resin
 *     fast rinse                   feed: as a draw
 *     reductant                    dS/dt of cleaning.c, cell by cell; Fe2+ goes to Na sites of the
 *                                  cell while there are any, the rest leaves with the liquid; the
 *                                  brine elutes it
 *     acid                         acid.c; brine and slow rinse then come twice
 *
 * Assumes: floc of the water used for brine, slow rinse and backwash passes; dissolved iron in
 * brine leaves before it oxidises.
 */
#include "iron/campaign_state.h"

#include "bed/alter.h"

#include <math.h>

static bf_status reduce(bf_campaign *c, double *removed_mol_per_m3, bf_error *err)
{
    const bf_campaign_cleaning *cleaning = &c->spec.cleaning;
    const double kg_per_mol = bf__iron_kg_per_mol();
    bf_status status = bf__campaign_read_deposits(c, err);
    for (size_t k = 0; k < c->deposits.cells && status == BF_OK; k++) {
        const bf_reductive_clean how = {.agent = cleaning->agent,
                                        .dose_kg_per_m3 = cleaning->dose_kg_per_m3,
                                        .duration_s = cleaning->duration_s,
                                        .pH = cleaning->pH,
                                        .bound_kg_per_m3 = kg_per_mol * c->deposits.bound[k],
                                        .aged = cleaning->aged};
        double removed = 0.0;
        status = bf_cleaning_reduce(&c->spec.iron, &how, &removed, err);
        const double mol = removed / kg_per_mol;
        const double room = 0.5 * bf__bed_load(c->iron_bed->bed, k, BF_ION_FE, 2.0 * mol);
        c->deposits.bound[k] -= mol;
        c->now.iron.cleaned += (mol - room) / (double)c->deposits.cells;
        *removed_mol_per_m3 += mol / (double)c->deposits.cells;
    }
    return status == BF_OK ? bf__campaign_write_deposits(c, err) : status;
}

/* @return what was dissolved, into `out` too */
static bf_status clean(bf_campaign *c, bf_campaign_cycle *out, bf_error *err)
{
    const int acid = c->spec.cleaning.agent == BF_CLEANER_HYDROCHLORIC;
    double removed = 0.0;
    bf_status status = acid ? bf__campaign_acid(c, &removed, err) : reduce(c, &removed, err);
    c->now.dissolved_mol_per_m3 += removed;
    c->now.next_cleaning_day += c->spec.cleaning.every_days;
    out->cleaned_kg_per_m3 = bf__iron_kg_per_mol() * removed;
    return status;
}

/* Exchanged iron ages while a slice of brine or rinse passes, or soaks. */
static bf_status age_in_brine(bf_campaign *c, const bf_step *step, const bf_step_result *result,
                              bf_error *err)
{
    const bf_campaign_spec *spec = &c->spec;
    const int brine = bf_step_is_brining(step);
    const double oxygen = brine ? spec->brine_oxygen_mol_per_m3 : c->feed.oxygen_mol_per_m3;
    /* What passes brings oxygen; what holds has that of its pores, shared by the slices. */
    const double water = result->passage.bed_volumes > 0.0
                             ? result->passage.bed_volumes
                             : spec->bed.resin.void_fraction / (double)spec->slices;
    const bf__stagnation how = {.spec = &spec->iron,
                                .temperature_K = c->feed.temperature_K,
                                .pH = brine && !isnan(spec->brine_pH) ? spec->brine_pH : c->feed.pH,
                                .duration_s = result->passage.duration_s,
                                .flowing_oxygen_mol_per_m3 = oxygen,
                                .flowing_oxygen_supply_mol_per_m3 = oxygen * water};
    bf_status status = bf__campaign_read_deposits(c, err);
    if (status == BF_OK) {
        bf__iron_stagnate(&how, c->iron_bed->bed, &c->deposits);
        status = bf__campaign_write_deposits(c, err);
    }
    return status;
}

/* What brine takes off of bound iron, once a regeneration. */
static bf_status elute_bound(bf_campaign *c, bf_error *err)
{
    const double left = 1.0 - c->spec.iron.brine_removal;
    bf_status status = bf__campaign_read_deposits(c, err);
    c->now.iron.waste += (1.0 - left) * bf__mean_of(c->deposits.bound, c->deposits.cells);
    for (size_t k = 0; k < c->deposits.cells; k++) {
        c->deposits.bound[k] *= left;
    }
    return status == BF_OK ? bf__campaign_write_deposits(c, err) : status;
}

static void mix(double *values, size_t count, double part)
{
    const double mean = bf__mean_of(values, count);
    for (size_t k = 0; k < count; k++) {
        values[k] += part * (mean - values[k]);
    }
}

static bf_status wash(bf_campaign *c, const bf_step *step, const bf_step_result *result,
                      bf_error *err)
{
    bf_status status = bf__campaign_read_deposits(c, err);
    const size_t n = c->deposits.cells;
    const double all = bf__mean_of(c->deposits.loose, n);
    for (size_t k = 0; k < n && status == BF_OK; k++) {
        const bf_iron_deposit before = {.loose_kg_per_m3 = c->deposits.loose[k]};
        bf_iron_deposit after =
            bf_iron_backwash(&c->spec.iron, before, result->duration_s, result->depth_ratio);
        c->now.iron.waste += (before.loose_kg_per_m3 - after.loose_kg_per_m3) / (double)n;
        c->deposits.loose[k] = after.loose_kg_per_m3;
    }
    c->now.loose_kept *= all > 0.0 ? bf__mean_of(c->deposits.loose, n) / all : 1.0;
    mix(c->deposits.loose, n, step->mix_share);
    mix(c->deposits.bound, n, step->mix_share);
    return status == BF_OK ? bf__campaign_write_deposits(c, err) : status;
}

/* Whether a step is cut, and one slice of it. */
static size_t cut(const bf_campaign *c, const bf_step *step, bf_step *slice)
{
    *slice = *step;
    if (!c->with_iron || !bf_step_is_brining(step) || step->type->divide == NULL) {
        return 1;
    }
    step->type->divide(slice, (double)c->spec.slices);
    return c->spec.slices;
}

static bf_status run_step(bf_campaign *c, const bf_step *step, bf_campaign_cycle *out,
                          bf_error *err)
{
    bf_step slice;
    const size_t parts = cut(c, step, &slice);
    const int refill = step->type->role == BF_ROLE_REFILL;
    const int sourced =
        c->with_iron && step->type->role == BF_ROLE_FAST_RINSE && step->supply == BF_SUPPLY_RAW;
    bf_status status = BF_OK;
    c->iron_bed->open = 0;
    if (sourced) {
        status = bf__iron_bed_open(c->iron_bed, step->velocity_m_per_s, err);
    }
    for (size_t p = 0; p < parts && status == BF_OK; p++) {
        bf_step_result result;
        double suspended = 0.0;
        status = slice.type->run(&slice, &c->site, c->iron_bed->bed, &result, err);
        if (status != BF_OK) {
            break;
        }
        if (!bf_step_serves(step)) {
            out->salt_kg_per_m3 += result.salt_kg_per_m3;
            out->water_bed_volumes += result.water_bed_volumes;
        }
        if (refill) {
            break;
        }
        status = bf__campaign_book(c, &slice, &result.passage, 0, &suspended, err);
        if (status == BF_OK && c->with_iron && !sourced) {
            status = age_in_brine(c, &slice, &result, err);
        }
        if (status == BF_OK && c->with_iron && step->type->role == BF_ROLE_BACKWASH) {
            status = wash(c, step, &result, err);
        }
    }
    return status;
}

/* The steps after the service; those of brining `times` over. */
static bf_status run_steps(bf_campaign *c, int times, bf_campaign_cycle *out, bf_error *err)
{
    bf_status status = BF_OK;
    size_t first = 0; /* of the brining under way; 0: none */
    for (size_t k = 1; k < c->recipe.count && status == BF_OK; k++) {
        const bf_step *step = &c->recipe.step[k];
        status = run_step(c, step, out, err);
        first = !bf_step_is_brining(step) ? 0 : first == 0 ? k : first;
        const int ends = first > 0 && (k + 1 == c->recipe.count || !bf_step_is_brining(step + 1));
        if (ends && times > 1) {
            k = first - 1;
            first = 0;
            times--;
        }
    }
    return status;
}

bf_status bf__campaign_regenerate(bf_campaign *c, bf_campaign_cycle *out, bf_error *err)
{
    const bf_campaign_cleaning *cleaning = &c->spec.cleaning;
    const int cleans =
        c->with_iron && cleaning->every_days > 0.0 && out->day >= c->now.next_cleaning_day;
    bf_status status = cleans ? clean(c, out, err) : BF_OK;
    c->now.loose_kept = 1.0;
    if (status == BF_OK) {
        status =
            run_steps(c, cleans && cleaning->agent == BF_CLEANER_HYDROCHLORIC ? 2 : 1, out, err);
    }
    if (status == BF_OK && c->with_iron && c->spec.iron.brine_removal > 0.0) {
        status = elute_bound(c, err);
    }
    if (cleans) {
        c->now.alike = 0;
        c->now.paces = 0;
        c->now.stride = 0;
    }
    return status;
}
