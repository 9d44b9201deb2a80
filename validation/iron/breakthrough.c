/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Iron that stays dissolved exchanges like magnesium: a bed at its steady cycle on water without
 * oxygen, run on until everything has broken through. */
#include "iron/trial.h"
#include "try.h"

#include "brinefront/convert.h"
#include "brinefront/dose_curve.h"

#include <math.h>
#include <stdio.h>

enum { LOOKED_AT = 3 };
static const bf_ion ions[LOOKED_AT] = {BF_ION_CA, BF_ION_MG, BF_ION_FE};

typedef struct watch {
    const double *feed;
    double before_bed_volumes, before[LOOKED_AT];
    double half_bed_volumes[LOOKED_AT]; /* where half of the feed comes through; NAN: not yet */
} watch;

static void look(void *context, const bf_moment *moment)
{
    watch *result = context;
    for (size_t i = 0; i < LOOKED_AT; i++) {
        const double share = moment->effluent_eq_per_m3[ions[i]] / result->feed[ions[i]];
        if (isnan(result->half_bed_volumes[i]) && share >= 0.5 && result->before[i] < 0.5) {
            result->half_bed_volumes[i] =
                result->before_bed_volumes + (moment->bed_volumes - result->before_bed_volumes) *
                                                 (0.5 - result->before[i]) /
                                                 (share - result->before[i]);
        }
        result->before[i] = share;
    }
    result->before_bed_volumes = moment->bed_volumes;
}

typedef struct breakthrough {
    double removed; /* share of the iron, up to 1 gpg of hardness */
    watch front;
} breakthrough;

/* Steady cycles to 1 gpg, then one service to 1 gpg for the iron that passes and, from the same
 * bed, one until all is through. */
static bf_status run_through(double pounds, double iron_mg_per_L, breakthrough *result,
                             bf_error *err)
{
    bf_selectivity *selectivity = NULL;
    bf_bed *bed = NULL;
    bf_bed *twin = NULL;
    bf_campaign_spec trial;
    bf_steady_result steady;
    bf_passage passage;
    bf_status status = BF_OK;
    TRY(trial_spec(pounds, &trial, err));
    TRY(trial_water(&trial, 20.0, iron_mg_per_L, 7.5, 0.0, err));
    bf_rating_spec rating = {.water = trial.water,
                             .bed = trial.bed,
                             .recipe = trial.recipe,
                             .steady = bf_steady_spec_default()};
    double *constant = rating.bed.resin.selectivity;
    constant[BF_ION_FE] = trial.iron.iron_over_magnesium * constant[BF_ION_MG];
    rating.bed.cells = 120;
    rating.bed.temperature_K = rating.water.temperature_K;
    const bf_site site = bf_rating_site(&rating);
    TRY(bf_rating_selectivity(&rating, &selectivity, err));
    TRY(bf_rating_bed(&rating, selectivity, &bed, err));
    TRY(bf_rating_bed(&rating, selectivity, &twin, err));
    TRY(bf_steady_run(&rating.recipe, &site, &rating.steady, bed, &steady, err));
    TRY(bf_bed_copy(twin, bed, err));
    bf_flow flow = {.direction = BF_FLOW_DOWN,
                    .velocity_m_per_s = rating.recipe.step[0].velocity_m_per_s,
                    .duration_s = 500.0 / 20.0 * BF_S_PER_H,
                    .end_hardness_eq_per_m3 = BF_EQ_PER_M3_PER_GPG};
    TRY(bf_fluid_of_water(rating.water.temperature_K, &flow.fluid, err));
    for (size_t i = 0; i < BF_CATION_COUNT; i++) {
        flow.inlet_eq_per_m3[i] = rating.water.ion_eq_per_m3[i];
    }
    TRY(bf_bed_run(twin, &flow, &passage, err));
    result->removed = passage.reached_end_hardness
                          ? 1.0 - passage.out_eq_per_m3[BF_ION_FE] / passage.in_eq_per_m3[BF_ION_FE]
                          : (double)NAN;
    result->front = (watch){.feed = flow.inlet_eq_per_m3,
                            .half_bed_volumes = {(double)NAN, (double)NAN, (double)NAN}};
    flow.end_hardness_eq_per_m3 = (double)NAN;
    flow.observe = look;
    flow.context = &result->front;
    TRY(bf_bed_run(bed, &flow, &passage, err));
done:
    bf_bed_free(bed);
    bf_bed_free(twin);
    bf_selectivity_free(selectivity);
    return status;
}

enum { WATERS = 4 };
static const double pounds[WATERS] = {8.0, 8.0, 15.0, 15.0};
static const double irons_mg_per_L[WATERS] = {2.0, 5.0, 2.0, 5.0};

/* Run once for the rows that look at it. variant 0: iron removed, 1: with Mg, 2: before Ca. */
static bf_status without_oxygen(int variant, outcome *out, bf_error *err)
{
    static breakthrough cached[WATERS];
    static size_t done_before;
    bf_status status = BF_OK;
    for (; done_before < WATERS; done_before++) {
        TRY(run_through(pounds[done_before], irons_mg_per_L[done_before], &cached[done_before],
                        err));
    }
    for (size_t w = 0; w < WATERS; w++) {
        char point[64];
        const double *half = cached[w].front.half_bed_volumes;
        (void)snprintf(point, sizeof point, "%s at %g lb/ft3 and %g mg/L",
                       variant == 0   ? "removed"
                       : variant == 1 ? "Fe50 over Mg50"
                                      : "Fe50 over Ca50",
                       pounds[w], irons_mg_per_L[w]);
        if (variant == 0) {
            trial_add(out, point, ">= 95", "%", 100.0 * cached[w].removed);
        } else if (variant == 1) {
            trial_add(out, point, "0.9 to 1.1", "-", half[2] / half[1]);
        } else {
            trial_add(out, point, "<= 1", "-", trial_ratio(half[2], half[0]));
        }
    }
done:
    return status;
}

const comparison iron_exchange_comparisons[] = {{"removed", without_oxygen, 0},
                                                {"with_magnesium", without_oxygen, 1},
                                                {"before_calcium", without_oxygen, 2},
                                                {NULL, NULL, 0}};
