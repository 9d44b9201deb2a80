/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What nobody states: the geometry that follows, the defaults, and the note about each. */
#include "plain.h"

#include "brinefront/hydraulics.h"
#include "case/keys.h"

#include <math.h>

START_TEST(hardness_and_resin_volume_are_enough)
{
    bf_error err = {0};
    bf_notes *notes = NULL;
    bf_case c;
    assert_ok(bf_notes_create(&notes, &err));
    assert_ok(read_text("water: {hardness: 317 mg/L as CaCO3}\nbed: {resin_volume: 1.5 ft3}\n", &c,
                        notes, &err));
    const bf_bed_spec *bed = &c.rating.bed;
    ck_assert_double_eq(bed->depth_m, 0.76);
    assert_near(bed->diameter_m, sqrt(1.5 * FT3 / 0.76 * 4 / PI), EXACT);
    ck_assert_ptr_nonnull(strstr(note_about(notes, BF_NOTE_ASSUMED, "bed.depth").text, "0.76 m"));
    ck_assert_ptr_nonnull(strstr(note_about(notes, BF_NOTE_DEDUCED, "bed.diameter").text,
                                 "0.2668 m from resin volume"));

    /* Everything else is the defaults that keys.def prints, in SI by hand. */
    ck_assert_str_eq(c.title, "");
    assert_near(c.rating.water.hardness_eq_per_m3, HARDNESS, EXACT);
    assert_near(c.rating.water.ion_eq_per_m3[BF_ION_CA], HARDNESS * 2 / 3, EXACT);
    assert_near(c.rating.water.temperature_K, 293.15, EXACT);
    assert_near(c.rating.water.pH, 7.5, EXACT);
    assert_near(bed->freeboard_m, 0.38, EXACT);
    ck_assert_str_eq(bed->resin.name, "gel_8");
    ck_assert_uint_eq(bed->cells, 120);
    ck_assert_uint_eq(bed->shells, 3);
    ck_assert_int_eq(bed->shell_law, BF_SHELLS_MATCHED);
    ck_assert_int_eq(bed->freeboard_law, BF_FREEBOARD_BY_DENSITY);
    assert_near(bed->resin.bead_diameter_m, 0.65e-3, EXACT);
    assert_near(bed->resin.uniformity_coefficient, 1.6, EXACT);
    ck_assert_uint_eq(bed->bead_classes, 2);
    ck_assert_uint_eq(c.rating.steady.most_cycles, 200);
    const bf_step *step = c.rating.recipe.step;
    ck_assert_uint_eq(c.rating.recipe.count, 6);
    assert_near(step[SERVICE].velocity_m_per_s, 20 * 0.76 / 3600, EXACT);
    assert_near(step[SERVICE].end_hardness_eq_per_m3, GPG, EXACT);
    ck_assert(isnan(step[SERVICE].stop_hardness_eq_per_m3) && isnan(step[SERVICE].bed_volumes));
    /* What lifts the bed by 45 %: Richardson and Zaki's law read the other way. */
    bf_fluid water;
    assert_ok(bf_fluid_of_water(293.15, &water, &err));
    assert_near(bf_bed_depth_ratio(&water, step[BACKWASH].velocity_m_per_s, 0.65e-3, 1280.0, 0.38),
                1.45, 1e-9);
    assert_near(step[BACKWASH].bed_volumes, step[BACKWASH].velocity_m_per_s * 600 / 0.76, EXACT);
    ck_assert_double_eq(step[BACKWASH].mix_share, 0.0);
    assert_near(step[BRINE].mass_fraction, 0.10, EXACT);
    assert_near(step[BRINE].velocity_m_per_s, 4 * 0.76 / 3600, EXACT);
    ck_assert_int_eq(step[BRINE].salt, BF_SALT_NACL);
    ck_assert_int_eq(step[BRINE].direction, BF_FLOW_DOWN);
    ck_assert_int_eq(step[BRINE].supply, BF_SUPPLY_SOFT);
    assert_near(step[SLOW_RINSE].bed_volumes, 2.0, EXACT);
    assert_near(step[SLOW_RINSE].velocity_m_per_s, 4 * 0.76 / 3600, EXACT);
    assert_near(step[FAST_RINSE].bed_volumes, 2.0, EXACT);
    assert_near(step[FAST_RINSE].velocity_m_per_s, 12 * 0.76 / 3600, EXACT);
    assert_near(step[REFILL].velocity_m_per_s, 2 * 0.76 / 3600, EXACT);
    static const double doses[] = {5, 7.5, 10, 15};
    ck_assert_uint_eq(c.dose_count, COUNT(doses));
    for (size_t i = 0; i < COUNT(doses); i++) {
        assert_near(c.dose_kg_per_m3[i], doses[i] * LB / FT3, EXACT);
    }
    bf_notes_free(notes);
}
END_TEST

START_TEST(two_of_diameter_depth_and_volume_make_the_third)
{
    bf_error err = {0};
    bf_notes *notes = NULL;
    bf_case c;
    assert_ok(bf_notes_create(&notes, &err));
    draft d = plain_draft();
    assert_ok(draft_read(&d, &c, notes, &err)); /* diameter and depth */
    ck_assert_double_eq(c.rating.bed.diameter_m, 0.3);
    ck_assert_double_eq(c.rating.bed.depth_m, 0.8);
    ck_assert_ptr_null(note_about(notes, BF_NOTE_ASSUMED, "bed.depth").text);

    draft_set(&d, "bed.depth", NULL);
    draft_set(&d, "bed.resin_volume", "67 L");
    assert_ok(draft_read(&d, &c, notes, &err));
    assert_near(c.rating.bed.depth_m, 0.067 / AREA, EXACT);
    ck_assert_ptr_nonnull(note_about(notes, BF_NOTE_DEDUCED, "bed.depth").text);

    draft_set(&d, "bed.depth", "0.91 m");
    draft_set(&d, "bed.diameter", NULL);
    assert_ok(draft_read(&d, &c, notes, &err));
    assert_near(c.rating.bed.diameter_m, sqrt(0.067 / 0.91 * 4 / PI), EXACT);

    /* All three: within 2 % they agree, and diameter and depth are taken. The volume is 56.55 L. */
    draft_set(&d, "bed.diameter", "0.3 m");
    draft_set(&d, "bed.depth", "0.8 m");
    draft_set(&d, "bed.resin_volume", "57.6 L");
    assert_ok(draft_read(&d, &c, notes, &err));
    ck_assert_double_eq(c.rating.bed.depth_m, 0.8);
    draft_set(&d, "bed.resin_volume", "57.8 L");
    assert_fails(draft_read(&d, &c, notes, &err), BF_E_INPUT,
                 "resin volume 57.8 L contradicts diameter and depth, which make 56.55 L");
    bf_notes_free(notes);
}
END_TEST

START_TEST(a_default_is_noted_and_a_statement_is_not)
{
    bf_error err = {0};
    bf_case c;
    size_t looked = 0;
    for (size_t k = 0; k < bf_case_key_count(); k++) {
        bf_case_key key = bf_case_key_get(k);
        bf_notes *notes = NULL;
        assert_ok(bf_notes_create(&notes, &err));
        draft d = plain_draft();
        assert_ok(draft_read(&d, &c, notes, &err));
        const char *text = note_about(notes, BF_NOTE_ASSUMED, key.path).text;
        bf_notes_free(notes);
        if (*key.default_text == '\0' || strncmp(key.path, "numerics.", 9) == 0 ||
            bf__key_is_of_campaign((bf__key_id)k) || bf__key_is_of_tank((bf__key_id)k)) {
            /* of a campaign and a vessel nothing is filled in here */
            ck_assert_msg(text == NULL || strncmp(key.path, "water.", 6) == 0, "%s", key.path);
            continue;
        }
        assert_ok(bf_notes_create(&notes, &err));
        assert_ok(draft_read(&d, &c, notes, &err));
        text = note_about(notes, BF_NOTE_ASSUMED, key.path).text;
        ck_assert_msg(text != NULL &&
                          strncmp(text, key.default_text, strlen(key.default_text)) == 0 &&
                          strstr(text, key.source) != NULL,
                      "%s", key.path);
        bf_notes_free(notes);
        assert_ok(bf_notes_create(&notes, &err));
        draft_set(&d, key.path, key.default_text);
        assert_ok(draft_read(&d, &c, notes, &err));
        ck_assert_ptr_null(note_about(notes, BF_NOTE_ASSUMED, key.path).text);
        bf_notes_free(notes);
        looked++;
    }
    ck_assert_uint_gt(looked, 15);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {hardness_and_resin_volume_are_enough,
                                  two_of_diameter_depth_and_volume_make_the_third,
                                  a_default_is_noted_and_a_statement_is_not};
    return support_run("case.defaults", tests, COUNT(tests), 60);
}
