/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Vessels: sizes against published areas and depths, pressure and lifted beds by hand, the sheet
 * against a simulated cycle and in both unit systems, and every refusal with a nearest value that
 * then holds. */
#include "brinefront/case.h"
#include "brinefront/convert.h"
#include "brinefront/hydraulics.h"
#include "brinefront/tank.h"
#include "resin/bead_sizes.h"
#include "simple_bed.h"
#include "support.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof *(array))
#define SQUARE(x) ((x) * (x))
static const double gpm_m3_per_s = 3.785411784e-3 / 60.0; /* NIST SP 811 */

/* A softener on a coarse grid; invented. */
static const char us_text[] =
    "water: {hardness: 17.3 gpg, sodium: 2.1 meq/L, temperature: 55.4 F}\n"
    "bed: {diameter: 10 in, depth: 31.7 in, freeboard: 21.9 in}\n"
    "service: {flow: 3.1 gpm, end_point: 1 gpg}\n"
    "regeneration: {doses: 7.3 lb/ft3, brine_strength: 11.7 wt%, brine_flow: 0.53 gpm/ft3, "
    "backwash_time: 9 min, backwash_flow: 4.1 gpm/ft2, slow_rinse_volume: 19 gal/ft3, "
    "fast_rinse_volume: 23 gal/ft3, fast_rinse_flow: 1.7 gpm/ft3}\n"
    "numerics: {cells: 20, shells: 2}\n";
/* The same to twelve digits. */
static const char si_text[] =
    "water: {hardness: 296.142456083 mg/L as CaCO3, sodium: 2.1 meq/L, temperature: 13 C}\n"
    "bed: {diameter: 0.254 m, depth: 0.80518 m, freeboard: 0.55626 m}\n"
    "service: {flow: 0.704086591824 m3/h, end_point: 17.1180610453 mg/L as CaCO3}\n"
    "regeneration: {doses: 116.93478263 g/L, brine_strength: 11.7 wt%, brine_flow: 4.251041666667 "
    "BV/h, backwash_time: 9 min, backwash_flow: 10.023475 m/h, slow_rinse_volume: "
    "2.53993055556 BV, fast_rinse_volume: 3.07465277778 BV, fast_rinse_flow: 13.6354166667 BV/h}\n"
    "numerics: {cells: 20, shells: 2}\n";

static bf_rating_spec rating_of(const char *text)
{
    bf_error err = {0};
    static bf_case input; /* large */
    bf_status status = bf_case_read_text(text, strlen(text), "test", &input, NULL, &err);
    ck_assert_msg(status == BF_OK, "%s: %s", err.where, err.message);
    bf_recipe_set_dose(&input.rating.recipe, input.dose_kg_per_m3[0]);
    return input.rating;
}

static bf_step *find(bf_rating_spec *rating, const bf_step_type *type)
{
    for (size_t s = 0; s < rating->recipe.count; s++) {
        if (rating->recipe.step[s].type == type) {
            return &rating->recipe.step[s];
        }
    }
    ck_abort_msg("no such step");
    return NULL;
}

static bf_tank_spec ten_by_54(void)
{
    bf_error err = {0};
    bf_tank_spec tank = bf_tank_spec_default();
    bf_tank_size size;
    assert_ok(bf_tank_size_find("10x54", &size, &err));
    tank.diameter_m = size.diameter_m;
    tank.height_m = size.height_m;
    return tank;
}

/* ---- sizes ----------------------------------------------------------------------------------- */

/* Area D^2/183 ft2 (Wirth, WC&P, Mar 2014): pi/4/144 is 0.19 % less; depths worked from it to 0.1
 * in outside this program. */
START_TEST(sizes_are_as_published)
{
    bf_error err = {0};
    static const struct {
        const char *name;
        double area_ft2, low_in, high_in;
    } table[] = {{"8x44", 0.350, 25.7, 25.7},  {"9x48", 0.443, 27.1, 27.1},
                 {"10x54", 0.546, 32.9, 32.9}, {"12x52", 0.787, 30.5, 30.5},
                 {"13x54", 0.923, 32.5, 32.5}, {"14x65", 1.071, 33.6, 39.2}};
    for (size_t t = 0; t < COUNT(table); t++) {
        bf_tank_size size;
        assert_ok(bf_tank_size_find(table[t].name, &size, &err));
        const double area_m2 = 0.25 * 3.14159265358979 * SQUARE(size.diameter_m);
        assert_near(area_m2 / SQUARE(0.3048), table[t].area_ft2, 0.0035);
        assert_near(size.resin_low_m3 / area_m2 / 0.0254, table[t].low_in, 0.004);
        assert_near(size.resin_high_m3 / area_m2 / 0.0254, table[t].high_in, 0.004);
    }
    ck_assert_uint_eq(bf_tank_size_count(), 12);
    for (size_t i = 0; i < bf_tank_size_count(); i++) { /* the name says the size; filling fits */
        const bf_tank_size size = bf_tank_size_get(i);
        char name[16];
        (void)snprintf(name, sizeof name, "%.0fx%.0f", size.diameter_m / 0.0254,
                       size.height_m / 0.0254);
        ck_assert_str_eq(name, size.name);
        bf_tank_spec tank = bf_tank_spec_default();
        bf_bed_spec bed = simple_bed();
        tank.diameter_m = size.diameter_m;
        tank.height_m = size.height_m;
        ck_assert(size.resin_low_m3 <= size.resin_high_m3);
        assert_ok(bf_tank_fill(&tank, size.resin_high_m3, &bed, &err));
        ck_assert(bed.depth_m >= 0.61); /* product data: 24 in or more */
    }
}
END_TEST

START_TEST(an_unknown_size_names_the_known_ones)
{
    bf_error err = {0};
    bf_tank_size size;
    assert_fails(bf_tank_size_find("11x53", &size, &err), BF_E_INPUT, "\"11x53\"");
    ck_assert_ptr_nonnull(strstr(err.message, "8x44, 9x48"));
    ck_assert_ptr_nonnull(strstr(err.message, "36x72; state diameter and height"));
}
END_TEST

/* ---- the spec -------------------------------------------------------------------------------- */

START_TEST(defaults_are_the_published_limits)
{
    bf_error err = {0};
    const bf_tank_spec tank = bf_tank_spec_default();
    assert_ok(bf_tank_spec_check(&tank, &err));
    assert_near(tank.pressure_limit_Pa, 103421.4, 1e-6);            /* 15 psi */
    assert_near(3600.0 * tank.velocity_limit_m_per_s, 36.67, 1e-3); /* 15 gpm/ft2 of 2.4447 m/h */
    assert_near(3600.0 * bf_tank_public_supply_m_per_s(), 17.0, 1e-2); /* the code's own m/h */
    assert_near(tank.bed_volumes_per_h_limit, 40.0, 1e-12);
}
END_TEST

START_TEST(every_field_out_of_range_is_named)
{
    bf_error err = {0};
    const double nothing = (double)NAN;
    bf_tank_spec t = bf_tank_spec_default();
    const struct {
        double *field;
        double value;
        const char *part;
    } table[] = {{&t.diameter_m, 0.0091, "diameter is 0.0091 m; accepted are 0.01 to 10"},
                 {&t.height_m, 21.3, "height is 21.3 m"},
                 {&t.underbedding_m, -0.013, "underbedding"},
                 {&t.underbedding_m, nothing, "underbedding"},
                 {&t.pressure_limit_Pa, 0.0, "pressure limit"},
                 {&t.pressure_limit_Pa, nothing, "pressure limit"},
                 {&t.velocity_limit_m_per_s, 0.0, "velocity limit"},
                 {&t.bed_volumes_per_h_limit, -3.7, "bed volumes an hour"},
                 {&t.peak_m3_per_s, 0.0, "peak flow"},
                 {&t.average_m3_per_s, (double)INFINITY, "average flow"},
                 {&t.wanted_rise, 0.07, "wanted rise"},
                 {&t.swelling, 0.23, "swelling"},
                 {&t.coldest_K, 271.9, "coldest water"},
                 {&t.warmest_K, 331.7, "warmest water"},
                 {&t.drain_m3_per_s, -1e-4, "drain takes"},
                 {&t.valve_Pa, 31e3, "the valve loses 31000 Pa at nan"},
                 {&t.valve_m3_per_s, 3e-4, "the valve"},
                 {&t.distributor_Pa, -1.0, "the distributor"},
                 {&t.distributor_m3_per_s, 3e-4, "both or neither"}};
    for (size_t k = 0; k < COUNT(table); k++) {
        const double before = *table[k].field;
        *table[k].field = table[k].value;
        assert_fails(bf_tank_spec_check(&t, &err), BF_E_RANGE, table[k].part);
        *table[k].field = before;
        assert_ok(bf_tank_spec_check(&t, &err));
    }
    t.coldest_K = 291.7;
    t.warmest_K = 283.3;
    assert_fails(bf_tank_spec_check(&t, &err), BF_E_RANGE, "18.55 C (65.39 F), is warmer");
    t = bf_tank_spec_default();
    t.average_m3_per_s = 3.1 * gpm_m3_per_s;
    t.peak_m3_per_s = 2.9 * gpm_m3_per_s;
    assert_fails(bf_tank_spec_check(&t, &err), BF_E_RANGE, "more than the peak flow, 0.6587 m3/h");
}
END_TEST

START_TEST(a_vessel_is_filled_to_what_it_holds)
{
    bf_error err = {0};
    bf_tank_spec tank = ten_by_54();
    bf_bed_spec bed = simple_bed();
    tank.underbedding_m = 0.0719;
    assert_ok(bf_tank_fill(&tank, 0.0371, &bed, &err));
    const double area_m2 = 0.0506707479; /* pi/4 of 10 in squared */
    assert_near(bed.diameter_m, 0.254, 1e-15);
    assert_near(bed.depth_m, 0.0371 / area_m2, 1e-9);
    assert_near(bed.freeboard_m, 1.3716 - 0.0719 - 0.0371 / area_m2, 1e-8);
    assert_near(bf_bed_volume_m3(&bed), 0.0371, 1e-14);

    /* 1.2997 m of 507 cm2 over 1.07 hold 61.5 L. */
    const bf_bed_spec before = bed;
    assert_fails(bf_tank_fill(&tank, 0.0617, &bed, &err), BF_E_RANGE,
                 "61.7 L (2.179 ft3) of resin does not go into the vessel, swollen by 7 %");
    ck_assert_ptr_nonnull(strstr(err.message, "at most 61.54 L (2.173 ft3)"));
    ck_assert(bed.depth_m == before.depth_m);
    assert_ok(bf_tank_fill(&tank, 0.06154, &bed, &err));
    tank.swelling = 0.0;
    assert_ok(bf_tank_fill(&tank, 0.0617, &bed, &err));
    assert_fails(bf_tank_fill(&tank, 0.0, &bed, &err), BF_E_RANGE, "0 L");
    assert_fails(bf_tank_fill(&tank, (double)NAN, &bed, &err), BF_E_RANGE, "nan");
    tank.height_m = (double)NAN;
    assert_fails(bf_tank_fill(&tank, 0.03, &bed, &err), BF_E_RANGE, "diameter and its height");
    tank.swelling = -1.0;
    assert_fails(bf_tank_fill(&tank, 0.03, &bed, &err), BF_E_RANGE, "swelling");
}
END_TEST

/* ---- pressure -------------------------------------------------------------------------------- */

/* Ergun by hand with handbook water, 998.2 kg/m3 and 1.002 mPa s at 20 C, known to 0.1 %. */
START_TEST(pressure_is_bed_and_fittings)
{
    bf_error err = {0};
    bf_tank_spec tank = bf_tank_spec_default();
    bf_bed_spec bed = simple_bed();
    double bare = 0.0;
    double whole = 0.0;
    bed.diameter_m = 0.317;
    bed.depth_m = 0.913;
    bed.resin.bead_diameter_m = 0.571e-3;
    bed.resin.void_fraction = 0.367;
    const double q = 3.71e-4;
    const double u = q / (0.25 * 3.14159265358979 * 0.317 * 0.317);
    const double e3 = 0.367 * 0.367 * 0.367;
    const double hand = 0.913 * (150.0 * 1.002e-3 * 0.633 * 0.633 * u / (e3 * SQUARE(0.571e-3)) +
                                 1.75 * 0.633 * 998.2 * u * u / (e3 * 0.571e-3));
    assert_ok(bf_tank_pressure_Pa(&tank, &bed, q, 293.15, &bare, &err));
    assert_near(bare, hand, 1e-3);

    tank.valve_Pa = 23.1e3;
    tank.valve_m3_per_s = 5.3e-4;
    tank.distributor_Pa = 7.7e3;
    tank.distributor_m3_per_s = 2.9e-4;
    assert_ok(bf_tank_pressure_Pa(&tank, &bed, q, 293.15, &whole, &err));
    assert_near(whole - bare, 23.1e3 * SQUARE(3.71 / 5.3) + 7.7e3 * SQUARE(3.71 / 2.9), 1e-11);
    assert_ok(bf_tank_pressure_Pa(&tank, &bed, 0.0, 293.15, &whole, &err));
    ck_assert(whole == 0.0);

    /* A spread of sizes about the same surface changes nothing, and the classes keep the surface.
     */
    double spread = 0.0;
    double diameter_m[BF_BEAD_CLASSES];
    double share[BF_BEAD_CLASSES];
    const bf_tank_spec plain = bf_tank_spec_default();
    bed.resin.uniformity_coefficient = 1.63;
    assert_ok(bf_tank_pressure_Pa(&plain, &bed, q, 293.15, &spread, &err));
    ck_assert(spread == bare);
    double surface = 0.0;
    bf__bead_sizes(&bed.resin, 3, diameter_m, share);
    for (int k = 0; k < 3; k++) {
        surface += share[k] / diameter_m[k];
    }
    assert_near(1.0 / surface, bed.resin.bead_diameter_m, 1e-14);
}
END_TEST

START_TEST(pressure_of_what_cannot_be_is_refused)
{
    bf_error err = {0};
    bf_tank_spec tank = bf_tank_spec_default();
    bf_bed_spec bed = simple_bed();
    double Pa = 0.0;
    assert_fails(bf_tank_pressure_Pa(&tank, &bed, -1e-9, 293.15, &Pa, &err), BF_E_RANGE, "flow is");
    assert_fails(bf_tank_pressure_Pa(&tank, &bed, (double)NAN, 293.15, &Pa, &err), BF_E_RANGE,
                 "flow is");
    assert_fails(bf_tank_pressure_Pa(&tank, &bed, 1e-4, 271.0, &Pa, &err), BF_E_RANGE,
                 "temperature");
    bed.depth_m = 0.0;
    assert_fails(bf_tank_pressure_Pa(&tank, &bed, 1e-4, 293.15, &Pa, &err), BF_E_RANGE, "depth");
    tank.swelling = 2.0;
    assert_fails(bf_tank_pressure_Pa(&tank, &bed, 1e-4, 293.15, &Pa, &err), BF_E_RANGE, "swelling");
}
END_TEST

/* ---- lifted beds ----------------------------------------------------------------------------- */

START_TEST(a_graded_bed_is_the_sum_of_its_classes)
{
    bf_error err = {0};
    bf_fluid water;
    bf_resin resin = simple_resin();
    assert_ok(bf_fluid_of_water(284.7, &water, &err));
    const double u = 11.3 / 3600.0;
    const double alone = bf_bed_depth_ratio(&water, u, 0.6e-3, 1280.0, 0.38) - 1.0;
    assert_near(bf_graded_rise(&water, &resin, 3, u), alone, 1e-13); /* one size: no classes */
    resin.uniformity_coefficient = 1.57;
    assert_near(bf_graded_rise(&water, &resin, 1, u), alone, 1e-13);

    /* Three nodes of the log-normal: x = -sqrt 3, 0, sqrt 3; shares 1/6, 2/3, 1/6. */
    const double s = log(1.57) / 1.5348986689;
    const double root = sqrt(3.0);
    const double c = 0.6e-3 * (exp(-s * root) + 4.0 + exp(s * root)) / 6.0;
    const double d[] = {c * exp(-s * root), c, c * exp(s * root)};
    const double w[] = {1.0 / 6.0, 2.0 / 3.0, 1.0 / 6.0};
    double hand = 0.0;
    for (int k = 0; k < 3; k++) {
        hand += w[k] * bf_bed_depth_ratio(&water, u, d[k], 1280.0, 0.38);
    }
    assert_near(bf_graded_rise(&water, &resin, 3, u), hand - 1.0, 1e-8); /* z_60 - z_10 */
    ck_assert(hand - 1.0 > alone); /* small beads lift more than large ones stay behind */

    /* The smallest go first; slow water lifts nothing; the inverse is one. */
    const double goes = bf_terminal_velocity_m_per_s(&water, d[0], 1280.0);
    ck_assert(isinf(bf_graded_rise(&water, &resin, 3, 1.001 * goes)));
    ck_assert(!isinf(bf_graded_rise(&water, &resin, 3, 0.999 * goes)));
    ck_assert(bf_graded_rise(&water, &resin, 3, 0.1 / 3600.0) == 0.0);
    for (double rise = 0.037; rise < 1.6; rise *= 1.91) {
        const double velocity = bf_graded_velocity_m_per_s(&water, &resin, 3, rise);
        assert_near(bf_graded_rise(&water, &resin, 3, velocity), rise, 1e-9);
    }
}
END_TEST

/* ---- the sheet ------------------------------------------------------------------------------- */

static void compare_sheets(const bf_tank_sheet *a, const bf_tank_sheet *b, double relative)
{
    const struct {
        double a, b;
    } all[] = {{a->area_m2, b->area_m2},
               {a->resin_m3, b->resin_m3},
               {a->freeboard_m, b->freeboard_m},
               {a->room, b->room},
               {a->limit_m3_per_s[0], b->limit_m3_per_s[0]},
               {a->limit_m3_per_s[1], b->limit_m3_per_s[1]},
               {a->limit_m3_per_s[2], b->limit_m3_per_s[2]},
               {a->rated_m3_per_s, b->rated_m3_per_s},
               {a->rated_Pa, b->rated_Pa},
               {a->peak_Pa, b->peak_Pa},
               {a->average_Pa, b->average_Pa},
               {a->bed_rated_Pa, b->bed_rated_Pa},
               {a->cold_rated_Pa, b->cold_rated_Pa},
               {a->warm_rated_Pa, b->warm_rated_Pa},
               {a->cold.flow_m3_per_s, b->cold.flow_m3_per_s},
               {a->cold.rise, b->cold.rise},
               {a->warm.carries_away_m3_per_s, b->warm.carries_away_m3_per_s},
               {a->one_flow_rise, b->one_flow_rise},
               {a->drain_m3_per_s, b->drain_m3_per_s},
               {a->regeneration_s, b->regeneration_s},
               {a->regeneration_m3, b->regeneration_m3},
               {a->brine_m3, b->brine_m3},
               {a->refill_m3, b->refill_m3}};
    for (size_t k = 0; k < COUNT(all); k++) {
        ck_assert_msg(fabs(all[k].a / all[k].b - 1.0) <= relative, "value %zu: %.15g, %.15g", k,
                      all[k].a, all[k].b);
    }
}

START_TEST(us_and_si_give_the_same_sheet)
{
    bf_error err = {0};
    const bf_rating_spec us = rating_of(us_text);
    const bf_rating_spec si = rating_of(si_text);
    bf_tank_spec us_tank = ten_by_54();
    bf_tank_spec si_tank = bf_tank_spec_default();
    bf_tank_sheet us_sheet;
    bf_tank_sheet si_sheet;
    us_tank.valve_Pa = 3.7 * BF_PA_PER_PSI;
    us_tank.valve_m3_per_s = 6.1 * gpm_m3_per_s;
    us_tank.peak_m3_per_s = 3.3 * gpm_m3_per_s;
    us_tank.average_m3_per_s = 1.9 * gpm_m3_per_s;
    us_tank.coldest_K = 273.15 + (41.9 - 32.0) / 1.8;
    us_tank.warmest_K = 273.15 + (71.6 - 32.0) / 1.8;
    si_tank.diameter_m = 0.254;
    si_tank.height_m = 1.3716;
    si_tank.valve_Pa = 25510.601984724;
    si_tank.valve_m3_per_s = 3.84850198040e-4;
    si_tank.peak_m3_per_s = 2.08197648120e-4;
    si_tank.average_m3_per_s = 1.19871373160e-4;
    us_tank.velocity_limit_m_per_s = 7.0 * gpm_m3_per_s / (0.3048 * 0.3048);
    si_tank.velocity_limit_m_per_s = 0.00475368055556;
    si_tank.coldest_K = 273.15 + 5.5;
    si_tank.warmest_K = 273.15 + 22.0;
    assert_ok(bf_tank_sheet_of(&us_tank, &us, &us_sheet, &err));
    assert_ok(bf_tank_sheet_of(&si_tank, &si, &si_sheet, &err));
    compare_sheets(&us_sheet, &si_sheet, 1e-8); /* of the figures typed above */
    ck_assert(us_sheet.backwash_fits && si_sheet.backwash_fits);
}
END_TEST

/* Worked by hand: 10x54 with 31.7 in of resin. */
START_TEST(a_sheet_is_what_a_hand_finds)
{
    bf_error err = {0};
    bf_rating_spec rating = rating_of(us_text);
    bf_tank_spec tank = ten_by_54();
    bf_tank_sheet sheet;
    tank.underbedding_m = 0.4 * 0.0254;
    tank.average_m3_per_s = 1.7 * gpm_m3_per_s;
    tank.coldest_K = 277.3;
    assert_ok(bf_tank_sheet_of(&tank, &rating, &sheet, &err));
    const double resin_ft3 = 31.7 * 100.0 * 3.14159265358979 / 4.0 / 1728.0;
    assert_near(sheet.resin_m3 / BF_M3_PER_FT3, resin_ft3, 1e-12);
    assert_near(sheet.freeboard_m, 21.9 * 0.0254, 1e-12);
    assert_near(sheet.room, 53.6 / (31.7 * 1.07) - 1.0, 1e-12);
    assert_near(sheet.limit_m3_per_s[BF_TANK_VELOCITY] / gpm_m3_per_s,
                15.0 * 100.0 * 3.14159265358979 / 4.0 / 144.0, 1e-12);
    assert_near(sheet.limit_m3_per_s[BF_TANK_BED_VOLUMES] / gpm_m3_per_s,
                40.0 * resin_ft3 * 1728.0 / 231.0 / 60.0, 1e-12);
    ck_assert_int_eq(sheet.limited_by, BF_TANK_BED_VOLUMES);
    ck_assert(sheet.rated_m3_per_s == sheet.limit_m3_per_s[BF_TANK_BED_VOLUMES]);
    ck_assert(isnan(sheet.peak_Pa) && sheet.average_Pa > 0.0);
    assert_near(sheet.rated_Pa, sheet.bed_rated_Pa, 1e-14); /* no fittings */
    ck_assert(sheet.cold_rated_Pa > sheet.rated_Pa);
    ck_assert(sheet.warm_rated_Pa == sheet.rated_Pa); /* the water's own is the warmest stated */
    double Pa = 0.0;
    assert_ok(bf_tank_pressure_Pa(&tank, &rating.bed, sheet.limit_m3_per_s[BF_TANK_PRESSURE],
                                  rating.water.temperature_K, &Pa, &err));
    assert_near(Pa, tank.pressure_limit_Pa, 1e-12);

    /* 7.3 lb/ft3 of it, at 26.4 wt%: 2.65 lb a gallon of brine and 3.0 of water put to it. */
    const double pounds = 7.3 * resin_ft3;
    assert_near(sheet.brine_m3 / BF_M3_PER_GAL, pounds / 2.65, 5e-3);
    assert_near(sheet.refill_m3 / BF_M3_PER_GAL, pounds / 3.0, 5e-3);
    assert_near(sheet.saturate_s, 3.0 * 3600.0, 1e-15);
    assert_near(sheet.drain_m3_per_s / gpm_m3_per_s, 1.7 * resin_ft3, 1e-9); /* the fast rinse */

    /* Backwash: the wanted flow lifts by what is wanted; the top is reached at the room. */
    bf_fluid water;
    assert_ok(bf_fluid_of_water(277.3, &water, &err));
    assert_near(
        bf_bed_depth_ratio(&water, sheet.cold.flow_m3_per_s / sheet.area_m2, 0.6e-3, 1280.0, 0.38),
        1.5, 1e-9);
    assert_near(bf_bed_depth_ratio(&water, sheet.cold.carries_away_m3_per_s / sheet.area_m2, 0.6e-3,
                                   1280.0, 0.38),
                1.0 + sheet.room, 1e-9);
    ck_assert(sheet.cold.flow_m3_per_s < sheet.warm.flow_m3_per_s);
    ck_assert(sheet.cold.rise > sheet.warm.rise && sheet.warm.rise > 0.0);
    ck_assert(sheet.one_flow_rise > 0.5);
}
END_TEST

START_TEST(each_limit_can_bind_and_none_need_be_asked)
{
    bf_error err = {0};
    const bf_rating_spec rating = rating_of(us_text);
    bf_tank_spec tank = bf_tank_spec_default();
    bf_tank_sheet sheet;
    tank.bed_volumes_per_h_limit = 17.0;
    assert_ok(bf_tank_sheet_of(&tank, &rating, &sheet, &err));
    ck_assert_str_eq(bf_tank_limit_words(sheet.limited_by), "bed volumes an hour");
    tank.bed_volumes_per_h_limit = (double)NAN;
    assert_ok(bf_tank_sheet_of(&tank, &rating, &sheet, &err));
    ck_assert_str_eq(bf_tank_limit_words(sheet.limited_by), "velocity");
    assert_near(sheet.rated_m3_per_s, 15.0 * gpm_m3_per_s * sheet.area_m2 / (0.3048 * 0.3048),
                1e-9);
    ck_assert(isnan(sheet.limit_m3_per_s[BF_TANK_BED_VOLUMES]));
    tank.velocity_limit_m_per_s = (double)NAN;
    tank.wanted_rise = (double)NAN;
    assert_ok(bf_tank_sheet_of(&tank, &rating, &sheet, &err));
    ck_assert_str_eq(bf_tank_limit_words(sheet.limited_by), "pressure drop");
    assert_near(sheet.rated_Pa, 15.0 * BF_PA_PER_PSI, 1e-12);
    ck_assert(isnan(sheet.cold.flow_m3_per_s) && isnan(sheet.one_flow_rise));
    ck_assert_str_eq(bf_tank_limit_words(BF_TANK_LIMITS), "unknown");
}
END_TEST

/* Times, water and brine of the sheet are those of a cycle that was run: every kind of step. */
static void compare_with_cycle(const bf_rating_spec *rating)
{
    bf_error err = {0};
    bf_selectivity *selectivity = NULL;
    bf_bed *bed = NULL;
    const bf_site site = bf_rating_site(rating);
    const bf_tank_spec tank = bf_tank_spec_default();
    static bf_cycle_result cycle; /* large */
    bf_tank_sheet sheet;
    assert_ok(bf_rating_selectivity(rating, &selectivity, &err));
    assert_ok(bf_rating_bed(rating, selectivity, &bed, &err));
    assert_ok(bf_cycle_run(&rating->recipe, &site, bed, &cycle, &err));
    assert_ok(bf_tank_sheet_of(&tank, rating, &sheet, &err));
    assert_near(sheet.regeneration_s, cycle.regeneration_s, 1e-9);
    assert_near(sheet.regeneration_m3, cycle.water_bed_volumes * sheet.resin_m3, 1e-9);
    ck_assert(sheet.step_s[0] == 0.0);
    for (size_t s = 1; s < cycle.step_count; s++) {
        assert_near(sheet.step_s[s], cycle.step[s].duration_s, 1e-9);
    }
    bf_bed_free(bed);
    bf_selectivity_free(selectivity);
}

START_TEST(times_and_water_are_those_of_a_cycle)
{
    bf_error err = {0};
    bf_rating_spec rating = rating_of(us_text);
    bf_step hold = *find(&rating, &bf_step_slow_rinse);
    hold.type = &bf_step_hold;
    hold.duration_s = 431.0;
    rating.recipe.step[rating.recipe.count++] = hold;
    find(&rating, &bf_step_brine)->direction = BF_FLOW_UP;
    find(&rating, &bf_step_slow_rinse)->direction = BF_FLOW_UP;
    find(&rating, &bf_step_slow_rinse)->blocking_velocity_m_per_s = 2.3e-4;
    (void)find(&rating, &bf_step_refill);
    compare_with_cycle(&rating);

    find(&rating, &bf_step_brine)->supply = BF_SUPPLY_SEA;
    bf_recipe_set_dose(&rating.recipe, 171.0);
    compare_with_cycle(&rating);
    const bf_tank_spec tank = bf_tank_spec_default();
    bf_tank_sheet sheet;
    assert_ok(bf_tank_sheet_of(&tank, &rating, &sheet, &err));
    assert_near(sheet.brine_m3, 171.0 / bf_sea_salt_kg_per_m3() * sheet.resin_m3, 1e-12);
    ck_assert(sheet.refill_m3 == 0.0 && sheet.saturate_s == 0.0);
}
END_TEST

/* ---- what does not go together --------------------------------------------------------------- */

START_TEST(resin_that_does_not_fit_is_refused)
{
    bf_error err = {0};
    bf_rating_spec rating = rating_of(us_text);
    bf_tank_spec tank = ten_by_54();
    bf_tank_sheet sheet;
    rating.bed.depth_m = 1.291; /* 1.381 swollen; the vessel has 1.3716 */
    assert_fails(bf_tank_sheet_of(&tank, &rating, &sheet, &err), BF_E_RANGE,
                 "1.291 m (50.83 in) deep and swollen by 7 %");
    ck_assert_ptr_nonnull(strstr(err.message, "the 1.372 m (54 in)"));
    ck_assert_ptr_nonnull(strstr(err.message, "at most 64.95 L (2.293 ft3)"));
    ck_assert(isnan(sheet.rated_m3_per_s) && sheet.resin_m3 > 0.065 && sheet.room < 0.0);
    tank.swelling = 0.0;
    tank.wanted_rise = (double)NAN;
    rating.recipe.count = 1; /* no backwash */
    assert_ok(bf_tank_sheet_of(&tank, &rating, &sheet, &err));

    tank.diameter_m = 0.257;
    assert_fails(bf_tank_sheet_of(&tank, &rating, &sheet, &err), BF_E_RANGE,
                 "the bed is 0.254 m (10 in) across and the vessel 0.257 m");
    rating.recipe.count = 0;
    assert_fails(bf_tank_sheet_of(&tank, &rating, &sheet, &err), BF_E_RANGE, "recipe of 0 steps");
    tank.swelling = -1.0;
    assert_fails(bf_tank_sheet_of(&tank, &rating, &sheet, &err), BF_E_RANGE, "swelling");
}
END_TEST

START_TEST(backwash_that_finds_no_room_is_refused)
{
    bf_error err = {0};
    bf_rating_spec rating = rating_of(us_text);
    bf_tank_spec tank = ten_by_54();
    bf_tank_sheet sheet;
    tank.wanted_rise = 0.631; /* the room is 59 % */
    assert_fails(bf_tank_sheet_of(&tank, &rating, &sheet, &err), BF_E_RANGE,
                 "a rise of 63.1 % in backwash does not fit: the freeboard of 0.5664 m (22.3 in) "
                 "holds 59.2 %");
    ck_assert_ptr_nonnull(strstr(err.message, "at most 39.82 L (1.406 ft3)"));
    ck_assert(!sheet.backwash_fits && sheet.regeneration_s > 0.0); /* told all the same */
    tank.wanted_rise = sheet.room;
    assert_ok(bf_tank_sheet_of(&tank, &rating, &sheet, &err));
    tank.wanted_rise = 0.631;
    rating.bed.depth_m = 39.82e-3 / sheet.area_m2;
    assert_ok(bf_tank_sheet_of(&tank, &rating, &sheet, &err));

    /* The recipe's own, in the coldest water only. */
    rating = rating_of(us_text);
    tank.wanted_rise = 0.5;
    find(&rating, &bf_step_backwash)->velocity_m_per_s = 12.7 / 3600.0;
    assert_ok(bf_tank_sheet_of(&tank, &rating, &sheet, &err));
    tank.coldest_K = 274.9;
    assert_fails(bf_tank_sheet_of(&tank, &rating, &sheet, &err), BF_E_RANGE,
                 "backwash at 0.6435 m3/h (2.833 gpm) lifts beads out of the vessel in the coldest "
                 "water, 1.75 C (35.15 F)");
    ck_assert_ptr_nonnull(strstr(err.message, "holds a rise of 59.2 %; backwash with at most"));
    find(&rating, &bf_step_backwash)->velocity_m_per_s =
        sheet.cold.carries_away_m3_per_s / sheet.area_m2 * (1.0 - 1e-12);
    assert_ok(bf_tank_sheet_of(&tank, &rating, &sheet, &err));
    ck_assert(sheet.backwash_fits);

    /* Without a stated height the sheet tells, and nothing fails; without a backwash neither. */
    bf_tank_spec no_vessel = bf_tank_spec_default();
    no_vessel.wanted_rise = 1.3;
    assert_ok(bf_tank_sheet_of(&no_vessel, &rating, &sheet, &err));
    ck_assert(!sheet.backwash_fits);
    tank.wanted_rise = 1.3;
    rating.recipe.step[1] = *find(&rating, &bf_step_fast_rinse);
    assert_ok(bf_tank_sheet_of(&tank, &rating, &sheet, &err));
    ck_assert(!sheet.backwash_fits && isnan(sheet.cold.rise));
}
END_TEST

START_TEST(a_drain_too_small_is_refused)
{
    bf_error err = {0};
    bf_rating_spec rating = rating_of(us_text);
    bf_tank_spec tank = ten_by_54();
    bf_tank_sheet sheet;
    tank.drain_m3_per_s = 2.41 * gpm_m3_per_s;
    assert_fails(bf_tank_sheet_of(&tank, &rating, &sheet, &err), BF_E_RANGE,
                 "the fast rinse gives 0.5563 m3/h (2.449 gpm), and the drain takes 0.5473 m3/h "
                 "(2.41 gpm)");
    tank.drain_m3_per_s = sheet.drain_m3_per_s;
    assert_ok(bf_tank_sheet_of(&tank, &rating, &sheet, &err));

    /* Water that holds the bed down goes to the drain too. */
    bf_step *slow = find(&rating, &bf_step_slow_rinse);
    slow->direction = BF_FLOW_UP;
    slow->blocking_velocity_m_per_s = 3.7e-3;
    assert_fails(bf_tank_sheet_of(&tank, &rating, &sheet, &err), BF_E_RANGE,
                 "the slow rinse gives");
    assert_near(sheet.drain_m3_per_s, sheet.area_m2 * (slow->velocity_m_per_s + 3.7e-3), 1e-12);
}
END_TEST

/* Pressure is what a pump has or has not: a flow beyond it is refused, with one that is not. */
START_TEST(flows_that_break_the_pressure_limit_are_refused)
{
    bf_error err = {0};
    bf_rating_spec rating = rating_of(us_text);
    bf_tank_spec tank = ten_by_54();
    bf_tank_sheet sheet;
    tank.pressure_limit_Pa = 1.3 * BF_PA_PER_PSI;
    tank.peak_m3_per_s = 5.3 * gpm_m3_per_s;
    assert_fails(bf_tank_sheet_of(&tank, &rating, &sheet, &err), BF_E_RANGE,
                 "the limit of pressure drop, 8.963 kPa (1.3 psi): at most ");
    ck_assert_ptr_nonnull(strstr(err.message, "the peak flow, 1.204 m3/h (5.3 gpm)"));
    ck_assert(sheet.peak_Pa > tank.pressure_limit_Pa); /* told all the same */
    /* What it says passes, to the digits it says, in either unit. */
    const char *nearest = strstr(err.message, "at most ") + strlen("at most ");
    tank.peak_m3_per_s = strtod(nearest, NULL) / 3600.0;
    assert_near(tank.peak_m3_per_s, sheet.limit_m3_per_s[BF_TANK_PRESSURE], 1e-3);
    tank.average_m3_per_s = strtod(strchr(nearest, '(') + 1, NULL) * gpm_m3_per_s;
    assert_near(tank.average_m3_per_s, sheet.limit_m3_per_s[BF_TANK_PRESSURE], 1e-3);
    tank.peak_m3_per_s = fmax(tank.peak_m3_per_s, tank.average_m3_per_s);
    bf_step *service = &rating.recipe.step[0];
    service->velocity_m_per_s = tank.average_m3_per_s / sheet.area_m2;
    assert_ok(bf_tank_sheet_of(&tank, &rating, &sheet, &err));
    tank.average_m3_per_s *= 1.001;
    tank.peak_m3_per_s = (double)NAN;
    assert_fails(bf_tank_sheet_of(&tank, &rating, &sheet, &err), BF_E_RANGE, "the average flow");
    tank.average_m3_per_s = (double)NAN;
    service->velocity_m_per_s *= 1.001;
    assert_fails(bf_tank_sheet_of(&tank, &rating, &sheet, &err), BF_E_RANGE, "the service flow");
}
END_TEST

/* Velocity and bed volumes are rules: what passes them is told, flow by flow. */
START_TEST(flows_that_pass_a_rule_are_cautioned)
{
    bf_error err = {0};
    bf_rating_spec rating = rating_of(us_text);
    bf_tank_spec tank = ten_by_54();
    bf_tank_sheet sheet;
    bf_notes *notes = NULL;
    tank.velocity_limit_m_per_s = 17.0 / 3600.0;
    tank.bed_volumes_per_h_limit = 23.0;
    tank.peak_m3_per_s = 5.3 * gpm_m3_per_s;     /* beyond both */
    tank.average_m3_per_s = 4.31 * gpm_m3_per_s; /* 23.07 BV/h, 19.3 m/h */
    rating.recipe.step[0].velocity_m_per_s = 16.9 / 3600.0;
    assert_ok(bf_tank_sheet_of(&tank, &rating, &sheet, &err));
    assert_ok(bf_notes_create(&notes, &err));
    bf_tank_notes(&tank, &rating, &sheet, notes);
    static const struct {
        const char *where, *words;
    } notice[] = {{"tank.peak_flow", "limit of velocity, 17 m/h (6.954 gpm/ft2)"},
                  {"tank.peak_flow", "limit of bed volumes an hour, 23 BV/h (2.868 gpm/ft3)"},
                  {"tank.average_flow", "limit of velocity"},
                  {"tank.average_flow", "limit of bed volumes an hour"}};
    ck_assert_uint_eq(bf_notes_count(notes), COUNT(notice));
    for (size_t k = 0; k < COUNT(notice); k++) {
        const bf_note note = bf_notes_get(notes, k);
        ck_assert_int_eq(note.kind, BF_NOTE_CAUTION);
        ck_assert_str_eq(note.where, notice[k].where);
        ck_assert_msg(strstr(note.text, notice[k].words) != NULL, "%s", note.text);
    }
    bf_notes_free(notes);
    /* At the limits themselves, or where none are asked, there is nothing to say. */
    tank.peak_m3_per_s = tank.average_m3_per_s =
        fmin(sheet.limit_m3_per_s[BF_TANK_VELOCITY], sheet.limit_m3_per_s[BF_TANK_BED_VOLUMES]);
    assert_ok(bf_notes_create(&notes, &err));
    assert_ok(bf_tank_sheet_of(&tank, &rating, &sheet, &err));
    bf_tank_notes(&tank, &rating, &sheet, notes);
    tank.velocity_limit_m_per_s = tank.bed_volumes_per_h_limit = (double)NAN;
    tank.peak_m3_per_s = 5.3 * gpm_m3_per_s;
    assert_ok(bf_tank_sheet_of(&tank, &rating, &sheet, &err));
    bf_tank_notes(&tank, &rating, &sheet, notes);
    ck_assert_uint_eq(bf_notes_count(notes), 0);
    /* Seasons on one side of the water's own temperature. */
    const double own_K = rating.water.temperature_K;
    tank.coldest_K = own_K + 1.7;
    tank.warmest_K = own_K + 4.1;
    bf_tank_notes(&tank, &rating, &sheet, notes);
    tank.coldest_K = own_K - 5.3;
    tank.warmest_K = own_K - 0.6;
    bf_tank_notes(&tank, &rating, &sheet, notes);
    ck_assert_uint_eq(bf_notes_count(notes), 2);
    ck_assert_str_eq(bf_notes_get(notes, 0).where, "tank.coldest");
    ck_assert_ptr_nonnull(strstr(bf_notes_get(notes, 0).text, "is not as cold as the water"));
    ck_assert_str_eq(bf_notes_get(notes, 1).where, "tank.warmest");
    tank.coldest_K = tank.warmest_K = own_K;
    bf_tank_notes(&tank, &rating, &sheet, notes);
    ck_assert_uint_eq(bf_notes_count(notes), 2);
    bf_notes_free(notes);
}
END_TEST

/* ---- in pieces ------------------------------------------------------------------------------- */

START_TEST(a_blend_is_its_parts)
{
    bf_error err = {0};
    double share = 0.0;
    assert_ok(bf_blend_share(6.17, 0.083, 1.37, &share, &err));
    assert_near(share * 6.17 + (1.0 - share) * 0.083, 1.37, 1e-14);
    assert_ok(bf_blend_share(6.17, 0.083, 0.083, &share, &err));
    ck_assert(share == 0.0);
    assert_ok(bf_blend_share(6.17, 0.083, 6.17, &share, &err));
    ck_assert(share == 1.0);
    static const double wrong[][3] = {{6.17, 0.083, 6.18},      {6.17, 0.083, 0.08},
                                      {6.17, -0.01, 1.0},       {0.5, 0.5, 0.5},
                                      {6.17, (double)NAN, 1.0}, {6.17, 0.083, (double)NAN}};
    for (size_t k = 0; k < COUNT(wrong); k++) {
        assert_fails(bf_blend_share(wrong[k][0], wrong[k][1], wrong[k][2], &share, &err),
                     BF_E_RANGE, "between the two");
    }
    assert_fails(bf_blend_share(6.17, 0.083, 6.84, &share, &err), BF_E_RANGE,
                 "342.3 mg/L as CaCO3 (20 gpg)");
}
END_TEST

START_TEST(pieces_are_counted_for_the_resin_at_hand)
{
    static bf_dose_point point; /* large */
    const bf_rating_spec rating = rating_of(us_text);
    const double resin_m3 = 31.7 * 78.5398163397448 * 16.387064e-6;
    point.dose_kg_per_m3 = 116.93;
    point.steady.cycle = (bf_cycle_result){.outcome = BF_RATED,
                                           .capacity_eq_per_m3 = 1091.3,
                                           .throughput_bed_volumes = 173.9,
                                           .water_bed_volumes = 7.17};
    bf_tank_rating pieces = bf_tank_rating_of(&rating, &point);
    const double hardness_kg = 1091.3 * 0.05004345 * resin_m3;
    assert_near(pieces.capacity_kg, hardness_kg, 1e-12);
    assert_near(pieces.salt_kg, 116.93 * resin_m3, 1e-12);
    assert_near(pieces.efficiency_kg_per_kg, 1091.3 * 0.05004345 / 116.93, 1e-12);
    assert_near(pieces.water_m3, 173.9 * resin_m3, 1e-12);
    assert_near(pieces.waste_m3_per_kg, 7.17 * resin_m3 / hardness_kg, 1e-12);

    point.steady.cycle.outcome = BF_NOT_STEADY;
    pieces = bf_tank_rating_of(&rating, &point);
    ck_assert(isnan(pieces.capacity_kg) && isnan(pieces.efficiency_kg_per_kg) &&
              isnan(pieces.water_m3) && isnan(pieces.waste_m3_per_kg));
    assert_near(pieces.salt_kg, 116.93 * resin_m3, 1e-12);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {sizes_are_as_published,
                                  an_unknown_size_names_the_known_ones,
                                  defaults_are_the_published_limits,
                                  every_field_out_of_range_is_named,
                                  a_vessel_is_filled_to_what_it_holds,
                                  pressure_is_bed_and_fittings,
                                  pressure_of_what_cannot_be_is_refused,
                                  a_graded_bed_is_the_sum_of_its_classes,
                                  us_and_si_give_the_same_sheet,
                                  a_sheet_is_what_a_hand_finds,
                                  each_limit_can_bind_and_none_need_be_asked,
                                  times_and_water_are_those_of_a_cycle,
                                  resin_that_does_not_fit_is_refused,
                                  backwash_that_finds_no_room_is_refused,
                                  a_drain_too_small_is_refused,
                                  flows_that_break_the_pressure_limit_are_refused,
                                  flows_that_pass_a_rule_are_cautioned,
                                  a_blend_is_its_parts,
                                  pieces_are_counted_for_the_resin_at_hand};
    return support_run("rating.tank", tests, COUNT(tests), 60);
}
