/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The service of a cycle: a draw, stagnation, a draw, stagnation, and so on.
 *
 * A draw is bf_bed_run() with the term of source.c: oxidation, filtration and exchange act on each
 * other within minutes, so they are integrated together. Between draws the water is at rest:
 * stagnation.c, with the oxygen that the draw left in each cell.
 *
 * Assumes: draws of equal size, evenly spread; the time of a regeneration is part of the last
 * stagnation; freeboard water does not oxidise iron. The void that loose deposit takes raises the
 * pressure drop only: the bed makes its beads of 1 - eps, so a smaller void there would be more
 * beads.
 */
#include "iron/campaign_state.h"

#include "brinefront/hydraulics.h"

#include <math.h>

/* The bed as a draw leaves it: alkalinity at its end, pressure, and oxygen into c->oxygen. */
static bf_status read_water(bf_campaign *c, bf__service *s, bf_error *err)
{
    const bf_direction direction = c->recipe.step[0].direction;
    double *alkalinity = c->deposits.loose; /* read again below */
    bf_status status = bf_iron_source_profile(c->iron_bed->source, c->iron_bed->bed, direction,
                                              c->oxygen, NULL, alkalinity, err);
    if (status == BF_OK) {
        const size_t last = direction == BF_FLOW_DOWN ? c->deposits.cells - 1 : 0;
        s->alkalinity_low = fmin(s->alkalinity_low, alkalinity[last]);
        status = bf__campaign_read_deposits(c, err);
    }
    return status;
}

static bf_status stagnate(bf_campaign *c, bf_error *err)
{
    const bf__stagnation how = {.spec = &c->spec.iron,
                                .temperature_K = c->feed.temperature_K,
                                .pH = c->feed.pH,
                                .duration_s = c->stagnation_s,
                                .oxygen_mol_per_m3 = c->oxygen,
                                .dissolved_too = 1};
    bf__iron_stagnate(&how, c->iron_bed->bed, &c->deposits);
    return bf__campaign_write_deposits(c, err);
}

static bf_status draw(bf_campaign *c, bf__service *s, bf_error *err)
{
    const bf_step *step = &c->recipe.step[0];
    bf_step_result result;
    double suspended = 0.0;
    c->iron_bed->open = 0;
    bf_status status = c->with_iron && step->supply == BF_SUPPLY_RAW
                           ? bf__iron_bed_open(c->iron_bed, step->velocity_m_per_s, err)
                           : BF_OK;
    status =
        status == BF_OK ? step->type->run(step, &c->site, c->iron_bed->bed, &result, err) : status;
    status =
        status == BF_OK ? bf__campaign_book(c, step, &result.passage, 1, &suspended, err) : status;
    if (status == BF_OK) {
        s->bed_volumes += result.passage.bed_volumes;
        s->hardness += bf_ion_hardness(result.passage.out_eq_per_m3);
        s->hardness_last = result.passage.hardness_last_eq_per_m3;
        s->iron += 0.5 * result.passage.out_eq_per_m3[BF_ION_FE] + suspended;
        s->suspended += suspended;
        s->manganese += 0.5 * result.passage.out_eq_per_m3[BF_ION_MN];
    }
    if (status == BF_OK && c->with_iron) {
        status = read_water(c, s, err);
    }
    return status == BF_OK && c->with_iron && c->stagnation_s > 0.0 ? stagnate(c, err) : status;
}

static double pressure_ratio(const bf_campaign *c)
{
    if (!c->with_iron) {
        return 1.0;
    }
    double sum = 0.0;
    for (size_t k = 0; k < c->deposits.cells; k++) {
        sum += bf_iron_pressure_gradient_Pa_per_m(
            &c->spec.iron, &c->fluid, c->recipe.step[0].velocity_m_per_s,
            c->spec.bed.resin.bead_diameter_m, c->spec.bed.resin.void_fraction,
            bf__iron_kg_per_mol() * c->deposits.loose[k]);
    }
    return sum / (double)c->deposits.cells / c->pressure_clean_Pa_per_m;
}

bf_status bf__campaign_serve(bf_campaign *c, bf__service *s, bf_error *err)
{
    bf_status status = BF_OK;
    for (size_t d = 0; d < c->draws && status == BF_OK; d++) {
        status = draw(c, s, err);
    }
    s->pressure_ratio = pressure_ratio(c);
    return status;
}

bf_status bf__campaign_potential(const bf_campaign *c, bf_campaign_cycle *out, bf_error *err)
{
    const bf_step *service = &c->spec.recipe.step[0];
    if (isnan(service->end_hardness_eq_per_m3)) {
        return BF_OK;
    }
    bf__iron_bed *twin = NULL;
    bf_recipe service_to_end = {.step = {*service}, .count = 1};
    service_to_end.step[0].bed_volumes = (double)NAN;
    service_to_end.step[0].stop_hardness_eq_per_m3 = (double)NAN;
    bf_cycle_result result;
    bf_status status = bf__campaign_make_bed(c, &twin, err);
    status = status == BF_OK ? bf_bed_copy(twin->bed, c->iron_bed->bed, err) : status;
    if (status == BF_OK && c->with_iron) {
        status = bf__iron_bed_open(twin, service->velocity_m_per_s, err);
    }
    status =
        status == BF_OK ? bf_cycle_run(&service_to_end, &c->site, twin->bed, &result, err) : status;
    if (status == BF_OK) {
        /* A bed that never falls below the end point has no hardness to it, whatever it takes up.
         */
        out->potential_eq_per_m3 =
            result.outcome == BF_LEAKS_FROM_THE_START ? 0.0 : result.capacity_eq_per_m3;
        out->potential_outcome = result.outcome;
    }
    bf__iron_bed_free(twin);
    return status;
}
