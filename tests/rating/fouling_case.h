/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A campaign that is quick to run: a coarse bed and few draws. All numbers are invented. */
#ifndef BF_TESTS_RATING_FOULING_CASE_H
#define BF_TESTS_RATING_FOULING_CASE_H

#include "brinefront/convert.h"
#include "brinefront/fouling_effects.h"
#include "simple_bed.h"
#include "support.h"

#include <math.h>
#include <string.h>

static inline double pace(double bed_volumes_per_h)
{
    return bed_volumes_per_h * simple_bed().depth_m / BF_S_PER_H;
}

static inline bf_water iron_water(double hardness_eq_per_m3, double iron_g_per_m3, double pH)
{
    bf_error err = {0};
    bf_water water;
    bf_water_analysis analysis = bf_water_analysis_default();
    analysis.hardness_eq_per_m3 = hardness_eq_per_m3;
    analysis.calcium_to_magnesium = 1.87;
    analysis.ion_eq_per_m3[BF_ION_NA] = 2.13;
    analysis.ion_eq_per_m3[BF_ION_FE] = iron_g_per_m3 / bf_ion_equivalent_mass_g_per_eq(BF_ION_FE);
    analysis.ion_eq_per_m3[BF_ION_HCO3] = 4.31;
    analysis.temperature_K = 286.7;
    analysis.pH = pH;
    assert_ok(bf_water_complete(&analysis, &water, NULL, &err));
    return water;
}

/* Iron, air and alkaline water: it fouls within weeks. */
static inline bf_campaign_spec quick_campaign(void)
{
    bf_campaign_spec spec = bf_campaign_spec_default();
    spec.bed.cells = 8;
    spec.bed.shells = 1;
    spec.water = iron_water(6.83, 6.17, 7.73);
    spec.oxygen_mol_per_m3 = 3.07 / BF_OXYGEN_G_PER_MOL;
    spec.recipe = (bf_recipe){
        .step = {{.type = &bf_step_service,
                  .velocity_m_per_s = pace(19.7),
                  .bed_volumes = (double)NAN,
                  .end_hardness_eq_per_m3 = 0.97 * BF_EQ_PER_M3_PER_GPG,
                  .stop_hardness_eq_per_m3 = (double)NAN},
                 {.type = &bf_step_backwash,
                  .direction = BF_FLOW_UP,
                  .velocity_m_per_s = pace(16.3),
                  .bed_volumes = 2.71},
                 {.type = &bf_step_brine,
                  .supply = BF_SUPPLY_SOFT,
                  .velocity_m_per_s = pace(4.13),
                  .salt = BF_SALT_NACL,
                  .dose_kg_per_m3 = 143.0,
                  .mass_fraction = 0.103},
                 {.type = &bf_step_slow_rinse, .velocity_m_per_s = pace(4.13), .bed_volumes = 1.93},
                 {.type = &bf_step_fast_rinse,
                  .velocity_m_per_s = pace(12.1),
                  .bed_volumes = 2.07}},
        .count = 5};
    spec.slices = 1;
    spec.draws_per_day = 0.31;
    spec.days_between = 3.1;
    spec.cycles = 12;
    spec.skip_tolerance = 0.02;
    return spec;
}

/* Two years of a bed with little to do. */
static inline bf_campaign_spec quick_years(void)
{
    bf_campaign_spec spec = quick_campaign();
    spec.water_m3_per_day /= 20.0;
    spec.days_between *= 20.0;
    spec.draws_per_day /= 20.0;
    return spec;
}

/* Every number of an end, so that two can be compared bit by bit; structs have holes. */
enum { END_NUMBERS = 10 };

static inline void numbers_of_end(const bf_fouling_end *end, double numbers[END_NUMBERS])
{
    const double all[END_NUMBERS] = {end->day,
                                     end->potential_new_eq_per_m3,
                                     end->potential_eq_per_m3,
                                     end->total_capacity_eq_per_m3,
                                     end->bound_kg_per_m3,
                                     end->hardness_eq_per_m3,
                                     end->iron_g_per_m3,
                                     end->pressure_ratio,
                                     end->salt_kg_per_m3_year,
                                     end->water_bed_volumes_year};
    memcpy(numbers, all, sizeof all);
}

static inline int same_end(const bf_fouling_end *a, const bf_fouling_end *b)
{
    double of_a[END_NUMBERS];
    double of_b[END_NUMBERS];
    numbers_of_end(a, of_a);
    numbers_of_end(b, of_b);
    return a->state == b->state && memcmp(of_a, of_b, sizeof of_a) == 0;
}

#endif
