/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The reports of what-if, compensation and sensitivity, on results made up by hand. */
#include "schema.h"
#include "years.h"

#define COUNT(array) (sizeof(array) / sizeof *(array))
#define KGR BF_EQ_PER_M3_PER_KGR_PER_FT3

static years y;
static bf_fouling_end unchanged;
static bf_what_if change[3];
static bf_compensation found, slow, fast;
static bf_fouling_sensitivity *parameter;

static bf_fouling_end end_of(double kgr_per_ft3, double bound_kg_per_m3)
{
    return (bf_fouling_end){.state = BF_CAMPAIGN_COMPLETE,
                            .day = 1095.0,
                            .potential_new_eq_per_m3 = 26.0 * KGR,
                            .potential_eq_per_m3 = kgr_per_ft3 * KGR,
                            .total_capacity_eq_per_m3 = 1800.0,
                            .bound_kg_per_m3 = bound_kg_per_m3,
                            .hardness_eq_per_m3 = 0.02,
                            .iron_g_per_m3 = 0.05,
                            .pressure_ratio = 1.2,
                            .salt_kg_per_m3_year = 19500.0,
                            .water_bed_volumes_year = 1000.0};
}

static void set_up(void)
{
    years_set_up(&y, 365);
    y.input.campaign.duration_days = 730.5;
    unchanged = end_of(18.0, 4.0);
    change[0] = (bf_what_if){.name = "iron_filter",
                             .kind = BF_WHAT_IF_IRON,
                             .before = 3.0,
                             .after = 0.1,
                             .end = end_of(25.5, 0.1),
                             .gain_eq_per_m3 = 7.5 * KGR};
    change[1] = (bf_what_if){.name = "acid_cleaning",
                             .kind = BF_WHAT_IF_CLEANING,
                             .before = (double)NAN,
                             .after = 365.0,
                             .chemical = 1,
                             .end = end_of(20.0, 2.0),
                             .gain_eq_per_m3 = 2.0 * KGR};
    change[2] = (bf_what_if){.name = "less_oxygen",
                             .kind = BF_WHAT_IF_OXYGEN,
                             .before = 1.0,
                             .after = 0.1,
                             .end = end_of(5.0, 9.0),
                             .gain_eq_per_m3 = -13.0 * KGR};
    change[1].spec.cleaning = (bf_campaign_cleaning){
        .every_days = 365.0, .agent = BF_CLEANER_HYDROCHLORIC, .dose_kg_per_m3 = 160.0};
    change[2].end.state = BF_CAMPAIGN_SPENT;
    change[2].end.day = 600.0;
    found = (bf_compensation){.count = 2,
                              .allowed_loss = 0.1,
                              .potential_new_eq_per_m3 = 26.0 * KGR,
                              .addition_eq_per_g = 4.0 * BF_EQ_PER_M3_PER_GPG,
                              .too_little_eq_per_g = 3.0 * BF_EQ_PER_M3_PER_GPG,
                              .falls = 1};
    found.point[0] = (bf_compensation_point){
        .addition_eq_per_g = 0.0, .days_between = 5.0, .capacity_loss = 0.3, .end = end_of(18, 4)};
    found.point[1] = (bf_compensation_point){.addition_eq_per_g = 5.0 * BF_EQ_PER_M3_PER_GPG,
                                             .days_between = 2.5,
                                             .capacity_loss = 0.05,
                                             .end = end_of(24.7, 1)};
    found.chosen = found.point[1];
    found.chosen.addition_eq_per_g = found.addition_eq_per_g;
    found.chosen.days_between = 3.125;
    found.chosen.capacity_loss = 0.08;
    slow = fast = found;
    slow.addition_eq_per_g = 0.5 * BF_EQ_PER_M3_PER_GPG;
    slow.chosen.addition_eq_per_g = slow.addition_eq_per_g;
    fast.addition_eq_per_g = (double)NAN;
    parameter = calloc(bf_iron_parameter_count(), sizeof *parameter);
    ck_assert_ptr_nonnull(parameter);
    for (size_t p = 0; p < bf_iron_parameter_count(); p++) {
        parameter[p] = (bf_fouling_sensitivity){.parameter = bf_iron_parameter_count() - 1 - p,
                                                .takes_part = p < 5,
                                                .low = end_of(22.0, 1.0),
                                                .high = end_of(12.0, 8.0),
                                                .spread_eq_per_m3 = 10.0 * KGR};
    }
}

static void tear_down(void)
{
    free(parameter);
    years_tear_down(&y);
}

typedef enum study { WHAT_IF, COMPENSATION, SENSITIVITY } study;
typedef enum form { TABLE_US, TABLE_SI, CSV, JSON } form;

static char *text_of(study which, form format)
{
    bf_error err = {0};
    char *text = NULL;
    size_t length = 0;
    FILE *out = open_memstream(&text, &length);
    ck_assert_ptr_nonnull(out);
    const bf_unit_system units = format == TABLE_SI ? BF_UNITS_SI : BF_UNITS_US;
    const bf_page page = bf_page_of_case(&y.input, y.notes, units);
    const bf_what_if_report changes = {.page = page,
                                       .campaign = &y.input.campaign,
                                       .spec = &y.spec,
                                       .unchanged = &unchanged,
                                       .rows = change,
                                       .count = COUNT(change)};
    const bf_compensation_report addition = {.page = page,
                                             .campaign = &y.input.campaign,
                                             .spec = &y.spec,
                                             .found = &found,
                                             .low = &slow,
                                             .high = &fast};
    const bf_sensitivity_report uncertain = {.page = page,
                                             .campaign = &y.input.campaign,
                                             .spec = &y.spec,
                                             .expected = &unchanged,
                                             .rows = parameter};
    switch (which) {
    case WHAT_IF:
        if (format == CSV) {
            assert_ok(bf_report_what_if_csv(&changes, out, &err));
        } else if (format == JSON) {
            assert_ok(bf_report_what_if_json(&changes, out, &err));
        } else {
            assert_ok(bf_report_what_if_table(&changes, out, &err));
        }
        break;
    case COMPENSATION:
        if (format == CSV) {
            assert_ok(bf_report_compensation_csv(&addition, out, &err));
        } else if (format == JSON) {
            assert_ok(bf_report_compensation_json(&addition, out, &err));
        } else {
            assert_ok(bf_report_compensation_table(&addition, out, &err));
        }
        break;
    case SENSITIVITY:
        if (format == CSV) {
            assert_ok(bf_report_sensitivity_csv(&uncertain, out, &err));
        } else if (format == JSON) {
            assert_ok(bf_report_sensitivity_json(&uncertain, out, &err));
        } else {
            assert_ok(bf_report_sensitivity_table(&uncertain, out, &err));
        }
        break;
    }
    ck_assert_int_eq(fclose(out), 0);
    return text;
}

START_TEST(every_study_says_what_it_rests_on)
{
    set_up();
    const study studies[] = {WHAT_IF, COMPENSATION, SENSITIVITY};
    const form forms[] = {TABLE_US, TABLE_SI, CSV};
    for (size_t s = 0; s < COUNT(studies); s++) {
        for (size_t f = 0; f < COUNT(forms); f++) {
            char *text = text_of(studies[s], forms[f]);
            assert_fits(text, forms[f] == CSV ? 2000 : 110);
            assert_holds(text, "every campaign runs 3 years, 365 cycles");
            assert_holds(text, "the case's own, of 2 years, was");
            assert_holds(text, "Nobody has published");
            assert_holds(text, "iron bacteria");
            ck_assert_int_eq(holds(text, "sulfur dioxide"), studies[s] == WHAT_IF);
            free(text);
        }
    }
    tear_down();
}
END_TEST

START_TEST(changes_stand_in_their_order)
{
    set_up();
    char *text = text_of(WHAT_IF, TABLE_US);
    /* 19500 kg/m3 of a bed of 38.61 L: 753 kg, 1660 lb; 1000 BV: 38.61 m3, 10200 gal. */
    assert_holds(text, "25.5 +7.5 98 3 1.00 0.05 1660 10200 iron before the bed");
    assert_holds(text, "5.0 -13.0 19 255 1.00 0.05 1660 10200 oxygen of the water 1 -> 0.1 mg/L: "
                       "spent in month 20");
    assert_holds(text, "18.0 69 113 1.00 0.05 1660 10200 (unchanged)");
    assert_holds(text, "Unchanged, the bed ends with 18.0 kgr/ft3, 69 % of what it holds new. Most "
                       "is left with: iron before the bed");
    assert_lacks(text, "remove the iron before the bed");
    /* 160 kg/m3 of 16.018 kg/m3 per lb/ft3 */
    assert_holds(text, "10200 cleaning: none -> hydrochloric acid each 365 d, 9.99 lb/ft3");
    assert_lacks(text, "A tie");
    free(text);
    text = text_of(WHAT_IF, TABLE_SI);
    assert_holds(text, "hydrochloric acid each 365 d, 160 g per L of resin");
    assert_lacks(text, "lb/ft3\n");
    free(text);
    change[1].end.potential_eq_per_m3 = 25.1 * KGR; /* 1.6 % less than the first */
    text = text_of(WHAT_IF, TABLE_US);
    assert_holds(text, "A tie, within 2 %: cleaning: none -> hydrochloric acid each 365 d, 9.99 "
                       "lb/ft3; 25.1 kgr/ft3.");
    free(text);
    change[1].end.potential_eq_per_m3 = 20.0 * KGR;
    /* Where the best leaves less than four fifths of the new bed: 20.8 kgr/ft3. */
    change[0].end.potential_eq_per_m3 = 20.5 * KGR;
    text = text_of(WHAT_IF, TABLE_US);
    assert_holds(text, "No change keeps four fifths of the new bed's capacity: remove the iron "
                       "before the bed.");
    free(text);
    text = text_of(WHAT_IF, CSV);
    assert_holds(text,
                 "\nacid_cleaning,\"cleaning: none -> hydrochloric acid each 365 d, 160 g per "
                 "L of resin\",");
    free(text);
    tear_down();
}
END_TEST

START_TEST(every_kind_of_change_is_worded_in_both_systems)
{
    set_up();
    /* 143 kg/m3 over 16.018 is 8.927 lb/ft3; 1 bed volume is 7.4805 gal/ft3. */
    static const struct {
        bf_what_if_kind kind;
        double before, after;
        const char *us, *si;
    } rows[] = {
        {BF_WHAT_IF_SALT, 143.0, 214.5, "salt dose 8.927 -> 13.39 lb/ft3",
         "salt dose 143 -> 214.5 g per L of resin"},
        {BF_WHAT_IF_INTERVAL, 3.0, 1.5, "regeneration every 3 -> 1.5 d (660 -> 330 gal/ft3)",
         "regeneration every 3 -> 1.5 d (88.24 -> 44.12 bed volumes)"},
        {BF_WHAT_IF_BRINE_PH, 7.5, 5.0, "pH of the brine 7.5 -> 5 ", "pH of the brine 7.5 -> 5 "},
        {BF_WHAT_IF_BRINE_OXYGEN, 8.0, 0.0, "oxygen of the brine, by a reductant, 8 -> 0 mg/L",
         "oxygen of the brine, by a reductant, 8 -> 0 mg/L"},
        {BF_WHAT_IF_CLEANING, 182.0, 365.0,
         "cleaning: sodium dithionite each 182 d -> hydrochloric acid each 365 d, 9.99 lb/ft3",
         "cleaning: sodium dithionite each 182 d -> hydrochloric acid each 365 d, 160 g per L"},
    };
    y.spec.cleaning.every_days = 182.0;
    change[0].spec = y.spec;
    change[0].spec.cleaning = change[1].spec.cleaning;
    change[0].spec.days_between *= 0.5;
    for (size_t r = 0; r < COUNT(rows); r++) {
        change[0].kind = rows[r].kind;
        change[0].before = rows[r].before;
        change[0].after = rows[r].after;
        char *text = text_of(WHAT_IF, TABLE_US);
        assert_holds(text, rows[r].us);
        free(text);
        text = text_of(WHAT_IF, TABLE_SI);
        assert_holds(text, rows[r].si);
        free(text);
    }
    tear_down();
}
END_TEST

START_TEST(the_addition_stands_beside_the_rules)
{
    set_up();
    char *text = text_of(COMPENSATION, TABLE_US);
    /* 3 mg/L at 4 gpg each: 12 gpg; 20 of 32 gpg is 62.5 %. */
    assert_holds(text, "Set 32 gpg: 20 of hardness and 12 for iron, 4 gpg per mg/L of iron. So "
                       "counted the bed is regenerated each 3.12 days and loses 8 % of its "
                       "capacity, of 10 % allowed, against a new bed regenerated at the same "
                       "interval.");
    assert_holds(text, "the bed loses 30 % at 0, 5 % at 5 gpg per mg/L");
    /* 20 + 3 mg/L at 0.5 */
    assert_holds(text,
                 "in its range: at 0.1 times set 21.5 (0.5 gpg per mg/L of iron), at 10 times "
                 "none that was tried keeps to the loss.");
    assert_holds(text, "regenerate at 62 % of what the bed would hold");
    assert_holds(text, "3 gpg per mg/L was too little.");
    /* 2 eq/mol over 55.845 g/mol over 0.34206 eq/m3: 0.1047. */
    assert_holds(text, "iron's own charge 0.105; trade rules 2 (the lenient) and 3 to 5");
    assert_holds(text, "\n 5.00 2.50 5.0 24.7 26.0 28 0.05 1660 10200\n");
    free(text);
    text = text_of(COMPENSATION, TABLE_SI);
    assert_holds(text,
                 "Set 548 mg/L as CaCO3: 342 of hardness and 205 for iron, 1.37 meq per mg of "
                 "iron.");
    found.too_little_eq_per_g = 3.9996 * BF_EQ_PER_M3_PER_GPG;
    free(text);
    text = text_of(COMPENSATION, TABLE_US);
    assert_holds(text, "3.9996 gpg per mg/L was too little; the answer is 4.");
    free(text);
    text = text_of(COMPENSATION, TABLE_SI);
    assert_holds(text, "own charge 0.0358; trade rules 0.684");
    free(text);
    found.addition_eq_per_g = (double)NAN;
    found.too_little_eq_per_g = 15.0 * BF_EQ_PER_M3_PER_GPG;
    found.why = "no addition keeps to the loss: iron must be removed";
    text = text_of(COMPENSATION, TABLE_US);
    assert_holds(text, "No answer for a loss of 10 %: no addition keeps to the loss: iron must be "
                       "removed.");
    assert_lacks(text, "the answer");
    free(text);
    tear_down();
}
END_TEST

START_TEST(parameters_stand_with_their_basis)
{
    set_up();
    char *text = text_of(SENSITIVITY, TABLE_US);
    const bf_iron_parameter first = bf_iron_parameter_get(parameter[0].parameter);
    const bf_iron_parameter idle = bf_iron_parameter_get(parameter[5].parameter);
    char part[200];
    (void)snprintf(part, sizeof part, "\n%s %.3g %.3g to %.3g %s 22.0 12.0 10.0\n", first.name,
                   first.value, first.low, first.high, bf_iron_basis_word(first.basis));
    assert_holds(text, part);
    (void)snprintf(part, sizeof part, "Take no part in this campaign: %s,", idle.name);
    assert_holds(text, part);
    assert_holds(text, first.meaning);
    free(text);
    tear_down();
}
END_TEST

START_TEST(every_document_is_as_described)
{
    static const struct {
        study which;
        const char *word;
    } studies[] = {
        {WHAT_IF, "what if"}, {COMPENSATION, "compensation"}, {SENSITIVITY, "sensitivity"}};
    json_t *schema = load_schema();
    for (int none = 0; none < 2; none++) {
        set_up();
        if (none) {
            found.addition_eq_per_g = (double)NAN;
            found.why = "no reason";
        }
        for (size_t s = 0; s < COUNT(studies); s++) {
            char wrong[400] = "";
            json_error_t error;
            char *text = text_of(studies[s].which, JSON);
            json_t *document = json_loads(text, 0, &error);
            ck_assert_msg(document != NULL, "%s", error.text);
            ck_assert_msg(fits(schema, shape_of(schema, "foul", studies[s].word), document, "foul",
                               wrong, sizeof wrong),
                          "%s", wrong);
            if (studies[s].which == COMPENSATION) {
                ck_assert_int_eq(json_is_null(json_object_get(document, "answer")), none);
            }
            json_decref(document);
            free(text);
        }
        tear_down();
    }
    json_decref(schema);
}
END_TEST

START_TEST(rows_of_csv_have_the_cells_of_their_head)
{
    set_up();
    const study studies[] = {COMPENSATION, SENSITIVITY};
    for (size_t s = 0; s < COUNT(studies); s++) {
        char *text = text_of(studies[s], CSV);
        size_t commas_of_head = 0;
        for (const char *line = text; *line != '\0'; line += strcspn(line, "\n") + 1) {
            size_t commas = 0;
            for (const char *c = line; *line != '#' && *c != '\n'; c++) {
                commas += *c == ',' ? 1 : 0;
            }
            commas_of_head = commas_of_head == 0 ? commas : commas_of_head;
            ck_assert_msg(*line == '#' || commas == commas_of_head, "%.300s", line);
        }
        ck_assert_uint_gt(commas_of_head, 10);
        free(text);
    }
    tear_down();
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {every_study_says_what_it_rests_on,
                                  changes_stand_in_their_order,
                                  every_kind_of_change_is_worded_in_both_systems,
                                  the_addition_stands_beside_the_rules,
                                  parameters_stand_with_their_basis,
                                  every_document_is_as_described,
                                  rows_of_csv_have_the_cells_of_their_head};
    return support_run("report.foul_studies", tests, COUNT(tests), 120);
}
