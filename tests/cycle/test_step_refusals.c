/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What steps refuse when checked, and what fails their run and leaves the bed alone. */
#include "step_rig.h"

static void assert_refused(bf_step step, const char *part)
{
    bf_error err = {0};
    assert_fails(step.type->check(&step, &err), BF_E_RANGE, part);
    ck_assert_str_eq(err.where, step.type->name);
}

static void assert_accepted(bf_step step)
{
    bf_error err = {0};
    assert_ok(step.type->check(&step, &err));
}

#define ASSERT_FIELD_REFUSED(step, field, value, part)                                             \
    do {                                                                                           \
        bf_step bad_ = (step);                                                                     \
        bad_.field = (value);                                                                      \
        assert_refused(bad_, (part));                                                              \
    } while (0)

START_TEST(sound_steps_are_accepted)
{
    bf_step by_volume = rig_service();
    by_volume.end_hardness_eq_per_m3 = NAN;
    by_volume.bed_volumes = 37.3;
    bf_step deeper = rig_service();
    deeper.stop_hardness_eq_per_m3 = 1.001 * RIG_END_EQ_PER_M3;
    assert_accepted(rig_service());
    assert_accepted(by_volume);
    assert_accepted(deeper);
    assert_accepted(rig_brine(7.3));
    assert_accepted(rig_pass(&bf_step_backwash, 31.0, 4.7));
    assert_accepted(rig_pass(&bf_step_slow_rinse, 4.0, 1e4));
    assert_accepted(rig_pass(&bf_step_fast_rinse, 12.0, 1e-3));
    assert_accepted(refill_for(137.3));
    assert_accepted(hold_for(613.0));
}
END_TEST

START_TEST(a_flow_without_velocity_or_volume_is_refused)
{
    const bf_step_type *const passing[] = {&bf_step_backwash, &bf_step_slow_rinse,
                                           &bf_step_fast_rinse};
    for (size_t i = 0; i < sizeof passing / sizeof *passing; i++) {
        bf_step step = rig_pass(passing[i], 4.0, 2.0);
        ASSERT_FIELD_REFUSED(step, velocity_m_per_s, 0.0, "velocity");
        ASSERT_FIELD_REFUSED(step, velocity_m_per_s, -1e-3, "velocity");
        ASSERT_FIELD_REFUSED(step, velocity_m_per_s, 1.01, "velocity");
        ASSERT_FIELD_REFUSED(step, velocity_m_per_s, NAN, "velocity");
        ASSERT_FIELD_REFUSED(step, bed_volumes, 0.0, "volume");
        ASSERT_FIELD_REFUSED(step, bed_volumes, -2.0, "volume");
        ASSERT_FIELD_REFUSED(step, bed_volumes, 10001.0, "volume");
        ASSERT_FIELD_REFUSED(step, bed_volumes, NAN, "volume");
    }
}
END_TEST

START_TEST(a_service_that_cannot_end_is_refused)
{
    bf_step service = rig_service();
    ASSERT_FIELD_REFUSED(service, end_hardness_eq_per_m3, NAN, "neither an end point nor a volume");
    ASSERT_FIELD_REFUSED(service, end_hardness_eq_per_m3, 0.0, "must be above zero");
    ASSERT_FIELD_REFUSED(service, end_hardness_eq_per_m3, -0.3, "must be above zero");
    ASSERT_FIELD_REFUSED(service, stop_hardness_eq_per_m3, RIG_END_EQ_PER_M3,
                         "must lie above the end point");
    ASSERT_FIELD_REFUSED(service, stop_hardness_eq_per_m3, 0.9 * RIG_END_EQ_PER_M3,
                         "must lie above the end point");
    ASSERT_FIELD_REFUSED(service, velocity_m_per_s, 0.0, "velocity");
    ASSERT_FIELD_REFUSED(service, velocity_m_per_s, NAN, "velocity");
    ASSERT_FIELD_REFUSED(service, bed_volumes, 0.0, "volume");
    ASSERT_FIELD_REFUSED(service, bed_volumes, 10001.0, "volume");
    service.bed_volumes = 41.0;
    ASSERT_FIELD_REFUSED(service, velocity_m_per_s, 0.0, "velocity");
    /* A second end point needs a first to lie above. */
    service.end_hardness_eq_per_m3 = NAN;
    ASSERT_FIELD_REFUSED(service, stop_hardness_eq_per_m3, 1.0, "must lie above the end point");
}
END_TEST

START_TEST(brine_without_salt_or_strength_is_refused)
{
    const bf_step steps[] = {rig_brine(7.3), refill_for(137.3)};
    for (size_t i = 0; i < 2; i++) {
        ASSERT_FIELD_REFUSED(steps[i], dose_kg_per_m3, 0.0, "salt dose");
        ASSERT_FIELD_REFUSED(steps[i], dose_kg_per_m3, -17.0, "salt dose");
        ASSERT_FIELD_REFUSED(steps[i], dose_kg_per_m3, 2001.0, "salt dose");
        ASSERT_FIELD_REFUSED(steps[i], dose_kg_per_m3, NAN, "salt dose");
        ASSERT_FIELD_REFUSED(steps[i], velocity_m_per_s, 0.0, "velocity");
    }
    ASSERT_FIELD_REFUSED(steps[0], mass_fraction, 0.0, "strength");
    ASSERT_FIELD_REFUSED(steps[0], mass_fraction, -0.1, "strength");
    ASSERT_FIELD_REFUSED(steps[0], mass_fraction, 1.0, "strength");
    ASSERT_FIELD_REFUSED(steps[0], mass_fraction, NAN, "strength");
}
END_TEST

START_TEST(a_share_outside_0_to_1_and_a_hold_without_time_are_refused)
{
    bf_step backwash = rig_pass(&bf_step_backwash, 31.0, 4.7);
    ASSERT_FIELD_REFUSED(backwash, mix_share, -0.01, "share");
    ASSERT_FIELD_REFUSED(backwash, mix_share, 1.01, "share");
    ASSERT_FIELD_REFUSED(backwash, mix_share, NAN, "share");
    assert_refused(hold_for(0.0), "stands for");
    assert_refused(hold_for(-5.0), "stands for");
    assert_refused(hold_for(1.1e7), "stands for");
    assert_refused(hold_for(NAN), "stands for");
}
END_TEST

/* ---- failures of a run ----------------------------------------------------------------------- */

static void assert_run_fails(bf_step step, const bf_site *site, const rig *r, const char *part)
{
    bf_error err = {0};
    bf_step_result result;
    bf_bed *before = twin(r);
    assert_accepted(step);
    assert_fails(step.type->run(&step, site, r->bed, &result, &err), BF_E_RANGE, part);
    ck_assert(bf_bed_distance(before, r->bed) == 0.0);
    bf_bed_free(before);
}

START_TEST(brine_above_saturation_fails_and_leaves_the_bed_alone)
{
    /* NaCl saturates at 26.4 wt% and KCl at 25.4 wt%, both at 20 C. */
    rig r = common_rig();
    bf_step brine = rig_brine(7.3);
    brine.mass_fraction = 0.27;
    assert_run_fails(brine, &r.site, &r, "saturat");
    brine.salt = BF_SALT_KCL;
    brine.mass_fraction = 0.26;
    assert_run_fails(brine, &r.site, &r, "saturat");
    rig_close(&r);
}
END_TEST

START_TEST(water_too_hot_fails_every_step_that_takes_it)
{
    rig r = common_rig();
    bf_site hot = r.site;
    hot.water.temperature_K = 393.0;
    assert_run_fails(rig_service(), &hot, &r, "temperature");
    assert_run_fails(rig_brine(7.3), &hot, &r, "temperature");
    assert_run_fails(refill_for(137.3), &hot, &r, "temperature");
    bf_step sea = rig_brine(7.3);
    sea.supply = BF_SUPPLY_SEA;
    assert_run_fails(sea, &hot, &r, "temperature");
    assert_run_fails(rig_pass(&bf_step_backwash, 31.0, 4.7), &hot, &r, "temperature");
    assert_run_fails(rig_pass(&bf_step_slow_rinse, 4.0, 2.0), &hot, &r, "temperature");
    assert_run_fails(hold_for(613.0), &hot, &r, "temperature");
    rig_close(&r);
}
END_TEST

START_TEST(a_feed_without_cations_fails_what_passes_it)
{
    rig r = common_rig();
    bf_site empty = r.site;
    memset(empty.water.ion_eq_per_m3, 0, sizeof empty.water.ion_eq_per_m3);
    bf_step service = rig_service();
    service.bed_volumes = 3.0;
    assert_run_fails(service, &empty, &r, "normality");
    assert_run_fails(rig_pass(&bf_step_backwash, 31.0, 4.7), &empty, &r, "normality");
    assert_run_fails(rig_pass(&bf_step_fast_rinse, 4.0, 2.0), &empty, &r, "normality");
    assert_run_fails(hold_for(613.0), &empty, &r, "normality");
    rig_close(&r);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {sound_steps_are_accepted,
                                  a_flow_without_velocity_or_volume_is_refused,
                                  a_service_that_cannot_end_is_refused,
                                  brine_without_salt_or_strength_is_refused,
                                  a_share_outside_0_to_1_and_a_hold_without_time_are_refused,
                                  brine_above_saturation_fails_and_leaves_the_bed_alone,
                                  water_too_hot_fails_every_step_that_takes_it,
                                  a_feed_without_cations_fails_what_passes_it};
    return support_run("cycle.step_refusals", tests, sizeof tests / sizeof *tests, 60);
}
