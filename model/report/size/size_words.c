/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Questions of size in words.
 *
 * Each figure is rounded to the side that leaves the reader short of nothing: doses, resin, salt
 * and end points up, what a bed would hold, carry or last down.
 */
#include "report/size/size_words.h"

#include "brinefront/band.h"
#include "brinefront/tank.h"
#include "report/page/figure.h"

#include <math.h>
#include <stdlib.h>

/* To which side a figure is rounded. */
typedef enum rounding {
    STATED, /* four digits, and no power of ten behind */
    UP,
    DOWN
} rounding;

static bf__figure figure(bf__quantity kind, bf_unit_system units, double value, rounding side)
{
    const double shown = bf__quantity_show(kind, units, value);
    const double rounded = side == UP ? bf_round_up(shown, BF__SIZE_DIGITS)
                           : side == DOWN
                               ? bf_round_down(shown, BF__SIZE_DIGITS)
                               : strtod(bf__figure_digits(kind, units, value, 4).text, NULL);
    bf__figure text;
    (void)snprintf(text.text, sizeof text.text, "%.10g %s", rounded,
                   bf__quantity_unit(kind, units).text);
    return text;
}

static bf__figure days(double value)
{
    bf__figure text;
    (void)snprintf(text.text, sizeof text.text, "%.10g days",
                   bf_round_down(value, BF__SIZE_DIGITS));
    return text;
}

/* ---- sentences ------------------------------------------------------------------------------- */

const char *bf__size_title(bf_size_question question)
{
    switch (question) {
    case BF_SIZE_DOSE: return "The least dose for a capacity";
    case BF_SIZE_BED: return "The smallest bed for a flow and an interval";
    case BF_SIZE_SALT: return "The dose that takes least salt a year";
    case BF_SIZE_END_POINT: return "The lowest end point a dose can hold";
    case BF_SIZE_QUESTIONS: break;
    }
    return "";
}

static void print_dose(const bf_size_report *report, bf_unit_system units, FILE *out)
{
    const bf_sizing *found = report->found;
    const double bed_m3 = bf_bed_volume_m3(&found->bed);
    const double most = BF_SIZING_DOSE_HIGH;
    const bf__figure capacity =
        figure(BF__QUANTITY_CAPACITY, units, report->capacity_eq_per_m3, STATED);
    const bf__figure held =
        figure(BF__QUANTITY_HELD, units, report->capacity_eq_per_m3 * bed_m3, STATED);
    if (found->binding == BF_BINDING_NONE) {
        (void)fprintf(out,
                      "To hold %s (%s in this bed) takes a dose of %s at the least, %s of salt a "
                      "regeneration.\n",
                      capacity.text, held.text,
                      figure(BF__QUANTITY_DOSE, units, found->answer, UP).text,
                      figure(BF__QUANTITY_MASS, units, found->answer * bed_m3, UP).text);
        return;
    }
    (void)fprintf(out, "No dose up to %s holds %s (%s in this bed). ",
                  figure(BF__QUANTITY_DOSE, units, most, STATED).text, capacity.text, held.text);
    if (!isnan(found->nearest)) {
        (void)fprintf(out, "The most that can be had is %s (%s), at that dose.\n",
                      figure(BF__QUANTITY_CAPACITY, units, found->nearest, DOWN).text,
                      figure(BF__QUANTITY_HELD, units, found->nearest * bed_m3, DOWN).text);
    }
}

static void print_bed(const bf_size_report *report, bf_unit_system units, FILE *out)
{
    const bf_sizing *found = report->found;
    const bf__figure flow = figure(BF__QUANTITY_FLOW, units, report->flow_m3_per_s, STATED);
    const bf__figure interval = figure(BF__QUANTITY_SUPPLY, units, report->interval_m3, STATED);
    const bf__figure dose = figure(BF__QUANTITY_DOSE, units, report->dose_kg_per_m3, STATED);
    if (found->binding == BF_BINDING_NONE) {
        (void)fprintf(out,
                      "To soften %s at %s between regenerations with %s of salt takes %s of resin "
                      "at the least: %s across and %s deep.\n",
                      interval.text, flow.text, dose.text,
                      figure(BF__QUANTITY_RESIN, units, found->answer, UP).text,
                      figure(BF__QUANTITY_LENGTH, units, found->bed.diameter_m, UP).text,
                      figure(BF__QUANTITY_LENGTH, units, found->bed.depth_m, UP).text);
        return;
    }
    (void)fprintf(out, "No bed softens %s at %s between regenerations with %s of salt. ",
                  interval.text, flow.text, dose.text);
    if (!isnan(found->nearest) && found->ratings == 0) {
        (void)fprintf(out, "The most that a bed carries is %s.\n",
                      figure(BF__QUANTITY_FLOW, units, found->nearest, DOWN).text);
    } else if (!isnan(found->nearest)) {
        (void)fprintf(out,
                      "The largest that is allowed, %s of resin, %s across and %s deep, softens "
                      "%s.\n",
                      figure(BF__QUANTITY_RESIN, units, bf_bed_volume_m3(&found->bed), DOWN).text,
                      figure(BF__QUANTITY_LENGTH, units, found->bed.diameter_m, DOWN).text,
                      figure(BF__QUANTITY_LENGTH, units, found->bed.depth_m, DOWN).text,
                      figure(BF__QUANTITY_SUPPLY, units, found->nearest, DOWN).text);
    }
}

static void print_salt(const bf_size_report *report, bf_unit_system units, FILE *out)
{
    const bf_sizing *found = report->found;
    const bf__figure water = figure(BF__QUANTITY_SUPPLY, units, report->water_m3_per_day, STATED);
    if (found->binding == BF_BINDING_NONE) {
        (void)fprintf(out,
                      "For %s a day a dose of %s takes least salt: %s a year, in regenerations "
                      "%s apart. (None was to be sooner than %.4g or later than %.4g days "
                      "after the last.)\n",
                      water.text, figure(BF__QUANTITY_DOSE, units, found->answer, UP).text,
                      figure(BF__QUANTITY_MASS, units, found->salt_kg_per_year, UP).text,
                      days(found->days).text, report->least_days, report->most_days);
        return;
    }
    (void)fprintf(out, "No dose up to %s lasts %.4g days at %s a day. ",
                  figure(BF__QUANTITY_DOSE, units, BF_SIZING_DOSE_HIGH, STATED).text,
                  report->least_days, water.text);
    if (!isnan(found->nearest)) {
        (void)fprintf(out, "The longest that can be had is %s.\n", days(found->nearest).text);
    }
}

static void print_end_point(const bf_size_report *report, bf_unit_system units, FILE *out)
{
    const bf_sizing *found = report->found;
    const bf__figure dose = figure(BF__QUANTITY_DOSE, units, report->dose_kg_per_m3, STATED);
    if (found->binding == BF_BINDING_NONE) {
        (void)fprintf(out, "With %s of salt the lowest end point that can be held is %s (%s).\n",
                      dose.text, figure(BF__QUANTITY_SETTING, units, found->answer, UP).text,
                      figure(BF__QUANTITY_SETTING, units == BF_UNITS_US ? BF_UNITS_SI : BF_UNITS_US,
                             found->answer, UP)
                          .text);
        return;
    }
    (void)fprintf(out, "With %s of salt no end point below the hardness of the feed can be held. ",
                  dose.text);
}

/* Where nothing near can be had: why the last rating that was tried is none. */
static void print_why_nothing(const bf_sizing *found, FILE *out)
{
    switch (found->binding) {
    case BF_BINDING_LEAKAGE:
        (void)fprintf(out, "Leakage forbids it: the water is above the end point from the start, "
                           "and nothing near can be had.\n");
        break;
    case BF_BINDING_CYCLE:
        (void)fprintf(out, "The cycle forbids it: %s.\n",
                      bf_outcome_words(found->point.steady.cycle.outcome));
        break;
    default:
        (void)fprintf(out, "What forbids it: %s; nothing near can be had.\n",
                      bf_binding_words(found->binding));
        break;
    }
}

void bf__size_answer_print(const bf_size_report *report, bf_unit_system units, FILE *out)
{
    static void (*const print[BF_SIZE_QUESTIONS])(const bf_size_report *, bf_unit_system,
                                                  FILE *) = {print_dose, print_bed, print_salt,
                                                             print_end_point};
    print[report->question](report, units, out);
    if (report->found->binding != BF_BINDING_NONE && isnan(report->found->nearest)) {
        print_why_nothing(report->found, out);
    } else if (report->found->binding != BF_BINDING_NONE) {
        (void)fprintf(out, "The limit that forbids more: %s.\n",
                      bf_binding_words(report->found->binding));
    }
}

/* What a little less of the answer would do, by what decides. NULL: of this question never. */
static const char *const less[BF_SIZE_QUESTIONS][BF_BINDING_CYCLE + 1] = {
    [BF_SIZE_DOSE] = {[BF_BINDING_CAPACITY] = "The capacity decides: a smaller dose holds less.",
                      [BF_BINDING_LEAKAGE] =
                          "Leakage decides: a smaller dose leaks above the end point from "
                          "the start, and this one already holds more than was asked.",
                      [BF_BINDING_SIZE] =
                          "No smaller dose was looked at; this one holds more than was asked."},
    [BF_SIZE_BED] =
        {[BF_BINDING_INTERVAL] = "The water between regenerations decides: less resin is exhausted "
                                 "sooner.",
         [BF_BINDING_LEAKAGE] = "Leakage decides: less resin leaks above the end point from the "
                                "start.",
         [BF_BINDING_FLOW] = "The flow decides: less resin would break one of the limits below. It "
                             "lasts longer than was asked.",
         [BF_BINDING_SIZE] = "No smaller bed was looked at; this one lasts longer than was asked."},
    [BF_SIZE_SALT] = {[BF_BINDING_NONE] =
                          "Salt itself decides: a smaller dose would be allowed, but takes more "
                          "salt a year.",
                      [BF_BINDING_INTERVAL] =
                          "The least time between regenerations decides: a smaller dose "
                          "takes less salt a year, but does not last so long.",
                      [BF_BINDING_LEAKAGE] =
                          "Leakage decides: a smaller dose leaks above the end point from "
                          "the start.",
                      [BF_BINDING_SIZE] = "No smaller dose was looked at."},
    [BF_SIZE_END_POINT] =
        {[BF_BINDING_LEAKAGE] = "Leakage decides: runs to a lower one would begin above it.",
         [BF_BINDING_SIZE] = "No lower one was looked at: this is a thousandth of the hardness of "
                             "the feed."},
};

/* Leakage that a longer rinse would cure. */
static void print_rinse(const bf_size_report *report, FILE *out)
{
    const double worth_a_word = 0.01;
    const bf_sizing *found = report->found;
    const int leaks = found->binding == BF_BINDING_LEAKAGE ||
                      (found->binding == BF_BINDING_NONE && found->decided == BF_BINDING_LEAKAGE);
    if (!leaks || found->ratings == 0) {
        return;
    }
    const double share_left =
        bf_salt_left_eq_per_m3(&report->page.rating->recipe, &found->point.steady.cycle) /
        found->point.dose_eq_per_m3;
    if (share_left > worth_a_word) {
        (void)fprintf(
            out,
            "The last rinse leaves %.2g %% of the salt in bed and freeboard, and its "
            "hardness leaks first: a larger regeneration.fast_rinse_volume may cure it.\n",
            100.0 * share_left);
    }
}

/* The common vessel for a bed whose diameter was free. */
static void print_vessel(const bf_size_report *report, bf_unit_system units, FILE *out)
{
    if (report->in_vessel == NULL) {
        return;
    }
    if (report->vessel == NULL) {
        (void)fprintf(out, "No common vessel size does it.\n");
        return;
    }
    const bf_bed_spec *bed = &report->in_vessel->bed;
    (void)fprintf(
        out,
        "Of common sizes %s is the smallest that does it: %s of resin, %s deep, with room "
        "for it to swell and to be lifted in backwash.\n",
        report->vessel, figure(BF__QUANTITY_RESIN, units, bf_bed_volume_m3(bed), UP).text,
        figure(BF__QUANTITY_LENGTH, units, bed->depth_m, UP).text);
}

/* Whether the answer is of the case as it stands, or of what most samples hold. */
static void print_promise(const bf_size_report *report, FILE *out)
{
    const bf_sizing_spec *practical = report->practical;
    if (practical == NULL) {
        (void)fprintf(out, "%s\n",
                      report->question == BF_SIZE_DOSE || report->question == BF_SIZE_BED
                          ? "Nominal: of the case as it stands, which half of what its constants "
                            "leave open falls short of. --practical asks for what nine of ten "
                            "samples hold."
                          : "Nominal: of the case as it stands, without a band.");
    } else if (!isnan(report->found->practical_ratio)) {
        (void)fprintf(out,
                      "Practical: %.4g %% of %zu samples of the uncertain constants hold less than "
                      "%.3g times the capacity below.\n",
                      100.0 * practical->quantile, practical->samples,
                      report->found->practical_ratio);
    } else {
        (void)fprintf(out, "Practical: asked of what all but %.4g %% of %zu samples hold.\n",
                      100.0 * practical->quantile, practical->samples);
    }
}

void bf__size_decided_print(const bf_size_report *report, bf_unit_system units, FILE *out)
{
    const char *sentence = less[report->question][report->found->decided];
    if (report->found->binding == BF_BINDING_NONE && sentence != NULL) {
        (void)fprintf(out, "%s\n", sentence);
    }
    print_rinse(report, out);
    print_vessel(report, units, out);
    print_promise(report, out);
}

void bf__size_limits_print(const bf_size_report *report, bf_unit_system units, FILE *out)
{
    const bf_tank_spec *tank = report->tank;
    if (report->question != BF_SIZE_BED || tank == NULL) {
        return;
    }
    (void)fprintf(out, "limits in service:");
    const char *between = " ";
    if (!isnan(tank->velocity_limit_m_per_s)) {
        (void)fprintf(
            out, "%s%s", between,
            bf__figure_digits(BF__QUANTITY_VELOCITY, units, tank->velocity_limit_m_per_s, 3).text);
        between = ", ";
    }
    if (!isnan(tank->bed_volumes_per_h_limit)) {
        (void)fprintf(out, "%s%.3g BV/h", between, tank->bed_volumes_per_h_limit);
        between = ", ";
    }
    if (!isnan(tank->pressure_limit_Pa)) {
        (void)fprintf(
            out, "%s%s over bed and fittings", between,
            bf__figure_digits(BF__QUANTITY_PRESSURE, units, tank->pressure_limit_Pa, 3).text);
    }
    (void)fprintf(out, isnan(tank->diameter_m)
                           ? "; the depth is that of the case, the diameter grows\n"
                           : "; the diameter stands, the depth grows\n");
}
