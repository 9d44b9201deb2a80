/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Hardness to add for iron: none where nothing fouls, as much as keeps to the loss where it can be
 * kept, and nothing but a reason where it cannot. */
#include "fouling_case.h"

#include "brinefront/dose_curve.h"

#include <stdio.h>

static const bf_fouling_run two_threads = {.threads = 2};

static bf_compensation ask(const bf_campaign_spec *spec, double allowed_loss)
{
    bf_error err = {0};
    bf_compensation out;
    assert_ok(bf_fouling_compensation(spec, allowed_loss, &two_threads, &out, &err));
    ck_assert_double_eq(out.allowed_loss, allowed_loss);
    return out;
}

/* A bed that loses some per cent in weeks. */
static bf_campaign_spec fouling_campaign(void)
{
    bf_campaign_spec spec = quick_campaign();
    spec.iron.ageing_factor = 9.3;
    spec.cycles = 11;
    return spec;
}

/* The bed without deposits, regenerated as in the campaign, is what the campaign itself comes to
 * where nothing oxidises: the loss is none. 1e-3 is what the potentials are uncertain by, twice
 * their relative tolerance of 5e-4. */
START_TEST(no_oxygen_no_addition)
{
    bf_campaign_spec spec = quick_campaign();
    spec.cycles = 7;
    spec.oxygen_mol_per_m3 = 0.0;
    spec.brine_oxygen_mol_per_m3 = 0.0;
    const bf_compensation c = ask(&spec, 0.031);
    ck_assert_uint_eq(c.count, BF_COMPENSATION_POINTS);
    for (size_t k = 0; k < c.count; k++) {
        assert_near_abs(c.point[k].capacity_loss, 0.0, 1e-3);
    }
    ck_assert_double_eq(c.addition_eq_per_g, 0.0);
    ck_assert(isnan(c.too_little_eq_per_g));
    ck_assert_ptr_null(c.why);
    ck_assert(same_end(&c.chosen.end, &c.point[0].end));
}
END_TEST

START_TEST(no_iron_no_addition)
{
    bf_campaign_spec spec = quick_campaign();
    spec.water = iron_water(6.83, 0.0, 7.73);
    bf_compensation c = ask(&spec, 0.031);
    ck_assert_uint_eq(c.count, 1);
    ck_assert_double_eq(c.addition_eq_per_g, 0.0);
    assert_near_abs(c.chosen.capacity_loss, 0.0, 1e-3);
    /* What chlorine takes no addition brings back. 20 mg/L is the most a campaign accepts. */
    spec.free_chlorine_g_per_m3 = 20.0;
    spec.iron.moisture_m3_per_kg = 0.002;
    c = ask(&spec, 0.011);
    ck_assert_double_gt(c.point[0].capacity_loss, 0.011);
    ck_assert(isnan(c.addition_eq_per_g));
    ck_assert_ptr_nonnull(strstr(c.why, "no iron"));
    ck_assert_double_eq(c.chosen.days_between, 0.0);
}
END_TEST

/* Count of the water by hand, and the capacity that a rating of the same bed has. */
START_TEST(a_run_ends_when_the_new_capacity_is_used_up_by_the_count)
{
    bf_error err = {0};
    bf_campaign_spec spec = fouling_campaign();
    spec.cycles = 3;
    const bf_compensation c = ask(&spec, 0.47);
    /* gpg per mg/L; the second is 2 eq per 55.845 g over 0.342061 eq/m3 a gpg. */
    const double tried[] = {0.0, 0.1047, 2.0, 3.0, 4.0, 5.0, 7.5, 10.0, 15.0};
    bf_rating_spec rating = {
        .water = spec.water, .bed = spec.bed, .recipe = spec.recipe, .steady = {200, 2e-4, 5e-3}};
    rating.bed.resin.selectivity[BF_ION_FE] = 1.02 * rating.bed.resin.selectivity[BF_ION_MG];
    const double dose = 143.0;
    const bf_dose_curve_spec curve = {.dose_kg_per_m3 = &dose, .count = 1, .threads = 1};
    bf_dose_point point;
    assert_ok(bf_dose_curve(&rating, &curve, &point, NULL, &err));
    assert_near(c.potential_new_eq_per_m3, point.steady.cycle.capacity_eq_per_m3, 1e-12);
    ck_assert_uint_eq(c.count, sizeof tried / sizeof *tried);
    for (size_t k = 0; k < c.count; k++) {
        const bf_compensation_point *p = &c.point[k];
        assert_near(p->addition_eq_per_g, tried[k] * 0.342061, 1e-3);
        assert_near(p->service_bed_volumes * (6.83 + p->addition_eq_per_g * 6.17),
                    c.potential_new_eq_per_m3, 1e-12);
        assert_near(p->days_between,
                    p->service_bed_volumes * bf_bed_volume_m3(&spec.bed) / spec.water_m3_per_day,
                    1e-12);
        /* The horizon, to half a cycle. */
        assert_near_abs(p->end.day, 3.0 * 3.1, 0.51 * p->days_between);
        assert_near(p->capacity_loss,
                    1.0 - p->end.potential_eq_per_m3 / p->end.potential_new_eq_per_m3, 1e-12);
    }
    /* Regenerated when it is used up: the new bed's own steady cycle. Hardness that leaks makes the
     * run longer than C/H by some per mille. */
    assert_near(c.point[0].end.potential_new_eq_per_m3, c.potential_new_eq_per_m3, 5e-3);
}
END_TEST

START_TEST(the_answer_has_been_run_and_keeps_to_the_loss)
{
    bf_error err = {0};
    bf_campaign_spec spec = fouling_campaign();
    /* A loss that some of the additions keep to and others not, from a first look. */
    bf_compensation c = ask(&spec, 0.5);
    ck_assert_double_eq(c.addition_eq_per_g, 0.0);
    const double allowed = 0.41 * c.point[2].capacity_loss + 0.59 * c.point[3].capacity_loss;
    ck_assert_double_gt(allowed, 0.005);
    c = ask(&spec, allowed);
    printf("allowed %.4f: %.3f gpg per mg/L loses %.4f, %.3f is too little; 0 loses %.4f, 15 "
           "%.4f\n",
           allowed, c.addition_eq_per_g / BF_EQ_PER_M3_PER_GPG, c.chosen.capacity_loss,
           c.too_little_eq_per_g / BF_EQ_PER_M3_PER_GPG, c.point[0].capacity_loss,
           c.point[8].capacity_loss);
    ck_assert_double_le(c.chosen.capacity_loss, allowed);
    ck_assert(c.addition_eq_per_g == c.chosen.addition_eq_per_g);
    ck_assert(c.addition_eq_per_g > c.point[2].addition_eq_per_g &&
              c.addition_eq_per_g <= c.point[3].addition_eq_per_g);
    ck_assert(c.too_little_eq_per_g >= c.point[2].addition_eq_per_g &&
              c.too_little_eq_per_g < c.addition_eq_per_g);
    ck_assert_int_eq(c.falls, 1);
    ck_assert_ptr_null(c.why);
    /* Run once more, alone, as anybody would. */
    bf_campaign_spec alone = spec;
    bf_campaign_series series;
    alone.days_between = (double)NAN;
    alone.service_bed_volumes = c.chosen.service_bed_volumes;
    alone.cycles = (size_t)(11.0 * 3.1 / c.chosen.days_between + 0.5);
    alone.potential_every = alone.cycles;
    const bf_campaign_batch batch = {.spec = &alone, .count = 1, .threads = 1};
    assert_ok(bf_campaign_batch_run(&batch, &series, &err));
    bf_fouling_end end = bf_fouling_end_of(&alone, &series);
    end.potential_new_eq_per_m3 =
        c.chosen.end.potential_new_eq_per_m3; /* of the bed without deposits */
    ck_assert(same_end(&end, &c.chosen.end));
    bf_campaign_series_free(&series);
}
END_TEST

/* Much iron, air and alkaline water: earlier regeneration does not save the bed. */
START_TEST(none_helps_where_iron_oxidises_at_once)
{
    bf_campaign_spec spec = fouling_campaign();
    spec.cycles = 11;
    spec.water = iron_water(6.83, 13.9, 8.43);
    spec.oxygen_mol_per_m3 = 0.271;
    spec.brine_oxygen_mol_per_m3 = 0.271;
    const bf_compensation c = ask(&spec, 0.0053);
    ck_assert(isnan(c.addition_eq_per_g));
    ck_assert_ptr_nonnull(strstr(c.why, "removed before the bed"));
    ck_assert_double_eq(c.chosen.service_bed_volumes, 0.0);
    ck_assert(c.too_little_eq_per_g == c.point[8].addition_eq_per_g);
    for (size_t k = 0; k < c.count; k++) {
        ck_assert_double_gt(c.point[k].capacity_loss, 0.0053);
    }
    ck_assert_int_eq(c.falls, 0); /* alkaline brine with air: each regeneration fouls */
}
END_TEST

/* The setting has to hold in the worst of them, in whichever order they come. */
START_TEST(of_seasons_the_worst_counts)
{
    bf_campaign_spec spec = quick_campaign();
    spec.cycles = 5;
    spec.season_count = 2;
    spec.season[0] = (bf_campaign_season){
        .from_day = 0.0, .water = iron_water(6.83, 2.17, 7.21), .oxygen_mol_per_m3 = 0.0213};
    spec.season[1] = (bf_campaign_season){
        .from_day = 8.3, .water = iron_water(8.91, 3.43, 7.07), .oxygen_mol_per_m3 = 0.0147};
    const bf_compensation c = ask(&spec, 0.173);
    bf_campaign_spec hard = spec;
    hard.season_count = 0;
    hard.water = spec.season[1].water;
    hard.oxygen_mol_per_m3 = 0.0147;
    const bf_compensation h = ask(&hard, 0.173);
    /* Harder water leaves a bed of the same dose no more capacity. */
    ck_assert_double_le(c.potential_new_eq_per_m3, h.potential_new_eq_per_m3 * (1.0 + 1e-12));
    for (size_t k = 0; k < c.count; k++) {
        assert_near(c.point[k].service_bed_volumes * (8.91 + c.point[k].addition_eq_per_g * 3.43),
                    c.potential_new_eq_per_m3, 1e-12);
    }
}
END_TEST

START_TEST(bits_do_not_depend_on_threads)
{
    bf_error err = {0};
    bf_campaign_spec spec = fouling_campaign();
    bf_compensation one;
    spec.cycles = 3;
    const bf_fouling_run one_thread = {.threads = 1};
    const bf_compensation two = ask(&spec, 0.0113);
    assert_ok(bf_fouling_compensation(&spec, 0.0113, &one_thread, &one, &err));
    for (size_t k = 0; k < two.count; k++) {
        ck_assert(same_end(&one.point[k].end, &two.point[k].end));
        ck_assert(one.point[k].capacity_loss == two.point[k].capacity_loss);
    }
    ck_assert(same_end(&one.chosen.end, &two.chosen.end));
    ck_assert(memcmp(&one.addition_eq_per_g, &two.addition_eq_per_g, sizeof(double)) == 0);
    ck_assert(!same_end(&one.point[0].end, &one.point[1].end)); /* the comparison can tell */
}
END_TEST

typedef struct watch {
    double stop_at;
    double last;
} watch;

static int stop_at(void *context, double share)
{
    watch *w = context;
    ck_assert(share >= w->last && share <= 1.0);
    w->last = share;
    return share >= w->stop_at;
}

/* In the beds without deposits, among the nine and while it is narrowed down. */
START_TEST(a_stop_leaves_no_answer)
{
    bf_error err = {0};
    bf_campaign_spec spec = fouling_campaign();
    spec.cycles = 3;
    spec.deposit.bound_kg_per_m3 = 1.9;
    const bf_compensation whole = ask(&spec, 0.0113);
    const struct {
        double share;
        size_t points;
    } stops[] = {{0.0, 0}, {0.3, 0}, {0.71, 9}};
    for (size_t k = 0; k < sizeof stops / sizeof *stops; k++) {
        bf_compensation out;
        watch w = {.stop_at = stops[k].share};
        const bf_fouling_run run = {.threads = 1, .watch = {stop_at, &w}};
        assert_fails(bf_fouling_compensation(&spec, 0.0113, &run, &out, &err), BF_E_STOPPED,
                     "stopped");
        ck_assert(isnan(out.addition_eq_per_g) && out.chosen.service_bed_volumes == 0.0);
        ck_assert_uint_eq(out.count, stops[k].points);
        for (size_t p = 0; p < out.count; p++) {
            ck_assert(same_end(&out.point[p].end, &whole.point[p].end));
        }
    }
}
END_TEST

START_TEST(what_cannot_be_is_refused)
{
    bf_error err = {0};
    bf_compensation out;
    bf_campaign_spec spec = quick_campaign();
    const double losses[] = {0.0049, 0.51, -0.1, (double)NAN};
    for (size_t k = 0; k < sizeof losses / sizeof *losses; k++) {
        assert_fails(bf_fouling_compensation(&spec, losses[k], &two_threads, &out, &err),
                     BF_E_RANGE, "loss allowed");
        ck_assert(isnan(out.addition_eq_per_g) && out.count == 0);
    }
    bf_campaign_spec bad = spec;
    bad.recipe.step[0].end_hardness_eq_per_m3 = (double)NAN;
    bad.recipe.step[0].bed_volumes = 113.0;
    assert_fails(bf_fouling_compensation(&bad, 0.1, &two_threads, &out, &err), BF_E_RANGE,
                 "no end point");
    bad = spec;
    bad.slices = 0;
    assert_fails(bf_fouling_compensation(&bad, 0.1, &two_threads, &out, &err), BF_E_RANGE,
                 "slices");
    bad = spec;
    bf_recipe_set_dose(&bad.recipe, 9.7); /* leaves the bed full of hardness */
    bad.recipe.step[0].end_hardness_eq_per_m3 = 0.017;
    assert_fails(bf_fouling_compensation(&bad, 0.1, &two_threads, &out, &err), BF_E_RANGE,
                 "without deposits");
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {no_oxygen_no_addition,
                                  no_iron_no_addition,
                                  a_run_ends_when_the_new_capacity_is_used_up_by_the_count,
                                  the_answer_has_been_run_and_keeps_to_the_loss,
                                  none_helps_where_iron_oxidises_at_once,
                                  of_seasons_the_worst_counts,
                                  bits_do_not_depend_on_threads,
                                  a_stop_leaves_no_answer,
                                  what_cannot_be_is_refused};
    return support_run("rating.compensation", tests, sizeof tests / sizeof *tests, 280);
}
