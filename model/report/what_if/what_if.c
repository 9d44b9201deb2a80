/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The quantities of a ranking of changes, and what it comes to in words. */
#include "report/what_if/what_if.h"

#include "report/campaign/campaign_setting.h"
#include "report/page/figure.h"
#include "report/page/wrap.h"

#include <math.h>
#include <string.h>

const bf__column bf__what_if_columns[BF__WHAT_IF_COLUMNS] = {
    BF__COLUMN(NULL, NULL, "", "capacity", CAPACITY, "", 8, 1, 3),
    {.name = {NULL, "gain_eq_per_L"},
     .kind = BF__QUANTITY_CAPACITY,
     .per = "",
     .head = {"", "gain"},
     .width = 8,
     .decimals = {1, 3},
     .is_signed = 1},
    BF__COLUMN(NULL, NULL, "", "kept", SHARE, "", 6, 0, 0),
    BF__COLUMN(NULL, NULL, "", "bound", DEPOSIT, "", 8, 0, 2),
    BF__COLUMN(NULL, NULL, "", "hardness", LEAKAGE, "", 9, 2, 2),
    BF__COLUMN(NULL, NULL, "", "iron", METAL, "", 7, 2, 2),
    BF__COLUMN(NULL, NULL, "", "salt", MASS, "/yr", 8, 0, 0),
    BF__COLUMN(NULL, NULL, "", "water", SUPPLY, "/yr", 9, 0, 1),
};

void bf__what_if_values(const bf_campaign_spec *spec, const bf_fouling_end *end,
                        double gain_eq_per_m3, double values[BF__WHAT_IF_COLUMNS])
{
    const double bed_m3 = bf_bed_volume_m3(&spec->bed);
    const double row[BF__WHAT_IF_COLUMNS] = {end->potential_eq_per_m3,
                                             gain_eq_per_m3,
                                             end->potential_eq_per_m3 /
                                                 end->potential_new_eq_per_m3,
                                             end->bound_kg_per_m3,
                                             end->hardness_eq_per_m3,
                                             end->iron_g_per_m3,
                                             end->salt_kg_per_m3_year * bed_m3,
                                             end->water_bed_volumes_year * bed_m3};
    memcpy(values, row, sizeof row);
}

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

/* "none -> sodium dithionite each 183 d, 4 g per L of resin" */
static void word_cleaning(const bf_campaign_cleaning *before, const bf_campaign_cleaning *after,
                          bf_unit_system units, char text[BF__WHAT_IF_WORDS])
{
    char was[48] = "none";
    if (before->every_days > 0.0) {
        (void)snprintf(was, sizeof was, "%s each %.3g d", bf_cleaner_name(before->agent),
                       before->every_days);
    }
    (void)snprintf(text, BF__WHAT_IF_WORDS, "cleaning: %s -> %s each %.3g d, %.3g %s", was,
                   bf_cleaner_name(after->agent), after->every_days,
                   bf__quantity_show(BF__QUANTITY_DOSE, units, after->dose_kg_per_m3),
                   units == BF_UNITS_US ? "lb/ft3" : "g per L of resin");
}

void bf__what_if_change(const bf_what_if_report *report, const bf_what_if *row,
                        bf_unit_system units, char text[BF__WHAT_IF_WORDS])
{
    static const struct {
        const char *what, *unit;
    } words[] = {
        [BF_WHAT_IF_BRINE_PH] = {"pH of the brine", ""},
        [BF_WHAT_IF_BRINE_OXYGEN] = {"oxygen of the brine, by a reductant,", " mg/L"},
        [BF_WHAT_IF_IRON] = {"iron before the bed, by a filter,", " mg/L"},
        [BF_WHAT_IF_OXYGEN] = {"oxygen of the water", " mg/L"},
    };
    const int us = units == BF_UNITS_US;
    switch (row->kind) {
    case BF_WHAT_IF_SALT:
        (void)snprintf(text, BF__WHAT_IF_WORDS, "salt dose %.4g -> %.4g %s",
                       bf__quantity_show(BF__QUANTITY_DOSE, units, row->before),
                       bf__quantity_show(BF__QUANTITY_DOSE, units, row->after),
                       us ? "lb/ft3" : "g per L of resin");
        break;
    case BF_WHAT_IF_INTERVAL: {
        const double volumes[2] = {bf_campaign_bed_volumes(report->spec),
                                   bf_campaign_bed_volumes(&row->spec)};
        (void)snprintf(text, BF__WHAT_IF_WORDS,
                       "regeneration every %.3g -> %.3g d (%.4g -> %.4g %s)", row->before,
                       row->after, bf__quantity_show(BF__QUANTITY_BED_VOLUMES, units, volumes[0]),
                       bf__quantity_show(BF__QUANTITY_BED_VOLUMES, units, volumes[1]),
                       us ? "gal/ft3" : "bed volumes");
        break;
    }
    case BF_WHAT_IF_CLEANING:
        word_cleaning(&report->spec->cleaning, &row->spec.cleaning, units, text);
        break;
    default:
        (void)snprintf(text, BF__WHAT_IF_WORDS, "%s %.3g -> %.3g%s", words[row->kind].what,
                       row->before, row->after, words[row->kind].unit);
        break;
    }
}

/* A capacity in a sentence. */
static bf__figure capacity(bf_unit_system units, double eq_per_m3)
{
    return bf__figure_decimals(BF__QUANTITY_CAPACITY, units, eq_per_m3,
                               bf__what_if_columns[0].decimals[units]);
}

/* What is best, and whether the next is as good. */
static void print_best(const bf_what_if_report *report, bf_unit_system units, FILE *out)
{
    const bf_what_if *first = &report->rows[0];
    char change[BF__WHAT_IF_WORDS];
    bf__what_if_change(report, first, units, change);
    (void)fprintf(out, " Most is left with: %s; %s.", change,
                  capacity(units, first->end.potential_eq_per_m3).text);
    if (report->count > 1) {
        const bf_what_if *second = &report->rows[1];
        if (what_is_left(&second->end) > (1.0 - tie) * what_is_left(&first->end)) {
            bf__what_if_change(report, second, units, change);
            (void)fprintf(out, " A tie, within %.0f %%: %s; %s.", 100.0 * tie, change,
                          capacity(units, second->end.potential_eq_per_m3).text);
        }
    }
}

void bf__what_if_words(const bf_what_if_report *report, bf_unit_system units, const char *prefix,
                       FILE *out)
{
    bf__wrap_begin(out);
    const bf_fouling_end *unchanged = report->unchanged;
    if (!isnan(unchanged->potential_eq_per_m3)) {
        (void)fprintf(out, "%sUnchanged, the bed ends with %s, %.0f %% of what it holds new.",
                      prefix, capacity(units, unchanged->potential_eq_per_m3).text,
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
