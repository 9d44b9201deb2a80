/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Whether vessel, bed and recipe go together, and the nearest value where they do not.
 *
 *     resin     fits where the room (tank_sheet.c) is not below zero
 *     backwash  fits where the wanted rise, and that of the recipe's own flow in the coldest water,
 *               are no more than the room
 *     drain     takes each step's flow
 *     service   peak, average and own flow are no more than that of the pressure limit; velocity
 *               and bed volumes only caution (docs/decisions/limits.md)
 *
 * Where no height is stated nothing fails for the room, as a case's freeboard may be a guess of its
 * water and no vessel. What is named as the nearest is rounded to the side that holds.
 */
#include "rating/tank/tank_fit.h"

#include "brinefront/band.h"
#include "brinefront/convert.h"
#include "rating/practice/both_units.h"
#include "rating/tank/regeneration_needs.h"
#include "rating/tank/tank_fill.h"

#include <math.h>
#include <stdio.h>

static const char where[] = "bf_tank_sheet_of";

/* A limit that is reached is not broken by rounding. */
static const double rounding = 1e-9;

/* The fastest backwash of a recipe; NULL without one. */
const bf_step *bf__tank_backwash_of(const bf_recipe *recipe)
{
    const bf_step *found = NULL;
    for (size_t s = 0; s < recipe->count; s++) {
        const bf_step *step = &recipe->step[s];
        if (step->type->role == BF_ROLE_BACKWASH &&
            (found == NULL || step->velocity_m_per_s > found->velocity_m_per_s)) {
            found = step;
        }
    }
    return found;
}

bf_status bf__tank_fit_resin(const bf_tank_spec *tank, const bf_rating_spec *rating,
                             const bf_tank_sheet *sheet, bf_error *err)
{
    if (isnan(tank->height_m) || sheet->room >= -rounding) {
        return BF_OK;
    }
    const double holds_m = tank->height_m - tank->underbedding_m;
    const double most_m3 = sheet->area_m2 * bf__tank_deepest_m(tank);
    const double lifted_m3 = sheet->area_m2 * bf__tank_deepest_lifted_m(tank);
    char lifted[120] = "";
    if (bf__tank_backwash_of(&rating->recipe) != NULL && !isnan(tank->wanted_rise)) {
        (void)snprintf(lifted, sizeof lifted, ", and at most %s to be lifted by %.3g %%",
                       bf__both_at_most(BF__QUANTITY_RESIN, lifted_m3).text,
                       100.0 * tank->wanted_rise);
    }
    return bf_error_set(err, BF_E_RANGE, where,
                        "the resin, %s deep and swollen by %.3g %%, does not go into the %s "
                        "that the vessel holds above the underbedding; fill in at most %s%s",
                        bf__both(BF__QUANTITY_LENGTH, sheet->bed_depth_m).text,
                        100.0 * tank->swelling, bf__both(BF__QUANTITY_LENGTH, holds_m).text,
                        bf__both_at_most(BF__QUANTITY_RESIN, most_m3).text, lifted);
}

static bf_status judge_backwash(const bf_tank_spec *tank, const bf_rating_spec *rating,
                                bf_tank_sheet *sheet, bf_error *err)
{
    const double most = sheet->room + rounding;
    const int wanted_fits = isnan(tank->wanted_rise) || tank->wanted_rise <= most;
    const int own_fits = isnan(sheet->cold.rise) || sheet->cold.rise <= most;
    sheet->backwash_fits = wanted_fits && own_fits;
    const bf_step *own = bf__tank_backwash_of(&rating->recipe);
    if (sheet->backwash_fits || own == NULL || isnan(tank->height_m)) {
        return BF_OK;
    }
    if (!wanted_fits) {
        const double less_m3 = sheet->area_m2 * bf__tank_deepest_lifted_m(tank);
        return bf_error_set(
            err, BF_E_RANGE, where,
            "a rise of %.3g %% in backwash does not fit: the freeboard of %s holds "
            "%.3g %% over the swollen bed; want at most that, or fill in at most %s "
            "of resin",
            100.0 * tank->wanted_rise, bf__both(BF__QUANTITY_LENGTH, sheet->freeboard_m).text,
            bf_round_down(100.0 * fmax(sheet->room, 0.0), 3),
            bf__both_at_most(BF__QUANTITY_RESIN, less_m3).text);
    }
    const double flow_m3_per_s = own->velocity_m_per_s * sheet->area_m2;
    return bf_error_set(
        err, BF_E_RANGE, where,
        "backwash at %s lifts beads out of the vessel in the coldest water, %s: "
        "the freeboard of %s holds a rise of %.3g %%; backwash with at most %s",
        bf__both(BF__QUANTITY_FLOW, flow_m3_per_s).text,
        bf__both(BF__QUANTITY_TEMPERATURE, sheet->cold.temperature_K).text,
        bf__both(BF__QUANTITY_LENGTH, sheet->freeboard_m).text, 100.0 * sheet->room,
        bf__both_at_most(BF__QUANTITY_FLOW, sheet->cold.carries_away_m3_per_s).text);
}

static int is_more(double m3_per_s, double limit_m3_per_s)
{
    return m3_per_s > limit_m3_per_s * (1.0 + rounding); /* not where one is not asked */
}

/* Every step that gives more than the drain takes, so that one look at the message cures all. */
static bf_status judge_drain(const bf_tank_spec *tank, const bf_rating_spec *rating,
                             const bf_tank_sheet *sheet, bf_error *err)
{
    const bf_site site = bf_rating_site(rating);
    char steps[300] = "";
    size_t length = 0;
    for (size_t s = 0; s < rating->recipe.count; s++) {
        const bf_step *step = &rating->recipe.step[s];
        bf_step_needs needs;
        bf_status status = step->type->needs(step, &site, &needs, err);
        if (status != BF_OK) {
            return status;
        }
        const double m3_per_s = needs.drain_m_per_s * sheet->area_m2; /* 0: it does not drain */
        if (is_more(m3_per_s, tank->drain_m3_per_s) && length < sizeof steps) {
            const int more = snprintf(steps + length, sizeof steps - length, "%sthe %s gives %s",
                                      length == 0 ? "" : ", ", step->type->name,
                                      bf__both(BF__QUANTITY_FLOW, m3_per_s).text);
            length += (size_t)more;
        }
    }
    if (length == 0) {
        return BF_OK;
    }
    return bf_error_set(err, BF_E_RANGE, where,
                        "%s, and the drain takes %s: lower the flow of each such step to that",
                        steps, bf__both_at_most(BF__QUANTITY_FLOW, tank->drain_m3_per_s).text);
}

/* The limit in its own measure. */
static bf__words limit_words(const bf_tank_spec *tank, bf_tank_limit limit)
{
    switch (limit) {
    case BF_TANK_PRESSURE: return bf__both(BF__QUANTITY_PRESSURE, tank->pressure_limit_Pa);
    case BF_TANK_VELOCITY: return bf__both(BF__QUANTITY_VELOCITY, tank->velocity_limit_m_per_s);
    default: break;
    }
    return bf__both(BF__QUANTITY_BED_VOLUMES_PER_TIME, tank->bed_volumes_per_h_limit / BF_S_PER_H);
}

/* The flows that are asked for. */
enum { FLOWS = 3 };
typedef struct wanted_flow {
    const char *name, *key;
    double m3_per_s;
} wanted_flow;

static void flows_of(const bf_tank_spec *tank, const bf_rating_spec *rating, wanted_flow out[FLOWS])
{
    const double service = rating->recipe.step[0].velocity_m_per_s * bf_bed_area_m2(&rating->bed);
    out[0] = (wanted_flow){"peak", "tank.peak_flow", tank->peak_m3_per_s};
    out[1] = (wanted_flow){"average", "tank.average_flow", tank->average_m3_per_s};
    out[2] = (wanted_flow){"service", "service.flow", service};
}

/* Pressure is what a pump has or has not; the other limits are rules: docs/decisions/limits.md. */
static bf_status judge_flows(const bf_tank_spec *tank, const bf_rating_spec *rating,
                             const bf_tank_sheet *sheet, bf_error *err)
{
    const double most = sheet->limit_m3_per_s[BF_TANK_PRESSURE];
    wanted_flow flows[FLOWS];
    flows_of(tank, rating, flows);
    for (size_t f = 0; f < FLOWS; f++) {
        if (is_more(flows[f].m3_per_s, most)) {
            return bf_error_set(
                err, BF_E_RANGE, where,
                "the %s flow, %s, breaks the limit of %s, %s: at most %s passes this bed",
                flows[f].name, bf__both(BF__QUANTITY_FLOW, flows[f].m3_per_s).text,
                bf_tank_limit_words(BF_TANK_PRESSURE), limit_words(tank, BF_TANK_PRESSURE).text,
                bf__both_at_most(BF__QUANTITY_FLOW, most).text);
        }
    }
    return BF_OK;
}

void bf_tank_notes(const bf_tank_spec *tank, const bf_rating_spec *rating,
                   const bf_tank_sheet *sheet, bf_notes *notes)
{
    static const bf_tank_limit rules[] = {BF_TANK_VELOCITY, BF_TANK_BED_VOLUMES};
    const double own_K = rating->water.temperature_K;
    if (own_K < tank->coldest_K || own_K > tank->warmest_K) {
        const int is_cold = own_K < tank->coldest_K;
        bf_notes_add(
            notes, BF_NOTE_CAUTION, is_cold ? "tank.coldest" : "tank.warmest",
            "the %s water of the year, %s, is not as %s as the water of the rating, %s",
            is_cold ? "coldest" : "warmest",
            bf__both(BF__QUANTITY_TEMPERATURE, is_cold ? tank->coldest_K : tank->warmest_K).text,
            is_cold ? "cold" : "warm", bf__both(BF__QUANTITY_TEMPERATURE, own_K).text);
    }
    wanted_flow flows[FLOWS];
    flows_of(tank, rating, flows);
    for (size_t f = 0; f < FLOWS; f++) {
        for (size_t k = 0; k < sizeof rules / sizeof *rules; k++) {
            const double most = sheet->limit_m3_per_s[rules[k]];
            if (is_more(flows[f].m3_per_s, most)) {
                bf_notes_add(notes, BF_NOTE_CAUTION, flows[f].key,
                             "the %s flow, %s, is more than %s at the limit of %s, %s",
                             flows[f].name, bf__both(BF__QUANTITY_FLOW, flows[f].m3_per_s).text,
                             bf__both_at_most(BF__QUANTITY_FLOW, most).text,
                             bf_tank_limit_words(rules[k]), limit_words(tank, rules[k]).text);
            }
        }
    }
}

bf_status bf__tank_fit(const bf_tank_spec *tank, const bf_rating_spec *rating, bf_tank_sheet *sheet,
                       bf_error *err)
{
    bf_status status = judge_backwash(tank, rating, sheet, err);
    if (status == BF_OK) {
        status = judge_drain(tank, rating, sheet, err);
    }
    return status == BF_OK ? judge_flows(tank, rating, sheet, err) : status;
}
