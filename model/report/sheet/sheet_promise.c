/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The quantities of a band as a sheet shows them, and what the sheet promises of them. */
#include "report/sheet/sheet_promise.h"

#include "brinefront/convert.h"

#include <math.h>

const bf__sheet_quantity bf__sheet_quantities[BF_BAND_QUANTITIES] = {
    [BF_BAND_CAPACITY] = {"capacity", BF__QUANTITY_HELD_CACO3, 0},
    [BF_BAND_LEAKAGE] = {"mean leakage", BF__QUANTITY_LEAKAGE, 1},
    [BF_BAND_EFFICIENCY] = {"per salt", BF__QUANTITY_EFFICIENCY, 0},
};

double bf__sheet_of_tank(const bf_rate_report *report, const bf_tank_dose *dose,
                         bf_band_quantity quantity, double value)
{
    const double held_kg = bf_bed_volume_m3(&report->study->rating.bed) * 1e-3 * BF_G_CACO3_PER_EQ;
    const double per_salt = dose->point.dose_eq_per_m3 * 1e-3 * BF_G_CACO3_PER_EQ /
                            dose->point.dose_kg_per_m3; /* kg CaCO3 per kg for eq per eq */
    if (!(value > 0.0 && isfinite(value))) {
        return (double)NAN; /* the samples there have no rating */
    }
    return quantity == BF_BAND_CAPACITY     ? value * held_kg
           : quantity == BF_BAND_EFFICIENCY ? value * per_salt
                                            : value;
}

double bf__sheet_promised_efficiency(const bf_rate_report *report, bf_criterion_id id)
{
    const bf_tank_dose *least = &report->study->dose[report->study->least];
    const int is_efficiency = id == BF_CRITERION_EFFICIENCY_RATED ||
                              id == BF_CRITERION_EFFICIENCY_STATE ||
                              id == BF_CRITERION_EFFICIENCY_DISTRICT;
    if (!is_efficiency || !least->has_band) {
        return (double)NAN;
    }
    return bf__quantity_show(BF__QUANTITY_EFFICIENCY, BF_UNITS_US,
                             bf__sheet_of_tank(report, least, BF_BAND_EFFICIENCY,
                                               least->span[BF_BAND_EFFICIENCY].practical));
}

int bf__sheet_promise_fails(const bf_rate_report *report, bf_criterion_id id)
{
    const bf_criterion *criterion = &report->study->criterion[id];
    return criterion->holds &&
           bf__sheet_promised_efficiency(report, id) < criterion->limit; /* NAN: no */
}
