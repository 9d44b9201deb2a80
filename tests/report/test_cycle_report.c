/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The pages of `cycle` and `check`: 80 columns, units in the heads, numbers those of the study. */
#include "brinefront/report.h"
#include "support.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define COARSE BF_SOURCE_DIR "/tests/report/coarse.yaml"

static bf_case input;
static bf_cycle_study study;
static bf_notes *notes;

static void set_up(size_t new_cycles)
{
    bf_error err = {0};
    assert_ok(bf_notes_create(&notes, &err));
    assert_ok(bf_case_read(COARSE, &input, notes, &err));
    assert_ok(bf_cycle_study_run(&input.rating, 113.7, new_cycles, &study, &err));
}

static void tear_down(void)
{
    bf_cycle_study_free(&study);
    bf_notes_free(notes);
}

/* The page as text; the caller frees it. */
static char *page(bf_unit_system units)
{
    bf_error err = {0};
    char *text = NULL;
    size_t length = 0;
    FILE *out = open_memstream(&text, &length);
    ck_assert_ptr_nonnull(out);
    bf_cycle_report report = {.page = bf_page_of_case(&input, notes, units), .study = &study};
    assert_ok(bf_report_cycle_table(&report, out, &err));
    ck_assert_int_eq(fclose(out), 0);
    return text;
}

static void assert_fits_80_columns(const char *text)
{
    while (*text != '\0') {
        size_t width = strcspn(text, "\n");
        ck_assert_msg(width <= 80, "%zu columns: %.*s", width, (int)width, text);
        text += width + (text[width] == '\n' ? 1 : 0);
    }
}

START_TEST(the_page_fits_and_says_what_it_is)
{
    set_up(0);
    for (int u = 0; u < 2; u++) {
        char *text = page(u == 0 ? BF_UNITS_US : BF_UNITS_SI);
        assert_fits_80_columns(text);
        const char *const parts[] = {"A steady cycle at",
                                     "Hardness of the softened water",
                                     "Elution",
                                     "Sites of the resin that hold hardness",
                                     "balance: every ion",
                                     "not a",
                                     u == 0 ? "kgr/ft3" : "eq/L"};
        for (size_t p = 0; p < sizeof parts / sizeof *parts; p++) {
            ck_assert_msg(strstr(text, parts[p]) != NULL, "no \"%s\" in\n%s", parts[p], text);
        }
        free(text);
    }
    tear_down();
}
END_TEST

START_TEST(the_first_cycles_settle)
{
    set_up(5);
    char *text = page(BF_UNITS_US);
    assert_fits_80_columns(text);
    ck_assert_ptr_nonnull(strstr(text, "The first cycles of resin as delivered"));
    ck_assert_uint_eq(study.cycle_count, 5);
    /* Resin as delivered is all sodium: its first run is the longest. */
    ck_assert(study.cycle[0].capacity_eq_per_m3 > 1.1 * study.cycle[4].capacity_eq_per_m3);
    assert_near(study.cycle[4].capacity_eq_per_m3, study.cycle[3].capacity_eq_per_m3, 2e-3);
    free(text);
    tear_down();
}
END_TEST

START_TEST(lines_of_csv_are_the_moments_of_the_trace)
{
    bf_error err = {0};
    set_up(0);
    char *text = NULL;
    size_t length = 0;
    FILE *out = open_memstream(&text, &length);
    bf_cycle_report report = {.page = bf_page_of_case(&input, notes, BF_UNITS_SI), .study = &study};
    assert_ok(bf_report_cycle_csv(&report, out, &err));
    ck_assert_int_eq(fclose(out), 0);
    size_t rows = 0;
    size_t commas_of_head = 0;
    for (const char *line = text; *line != '\0'; line += strcspn(line, "\n") + 1) {
        size_t commas = 0;
        for (const char *c = line; *c != '\n'; c++) {
            commas += *c == ',' ? 1 : 0;
        }
        if (*line == '#') {
            continue;
        }
        commas_of_head = commas_of_head == 0 ? commas : commas_of_head;
        ck_assert_uint_eq(commas, commas_of_head);
        rows++;
    }
    size_t moments = 0;
    for (size_t s = 0; s < bf_trace_step_count(study.trace); s++) {
        size_t count;
        (void)bf_trace_points(study.trace, s, &count);
        moments += count;
    }
    ck_assert_uint_eq(rows, moments + 1);
    free(text);
    tear_down();
}
END_TEST

START_TEST(a_checked_case_shows_both_unit_systems)
{
    bf_error err = {0};
    bf_deduced deduced;
    char *text = NULL;
    size_t length = 0;
    assert_ok(bf_notes_create(&notes, &err));
    assert_ok(bf_case_read(COARSE, &input, notes, &err));
    assert_ok(bf_deduce(&input.rating, &deduced, &err));
    FILE *out = open_memstream(&text, &length);
    bf_check_report report = {.input = &input, .deduced = &deduced, .notes = notes};
    assert_ok(bf_report_check_table(&report, out, &err));
    ck_assert_int_eq(fclose(out), 0);
    /* 337 mg/L as CaCO3 / 50.0435 = 6.734 meq/L; / 17.118 = 19.69 gpg. 13 in = 0.3302 m. */
    ck_assert_ptr_nonnull(strstr(text, "6.734 meq/L"));
    ck_assert_ptr_nonnull(strstr(text, "19.69 gpg"));
    ck_assert_ptr_nonnull(strstr(text, "0.3302 m"));
    ck_assert_ptr_nonnull(strstr(text, "= 10 wt%"));
    ck_assert_ptr_nonnull(strstr(text, "Davis"));
    assert_fits_80_columns(text);
    free(text);
    bf_notes_free(notes);
}
END_TEST

START_TEST(a_study_needs_a_sound_dose)
{
    bf_error err = {0};
    bf_cycle_study none;
    assert_ok(bf_case_read(COARSE, &input, NULL, &err));
    assert_fails(bf_cycle_study_run(&input.rating, -3.0, 0, &none, &err), BF_E_RANGE, "dose");
    bf_cycle_study_free(&none);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {the_page_fits_and_says_what_it_is, the_first_cycles_settle,
                                  lines_of_csv_are_the_moments_of_the_trace,
                                  a_checked_case_shows_both_unit_systems,
                                  a_study_needs_a_sound_dose};
    return support_run("report.cycle_report", tests, sizeof tests / sizeof *tests, 120);
}
