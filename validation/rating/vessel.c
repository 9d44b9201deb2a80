/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The vessel's pressure and backwash in cold and warm water against the laws of
 * a resin sheet. The model has the water's viscosity and density, and nothing
 * else that knows the temperature. */
#include "published/source.h"
#include "try.h"

#include "brinefront/convert.h"
#include "brinefront/tank.h"

#include <stdio.h>

/* Pressure over the bed at the assumed service flow over that at 68 F. */
static bf_status pressure(int variant, outcome *out, bf_error *err)
{
    static source data; /* too large for the stack */
    static bf_rating_spec rating;
    const bf_tank_spec tank = bf_tank_spec_default();
    bf_status status = BF_OK;
    double base_Pa = 0.0;
    (void)variant;
    TRY(source_read("hcr_s_sheet", &data, err));
    TRY(source_rating(data.case_text, &rating, err));
    const double m3_per_s = rating.recipe.step[0].velocity_m_per_s * bf_bed_area_m2(&rating.bed);
    TRY(bf_tank_pressure_Pa(&tank, &rating.bed, m3_per_s, BF_K_AT_0_C + 20.0, &base_Pa, err));
    for (size_t row = 0; (row = source_next(&data, "pressure_F", row)) > 0;) {
        char point[40];
        double Pa = 0.0;
        double temperature_C = source_number(&data, row, "temperature_C");
        (void)snprintf(point, sizeof point, "%g F", 32.0 + 1.8 * temperature_C);
        TRY(bf_tank_pressure_Pa(&tank, &rating.bed, m3_per_s, BF_K_AT_0_C + temperature_C, &Pa,
                                err));
        source_add(out, &data, row, "factor", point, "of 68 F", Pa / base_Pa);
    }
done:
    return status;
}

/* Backwash flow of the vessel's sheet for a rise of half over that at 25 C,
 * beads of standard spread. */
static bf_status backwash(int variant, outcome *out, bf_error *err)
{
    static source data; /* too large for the stack */
    static bf_rating_spec rating;
    static bf_tank_sheet sheet;
    bf_tank_spec tank = bf_tank_spec_default();
    bf_status status = BF_OK;
    (void)variant;
    TRY(source_read("hcr_s_sheet", &data, err));
    TRY(source_rating(data.case_text, &rating, err));
    bf_recipe_set_dose(&rating.recipe, 10.0 * BF_KG_PER_M3_PER_LB_PER_FT3);
    rating.bed.resin.uniformity_coefficient = 1.6;
    rating.bed.bead_classes = 3;
    tank.wanted_rise = 0.5;
    for (size_t row = 0; (row = source_next(&data, "backwash", row)) > 0;) {
        char point[40];
        double temperature_C = source_number(&data, row, "temperature_C");
        (void)snprintf(point, sizeof point, "%g C", temperature_C);
        const int is_colder = temperature_C < 25.0;
        tank.coldest_K = BF_K_AT_0_C + (is_colder ? temperature_C : 25.0);
        tank.warmest_K = BF_K_AT_0_C + (is_colder ? 25.0 : temperature_C);
        TRY(bf_tank_sheet_of(&tank, &rating, &sheet, err));
        const double ratio = sheet.cold.flow_m3_per_s / sheet.warm.flow_m3_per_s;
        source_add(out, &data, row, "factor", point, "of 25 C", is_colder ? ratio : 1.0 / ratio);
    }
done:
    return status;
}

const comparison vessel_comparisons[] = {
    {"pressure", pressure, 0}, {"backwash", backwash, 0}, {NULL, NULL, 0}};
