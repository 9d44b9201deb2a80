/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The years of a bed as comma-separated values: a row a month or quarter, then a row an
 * observation with what was computed for its day. */
#include "report/campaign/campaign_setting.h"
#include "report/campaign/campaign_show.h"
#include "report/foul/foul_quantities.h"
#include "report/foul/foul_read.h"
#include "report/foul/foul_words.h"
#include "report/observed/observed.h"
#include "report/page/assumptions.h"
#include "report/page/page.h"

#include <math.h>

static void print_value(double value, FILE *out)
{
    if (isfinite(value)) {
        (void)fprintf(out, ",%.6g", value);
    } else {
        (void)fputc(',', out);
    }
}

static void print_span(bf__span span, double factor, FILE *out)
{
    print_value(factor * span.expected, out);
    print_value(factor * span.low, out);
    print_value(factor * span.high, out);
}

static void print_head(FILE *out)
{
    (void)fputs("row,day,month", out);
    for (size_t c = 0; c < BF__FOUL_QUANTITIES; c++) {
        (void)fprintf(out, ",%s,%s_low,%s_high", bf__foul_quantities[c].name,
                      bf__foul_quantities[c].name, bf__foul_quantities[c].name);
    }
    (void)fputs(",pressure_drop_kPa,pressure_drop_psi,observed_capacity_eq_per_L,"
                "observed_pressure_drop_kPa,observed_iron_g_per_L_bed,observed_moisture_percent,"
                "observed_softened_hardness_mg_per_L_CaCO3,observed_softened_iron_mg_per_L\n",
                out);
}

/* Beyond the campaign nothing was computed: its fields stay empty. */
static void print_computed(const bf_foul_report *report, double day, int is_row, FILE *out)
{
    const double told = bf__foul_reaches(report, day) ? 1.0 : (double)NAN;
    (void)fprintf(out, ",%.6g,%.6g", day, day / BF__DAYS_PER_MONTH);
    for (size_t c = 0; c < BF__FOUL_QUANTITIES; c++) {
        /* A capacity measured early stands beside the first that is known. */
        const bf_campaign_quantity what = bf__foul_quantities[c].what;
        print_span(is_row || what != BF_CAMPAIGN_POTENTIAL
                       ? bf__foul_row_span(report, what, day)
                       : bf__foul_span(report->series, what, day),
                   told * bf__foul_quantities[c].factor, out);
    }
    const double drop_Pa = told * bf__campaign_clean_drop_Pa(report->spec, day) *
                           bf__foul_span(report->series, BF_CAMPAIGN_PRESSURE, day).expected;
    print_value(bf__show_pressure(BF_UNITS_SI, drop_Pa), out);
    print_value(bf__show_pressure(BF_UNITS_US, drop_Pa), out);
}

static bf_status print_csv(const void *context, FILE *out, bf_error *err)
{
    const bf_foul_report *report = context;
    if (report->page.title[0] != '\0') {
        (void)fprintf(out, "# %s\n", report->page.title);
    }
    (void)fputs("# ", out);
    bf__foul_headline(report, out);
    (void)fputc('\n', out);
    bf__campaign_print(&report->page, report->campaign, report->spec, BF_UNITS_SI, "# ", out);
    bf__foul_skips_print(report, BF_UNITS_SI, "# ", out);
    bf__foul_limits_print(report, BF_UNITS_SI, "# ", out);
    bf__foul_balance_print(report, BF_UNITS_SI, "# ", out);
    bf__foul_remarks_print(report, "# ", out);
    if (bf__campaign_names_chemicals(report->spec)) {
        bf__safety_print("# ", out);
    }
    bf__setting_print(&report->page, BF_UNITS_SI, "# ", out);
    bf__foul_cautions_print("# ", out);
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
            print_value(bf__observed_show((bf_observed)what, BF_UNITS_SI, observation->value[what]),
                        out);
        }
        (void)fputc('\n', out);
    }
    (void)err;
    return BF_OK;
}

bf_status bf_report_foul_csv(const bf_foul_report *report, FILE *out, bf_error *err)
{
    return bf__page_print(print_csv, report, out, err);
}
