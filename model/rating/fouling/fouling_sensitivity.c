/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What each uncertain parameter does to a bed's years: the campaign at either end of its range.
 *
 * Whether a parameter takes part is decided by what the campaign has in it, not by what comes out:
 * a campaign of some cycles may miss a cleaning that a longer one has. The rules are those of the
 * laws in iron/; a test runs both ends of what they leave out and finds the same bits.
 */
#include "rating/fouling/fouling_end.h"

#include <math.h>
#include <stddef.h>
#include <stdlib.h>
#include <string.h>

/* What happens in a campaign, as far as parameters are concerned; each nonzero or not. */
typedef struct happens {
    int iron;      /* comes with the water or lies in the bed */
    int exchanges; /* iron is on the resin: it comes dissolved, or a cleaning dissolves it */
    int oxidises;  /* in the water */
    int ages;      /* on the resin, in water or brine */
    int suspended; /* iron floats in the water */
    int loose;     /* lies in the bed */
    int bound;
    int washed; /* by a backwash that lifts the bed */
    int manganese;
    int cleaned; /* by any agent */
    int reduced; /* by one that leaves Fe2+ */
    int chlorine, chloramine;
} happens;

static int brings(const bf_campaign_spec *spec, bf_ion ion)
{
    double sum = 0.0;
    for (size_t k = 0; k < bf__fouling_season_count(spec); k++) {
        const bf_campaign_season *season = bf__fouling_season(spec, k);
        sum += (season != NULL ? &season->water : &spec->water)->ion_eq_per_m3[ion];
    }
    return sum > 0.0;
}

static happens look(const bf_campaign_spec *spec)
{
    const int comes = brings(spec, BF_ION_FE);
    const int dissolved = comes && !(spec->ferric_share >= 1.0);
    const int oxygen = bf__fouling_most_oxygen_mol_per_m3(spec) > 0.0;
    const int lies = spec->deposit.loose_kg_per_m3 + spec->deposit.bound_kg_per_m3 > 0.0;
    const bf_campaign_cleaning *cleaning = &spec->cleaning;
    const int iron = comes || lies;
    happens h = {.iron = iron,
                 .manganese = brings(spec, BF_ION_MN),
                 .chlorine = spec->free_chlorine_g_per_m3 > 0.0,
                 .chloramine = spec->chloramine_g_per_m3 > 0.0};
    h.cleaned = iron && cleaning->every_days > 0.0 && cleaning->dose_kg_per_m3 > 0.0;
    h.reduced = h.cleaned && cleaning->agent != BF_CLEANER_HYDROCHLORIC;
    h.exchanges = dissolved || h.reduced;
    h.oxidises = h.exchanges && oxygen;
    h.ages = h.exchanges && (oxygen || spec->brine_oxygen_mol_per_m3 > 0.0);
    h.suspended = h.oxidises || (comes && spec->ferric_share > 0.0);
    h.loose = h.suspended || spec->deposit.loose_kg_per_m3 > 0.0;
    h.bound = h.loose || h.ages || lies;
    h.washed = h.loose && bf_recipe_find(&spec->recipe, BF_ROLE_BACKWASH) != NULL;
    return h;
}

/* Whether the filter's law notices both ends of an exponent: it does not at the bead and velocity
 * that the coefficient is stated for. */
static int filter_notices(const bf_campaign_spec *spec, size_t parameter)
{
    const bf_iron_parameter row = bf_iron_parameter_get(parameter);
    bf_iron_spec low = spec->iron;
    bf_iron_spec high = spec->iron;
    bf_iron_spec_set(&low, parameter, row.low);
    bf_iron_spec_set(&high, parameter, row.high);
    int notices = 0;
    for (size_t k = 0; k < spec->recipe.count; k++) {
        const bf_step *step = &spec->recipe.step[k];
        const double bead_m = spec->bed.resin.bead_diameter_m;
        if (step->type->role == BF_ROLE_SERVICE || step->type->role == BF_ROLE_FAST_RINSE) {
            notices |= bf_iron_filter_per_m(&low, bead_m, step->velocity_m_per_s) !=
                       bf_iron_filter_per_m(&high, bead_m, step->velocity_m_per_s);
        }
    }
    return notices;
}

/* Row of a field, so that parameters are named by the compiler. */
static size_t row_of(size_t offset)
{
    static const size_t offsets[] = {
#define ROW(field, value, low, high, basis, meaning, source) offsetof(bf_iron_spec, field),
        BF_IRON_PARAMETER_TABLE(ROW)
#undef ROW
    };
    size_t row = 0;
    while (row < sizeof offsets / sizeof *offsets && offsets[row] != offset) {
        row++;
    }
    return row;
}

#define ROW_OF(field) row_of(offsetof(bf_iron_spec, field))

static int takes_part(const bf_campaign_spec *spec, size_t parameter)
{
    const happens h = look(spec);
    const bf_campaign_cleaning *cleaning = &spec->cleaning;
    const struct {
        size_t parameter;
        int when;
    } rules[] = {
        {ROW_OF(oxidation_mol2_per_m6_Pa_s), h.oxidises || h.ages},
        {ROW_OF(oxidation_activation_J_per_mol), h.oxidises || h.ages},
        {ROW_OF(surface_access), h.oxidises},
        {ROW_OF(iron_over_magnesium), h.exchanges},
        {ROW_OF(manganese_over_magnesium), h.manganese},
        {ROW_OF(filter_per_m), h.suspended},
        {ROW_OF(filter_size_exponent), h.suspended && filter_notices(spec, parameter)},
        {ROW_OF(filter_velocity_exponent), h.suspended && filter_notices(spec, parameter)},
        {ROW_OF(ageing_factor), h.ages},
        {ROW_OF(bead_water_eq_per_m3), h.ages},
        {ROW_OF(catalysis_kg_per_m3), h.ages && h.bound},
        {ROW_OF(brine_precipitation), 0}, /* a campaign integrates through the brine instead */
        {ROW_OF(brine_removal), h.bound},
        {ROW_OF(binding_per_s), h.loose},
        {ROW_OF(backwash_per_s), h.washed},
        {ROW_OF(sites_eq_per_mol), h.bound},
        {ROW_OF(shell_kg_per_m3), h.bound},
        {ROW_OF(shell_diffusivity_ratio), h.bound},
        {ROW_OF(shell_share), h.bound},
        {ROW_OF(bead_blocking_kg_per_m3), h.bound},
        {ROW_OF(floc_kg_per_m3), h.loose},
        {ROW_OF(dithionite_use), h.reduced && h.bound},
        {ROW_OF(reduction_per_s), h.cleaned && h.bound},
        {ROW_OF(reduction_aged), h.cleaned && h.bound && cleaning->aged},
        {ROW_OF(reduction_bisulfite),
         h.bound && h.cleaned && cleaning->agent == BF_CLEANER_BISULFITE},
        {ROW_OF(moisture_new), h.chlorine || h.chloramine},
        {ROW_OF(moisture_m3_per_kg), h.chlorine || h.chloramine},
        {ROW_OF(chloramine_weight), h.chloramine},
        {ROW_OF(chlorine_catalysis_kg_per_m3), (h.chlorine || h.chloramine) && h.bound},
    };
    for (size_t k = 0; k < sizeof rules / sizeof *rules; k++) {
        if (rules[k].parameter == parameter) {
            return rules[k].when != 0;
        }
    }
    return h.iron; /* a parameter that is new here is run rather than left out */
}

/* ---- both ends ------------------------------------------------------------------------------- */

/* What takes part first, the widest spread first, else in the order of the table. */
static int widest_first(const void *one, const void *other)
{
    const bf_fouling_sensitivity *a = one;
    const bf_fouling_sensitivity *b = other;
    if (a->takes_part != b->takes_part) {
        return a->takes_part ? -1 : 1;
    }
    if (a->spread_eq_per_m3 > b->spread_eq_per_m3) {
        return -1;
    }
    if (b->spread_eq_per_m3 > a->spread_eq_per_m3) {
        return 1;
    }
    return (a->parameter > b->parameter) - (a->parameter < b->parameter);
}

/* Which campaign of the batch tells an end: the first is the one as it is. */
static size_t plan(const bf_campaign_spec *spec, size_t parameter, double value,
                   bf_campaign_spec *batch, size_t *count)
{
    if (bf_iron_spec_get(&spec->iron, parameter) == value) {
        return 0;
    }
    batch[*count] = *spec;
    bf_iron_spec_set(&batch[*count].iron, parameter, value);
    return (*count)++;
}

/* 0 where the study was stopped before both ends were there. */
static double spread(const bf_fouling_sensitivity *row)
{
    const int is_complete =
        row->low.state != BF_CAMPAIGN_RUNS && row->high.state != BF_CAMPAIGN_RUNS;
    return is_complete ? fabs(row->high.potential_eq_per_m3 - row->low.potential_eq_per_m3) : 0.0;
}

bf_status bf_fouling_sensitivities(const bf_campaign_spec *spec, const bf_fouling_run *run,
                                   bf_fouling_end *expected, bf_fouling_sensitivity *out,
                                   bf_error *err)
{
    const size_t parameters = bf_iron_parameter_count();
    *expected = (bf_fouling_end){0};
    bf_status status = bf__fouling_check(spec, err);
    if (status != BF_OK) {
        return status;
    }
    bf_campaign_spec *batch = calloc(2 * parameters + 1, sizeof *batch);
    bf_fouling_end *end = calloc(2 * parameters + 1, sizeof *end);
    size_t *index = calloc(2 * parameters, sizeof *index);
    if (batch == NULL || end == NULL || index == NULL) {
        status = bf_error_set(err, BF_E_MEMORY, "bf_fouling_sensitivities",
                              "no memory for %zu campaigns", 2 * parameters + 1);
    }
    if (status == BF_OK) {
        size_t count = 1;
        batch[0] = *spec;
        for (size_t p = 0; p < parameters; p++) {
            const bf_iron_parameter row = bf_iron_parameter_get(p);
            out[p] = (bf_fouling_sensitivity){.parameter = p};
            out[p].takes_part = row.basis != BF_IRON_BASIS_EXACT && takes_part(spec, p);
            if (out[p].takes_part) {
                index[2 * p] = plan(spec, p, row.low, batch, &count);
                index[2 * p + 1] = plan(spec, p, row.high, batch, &count);
            }
        }
        status = bf__fouling_ends(run, 0.0, 1.0, batch, count, end, err);
    }
    if (status == BF_OK || status == BF_E_STOPPED) {
        *expected = end[0];
        for (size_t p = 0; p < parameters; p++) {
            if (out[p].takes_part) {
                out[p].low = end[index[2 * p]];
                out[p].high = end[index[2 * p + 1]];
                out[p].spread_eq_per_m3 = spread(&out[p]);
            }
        }
        qsort(out, parameters, sizeof *out, widest_first);
    }
    free(index);
    free(end);
    free(batch);
    return status;
}
