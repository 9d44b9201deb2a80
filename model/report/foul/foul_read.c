/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/foul/foul_read.h"

#include "brinefront/hydraulics.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

const bf_campaign_cycle *bf__foul_last(const bf_campaign_series *series)
{
    const bf_campaign_series *expected = &series[BF_FOULING_EXPECTED];
    return &expected->cycle[expected->count - 1];
}

bf__span bf__foul_span(const bf_campaign_series *series, bf_campaign_quantity what, double day)
{
    const int is_capacity = what == BF_CAMPAIGN_POTENTIAL || what == BF_CAMPAIGN_CAPACITY;
    bf__span span = {(double)NAN, (double)NAN, (double)NAN};
    for (size_t s = 0; s < BF_FOULING_SERIES; s++) {
        const bf_campaign_series *of = &series[s];
        const int is_spent =
            of->state == BF_CAMPAIGN_SPENT && of->count > 0 && day > of->cycle[of->count - 1].day;
        double value = bf_campaign_series_at(of, what, day);
        if (is_spent) {
            value = is_capacity ? 0.0 : (double)NAN;
        }
        span.low = fmin(span.low, value); /* both pass over NAN */
        span.high = fmax(span.high, value);
        if (s == BF_FOULING_EXPECTED) {
            span.expected = value;
        }
    }
    return span;
}

double bf__foul_new_eq_per_m3(const bf_campaign_series *series)
{
    const bf_campaign_series *expected = &series[BF_FOULING_EXPECTED];
    for (size_t c = 0; c < expected->count; c++) {
        if (!isnan(expected->cycle[c].potential_eq_per_m3)) {
            return expected->cycle[c].potential_eq_per_m3;
        }
    }
    return (double)NAN;
}

bf__span bf__foul_row_span(const bf_foul_report *report, bf_campaign_quantity what, double day)
{
    const bf__span untold = {(double)NAN, (double)NAN, (double)NAN};
    const bf_campaign_series *expected = &report->series[BF_FOULING_EXPECTED];
    if (what == BF_CAMPAIGN_ALKALINITY && !bf__case_states(&report->page, "water.alkalinity")) {
        return untold; /* anions that were made up say nothing of it */
    }
    for (size_t c = 0; what == BF_CAMPAIGN_POTENTIAL && c < expected->count; c++) {
        if (!isnan(expected->cycle[c].potential_eq_per_m3)) {
            return day < expected->cycle[c].day ? untold : bf__foul_span(report->series, what, day);
        }
    }
    return bf__foul_span(report->series, what, day);
}

int bf__foul_reaches(const bf_foul_report *report, double day)
{
    const double end = bf__foul_last(report->series)->day + bf_campaign_days(report->spec);
    return day >= 0.0 && day <= end;
}

int bf__case_states(const bf_page *page, const char *path)
{
    for (size_t v = 0; v < page->value_count; v++) {
        if (strcmp(bf_case_key_get(page->value[v].key).path, path) == 0) {
            return !page->value[v].is_default;
        }
    }
    return 0;
}

/* ---- rows ------------------------------------------------------------------------------------ */

static double row_length(const bf_foul_report *report)
{
    const int is_long = bf__foul_last(report->series)->day > 2.01 * BF__DAYS_PER_YEAR;
    const int by_quarter =
        report->by == BF_FOUL_BY_QUARTER || (report->by == BF_FOUL_BY_LENGTH && is_long);
    return by_quarter ? 3.0 * BF__DAYS_PER_MONTH : BF__DAYS_PER_MONTH;
}

/* The last row is the campaign's end; whole rows stand clear of it by a tenth. */
size_t bf__foul_row_count(const bf_foul_report *report)
{
    const double rows = bf__foul_last(report->series)->day / row_length(report);
    return 1 + (size_t)fmax(ceil(rows - 0.1), 1.0);
}

double bf__foul_row_day(const bf_foul_report *report, size_t row)
{
    return row + 1 < bf__foul_row_count(report) ? (double)row * row_length(report)
                                                : bf__foul_last(report->series)->day;
}

/* ---- water ----------------------------------------------------------------------------------- */

static const bf_campaign_season *season_of(const bf_campaign_spec *spec, double day)
{
    return spec->season_count > 0 ? &spec->season[bf_campaign_season_index(spec, day)] : NULL;
}

const bf_water *bf__campaign_water(const bf_campaign_spec *spec, double day)
{
    const bf_campaign_season *season = season_of(spec, day);
    return season != NULL ? &season->water : &spec->water;
}

double bf__campaign_oxygen_mol_per_m3(const bf_campaign_spec *spec, double day)
{
    const bf_campaign_season *season = season_of(spec, day);
    return season != NULL ? season->oxygen_mol_per_m3 : spec->oxygen_mol_per_m3;
}

double bf__campaign_need_eq_per_m3(const bf_campaign_spec *spec, double day)
{
    return bf__campaign_water(spec, day)->hardness_eq_per_m3 * bf_campaign_bed_volumes(spec);
}

double bf__campaign_clean_drop_Pa(const bf_campaign_spec *spec, double day)
{
    bf_fluid water;
    if (bf_fluid_of_water(bf__campaign_water(spec, day)->temperature_K, &water, NULL) != BF_OK) {
        return (double)NAN;
    }
    return spec->bed.depth_m * bf_pressure_gradient_Pa_per_m(
                                   &water, spec->recipe.step[0].velocity_m_per_s,
                                   spec->bed.resin.bead_diameter_m, spec->bed.resin.void_fraction);
}

double bf__ion_mg_per_L(const bf_water *water, bf_ion ion)
{
    return water->ion_eq_per_m3[ion] * bf_ion_equivalent_mass_g_per_eq(ion);
}

static double most_eq_per_m3(const bf_campaign_spec *spec, bf_ion ion)
{
    double most = spec->season_count == 0 ? spec->water.ion_eq_per_m3[ion] : 0.0;
    for (size_t k = 0; k < spec->season_count; k++) {
        most = fmax(most, spec->season[k].water.ion_eq_per_m3[ion]);
    }
    return most;
}

double bf__campaign_most_iron_mg_per_L(const bf_campaign_spec *spec)
{
    return most_eq_per_m3(spec, BF_ION_FE) * bf_ion_equivalent_mass_g_per_eq(BF_ION_FE);
}

int bf__campaign_brings(const bf_campaign_spec *spec, bf_ion ion)
{
    return most_eq_per_m3(spec, ion) > 0.0;
}

int bf__campaign_meets_iron(const bf_campaign_spec *spec)
{
    return bf__campaign_brings(spec, BF_ION_FE) ||
           spec->deposit.loose_kg_per_m3 + spec->deposit.bound_kg_per_m3 > 0.0;
}

int bf__campaign_has_chlorine(const bf_campaign_spec *spec)
{
    return spec->free_chlorine_g_per_m3 > 0.0 || spec->chloramine_g_per_m3 > 0.0;
}

/* ---- dates ----------------------------------------------------------------------------------- */

static long days_of_month(long year, long month)
{
    static const long days[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    const int is_leap = (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
    return days[month - 1] + (month == 2 && is_leap ? 1 : 0);
}

void bf__date_after(const char *start, double days, char text[16])
{
    int begin[3];
    text[0] = '\0';
    if (sscanf(start, "%4d-%2d-%2d", &begin[0], &begin[1], &begin[2]) != 3 || begin[1] < 1 ||
        begin[1] > 12) {
        return;
    }
    long year = begin[0];
    long month = begin[1];
    long day = begin[2] + (long)floor(days);
    while (day > days_of_month(year, month)) {
        day -= days_of_month(year, month);
        year += month == 12 ? 1 : 0;
        month = month == 12 ? 1 : month + 1;
    }
    (void)snprintf(text, 16, "%04ld-%02ld-%02ld", year % 10000, month, day);
}
