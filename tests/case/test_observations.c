/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Tables of observations: RFC 4180, units into SI, and every finding with its place. */
#include "brinefront/observations.h"
#include "case/file/csv.h"

#include "case/file/date.h"
#include "draft.h"
#include "support.h"

#include <math.h>
#include <stdlib.h>

#define COUNT(array) (sizeof(array) / sizeof *(array))

/* A value is a few products of correctly rounded numbers. */
#define EXACT 1e-13

#define LB 0.45359237
#define IN 0.0254
#define FT3 (0.3048 * 0.3048 * 0.3048)
#define CACO3 50.04345
#define KGR (1e3 * (LB / 7000.0) * 1e3 / CACO3) /* eq */
#define PSI (4.4482216152605 / (IN * IN))
#define BED 0.0566 /* m3 */

/* A bed of 56.6 L and a campaign of three years from 1 April 2021 on. */
static const bf_case *the_case(const char *start)
{
    static bf_case c;
    bf_error err = {0};
    draft d = {0};
    draft_set(&d, "water.hardness", "317 mg/L as CaCO3");
    draft_set(&d, "bed.resin_volume", "56.6 L");
    draft_set(&d, "campaign.water_per_day", "12 BV");
    draft_set(&d, "campaign.start", start);
    assert_ok(draft_read(&d, &c, NULL, &err));
    return &c;
}

static bf_status read_text(const char *text, const bf_case *input, bf_observations *out,
                           bf_notes *notes, bf_error *err)
{
    return bf_observations_read_text(text, strlen(text), "seen.csv", input, out, notes, err);
}

START_TEST(dates_are_those_of_the_calendar)
{
    /* Days since 1970-01-01: 11016 to 1 March 2000 (30 years of 365 days, 7 leap days, 31 + 29 less
     * the 1st), 0 and -1 around the beginning, 365 a year. */
    static const struct {
        const char *text;
        double days;
    } good[] = {{"1970-01-01", 0},      {"1969-12-31", -1},    {"1970-12-31", 364},
                {"2000-02-29", 11016},  {"2000-03-01", 11017}, {"1900-03-01", -25508},
                {"2021-04-01", 18718.0}};
    static const char *const bad[] = {"",           "2021-4-1",   "2021-13-01",  "2021-00-10",
                                      "2021-02-29", "1900-02-29", "2021-04-31",  "2021-04-00",
                                      "2021/04/01", "01-04-2021", "2021-04-01 ", "20210401",
                                      "0000-01-01", "202a-01-01"};
    double days = 0.0;
    for (size_t i = 0; i < COUNT(good); i++) {
        ck_assert(bf__date_read(good[i].text, &days));
        ck_assert_msg(days == good[i].days, "%s: %g", good[i].text, days);
    }
    for (size_t i = 0; i < COUNT(bad); i++) {
        ck_assert_msg(!bf__date_read(bad[i], &days), "%s", bad[i]);
    }
    ck_assert(bf__date_read_day_of_year("01-01", &days) && days == 0.0);
    ck_assert(bf__date_read_day_of_year("2024-12-31", &days) && days == 364.0);
    ck_assert(bf__date_read_day_of_year("02-29", &days) && days == 59.0);
    ck_assert(!bf__date_read_day_of_year("02-30", &days));
    ck_assert(!bf__date_read_day_of_year("2023-02-29", &days));
}
END_TEST

START_TEST(columns_are_read_in_their_units)
{
    static const struct {
        const char *head;
        size_t quantity;
        double value; /* of 20 in that unit */
    } columns[] = {
        {"capacity [kgr/ft3]", BF_OBSERVED_CAPACITY, 20 * KGR / FT3},
        {"capacity[kgr]", BF_OBSERVED_CAPACITY, 20 * KGR / BED},
        {"capacity [eq]", BF_OBSERVED_CAPACITY, 20 / BED},
        {"capacity  [meq/L]", BF_OBSERVED_CAPACITY, 20},
        {"capacity [g/L as CaCO3]", BF_OBSERVED_CAPACITY, 20e3 / CACO3},
        {"pressure_drop [psi]", BF_OBSERVED_PRESSURE_DROP, 20 * PSI},
        {"pressure_drop [kPa]", BF_OBSERVED_PRESSURE_DROP, 20e3},
        {"iron_on_resin [g/ft3]", BF_OBSERVED_IRON, 0.020 / FT3},
        {"iron_on_resin [g]", BF_OBSERVED_IRON, 0.020 / BED},
        {"iron_on_resin [oz]", BF_OBSERVED_IRON, 20 * LB / 16 / BED},
        {"moisture [%]", BF_OBSERVED_MOISTURE, 0.20},
        {"moisture [wt%]", BF_OBSERVED_MOISTURE, 0.20},
        {"softened_hardness [mg/L as CaCO3]", BF_OBSERVED_SOFT_HARDNESS, 20 / CACO3},
        {"softened_iron [mg/L]", BF_OBSERVED_SOFT_IRON, 0.020},
    };
    bf_error err = {0};
    for (size_t i = 0; i < COUNT(columns); i++) {
        char text[200];
        bf_observations observations;
        (void)snprintf(text, sizeof text, "day,%s\n7.5,20\n", columns[i].head);
        bf_status status = read_text(text, the_case(NULL), &observations, NULL, &err);
        ck_assert_msg(status == BF_OK, "%s: %s", columns[i].head, err.message);
        ck_assert_uint_eq(observations.count, 1);
        ck_assert_int_eq(observations.row[0].line, 2);
        ck_assert_double_eq(observations.row[0].day, 7.5);
        for (size_t v = 0; v < BF_OBSERVED_COUNT; v++) {
            if (v == columns[i].quantity) {
                assert_near(observations.row[0].value[v], columns[i].value, EXACT);
            } else {
                ck_assert(isnan(observations.row[0].value[v]));
            }
        }
        bf_observations_free(&observations);
    }
}
END_TEST

START_TEST(a_table_may_be_written_as_the_rfc_says)
{
    static const char text[] =
        "\xEF\xBB\xBF# made by hand, \"quotes\" and all\r\n"
        "\r\n"
        "\"date\" , \"capacity [kgr/ft3]\",pressure_drop [psi], iron_on_resin [g/ft3] ,moisture "
        "[%]\r\n"
        "2021-04-01,24.5,,,\r\n"
        ",,,,\r\n"
        "#2021-05-01,1,1,1,1\r\n"
        "2021-05-01, \"24\" ,3.1,+2e1,46.5\r\n"
        "\"2022-04-01\",\"\n23\r\n\",,,\n"
        "2022-04-01,,3.5,.5,47.";
    bf_error err = {0};
    bf_notes *notes = NULL;
    bf_observations observations;
    assert_ok(bf_notes_create(&notes, &err));
    assert_ok(bf_observations_read_text(text, sizeof text - 1, "seen.csv", the_case("2021-04-01"),
                                        &observations, notes, &err));
    ck_assert_uint_eq(bf_notes_count(notes), 0);
    ck_assert_uint_eq(observations.count, 4);
    static const struct {
        long line;
        double day, capacity, iron;
    } rows[] = {{4, 0, 24.5, (double)NAN},
                {7, 30, 24, 20},
                {8, 365, 23, (double)NAN},
                {11, 365, (double)NAN, 0.5}};
    for (size_t i = 0; i < COUNT(rows); i++) {
        ck_assert_int_eq(observations.row[i].line, rows[i].line);
        ck_assert_double_eq(observations.row[i].day, rows[i].day);
        const double capacity = observations.row[i].value[BF_OBSERVED_CAPACITY] / (KGR / FT3);
        const double iron = observations.row[i].value[BF_OBSERVED_IRON] * FT3 * 1e3;
        ck_assert_int_eq(isnan(capacity), isnan(rows[i].capacity));
        ck_assert_int_eq(isnan(iron), isnan(rows[i].iron));
        ck_assert(isnan(capacity) || fabs(capacity - rows[i].capacity) < 1e-12);
        ck_assert(isnan(iron) || fabs(iron - rows[i].iron) < 1e-12);
    }
    bf_observations_free(&observations);
    bf_observations_free(&observations); /* zeroed is fine */
    bf_notes_free(notes);
}
END_TEST

typedef struct finding {
    const char *where;
    long line, column;
    const char *part; /* of the sentence */
} finding;

static const struct {
    const char *text;
    finding findings[8]; /* all of them, in order */
} wrong_tables[] = {
    /* the file */
    {"", {{"seen.csv", 1, 1, "holds no observation"}}},
    {"# nothing yet\n\n", {{"seen.csv", 3, 1, "holds no observation"}}},
    {"day,moisture [%]\n", {{"seen.csv", 2, 1, "holds no observation"}}},
    {"day,moisture [%]\n1,4\xFF\n", {{"seen.csv", 2, 4, "not in UTF-8"}}},
    {"day,moisture [%]\n1,4\xC3", {{"seen.csv", 2, 4, "not in UTF-8"}}},
    {"day,moisture [%]\n1,4\x01\n", {{"seen.csv", 2, 4, "control character"}}},
    {"day,moisture [%]\r1,46\r", {{"seen.csv", 1, 17, "control character"}}},
    {"day,moisture [%]\n1,\"46\n2,47\n", {{"seen.csv", 2, 3, "this quote is not closed"}}},
    {"day,moisture [%]\n1,\"46\"7\n2,47\n", {{"seen.csv", 2, 7, "behind a closing quote"}}},
    {"day,moisture [%]\n1,4\"6\"\n", {{"seen.csv", 2, 4, "a quote inside a field"}}},
    {"a,b,c,d,e,f,g,h,i,j,k,l,m,n,o,p,q\n", {{"seen.csv", 1, 33, "more than 16 columns"}}},

    /* the head */
    {"date,moisture [%],day\n2021-05-01,46,3\n",
     {{"seen.csv", 1, 1, "date and day say the same thing"}}},
    {"moisture [%]\n46\n", {{"seen.csv", 1, 1, "no column says when"}}},
    {"day\n3\n",
     {{"seen.csv", 1, 1, "no column tells anything"},
      {"seen.csv", 2, 1, "this row tells nothing but its day"}}},
    {"day,Moisture [%]\n1,46\n", {{"Moisture", 1, 5, "did you mean moisture?"}}},
    {"day,moist\xC3\xBCre [%],hardness [gpg]\n1,46,0\n",
     {{"moist\xC3\xBCre", 1, 5, "did you mean moisture?"},
      {"hardness", 1, 18, "no such column; there are date or day, capacity"}}},
    {"day;moisture [%]\n1;46\n", {{"day;moisture", 1, 1, "commas separate the columns"}}},
    {"day,moisture [%],\n1,46,\n", {{"seen.csv", 1, 18, "no such column"}}},
    {"day,moisture [%], moisture [wt%]\n1,46,46\n", {{"moisture", 1, 19, "there twice"}}},
    {"day [d],moisture [%]\n1,46\n", {{"day", 1, 1, "takes no unit"}}},
    {"day,capacity\n1,20\n",
     {{"capacity", 1, 5,
       "write the unit in brackets behind the name: "
       "capacity [kgr/ft3]"}}},
    {"day,capacity []\n1,20\n", {{"capacity", 1, 5, "write the unit in brackets"}}},
    {"day,capacity [kgr/ft3\n1,20\n", {{"capacity", 1, 5, "write the unit in brackets"}}},
    {"day,capacity [kgr/ft3] *\n1,20\n", {{"capacity", 1, 5, "write the unit in brackets"}}},
    {"day,capacity [kgr/ft4]\n1,20\n", {{"capacity", 1, 5, "[kgr/ft4]"}}},
    {"day,capacity [kgrr/ft3]\n1,20\n", {{"capacity", 1, 5, "did you mean 'kgr'?"}}},
    {"day,capacity [lb/ft3]\n1,20\n", {{"capacity", 1, 5, "an example is [kgr/ft3]"}}},
    {"day,moisture [psi]\n1,46\n", {{"moisture", 1, 5, "an example is [%]"}}},

    /* rows */
    {"day,moisture [%]\n1\n2,46,47\n",
     {{"seen.csv", 2, 1, "1 fields where the head has 2"},
      {"seen.csv", 3, 6, "3 fields where the head has 2"}}},
    {"day,moisture [%]\n1,46\n2,\n", {{"seen.csv", 3, 1, "tells nothing but its day"}}},
    {"day,moisture [%],capacity [eq/L]\n1,46 "
     "%,1\n2,45,1.0.2\n3,n/a,-\n4,\"45,5\",\n5,,-1\n6,5,4.1\n",
     {{"moisture", 2, 3, "\"46 %\" is not a number"},
      {"capacity", 3, 6, "\"1.0.2\" is not a number"},
      {"moisture", 4, 3, "\"n/a\" is not a number"},
      {"capacity", 4, 7, "\"-\" is not a number"},
      {"moisture", 5, 4, "\"45,5\" is not a number with a decimal point"},
      {"capacity", 6, 4, "\"-1\" eq/L is out of range; accepted are 0 to 4 eq/L"},
      {"moisture", 7, 3, "accepted are 20 to 90 %"},
      {"capacity", 7, 5, "out of range"}}},
    {"day,moisture [%]\n-1,46\nfirst,46\n2 d,46\n,46\n",
     {{"day", 2, 1, "-1 is before the campaign begins"},
      {"day", 3, 1, "\"first\" is not a number of days"},
      {"day", 4, 1, "\"2 d\" is not a number of days"},
      {"day", 5, 1, "\"\" is not a number of days"}}},
    {"date,moisture [%]\n2021-03-31,46\n2021-02-30,46\n2021-05-01,46\n2021-04-30,46\n",
     {{"date", 2, 1, "2021-03-31 is before the campaign begins, on 2021-04-01"},
      {"date", 3, 1, "\"2021-02-30\" is not a date such as"},
      {"date", 5, 1, "earlier than that of line 4"}}},
};

START_TEST(every_finding_has_its_place)
{
    size_t wrong = 0;
    for (size_t i = 0; i < COUNT(wrong_tables); i++) {
        bf_observations observations = {0};
        bf_error err = {0};
        bf_notes *notes = NULL;
        assert_ok(bf_notes_create(&notes, &err));
        const finding *expected = wrong_tables[i].findings;
        bf_status status =
            read_text(wrong_tables[i].text, the_case("2021-04-01"), &observations, notes, &err);
        int good = status == BF_E_INPUT && observations.row == NULL && observations.count == 0 &&
                   err.line == expected->line && err.column == expected->column &&
                   strstr(err.message, expected->part) != NULL;
        size_t found = 0;
        for (size_t n = 0; n < bf_notes_count(notes); n++, found++) {
            bf_note note = bf_notes_get(notes, n);
            if (found >= COUNT(wrong_tables[i].findings) || expected[found].where == NULL ||
                strcmp(note.where, expected[found].where) != 0 ||
                strstr(note.text, expected[found].part) == NULL ||
                note.line != expected[found].line || note.column != expected[found].column) {
                (void)printf("table %zu: %s:%ld:%ld: %s\n", i, note.where, note.line, note.column,
                             note.text);
                good = 0;
                break;
            }
        }
        if (!good || (found < COUNT(wrong_tables[i].findings) && expected[found].where != NULL)) {
            (void)printf("table %zu: %s, %zu findings\n%s\n", i, bf_status_name(status), found,
                         wrong_tables[i].text);
            wrong++;
        }
        ck_assert_int_eq(
            read_text(wrong_tables[i].text, the_case("2021-04-01"), &observations, NULL, NULL),
            BF_E_INPUT);
        bf_notes_free(notes);
    }
    ck_assert_uint_eq(wrong, 0);
}
END_TEST

START_TEST(a_date_needs_a_beginning)
{
    bf_error err = {0};
    bf_observations observations;
    assert_fails(
        read_text("date,moisture [%]\n2021-05-01,46\n", the_case(NULL), &observations, NULL, &err),
        BF_E_INPUT, "the case does not state campaign.start");
    ck_assert_int_eq(err.line, 1);
    ck_assert_int_eq(err.column, 1);
}
END_TEST

START_TEST(behind_the_end_is_cautioned_about)
{
    bf_error err = {0};
    bf_notes *notes = NULL;
    bf_observations observations;
    assert_ok(bf_notes_create(&notes, &err));
    assert_ok(read_text("day,moisture [%]\n1095,46\n1096,46\n", the_case(NULL), &observations,
                        notes, &err));
    ck_assert_uint_eq(observations.count, 2);
    ck_assert_uint_eq(bf_notes_count(notes), 1);
    ck_assert_int_eq(bf_notes_get(notes, 0).kind, BF_NOTE_CAUTION);
    ck_assert_int_eq(bf_notes_get(notes, 0).line, 3);
    bf_observations_free(&observations);
    bf_notes_free(notes);
}
END_TEST

/* A field longer than any is found and cut; findings are counted, and so are bytes. */
START_TEST(there_is_an_end_to_everything)
{
    bf_error err = {0};
    bf_notes *notes = NULL;
    bf_observations observations;
    static char text[BF__CSV_BYTES + 10];
    assert_ok(bf_notes_create(&notes, &err));
    (void)snprintf(text, sizeof text, "day,moisture [%%]\n1,");
    for (int i = 0; i < 100; i++) {
        (void)strcat(text, "\xC3\xBC");
    }
    assert_fails(read_text(text, the_case(NULL), &observations, notes, &err), BF_E_INPUT,
                 "longer than any");
    ck_assert_int_eq(err.line, 2);
    ck_assert_int_eq(err.column, 3);
    bf_notes_free(notes);

    assert_ok(bf_notes_create(&notes, &err));
    (void)snprintf(text, sizeof text, "day,moisture [%%]\n");
    for (int i = 0; i < 300; i++) {
        (void)strcat(text, "1,?\n");
    }
    ck_assert_int_eq(read_text(text, the_case(NULL), &observations, notes, &err), BF_E_INPUT);
    ck_assert_uint_eq(bf_notes_count(notes), BF__CSV_FINDINGS);
    bf_notes_free(notes);

    memset(text, '#', sizeof text);
    assert_fails(bf_observations_read_text(text, sizeof text, "seen.csv", the_case(NULL),
                                           &observations, NULL, &err),
                 BF_E_INPUT, "larger than 1048576 bytes");
}
END_TEST

START_TEST(many_rows_are_kept)
{
    bf_error err = {0};
    bf_observations observations;
    char *text = NULL;
    size_t size = 0;
    FILE *out = open_memstream(&text, &size);
    ck_assert_ptr_nonnull(out);
    (void)fputs("day,moisture [%]\n", out);
    for (int i = 0; i < 1000; i++) {
        (void)fprintf(out, "%d,%g\n", i, 40 + 1e-3 * i);
    }
    ck_assert_int_eq(fclose(out), 0);
    assert_ok(read_text(text, the_case(NULL), &observations, NULL, &err));
    ck_assert_uint_eq(observations.count, 1000);
    for (size_t i = 0; i < observations.count; i++) {
        ck_assert_double_eq(observations.row[i].day, (double)i);
        assert_near(observations.row[i].value[BF_OBSERVED_MOISTURE], 0.40 + 1e-5 * (double)i,
                    1e-12);
    }
    bf_observations_free(&observations);
    free(text);
}
END_TEST

START_TEST(a_file_is_read_or_named)
{
    bf_error err = {0};
    bf_case c;
    bf_observations observations;
    assert_ok(bf_case_read(BF_SOURCE_DIR "/cases/campaign_iron_mild.yaml", &c, NULL, &err));
    assert_ok(bf_observations_read(BF_SOURCE_DIR "/cases/campaign_iron_mild_observed.csv", &c,
                                   &observations, NULL, &err));
    ck_assert_uint_eq(observations.count, 6);
    ck_assert_double_eq(observations.row[0].day, 19.0);
    bf_observations_free(&observations);
    assert_fails(bf_observations_read("no/such.csv", &c, &observations, NULL, &err), BF_E_FILE,
                 "No such file");
    assert_fails(bf_observations_read(".", &c, &observations, NULL, &err), BF_E_FILE,
                 "this is a directory, not a table of observations");
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {dates_are_those_of_the_calendar,
                                  columns_are_read_in_their_units,
                                  a_table_may_be_written_as_the_rfc_says,
                                  every_finding_has_its_place,
                                  a_date_needs_a_beginning,
                                  behind_the_end_is_cautioned_about,
                                  there_is_an_end_to_everything,
                                  many_rows_are_kept,
                                  a_file_is_read_or_named};
    return support_run("case.observations", tests, COUNT(tests), 60);
}
