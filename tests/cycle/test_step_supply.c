/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a step passes into the bed: soft water, sea water, rinses, brine. */
#include "step_rig.h"

START_TEST(soft_water_carries_sodium_for_every_divalent_ion)
{
    bf_site site = {0};
    const double feed[BF_ION_COUNT] = {
        [BF_ION_NA] = 3.217,  [BF_ION_CA] = 5.413,  [BF_ION_MG] = 2.791,  [BF_ION_K] = 0.173,
        [BF_ION_FE] = 0.0617, [BF_ION_MN] = 0.0291, [BF_ION_SR] = 0.0153, [BF_ION_BA] = 0.0071,
        [BF_ION_NH4] = 0.037, [BF_ION_CL] = 4.1,    [BF_ION_HCO3] = 5.9,  [BF_ION_SO4] = 1.7,
    };
    memcpy(site.water.ion_eq_per_m3, feed, sizeof feed);
    double raw[BF_ION_COUNT];
    double soft[BF_ION_COUNT];
    bf_site_supply(&site, BF_SUPPLY_RAW, raw);
    bf_site_supply(&site, BF_SUPPLY_SOFT, soft);
    for (size_t i = 0; i < BF_ION_COUNT; i++) {
        ck_assert(raw[i] == (i < BF_CATION_COUNT ? feed[i] : 0.0)); /* anions do not exchange */
    }
    const double expected[BF_ION_COUNT] = {
        /* 3.217 + 5.413 + 2.791 + 0.0617 + 0.0291 + 0.0153 + 0.0071 by hand */
        [BF_ION_NA] = 11.5342,
        [BF_ION_K] = 0.173,
        [BF_ION_NH4] = 0.037};
    for (size_t i = 0; i < BF_ION_COUNT; i++) {
        assert_near(soft[i], expected[i], 1e-14);
    }
}
END_TEST

/* Sea water of salinity 35, g per kg: Na 10.784, Mg 1.284, Ca 0.412, K 0.399 (Pilson, An
 * Introduction to the Chemistry of the Sea; from memory). 1024.8 kg/m3 at 20 C (equation of state
 * of sea water; from memory). 2e-3: the last digit of the smallest of them. */
enum { SEA_IONS = 4 };
static const bf_ion sea_ions[SEA_IONS] = {BF_ION_NA, BF_ION_MG, BF_ION_CA, BF_ION_K};
static const double sea_eq_per_m3[SEA_IONS] = {
    10.784 / 22.98977 * 1024.8, 1.284 / 24.305 * 2.0 * 1024.8, 0.412 / 40.078 * 2.0 * 1024.8,
    0.399 / 39.0983 * 1024.8};

START_TEST(sea_water_is_sea_water_whatever_the_feed)
{
    rig r = common_rig();
    double sea[BF_ION_COUNT];
    bf_site_supply(&r.site, BF_SUPPLY_SEA, sea);
    double sum = 0.0;
    for (size_t i = 0; i < BF_ION_COUNT; i++) {
        sum += sea[i];
    }
    for (size_t i = 0; i < SEA_IONS; i++) {
        assert_near(sea[sea_ions[i]], sea_eq_per_m3[i], 2e-3);
    }
    /* Anions of the reference composition, mol/kg (Millero et al. 2008, Table 4; from memory): Cl
     * 0.5458696, SO4 0.0282352, HCO3 0.0017177, Br 0.0008421, CO3 0.0002389, B(OH)4 0.0001008, F
     * 0.0000683, OH 0.0000080. */
    assert_near(sum, 0.6055547 * 1024.8, 1e-5);
    /* 35.165 g of salts per kg. */
    assert_near(bf_sea_salt_kg_per_m3(), 36.037, 1e-4);
    rig_close(&r);
}
END_TEST

START_TEST(a_brine_step_takes_as_much_sea_water_as_holds_the_dose)
{
    bf_error err = {0};
    bf_water water;
    double trace[BF_ION_COUNT] = {[BF_ION_SR] = 1e-3}; /* so that strontium is tracked */
    assert_ok(rig_water(413.0, 2.37, trace, &water, &err));
    rig r = with_water(&water, BF_SALT_KCL); /* to count potassium */
    bf_step step = rig_brine(1.0);
    step.supply = BF_SUPPLY_SEA;
    step.mass_fraction = 0.0; /* sea water is as strong as it is */
    step.dose_kg_per_m3 = 137.3;
    bf_step_result result = run(&step, &r.site, r.bed);
    assert_near(result.bed_volumes, 137.3 / 36.037, 1e-4);
    assert_near(result.duration_s, 137.3 / 36.037 / 4.0 * 3600.0, 1e-4);
    ck_assert(result.water_bed_volumes == 0.0); /* no fresh water */
    assert_near(result.salt_kg_per_m3, 137.3, 1e-15);
    for (size_t i = 0; i < SEA_IONS; i++) {
        assert_near(result.passage.in_eq_per_m3[sea_ions[i]], result.bed_volumes * sea_eq_per_m3[i],
                    2e-3);
    }
    rig_close(&r);
}
END_TEST

START_TEST(a_rinse_passes_its_volume_of_its_own_supply)
{
    rig r = common_rig();
    for (int soft = 0; soft <= 1; soft++) {
        bf_step rinse = rig_pass(&bf_step_slow_rinse, 4.0, 1.73);
        rinse.supply = soft ? BF_SUPPLY_SOFT : BF_SUPPLY_RAW;
        bf_step_result result = run(&rinse, &r.site, r.bed);
        double supply[BF_ION_COUNT];
        bf_site_supply(&r.site, rinse.supply, supply);
        for (size_t i = 0; i < BF_CATION_COUNT; i++) {
            /* Rounding of a product and a sum. */
            assert_near(result.passage.in_eq_per_m3[i], 1.73 * supply[i], 1e-12);
        }
        assert_near(result.bed_volumes, 1.73, 1e-12);
        assert_near(result.water_bed_volumes, 1.73, 1e-12);
        assert_near(result.duration_s, 1.73 / 4.0 * 3600.0, 1e-12);
        ck_assert(result.salt_kg_per_m3 == 0.0);
        ck_assert(result.depth_ratio == 1.0);
    }
    rig_close(&r);
}
END_TEST

/* Salt of a dose in so much brine: density of a 10 % solution at 20 C after the CRC Handbook of
 * Chemistry and Physics, concentrative properties of aqueous solutions (from memory): NaCl 1070.7
 * kg/m3, KCl 1063.3; water 998.2. The model's densities (Laliberte) are good to 0.06 %, whence
 * 1e-3. Equivalents: 58.44 and 74.55 g/eq. */
static void assert_brine(bf_salt salt, double density_kg_per_m3, double g_per_eq, bf_supply supply)
{
    bf_error err = {0};
    bf_water water;
    assert_ok(rig_water(413.0, 2.37, NULL, &water, &err));
    rig r = with_water(&water, salt);
    bf_step step = rig_brine(1.0);
    step.salt = salt;
    step.supply = supply;
    step.dose_kg_per_m3 = 137.3;
    bf_step_result result = run(&step, &r.site, r.bed);

    double bed_volumes = 137.3 / (0.10 * density_kg_per_m3);
    assert_near(result.bed_volumes, bed_volumes, 1e-3);
    assert_near(result.duration_s, bed_volumes / 4.0 * 3600.0, 1e-3);
    assert_near(result.water_bed_volumes, bed_volumes * 0.90 * density_kg_per_m3 / 998.2, 1e-3);
    assert_near(result.salt_kg_per_m3, 137.3, 1e-15);

    /* A refill is the water that the dose saturates: 26.44 wt% of NaCl (Salt Institute), 25.4 of
     * KCl; half of its last digit is 3e-3 of the water. Its own strength is not looked at. */
    bf_step refill = step;
    refill.type = &bf_step_refill;
    refill.mass_fraction = (double)NAN;
    const double saturated = salt == BF_SALT_KCL ? 0.254 : 0.2644;
    assert_near(run(&refill, &r.site, r.bed).bed_volumes, 137.3 * (1.0 / saturated - 1.0) / 998.2,
                3e-3);

    /* What enters is exactly the salt of the dose and what its water held before. */
    const bf_ion own = salt == BF_SALT_KCL ? BF_ION_K : BF_ION_NA;
    double expected[BF_ION_COUNT];
    bf_site_supply(&r.site, supply, expected);
    for (size_t i = 0; i < BF_CATION_COUNT; i++) {
        expected[i] *= result.water_bed_volumes;
    }
    expected[own] += 137.3e3 / g_per_eq;
    for (size_t i = 0; i < BF_CATION_COUNT; i++) {
        assert_near(result.passage.in_eq_per_m3[i], expected[i], 1e-12);
    }
    double hardness = result.passage.in_eq_per_m3[BF_ION_CA];
    ck_assert(supply == BF_SUPPLY_RAW ? hardness > 1.0 : hardness == 0.0);
    rig_close(&r);
}

START_TEST(brine_is_the_dose_in_its_water)
{
    assert_brine(BF_SALT_NACL, 1070.7, 58.44, BF_SUPPLY_SOFT);
    assert_brine(BF_SALT_NACL, 1070.7, 58.44, BF_SUPPLY_RAW);
    assert_brine(BF_SALT_KCL, 1063.3, 74.55, BF_SUPPLY_SOFT);
    assert_brine(BF_SALT_KCL, 1063.3, 74.55, BF_SUPPLY_RAW);
}
END_TEST

/* The same brine run through the bed by hand: its own viscosity in film and dispersion, and the
 * direction that the step states. The two are the same to the bit where the inlet is; 1e-4 in resin
 * fraction leaves room for its rounding, which the choice of steps in time enlarges. Brine as thin
 * as water moves the bed by 3e-4, brine from the other end by 0.2. */
START_TEST(brine_passes_the_bed_as_brine_in_its_direction)
{
    bf_error err = {0};
    rig r = common_rig();
    bf_step service = rig_service();
    (void)run(&service, &r.site, r.bed);
    for (int up = 0; up <= 1; up++) {
        bf_bed *by_hand = twin(&r);
        bf_bed *by_step = twin(&r);
        bf_brine brine;
        assert_ok(bf_brine_of_mass_fraction(BF_SALT_NACL, 0.10, 293.15, &brine, &err));
        bf_step step = rig_brine(4.3);
        step.direction = up ? BF_FLOW_UP : BF_FLOW_DOWN;
        bf_step_result result = run(&step, &r.site, by_step);

        bf_flow flow = {.direction = step.direction,
                        .velocity_m_per_s = step.velocity_m_per_s,
                        .duration_s = result.duration_s,
                        .fluid = brine.fluid,
                        .end_hardness_eq_per_m3 = NAN};
        bf_site_supply(&r.site, BF_SUPPLY_SOFT, flow.inlet_eq_per_m3);
        flow.inlet_eq_per_m3[BF_ION_NA] *= result.water_bed_volumes / result.bed_volumes;
        flow.inlet_eq_per_m3[BF_ION_NA] += brine.normality_eq_per_m3;
        bf_passage passage;
        assert_ok(bf_bed_run(by_hand, &flow, &passage, &err));
        ck_assert_double_lt(bf_bed_distance(by_hand, by_step), 1e-4);
        assert_near(result.passage.out_eq_per_m3[BF_ION_CA], passage.out_eq_per_m3[BF_ION_CA],
                    3e-4);
        bf_bed_free(by_step);
        bf_bed_free(by_hand);
    }
    rig_close(&r);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {soft_water_carries_sodium_for_every_divalent_ion,
                                  sea_water_is_sea_water_whatever_the_feed,
                                  a_brine_step_takes_as_much_sea_water_as_holds_the_dose,
                                  a_rinse_passes_its_volume_of_its_own_supply,
                                  brine_is_the_dose_in_its_water,
                                  brine_passes_the_bed_as_brine_in_its_direction};
    return support_run("cycle.step_supply", tests, sizeof tests / sizeof *tests, 60);
}
