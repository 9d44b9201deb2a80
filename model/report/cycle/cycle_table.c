/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One cycle as a person reads it, in 80 columns. */
#include "brinefront/convert.h"
#include "report/cycle/elution.h"
#include "report/page/assumptions.h"
#include "report/page/page.h"

#include <math.h>
#include <string.h>

typedef struct page {
    const bf_cycle_report *report;
    const bf_cycle_study *study;
    bf_unit_system units;
    FILE *out;
} page;

static double volume(const page *to, double bed_volumes)
{
    return to->units == BF_UNITS_US ? bed_volumes * BF_M3_PER_FT3 / BF_M3_PER_GAL : bed_volumes;
}

static const char *volume_unit(const page *to)
{
    return to->units == BF_UNITS_US ? "gal/ft3" : "BV";
}

static double amount(const page *to, double eq_per_m3)
{
    return to->units == BF_UNITS_US ? eq_per_m3 / BF_EQ_PER_M3_PER_KGR_PER_FT3 : 1e-3 * eq_per_m3;
}

static double salt(const page *to, double kg_per_m3)
{
    return to->units == BF_UNITS_US ? kg_per_m3 / BF_KG_PER_M3_PER_LB_PER_FT3 : kg_per_m3;
}

/* A few digits of nothing, as the integrator leaves them, are nothing. */
static double tidy(double value)
{
    return fabs(value) < 5e-4 ? 0.0 : value;
}

static bf_salt salt_kind(const bf_recipe *recipe)
{
    const bf_step *brine = bf_recipe_find(recipe, BF_ROLE_BRINE);
    return brine != NULL ? brine->salt : BF_SALT_NACL;
}

/* ---- the steps ------------------------------------------------------------------------------- */

static void print_steps(const page *to)
{
    const bf_cycle_result *cycle = &to->study->cycle[0];
    const char *amount_unit = to->units == BF_UNITS_US ? "kgr/ft3" : "eq/L";
    (void)fprintf(
        to->out,
        "step            time  liquid    salt    hardness, %-7s       effluent, mg/L\n"
        "                 min %7s  %6s      in      out     held      last\n"
        "--------------------------------------------------------------------------------\n",
        amount_unit, volume_unit(to), to->units == BF_UNITS_US ? "lb/ft3" : "g/L");
    for (size_t s = 0; s < cycle->step_count; s++) {
        const bf_step_result *step = &cycle->step[s];
        int touches_bed = step->passage.duration_s > 0.0;
        (void)fprintf(to->out, "%-12s %7.1f %7.*f", step->name, step->duration_s / BF_S_PER_MIN, 1,
                      volume(to, step->bed_volumes));
        if (step->salt_kg_per_m3 > 0.0) {
            (void)fprintf(to->out, " %7.2f", salt(to, step->salt_kg_per_m3));
        } else {
            (void)fprintf(to->out, " %7s", "");
        }
        if (touches_bed) {
            (void)fprintf(to->out, " %8.3f %8.3f %+8.3f %9.2f",
                          amount(to, bf_ion_hardness(step->passage.in_eq_per_m3)),
                          amount(to, bf_ion_hardness(step->passage.out_eq_per_m3)),
                          tidy(amount(to, bf_ion_hardness(step->passage.stored_eq_per_m3))),
                          bf__mg_per_L_CaCO3(step->passage.hardness_last_eq_per_m3));
        }
        (void)fputc('\n', to->out);
    }
}

/* ---- the service effluent -------------------------------------------------------------------- */

enum { CHART_WIDTH = 64, CHART_HEIGHT = 12 };

/* Hardness on a logarithmic scale against volume: leakage and breakthrough differ by thousands. */
static void print_chart(const page *to)
{
    size_t count;
    (void)bf_trace_points(to->study->trace, 0, &count);
    if (count < 2) {
        return;
    }
    double end = to->study->cycle[0].step[0].bed_volumes;
    double value[CHART_WIDTH];
    double least = (double)INFINITY;
    double most = 0.0;
    for (size_t x = 0; x < CHART_WIDTH; x++) {
        double at = end * ((double)x + 1.0) / CHART_WIDTH;
        double hardness = bf_trace_at(to->study->trace, 0, at).hardness_eq_per_m3;
        value[x] = fmax(bf__mg_per_L_CaCO3(hardness), 1e-4);
        least = fmin(least, value[x]);
        most = fmax(most, value[x]);
    }
    double low = floor(log10(least) * 2.0) / 2.0;
    double high = fmax(ceil(log10(most) * 2.0) / 2.0, low + 0.5);
    (void)fprintf(to->out, "\nHardness of the softened water, mg/L as CaCO3, against volume\n\n");
    int height[CHART_WIDTH];
    for (size_t x = 0; x < CHART_WIDTH; x++) {
        double share = (log10(value[x]) - low) / (high - low);
        height[x] = (int)fmin(floor(share * CHART_HEIGHT), CHART_HEIGHT - 1);
    }
    for (int row = CHART_HEIGHT - 1; row >= 0; row--) {
        (void)fprintf(to->out, "%9.3g |",
                      pow(10.0, low + (high - low) * (row + 0.5) / CHART_HEIGHT));
        char line[CHART_WIDTH + 1];
        line[CHART_WIDTH] = '\0';
        for (size_t x = 0; x < CHART_WIDTH; x++) { /* a steep rise is drawn through */
            int before = height[x > 0 ? x - 1 : 0];
            int is_between = (row > before && row < height[x]) || (row < before && row > height[x]);
            line[x] = row == height[x] ? '*' : is_between ? ':' : ' ';
        }
        for (size_t x = CHART_WIDTH; x-- > 0 && line[x] == ' ';) {
            line[x] = '\0';
        }
        (void)fprintf(to->out, "%s\n", line);
    }
    (void)fprintf(
        to->out, "          +%.*s\n", CHART_WIDTH,
        "-------------------------------------------------------------------------------");
    (void)fprintf(to->out, "%11s%-20.4g%*.4g %s\n", "", 0.0, CHART_WIDTH - 28, volume(to, end),
                  volume_unit(to));
}

static void print_effluent(const page *to)
{
    enum { ROWS = 13 };
    const bf_cycle_result *cycle = &to->study->cycle[0];
    size_t count;
    (void)bf_trace_points(to->study->trace, 0, &count);
    if (count == 0) {
        return;
    }
    int shown[BF_CATION_COUNT];
    for (size_t i = 0; i < BF_CATION_COUNT; i++) {
        shown[i] = cycle->step[0].passage.in_eq_per_m3[i] > 0.0 || i == BF_ION_NA;
    }
    (void)fprintf(to->out,
                  "\nSoftened water along the run; hardness as CaCO3, ions as ions, mg/L\n\n");
    (void)fprintf(to->out, "%9s %9s", volume_unit(to), "hardness");
    for (size_t i = 0; i < BF_CATION_COUNT; i++) {
        if (shown[i]) {
            (void)fprintf(to->out, " %8s", bf_ion_get((bf_ion)i)->symbol);
        }
    }
    (void)fputc('\n', to->out);
    double end = cycle->step[0].bed_volumes;
    for (size_t row = 0; row < ROWS; row++) {
        double share = row == 0 ? 0.5 / end : (double)row / (ROWS - 1);
        bf_trace_point point = bf_trace_at(to->study->trace, 0, share * end);
        (void)fprintf(to->out, "%9.1f %9.3f", volume(to, point.bed_volumes),
                      bf__mg_per_L_CaCO3(point.hardness_eq_per_m3));
        for (size_t i = 0; i < BF_CATION_COUNT; i++) {
            if (shown[i]) {
                (void)fprintf(to->out, " %8.3f",
                              point.effluent_eq_per_m3[i] *
                                  bf_ion_equivalent_mass_g_per_eq((bf_ion)i));
            }
        }
        (void)fputc('\n', to->out);
    }
}

/* Does the feed bring iron or manganese? They are shown beside hardness, which does not count them.
 */
static int has_iron(const page *to)
{
    const double *feed = to->report->page.rating->water.ion_eq_per_m3;
    return feed[BF_ION_FE] > 0.0 || feed[BF_ION_MN] > 0.0;
}

static double iron_mg_per_L(const bf_trace_point *at)
{
    return at->effluent_eq_per_m3[BF_ION_FE] * bf_ion_equivalent_mass_g_per_eq(BF_ION_FE) +
           at->effluent_eq_per_m3[BF_ION_MN] * bf_ion_equivalent_mass_g_per_eq(BF_ION_MN);
}

/* ---- the elution ----------------------------------------------------------------------------- */

static void print_elution(const page *to)
{
    enum { ROWS_PER_STEP = 6 };
    const bf_cycle_result *cycle = &to->study->cycle[0];
    const double temperature_K = to->report->page.rating->water.temperature_K;
    const bf_salt kind = salt_kind(&to->study->recipe);
    const int with_iron = has_iron(to);
    (void)fprintf(
        to->out,
        "\nElution: what goes to drain; hardness as CaCO3, strength read as plain brine\n\n"
        "step             min %7s   hardness%s     wt%%  gravity  salometer\n"
        "                                 mg/L%s                    degrees\n",
        volume_unit(to), with_iron ? "   Fe + Mn" : "", with_iron ? "      mg/L" : "");
    double minutes = 0.0;
    double liquid = 0.0;
    for (size_t s = 1; s < cycle->step_count; s++) {
        const bf_step_result *step = &cycle->step[s];
        size_t count;
        (void)bf_trace_points(to->study->trace, s, &count);
        size_t rows = step->bed_volumes > 0.0 ? ROWS_PER_STEP : 1; /* nothing leaves a hold */
        for (size_t row = 1; row <= rows && count > 0; row++) {
            double at = step->bed_volumes * (double)row / (double)rows;
            bf_trace_point point = bf_trace_at(to->study->trace, s, at);
            bf__elution read = bf__elution_read(kind, point.normality_eq_per_m3, temperature_K);
            (void)fprintf(to->out, "%-12s %7.1f %7.2f %10.1f", row == 1 ? step->name : "",
                          minutes + point.time_s / BF_S_PER_MIN, volume(to, liquid + at),
                          bf__mg_per_L_CaCO3(point.hardness_eq_per_m3));
            if (with_iron) {
                (void)fprintf(to->out, " %9.2f", iron_mg_per_L(&point));
            }
            (void)fprintf(to->out, " %7.2f %8.4f %10.1f\n", 100.0 * read.mass_fraction,
                          read.specific_gravity, read.salometer_degrees);
        }
        if (count > 0) {
            minutes += step->duration_s / BF_S_PER_MIN;
            liquid += step->bed_volumes;
        }
    }
}

/* ---- the bed --------------------------------------------------------------------------------- */

static int is_iron_or_manganese(bf_ion ion)
{
    return ion == BF_ION_FE || ion == BF_ION_MN;
}

/* Share of the sites that the ions chosen hold, by tenths of the bed, at the end of each step. */
static void print_sites(const page *to, const char *what, int decimals, int (*chosen)(bf_ion ion))
{
    enum { PARTS = 10 };
    const bf_cycle_study *study = to->study;
    (void)fprintf(to->out,
                  "\nSites of the resin that hold %s, %%, by tenths of the bed from the top\n\n"
                  "end of          1    2    3    4    5    6    7    8    9   10    bed\n",
                  what);
    for (size_t s = 0; s < bf_trace_step_count(study->trace); s++) {
        size_t count;
        (void)bf_trace_points(study->trace, s, &count);
        if (count == 0) {
            continue;
        }
        double part[PARTS] = {0};
        double weight[PARTS] = {0};
        double mean = 0.0;
        for (size_t k = 0; k < study->cells; k++) {
            double held = 0.0;
            for (size_t i = 0; i < BF_CATION_COUNT; i++) {
                if (chosen((bf_ion)i)) {
                    held += bf_trace_resin_fraction(study->trace, s, (bf_ion)i)[k];
                }
            }
            size_t tenth = k * PARTS / study->cells;
            part[tenth] += held;
            weight[tenth] += 1.0;
            mean += held / (double)study->cells;
        }
        (void)fprintf(to->out, "%-12s", study->cycle[0].step[s].name);
        for (size_t p = 0; p < PARTS; p++) {
            if (weight[p] > 0.0) {
                (void)fprintf(to->out, " %4.*f", decimals, 100.0 * part[p] / weight[p]);
            } else {
                (void)fprintf(to->out, " %4s", ""); /* fewer cells than tenths */
            }
        }
        (void)fprintf(to->out, " %6.*f\n", decimals + 1, 100.0 * mean);
    }
}

static void print_profiles(const page *to)
{
    print_sites(to, "hardness", 0, bf_ion_is_hardness);
    if (has_iron(to)) {
        print_sites(to, "iron and manganese", 1, is_iron_or_manganese);
    }
}

/* ---- the page -------------------------------------------------------------------------------- */

static void print_first_cycles(const page *to)
{
    const bf_cycle_study *study = to->study;
    (void)fprintf(to->out,
                  "\nThe first cycles of resin as delivered (all sodium)\n\n"
                  "cycle   capacity   leak mean    first   lowest      run\n"
                  "        %8s        mg/L     mg/L     mg/L  %7s\n",
                  to->units == BF_UNITS_US ? "kgr/ft3" : "eq/L", volume_unit(to));
    for (size_t c = 0; c < study->cycle_count; c++) {
        const bf_cycle_result *cycle = &study->cycle[c];
        (void)fprintf(to->out, "%5zu %10.3f %11.3f %8.3f %8.3f %8.1f%s%s\n", c + 1,
                      amount(to, cycle->capacity_eq_per_m3),
                      bf__mg_per_L_CaCO3(cycle->leakage_mean_eq_per_m3),
                      bf__mg_per_L_CaCO3(cycle->leakage_first_eq_per_m3),
                      tidy(bf__mg_per_L_CaCO3(cycle->leakage_low_eq_per_m3)),
                      volume(to, cycle->throughput_bed_volumes),
                      cycle->outcome == BF_RATED ? "" : "  ",
                      cycle->outcome == BF_RATED ? "" : bf_outcome_words(cycle->outcome));
    }
}

static bf_status print_table(const void *context, FILE *out, bf_error *err)
{
    const bf_cycle_report *report = context;
    const bf_unit_system units = report->page.units;
    const bf_cycle_study *study = report->study;
    const bf_cycle_result *cycle = &study->cycle[0];
    const page to = {.report = report, .study = study, .units = units, .out = out};
    if (report->page.title[0] != '\0') {
        (void)fprintf(out, "%s\n\n", report->page.title);
    }
    (void)fprintf(out, "%s at %.4g %s of salt",
                  study->steady.cycles > 0 ? "A steady cycle" : "The first cycle",
                  salt(&to, study->dose_kg_per_m3), units == BF_UNITS_US ? "lb/ft3" : "g/L");
    if (study->steady.cycles > 0) {
        (void)fprintf(out, ", reached after %zu cycles", study->steady.cycles);
    }
    bf_outcome outcome = study->steady.cycles > 0 ? study->steady.cycle.outcome : cycle->outcome;
    if (outcome == BF_RATED) {
        (void)fprintf(out, "\ncapacity %.4g %s, mean leakage %.3g mg/L",
                      amount(&to, cycle->capacity_eq_per_m3),
                      units == BF_UNITS_US ? "kgr/ft3" : "eq/L",
                      bf__mg_per_L_CaCO3(cycle->leakage_mean_eq_per_m3));
    } else {
        (void)fprintf(out, "\n%s", bf_outcome_words(outcome));
    }
    (void)fprintf(out, "\n\n");
    print_steps(&to);
    if (study->cycle_count > 1) {
        print_first_cycles(&to);
    }
    print_chart(&to);
    print_effluent(&to);
    print_elution(&to);
    print_profiles(&to);
    (void)fputc('\n', out);
    bf__setting_print(&report->page, units, "", out);
    (void)fprintf(out, "balance: every ion over every step closes to %.1g of the capacity\n\n",
                  cycle->balance_error);
    bf__cautions_print("", out);
    (void)err;
    return BF_OK;
}

bf_status bf_report_cycle_table(const bf_cycle_report *report, FILE *out, bf_error *err)
{
    return bf__page_print(print_table, report, out, err);
}
