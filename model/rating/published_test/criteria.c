/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Published criteria, and where a rating stands. Limits as their sources state them, in the trade's
 * units; a factor to SI stands beside each.
 *
 *     efficiency, gr/lb       hardness as CaCO3 per salt, both by mass: 7000 times kg/kg
 *     water, gal/1,000 gr     all water of regeneration per hardness as CaCO3
 *     leakage, gpg            the highest of ten samples a minute apart from the start of the run
 *                             at full flow (first_minutes.c): each is to be below the limit
 *
 * What is asked holds for ratings under the published test (protocol.c); under other conditions it
 * is a comparison and no more. Not judged here: demand control, structure, materials.
 */
#include "brinefront/criteria.h"
#include "brinefront/convert.h"

#include <math.h>

static const double gr_per_lb = BF_KG_PER_LB / BF_KG_PER_GRAIN; /* 7000 */
static const double gal_per_1000_gr = BF_M3_PER_GAL / (1000.0 * BF_KG_PER_GRAIN);
static const double gpm = BF_M3_PER_GAL / BF_S_PER_MIN;

/* NSF/ANSI 44 was not seen itself. */
#define CERTIFIERS "NSF/ANSI 44 as certifiers describe it"
#define MADISON                                                                                    \
    "Madison Metropolitan Sewerage District, Water Softening Best Practices Guidelines "           \
    "(docslib.org/download/8894648)"

static const bf_criterion criteria[BF_CRITERIA] = {
    [BF_CRITERION_EFFICIENCY_RATED] =
        {.name = "salt efficiency for an efficiency rating",
         .source = CERTIFIERS ": smallest dose, demand-initiated only "
                              "(watertreatmentguide.com/achieving_brine_efficiency_in_softening)",
         .unit = "gr/lb",
         .limit = 3350.0,
         .at_least = 1,
         .si_unit = "g CaCO3/kg",
         .si_per_unit = 1000.0 * BF_KG_PER_GRAIN / BF_KG_PER_LB},
    [BF_CRITERION_WATER_RATED] =
        {.name = "regeneration water for an efficiency rating",
         .source = CERTIFIERS ": smallest dose "
                              "(watertreatmentguide.com/achieving_brine_efficiency_in_softening)",
         .unit = "gal/1,000 gr",
         .limit = 5.0,
         .si_unit = "L/kg CaCO3",
         .si_per_unit = BF_M3_PER_GAL / BF_KG_PER_GRAIN},
    [BF_CRITERION_EFFICIENCY_STATE] =
        {.name = "salt efficiency, California",
         .source = "California Health and Safety Code 116785: from 2002, demand control",
         .unit = "gr/lb",
         .limit = 4000.0,
         .at_least = 1,
         .si_unit = "g CaCO3/kg",
         .si_per_unit = 1000.0 * BF_KG_PER_GRAIN / BF_KG_PER_LB},
    [BF_CRITERION_EFFICIENCY_DISTRICT] = {.name = "salt efficiency, Madison",
                                          .source = MADISON,
                                          .unit = "gr/lb",
                                          .limit = 4000.0,
                                          .at_least = 1,
                                          .si_unit = "g CaCO3/kg",
                                          .si_per_unit = 1000.0 * BF_KG_PER_GRAIN / BF_KG_PER_LB},
    [BF_CRITERION_WATER_DISTRICT] = {.name = "regeneration water, Madison",
                                     .source = MADISON,
                                     .unit = "gal/1,000 gr",
                                     .limit = 2.5,
                                     .si_unit = "L/kg CaCO3",
                                     .si_per_unit = BF_M3_PER_GAL / BF_KG_PER_GRAIN},
    [BF_CRITERION_PRESSURE] = {.name = "pressure drop at rated flow",
                               .source = CERTIFIERS ": R. Andrew, WC&P 2013, 2014, 2021",
                               .unit = "psi",
                               .limit = 15.0,
                               .si_unit = "kPa",
                               .si_per_unit = 1e-3 * BF_PA_PER_PSI},
    [BF_CRITERION_RATED_FLOW] = {.name = "rated flow",
                                 .source = CERTIFIERS ": R. Andrew, WC&P 2013, 2014, 2021",
                                 .unit = "gpm",
                                 .limit = 4.0,
                                 .at_least = 1,
                                 .si_unit = "m3/h",
                                 .si_per_unit = BF_M3_PER_GAL * BF_S_PER_H / BF_S_PER_MIN},
    [BF_CRITERION_LEAKAGE] = {.name = "leakage at rated flow, ten minutes",
                              .source = CERTIFIERS
                              ": softening performance at the smallest dose, R. Andrew, WC&P",
                              .unit = "gpg",
                              .limit = 1.0,
                              .si_unit = "mg/L as CaCO3",
                              .si_per_unit = BF_EQ_PER_M3_PER_GPG * BF_G_CACO3_PER_EQ},
};

const char *bf_criterion_verdict(const bf_criterion *criterion)
{
    return isnan(criterion->found) ? "cannot be told" : criterion->holds ? "holds" : "fails";
}

static void judge(bf_criterion *criterion, double found, int must_stay_below)
{
    const double rounding = 1e-9; /* a vessel rated by a limit reaches just that limit */
    criterion->found = found;
    criterion->margin =
        criterion->at_least ? found / criterion->limit - 1.0 : 1.0 - found / criterion->limit;
    criterion->holds =
        must_stay_below ? criterion->margin > rounding : criterion->margin >= -rounding;
}

size_t bf_criteria_of(const bf_rating_spec *rating, const bf_tank_sheet *sheet,
                      const bf_dose_point *points, size_t count, const bf_first_minutes *full_flow,
                      bf_criterion *out)
{
    const double nothing = (double)NAN;
    const bf_dose_point *smallest = NULL;
    for (size_t d = 0; d < count; d++) {
        if (smallest == NULL || points[d].dose_kg_per_m3 < smallest->dose_kg_per_m3) {
            smallest = &points[d];
        }
    }
    double efficiency = nothing;
    double water = nothing;
    if (smallest != NULL) {
        const bf_tank_rating pieces = bf_tank_rating_of(rating, smallest);
        efficiency = pieces.efficiency_kg_per_kg * gr_per_lb;
        water = pieces.waste_m3_per_kg / gal_per_1000_gr;
    }
    const double found[BF_CRITERIA] = {
        [BF_CRITERION_EFFICIENCY_RATED] = efficiency,
        [BF_CRITERION_WATER_RATED] = water,
        [BF_CRITERION_EFFICIENCY_STATE] = efficiency,
        [BF_CRITERION_EFFICIENCY_DISTRICT] = efficiency,
        [BF_CRITERION_WATER_DISTRICT] = water,
        [BF_CRITERION_PRESSURE] = sheet == NULL ? nothing : sheet->rated_Pa / BF_PA_PER_PSI,
        [BF_CRITERION_RATED_FLOW] = sheet == NULL ? nothing : sheet->rated_m3_per_s / gpm,
        [BF_CRITERION_LEAKAGE] =
            full_flow == NULL ? nothing : full_flow->highest_eq_per_m3 / BF_EQ_PER_M3_PER_GPG,
    };
    for (size_t k = 0; k < BF_CRITERIA; k++) {
        out[k] = criteria[k];
        judge(&out[k], found[k], k == BF_CRITERION_LEAKAGE);
    }
    return BF_CRITERIA;
}
