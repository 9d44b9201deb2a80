/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The sections `tank` and `rating`: what follows from a size, the same vessel in two unit systems,
 * every refusal, and a case without them as it was. */
#include "brinefront/convert.h"
#include "draft.h"
#include "support.h"

#include <math.h>
#include <stdlib.h>

#define COUNT(array) (sizeof(array) / sizeof *(array))

static draft tank_of(const char *size)
{
    draft d = {0};
    draft_set(&d, "water.hardness", "20 gpg");
    draft_set(&d, "tank.size", size);
    return d;
}

static bf_case *read_ok(const draft *d)
{
    bf_case *out = calloc(1, sizeof *out);
    bf_error err = {0};
    ck_assert_ptr_nonnull(out);
    assert_ok(draft_read(d, out, NULL, &err));
    return out;
}

START_TEST(a_size_says_diameter_filling_and_freeboard)
{
    const draft d = tank_of("10x54");
    bf_case *c = read_ok(&d);
    const bf_bed_spec *bed = &c->rating.bed;
    ck_assert_int_eq(c->tank.is_stated, 1);
    assert_near(bed->diameter_m, 10.0 * 0.0254, 1e-12);
    /* 1.5 ft3 and area 0.546 ft2: published.md's table of tanks gives a depth of 32.9 in. */
    assert_near(bf_bed_volume_m3(bed), 1.5 * BF_M3_PER_FT3, 1e-12);
    assert_near(bed->depth_m, 32.9 * 0.0254, 0.004);
    assert_near(bed->depth_m + bed->freeboard_m, 54.0 * 0.0254, 1e-12);
    assert_near(c->tank.spec.pressure_limit_Pa, 15.0 * 6894.757293168361, 1e-12);
    assert_near(c->tank.spec.velocity_limit_m_per_s * 3600.0, 36.67, 1e-3); /* 15 gpm/ft2 */
    assert_near(c->tank.spec.bed_volumes_per_h_limit, 40.0, 1e-12);
    assert_near(c->tank.spec.wanted_rise, 0.5, 1e-12);
    assert_near(c->tank.spec.swelling, 0.07, 1e-12);
    ck_assert(isnan(c->tank.spec.peak_m3_per_s));
    ck_assert(isnan(c->tank.blend_eq_per_m3));
    ck_assert_int_eq(c->tank.protocol, BF_PROTOCOL_OWN);
    assert_near(c->tank.quantile, 0.1, 1e-12);
    ck_assert_int_eq(c->tank.beds, 1);
    ck_assert_uint_eq(c->tank.uneven.beds, 1);
    free(c);
}
END_TEST

/* One vessel, stated in both unit systems. */
static const char *const us[][2] = {{"tank.height", "5 ft"},
                                    {"tank.underbedding", "4 in"},
                                    {"tank.valve_loss", "2 psi"},
                                    {"tank.valve_flow", "5 gpm"},
                                    {"tank.distributor_loss", "1 psi"},
                                    {"tank.distributor_flow", "6 gpm"},
                                    {"tank.pressure_limit", "20 psi"},
                                    {"tank.velocity_limit", "10 gpm/ft2"},
                                    {"tank.bed_volumes_limit", "5 gpm/ft3"},
                                    {"tank.peak_flow", "4 gpm"},
                                    {"tank.draw", "11 gal"},
                                    {"tank.rest", "7 h"},
                                    {"tank.coldest", "41 F"},
                                    {"tank.drain_flow", "10 gpm"}};
static const char *const si[][2] = {{"tank.height", "1.524 m"},
                                    {"tank.underbedding", "101.6 mm"},
                                    {"tank.valve_loss", "13.78951458633672 kPa"},
                                    {"tank.valve_flow", "18.92705892 L/min"},
                                    {"tank.distributor_loss", "0.06894757293168361 bar"},
                                    {"tank.distributor_flow", "22.712470704 L/min"},
                                    {"tank.pressure_limit", "137895.1458633672 Pa"},
                                    {"tank.velocity_limit", "24.447499 m/h"},
                                    {"tank.bed_volumes_limit", "40.1042 BV/h"},
                                    {"tank.peak_flow", "0.90849882816 m3/h"},
                                    {"tank.draw", "41.639529624 L"},
                                    {"tank.rest", "25200 s"},
                                    {"tank.coldest", "5 C"},
                                    {"tank.drain_flow", "2.2712470704 m3/h"}};

START_TEST(every_key_reaches_the_vessel)
{
    bf_case *c[2];
    for (int k = 0; k < 2; k++) {
        draft d = {0};
        draft_set(&d, "water.hardness", "20 gpg");
        draft_set(&d, "bed.diameter", k == 0 ? "10 in" : "254 mm");
        draft_set(&d, "bed.depth", k == 0 ? "30 in" : "762 mm");
        for (size_t i = 0; i < COUNT(us); i++) {
            draft_set(&d, k == 0 ? us[i][0] : si[i][0], k == 0 ? us[i][1] : si[i][1]);
        }
        c[k] = read_ok(&d);
    }
    const bf_tank_spec *a = &c[0]->tank.spec;
    const bf_tank_spec *b = &c[1]->tank.spec;
    assert_near(a->height_m, 1.524, 1e-12);
    assert_near(a->underbedding_m, 0.1016, 1e-12);
    assert_near(c[0]->rating.bed.freeboard_m, 1.524 - 0.1016 - 0.762, 1e-12);
    assert_near(a->valve_Pa, 2.0 * 6894.757293168361, 1e-12);
    assert_near(a->valve_m3_per_s, 5.0 * 0.003785411784 / 60.0, 1e-12);
    assert_near(a->peak_m3_per_s, 4.0 * 0.003785411784 / 60.0, 1e-12);
    assert_near(a->coldest_K, 278.15, 1e-12);
    const double bed_m3 = bf_bed_volume_m3(&c[0]->rating.bed);
    assert_near(c[0]->tank.stagnation.draw_bed_volumes * bed_m3, 11.0 * 0.003785411784, 1e-12);
    assert_near(c[0]->tank.stagnation.draw_bed_volumes, c[1]->tank.stagnation.draw_bed_volumes,
                1e-12);
    assert_near(c[0]->tank.stagnation.stagnation_s, 25200.0, 1e-12);
    assert_near(c[1]->tank.stagnation.stagnation_s, 25200.0, 1e-12);
    const struct {
        double us, si;
    } pairs[] = {{a->height_m, b->height_m},
                 {a->underbedding_m, b->underbedding_m},
                 {a->valve_Pa, b->valve_Pa},
                 {a->valve_m3_per_s, b->valve_m3_per_s},
                 {a->distributor_Pa, b->distributor_Pa},
                 {a->distributor_m3_per_s, b->distributor_m3_per_s},
                 {a->pressure_limit_Pa, b->pressure_limit_Pa},
                 {a->velocity_limit_m_per_s, b->velocity_limit_m_per_s},
                 {a->bed_volumes_per_h_limit, b->bed_volumes_per_h_limit},
                 {a->peak_m3_per_s, b->peak_m3_per_s},
                 {a->coldest_K, b->coldest_K},
                 {a->drain_m3_per_s, b->drain_m3_per_s}};
    for (size_t i = 0; i < COUNT(pairs); i++) {
        assert_near(pairs[i].us, pairs[i].si, 1e-5); /* the digits of the two figures above */
    }
    free(c[0]);
    free(c[1]);
}
END_TEST

START_TEST(the_rest_of_the_section)
{
    draft d = tank_of("24x72");
    draft_set(&d, "tank.average_flow", "9 gpm");
    draft_set(&d, "tank.expansion", "60 %");
    draft_set(&d, "tank.swelling", "5 %");
    draft_set(&d, "tank.warmest", "77 F");
    draft_set(&d, "tank.blend", "5 gpg");
    draft_set(&d, "tank.beds", "2");
    draft_set(&d, "tank.velocity_spread", "10 %");
    draft_set(&d, "tank.wall", "yes");
    draft_set(&d, "rating.protocol", "published_test");
    draft_set(&d, "rating.quantile", "5 %");
    draft_set(&d, "rating.samples", "64");
    bf_case *c = read_ok(&d);
    assert_near(c->tank.spec.average_m3_per_s, 9.0 * 0.003785411784 / 60.0, 1e-12);
    assert_near(c->tank.spec.wanted_rise, 0.6, 1e-12);
    assert_near(c->tank.spec.swelling, 0.05, 1e-12);
    assert_near(c->tank.spec.warmest_K, 298.15, 1e-12);
    assert_near(c->tank.blend_eq_per_m3, 5.0 * BF_EQ_PER_M3_PER_GPG, 1e-12);
    ck_assert_int_eq(c->tank.beds, 2);
    ck_assert_uint_gt(c->tank.uneven.beds, 1);
    assert_near(c->tank.uneven.velocity_spread, 0.1, 1e-12);
    bf_uneven_flow wall = bf_uneven_flow_default();
    bf_uneven_flow_wall(&c->rating.bed, &wall);
    ck_assert_double_gt(c->tank.uneven.wall_share, 0.0);
    assert_near(c->tank.uneven.wall_share, wall.wall_share, 1e-12);
    assert_near(c->tank.uneven.wall_excess, wall.wall_excess, 1e-12);
    ck_assert_int_eq(c->tank.protocol, BF_PROTOCOL_PUBLISHED_TEST);
    assert_near(c->tank.quantile, 0.05, 1e-12);
    ck_assert_uint_eq(c->tank.samples, 64);
    free(c);
}
END_TEST

START_TEST(a_case_without_a_vessel_has_none)
{
    draft d = {0};
    bf_notes *notes = NULL;
    bf_error err = {0};
    bf_case *c = calloc(1, sizeof *c);
    ck_assert_ptr_nonnull(c);
    assert_ok(bf_notes_create(&notes, &err));
    draft_set(&d, "water.hardness", "20 gpg");
    draft_set(&d, "bed.resin_volume", "1 ft3");
    assert_ok(draft_read(&d, c, notes, &err));
    ck_assert_int_eq(c->tank.is_stated, 0);
    for (size_t n = 0; n < bf_notes_count(notes); n++) {
        const char *where = bf_notes_get(notes, n).where;
        ck_assert(strncmp(where, "tank", 4) != 0 && strncmp(where, "rating", 6) != 0);
    }
    for (size_t v = 0; v < c->value_count; v++) {
        const char *path = bf_case_key_get(c->value[v].key).path;
        ck_assert(strncmp(path, "tank.", 5) != 0 && strncmp(path, "rating.", 7) != 0);
    }
    bf_notes_free(notes);
    free(c);
}
END_TEST

/* What is stated beside a 10x54 of 20 gpg, where the finding stands, and words of it. */
static const struct {
    const char *path[3], *text[3];
    const char *place, *words, *nearest;
} refusals[] = {
    {{"tank.size"}, {"10x55"}, "tank.size", "the choices are: 8x44 9x48", ""},
    {{"tank.height"}, {"54 in"}, "tank.height", "tank.size says the height", ""},
    {{"bed.diameter"}, {"9 in"}, "bed.diameter", "0.254 m (10 in) across", ""},
    {{"bed.depth", "bed.resin_volume"},
     {"30 in", "1.5 ft3"},
     "bed.resin_volume",
     "one of the two",
     ""},
    {{"bed.freeboard"}, {"50 %"}, "bed.freeboard", "the vessel's height says", ""},
    {{"tank.valve_loss"}, {"2 psi"}, "tank.valve_loss", "state tank.valve_flow too", ""},
    {{"tank.valve_flow"}, {"2 gpm"}, "tank.valve_flow", "state tank.valve_loss too", ""},
    {{"tank.draw"}, {"9 gal"}, "tank.draw", "state tank.rest too", ""},
    {{"tank.rest"}, {"2.5 h"}, "tank.rest", "state tank.draw too", ""},
    {{"tank.distributor_loss"},
     {"2 psi"},
     "tank.distributor_loss",
     "state tank.distributor_flow too",
     ""},
    {{"tank.distributor_flow"},
     {"2 gpm"},
     "tank.distributor_flow",
     "state tank.distributor_loss too",
     ""},
    {{"tank.coldest", "tank.warmest"},
     {"60 F", "50 F"},
     "tank.coldest",
     "warmer than the warmest",
     ""},
    {{"tank.average_flow", "tank.peak_flow"},
     {"3 gpm", "2 gpm"},
     "tank.average_flow",
     "more than the peak flow",
     ""},
    {{"tank.blend"}, {"20 gpg"}, "tank.blend", "not below the hardness of the feed", ""},
    {{"bed.depth"}, {"54 in"}, "tank.size", "does not go into", "fill in at most"},
    {{"bed.depth"}, {"44 in"}, "tank.size", "does not fit", "fill in at most"},
    {{"tank.expansion"}, {"75 %"}, "tank.expansion", "does not fit", "want at most that"},
    {{"regeneration.backwash_flow", "tank.coldest"},
     {"3 gpm", "40 F"},
     "regeneration.backwash_flow",
     "lifts beads out of the vessel",
     "backwash with at most"},
    {{"tank.coldest", "regeneration.steps"},
     {"33 F", "[{step: backwash, flow: 3 gpm}, brine]"},
     "tank.coldest",
     "lifts beads out of the vessel",
     "backwash with at most"},
    {{"tank.drain_flow"},
     {"2 gpm"},
     "tank.drain_flow",
     "and the drain takes",
     "lower the flow of each such step"},
    {{"tank.average_flow"},
     {"29 gpm"},
     "tank.average_flow",
     "breaks the limit of pressure drop",
     "at most"},
    {{"service.flow"}, {"29 gpm"}, "service.flow", "breaks the limit of pressure drop", "at most"},
    {{"tank.peak_flow", "tank.pressure_limit"},
     {"3 gpm", "0.5 psi"},
     "tank.peak_flow",
     "breaks the limit of pressure drop",
     "at most"},
    {{"tank.size", "rating.protocol", "bed.resin_volume"},
     {NULL, "published_test", "1 ft3"},
     "rating.protocol",
     "add a section `tank`",
     ""},
    {{"tank.size", "rating.samples", "bed.resin_volume"},
     {NULL, "64", "1 ft3"},
     "rating.samples",
     "add a section `tank`",
     ""},
};

/* What a refusal names as the nearest is taken: each value that stands behind `ahead`, in the unit
 * that follows it, put where `to` says. */
static const struct {
    const char *path[2], *text[2];
    const char *place, *ahead[2], *unit[2], *cured_key;
} followed[] = {
    {{"bed.resin_volume"},
     {"2.7 ft3"},
     "tank.size",
     {"and at most ", "("},
     {" L", " ft3"},
     "bed.resin_volume"},
    {{"tank.expansion"},
     {"73 %"},
     "tank.expansion",
     {"fill in at most ", "("},
     {" L", " ft3"},
     "bed.resin_volume"},
    {{"tank.expansion"}, {"73 %"}, "tank.expansion", {" holds "}, {" %"}, "tank.expansion"},
    {{"regeneration.backwash_flow", "tank.coldest"},
     {"3.1 gpm", "39 F"},
     "regeneration.backwash_flow",
     {"backwash with at most ", "("},
     {" m3/h", " gpm"},
     "regeneration.backwash_flow"},
    {{"tank.drain_flow", "regeneration.fast_rinse_flow"},
     {"1.7 gpm", "1.6 gpm"},
     "tank.drain_flow",
     {"the drain takes ", "("},
     {" m3/h", " gpm"},
     "regeneration.backwash_flow"},
    {{"tank.peak_flow"},
     {"47 gpm"},
     "tank.peak_flow",
     {"at most ", "("},
     {" m3/h", " gpm"},
     "tank.peak_flow"},
    {{"service.flow"},
     {"41 gpm"},
     "service.flow",
     {"at most ", "("},
     {" m3/h", " gpm"},
     "service.flow"},
};

START_TEST(what_a_refusal_names_is_accepted)
{
    for (size_t k = 0; k < COUNT(followed); k++) {
        draft d = tank_of("10x54");
        bf_case *c = calloc(1, sizeof *c);
        bf_notes *notes = NULL;
        bf_error err = {0};
        for (size_t i = 0; i < 2 && followed[k].path[i] != NULL; i++) {
            draft_set(&d, followed[k].path[i], followed[k].text[i]);
        }
        ck_assert_ptr_nonnull(c);
        assert_ok(bf_notes_create(&notes, &err));
        ck_assert_int_eq(draft_read(&d, c, notes, &err), BF_E_INPUT);
        const char *text_left = draft_finding(notes, followed[k].place);
        ck_assert_msg(text_left != NULL, "%zu: nothing at %s; %s", k, followed[k].place,
                      err.message);
        for (size_t u = 0; u < 2 && followed[k].ahead[u] != NULL; u++) {
            char value[60];
            text_left = strstr(text_left, followed[k].ahead[u]);
            ck_assert_msg(text_left != NULL, "%zu: no \"%s\"", k, followed[k].ahead[u]);
            text_left += strlen(followed[k].ahead[u]);
            (void)snprintf(value, sizeof value, "%.*s%s", (int)strcspn(text_left, " "), text_left,
                           followed[k].unit[u]);
            draft_set(&d, followed[k].cured_key, value);
            bf_notes *now = NULL;
            assert_ok(bf_notes_create(&now, &err));
            ck_assert_msg(draft_read(&d, c, now, &err) == BF_OK, "%zu: %s for %s: %s", k, value,
                          followed[k].cured_key, err.message);
            bf_notes_free(now);
        }
        bf_notes_free(notes);
        free(c);
    }
}
END_TEST

START_TEST(every_refusal_at_its_place)
{
    for (size_t k = 0; k < COUNT(refusals); k++) {
        draft d = tank_of("10x54");
        for (size_t i = 0; i < 3 && refusals[k].path[i] != NULL; i++) {
            draft_set(&d, refusals[k].path[i], refusals[k].text[i]);
        }
        bf_case *c = calloc(1, sizeof *c);
        bf_notes *notes = NULL;
        bf_error err = {0};
        ck_assert_ptr_nonnull(c);
        assert_ok(bf_notes_create(&notes, &err));
        ck_assert_int_eq(draft_read(&d, c, notes, &err), BF_E_INPUT);
        const char *found = draft_finding(notes, refusals[k].place);
        ck_assert_msg(found != NULL, "%zu: nothing at %s; %s", k, refusals[k].place, err.message);
        ck_assert_msg(strstr(found, refusals[k].words) != NULL &&
                          strstr(found, refusals[k].nearest) != NULL,
                      "%zu: %s", k, found);
        ck_assert_int_eq(c->tank.is_stated, 0);
        ck_assert_msg(err.line > 0 && err.column > 0, "%zu: %s has no place", k, refusals[k].place);
        bf_notes_free(notes);
        free(c);
    }
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {a_size_says_diameter_filling_and_freeboard,
                                  every_key_reaches_the_vessel,
                                  the_rest_of_the_section,
                                  a_case_without_a_vessel_has_none,
                                  what_a_refusal_names_is_accepted,
                                  every_refusal_at_its_place};
    return support_run("tank of a case", tests, COUNT(tests), 60);
}
