/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The rating sheet as the program prints it: the same case in U.S. and SI units, every number with
 * a unit, every form with the same numbers, and what it says against its own parts. */
#include "brinefront/convert.h"
#include "schema.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define US BF_SOURCE_DIR "/tests/report/coarse_tank.yaml"
#define SI BF_SOURCE_DIR "/tests/report/coarse_tank_si.yaml"
#define OVERLAY "--overlay " BF_SOURCE_DIR "/tests/report/coarse_overlay.csv "

enum { TEXT = 200000 };

static size_t run(const char *arguments, char *text)
{
    char call[600];
    /* One thread: many small runs side by side with other tests would wait for each other. */
    (void)snprintf(call, sizeof call, "OMP_NUM_THREADS=1 %s %s", BF_PROGRAM, arguments);
    FILE *pipe = popen(call, "r");
    ck_assert_ptr_nonnull(pipe);
    const size_t length = fread(text, 1, TEXT - 1, pipe);
    text[length] = '\0';
    ck_assert_int_eq(pclose(pipe), 0);
    return length;
}

static json_t *run_json(const char *arguments)
{
    static char text[TEXT];
    json_error_t error;
    const size_t length = run(arguments, text);
    json_t *document = json_loadb(text, length, 0, &error);
    ck_assert_msg(document != NULL, "%s: %s", arguments, error.text);
    return document;
}

static const char *text_of(const json_t *item, const char *member)
{
    return json_string_value(json_object_get(item, member));
}

static double number_of(const json_t *item, const char *member)
{
    const json_t *value = json_object_get(item, member);
    return json_is_null(value) ? (double)NAN : json_number_value(value);
}

/* The item of a name, and of a dose in g/L unless that is NAN. */
static const json_t *find(const json_t *document, const char *group, const char *name, double dose)
{
    const json_t *items = json_object_get(document, "sheet");
    for (size_t i = 0; i < json_array_size(items); i++) {
        const json_t *item = json_array_get(items, i);
        const double item_dose = number_of(item, "dose_g_per_L");
        if (strncmp(text_of(item, "group"), group, strlen(group)) == 0 &&
            strcmp(text_of(item, "name"), name) == 0 &&
            (isnan(dose) ? isnan(item_dose) : fabs(item_dose / dose - 1.0) < 1e-6)) {
            return item;
        }
    }
    ck_abort_msg("no %s: %s at %g", group, name, dose);
    return NULL;
}

static const double g_per_L_at_6 = 6.0 * BF_KG_PER_M3_PER_LB_PER_FT3;
static const double g_per_L_at_8 = 8.0 * BF_KG_PER_M3_PER_LB_PER_FT3;

START_TEST(both_unit_systems_say_the_same)
{
    json_t *us = run_json("rate --format json " US);
    json_t *si = run_json("rate --format json " SI);
    const json_t *a = json_object_get(us, "sheet");
    const json_t *b = json_object_get(si, "sheet");
    size_t compared = 0;
    ck_assert_uint_eq(json_array_size(a), json_array_size(b));
    for (size_t i = 0; i < json_array_size(a); i++) {
        const json_t *p = json_array_get(a, i);
        const json_t *q = json_array_get(b, i);
        const double x = number_of(p, "si_value");
        const double y = number_of(q, "si_value");
        ck_assert_str_eq(text_of(p, "group"), text_of(q, "group"));
        ck_assert_str_eq(text_of(p, "name"), text_of(q, "name"));
        ck_assert_int_eq(isnan(x), isnan(y));
        /* The figures of the SI case have nine digits; a rounded rating may fall on either side,
         * and indices of 24 samples are what they are to the integrator's noise. */
        if (!isnan(x) && strncmp(text_of(p, "group"), "what the doubt", 14) != 0) {
            /* A change is a difference of two near numbers: in per cent, of leakage good to 0.5. */
            const int is_change = strstr(text_of(p, "name"), "changes by") != NULL;
            ck_assert_msg(fabs(x - y) <= 5e-3 * fabs(x) + (is_change ? 0.5 : 1e-6),
                          "%s: %s: %g, %g", text_of(p, "group"), text_of(p, "name"), x, y);
            compared++;
        }
    }
    ck_assert_uint_gt(compared, 150);
    json_decref(us);
    json_decref(si);
}
END_TEST

START_TEST(every_number_has_its_unit_and_converts)
{
    /* Factors from the definitions of the units. */
    static const struct {
        const char *si, *us;
        double us_per_si, shift;
    } units[] = {{"m", "in", 1.0 / 0.0254, 0.0},
                 {"m2", "ft2", 10.7639104167, 0.0},
                 {"m3/h", "gpm", 4.40286753931, 0.0},
                 {"m/h", "gpm/ft2", 0.409039776, 0.0},
                 {"BV/h", "gpm/ft3", 0.1246753247, 0.0},
                 {"kPa", "psi", 0.145037737730, 0.0},
                 {"C", "F", 1.8, 32.0},
                 {"min", "min", 1.0, 0.0},
                 {"h", "h", 1.0, 0.0},
                 {"kg", "lb", 2.20462262185, 0.0},
                 {"kg CaCO3", "kgr", 15.4323583529, 0.0},
                 {"eq/L", "kgr/ft3", 21.868794, 0.0},
                 {"mg/L CaCO3", "mg/L CaCO3", 1.0, 0.0},
                 {"g CaCO3/kg", "gr/lb", 7.0, 0.0},
                 {"L/kg CaCO3", "gal/kgr", 0.01711806, 0.0},
                 {"L/kg CaCO3", "gal/1,000 gr", 0.01711806, 0.0},
                 {"mg/L as CaCO3", "gpg", 1.0 / 17.1180611, 0.0},
                 {"%", "%", 1.0, 0.0},
                 {"samples", "samples", 1.0, 0.0}};
    json_t *document = run_json("rate --format json " OVERLAY US);
    const json_t *items = json_object_get(document, "sheet");
    for (size_t i = 0; i < json_array_size(items); i++) {
        const json_t *item = json_array_get(items, i);
        const char *name = text_of(item, "name");
        const double si = number_of(item, "si_value");
        const double us = number_of(item, "us_value");
        const int is_rounded = strcmp(text_of(item, "group"), "practical rating") == 0;
        int matches = 0;
        ck_assert_int_eq(isnan(si), isnan(us));
        if (isnan(si)) {
            continue;
        }
        for (size_t u = 0; u < sizeof units / sizeof *units; u++) {
            if (strcmp(text_of(item, "si_unit"), units[u].si) == 0 &&
                strcmp(text_of(item, "us_unit"), units[u].us) == 0) {
                const double as_us = si * units[u].us_per_si + units[u].shift;
                matches = 1; /* each system is rounded by itself */
                assert_near_abs(us, as_us, (is_rounded ? 1e-2 : 2e-6) * fabs(us) + 1e-9);
            }
        }
        /* Litres stand beside cubic feet of resin and gallons of water. */
        if (strcmp(text_of(item, "si_unit"), "L") == 0) {
            const int is_resin = strcmp(text_of(item, "us_unit"), "ft3") == 0;
            ck_assert(is_resin || strcmp(text_of(item, "us_unit"), "gal") == 0);
            assert_near(us, si / (is_resin ? 28.316846592 : 3.785411784), 1e-6);
            matches = 1;
        }
        ck_assert_msg(matches, "%s: %s beside %s", name, text_of(item, "si_unit"),
                      text_of(item, "us_unit"));
    }
    json_decref(document);
}
END_TEST

START_TEST(it_holds_together)
{
    const double all = (double)NAN;
    json_t *d = run_json("rate --format json " US);
    /* 12 in across: D2/183 in ft2 (M. Wirth, WC&P, Mar 2014). */
    assert_near(number_of(find(d, "vessel", "cross-section", all), "us_value"), 144.0 / 183.0,
                2e-3);
    /* 15 gpm/ft2 is the limit of velocity; 7 is what Ten States Standards allow. */
    assert_near(
        number_of(find(d, "service flow", "flow at the limit of velocity", all), "us_value"),
        15.0 * 0.7853982, 1e-6);
    assert_near(
        number_of(find(d, "service flow", "flow allowed to a public supply", all), "us_value"),
        7.0 * 0.7853982, 1e-6);
    ck_assert_ptr_nonnull(
        strstr(text_of(find(d, "service flow", "rated service flow", all), "words"),
               "limited by bed volumes an hour")); /* 40 BV/h of 2 ft3: 9.97 gpm */
    /* The valve loses 5 psi at 7 gpm, so this at the rated flow. */
    const double rated = number_of(find(d, "service flow", "rated service flow", all), "us_value");
    assert_near(number_of(find(d, "service flow", "pressure drop at rated flow", all), "us_value") -
                    number_of(find(d, "service flow", "of it the bed alone", all), "us_value"),
                5.0 * (rated / 7.0) * (rated / 7.0), 1e-6);
    const double capacity = number_of(find(d, "capacity of", "capacity", g_per_L_at_6), "us_value");
    assert_near(capacity,
                2.0 * number_of(find(d, "capacity of", "per resin", g_per_L_at_6), "us_value"),
                1e-6);
    assert_near(number_of(find(d, "capacity of", "salt", g_per_L_at_6), "us_value"), 12.0, 1e-6);
    assert_near(number_of(find(d, "capacity of", "per salt", g_per_L_at_6), "us_value"),
                1000.0 * capacity / 12.0, 1e-6);
    /* The practical rating: on the unfavourable side of P10 and P90, with three digits. */
    const double p10 = number_of(find(d, "band", "capacity P10", g_per_L_at_8), "us_value");
    const double least =
        number_of(find(d, "practical", "capacity, at least", g_per_L_at_8), "us_value");
    ck_assert_double_le(least, p10);
    ck_assert_double_gt(least, p10 - 0.1);
    assert_near(least, round(10.0 * least) / 10.0, 1e-12);
    const double p90 = number_of(find(d, "band", "mean leakage P90", g_per_L_at_8), "us_value");
    const double most =
        number_of(find(d, "practical", "mean leakage, at most", g_per_L_at_8), "us_value");
    ck_assert_double_ge(most, p90);
    ck_assert_double_lt(most, p90 * 1.01);
    /* What stands on top of the sheet is elsewhere in it, on the unfavourable side. */
    const struct {
        const char *name, *group, *entry;
        int up;
    } tops[] = {{"rated service flow, at most", "service flow", "rated service flow", 0},
                {"pressure drop there, coldest water", "service flow", "in the coldest water", 1}};
    for (size_t t = 0; t < 2; t++) {
        const double top = number_of(find(d, "practical", tops[t].name, all), "us_value");
        const double plain = number_of(find(d, tops[t].group, tops[t].entry, all), "us_value");
        ck_assert(tops[t].up ? top >= plain : top <= plain);
        assert_near(top, plain, 1e-2); /* three digits */
    }
    assert_near(number_of(find(d, "practical", "salt, at most", g_per_L_at_8), "us_value"), 16.0,
                1e-9);
    size_t hold = 0;
    const json_t *items = json_object_get(d, "sheet");
    for (size_t i = 0; i < json_array_size(items); i++) {
        const json_t *item = json_array_get(items, i);
        hold += strncmp(text_of(item, "group"), "published criteria", 18) == 0 &&
                        strncmp(text_of(item, "words"), "holds", 5) == 0
                    ? 1
                    : 0;
    }
    ck_assert_uint_gt(hold, 0);
    ck_assert_uint_eq(
        strtoul(text_of(find(d, "practical", "published criteria that hold", all), "words"), NULL,
                10),
        hold);
    /* 50 F is the coldest, 59 F the case's own and the warmest: cold water holds less. */
    ck_assert_double_lt(
        number_of(find(d, "the middle dose", "capacity per resin in the coldest water", all),
                  "us_value"),
        number_of(find(d, "capacity of", "per resin", g_per_L_at_8), "us_value"));
    ck_assert_double_gt(
        number_of(find(d, "regeneration", "salt left after the rinse", g_per_L_at_8), "us_value"),
        0.0);
    /* 16 samples tell no shares. */
    ck_assert_ptr_nonnull(
        strstr(text_of(find(d, "what the doubt in capacity", "no shares", all), "words"),
               "16 samples are too few"));
    /* A dose that gives nothing says so. */
    const json_t *none = find(d, "capacity of", "capacity", g_per_L_at_6 / 3.0);
    ck_assert(json_is_null(json_object_get(none, "us_value")));
    ck_assert_ptr_nonnull(strstr(text_of(none, "words"), "no rating"));
    /* A criterion by hand: 4 gpm at least. */
    const json_t *flow = find(d, "published criteria", "rated flow", all);
    assert_near(number_of(flow, "us_value"), rated, 1e-6);
    ck_assert_ptr_nonnull(strstr(text_of(flow, "words"), rated >= 4.0 ? "holds" : "fails"));
    ck_assert_ptr_nonnull(
        strstr(text_of(find(d, "published criteria", "what this is", all), "words"),
               "computed estimate, not a certification"));
    ck_assert_str_eq(
        text_of(find(d, "two beds", "ends before the other is spent", g_per_L_at_8), "words"),
        number_of(find(d, "two beds", "regeneration", g_per_L_at_8), "si_value") <=
                number_of(find(d, "two beds", "shortest run", g_per_L_at_8), "si_value")
            ? "yes"
            : "no");
    json_decref(d);
}
END_TEST

/* 6 lb/ft3 holds 3,350 gr/lb as it stands, and nine of ten samples do not. */
START_TEST(a_promise_is_held_against_the_criteria_too)
{
    const double all = (double)NAN;
    json_t *d = run_json("rate --format json --doses \"6 lb/ft3\" " US);
    const json_t *entry =
        find(d, "published criteria", "salt efficiency for an efficiency rating", all);
    ck_assert_double_gt(number_of(entry, "us_value"), 3350.0);
    const double promised =
        number_of(find(d, "practical", "per salt, at least", g_per_L_at_6), "us_value");
    ck_assert_double_lt(promised, 3350.0);
    char words[80];
    (void)snprintf(words, sizeof words, "; the practical rating, %.4g gr/lb, does not", promised);
    ck_assert_ptr_nonnull(strstr(text_of(entry, "words"), words));
    ck_assert_ptr_nonnull(
        strstr(text_of(find(d, "practical", "published criteria that hold", all), "words"),
               "; not as a practical rating: salt efficiency for an efficiency rating"));
    json_decref(d);
}
END_TEST

/* 64 samples in place of the case's 16 tell which constant matters. */
START_TEST(samples_are_as_many_as_are_asked_for)
{
    const double all = (double)NAN;
    json_t *d = run_json("rate --format json --samples 64 " US);
    const char *group = "what the doubt in capacity";
    const double explained =
        number_of(find(d, group, "told by these indices (Q2)", all), "us_value");
    ck_assert_double_ge(explained, 90.0);
    ck_assert_double_gt(number_of(find(d, group, "total capacity", all), "us_value"), 2.0);
    ck_assert_ptr_nonnull(strstr(text_of(find(d, "practical", "how", all), "words"), "64 samples"));
    json_decref(d);
}
END_TEST

START_TEST(documents_are_as_described)
{
    static const char *const calls[] = {"rate --format json " OVERLAY US,
                                        "rate --format json " OVERLAY BF_SOURCE_DIR
                                        "/tests/report/coarse.yaml"};
    json_t *schema = load_schema();
    for (size_t c = 0; c < 2; c++) {
        char wrong[400] = "";
        json_t *document = run_json(calls[c]);
        ck_assert_msg(
            fits(schema, shape_of(schema, "rate", NULL), document, "rate", wrong, sizeof wrong),
            "%s", wrong);
        const json_t *rows = json_object_get(document, "overlay");
        ck_assert_uint_eq(json_array_size(rows), 4);
        for (size_t r = 0; r < 4; r++) {
            const json_t *row = json_array_get(rows, r);
            const double computed = number_of(row, "computed_eq_per_L");
            const double stated = number_of(row, "stated_eq_per_L");
            const char *word = text_of(row, "in_band");
            if (isnan(computed)) {
                ck_assert_str_eq(word, "no band");
                continue;
            }
            assert_near(number_of(row, "stated_less_computed_eq_per_L"), stated - computed, 1e-6);
            assert_near(number_of(row, "relative_residual"), stated / computed - 1.0, 1e-5);
            if (c == 1 || r == 3) { /* no vessel; beyond the doses of the case */
                ck_assert_str_eq(word, "no band");
            } else if (strcmp(word, "no band") != 0) {
                ck_assert_str_eq(word, stated >= number_of(row, "low_eq_per_L") &&
                                               stated <= number_of(row, "high_eq_per_L")
                                           ? "inside"
                                           : "outside");
            }
        }
        if (c == 0) { /* 60 kgr/ft3 is more than any resin holds */
            ck_assert_str_eq(text_of(json_array_get(rows, 2), "in_band"), "outside");
        }
        json_decref(document);
    }
    json_decref(schema);
}
END_TEST

START_TEST(the_page_is_for_people)
{
    static char page[TEXT];
    static const char *const words[] = {"Rating sheet: a computed estimate, not a certification\n",
                                        "\nVessel\n",
                                        "\nService flow\n",
                                        "\nBackwash\n",
                                        "\nCapacity of the whole tank\n",
                                        "\nBand left open by the uncertain constants\n",
                                        "\nPractical rating\n",
                                        "\nRegeneration\n",
                                        "\nThe middle dose at other flows and in other seasons\n",
                                        "\nWater standing between draws, at the middle dose\n",
                                        "\nBlend\n",
                                        "\nTwo beds in turn\n",
                                        "\nUneven flow, at the middle dose\n",
                                        "\nWhat the doubt in capacity comes from, middle dose\n",
                                        "\nPublished criteria, smallest dose\n",
                                        "\nOverlay: your own table",
                                        "no rating",
                                        "assumed: tank.pressure_limit: 15 psi",
                                        "grid: 20 cells"};
    static const char *const systems[] = {"rate --units us " OVERLAY US,
                                          "rate --units si " OVERLAY US};
    for (size_t s = 0; s < 2; s++) {
        (void)run(systems[s], page);
        for (size_t w = 0; w < sizeof words / sizeof *words; w++) {
            {
                ck_assert_msg(strstr(page, words[w]) != NULL, "%s: no \"%s\"", systems[s],
                              words[w]);
            }
        }
        for (const char *line = page; *line != '\0';) {
            const size_t width = strcspn(line, "\n");
            ck_assert_msg(width <= 80, "%.*s", (int)width, line);
            line += width + 1;
        }
        ck_assert_ptr_nonnull(strstr(page, s == 0 ? "capacity, kgr" : "capacity, kg CaCO3"));
        ck_assert_ptr_null(strstr(page, s == 0 ? " kPa\n" : " psi\n"));
    }
}
END_TEST

START_TEST(rows_have_the_fields_of_the_head)
{
    static char text[TEXT];
    static const char *const calls[] = {"rate --format csv " OVERLAY US,
                                        "rate --format csv " OVERLAY BF_SOURCE_DIR
                                        "/tests/report/coarse.yaml"};
    for (size_t c = 0; c < 2; c++) {
        size_t head = 0;
        size_t rows = 0;
        (void)run(calls[c], text);
        for (const char *line = text; *line != '\0';) {
            const size_t width = strcspn(line, "\n");
            size_t fields = 1;
            int quoted = 0;
            for (size_t i = 0; i < width; i++) {
                quoted ^= line[i] == '"';
                fields += !quoted && line[i] == ',';
            }
            if (line[0] != '#') {
                head = head == 0 ? fields : head;
                ck_assert_uint_eq(fields, head);
                rows++;
            }
            line += width + 1;
        }
        ck_assert_uint_eq(head, c == 0 ? 9 : 20);
        ck_assert_uint_ge(rows, c == 0 ? 150 : 7);
    }
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {both_unit_systems_say_the_same,
                                  every_number_has_its_unit_and_converts,
                                  it_holds_together,
                                  a_promise_is_held_against_the_criteria_too,
                                  samples_are_as_many_as_are_asked_for,
                                  documents_are_as_described,
                                  the_page_is_for_people,
                                  rows_have_the_fields_of_the_head};
    return support_run("rating sheet", tests, sizeof tests / sizeof *tests, 300);
}
