/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a rating sheet says of the vessel before any bed is simulated: room, flow, backwash. */
#include "report/sheet/sheet_parts.h"

#include <math.h>

static void vessel(const bf_rate_report *report, bf__sheet *sheet)
{
    const bf__sheet_group group = bf__sheet_group_of_all(sheet, "vessel");
    const bf_tank_spec *tank = &report->tank->spec;
    const bf_tank_sheet *room = &report->study->sheet;
    bf__sheet_add(&group, BF__QUANTITY_LENGTH, report->page.rating->bed.diameter_m,
                  "inside diameter");
    bf__sheet_add(&group, BF__QUANTITY_LENGTH,
                  tank->underbedding_m + room->bed_depth_m + room->freeboard_m, "inside height");
    bf__sheet_add(&group, BF__QUANTITY_AREA, room->area_m2, "cross-section");
    bf__sheet_add(&group, BF__QUANTITY_RESIN, room->resin_m3, "resin");
    bf__sheet_add(&group, BF__QUANTITY_LENGTH, room->bed_depth_m, "depth of resin");
    bf__sheet_add(&group, BF__QUANTITY_LENGTH, tank->underbedding_m, "underbedding");
    bf__sheet_add(&group, BF__QUANTITY_LENGTH, room->freeboard_m, "freeboard");
    bf__sheet_add(&group, BF__QUANTITY_SHARE, room->room, "rise that it holds, the resin swollen");
}

static void service(const bf_rate_report *report, bf__sheet *sheet)
{
    const bf__sheet_group group = bf__sheet_group_of_all(sheet, "service flow");
    const bf_tank_spec *tank = &report->tank->spec;
    const bf_tank_sheet *flow = &report->study->sheet;
    static const char *const names[BF_TANK_LIMITS] = {
        [BF_TANK_PRESSURE] = "flow at the limit of pressure drop",
        [BF_TANK_VELOCITY] = "flow at the limit of velocity",
        [BF_TANK_BED_VOLUMES] = "flow at the limit of bed volumes"};
    const double rated = flow->rated_m3_per_s;
    bf__sheet_say(bf__sheet_add(&group, BF__QUANTITY_FLOW, rated, "rated service flow"),
                  "limited by %s", bf_tank_limit_words(flow->limited_by));
    bf__sheet_add(&group, BF__QUANTITY_VELOCITY, rated / flow->area_m2, "its velocity");
    bf__sheet_add(&group, BF__QUANTITY_BED_VOLUMES_PER_TIME, rated / flow->resin_m3, "per resin");
    for (int k = 0; k < BF_TANK_LIMITS; k++) {
        bf__sheet_add(&group, BF__QUANTITY_FLOW, flow->limit_m3_per_s[k], "%s", names[k]);
    }
    bf__sheet_say(bf__sheet_add(&group, BF__QUANTITY_FLOW,
                                bf_tank_public_supply_m_per_s() * flow->area_m2,
                                "flow allowed to a public supply"),
                  "7 gpm/ft2: Ten States Standards in 12VAC5-590-900");
    bf__sheet_say(
        bf__sheet_add(&group, BF__QUANTITY_PRESSURE, flow->rated_Pa, "pressure drop at rated flow"),
        "bed and stated fittings");
    bf__sheet_add(&group, BF__QUANTITY_PRESSURE, flow->bed_rated_Pa, "of it the bed alone");
    bf__sheet_add(&group, BF__QUANTITY_PRESSURE, flow->cold_rated_Pa, "in the coldest water");
    bf__sheet_add(&group, BF__QUANTITY_PRESSURE, flow->warm_rated_Pa, "in the warmest water");
    if (!isnan(tank->peak_m3_per_s)) {
        bf__sheet_add(&group, BF__QUANTITY_FLOW, tank->peak_m3_per_s, "peak flow");
        bf__sheet_add(&group, BF__QUANTITY_PRESSURE, flow->peak_Pa, "pressure drop at peak flow");
    }
    if (!isnan(tank->average_m3_per_s)) {
        bf__sheet_add(&group, BF__QUANTITY_FLOW, tank->average_m3_per_s, "average flow");
        bf__sheet_add(&group, BF__QUANTITY_PRESSURE, flow->average_Pa,
                      "pressure drop at average flow");
    }
}

static void backwash_in(const bf__sheet_group *group, const bf_tank_backwash *season,
                        const char *word)
{
    bf__sheet_add(group, BF__QUANTITY_TEMPERATURE, season->temperature_K, "%s water", word);
    bf__sheet_add(group, BF__QUANTITY_FLOW, season->flow_m3_per_s, "flow for the wanted rise, %s",
                  word);
    if (!isnan(season->rise)) {
        bf__sheet_add(group, BF__QUANTITY_SHARE, season->rise, "rise by the case's backwash, %s",
                      word);
    }
    bf__sheet_add(group, BF__QUANTITY_FLOW, season->carries_away_m3_per_s,
                  "flow that lifts beads to the top, %s", word);
}

static void backwash(const bf_rate_report *report, bf__sheet *sheet)
{
    const bf__sheet_group group = bf__sheet_group_of_all(sheet, "backwash");
    const bf_tank_spec *tank = &report->tank->spec;
    const bf_tank_sheet *flow = &report->study->sheet;
    bf__sheet_add(&group, BF__QUANTITY_SHARE, tank->wanted_rise, "wanted rise");
    backwash_in(&group, &flow->cold, "coldest");
    backwash_in(&group, &flow->warm, "warmest");
    bf__sheet_say(bf__sheet_add(&group, BF__QUANTITY_SHARE, flow->one_flow_rise,
                                "rise in coldest water by warmest's flow"),
                  flow->one_flow_rise <= flow->room + 1e-9
                      ? "fits: one flow serves the year"
                      : "does not fit: set the flow by season");
    bf__sheet_add_words(&group, "wanted and own rise fit the vessel",
                        flow->backwash_fits ? "yes" : "no");
    bf__sheet_item *drain =
        bf__sheet_add(&group, BF__QUANTITY_FLOW, flow->drain_m3_per_s, "largest flow to the drain");
    if (!isnan(tank->drain_m3_per_s)) {
        bf__sheet_add(&group, BF__QUANTITY_FLOW, tank->drain_m3_per_s, "what the drain takes");
    } else {
        bf__sheet_say(drain, "the drain must take it");
    }
}

void bf__sheet_vessel(const bf_rate_report *report, bf__sheet *sheet)
{
    vessel(report, sheet);
    service(report, sheet);
    backwash(report, sheet);
}
