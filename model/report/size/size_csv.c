/* SPDX-License-Identifier: GPL-3.0-or-later */
/* An answer of size as one row of comma-separated values; # lines carry words and assumptions. */
#include "brinefront/convert.h"
#include "report/page/assumptions.h"
#include "report/page/csv.h"
#include "report/page/page.h"
#include "report/page/wrap.h"
#include "report/size/size_words.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* The sentences of the page, each a comment. */
static bf_status print_words(const bf_size_report *report, FILE *out, bf_error *err)
{
    bf_output words = {0};
    bf_status status = bf_output_open(&words, err);
    if (status == BF_OK) {
        bf__size_answer_print(report, BF_UNITS_SI, words.stream);
        bf__size_decided_print(report, BF_UNITS_SI, words.stream);
        bf__size_limits_print(report, BF_UNITS_SI, words.stream);
        if (fflush(words.stream) != 0 || ferror(words.stream)) {
            status = bf_error_set(err, BF_E_MEMORY, "output", "no memory for the output");
        }
    }
    bf__wrap_begin(out);
    for (const char *line = words.text; status == BF_OK && *line != '\0';) {
        const size_t length = strcspn(line, "\n");
        (void)fprintf(out, "# %.*s\n", (int)length, line);
        line += length + (line[length] == '\n' ? 1 : 0);
    }
    bf__wrap_end("# ", out);
    bf_output_close(&words);
    return status;
}

static bf_status print_csv(const void *context, FILE *out, bf_error *err)
{
    const bf_size_report *report = context;
    const bf_sizing *found = report->found;
    const bf_cycle_result *cycle = &found->point.steady.cycle;
    const int is_rated = found->ratings > 0 && cycle->outcome == BF_RATED;
    const double told = is_rated ? 1.0 : (double)NAN;
    const double bed_m3 = bf_bed_volume_m3(&found->bed);
    bf__csv_title(report->page.title, out);
    (void)fprintf(out, "# %s\n", bf__size_title(report->question));
    const bf_status status = print_words(report, out, err);
    bf__setting_print(&report->page, BF_UNITS_SI, "# ", out);
    bf__cautions_print("# ", out);
    (void)fputs("question,binding,decided_by,answer_SI,nearest_SI,dose_g_per_L,dose_lb_per_ft3,"
                "resin_L,resin_ft3,diameter_m,depth_m,days,salt_kg_per_year,capacity_eq_per_L,"
                "capacity_kgr_per_ft3,salt_efficiency_gr_per_lb,leakage_mean_mg_per_L_CaCO3,"
                "leakage_first_mg_per_L_CaCO3,throughput_BV,regeneration_water_BV,practical_ratio,"
                "ratings,status,vessel\n",
                out);
    bf__csv_text(bf__size_title(report->question), out);
    (void)fprintf(out, ",%s,%s", bf_binding_words(found->binding),
                  bf_binding_words(found->decided));
    const double dose = found->ratings > 0 ? found->point.dose_kg_per_m3 : (double)NAN;
    const double numbers[] = {found->answer,
                              found->nearest,
                              dose,
                              dose / BF_KG_PER_M3_PER_LB_PER_FT3,
                              1e3 * bed_m3,
                              bed_m3 / BF_M3_PER_FT3,
                              found->bed.diameter_m,
                              found->bed.depth_m,
                              found->days,
                              found->salt_kg_per_year,
                              told * 1e-3 * cycle->capacity_eq_per_m3,
                              told * cycle->capacity_eq_per_m3 / BF_EQ_PER_M3_PER_KGR_PER_FT3,
                              told * bf__gr_per_lb(cycle->capacity_eq_per_m3, dose),
                              told * bf__mg_per_L_CaCO3(cycle->leakage_mean_eq_per_m3),
                              told * bf__mg_per_L_CaCO3(cycle->leakage_first_eq_per_m3),
                              told * cycle->throughput_bed_volumes,
                              told * cycle->water_bed_volumes,
                              found->practical_ratio};
    for (size_t n = 0; n < sizeof numbers / sizeof *numbers; n++) {
        bf__csv_number(numbers[n], out);
    }
    (void)fprintf(out, ",%zu,%s,%s\n", found->ratings,
                  found->ratings > 0 ? bf_outcome_words(cycle->outcome) : "no rating was needed",
                  report->vessel != NULL ? report->vessel : "");
    return status;
}

bf_status bf_report_size_csv(const bf_size_report *report, FILE *out, bf_error *err)
{
    return bf__page_print(print_csv, report, out, err);
}
