/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The sheet of a vessel: everything that follows from vessel, bed and recipe, and whether they go
 * together.
 *
 *     room          = (height - underbedding)/(L (1 + s)) - 1
 *     rated flow    = the least of: the flow of the pressure limit in water as the case has it, the
 *                     velocity limit times area, the limit of bed volumes an hour times resin
 *     backwash fits where the wanted rise, and that of the recipe's own flow in the coldest water,
 *                   are no more than the room
 *
 * L settled depth, s swelling. The rise counts over the swollen bed. Where no height is stated the
 * bed's own freeboard stands in for the vessel: what it holds is told, but nothing fails for it, as
 * a case's freeboard may be a guess of its water and no vessel.
 */
#include "brinefront/band.h"
#include "brinefront/convert.h"
#include "brinefront/hydraulics.h"
#include "brinefront/tank.h"
#include "rating/both_units.h"
#include "rating/regeneration_needs.h"
#include "rating/tank_flow.h"

#include <math.h>
#include <stdio.h>

static const char where[] = "bf_tank_sheet_of";

/* A limit that is reached is not broken by rounding. */
static const double rounding = 1e-9;

const char *bf_tank_limit_words(bf_tank_limit limit)
{
    switch (limit) {
    case BF_TANK_PRESSURE: return "pressure drop";
    case BF_TANK_VELOCITY: return "velocity";
    case BF_TANK_BED_VOLUMES: return "bed volumes an hour";
    case BF_TANK_LIMITS: break;
    }
    return "unknown";
}

/* The fastest backwash of a recipe; NULL without one. */
static const bf_step *backwash_of(const bf_recipe *recipe)
{
    const bf_step *found = NULL;
    for (size_t s = 0; s < recipe->count; s++) {
        const bf_step *step = &recipe->step[s];
        if (step->type == &bf_step_backwash &&
            (found == NULL || step->velocity_m_per_s > found->velocity_m_per_s)) {
            found = step;
        }
    }
    return found;
}

/* ---- filling the sheet ----------------------------------------------------------------------- */

static bf_status fill_geometry(const bf_tank_spec *tank, const bf_rating_spec *rating,
                               bf_tank_sheet *out, bf_error *err)
{
    const bf_bed_spec *bed = &rating->bed;
    if (!isnan(tank->diameter_m) && !(fabs(tank->diameter_m / bed->diameter_m - 1.0) <= 1e-3)) {
        return bf_error_set(
            err, BF_E_RANGE, where, "the bed is %s across and the vessel %s: make them one",
            bf__both_length(bed->diameter_m).text, bf__both_length(tank->diameter_m).text);
    }
    const double holds_m = isnan(tank->height_m) ? bed->depth_m + bed->freeboard_m
                                                 : tank->height_m - tank->underbedding_m;
    const double swollen_m = bed->depth_m * (1.0 + tank->swelling);
    out->area_m2 = bf_bed_area_m2(bed);
    out->resin_m3 = bf_bed_volume_m3(bed);
    out->bed_depth_m = bed->depth_m;
    out->freeboard_m = holds_m - bed->depth_m;
    out->room = holds_m / swollen_m - 1.0;
    if (!isnan(tank->height_m) && out->room < -rounding) {
        const double most_m3 = out->area_m2 * holds_m / (1.0 + tank->swelling);
        char lifted[120] = "";
        if (backwash_of(&rating->recipe) != NULL && !isnan(tank->expansion)) {
            (void)snprintf(lifted, sizeof lifted, ", and at most %s to be lifted by %.3g %%",
                           bf__both_volume_at_most(most_m3 / (1.0 + tank->expansion)).text,
                           100.0 * tank->expansion);
        }
        return bf_error_set(err, BF_E_RANGE, where,
                            "the resin, %s deep and swollen by %.3g %%, does not go into the %s "
                            "that the vessel holds above the underbedding; fill in at most %s%s",
                            bf__both_length(bed->depth_m).text, 100.0 * tank->swelling,
                            bf__both_length(holds_m).text, bf__both_volume_at_most(most_m3).text,
                            lifted);
    }
    return BF_OK;
}

static bf_status fill_limits(const bf_tank_spec *tank, const bf_rating_spec *rating,
                             bf_tank_sheet *out, bf_error *err)
{
    const double temperature_K = rating->water.temperature_K;
    double *limit = out->limit_m3_per_s;
    bf_status status = bf__tank_flow_at_pressure(tank, &rating->bed, tank->pressure_limit_Pa,
                                                 temperature_K, &limit[BF_TANK_PRESSURE], err);
    limit[BF_TANK_VELOCITY] = tank->velocity_limit_m_per_s * out->area_m2;
    limit[BF_TANK_BED_VOLUMES] = tank->bed_volumes_per_h_limit / BF_S_PER_H * out->resin_m3;
    out->limited_by = BF_TANK_PRESSURE;
    for (int k = 0; k < BF_TANK_LIMITS; k++) {
        if (limit[k] < limit[out->limited_by]) { /* never of one that is not asked */
            out->limited_by = (bf_tank_limit)k;
        }
    }
    out->rated_m3_per_s = limit[out->limited_by];
    return status;
}

static bf_status fill_pressures(const bf_tank_spec *tank, const bf_rating_spec *rating,
                                bf_tank_sheet *out, bf_error *err)
{
    const bf_tank_spec no_fittings = bf_tank_spec_default();
    const double temperature_K = rating->water.temperature_K;
    const struct {
        const bf_tank_spec *tank;
        double m3_per_s, temperature_K;
        double *Pa;
    } asked[] = {{tank, out->rated_m3_per_s, temperature_K, &out->rated_Pa},
                 {tank, tank->peak_m3_per_s, temperature_K, &out->peak_Pa},
                 {tank, tank->average_m3_per_s, temperature_K, &out->average_Pa},
                 {&no_fittings, out->rated_m3_per_s, temperature_K, &out->bed_rated_Pa},
                 {tank, out->rated_m3_per_s, out->cold.temperature_K, &out->cold_rated_Pa},
                 {tank, out->rated_m3_per_s, out->warm.temperature_K, &out->warm_rated_Pa}};
    bf_status status = BF_OK;
    for (size_t k = 0; k < sizeof asked / sizeof *asked && status == BF_OK; k++) {
        if (!isnan(asked[k].m3_per_s)) {
            status = bf_tank_pressure_Pa(asked[k].tank, &rating->bed, asked[k].m3_per_s,
                                         asked[k].temperature_K, asked[k].Pa, err);
        }
    }
    return status;
}

static bf_status fill_backwash(const bf_tank_spec *tank, const bf_rating_spec *rating,
                               const bf_tank_sheet *sheet, bf_tank_backwash *out, bf_error *err)
{
    const bf_resin *resin = &rating->bed.resin;
    const size_t classes = rating->bed.bead_classes;
    const bf_step *own = backwash_of(&rating->recipe);
    bf_fluid water;
    bf_status status = bf_fluid_of_water(out->temperature_K, &water, err);
    if (status != BF_OK) {
        return status;
    }
    if (!isnan(tank->expansion)) {
        out->flow_m3_per_s =
            sheet->area_m2 * bf_graded_velocity_m_per_s(&water, resin, classes, tank->expansion);
    }
    if (own != NULL) {
        out->expansion = bf_graded_rise(&water, resin, classes, own->velocity_m_per_s);
    }
    out->carries_away_m3_per_s =
        sheet->area_m2 * bf_graded_velocity_m_per_s(&water, resin, classes, fmax(sheet->room, 0.0));
    return BF_OK;
}

static bf_status fill_one_flow(const bf_tank_spec *tank, const bf_rating_spec *rating,
                               bf_tank_sheet *out, bf_error *err)
{
    bf_fluid coldest;
    bf_status status = bf_fluid_of_water(out->cold.temperature_K, &coldest, err);
    if (status == BF_OK && !isnan(tank->expansion)) {
        out->one_flow_rise = bf_graded_rise(&coldest, &rating->bed.resin, rating->bed.bead_classes,
                                            out->warm.flow_m3_per_s / out->area_m2);
    }
    return status;
}

/* ---- judging it ------------------------------------------------------------------------------ */

static bf_status judge_backwash(const bf_tank_spec *tank, const bf_rating_spec *rating,
                                bf_tank_sheet *sheet, bf_error *err)
{
    const double most = sheet->room + rounding;
    const int wanted_fits = isnan(tank->expansion) || tank->expansion <= most;
    const int own_fits = isnan(sheet->cold.expansion) || sheet->cold.expansion <= most;
    sheet->backwash_fits = wanted_fits && own_fits;
    const bf_step *own = backwash_of(&rating->recipe);
    if (sheet->backwash_fits || own == NULL || isnan(tank->height_m)) {
        return BF_OK;
    }
    if (!wanted_fits) {
        const double less_m3 = sheet->resin_m3 * (1.0 + sheet->room) / (1.0 + tank->expansion);
        return bf_error_set(
            err, BF_E_RANGE, where,
            "a rise of %.3g %% in backwash does not fit: the freeboard of %s holds "
            "%.3g %% over the swollen bed; want at most that, or fill in at most %s "
            "of resin",
            100.0 * tank->expansion, bf__both_length(sheet->freeboard_m).text,
            bf_round_down(100.0 * fmax(sheet->room, 0.0), 3),
            bf__both_volume_at_most(less_m3).text);
    }
    const double flow_m3_per_s = own->velocity_m_per_s * sheet->area_m2;
    return bf_error_set(err, BF_E_RANGE, where,
                        "backwash at %s lifts beads out of the vessel in the coldest water, %s: "
                        "the freeboard of %s holds a rise of %.3g %%; backwash with at most %s",
                        bf__both_flow(flow_m3_per_s).text,
                        bf__both_temperature(sheet->cold.temperature_K).text,
                        bf__both_length(sheet->freeboard_m).text, 100.0 * sheet->room,
                        bf__both_flow_at_most(sheet->cold.carries_away_m3_per_s).text);
}

static int is_more(double m3_per_s, double limit_m3_per_s)
{
    return m3_per_s > limit_m3_per_s * (1.0 + rounding); /* not where one is not asked */
}

/* Every step that gives more than the drain takes, so that one look at the message cures all. */
static bf_status judge_drain(const bf_tank_spec *tank, const bf_rating_spec *rating,
                             const bf_tank_sheet *sheet, bf_error *err)
{
    char steps[300] = "";
    size_t length = 0;
    for (size_t s = 0; s < rating->recipe.count; s++) {
        const bf_step *step = &rating->recipe.step[s];
        const double m3_per_s =
            bf__drain_m_per_s(step) * sheet->area_m2; /* 0 of what does not drain */
        if (is_more(m3_per_s, tank->drain_m3_per_s) && length < sizeof steps) {
            const int more =
                snprintf(steps + length, sizeof steps - length, "%sthe %s gives %s",
                         length == 0 ? "" : ", ", step->type->name, bf__both_flow(m3_per_s).text);
            length += (size_t)more;
        }
    }
    if (length == 0) {
        return BF_OK;
    }
    return bf_error_set(err, BF_E_RANGE, where,
                        "%s, and the drain takes %s: lower the flow of each such step to that",
                        steps, bf__both_flow_at_most(tank->drain_m3_per_s).text);
}

/* The limit in its own measure. */
static bf__words limit_words(const bf_tank_spec *tank, bf_tank_limit limit, double resin_m3)
{
    switch (limit) {
    case BF_TANK_PRESSURE: return bf__both_pressure(tank->pressure_limit_Pa);
    case BF_TANK_VELOCITY: return bf__both_velocity(tank->velocity_limit_m_per_s);
    default: break;
    }
    return bf__both_per_bed(tank->bed_volumes_per_h_limit / BF_S_PER_H * resin_m3, resin_m3);
}

/* The flows that are asked for. */
enum { FLOWS = 3 };
typedef struct asked_flow {
    const char *name, *key;
    double m3_per_s;
} asked_flow;

static void flows_of(const bf_tank_spec *tank, const bf_rating_spec *rating, asked_flow out[FLOWS])
{
    const double service = rating->recipe.step[0].velocity_m_per_s * bf_bed_area_m2(&rating->bed);
    out[0] = (asked_flow){"peak", "tank.peak_flow", tank->peak_m3_per_s};
    out[1] = (asked_flow){"average", "tank.average_flow", tank->average_m3_per_s};
    out[2] = (asked_flow){"service", "service.flow", service};
}

/* Pressure is what a pump has or has not; the other limits are rules: docs/decisions/limits.md. */
static bf_status judge_flows(const bf_tank_spec *tank, const bf_rating_spec *rating,
                             const bf_tank_sheet *sheet, bf_error *err)
{
    const double most = sheet->limit_m3_per_s[BF_TANK_PRESSURE];
    asked_flow asked[FLOWS];
    flows_of(tank, rating, asked);
    for (size_t f = 0; f < FLOWS; f++) {
        if (is_more(asked[f].m3_per_s, most)) {
            return bf_error_set(
                err, BF_E_RANGE, where,
                "the %s flow, %s, breaks the limit of %s, %s: at most %s passes this bed",
                asked[f].name, bf__both_flow(asked[f].m3_per_s).text,
                bf_tank_limit_words(BF_TANK_PRESSURE),
                limit_words(tank, BF_TANK_PRESSURE, sheet->resin_m3).text,
                bf__both_flow_at_most(most).text);
        }
    }
    return BF_OK;
}

void bf_tank_notes(const bf_tank_spec *tank, const bf_rating_spec *rating,
                   const bf_tank_sheet *sheet, bf_notes *notes)
{
    static const bf_tank_limit told[] = {BF_TANK_VELOCITY, BF_TANK_BED_VOLUMES};
    const double own_K = rating->water.temperature_K;
    if (own_K < tank->coldest_K || own_K > tank->warmest_K) {
        const int is_cold = own_K < tank->coldest_K;
        bf_notes_add(notes, BF_NOTE_CAUTION, is_cold ? "tank.coldest" : "tank.warmest",
                     "the %s water of the year, %s, is not as %s as the water of the rating, %s",
                     is_cold ? "coldest" : "warmest",
                     bf__both_temperature(is_cold ? tank->coldest_K : tank->warmest_K).text,
                     is_cold ? "cold" : "warm", bf__both_temperature(own_K).text);
    }
    asked_flow asked[FLOWS];
    flows_of(tank, rating, asked);
    for (size_t f = 0; f < FLOWS; f++) {
        for (size_t k = 0; k < sizeof told / sizeof *told; k++) {
            const double most = sheet->limit_m3_per_s[told[k]];
            if (is_more(asked[f].m3_per_s, most)) {
                bf_notes_add(notes, BF_NOTE_CAUTION, asked[f].key,
                             "the %s flow, %s, is more than %s at the limit of %s, %s",
                             asked[f].name, bf__both_flow(asked[f].m3_per_s).text,
                             bf__both_flow_at_most(most).text, bf_tank_limit_words(told[k]),
                             limit_words(tank, told[k], sheet->resin_m3).text);
            }
        }
    }
}

static bf_tank_sheet empty_sheet(const bf_tank_spec *tank, double temperature_K)
{
    const double nothing = (double)NAN;
    const bf_tank_backwash none = {nothing, nothing, nothing, nothing};
    bf_tank_sheet made = {.area_m2 = nothing,
                          .resin_m3 = nothing,
                          .bed_depth_m = nothing,
                          .freeboard_m = nothing,
                          .room = nothing,
                          .limit_m3_per_s = {nothing, nothing, nothing},
                          .rated_m3_per_s = nothing,
                          .rated_Pa = nothing,
                          .peak_Pa = nothing,
                          .average_Pa = nothing,
                          .bed_rated_Pa = nothing,
                          .cold_rated_Pa = nothing,
                          .warm_rated_Pa = nothing,
                          .cold = none,
                          .warm = none,
                          .one_flow_rise = nothing,
                          .drain_m3_per_s = nothing,
                          .regeneration_s = nothing,
                          .regeneration_m3 = nothing,
                          .brine_m3 = nothing,
                          .refill_m3 = nothing,
                          .saturate_s = nothing};
    /* fmin() and fmax() pass over what is not stated. */
    made.cold.temperature_K =
        isnan(tank->coldest_K) ? fmin(temperature_K, tank->warmest_K) : tank->coldest_K;
    made.warm.temperature_K =
        isnan(tank->warmest_K) ? fmax(temperature_K, tank->coldest_K) : tank->warmest_K;
    return made;
}

bf_status bf_tank_sheet_of(const bf_tank_spec *tank, const bf_rating_spec *rating,
                           bf_tank_sheet *out, bf_error *err)
{
    bf__regeneration_needs needs;
    bf_status status = bf_tank_spec_check(tank, err);
    *out = empty_sheet(tank, rating->water.temperature_K);
    if (status == BF_OK) {
        status = bf_rating_spec_check(rating, err);
    }
    if (status == BF_OK) {
        status = fill_geometry(tank, rating, out, err);
    }
    if (status == BF_OK) {
        status = fill_limits(tank, rating, out, err);
    }
    if (status == BF_OK) {
        status = fill_pressures(tank, rating, out, err);
    }
    if (status == BF_OK) {
        status = fill_backwash(tank, rating, out, &out->cold, err);
    }
    if (status == BF_OK) {
        status = fill_backwash(tank, rating, out, &out->warm, err);
    }
    if (status == BF_OK) {
        status = fill_one_flow(tank, rating, out, err);
    }
    if (status == BF_OK) {
        status = bf__regeneration_needs_of(rating, &needs, err);
    }
    if (status != BF_OK) {
        return status;
    }
    for (size_t s = 0; s < BF_RECIPE_STEPS; s++) {
        out->step_s[s] = needs.step_s[s];
    }
    out->drain_m3_per_s = needs.drain_m3_per_s;
    out->regeneration_s = needs.s;
    out->regeneration_m3 = needs.m3;
    out->brine_m3 = needs.brine_m3;
    out->refill_m3 = needs.refill_m3;
    out->saturate_s = needs.saturate_s;

    status = judge_backwash(tank, rating, out, err);
    if (status == BF_OK) {
        status = judge_drain(tank, rating, out, err);
    }
    return status == BF_OK ? judge_flows(tank, rating, out, err) : status;
}
