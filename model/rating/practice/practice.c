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
#include "rating/practice/both_units.h"

#include <math.h>
#include <stdio.h>

#define PER_H (1.0 / BF_S_PER_H)
#define LB_PER_FT3 BF_KG_PER_M3_PER_LB_PER_FT3

enum {
    BED_DEPTH,
    FREEBOARD,
    SERVICE_BED_VOLUMES,
    SERVICE_VELOCITY,
    SERVICE_PRESSURE,
    BACKWASH_VELOCITY,
    BACKWASH_RISE,
    BRINE_STRENGTH,
    BRINE_FLOW,
    SLOW_RINSE,
    FAST_RINSE,
    DOSE,
    BRINE_TIME,
    METALS,
    RANGES
};

/* A range of practice in SI; low 0: none. `what` begins the sentence that says where a value lies. */
static const struct {
    const char *key, *what;
    bf__quantity quantity;
    double low, high;
    const char *source;
} ranges[RANGES] = {
    [BED_DEPTH] = {"bed.depth", "the bed's depth is", BF__QUANTITY_LENGTH, 0.61, 4.0,
                   "product data: 24 in or more; Davis: about 4 m at most"},
    [FREEBOARD] = {"bed.freeboard", "freeboard over the bed's depth is", BF__QUANTITY_SHARE, 0.5,
                   1.0, "Davis; product data"},
    [SERVICE_BED_VOLUMES] = {"service.flow", "service runs at", BF__QUANTITY_BED_VOLUMES_PER_TIME,
                             8.0 * PER_H, 40.0 * PER_H, "product data: 1-5 gpm/ft3"},
    [SERVICE_VELOCITY] = {"service.flow", "service runs at", BF__QUANTITY_VELOCITY, 5.0 * PER_H,
                          50.0 * PER_H,
                          "product data: 2-20 gpm/ft2; standards ask for 17 m/h or less"},
    [SERVICE_PRESSURE] = {"service.flow", "the clean bed takes", BF__QUANTITY_PRESSURE, 0.0, 135e3,
                          "Davis: 35-70 kPa typical, 135 kPa at most"},
    [BACKWASH_VELOCITY] = {"regeneration.backwash_flow", "backwash runs at", BF__QUANTITY_VELOCITY,
                           7.0 * PER_H, 20.0 * PER_H,
                           "product data: 7-16 m/h; standards: 15-20 m/h"},
    [BACKWASH_RISE] = {"regeneration.backwash_flow", "backwash lifts the bed by",
                       BF__QUANTITY_SHARE, 0.4, 0.75, "product data: 50-75 %, 40-75 % at 25 C"},
    [BRINE_STRENGTH] = {"regeneration.brine_strength", "brine holds", BF__QUANTITY_MASS_FRACTION,
                        0.05, 0.2, "Davis: 5-10 %; product data: 8-20 %"},
    [BRINE_FLOW] = {"regeneration.brine_flow", "brine runs at", BF__QUANTITY_BED_VOLUMES_PER_TIME,
                    2.0 * PER_H, 8.0 * PER_H, "product data: 2-8 BV/h; Davis: 2-5 BV/h"},
    [SLOW_RINSE] = {"regeneration.slow_rinse_volume", "the slow rinse takes",
                    BF__QUANTITY_BED_VOLUMES, 1.0, 4.0, "product data: 2-4 BV; UFC: 1-3 BV"},
    [FAST_RINSE] = {"regeneration.fast_rinse_volume", "the fast rinse takes",
                    BF__QUANTITY_BED_VOLUMES, 2.0, 6.0, "product data: 2-6 BV"},
    /* Doses of potassium chloride count as sodium chloride of equal equivalents. */
    [DOSE] = {"regeneration.doses", "the dose is", BF__QUANTITY_DOSE, 4.0 * LB_PER_FT3,
              20.0 * LB_PER_FT3, "product data: 4-20 lb/ft3; Davis: 5-10, at most 20"},
    [BRINE_TIME] = {"regeneration.doses", "brine takes", BF__QUANTITY_MINUTES, 15.0 * BF_S_PER_MIN,
                    60.0 * BF_S_PER_MIN, "product data: 15-60 min"},
    [METALS] = {"water.iron", "iron and manganese together are", BF__QUANTITY_DISSOLVED, 0.0,
                0.3e-3, "12VAC5-590-900: remove them first above 0.3 mg/L"},
};

/* Compare one value with its range. NAN: there is none. `before` opens the sentence. */
static void compare(bf_notes *notes, int range, const char *before, double value)
{
    const double low = ranges[range].low;
    const double high = ranges[range].high;
    const bf__quantity quantity = ranges[range].quantity;
    /* A range of practice is no sharper than a percent. */
    if (isnan(value) || (value >= 0.99 * low && value <= 1.01 * high)) {
        return;
    }
    bf_notes_add(notes, BF_NOTE_CAUTION, ranges[range].key, "%s%s %s, %s practice, %s%s%s (%s)",
                 before, ranges[range].what, bf__both(quantity, value).text,
                 value < low ? "below" : "above", low > 0.0 ? bf__both(quantity, low).text : "",
                 low > 0.0 ? " to " : "at most ", bf__both(quantity, high).text,
                 ranges[range].source);
}

static void note_bed(const bf_rating_spec *spec, const bf_deduced *deduced, bf_notes *notes)
{
    const bf_bed_spec *bed = &spec->bed;
    const bf_step *service = &spec->recipe.step[0];
    const bf_step *backwash = bf_recipe_find(&spec->recipe, BF_ROLE_BACKWASH);
    compare(notes, BED_DEPTH, "", bed->depth_m);
    compare(notes, FREEBOARD, "", bed->freeboard_m / bed->depth_m);
    compare(notes, SERVICE_BED_VOLUMES, "", service->velocity_m_per_s / bed->depth_m);
    compare(notes, SERVICE_VELOCITY, "", service->velocity_m_per_s);
    compare(notes, SERVICE_PRESSURE, "", deduced->service_pressure_Pa);
    if (backwash != NULL) {
        compare(notes, BACKWASH_VELOCITY, "", backwash->velocity_m_per_s);
        compare(notes, BACKWASH_RISE, "", deduced->backwash_depth_ratio - 1.0);
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
    compare(notes, BRINE_STRENGTH, "",
            brine->supply == BF_SUPPLY_SEA ? bf_sea_salt_kg_per_kg() : brine->mass_fraction);
    compare(notes, BRINE_FLOW, "", brine->velocity_m_per_s / spec->bed.depth_m);
    compare(notes, SLOW_RINSE, "", slow == NULL ? 0.0 : slow->bed_volumes);
    compare(notes, FAST_RINSE, "", fast == NULL ? 0.0 : fast->bed_volumes);
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
        const int is_KCl = brine->salt == BF_SALT_KCL;
        const double as_NaCl = is_KCl ? bf_salt_equivalent_mass_g_per_eq(BF_SALT_NACL) /
                                            bf_salt_equivalent_mass_g_per_eq(BF_SALT_KCL)
                                      : 1.0;
        char before[96];
        (void)snprintf(before, sizeof before, "at a dose of %s, ",
                       bf__both(BF__QUANTITY_DOSE, dose_kg_per_m3[d]).text);
        compare(notes, DOSE, is_KCl ? "counted as NaCl, " : "", as_NaCl * dose_kg_per_m3[d]);
        compare(notes, BRINE_TIME, before, deduced->brine_s_per_kg_per_m3 * dose_kg_per_m3[d]);
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
    compare(
        notes, METALS, "",
        1e-3 * (spec->water.ion_eq_per_m3[BF_ION_FE] * bf_ion_equivalent_mass_g_per_eq(BF_ION_FE) +
                spec->water.ion_eq_per_m3[BF_ION_MN] * bf_ion_equivalent_mass_g_per_eq(BF_ION_MN)));
    return BF_OK;
}
