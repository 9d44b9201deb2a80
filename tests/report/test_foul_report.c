/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The reports of a bed's years, on years made up by hand in straight lines: every figure expected
 * here is arithmetic on those lines. */
#include "schema.h"
#include "years.h"

#define COUNT(array) (sizeof(array) / sizeof *(array))

/* 36 simulated cycles of 360, each three days: 1080 days; capacity 26 kgr/ft3 less 30 % as
 * expected, 5 % and 60 % at the ends of the range. */
static years y;

static void set_up(void)
{
    years_set_up(&y, 360);
    years_fill(&y, BF_FOULING_EXPECTED, 0.3, 3.0);
    years_fill(&y, BF_FOULING_LOW, 0.05, 0.5);
    years_fill(&y, BF_FOULING_HIGH, 0.6, 9.0);
}

typedef enum form { TABLE_US, TABLE_SI, CSV, JSON } form;

/* The report as text; the caller frees it. */
static char *text_of(const bf_foul_report *report, form format)
{
    bf_error err = {0};
    char *text = NULL;
    size_t length = 0;
    FILE *out = open_memstream(&text, &length);
    ck_assert_ptr_nonnull(out);
    bf_foul_report shown = *report;
    shown.page.units = format == TABLE_SI ? BF_UNITS_SI : BF_UNITS_US;
    switch (format) {
    case TABLE_US:
    case TABLE_SI: assert_ok(bf_report_foul_table(&shown, out, &err)); break;
    case CSV: assert_ok(bf_report_foul_csv(report, out, &err)); break;
    case JSON: assert_ok(bf_report_foul_json(report, out, &err)); break;
    }
    ck_assert_int_eq(fclose(out), 0);
    return text;
}

START_TEST(rows_are_the_series_at_their_day)
{
    set_up();
    bf_foul_report report = years_report(&y);
    char *text = text_of(&report, TABLE_US);
    assert_fits(text, 110);
    /* Day 365.25 is 0.3382 of 1080: 26 (1 - 0.3 x 0.3382) = 23.36, 20.72, 25.57 kgr/ft3. Of new:
     * over the first told, 26 (1 - 0.3/36) = 25.78. 50.04345 (0.02 + 0.06 x 0.3382) = 2.02 mg/L. */
    assert_holds(text, "\n 12 23.4 20.7 to 25.6 91 2.02 0.101 0.008 ");
    /* Bound 3 x 0.3382 = 1.0146 g/L = 28.7 g/ft3; range 0.169 and 3.044 g/L; top twice. */
    assert_holds(text, "\n 12 1.9 28.7 4.8 to 86.2 57.5 3.0 94.9 4.70\n");
    /* Quarters beyond two years; the last row is the end, 1080/30.4375 = 35.5 months. */
    assert_holds(text, "\n 35.5 18.2 10.4 to 24.7 71 ");
    assert_lacks(text, "\n 34 ");
    assert_holds(text, "36 of 360 cycles were simulated; skipping");
    free(text);
    report.by = BF_FOUL_BY_MONTH;
    text = text_of(&report, TABLE_SI);
    assert_fits(text, 110);
    /* 23.36 kgr/ft3 x 45.727 = 1.068 eq/L */
    assert_holds(text, "\n 12 1.068 0.95 to 1.17 91 2.02 ");
    assert_holds(text, "\n 34 ");
    free(text);
    years_tear_down(&y);
}
END_TEST

START_TEST(dates_count_from_the_start)
{
    set_up();
    const bf_foul_report report = years_report(&y);
    (void)strcpy(y.input.campaign.start, "2023-12-31");
    char *text = text_of(&report, TABLE_US);
    assert_fits(text, 110);
    assert_holds(text, "\n 0 2023-12-31 ");
    assert_holds(text, "\n 3 2024-03-31 ");  /* 91 days, one of them 29 February */
    assert_holds(text, "\n 12 2024-12-30 "); /* 365 days of a year of 366 */
    free(text);
    years_tear_down(&y);
}
END_TEST

START_TEST(limits_come_in_their_order_each_with_its_range)
{
    set_up();
    const bf_foul_report report = years_report(&y);
    char *text = text_of(&report, TABLE_US);
    /* Hardness as service ends: 0.05 + 1.2 s passes 0.34206 eq/m3 at s 0.2434, day 263, month 8.6;
     * 0.05 + 2.4 s at 0.1217, month 4.3; 0.05 + 0.2 s never. */
    assert_holds(text, "First comes, as expected in month 9: hardness of the softened water above "
                       "the end point, 17.1 mg/L");
    assert_holds(text, "in the range: month 5 to never within 36 months.");
    /* 22 of 26 kgr/ft3: s 0.5128, day 554, month 18.2; 0.2564, month 9.1; never. */
    assert_holds(text, "month 19 month 10 to never capacity to the end point below the rating");
    /* 0.02 + 0.48 s passes 0.3 mg/L at s 0.5833, month 20.7; as expected it ends at 0.26. */
    assert_holds(text, "never month 21 to never iron above 0.3 mg/L in the softened water (US EPA");
    /* Sites 1 - 0.3 s below 0.8 at s 0.667, month 23.7. */
    assert_holds(
        text,
        "never month 24 to never total capacity of the resin below 35 kgr/ft3, 20 % under new");
    assert_holds(text, "Not reached within 36 months at either end of the range:");
    assert_lacks(text, "moisture of the resin above"); /* no chlorine */
    const char *hard = strstr(text, "\nmonth 9");
    const char *rating = strstr(text, "\nmonth 19");
    ck_assert(hard != NULL && rating != NULL && hard < rating);
    free(text);

    /* Without a rating there is nothing to hold it against. */
    y.input.campaign.needed_eq_per_m3 = (double)NAN;
    text = text_of(&report, TABLE_US);
    assert_lacks(text, "rating stated");
    free(text);
    years_tear_down(&y);
}
END_TEST

START_TEST(a_bed_that_nothing_limits_is_said_to_be_so)
{
    years_set_up(&y, 100);
    for (size_t s = 0; s < BF_FOULING_SERIES; s++) {
        years_fill(&y, s, 0.01, 0.2);
    }
    const bf_foul_report report = years_report(&y);
    char *text = text_of(&report, TABLE_US);
    assert_holds(text, "Nothing limits this bed within 10 months, at either end of the range.");
    assert_lacks(text, "as expected in the range");
    free(text);
    /* At the worse end only. */
    bf_campaign_series_free(&y.series[BF_FOULING_HIGH]);
    years_fill(&y, BF_FOULING_HIGH, 0.5, 5.0);
    text = text_of(&report, TABLE_US);
    assert_holds(text, "As expected nothing limits this bed within 10 months. At the worse end of "
                       "the range first comes, in month");
    free(text);
    years_tear_down(&y);
}
END_TEST

/* The number in a row of CSV under a name; NAN where the cell is empty. */
static double cell(const char *text, const char *row_start, const char *name)
{
    const char *head = strstr(text, "\nrow,") + 1;
    const char *row = strstr(text, row_start);
    ck_assert_ptr_nonnull(row);
    row++;
    while (strncmp(head, name, strlen(name)) != 0 || strchr(",\n", head[strlen(name)]) == NULL) {
        const size_t width = strcspn(head, ",\n");
        ck_assert_msg(head[width] == ',', "no column %s", name);
        head += width + 1;
        row = strchr(row, ',') + 1;
    }
    return *row == ',' || *row == '\n' ? (double)NAN : strtod(row, NULL);
}

START_TEST(what_nobody_stated_is_not_judged)
{
    set_up();
    const bf_foul_report report = years_report(&y);
    char *text = text_of(&report, TABLE_US);
    assert_holds(text, "alkalinity used up");
    assert_holds(text, " lowest ");
    assert_lacks(text, "not judged");
    assert_lacks(text, "nobody stated");
    /* The first row is before the first capacity that is known, day 30. */
    assert_holds(text, "\n 0 - - - ");
    free(text);
    for (size_t v = 0; v < y.input.value_count; v++) {
        bf_case_value *value = &y.input.value[v];
        value->is_default =
            value->is_default || strcmp(bf_case_key_get(value->key).path, "water.alkalinity") == 0;
    }
    text = text_of(&report, TABLE_US);
    assert_lacks(text, "alkalinity used up");
    assert_lacks(text, "lowest");
    assert_holds(text, "Alkalinity not stated, so whether the water holds its pH was not judged.");
    assert_holds(text, "nobody stated, and much hangs on it: alkalinity, not known\n");
    free(text);
    text = text_of(&report, CSV);
    ck_assert(isnan(cell(text, "\ncomputed,365.25,", "alkalinity_lowest_meq_per_L")));
    free(text);
    years_tear_down(&y);
}
END_TEST

START_TEST(water_without_iron_says_so)
{
    set_up();
    const bf_foul_report report = years_report(&y);
    y.spec.water.ion_eq_per_m3[BF_ION_FE] = 0.0;
    for (size_t s = 0; s < BF_FOULING_SERIES; s++) {
        bf_campaign_series_free(&y.series[s]);
        years_fill(&y, s, 0.1, 0.0);
    }
    char *text = text_of(&report, TABLE_US);
    assert_holds(text, "36 of 360 cycles were simulated\nThe water brings no iron:");
    assert_lacks(text, "estimated), ");
    assert_lacks(text, "The range is made by one parameter");
    free(text);
    years_tear_down(&y);
}
END_TEST

START_TEST(a_spent_bed_has_no_capacity_left)
{
    set_up();
    const bf_foul_report report = years_report(&y);
    y.series[BF_FOULING_HIGH].count = 20; /* day 600 */
    y.series[BF_FOULING_HIGH].state = BF_CAMPAIGN_SPENT;
    char *text = text_of(&report, TABLE_US);
    assert_holds(text, "never month 20 to never the bed is spent");
    assert_holds(text, "\n 18 22.0 18.1 to 25.3 "); /* day 548 */
    assert_holds(text, "\n 21 21.4 0.0 to 25.2 ");
    free(text);
    y.series[BF_FOULING_EXPECTED].count = 30;
    y.series[BF_FOULING_EXPECTED].state = BF_CAMPAIGN_SPENT;
    text = text_of(&report, TABLE_US);
    assert_holds(text, "300 cycles of 3 days, until it was spent");
    assert_holds(text, "month 30 month 20 to never the bed is spent");
    assert_lacks(text, "\n 33 ");
    free(text);
    years_tear_down(&y);
}
END_TEST

START_TEST(iron_is_accounted_for)
{
    set_up();
    const bf_foul_report report = years_report(&y);
    char *text = text_of(&report, TABLE_US);
    /* 300 g/L came, in 38.61 L of bed: 11.58 kg. */
    assert_holds(text, "came 1.158e+04 g\n left with softened water 115.8 g 1.00 %");
    assert_holds(text, "bound to the resin 115.8 g 1.00 %");
    assert_holds(text, "not accounted for:");
    assert_holds(text, "The bed keeps 3 % of the iron that comes (range 0.5 to 9 %).");
    assert_holds(text, "This one lies within.");
    free(text);
    years_tear_down(&y);
}
END_TEST

START_TEST(what_is_always_true_is_always_said)
{
    set_up();
    const bf_foul_report report = years_report(&y);
    const form forms[] = {TABLE_US, TABLE_SI, CSV};
    for (size_t f = 0; f < COUNT(forms); f++) {
        char *text = text_of(&report, forms[f]);
        ck_assert_ptr_nonnull(strstr(text, "Nobody has published"));
        ck_assert_ptr_nonnull(strstr(text, "iron bacteria"));
        ck_assert_ptr_nonnull(strstr(text, "certification"));
        ck_assert_ptr_nonnull(strstr(text, "the multiplier of the rate"));
        assert_lacks(text, "remove the iron before the bed");
        assert_lacks(text, "sulfur dioxide");
        free(text);
    }
    /* A cleaning names a chemical: the cautions come along. */
    y.spec.cleaning.every_days = 180.0;
    y.spec.water.ion_eq_per_m3[BF_ION_FE] *= 2.0; /* 6 mg/L */
    for (size_t f = 0; f < COUNT(forms); f++) {
        char *text = text_of(&report, forms[f]);
        ck_assert_ptr_nonnull(strstr(text, "cleaned each 180 days with"));
        ck_assert_ptr_nonnull(strstr(text, "sodium dithionite"));
        for (size_t s = 0; s < bf_cleaning_safety_count(); s++) {
            ck_assert_ptr_nonnull(strstr(text, bf_cleaning_safety_get(s).subject));
        }
        ck_assert_ptr_nonnull(strstr(text, "more than 5 mg/L of iron"));
        free(text);
    }
    years_tear_down(&y);
}
END_TEST

static bf_observation observed[] = {
    {.line = 4,
     .day = 540.0,
     .value = {20.0 * BF_EQ_PER_M3_PER_KGR_PER_FT3, 3.0 * BF_PA_PER_PSI, 6.0, (double)NAN, 0.04,
               1e-4}},
    {.line = 5,
     .day = 2000.0,
     .value = {1e3, (double)NAN, (double)NAN, (double)NAN, (double)NAN, (double)NAN}},
};

START_TEST(observed_values_stand_against_the_range_of_their_day)
{
    set_up();
    bf_foul_report report = years_report(&y);
    const bf_observations observations = {observed, COUNT(observed)};
    report.observations = &observations;
    char *text = text_of(&report, TABLE_US);
    assert_fits(text, 110);
    /* At half way 26 (1 - 0.15) = 22.1, from 18.2 to 25.35: residual -2.1 of 3.9 below. */
    assert_holds(text, "540.0 capacity kgr/ft3 20.00 22.10 18.20 to 25.35 -2.10 -0.54\n");
    /* 6 g/L against 1.5, from 0.25 to 4.5: outside, 4.5 over 3.0 above. */
    assert_holds(text,
                 "540.0 iron on resin g/ft3 169.90 42.48 7.08 to 127.43 +127.43 +1.50 outside");
    /* 0.04 eq/m3 against 0.02 + 0.03, from 0.025 to 0.08: -0.01 of 0.025. */
    assert_holds(text, "540.0 hardness mg/L 2.00 2.50 1.25 to 4.00 -0.50 -0.40\n");
    /* 0.1 mg/L against 0.02 + 0.12, from 0.04 to 0.26: -0.04 of 0.1; 0.26 is 6.5 times 0.04. */
    assert_holds(text, "540.0 iron mg/L 0.100 0.140 0.040 to 0.260 -0.040 -0.40 wide\n");
    assert_holds(text, "2000.0 capacity kgr/ft3 21.87 not computed for that day");
    assert_holds(text, "540.0 pressure drop psi 3.00 5.21 5.21 to 5.21 -2.21 - no range\n");
    assert_holds(text,
                 "3 of 4 observed values with a range lie inside it. 1 of them lie in a range "
                 "that spans more than a factor of 5 (wide)");
    /* 3 psi of 5.21 */
    assert_holds(text, "1 reading of pressure drop has no range to compare with (nothing in the "
                       "model moves it, or hardly): off by -42 to -42 %.");
    free(text);
    text = text_of(&report, CSV);
    const char *row = "\nobserved,540,";
    /* 1 kgr/ft3 is 0.045727 eq/L, in five digits. */
    assert_near(cell(text, row, "observed_capacity_eq_per_L"), 20.0 * 0.045727, 2e-5);
    assert_near(cell(text, row, "observed_iron_g_per_L_bed"), 6.0, 1e-5);
    assert_near(cell(text, row, "capacity_kgr_per_ft3"), 22.1, 1e-5);
    assert_near(cell(text, row, "observed_pressure_drop_kPa"), 3.0 * 6.894757, 1e-5);
    ck_assert(isnan(cell(text, row, "observed_moisture_percent")));
    assert_near(cell(text, row, "observed_softened_hardness_mg_per_L_CaCO3"), 0.04 * 50.04345,
                1e-5);
    assert_near(cell(text, row, "observed_softened_iron_mg_per_L"), 0.1, 1e-5);
    /* Beyond the campaign only what was observed. */
    row = "\nobserved,2000,";
    ck_assert(isnan(cell(text, row, "capacity_kgr_per_ft3")));
    ck_assert(isnan(cell(text, row, "bound_iron_g_per_L_bed_high")));
    ck_assert(isnan(cell(text, row, "pressure_drop_kPa")));
    assert_near(cell(text, row, "observed_capacity_eq_per_L"), 1.0, 1e-5);
    free(text);
    years_tear_down(&y);
}
END_TEST

START_TEST(lines_of_csv_have_the_cells_of_their_head)
{
    set_up();
    const bf_foul_report report = years_report(&y);
    char *text = text_of(&report, CSV);
    size_t commas_of_head = 0;
    size_t rows = 0;
    for (const char *line = text; *line != '\0'; line += strcspn(line, "\n") + 1) {
        if (*line == '#') {
            continue;
        }
        size_t commas = 0;
        for (const char *c = line; *c != '\n'; c++) {
            commas += *c == ',' ? 1 : 0;
        }
        commas_of_head = commas_of_head == 0 ? commas : commas_of_head;
        ck_assert_uint_eq(commas, commas_of_head);
        rows++;
    }
    ck_assert_uint_eq(rows, 1 + 13); /* days 0 to 1080 by 91.3125 */
    /* Six printed digits. */
    const char *row = "\ncomputed,365.25,";
    assert_near(cell(text, row, "capacity_kgr_per_ft3"), 26.0 * (1.0 - 0.3 * 365.25 / 1080.0),
                1e-5);
    assert_near(cell(text, row, "capacity_kgr_per_ft3_low"), 26.0 * (1.0 - 0.6 * 365.25 / 1080.0),
                1e-5);
    assert_near(cell(text, row, "capacity_eq_per_L"),
                0.045727 * cell(text, row, "capacity_kgr_per_ft3"), 2e-5); /* a five-digit factor */
    assert_near(cell(text, row, "bound_iron_g_per_L_bed_high"), 9.0 * 365.25 / 1080.0, 1e-5);
    assert_near(cell(text, row, "bound_iron_g_per_ft3_bed"), 28.3168 * 3.0 * 365.25 / 1080.0, 1e-5);
    assert_near(cell(text, row, "retention_percent"), 3.0, 1e-5);
    /* 1 psi is 6.894757 kPa. */
    assert_near(cell(text, row, "pressure_drop_kPa"),
                6.894757 * cell(text, row, "pressure_drop_psi"), 1e-5);
    free(text);
    years_tear_down(&y);
}
END_TEST

START_TEST(the_document_is_as_described)
{
    set_up();
    bf_foul_report report = years_report(&y);
    const bf_observations observations = {observed, COUNT(observed)};
    report.observations = &observations;
    y.spec.cleaning.every_days = 180.0;
    json_t *schema = load_schema();
    json_error_t error;
    char wrong[400] = "";
    char *text = text_of(&report, JSON);
    json_t *document = json_loads(text, 0, &error);
    ck_assert_msg(document != NULL, "%s", error.text);
    ck_assert_msg(
        fits(schema, shape_of(schema, "foul", "years"), document, "foul", wrong, sizeof wrong),
        "%s", wrong);
    const json_t *limits = json_object_get(document, "limits");
    ck_assert_str_eq(json_string_value(json_object_get(json_array_get(limits, 0), "name")),
                     "hardness before regeneration");
    /* (0.34206 - 0.05)/1.2 of 1080 days */
    assert_near(json_number_value(json_object_get(json_array_get(limits, 0), "day")), 262.85, 1e-4);
    ck_assert(json_is_null(json_object_get(json_array_get(limits, 0), "day_latest")));
    ck_assert_uint_eq(json_array_size(json_object_get(document, "rows")), 13);
    ck_assert_uint_eq(json_array_size(json_object_get(document, "observed")), 6);
    ck_assert_uint_eq(json_array_size(json_object_get(document, "safety")),
                      bf_cleaning_safety_count());
    /* A quantity that the schema does not know of is not let through. */
    json_object_set_new(json_array_get(json_object_get(document, "rows"), 0), "more", json_null());
    ck_assert(!fits(schema, shape_of(schema, "foul", "years"), document, "foul", wrong, 400));
    json_decref(document);
    json_decref(schema);
    free(text);
    years_tear_down(&y);
}
END_TEST

START_TEST(seasons_chlorine_and_acid_are_stated)
{
    set_up();
    const bf_foul_report report = years_report(&y);
    y.spec.season_count = 2;
    for (size_t k = 0; k < 2; k++) {
        y.spec.season[k] = (bf_campaign_season){.from_day = k == 0 ? 60.0 : 240.0,
                                                .water = y.spec.water,
                                                .oxygen_mol_per_m3 = k == 0 ? 0.1 : 0.2};
    }
    y.spec.free_chlorine_g_per_m3 = 0.5;
    y.spec.ferric_share = 0.25;
    y.spec.cleaning = (bf_campaign_cleaning){.every_days = 365.0,
                                             .agent = BF_CLEANER_HYDROCHLORIC,
                                             .dose_kg_per_m3 = 160.0,
                                             .mass_fraction = 0.1};
    y.series[BF_FOULING_EXPECTED].cycle[35].moisture = 0.62;
    char *text = text_of(&report, TABLE_SI);
    assert_fits(text, 110);
    assert_holds(text, "water from day 60 of the year: iron 3 mg/L");
    assert_holds(text, "oxygen 6.4 mg/L"); /* 0.2 mmol/L of 31.998 g/mol */
    assert_holds(text, "25 % of the iron is suspended as it reaches the bed");
    assert_holds(text, "free 0.5 mg/L");
    assert_holds(text, "cleaned each 365 days with 160 g/L of hydrochloric acid (pure, at 10 wt%)");
    assert_holds(text, "month 36 month 36 to never moisture of the resin above 60 %");
    free(text);
    years_tear_down(&y);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {rows_are_the_series_at_their_day,
                                  dates_count_from_the_start,
                                  limits_come_in_their_order_each_with_its_range,
                                  a_bed_that_nothing_limits_is_said_to_be_so,
                                  what_nobody_stated_is_not_judged,
                                  water_without_iron_says_so,
                                  a_spent_bed_has_no_capacity_left,
                                  iron_is_accounted_for,
                                  what_is_always_true_is_always_said,
                                  observed_values_stand_against_the_range_of_their_day,
                                  lines_of_csv_have_the_cells_of_their_head,
                                  the_document_is_as_described,
                                  seasons_chlorine_and_acid_are_stated};
    return support_run("report.foul_report", tests, COUNT(tests), 120);
}
