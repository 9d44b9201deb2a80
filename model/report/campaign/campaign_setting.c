/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a campaign was run on, and what every report of one has to say. */
#include "report/campaign/campaign_setting.h"

#include "brinefront/convert.h"
#include "rating/fouling/fouling_end.h"
#include "rating/fouling/years.h"
#include "report/page/assumptions.h"
#include "report/page/figure.h"
#include "report/page/page.h"
#include "report/page/wrap.h"

#include <math.h>
#include <string.h>

static const double g_per_mol_of_oxygen = BF_OXYGEN_G_PER_MOL;
static const double iron_that_is_removed_first_mg_per_L = 5.0;
static const double pH_of_acid_brine = 6.5;

static void print_water(const bf_water *water, double oxygen_mol_per_m3, bf_unit_system units,
                        FILE *out)
{
    (void)fprintf(out, "iron %.3g mg/L", bf__ion_mg_per_L(water, BF_ION_FE));
    if (water->ion_eq_per_m3[BF_ION_MN] > 0.0) {
        (void)fprintf(out, ", manganese %.3g mg/L", bf__ion_mg_per_L(water, BF_ION_MN));
    }
    (void)fprintf(
        out, ", pH %.3g, oxygen %.3g mg/L, hardness %s (%s), %s", water->pH,
        oxygen_mol_per_m3 * g_per_mol_of_oxygen,
        bf__figure_digits(BF__QUANTITY_SETTING, BF_UNITS_SI, water->hardness_eq_per_m3, 4).text,
        bf__figure_digits(BF__QUANTITY_SETTING, BF_UNITS_US, water->hardness_eq_per_m3, 3).text,
        bf__figure_digits(BF__QUANTITY_TEMPERATURE, units, water->temperature_K, 3).text);
}

static void print_waters(const bf_campaign_spec *spec, bf_unit_system units, const char *prefix,
                         FILE *out)
{
    if (spec->season_count == 0) {
        (void)fprintf(out, "%swater: ", prefix);
        print_water(&spec->water, spec->oxygen_mol_per_m3, units, out);
        (void)fputc('\n', out);
    }
    for (size_t k = 0; k < spec->season_count; k++) {
        (void)fprintf(out, "%swater from day %.0f of the year: ", prefix, spec->season[k].from_day);
        print_water(&spec->season[k].water, spec->season[k].oxygen_mol_per_m3, units, out);
        (void)fputc('\n', out);
    }
    if (bf__campaign_brings(spec, BF_ION_FE)) {
        if (isnan(spec->ferric_share) && spec->contact_s == 0.0) {
            (void)fprintf(out, "%sall iron reaches the bed dissolved: no time between well and bed",
                          prefix);
        } else if (isnan(spec->ferric_share)) {
            (void)fprintf(out, "%siron oxidises for %s between well and bed", prefix,
                          bf__figure_digits(BF__QUANTITY_MINUTES, units, spec->contact_s, 3).text);
        } else {
            (void)fprintf(out, "%s%s of the iron is suspended as it reaches the bed", prefix,
                          bf__figure_digits(BF__QUANTITY_SHARE, units, spec->ferric_share, 3).text);
        }
        (void)fputc('\n', out);
    }
    if (bf__campaign_has_chlorine(spec)) {
        (void)fprintf(out,
                      "%schlorine that reaches the resin, as Cl2: free %.3g mg/L, chloramine "
                      "%.3g mg/L\n",
                      prefix, spec->free_chlorine_g_per_m3, spec->chloramine_g_per_m3);
    }
}

static void print_running(const bf_campaign_spec *spec, bf_unit_system units, const char *prefix,
                          FILE *out)
{
    const double bed_m3 = bf_bed_volume_m3(&spec->bed);
    const double between_m3 = bf_campaign_bed_volumes(spec) * bed_m3;
    (void)fprintf(
        out,
        "%sregenerated each %.3g days (%s, %.3g BV) with %s of salt; %s and "
        "%.3g draws a day\n",
        prefix, bf_campaign_days(spec),
        bf__figure_digits(BF__QUANTITY_SUPPLY, units, between_m3, 4).text,
        bf_campaign_bed_volumes(spec),
        bf__figure_digits(BF__QUANTITY_DOSE, units, bf_recipe_dose_kg_per_m3(&spec->recipe), 3)
            .text,
        bf__figure_digits(BF__QUANTITY_SUPPLY, units, spec->water_m3_per_day, 4).text,
        spec->draws_per_day);
    if (!isnan(spec->brine_pH)) {
        (void)fprintf(out, "%sbrine of pH %.3g, oxygen %.3g mg/L\n", prefix, spec->brine_pH,
                      spec->brine_oxygen_mol_per_m3 * g_per_mol_of_oxygen);
    }
    const bf_iron_deposit *deposit = &spec->deposit;
    if (deposit->loose_kg_per_m3 > 0.0 || deposit->bound_kg_per_m3 > 0.0) {
        (void)fprintf(
            out, "%sthe bed begins with %s of loose and %.3g of bound iron\n", prefix,
            bf__figure_digits(BF__QUANTITY_DEPOSIT, units, deposit->loose_kg_per_m3, 3).text,
            bf__quantity_show(BF__QUANTITY_DEPOSIT, units, deposit->bound_kg_per_m3));
    }
}

static void print_cleaning(const bf_campaign_spec *spec, bf_unit_system units, const char *prefix,
                           FILE *out)
{
    const bf_campaign_cleaning *cleaning = &spec->cleaning;
    if (!(cleaning->every_days > 0.0)) {
        (void)fprintf(out, "%snever cleaned\n", prefix);
        return;
    }
    (void)fprintf(out, "%scleaned each %.3g days with %s of %s", prefix, cleaning->every_days,
                  bf__figure_digits(BF__QUANTITY_DEPOSIT, units, cleaning->dose_kg_per_m3, 3).text,
                  bf_cleaner_name(cleaning->agent));
    if (cleaning->agent == BF_CLEANER_HYDROCHLORIC) {
        (void)fprintf(out, " (pure, at %.3g wt%%), then brined twice\n",
                      100.0 * cleaning->mass_fraction);
    } else {
        (void)fprintf(out, " (pure) for %s at pH %.3g%s\n",
                      bf__figure_digits(BF__QUANTITY_MINUTES, units, cleaning->duration_s, 3).text,
                      cleaning->pH, cleaning->aged ? ", aged oxide" : "");
    }
}

/* Of what nobody stated, the values that a campaign hangs on most. */
static void print_what_decides(const bf_page *page, const bf_campaign_spec *spec,
                               bf_unit_system units, const char *prefix, FILE *out)
{
    static const struct {
        const char *path, *word;
        int only_with_iron;
    } values[] = {
        {"water.temperature", "temperature", 0},
        {"water.oxygen", "oxygen", 1},
        {"campaign.contact_time", "time between well and bed", 1},
        {"campaign.draws_per_day", "draws a day", 0},
    };
    const int has_iron = bf__campaign_meets_iron(spec);
    const char *between = " ";
    char text[80];
    for (size_t v = 0; v < page->value_count; v++) {
        const bf_case_value *value = &page->value[v];
        for (size_t k = 0; k < sizeof values / sizeof *values; k++) {
            if (!value->is_default || (values[k].only_with_iron && !has_iron) ||
                strcmp(bf_case_key_get(value->key).path, values[k].path) != 0) {
                continue;
            }
            (void)bf_case_value_show(&page->rating->bed, value, units, text, sizeof text);
            (void)fprintf(out, "%s%s%s %s", *between == ' ' ? prefix : "",
                          *between == ' ' ? "nobody stated, and much hangs on it: " : between,
                          values[k].word, text);
            between = "; ";
        }
    }
    if (has_iron && !bf__page_states(page, "water.alkalinity")) {
        (void)fprintf(out, "%s%salkalinity, not known", *between == ' ' ? prefix : "",
                      *between == ' ' ? "nobody stated, and much hangs on it: " : between);
        between = "; ";
    }
    if (*between != ' ') {
        (void)fputc('\n', out);
    }
}

void bf__campaign_print(const bf_page *page, const bf_case_campaign *campaign,
                        const bf_campaign_spec *spec, bf_unit_system units, const char *prefix,
                        FILE *out)
{
    bf__wrap_begin(out);
    if (campaign->start[0] != '\0') {
        (void)fprintf(out, "%sbegins %s\n", prefix, campaign->start);
    }
    print_waters(spec, units, prefix, out);
    print_running(spec, units, prefix, out);
    print_cleaning(spec, units, prefix, out);
    (void)fprintf(out, "%sgrid of the campaign: %zu cells, %zu shells", prefix, spec->bed.cells,
                  spec->bed.shells);
    if (spec->bed.cells < page->rating->bed.cells || spec->bed.shells < page->rating->bed.shells) {
        (void)fprintf(
            out,
            "; coarser than that of `rate`, %zu and %zu: for this, and because the bed is "
            "regenerated before it is used up, its new capacity is not the rated one",
            page->rating->bed.cells, page->rating->bed.shells);
    }
    (void)fputc('\n', out);
    print_what_decides(page, spec, units, prefix, out);
    bf__wrap_end(prefix, out);
}

void bf__study_print(const bf_page *page, const bf_case_campaign *campaign,
                     const bf_campaign_spec *spec, bf_unit_system units, const char *prefix,
                     FILE *out)
{
    const double days = (double)spec->cycles * bf_campaign_days(spec);
    const double stated = campaign->duration_days;
    bf__wrap_begin(out);
    (void)fprintf(out, "%severy campaign runs %.3g years, %zu cycles", prefix,
                  days / BF__DAYS_PER_YEAR, spec->cycles);
    if (fabs(stated - days) > bf_campaign_days(spec)) {
        (void)fprintf(out, "; the case's own, of %.3g years, was %s to that",
                      stated / BF__DAYS_PER_YEAR, stated > days ? "shortened" : "lengthened");
    }
    (void)fputc('\n', out);
    bf__wrap_end(prefix, out);
    bf__campaign_print(page, campaign, spec, units, prefix, out);
}

/* ---- what is always said --------------------------------------------------------------------- */

static const char *const truths[] = {
    "Nobody has published the capacity of a softening bed against its cycles with iron. These "
    "results hang on calibrated parameters: they are a range, not a forecast.",
    "Not modelled: iron bacteria, and iron bound to organic matter. Where either is at work a bed "
    "fouls otherwise, mostly sooner.",
};

size_t bf__foul_truth_count(void)
{
    return sizeof truths / sizeof *truths;
}

const char *bf__foul_truth(size_t index)
{
    return truths[index];
}

static void print_truths(const char *prefix, FILE *out)
{
    bf__wrap_begin(out);
    for (size_t t = 0; t < bf__foul_truth_count(); t++) {
        (void)fprintf(out, "%s%s\n", prefix, truths[t]);
    }
    bf__wrap_end(prefix, out);
}

static void print_safety(const char *prefix, FILE *out)
{
    bf__wrap_begin(out);
    (void)fprintf(out, "%sBefore anybody cleans a resin with chemicals:\n", prefix);
    for (size_t f = 0; f < bf_cleaning_safety_count(); f++) {
        const bf_safety_fact fact = bf_cleaning_safety_get(f);
        (void)fprintf(out, "%s%s: %s (%s)\n", prefix, fact.subject, fact.text, fact.source);
    }
    bf__wrap_end(prefix, out);
}

int bf__campaign_names_chemicals(const bf_campaign_spec *spec)
{
    return spec->cleaning.every_days > 0.0 || spec->brine_pH < pH_of_acid_brine;
}

const char *bf__iron_advice(const bf_campaign_spec *spec)
{
    return bf__fouling_most_iron_g_per_m3(spec) > iron_that_is_removed_first_mg_per_L
               ? "The water brings more than 5 mg/L of iron: remove the iron before the bed "
                 "(operating manuals and extension guides send clear-water iron up to 5 mg/L to a "
                 "softener, cautious ones 2)."
               : "";
}

void bf__foul_foot_print(const bf_page *page, int names_chemicals, bf_unit_system units,
                         const char *prefix, FILE *out)
{
    const char *between = *prefix == '\0' ? "\n" : "";
    print_truths(prefix, out);
    if (names_chemicals) {
        (void)fputs(between, out);
        print_safety(prefix, out);
    }
    (void)fputs(between, out);
    bf__setting_print(page, units, prefix, out);
    (void)fputs(between, out);
    bf__foul_cautions_print(prefix, out);
}
