/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Criteria on ratings made up for the purpose: each holds on one side of its limit and fails on the
 * other, in both unit systems, and what is not known cannot be told. */
#include "brinefront/convert.h"
#include "brinefront/criteria.h"
#include "simple_bed.h"
#include "support.h"

#include <math.h>
#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof *(array))

/* Trade units by their definitions (NIST SP 811): 7000 gr are a lb, 231 in3 a gallon. */
static const double grain_kg = 64.79891e-6;
static const double gallon_m3 = 231.0 * 16.387064e-6;

static bf_rating_spec some_bed(void)
{
    bf_rating_spec spec = {.bed = simple_bed()};
    spec.bed.diameter_m = 0.319;
    spec.bed.depth_m = 0.817;
    return spec;
}

/* A rated dose of a salt efficiency (gr/lb) and water (gal/1,000 gr). */
static bf_dose_point point_of(double dose_kg_per_m3, double gr_per_lb, double gal_per_1000_gr)
{
    bf_dose_point point = {.dose_kg_per_m3 = dose_kg_per_m3};
    const double capacity_kg_per_m3 = dose_kg_per_m3 * gr_per_lb / 7000.0;
    point.steady.cycle.outcome = BF_RATED;
    point.steady.cycle.capacity_eq_per_m3 = capacity_kg_per_m3 / 0.05004345;
    point.steady.cycle.throughput_bed_volumes = 211.3;
    point.steady.cycle.water_bed_volumes =
        gal_per_1000_gr * gallon_m3 / (1000.0 * grain_kg) * capacity_kg_per_m3;
    return point;
}

static bf_first_minutes leaking(double gpg)
{
    return (bf_first_minutes){.highest_eq_per_m3 = gpg * grain_kg / gallon_m3 / 0.05004345};
}

START_TEST(each_criterion_has_two_sides)
{
    const bf_rating_spec rating = some_bed();
    static bf_dose_point points[2];
    static bf_first_minutes full;
    bf_criterion out[BF_CRITERIA];
    static const struct {
        double gr_per_lb, gal_per_1000_gr, psi, gpm, gpg;
        int holds[BF_CRITERIA];
    } table[] = {
        {4003.0, 2.49, 14.97, 4.01, 0.993, {1, 1, 1, 1, 1, 1, 1, 1}},
        {3997.0, 2.51, 15.03, 3.99, 1.007, {1, 1, 0, 0, 0, 0, 0, 0}},
        {3353.0, 4.99, 15.0, 4.0, 1.0, {1, 1, 0, 0, 0, 1, 1, 0}}, /* leakage must stay below */
        {3347.0, 5.01, 0.7, 11.3, 0.05, {0, 0, 0, 0, 0, 1, 1, 1}},
    };
    for (size_t t = 0; t < COUNT(table); t++) {
        const bf_tank_sheet sheet = {.rated_Pa = table[t].psi * 6894.757293168361,
                                     .rated_m3_per_s = table[t].gpm * gallon_m3 / 60.0};
        const double found[BF_CRITERIA] = {table[t].gr_per_lb,
                                           table[t].gal_per_1000_gr,
                                           table[t].gr_per_lb,
                                           table[t].gr_per_lb,
                                           table[t].gal_per_1000_gr,
                                           table[t].psi,
                                           table[t].gpm,
                                           table[t].gpg};
        points[0] = point_of(141.7, 2900.0, 1.1); /* the smaller counts, wherever it stands */
        points[1] = point_of(83.1, table[t].gr_per_lb, table[t].gal_per_1000_gr);
        full = leaking(table[t].gpg);
        ck_assert_uint_eq(bf_criteria_of(&rating, &sheet, points, 2, &full, out), BF_CRITERIA);
        for (size_t k = 0; k < BF_CRITERIA; k++) {
            assert_near(out[k].found, found[k], 1e-10);
            ck_assert_msg(out[k].holds == table[t].holds[k], "row %zu, %s: %g of %g", t,
                          out[k].name, out[k].found, out[k].limit);
            ck_assert_str_eq(bf_criterion_verdict(&out[k]), table[t].holds[k] ? "holds" : "fails");
            const double margin = out[k].found / out[k].limit - 1.0;
            assert_near_abs(out[k].margin, out[k].at_least ? margin : -margin, 1e-14);
            ck_assert(strlen(out[k].source) > 20 && strlen(out[k].name) > 5);
        }
    }
}
END_TEST

/* Limits as the sources have them, and in SI: 18.9 L per 64.8 g are 292 L/kg; 3,350 gr/lb are
 * 478.6 g/kg; 15 psi 103.4 kPa; 4 gpm 0.908 m3/h; 1 gpg 17.1 mg/L. */
START_TEST(limits_are_the_sources_in_both_unit_systems)
{
    const bf_rating_spec rating = some_bed();
    bf_criterion out[BF_CRITERIA];
    static const struct {
        bf_criterion_id id;
        double limit, si;
        const char *unit, *si_unit, *source;
    } table[] = {
        {BF_CRITERION_EFFICIENCY_RATED, 3350.0, 478.57, "gr/lb", "g CaCO3/kg", "NSF/ANSI 44"},
        {BF_CRITERION_WATER_RATED, 5.0, 292.09, "gal/1,000 gr", "L/kg CaCO3", "NSF/ANSI 44"},
        {BF_CRITERION_EFFICIENCY_STATE, 4000.0, 571.43, "gr/lb", "g CaCO3/kg", "116785"},
        {BF_CRITERION_EFFICIENCY_DISTRICT, 4000.0, 571.43, "gr/lb", "g CaCO3/kg", "Madison"},
        {BF_CRITERION_WATER_DISTRICT, 2.5, 146.04, "gal/1,000 gr", "L/kg CaCO3", "Madison"},
        {BF_CRITERION_PRESSURE, 15.0, 103.42, "psi", "kPa", "Andrew"},
        {BF_CRITERION_RATED_FLOW, 4.0, 0.90850, "gpm", "m3/h", "Andrew"},
        {BF_CRITERION_LEAKAGE, 1.0, 17.118, "gpg", "mg/L as CaCO3", "Andrew"},
    };
    ck_assert_uint_eq(COUNT(table), BF_CRITERIA);
    (void)bf_criteria_of(&rating, NULL, NULL, 0, NULL, out);
    for (size_t k = 0; k < COUNT(table); k++) {
        const bf_criterion *c = &out[table[k].id];
        ck_assert(c->limit == table[k].limit);
        ck_assert_str_eq(c->unit, table[k].unit);
        ck_assert_str_eq(c->si_unit, table[k].si_unit);
        assert_near(c->limit * c->si_per_unit, table[k].si, 4e-5); /* five digits */
        ck_assert_ptr_nonnull(strstr(c->source, table[k].source));
    }
}
END_TEST

START_TEST(what_is_not_known_cannot_be_told)
{
    const bf_rating_spec rating = some_bed();
    static bf_dose_point points[2];
    bf_criterion out[BF_CRITERIA];
    (void)bf_criteria_of(&rating, NULL, NULL, 0, NULL, out);
    for (size_t k = 0; k < BF_CRITERIA; k++) {
        ck_assert(isnan(out[k].found) && isnan(out[k].margin) && !out[k].holds);
        ck_assert_str_eq(bf_criterion_verdict(&out[k]), "cannot be told");
    }
    /* The smallest dose has no rating: a larger one does not stand in for it. */
    static const bf_outcome none[] = {BF_LEAKS_FROM_THE_START, BF_END_NOT_REACHED, BF_NOT_STEADY};
    const bf_tank_sheet sheet = {.rated_Pa = (double)NAN, .rated_m3_per_s = 3.1e-4};
    for (size_t o = 0; o < COUNT(none); o++) {
        points[0] = point_of(48.3, 4700.0, 1.9);
        points[0].steady.cycle.outcome = none[o];
        points[1] = point_of(83.1, 4100.0, 2.1);
        (void)bf_criteria_of(&rating, &sheet, points, 2, NULL, out);
        ck_assert(isnan(out[BF_CRITERION_EFFICIENCY_RATED].found));
        ck_assert(isnan(out[BF_CRITERION_WATER_DISTRICT].found));
        ck_assert(isnan(out[BF_CRITERION_PRESSURE].found));
        ck_assert(out[BF_CRITERION_RATED_FLOW].holds);
    }
    const bf_first_minutes untold = {.highest_eq_per_m3 = (double)NAN};
    (void)bf_criteria_of(&rating, &sheet, points, 2, &untold, out);
    ck_assert_str_eq(bf_criterion_verdict(&out[BF_CRITERION_LEAKAGE]), "cannot be told");
}
END_TEST

/* A vessel whose pressure limit binds reaches it to rounding, and that is no failure. */
START_TEST(a_limit_that_is_reached_holds)
{
    const bf_rating_spec rating = some_bed();
    bf_criterion out[BF_CRITERIA];
    const bf_tank_sheet sheet = {.rated_Pa = 15.0 * BF_PA_PER_PSI * (1.0 + 1e-14),
                                 .rated_m3_per_s =
                                     4.0 * BF_M3_PER_GAL / BF_S_PER_MIN * (1.0 - 1e-14)};
    (void)bf_criteria_of(&rating, &sheet, NULL, 0, NULL, out);
    ck_assert(out[BF_CRITERION_PRESSURE].holds && out[BF_CRITERION_RATED_FLOW].holds);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {each_criterion_has_two_sides,
                                  limits_are_the_sources_in_both_unit_systems,
                                  what_is_not_known_cannot_be_told, a_limit_that_is_reached_holds};
    return support_run("rating.criteria", tests, COUNT(tests), 30);
}
