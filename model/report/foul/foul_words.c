/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A campaign in words: how it was run, where the iron went, what the range is. */
#include "report/foul/foul_words.h"

#include "report/campaign/campaign_setting.h"
#include "report/foul/foul_limits.h"
#include "report/foul/foul_rows.h"
#include "report/page/figure.h"
#include "report/page/wrap.h"

#include <math.h>
#include <string.h>

/* Net retention of beds that foul in years: from throughput and trade reports, a judgement. */
static const double retention_low = 0.03;
static const double retention_high = 0.20;

double bf__foul_ageing(const bf_foul_report *report, size_t series)
{
    bf_campaign_spec specs[BF_FOULING_SERIES];
    bf_fouling_range(report->spec, specs);
    return specs[series].iron.ageing_factor;
}

void bf__foul_headline(const bf_foul_report *report, FILE *out)
{
    const bf_campaign_cycle *last = bf__years_last(report->series);
    const int in_years = last->day > 2.0 * BF__DAYS_PER_YEAR;
    (void)fprintf(out, "The bed over %.3g %s: %zu cycles of %.3g days",
                  in_years ? last->day / BF__DAYS_PER_YEAR : last->day, in_years ? "years" : "days",
                  last->cycle, bf_campaign_days(report->spec));
    if (report->series[BF_FOULING_EXPECTED].state == BF_CAMPAIGN_SPENT) {
        (void)fprintf(out, ", until it was spent");
    }
}

void bf__foul_skips_print(const bf_foul_report *report, bf_unit_system units, const char *prefix,
                          FILE *out)
{
    const bf_campaign_series *expected = &report->series[BF_FOULING_EXPECTED];
    const bf_campaign_cycle *last = bf__years_last(report->series);
    bf__wrap_begin(out);
    (void)fprintf(out, "%s%zu of %zu cycles were simulated", prefix, expected->count, last->cycle);
    if (expected->count < last->cycle && last->bound_kg_per_m3 > 0.0) {
        (void)fprintf(
            out,
            "; skipping the others puts bound iron off by some %s (estimated), "
            "%.1g %% of it",
            bf__figure_digits(BF__QUANTITY_DEPOSIT, units, last->skip_error_kg_per_m3, 1).text,
            100.0 * last->skip_error_kg_per_m3 / last->bound_kg_per_m3);
    }
    (void)fputc('\n', out);
    if (!bf__campaign_meets_iron(report->spec)) {
        (void)fprintf(out,
                      "%sThe water brings no iron: no deposit forms, and the range, which is that "
                      "of how fast iron ages, has no width.\n",
                      prefix);
    }
    bf__wrap_end(prefix, out);
}

/* ---- balance --------------------------------------------------------------------------------- */

static void print_account(const bf_campaign_account *account, double kg_per_mol, double bed_m3,
                          const char *prefix, FILE *out)
{
    const struct {
        const char *what;
        double mol_per_m3;
    } rows[] = {
        {"left with softened water", account->product},
        {"left with regenerations", account->waste},
        {"left with cleaning liquid", account->cleaned},
        {"exchanged and dissolved", account->held},
        {"loose in the bed", account->loose},
        {"bound to the resin", account->bound},
    };
    const double came = account->at_start + account->in;
    (void)fprintf(out, "%s  %-28s %10.4g g\n", prefix,
                  account->at_start > 0.0 ? "came, or was there" : "came",
                  1e3 * came * kg_per_mol * bed_m3);
    for (size_t r = 0; r < sizeof rows / sizeof *rows; r++) {
        if (rows[r].mol_per_m3 != 0.0) {
            (void)fprintf(out, "%s  %-28s %10.4g g %8.2f %%\n", prefix, rows[r].what,
                          1e3 * rows[r].mol_per_m3 * kg_per_mol * bed_m3,
                          came > 0.0 ? 100.0 * rows[r].mol_per_m3 / came : 0.0);
        }
    }
    (void)fprintf(out, "%s  not accounted for: %.1g of what came\n", prefix,
                  bf_campaign_account_error(account));
}

void bf__foul_balance_print(const bf_foul_report *report, bf_unit_system units, const char *prefix,
                            FILE *out)
{
    const bf_campaign_cycle *last = bf__years_last(report->series);
    const double bed_m3 = bf_bed_volume_m3(&report->spec->bed);
    const double iron_kg_per_mol = 1e-3 * bf_ion_get(BF_ION_FE)->molar_mass_g_per_mol;
    const double manganese_kg_per_mol = 1e-3 * bf_ion_get(BF_ION_MN)->molar_mass_g_per_mol;
    if (last->iron.in + last->iron.at_start > 0.0) {
        (void)fprintf(out, "%sIron since the start, as expected, in the whole bed:\n", prefix);
        print_account(&last->iron, iron_kg_per_mol, bed_m3, prefix, out);
    }
    if (last->manganese.in > 0.0) {
        (void)fprintf(out, "%sManganese:\n", prefix);
        print_account(&last->manganese, manganese_kg_per_mol, bed_m3, prefix, out);
    }
    const bf_campaign_series *expected = &report->series[BF_FOULING_EXPECTED];
    size_t cleanings = 0;
    double dissolved = 0.0;
    for (size_t c = 0; c < expected->count; c++) {
        cleanings += expected->cycle[c].cleaned_kg_per_m3 > 0.0 ? 1 : 0;
        dissolved += expected->cycle[c].cleaned_kg_per_m3;
    }
    if (cleanings > 0) {
        (void)fprintf(out, "%s%zu cleaning%s dissolved %s of bound iron\n", prefix, cleanings,
                      cleanings == 1 ? "" : "s",
                      bf__figure_digits(BF__QUANTITY_DEPOSIT, units, dissolved, 4).text);
    }
}

/* ---- remarks --------------------------------------------------------------------------------- */

static void print_retention(const bf_foul_report *report, FILE *out, const char *prefix)
{
    const bf__span kept =
        bf__years_span(report->series, BF_CAMPAIGN_RETENTION, bf__years_last(report->series)->day);
    if (isnan(kept.expected)) {
        return;
    }
    (void)fprintf(out,
                  "%sThe bed keeps %.2g %% of the iron that comes (range %.2g to %.2g %%). Beds "
                  "that foul in years, not in weeks or decades, keep some 3 to 20 %%: a judgement, "
                  "and parameters were set with it in mind. This one %s.\n",
                  prefix, 100.0 * kept.expected, 100.0 * kept.low, 100.0 * kept.high,
                  kept.expected < retention_low    ? "keeps less, and fouls slower than such beds"
                  : kept.expected > retention_high ? "keeps more, and fouls faster than such beds"
                                                   : "lies within");
}

void bf__foul_remarks_print(const bf_foul_report *report, const char *prefix, FILE *out)
{
    bf__wrap_begin(out);
    if (bf__campaign_meets_iron(report->spec)) {
        (void)fprintf(
            out,
            "%sThe range is made by one parameter, the multiplier of the rate at which "
            "exchanged iron ages: %.3g as expected, %.3g and %.3g at its ends (a hypothesis of "
            "this project; no measurement). Other parameters add to it: see --sensitivity.\n",
            prefix, bf__foul_ageing(report, BF_FOULING_EXPECTED),
            bf__foul_ageing(report, BF_FOULING_LOW), bf__foul_ageing(report, BF_FOULING_HIGH));
    }
    print_retention(report, out, prefix);
    if (*bf__iron_advice(report->spec)) {
        (void)fprintf(out, "%s%s\n", prefix, bf__iron_advice(report->spec));
    }
    bf__wrap_end(prefix, out);
}
