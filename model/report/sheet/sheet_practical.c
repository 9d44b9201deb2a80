/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What stands on top of a rating sheet: the numbers that are promised, every one of them on its
 * unfavourable side. */
#include "report/sheet/sheet_parts.h"
#include "report/sheet/sheet_promise.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static const char *const heading = "practical rating";

static void one_dose(const bf_rate_report *report, const bf_tank_dose *dose, bf__sheet *sheet)
{
    const bf__sheet_group group =
        bf__sheet_group_of_dose(sheet, heading, dose->point.dose_kg_per_m3);
    if (!dose->has_band) {
        return;
    }
    for (size_t q = 0; q < BF_BAND_QUANTITIES; q++) {
        const bf__sheet_quantity *shown = &bf__sheet_quantities[q];
        const double value =
            bf__sheet_of_tank(report, dose, (bf_band_quantity)q, dose->span[q].practical);
        bf__sheet_item *item = bf__sheet_add(&group, shown->quantity, value, "%s, at %s",
                                             shown->name, shown->up ? "most" : "least");
        bf__sheet_round(item, shown->up);
        if (dose->unrated > 0 && q == BF_BAND_CAPACITY) {
            bf__sheet_say(item, "%zu of %zu samples %s no rating%s", dose->unrated,
                          report->study->samples, dose->unrated == 1 ? "has" : "have",
                          isnan(value) ? ": no practical capacity" : "");
        }
    }
    bf__sheet_round(bf__sheet_add(&group, BF__QUANTITY_MASS, dose->tank.salt_kg, "salt, at most"),
                    1);
}

static void add_name(char *list, size_t room, const char *ahead, const char *name)
{
    const size_t length = strlen(list);
    (void)snprintf(list + length, room - length, "%s%s", length == 0 ? ahead : "; ", name);
}

static void criteria(const bf_rate_report *report, const bf__sheet_group *group)
{
    size_t hold = 0;
    char fail[320] = "";
    char promised[180] = "";
    for (size_t k = 0; k < BF_CRITERIA; k++) {
        const bf_criterion *criterion = &report->study->criterion[k];
        hold += criterion->holds ? 1 : 0;
        if (!criterion->holds) {
            add_name(fail, sizeof fail, "; not: ", criterion->name);
        } else if (bf__sheet_promise_fails(report, (bf_criterion_id)k)) {
            add_name(promised, sizeof promised, "; not as a practical rating: ", criterion->name);
        }
    }
    bf__sheet_add_words(group, "published criteria that hold", "%zu of %d%s%s", hold, BF_CRITERIA,
                        fail, promised);
}

void bf__sheet_practical(const bf_rate_report *report, bf__sheet *sheet)
{
    const bf_tank_study *study = report->study;
    const bf_tank_sheet *tank = &study->sheet;
    const bf__sheet_group group = bf__sheet_group_of_all(sheet, heading);
    for (size_t d = 0; d < study->count; d++) {
        one_dose(report, &study->dose[d], sheet);
    }
    bf__sheet_round(bf__sheet_add(&group, BF__QUANTITY_FLOW, tank->rated_m3_per_s,
                                  "rated service flow, at most"),
                    0);
    bf__sheet_round(bf__sheet_add(&group, BF__QUANTITY_PRESSURE, tank->cold_rated_Pa,
                                  "pressure drop there, coldest water"),
                    1);
    bf__sheet_add_words(&group, "backwash, as stated and as wanted",
                        !tank->backwash_fits ? "does not fit the vessel"
                        : tank->one_flow_rise <= tank->room + 1e-9
                            ? "fits; one flow serves the year"
                            : "fits in the coldest water; set by season");
    criteria(report, &group);
    bf__sheet_add_words(
        &group, "rated under",
        report->tank->protocol == BF_PROTOCOL_OWN
            ? "the case as it stands"
            : "published test: 342 mg/L (20 gpg) of hardness, half of the rated flow, counted to "
              "1 gpg, the bed exhausted to 10 gpg before each regeneration");
    bf__sheet_add_words(
        &group, "how",
        "the unfavourable %.4g %% of the band, %zu samples of its uncertain constants; "
        "every figure here rounded to the unfavourable side, 3 digits",
        100.0 * report->tank->quantile, study->samples);
}
