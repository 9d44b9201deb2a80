/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a rating sheet says of the vessel before any bed is simulated: room, flow, backwash. */
#include "brinefront/convert.h"
#include "report/sheet/sheet.h"

#include <math.h>

static const double of_all = (double)NAN;

static void vessel(const bf_rate_report *report, const bf_tank_sheet *sheet, bf__sheet *to)
{
    const char *group = "vessel";
    const bf_tank_spec *tank = &report->tank->spec;
    const double above_m = sheet->freeboard_m;
    (void)bf__sheet_add(to, group, of_all, BF__QUANTITY_LENGTH, report->page.rating->bed.diameter_m,
                        "inside diameter");
    (void)bf__sheet_add(to, group, of_all, BF__QUANTITY_LENGTH,
                        tank->underbedding_m + sheet->bed_depth_m + above_m, "inside height");
    (void)bf__sheet_add(to, group, of_all, BF__QUANTITY_AREA, sheet->area_m2, "cross-section");
    (void)bf__sheet_add(to, group, of_all, BF__QUANTITY_RESIN, sheet->resin_m3, "resin");
    (void)bf__sheet_add(to, group, of_all, BF__QUANTITY_LENGTH, sheet->bed_depth_m,
                        "depth of resin");
    (void)bf__sheet_add(to, group, of_all, BF__QUANTITY_LENGTH, tank->underbedding_m,
                        "underbedding");
    (void)bf__sheet_add(to, group, of_all, BF__QUANTITY_LENGTH, above_m, "freeboard");
    (void)bf__sheet_add(to, group, of_all, BF__QUANTITY_SHARE, sheet->room,
                        "rise that it holds, the resin swollen");
}

static void service(const bf_rate_report *report, const bf_tank_sheet *sheet, bf__sheet *to)
{
    const char *group = "service flow";
    const bf_tank_spec *tank = &report->tank->spec;
    static const char *const names[BF_TANK_LIMITS] = {
        [BF_TANK_PRESSURE] = "flow at the limit of pressure drop",
        [BF_TANK_VELOCITY] = "flow at the limit of velocity",
        [BF_TANK_BED_VOLUMES] = "flow at the limit of bed volumes"};
    const double rated = sheet->rated_m3_per_s;
    bf__sheet_item *item =
        bf__sheet_add(to, group, of_all, BF__QUANTITY_FLOW, rated, "rated service flow");
    (void)snprintf(item->words, sizeof item->words, "limited by %s",
                   bf_tank_limit_words(sheet->limited_by));
    (void)bf__sheet_add(to, group, of_all, BF__QUANTITY_VELOCITY, rated / sheet->area_m2,
                        "its velocity");
    (void)bf__sheet_add(to, group, of_all, BF__QUANTITY_BED_VOLUMES_PER_TIME,
                        rated / sheet->resin_m3, "per resin");
    for (int k = 0; k < BF_TANK_LIMITS; k++) {
        (void)bf__sheet_add(to, group, of_all, BF__QUANTITY_FLOW, sheet->limit_m3_per_s[k],
                            names[k]);
    }
    item = bf__sheet_add(to, group, of_all, BF__QUANTITY_FLOW,
                         bf_tank_public_supply_m_per_s() * sheet->area_m2,
                         "flow allowed to a public supply");
    (void)snprintf(item->words, sizeof item->words,
                   "7 gpm/ft2: Ten States Standards in 12VAC5-590-900");
    item = bf__sheet_add(to, group, of_all, BF__QUANTITY_PRESSURE, sheet->rated_Pa,
                         "pressure drop at rated flow");
    (void)snprintf(item->words, sizeof item->words, "bed and stated fittings");
    (void)bf__sheet_add(to, group, of_all, BF__QUANTITY_PRESSURE, sheet->bed_rated_Pa,
                        "of it the bed alone");
    (void)bf__sheet_add(to, group, of_all, BF__QUANTITY_PRESSURE, sheet->cold_rated_Pa,
                        "in the coldest water");
    (void)bf__sheet_add(to, group, of_all, BF__QUANTITY_PRESSURE, sheet->warm_rated_Pa,
                        "in the warmest water");
    if (!isnan(tank->peak_m3_per_s)) {
        (void)bf__sheet_add(to, group, of_all, BF__QUANTITY_FLOW, tank->peak_m3_per_s, "peak flow");
        (void)bf__sheet_add(to, group, of_all, BF__QUANTITY_PRESSURE, sheet->peak_Pa,
                            "pressure drop at peak flow");
    }
    if (!isnan(tank->average_m3_per_s)) {
        (void)bf__sheet_add(to, group, of_all, BF__QUANTITY_FLOW, tank->average_m3_per_s,
                            "average flow");
        (void)bf__sheet_add(to, group, of_all, BF__QUANTITY_PRESSURE, sheet->average_Pa,
                            "pressure drop at average flow");
    }
}

static void backwash_at(const bf_tank_backwash *at, const char *word, bf__sheet *to)
{
    const char *group = "backwash";
    char name[80];
    (void)snprintf(name, sizeof name, "%s water", word);
    (void)bf__sheet_add(to, group, of_all, BF__QUANTITY_TEMPERATURE, at->temperature_K, name);
    (void)snprintf(name, sizeof name, "flow for the wanted rise, %s", word);
    (void)bf__sheet_add(to, group, of_all, BF__QUANTITY_FLOW, at->flow_m3_per_s, name);
    if (!isnan(at->expansion)) {
        (void)snprintf(name, sizeof name, "rise by the case's backwash, %s", word);
        (void)bf__sheet_add(to, group, of_all, BF__QUANTITY_SHARE, at->expansion, name);
    }
    (void)snprintf(name, sizeof name, "flow that lifts beads to the top, %s", word);
    (void)bf__sheet_add(to, group, of_all, BF__QUANTITY_FLOW, at->carries_away_m3_per_s, name);
}

static void backwash(const bf_rate_report *report, const bf_tank_sheet *sheet, bf__sheet *to)
{
    const char *group = "backwash";
    const bf_tank_spec *tank = &report->tank->spec;
    (void)bf__sheet_add(to, group, of_all, BF__QUANTITY_SHARE, tank->expansion, "wanted rise");
    backwash_at(&sheet->cold, "coldest", to);
    backwash_at(&sheet->warm, "warmest", to);
    bf__sheet_item *item =
        bf__sheet_add(to, group, of_all, BF__QUANTITY_SHARE, sheet->one_flow_rise,
                      "rise in coldest water by warmest's flow");
    (void)snprintf(item->words, sizeof item->words, "%s",
                   sheet->one_flow_rise <= sheet->room + 1e-9
                       ? "fits: one flow serves the year"
                       : "does not fit: set the flow by season");
    (void)bf__sheet_add_words(to, group, "wanted and own rise fit the vessel",
                              sheet->backwash_fits ? "yes" : "no");
    item = bf__sheet_add(to, group, of_all, BF__QUANTITY_FLOW, sheet->drain_m3_per_s,
                         "largest flow to the drain");
    if (!isnan(tank->drain_m3_per_s)) {
        (void)bf__sheet_add(to, group, of_all, BF__QUANTITY_FLOW, tank->drain_m3_per_s,
                            "what the drain takes");
    } else {
        (void)snprintf(item->words, sizeof item->words, "the drain must take it");
    }
}

void bf__sheet_vessel(const bf_rate_report *report, bf__sheet *to)
{
    vessel(report, &report->study->sheet, to);
    service(report, &report->study->sheet, to);
    backwash(report, &report->study->sheet, to);
}
