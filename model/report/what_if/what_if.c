/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/what_if/what_if.h"

#include "report/campaign/campaign_setting.h"
#include "report/campaign/campaign_show.h"
#include "report/page/wrap.h"

#include <math.h>

/* A fifth lost is when the trade thinks of new resin (Reskem 2011). */
static const double share_that_will_do = 0.8;
/* Of the capacity left: nearer than this the order of two says nothing. */
static const double tie = 0.02;

int bf__what_if_names_chemicals(const bf_what_if_report *report)
{
    int any = bf__campaign_names_chemicals(report->spec);
    for (size_t r = 0; r < report->count; r++) {
        any = any || report->rows[r].chemical;
    }
    return any;
}

/* A bed that was spent, or whose potential is not told, has nothing left. */
static double what_is_left(const bf_fouling_end *end)
{
    return end->state == BF_CAMPAIGN_SPENT ? 0.0 : fmax(end->potential_eq_per_m3, 0.0);
}

/* The best of all, unchanged included. */
static double best_eq_per_m3(const bf_what_if_report *report)
{
    double best = what_is_left(report->unchanged);
    for (size_t r = 0; r < report->count; r++) {
        best = fmax(best, what_is_left(&report->rows[r].end));
    }
    return best;
}

int bf__what_if_nothing_helps(const bf_what_if_report *report)
{
    return best_eq_per_m3(report) < share_that_will_do * report->unchanged->potential_new_eq_per_m3;
}

const char *bf__what_if_change(const bf_what_if *row, bf_unit_system units)
{
    return units == BF_UNITS_US ? row->change_us : row->change;
}

/* What is best, and whether the next is as good. */
static void print_best(const bf_what_if_report *report, bf_unit_system units, FILE *out)
{
    const bf_what_if *first = &report->rows[0];
    const int us = units == BF_UNITS_US;
    (void)fprintf(out, " Most is left with: %s; %.*f %s.", bf__what_if_change(first, units),
                  us ? 1 : 3, bf__show_capacity(units, first->end.potential_eq_per_m3),
                  bf__unit_of_capacity(units));
    if (report->count > 1) {
        const bf_what_if *second = &report->rows[1];
        if (what_is_left(&second->end) > (1.0 - tie) * what_is_left(&first->end)) {
            (void)fprintf(out, " A tie, within %.0f %%: %s; %.*f %s.", 100.0 * tie,
                          bf__what_if_change(second, units), us ? 1 : 3,
                          bf__show_capacity(units, second->end.potential_eq_per_m3),
                          bf__unit_of_capacity(units));
        }
    }
}

void bf__what_if_words(const bf_what_if_report *report, bf_unit_system units, const char *prefix,
                       FILE *out)
{
    bf__wrap_begin(out);
    const bf_fouling_end *unchanged = report->unchanged;
    const int us = units == BF_UNITS_US;
    if (!isnan(unchanged->potential_eq_per_m3)) {
        (void)fprintf(out, "%sUnchanged, the bed ends with %.*f %s, %.0f %% of what it holds new.",
                      prefix, us ? 1 : 3, bf__show_capacity(units, unchanged->potential_eq_per_m3),
                      bf__unit_of_capacity(units),
                      100.0 * unchanged->potential_eq_per_m3 / unchanged->potential_new_eq_per_m3);
        if (report->count > 0 && report->rows[0].gain_eq_per_m3 > 0.0) {
            print_best(report, units, out);
        } else {
            (void)fputs(" No change tried helps.", out);
        }
        (void)fputc('\n', out);
    }
    if (*bf__iron_advice(report->spec)) {
        (void)fprintf(out, "%s%s\n", prefix, bf__iron_advice(report->spec));
    } else if (bf__what_if_nothing_helps(report)) {
        (void)fprintf(out,
                      "%sNo change keeps four fifths of the new bed's capacity: remove the iron "
                      "before the bed.\n",
                      prefix);
    }
    (void)fprintf(out,
                  "%sThe order is that of the expected parameters; changes that lie close to each "
                  "other may change places within the range.\n",
                  prefix);
    bf__wrap_end(prefix, out);
}
