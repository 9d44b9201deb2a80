/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A vessel: what may be asked of it, and what it holds.
 *
 *     resin that fits          L (1 + s) <= height - underbedding
 *     that can be lifted too   L (1 + s) (1 + r) <= height - underbedding
 *
 * L settled depth m, s swelling, r wanted rise.
 *
 * Sources of the limits: 15 psi at rated flow: NSF/ANSI 44 as R. Andrew describes it, WC&P 2013,
 * 2014, 2021 (criteria.c). 15 gpm/ft2: design maximum of Water Treatment Plant Design, 4th ed.,
 * basics of equipment design (globalspec.com/reference/80773/203279); beads break above 20. 40
 * BV/h: product data, 1-5 gpm/ft3. Expansion 50 %: the low end of product data, 50-75 %. Swelling
 * Ca to Na 5-8 %: product data.
 */
#include "rating/tank/tank_fill.h"

#include "brinefront/convert.h"
#include "rating/practice/both_units.h"
#include "rating/tank/tank_pressure.h"

#include <math.h>

static const double gpm_per_ft2 = BF_M3_PER_GAL / BF_S_PER_MIN / BF_M_PER_FT / BF_M_PER_FT;

double bf_tank_public_supply_m_per_s(void)
{
    return 7.0 * gpm_per_ft2;
}

bf_tank_spec bf_tank_spec_default(void)
{
    const double nothing = (double)NAN;
    return (bf_tank_spec){.diameter_m = nothing,
                          .height_m = nothing,
                          .underbedding_m = 0.0,
                          .valve_Pa = nothing,
                          .valve_m3_per_s = nothing,
                          .distributor_Pa = nothing,
                          .distributor_m3_per_s = nothing,
                          .pressure_limit_Pa = 15.0 * BF_PA_PER_PSI,
                          .velocity_limit_m_per_s = 15.0 * gpm_per_ft2,
                          .bed_volumes_per_h_limit = 40.0,
                          .peak_m3_per_s = nothing,
                          .average_m3_per_s = nothing,
                          .wanted_rise = 0.5,
                          .swelling = 0.07,
                          .coldest_K = nothing,
                          .warmest_K = nothing,
                          .drain_m3_per_s = nothing};
}

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

static bf_status check_pair(const char *name, double Pa, double m3_per_s, bf_error *err)
{
    if (isnan(Pa) && isnan(m3_per_s)) {
        return BF_OK;
    }
    if (!(Pa >= 0.0 && Pa <= 1e7) || !(m3_per_s > 0.0 && m3_per_s <= 10.0)) {
        return bf_error_set(err, BF_E_RANGE, "bf_tank_spec_check",
                            "the %s loses %g Pa at %g m3/s; accepted are 0 to 1e7 Pa at a flow "
                            "above 0 up to 10 m3/s, both or neither",
                            name, Pa, m3_per_s);
    }
    return BF_OK;
}

bf_status bf_tank_spec_check(const bf_tank_spec *tank, bf_error *err)
{
    const char *where = "bf_tank_spec_check";
    /* Wide on purpose: they catch a wrong unit and keep the law of pressure from dividing by nothing.
     * Where a reason stands beside a row it sets the limit; the others are common practice, no
     * source: below is nothing that holds resin, above is no softener. */
    const struct {
        const char *name, *unit;
        double value, low, high;
        int may_be_unasked;
    } fields[] = {
        {"diameter", "m", tank->diameter_m, 0.01, 10.0, 1}, /* as bf_bed_spec has it */
        {"height", "m", tank->height_m, 0.05, 20.0, 1},
        {"underbedding", "m", tank->underbedding_m, 0.0, 2.0, 0},
        {"pressure limit", "Pa", tank->pressure_limit_Pa, 1.0, 1e7, 0},        /* a pump has one */
        {"velocity limit", "m/s", tank->velocity_limit_m_per_s, 1e-6, 1.0, 1}, /* as of a step */
        {"limit of bed volumes an hour", "1/h", tank->bed_volumes_per_h_limit, 1e-2, 1e4, 1},
        {"peak flow", "m3/s", tank->peak_m3_per_s, 1e-9, 10.0, 1},
        {"average flow", "m3/s", tank->average_m3_per_s, 1e-9, 10.0, 1},
        /* Less than a tenth does not sort the beads; two and a half depths need a vessel for it. */
        {"wanted rise", "of settled depth", tank->wanted_rise, 0.1, 1.5, 1},
        {"swelling", "of settled depth", tank->swelling, 0.0, 0.2, 0}, /* product data: to 0.08 */
        {"coldest water", "K", tank->coldest_K, BF_K_AT_0_C, BF_K_AT_0_C + 50.0, 1}, /* fluid.h */
        {"warmest water", "K", tank->warmest_K, BF_K_AT_0_C, BF_K_AT_0_C + 50.0, 1},
        {"flow that the drain takes", "m3/s", tank->drain_m3_per_s, 1e-9, 10.0, 1},
    };
    for (size_t f = 0; f < sizeof fields / sizeof *fields; f++) {
        const double value = fields[f].value;
        if (isnan(value) && fields[f].may_be_unasked) {
            continue;
        }
        if (!(value >= fields[f].low && value <= fields[f].high)) {
            return bf_error_set(err, BF_E_RANGE, where, "%s is %g %s; accepted are %g to %g",
                                fields[f].name, value, fields[f].unit, fields[f].low,
                                fields[f].high);
        }
    }
    bf_status status = check_pair("valve", tank->valve_Pa, tank->valve_m3_per_s, err);
    if (status == BF_OK) {
        status = check_pair("distributor", tank->distributor_Pa, tank->distributor_m3_per_s, err);
    }
    if (status == BF_OK && tank->coldest_K > tank->warmest_K) {
        status = bf_error_set(err, BF_E_RANGE, where,
                              "the coldest water, %s, is warmer than the warmest, %s",
                              bf__both(BF__QUANTITY_TEMPERATURE, tank->coldest_K).text,
                              bf__both(BF__QUANTITY_TEMPERATURE, tank->warmest_K).text);
    }
    if (status == BF_OK && tank->average_m3_per_s > tank->peak_m3_per_s) {
        status = bf_error_set(err, BF_E_RANGE, where,
                              "the average flow, %s, is more than the peak flow, %s",
                              bf__both(BF__QUANTITY_FLOW, tank->average_m3_per_s).text,
                              bf__both(BF__QUANTITY_FLOW, tank->peak_m3_per_s).text);
    }
    return status;
}

double bf__tank_deepest_m(const bf_tank_spec *tank)
{
    return (tank->height_m - tank->underbedding_m) / (1.0 + tank->swelling);
}

double bf__tank_deepest_lifted_m(const bf_tank_spec *tank)
{
    return bf__tank_deepest_m(tank) / (1.0 + (isnan(tank->wanted_rise) ? 0.0 : tank->wanted_rise));
}

bf_status bf_tank_fill(const bf_tank_spec *tank, double resin_m3, bf_bed_spec *bed, bf_error *err)
{
    const char *where = "bf_tank_fill";
    bf_status status = bf_tank_spec_check(tank, err);
    if (status != BF_OK) {
        return status;
    }
    if (isnan(tank->diameter_m) || isnan(tank->height_m)) {
        return bf_error_set(err, BF_E_RANGE, where,
                            "a vessel to be filled needs its diameter and its height");
    }
    bf_bed_spec filled = *bed;
    filled.diameter_m = tank->diameter_m;
    const double area_m2 = bf_bed_area_m2(&filled);
    const double holds_m = tank->height_m - tank->underbedding_m;
    const double most_m3 = area_m2 * bf__tank_deepest_m(tank);
    if (!(resin_m3 > 0.0 && resin_m3 <= most_m3)) {
        return bf_error_set(err, BF_E_RANGE, where,
                            "%s of resin does not go into the vessel, swollen by %.3g %%: it holds "
                            "%s above the underbedding, above 0 and at most %s",
                            bf__both(BF__QUANTITY_RESIN, resin_m3).text, 100.0 * tank->swelling,
                            bf__both(BF__QUANTITY_LENGTH, holds_m).text,
                            bf__both_at_most(BF__QUANTITY_RESIN, most_m3).text);
    }
    filled.depth_m = resin_m3 / area_m2;
    filled.freeboard_m = holds_m - filled.depth_m;
    *bed = filled;
    return BF_OK;
}

bf_status bf_tank_pressure_Pa(const bf_tank_spec *tank, const bf_bed_spec *bed,
                              double flow_m3_per_s, double temperature_K, double *pressure_Pa,
                              bf_error *err)
{
    bf__pressure_law law = {0};
    if (!(flow_m3_per_s >= 0.0 && isfinite(flow_m3_per_s))) {
        return bf_error_set(err, BF_E_RANGE, "bf_tank_pressure_Pa",
                            "flow is %g m3/s; it must be zero or above", flow_m3_per_s);
    }
    bf_status status = bf_tank_spec_check(tank, err);
    if (status == BF_OK) {
        status = bf_bed_spec_check(bed, err);
    }
    if (status == BF_OK) {
        status = bf__pressure_law_of(tank, &bed->resin, temperature_K, &law, err);
    }
    if (status == BF_OK) {
        *pressure_Pa = bf__pressure_Pa(&law, bed->depth_m, bf_bed_area_m2(bed), flow_m3_per_s);
    }
    return status;
}
