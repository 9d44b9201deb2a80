/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Pages of years, of studies of them, of sizes and comparisons arrive whole or not at all,
 * whichever allocation fails. */
#include "short_memory.h"
#include "years.h"

#define COUNT(array) (sizeof(array) / sizeof *(array))

/* A printer of one report as a printer of any. */
#define PRINTER(function, type)                                                                    \
    static bf_status any_##function(const void *report, FILE *out, bf_error *err)                  \
    {                                                                                              \
        const type *own = report;                                                                  \
        return function(own, out, err);                                                            \
    }
PRINTER(bf_report_foul_table, bf_foul_report)
PRINTER(bf_report_foul_csv, bf_foul_report)
PRINTER(bf_report_foul_json, bf_foul_report)
PRINTER(bf_report_what_if_table, bf_what_if_report)
PRINTER(bf_report_what_if_csv, bf_what_if_report)
PRINTER(bf_report_what_if_json, bf_what_if_report)
PRINTER(bf_report_compensation_table, bf_compensation_report)
PRINTER(bf_report_compensation_csv, bf_compensation_report)
PRINTER(bf_report_compensation_json, bf_compensation_report)
PRINTER(bf_report_sensitivity_table, bf_sensitivity_report)
PRINTER(bf_report_sensitivity_csv, bf_sensitivity_report)
PRINTER(bf_report_sensitivity_json, bf_sensitivity_report)
PRINTER(bf_report_size_table, bf_size_report)
PRINTER(bf_report_size_csv, bf_size_report)
PRINTER(bf_report_size_json, bf_size_report)
PRINTER(bf_report_compare_table, bf_compare_report)
PRINTER(bf_report_compare_csv, bf_compare_report)
PRINTER(bf_report_compare_json, bf_compare_report)

static years y;

static void set_up(void)
{
    years_set_up(&y, 360);
    for (size_t s = 0; s < BF_FOULING_SERIES; s++) {
        years_fill(&y, s, 0.3 - 0.1 * (double)s, 3.0);
    }
    y.spec.cleaning.every_days = 180.0; /* so that cautions about chemicals come along */
}

START_TEST(years_and_studies_of_them)
{
    set_up();
    bf_observation reading = {.line = 4, .day = 540.0};
    for (size_t quantity = 0; quantity < BF_OBSERVED_COUNT; quantity++) {
        reading.value[quantity] = 1.0;
    }
    const bf_observations observations = {&reading, 1};
    const bf_fouling_end end = {
        .day = 1080.0, .potential_new_eq_per_m3 = 1200.0, .potential_eq_per_m3 = 900.0};
    const bf_what_if change = {.name = "filter", .kind = BF_WHAT_IF_IRON};
    static bf_compensation found;
    found = (bf_compensation){.count = 1, .addition_eq_per_g = 0.2, .too_little_eq_per_g = 0.1};
    bf_fouling_sensitivity *rows = calloc(bf_iron_parameter_count(), sizeof *rows);
    ck_assert_ptr_nonnull(rows);
    rows[0].takes_part = 1;
    bf_foul_report foul = years_report(&y);
    foul.observations = &observations;
    const bf_what_if_report what_if = {.page = foul.page,
                                       .campaign = foul.campaign,
                                       .spec = &y.spec,
                                       .unchanged = &end,
                                       .rows = &change,
                                       .count = 1};
    const bf_compensation_report compensation = {.page = foul.page,
                                                 .campaign = foul.campaign,
                                                 .spec = &y.spec,
                                                 .found = &found,
                                                 .low = &found,
                                                 .high = &found};
    const bf_sensitivity_report sensitivity = {.page = foul.page,
                                               .campaign = foul.campaign,
                                               .spec = &y.spec,
                                               .expected = &end,
                                               .rows = rows};
    assert_whole_or_nothing("years", any_bf_report_foul_table, &foul);
    assert_whole_or_nothing("years, CSV", any_bf_report_foul_csv, &foul);
    assert_whole_or_nothing("years, JSON", any_bf_report_foul_json, &foul);
    assert_whole_or_nothing("what if", any_bf_report_what_if_table, &what_if);
    assert_whole_or_nothing("what if, CSV", any_bf_report_what_if_csv, &what_if);
    assert_whole_or_nothing("what if, JSON", any_bf_report_what_if_json, &what_if);
    assert_whole_or_nothing("compensation", any_bf_report_compensation_table, &compensation);
    assert_whole_or_nothing("compensation, CSV", any_bf_report_compensation_csv, &compensation);
    assert_whole_or_nothing("compensation, JSON", any_bf_report_compensation_json, &compensation);
    assert_whole_or_nothing("sensitivity", any_bf_report_sensitivity_table, &sensitivity);
    assert_whole_or_nothing("sensitivity, CSV", any_bf_report_sensitivity_csv, &sensitivity);
    assert_whole_or_nothing("sensitivity, JSON", any_bf_report_sensitivity_json, &sensitivity);
    free(rows);
    years_tear_down(&y);
}
END_TEST

START_TEST(sizes_and_comparisons)
{
    set_up();
    const bf_page page = years_report(&y).page;
    const bf_sizing found = {.decided = BF_BINDING_CAPACITY,
                             .answer = 100.0,
                             .nearest = (double)NAN,
                             .bed = y.input.rating.bed,
                             .ratings = 1,
                             .practical_ratio = (double)NAN};
    const bf_size_report size = {
        .page = page, .question = BF_SIZE_DOSE, .capacity_eq_per_m3 = 900.0, .found = &found};
    static bf_compared_point points[2];
    const bf_page pages[2] = {page, page};
    const char *const names[2] = {"one.yaml", "other.yaml"};
    const bf_compare_report compare = {
        .page = pages, .name = names, .cases = 2, .points = points, .doses = 1, .samples = 16};
    assert_whole_or_nothing("size", any_bf_report_size_table, &size);
    assert_whole_or_nothing("size, CSV", any_bf_report_size_csv, &size);
    assert_whole_or_nothing("size, JSON", any_bf_report_size_json, &size);
    assert_whole_or_nothing("compare", any_bf_report_compare_table, &compare);
    assert_whole_or_nothing("compare, CSV", any_bf_report_compare_csv, &compare);
    assert_whole_or_nothing("compare, JSON", any_bf_report_compare_json, &compare);
    years_tear_down(&y);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {years_and_studies_of_them, sizes_and_comparisons};
    return support_run("report.whole_years", tests, MEMORY_CAN_FAIL ? COUNT(tests) : 0, 120);
}
