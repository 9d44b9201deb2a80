/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The sheet of a vessel: everything that follows from vessel, bed and recipe.
 *
 *     room          = (height - underbedding)/(L (1 + s)) - 1
 *     rated flow    = the least of: the flow of the pressure limit in water as the case has it, the
 *                     velocity limit times area, the limit of bed volumes an hour times resin
 *
 * L settled depth, s swelling. The rise counts over the swollen bed. Where no height is stated the
 * bed's own freeboard stands in for the vessel. Whether all this goes together: tank_fit.c.
 */
#include "brinefront/convert.h"
#include "brinefront/hydraulics.h"
#include "brinefront/tank.h"
#include "rating/practice/both_units.h"
#include "rating/tank/regeneration_needs.h"
#include "rating/tank/tank_fit.h"
#include "rating/tank/tank_pressure.h"

#include <math.h>

static const char where[] = "bf_tank_sheet_of";

static bf_status fill_geometry(const bf_tank_spec *tank, const bf_rating_spec *rating,
                               bf_tank_sheet *out, bf_error *err)
{
    const bf_bed_spec *bed = &rating->bed;
    if (!isnan(tank->diameter_m) && !(fabs(tank->diameter_m / bed->diameter_m - 1.0) <= 1e-3)) {
        return bf_error_set(err, BF_E_RANGE, where,
                            "the bed is %s across and the vessel %s: make them one",
                            bf__both(BF__QUANTITY_LENGTH, bed->diameter_m).text,
                            bf__both(BF__QUANTITY_LENGTH, tank->diameter_m).text);
    }
    const double holds_m = isnan(tank->height_m) ? bed->depth_m + bed->freeboard_m
                                                 : tank->height_m - tank->underbedding_m;
    const double swollen_m = bed->depth_m * (1.0 + tank->swelling);
    out->area_m2 = bf_bed_area_m2(bed);
    out->resin_m3 = bf_bed_volume_m3(bed);
    out->bed_depth_m = bed->depth_m;
    out->freeboard_m = holds_m - bed->depth_m;
    out->room = holds_m / swollen_m - 1.0;
    return bf__tank_fit_resin(tank, rating, out, err);
}

static bf_status fill_limits(const bf_tank_spec *tank, const bf_rating_spec *rating,
                             bf_tank_sheet *out, bf_error *err)
{
    double *limit = out->limit_m3_per_s;
    bf__pressure_law law;
    bf_status status =
        bf__pressure_law_of(tank, &rating->bed.resin, rating->water.temperature_K, &law, err);
    if (status != BF_OK) {
        return status;
    }
    limit[BF_TANK_PRESSURE] =
        bf__pressure_flow_m3_per_s(&law, out->bed_depth_m, out->area_m2, tank->pressure_limit_Pa);
    limit[BF_TANK_VELOCITY] = tank->velocity_limit_m_per_s * out->area_m2;
    limit[BF_TANK_BED_VOLUMES] = tank->bed_volumes_per_h_limit / BF_S_PER_H * out->resin_m3;
    out->limited_by = BF_TANK_PRESSURE;
    for (int k = 0; k < BF_TANK_LIMITS; k++) {
        if (limit[k] < limit[out->limited_by]) { /* never of one that is not asked */
            out->limited_by = (bf_tank_limit)k;
        }
    }
    out->rated_m3_per_s = limit[out->limited_by];
    return BF_OK;
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
    } drop[] = {{tank, out->rated_m3_per_s, temperature_K, &out->rated_Pa},
                {tank, tank->peak_m3_per_s, temperature_K, &out->peak_Pa},
                {tank, tank->average_m3_per_s, temperature_K, &out->average_Pa},
                {&no_fittings, out->rated_m3_per_s, temperature_K, &out->bed_rated_Pa},
                {tank, out->rated_m3_per_s, out->cold.temperature_K, &out->cold_rated_Pa},
                {tank, out->rated_m3_per_s, out->warm.temperature_K, &out->warm_rated_Pa}};
    bf_status status = BF_OK;
    for (size_t k = 0; k < sizeof drop / sizeof *drop && status == BF_OK; k++) {
        if (!isnan(drop[k].m3_per_s)) {
            status = bf_tank_pressure_Pa(drop[k].tank, &rating->bed, drop[k].m3_per_s,
                                         drop[k].temperature_K, drop[k].Pa, err);
        }
    }
    return status;
}

static bf_status fill_backwash(const bf_tank_spec *tank, const bf_rating_spec *rating,
                               const bf_tank_sheet *sheet, bf_tank_backwash *out, bf_error *err)
{
    const bf_resin *resin = &rating->bed.resin;
    const size_t classes = rating->bed.bead_classes;
    const bf_step *own = bf__tank_backwash_of(&rating->recipe);
    bf_fluid water;
    bf_status status = bf_fluid_of_water(out->temperature_K, &water, err);
    if (status != BF_OK) {
        return status;
    }
    if (!isnan(tank->wanted_rise)) {
        out->flow_m3_per_s =
            sheet->area_m2 * bf_graded_velocity_m_per_s(&water, resin, classes, tank->wanted_rise);
    }
    if (own != NULL) {
        out->rise = bf_graded_rise(&water, resin, classes, own->velocity_m_per_s);
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
    if (status == BF_OK && !isnan(tank->wanted_rise)) {
        out->one_flow_rise = bf_graded_rise(&coldest, &rating->bed.resin, rating->bed.bead_classes,
                                            out->warm.flow_m3_per_s / out->area_m2);
    }
    return status;
}

static bf_tank_sheet empty_sheet(const bf_tank_spec *tank, double temperature_K)
{
    const double nothing = (double)NAN;
    const bf_tank_backwash none = {nothing, nothing, nothing, nothing};
    bf_tank_sheet sheet = {.area_m2 = nothing,
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
    sheet.cold.temperature_K =
        isnan(tank->coldest_K) ? fmin(temperature_K, tank->warmest_K) : tank->coldest_K;
    sheet.warm.temperature_K =
        isnan(tank->warmest_K) ? fmax(temperature_K, tank->coldest_K) : tank->warmest_K;
    return sheet;
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
    out->regeneration_s = needs.duration_s;
    out->regeneration_m3 = needs.water_m3;
    out->brine_m3 = needs.brine_m3;
    out->refill_m3 = needs.refill_m3;
    out->saturate_s = needs.saturate_s;

    return bf__tank_fit(tank, rating, out, err);
}
