/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A whole cycle: what a recipe must be, how salt is shared, and that the sums and balances of a
 * cycle close. */
#include "rig.h"

/* Small: balances and sums do not depend on the grid. */
enum { CELLS = 30, SHELLS = 3 };

static rig open_rig(const double *more, double freeboard_m, bf_salt salt)
{
    bf_error err = {0};
    bf_water water;
    rig r;
    assert_ok(rig_water(413.0, 2.37, more, &water, &err));
    assert_ok(rig_open(&r, &water, salt, freeboard_m, CELLS, SHELLS, &err));
    return r;
}

static bf_cycle_result run(const bf_recipe *recipe, const rig *r)
{
    bf_error err = {0};
    bf_cycle_result result;
    assert_ok(bf_cycle_run(recipe, &r->site, r->bed, &result, &err));
    ck_assert_uint_eq(result.step_count, recipe->count);
    return result;
}

static void insert(bf_recipe *recipe, size_t place, bf_step step)
{
    memmove(&recipe->step[place + 1], &recipe->step[place],
            (recipe->count - place) * sizeof recipe->step[0]);
    recipe->step[place] = step;
    recipe->count++;
}

/* ---- recipes --------------------------------------------------------------------------------- */

static void assert_refused(const bf_recipe *recipe, const char *part)
{
    bf_error err = {0};
    bf_cycle_result result;
    rig r = open_rig(NULL, 0.38, BF_SALT_NACL);
    const bf_steady_spec steady = bf_steady_spec_default();
    bf_steady_result steady_result;
    assert_fails(bf_recipe_check(recipe, &err), BF_E_RANGE, part);
    err = (bf_error){0};
    assert_fails(bf_cycle_run(recipe, &r.site, r.bed, &result, &err), BF_E_RANGE, part);
    err = (bf_error){0};
    assert_fails(bf_steady_run(recipe, &r.site, &steady, r.bed, &steady_result, &err), BF_E_RANGE,
                 part);
    rig_close(&r);
}

START_TEST(a_recipe_has_one_service_and_it_comes_first)
{
    bf_error err = {0};
    bf_recipe recipe = rig_co_current(7.3);
    assert_ok(bf_recipe_check(&recipe, &err));

    recipe.count = 0;
    assert_refused(&recipe, "recipe of 0 steps");
    recipe.count = BF_RECIPE_STEPS + 1;
    assert_refused(&recipe, "recipe of 25 steps");

    bf_recipe late = rig_co_current(7.3);
    late.step[0] = rig_brine(7.3);
    late.step[1] = rig_service();
    assert_refused(&late, "step 1 of the recipe is brine");
    bf_recipe twice = rig_co_current(7.3);
    twice.step[2] = rig_service();
    assert_refused(&twice, "step 3 of the recipe is service");
}
END_TEST

START_TEST(a_recipe_of_the_most_steps_runs)
{
    rig r = open_rig(NULL, 0.38, BF_SALT_NACL);
    bf_recipe recipe = rig_co_current(7.3);
    while (recipe.count < BF_RECIPE_STEPS) {
        insert(&recipe, recipe.count, rig_pass(&bf_step_fast_rinse, 12.0, 0.05));
    }
    bf_cycle_result result = run(&recipe, &r);
    ck_assert_str_eq(result.step[BF_RECIPE_STEPS - 1].name, "fast rinse");
    rig_close(&r);
}
END_TEST

START_TEST(a_step_that_is_refused_refuses_the_recipe)
{
    bf_recipe recipe = rig_co_current(7.3);
    recipe.step[3].velocity_m_per_s = 0.0;
    assert_refused(&recipe, "velocity of the fast rinse step");
}
END_TEST

START_TEST(a_step_that_fails_ends_the_cycle)
{
    bf_error err = {0};
    bf_cycle_result result;
    rig r = open_rig(NULL, 0.38, BF_SALT_NACL);
    bf_recipe recipe = rig_co_current(7.3);
    recipe.step[1].mass_fraction = 0.31;
    assert_fails(bf_cycle_run(&recipe, &r.site, r.bed, &result, &err), BF_E_RANGE, "saturat");
    rig_close(&r);
}
END_TEST

/* A type that a layer to the right might bring. */
typedef struct visit {
    size_t checks;
    size_t runs;
} visit;

static bf_status check_visit(const bf_step *step, bf_error *err)
{
    visit *record = step->context;
    record->checks++;
    return record->checks < 3 ? BF_OK : bf_error_set(err, BF_E_INPUT, "visit", "enough of it");
}

static bf_status run_visit(const bf_step *step, const bf_site *site, bf_bed *bed,
                           bf_step_result *out, bf_error *err)
{
    (void)site, (void)bed, (void)err;
    visit *record = step->context;
    record->runs++;
    *out = (bf_step_result){.name = step->type->name,
                            .duration_s = 97.0,
                            .water_bed_volumes = 0.31,
                            .salt_kg_per_m3 = 5.3};
    return BF_OK;
}

START_TEST(a_foreign_type_of_step_takes_part)
{
    static const bf_step_type visiting = {
        .name = "visit", .role = BF_ROLE_FAST_RINSE, .check = check_visit, .run = run_visit};
    rig r = open_rig(NULL, 0.38, BF_SALT_NACL);
    bf_error err = {0};
    bf_cycle_result result;
    visit record = {0};
    bf_recipe recipe = rig_co_current(7.3);
    bf_bed *plain_bed = NULL;
    assert_ok(bf_bed_create(&r.spec, r.selectivity, &plain_bed, &err));
    bf_cycle_result plain;
    assert_ok(bf_cycle_run(&recipe, &r.site, plain_bed, &plain, &err));

    insert(&recipe, 2, (bf_step){.type = &visiting, .context = &record});
    result = run(&recipe, &r);
    ck_assert_uint_eq(record.runs, 1);
    ck_assert_str_eq(result.step[2].name, "visit");
    assert_near(result.regeneration_s, plain.regeneration_s + 97.0, 1e-14);
    assert_near(result.water_bed_volumes, plain.water_bed_volumes + 0.31, 1e-14);
    assert_near(result.salt_kg_per_m3, plain.salt_kg_per_m3 + 5.3, 1e-14);
    ck_assert(result.capacity_eq_per_m3 == plain.capacity_eq_per_m3);

    (void)run(&recipe, &r);
    assert_fails(bf_cycle_run(&recipe, &r.site, r.bed, &result, &err), BF_E_INPUT, "enough");
    bf_bed_free(plain_bed);
    rig_close(&r);
}
END_TEST

/* A step that serves is run and balanced, and counts as no regeneration. */
START_TEST(a_foreign_step_that_serves_is_no_regeneration)
{
    static const bf_step_type serving = {
        .name = "visit", .role = BF_ROLE_EXHAUST, .check = check_visit, .run = run_visit};
    rig r = open_rig(NULL, 0.38, BF_SALT_NACL);
    bf_error err = {0};
    visit record = {0};
    bf_recipe recipe = rig_co_current(7.3);
    bf_bed *plain_bed = NULL;
    assert_ok(bf_bed_create(&r.spec, r.selectivity, &plain_bed, &err));
    bf_cycle_result plain;
    assert_ok(bf_cycle_run(&recipe, &r.site, plain_bed, &plain, &err));

    insert(&recipe, 1, (bf_step){.type = &serving, .context = &record});
    bf_cycle_result result = run(&recipe, &r);
    ck_assert_uint_eq(record.runs, 1);
    ck_assert_str_eq(result.step[1].name, "visit");
    ck_assert(result.regeneration_s == plain.regeneration_s);
    ck_assert(result.water_bed_volumes == plain.water_bed_volumes);
    ck_assert(result.salt_kg_per_m3 == plain.salt_kg_per_m3);
    ck_assert(result.capacity_eq_per_m3 == plain.capacity_eq_per_m3);

    assert_ok(bf_cycle_regenerate(&recipe, &r.site, r.bed, &err));
    ck_assert_uint_eq(record.runs, 1); /* an exhausted bed goes without it */
    bf_bed_free(plain_bed);
    rig_close(&r);
}
END_TEST

/* ---- doses ----------------------------------------------------------------------------------- */

START_TEST(a_dose_is_shared_as_the_steps_share_it_now)
{
    bf_recipe recipe = rig_co_current(1.0);
    insert(&recipe, 3, rig_brine(1.0));
    recipe.step[1].dose_kg_per_m3 = 31.0;
    recipe.step[3].dose_kg_per_m3 = 93.0;
    assert_near(bf_recipe_dose_kg_per_m3(&recipe), 124.0, 1e-15);
    bf_recipe_set_dose(&recipe, 171.0);
    assert_near(recipe.step[1].dose_kg_per_m3, 42.75, 1e-14);
    assert_near(recipe.step[3].dose_kg_per_m3, 128.25, 1e-14);
    assert_near(bf_recipe_dose_kg_per_m3(&recipe), 171.0, 1e-14);
    ck_assert(recipe.step[0].dose_kg_per_m3 == 0.0);
    ck_assert(recipe.step[2].dose_kg_per_m3 == 0.0);
}
END_TEST

START_TEST(a_dose_is_shared_equally_where_nothing_is_set)
{
    bf_recipe recipe = rig_co_current(1.0);
    insert(&recipe, 3, rig_brine(1.0));
    insert(&recipe, 4, rig_brine(1.0));
    recipe.step[1].dose_kg_per_m3 = 0.0;
    recipe.step[3].dose_kg_per_m3 = 0.0;
    recipe.step[4].dose_kg_per_m3 = 0.0;
    bf_recipe_set_dose(&recipe, 171.0);
    assert_near(recipe.step[1].dose_kg_per_m3, 57.0, 1e-14);
    assert_near(recipe.step[3].dose_kg_per_m3, 57.0, 1e-14);
    assert_near(recipe.step[4].dose_kg_per_m3, 57.0, 1e-14);
}
END_TEST

START_TEST(a_refill_makes_brine_of_the_whole_dose)
{
    bf_recipe recipe = rig_co_current(1.0);
    bf_step refill = rig_brine(1.0);
    refill.type = &bf_step_refill;
    insert(&recipe, 3, rig_brine(1.0));
    insert(&recipe, recipe.count, refill);
    bf_recipe_set_dose(&recipe, 171.0);
    assert_near(recipe.step[5].dose_kg_per_m3, 171.0, 1e-15);
    assert_near(bf_recipe_dose_kg_per_m3(&recipe), 171.0, 1e-14); /* salt counts once */
}
END_TEST

START_TEST(a_recipe_without_brine_has_no_dose)
{
    bf_recipe recipe = {.step = {rig_service(), rig_pass(&bf_step_fast_rinse, 12.0, 2.0)},
                        .count = 2};
    bf_recipe_set_dose(&recipe, 171.0);
    ck_assert(recipe.step[1].dose_kg_per_m3 == 0.0);
    ck_assert(bf_recipe_dose_kg_per_m3(&recipe) == 0.0);
    ck_assert(bf_recipe_dose_eq_per_m3(&recipe) == 0.0);
}
END_TEST

/* Molar masses from standard atomic weights (CIAAW 2021): NaCl 22.98977 + 35.45, KCl 39.0983 +
 * 35.45; 58.44 and 74.55 g/eq carry four digits, whence 3e-5. */
START_TEST(a_dose_counts_in_equivalents_of_its_salt)
{
    bf_recipe recipe = rig_co_current(1.0);
    insert(&recipe, 3, rig_brine(1.0));
    recipe.step[1].dose_kg_per_m3 = 117.3;
    recipe.step[3].dose_kg_per_m3 = 61.9;
    assert_near(bf_recipe_dose_eq_per_m3(&recipe), 179.2e3 / 58.43977, 3e-5);
    recipe.step[3].salt = BF_SALT_KCL;
    assert_near(bf_recipe_dose_eq_per_m3(&recipe), 117.3e3 / 58.43977 + 61.9e3 / 74.5483, 3e-5);
    assert_near(bf_recipe_dose_eq_per_m3(&recipe), 117.3e3 / 58.44 + 61.9e3 / 74.55, 1e-14);
}
END_TEST

/* Sea water regenerates by its monovalent cations: 10.784 g Na and 0.399 g K in 35.165 g of salts
 * (Pilson; Millero et al. 2008; from memory), good to 1e-3. */
START_TEST(a_dose_of_sea_water_counts_what_regenerates)
{
    bf_recipe recipe = rig_co_current(1.0);
    recipe.step[1].supply = BF_SUPPLY_SEA;
    recipe.step[1].dose_kg_per_m3 = 117.3;
    assert_near(bf_recipe_dose_eq_per_m3(&recipe),
                117.3e3 * (10.784 / 22.98977 + 0.399 / 39.0983) / 35.165, 1e-3);
}
END_TEST

/* ---- sums ------------------------------------------------------------------------------------ */

START_TEST(a_cycle_adds_up_its_steps)
{
    rig r = open_rig(NULL, 0.38, BF_SALT_NACL);
    bf_recipe recipe = rig_co_current(7.3);
    bf_step refill = rig_brine(7.3);
    refill.type = &bf_step_refill;
    insert(&recipe, recipe.count, refill);
    insert(&recipe, 3, (bf_step){.type = &bf_step_hold, .duration_s = 613.0});
    recipe.step[0].stop_hardness_eq_per_m3 = 3.0 * RIG_END_EQ_PER_M3;
    (void)run(&recipe, &r);
    bf_cycle_result cycle = run(&recipe, &r);

    const bf_passage *counted = &cycle.step[0].counted;
    const double feed_eq_per_m3 = 413.0 / BF_G_CACO3_PER_EQ;
    ck_assert_int_eq(cycle.outcome, BF_RATED);
    /* All hardness that came in was held or leaked; up to the counted end point only. */
    assert_near(cycle.capacity_eq_per_m3 +
                    cycle.leakage_mean_eq_per_m3 * cycle.throughput_bed_volumes,
                feed_eq_per_m3 * cycle.throughput_bed_volumes, 1e-12);
    ck_assert_double_lt(cycle.throughput_bed_volumes, cycle.step[0].bed_volumes - 0.5);
    ck_assert(cycle.throughput_bed_volumes == counted->bed_volumes);
    ck_assert(cycle.leakage_first_eq_per_m3 == counted->hardness_first_eq_per_m3);
    ck_assert(cycle.leakage_low_eq_per_m3 == counted->hardness_low_eq_per_m3);
    assert_near(cycle.leakage_mean_eq_per_m3,
                (counted->out_eq_per_m3[BF_ION_CA] + counted->out_eq_per_m3[BF_ION_MG]) /
                    counted->bed_volumes,
                1e-14);
    ck_assert_double_lt(cycle.leakage_low_eq_per_m3, cycle.leakage_mean_eq_per_m3);

    /* Brine, slow rinse, hold, fast rinse, refill. 116.9 kg/m3 of salt as 10 % brine of 1070.7
     * kg/m3 (CRC Handbook, from memory) is 1.0919 BV made of 1.0541 BV of water of 998.2 kg/m3;
     * both densities good to 1e-3. Water put to the salt takes 26.44 wt% (Salt Institute at 15.56
     * and 21.11 C, between them), the rest of the brine's water dilutes it. */
    double salt = 7.3 * BF_KG_PER_M3_PER_LB_PER_FT3;
    double brine = salt / 107.07;
    double water = 9.0 * salt / 998.2;
    double refilled = (1.0 / 0.2644 - 1.0) * salt / 998.2;
    assert_near(cycle.salt_kg_per_m3, salt, 1e-14);
    assert_near(cycle.water_bed_volumes, water + 2.0 + 2.0, 1e-4);
    assert_near(cycle.regeneration_s,
                3600.0 * (brine / 4.0 + 2.0 / 4.0 + 2.0 / 12.0 + refilled / 4.0) + 613.0, 1e-3);
    double worst = 0.0;
    for (size_t s = 0; s < cycle.step_count; s++) {
        ck_assert_str_eq(cycle.step[s].name, recipe.step[s].type->name);
        worst = fmax(worst, cycle.step[s].passage.imbalance_eq_per_m3);
    }
    assert_near(cycle.balance_error, worst / cycle.capacity_eq_per_m3, 1e-14);
    rig_close(&r);
}
END_TEST

typedef struct ending {
    const bf_recipe *recipe;
    size_t count;
    int in_order;
    double calcium[BF_RECIPE_STEPS];
    double duration_s[BF_RECIPE_STEPS];
} ending;

static void see_the_end(void *observer, const bf_step *step, const bf_step_result *result,
                        const bf_bed *bed)
{
    ending *record = observer;
    record->in_order = record->in_order && step == &record->recipe->step[record->count];
    record->calcium[record->count] = bf_bed_holding(bed).resin_fraction[BF_ION_CA];
    record->duration_s[record->count] = result->duration_s;
    record->count++;
}

START_TEST(the_end_of_every_step_is_seen_once_in_order)
{
    rig r = open_rig(NULL, 0.38, BF_SALT_NACL);
    bf_recipe recipe = rig_co_current(7.3);
    bf_step refill = rig_brine(7.3);
    refill.type = &bf_step_refill;
    insert(&recipe, recipe.count, refill);
    ending record = {.recipe = &recipe, .in_order = 1};
    for (size_t s = 0; s < recipe.count; s++) {
        recipe.step[s].finish = see_the_end;
        recipe.step[s].observer = &record;
    }
    bf_cycle_result cycle = run(&recipe, &r);
    ck_assert_uint_eq(record.count, 5);
    ck_assert(record.in_order);
    for (size_t s = 0; s < 5; s++) {
        ck_assert(record.duration_s[s] == cycle.step[s].duration_s);
    }
    ck_assert_double_lt(record.calcium[1], record.calcium[0]); /* service loads, brine takes off */
    ck_assert(record.calcium[4] == record.calcium[3]);
    rig_close(&r);
}
END_TEST

/* ---- balances -------------------------------------------------------------------------------- */

/* Equivalents of an ion in resin and pore water, per m3 of bed. */
static double content(const rig *r, bf_ion ion)
{
    bf_holding holding = bf_bed_holding(r->bed);
    return r->spec.resin.total_capacity_eq_per_m3 * holding.resin_fraction[ion] +
           r->spec.resin.void_fraction * holding.pore_eq_per_m3[ion];
}

/* Three cycles. The cycle's own balance error is below 1e-6 (it is rounding, some 1e-14). Without
 * freeboard what bf_bed_holding() sees is everything, so that each cation can be counted once more
 * from outside: what entered less what left is what is there now less what was there before. Both
 * sums have thousands of eq/m3; 1e-9 of them is a thousand times their rounding. */
static void assert_balanced(bf_recipe recipe, const double *more, bf_salt salt)
{
    const double freeboards_m[] = {0.38, 0.0};
    for (size_t f = 0; f < 2; f++) {
        rig r = open_rig(more, freeboards_m[f], salt);
        double before[BF_CATION_COUNT];
        double net[BF_CATION_COUNT] = {0};
        double passed = 0.0;
        for (size_t i = 0; i < BF_CATION_COUNT; i++) {
            before[i] = content(&r, (bf_ion)i);
        }
        for (int k = 0; k < 3; k++) {
            bf_cycle_result cycle = run(&recipe, &r);
            ck_assert_double_lt(cycle.balance_error, 1e-6);
            ck_assert_double_gt(cycle.capacity_eq_per_m3, 300.0);
            for (size_t s = 0; s < cycle.step_count; s++) {
                const bf_passage *passage = &cycle.step[s].passage;
                for (size_t i = 0; i < BF_CATION_COUNT; i++) {
                    net[i] += passage->in_eq_per_m3[i] - passage->out_eq_per_m3[i];
                    passed += passage->in_eq_per_m3[i];
                }
            }
        }
        for (size_t i = 0; i < BF_CATION_COUNT && freeboards_m[f] == 0.0; i++) {
            assert_near_abs(content(&r, (bf_ion)i) - before[i], net[i], 1e-9 * passed);
        }
        rig_close(&r);
    }
}

START_TEST(co_current_balances)
{
    assert_balanced(rig_co_current(7.3), NULL, BF_SALT_NACL);
}
END_TEST

START_TEST(counter_current_balances)
{
    assert_balanced(rig_counter_current(7.3), NULL, BF_SALT_NACL);
}
END_TEST

START_TEST(potassium_balances)
{
    bf_recipe recipe = rig_co_current(7.3);
    recipe.step[1].salt = BF_SALT_KCL;
    assert_balanced(recipe, NULL, BF_SALT_KCL);
}
END_TEST

START_TEST(backwash_with_mixing_balances)
{
    bf_recipe recipe = rig_co_current(7.3);
    bf_step backwash = rig_pass(&bf_step_backwash, 31.0, 4.7);
    backwash.direction = BF_FLOW_UP;
    backwash.mix_share = 0.43;
    insert(&recipe, 1, backwash);
    insert(&recipe, 3, (bf_step){.type = &bf_step_hold, .duration_s = 613.0});
    recipe.step[0].stop_hardness_eq_per_m3 = 3.0 * RIG_END_EQ_PER_M3;
    recipe.step[2].supply = BF_SUPPLY_RAW;
    assert_balanced(recipe, NULL, BF_SALT_NACL);
}
END_TEST

START_TEST(iron_and_manganese_balance)
{
    /* 3 and 0.4 mg/L as metal. */
    const double more[BF_ION_COUNT] = {
        [BF_ION_FE] = 3.0 / 55.845 * 2.0, [BF_ION_MN] = 0.4 / 54.938 * 2.0};
    assert_balanced(rig_co_current(7.3), more, BF_SALT_NACL);
    assert_balanced(rig_counter_current(7.3), more, BF_SALT_NACL);
}
END_TEST

/* ---- outcomes -------------------------------------------------------------------------------- */

START_TEST(every_outcome_has_words)
{
    ck_assert_str_eq(bf_outcome_words(BF_RATED), "rated");
    const bf_outcome failure[] = {BF_LEAKS_FROM_THE_START, BF_END_NOT_REACHED, BF_NOT_STEADY};
    for (size_t i = 0; i < 3; i++) {
        ck_assert_ptr_nonnull(strstr(bf_outcome_words(failure[i]), "no rating: "));
        for (size_t j = 0; j < i; j++) {
            ck_assert_str_ne(bf_outcome_words(failure[i]), bf_outcome_words(failure[j]));
        }
    }
    ck_assert_str_eq(bf_outcome_words(BF_NOT_COMPUTED), "not computed");
    ck_assert_str_eq(bf_outcome_words((bf_outcome)97), "unknown");
}
END_TEST

START_TEST(a_service_that_ends_by_volume_below_its_end_point_has_not_reached_it)
{
    rig r = open_rig(NULL, 0.38, BF_SALT_NACL);
    bf_recipe recipe = rig_co_current(7.3);
    recipe.step[0].bed_volumes = 23.0;
    bf_cycle_result cycle = run(&recipe, &r);
    ck_assert_int_eq(cycle.outcome, BF_END_NOT_REACHED);
    assert_near(cycle.throughput_bed_volumes, 23.0, 1e-12);

    recipe.step[0].end_hardness_eq_per_m3 = NAN; /* without an end point it is what it is */
    cycle = run(&recipe, &r);
    ck_assert_int_eq(cycle.outcome, BF_RATED);
    assert_near(cycle.throughput_bed_volumes, 23.0, 1e-12);
    assert_near(cycle.capacity_eq_per_m3,
                23.0 * (413.0 / BF_G_CACO3_PER_EQ - cycle.leakage_mean_eq_per_m3), 1e-12);
    rig_close(&r);
}
END_TEST

/* Resin in equilibrium with the feed: its water leaks at the feed's own hardness. */
static void exhaust(const rig *r, const double *water_eq_per_m3)
{
    bf_error err = {0};
    const double *feed = r->site.water.ion_eq_per_m3;
    const double pore[] = {feed[BF_ION_CA], feed[BF_ION_MG]};
    double y[2];
    bf_selectivity_to_resin(r->selectivity, r->site.water.normality_eq_per_m3, pore, y);
    const double resin[BF_ION_COUNT] = {[BF_ION_CA] = y[0], [BF_ION_MG] = y[1]};
    assert_ok(bf_bed_fill(r->bed, resin, water_eq_per_m3, &err));
}

START_TEST(an_exhausted_bed_leaks_from_the_start)
{
    rig r = open_rig(NULL, 0.38, BF_SALT_NACL);
    exhaust(&r, r.site.water.ion_eq_per_m3);
    bf_recipe recipe = rig_co_current(7.3);
    bf_cycle_result cycle = run(&recipe, &r);
    ck_assert_int_eq(cycle.outcome, BF_LEAKS_FROM_THE_START);
    assert_near(cycle.leakage_mean_eq_per_m3, 413.0 / BF_G_CACO3_PER_EQ, 1e-4);
    rig_close(&r);
}
END_TEST

/* Soft water left in an exhausted bed lets the effluent start below the end point; it is above it
 * long before half a bed volume, so there is no rating here either. */
START_TEST(effluent_that_rises_before_half_a_bed_volume_leaks_from_the_start)
{
    rig r = open_rig(NULL, 0.38, BF_SALT_NACL);
    double soft[BF_ION_COUNT];
    bf_site_supply(&r.site, BF_SUPPLY_SOFT, soft);
    exhaust(&r, soft);
    bf_recipe recipe = rig_co_current(7.3);
    bf_cycle_result cycle = run(&recipe, &r);
    ck_assert_double_lt(cycle.throughput_bed_volumes, 0.5);
    ck_assert_int_eq(cycle.outcome, BF_LEAKS_FROM_THE_START);
    rig_close(&r);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {
        a_recipe_has_one_service_and_it_comes_first,
        a_recipe_of_the_most_steps_runs,
        a_step_that_is_refused_refuses_the_recipe,
        a_step_that_fails_ends_the_cycle,
        a_foreign_type_of_step_takes_part,
        a_foreign_step_that_serves_is_no_regeneration,
        a_dose_is_shared_as_the_steps_share_it_now,
        a_dose_is_shared_equally_where_nothing_is_set,
        a_refill_makes_brine_of_the_whole_dose,
        a_recipe_without_brine_has_no_dose,
        a_dose_counts_in_equivalents_of_its_salt,
        a_dose_of_sea_water_counts_what_regenerates,
        a_cycle_adds_up_its_steps,
        the_end_of_every_step_is_seen_once_in_order,
        co_current_balances,
        counter_current_balances,
        potassium_balances,
        backwash_with_mixing_balances,
        iron_and_manganese_balance,
        every_outcome_has_words,
        a_service_that_ends_by_volume_below_its_end_point_has_not_reached_it,
        an_exhausted_bed_leaks_from_the_start,
        effluent_that_rises_before_half_a_bed_volume_leaks_from_the_start};
    return support_run("cycle.sequence", tests, sizeof tests / sizeof *tests, 60);
}
