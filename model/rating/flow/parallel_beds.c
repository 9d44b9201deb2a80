/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Beds side by side, one velocity each, brought to one cyclic steady state.
 *
 * A bed that the water passes at v times the mean velocity sees v times the mean's bed volumes of
 * every step. With a_k the shares of the cross-section, the mixture at V bed volumes of the mean is
 *
 *     c(V) = sum a_k v_k c_k(v_k V) / sum a_k v_k
 *
 * No bed knows of it while it runs, so each cycle serves twice: first scouts, copies of the beds,
 * go on until the mixture has passed the end point, and then the beds themselves go exactly that
 * far. Between the moments of the integrator each bed's hardness is read on a straight line of its
 * logarithm, for the front rises exponentially.
 *
 * Rejected: beds in step, all of them advanced from moment to moment together; it needs an
 * integrator restarted hundreds of times a run. Rejected: mixing the resin of the beds in backwash,
 * of which nobody knows how far it goes sideways.
 */
#include "brinefront/parallel_beds.h"

#include "base/parallel.h"
#include "cycle/account.h"
#include "rating/curve/one_rating.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { MOST_BEDS = BF_PARALLEL_BEDS + 1 };

/* How far scouts go at once. Only time depends on it: chosen, no source. */
static const double first_guess = 0.2;  /* of the longest service */
static const double next_guess = 1.02;  /* of the run before */
static const double next_stretch = 0.1; /* of the longest service, where that was too short */

/* Far below any leakage: a logarithm needs a number above zero. */
static const double least_eq_per_m3 = 1e-9;

/* What one scout saw, against the bed volumes of the mean. */
typedef struct course {
    size_t count, room;
    double *bed_volumes, *hardness;
    double earlier; /* bed volumes of the mean before this stretch */
    double velocity;
    int lost; /* nonzero: memory ran out */
} course;

/* One of the beds. */
typedef struct lane {
    double share, velocity;
    bf_recipe recipe;
    bf_bed *bed, *scout;
    course seen;
    bf_step_result step[BF_RECIPE_STEPS];
} lane;

typedef struct beds {
    bf_rating_spec dosed; /* its recipe is that of the mean */
    const bf_selectivity *selectivity;
    bf_site site;
    size_t count;
    int threads;
    lane *lane;
} beds;

/* What the mixture does in a run; NAN: not yet. */
typedef struct mixed {
    double end, stop;       /* bed volumes at which it rises through the two hardnesses */
    double first, low_hard; /* hardness after half a bed volume, and lowest up to the end */
} mixed;

/* ---- the mixture ----------------------------------------------------------------------------- */

static void watch(void *observer, const bf_step *step, const bf_moment *moment)
{
    course *seen = observer;
    (void)step;
    if (seen->count == seen->room) {
        const size_t room = seen->room == 0 ? 1024 : 2 * seen->room;
        double *bed_volumes = realloc(seen->bed_volumes, room * sizeof *bed_volumes);
        seen->bed_volumes = bed_volumes != NULL ? bed_volumes : seen->bed_volumes;
        double *hardness = realloc(seen->hardness, room * sizeof *hardness);
        seen->hardness = hardness != NULL ? hardness : seen->hardness;
        if (bed_volumes == NULL || hardness == NULL) {
            seen->lost = 1;
            return;
        }
        seen->room = room;
    }
    seen->bed_volumes[seen->count] = seen->earlier + moment->bed_volumes / seen->velocity;
    seen->hardness[seen->count] = fmax(moment->hardness_eq_per_m3, least_eq_per_m3);
    seen->count++;
}

/* Hardness of one bed; `index` is of the moment before, and moves on with rising bed volumes. */
static double hardness_at(const course *seen, size_t *index, double bed_volumes)
{
    while (*index + 1 < seen->count && seen->bed_volumes[*index + 1] <= bed_volumes) {
        ++*index;
    }
    const double before = seen->bed_volumes[*index];
    if (*index + 1 == seen->count || bed_volumes <= before) {
        return seen->hardness[*index];
    }
    const double part = (bed_volumes - before) / (seen->bed_volumes[*index + 1] - before);
    return exp((1.0 - part) * log(seen->hardness[*index]) + part * log(seen->hardness[*index + 1]));
}

static double mixture(const beds *all, size_t index[MOST_BEDS], double bed_volumes)
{
    double hardness = 0.0;
    double flow = 0.0;
    for (size_t k = 0; k < all->count; k++) {
        const double part = all->lane[k].share * all->lane[k].velocity;
        hardness += part * hardness_at(&all->lane[k].seen, &index[k], bed_volumes);
        flow += part;
    }
    return hardness / flow;
}

/* The next moment that any bed saw. */
static double next_moment(const beds *all, const size_t index[MOST_BEDS])
{
    double next = (double)INFINITY;
    for (size_t k = 0; k < all->count; k++) {
        const course *seen = &all->lane[k].seen;
        if (index[k] + 1 < seen->count) {
            next = fmin(next, seen->bed_volumes[index[k] + 1]);
        }
    }
    return next;
}

/* Where the mixture passes `level` between two moments; `index` is of the first of them. */
static double crossing(const beds *all, const size_t index[MOST_BEDS], double level, double low,
                       double high)
{
    while (high - low > 1e-9 * high) {
        size_t local[MOST_BEDS];
        memcpy(local, index, sizeof local);
        const double middle = 0.5 * (low + high);
        if (middle <= low || middle >= high) {
            break;
        }
        *(mixture(all, local, middle) < level ? &low : &high) = middle;
    }
    return 0.5 * (low + high);
}

/* Follow the mixture through everything seen. An end point is armed: it counts once the mixture has
 * been below it. */
static mixed follow_mixture(const beds *all, double reached)
{
    const bf_step *service = &all->dosed.recipe.step[0];
    mixed out = {(double)NAN, (double)NAN, (double)NAN, (double)INFINITY};
    size_t index[MOST_BEDS] = {0};
    size_t before_index[MOST_BEDS] = {0};
    const double last = reached * (1.0 + 1e-9); /* moments carry rounding */
    double before = 0.0;
    double before_hard = mixture(all, index, before);
    for (double now = next_moment(all, index); now <= last; now = next_moment(all, index)) {
        memcpy(before_index, index, sizeof before_index);
        const double hard = mixture(all, index, now);
        const int half = before < 0.5 && now >= 0.5;
        if (isnan(out.end)) {
            out.low_hard = fmin(out.low_hard, before_hard);
            if (out.low_hard < service->end_hardness_eq_per_m3 &&
                hard >= service->end_hardness_eq_per_m3 &&
                before_hard < service->end_hardness_eq_per_m3) {
                out.end = crossing(all, before_index, service->end_hardness_eq_per_m3, before, now);
            }
        }
        if (half && !(out.end < 0.5)) {
            size_t local[MOST_BEDS];
            memcpy(local, before_index, sizeof local);
            out.first = mixture(all, local, 0.5);
        }
        if (!isnan(out.end) && hard >= service->stop_hardness_eq_per_m3) {
            out.stop = crossing(all, before_index, service->stop_hardness_eq_per_m3, before, now);
            break;
        }
        before = now;
        before_hard = hard;
    }
    if (isnan(out.end)) {
        out.low_hard = fmin(out.low_hard, before_hard);
    }
    return out;
}

/* ---- all beds at once ------------------------------------------------------------------------ */

typedef bf_status task(const beds *all, lane *one, double start, double end, bf_error *err);

typedef struct lane_jobs {
    const beds *all;
    task *work;
    double start, end;
} lane_jobs;

static bf_status run_lane(void *context, size_t job, bf_error *err)
{
    const lane_jobs *jobs = context;
    return jobs->work(jobs->all, &jobs->all->lane[job], jobs->start, jobs->end, err);
}

/* Every bed does the same, in any thread; they share nothing that is written to. */
static bf_status each(const beds *all, task *work, double start, double end, bf_error *err)
{
    lane_jobs lanes = {.all = all, .work = work, .start = start, .end = end};
    const bf__jobs jobs = {
        .count = all->count, .threads = all->threads, .run = run_lane, .context = &lanes};
    return bf__parallel(&jobs, err);
}

/* Service from one of the mean's bed volumes to another. */
static bf_status serve(const beds *all, const lane *one, bf_bed *bed, double start, double end,
                       course *seen, bf_step_result *out, bf_error *err)
{
    bf_step step = one->recipe.step[0];
    step.end_hardness_eq_per_m3 = (double)NAN;
    step.stop_hardness_eq_per_m3 = (double)NAN;
    step.bed_volumes = (end - start) * one->velocity;
    step.observe = seen != NULL ? watch : NULL;
    step.observer = seen;
    return step.type->run(&step, &all->site, bed, out, err);
}

static bf_status scout_task(const beds *all, lane *one, double start, double end, bf_error *err)
{
    bf_status status = BF_OK;
    bf_step_result ignored;
    if (start == 0.0) {
        one->seen.count = 0;
        status = bf_bed_copy(one->scout, one->bed, err);
    }
    one->seen.earlier = start;
    if (status == BF_OK) {
        status = serve(all, one, one->scout, start, end, &one->seen, &ignored, err);
    }
    if (status == BF_OK && one->seen.lost) {
        status = bf_error_set(err, BF_E_MEMORY, "bf_parallel_beds_rate",
                              "no memory for the course of an effluent");
    }
    return status;
}

/* Up to the counted end, or on from there. */
static bf_status serve_task(const beds *all, lane *one, double start, double end, bf_error *err)
{
    bf_step_result stretch;
    bf_status status = serve(all, one, one->bed, start, end, NULL, &stretch, err);
    if (status == BF_OK && start == 0.0) {
        one->step[0] = stretch;
    } else if (status == BF_OK) {
        const bf_passage first = one->step[0].passage;
        one->step[0].duration_s += stretch.duration_s;
        one->step[0].bed_volumes += stretch.bed_volumes;
        one->step[0].water_bed_volumes += stretch.water_bed_volumes;
        bf__passage_join(&first, &stretch.passage, &one->step[0].passage);
    }
    return status;
}

static bf_status regenerate_task(const beds *all, lane *one, double start, double end,
                                 bf_error *err)
{
    bf_status status = BF_OK;
    (void)start;
    (void)end;
    for (size_t s = 1; s < one->recipe.count && status == BF_OK; s++) {
        const bf_step *step = &one->recipe.step[s];
        status = step->type->run(step, &all->site, one->bed, &one->step[s], err);
    }
    return status;
}

static bf_status open_task(const beds *all, lane *one, double start, double end, bf_error *err)
{
    bf_rating_spec own = all->dosed;
    own.recipe = one->recipe;
    (void)start;
    (void)end;
    bf_status status = bf__regenerated_bed(&own, all->selectivity, &one->bed, err);
    return status == BF_OK ? bf_rating_bed(&own, all->selectivity, &one->scout, err) : status;
}

/* ---- accounts -------------------------------------------------------------------------------- */

/* Add a bed's passage to that of all. */
static void add_passage(bf_passage *sum, const bf_passage *own, double share)
{
    sum->bed_volumes += share * own->bed_volumes;
    sum->hardness_last_eq_per_m3 += share * own->bed_volumes * own->hardness_last_eq_per_m3;
    sum->imbalance_eq_per_m3 += share * own->imbalance_eq_per_m3;
    sum->steps += own->steps;
    for (size_t i = 0; i < BF_ION_COUNT; i++) {
        sum->in_eq_per_m3[i] += share * own->in_eq_per_m3[i];
        sum->out_eq_per_m3[i] += share * own->out_eq_per_m3[i];
        sum->stored_eq_per_m3[i] += share * own->stored_eq_per_m3[i];
    }
}

static bf_passage mean_passage(const beds *all, size_t s)
{
    bf_passage sum = {.duration_s = all->lane[0].step[s].passage.duration_s,
                      .hardness_first_eq_per_m3 = (double)NAN,
                      .hardness_low_eq_per_m3 = (double)NAN};
    for (size_t k = 0; k < all->count; k++) {
        add_passage(&sum, &all->lane[k].step[s].passage, all->lane[k].share);
    }
    sum.hardness_last_eq_per_m3 /= sum.bed_volumes; /* NAN where nothing flowed */
    return sum;
}

static void mean_step(const beds *all, size_t s, bf_step_result *out)
{
    const bf_step_result *any = &all->lane[0].step[s];
    *out = (bf_step_result){
        .name = any->name, .duration_s = any->duration_s, .depth_ratio = any->depth_ratio};
    for (size_t k = 0; k < all->count; k++) {
        const bf_step_result *own = &all->lane[k].step[s];
        const double share = all->lane[k].share;
        out->bed_volumes += share * own->bed_volumes;
        out->water_bed_volumes += share * own->water_bed_volumes;
        out->salt_kg_per_m3 += share * own->salt_kg_per_m3;
    }
    if (any->passage.duration_s > 0.0) {
        out->passage = mean_passage(all, s);
    }
}

static void mean_service(const beds *all, const mixed *mix, bf_passage *out)
{
    *out = mean_passage(all, 0);
    out->reached_end_hardness = !isnan(mix->end);
    out->hardness_first_eq_per_m3 = mix->first;
    out->hardness_low_eq_per_m3 = mix->low_hard;
}

/* ---- cycles ---------------------------------------------------------------------------------- */

/* Let the scouts run until the mixture has done all that service waits for.
 * @param guess  bed volumes at which it probably has */
static bf_status scout(const beds *all, double guess, double longest, mixed *out, bf_error *err)
{
    const bf_step *service = &all->dosed.recipe.step[0];
    const int has_stop = !isnan(service->stop_hardness_eq_per_m3);
    double reached = 0.0;
    double stretch = guess;
    bf_status status = BF_OK;
    int seen_all = 0;
    while (status == BF_OK && !seen_all && reached < longest) {
        /* No stretch so short that the integrator has nothing to do. */
        const double end = reached + stretch > longest - 0.01 ? longest : reached + stretch;
        status = each(all, scout_task, reached, end, err);
        reached = end;
        stretch = next_stretch * longest;
        if (status == BF_OK) {
            *out = follow_mixture(all, reached);
            seen_all = !isnan(has_stop ? out->stop : out->end);
        }
    }
    return status;
}

static bf_status run_cycle(const beds *all, double *guess, bf_cycle_result *out, bf_error *err)
{
    const bf_step *service = &all->dosed.recipe.step[0];
    const double longest = bf__longest_service(service, &all->site);
    mixed mix = {(double)NAN, (double)NAN, (double)NAN, (double)NAN};
    memset(out, 0, sizeof *out);
    bf_status status = scout(all, fmin(*guess, longest), longest, &mix, err);
    if (status != BF_OK) {
        return status;
    }
    const double counted = isnan(mix.end) ? longest : mix.end;
    double whole = counted;
    if (!isnan(service->stop_hardness_eq_per_m3)) {
        whole = isnan(mix.stop) ? longest : mix.stop;
    }
    status = each(all, serve_task, 0.0, counted, err);
    if (status != BF_OK) {
        return status;
    }
    bf_passage to_end;
    mean_service(all, &mix, &to_end);
    if (whole - counted > 1e-9) {
        status = each(all, serve_task, counted, whole, err);
    }
    if (status == BF_OK) {
        status = each(all, regenerate_task, 0.0, 0.0, err);
    }
    if (status != BF_OK) {
        return status;
    }
    out->step_count = all->dosed.recipe.count;
    for (size_t s = 0; s < out->step_count; s++) {
        mean_step(all, s, &out->step[s]);
    }
    mean_service(all, &mix, &out->step[0].passage);
    out->step[0].counted = to_end;
    bf__cycle_account(&all->dosed.recipe, out);
    *guess = next_guess * whole;
    return BF_OK;
}

/* The beds, and where the next service is expected to end. */
typedef struct repeated {
    const beds *all;
    double guess;
} repeated;

static bf_status run_again(void *context, bf_cycle_result *out, bf_error *err)
{
    repeated *runs = context;
    return run_cycle(runs->all, &runs->guess, out, err);
}

/* ---- a rating -------------------------------------------------------------------------------- */

/* The recipe as a bed of its velocity sees it. */
static bf_recipe recipe_of(const bf_recipe *mean, double velocity)
{
    bf_recipe own = *mean;
    for (size_t s = 0; s < own.count; s++) {
        bf_step *step = &own.step[s];
        step->observe = NULL;
        step->finish = NULL;
        if (step->type->scaling == BF_SCALES_WITH_BED) {
            step->velocity_m_per_s *= velocity;
            step->bed_volumes *= velocity;
            step->dose_kg_per_m3 *= velocity;
        }
    }
    return own;
}

static bf_status rate_beds(beds *all, const bf_uneven_flow *uneven, double dose_kg_per_m3,
                           bf_dose_point *out, bf_error *err)
{
    double share[MOST_BEDS];
    double velocity[MOST_BEDS];
    all->count = bf_uneven_flow_beds(uneven, share, velocity);
    all->lane = calloc(all->count, sizeof *all->lane);
    if (all->lane == NULL) {
        return bf_error_set(err, BF_E_MEMORY, "bf_parallel_beds_rate", "no memory for %zu beds",
                            all->count);
    }
    for (size_t k = 0; k < all->count; k++) {
        lane *one = &all->lane[k];
        one->share = share[k];
        one->velocity = velocity[k];
        one->seen.velocity = velocity[k];
        one->recipe = recipe_of(&all->dosed.recipe, velocity[k]);
    }
    bf_status status = each(all, open_task, 0.0, 0.0, err);
    if (status == BF_OK) {
        repeated runs = {.all = all,
                         .guess = first_guess *
                                  bf__longest_service(&all->dosed.recipe.step[0], &all->site)};
        status = bf__settle(&all->dosed, dose_kg_per_m3, run_again, &runs, out, err);
    }
    for (size_t k = 0; k < all->count; k++) {
        bf_bed_free(all->lane[k].bed);
        bf_bed_free(all->lane[k].scout);
        free(all->lane[k].seen.bed_volumes);
        free(all->lane[k].seen.hardness);
    }
    free(all->lane);
    return status;
}

bf_status bf_parallel_beds_rate(const bf_rating_spec *rating, const bf_uneven_flow *uneven,
                                double dose_kg_per_m3, int threads, bf_dose_point *out,
                                bf_error *err)
{
    bf_selectivity *selectivity = NULL;
    beds all = {.threads = threads, .site = bf_rating_site(rating)};
    bf_status status = bf_uneven_flow_check(uneven, err);
    if (status == BF_OK) {
        status =
            bf__dosed_spec("bf_parallel_beds_rate", rating, &dose_kg_per_m3, 1, &all.dosed, err);
    }
    if (status == BF_OK) {
        status = bf__steady_check(&rating->steady, err);
    }
    if (status == BF_OK) {
        status = bf_rating_selectivity(rating, &selectivity, err);
    }
    if (status != BF_OK) {
        return status;
    }
    all.selectivity = selectivity;
    if (uneven->beds == 1 && uneven->wall_share == 0.0) {
        status = bf__rate_dose(rating, selectivity, dose_kg_per_m3, out, err);
    } else {
        status = rate_beds(&all, uneven, dose_kg_per_m3, out, err);
    }
    bf_selectivity_free(selectivity);
    return status;
}
