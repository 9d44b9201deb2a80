/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What was measured against what was computed, as a table for people. */
#include "report/observed/observed_table.h"

#include "report/observed/observed.h"
#include "report/page/columns.h"
#include "report/page/wrap.h"

#include <math.h>

static void print_residual(const bf__residual *residual, bf_unit_system units, FILE *out)
{
    const bf__observed_quantity *quantity = &bf__observed_quantities[residual->what];
    const int decimals = quantity->decimals[units];
    const double scale = bf__quantity_unit(quantity->kind, units).scale;
    (void)fprintf(out, "%8.1f  %-13s  %-8s", residual->row->day, quantity->word,
                  bf__quantity_unit(quantity->kind, units).column);
    bf__print_number(10, decimals, scale * residual->observed, out);
    if (!residual->is_computed) {
        (void)fprintf(out, "  not computed for that day\n");
        return;
    }
    bf__print_number(10, decimals, scale * residual->computed.expected, out);
    bf__print_range(17, decimals, scale * residual->computed.low, scale * residual->computed.high,
                    out);
    (void)fprintf(out, "%+10.*f", decimals, scale * residual->residual);
    if (isnan(residual->residual_of_side)) {
        (void)fprintf(out, "%15s", "-");
    } else {
        (void)fprintf(out, "%+15.2f", residual->residual_of_side);
    }
    (void)fprintf(out, "%s\n",
                  !residual->has_range   ? "  no range"
                  : !residual->is_inside ? "  outside"
                  : residual->is_wide    ? "  wide"
                                         : "");
}

/* How many lie in their range; kinds of readings that have none. */
static void print_sum(const bf_foul_report *report, FILE *out)
{
    const bf__residual_count sum = bf__residuals_count(report);
    bf__wrap_begin(out);
    (void)fprintf(out,
                  "\nOf its side: residual over the distance from computed to the end of the range "
                  "on that side; beyond 1 it lies outside. %zu of %zu observed values with a range "
                  "lie inside it.",
                  sum.inside, sum.has_range);
    if (sum.wide > 0) {
        (void)fprintf(out,
                      " %zu of them lie in a range that spans more than a factor of 5 (wide): "
                      "nearly anything lies in one.",
                      sum.wide);
    }
    (void)fprintf(out,
                  " Iron on the resin is compared with bound iron, hardness and iron with the mean "
                  "of a run of softened water.\n");
    for (size_t what = 0; what < BF_OBSERVED_COUNT; what++) {
        const bf__rangeless without = bf__residuals_rangeless(report, (bf_observed)what);
        if (without.count > 0) {
            (void)fprintf(out,
                          "%zu reading%s of %s %s no range to compare with (nothing in the model "
                          "moves %s, or hardly): off by %+.0f to %+.0f %%.\n",
                          without.count, without.count == 1 ? "" : "s",
                          bf__observed_quantities[what].word, without.count == 1 ? "has" : "have",
                          without.count == 1 ? "it" : "them", 100.0 * without.least,
                          100.0 * without.most);
        }
    }
    bf__wrap_end("", out);
}

void bf__observed_print(const bf_foul_report *report, bf_unit_system units, FILE *out)
{
    const bf_observations *observations = report->observations;
    if (observations == NULL) {
        return;
    }
    (void)fprintf(out, "\nObserved against computed\n\n"
                       "     day  what           unit      observed  computed"
                       "            range  residual   of its side\n"
                       "------------------------------------------------------"
                       "-----------------------------------------\n");
    for (size_t o = 0; o < observations->count; o++) {
        bf__residual residuals[BF_OBSERVED_COUNT];
        const size_t count = bf__residuals(report, o, residuals);
        for (size_t r = 0; r < count; r++) {
            print_residual(&residuals[r], units, out);
        }
    }
    print_sum(report, out);
}
