/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Draws and rests: a bed that is used now and then, brought to its steady cycle.
 *
 *     draw   the recipe's service for V bed volumes, or until it rises through the end point
 *     rest   bf_step_hold: no flow, film Sh = 2, beads level out inside
 *
 * Hardness of the first water of a draw is h = 1/W int_0^W c dV, W = min(eps, V): one void volume
 * is what stood among the beads. Trapezoids between the integrator's moments.
 */
#include "brinefront/draws.h"

#include "cycle/account.h"
#include "rating/curve/one_rating.h"

#include <math.h>
#include <string.h>

/* Water of draws, split at the first void volume. */
typedef struct portion {
    double bed_volumes, hardness; /* hardness: eq per m3 of bed */
} portion;

/* What one draw lets see. */
typedef struct watch {
    double void_bed_volumes;
    double before_volumes, before_hardness; /* the moment before; NAN: none yet */
    portion first, later;
    double run_volumes, run_first; /* of the run: bed volumes ahead of this draw, first leakage */
} watch;

/* A run, as far as draws see it. */
typedef struct run_of_draws {
    size_t draws;         /* counted */
    portion first, later; /* of its first half */
} run_of_draws;

typedef struct intermittent {
    const bf_draws *draws;
    const bf_recipe *recipe;
    const bf_site *site;
    bf_bed *bed;
    watch seen;
    run_of_draws run;
    double run_before; /* bed volumes of the run before this one */
} intermittent;

bf_status bf_draws_check(const bf_draws *draws, bf_error *err)
{
    if (!(draws->bed_volumes >= 0.01 && draws->bed_volumes <= 1e5)) {
        return bf_error_set(err, BF_E_RANGE, "bf_draws",
                            "a draw of %g bed volumes; accepted are 0.01 to 1e5",
                            draws->bed_volumes);
    }
    if (!(draws->rest_s >= 1.0 && draws->rest_s <= 1e7)) {
        return bf_error_set(err, BF_E_RANGE, "bf_draws",
                            "a rest of %g s; accepted are 1 s to 1e7 s", draws->rest_s);
    }
    return BF_OK;
}

/* Add the stretch between two moments to a portion. */
static void add(portion *to, double from_volumes, double from, double to_volumes, double hardness)
{
    to->bed_volumes += to_volumes - from_volumes;
    to->hardness += 0.5 * (to_volumes - from_volumes) * (from + hardness);
}

static void look(void *observer, const bf_step *step, const bf_moment *moment)
{
    watch *w = observer;
    (void)step;
    const double at = moment->bed_volumes;
    const double hardness = moment->hardness_eq_per_m3;
    const double border = w->void_bed_volumes;
    if (isnan(w->before_hardness)) {
        w->before_hardness = hardness; /* the first moment stands for what is before it */
    }
    if (at <= border || w->before_volumes >= border) {
        add(at <= border ? &w->first : &w->later, w->before_volumes, w->before_hardness, at,
            hardness);
    } else {
        const double part = (border - w->before_volumes) / (at - w->before_volumes);
        const double between = w->before_hardness + part * (hardness - w->before_hardness);
        add(&w->first, w->before_volumes, w->before_hardness, border, between);
        add(&w->later, border, between, at, hardness);
    }
    /* Half a bed volume into the run: its first leakage, whichever draw that falls into. */
    const double half = 0.5 - w->run_volumes;
    if (isnan(w->run_first) && at >= half) {
        const double part = (half - w->before_volumes) / (at - w->before_volumes);
        w->run_first = w->before_hardness + part * (hardness - w->before_hardness);
    }
    w->before_volumes = at;
    w->before_hardness = hardness;
}

static void begin_draw(intermittent *of, double reached)
{
    of->seen = (watch){.void_bed_volumes = of->site->resin.void_fraction,
                       .before_hardness = (double)NAN,
                       .run_volumes = reached,
                       .run_first = of->seen.run_first};
}

static void merge(portion *to, const portion *from)
{
    to->bed_volumes += from->bed_volumes;
    to->hardness += from->hardness;
}

/* A counted draw: what it showed is kept if a rest came before it and the front was still far. */
static void count_draw(intermittent *of, double reached)
{
    of->run.draws++;
    if (of->run.draws > 1 && reached <= 0.5 * of->run_before) {
        merge(&of->run.first, &of->seen.first);
        merge(&of->run.later, &of->seen.later);
    }
}

static bf_status serve(intermittent *of, bf_step_result *out, bf_error *err)
{
    bf_step draw = of->recipe->step[0];
    const bf_step rest = {
        .type = &bf_step_hold, .supply = draw.supply, .duration_s = of->draws->rest_s};
    const double longest = bf__longest_service(&draw, of->site);
    const double end = draw.end_hardness_eq_per_m3;
    bf_status status = BF_OK;
    double reached = 0.0;
    draw.stop_hardness_eq_per_m3 = (double)NAN;
    draw.observe = look;
    draw.observer = &of->seen;
    draw.finish = NULL;
    of->run = (run_of_draws){0};
    of->seen.run_first = (double)NAN;
    /* No draw so short that the integrator has nothing to do. */
    for (int ended = 0; !ended && longest - reached > 1e-3;) {
        bf_step_result stood = {0};
        bf_step_result drawn;
        if (reached > 0.0) {
            status = rest.type->run(&rest, of->site, of->bed, &stood, err);
        }
        if (status == BF_OK) {
            begin_draw(of, reached);
            draw.bed_volumes = fmin(of->draws->bed_volumes, longest - reached);
            status = draw.type->run(&draw, of->site, of->bed, &drawn, err);
        }
        if (status != BF_OK) {
            return status;
        }
        const int is_above = drawn.counted.hardness_low_eq_per_m3 >= end;
        drawn.passage.imbalance_eq_per_m3 += stood.passage.imbalance_eq_per_m3;
        if (reached == 0.0) {
            *out = drawn;
        } else {
            bf__passage_join(&out->passage, &drawn.passage, &out->passage);
        }
        reached += drawn.passage.bed_volumes;
        count_draw(of, reached);
        /* What the last rinse left runs out first: a draw within it says nothing yet. */
        ended = drawn.counted.reached_end_hardness || (is_above && reached >= 0.5);
        out->passage.reached_end_hardness = ended;
    }
    out->passage.hardness_first_eq_per_m3 = of->seen.run_first;
    out->counted = out->passage;
    out->duration_s = out->passage.duration_s;
    out->bed_volumes = out->water_bed_volumes = out->passage.bed_volumes;
    of->run_before = out->counted.bed_volumes;
    return BF_OK;
}

static bf_status run_cycle(void *context, bf_cycle_result *out, bf_error *err)
{
    intermittent *of = context;
    memset(out, 0, sizeof *out);
    bf_status status = serve(of, &out->step[0], err);
    for (size_t s = 1; s < of->recipe->count && status == BF_OK; s++) {
        const bf_step *step = &of->recipe->step[s];
        status = step->type->run(step, of->site, of->bed, &out->step[s], err);
    }
    if (status == BF_OK) {
        out->step_count = of->recipe->count;
        bf__cycle_account(of->recipe, out);
    }
    return status;
}

static double mean_of(const portion *of)
{
    return of->bed_volumes > 0.0 ? of->hardness / of->bed_volumes : (double)NAN;
}

bf_status bf_draws_rate(const bf_rating_spec *rating, const bf_draws *draws, double dose_kg_per_m3,
                        bf_draws_point *out, bf_error *err)
{
    bf_selectivity *selectivity = NULL;
    bf_bed *bed = NULL;
    bf_rating_spec dosed;
    bf_status status = bf_draws_check(draws, err);
    if (status == BF_OK) {
        status = bf__dosed_spec("bf_draws_rate", rating, &dose_kg_per_m3, 1, &dosed, err);
    }
    if (status != BF_OK) {
        return status;
    }
    for (size_t s = 0; s < dosed.recipe.count; s++) {
        dosed.recipe.step[s].observe = NULL;
        dosed.recipe.step[s].finish = NULL;
    }
    *out = (bf_draws_point){.point = bf__point_start(&dosed, dose_kg_per_m3)};
    status = bf_rating_selectivity(rating, &selectivity, err);
    if (status == BF_OK) {
        status = bf__regenerated_bed(&dosed, selectivity, &bed, err);
    }
    if (status == BF_OK) {
        const bf_site site = bf_rating_site(&dosed);
        intermittent of = {.draws = draws,
                           .recipe = &dosed.recipe,
                           .site = &site,
                           .bed = bed,
                           .run_before = (double)INFINITY};
        status = bf__settle(&dosed, dose_kg_per_m3, run_cycle, &of, &out->point, err);
        out->draws = of.run.draws;
        out->first_eq_per_m3 = mean_of(&of.run.first);
        out->later_eq_per_m3 = mean_of(&of.run.later);
    }
    bf_bed_free(bed);
    bf_selectivity_free(selectivity);
    return status;
}
