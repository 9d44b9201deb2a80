/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What stands on top of a rating sheet: the numbers that are promised, every one of them on its
 * unfavourable side. */
#include "brinefront/convert.h"
#include "report/sheet/sheet.h"

#include <math.h>
#include <string.h>

static const char *const group = "practical rating";
static const double of_all = (double)NAN;

bf__sheet_quantity bf__sheet_quantity_of(bf_band_quantity what)
{
    switch (what) {
    case BF_BAND_CAPACITY: return (bf__sheet_quantity){"capacity", BF__QUANTITY_HELD_CACO3, 0};
    case BF_BAND_LEAKAGE: return (bf__sheet_quantity){"mean leakage", BF__QUANTITY_LEAKAGE, 1};
    case BF_BAND_EFFICIENCY: return (bf__sheet_quantity){"per salt", BF__QUANTITY_EFFICIENCY, 0};
    case BF_BAND_QUANTITIES: break;
    }
    return (bf__sheet_quantity){"unknown", BF__QUANTITY_PLAIN, 0};
}

double bf__sheet_of_tank(const bf_rate_report *report, const bf_tank_dose *of,
                         bf_band_quantity what, double value)
{
    const double held_kg = bf_bed_volume_m3(&report->study->rating.bed) * 1e-3 * BF_G_CACO3_PER_EQ;
    const double per_salt = of->point.dose_eq_per_m3 * 1e-3 * BF_G_CACO3_PER_EQ /
                            of->point.dose_kg_per_m3; /* kg CaCO3 per kg for eq per eq */
    if (!(value > 0.0 && isfinite(value))) {
        return (double)NAN; /* the samples there have no rating */
    }
    return what == BF_BAND_CAPACITY     ? value * held_kg
           : what == BF_BAND_EFFICIENCY ? value * per_salt
                                        : value;
}

static void at_dose(const bf_rate_report *report, const bf_tank_dose *of, bf__sheet *to)
{
    const double dose = of->point.dose_kg_per_m3;
    char name[80];
    for (size_t q = 0; q < BF_BAND_QUANTITIES && of->has_band; q++) {
        const bf_band_quantity what = (bf_band_quantity)q;
        const bf__sheet_quantity told = bf__sheet_quantity_of(what);
        const double value = bf__sheet_of_tank(report, of, what, of->span[q].practical);
        (void)snprintf(name, sizeof name, "%s, at %s", told.name, told.up ? "most" : "least");
        bf__sheet_item *item =
            bf__sheet_add_rounded(to, group, dose, told.kind, value, told.up, name);
        if (of->unrated > 0 && what == BF_BAND_CAPACITY) {
            (void)snprintf(item->words, sizeof item->words, "%zu of %zu samples %s no rating%s",
                           of->unrated, report->study->samples, of->unrated == 1 ? "has" : "have",
                           isnan(value) ? ": no practical capacity" : "");
        }
    }
    if (of->has_band) {
        (void)bf__sheet_add_rounded(to, group, dose, BF__QUANTITY_MASS, of->tank.salt_kg, 1,
                                    "salt, at most");
    }
}

static void add_name(char *to, size_t room, const char *ahead, const char *name)
{
    const size_t length = strlen(to);
    (void)snprintf(to + length, room - length, "%s%s", length == 0 ? ahead : "; ", name);
}

static void criteria(const bf_rate_report *report, bf__sheet *to)
{
    size_t hold = 0;
    char fail[320] = "";
    char promised[180] = "";
    char words[400];
    for (size_t k = 0; k < BF_CRITERIA; k++) {
        const bf_criterion *of = &report->study->criterion[k];
        hold += of->holds ? 1 : 0;
        if (!of->holds) {
            add_name(fail, sizeof fail, "; not: ", of->name);
        } else if (bf__sheet_promise_fails(report, (bf_criterion_id)k)) {
            add_name(promised, sizeof promised, "; not as a practical rating: ", of->name);
        }
    }
    (void)snprintf(words, sizeof words, "%zu of %d%s%s", hold, BF_CRITERIA, fail, promised);
    (void)bf__sheet_add_words(to, group, "published criteria that hold", words);
}

void bf__sheet_practical(const bf_rate_report *report, bf__sheet *to)
{
    const bf_tank_study *study = report->study;
    const bf_tank_sheet *sheet = &study->sheet;
    char words[400];
    for (size_t d = 0; d < study->count; d++) {
        at_dose(report, &study->dose[d], to);
    }
    (void)bf__sheet_add_rounded(to, group, of_all, BF__QUANTITY_FLOW, sheet->rated_m3_per_s, 0,
                                "rated service flow, at most");
    (void)bf__sheet_add_rounded(to, group, of_all, BF__QUANTITY_PRESSURE, sheet->cold_rated_Pa, 1,
                                "pressure drop there, coldest water");
    (void)bf__sheet_add_words(to, group, "backwash, as stated and as wanted",
                              !sheet->backwash_fits ? "does not fit the vessel"
                              : sheet->one_flow_rise <= sheet->room + 1e-9
                                  ? "fits; one flow serves the year"
                                  : "fits in the coldest water; set by season");
    criteria(report, to);
    (void)bf__sheet_add_words(
        to, group, "rated under",
        report->tank->protocol == BF_PROTOCOL_OWN
            ? "the case as it stands"
            : "published test: 342 mg/L (20 gpg) of hardness, half of the rated flow, counted to "
              "1 gpg, the bed exhausted to 10 gpg before each regeneration");
    (void)snprintf(words, sizeof words,
                   "the unfavourable %.4g %% of the band, %zu samples of its uncertain constants; "
                   "every figure here rounded to the unfavourable side, 3 digits",
                   100.0 * report->tank->quantile, study->samples);
    (void)bf__sheet_add_words(to, group, "how", words);
}
