/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Stagnation: a bed that is drawn from now and then, brought to its steady cycle.
 *
 *     draw         the recipe's service for V bed volumes, or until it rises through the end point
 *     stagnation   bf_step_hold: no flow, film Sh = 2, beads level out inside
 *
 * Hardness of the first water of a draw is h = 1/W int_0^W c dV, W = min(eps, V): one void volume
 * is what stood among the beads. Trapezoids between the integrator's moments.
 */
#include "brinefront/stagnation.h"

#include "cycle/account.h"
#include "rating/curve/one_rating.h"

#include <math.h>
#include <string.h>

/* Water of draws, split at the first void volume. */
typedef struct portion {
    double bed_volumes, hardness; /* hardness: eq per m3 of bed */
} portion;

/* The effluent of one draw. */
typedef struct view {
    double void_bed_volumes;
    double before_volumes, before_hardness; /* the moment before; NAN: none yet */
    portion first, later;
    double run_volumes, run_first; /* of the run: bed volumes ahead of this draw, first leakage */
} view;

/* A run, as far as draws see it. */
typedef struct run_of_draws {
    size_t draws;         /* counted */
    portion first, later; /* of its first half */
} run_of_draws;

typedef struct intermittent {
    const bf_stagnation *stagnation;
    const bf_recipe *recipe;
    const bf_site *site;
    bf_bed *bed;
    view seen;
    run_of_draws run;
    double run_before; /* bed volumes of the run before this one */
} intermittent;

bf_status bf_stagnation_check(const bf_stagnation *stagnation, bf_error *err)
{
    if (!(stagnation->draw_bed_volumes >= 0.01 && stagnation->draw_bed_volumes <= 1e5)) {
        return bf_error_set(err, BF_E_RANGE, "bf_stagnation",
                            "a draw of %g bed volumes; accepted are 0.01 to 1e5",
                            stagnation->draw_bed_volumes);
    }
    if (!(stagnation->stagnation_s >= 1.0 && stagnation->stagnation_s <= 1e7)) {
        return bf_error_set(err, BF_E_RANGE, "bf_stagnation",
                            "stagnation of %g s; accepted are 1 s to 1e7 s",
                            stagnation->stagnation_s);
    }
    return BF_OK;
}

/* Add the stretch between two moments to a portion. */
static void add(portion *sum, double start_volumes, double start_hardness, double end_volumes,
                double end_hardness)
{
    sum->bed_volumes += end_volumes - start_volumes;
    sum->hardness += 0.5 * (end_volumes - start_volumes) * (start_hardness + end_hardness);
}

static void look(void *observer, const bf_step *step, const bf_moment *moment)
{
    view *seen = observer;
    (void)step;
    const double volumes = moment->bed_volumes;
    const double hardness = moment->hardness_eq_per_m3;
    const double border = seen->void_bed_volumes;
    if (isnan(seen->before_hardness)) {
        seen->before_hardness = hardness; /* the first moment stands for what is before it */
    }
    if (volumes <= border || seen->before_volumes >= border) {
        add(volumes <= border ? &seen->first : &seen->later, seen->before_volumes,
            seen->before_hardness, volumes, hardness);
    } else {
        const double part = (border - seen->before_volumes) / (volumes - seen->before_volumes);
        const double between = seen->before_hardness + part * (hardness - seen->before_hardness);
        add(&seen->first, seen->before_volumes, seen->before_hardness, border, between);
        add(&seen->later, border, between, volumes, hardness);
    }
    /* Half a bed volume into the run: its first leakage, whichever draw that falls into. */
    const double half = 0.5 - seen->run_volumes;
    if (isnan(seen->run_first) && volumes >= half) {
        const double part = (half - seen->before_volumes) / (volumes - seen->before_volumes);
        seen->run_first = seen->before_hardness + part * (hardness - seen->before_hardness);
    }
    seen->before_volumes = volumes;
    seen->before_hardness = hardness;
}

static void begin_draw(intermittent *use, double reached)
{
    use->seen = (view){.void_bed_volumes = use->site->resin.void_fraction,
                       .before_hardness = (double)NAN,
                       .run_volumes = reached,
                       .run_first = use->seen.run_first};
}

static void merge(portion *sum, const portion *part)
{
    sum->bed_volumes += part->bed_volumes;
    sum->hardness += part->hardness;
}

/* A counted draw: what it showed is kept if stagnation came before it and the front was still far. */
static void count_draw(intermittent *use, double reached)
{
    use->run.draws++;
    if (use->run.draws > 1 && reached <= 0.5 * use->run_before) {
        merge(&use->run.first, &use->seen.first);
        merge(&use->run.later, &use->seen.later);
    }
}

static bf_status serve(intermittent *use, bf_step_result *out, bf_error *err)
{
    bf_step draw = use->recipe->step[0];
    const bf_step stagnation = {
        .type = &bf_step_hold, .supply = draw.supply, .duration_s = use->stagnation->stagnation_s};
    const double longest = bf__longest_service(&draw, use->site);
    const double end = draw.end_hardness_eq_per_m3;
    bf_status status = BF_OK;
    double reached = 0.0;
    draw.stop_hardness_eq_per_m3 = (double)NAN;
    draw.observe = look;
    draw.observer = &use->seen;
    draw.finish = NULL;
    use->run = (run_of_draws){0};
    use->seen.run_first = (double)NAN;
    /* No draw so short that the integrator has nothing to do. */
    for (int ended = 0; !ended && longest - reached > 1e-3;) {
        bf_step_result stagnant = {0};
        bf_step_result drawn;
        if (reached > 0.0) {
            status = stagnation.type->run(&stagnation, use->site, use->bed, &stagnant, err);
        }
        if (status == BF_OK) {
            begin_draw(use, reached);
            draw.bed_volumes = fmin(use->stagnation->draw_bed_volumes, longest - reached);
            status = draw.type->run(&draw, use->site, use->bed, &drawn, err);
        }
        if (status != BF_OK) {
            return status;
        }
        const int is_above = drawn.counted.hardness_low_eq_per_m3 >= end;
        drawn.passage.imbalance_eq_per_m3 += stagnant.passage.imbalance_eq_per_m3;
        if (reached == 0.0) {
            *out = drawn;
        } else {
            bf__passage_join(&out->passage, &drawn.passage, &out->passage);
        }
        reached += drawn.passage.bed_volumes;
        count_draw(use, reached);
        /* What the last rinse left runs out first: a draw within it says nothing yet. */
        ended = drawn.counted.reached_end_hardness || (is_above && reached >= 0.5);
        out->passage.reached_end_hardness = ended;
    }
    out->passage.hardness_first_eq_per_m3 = use->seen.run_first;
    out->counted = out->passage;
    out->duration_s = out->passage.duration_s;
    out->bed_volumes = out->water_bed_volumes = out->passage.bed_volumes;
    use->run_before = out->counted.bed_volumes;
    return BF_OK;
}

static bf_status run_cycle(void *context, bf_cycle_result *out, bf_error *err)
{
    intermittent *use = context;
    memset(out, 0, sizeof *out);
    bf_status status = serve(use, &out->step[0], err);
    for (size_t s = 1; s < use->recipe->count && status == BF_OK; s++) {
        const bf_step *step = &use->recipe->step[s];
        status = step->type->run(step, use->site, use->bed, &out->step[s], err);
    }
    if (status == BF_OK) {
        out->step_count = use->recipe->count;
        bf__cycle_account(use->recipe, out);
    }
    return status;
}

static double mean_hardness(const portion *part)
{
    return part->bed_volumes > 0.0 ? part->hardness / part->bed_volumes : (double)NAN;
}

bf_status bf_stagnation_rate(const bf_rating_spec *rating, const bf_stagnation *stagnation,
                             double dose_kg_per_m3, bf_stagnation_point *out, bf_error *err)
{
    bf_selectivity *selectivity = NULL;
    bf_bed *bed = NULL;
    bf_rating_spec dosed;
    bf_status status = bf_stagnation_check(stagnation, err);
    if (status == BF_OK) {
        status = bf__dosed_spec("bf_stagnation_rate", rating, &dose_kg_per_m3, 1, &dosed, err);
    }
    if (status != BF_OK) {
        return status;
    }
    for (size_t s = 0; s < dosed.recipe.count; s++) {
        dosed.recipe.step[s].observe = NULL;
        dosed.recipe.step[s].finish = NULL;
    }
    *out = (bf_stagnation_point){.point = bf__point_start(&dosed, dose_kg_per_m3)};
    status = bf_rating_selectivity(rating, &selectivity, err);
    if (status == BF_OK) {
        status = bf__regenerated_bed(&dosed, selectivity, &bed, err);
    }
    if (status == BF_OK) {
        const bf_site site = bf_rating_site(&dosed);
        intermittent use = {.stagnation = stagnation,
                            .recipe = &dosed.recipe,
                            .site = &site,
                            .bed = bed,
                            .run_before = (double)INFINITY};
        status = bf__settle(&dosed, dose_kg_per_m3, run_cycle, &use, &out->point, err);
        out->draws = use.run.draws;
        out->first_eq_per_m3 = mean_hardness(&use.run.first);
        out->later_eq_per_m3 = mean_hardness(&use.run.later);
    }
    bf_bed_free(bed);
    bf_selectivity_free(selectivity);
    return status;
}
