/* SPDX-License-Identifier: GPL-3.0-or-later */
/* An answer of size as one row of comma-separated values; # lines carry words and assumptions. */
#include "report/page/assumptions.h"
#include "report/page/csv.h"
#include "report/page/page.h"
#include "report/page/wrap.h"
#include "report/size/size_columns.h"
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
    double values[BF__SIZE_COLUMNS];
    bf__csv_title(report->page.title, out);
    (void)fprintf(out, "# %s\n", bf__size_title(report->question));
    const bf_status status = print_words(report, out, err);
    bf__setting_print(&report->page, BF_UNITS_SI, "# ", out);
    bf__cautions_print("# ", out);
    (void)fputs("question,binding,decided_by,answer_SI,nearest_SI", out);
    bf__columns_csv_head(bf__size_columns, BF__SIZE_COLUMNS, "", out);
    (void)fputs(",ratings,status,vessel\n", out);
    bf__csv_text(bf__size_title(report->question), out);
    (void)fprintf(out, ",%s,%s", bf_binding_words(found->binding),
                  bf_binding_words(found->decided));
    bf__csv_number(found->answer, out);
    bf__csv_number(found->nearest, out);
    bf__size_values(found, values);
    bf__columns_csv(bf__size_columns, BF__SIZE_COLUMNS, values, out);
    (void)fprintf(out, ",%zu,%s,%s\n", found->ratings,
                  found->ratings > 0 ? bf_outcome_words(cycle->outcome) : "no rating was needed",
                  report->vessel != NULL ? report->vessel : "");
    return status;
}

bf_status bf_report_size_csv(const bf_size_report *report, FILE *out, bf_error *err)
{
    return bf__page_try(print_csv, report, out, err);
}
