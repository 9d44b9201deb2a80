/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What would help a fouling bed: one change at a time, each run and ranked by what it does.
 *
 * A change is a row of the table below: it edits a copy of the campaign, or leaves it
 * alone where there is nothing to change. Which changes, and how far:
 *
 *     more salt            half as much again, up to 15 lb/ft3, the most that trade settings give
 *     shorter interval     half of it
 *     acid brine           pH 5, where the law of brine has stopped
 *     reducing brine       no oxygen
 *     reductive cleaning   each half year, as manuals of softeners ask for bed cleaning
 *     acid cleaning        each year, for sites and iron
 *     iron filter          0.1 mg/L left: trade figure of pretreatment for industrial beds
 *     less oxygen          0.1 mg/L: a well whose air is kept out
 *
 * Sources: 15 lb/ft3 and 0.1 mg/L: trade pages; bed cleaning each six months: two operating
 * manuals (seen). The rest: common practice, no source.
 *
 * Charge of an iron filter: Fe2+ leaves with two charges and frees 2 H+, which take two of
 * alkalinity; where there is not so much, soda brings it, and its Na+ takes the place of the iron.
 */
#include "rating/fouling/fouling_end.h"

#include "base/calendar.h"
#include "brinefront/convert.h"

#include <math.h>
#include <stdlib.h>

/* The highest usual dose of product sheets; brine acidified as cleaners are, a filter's effluent and
 * a sealed supply: examples of what could be changed, common practice, no source. */
static const double most_dose_kg_per_m3 = 15.0 * BF_KG_PER_M3_PER_LB_PER_FT3;
static const double acid_brine_pH = 5.0;
static const double filtered_iron_g_per_m3 = 0.1;
static const double little_oxygen_g_per_m3 = 0.1;

/* What the changes know besides the campaign itself. */
typedef struct facts {
    double acid_every_days; /* of acid; 0: the campaign is too short for one */
    bf_fouling_end bound;   /* of the unchanged campaign after so long */
} facts;

typedef struct change {
    const char *name;
    bf_what_if_kind kind;
    int chemical;
    /* Edits the campaign of `out` and says what it was before and is after.
     * @return nonzero where there is nothing to change */
    int (*make)(const facts *bed, bf_what_if *out);
} change;

/* ---- salt and interval ----------------------------------------------------------------------- */

static int more_salt(const facts *bed, bf_what_if *out)
{
    (void)bed;
    out->before = bf_recipe_dose_kg_per_m3(&out->spec.recipe);
    out->after = fmin(1.5 * out->before, most_dose_kg_per_m3);
    bf_recipe_set_dose(&out->spec.recipe, out->after);
    return !(out->after > out->before);
}

static int shorter_interval(const facts *bed, bf_what_if *out)
{
    (void)bed;
    out->before = bf_campaign_days(&out->spec);
    out->after = 0.5 * out->before;
    out->spec.days_between *= 0.5; /* one of the two is NAN and stays so */
    out->spec.service_bed_volumes *= 0.5;
    out->spec.cycles *= 2;
    return 0;
}

/* ---- brine ----------------------------------------------------------------------------------- */

static int acid_brine(const facts *bed, bf_what_if *out)
{
    (void)bed;
    const bf_campaign_spec *spec = &out->spec;
    out->before = spec->brine_pH;
    for (size_t k = 0; isnan(spec->brine_pH) && k < bf__fouling_season_count(spec); k++) {
        const bf_campaign_season *season = bf__fouling_season(spec, k);
        const double pH = season != NULL ? season->water.pH : spec->water.pH;
        out->before = isnan(out->before) ? pH : fmax(out->before, pH);
    }
    out->after = acid_brine_pH;
    out->spec.brine_pH = acid_brine_pH;
    return !(out->before > acid_brine_pH);
}

static int brine_without_oxygen(const facts *bed, bf_what_if *out)
{
    (void)bed;
    out->before = out->spec.brine_oxygen_mol_per_m3 * BF_OXYGEN_G_PER_MOL;
    out->after = 0.0;
    out->spec.brine_oxygen_mol_per_m3 = 0.0;
    return !(out->before > 0.0);
}

/* ---- cleaning -------------------------------------------------------------------------------- */

/* An interval near `about`, so that the campaign ends just before a cleaning; 0: it would end
 * before the first. */
static double cleaning_days(const bf_campaign_spec *spec, double about)
{
    const double horizon = bf__fouling_horizon_days(spec);
    const double times = floor(horizon / about + 0.5);
    const double stretched = horizon / times * (1.0 + 1e-9);
    if (times < 1.0 || (times < 2.0 && stretched <= 1.05 * about)) {
        return 0.0;
    }
    return stretched >= about && stretched <= 1.05 * about ? stretched : about;
}

/* Whether the case cleans with this already, as often. */
static int cleans_already(const bf_campaign_cleaning *cleaning, bf_cleaner agent, double every_days)
{
    return cleaning->every_days > 0.0 && cleaning->agent == agent &&
           cleaning->every_days <= 1.05 * every_days;
}

/* A cleaning with an agent in place of the one of the case. */
static int clean(bf_what_if *out, bf_cleaner agent, double every_days, double dose_kg_per_m3)
{
    const bf_campaign_cleaning before = out->spec.cleaning;
    bf_campaign_cleaning *after = &out->spec.cleaning;
    if (before.every_days == 0.0 || before.agent != agent) {
        *after = bf_campaign_spec_default().cleaning;
        after->aged = before.aged;
    }
    after->agent = agent;
    after->every_days = every_days;
    after->dose_kg_per_m3 = isnan(dose_kg_per_m3) ? after->dose_kg_per_m3 : dose_kg_per_m3;
    out->before = before.every_days > 0.0 ? before.every_days : (double)NAN;
    out->after = every_days;
    return every_days == 0.0 || cleans_already(&before, agent, every_days);
}

static int reductive_cleaning(const facts *bed, bf_what_if *out)
{
    (void)bed;
    return clean(out, BF_CLEANER_DITHIONITE, cleaning_days(&out->spec, 0.5 * BF__DAYS_PER_YEAR),
                 (double)NAN);
}

static int acid_cleaning(const facts *bed, bf_what_if *out)
{
    return clean(out, BF_CLEANER_HYDROCHLORIC, bed->acid_every_days,
                 bf_cleaning_acid_kg_per_m3(BF_CLEANER_HYDROCHLORIC,
                                            bed->bound.total_capacity_eq_per_m3,
                                            bed->bound.bound_kg_per_m3));
}

/* ---- water ----------------------------------------------------------------------------------- */

/* Oxidise all iron but a little, and keep the charge. */
static void filter(bf_water *water)
{
    double *ion = water->ion_eq_per_m3;
    const double left = filtered_iron_g_per_m3 / bf_ion_equivalent_mass_g_per_eq(BF_ION_FE);
    const double off = fmax(ion[BF_ION_FE] - left, 0.0);
    const double alkalinity = fmin(off, ion[BF_ION_HCO3]);
    ion[BF_ION_FE] -= off;
    ion[BF_ION_HCO3] -= alkalinity;
    ion[BF_ION_NA] += off - alkalinity;
    water->normality_eq_per_m3 -= alkalinity;
    const double soda = fmax(ion[BF_ION_FE] - ion[BF_ION_HCO3], 0.0); /* for the iron left */
    ion[BF_ION_HCO3] += soda;
    ion[BF_ION_NA] += soda;
    water->normality_eq_per_m3 += soda;
}

static int iron_filter(const facts *bed, bf_what_if *out)
{
    (void)bed;
    out->before = bf__fouling_most_iron_g_per_m3(&out->spec);
    out->after = filtered_iron_g_per_m3;
    filter(&out->spec.water);
    for (size_t k = 0; k < out->spec.season_count; k++) {
        filter(&out->spec.season[k].water);
    }
    return !(out->before > filtered_iron_g_per_m3 * (1.0 + 1e-9));
}

static int less_oxygen(const facts *bed, bf_what_if *out)
{
    (void)bed;
    bf_campaign_spec *spec = &out->spec;
    const double little_mol_per_m3 = little_oxygen_g_per_m3 / BF_OXYGEN_G_PER_MOL;
    const double most_mol_per_m3 = bf__fouling_most_oxygen_mol_per_m3(spec);
    out->before = most_mol_per_m3 * BF_OXYGEN_G_PER_MOL;
    out->after = little_oxygen_g_per_m3;
    spec->oxygen_mol_per_m3 = fmin(spec->oxygen_mol_per_m3, little_mol_per_m3);
    for (size_t k = 0; k < spec->season_count; k++) {
        spec->season[k].oxygen_mol_per_m3 =
            fmin(spec->season[k].oxygen_mol_per_m3, little_mol_per_m3);
    }
    return !(most_mol_per_m3 > little_mol_per_m3 * (1.0 + 1e-9));
}

/* ---- all of them ----------------------------------------------------------------------------- */

/* The one with the most cycles first: it takes the longest. */
static const change salt_changes[] = {
    {"shorter_interval", BF_WHAT_IF_INTERVAL, 0, shorter_interval},
    {"more_salt", BF_WHAT_IF_SALT, 0, more_salt},
};
static const change iron_changes[] = {
    {"acid_brine", BF_WHAT_IF_BRINE_PH, 1, acid_brine},
    {"brine_without_oxygen", BF_WHAT_IF_BRINE_OXYGEN, 1, brine_without_oxygen},
    {"reductive_cleaning", BF_WHAT_IF_CLEANING, 1, reductive_cleaning},
    {"acid_cleaning", BF_WHAT_IF_CLEANING, 1, acid_cleaning},
    {"iron_filter", BF_WHAT_IF_IRON, 0, iron_filter},
    {"less_oxygen", BF_WHAT_IF_OXYGEN, 0, less_oxygen},
};

#define COUNT(array) (sizeof(array) / sizeof *(array))
_Static_assert(COUNT(salt_changes) + COUNT(iron_changes) <= BF_WHAT_IFS, "too many changes");

static void try_changes(const bf_campaign_spec *spec, const facts *bed, const change *changes,
                        size_t changes_count, bf_what_if *out, size_t *count)
{
    for (size_t k = 0; k < changes_count; k++) {
        bf_what_if *tried = &out[*count];
        bf_error ignored = {0};
        *tried = (bf_what_if){.name = changes[k].name,
                              .kind = changes[k].kind,
                              .chemical = changes[k].chemical,
                              .spec = *spec};
        const int nothing = changes[k].make(bed, tried);
        if (!nothing && bf_campaign_spec_check(&tried->spec, &ignored) == BF_OK) {
            (*count)++;
        }
    }
}

/* Whether a comes before b: living beds, then spent ones; in each the most gain, the longest life.
 */
static int better(const bf_what_if *a, const bf_what_if *b)
{
    const int spent_a = a->end.state == BF_CAMPAIGN_SPENT;
    const int spent_b = b->end.state == BF_CAMPAIGN_SPENT;
    if (spent_a || spent_b) {
        return spent_a != spent_b ? spent_b : a->end.day > b->end.day;
    }
    return a->gain_eq_per_m3 > b->gain_eq_per_m3;
}

static void rank(bf_what_if *out, size_t count)
{
    for (size_t k = 1; k < count; k++) {
        const bf_what_if moved = out[k];
        size_t place = k;
        for (; place > 0 && better(&moved, &out[place - 1]); place--) {
            out[place] = out[place - 1];
        }
        out[place] = moved;
    }
}

static int brings_iron(const bf_campaign_spec *spec)
{
    return bf__fouling_most_iron_g_per_m3(spec) > 0.0 ||
           spec->deposit.loose_kg_per_m3 + spec->deposit.bound_kg_per_m3 > 0.0;
}

/* The unchanged campaign, and beside it the first part of it, for the acid's dose. */
static bf_status run_unchanged(const bf_campaign_spec *spec, const bf_fouling_run *run, double stop,
                               facts *bed, bf_fouling_end *unchanged, bf_error *err)
{
    bf_campaign_spec both[2] = {*spec, *spec};
    bf_fouling_end end[2];
    bed->acid_every_days = cleaning_days(spec, BF__DAYS_PER_YEAR);
    const size_t count = bed->acid_every_days > 0.0 ? 2 : 1;
    both[1].cycles = (size_t)fmax(floor(bed->acid_every_days / bf_campaign_days(spec)), 1.0);
    bf_status status = bf__fouling_ends(run, 0.0, stop, both, count, end, err);
    *unchanged = end[0];
    bed->bound = count == 2 ? end[1] : (bf_fouling_end){0};
    return status;
}

/* Run the changed campaigns. */
static bf_status run_changed(const bf_fouling_run *run, double start, bf_what_if *out, size_t count,
                             bf_error *err)
{
    bf_campaign_spec *spec = calloc(count, sizeof *spec);
    bf_fouling_end end[BF_WHAT_IFS];
    if (spec == NULL) {
        return bf_error_set(err, BF_E_MEMORY, "bf_fouling_what_if", "no memory for %zu campaigns",
                            count);
    }
    for (size_t k = 0; k < count; k++) {
        spec[k] = out[k].spec;
    }
    bf_status status = bf__fouling_ends(run, start, 1.0, spec, count, end, err);
    for (size_t k = 0; k < count; k++) {
        out[k].end = end[k];
    }
    free(spec);
    return status;
}

/* Those that came to their end. @return how many */
static size_t keep_complete(bf_what_if *out, size_t count)
{
    size_t complete = 0;
    for (size_t k = 0; k < count; k++) {
        if (out[k].end.state != BF_CAMPAIGN_RUNS) {
            out[complete++] = out[k];
        }
    }
    return complete;
}

bf_status bf_fouling_what_if(const bf_campaign_spec *spec, const bf_fouling_run *run,
                             bf_fouling_end *unchanged, bf_what_if *out, size_t *count,
                             bf_error *err)
{
    const double first = 0.15; /* of the work */
    facts bed = {0};
    *count = 0;
    *unchanged = (bf_fouling_end){0};
    bf_status status = bf__fouling_check(spec, err);
    status = status == BF_OK ? run_unchanged(spec, run, first, &bed, unchanged, err) : status;
    if (status != BF_OK) {
        return status;
    }
    size_t tried = 0;
    try_changes(spec, &bed, salt_changes, COUNT(salt_changes), out, &tried);
    if (brings_iron(spec)) {
        try_changes(spec, &bed, iron_changes, COUNT(iron_changes), out, &tried);
    }
    status = tried > 0 ? run_changed(run, first, out, tried, err) : BF_OK;
    *count = status == BF_OK || status == BF_E_STOPPED ? keep_complete(out, tried) : 0;
    for (size_t k = 0; k < *count; k++) {
        out[k].gain_eq_per_m3 = out[k].end.potential_eq_per_m3 - unchanged->potential_eq_per_m3;
    }
    rank(out, *count);
    return status;
}
