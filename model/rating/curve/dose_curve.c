/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Capacity against salt dose.
 *
 * Every dose starts from a bed of its own and runs to its own cyclic steady state (one_rating.c),
 * so that the doses can run side by side and come out the same for any number of threads.
 *
 * Grid estimate, of two more runs at the middle dose. The scheme is of order 2 in cells: with g(h)
 * on the grid and g(2h) on half the cells, the grid is off by (g(2h) - g(h))/3 (Richardson).
 * Matched shells converge so fast that one more shell is as good as an endless number: their part
 * is the difference that it makes, on half the cells. The estimate is the sum.
 */
#include "base/parallel.h"
#include "rating/curve/one_rating.h"

#include <math.h>

/* Relative error of one quantity of the grid, from the values on it (g), on half its cells (half),
 * and there with one more shell (more). */
static double grid_error(double g, double half, double more)
{
    return ((half - g) / 3.0 + (half - more)) / g;
}

static void estimate(const bf_dose_point *point, const bf_dose_point *half,
                     const bf_dose_point *more, bf_grid_estimate *grid)
{
    const bf_cycle_result *g = &point->steady.cycle;
    const bf_cycle_result *h = &half->steady.cycle;
    const bf_cycle_result *m = &more->steady.cycle;
    grid->dose_kg_per_m3 = point->dose_kg_per_m3;
    if (g->outcome == BF_RATED && h->outcome == BF_RATED && m->outcome == BF_RATED) {
        grid->capacity_error =
            grid_error(g->capacity_eq_per_m3, h->capacity_eq_per_m3, m->capacity_eq_per_m3);
        grid->leakage_error = grid_error(g->leakage_mean_eq_per_m3, h->leakage_mean_eq_per_m3,
                                         m->leakage_mean_eq_per_m3);
    }
}

/* Jobs: the doses, then the middle one on half the cells, then there with one more shell. */
typedef struct curve_work {
    const bf_dose_curve_spec *curve;
    const bf_selectivity *selectivity;
    bf_rating_spec grid[3]; /* its own, half the cells, one more shell */
    bf_dose_point *points;
    bf_dose_point extra[2];
} curve_work;

static bf_status run_job(void *context, size_t job, bf_error *err)
{
    curve_work *work = context;
    const size_t count = work->curve->count;
    const int is_extra = job >= count;
    return bf__rate_dose(&work->grid[is_extra ? job - count + 1 : 0], work->selectivity,
                         work->curve->dose_kg_per_m3[is_extra ? count / 2 : job],
                         is_extra ? &work->extra[job - count] : &work->points[job], err);
}

static void set_grids(const bf_rating_spec *spec, bf_rating_spec grid[3])
{
    grid[0] = *spec;
    grid[1] = *spec;
    grid[1].bed.cells = spec->bed.cells / 2 < 4 ? 4 : spec->bed.cells / 2;
    grid[2] = grid[1];
    grid[2].bed.shells = spec->bed.shells < 16 ? spec->bed.shells + 1 : spec->bed.shells;
}

bf_status bf_dose_curve(const bf_rating_spec *spec, const bf_dose_curve_spec *curve,
                        bf_dose_point *points, bf_grid_estimate *grid, bf_error *err)
{
    if (curve->count == 0) {
        return bf_error_set(err, BF_E_RANGE, "bf_dose_curve",
                            "no dose is given; give at least one");
    }
    bf_selectivity *selectivity = NULL;
    bf_rating_spec dosed;
    bf_status status =
        bf__dosed_spec("bf_dose_curve", spec, curve->dose_kg_per_m3, curve->count, &dosed, err);
    if (status == BF_OK) {
        status = bf_rating_selectivity(spec, &selectivity, err);
    }
    if (status != BF_OK) {
        return status;
    }
    const int with_grid = grid != NULL && curve->estimate_grid;
    curve_work work = {.curve = curve, .selectivity = selectivity, .points = points};
    set_grids(spec, work.grid);
    for (size_t d = 0; d < curve->count; d++) {
        bf_recipe_set_dose(&dosed.recipe, curve->dose_kg_per_m3[d]);
        points[d] = bf__point_start(&dosed, curve->dose_kg_per_m3[d]);
    }
    const bf__jobs jobs = {.count = curve->count + (with_grid ? 2 : 0),
                           .threads = curve->threads,
                           .watch = curve->watch,
                           .run = run_job,
                           .context = &work};
    status = bf__parallel(&jobs, err);
    if (grid != NULL) {
        *grid = (bf_grid_estimate){.capacity_error = (double)NAN, .leakage_error = (double)NAN};
        if (with_grid && status == BF_OK) {
            estimate(&points[curve->count / 2], &work.extra[0], &work.extra[1], grid);
        }
    }
    bf_selectivity_free(selectivity);
    return status;
}
