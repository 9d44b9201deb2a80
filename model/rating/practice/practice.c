/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Published ranges of practice, and where a specification leaves them.
 *
 * Davis: M.L. Davis, Water and Wastewater Engineering (2010), tables 8-2, 8-3 and p. 8-19. Product
 * data: sheets of standard gel resins (salt, brine, rinse, backwash, service). Standards: Ten
 * States Standards 4.4.2 as codified in 12VAC5-590-900. UFC: Unified Facilities Criteria 3-240-13FN
 * (2005).
 */
#include "brinefront/practice.h"

#include "brinefront/convert.h"
#include "brinefront/hydraulics.h"

#include <math.h>
#include <stdio.h>

bf_status bf_deduce(const bf_rating_spec *spec, bf_deduced *out, bf_error *err)
{
    const bf_bed_spec *bed = &spec->bed;
    bf_fluid water;
    bf_status status = bf_fluid_of_water(spec->water.temperature_K, &water, err);
    if (status != BF_OK) {
        return status;
    }
    *out = (bf_deduced){.backwash_expansion = (double)NAN,
                        .brine_normality_eq_per_m3 = (double)NAN,
                        .brine_density_kg_per_m3 = (double)NAN,
                        .brine_saturation = (double)NAN,
                        .brine_bed_volumes_per_kg_per_m3 = (double)NAN,
                        .brine_s_per_kg_per_m3 = (double)NAN,
                        .salt_to_hold_all_kg_per_m3 = (double)NAN};
    out->area_m2 = bf_bed_area_m2(bed);
    out->resin_m3 = bf_bed_volume_m3(bed);
    const bf_step *service = &spec->recipe.step[0];
    out->contact_s = bed->depth_m / service->velocity_m_per_s;
    out->service_pressure_Pa =
        bed->depth_m * bf_pressure_gradient_Pa_per_m(&water, service->velocity_m_per_s,
                                                     bed->resin.bead_diameter_m,
                                                     bed->resin.void_fraction);
    const bf_step *backwash = bf_recipe_find(&spec->recipe, BF_ROLE_BACKWASH);
    if (backwash != NULL) {
        out->backwash_expansion =
            bf_bed_expansion(&water, backwash->velocity_m_per_s, bed->resin.bead_diameter_m,
                             bed->resin.bead_density_kg_per_m3, bed->resin.void_fraction);
    }
    const bf_step *step = bf_recipe_find(&spec->recipe, BF_ROLE_BRINE);
    if (step != NULL && step->supply == BF_SUPPLY_SEA) {
        double sea[BF_ION_COUNT];
        bf_site site = bf_rating_site(spec);
        bf_site_supply(&site, BF_SUPPLY_SEA, sea);
        out->brine_normality_eq_per_m3 = 0.0;
        for (size_t i = 0; i < BF_CATION_COUNT; i++) {
            out->brine_normality_eq_per_m3 += sea[i];
        }
        out->brine_bed_volumes_per_kg_per_m3 = 1.0 / bf_sea_salt_kg_per_m3();
        out->brine_s_per_kg_per_m3 =
            out->brine_bed_volumes_per_kg_per_m3 * bed->depth_m / step->velocity_m_per_s;
    } else if (step != NULL) {
        bf_brine brine;
        status = bf_brine_of_mass_fraction(step->salt, step->mass_fraction,
                                           spec->water.temperature_K, &brine, err);
        if (status != BF_OK) {
            return status;
        }
        out->brine_normality_eq_per_m3 = brine.normality_eq_per_m3;
        out->brine_density_kg_per_m3 = brine.fluid.density_kg_per_m3;
        out->brine_saturation = brine.saturation;
        out->brine_bed_volumes_per_kg_per_m3 = 1.0 / brine.salt_per_solution_kg_per_m3;
        out->brine_s_per_kg_per_m3 =
            out->brine_bed_volumes_per_kg_per_m3 * bed->depth_m / step->velocity_m_per_s;
        out->salt_to_hold_all_kg_per_m3 =
            bed->resin.capacity_eq_per_m3 * 1e-3 * bf_salt_equivalent_mass_g_per_eq(step->salt);
    }
    return BF_OK;
}

/* One value against its range; `scale` turns SI into the unit of range and words. */
static void compare(bf_notes *notes, const char *where, double value, double scale, double low,
                    double high, const char *unit, const char *source)
{
    double shown = value * scale;
    /* A range of practice is no sharper than a percent. */
    if (isnan(shown) || (shown >= 0.99 * low && shown <= 1.01 * high)) {
        return;
    }
    bf_notes_add(notes, BF_NOTE_CAUTION, where, "%.3g %s is %s practice, %.4g to %.4g %s (%s)",
                 shown, unit, shown < low ? "below" : "above", low, high, unit, source);
}

/* A rate per settled bed, BV/h, of a step that may be missing. */
static double bed_volumes_per_h(const bf_rating_spec *spec, const bf_step *step)
{
    return step == NULL ? (double)NAN : step->velocity_m_per_s / spec->bed.depth_m * BF_S_PER_H;
}

static void note_bed(const bf_rating_spec *spec, const bf_deduced *deduced, bf_notes *notes)
{
    const bf_bed_spec *bed = &spec->bed;
    const bf_step *service = &spec->recipe.step[0];
    const bf_step *backwash = bf_recipe_find(&spec->recipe, BF_ROLE_BACKWASH);
    compare(notes, "bed.depth", bed->depth_m, 1.0, 0.61, 4.0, "m",
            "product data: 24 in or more; Davis: about 4 m at most");
    compare(notes, "bed.freeboard", bed->freeboard_m / bed->depth_m, 100.0, 50.0, 100.0,
            "% of the bed depth", "Davis; product data");
    compare(notes, "service.flow", bed_volumes_per_h(spec, service), 1.0, 8.0, 40.0, "BV/h",
            "product data: 1-5 gpm/ft3");
    compare(notes, "service.flow", service->velocity_m_per_s, BF_S_PER_H, 5.0, 50.0, "m/h",
            "product data: 2-20 gpm/ft2; standards ask for 17 m/h or less");
    compare(notes, "service.flow", deduced->service_pressure_Pa, 1e-3, 0.0, 135.0,
            "kPa across the clean bed", "Davis: 35-70 kPa typical, 135 kPa at most");
    if (backwash != NULL) {
        compare(notes, "regeneration.backwash_flow", backwash->velocity_m_per_s, BF_S_PER_H, 7.0,
                20.0, "m/h", "product data: 7-16 m/h; standards: 15-20 m/h");
        compare(notes, "regeneration.backwash_flow", deduced->backwash_expansion - 1.0, 100.0, 40.0,
                75.0, "% bed expansion", "product data: 50-75 %, 40-75 % at 25 C");
    }
}

static void note_regeneration(const bf_rating_spec *spec, const bf_deduced *deduced,
                              const double *dose_kg_per_m3, size_t dose_count, bf_notes *notes)
{
    const bf_step *brine = bf_recipe_find(&spec->recipe, BF_ROLE_BRINE);
    const bf_step *slow = bf_recipe_find(&spec->recipe, BF_ROLE_SLOW_RINSE);
    const bf_step *fast = bf_recipe_find(&spec->recipe, BF_ROLE_FAST_RINSE);
    if (brine == NULL) {
        return;
    }
    double strength =
        brine->supply == BF_SUPPLY_SEA ? bf_sea_salt_kg_per_kg() : brine->mass_fraction;
    compare(notes, "regeneration.brine_strength", strength, 100.0, 5.0, 20.0, "wt%",
            "Davis: 5-10 %; product data: 8-20 %");
    compare(notes, "regeneration.brine_flow", bed_volumes_per_h(spec, brine), 1.0, 2.0, 8.0, "BV/h",
            "product data: 2-8 BV/h; Davis: 2-5 BV/h");
    compare(notes, "regeneration.slow_rinse_volume", slow == NULL ? 0.0 : slow->bed_volumes, 1.0,
            1.0, 4.0, "BV", "product data: 2-4 BV; UFC: 1-3 BV");
    compare(notes, "regeneration.fast_rinse_volume", fast == NULL ? 0.0 : fast->bed_volumes, 1.0,
            2.0, 6.0, "BV", "product data: 2-6 BV");
    if (slow != NULL && brine->direction == BF_FLOW_UP && slow->supply == BF_SUPPLY_RAW) {
        bf_notes_add(notes, BF_NOTE_CAUTION, "regeneration.slow_rinse_water",
                     "raw water rinsing up through a counter-current bed loads its cleanest end "
                     "with hardness; use soft water");
    }
    if (brine->direction == BF_FLOW_UP && spec->bed.freeboard_m > 0.0 &&
        brine->blocking_velocity_m_per_s == 0.0) {
        bf_notes_add(notes, BF_NOTE_CAUTION, "regeneration.blocking_flow",
                     "nothing holds the bed down: spent brine rises into the water above it and "
                     "comes back in the fast rinse, which costs capacity and leaks; state a "
                     "blocking flow, or bed.freeboard: 0 for a packed vessel");
    }
    for (size_t d = 0; d < dose_count; d++) {
        char where[64];
        (void)snprintf(where, sizeof where, "regeneration.doses, %.3g lb/ft3",
                       dose_kg_per_m3[d] / BF_KG_PER_M3_PER_LB_PER_FT3);
        double salt = dose_kg_per_m3[d];
        if (brine->salt == BF_SALT_KCL) { /* compare equal equivalents */
            salt *= bf_salt_equivalent_mass_g_per_eq(BF_SALT_NACL) /
                    bf_salt_equivalent_mass_g_per_eq(BF_SALT_KCL);
        }
        compare(notes, where, salt, 1.0 / BF_KG_PER_M3_PER_LB_PER_FT3, 4.0, 20.0,
                brine->salt == BF_SALT_KCL ? "lb/ft3 (as NaCl)" : "lb/ft3",
                "product data: 4-20 lb/ft3; Davis: 5-10, at most 20");
        compare(notes, where, deduced->brine_s_per_kg_per_m3 * dose_kg_per_m3[d],
                1.0 / BF_S_PER_MIN, 15.0, 60.0, "min of brine", "product data: 15-60 min");
    }
}

bf_status bf_practice_notes(const bf_rating_spec *spec, const double *dose_kg_per_m3,
                            size_t dose_count, bf_notes *notes, bf_error *err)
{
    bf_deduced deduced;
    bf_status status = bf_deduce(spec, &deduced, err);
    if (status != BF_OK) {
        return status;
    }
    note_bed(spec, &deduced, notes);
    note_regeneration(spec, &deduced, dose_kg_per_m3, dose_count, notes);
    double metals =
        spec->water.ion_eq_per_m3[BF_ION_FE] * bf_ion_equivalent_mass_g_per_eq(BF_ION_FE) +
        spec->water.ion_eq_per_m3[BF_ION_MN] * bf_ion_equivalent_mass_g_per_eq(BF_ION_MN);
    compare(notes, "water.iron", metals, 1.0, 0.0, 0.3, "mg/L of iron and manganese",
            "12VAC5-590-900: remove them first above 0.3 mg/L");
    return BF_OK;
}
