/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What would help: ranked by what campaigns give, nothing offered that the case does already or
 * that it would not notice, and every change the one that its numbers say. */
#include "fouling_case.h"

#include <stdio.h>

static const bf_fouling_run two_threads = {.threads = 2};

static size_t ask(const bf_campaign_spec *spec, bf_fouling_end *unchanged,
                  bf_what_if out[BF_WHAT_IFS])
{
    bf_error err = {0};
    size_t count = 0;
    assert_ok(bf_fouling_what_if(spec, &two_threads, unchanged, out, &count, &err));
    ck_assert_uint_le(count, BF_WHAT_IFS);
    return count;
}

/* NULL where a change is not among them. */
static const bf_what_if *find(const bf_what_if *all, size_t count, const char *name)
{
    for (size_t k = 0; k < count; k++) {
        if (strcmp(all[k].name, name) == 0) {
            return &all[k];
        }
    }
    return NULL;
}

static bf_fouling_end end_of(bf_campaign_spec spec)
{
    bf_error err = {0};
    bf_campaign_series series;
    spec.potential_every = spec.cycles;
    const bf_campaign_batch batch = {.spec = &spec, .count = 1, .threads = 1};
    assert_ok(bf_campaign_batch_run(&batch, &series, &err));
    const bf_fouling_end end = bf_fouling_end_of(&spec, &series);
    bf_campaign_series_free(&series);
    return end;
}

START_TEST(the_order_is_that_of_the_results)
{
    static bf_what_if out[BF_WHAT_IFS];
    bf_fouling_end unchanged;
    bf_campaign_spec spec = quick_campaign();
    spec.iron.ageing_factor = 7.3;
    const size_t count = ask(&spec, &unchanged, out);
    ck_assert_uint_eq(count, 6); /* the horizon is too short for a cleaning */
    const bf_fouling_end plain = end_of(spec);
    ck_assert(same_end(&unchanged, &plain));
    for (size_t k = 0; k < count; k++) {
        const bf_fouling_end alone = end_of(out[k].spec);
        ck_assert(same_end(&out[k].end, &alone));
        ck_assert_double_eq(out[k].gain_eq_per_m3,
                            alone.potential_eq_per_m3 - plain.potential_eq_per_m3);
        ck_assert(k == 0 || out[k - 1].gain_eq_per_m3 >= out[k].gain_eq_per_m3);
        printf("%-22s %+8.2f eq/m3: %g -> %g\n", out[k].name, out[k].gain_eq_per_m3, out[k].before,
               out[k].after);
        assert_near(out[k].end.day, unchanged.day, 1e-12); /* one horizon */
    }
    ck_assert(!same_end(&out[0].end, &out[1].end)); /* the comparison can tell */
    ck_assert_double_gt(out[0].gain_eq_per_m3, out[count - 1].gain_eq_per_m3);
}
END_TEST

/* The order of the list of changes is none of the results': a water that brings much salt's worth
 * of heel and little iron ranks salt first, one that fouls the filter before the brine. */
START_TEST(another_case_has_another_order)
{
    static bf_what_if out[BF_WHAT_IFS];
    bf_fouling_end unchanged;
    bf_campaign_spec spec = quick_campaign();
    spec.water = iron_water(6.83, 0.41, 6.87);
    spec.cycles = 7;
    (void)ask(&spec, &unchanged, out);
    ck_assert_str_eq(out[0].name, "more_salt");
    spec = quick_campaign();
    spec.iron.ageing_factor = 9.7;
    spec.water = iron_water(6.83, 13.1, 8.07);
    spec.cycles = 17;
    (void)ask(&spec, &unchanged, out);
    ck_assert_str_eq(out[0].name, "iron_filter");
}
END_TEST

START_TEST(a_change_that_the_case_makes_is_absent)
{
    static bf_what_if out[BF_WHAT_IFS];
    bf_fouling_end unchanged;
    bf_campaign_spec spec = quick_years();
    bf_recipe_set_dose(&spec.recipe, 15.0 * BF_KG_PER_M3_PER_LB_PER_FT3);
    spec.brine_pH = 4.97;
    spec.brine_oxygen_mol_per_m3 = 0.0;
    spec.cleaning.every_days = 179.0; /* of dithionite */
    spec.oxygen_mol_per_m3 = 0.097 / BF_OXYGEN_G_PER_MOL;
    spec.water = iron_water(6.83, 0.099, 7.73);
    size_t count = ask(&spec, &unchanged, out);
    ck_assert_uint_eq(count, 2);
    ck_assert_ptr_nonnull(find(out, count, "shorter_interval"));
    ck_assert_ptr_nonnull(find(out, count, "acid_cleaning"));
    spec.cleaning.agent = BF_CLEANER_HYDROCHLORIC;
    spec.cleaning.every_days = 361.0;
    spec.cleaning.dose_kg_per_m3 = 91.3;
    count = ask(&spec, &unchanged, out);
    ck_assert_uint_eq(count, 2);
    const bf_what_if *reductive = find(out, count, "reductive_cleaning");
    ck_assert_ptr_nonnull(reductive);
    assert_near(reductive->before, 361.0, 1e-12);
    ck_assert_int_eq(reductive->spec.cleaning.agent, BF_CLEANER_DITHIONITE);
}
END_TEST

/* Without iron nothing but salt and interval is noticed. */
START_TEST(what_is_not_noticed_is_absent)
{
    static bf_what_if out[BF_WHAT_IFS];
    bf_fouling_end unchanged;
    bf_campaign_spec spec = quick_years();
    spec.water = iron_water(6.83, 0.0, 7.73);
    ck_assert_uint_eq(ask(&spec, &unchanged, out), 2);
    spec = quick_years();
    spec.cycles = 6; /* 372 d: a half-yearly cleaning comes, a yearly one would be too late */
    size_t count = ask(&spec, &unchanged, out);
    ck_assert_ptr_nonnull(find(out, count, "reductive_cleaning"));
    ck_assert_ptr_null(find(out, count, "acid_cleaning"));
    spec.cycles = 2; /* 124 d */
    count = ask(&spec, &unchanged, out);
    ck_assert_ptr_null(find(out, count, "reductive_cleaning"));
}
END_TEST

START_TEST(each_change_is_what_it_says)
{
    static bf_what_if out[BF_WHAT_IFS];
    bf_fouling_end unchanged;
    bf_campaign_spec spec = quick_years();
    const char *names[] = {
        "more_salt",          "shorter_interval", "acid_brine",  "brine_without_oxygen",
        "reductive_cleaning", "acid_cleaning",    "iron_filter", "less_oxygen"};
    const size_t count = ask(&spec, &unchanged, out);
    ck_assert_uint_eq(count, 8);
    for (size_t k = 0; k < 8; k++) {
        ck_assert_ptr_nonnull(find(out, count, names[k]));
    }
    const bf_what_if *salt = find(out, count, "more_salt");
    assert_near(bf_recipe_dose_kg_per_m3(&salt->spec.recipe), 1.5 * 143.0, 1e-12);
    assert_near(salt->before, 143.0, 1e-12);
    assert_near(salt->after, 214.5, 1e-12);
    const bf_what_if *interval = find(out, count, "shorter_interval");
    assert_near(bf_campaign_days(&interval->spec), 31.0, 1e-12);
    assert_near(interval->before, 62.0, 1e-12);
    assert_near(interval->after, 31.0, 1e-12);
    ck_assert_uint_eq(interval->spec.cycles, 24);
    const bf_what_if *cleaning = find(out, count, "reductive_cleaning");
    /* 744 d: four times 186 d, and the end is just before the fourth. */
    assert_near(cleaning->spec.cleaning.every_days, 186.0, 1e-6);
    ck_assert_double_gt(4.0 * cleaning->spec.cleaning.every_days, 744.0);
    assert_near(cleaning->spec.cleaning.dose_kg_per_m3, 0.113 / BF_M3_PER_FT3, 1e-12);
    ck_assert(isnan(cleaning->before));
    assert_near(cleaning->after, 186.0, 1e-6);
    /* Acid for sites and iron of the first year, of 6 cycles. */
    const bf_what_if *acid = find(out, count, "acid_cleaning");
    spec.cycles = 6;
    const bf_fouling_end year = end_of(spec);
    ck_assert_int_eq(acid->spec.cleaning.agent, BF_CLEANER_HYDROCHLORIC);
    assert_near(acid->spec.cleaning.dose_kg_per_m3,
                bf_cleaning_acid_kg_per_m3(BF_CLEANER_HYDROCHLORIC, year.total_capacity_eq_per_m3,
                                           year.bound_kg_per_m3),
                1e-12);
    ck_assert_double_gt(acid->spec.cleaning.dose_kg_per_m3, 70.0); /* 2 eq/L take 73 g/L */
    ck_assert_double_lt(acid->end.bound_kg_per_m3, unchanged.bound_kg_per_m3);
    ck_assert_double_lt(cleaning->end.bound_kg_per_m3, unchanged.bound_kg_per_m3);
    for (size_t k = 0; k < count; k++) {
        const int handles =
            strstr(out[k].name, "brine") != NULL || strstr(out[k].name, "cleaning") != NULL;
        ck_assert_int_eq(out[k].chemical != 0, handles);
    }
}
END_TEST

/* Sum of the ions of one sign. */
static double charge_of(const bf_water *water, int anions)
{
    double sum = 0.0;
    for (size_t i = 0; i < BF_ION_COUNT; i++) {
        sum += (i >= BF_CATION_COUNT) == anions ? water->ion_eq_per_m3[i] : 0.0;
    }
    return sum;
}

/* Neutral waters stay so, one of them with less alkalinity than the filter takes. */
START_TEST(the_filter_keeps_charge_neutral_in_every_season)
{
    static bf_what_if out[BF_WHAT_IFS];
    bf_fouling_end unchanged;
    bf_campaign_spec spec = quick_campaign();
    spec.cycles = 5;
    spec.season_count = 2;
    spec.season[0] =
        (bf_campaign_season){.from_day = 0.0, .water = spec.water, .oxygen_mol_per_m3 = 0.0871};
    spec.season[1] = (bf_campaign_season){
        .from_day = 7.9, .water = iron_water(5.91, 9.43, 7.31), .oxygen_mol_per_m3 = 0.00207};
    double *ion = spec.season[1].water.ion_eq_per_m3;
    const double short_of = 0.173; /* eq/m3 of alkalinity are left, for 0.334 of iron */
    ion[BF_ION_CL] += ion[BF_ION_HCO3] - short_of;
    ion[BF_ION_HCO3] = short_of;
    const size_t count = ask(&spec, &unchanged, out);
    const bf_what_if *filter = find(out, count, "iron_filter");
    ck_assert_ptr_nonnull(filter);
    assert_near(filter->before, 9.43, 1e-9); /* the worst season */
    assert_near(filter->after, 0.1, 1e-12);
    const double left = 0.1 / bf_ion_equivalent_mass_g_per_eq(BF_ION_FE);
    for (size_t k = 0; k < 2; k++) {
        const bf_water *raw = &spec.season[k].water;
        const bf_water *filtered = &filter->spec.season[k].water;
        const double off = raw->ion_eq_per_m3[BF_ION_FE] - left;
        assert_near(filtered->ion_eq_per_m3[BF_ION_FE], left, 1e-12);
        assert_near(charge_of(filtered, 0), filtered->normality_eq_per_m3, 1e-12);
        assert_near(charge_of(filtered, 1), filtered->normality_eq_per_m3, 1e-12);
        ck_assert_double_gt(off, 0.2);
        if (k == 0) {
            assert_near(raw->ion_eq_per_m3[BF_ION_HCO3] - filtered->ion_eq_per_m3[BF_ION_HCO3], off,
                        1e-12);
        } else {
            /* Soda brings what was short, and what the iron left may take. */
            assert_near(filtered->ion_eq_per_m3[BF_ION_HCO3], left, 1e-12);
            assert_near(filtered->ion_eq_per_m3[BF_ION_NA] - raw->ion_eq_per_m3[BF_ION_NA],
                        off - short_of + left, 1e-12);
        }
    }
    /* The season with little oxygen has what it had, the other no more than 0.1 mg/L. */
    const bf_what_if *oxygen = find(out, count, "less_oxygen");
    assert_near(oxygen->spec.season[0].oxygen_mol_per_m3, 0.1 / BF_OXYGEN_G_PER_MOL, 1e-12);
    ck_assert_double_eq(oxygen->spec.season[1].oxygen_mol_per_m3, 0.00207);
}
END_TEST

/* A bed near its end: 3 eq of sites a mol of iron, so that 22 g/L leave 818 of 2000. */
START_TEST(spent_beds_come_last)
{
    static bf_what_if out[BF_WHAT_IFS];
    bf_fouling_end unchanged;
    bf_campaign_spec spec = quick_campaign();
    spec.water = iron_water(6.83, 14.7, 8.21);
    spec.oxygen_mol_per_m3 = 0.247;
    spec.iron.sites_eq_per_mol = 3.0;
    spec.iron.ageing_factor = 9.1;
    spec.deposit.bound_kg_per_m3 = 22.3;
    spec.service_bed_volumes = 47.0;
    spec.days_between = (double)NAN;
    spec.cycles = 90;
    const size_t count = ask(&spec, &unchanged, out);
    ck_assert_int_eq(unchanged.state, BF_CAMPAIGN_SPENT);
    ck_assert_double_eq(unchanged.potential_eq_per_m3, 0.0);
    size_t spent = 0;
    for (size_t k = 0; k < count; k++) {
        const int is_spent = out[k].end.state == BF_CAMPAIGN_SPENT;
        printf("%-22s %-8s day %5.1f %8.2f eq/m3\n", out[k].name,
               bf_campaign_state_word(out[k].end.state), out[k].end.day,
               out[k].end.potential_eq_per_m3);
        ck_assert(k == 0 || is_spent || out[k - 1].end.state != BF_CAMPAIGN_SPENT);
        ck_assert(spent == 0 || out[k].end.day <= out[k - 1].end.day);
        spent += is_spent ? 1 : 0;
    }
    ck_assert_uint_gt(spent, 1);
    ck_assert_uint_lt(spent, count);
}
END_TEST

START_TEST(bits_do_not_depend_on_threads)
{
    static bf_what_if one[BF_WHAT_IFS];
    static bf_what_if two[BF_WHAT_IFS];
    bf_error err = {0};
    bf_fouling_end unchanged[2];
    size_t count[2];
    bf_campaign_spec spec = quick_campaign();
    spec.cycles = 5;
    const bf_fouling_run one_thread = {.threads = 1};
    assert_ok(bf_fouling_what_if(&spec, &one_thread, &unchanged[0], one, &count[0], &err));
    assert_ok(bf_fouling_what_if(&spec, &two_threads, &unchanged[1], two, &count[1], &err));
    ck_assert_uint_eq(count[0], count[1]);
    ck_assert(same_end(&unchanged[0], &unchanged[1]));
    for (size_t k = 0; k < count[0]; k++) {
        ck_assert_str_eq(one[k].name, two[k].name);
        ck_assert(same_end(&one[k].end, &two[k].end));
        ck_assert(one[k].gain_eq_per_m3 == two[k].gain_eq_per_m3);
    }
}
END_TEST

typedef struct watch {
    size_t calls;
    double last;
    int fell;
    double stop_at; /* share at which a stop is asked for; 0: never */
} watch;

static int see(void *context, double share)
{
    watch *w = context;
    w->calls++;
    w->fell |= share < w->last;
    w->last = share;
    return w->stop_at > 0.0 && share >= w->stop_at;
}

START_TEST(progress_goes_from_none_to_all)
{
    static bf_what_if out[BF_WHAT_IFS];
    bf_error err = {0};
    bf_fouling_end unchanged;
    size_t count;
    watch w = {0};
    bf_campaign_spec spec = quick_campaign();
    const bf_fouling_run run = {.threads = 2, .watch = {see, &w}};
    spec.cycles = 3;
    assert_ok(bf_fouling_what_if(&spec, &run, &unchanged, out, &count, &err));
    ck_assert_uint_gt(w.calls, 7);
    ck_assert(!w.fell);
    assert_near(w.last, 1.0, 1e-12);
}
END_TEST

/* What was complete is there, and is what the whole study gives. */
START_TEST(a_stop_leaves_what_was_complete)
{
    static bf_what_if all[BF_WHAT_IFS];
    static bf_what_if some[BF_WHAT_IFS];
    bf_error err = {0};
    bf_fouling_end unchanged;
    bf_fouling_end unchanged_too;
    size_t count;
    bf_campaign_spec spec = quick_campaign();
    spec.cycles = 3;
    const size_t most = ask(&spec, &unchanged, all);
    watch w = {.stop_at = 0.01};
    const bf_fouling_run run = {.threads = 1, .watch = {see, &w}};
    assert_fails(bf_fouling_what_if(&spec, &run, &unchanged_too, some, &count, &err), BF_E_STOPPED,
                 "stopped");
    ck_assert_uint_eq(count, 0);
    ck_assert_uint_eq(w.calls, 1);
    w = (watch){.stop_at = 0.6};
    assert_fails(bf_fouling_what_if(&spec, &run, &unchanged_too, some, &count, &err), BF_E_STOPPED,
                 "stopped");
    ck_assert(same_end(&unchanged, &unchanged_too));
    ck_assert_uint_gt(count, 1);
    ck_assert_uint_lt(count, most);
    for (size_t k = 0; k < count; k++) {
        const bf_what_if *same = find(all, most, some[k].name);
        ck_assert_ptr_nonnull(same);
        ck_assert(same_end(&same->end, &some[k].end));
        ck_assert_double_eq(same->gain_eq_per_m3, some[k].gain_eq_per_m3);
        ck_assert(k == 0 || some[k - 1].gain_eq_per_m3 >= some[k].gain_eq_per_m3);
    }
}
END_TEST

START_TEST(what_cannot_be_is_refused)
{
    static bf_what_if out[BF_WHAT_IFS];
    bf_error err = {0};
    bf_fouling_end unchanged;
    size_t count = 9;
    bf_campaign_spec bad = quick_campaign();
    bad.recipe.step[0].end_hardness_eq_per_m3 = (double)NAN;
    bad.recipe.step[0].bed_volumes = 113.0;
    assert_fails(bf_fouling_what_if(&bad, &two_threads, &unchanged, out, &count, &err), BF_E_RANGE,
                 "no end point");
    ck_assert_uint_eq(count, 0);
    bad = quick_campaign();
    bad.recipe.step[0].end_hardness_eq_per_m3 = 6.9;
    assert_fails(bf_fouling_what_if(&bad, &two_threads, &unchanged, out, &count, &err), BF_E_RANGE,
                 "not below the feed");
    bad = quick_campaign();
    bad.slices = 0;
    assert_fails(bf_fouling_what_if(&bad, &two_threads, &unchanged, out, &count, &err), BF_E_RANGE,
                 "slices");
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {the_order_is_that_of_the_results,
                                  another_case_has_another_order,
                                  a_change_that_the_case_makes_is_absent,
                                  what_is_not_noticed_is_absent,
                                  each_change_is_what_it_says,
                                  the_filter_keeps_charge_neutral_in_every_season,
                                  spent_beds_come_last,
                                  bits_do_not_depend_on_threads,
                                  progress_goes_from_none_to_all,
                                  a_stop_leaves_what_was_complete,
                                  what_cannot_be_is_refused};
    return support_run("rating.what_if", tests, sizeof tests / sizeof *tests, 280);
}
