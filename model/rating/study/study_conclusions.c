/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What follows from the ratings of a study without a further one. */
#include "rating/practice/both_units.h"
#include "rating/study/study.h"

#include <math.h>

bf_status bf__study_sheet(const bf_tank_study_spec *spec, const bf_rating_spec *rating,
                          double dose_kg_per_m3, bf_tank_sheet *out, bf_error *err)
{
    bf_error inner = {0};
    bf_rating_spec dosed = *rating;
    bf_recipe_set_dose(&dosed.recipe, dose_kg_per_m3);
    bf_status status = bf_tank_sheet_of(spec->tank, &dosed, out, &inner);
    if (status == BF_E_RANGE && !isnan(out->regeneration_s)) {
        return BF_OK;
    }
    if (status != BF_OK && err != NULL) {
        *err = inner;
    }
    return status;
}

static bf_status conclude_dose(const bf_tank_study_spec *spec, const bf_tank_study *study,
                               bf_tank_dose *dose, bf_error *err)
{
    const bf_tank_spec *tank = spec->tank;
    const bf_cycle_result *cycle = &dose->point.steady.cycle;
    const double service =
        study->rating.recipe.step[0].velocity_m_per_s * bf_bed_area_m2(&study->rating.bed);
    const double usual = isnan(tank->average_m3_per_s) ? service : tank->average_m3_per_s;
    dose->tank = bf_tank_rating_of(&study->rating, &dose->point);
    dose->run_s = dose->tank.water_m3 / usual;
    dose->short_run_s =
        isnan(tank->peak_m3_per_s) ? dose->run_s : dose->tank.water_m3 / tank->peak_m3_per_s;
    bf_recipe recipe = study->rating.recipe;
    bf_recipe_set_dose(&recipe, dose->point.dose_kg_per_m3);
    dose->salt_left_eq_per_m3 = bf_salt_left_eq_per_m3(&recipe, cycle);
    dose->blend_share = (double)NAN;
    if (!isnan(spec->blend_eq_per_m3) && cycle->outcome == BF_RATED &&
        bf_blend_share(study->rating.water.hardness_eq_per_m3, cycle->leakage_mean_eq_per_m3,
                       spec->blend_eq_per_m3, &dose->blend_share, NULL) != BF_OK) {
        dose->blend_share = (double)NAN;
    }
    return bf__study_sheet(spec, &study->rating, dose->point.dose_kg_per_m3, &dose->sheet, err);
}

static void caution(const bf_tank_study_spec *spec, const bf_tank_study *study, bf_notes *notes)
{
    const double worth_a_word = 0.01; /* of the salt: common practice, no source */
    const double average = spec->tank->average_m3_per_s;
    const double service = spec->rating->recipe.step[0].velocity_m_per_s * study->sheet.area_m2;
    const bf_tank_dose *worst = &study->dose[study->most];
    for (size_t d = 0; d < study->count; d++) {
        worst = study->dose[d].salt_left_eq_per_m3 > worst->salt_left_eq_per_m3 ? &study->dose[d]
                                                                                : worst;
    }
    const double share = worst->salt_left_eq_per_m3 / worst->point.dose_eq_per_m3;
    if (share > worth_a_word) {
        bf_notes_add(notes, BF_NOTE_CAUTION, "regeneration.fast_rinse_volume",
                     "at a dose of %s the last rinse leaves %.2g %% of the salt in bed and "
                     "freeboard: it comes with the first softened water; rinse longer",
                     bf__both(BF__QUANTITY_DOSE, worst->point.dose_kg_per_m3).text, 100.0 * share);
    }
    if (spec->protocol == BF_PROTOCOL_OWN && fabs(average / service - 1.0) > 0.1) {
        bf_notes_add(notes, BF_NOTE_CAUTION, "tank.average_flow",
                     "capacity is rated at the flow of the service, %.3g times this one: make "
                     "them one, or read the rating at average flow",
                     service / average);
    }
}

bf_status bf__study_conclude(const bf_tank_study_spec *spec, bf_tank_study *out, bf_notes *notes,
                             bf_error *err)
{
    bf_status status = BF_OK;
    for (size_t d = 0; d < spec->count && status == BF_OK; d++) {
        status = conclude_dose(spec, out, &out->dose[d], err);
    }
    if (status == BF_OK) {
        caution(spec, out, notes);
        (void)bf_criteria_of(&out->rating, &out->sheet, &out->dose[out->least].point, 1,
                             &out->full_flow, out->criterion);
    }
    return status;
}
