/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The years of a bed as comma-separated values: a row a month or quarter, then a row an
 * observation with what was computed for its day. */
#include "report/campaign/campaign_setting.h"
#include "report/foul/foul_limits.h"
#include "report/foul/foul_quantities.h"
#include "report/foul/foul_words.h"
#include "report/observed/observed.h"
#include "report/page/csv.h"
#include "report/page/page.h"

#include <math.h>

static const bf__column pressure_drop =
    BF__COLUMN("pressure_drop_psi", "pressure_drop_kPa", "", "", PRESSURE, "", 0, 0, 0);

static void print_head(FILE *out)
{
    (void)fputs("row,day,month", out);
    for (size_t q = 0; q < bf__foul_quantity_count; q++) {
        for (int system = BF_UNITS_SI; system >= BF_UNITS_US; system--) {
            const char *name = bf__foul_quantities[q].column.name[system];
            if (name != NULL) {
                (void)fprintf(out, ",%s,%s_low,%s_high", name, name, name);
            }
        }
    }
    bf__columns_csv_head(&pressure_drop, 1, "", out);
    for (size_t what = 0; what < BF_OBSERVED_COUNT; what++) {
        (void)fprintf(out, ",%s", bf__observed_quantities[what].name);
    }
    (void)fputc('\n', out);
}

/* Beyond the campaign nothing was computed: its fields stay empty. */
static void print_computed(const bf_foul_report *report, double day, int is_row, FILE *out)
{
    const double known = bf__years_reach(report->spec, report->series, day) ? 1.0 : (double)NAN;
    (void)fprintf(out, ",%.6g,%.6g", day, day / BF__DAYS_PER_MONTH);
    for (size_t q = 0; q < bf__foul_quantity_count; q++) {
        const bf__foul_quantity *quantity = &bf__foul_quantities[q];
        /* A capacity measured early stands beside the first that is known. */
        const bf__span span = is_row || quantity->source != BF_CAMPAIGN_POTENTIAL
                                  ? bf__foul_value(report, quantity, day)
                                  : bf__years_span(report->series, BF_CAMPAIGN_POTENTIAL, day);
        for (int system = BF_UNITS_SI; system >= BF_UNITS_US; system--) {
            if (quantity->column.name[system] != NULL) {
                const double scale =
                    known * bf__quantity_unit(quantity->column.kind, (bf_unit_system)system).scale;
                bf__csv_number(scale * span.expected, out);
                bf__csv_number(scale * span.low, out);
                bf__csv_number(scale * span.high, out);
            }
        }
    }
    const double drop_Pa = known * bf__campaign_clean_drop_Pa(report->spec, day) *
                           bf__years_span(report->series, BF_CAMPAIGN_PRESSURE, day).expected;
    bf__columns_csv(&pressure_drop, 1, &drop_Pa, out);
}

static void print_csv(const void *context, FILE *out)
{
    const bf_foul_report *report = context;
    bf__csv_title(report->page.title, out);
    (void)fputs("# ", out);
    bf__foul_headline(report, out);
    (void)fputc('\n', out);
    bf__campaign_print(&report->page, report->campaign, report->spec, BF_UNITS_SI, "# ", out);
    bf__foul_skips_print(report, BF_UNITS_SI, "# ", out);
    bf__foul_limits_print(report, BF_UNITS_SI, "# ", out);
    bf__foul_balance_print(report, BF_UNITS_SI, "# ", out);
    bf__foul_remarks_print(report, "# ", out);
    bf__foul_foot_print(&report->page, bf__campaign_names_chemicals(report->spec), BF_UNITS_SI,
                        "# ", out);
    print_head(out);
    for (size_t row = 0; row < bf__foul_row_count(report); row++) {
        (void)fputs("computed", out);
        print_computed(report, bf__foul_row_day(report, row), 1, out);
        (void)fputs(",,,,,,\n", out);
    }
    for (size_t o = 0; report->observations != NULL && o < report->observations->count; o++) {
        const bf_observation *observation = &report->observations->row[o];
        (void)fputs("observed", out);
        print_computed(report, observation->day, 0, out);
        for (size_t what = 0; what < BF_OBSERVED_COUNT; what++) {
            bf__csv_number(bf__quantity_show(bf__observed_quantities[what].kind, BF_UNITS_SI,
                                             observation->value[what]),
                           out);
        }
        (void)fputc('\n', out);
    }
}

bf_status bf_report_foul_csv(const bf_foul_report *report, FILE *out, bf_error *err)
{
    return bf__page_print(print_csv, report, out, err);
}
