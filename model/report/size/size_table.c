/* SPDX-License-Identifier: GPL-3.0-or-later */
/* An answer of size as a page for people: the answer first, then where it comes from. */
#include "report/page/assumptions.h"
#include "report/page/page.h"
#include "report/page/wrap.h"
#include "report/rate/rate_table.h"
#include "report/size/size_words.h"

#include <math.h>

static void print_answer(const bf_size_report *report, bf_unit_system units, FILE *out)
{
    bf__wrap_begin(out);
    bf__size_answer_print(report, units, out);
    bf__size_decided_print(report, units, out);
    (void)fprintf(out, "Figures are rounded to %d digits, to the unfavourable side.\n",
                  BF__SIZE_DIGITS);
    bf__wrap_end("", out);
}

static void print_rating(const bf_size_report *report, bf_unit_system units, FILE *out)
{
    const bf_sizing *found = report->found;
    if (found->ratings == 0) {
        return;
    }
    (void)fprintf(out, "\n%s\n\n",
                  found->binding == BF_BINDING_NONE ? "The rating at the answer, before rounding"
                                                    : "The rating at the limit");
    bf__rate_rows_print(&found->point, 1, units, out);
    if (found->point.steady.cycle.outcome == BF_RATED) {
        (void)fputc('\n', out);
        bf__rate_whole_bed_print(&found->bed, &found->point, 1, units, out);
        bf__rate_legend_print(out);
    } else {
        (void)fputc('\n', out);
    }
}

static void print_table(const void *context, FILE *out)
{
    const bf_size_report *report = context;
    const bf_unit_system units = report->page.units;
    const bf_rate_report rating = {.page = report->page,
                                   .points = &report->found->point,
                                   .count = report->found->ratings > 0 ? 1 : 0,
                                   .grid = {(double)NAN, (double)NAN, (double)NAN}};
    bf__page_title(&report->page, out);
    (void)fprintf(out, "%s\n\n", bf__size_title(report->question));
    print_answer(report, units, out);
    print_rating(report, units, out);
    bf__wrap_begin(out);
    if (report->found->ratings == 0) {
        (void)fputs("\nfound: without any rating, from the limits of the flow alone\n", out);
    } else {
        (void)fprintf(out,
                      "found: by %zu ratings, each at its steady cycle, until what was asked for "
                      "is met to %s\n",
                      report->found->ratings,
                      report->question == BF_SIZE_END_POINT ? "1 %" : "0.2 %");
    }
    bf__size_limits_print(report, units, out);
    (void)fputs(report->question == BF_SIZE_BED
                    ? "asked of this case, its bed and its flow replaced by those above:\n"
                    : "asked of this case:\n",
                out);
    bf__wrap_end("", out);
    bf__setting_print(&report->page, units, "", out);
    if (rating.count > 0) {
        bf__accuracy_print(&rating, units, "", out);
    }
    (void)fputc('\n', out);
    bf__cautions_print("", out);
}

bf_status bf_report_size_table(const bf_size_report *report, FILE *out, bf_error *err)
{
    return bf__page_print(print_table, report, out, err);
}
