/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What every output says about how its numbers came about: accuracy, notes, cautions. */
#include "report/page/assumptions.h"

#include "report/page/figure.h"
#include "report/page/wrap.h"

#include <math.h>
#include <string.h>

double bf__mg_per_L_CaCO3(double eq_per_m3)
{
    return bf__quantity_show(BF__QUANTITY_LEAKAGE, BF_UNITS_SI, eq_per_m3);
}

void bf__accuracy_print(const bf_rate_report *report, bf_unit_system units, const char *prefix,
                        FILE *out)
{
    const bf_bed_spec *bed = &report->page.rating->bed;
    double balance = 0.0;
    double capacity = 0.0;
    double leakage = 0.0;
    int any_rated = 0;
    for (size_t p = 0; p < report->count; p++) {
        const bf_steady_result *steady = &report->points[p].steady;
        balance = fmax(balance, steady->cycle.balance_error);
        if (steady->cycle.outcome == BF_RATED) {
            any_rated = 1;
            capacity = fmax(capacity, steady->capacity_error);
            leakage = fmax(leakage, steady->leakage_error);
        }
    }
    bf__wrap_begin(out);
    if (any_rated) {
        (void)fprintf(
            out,
            "%ssteady cycle: repeated until capacity is within %.1g %% and mean leakage within "
            "%.1g %% of its limit (estimated)\n",
            prefix, 100.0 * capacity, 100.0 * leakage);
    }
    (void)fprintf(out, "%sbalance: every ion over every step closes to %.1g of the capacity\n",
                  prefix, balance);
    (void)fprintf(out, "%sgrid: %zu cells, %zu shells", prefix, bed->cells, bed->shells);
    if (bed->solver == BF_SOLVER_BANDED) {
        (void)fputs(", solved as a banded matrix of difference quotients", out);
    }
    if (!isnan(report->grid.capacity_error)) {
        (void)fprintf(
            out,
            "; it is off by %+.2g %% in capacity and %+.2g %% in mean leakage at %s "
            "(estimated from half the cells and one more shell)",
            100.0 * report->grid.capacity_error, 100.0 * report->grid.leakage_error,
            bf__figure_digits(BF__QUANTITY_DOSE, units, report->grid.dose_kg_per_m3, 4).text);
    }
    (void)fputc('\n', out);
    bf__wrap_end(prefix, out);
}

static int is_a_flow_shown_above(const char *where)
{
    return strncmp(where, "regeneration.", 13) == 0 || strncmp(where, "service.", 8) == 0;
}

const char *bf__note_word(bf_note_kind kind)
{
    return kind == BF_NOTE_ASSUMED ? "assumed" : kind == BF_NOTE_DEDUCED ? "deduced" : "caution";
}

/* Steps were shown with their values: of their defaults the names will do. */
void bf__notes_print(const bf_notes *notes, const char *prefix, FILE *out)
{
    int any = 0;
    bf__wrap_begin(out);
    for (size_t n = 0; n < bf_notes_count(notes); n++) {
        const bf_note note = bf_notes_get(notes, n);
        if (note.kind == BF_NOTE_ASSUMED && is_a_flow_shown_above(note.where)) {
            (void)fprintf(out, "%s%s%s", any ? ", " : prefix,
                          any ? "" : "assumed above, not stated in the case: ", note.where);
            any = 1;
        }
    }
    if (any) {
        (void)fputc('\n', out);
    }
    for (size_t n = 0; n < bf_notes_count(notes); n++) {
        const bf_note note = bf_notes_get(notes, n);
        if (note.kind != BF_NOTE_ASSUMED || !is_a_flow_shown_above(note.where)) {
            (void)fprintf(out, "%s%s: %s: %s\n", prefix, bf__note_word(note.kind), note.where,
                          note.text);
        }
    }
    bf__wrap_end(prefix, out);
}

void bf__cautions_print(const char *prefix, FILE *out)
{
    (void)fprintf(out,
                  "%sA computed estimate for sound resin and steady operation, not a\n"
                  "%scertification. Softening adds sodium (or potassium) to the water, and brine\n"
                  "%sgoes to drain: drinking-water and discharge rules, local codes and licensed\n"
                  "%spractice decide.\n",
                  prefix, prefix, prefix, prefix);
}

void bf__foul_cautions_print(const char *prefix, FILE *out)
{
    (void)fprintf(
        out,
        "%sA computed estimate, not a certification. Softening adds sodium (or\n"
        "%spotassium) to the water, and brine goes to drain: drinking-water and discharge\n"
        "%srules, local codes and licensed practice decide.\n",
        prefix, prefix, prefix);
}
