/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a comparison says besides its numbers. */
#include "report/compare/compare_words.h"

#include "report/compare/compare_keys.h"
#include "report/page/wrap.h"

void bf__compare_cases_print(const bf_compare_report *report, const char *prefix, FILE *out)
{
    for (size_t c = 0; c < report->cases; c++) {
        const char *title = report->page[c].title;
        (void)fprintf(out, "%s%c  %s%s%s\n", prefix, bf__compare_letter(c), report->name[c],
                      *title != '\0' ? ": " : "", title);
    }
}

static void print_key(const bf_compare_report *report, size_t key, FILE *out)
{
    char text[100];
    (void)fprintf(out, "%s:", bf_case_key_get(key).path);
    for (size_t c = 0; c < report->cases; c++) {
        bf__compare_value_text(&report->page[c], key, text, sizeof text);
        (void)fprintf(out, "%s %c %s", c > 0 ? ";" : "", bf__compare_letter(c), text);
    }
    (void)fputc('\n', out);
}

void bf__compare_keys_print(const bf_compare_report *report, const char *prefix, FILE *out)
{
    bf__wrap_begin(out);
    int any = 0;
    for (size_t k = 0; k < bf_case_key_count(); k++) {
        if (bf__compare_key_differs(report, k)) {
            (void)fputs(prefix, out);
            print_key(report, k, out);
            any = 1;
        }
    }
    if (!any) {
        (void)fprintf(out, "%snothing but title, file and doses\n", prefix);
    }
    bf__wrap_end(prefix, out);
}

/* Nonzero where a bed holds the resin of the first, or where it holds another. */
static int has_pairing(const bf_compare_report *report, int is_paired)
{
    for (size_t c = 1; c < report->cases; c++) {
        if (bf_resin_is_same(&report->page[0].rating->bed.resin,
                             &report->page[c].rating->bed.resin) == is_paired) {
            return 1;
        }
    }
    return 0;
}

void bf__compare_band_print(const bf_compare_report *report, const char *prefix, FILE *out)
{
    bf__wrap_begin(out);
    if (report->samples == 0) {
        (void)fprintf(out,
                      "%sno band was asked for: whether a difference is more than the uncertain "
                      "constants leave open is not told\n",
                      prefix);
    } else {
        (void)fprintf(out,
                      "%s*: beyond the band: P10 to P90 of the difference, of %zu samples of the "
                      "uncertain constants, lie on one side of zero\n",
                      prefix, report->samples);
        if (has_pairing(report, 1)) {
            (void)fprintf(out,
                          "%sbeds of the same resin: differences sample by sample, each constant "
                          "moved alike in both\n",
                          prefix);
        }
        if (has_pairing(report, 0)) {
            (void)fprintf(out,
                          "%sbeds of another resin: half widths of both bands added in "
                          "quadrature, since nothing says that two resins err alike\n",
                          prefix);
        }
        (void)fprintf(out,
                      "%ssalt, waste and pressure have no band; what the cases assume of their "
                      "conditions, and physics that the model leaves out, is in none\n",
                      prefix);
    }
    bf__wrap_end(prefix, out);
}

void bf__compare_setting_print(const bf_compare_report *report, const char *prefix, FILE *out)
{
    bf__wrap_begin(out);
    (void)fprintf(out, "%sgrid:", prefix);
    for (size_t c = 0; c < report->cases; c++) {
        (void)fprintf(out, "%s %c %zu cells, %zu shells", c > 0 ? ";" : "", bf__compare_letter(c),
                      report->page[c].rating->bed.cells, report->page[c].rating->bed.shells);
    }
    (void)fprintf(
        out, "\n%sbrinefront rate prints what each case assumes and what its grid costs\n", prefix);
    bf__wrap_end(prefix, out);
}
