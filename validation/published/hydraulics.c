/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Pressure drop (Ergun) and backwash (Richardson & Zaki) of the assumed bed
 * against what resin sheets say. */
#include "source.h"
#include "try.h"

#include "brinefront/convert.h"
#include "brinefront/hydraulics.h"

#include <stdio.h>

typedef struct bed_in_water {
    bf_rating_spec rating;
    bf_fluid water;
} bed_in_water;

static bf_status bed_at(const source *data, double temperature_K, bed_in_water *out, bf_error *err)
{
    bf_status status = source_rating(data->case_text, &out->rating, err);
    return status == BF_OK ? bf_fluid_of_water(temperature_K, &out->water, err) : status;
}

static double pressure(const bed_in_water *bed)
{
    const bf_resin *resin = &bed->rating.bed.resin;
    return bf_pressure_gradient_Pa_per_m(&bed->water, bed->rating.recipe.step[0].velocity_m_per_s,
                                         resin->bead_diameter_m, resin->void_fraction);
}

static double lifting(const bed_in_water *bed, double ratio)
{
    const bf_resin *resin = &bed->rating.bed.resin;
    return bf_lifting_velocity_m_per_s(&bed->water, ratio, resin->bead_diameter_m,
                                       resin->bead_density_kg_per_m3, resin->void_fraction);
}

/* variant 0: pressure drop over that at 20 C; 1: velocity for an expansion of
 * half over that at 25 C. */
static bf_status against_temperature(int variant, outcome *out, bf_error *err)
{
    static source data; /* too large for the stack */
    static bed_in_water bed;
    static bed_in_water base;
    bf_status status = BF_OK;
    TRY(source_read("hcr_s_sheet", &data, err));
    TRY(bed_at(&data, BF_K_AT_0_C + (variant == 0 ? 20.0 : 25.0), &base, err));
    for (size_t row = 0;
         (row = source_next(&data, variant == 0 ? "pressure" : "backwash", row)) > 0;) {
        char point[40];
        double temperature_C = source_number(&data, row, "temperature_C");
        (void)snprintf(point, sizeof point, "%g C", temperature_C);
        TRY(bed_at(&data, BF_K_AT_0_C + temperature_C, &bed, err));
        double factor = variant == 0 ? pressure(&bed) / pressure(&base)
                                     : lifting(&bed, 1.5) / lifting(&base, 1.5);
        source_add(out, &data, row, "factor", point, variant == 0 ? "of 20 C" : "of 25 C", factor);
    }
done:
    return status;
}

static bf_status backwash_velocity(int variant, outcome *out, bf_error *err)
{
    static source data; /* too large for the stack */
    static bed_in_water bed;
    bf_status status = BF_OK;
    (void)variant;
    TRY(source_read("t40_sheet", &data, err));
    TRY(bed_at(&data, BF_K_AT_0_C + 25.0, &bed, err));
    for (size_t row = 0; (row = source_next(&data, "velocity", row)) > 0;) {
        char point[40];
        double expansion = source_number(&data, row, "expansion_percent");
        (void)snprintf(point, sizeof point, "%g %% expansion", expansion);
        source_add(out, &data, row, "velocity_m_per_h", point, "m/h",
                   BF_S_PER_H * lifting(&bed, 1.0 + 0.01 * expansion));
    }
done:
    return status;
}

const comparison hydraulics_comparisons[] = {{"pressure", against_temperature, 0},
                                             {"backwash", against_temperature, 1},
                                             {"backwash_velocity", backwash_velocity, 0},
                                             {NULL, NULL, 0}};
