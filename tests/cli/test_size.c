/* SPDX-License-Identifier: GPL-3.0-or-later */
#define _XOPEN_SOURCE 700 /* nftw(), for run.h */

/* size and compare as a person meets them: every question, every wrong option and unit, answers
 * that there are not, and the same answer in either system of units. */
#include "command_rig.h"

#include <math.h>

static const char *const good_case = "title: A quick one\n"
                                     "water: {hardness: 25 gpg, sodium: 3 meq/L}\n"
                                     "bed: {diameter: 10 in, depth: 30 in}\n"
                                     "service: {flow: 3 gpm}\n"
                                     "regeneration: {doses: 18 9 lb/ft3, backwash_time: 0 min}\n"
                                     "numerics: {cells: 30, shells: 3}\n";

/* The same bed, stated otherwise. */
static const char *const si_case =
    "title: The same\n"
    "water: {hardness: 8.551599183 meq/L, sodium: 3 meq/L}\n" /* 25 x 64.79891 mg/3.785412
                                                                 L/50.04345 */
    "bed: {diameter: 0.254 m, depth: 0.762 m}\n"
    "service: {flow: 3 gpm}\n"
    "regeneration: {doses: 18 12 lb/ft3, backwash_time: 0 min}\n"
    "numerics: {cells: 30, shells: 3}\n";

typedef struct spot {
    char directory[300];
    char good[PATH_ROOM], soft[PATH_ROOM], si[PATH_ROOM], wrong[PATH_ROOM];
} spot;

static spot spot_make(void)
{
    spot s;
    char text[600];
    run_make_directory(s.directory);
    file_path(s.good, s.directory, "good.yaml");
    file_path(s.soft, s.directory, "soft.yaml");
    file_path(s.si, s.directory, "si.yaml");
    file_path(s.wrong, s.directory, "wrong.yaml");
    write_file(s.good, good_case);
    write_file(s.si, si_case);
    write_file(s.wrong, "water: {hardness: 25 gpgg}\nbed: {resin_volume: 1 ft3}\n");
    (void)snprintf(text, sizeof text, "%s", good_case);
    memcpy(strstr(text, "25 gpg"), "10 gpg", 6);
    write_file(s.soft, text);
    return s;
}

START_TEST(wrong_questions_are_refused)
{
    spot s = spot_make();
    const struct {
        const char *arguments[10];
        const char *part;
    } wrong[] = {
        {{"size"}, "name a case file, or - for standard input"},
        {{"size", s.good}, "one question at a time: --capacity, --bed, --salt or --end-point"},
        {{"size", s.good, s.si, "--salt"}, "is one too many"},
        {{"size", s.good, "--salt", "--bed"}, "one question at a time"},
        {{"size", s.good, "--capacity=9 kgr", "--end-point"}, "one question at a time"},
        {{"size", s.good, "--bed"}, "--bed needs --flow"},
        {{"size", s.good, "--bed", "--flow=5 gpm"}, "--bed needs --interval"},
        {{"size", s.good, "--salt"}, "--salt needs --water"},
        {{"size", s.good, "--end-point", "--flow=5 gpm"}, "--flow does not belong to --end-point"},
        {{"size", s.good, "--capacity=9 kgr", "--dose=5 lb/ft3"},
         "--dose does not belong to --capacity"},
        {{"size", s.good, "--salt", "--water=9 gal", "--interval=9 gal"},
         "--interval does not belong to --salt"},
        {{"size", s.good, "--end-point", "--water=9 gal"}, "--water does not belong"},
        {{"size", s.good, "--end-point", "--least-days=3"}, "--least-days does not belong"},
        {{"size", s.good, "--end-point", "--most-days=3"}, "--most-days does not belong"},
        {{"size", s.good, "--end-point", "--diameter=9 in"}, "--diameter does not belong"},
        {{"size", s.good, "--capacity"}, "requires an argument"},
        {{"size", s.good, "--end-point", "--units=metric"}, "accepted are us and si"},
        {{"size", s.good, "--end-point", "--format=xml"}, "accepted are table, csv and json"},
        /* values */
        {{"size", s.good, "--capacity=20 kg"}, "--capacity is \"20 kg\"; take mg/L as CaCO3"},
        {{"size", s.good, "--capacity=20"}, "eq/L or kgr/ft3; or eq or kgr"},
        {{"size", s.good, "--capacity=20 kgrr"}, "unknown unit 'kgrr'"},
        {{"size", s.good, "--capacity=0 kgr"}, "accepted are values above zero"},
        {{"size", s.good, "--capacity=-3 kgr"}, "accepted are values above zero"},
        {{"size", s.good, "--bed", "--flow=5 gal", "--interval=9 gal"},
         "--flow is \"5 gal\"; take m3/h, L/min or gpm"},
        {{"size", s.good, "--bed", "--flow=5 gpm", "--interval=9 days"},
         "--interval is \"9 days\"; take m3, L, gal or ft3"},
        {{"size", s.good, "--bed", "--flow=5 gpm", "--interval=9 gal", "--diameter=1 ft2"},
         "--diameter is \"1 ft2\"; take m, mm, ft or in"},
        {{"size", s.good, "--bed", "--flow=5 gpm", "--interval=9 gal", "--dose=5, 6 lb/ft3"},
         "one dose at a time"},
        {{"size", s.good, "--end-point", "--practical"},
         "--practical does not belong to --end-point"},
        {{"size", s.good, "--salt", "--water=3 lb"},
         "--water is \"3 lb\"; take m3, L, gal or ft3; or m3/h, L/min or gpm"},
        {{"size", s.good, "--salt", "--water=300 gal", "--least-days=3 gal"},
         "take a plain number; or s, min, h, days"},
        {{"size", s.good, "--salt", "--water=300 gal", "--least-days=5", "--most-days=4 days"},
         "--least-days is 5 and --most-days 4"},
        {{"size", s.good, "--end-point", "--dose=6"}, "\"6\" has no unit"},
        {{"size", s.wrong, "--end-point"}, ":1:22: water.hardness: unknown unit 'gpgg'"},
        {{"size", "no.yaml", "--end-point"}, "No such file"},
        /* compare */
        {{"compare"}, "name 2 cases at least, up to 8"},
        {{"compare", s.good}, "name 2 cases at least"},
        {{"compare", "-", "-"}, "standard input can be one case or one table, not 2"},
        {{"compare", s.good, s.good, s.good, s.good, s.good, s.good, s.good, s.good, s.good},
         "8 cases at the most"},
        {{"compare", s.good, s.si, "--samples=15"}, "accepted are whole numbers from 16 to 65536"},
        {{"compare", s.good, s.si, "--samples=x"}, "--samples is \"x\""},
        {{"compare", s.good, s.si, "--samples="}, "--samples is \"\""},
        {{"compare", s.good, s.si, "--samples=65537"}, "--samples is"},
        {{"compare", s.good, s.si, "--samples=32", "--no-band"}, "--no-band leaves out"},
        {{"compare", s.good, s.si, "--threads=0"}, "--threads is"},
        {{"compare", s.good, s.si, "--doses=5, 7"}, "has no unit"},
        {{"compare", s.good, s.si, "--format=xml"}, "accepted are table, csv and json"},
        {{"compare", s.good, s.wrong}, "wrong.yaml:1:22: water.hardness: unknown unit"},
        {{"compare", s.wrong, s.good}, "wrong.yaml:1:22: water.hardness: unknown unit"},
    };
    for (size_t i = 0; i < COUNT(wrong); i++) {
        outcome r;
        run_at(s.directory, (place){0}, wrong[i].arguments, &r);
        ck_assert_msg(r.code == WRONG_INPUT, "%zu: exit %d: %s%s", i, r.code, r.out, r.err);
        assert_run(&r, WRONG_INPUT, "", wrong[i].part);
    }
}
END_TEST

START_TEST(every_question_is_answered)
{
    spot s = spot_make();
    const struct {
        const char *arguments[8];
        const char *parts[3];
    } calls[] = {
        {{"--capacity=18 kgr/ft3"},
         {"To hold 18 kgr/ft3 (24.54 kgr in this bed)", "The capacity "
                                                        "decides"}},
        {{"--capacity=1 kgr"}, {"To hold 0.7334 kgr/ft3 (1 kgr in this bed)", "Leakage decides"}},
        {{"--bed", "--flow=3 gpm", "--interval=900 gal"},
         {"To soften 900 gal at 3 gpm", "9 lb/ft3 of salt takes", "limits in service: 15 gpm/ft2"}},
        {{"--bed", "--flow=3 gpm", "--interval=900 gal"},
         {"Of common sizes 9x48 is the smallest that does it", "Nominal: of the case as it stands",
          "its bed and its flow replaced"}},
        {{"--capacity=18 kgr/ft3", "--practical"},
         {"To hold 18 kgr/ft3", "10 % of 128 samples of the uncertain constants hold less than"}},
        {{"--bed", "--flow=3 gpm", "--interval=20 gal", "--dose=18 lb/ft3"},
         {"The flow decides", "18 lb/ft3"}},
        {{"--bed", "--flow=300 gpm", "--interval=900 gal"}, {"No common vessel size does it"}},
        {{"--bed", "--flow=3 gpm", "--interval=900 gal", "--diameter=10 in"},
         {"10 in across", "the diameter stands, the depth grows"}},
        {{"--salt", "--water=250 gal", "--least-days=2"},
         {"For 250 gal a day", "takes least salt", "sooner than 2 or later than 14 days"}},
        {{"--salt", "--water=0.3 gpm"}, {"For 432 gal a day", "takes least salt"}},
        {{"--end-point"}, {"With 9 lb/ft3 of salt the lowest end point", "Leakage decides"}},
    };
    for (size_t i = 0; i < COUNT(calls); i++) {
        const char *arguments[10] = {"size", s.good};
        outcome r;
        for (size_t a = 0; calls[i].arguments[a] != NULL; a++) {
            arguments[a + 2] = calls[i].arguments[a];
        }
        run_at(s.directory, (place){0}, arguments, &r);
        char flat[TEXT]; /* without breaks of lines */
        size_t length = 0;
        for (const char *c = r.out; *c != '\0'; c++) {
            const char letter = *c == '\n' ? ' ' : *c;
            if (letter != ' ' || length == 0 || flat[length - 1] != ' ') {
                flat[length++] = letter;
            }
        }
        flat[length] = '\0';
        ck_assert_msg(r.code == DONE, "%zu: %s", i, r.err);
        for (size_t p = 0; p < 3 && calls[i].parts[p] != NULL; p++) {
            assert_holds(flat, calls[i].parts[p]);
        }
        assert_holds(flat, "to the unfavourable side");
        assert_holds(flat, "The rating at the answer, before rounding");
        assert_holds(flat, "grid: 30 cells, 3 shells");
    }
}
END_TEST

START_TEST(no_answer_is_an_answer)
{
    spot s = spot_make();
    outcome r;
    run(&s, &r, "size", s.good, "--capacity=60 kgr/ft3");
    assert_run(&r, DONE, "No dose up to 24.97 lb/ft3 holds 60 kgr/ft3", "");
    assert_holds(r.out, "The most\n    that can be had is");
    assert_holds(r.out, "The limit that forbids more: capacity.");
    assert_holds(r.out, "The rating at the limit");
    run(&s, &r, "size", s.good, "--bed", "--flow=300 gpm", "--interval=90 gal", "--diameter=10 in");
    assert_run(&r, DONE, "The most that a bed carries is 8.18 gpm.", "");
    /* 15 gpm/ft2 on 10 in across: 15 x 0.5454 ft2. */
    assert_holds(r.out, "found: without any rating");
    run(&s, &r, "size", s.good, "--bed", "--flow=3 gpm", "--interval=90 gal", "--dose=1.5 lb/ft3");
    assert_run(&r, DONE, "Leakage forbids it", "");
    run(&s, &r, "size", s.good, "--salt", "--water=900 gal", "--least-days=30");
    assert_run(&r, DONE, "The longest that", "");
    assert_holds(r.out, "The limit that forbids more: interval between regenerations.");
    run(&s, &r, "size", s.good, "--capacity=60 kgr/ft3", "--format=csv");
    assert_run(&r, DONE, "\"The least dose for a capacity\",capacity,none,,", "");
}
END_TEST

/* The number behind so many commas of the last line. */
static double field(const char *csv, size_t which)
{
    const char *cursor = csv + strlen(csv) - 1;
    while (cursor > csv && cursor[-1] != '\n') {
        cursor--;
    }
    for (size_t f = 0; f < which; f++) {
        cursor = strchr(cursor, ',');
        ck_assert_ptr_nonnull(cursor);
        cursor++;
    }
    return strtod(cursor, NULL);
}

/* The last number behind a JSON name. */
static double last_number(const char *text, const char *name)
{
    double found = (double)NAN;
    for (const char *cursor = text; (cursor = strstr(cursor, name)) != NULL; cursor++) {
        const char *colon = strchr(cursor, ':');
        found = strtod(colon + 1, NULL);
    }
    return found;
}

/* What a rating is under the published test, the other commands look at too. */
START_TEST(the_protocol_holds_in_every_command)
{
    spot s = spot_make();
    outcome rated, other;
    const char *name = "\"capacity_eq_per_L\"";
    write_file(s.good, "water: {hardness: 300 mg/L as CaCO3, calcium_to_magnesium: 2, sodium: "
                       "2 meq/L, temperature: 20 C}\n"
                       "tank: {size: 10x54}\n"
                       "service: {flow: 2.1 gpm}\n"
                       "regeneration: {doses: [9 lb/ft3]}\n"
                       "rating: {protocol: published_test, samples: 16}\n"
                       "numerics: {cells: 30}\n");
    run(&s, &rated, "rate", s.good, "--units=si");
    const char *per_resin = strstr(rated.out, "per resin, eq/L");
    ck_assert_msg(per_resin != NULL, "%s", rated.err);
    const double of_sheet = strtod(per_resin + strlen("per resin, eq/L"), NULL); /* four digits */
    run(&s, &other, "compare", s.good, s.good, "--no-band", "--format=json");
    const double capacity = last_number(other.out, name);
    assert_near(capacity, of_sheet, 4.1e-4);
    /* The same steady cycle: 2e-4, its tolerance in capacity, and four digits. */
    run(&s, &other, "cycle", s.good, "--units=si");
    const char *of_cycle = strstr(other.out, "capacity ");
    ck_assert_ptr_nonnull(of_cycle);
    assert_near(strtod(of_cycle + strlen("capacity "), NULL), capacity, 6e-4);
    assert_holds(other.out, "\nexhaust ");
    char option[60];
    (void)snprintf(option, sizeof option, "--capacity=%.9f eq/L", capacity);
    run(&s, &other, "size", s.good, option, "--format=json");
    assert_near(last_number(other.out, "\"answer\""), 9.0 * 16.018463,
                4e-3); /* 0.2 % and its slope */
    run(&s, &other, "size", s.good, "--bed", "--flow=4 gpm", "--interval=900 gal");
    assert_run(&other, DONE, "rating.protocol: not looked at", "");
}
END_TEST

START_TEST(units_do_not_change_an_answer)
{
    spot s = spot_make();
    outcome us, si;
    enum { ANSWER = 3 };
    run(&s, &us, "size", s.good, "--format=csv", "--capacity=20 kgr/ft3");
    /* 20 x 1000 grains of 64.79891 mg as CaCO3 in a ft3 of 28.316847 L, 50.04345 g/eq */
    run(&s, &si, "size", s.si, "--format=csv", "--units=si", "--capacity=0.9145460 eq/L");
    assert_run(&us, DONE, "rated,\n", "");
    assert_run(&si, DONE, "rated,\n", "");
    /* Both hold to 2e-3; on the same path to the digits that were stated. */
    assert_near(field(si.out, ANSWER), field(us.out, ANSWER), 1e-4);
    run(&s, &us, "size", s.good, "--format=csv", "--salt", "--water=250 gal", "--least-days=2");
    run(&s, &si, "size", s.si, "--format=csv", "--salt", "--water=946.353 L", "--least-days=48 h");
    assert_near(field(si.out, ANSWER), field(us.out, ANSWER), 1e-3);
    /* Harder water takes more salt for the same water, and softer water less. */
    run(&s, &si, "size", s.soft, "--format=csv", "--salt", "--water=250 gal", "--least-days=2");
    ck_assert_double_lt(field(si.out, ANSWER), 0.9 * field(us.out, ANSWER));
}
END_TEST

START_TEST(a_case_does_not_differ_from_itself)
{
    spot s = spot_make();
    outcome r, other;
    run(&s, &r, "compare", s.good, s.good, "--samples=16", "--doses=10 lb/ft3");
    assert_run(&r, DONE, "nothing but title, file and doses\n", "");
    assert_holds(r.out, "\nB over A %     +0.0      +0.0      +0.0      +0.0");
    assert_holds(r.out, "of 16 samples");
    ck_assert_ptr_null(strstr(r.out, "0*"));
    run(&s, &other, "compare", s.good, s.good, "--samples=16", "--doses=10 lb/ft3", "--threads=1");
    ck_assert_str_eq(other.out, r.out);
    /* Stated in other units nothing differs either. */
    run(&s, &r, "compare", s.good, s.si, "--no-band");
    assert_run(&r, DONE, "nothing but title, file and doses\n", "");
    assert_holds(r.out, "\nSalt: 18 lb/ft3\n"); /* the one that both state */
    ck_assert_ptr_null(strstr(r.out, "12 lb/ft3"));
    /* Another last bit in the water is another path of the integrator: leakage, which holds to
     * 0.5 %, may move by some tenths of a percent. */
    assert_holds(r.out, "\nB over A %     +0.0      +0.0      ");
    assert_holds(r.out, "no band was asked for");
}
END_TEST

START_TEST(what_differs_is_said)
{
    spot s = spot_make();
    outcome r;
    run(&s, &r, "compare", s.good, s.soft, "--samples=16", "--doses=10 lb/ft3");
    assert_run(&r, DONE, "water.hardness: A 25 gpg; B 10 gpg\n", "");
    assert_holds(r.out, "*"); /* 25 against 10 gpg at one dose: more than the constants do */
    assert_holds(r.out, "sample by sample");
    run(&s, &r, "compare", s.good, s.soft, "--no-band", "--format=csv", "--units=si");
    assert_run(&r, DONE, "# water.hardness: A 25 gpg; B 10 gpg\n", "");
    assert_holds(r.out, "\ncase,file,dose_g_per_L,");
    run(&s, &r, "compare", s.good, s.soft, "--no-band", "--doses=2, 9 lb/ft3", "--units=si");
    assert_run(&r, DONE, "no rating: leakage above the end point from the start", "");
    assert_holds(r.out, "Salt: 144.2 g/L");
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {
        wrong_questions_are_refused,   every_question_is_answered,
        no_answer_is_an_answer,        the_protocol_holds_in_every_command,
        units_do_not_change_an_answer, a_case_does_not_differ_from_itself,
        what_differs_is_said};
    char root[256];
    if (!run_make_root(root)) {
        perror("no directory for the files of the tests");
        return EXIT_FAILURE;
    }
    int code = support_run("cli.size", tests, COUNT(tests), 240);
    return run_remove_root(root) ? code : EXIT_FAILURE;
}
