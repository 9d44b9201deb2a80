/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The two faces of a rating, read back: every number of the CSV and of the table against the points
 * they were made from, units against published factors, the page against its width. */
#include "brinefront/report.h"
#include "support.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof *(array))

static const char *const header =
    "dose_g_per_L,dose_lb_per_ft3,capacity_eq_per_L,capacity_kgr_per_ft3,salt_efficiency_gr_per_lb,"
    "salt_efficiency_eq_per_eq,leakage_mean_mg_per_L_CaCO3,leakage_first_mg_per_L_CaCO3,"
    "leakage_low_mg_per_L_CaCO3,throughput_BV,regeneration_water_BV,regeneration_min,cycles,"
    "capacity_error,leakage_error,balance_error,status";

enum {
    DOSE_G_PER_L,
    DOSE_LB_PER_FT3,
    CAPACITY_EQ_PER_L,
    CAPACITY_KGR_PER_FT3,
    EFFICIENCY_GR_PER_LB,
    EFFICIENCY_EQ_PER_EQ,
    LEAKAGE_MEAN,
    LEAKAGE_FIRST,
    LEAKAGE_LOW,
    THROUGHPUT,
    WATER,
    MINUTES,
    CYCLES,
    CAPACITY_ERROR,
    LEAKAGE_ERROR,
    BALANCE_ERROR,
    STATUS,
    FIELDS
};

static const char *const case_text =
    "title: |-\n"
    "  Two lines, with a comma,\n"
    "  and \"quotes\"\n"
    "water: {hardness: 23.4 gpg, iron: 0.7 mg/L, temperature: 57.2 F}\n"
    "bed: {resin_volume: 2.3 ft3}\n"
    "service: {flow: 5 gpm, stop_at: 3 gpg, volume: 900 BV}\n"
    "regeneration:\n"
    "  direction: counter-current\n"
    "  slow_rinse_water: soft\n"
    "  backwash_flow: 10 m/h\n"
    "  backwash_mixing: 30 %\n";

/* A point made up from digits that nothing else has. */
static bf_dose_point point_of(double dose_kg_per_m3, bf_outcome outcome)
{
    bf_dose_point point = {.dose_kg_per_m3 = dose_kg_per_m3,
                           .dose_eq_per_m3 = 17.111 * dose_kg_per_m3,
                           .efficiency_eq_per_eq = 0.43217654};
    bf_cycle_result *cycle = &point.steady.cycle;
    cycle->outcome = outcome;
    cycle->capacity_eq_per_m3 = 1000.0 + 2.34567891 * dose_kg_per_m3;
    cycle->leakage_mean_eq_per_m3 = 0.0345678912;
    cycle->leakage_first_eq_per_m3 = 0.0567891234;
    cycle->leakage_low_eq_per_m3 = 0.00123456789;
    cycle->throughput_bed_volumes = 171.892345;
    cycle->water_bed_volumes = 6.54321987;
    cycle->regeneration_s = 4567.891;
    cycle->balance_error = 3.456e-15;
    point.steady.cycles = 7;
    point.steady.capacity_error = 1.234e-5;
    point.steady.leakage_error = 2.345e-3;
    return point;
}

typedef struct page {
    bf_case input;
    bf_notes *notes;
    bf_dose_point points[5];
    bf_rate_report report;
    char *text;
    char *lines[200];
    size_t count;
} page;

static void page_begin(page *p)
{
    bf_error err = {0};
    memset(p, 0, sizeof *p);
    assert_ok(bf_notes_create(&p->notes, &err));
    assert_ok(
        bf_case_read_text(case_text, strlen(case_text), "case.yaml", &p->input, p->notes, &err));
    p->points[0] = point_of(51.234567, BF_LEAKS_FROM_THE_START);
    p->points[1] = point_of(112.345678, BF_RATED);
    p->points[2] = point_of(84.5678912, BF_END_NOT_REACHED);
    p->points[3] = point_of(84.5678912, BF_NOT_STEADY);
    p->points[4] = point_of(298.765432, BF_RATED);
    p->points[4].steady.cycle.throughput_bed_volumes = 1876.54321; /* wide in gallons */
    p->report = (bf_rate_report){.page = bf_page_of_case(&p->input, p->notes, BF_UNITS_US),
                                 .points = p->points,
                                 .count = COUNT(p->points),
                                 .grid = {160.18463374, 0.00271828, -0.0131415}};
}

static void split_lines(page *p)
{
    p->count = 0;
    for (char *line = p->text; *line != '\0';) {
        char *end = strchr(line, '\n');
        ck_assert_ptr_nonnull(end); /* the last line ends too */
        *end = '\0';
        ck_assert_uint_lt(p->count, COUNT(p->lines));
        p->lines[p->count++] = line;
        line = end + 1;
    }
}

static void page_print(page *p, int as_csv, bf_unit_system units)
{
    bf_error err = {0};
    free(p->text);
    p->text = NULL;
    p->report.page.units = units;
    size_t length = 0;
    FILE *out = open_memstream(&p->text, &length);
    ck_assert_ptr_nonnull(out);
    if (as_csv) {
        assert_ok(bf_report_rate_csv(&p->report, out, &err));
    } else {
        assert_ok(bf_report_rate_table(&p->report, out, &err));
    }
    ck_assert_int_eq(fclose(out), 0);
    ck_assert_uint_eq(strlen(p->text), length);
    split_lines(p);
}

static void page_end(page *p)
{
    bf_notes_free(p->notes);
    free(p->text);
}

/* The index of the first line that begins so, or the number of lines. */
static size_t line_with(const page *p, const char *beginning)
{
    size_t i = 0;
    while (i < p->count && strncmp(p->lines[i], beginning, strlen(beginning)) != 0) {
        i++;
    }
    return i;
}

/* ---- CSV ------------------------------------------------------------------------------------- */

/* The rows behind the header, cut into fields. */
static size_t rows_of(page *p, char *fields[][FIELDS])
{
    size_t line = line_with(p, header);
    ck_assert_uint_lt(line, p->count);
    ck_assert_str_eq(p->lines[line], header);
    size_t rows = 0;
    for (size_t i = line + 1; i < p->count; i++, rows++) {
        size_t f = 0;
        for (char *field = p->lines[i]; field != NULL; f++) {
            ck_assert_uint_lt(f, FIELDS);
            fields[rows][f] = field;
            field = strchr(field, ',');
            if (field != NULL) {
                *field++ = '\0';
            }
        }
        ck_assert_uint_eq(f, FIELDS);
    }
    return rows;
}

static double number(const char *field)
{
    char *end;
    double value = strtod(field, &end);
    ck_assert_msg(*field != '\0' && *end == '\0', "\"%s\" is no number", field);
    return value;
}

START_TEST(csv_is_comments_one_header_and_rows)
{
    page p;
    page_begin(&p);
    page_print(&p, 1, BF_UNITS_US);
    ck_assert_str_eq(p.lines[0], "# Two lines, with a comma, and \"quotes\"");
    size_t line = line_with(&p, header);
    for (size_t i = 0; i < line; i++) {
        ck_assert_msg(strncmp(p.lines[i], "# ", 2) == 0, "%s", p.lines[i]);
    }
    char *fields[5][FIELDS];
    ck_assert_uint_eq(rows_of(&p, fields), 5);
    size_t names = 1;
    for (const char *c = header; *c != '\0'; c++) {
        names += *c == ',';
    }
    ck_assert_uint_eq(names, FIELDS);
    page_end(&p);
}
END_TEST

/* "%.6g" keeps six digits: off by half a unit in the sixth, on a leading 1 at the worst. */
#define SIX_DIGITS 5e-6
#define TWO_DIGITS 0.05

START_TEST(csv_numbers_come_back)
{
    page p;
    page_begin(&p);
    page_print(&p, 1, BF_UNITS_US);
    char *fields[5][FIELDS];
    ck_assert_uint_eq(rows_of(&p, fields), 5);
    for (size_t r = 0; r < 5; r++) {
        const bf_dose_point *point = &p.points[r];
        const bf_cycle_result *cycle = &point->steady.cycle;
        char **f = fields[r];
        assert_near(number(f[DOSE_G_PER_L]), point->dose_kg_per_m3, SIX_DIGITS);
        ck_assert_str_eq(f[CYCLES], "7");
        assert_near(number(f[BALANCE_ERROR]), cycle->balance_error, TWO_DIGITS);
        ck_assert_str_eq(f[STATUS], bf_outcome_words(cycle->outcome));
        if (cycle->outcome != BF_RATED) {
            continue;
        }
        assert_near(number(f[CAPACITY_EQ_PER_L]), cycle->capacity_eq_per_m3 / 1e3, SIX_DIGITS);
        assert_near(number(f[EFFICIENCY_EQ_PER_EQ]), point->efficiency_eq_per_eq, SIX_DIGITS);
        /* Half of CaCO3's 100.087 g/mol counts as one equivalent; printed to six digits. */
        assert_near(number(f[LEAKAGE_MEAN]), cycle->leakage_mean_eq_per_m3 * 50.0435,
                    2 * SIX_DIGITS);
        assert_near(number(f[LEAKAGE_FIRST]), cycle->leakage_first_eq_per_m3 * 50.0435,
                    2 * SIX_DIGITS);
        assert_near(number(f[LEAKAGE_LOW]), cycle->leakage_low_eq_per_m3 * 50.0435, 2 * SIX_DIGITS);
        assert_near(number(f[THROUGHPUT]), cycle->throughput_bed_volumes, SIX_DIGITS);
        assert_near(number(f[WATER]), cycle->water_bed_volumes, SIX_DIGITS);
        assert_near(number(f[MINUTES]), cycle->regeneration_s / 60, SIX_DIGITS);
        assert_near(number(f[CAPACITY_ERROR]), point->steady.capacity_error, TWO_DIGITS);
        assert_near(number(f[LEAKAGE_ERROR]), point->steady.leakage_error, TWO_DIGITS);
    }
    page_end(&p);
}
END_TEST

START_TEST(csv_states_nothing_where_there_is_no_rating)
{
    page p;
    page_begin(&p);
    page_print(&p, 1, BF_UNITS_US);
    char *fields[5][FIELDS];
    ck_assert_uint_eq(rows_of(&p, fields), 5);
    size_t unrated = 0;
    for (size_t r = 0; r < 5; r++) {
        int is_rated = p.points[r].steady.cycle.outcome == BF_RATED;
        unrated += !is_rated;
        for (size_t f = CAPACITY_EQ_PER_L; f <= LEAKAGE_ERROR; f++) {
            ck_assert(f == CYCLES || (*fields[r][f] == '\0') == !is_rated);
        }
        ck_assert_int_eq(strcmp(fields[r][STATUS], "rated") == 0, is_rated);
        ck_assert_int_eq(strncmp(fields[r][STATUS], "no rating: ", 11) == 0, !is_rated);
    }
    ck_assert_uint_eq(unrated, 3);
    page_end(&p);
}
END_TEST

START_TEST(csv_units_agree_with_each_other)
{
    page p;
    page_begin(&p);
    page_print(&p, 1, BF_UNITS_SI);
    char *fields[5][FIELDS];
    ck_assert_uint_eq(rows_of(&p, fields), 5);
    for (size_t r = 0; r < 5; r++) {
        char **f = fields[r];
        /* 1 lb/ft3 is 16.01846 g/L (NIST SP 811); two numbers of six digits. */
        assert_near(number(f[DOSE_G_PER_L]), number(f[DOSE_LB_PER_FT3]) * 16.01846, 2 * SIX_DIGITS);
        if (*f[CAPACITY_EQ_PER_L] == '\0') {
            continue;
        }
        /* 1 kgr/ft3 is 0.045727 eq/L: the trade's 0.0457 to as many digits as its definitions give,
         * (1000/7000) 453.59237 g per 28.316847 L over 50.0435 g/eq. */
        assert_near(number(f[CAPACITY_EQ_PER_L]), number(f[CAPACITY_KGR_PER_FT3]) * 0.045727, 2e-5);
        assert_near(number(f[EFFICIENCY_GR_PER_LB]),
                    1000 * number(f[CAPACITY_KGR_PER_FT3]) / number(f[DOSE_LB_PER_FT3]),
                    3 * SIX_DIGITS);
    }
    page_end(&p);
}
END_TEST

START_TEST(csv_ignores_the_unit_system)
{
    page us, si;
    page_begin(&us);
    page_begin(&si);
    page_print(&us, 1, BF_UNITS_US);
    page_print(&si, 1, BF_UNITS_SI);
    ck_assert_uint_eq(us.count, si.count);
    for (size_t i = 0; i < us.count; i++) {
        ck_assert_str_eq(us.lines[i], si.lines[i]);
    }
    page_end(&us);
    page_end(&si);
}
END_TEST

/* ---- table ----------------------------------------------------------------------------------- */

static size_t characters(const char *line)
{
    size_t count = 0;
    for (; *line != '\0'; line++) {
        count += ((unsigned char)*line & 0xC0U) != 0x80U;
    }
    return count;
}

START_TEST(the_table_fits_80_columns)
{
    page p;
    page_begin(&p);
    for (int units = 0; units < 2; units++) {
        page_print(&p, 0, (bf_unit_system)units);
        for (size_t i = 0; i < p.count; i++) {
            ck_assert_msg(characters(p.lines[i]) <= 80, "%s", p.lines[i]);
        }
    }
    page_end(&p);
}
END_TEST

START_TEST(heads_carry_units)
{
    static const char *const units[] = {
        " lb/ft3  kgr/ft3    gr/lb      mg/L   mg/L   mg/L gal/ft3 gal/ft3 gal/kgr",
        "    g/L     eq/L     g/kg      mg/L   mg/L   mg/L      BV      BV    L/kg",
    };
    page p;
    page_begin(&p);
    for (int system = 0; system < 2; system++) {
        page_print(&p, 0, (bf_unit_system)system);
        ck_assert_str_eq(p.lines[0], "Two lines, with a comma, and \"quotes\"");
        size_t line =
            line_with(&p, "   salt capacity per salt leak mean  first lowest     run   water");
        ck_assert_uint_lt(line + 2, p.count);
        ck_assert_int_eq(strncmp(p.lines[line + 1], units[system], strlen(units[system])), 0);
        ck_assert_uint_eq(strspn(p.lines[line + 2], "-"), strlen(p.lines[line + 2]));
        /* Every unit stands under its name: both lines end where a column ends. */
        ck_assert_uint_eq(strlen(p.lines[line]), strlen(p.lines[line + 1]));
        ck_assert_uint_eq(strlen(p.lines[line]), strlen(p.lines[line + 2]));
    }
    page_end(&p);
}
END_TEST

enum { COLUMNS = 10 };

/* Row r of the table as numbers; how many there are, with the words behind them. */
static size_t numbers_in_row(const page *p, size_t r, double numbers[COLUMNS], const char **words)
{
    size_t line = line_with(p, "-----") + 1 + r;
    ck_assert_uint_lt(line, p->count);
    const char *text = p->lines[line];
    size_t count = 0;
    while (count < COLUMNS) {
        char *end;
        double value = strtod(text, &end);
        if (end == text) {
            break;
        }
        numbers[count++] = value;
        text = end;
    }
    *words = text + strspn(text, " ");
    return count;
}

START_TEST(a_dose_without_a_rating_says_why)
{
    page p;
    page_begin(&p);
    for (int system = 0; system < 2; system++) {
        page_print(&p, 0, (bf_unit_system)system);
        for (size_t r = 0; r < 5; r++) {
            double numbers[COLUMNS];
            const char *words;
            size_t count = numbers_in_row(&p, r, numbers, &words);
            bf_outcome outcome = p.points[r].steady.cycle.outcome;
            ck_assert_uint_eq(count, outcome == BF_RATED ? COLUMNS : 1);
            ck_assert_str_eq(words, outcome == BF_RATED ? "" : bf_outcome_words(outcome));
        }
    }
    page_end(&p);
}
END_TEST

/* Rows against the points; the allowance is half a unit of the last digit printed, and the factors
 * are those of NIST SP 811, to seven digits. */
START_TEST(the_table_shows_the_points_in_either_system)
{
    const double gal_per_ft3 = 7.480519;
    page p;
    page_begin(&p);
    for (size_t r = 0; r < 5; r++) {
        const bf_dose_point *point = &p.points[r];
        const bf_cycle_result *cycle = &point->steady.cycle;
        if (cycle->outcome != BF_RATED) {
            continue;
        }
        double us[COLUMNS], si[COLUMNS];
        const char *words;
        page_print(&p, 0, BF_UNITS_US);
        ck_assert_uint_eq(numbers_in_row(&p, r, us, &words), COLUMNS);
        page_print(&p, 0, BF_UNITS_SI);
        ck_assert_uint_eq(numbers_in_row(&p, r, si, &words), COLUMNS);
        double capacity_g_per_L = cycle->capacity_eq_per_m3 * 50.0435e-3; /* as CaCO3 */
        double kgr_per_ft3 = cycle->capacity_eq_per_m3 / 45.72703;
        double lb_per_ft3 = point->dose_kg_per_m3 / 16.01846;
        assert_near_abs(us[0], lb_per_ft3, 0.0051);
        assert_near_abs(si[0], point->dose_kg_per_m3, 0.051);
        assert_near_abs(us[1], kgr_per_ft3, 0.0051);
        assert_near_abs(si[1], cycle->capacity_eq_per_m3 / 1e3, 0.00051);
        assert_near_abs(us[2], 1e3 * kgr_per_ft3 / lb_per_ft3, 0.51);
        assert_near_abs(si[2], 1e3 * capacity_g_per_L / point->dose_kg_per_m3, 0.51);
        for (size_t c = 3; c < 6; c++) {
            ck_assert_double_eq(us[c], si[c]);
        }
        assert_near_abs(us[3], cycle->leakage_mean_eq_per_m3 * 50.0435, 0.0051);
        assert_near_abs(us[4], cycle->leakage_first_eq_per_m3 * 50.0435, 0.0051);
        assert_near_abs(us[5], cycle->leakage_low_eq_per_m3 * 50.0435, 0.0051);
        assert_near_abs(us[6], cycle->throughput_bed_volumes * gal_per_ft3, 0.51);
        assert_near_abs(si[6], cycle->throughput_bed_volumes, 0.051);
        assert_near_abs(us[7], cycle->water_bed_volumes * gal_per_ft3, 0.051);
        assert_near_abs(si[7], cycle->water_bed_volumes, 0.0051);
        assert_near_abs(us[8], cycle->water_bed_volumes * gal_per_ft3 / kgr_per_ft3, 0.0051);
        assert_near_abs(si[8], 1e3 * cycle->water_bed_volumes / capacity_g_per_L, 0.051);
        ck_assert_double_eq(us[9], 7.0);
        ck_assert_double_eq(si[9], 7.0);
    }
    page_end(&p);
}
END_TEST

/* ---- what stands below it -------------------------------------------------------------------- */

/* All lines as one, wrapping undone. */
static void join(const page *p, char *text, size_t room)
{
    size_t length = 0;
    for (size_t i = 0; i < p->count; i++) {
        const char *line = p->lines[i] + (strncmp(p->lines[i], "# ", 2) == 0 ? 2 : 0);
        line += strspn(line, " ");
        int written = snprintf(text + length, room - length, "%s ", line);
        ck_assert_int_gt(written, 0);
        length += (size_t)written;
        ck_assert_uint_lt(length, room);
    }
}

static void assert_says(const page *p, const char *sentence)
{
    char text[20000];
    join(p, text, sizeof text);
    ck_assert_msg(strstr(text, sentence) != NULL, "\"%s\" is not in:\n%s", sentence, text);
}

START_TEST(assumptions_are_stated_in_the_readers_units)
{
    page p;
    page_begin(&p);
    page_print(&p, 0, BF_UNITS_US);
    /* 2.3 ft3 is 65.13 L; at the assumed 0.76 m (29.9 in) that is 0.330 m (13 in) across. 5 gpm on
     * it is 17.4 BV/h: 5 * 8.0208/2.3. 57.2 F is 14 C. */
    assert_says(&p, "feed: hardness 400.6 mg/L as CaCO3 (23.4 gpg)");
    assert_says(&p, "meq/L; 57.2 F");
    assert_says(&p,
                "bed: 2.3 ft3 of resin, 13 in across and 29.9 in deep, 15 in of water above it");
    assert_says(&p,
                "service: 5 gpm (5.42 gpm/ft2, 17.4 BV/h), counted to 17.12 mg/L as CaCO3 (1 gpg) "
                "in the effluent, run on to 51.35 mg/L, at most 900 BV");
    assert_says(&p, "backwash: 2.193 BV of raw water, up,");
    assert_says(&p, "then 30 % of the resin mixed");
    assert_says(&p, "brine: 10 wt% NaCl made with soft water, counter-current (up),");
    assert_says(&p, "slow rinse: 2 BV of soft water, up,");
    assert_says(&p, "fast rinse: 2 BV of raw water, down,");
    assert_says(&p, "refill: water for the next brine,");
    assert_says(&p, "assumed above, not stated in the case: service.end_point, "
                    "regeneration.salt, regeneration.doses,");
    assert_says(&p, "assumed: bed.depth: 0.76 m");
    assert_says(&p, "deduced: bed.diameter:");
    assert_says(&p, "caution: water.iron:");
    assert_says(&p,
                "steady cycle: repeated until capacity is within 0.001 % and mean leakage within "
                "0.2 % of its limit (estimated)");
    assert_says(&p, "balance: every ion over every step closes to 3e-15 of the capacity");
    assert_says(&p,
                "grid: 120 cells, 3 shells; it is off by +0.27 % in capacity and -1.3 % in mean "
                "leakage at 10 lb/ft3");
    assert_says(&p, "not a certification.");

    page_print(&p, 0, BF_UNITS_SI);
    assert_says(&p, "meq/L; 14 C");
    assert_says(&p,
                "bed: 65.13 L of resin, 0.33 m across and 0.76 m deep, 0.38 m of water above it");
    assert_says(&p, "service: 1.14 m3/h (13.3 m/h, 17.4 BV/h)");
    assert_says(&p, "leakage at 160.2 g/L");
    page_print(&p, 1, BF_UNITS_SI);
    assert_says(&p, "bed: 65.13 L of resin");
    assert_says(&p, "not a certification.");
    page_end(&p);
}
END_TEST

START_TEST(a_step_that_stands_and_a_word_too_wide_are_printed)
{
    page p;
    page_begin(&p);
    bf_recipe *recipe = &p.input.rating.recipe;
    recipe->step[recipe->count++] = (bf_step){.type = &bf_step_hold, .duration_s = 753.0};
    char word[101];
    memset(word, 'w', sizeof word - 1);
    word[sizeof word - 1] = '\0';
    bf_notes_add(p.notes, BF_NOTE_CAUTION, "water", "%s ends", word);
    page_print(&p, 0, BF_UNITS_US);
    assert_says(&p, "hold: 12.55 min standing");
    char whole[120];
    (void)snprintf(whole, sizeof whole, "%s ends", word);
    assert_says(&p, whole);
    page_end(&p);
}
END_TEST

START_TEST(nothing_is_claimed_that_was_not_computed)
{
    page p;
    page_begin(&p);
    p.report.grid.capacity_error = (double)NAN;
    p.report.grid.leakage_error = (double)NAN;
    for (size_t r = 0; r < 5; r++) {
        p.points[r].steady.cycle.outcome = BF_NOT_STEADY;
    }
    p.input.title[0] = '\0';
    page_print(&p, 0, BF_UNITS_US);
    char text[20000];
    join(&p, text, sizeof text);
    ck_assert_ptr_nonnull(strstr(text, "grid: 120 cells, 3 shells "));
    ck_assert_ptr_null(strstr(text, "is off by"));
    ck_assert_ptr_null(strstr(text, "steady cycle: repeated"));
    ck_assert_int_eq(strncmp(p.lines[0], "What the bed holds", 18), 0);
    page_print(&p, 1, BF_UNITS_US);
    ck_assert_int_eq(strncmp(p.lines[0], "# feed: ", 8), 0);
    page_end(&p);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {csv_is_comments_one_header_and_rows,
                                  csv_numbers_come_back,
                                  csv_states_nothing_where_there_is_no_rating,
                                  csv_units_agree_with_each_other,
                                  csv_ignores_the_unit_system,
                                  the_table_fits_80_columns,
                                  heads_carry_units,
                                  a_dose_without_a_rating_says_why,
                                  the_table_shows_the_points_in_either_system,
                                  assumptions_are_stated_in_the_readers_units,
                                  a_step_that_stands_and_a_word_too_wide_are_printed,
                                  nothing_is_claimed_that_was_not_computed};
    return support_run("report.rate_report", tests, COUNT(tests), 60);
}
