/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The steps of a cycle: brine by strength, injector and sea water, and a list of steps. */
#include "plain.h"

#include <math.h>

START_TEST(steps_of_no_length_are_left_out)
{
    bf_error err = {0};
    bf_case c;
    draft d = plain_draft();
    draft_set(&d, "regeneration.backwash_time", "0 min");
    draft_set(&d, "regeneration.slow_rinse_volume", "0 BV");
    draft_set(&d, "regeneration.fast_rinse_volume", "0 gal");
    assert_ok(draft_read(&d, &c, NULL, &err));
    ck_assert_uint_eq(c.rating.recipe.count, 3);
    ck_assert_ptr_eq(c.rating.recipe.step[0].type, &bf_step_service);
    ck_assert_ptr_eq(c.rating.recipe.step[1].type, &bf_step_brine);
    ck_assert_ptr_eq(c.rating.recipe.step[2].type, &bf_step_refill);
}
END_TEST

/* Degrees are percent of saturation at the temperature of the case: NaCl 26.33 wt% at 40 F and
 * 26.45 at 70 F (Salt Institute), KCl 25.39 at 20 C (CRC Handbook, from memory), each to half of
 * its last digit, 2e-4. */
START_TEST(salometer_degrees_count_to_saturation_at_the_temperature)
{
    static const struct {
        const char *salt, *temperature;
        double saturated;
    } brines[] = {
        {"NaCl", "40 F", 0.2633},
        {"NaCl", "70 F", 0.2645},
        {"KCl", "20 C", 0.2539},
    };
    for (size_t i = 0; i < COUNT(brines); i++) {
        bf_error err = {0};
        bf_case c;
        draft d = plain_draft();
        draft_set(&d, "bed.freeboard", "100 %");
        draft_set(&d, "regeneration.salt", brines[i].salt);
        draft_set(&d, "water.temperature", brines[i].temperature);
        draft_set(&d, "regeneration.brine_strength", "43 salometer");
        assert_ok(draft_read(&d, &c, NULL, &err));
        assert_near(c.rating.recipe.step[BRINE].mass_fraction, 0.43 * brines[i].saturated, 2e-4);
    }
}
END_TEST

START_TEST(an_injector_keeps_the_mass_of_salt_and_water)
{
    bf_error err = {0};
    bf_case c;
    bf_notes *notes = NULL;
    draft d = plain_draft();
    assert_ok(bf_notes_create(&notes, &err));
    draft_set(&d, "regeneration.draw_flow", "1.3 BV/h");
    draft_set(&d, "regeneration.draw_strength", "20 wt%");
    draft_set(&d, "regeneration.slow_rinse_flow", "1.6 BV/h");
    assert_ok(draft_read(&d, &c, notes, &err));
    /* salt 1.3*1147.8*0.2 = 298.428, all 1.3*1147.8 + 1.6*998.2 = 3089.26: 9.6602 wt%, of
     * 1055.9 + 14.8*1.6602/2 = 1068.19 kg/m3, so 2.89206 BV/h. The densities agree within 0.06 %;
     * the water's share of that is less. */
    const bf_step *step = c.rating.recipe.step;
    assert_near(step[BRINE].mass_fraction, 0.096602, 1e-3);
    assert_near(step[BRINE].velocity_m_per_s, 2.89206 / 3600 * DEPTH, 1e-3);
    assert_near(step[SLOW_RINSE].velocity_m_per_s, 1.6 / 3600 * DEPTH, EXACT);
    ck_assert_ptr_nonnull(strstr(note_about(notes, BF_NOTE_DEDUCED, "regeneration.draw_flow").text,
                                 "9.66 wt% at 2.89 BV/h"));
    bf_notes_free(notes);

    /* Saturated by default: 26.45 wt% of 1197.2 + 0.45*8.4 = 1201.0 kg/m3, as from 24 wt%
     * (1180.4) on; 26.45 is that of 70 F, less than 0.1 % above that of 20 C. Salt 317.66 in
     * 1201.0 + 2.1*998.2 = 3297.2: 9.6342 wt%. */
    draft_set(&d, "regeneration.draw_strength", NULL);
    draft_set(&d, "regeneration.draw_flow", "1 BV/h");
    draft_set(&d, "regeneration.slow_rinse_flow", "2.1 BV/h");
    assert_ok(draft_read(&d, &c, NULL, &err));
    assert_near(c.rating.recipe.step[BRINE].mass_fraction, 0.096342, 2e-3);
}
END_TEST

START_TEST(sea_water_is_a_brine_without_refill)
{
    bf_error err = {0};
    bf_case c;
    draft d = plain_draft();
    draft_set(&d, "regeneration.salt", "sea_water");
    draft_set(&d, "regeneration.doses", "290 g/L");
    draft_set(&d, "regeneration.brine_flow", "3.3 BV/h");
    assert_ok(draft_read(&d, &c, NULL, &err));
    const bf_step *step = c.rating.recipe.step;
    ck_assert_uint_eq(c.rating.recipe.count, 5);
    ck_assert_ptr_eq(step[BRINE].type, &bf_step_brine);
    ck_assert_int_eq(step[BRINE].supply, BF_SUPPLY_SEA);
    assert_near(step[BRINE].velocity_m_per_s, 3.3 / 3600 * DEPTH, EXACT);
    ck_assert_ptr_eq(step[FAST_RINSE].type, &bf_step_fast_rinse);
    ck_assert_int_eq(step[SLOW_RINSE].supply, BF_SUPPLY_RAW);
    draft_set(&d, "regeneration.steps", "[brine, fast_rinse]");
    assert_ok(draft_read(&d, &c, NULL, &err));
    ck_assert_uint_eq(c.rating.recipe.count, 3);
    ck_assert_int_eq(step[1].supply, BF_SUPPLY_SEA);
}
END_TEST

/* Only what flows up while the salt is in the bed is held down. */
START_TEST(blocking_flow_goes_with_what_flows_up)
{
    bf_error err = {0};
    bf_case c;
    draft d = plain_draft();
    const double blocking = 2.3 / 3600 * DEPTH;
    draft_set(&d, "regeneration.blocking_flow", "2.3 BV/h");
    draft_set(&d, "regeneration.steps",
              "[backwash, brine, {step: brine, direction: up}, slow_rinse, {step: slow_rinse, "
              "direction: up}, {step: fast_rinse, direction: up}]");
    assert_ok(draft_read(&d, &c, NULL, &err));
    static const int is_held[] = {0, 0, 0, 1, 0, 1, 0};
    ck_assert_uint_eq(c.rating.recipe.count, COUNT(is_held));
    for (size_t s = 0; s < COUNT(is_held); s++) {
        assert_near(c.rating.recipe.step[s].blocking_velocity_m_per_s, is_held[s] ? blocking : 0.0,
                    EXACT);
    }
    draft_set(&d, "regeneration.direction", "counter-current");
    draft_set(&d, "regeneration.steps", "[{step: brine, direction: down}, brine]");
    assert_ok(draft_read(&d, &c, NULL, &err));
    ck_assert_double_eq(c.rating.recipe.step[1].blocking_velocity_m_per_s, 0.0);
    assert_near(c.rating.recipe.step[2].blocking_velocity_m_per_s, blocking, EXACT);
}
END_TEST

/* Words alone, in their order and as often as they stand there, are what the section says. */
START_TEST(steps_are_taken_in_their_order)
{
    static const char *const spellings[] = {
        "[brine, backwash, fast_rinse, brine, slow_rinse, refill, fast_rinse]",
        "\n    - brine\n    - step: backwash\n    - fast_rinse\n    - {step: brine}\n"
        "    - slow_rinse\n    - step: refill\n    - 'fast_rinse'",
    };
    const bf_step_type *const types[] = {
        &bf_step_service, &bf_step_brine,      &bf_step_backwash, &bf_step_fast_rinse,
        &bf_step_brine,   &bf_step_slow_rinse, &bf_step_refill,   &bf_step_fast_rinse,
    };
    for (size_t i = 0; i < COUNT(spellings); i++) {
        bf_error err = {0};
        bf_case usual, listed;
        draft d = plain_draft();
        draft_set(&d, "regeneration.fast_rinse_volume", "1.7 BV");
        draft_set(&d, "regeneration.brine_strength", "8.3 wt%");
        assert_ok(draft_read(&d, &usual, NULL, &err));
        draft_set(&d, "regeneration.steps", spellings[i]);
        assert_ok(draft_read(&d, &listed, NULL, &err));
        ck_assert_uint_eq(listed.rating.recipe.count, COUNT(types));
        for (size_t s = 0; s < COUNT(types); s++) {
            const bf_step *step = &listed.rating.recipe.step[s];
            const bf_step *same = usual.rating.recipe.step;
            ck_assert_ptr_eq(step->type, types[s]);
            while (same->type != step->type) {
                same++;
            }
            ck_assert(memcmp(&step->velocity_m_per_s, &same->velocity_m_per_s, sizeof(double)) ==
                      0);
            ck_assert_int_eq(step->direction, same->direction);
            ck_assert_int_eq(step->supply, same->supply);
            ck_assert_double_eq(step->mass_fraction, same->mass_fraction);
            ck_assert(step->bed_volumes == same->bed_volumes ||
                      (isnan(step->bed_volumes) && isnan(same->bed_volumes)));
        }
    }
}
END_TEST

START_TEST(an_item_changes_its_own_step)
{
    bf_error err = {0};
    bf_case c;
    draft d = plain_draft();
    draft_set(
        &d, "regeneration.steps",
        "\n    - {step: backwash, flow: 4.1 gpm/ft2, time: 7 min, mixing: 37 %, water: soft}"
        "\n    - {step: brine, flow: 0.37 gpm/ft3, strength: 7.7 wt%, direction: up, water: raw}"
        "\n    - {step: hold, time: 23 min}"
        "\n    - {step: slow_rinse, volume: 13 gal/ft3, flow: 2.7 BV/h, water: soft}"
        "\n    - {step: slow_rinse, time: 11 min, direction: up}"
        "\n    - {step: fast_rinse, time: 6.5 min, flow: 14 BV/h}"
        "\n    - {step: refill, flow: 0.4 gpm}"
        "\n    - brine");
    assert_ok(draft_read(&d, &c, NULL, &err));
    const bf_step *step = &c.rating.recipe.step[1];
    ck_assert_uint_eq(c.rating.recipe.count, 9);
    assert_near(step[0].velocity_m_per_s, 4.1 * GAL / 60 / (FT * FT), EXACT);
    assert_near(step[0].bed_volumes, 7 * 4.1 * GAL / (FT * FT) / DEPTH, EXACT);
    assert_near(step[0].mix_share, 0.37, EXACT);
    ck_assert_int_eq(step[0].supply, BF_SUPPLY_SOFT);
    assert_near(step[1].velocity_m_per_s, 0.37 * GAL / 60 / FT3 * DEPTH, EXACT);
    assert_near(step[1].mass_fraction, 0.077, EXACT);
    ck_assert_int_eq(step[1].direction, BF_FLOW_UP);
    ck_assert_int_eq(step[1].supply, BF_SUPPLY_RAW);
    ck_assert_ptr_eq(step[2].type, &bf_step_hold);
    assert_near(step[2].duration_s, 23 * 60.0, EXACT);
    assert_near(step[3].bed_volumes, 13 * GAL / FT3, EXACT);
    assert_near(step[3].velocity_m_per_s, 2.7 / 3600 * DEPTH, EXACT);
    ck_assert_int_eq(step[3].supply, BF_SUPPLY_SOFT);
    ck_assert_int_eq(step[3].direction, BF_FLOW_DOWN);
    assert_near(step[4].bed_volumes, 11.0 / 60 * 4, EXACT); /* at the section's 4 BV/h */
    ck_assert_int_eq(step[4].supply, BF_SUPPLY_RAW);
    ck_assert_int_eq(step[4].direction, BF_FLOW_UP);
    assert_near(step[5].bed_volumes, 6.5 / 60 * 14, EXACT);
    assert_near(step[6].velocity_m_per_s, 0.4 * GAL / 60 / AREA, EXACT);
    assert_near(step[7].mass_fraction, 0.10, EXACT); /* the other brine is not touched */
    ck_assert_int_eq(step[7].direction, BF_FLOW_DOWN);
    ck_assert_int_eq(step[7].supply, BF_SUPPLY_SOFT);
    /* and back down in a bed that is regenerated upward */
    draft_set(&d, "regeneration.direction", "counter-current");
    draft_set(&d, "regeneration.steps", "[brine, {step: slow_rinse, direction: down}]");
    assert_ok(draft_read(&d, &c, NULL, &err));
    ck_assert_int_eq(step[0].direction, BF_FLOW_UP);
    ck_assert_int_eq(step[1].direction, BF_FLOW_DOWN);
}
END_TEST

START_TEST(brines_share_the_dose)
{
    bf_error err = {0};
    bf_case c;
    draft d = plain_draft();
    draft_set(&d, "regeneration.steps",
              "[{step: brine, share: 1.5}, hold, {step: brine, share: 2.5}, brine, refill]");
    assert_fails(draft_read(&d, &c, NULL, &err), BF_E_INPUT, "a hold needs a time");
    draft_set(&d, "regeneration.steps",
              "[{step: brine, share: 1.5}, {step: brine, share: 2.5}, brine, refill]");
    assert_ok(draft_read(&d, &c, NULL, &err));
    bf_recipe_set_dose(&c.rating.recipe, 137.0);
    const bf_step *step = &c.rating.recipe.step[1];
    assert_near(step[0].dose_kg_per_m3, 137.0 * 1.5 / 5.0, EXACT); /* nothing said: 1 */
    assert_near(step[1].dose_kg_per_m3, 137.0 * 2.5 / 5.0, EXACT);
    assert_near(step[2].dose_kg_per_m3, 137.0 * 1.0 / 5.0, EXACT);
    assert_near(step[3].dose_kg_per_m3, 137.0, EXACT);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {steps_of_no_length_are_left_out,
                                  salometer_degrees_count_to_saturation_at_the_temperature,
                                  an_injector_keeps_the_mass_of_salt_and_water,
                                  sea_water_is_a_brine_without_refill,
                                  blocking_flow_goes_with_what_flows_up,
                                  steps_are_taken_in_their_order,
                                  an_item_changes_its_own_step,
                                  brines_share_the_dose};
    return support_run("case.recipe", tests, COUNT(tests), 60);
}
