/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Seasons, acid, bisulfite, chloramine, and a bed that comes to its end. */
#include "trial.h"

#include "bed/alter.h"
#include "iron/campaign_state.h"

#include <stdio.h>
#include <string.h>

enum { MOST_CYCLES = 200 };

static bf_campaign_cycle cycles[MOST_CYCLES];

static bf_campaign_cycle last_of(const bf_campaign_spec *spec)
{
    bf_error err = {0};
    size_t done = 0;
    ck_assert_uint_le(spec->cycles, MOST_CYCLES);
    assert_ok(bf_campaign_run(spec, cycles, &done, &err));
    ck_assert_uint_gt(done, 0);
    for (size_t k = 0; k < done; k++) {
        /* 1e-6; 1e-5 where most sites are gone, so that iron breaks through and oxidises within a
         * cell's passage, at the default tolerance of 5e-4. */
        const double allowed = cycles[k].total_capacity_eq_per_m3 < 800.0 ? 1e-5 : 1e-6;
        ck_assert_double_le(fabs(bf_campaign_account_error(&cycles[k].iron)), allowed);
    }
    return cycles[done - 1];
}

static bf_campaign_spec coarse(void)
{
    bf_campaign_spec spec = trial(10.0);
    spec.bed.cells = 12;
    spec.draws_per_day = 1.0;
    return spec;
}

/* Two seasons of one water are no seasons, bit for bit. */
START_TEST(seasons_that_do_not_differ_change_nothing)
{
    bf_campaign_spec spec = coarse();
    spec.cycles = 9;
    const bf_campaign_cycle plain = last_of(&spec);
    spec.start_day = 353.0; /* over the new year */
    spec.season_count = 2;
    spec.season[0] = (bf_campaign_season){4.0, spec.water, spec.oxygen_mol_per_m3};
    spec.season[1] = (bf_campaign_season){300.0, spec.water, spec.oxygen_mol_per_m3};
    const bf_campaign_cycle same = last_of(&spec);
    ck_assert(same.bound_kg_per_m3 == plain.bound_kg_per_m3);
    ck_assert(same.iron.product == plain.iron.product);
    ck_assert(same.hardness_mean_eq_per_m3 == plain.hardness_mean_eq_per_m3);
}
END_TEST

/* Iron oxidises faster in warm water with more oxygen: what a summer adds lies between the years
 * that are all winter and all summer. */
START_TEST(a_warm_season_fouls_more)
{
    bf_campaign_spec spec = coarse();
    spec.cycles = 30;
    bf_campaign_spec summer = spec;
    summer.water.temperature_K = 293.15;
    const double cold = last_of(&spec).bound_kg_per_m3;
    const double warm = last_of(&summer).bound_kg_per_m3;
    spec.season_count = 2;
    spec.season[0] = (bf_campaign_season){0.0, spec.water, spec.oxygen_mol_per_m3};
    spec.season[1] = (bf_campaign_season){45.0, summer.water, spec.oxygen_mol_per_m3};
    const double mixed = last_of(&spec).bound_kg_per_m3;
    const double first_half = cycles[14].bound_kg_per_m3;
    printf("90 days: cold %.4f, half and half %.4f, warm %.4f g/L\n", cold, mixed, warm);
    ck_assert(cold < mixed && mixed < warm);
    /* Fifteen cold cycles, then about half of what thirty warm ones add. */
    assert_near(mixed - first_half, 0.5 * warm, 0.1);
}
END_TEST

/* A season without manganese and one with it: the bed tracks it all year. */
START_TEST(a_season_may_bring_a_metal)
{
    bf_campaign_spec spec = coarse();
    spec.cycles = 8;
    spec.season_count = 2;
    spec.season[0] = (bf_campaign_season){0.0, spec.water, 0.03};
    spec.season[1] = (bf_campaign_season){12.0, spec.water, 0.03};
    spec.season[1].water.ion_eq_per_m3[BF_ION_MN] = 0.03;
    spec.season[1].water.normality_eq_per_m3 += 0.03;
    const bf_campaign_cycle end = last_of(&spec);
    ck_assert(cycles[3].manganese.in == 0.0);
    const double raw = 4.0 * (bf_campaign_bed_volumes(&spec) + 2.7 + 2.0 + 2.0);
    assert_near(end.manganese.in, raw * 0.015, 1e-9);
    ck_assert_double_le(fabs(bf_campaign_account_error(&end.manganese)), 1e-6);
}
END_TEST

/* On the tenth of January the season that began in July still holds. */
START_TEST(the_last_season_holds_over_the_new_year)
{
    bf_campaign_spec spec = coarse();
    spec.cycles = 1;
    spec.start_day = 9.0;
    spec.season_count = 2;
    spec.season[0] = (bf_campaign_season){60.0, spec.water, 0.03};
    spec.season[1] = (bf_campaign_season){200.0, spec.water, 0.03};
    for (size_t k = 0; k < 2; k++) {
        bf_campaign_spec one = spec;
        one.season[k].water.ion_eq_per_m3[BF_ION_MN] = 0.03;
        one.season[k].water.normality_eq_per_m3 += 0.03;
        ck_assert((last_of(&one).manganese.in > 0.0) == (k == 1));
    }
}
END_TEST

/* Acid: more than the sites take dissolves deposit, 3 mol of H+ a mol of Fe at most; the H form
 * that it leaves goes with two brines, so that the bed softens again. Too little acid stays on the
 * sites: iron at the bottom of the bed is not reached. */
START_TEST(acid_takes_iron_off_and_brine_the_acid)
{
    bf_campaign_spec spec = coarse();
    spec.deposit.bound_kg_per_m3 = 10.0;
    spec.cycles = 6;
    spec.potential_every = 1;
    const bf_campaign_cycle plain = last_of(&spec);
    spec.cleaning.agent = BF_CLEANER_HYDROCHLORIC;
    spec.cleaning.every_days = 5.0;
    spec.cleaning.duration_s = 3600.0;
    const double enough = bf_cleaning_acid_kg_per_m3(BF_CLEANER_HYDROCHLORIC, 2000.0, 10.0);
    spec.cleaning.dose_kg_per_m3 = 2.0 * enough;
    const bf_campaign_cycle eventful = last_of(&spec);
    const double once = cycles[1].cleaned_kg_per_m3;
    printf("acid %.0f kg/m3: %.2f of 10 g/L off at once, %.3f left after 18 d; potential %.1f for "
           "%.1f eq/m3, salt of the cycle %.1f kg/m3\n",
           spec.cleaning.dose_kg_per_m3, once, eventful.bound_kg_per_m3,
           eventful.potential_eq_per_m3, plain.potential_eq_per_m3, cycles[1].salt_kg_per_m3);
    ck_assert(cycles[0].cleaned_kg_per_m3 == 0.0);
    ck_assert_double_gt(once, 5.0);
    ck_assert_double_le(once, spec.cleaning.dose_kg_per_m3 / 36.458 / 3.0 * 55.845);
    ck_assert_double_gt(eventful.potential_eq_per_m3, 1.02 * plain.potential_eq_per_m3);
    assert_near(cycles[1].salt_kg_per_m3, 2.0 * cycles[0].salt_kg_per_m3, 1e-12);
    ck_assert_double_lt(eventful.hardness_mean_eq_per_m3, 2.0 * plain.hardness_mean_eq_per_m3);
    spec.cleaning.dose_kg_per_m3 = 20.0; /* sites of the bed take 73 */
    (void)last_of(&spec);
    printf("acid 20 kg/m3: %.3f g/L off\n", cycles[1].cleaned_kg_per_m3);
    ck_assert_double_gt(cycles[1].cleaned_kg_per_m3, 0.0);
    ck_assert_double_lt(cycles[1].cleaned_kg_per_m3, 0.2 * once);
}
END_TEST

/* Less acid than the sites take: none leaves the bed, so that what the bed does not hold of it has
 * gone into 3 mol a mol of iron. */
START_TEST(acid_dissolves_iron_by_three_protons)
{
    bf_error err = {0};
    bf_campaign_spec spec = coarse();
    spec.deposit.bound_kg_per_m3 = 10.0;
    spec.cleaning.agent = BF_CLEANER_HYDROCHLORIC;
    spec.cleaning.every_days = 5.0;
    spec.cleaning.duration_s = 3600.0;
    spec.cleaning.dose_kg_per_m3 = 17.3;
    bf_campaign *campaign = NULL;
    assert_ok(bf_campaign_create(&spec, &campaign, &err));
    double removed = 0.0;
    double content[BF_ION_COUNT];
    assert_ok(bf__campaign_acid(campaign, &removed, &err));
    bf__bed_held(campaign->iron_bed->bed, content);
    const double came = 1e3 * 17.3 / 36.458;
    printf("H+: came %.1f, held %.1f eq/m3; iron %.2f mol/m3\n", came, content[BF_ION_H], removed);
    ck_assert_double_gt(removed, 5.0);
    assert_near(3.0 * removed, came - content[BF_ION_H],
                1e-3); /* in the freeboard, too, it is held */
    bf_campaign_free(campaign);
}
END_TEST

/* As many reducing electrons in bisulfite as in dithionite, but slower. */
START_TEST(bisulfite_is_slower_than_dithionite)
{
    bf_campaign_spec spec = coarse();
    spec.deposit.bound_kg_per_m3 = 4.0;
    spec.cycles = 2;
    spec.cleaning.every_days = 3.0;
    (void)last_of(&spec);
    const double dithionite = cycles[0].cleaned_kg_per_m3;
    spec.cleaning.agent = BF_CLEANER_BISULFITE;
    spec.cleaning.dose_kg_per_m3 *= 104.055 / 174.096;
    (void)last_of(&spec);
    const double bisulfite = cycles[0].cleaned_kg_per_m3;
    spec.cleaning.duration_s = 48.0 * 3600.0;
    (void)last_of(&spec);
    const double patient = cycles[0].cleaned_kg_per_m3;
    printf("half an hour: dithionite %.3f, bisulfite %.3f g/L; bisulfite in two days %.3f\n",
           dithionite, bisulfite, patient);
    ck_assert(bisulfite > 0.0 && bisulfite < 0.5 * dithionite);
    ck_assert_double_gt(patient, dithionite);
    bf_error err = {0};
    double kg;
    const bf_iron_spec iron = bf_iron_spec_default();
    const bf_reductive_clean wrong = {.agent = BF_CLEANER_CITRIC, .pH = 7.0};
    assert_fails(bf_cleaning_reduce(&iron, &wrong, &kg, &err), BF_E_RANGE, "citric acid");
}
END_TEST

/* The trade's word on chloramine is half: 2 mg/L of it are 1 mg/L of chlorine. */
START_TEST(chloramine_counts_by_its_weight)
{
    bf_campaign_spec spec = coarse();
    set_water(&spec, 16.0, 0.0, 7.3, 1.0);
    spec.cycles = 4;
    spec.free_chlorine_g_per_m3 = 0.9;
    const double free_chlorine = last_of(&spec).moisture;
    spec.free_chlorine_g_per_m3 = 0.0;
    spec.chloramine_g_per_m3 = 1.8;
    assert_near(last_of(&spec).moisture, free_chlorine, 1e-12);
    ck_assert_double_gt(free_chlorine, 0.46);
}
END_TEST

/* A bed whose sites go ends as spent, with the record of its last cycle, not as an error. */
START_TEST(a_bed_that_is_used_up_ends_as_spent)
{
    bf_error err = {0};
    bf_campaign_spec spec = coarse();
    set_water(&spec, 20.0, 9.0, 8.0, 6.0);
    spec.deposit.bound_kg_per_m3 = 26.0;
    spec.iron.sites_eq_per_mol = 3.0; /* 26 g/L block 1397 of 2000 sites */
    spec.cycles = 90;
    spec.potential_every = 1;
    bf_campaign *campaign = NULL;
    assert_ok(bf_campaign_create(&spec, &campaign, &err));
    size_t done = 0;
    while (bf_campaign_state_of(campaign) == BF_CAMPAIGN_RUNS) {
        assert_ok(bf_campaign_next(campaign, &cycles[done++], &err));
    }
    ck_assert_int_eq(bf_campaign_state_of(campaign), BF_CAMPAIGN_SPENT);
    ck_assert(done > 1 && done < 90);
    printf("spent after %zu cycles at %.1f g/L\n", done, cycles[done - 1].bound_kg_per_m3);
    ck_assert_double_lt(cycles[done - 1].total_capacity_eq_per_m3, 500.0);
    ck_assert(isnan(cycles[done - 1].potential_eq_per_m3));
    ck_assert_double_ge(cycles[done - 2].total_capacity_eq_per_m3, 500.0);
    assert_fails(bf_campaign_next(campaign, &cycles[0], &err), BF_E_RANGE, "spent");
    bf_campaign_free(campaign);
    spec.skip_tolerance = 1e-2;
    const bf_campaign_cycle end = last_of(&spec);
    ck_assert_double_lt(end.total_capacity_eq_per_m3, 500.0);
}
END_TEST

/* A bed that leaks more than the end point from its first litre has no hardness to it. */
START_TEST(a_bed_that_leaks_from_the_start_has_no_potential)
{
    bf_campaign_spec spec = coarse();
    set_water(&spec, 60.0, 0.5, 7.2, 0.4);
    spec.recipe.step[2].dose_kg_per_m3 = 3.0 * BF_KG_PER_M3_PER_LB_PER_FT3;
    spec.water_m3_per_day *= 0.4;
    spec.cycles = 8;
    spec.potential_every = 1;
    const bf_campaign_cycle end = last_of(&spec);
    ck_assert_int_eq(end.potential_outcome, BF_LEAKS_FROM_THE_START);
    ck_assert(end.potential_eq_per_m3 == 0.0);
    ck_assert(cycles[0].potential_eq_per_m3 > 0.0); /* new resin still holds it */
}
END_TEST

/* Brine that holds has the oxygen of its pores, however finely it is cut; what the cut itself costs
 * is that of the law of brine, which without a hold goes from 6 to 24 slices, too. */
START_TEST(a_hold_has_the_oxygen_of_its_pores)
{
    double bound[2][2];
    for (size_t hold = 0; hold < 2; hold++) {
        for (size_t fine = 0; fine < 2; fine++) {
            bf_campaign_spec spec = coarse();
            spec.brine_pH = 8.3;
            spec.brine_oxygen_mol_per_m3 = 0.28;
            spec.cycles = 5;
            spec.slices = fine ? 24 : 6;
            if (hold) {
                spec.recipe.step[5] = spec.recipe.step[4];
                spec.recipe.step[4] = spec.recipe.step[3];
                spec.recipe.step[3] = (bf_step){.type = &bf_step_hold, .duration_s = 14400.0};
                spec.recipe.count = 6;
            }
            bound[hold][fine] = last_of(&spec).bound_kg_per_m3;
        }
    }
    printf("6 and 24 slices: %.4f %.4f g/L, with a hold of 4 h %.4f %.4f\n", bound[0][0],
           bound[0][1], bound[1][0], bound[1][1]);
    const double plain = bound[0][1] / bound[0][0];
    ck_assert(bound[1][0] > bound[0][0]);
    ck_assert_double_le(bound[1][1] / bound[1][0], 1.1 * plain);
}
END_TEST

/* A cell may hold far more than a bed: its cleaning goes on. */
START_TEST(a_heavy_deposit_can_be_cleaned)
{
    bf_campaign_spec spec = coarse();
    spec.deposit.bound_kg_per_m3 = 60.0;
    spec.iron.sites_eq_per_mol = 0.5;
    spec.cycles = 3;
    set_water(&spec, 20.0, 9.0, 8.0, 6.0);
    spec.cleaning.every_days = 6.0;
    (void)last_of(&spec);
    ck_assert(cycles[1].bound_top_kg_per_m3 > 60.0);
    ck_assert(cycles[1].cleaned_kg_per_m3 > 0.1);
}
END_TEST

START_TEST(what_cannot_run_is_refused_before_it_runs)
{
    bf_error err = {0};
    bf_campaign_spec spec = coarse();
    spec.season_count = 2;
    spec.season[0] = (bf_campaign_season){0.0, spec.water, 0.03};
    spec.season[1] = (bf_campaign_season){90.0, spec.water, 0.03};
    assert_ok(bf_campaign_spec_check(&spec, &err));
    spec.season[1].water.pH = 10.0;
    assert_fails(bf_campaign_spec_check(&spec, &err), BF_E_RANGE, "pH");
    spec = coarse();
    spec.deposit.bound_kg_per_m3 = 60.0;
    spec.iron.sites_eq_per_mol = 3.0;
    assert_fails(bf_campaign_spec_check(&spec, &err), BF_E_RANGE, "sites; a bed has 500");
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {seasons_that_do_not_differ_change_nothing,
                                  a_warm_season_fouls_more,
                                  a_season_may_bring_a_metal,
                                  the_last_season_holds_over_the_new_year,
                                  acid_takes_iron_off_and_brine_the_acid,
                                  acid_dissolves_iron_by_three_protons,
                                  bisulfite_is_slower_than_dithionite,
                                  chloramine_counts_by_its_weight,
                                  a_bed_that_is_used_up_ends_as_spent,
                                  a_bed_that_leaks_from_the_start_has_no_potential,
                                  a_hold_has_the_oxygen_of_its_pores,
                                  a_heavy_deposit_can_be_cleaned,
                                  what_cannot_run_is_refused_before_it_runs};
    return support_run("iron.campaign_events", tests, sizeof tests / sizeof *tests, 300.0);
}
