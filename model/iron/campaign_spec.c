/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a campaign is made of, and the water that reaches its bed.
 *
 *     share oxidised on the way  1 - exp(-k t), no more than the oxygen allows: 4 O2
 *     Fe -> (1 - s) Fe,  HCO3 and the normality less 2 s Fe,  O2 less s Fe/4
 *
 * k 1/s rate in free water at the oxygen of the well, t contact time, s share, Fe mol/m3. A share
 * that is stated is of iron that had oxidised before the oxygen was measured: it takes none.
 */
#include "brinefront/campaign.h"

#include "base/calendar.h"
#include "brinefront/convert.h"

#include <assert.h>
#include <math.h>

/* Three days: trade rule, at most three between regenerations with iron (watertechonline 2010).
 * Dithionite of 4 oz/ft3: trade, 2 to 4, from memory; half an hour: 15 min of Mehra & Jackson 1960,
 * doubled for a bed; pH 7: the same, best near 7.3. Acid of 10 %: a resin maker's note on iron
 * fouling. 300 gal a day and ft3 (docs/iron.md), oxygen of 1 mg/L, of 5 in brine that has met air,
 * four draws a day: common practice, no source.
 * 6 slices and 60 cycles: numerical choices. */
bf_campaign_spec bf_campaign_spec_default(void)
{
    bf_campaign_spec spec = {
        .oxygen_mol_per_m3 = 1.0 / BF_OXYGEN_G_PER_MOL,
        .ferric_share = (double)NAN,
        .bed = bf_bed_spec_default(),
        .iron = bf_iron_spec_default(),
        .brine_pH = (double)NAN,
        .brine_oxygen_mol_per_m3 = 5.0 / BF_OXYGEN_G_PER_MOL,
        .slices = 6,
        .service_bed_volumes = (double)NAN,
        .days_between = 3.0,
        .draws_per_day = 4.0,
        .cycles = 60,
        .cleaning = {.agent = BF_CLEANER_DITHIONITE,
                     .dose_kg_per_m3 = 0.113 / BF_M3_PER_FT3,
                     .duration_s = 1800.0,
                     .pH = 7.0,
                     .mass_fraction = 0.10},
    };
    spec.water_m3_per_day = 300.0 * BF_M3_PER_GAL * bf_bed_volume_m3(&spec.bed) / BF_M3_PER_FT3;
    return spec;
}

double bf_campaign_bed_volumes(const bf_campaign_spec *spec)
{
    return isnan(spec->days_between)
               ? spec->service_bed_volumes
               : spec->days_between * spec->water_m3_per_day / bf_bed_volume_m3(&spec->bed);
}

double bf_campaign_days(const bf_campaign_spec *spec)
{
    return isnan(spec->days_between)
               ? spec->service_bed_volumes * bf_bed_volume_m3(&spec->bed) / spec->water_m3_per_day
               : spec->days_between;
}

/* Common practice, no source: wider than any bed of the trade. Oxygen 0.6 mol/m3 is a third more
 * than water holds under air at 0 C (14.6 mg/L); pH and doses as cleaning.c has them. */
static bf_status check_ranges(const bf_campaign_spec *spec, bf_error *err)
{
    const bf_campaign_cleaning *cleaning = &spec->cleaning;
    const double most_kg_per_m3 = cleaning->agent == BF_CLEANER_HYDROCHLORIC ? 300.0 : 50.0;
    const struct {
        double value, low, high;
        const char *what, *unit;
    } ranges[] = {
        {spec->oxygen_mol_per_m3, 0.0, 0.6, "dissolved oxygen", "mol/m3"},
        {spec->start_day, 0.0, BF__SEASON_YEAR_DAYS, "first day", "of the year"},
        {spec->contact_s, 0.0, 864e3, "contact time", "s"},
        {isnan(spec->ferric_share) ? 0.0 : spec->ferric_share, 0.0, 1.0, "ferric share", ""},
        {spec->free_chlorine_g_per_m3, 0.0, 20.0, "free chlorine", "g/m3"},
        {spec->chloramine_g_per_m3, 0.0, 20.0, "chloramine", "g/m3"},
        {isnan(spec->brine_pH) ? 7.0 : spec->brine_pH, 3.0, 11.0, "pH of the brine", ""},
        {spec->brine_oxygen_mol_per_m3, 0.0, 0.6, "oxygen of the brine", "mol/m3"},
        {(double)spec->slices, 1.0, 100.0, "number of slices", ""},
        {spec->water_m3_per_day, 1e-6, 1e6, "water", "m3/d"},
        {bf_campaign_days(spec), 1e-3, 1000.0, "time between regenerations", "d"},
        {bf_campaign_bed_volumes(spec), 1e-3, 1e4, "water between regenerations", "bed volumes"},
        {spec->draws_per_day, 1e-3, 1000.0, "draws a day", ""},
        {(double)spec->cycles, 1.0, 1e5, "number of cycles", ""},
        {cleaning->every_days, 0.0, 1e5, "time between cleanings", "d"},
        {cleaning->dose_kg_per_m3, 0.0, most_kg_per_m3, "cleaning agent", "kg per m3 of bed"},
        {cleaning->duration_s, 0.0, 172800.0, "contact of a cleaning", "s"},
        {cleaning->pH, 3.0, 13.0, "pH of a cleaning", ""},
        {cleaning->mass_fraction, 0.01, 0.2, "strength of the acid", "kg/kg"},
        {spec->deposit.loose_kg_per_m3, 0.0, 20.0, "loose deposit at the start", "kg/m3"},
        {spec->deposit.bound_kg_per_m3, 0.0, 60.0, "bound deposit at the start", "kg/m3"},
        {spec->skip_tolerance == 0.0 ? 1e-4 : spec->skip_tolerance, 1e-4, 0.1,
         "tolerance of skipped cycles", ""},
    };
    for (size_t i = 0; i < sizeof ranges / sizeof *ranges; i++) {
        if (!(ranges[i].value >= ranges[i].low && ranges[i].value <= ranges[i].high)) {
            return bf_error_set(err, BF_E_RANGE, "campaign",
                                "%s is %g %s; accepted are %g to %g %s", ranges[i].what,
                                ranges[i].value, ranges[i].unit, ranges[i].low, ranges[i].high,
                                ranges[i].unit);
        }
    }
    return BF_OK;
}

static bf_status check_seasons(const bf_campaign_spec *spec, bf_error *err)
{
    if (spec->season_count > BF_CAMPAIGN_SEASONS) {
        return bf_error_set(err, BF_E_RANGE, "campaign", "%zu seasons; there is room for %d",
                            spec->season_count, BF_CAMPAIGN_SEASONS);
    }
    double before = -1.0;
    for (size_t k = 0; k < spec->season_count; k++) {
        const bf_campaign_season *season = &spec->season[k];
        if (!(season->from_day > before && season->from_day >= 0.0 &&
              season->from_day <= BF__SEASON_YEAR_DAYS)) {
            return bf_error_set(err, BF_E_RANGE, "campaign",
                                "season %zu begins on day %g; seasons follow each other from day 0 "
                                "to 365",
                                k + 1, season->from_day);
        }
        if (!(season->oxygen_mol_per_m3 >= 0.0 && season->oxygen_mol_per_m3 <= 0.6)) {
            return bf_error_set(err, BF_E_RANGE, "campaign",
                                "oxygen of season %zu is %g mol/m3; accepted are 0 to 0.6", k + 1,
                                season->oxygen_mol_per_m3);
        }
        before = season->from_day;
    }
    return BF_OK;
}

/* Every water of the year is one that the laws cover when it reaches the bed. */
static bf_status check_waters(const bf_campaign_spec *spec, bf_error *err)
{
    bf_water water;
    bf_iron_water iron;
    bf_status status =
        spec->season_count == 0 ? bf_campaign_feed(spec, NULL, &water, &iron, err) : BF_OK;
    for (size_t k = 0; k < spec->season_count && status == BF_OK; k++) {
        status = bf_campaign_feed(spec, &spec->season[k], &water, &iron, err);
    }
    return status;
}

bf_status bf_campaign_spec_check(const bf_campaign_spec *spec, bf_error *err)
{
    if (isnan(spec->days_between) == isnan(spec->service_bed_volumes)) {
        return bf_error_set(err, BF_E_RANGE, "campaign",
                            "regenerations go by days or by volume; state one of the two");
    }
    bf_status status = check_ranges(spec, err);
    status = status == BF_OK ? check_seasons(spec, err) : status;
    status = status == BF_OK ? bf_iron_spec_check(&spec->iron, err) : status;
    status = status == BF_OK ? bf_bed_spec_check(&spec->bed, err) : status;
    status = status == BF_OK ? bf_recipe_check(&spec->recipe, err) : status;
    if (status != BF_OK) {
        return status;
    }
    const bf_cleaner agent = spec->cleaning.agent;
    if (agent != BF_CLEANER_DITHIONITE && agent != BF_CLEANER_BISULFITE &&
        agent != BF_CLEANER_HYDROCHLORIC) {
        return bf_error_set(err, BF_E_RANGE, "campaign",
                            "a campaign cleans with dithionite, bisulfite or hydrochloric acid");
    }
    const double sites = bf_iron_capacity_eq_per_m3(
        &spec->iron, spec->bed.resin.total_capacity_eq_per_m3, 1.0, spec->deposit.bound_kg_per_m3);
    if (sites < BF_CAMPAIGN_LEAST_SITES) {
        return bf_error_set(
            err, BF_E_RANGE, "campaign",
            "%.4g kg/m3 of bound iron at the start leave %.4g eq/m3 of sites; a bed "
            "has %d or more",
            spec->deposit.bound_kg_per_m3, sites, BF_CAMPAIGN_LEAST_SITES);
    }
    if (spec->bed.source_count > 0) {
        return bf_error_set(err, BF_E_RANGE, "campaign",
                            "the bed comes with source terms; a campaign brings its own");
    }
    const double running_days = bf_campaign_bed_volumes(spec) * spec->bed.depth_m /
                                spec->recipe.step[0].velocity_m_per_s / BF_IRON_S_PER_DAY;
    if (running_days > bf_campaign_days(spec)) {
        return bf_error_set(err, BF_E_RANGE, "campaign",
                            "at its velocity the bed needs %.3g days for the water of %.3g days",
                            running_days, bf_campaign_days(spec));
    }
    return check_waters(spec, err);
}

size_t bf_campaign_season_index(const bf_campaign_spec *spec, double day)
{
    const double of_year = bf__day_of_year(spec->start_day, day);
    size_t season = spec->season_count > 0 ? spec->season_count - 1 : 0; /* over the new year */
    for (size_t k = 0; k < spec->season_count; k++) {
        season = spec->season[k].from_day <= of_year ? k : season;
    }
    return season;
}

bf_resin bf_campaign_resin(const bf_campaign_spec *spec)
{
    bf_resin resin = spec->bed.resin;
    const double magnesium = resin.selectivity[BF_ION_MG];
    resin.selectivity[BF_ION_FE] = spec->iron.iron_over_magnesium * magnesium;
    resin.selectivity[BF_ION_MN] = spec->iron.manganese_over_magnesium * magnesium;
    return resin;
}

bf_status bf_campaign_feed(const bf_campaign_spec *spec, const bf_campaign_season *season,
                           bf_water *water, bf_iron_water *iron, bf_error *err)
{
    *water = season != NULL ? season->water : spec->water;
    *iron = bf_iron_water_default();
    iron->temperature_K = water->temperature_K;
    iron->pH = water->pH;
    iron->oxygen_mol_per_m3 = season != NULL ? season->oxygen_mol_per_m3 : spec->oxygen_mol_per_m3;
    const double total_mol_per_m3 = 0.5 * water->ion_eq_per_m3[BF_ION_FE];
    double oxidised = 0.0;
    if (!isnan(spec->ferric_share)) {
        oxidised = spec->ferric_share * total_mol_per_m3;
    } else {
        const double rate = bf_iron_oxidation_per_s(&spec->iron, iron->temperature_K, iron->pH,
                                                    bf_oxygen_pressure_Pa(iron->oxygen_mol_per_m3,
                                                                          iron->temperature_K,
                                                                          iron->salinity_g_per_kg));
        oxidised = fmin(bf_iron_share_oxidised(rate, spec->contact_s) * total_mol_per_m3,
                        iron->oxygen_mol_per_m3 / BF_OXYGEN_PER_IRON);
        iron->oxygen_mol_per_m3 =
            fmax(iron->oxygen_mol_per_m3 - BF_OXYGEN_PER_IRON * oxidised, 0.0);
    }
    const double charge = BF_ALKALINITY_EQ_PER_IRON * oxidised;
    water->ion_eq_per_m3[BF_ION_FE] = fmax(water->ion_eq_per_m3[BF_ION_FE] - charge, 0.0);
    water->ion_eq_per_m3[BF_ION_HCO3] -= charge;
    water->normality_eq_per_m3 -= charge;
    iron->alkalinity_eq_per_m3 = water->ion_eq_per_m3[BF_ION_HCO3];
    iron->colloidal_iron_g_per_m3 = oxidised * bf_ion_get(BF_ION_FE)->molar_mass_g_per_mol;
    return bf_iron_water_check(iron, err);
}

const char *bf_campaign_state_word(bf_campaign_state state)
{
    static const char *const words[] = {
        [BF_CAMPAIGN_RUNS] = "runs",
        [BF_CAMPAIGN_COMPLETE] = "complete",
        [BF_CAMPAIGN_SPENT] = "spent",
    };
    assert((unsigned)state < sizeof words / sizeof *words);
    return words[state];
}

double bf_campaign_account_error(const bf_campaign_account *a)
{
    const double came = a->at_start + a->in;
    const double found = a->product + a->waste + a->cleaned + a->held + a->loose + a->bound;
    return came > 0.0 ? (came - found) / came : found;
}
