/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Questions of size in words.
 *
 * Each figure is rounded to the side that leaves the reader short of nothing: doses, resin, salt
 * and end points up, what a bed would hold, carry or last down.
 */
#include "report/size/size_words.h"

#include "brinefront/band.h"
#include "brinefront/convert.h"
#include "brinefront/tank.h"
#include "report/campaign/campaign_show.h"
#include "report/page/assumptions.h"

#include <math.h>
#include <stdlib.h>

typedef struct figure {
    char text[48];
} figure;

static figure as_asked(double shown, const char *unit)
{
    figure made;
    char digits[32]; /* four of them, and no power of ten behind */
    (void)snprintf(digits, sizeof digits, "%.4g", shown);
    (void)snprintf(made.text, sizeof made.text, "%.10g %s", strtod(digits, NULL), unit);
    return made;
}

static figure up(double shown, const char *unit)
{
    figure made;
    (void)snprintf(made.text, sizeof made.text, "%.10g %s", bf_round_up(shown, BF__SIZE_DIGITS),
                   unit);
    return made;
}

static figure down(double shown, const char *unit)
{
    figure made;
    (void)snprintf(made.text, sizeof made.text, "%.10g %s", bf_round_down(shown, BF__SIZE_DIGITS),
                   unit);
    return made;
}

/* ---- what is shown ---------------------------------------------------------------------------
 */

static figure dose(bf_unit_system units, double kg_per_m3, figure (*side)(double, const char *))
{
    return side(bf__show_dose(units, kg_per_m3), bf__unit_of_dose(units));
}

static figure mass(bf_unit_system units, double kg, figure (*side)(double, const char *))
{
    return side(bf__show_mass(units, kg), bf__unit_of_mass(units));
}

static figure capacity(bf_unit_system units, double eq_per_m3, figure (*side)(double, const char *))
{
    return side(bf__show_capacity(units, eq_per_m3), bf__unit_of_capacity(units));
}

/* Of a whole bed. */
static figure held(bf_unit_system units, double eq, figure (*side)(double, const char *))
{
    return units == BF_UNITS_US ? side(eq * BF_G_CACO3_PER_EQ * 1e-6 / BF_KG_PER_GRAIN, "kgr")
                                : side(eq, "eq");
}

static figure water(bf_unit_system units, double m3, figure (*side)(double, const char *))
{
    return side(bf__show_volume(units, m3), bf__unit_of_volume(units));
}

static figure flow(bf_unit_system units, double m3_per_s, figure (*side)(double, const char *))
{
    return units == BF_UNITS_US ? side(m3_per_s * BF_S_PER_MIN / BF_M3_PER_GAL, "gpm")
                                : side(m3_per_s * BF_S_PER_H, "m3/h");
}

static figure resin(bf_unit_system units, double m3, figure (*side)(double, const char *))
{
    return units == BF_UNITS_US ? side(m3 / BF_M3_PER_FT3, "ft3") : side(1e3 * m3, "L");
}

static figure length(bf_unit_system units, double m, figure (*side)(double, const char *))
{
    return units == BF_UNITS_US ? side(m / BF_M_PER_IN, "in") : side(m, "m");
}

static figure hardness(bf_unit_system units, double eq_per_m3, figure (*side)(double, const char *))
{
    return units == BF_UNITS_US ? side(eq_per_m3 / BF_EQ_PER_M3_PER_GPG, "gpg")
                                : side(bf__mg_per_L_CaCO3(eq_per_m3), "mg/L as CaCO3");
}

/* ---- sentences -------------------------------------------------------------------------------
 */

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
    const figure wanted = capacity(units, report->capacity_eq_per_m3, as_asked);
    const figure wanted_of_bed = held(units, report->capacity_eq_per_m3 * bed_m3, as_asked);
    if (found->binding == BF_BINDING_NONE) {
        (void)fprintf(out,
                      "To hold %s (%s in this bed) takes a dose of %s at the least, %s of salt a "
                      "regeneration.\n",
                      wanted.text, wanted_of_bed.text, dose(units, found->answer, up).text,
                      mass(units, found->answer * bed_m3, up).text);
        return;
    }
    (void)fprintf(out, "No dose up to %s holds %s (%s in this bed). ",
                  dose(units, most, as_asked).text, wanted.text, wanted_of_bed.text);
    if (!isnan(found->nearest)) {
        (void)fprintf(out, "The most that can be had is %s (%s), at that dose.\n",
                      capacity(units, found->nearest, down).text,
                      held(units, found->nearest * bed_m3, down).text);
    }
}

static void print_bed(const bf_size_report *report, bf_unit_system units, FILE *out)
{
    const bf_sizing *found = report->found;
    const figure carried = flow(units, report->flow_m3_per_s, as_asked);
    const figure lasts = water(units, report->interval_m3, as_asked);
    const figure with = dose(units, report->dose_kg_per_m3, as_asked);
    if (found->binding == BF_BINDING_NONE) {
        (void)fprintf(out,
                      "To soften %s at %s between regenerations with %s of salt takes %s of resin "
                      "at the least: %s across and %s deep.\n",
                      lasts.text, carried.text, with.text, resin(units, found->answer, up).text,
                      length(units, found->bed.diameter_m, up).text,
                      length(units, found->bed.depth_m, up).text);
        return;
    }
    (void)fprintf(out, "No bed softens %s at %s between regenerations with %s of salt. ",
                  lasts.text, carried.text, with.text);
    if (!isnan(found->nearest) && found->ratings == 0) {
        (void)fprintf(out, "The most that a bed carries is %s.\n",
                      flow(units, found->nearest, down).text);
    } else if (!isnan(found->nearest)) {
        (void)fprintf(out,
                      "The largest that is allowed, %s of resin, %s across and %s deep, softens "
                      "%s.\n",
                      resin(units, bf_bed_volume_m3(&found->bed), down).text,
                      length(units, found->bed.diameter_m, down).text,
                      length(units, found->bed.depth_m, down).text,
                      water(units, found->nearest, down).text);
    }
}

static void print_salt(const bf_size_report *report, bf_unit_system units, FILE *out)
{
    const bf_sizing *found = report->found;
    const figure used = water(units, report->water_m3_per_day, as_asked);
    if (found->binding == BF_BINDING_NONE) {
        (void)fprintf(out,
                      "For %s a day a dose of %s takes least salt: %s a year, in regenerations "
                      "%s apart. (None was to be sooner than %.4g or later than %.4g days "
                      "after the last.)\n",
                      used.text, dose(units, found->answer, up).text,
                      mass(units, found->salt_kg_per_year, up).text, down(found->days, "days").text,
                      report->least_days, report->most_days);
        return;
    }
    (void)fprintf(out, "No dose up to %s lasts %.4g days at %s a day. ",
                  dose(units, BF_SIZING_DOSE_HIGH, as_asked).text, report->least_days, used.text);
    if (!isnan(found->nearest)) {
        (void)fprintf(out, "The longest that can be had is %s.\n",
                      down(found->nearest, "days").text);
    }
}

static void print_end_point(const bf_size_report *report, bf_unit_system units, FILE *out)
{
    const bf_sizing *found = report->found;
    const figure with = dose(units, report->dose_kg_per_m3, as_asked);
    if (found->binding == BF_BINDING_NONE) {
        (void)fprintf(
            out, "With %s of salt the lowest end point that can be held is %s (%s).\n", with.text,
            hardness(units, found->answer, up).text,
            hardness(units == BF_UNITS_US ? BF_UNITS_SI : BF_UNITS_US, found->answer, up).text);
        return;
    }
    (void)fprintf(out, "With %s of salt no end point below the hardness of the feed can be held. ",
                  with.text);
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
    const double left =
        bf_salt_left_eq_per_m3(&report->page.rating->recipe, &found->point.steady.cycle) /
        found->point.dose_eq_per_m3;
    if (left > worth_a_word) {
        (void)fprintf(
            out,
            "The last rinse leaves %.2g %% of the salt in bed and freeboard, and its "
            "hardness leaks first: a larger regeneration.fast_rinse_volume may cure it.\n",
            100.0 * left);
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
        report->vessel, resin(units, bf_bed_volume_m3(bed), up).text,
        length(units, bed->depth_m, up).text);
}

/* Whether the answer is of the case as it stands, or of what most samples hold. */
static void print_promise(const bf_size_report *report, FILE *out)
{
    const bf_practical *how = report->practical;
    if (how == NULL) {
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
                      100.0 * how->quantile, how->samples, report->found->practical_ratio);
    } else {
        (void)fprintf(out, "Practical: asked of what all but %.4g %% of %zu samples hold.\n",
                      100.0 * how->quantile, how->samples);
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
    const int us = units == BF_UNITS_US;
    const double m_per_s_per_gpm_per_ft2 = BF_M3_PER_GAL / BF_S_PER_MIN / BF_M_PER_FT / BF_M_PER_FT;
    (void)fprintf(out, "limits in service:");
    const char *between = " ";
    if (!isnan(tank->velocity_limit_m_per_s)) {
        (void)fprintf(out, "%s%.3g %s", between,
                      us ? tank->velocity_limit_m_per_s / m_per_s_per_gpm_per_ft2
                         : tank->velocity_limit_m_per_s * BF_S_PER_H,
                      us ? "gpm/ft2" : "m/h");
        between = ", ";
    }
    if (!isnan(tank->bed_volumes_per_h_limit)) {
        (void)fprintf(out, "%s%.3g BV/h", between, tank->bed_volumes_per_h_limit);
        between = ", ";
    }
    if (!isnan(tank->pressure_limit_Pa)) {
        (void)fprintf(out, "%s%.3g %s over bed and fittings", between,
                      bf__show_pressure(units, tank->pressure_limit_Pa),
                      bf__unit_of_pressure(units));
    }
    (void)fprintf(out, isnan(tank->diameter_m)
                           ? "; the depth is that of the case, the diameter grows\n"
                           : "; the diameter stands, the depth grows\n");
}
