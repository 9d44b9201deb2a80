/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A campaign and the range around it, read at a day; what its water brings. */
#include "rating/fouling/years.h"

#include "brinefront/hydraulics.h"
#include "rating/fouling/fouling_end.h"

#include <math.h>

bf__span bf__span_times(bf__span span, double factor)
{
    return (bf__span){factor * span.expected, factor * span.low, factor * span.high};
}

bf__span bf__years_span(const bf_campaign_series *series, bf_campaign_quantity what, double day)
{
    const int is_capacity = what == BF_CAMPAIGN_POTENTIAL || what == BF_CAMPAIGN_CAPACITY;
    bf__span span = {(double)NAN, (double)NAN, (double)NAN};
    for (size_t s = 0; s < BF_FOULING_SERIES; s++) {
        const int is_spent = series[s].state == BF_CAMPAIGN_SPENT && series[s].count > 0 &&
                             day > series[s].cycle[series[s].count - 1].day;
        double value = bf_campaign_series_at(&series[s], what, day);
        if (is_spent) {
            value = is_capacity ? 0.0 : (double)NAN;
        }
        span.low = fmin(span.low, value); /* both pass over NAN */
        span.high = fmax(span.high, value);
        if (s == BF_FOULING_EXPECTED) {
            span.expected = value;
        }
    }
    return span;
}

const bf_campaign_cycle *bf__years_last(const bf_campaign_series *series)
{
    const bf_campaign_series *expected = &series[BF_FOULING_EXPECTED];
    return &expected->cycle[expected->count - 1];
}

int bf__years_reach(const bf_campaign_spec *spec, const bf_campaign_series *series, double day)
{
    return day >= 0.0 && day <= bf__years_last(series)->day + bf_campaign_days(spec);
}

const bf_campaign_cycle *bf__years_first_known(const bf_campaign_series *series)
{
    const bf_campaign_series *expected = &series[BF_FOULING_EXPECTED];
    for (size_t c = 0; c < expected->count; c++) {
        if (!isnan(expected->cycle[c].potential_eq_per_m3)) {
            return &expected->cycle[c];
        }
    }
    return NULL;
}

/* ---- water ----------------------------------------------------------------------------------- */

const bf_water *bf__campaign_water(const bf_campaign_spec *spec, double day)
{
    const bf_campaign_season *season =
        bf__fouling_season(spec, bf_campaign_season_index(spec, day));
    return season != NULL ? &season->water : &spec->water;
}

double bf__campaign_need_eq_per_m3(const bf_campaign_spec *spec, double day)
{
    return bf__campaign_water(spec, day)->hardness_eq_per_m3 * bf_campaign_bed_volumes(spec);
}

double bf__campaign_clean_drop_Pa(const bf_campaign_spec *spec, double day)
{
    bf_fluid water;
    if (bf_fluid_of_water(bf__campaign_water(spec, day)->temperature_K, &water, NULL) != BF_OK) {
        return (double)NAN;
    }
    return spec->bed.depth_m * bf_pressure_gradient_Pa_per_m(
                                   &water, spec->recipe.step[0].velocity_m_per_s,
                                   spec->bed.resin.bead_diameter_m, spec->bed.resin.void_fraction);
}

double bf__ion_mg_per_L(const bf_water *water, bf_ion ion)
{
    return water->ion_eq_per_m3[ion] * bf_ion_equivalent_mass_g_per_eq(ion);
}

int bf__campaign_brings(const bf_campaign_spec *spec, bf_ion ion)
{
    for (size_t k = 0; k < bf__fouling_season_count(spec); k++) {
        const bf_campaign_season *season = bf__fouling_season(spec, k);
        if ((season != NULL ? &season->water : &spec->water)->ion_eq_per_m3[ion] > 0.0) {
            return 1;
        }
    }
    return 0;
}

int bf__campaign_meets_iron(const bf_campaign_spec *spec)
{
    return bf__campaign_brings(spec, BF_ION_FE) ||
           spec->deposit.loose_kg_per_m3 + spec->deposit.bound_kg_per_m3 > 0.0;
}

int bf__campaign_has_chlorine(const bf_campaign_spec *spec)
{
    return spec->free_chlorine_g_per_m3 > 0.0 || spec->chloramine_g_per_m3 > 0.0;
}
