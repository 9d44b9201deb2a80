/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What limits a fouling bed, in words. */
#include "report/foul/foul_limits.h"

#include "report/foul/foul_rows.h"
#include "report/page/figure.h"
#include "report/page/page.h"
#include "report/page/wrap.h"

#include <math.h>
#include <string.h>

/* A sentence is `before`, the bound in so many digits, and `after`; 0 digits: without the bound. */
static const struct {
    const char *name, *source, *before;
    bf__quantity kind;
    int digits;
    const char *after;
} words[BF__LIMITS] = {
    [BF__LIMIT_RATING] = {"capacity below its rating", "",
                          "capacity to the end point below the rating stated, ",
                          BF__QUANTITY_CAPACITY, 3, ""},
    [BF__LIMIT_NEED] = {"capacity below need", "",
                        "capacity to the end point below the hardness that arrives between "
                        "regenerations",
                        BF__QUANTITY_CAPACITY, 3, ""},
    [BF__LIMIT_LEAKS] = {"leaks from the start", "",
                         "hardness above the end point from the start of a run: no capacity to it",
                         BF__QUANTITY_PLAIN, 0, ""},
    [BF__LIMIT_SITES] = {"resin capacity", "trade advice, replace or consider it: Reskem 2011",
                         "total capacity of the resin below ", BF__QUANTITY_CAPACITY, 3,
                         ", 20 % under new"},
    [BF__LIMIT_HARD_AT_END] = {"hardness before regeneration", "",
                               "hardness of the softened water above the end point, ",
                               BF__QUANTITY_SETTING, 3, ", when the bed comes to be regenerated"},
    [BF__LIMIT_HARD_MEAN] = {"mean hardness", "",
                             "hardness of the softened water above the end point on the average "
                             "of a run",
                             BF__QUANTITY_PLAIN, 0, ""},
    [BF__LIMIT_IRON] = {"iron in the product", "US EPA secondary standard, 40 CFR 143.3",
                        "iron above ", BF__QUANTITY_METAL, 3, " in the softened water"},
    [BF__LIMIT_MANGANESE] = {"manganese in the product", "US EPA secondary standard, 40 CFR 143.3",
                             "manganese above ", BF__QUANTITY_METAL, 3, " in the softened water"},
    [BF__LIMIT_PRESSURE] = {"pressure drop",
                            "NSF/ANSI 44 as certifiers describe it, for valve and piping too; "
                            "standard not seen",
                            "pressure drop of the bed alone above ", BF__QUANTITY_PRESSURE, 4,
                            " at service flow"},
    [BF__LIMIT_ALKALINITY] = {"alkalinity used up", "",
                              "alkalinity used up: the water no longer holds the pH that was "
                              "stated",
                              BF__QUANTITY_PLAIN, 0, ""},
    [BF__LIMIT_MOISTURE] = {"worn resin", "end of life of 8 % gel, from memory",
                            "moisture of the resin above ", BF__QUANTITY_SHARE, 3, ""},
    [BF__LIMIT_SPENT] = {"bed spent", "", "the bed is spent: less than 0.5 eq/L of sites",
                         BF__QUANTITY_PLAIN, 0, ""},
};

/* What a bed has to hold is that of the first season where there are several. */
static const char *between(const bf_foul_report *report, bf__limit_kind kind)
{
    return kind != BF__LIMIT_NEED           ? ""
           : report->spec->season_count > 0 ? " (first season), "
                                            : ", ";
}

size_t bf__foul_limits(const bf_foul_report *report, bf_unit_system units, bf__worded_limit *out)
{
    const bf__limit_case bed = {.spec = report->spec,
                                .rating_eq_per_m3 = report->campaign->needed_eq_per_m3,
                                .states_alkalinity =
                                    bf__page_states(&report->page, "water.alkalinity")};
    bf__limit limits[BF__LIMITS];
    const size_t count = bf__limits_find(&bed, report->series, limits);
    for (size_t l = 0; l < count; l++) {
        const bf__limit_kind kind = limits[l].kind;
        bf__figure bound = {""};
        if (words[kind].digits > 0) { /* hardness of softened water is read in mg/L by all */
            bound = bf__figure_digits(words[kind].kind,
                                      kind == BF__LIMIT_HARD_AT_END ? BF_UNITS_SI : units,
                                      limits[l].bound, words[kind].digits);
        }
        out[l] = (bf__worded_limit){
            .limit = limits[l], .name = words[kind].name, .source = words[kind].source};
        (void)snprintf(out[l].text, sizeof out[l].text, "%s%s%s%s", words[kind].before,
                       between(report, kind), bound.text, words[kind].after);
    }
    return count;
}

/* ---- on a page ------------------------------------------------------------------------------- */

enum { DAY_ROOM = 32 };

/* When a limit is met, in words: "from the start", "month 14", "never". */
typedef struct when {
    char expected[DAY_ROOM], earliest[DAY_ROOM], latest[DAY_ROOM];
    int has_range; /* nonzero: earliest and latest read differently */
} when;

/* The row of the table that shows a day first. @param day  NAN or INFINITY: never */
static void word_day(double day, char text[DAY_ROOM])
{
    if (!isfinite(day)) {
        (void)snprintf(text, DAY_ROOM, "never");
    } else if (day <= 0.0) {
        (void)snprintf(text, DAY_ROOM, "from the start");
    } else {
        (void)snprintf(text, DAY_ROOM, "month %.0f", ceil(day / BF__DAYS_PER_MONTH));
    }
}

static when word_days(const bf__limit *limit)
{
    when days;
    word_day(limit->day[BF_FOULING_EXPECTED], days.expected);
    word_day(bf__limit_earliest(limit), days.earliest);
    word_day(bf__limit_latest(limit), days.latest);
    days.has_range = strcmp(days.earliest, days.latest) != 0;
    return days;
}

/* A limit and where its figure comes from. */
static void word_with_source(const bf__worded_limit *limit, char text[300])
{
    (void)snprintf(text, 300, *limit->source ? "%s (%s)" : "%s%s", limit->text, limit->source);
}

static void print_first(const bf__worded_limit *first, const char *length, const char *prefix,
                        FILE *out)
{
    const when days = word_days(&first->limit);
    const double expected_day = first->limit.day[BF_FOULING_EXPECTED];
    const double earliest_day = bf__limit_earliest(&first->limit);
    if (!isnan(expected_day)) {
        (void)fprintf(out, "%sFirst comes, as expected %s%s: %s", prefix,
                      expected_day > 0.0 ? "in " : "", days.expected, first->text);
        if (days.has_range) {
            (void)fprintf(out, "; in the range: %s to %s", days.earliest, days.latest);
            if (!isfinite(bf__limit_latest(&first->limit))) {
                (void)fprintf(out, " within %s", length);
            }
        }
        (void)fputs(".\n", out);
    } else if (isfinite(earliest_day)) {
        (void)fprintf(out,
                      "%sAs expected nothing limits this bed within %s. At the worse end "
                      "of the range first comes, %s%s: %s.\n",
                      prefix, length, earliest_day > 0.0 ? "in " : "", days.earliest, first->text);
    } else {
        (void)fprintf(out, "%sNothing limits this bed within %s, at either end of the range.\n",
                      prefix, length);
    }
}

static void print_reached(const bf__worded_limit *limits, size_t count, const char *length,
                          const char *prefix, FILE *out)
{
    enum { TEXT_COLUMN = 42, TEXT_END = 96 };
    const int range_width = TEXT_COLUMN - 16 - (int)strlen(prefix);
    (void)fprintf(out, "%s\n%sBy month; never: not within %s.\n%s\n%s%-16s%-*swhat\n", prefix,
                  prefix, length, prefix, prefix, "as expected", range_width, "in the range");
    for (size_t l = 0; l < count; l++) {
        if (isfinite(bf__limit_earliest(&limits[l].limit))) {
            const when days = word_days(&limits[l].limit);
            char range[80];
            char text[300];
            (void)snprintf(range, sizeof range, days.has_range ? "%s to %s" : "%s", days.earliest,
                           days.latest);
            word_with_source(&limits[l], text);
            (void)fprintf(out, "%s%-16s%-*s", prefix, days.expected, range_width, range);
            bf__print_column(text, TEXT_COLUMN, TEXT_END, prefix, out);
        }
    }
}

static void print_not_reached(const bf__worded_limit *limits, size_t count, const char *length,
                              const char *prefix, FILE *out)
{
    bf__wrap_begin(out);
    int any = 0;
    for (size_t l = 0; l < count; l++) {
        if (!isfinite(bf__limit_earliest(&limits[l].limit))) {
            char text[300];
            if (!any) {
                (void)fprintf(out, "%sNot reached within %s at either end of the range: ", prefix,
                              length);
            }
            word_with_source(&limits[l], text);
            (void)fprintf(out, "%s%s", any ? "; " : "", text);
            any = 1;
        }
    }
    (void)fputs(any ? ".\n" : "", out);
    bf__wrap_end(prefix, out);
}

void bf__foul_limits_print(const bf_foul_report *report, bf_unit_system units, const char *prefix,
                           FILE *out)
{
    const double end_day = bf__years_last(report->series)->day;
    const int in_months = end_day > 2.0 * BF__DAYS_PER_MONTH;
    char length[32];
    (void)snprintf(length, sizeof length, "%.0f %s",
                   in_months ? ceil(end_day / BF__DAYS_PER_MONTH - 0.05) : end_day,
                   in_months ? "months" : "days");
    bf__worded_limit limits[BF__LIMITS];
    const size_t count = bf__foul_limits(report, units, limits);
    bf__wrap_begin(out);
    print_first(&limits[0], length, prefix, out);
    bf__wrap_end(prefix, out);
    if (isfinite(bf__limit_earliest(&limits[0].limit))) {
        print_reached(limits, count, length, prefix, out);
        (void)fprintf(out, "%s\n", prefix);
    }
    print_not_reached(limits, count, length, prefix, out);
    if (bf__campaign_brings(report->spec, BF_ION_FE) &&
        !bf__page_states(&report->page, "water.alkalinity")) {
        (void)fprintf(
            out, "%sAlkalinity not stated, so whether the water holds its pH was not judged.\n",
            prefix);
    }
}
