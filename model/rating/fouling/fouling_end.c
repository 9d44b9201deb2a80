/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The end of a campaign, and the ends of many.
 *
 *     salt a year = sum over cycles of salt x 365.25 d/(cycles x days between), water the same
 *
 * Cycles that were skipped are counted with the cycle before them: the one behind them may be one
 * with a cleaning, which brines twice.
 */
#include "rating/fouling/fouling_end.h"

#include "base/calendar.h"
#include "base/parallel.h"

#include <math.h>
#include <stdlib.h>

double bf__fouling_horizon_days(const bf_campaign_spec *spec)
{
    return bf_campaign_days(spec) * (double)spec->cycles;
}

size_t bf__fouling_season_count(const bf_campaign_spec *spec)
{
    return spec->season_count > 0 ? spec->season_count : 1;
}

const bf_campaign_season *bf__fouling_season(const bf_campaign_spec *spec, size_t index)
{
    return spec->season_count > 0 ? &spec->season[index] : NULL;
}

static const bf_water *water_of(const bf_campaign_spec *spec, size_t index)
{
    return spec->season_count > 0 ? &spec->season[index].water : &spec->water;
}

double bf__fouling_most_iron_g_per_m3(const bf_campaign_spec *spec)
{
    double most = 0.0;
    for (size_t k = 0; k < bf__fouling_season_count(spec); k++) {
        most = fmax(most, water_of(spec, k)->ion_eq_per_m3[BF_ION_FE]);
    }
    return most * bf_ion_equivalent_mass_g_per_eq(BF_ION_FE);
}

double bf__fouling_most_oxygen_mol_per_m3(const bf_campaign_spec *spec)
{
    double most = spec->season_count > 0 ? 0.0 : spec->oxygen_mol_per_m3;
    for (size_t k = 0; k < spec->season_count; k++) {
        most = fmax(most, spec->season[k].oxygen_mol_per_m3);
    }
    return most;
}

bf_status bf__fouling_check(const bf_campaign_spec *spec, bf_error *err)
{
    bf_status status = bf_campaign_spec_check(spec, err);
    if (status != BF_OK) {
        return status;
    }
    const double end = spec->recipe.step[0].end_hardness_eq_per_m3;
    if (isnan(end)) {
        return bf_error_set(err, BF_E_RANGE, "service",
                            "the service has no end point, so there is no potential to compare; "
                            "state one");
    }
    for (size_t k = 0; k < bf__fouling_season_count(spec); k++) {
        const double hardness = water_of(spec, k)->hardness_eq_per_m3;
        if (end >= hardness) {
            return bf_error_set(err, BF_E_RANGE, "service",
                                "the end point, %.4g meq/L of hardness, is not below the feed's "
                                "%.4g meq/L; lower it",
                                end, hardness);
        }
    }
    return BF_OK;
}

bf_fouling_end bf_fouling_end_of(const bf_campaign_spec *spec, const bf_campaign_series *series)
{
    bf_fouling_end end = {.state = series->state,
                          .potential_new_eq_per_m3 = (double)NAN,
                          .potential_eq_per_m3 = (double)NAN};
    double salt = 0.0;
    double water = 0.0;
    for (size_t k = 0; k < series->count; k++) {
        const bf_campaign_cycle *cycle = &series->cycle[k];
        const bf_campaign_cycle *before = k > 0 ? cycle - 1 : cycle;
        const double skipped = (double)cycle->skipped;
        salt += cycle->salt_kg_per_m3 + skipped * before->salt_kg_per_m3;
        water += cycle->water_bed_volumes + skipped * before->water_bed_volumes;
        if (!isnan(cycle->potential_eq_per_m3)) {
            end.potential_eq_per_m3 = cycle->potential_eq_per_m3;
            end.potential_new_eq_per_m3 = isnan(end.potential_new_eq_per_m3)
                                              ? cycle->potential_eq_per_m3
                                              : end.potential_new_eq_per_m3;
        }
    }
    if (series->count > 0) {
        const bf_campaign_cycle *last = &series->cycle[series->count - 1];
        const double years = (double)last->cycle * bf_campaign_days(spec) / BF__DAYS_PER_YEAR;
        end.day = last->day;
        end.total_capacity_eq_per_m3 = last->total_capacity_eq_per_m3;
        end.bound_kg_per_m3 = last->bound_kg_per_m3;
        end.hardness_eq_per_m3 = last->hardness_mean_eq_per_m3;
        end.iron_g_per_m3 = last->iron_mean_g_per_m3;
        end.pressure_ratio = last->pressure_ratio;
        end.salt_kg_per_m3_year = salt / years;
        end.water_bed_volumes_year = water / years;
    }
    if (series->state == BF_CAMPAIGN_SPENT) {
        end.potential_eq_per_m3 = 0.0; /* the last of the series is from when it lived */
    }
    return end;
}

/* ---- many ------------------------------------------------------------------------------------ */

bf_status bf__fouling_tell(const bf_fouling_run *run, double share, bf_error *err)
{
    return run->watch.tell != NULL && run->watch.tell(run->watch.context, share) != 0
               ? bf_error_set(err, BF_E_STOPPED, "fouling", "the study was stopped before its end")
               : BF_OK;
}

bf_status bf__fouling_ends(const bf_fouling_run *run, double start, double stop,
                           const bf_campaign_spec *spec, size_t count, bf_fouling_end *end,
                           bf_error *err)
{
    bf__part part = {.whole = run->watch, .start = start, .end = stop};
    bf_campaign_spec *sparing = calloc(count, sizeof *sparing);
    bf_campaign_series *series = calloc(count, sizeof *series);
    bf_status status =
        sparing != NULL && series != NULL
            ? BF_OK
            : bf_error_set(err, BF_E_MEMORY, "fouling", "no memory for %zu campaigns", count);
    if (status == BF_OK) {
        for (size_t k = 0; k < count; k++) {
            sparing[k] = spec[k];
            sparing[k].potential_every = spec[k].cycles;
        }
        const bf_campaign_batch batch = {.spec = sparing,
                                         .count = count,
                                         .threads = run->threads,
                                         .watch = bf__watch_part(&part)};
        status = bf_campaign_batch_run(&batch, series, err);
    }
    for (size_t k = 0; k < count; k++) {
        const int is_reached =
            status == BF_OK || (status == BF_E_STOPPED && series[k].state != BF_CAMPAIGN_RUNS);
        end[k] = is_reached ? bf_fouling_end_of(&spec[k], &series[k]) : (bf_fouling_end){0};
        if (series != NULL) {
            bf_campaign_series_free(&series[k]);
        }
    }
    free(series);
    free(sparing);
    return status;
}
