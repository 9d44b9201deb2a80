/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The assumed bed against ranges of practice, which checks the assumptions
 * rather than the model; and three facts of practice, as directions (common
 * practice, no source). */
#include "against.h"
#include "try.h"

#include "brinefront/convert.h"
#include "brinefront/cycle_study.h"
#include "brinefront/practice.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { DOSES = 4, NEW_CYCLES = 8 };
static const double pounds[DOSES] = {5.0, 7.5, 10.0, 15.0};

/* What the assumed bed has of the thing a row names; NAN for what it does not
 * know. */
static double have(const char *name, const bf_rating_spec *rating, const bf_deduced *deduced,
                   const bf_dose_point *at_10)
{
    const bf_step *service = &rating->recipe.step[0];
    const bf_step *brine = bf_recipe_find(&rating->recipe, BF_ROLE_BRINE);
    const bf_step *slow = bf_recipe_find(&rating->recipe, BF_ROLE_SLOW_RINSE);
    const bf_step *fast = bf_recipe_find(&rating->recipe, BF_ROLE_FAST_RINSE);
    const struct {
        const char *name;
        double value;
    } found_row[] = {{"brine strength", 100.0 * brine->mass_fraction},
                     {"brine flow", BF_S_PER_H * brine->velocity_m_per_s / rating->bed.depth_m},
                     {"slow rinse", slow->bed_volumes},
                     {"fast rinse", fast->bed_volumes},
                     {"total rinse", slow->bed_volumes + fast->bed_volumes},
                     {"service flow", BF_S_PER_H * service->velocity_m_per_s / rating->bed.depth_m},
                     {"service velocity", BF_S_PER_H * service->velocity_m_per_s},
                     {"bed depth", rating->bed.depth_m},
                     {"freeboard", 100.0 * rating->bed.freeboard_m / rating->bed.depth_m},
                     {"pressure drop in service", 1e-3 * deduced->service_pressure_Pa},
                     {"regeneration water", at_10->steady.cycle.water_bed_volumes},
                     {"brine contact at 5 lb/ft3", 5.0 * deduced->brine_s_per_kg_per_m3},
                     {"brine contact at 7.5 lb/ft3", 7.5 * deduced->brine_s_per_kg_per_m3},
                     {"brine contact at 10 lb/ft3", 10.0 * deduced->brine_s_per_kg_per_m3},
                     {"brine contact at 15 lb/ft3", 15.0 * deduced->brine_s_per_kg_per_m3}};
    for (size_t k = 0; k < sizeof found_row / sizeof *found_row; k++) {
        if (strcmp(found_row[k].name, name) == 0) {
            int contact = strncmp(name, "brine contact", 13) == 0; /* per lb/ft3 so far, in s */
            return found_row[k].value *
                   (contact ? BF_KG_PER_M3_PER_LB_PER_FT3 / BF_S_PER_MIN : 1.0);
        }
    }
    return (double)NAN;
}

static const char *const range_rows[] = {"assumed", "fast_rinse_c100", "brine_time"};

static bf_status ranges(int variant, outcome *out, bf_error *err)
{
    static source data; /* too large for the stack */
    bf_rating_spec rating;
    bf_deduced deduced;
    bf_dose_point at_10;
    bf_status status = BF_OK;
    const double dose_kg_per_m3 = 10.0 * BF_KG_PER_M3_PER_LB_PER_FT3;
    TRY(source_read("practice", &data, err));
    TRY(source_rating(data.case_text, &rating, err));
    TRY(bf_deduce(&rating, &deduced, err));
    TRY(source_rate(data.case_text, &dose_kg_per_m3, 1, &at_10, err));
    for (size_t row = 0; (row = source_next(&data, range_rows[variant], row)) > 0;) {
        const char *name = source_cell(&data, row, "what");
        source_add(out, &data, row, "range", name, source_cell(&data, row, "unit"),
                   have(name, &rating, &deduced, &at_10));
    }
done:
    return status;
}

/* Regenerations of a bed as delivered until every later run is within 1 % of
 * the steady one. */
static bf_status regenerations(const bf_rating_spec *rating, double dose_kg_per_m3,
                               double steady_eq_per_m3, double *count, bf_error *err)
{
    bf_cycle_study study;
    bf_status status = bf_cycle_study_run(rating, dose_kg_per_m3, NEW_CYCLES, &study, err);
    size_t cycles = NEW_CYCLES; /* run k comes after k regenerations */
    while (status == BF_OK && cycles > 0 &&
           fabs(study.cycle[cycles - 1].capacity_eq_per_m3 / steady_eq_per_m3 - 1.0) <= 0.01) {
        cycles--;
    }
    *count = cycles == NEW_CYCLES ? (double)NAN : (double)cycles;
    bf_cycle_study_free(&study);
    return status;
}

static bf_status new_bed(int variant, outcome *out, bf_error *err)
{
    static source data; /* too large for the stack */
    bf_rating_spec rating;
    bf_status status = BF_OK;
    (void)variant;
    TRY(source_read("practice", &data, err));
    TRY(source_rating(data.case_text, &rating, err));
    size_t row = 0;
    for (size_t d = 0; d < DOSES; d++) {
        bf_dose_point steady;
        double count;
        const double dose_kg_per_m3 = pounds[d] * BF_KG_PER_M3_PER_LB_PER_FT3;
        if (pounds[d] == 7.5) { /* not in the table: three doses tell */
            continue;
        }
        row = source_next(&data, "new_bed", row);
        TRY(source_rate(data.case_text, &dose_kg_per_m3, 1, &steady, err));
        TRY(regenerations(&rating, dose_kg_per_m3, source_capacity(&steady), &count, err));
        source_add(out, &data, row, "range", source_cell(&data, row, "what"), "-", count);
    }
done:
    return status;
}

/* variant 0: capacity per salt, 1: length of the run, each over that of the
 * dose before. */
static bf_status from_dose_to_dose(int variant, outcome *out, bf_error *err)
{
    static source data; /* too large for the stack */
    double dose_kg_per_m3[DOSES];
    bf_dose_point point[DOSES];
    bf_status status = BF_OK;
    size_t row = 0;
    for (size_t d = 0; d < DOSES; d++) {
        dose_kg_per_m3[d] = pounds[d] * BF_KG_PER_M3_PER_LB_PER_FT3;
    }
    TRY(source_read("practice", &data, err));
    TRY(source_rate(data.case_text, dose_kg_per_m3, DOSES, point, err));
    for (size_t d = 1; d < DOSES; d++) {
        row = source_next(&data, variant == 0 ? "efficiency" : "often", row);
        double now = variant == 0 ? measure_efficiency_gr(&point[d])
                                  : point[d].steady.cycle.throughput_bed_volumes;
        double before = variant == 0 ? measure_efficiency_gr(&point[d - 1])
                                     : point[d - 1].steady.cycle.throughput_bed_volumes;
        source_add(out, &data, row, "range", source_cell(&data, row, "what"), "-", now / before);
    }
done:
    return status;
}

const comparison practice_comparisons[] = {{"assumed", ranges, 0},
                                           {"fast_rinse_c100", ranges, 1},
                                           {"brine_time", ranges, 2},
                                           {"new_bed", new_bed, 0},
                                           {"low_doses_efficient", from_dose_to_dose, 0},
                                           {"low_doses_often", from_dose_to_dose, 1},
                                           {NULL, NULL, 0}};
