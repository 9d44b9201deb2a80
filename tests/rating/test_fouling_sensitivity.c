/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What uncertain parameters do: those that are left out change not a bit, those that are not change
 * something, the widest spread comes first. */
#include "fouling_case.h"

#include <stdio.h>

enum { MOST_PARAMETERS = 64, CASES = 5 };

static const bf_fouling_run two_threads = {.threads = 2};

static void ask(const bf_campaign_spec *spec, bf_fouling_end *expected,
                bf_fouling_sensitivity out[MOST_PARAMETERS])
{
    bf_error err = {0};
    ck_assert_uint_le(bf_iron_parameter_count(), MOST_PARAMETERS);
    assert_ok(bf_fouling_sensitivities(spec, &two_threads, expected, out, &err));
}

static bf_fouling_sensitivity row_of(const bf_fouling_sensitivity *all, const char *name)
{
    for (size_t k = 0; k < bf_iron_parameter_count(); k++) {
        if (strcmp(bf_iron_parameter_get(all[k].parameter).name, name) == 0) {
            return all[k];
        }
    }
    ck_abort_msg("no parameter is called %s", name);
    return (bf_fouling_sensitivity){0};
}

static bf_campaign_spec tiny_campaign(void)
{
    bf_campaign_spec spec = quick_campaign();
    spec.bed.cells = 5;
    spec.bed.relative_tolerance = 2e-3;
    spec.bed.shells = 2; /* one does not notice diffusion in the bead */
    spec.cycles = 2;
    spec.skip_tolerance = 0.0;
    return spec;
}

/* Campaigns that have different things in them. */
static bf_campaign_spec campaign_with(int which)
{
    bf_campaign_spec spec = tiny_campaign();
    switch (which) {
    case 0: /* no oxygen: nothing happens to the iron */
        spec.oxygen_mol_per_m3 = 0.0;
        spec.brine_oxygen_mol_per_m3 = 0.0;
        break;
    case 1: /* deposits, chloramine and a reductant, on water without iron and with manganese */
        spec.water = iron_water(6.83, 0.0, 7.73);
        spec.water.ion_eq_per_m3[BF_ION_MN] = 0.0213;
        spec.water.ion_eq_per_m3[BF_ION_CL] += 0.0213;
        spec.water.normality_eq_per_m3 += 0.0213;
        spec.chloramine_g_per_m3 = 2.3;
        spec.deposit = (bf_iron_deposit){.loose_kg_per_m3 = 0.41, .bound_kg_per_m3 = 5.3};
        spec.cleaning.every_days = 3.7; /* before the second regeneration */
        spec.cleaning.aged = 1;
        break;
    case 2: /* bisulfite, free chlorine, all iron suspended, no backwash */
        spec.ferric_share = 1.0;
        spec.free_chlorine_g_per_m3 = 1.7;
        spec.cleaning = (bf_campaign_cleaning){.every_days = 3.3,
                                               .agent = BF_CLEANER_BISULFITE,
                                               .dose_kg_per_m3 = 17.3,
                                               .duration_s = 7100.0,
                                               .pH = 6.7,
                                               .mass_fraction = 0.1};
        memmove(&spec.recipe.step[1], &spec.recipe.step[2], 3 * sizeof spec.recipe.step[0]);
        spec.recipe.count = 4;
        break;
    case 3: /* acid, on a bed of the filter's own beads */
        spec.bed.resin.bead_diameter_m = 0.6e-3;
        spec.recipe.step[0].velocity_m_per_s = 12.0 / 3600.0;
        spec.recipe.step[4].velocity_m_per_s = 12.0 / 3600.0;
        spec.cleaning.every_days = 3.9;
        spec.cleaning.agent = BF_CLEANER_HYDROCHLORIC;
        spec.cleaning.dose_kg_per_m3 = 83.0;
        break;
    default: /* nothing at all */ spec.water = iron_water(6.83, 0.0, 7.73); break;
    }
    return spec;
}

/* All parameters that are left out moved at once, to either end: if one of them mattered, the bits
 * would tell. Then the first that takes part, as the study ran it. */
static void run_again(const bf_campaign_spec *spec, const bf_fouling_sensitivity *out,
                      bf_fouling_end end[4])
{
    bf_campaign_spec batched[4] = {*spec, *spec, *spec, *spec};
    bf_campaign_series series[4];
    bf_error err = {0};
    const bf_campaign_batch batch = {.spec = batched, .count = 4, .threads = 2};
    for (size_t k = 0; k < bf_iron_parameter_count(); k++) {
        const bf_iron_parameter row = bf_iron_parameter_get(out[k].parameter);
        if (!out[k].takes_part || k == 0) {
            const size_t points = out[k].takes_part ? 2 : 0;
            bf_iron_spec_set(&batched[points].iron, out[k].parameter, row.low);
            bf_iron_spec_set(&batched[points + 1].iron, out[k].parameter, row.high);
        }
    }
    for (size_t k = 0; k < 4; k++) {
        batched[k].potential_every = spec->cycles;
    }
    assert_ok(bf_campaign_batch_run(&batch, series, &err));
    for (size_t k = 0; k < 4; k++) {
        end[k] = bf_fouling_end_of(spec, &series[k]);
        bf_campaign_series_free(&series[k]);
    }
}

static void compare(int which)
{
    static bf_fouling_sensitivity out[MOST_PARAMETERS];
    bf_fouling_end end[4];
    bf_fouling_end expected;
    bf_campaign_spec spec = campaign_with(which);
    ask(&spec, &expected, out);
    run_again(&spec, out, end);
    size_t part = 0;
    for (size_t k = 0; k < bf_iron_parameter_count(); k++) {
        const bf_fouling_sensitivity *s = &out[k];
        const char *name = bf_iron_parameter_get(s->parameter).name;
        if (s->takes_part) {
            ck_assert_msg(!same_end(&s->low, &s->high), "case %d: %s moves nothing", which, name);
            part++;
        } else {
            ck_assert_msg(s->low.day == 0.0 && s->spread_eq_per_m3 == 0.0, "case %d: %s was run",
                          which, name);
        }
    }
    ck_assert_msg(same_end(&expected, &end[0]) && same_end(&expected, &end[1]),
                  "case %d: something that is left out moves the campaign", which);
    if (part > 0) {
        ck_assert(same_end(&out[0].low, &end[2]) && same_end(&out[0].high, &end[3]));
    }
    printf("case %d: %zu of %zu parameters take part\n", which, part, bf_iron_parameter_count());
}

START_TEST(what_is_left_out_changes_nothing_and_the_rest_something)
{
    for (int which = 0; which < CASES; which++) {
        compare(which);
    }
}
END_TEST

START_TEST(the_widest_spread_comes_first)
{
    static bf_fouling_sensitivity out[MOST_PARAMETERS];
    bf_fouling_end expected;
    bf_campaign_spec spec = quick_campaign();
    spec.cycles = 6;
    int rank[MOST_PARAMETERS] = {0};
    ask(&spec, &expected, out);
    for (size_t k = 0; k < bf_iron_parameter_count(); k++) {
        const bf_fouling_sensitivity *s = &out[k];
        rank[s->parameter]++;
        if (s->takes_part) {
            ck_assert(s->spread_eq_per_m3 ==
                      fabs(s->high.potential_eq_per_m3 - s->low.potential_eq_per_m3));
        }
        if (k > 0) {
            ck_assert(s[-1].takes_part >= s->takes_part);
            ck_assert(s[-1].spread_eq_per_m3 >= s->spread_eq_per_m3);
        }
    }
    for (size_t p = 0; p < bf_iron_parameter_count(); p++) {
        ck_assert_int_eq(rank[p], 1);
    }
    ck_assert_double_gt(out[0].spread_eq_per_m3, out[1].spread_eq_per_m3);
    /* A default at the end of its range is the campaign as it is. */
    const bf_fouling_sensitivity removal = row_of(out, "brine_removal");
    ck_assert(removal.takes_part && same_end(&removal.low, &expected));
    ck_assert(!same_end(&removal.high, &expected));
    ck_assert(!row_of(out, "brine_precipitation").takes_part);
    ck_assert(!row_of(out, "dithionite_use").takes_part);
    /* More ageing, less capacity; removal the other way. */
    const bf_fouling_sensitivity ageing = row_of(out, "ageing_factor");
    ck_assert(ageing.low.potential_eq_per_m3 > ageing.high.potential_eq_per_m3);
    ck_assert(removal.low.potential_eq_per_m3 < removal.high.potential_eq_per_m3);
}
END_TEST

START_TEST(bits_do_not_depend_on_threads)
{
    static bf_fouling_sensitivity one[MOST_PARAMETERS];
    static bf_fouling_sensitivity two[MOST_PARAMETERS];
    bf_error err = {0};
    bf_fouling_end expected[2];
    bf_campaign_spec spec = tiny_campaign();
    const bf_fouling_run one_thread = {.threads = 1};
    assert_ok(bf_fouling_sensitivities(&spec, &one_thread, &expected[0], one, &err));
    ask(&spec, &expected[1], two);
    ck_assert(same_end(&expected[0], &expected[1]));
    for (size_t k = 0; k < bf_iron_parameter_count(); k++) {
        ck_assert_uint_eq(one[k].parameter, two[k].parameter);
        ck_assert(same_end(&one[k].low, &two[k].low) && same_end(&one[k].high, &two[k].high));
    }
}
END_TEST

static int stop_at_half(void *context, double share)
{
    (void)context;
    return share >= 0.5;
}

/* Ends that were reached are those of the whole study; the others say that they were not. */
START_TEST(a_stop_leaves_what_was_complete)
{
    static bf_fouling_sensitivity all[MOST_PARAMETERS];
    static bf_fouling_sensitivity some[MOST_PARAMETERS];
    bf_error err = {0};
    bf_fouling_end expected[2];
    size_t complete = 0;
    size_t missing = 0;
    bf_campaign_spec spec = tiny_campaign();
    const bf_fouling_run run = {.threads = 1, .watch = {stop_at_half, NULL}};
    ask(&spec, &expected[0], all);
    assert_fails(bf_fouling_sensitivities(&spec, &run, &expected[1], some, &err), BF_E_STOPPED,
                 "stopped");
    ck_assert(same_end(&expected[0], &expected[1]));
    for (size_t k = 0; k < bf_iron_parameter_count(); k++) {
        for (size_t m = 0; m < bf_iron_parameter_count() && some[k].takes_part; m++) {
            const int is_same = all[m].parameter == some[k].parameter;
            if (is_same && some[k].low.state != BF_CAMPAIGN_RUNS) {
                ck_assert(same_end(&all[m].low, &some[k].low));
                complete++;
            } else if (is_same) {
                ck_assert(some[k].spread_eq_per_m3 == 0.0);
                missing++;
            }
        }
    }
    ck_assert_uint_gt(complete, 3);
    ck_assert_uint_gt(missing, 3);
}
END_TEST

START_TEST(what_cannot_be_is_refused)
{
    static bf_fouling_sensitivity out[MOST_PARAMETERS];
    bf_error err = {0};
    bf_fouling_end expected;
    bf_campaign_spec bad = tiny_campaign();
    bad.recipe.step[0].end_hardness_eq_per_m3 = (double)NAN;
    bad.recipe.step[0].bed_volumes = 113.0;
    assert_fails(bf_fouling_sensitivities(&bad, &two_threads, &expected, out, &err), BF_E_RANGE,
                 "no end point");
    bad = tiny_campaign();
    bad.slices = 0;
    assert_fails(bf_fouling_sensitivities(&bad, &two_threads, &expected, out, &err), BF_E_RANGE,
                 "slices");
    bad = tiny_campaign();
    bad.iron.ageing_factor = 11.0;
    assert_fails(bf_fouling_sensitivities(&bad, &two_threads, &expected, out, &err), BF_E_RANGE,
                 "ageing_factor");
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {what_is_left_out_changes_nothing_and_the_rest_something,
                                  the_widest_spread_comes_first, bits_do_not_depend_on_threads,
                                  a_stop_leaves_what_was_complete, what_cannot_be_is_refused};
    return support_run("rating.fouling_sensitivity", tests, sizeof tests / sizeof *tests, 280);
}
