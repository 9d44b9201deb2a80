/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What follows from a case, by hand; and that leaving each range of practice is noticed, from
 * either side, while a usual case earns no caution. */
#include "brinefront/case.h"
#include "brinefront/practice.h"
#include "support.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* A usual softener within every published range: 30 in of resin, 15 BV/h, 8 lb/ft3. Invented. */
static const char usual[] = "water: {hardness: 17 gpg, temperature: 20 C}\n"
                            "bed: {diameter: 12 in, depth: 30 in, freeboard: 80 %}\n"
                            "service: {flow: 15 BV/h}\n"
                            "regeneration: {doses: 8 lb/ft3, backwash_flow: 14 m/h}\n";

/* Of beads of one size, for which the limits of backwash were worked out by hand. */
static void read_case(const char *text, bf_case *out)
{
    bf_error err = {0};
    char whole[2000];
    const int length =
        snprintf(whole, sizeof whole, "%s%s", text,
                 strstr(text, "resin:") != NULL
                     ? ""
                     : "resin: {bead_diameter: 0.6 mm, uniformity_coefficient: 1}\n");
    ck_assert(length > 0 && (size_t)length < sizeof whole);
    assert_ok(bf_case_read_text(whole, (size_t)length, "test", out, NULL, &err));
}

/* Every caution on a case; freed by the caller. */
static bf_notes *cautions(const char *text)
{
    bf_error err = {0};
    bf_case input;
    bf_notes *notes = NULL;
    read_case(text, &input);
    assert_ok(bf_notes_create(&notes, &err));
    assert_ok(
        bf_practice_notes(&input.rating, input.dose_kg_per_m3, input.dose_count, notes, &err));
    return notes;
}

static void earns_no_caution(const char *text)
{
    bf_notes *notes = cautions(text);
    ck_assert_msg(bf_notes_count(notes) == 0, "%s\nsays %s: %s", text, bf_notes_get(notes, 0).where,
                  bf_notes_get(notes, 0).text);
    bf_notes_free(notes);
}

static void earns_just(const char *text, const char *where, const char *says)
{
    bf_notes *notes = cautions(text);
    ck_assert_msg(bf_notes_count(notes) == 1, "%s\ngives %zu notes", text, bf_notes_count(notes));
    const bf_note note = bf_notes_get(notes, 0);
    ck_assert_int_eq(note.kind, BF_NOTE_CAUTION);
    ck_assert_str_eq(note.where, where);
    ck_assert_str_eq(note.text, says);
    bf_notes_free(notes);
}

START_TEST(a_usual_case_earns_no_caution)
{
    earns_no_caution(usual);
}
END_TEST

/* ---- each limit from both sides -------------------------------------------------------------- */

#define WATER "water: {hardness: 17 gpg, temperature: 20 C}\n"
#define BED "bed: {diameter: 12 in, depth: 30 in, freeboard: 80 %%}\n"
#define SERVICE "service: {flow: 15 BV/h}\n"
#define REGENERATION(rest) "regeneration: {doses: 8 lb/ft3, backwash_flow: 14 m/h, " rest "}\n"
#define WITHOUT_BACKWASH(rest) "regeneration: {doses: 8 lb/ft3, backwash_time: 0 min, " rest "}\n"

/* Cases with one number left open. Just inside a limit, which is a percent wide, nothing is said;
 * just outside exactly this is. All else lies well inside its own ranges. */
static const struct {
    const char *text; /* printf with the number */
    double inside, outside;
    const char *where, *says;
} limits[] = {
    {WATER "bed: {diameter: 12 in, depth: %.7g m, freeboard: 80 %%}\n" SERVICE REGENERATION(""),
     0.6045, 0.6033, "bed.depth",
     "the bed's depth is 0.6033 m (23.75 in), below practice, 0.61 m (24.02 in) to 4 m (157.5 in) "
     "(product data: 24 in or more; Davis: about 4 m at most)"},
    {WATER "bed: {diameter: 1 m, depth: %.7g m, freeboard: 80 %%}\n"
           "service: {flow: 8 BV/h}\n" REGENERATION(""),
     4.039, 4.042, "bed.depth",
     "the bed's depth is 4.042 m (159.1 in), above practice, 0.61 m (24.02 in) to 4 m (157.5 in) "
     "(product data: 24 in or more; Davis: about 4 m at most)"},
    {WATER
     "bed: {diameter: 12 in, depth: 30 in, freeboard: %.7g %%}\n" SERVICE WITHOUT_BACKWASH(""),
     49.6, 49.4, "bed.freeboard",
     "freeboard over the bed's depth is 49.4 %, below practice, 50 % to 100 % (Davis; product "
     "data)"},
    {WATER "bed: {diameter: 12 in, depth: 30 in, freeboard: %.7g %%}\n" SERVICE REGENERATION(""),
     100.9, 101.1, "bed.freeboard",
     "freeboard over the bed's depth is 101.1 %, above practice, 50 % to 100 % (Davis; product "
     "data)"},
    {WATER BED "service: {flow: %.7g BV/h}\n" REGENERATION(""), 7.93, 7.91, "service.flow",
     "service runs at 7.91 BV/h (0.9862 gpm/ft3), below practice, 8 BV/h (0.9974 gpm/ft3) to 40 "
     "BV/h (4.987 gpm/ft3) (product data: 1-5 gpm/ft3)"},
    {WATER BED "service: {flow: %.7g BV/h}\n" REGENERATION(""), 40.39, 40.41, "service.flow",
     "service runs at 40.41 BV/h (5.038 gpm/ft3), above practice, 8 BV/h (0.9974 gpm/ft3) to 40 "
     "BV/h (4.987 gpm/ft3) (product data: 1-5 gpm/ft3)"},
    {WATER "bed: {diameter: 12 in, depth: 0.61 m, freeboard: 80 %%}\n"
           "service: {flow: %.7g m/h}\n" REGENERATION(""),
     4.955, 4.945, "service.flow",
     "service runs at 4.945 m/h (2.023 gpm/ft2), below practice, 5 m/h (2.045 gpm/ft2) to 50 m/h "
     "(20.45 gpm/ft2) (product data: 2-20 gpm/ft2; standards ask for 17 m/h or less)"},
    {WATER "bed: {diameter: 12 in, depth: 1.5 m, freeboard: 80 %%}\n"
           "service: {flow: %.7g m/h}\n" REGENERATION(""),
     50.45, 50.55, "service.flow",
     "service runs at 50.55 m/h (20.68 gpm/ft2), above practice, 5 m/h (2.045 gpm/ft2) to 50 m/h "
     "(20.45 gpm/ft2) (product data: 2-20 gpm/ft2; standards ask for 17 m/h or less)"},
    /* Ergun by hand at 48 m/h, 998.2 kg/m3, 1.002 mPa s, bead 0.6 mm, void 0.38: 44.8 kPa/m, 136.35 kPa over
     * 3.040 m. */
    {WATER "bed: {diameter: 12 in, depth: %.7g m, freeboard: 80 %%}\n"
           "service: {flow: 48 m/h}\n" REGENERATION(""),
     3.035, 3.046, "service.flow",
     "the clean bed takes 136.6 kPa (19.81 psi), above practice, at most 135 kPa (19.58 psi) "
     "(Davis: 35-70 kPa typical, 135 kPa at most)"},
    {"water: {hardness: 17 gpg, temperature: 2 C}\n"
     "resin: {bead_diameter: 0.5 mm, uniformity_coefficient: 1}\n" BED SERVICE
     "regeneration: {doses: 8 lb/ft3, backwash_flow: %.7g m/h}\n",
     6.94, 6.92, "regeneration.backwash_flow",
     "backwash runs at 6.92 m/h (2.831 gpm/ft2), below practice, 7 m/h (2.863 gpm/ft2) to 20 m/h "
     "(8.181 gpm/ft2) (product data: 7-16 m/h; standards: 15-20 m/h)"},
    {"water: {hardness: 17 gpg, temperature: 30 C}\n"
     "resin: {bead_diameter: 0.65 mm, uniformity_coefficient: 1}\n" BED SERVICE
     "regeneration: {doses: 8 lb/ft3, backwash_flow: %.7g m/h}\n",
     20.19, 20.21, "regeneration.backwash_flow",
     "backwash runs at 20.21 m/h (8.267 gpm/ft2), above practice, 7 m/h (2.863 gpm/ft2) to 20 m/h "
     "(8.181 gpm/ft2) (product data: 7-16 m/h; standards: 15-20 m/h)"},
    {WATER BED SERVICE "regeneration: {doses: 8 lb/ft3, backwash_flow: %.7g m/h}\n", 13.62, 13.60,
     "regeneration.backwash_flow",
     "backwash lifts the bed by 39.56 %, below practice, 40 % to 75 % (product data: 50-75 %, "
     "40-75 % at 25 C)"},
    {"water: {hardness: 17 gpg, temperature: 5 C}\n" BED SERVICE
     "regeneration: {doses: 8 lb/ft3, backwash_flow: %.7g m/h}\n",
     16.46, 16.48, "regeneration.backwash_flow",
     "backwash lifts the bed by 75.79 %, above practice, 40 % to 75 % (product data: 50-75 %, "
     "40-75 % at 25 C)"},
    {WATER BED SERVICE REGENERATION("brine_strength: %.7g wt%%"), 4.96, 4.94,
     "regeneration.brine_strength",
     "brine holds 4.94 wt%, below practice, 5 wt% to 20 wt% (Davis: 5-10 %; product data: 8-20 %)"},
    {WATER BED SERVICE REGENERATION("brine_flow: 2 BV/h, brine_strength: %.7g wt%%"), 20.19, 20.21,
     "regeneration.brine_strength",
     "brine holds 20.21 wt%, above practice, 5 wt% to 20 wt% (Davis: 5-10 %; product data: 8-20 "
     "%)"},
    {WATER BED SERVICE REGENERATION("brine_flow: %.7g BV/h"), 1.983, 1.977,
     "regeneration.brine_flow",
     "brine runs at 1.977 BV/h (0.2465 gpm/ft3), below practice, 2 BV/h (0.2494 gpm/ft3) to 8 BV/h "
     "(0.9974 gpm/ft3) (product data: 2-8 BV/h; Davis: 2-5 BV/h)"},
    {WATER BED SERVICE REGENERATION("brine_strength: 5 wt%%, brine_flow: %.7g BV/h"), 8.07, 8.09,
     "regeneration.brine_flow",
     "brine runs at 8.09 BV/h (1.009 gpm/ft3), above practice, 2 BV/h (0.2494 gpm/ft3) to 8 BV/h "
     "(0.9974 gpm/ft3) (product data: 2-8 BV/h; Davis: 2-5 BV/h)"},
    {WATER BED SERVICE REGENERATION("slow_rinse_volume: %.7g BV"), 0.991, 0.989,
     "regeneration.slow_rinse_volume",
     "the slow rinse takes 0.989 BV (7.398 gal/ft3), below practice, 1 BV (7.481 gal/ft3) to 4 BV "
     "(29.92 gal/ft3) (product data: 2-4 BV; UFC: 1-3 BV)"},
    {WATER BED SERVICE REGENERATION("slow_rinse_volume: %.7g BV"), 4.039, 4.041,
     "regeneration.slow_rinse_volume",
     "the slow rinse takes 4.041 BV (30.23 gal/ft3), above practice, 1 BV (7.481 gal/ft3) to 4 BV "
     "(29.92 gal/ft3) (product data: 2-4 BV; UFC: 1-3 BV)"},
    {WATER BED SERVICE REGENERATION("fast_rinse_volume: %.7g BV"), 1.981, 1.979,
     "regeneration.fast_rinse_volume",
     "the fast rinse takes 1.979 BV (14.8 gal/ft3), below practice, 2 BV (14.96 gal/ft3) to 6 BV "
     "(44.88 gal/ft3) (product data: 2-6 BV)"},
    {WATER BED SERVICE REGENERATION("fast_rinse_volume: %.7g BV"), 6.059, 6.061,
     "regeneration.fast_rinse_volume",
     "the fast rinse takes 6.061 BV (45.34 gal/ft3), above practice, 2 BV (14.96 gal/ft3) to 6 BV "
     "(44.88 gal/ft3) (product data: 2-6 BV)"},
    {WATER BED SERVICE "regeneration: {doses: %.7g lb/ft3, brine_flow: 2 BV/h, backwash_flow: 14 "
                       "m/h}\n",
     3.961, 3.959, "regeneration.doses",
     "the dose is 63.42 g/L (3.959 lb/ft3), below practice, 64.07 g/L (4 lb/ft3) to 320.4 g/L (20 "
     "lb/ft3) (product data: 4-20 lb/ft3; Davis: 5-10, at most 20)"},
    {WATER BED SERVICE "regeneration: {doses: [8 lb/ft3, %.7g lb/ft3], backwash_flow: 14 m/h}\n",
     20.19, 20.21, "regeneration.doses",
     "the dose is 323.7 g/L (20.21 lb/ft3), above practice, 64.07 g/L (4 lb/ft3) to 320.4 g/L (20 "
     "lb/ft3) (product data: 4-20 lb/ft3; Davis: 5-10, at most 20)"},
    {WATER BED SERVICE "regeneration: {doses: %.7g lb/ft3, brine_flow: 5 BV/h, salt: KCl, "
                       "backwash_flow: 14 m/h}\n",
     25.75, 25.79, "regeneration.doses",
     "counted as NaCl, the dose is 323.8 g/L (20.22 lb/ft3), above practice, 64.07 g/L (4 lb/ft3) "
     "to 320.4 g/L (20 lb/ft3) (product data: 4-20 lb/ft3; Davis: 5-10, at most 20)"},
    {WATER BED SERVICE REGENERATION("brine_flow: %.7g BV/h"), 4.83, 4.845, "regeneration.doses",
     "at a dose of 128.1 g/L (8 lb/ft3), brine takes 14.82 min, below practice, 15 min to 60 min "
     "(product data: 15-60 min)"},
    {WATER BED SERVICE "regeneration: {doses: 20 lb/ft3, backwash_flow: 14 m/h, brine_flow: %.7g "
                       "BV/h}\n",
     2.965, 2.955, "regeneration.doses",
     "at a dose of 320.4 g/L (20 lb/ft3), brine takes 60.75 min, above practice, 15 min to 60 min "
     "(product data: 15-60 min)"},
    {"water: {hardness: 17 gpg, temperature: 20 C, iron: 0.1 mg/L, manganese: %.7g mg/L}\n" BED
         SERVICE REGENERATION(""),
     0.2025, 0.2035, "water.iron",
     "iron and manganese together are 0.3035 mg/L, above practice, at most 0.3 mg/L "
     "(12VAC5-590-900: remove them first above 0.3 mg/L)"},
};

START_TEST(each_limit_is_where_it_is)
{
    for (size_t k = 0; k < sizeof limits / sizeof *limits; k++) {
        char text[600];
        (void)snprintf(text, sizeof text, limits[k].text, limits[k].inside);
        earns_no_caution(text);
        (void)snprintf(text, sizeof text, limits[k].text, limits[k].outside);
        earns_just(text, limits[k].where, limits[k].says);
    }
}
END_TEST

/* ---- what is no number ----------------------------------------------------------------------- */

START_TEST(raw_water_and_rising_brine_are_noticed)
{
#define COUNTER_CURRENT(rest)                                                                      \
    WATER "bed: {diameter: 12 in, depth: 30 in, freeboard: 80 %}\n" SERVICE WITHOUT_BACKWASH(      \
        "direction: counter-current, " rest)
    earns_just(COUNTER_CURRENT("blocking_flow: 2 BV/h"), "regeneration.slow_rinse_water",
               "raw water rinsing up through a counter-current bed loads its cleanest end with "
               "hardness; use soft water");
    earns_just(COUNTER_CURRENT("slow_rinse_water: soft"), "regeneration.blocking_flow",
               "nothing holds the bed down: spent brine rises into the water above it and comes "
               "back in the fast rinse, which costs capacity and leaks; state a blocking flow, or "
               "bed.freeboard: 0 for a packed vessel");
    earns_no_caution(COUNTER_CURRENT("slow_rinse_water: soft, blocking_flow: 2 BV/h"));
}
END_TEST

/* Every dose has a note of its own, and sea water is weak brine. */
START_TEST(each_dose_and_sea_water_are_noticed)
{
    bf_notes *notes =
        cautions(WATER "bed: {diameter: 12 in, depth: 30 in, freeboard: 80 %}\n" SERVICE
                       "regeneration: {doses: [3 lb/ft3, 8 lb/ft3, 22 lb/ft3], "
                       "backwash_flow: 14 m/h, brine_flow: 3 BV/h}\n");
    ck_assert_uint_eq(bf_notes_count(notes), 4); /* dose and time of 3 lb/ft3 and of 22 */
    bf_notes_free(notes);
    notes =
        cautions(WATER "bed: {diameter: 12 in, depth: 30 in, freeboard: 80 %}\n" SERVICE
                       "regeneration: {salt: sea_water, brine_volume: 3.1 BV, backwash_flow: 14 "
                       "m/h}\n");
    ck_assert_uint_eq(bf_notes_count(notes), 1);
    ck_assert_str_eq(bf_notes_get(notes, 0).where, "regeneration.brine_strength");
    bf_notes_free(notes);
}
END_TEST

START_TEST(what_follows_is_what_a_hand_finds)
{
    bf_case input;
    bf_deduced d;
    bf_error err = {0};
    read_case(usual, &input);
    assert_ok(bf_deduce(&input.rating, &d, &err));
    /* 12 in across, 30 in deep: pi/4 ft2 = 0.0729659 m2, 1.963495 ft3 = 55.6000 L. */
    assert_near(d.area_m2, 0.0729659, 1e-6);
    assert_near(d.resin_m3, 55.6000e-3, 1e-5);
    assert_near(d.empty_bed_contact_s, 3600.0 / 15.0, 1e-12);
    /* Brine of 10 wt% at 20 C: 1.8317 mol/L, 1070.8 kg/m3 (tables of NaCl solutions, printed
     * digits); 26.44 wt% saturated. */
    assert_near(d.brine_normality_eq_per_m3, 1831.7, 3e-4);
    assert_near(d.brine_density_kg_per_m3, 1070.8, 3e-4);
    assert_near(d.brine_saturation, 10.0 / 26.44, 1e-3);
    assert_near(d.brine_bed_volumes_per_kg_per_m3, 1.0 / 107.08, 3e-4);
    assert_near(d.brine_s_per_kg_per_m3, 3600.0 / (4.0 * 107.08), 3e-4);
    /* 2 eq/L of NaCl: 116.88 g/L ("7.29 lb/ft3" in the trade's literature). */
    assert_near(d.salt_to_hold_all_kg_per_m3, 116.88, 1e-4);
    assert_near(d.salt_to_hold_all_kg_per_m3 / 16.018463, 7.29, 1e-3);
    ck_assert(d.backwash_depth_ratio > 1.4 && d.backwash_depth_ratio < 1.8);
    ck_assert(d.service_pressure_Pa > 0.0);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {a_usual_case_earns_no_caution, each_limit_is_where_it_is,
                                  raw_water_and_rising_brine_are_noticed,
                                  each_dose_and_sea_water_are_noticed,
                                  what_follows_is_what_a_hand_finds};
    return support_run("rating.practice", tests, sizeof tests / sizeof *tests, 30);
}
