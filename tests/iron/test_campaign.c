/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Cycle after cycle with iron: the accounts close, nothing happens without iron, and the trade's
 * rules of thumb come out in the direction they say.
 *
 * Nothing here is set to make a rule come out: parameters are the defaults of iron.h, the bed, its
 * water and its draws those of the trial the targets were written for (one cubic foot, 300 gal/d of
 * 20 gpg, 3 mg/L of iron, pH 7.5, 1 mg/L of oxygen), on 30 cells and 2 shells. Where a target has
 * a width, what is found is printed beside it and only its direction is asserted.
 */
#include "trial.h"

#include <stdio.h>
#include <string.h>

enum { MOST_CYCLES = 200 };

static void run(const bf_campaign_spec *spec, bf_campaign_cycle *cycles)
{
    bf_error err = {0};
    size_t done = 0;
    ck_assert_uint_le(spec->cycles, MOST_CYCLES);
    assert_ok(bf_campaign_run(spec, cycles, &done, &err));
    ck_assert_uint_eq(done, spec->cycles);
}

static bf_campaign_cycle last_of(const bf_campaign_spec *spec)
{
    static bf_campaign_cycle cycles[MOST_CYCLES];
    run(spec, cycles);
    return cycles[spec->cycles - 1];
}

/* ---- exact things ---------------------------------------------------------------------------- */

/* Floc, deposit at the start, mixing, cleanings, chlorine, manganese, all at once, on a water that
 * fouls fast. The integrals of the bed close to Newton's residual, a tenth of the tolerance of each
 * step; what is asserted is 1e-6 of all that came. */
START_TEST(every_mole_is_accounted_for)
{
    static bf_campaign_cycle cycles[MOST_CYCLES];
    bf_campaign_spec spec = trial(10.0);
    set_water(&spec, 20.0, 6.0, 7.8, 3.0);
    spec.water.ion_eq_per_m3[BF_ION_MN] = 0.02;
    spec.water.ion_eq_per_m3[BF_ION_CL] += 0.02;
    spec.water.normality_eq_per_m3 += 0.02;
    spec.contact_s = 120.0;
    spec.free_chlorine_g_per_m3 = 0.5;
    spec.deposit = (bf_iron_deposit){.loose_kg_per_m3 = 0.2, .bound_kg_per_m3 = 3.0};
    spec.cleaning.every_days = 60.0;
    spec.recipe.step[1].mix_share = 0.3;
    spec.iron.brine_removal = 0.001;
    spec.cycles = 61;
    run(&spec, cycles);
    double worst = 0.0;
    double cleaned = 0.0;
    for (size_t k = 0; k < spec.cycles; k++) {
        const bf_campaign_cycle *c = &cycles[k];
        worst = fmax(worst, fabs(bf_campaign_account_error(&c->iron)));
        worst = fmax(worst, fabs(bf_campaign_account_error(&c->manganese)));
        cleaned += c->cleaned_kg_per_m3;
        ck_assert(c->loose_kg_per_m3 >= 0.0 && c->bound_kg_per_m3 >= 0.0);
        ck_assert(k == 0 || c->moisture > cycles[k - 1].moisture);
    }
    const bf_campaign_cycle *end = &cycles[spec.cycles - 1];
    printf("iron, mol/m3: start %.2f in %.2f = product %.2f waste %.2f liquid %.2f held %.2f loose "
           "%.3f bound %.2f; worst %.1e; cleaned %.2f g/L\n",
           end->iron.at_start, end->iron.in, end->iron.product, end->iron.waste, end->iron.cleaned,
           end->iron.held, end->iron.loose, end->iron.bound, worst, cleaned);
    ck_assert_double_le(worst, 1e-6);
    ck_assert_double_gt(cleaned, 1.0);
    /* What came, from the volumes alone: service, backwash and both rinses are raw water. */
    bf_error err = {0};
    bf_water water;
    bf_iron_water feed;
    assert_ok(bf_campaign_feed(&spec, NULL, &water, &feed, &err));
    ck_assert_double_gt(feed.colloidal_iron_g_per_m3, 0.5);
    const double total = spec.water.ion_eq_per_m3[BF_ION_FE] / 2.0;
    assert_near(0.5 * water.ion_eq_per_m3[BF_ION_FE] + feed.colloidal_iron_g_per_m3 / 55.845, total,
                1e-12);
    const double raw = 61.0 * (bf_campaign_bed_volumes(&spec) + 2.7 + 2.0 + 2.0);
    assert_near(end->iron.in, raw * total, 1e-9);
    assert_near(end->manganese.in, raw * 0.01, 1e-9);
}
END_TEST

START_TEST(an_account_that_does_not_close_says_so)
{
    bf_campaign_account account = {
        .at_start = 1.0, .in = 9.0, .product = 1.0, .waste = 5.0, .held = 2.0, .bound = 1.5};
    assert_near(bf_campaign_account_error(&account), 0.05, 1e-12);
    account.loose = 0.5;
    assert_near_abs(bf_campaign_account_error(&account), 0.0, 1e-15);
}
END_TEST

/* The same bits as the plain cycle, on a bed of its own. */
START_TEST(without_iron_it_is_the_plain_cycle)
{
    bf_error err = {0};
    static bf_campaign_cycle cycles[MOST_CYCLES];
    bf_campaign_spec spec = trial(8.0);
    set_water(&spec, 20.0, 0.0, 7.5, 1.0);
    spec.cycles = 5;
    spec.potential_every = 2; /* looking does not touch the bed */
    run(&spec, cycles);
    bf_bed_spec plain = spec.bed;
    plain.temperature_K = spec.water.temperature_K;
    const double *waters[] = {spec.water.ion_eq_per_m3};
    bf_selectivity_spec equilibrium = {.law = BF_EQUILIBRIUM_MASS_ACTION,
                                       .ions = bf_ion_set_of(waters, 1),
                                       .temperature_K = spec.water.temperature_K};
    memcpy(equilibrium.constant, plain.resin.selectivity, sizeof equilibrium.constant);
    bf_selectivity *selectivity = NULL;
    bf_bed *bed = NULL;
    assert_ok(bf_selectivity_create(&equilibrium, &selectivity, &err));
    assert_ok(bf_bed_create(&plain, selectivity, &bed, &err));
    bf_site site = {.water = spec.water, .depth_m = plain.depth_m, .resin = plain.resin};
    double soft[BF_ION_COUNT];
    bf_site_supply(&site, BF_SUPPLY_SOFT, soft);
    assert_ok(bf_bed_fill(bed, NULL, soft, &err));
    bf_recipe by_volume = spec.recipe;
    by_volume.step[0].bed_volumes = bf_campaign_bed_volumes(&spec);
    by_volume.step[0].end_hardness_eq_per_m3 = (double)NAN;
    for (size_t k = 0; k < spec.cycles; k++) {
        bf_cycle_result result;
        assert_ok(bf_cycle_run(&by_volume, &site, bed, &result, &err));
        ck_assert(cycles[k].hardness_mean_eq_per_m3 == result.leakage_mean_eq_per_m3);
        ck_assert(cycles[k].hardness_last_eq_per_m3 ==
                  result.step[0].passage.hardness_last_eq_per_m3);
        ck_assert(cycles[k].service_bed_volumes == result.throughput_bed_volumes);
        ck_assert(cycles[k].salt_kg_per_m3 == result.salt_kg_per_m3);
        ck_assert(cycles[k].water_bed_volumes == result.water_bed_volumes);
        ck_assert(cycles[k].total_capacity_eq_per_m3 == 2000.0);
        ck_assert(cycles[k].bound_kg_per_m3 == 0.0 && cycles[k].pressure_ratio == 1.0);
        /* after cycles 2 and 4, and after the last */
        ck_assert(isnan(cycles[k].potential_eq_per_m3) == (k % 2 == 0 && k != 4));
    }
    bf_bed_free(bed);
    bf_selectivity_free(selectivity);
}
END_TEST

/* ---- directions ------------------------------------------------------------------------------ */

/* Target: heel at 6 lb at least twice that at 10; growth 1.15 to 1.6 times; 15 lb less than 20 %
 * below 10. */
START_TEST(more_salt_less_fouling)
{
    const double doses[] = {6.0, 10.0, 15.0};
    double bound[3];
    double heel[3];
    for (size_t d = 0; d < 3; d++) {
        bf_campaign_spec spec = trial(doses[d]);
        bf_campaign_cycle end = last_of(&spec);
        bound[d] = end.bound_kg_per_m3;
        heel[d] = end.iron_heel_eq_per_m3;
        printf("%4.0f lb/ft3: bound %.3f g/L (top %.3f), loose %.4f, heel %.2f eq/m3, iron %.3f "
               "mg/L and hardness %.2f mg/L in the product, after %.0f d\n",
               doses[d], bound[d], end.bound_top_kg_per_m3, end.loose_kg_per_m3, heel[d],
               end.iron_mean_g_per_m3, end.hardness_mean_eq_per_m3 * BF_G_CACO3_PER_EQ, end.day);
    }
    printf("6 over 10 lb: heel %.2f (target 2 or more), bound %.3f (1.15 to 1.6); 15 under 10 lb: "
           "%.1f %% (under 20)\n",
           heel[0] / heel[1], bound[0] / bound[1], 100.0 * (1.0 - bound[2] / bound[1]));
    ck_assert(heel[0] > heel[1] && heel[1] > heel[2]);
    ck_assert(bound[0] > bound[1] && bound[1] > bound[2]);
    ck_assert_double_lt(1.0 - bound[2] / bound[1], 0.2);
}
END_TEST

/* Target: 1.3 to 2.5 times, at the same water a day. Softer water, so that the bed lasts a week. */
START_TEST(longer_interval_more_fouling)
{
    double bound[2];
    const double days[] = {3.0, 7.0};
    for (size_t d = 0; d < 2; d++) {
        bf_campaign_spec spec = trial(10.0);
        set_water(&spec, 8.0, 2.0, 7.5, 1.0);
        spec.days_between = days[d];
        spec.cycles = (size_t)(168.0 / days[d] + 0.5);
        bf_campaign_cycle end = last_of(&spec);
        bound[d] = end.bound_kg_per_m3;
        printf("every %.0f d: bound %.3f g/L, loose %.4f after %.0f d, iron in the product %.3f "
               "mg/L, pressure x %.3f\n",
               days[d], bound[d], end.loose_kg_per_m3, end.day, end.iron_mean_g_per_m3,
               end.pressure_ratio);
    }
    printf("7 over 3 d: %.2f (target 1.3 to 2.5)\n", bound[1] / bound[0]);
    ck_assert_double_gt(bound[1], bound[0]);
}
END_TEST

/* Ten times the iron, but acid and nearly without oxygen: less bound than of a little iron in
 * alkaline water with air. (Keller 2004 gives the contrast, not the pH or the oxygen.) */
START_TEST(pH_and_oxygen_decide)
{
    bf_campaign_spec acid = trial(10.0);
    set_water(&acid, 20.0, 20.0, 6.3, 0.2);
    bf_campaign_spec alkaline = trial(10.0);
    set_water(&alkaline, 20.0, 2.0, 7.8, 2.0);
    bf_campaign_cycle a = last_of(&acid);
    bf_campaign_cycle b = last_of(&alkaline);
    printf("20 mg/L, pH 6.3, 0.2 mg/L O2: bound %.4f g/L; 2 mg/L, pH 7.8, 2 mg/L O2: %.4f g/L "
           "after %.0f d\n",
           a.bound_kg_per_m3, b.bound_kg_per_m3, b.day);
    ck_assert_double_lt(a.bound_kg_per_m3, b.bound_kg_per_m3);
}
END_TEST

/* Direction only: acid brine against alkaline brine. */
START_TEST(acid_brine_fouls_less)
{
    double bound[2];
    const double pH[] = {5.0, 8.0};
    for (size_t b = 0; b < 2; b++) {
        bf_campaign_spec spec = trial(10.0);
        spec.brine_pH = pH[b];
        spec.cycles = 20;
        bound[b] = last_of(&spec).bound_kg_per_m3;
    }
    printf("brine of pH 5: bound %.3f g/L, of pH 8: %.3f g/L after 60 d\n", bound[0], bound[1]);
    ck_assert_double_lt(bound[0], bound[1]);
}
END_TEST

/* Targets: retention 3 to 20 % of the iron, a fifth of the capacity lost in 2 to 8 years (it does
 * not say which capacity: sites and hardness to 1 gpg are both printed); with cleaning every six
 * months at most half the loss (at five years; here after 18 months, the day before the third
 * cleaning, which is the worst for the cleaned bed), and no cleaning takes more than 2.57 g/L. Two
 * draws a day, to save time. Only 1 to 40 % is asserted of retention. */
START_TEST(cleaning_keeps_half_of_what_is_lost)
{
    static bf_campaign_cycle cycles[MOST_CYCLES];
    bf_campaign_spec spec = trial(10.0);
    spec.draws_per_day = 2.0;
    spec.cycles = 180;
    spec.potential_every = 9;
    run(&spec, cycles);
    const bf_campaign_cycle left = cycles[spec.cycles - 1];
    /* Hardness to 1 gpg: once cycles repeat, and a year and a half on. */
    const double early = cycles[14].potential_eq_per_m3; /* after cycle 15 */
    const double late = cycles[176].potential_eq_per_m3; /* after cycle 177 */
    spec.cleaning.every_days = 182.0;
    run(&spec, cycles);
    const bf_campaign_cycle cleaned = cycles[spec.cycles - 1];
    const double late_cleaned = cycles[176].potential_eq_per_m3;
    double most = 0.0;
    size_t times = 0;
    for (size_t k = 0; k < spec.cycles; k++) {
        most = fmax(most, cycles[k].cleaned_kg_per_m3);
        times += cycles[k].cleaned_kg_per_m3 > 0.0;
    }
    const double loss = 2000.0 - left.total_capacity_eq_per_m3;
    const double capacity_loss = 2000.0 - cleaned.total_capacity_eq_per_m3;
    printf("uncleaned, %.0f d: retention %.2f %% (target 3 to 20), bound %.3f g/L (top %.3f), "
           "loss %.2f %% of sites, %.1f years to 20 %% at that pace (target 2 to 8)\n",
           left.day, 100.0 * left.retention, left.bound_kg_per_m3, left.bound_top_kg_per_m3,
           loss / 20.0, 0.2 * 2000.0 / loss * left.day / 365.25);
    printf("cleaned %zu times: loss %.2f %%, %.2f of the other; most at once %.3f g/L\n", times,
           capacity_loss / 20.0, capacity_loss / loss, most);
    const double fall = early - late;
    printf("to 1 gpg, eq/m3: %.1f on day %.0f; on day %.0f %.1f uncleaned (20 %% in %.1f years at "
           "that pace), %.1f cleaned (%.2f of the loss)\n",
           early, cycles[14].day, cycles[176].day, late,
           0.2 * early / fall * (cycles[176].day - cycles[14].day) / 365.25, late_cleaned,
           (early - late_cleaned) / fall);
    ck_assert(late < early && late < late_cleaned);
    ck_assert(left.retention > 0.01 && left.retention < 0.40);
    ck_assert_uint_eq(times, 2);
    ck_assert_double_le(capacity_loss, 0.5 * loss);
    ck_assert_double_le(
        most, bf_cleaning_limit_kg_per_m3(BF_CLEANER_DITHIONITE, spec.cleaning.dose_kg_per_m3));
}
END_TEST

/* Loose deposit raises the pressure drop; target: a backwash of ten minutes takes 60 % of the rise.
 */
START_TEST(backwash_takes_the_pressure_off)
{
    static bf_campaign_cycle cycles[MOST_CYCLES];
    bf_campaign_spec spec = trial(10.0);
    spec.deposit.loose_kg_per_m3 = 2.0;
    spec.cycles = 2;
    run(&spec, cycles);
    const double before = cycles[0].pressure_ratio - 1.0;
    const double after = cycles[1].pressure_ratio - 1.0;
    printf("2 g/L of loose deposit: drop x %.2f at the end of the first service, x %.2f at that of "
           "the next: %.0f %% taken off\n",
           1.0 + before, 1.0 + after, 100.0 * (1.0 - after / before));
    ck_assert_double_gt(before, 0.2);
    ck_assert_double_le(after, 0.4 * before);
}
END_TEST

/* A bed that starts with bound iron has fewer sites (1 eq/mol: 8 g/L block 143.3 of 2000), a coat
 * and slower beads: it takes up less hardness. */
START_TEST(bound_iron_costs_capacity)
{
    static bf_campaign_cycle cycles[MOST_CYCLES];
    double potential[2];
    for (size_t b = 0; b < 2; b++) {
        bf_campaign_spec spec = trial(10.0);
        spec.deposit.bound_kg_per_m3 = b == 0 ? 0.0 : 8.0;
        spec.potential_every = 4;
        spec.cycles = 5;
        run(&spec, cycles);
        potential[b] = cycles[4].potential_eq_per_m3;
        if (b == 1) {
            const double sites = 2000.0 - 1e3 * cycles[4].bound_kg_per_m3 / 55.845;
            assert_near(cycles[4].total_capacity_eq_per_m3, sites, 1e-9);
        }
    }
    printf("to 1 gpg: %.1f eq/m3 new, %.1f with 8 g/L of bound iron\n", potential[0], potential[1]);
    ck_assert_double_lt(potential[1], potential[0]);
}
END_TEST

/* ---- edges ----------------------------------------------------------------------------------- */

START_TEST(the_way_to_the_bed_oxidises)
{
    bf_error err = {0};
    bf_campaign_spec spec = trial(10.0);
    bf_water water;
    bf_iron_water feed;
    const double total = spec.water.ion_eq_per_m3[BF_ION_FE];
    assert_ok(bf_campaign_feed(&spec, NULL, &water, &feed, &err));
    ck_assert(memcmp(&water, &spec.water, sizeof water) == 0);
    ck_assert(feed.colloidal_iron_g_per_m3 == 0.0);
    spec.contact_s = 864e3; /* all of it, with 1 mg/L of oxygen enough for 7 mg/L */
    assert_ok(bf_campaign_feed(&spec, NULL, &water, &feed, &err));
    assert_near(feed.colloidal_iron_g_per_m3, 3.0, 1e-6);
    assert_near(1.0 - feed.oxygen_mol_per_m3 * BF_OXYGEN_G_PER_MOL, 3.0 * 0.1433, 1e-3);
    assert_near(spec.water.ion_eq_per_m3[BF_ION_HCO3] - feed.alkalinity_eq_per_m3, total, 1e-6);
    assert_near(spec.water.normality_eq_per_m3 - water.normality_eq_per_m3, total, 1e-6);
    spec.oxygen_mol_per_m3 = 0.1 / BF_OXYGEN_G_PER_MOL;
    assert_ok(bf_campaign_feed(&spec, NULL, &water, &feed, &err));
    assert_near(feed.colloidal_iron_g_per_m3, 0.1 / 0.1433, 1e-3);
    ck_assert(feed.oxygen_mol_per_m3 == 0.0);
    spec.ferric_share = 0.25;
    assert_ok(bf_campaign_feed(&spec, NULL, &water, &feed, &err));
    assert_near(feed.colloidal_iron_g_per_m3, 0.75, 1e-12);
    ck_assert(feed.oxygen_mol_per_m3 == spec.oxygen_mol_per_m3);
}
END_TEST

START_TEST(what_cannot_be_is_refused)
{
    bf_error err = {0};
    bf_campaign_cycle cycle;
    size_t done = 9;
    bf_campaign_spec spec = trial(10.0);
    spec.cycles = 1;
    assert_ok(bf_campaign_spec_check(&spec, &err));
    bf_campaign_spec bad = spec;
    bad.service_bed_volumes = 100.0;
    assert_fails(bf_campaign_run(&bad, &cycle, &done, &err), BF_E_RANGE, "one of the two");
    ck_assert_uint_eq(done, 0);
    bad.days_between = (double)NAN;
    assert_ok(bf_campaign_spec_check(&bad, &err));
    bad = spec;
    bad.water_m3_per_day *= 50.0;
    assert_fails(bf_campaign_run(&bad, &cycle, &done, &err), BF_E_RANGE, "velocity");
    bad = spec;
    bad.ferric_share = 1.5;
    assert_fails(bf_campaign_run(&bad, &cycle, &done, &err), BF_E_RANGE, "ferric");
    bad = spec;
    bad.slices = 0;
    assert_fails(bf_campaign_run(&bad, &cycle, &done, &err), BF_E_RANGE, "slices");
    bad = spec;
    bad.skip_tolerance = 0.5;
    assert_fails(bf_campaign_run(&bad, &cycle, &done, &err), BF_E_RANGE, "skipped");
    bad = spec;
    bad.season_count = 13;
    assert_fails(bf_campaign_run(&bad, &cycle, &done, &err), BF_E_RANGE, "seasons");
    bad.season_count = 2; /* both on day 0 */
    assert_fails(bf_campaign_run(&bad, &cycle, &done, &err), BF_E_RANGE, "follow");
    bad.season[1].from_day = 9.0;
    bad.season[1].oxygen_mol_per_m3 = 7.0;
    assert_fails(bf_campaign_run(&bad, &cycle, &done, &err), BF_E_RANGE, "oxygen of season 2");
    bad = spec;
    bad.cleaning.agent = BF_CLEANER_CITRIC;
    assert_fails(bf_campaign_run(&bad, &cycle, &done, &err), BF_E_RANGE, "cleans with");
    bf_source none = {0};
    bad = spec;
    none.name = "none";
    none.rate = NULL;
    bad.bed.sources = &none;
    bad.bed.source_count = 1;
    assert_fails(bf_campaign_run(&bad, &cycle, &done, &err), BF_E_RANGE, "source");
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {every_mole_is_accounted_for,
                                  an_account_that_does_not_close_says_so,
                                  without_iron_it_is_the_plain_cycle,
                                  more_salt_less_fouling,
                                  longer_interval_more_fouling,
                                  pH_and_oxygen_decide,
                                  acid_brine_fouls_less,
                                  cleaning_keeps_half_of_what_is_lost,
                                  backwash_takes_the_pressure_off,
                                  bound_iron_costs_capacity,
                                  the_way_to_the_bed_oxidises,
                                  what_cannot_be_is_refused};
    return support_run("iron.campaign", tests, sizeof tests / sizeof *tests, 280);
}
