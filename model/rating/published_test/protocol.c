/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The published test: under which conditions softeners are rated.
 *
 * As certifiers describe NSF/ANSI 44; the standard itself was not seen. Feed 20 gpg (342 mg/L),
 * capacity at half of the rated service flow to 1 gpg of effluent: R. Andrew, WC&P 2013, 2014,
 * 2021, and Agua Latinoamerica, Mar 2016. Before every capacity run the bed is exhausted to 10 gpg
 * of effluent with 20 gpg water at 4 gpm/ft3: M.T. Unger, Agua Latinoamerica, Mar 2012.
 *
 * Not given there, or not seen, and ASSUMED here: Ca:Mg, other cations, pH and temperature of the
 * test water (as the case has them); its anions (chloride makes up what hardness changes, then
 * alkalinity, sulfate and nitrate, in that order, where less chloride is not enough); the
 * regeneration (as the case has it).
 */
#include "brinefront/convert.h"
#include "brinefront/criteria.h"
#include "rating/practice/both_units.h"

#include <math.h>
#include <string.h>

static const double test_hardness_mg_per_L = 342.0;
static const double test_end_gpg = 1.0;
static const double test_exhausted_gpg = 10.0;
static const double test_exhausting_gpm_per_ft3 = 4.0;
static const double test_share_of_rated_flow = 0.5;

const char *bf_protocol_words(bf_protocol protocol)
{
    switch (protocol) {
    case BF_PROTOCOL_OWN: return "own";
    case BF_PROTOCOL_PUBLISHED_TEST: return "published test";
    case BF_PROTOCOLS: break;
    }
    return "unknown";
}

/* The case's water at the test's hardness, in balance. */
static void bring_to_test(bf_water *water, bf_notes *notes)
{
    static const bf_ion gives_way[] = {BF_ION_CL, BF_ION_HCO3, BF_ION_SO4, BF_ION_NO3};
    const double before = water->hardness_eq_per_m3;
    const double wanted = test_hardness_mg_per_L * BF_EQ_PER_M3_PER_MG_PER_L_CACO3;
    for (size_t i = 0; i < BF_CATION_COUNT; i++) {
        if (bf_ion_is_hardness((bf_ion)i)) {
            water->ion_eq_per_m3[i] *= wanted / before;
        }
    }
    double change = wanted - before;
    for (size_t k = 0; k < sizeof gives_way / sizeof *gives_way; k++) {
        double *anion = &water->ion_eq_per_m3[gives_way[k]];
        const double taken = fmax(change, -*anion);
        *anion += taken;
        change -= taken;
    }
    water->hardness_eq_per_m3 = wanted;
    water->normality_eq_per_m3 += wanted - before;
    bf_notes_add(notes, BF_NOTE_ASSUMED, "protocol.water",
                 "the published test's feed of %s of hardness keeps the proportions of this "
                 "water's hardness, %s, its other cations, pH and temperature, which the test's "
                 "descriptions do not give; chloride makes up the difference",
                 bf__both(BF__QUANTITY_SETTING, wanted).text,
                 bf__both(BF__QUANTITY_SETTING, before).text);
    const double metals = water->ion_eq_per_m3[BF_ION_FE] + water->ion_eq_per_m3[BF_ION_MN];
    if (metals > 0.0) {
        bf_notes_add(notes, BF_NOTE_CAUTION, "protocol.water",
                     "iron and manganese of this water stay in the feed of the test");
    }
}

/* Behind the service; one that is there already is replaced. */
static bf_status insert_exhaust(bf_recipe *recipe, double depth_m, bf_error *err)
{
    bf_step exhaust = recipe->step[0];
    exhaust.type = &bf_step_exhaust;
    exhaust.velocity_m_per_s =
        test_exhausting_gpm_per_ft3 * BF_M3_PER_GAL / BF_M3_PER_FT3 / BF_S_PER_MIN * depth_m;
    exhaust.bed_volumes = (double)NAN;
    exhaust.end_hardness_eq_per_m3 = (double)NAN;
    exhaust.stop_hardness_eq_per_m3 = test_exhausted_gpg * BF_EQ_PER_M3_PER_GPG;
    if (recipe->count < 2 || recipe->step[1].type->role != BF_ROLE_EXHAUST) {
        if (recipe->count >= BF_RECIPE_STEPS) {
            return bf_error_set(err, BF_E_RANGE, "bf_protocol_apply",
                                "the published test exhausts the bed before it is regenerated, and "
                                "the recipe has no room for a step more than its %d; leave one out",
                                BF_RECIPE_STEPS);
        }
        memmove(&recipe->step[2], &recipe->step[1], (recipe->count - 1) * sizeof recipe->step[0]);
        recipe->count++;
    }
    recipe->step[1] = exhaust;
    return BF_OK;
}

bf_status bf_protocol_apply(bf_protocol protocol, const bf_rating_spec *rating,
                            double rated_m3_per_s, bf_rating_spec *out, bf_notes *notes,
                            bf_error *err)
{
    bf_rating_spec test = *rating;
    if (protocol == BF_PROTOCOL_OWN) {
        *out = test;
        return BF_OK;
    }
    if (!(rated_m3_per_s > 0.0 && isfinite(rated_m3_per_s))) {
        return bf_error_set(err, BF_E_RANGE, "bf_protocol_apply",
                            "the published test runs at half of the rated flow, which is %g m3/s; "
                            "it must be above zero",
                            rated_m3_per_s);
    }
    if (test.recipe.count == 0 || test.recipe.step[0].type->role != BF_ROLE_SERVICE) {
        return bf_error_set(err, BF_E_RANGE, "bf_protocol_apply",
                            "the recipe does not begin with a service");
    }
    bf_step *service = &test.recipe.step[0];
    service->velocity_m_per_s =
        test_share_of_rated_flow * rated_m3_per_s / bf_bed_area_m2(&test.bed);
    service->bed_volumes = (double)NAN;
    service->end_hardness_eq_per_m3 = test_end_gpg * BF_EQ_PER_M3_PER_GPG;
    service->stop_hardness_eq_per_m3 = (double)NAN;
    bf_status status = insert_exhaust(&test.recipe, test.bed.depth_m, err);
    if (status != BF_OK) {
        return status;
    }
    bring_to_test(&test.water, notes);
    bf_notes_add(notes, BF_NOTE_ASSUMED, "protocol.regeneration",
                 "bed, doses and regeneration are this case's; the published test takes a maker's");
    *out = test;
    return BF_OK;
}
