/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The smallest bed that softens a flow for an interval at a dose.
 *
 *     ln(V throughput(V)/interval) = 0,    V resin, throughput in bed volumes at the steady state
 *
 * The flow is given, so that a bed of other size is rated at another velocity: throughput is
 * computed for each V tried. Velocity, bed volumes an hour and pressure (tank_pressure.c) do not
 * need a rating; they say from where to where V may lie, before the search.
 */
#include "rating/sizing/search.h"
#include "rating/tank/tank_fill.h"
#include "rating/tank/tank_pressure.h"

#include "brinefront/convert.h"

#include <math.h>

static const char *const where = "bf_smallest_bed";
static const double narrowest_m = 0.01; /* as bf_bed_spec has them */
static const double widest_m = 10.0;
static const double shallowest_m = 0.01;
static const double deepest_m = 10.0;
static const double fastest_m_per_s = 1.0; /* as a step has it */

typedef struct target {
    bf__search search;
    const bf_tank_spec *tank;
    bf__pressure_law pressure;
    double dose_kg_per_m3, interval_m3, flow_m3_per_s;
} target;

/* The volumes that a flow allows, and what sets each end. */
typedef struct room {
    double low_m3, high_m3;
    bf_binding low_by, high_by;
} room;

static double circle_m2(double diameter_m)
{
    return 0.25 * BF_PI * diameter_m * diameter_m;
}

/* What a vessel does not state is NAN: fmin(), fmax() and comparisons pass over it. */

/* The depth stands and the diameter grows. */
static room room_by_diameter(const target *wanted, double flow_m3_per_s)
{
    const bf_tank_spec *tank = wanted->tank;
    const double depth_m = wanted->search.rating->bed.depth_m;
    const double by_pressure = bf__pressure_velocity_m_per_s(
        &wanted->pressure, depth_m, flow_m3_per_s, tank->pressure_limit_Pa);
    const double by_volume = tank->bed_volumes_per_h_limit * depth_m / BF_S_PER_H;
    const double velocity =
        fmin(fmin(fastest_m_per_s, tank->velocity_limit_m_per_s), fmin(by_pressure, by_volume));
    const double by_flow = flow_m3_per_s / velocity * depth_m; /* INFINITY at no velocity */
    const double least = circle_m2(narrowest_m) * depth_m;
    return (room){.low_m3 = fmax(by_flow, least),
                  .high_m3 = circle_m2(widest_m) * depth_m,
                  .low_by = by_flow > least ? BF_BINDING_FLOW : BF_BINDING_SIZE,
                  .high_by = BF_BINDING_SIZE};
}

/* The vessel stands and the depth grows. */
static room room_by_depth(const target *wanted, double flow_m3_per_s)
{
    const bf_tank_spec *tank = wanted->tank;
    const double area_m2 = circle_m2(tank->diameter_m);
    const double velocity = flow_m3_per_s / area_m2;
    const double by_volume = flow_m3_per_s * BF_S_PER_H / (area_m2 * tank->bed_volumes_per_h_limit);
    const double by_pressure =
        bf__pressure_depth_m(&wanted->pressure, area_m2, flow_m3_per_s, tank->pressure_limit_Pa);
    const double by_height = fmin(deepest_m, bf__tank_deepest_lifted_m(tank));
    room out = {.low_m3 = area_m2 * fmax(by_volume, shallowest_m),
                .high_m3 = area_m2 * fmin(by_pressure, by_height),
                .low_by = by_volume > shallowest_m ? BF_BINDING_FLOW : BF_BINDING_SIZE,
                .high_by = by_pressure < by_height ? BF_BINDING_FLOW : BF_BINDING_SIZE};
    if (velocity > fmin(fastest_m_per_s, tank->velocity_limit_m_per_s)) {
        out.low_m3 = (double)INFINITY;
    }
    return out;
}

static room room_of(const target *wanted, double flow_m3_per_s)
{
    return isnan(wanted->tank->diameter_m) ? room_by_diameter(wanted, flow_m3_per_s)
                                           : room_by_depth(wanted, flow_m3_per_s);
}

/* The largest flow for which there is a bed at all; NAN: none. */
static double carried_m3_per_s(const target *wanted)
{
    double low = 1e-9 * wanted->flow_m3_per_s;
    double high = wanted->flow_m3_per_s;
    const room least = room_of(wanted, low);
    if (!(least.low_m3 <= least.high_m3)) {
        return (double)NAN;
    }
    while (high - low > 1e-6 * high) {
        const double middle = 0.5 * (low + high);
        const room middle_room = room_of(wanted, middle);
        *(middle_room.low_m3 <= middle_room.high_m3 ? &low : &high) = middle;
    }
    return low;
}

/* The rating of a bed of so much resin. */
static bf_rating_spec spec_of(const target *wanted, double resin_m3)
{
    const bf_tank_spec *tank = wanted->tank;
    bf_rating_spec spec = *wanted->search.rating;
    if (isnan(tank->diameter_m)) {
        spec.bed.diameter_m = sqrt(resin_m3 / (circle_m2(1.0) * spec.bed.depth_m));
    } else {
        spec.bed.diameter_m = tank->diameter_m;
        spec.bed.depth_m = resin_m3 / circle_m2(tank->diameter_m);
        const double ratio = spec.bed.depth_m / wanted->search.rating->bed.depth_m;
        spec.bed.freeboard_m =
            isnan(tank->height_m)
                ? ratio * wanted->search.rating->bed.freeboard_m
                : fmax(tank->height_m - tank->underbedding_m - spec.bed.depth_m, 0.0);
        for (size_t s = 1; s < spec.recipe.count; s++) {
            bf_step *step = &spec.recipe.step[s];
            if (step->type->scaling == BF_SCALES_WITH_BED) {
                step->velocity_m_per_s *= ratio;
                step->blocking_velocity_m_per_s *= ratio;
            }
        }
    }
    spec.recipe.step[0].velocity_m_per_s = wanted->flow_m3_per_s / bf_bed_area_m2(&spec.bed);
    return spec;
}

static bf_status rate(void *context, double resin_m3, double *value, bf_dose_point *point,
                      bf_error *err)
{
    target *wanted = context;
    const double dose = wanted->dose_kg_per_m3;
    const bf_rating_spec spec = spec_of(wanted, resin_m3);
    bf_rating_spec dosed;
    bf_status status = bf__dosed_spec(where, &spec, &dose, 1, &dosed, err);
    if (status == BF_OK) {
        status = bf__rate_dose(&spec, wanted->search.selectivity, dose, point, err);
    }
    if (status == BF_OK && point->steady.cycle.outcome == BF_RATED) {
        *value = log(resin_m3 * point->steady.cycle.throughput_bed_volumes / wanted->interval_m3);
        status = bf__practical_value(&wanted->search, &spec, resin_m3, dose, value, err);
    }
    return status;
}

/* ---- checks ---------------------------------------------------------------------------------- */

static bf_status check(const target *wanted, bf_error *err)
{
    bf_status status =
        bf__sizing_check_above_zero(where, "the interval", wanted->interval_m3, "m3", err);
    if (status == BF_OK) {
        status = bf__sizing_check_above_zero(where, "the flow", wanted->flow_m3_per_s, "m3/s", err);
    }
    return status == BF_OK ? bf_tank_spec_check(wanted->tank, err) : status;
}

/* ---- the answer ------------------------------------------------------------------------------ */

/* Six tenths of the sites at work: what doses in use come to. */
static double guess_m3(const target *wanted)
{
    const bf_rating_spec *rating = wanted->search.rating;
    return wanted->interval_m3 * rating->water.hardness_eq_per_m3 /
           (0.6 * rating->bed.resin.total_capacity_eq_per_m3);
}

static void take(const target *wanted, const room *within, bf_status status, bf_sizing *out)
{
    const bf__probe *probe = wanted->search.probe;
    bf_binding decided = bf__probe_jumps(probe) ? BF_BINDING_LEAKAGE : BF_BINDING_INTERVAL;
    if (probe->enough_x <= within->low_m3) {
        decided = within->low_by;
    }
    bf__search_take(&wanted->search, status, decided, within->high_by, out);
    const double resin_m3 = out->binding == BF_BINDING_NONE ? out->answer : within->high_m3;
    out->bed = spec_of(wanted, resin_m3).bed;
    if (out->binding == within->high_by) {
        out->nearest = resin_m3 * out->point.steady.cycle.throughput_bed_volumes;
    }
}

static bf_status search_within(target *wanted, bf_sizing *out)
{
    const room within = room_of(wanted, wanted->flow_m3_per_s);
    if (!(within.low_m3 <= within.high_m3)) {
        out->nearest = carried_m3_per_s(wanted);
        out->binding = isnan(out->nearest) ? BF_BINDING_SIZE : BF_BINDING_FLOW;
        return BF_OK;
    }
    bf_status status =
        bf__probe_least(wanted->search.probe, within.low_m3, within.high_m3, guess_m3(wanted));
    if (status == BF_OK || status == BF_E_STOPPED) {
        take(wanted, &within, status, out);
    }
    return status;
}

bf_status bf_smallest_bed(const bf_rating_spec *rating, const bf_tank_spec *tank,
                          double dose_kg_per_m3, double interval_m3, double flow_m3_per_s,
                          const bf_sizing_spec *spec, bf_sizing *out, bf_error *err)
{
    target wanted = {.tank = tank,
                     .dose_kg_per_m3 = dose_kg_per_m3,
                     .interval_m3 = interval_m3,
                     .flow_m3_per_s = flow_m3_per_s};
    bf__sizing_start(rating, out);
    bf_status status = check(&wanted, err);
    if (status == BF_OK) {
        status = bf__search_open(where, rating, spec, dose_kg_per_m3, rate, &wanted, &wanted.search,
                                 err);
    }
    if (status == BF_OK) {
        status = bf__pressure_law_of(tank, &rating->bed.resin, rating->water.temperature_K,
                                     &wanted.pressure, err);
    }
    if (status == BF_OK) {
        status = search_within(&wanted, out);
    }
    bf__search_close(&wanted.search);
    return status;
}
