/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The bed, the water and the recipe that the tests of the cycle share: 0.76 m of gel resin under
 * half a bed of water at 20 C; Ca:Mg 2:1; down at 20 BV/h to 17.1 mg/L as CaCO3; 10 % brine at
 * 4 BV/h; 2 BV of slow rinse at 4 BV/h and 2 BV of fast rinse at 12 BV/h with the feed. */
#ifndef BF_TESTS_CYCLE_RIG_H
#define BF_TESTS_CYCLE_RIG_H

#include "brinefront/convert.h"
#include "brinefront/cycle.h"
#include "simple_bed.h"
#include "support.h"

#include <math.h>
#include <string.h>

/** 1 grain per gallon, the usual end point, as the trade rounds it: 17.1 mg/L as CaCO3. */
#define RIG_END_EQ_PER_M3 (17.1 * BF_EQ_PER_M3_PER_MG_PER_L_CACO3)

typedef struct rig {
    bf_site site;
    bf_bed_spec spec;
    bf_selectivity *selectivity;
    bf_bed *bed;
} rig;

/** A water of hardness, mg/L as CaCO3, and sodium; `more` holds further ions, eq/m3, or is NULL. */
static inline bf_status rig_water(double hardness_mg_per_L, double sodium_eq_per_m3,
                                  const double *more, bf_water *out, bf_error *err)
{
    bf_water_analysis analysis = bf_water_analysis_default();
    for (size_t i = 0; i < BF_ION_COUNT && more != NULL; i++) {
        if (more[i] > 0.0) {
            analysis.ion_eq_per_m3[i] = more[i];
        }
    }
    analysis.hardness_eq_per_m3 = hardness_mg_per_L * BF_EQ_PER_M3_PER_MG_PER_L_CACO3;
    analysis.calcium_to_magnesium = 2.0;
    analysis.ion_eq_per_m3[BF_ION_NA] = sodium_eq_per_m3;
    analysis.temperature_K = 293.15;
    return bf_water_complete(&analysis, out, NULL, err);
}

/** An equilibrium for the ions of a water, and for potassium where the salt brings it. */
static inline bf_status rig_selectivity(const bf_water *water, const bf_resin *resin, bf_salt salt,
                                        bf_selectivity **out, bf_error *err)
{
    const double brine[BF_ION_COUNT] = {[BF_ION_K] = salt == BF_SALT_KCL ? 1.0 : 0.0};
    const double *waters[] = {water->ion_eq_per_m3, brine};
    bf_selectivity_spec spec = {.law = BF_EQUILIBRIUM_MASS_ACTION,
                                .ions = bf_ion_set_of(waters, 2),
                                .temperature_K = water->temperature_K};
    memcpy(spec.constant, resin->selectivity, sizeof spec.constant);
    return bf_selectivity_create(&spec, out, err);
}

/** Build a rig on a grid. Change the spec of the bed through `freeboard_m` only. */
static inline bf_status rig_open(rig *goal, const bf_water *water, bf_salt salt, double freeboard_m,
                                 size_t cells, size_t shells, bf_error *err)
{
    memset(goal, 0, sizeof *goal);
    goal->spec = simple_bed();
    goal->spec.freeboard_m = freeboard_m;
    goal->spec.cells = cells;
    goal->spec.shells = shells;
    goal->site =
        (bf_site){.water = *water, .depth_m = goal->spec.depth_m, .resin = goal->spec.resin};
    bf_status status = rig_selectivity(water, &goal->spec.resin, salt, &goal->selectivity, err);
    if (status == BF_OK) {
        status = bf_bed_create(&goal->spec, goal->selectivity, &goal->bed, err);
    }
    return status;
}

static inline void rig_close(rig *subject)
{
    bf_bed_free(subject->bed);
    bf_selectivity_free(subject->selectivity);
}

/** Superficial velocity of a flow in bed volumes per hour, for the default depth. */
static inline double rig_velocity(double bed_volumes_per_h)
{
    return bed_volumes_per_h * simple_bed().depth_m / BF_S_PER_H;
}

/** Service to the usual end point; 20 BV/h. */
static inline bf_step rig_service(void)
{
    return (bf_step){.type = &bf_step_service,
                     .velocity_m_per_s = rig_velocity(20.0),
                     .bed_volumes = NAN,
                     .end_hardness_eq_per_m3 = RIG_END_EQ_PER_M3,
                     .stop_hardness_eq_per_m3 = NAN};
}

static inline bf_step rig_brine(double dose_lb_per_ft3)
{
    return (bf_step){.type = &bf_step_brine,
                     .supply = BF_SUPPLY_SOFT,
                     .velocity_m_per_s = rig_velocity(4.0),
                     .salt = BF_SALT_NACL,
                     .dose_kg_per_m3 = dose_lb_per_ft3 * BF_KG_PER_M3_PER_LB_PER_FT3,
                     .mass_fraction = 0.10};
}

/** A step that passes water. */
static inline bf_step rig_pass(const bf_step_type *type, double bed_volumes_per_h,
                               double bed_volumes)
{
    return (bf_step){.type = type,
                     .velocity_m_per_s = rig_velocity(bed_volumes_per_h),
                     .bed_volumes = bed_volumes};
}

/** The whole cycle, brine downward. */
static inline bf_recipe rig_co_current(double dose_lb_per_ft3)
{
    return (bf_recipe){.step = {rig_service(), rig_brine(dose_lb_per_ft3),
                                rig_pass(&bf_step_slow_rinse, 4.0, 2.0),
                                rig_pass(&bf_step_fast_rinse, 12.0, 2.0)},
                       .count = 4};
}

/** The whole cycle, brine upward, slow rinse upward with 1.5 BV of soft water. */
static inline bf_recipe rig_counter_current(double dose_lb_per_ft3)
{
    bf_recipe recipe = rig_co_current(dose_lb_per_ft3);
    recipe.step[1].direction = BF_FLOW_UP;
    recipe.step[2].direction = BF_FLOW_UP;
    recipe.step[2].supply = BF_SUPPLY_SOFT;
    recipe.step[2].bed_volumes = 1.5;
    return recipe;
}

#endif
