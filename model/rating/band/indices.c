/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which constant matters: Sobol's indices from the coefficients of a polynomial surrogate.
 *
 *     D = sum_t c_t^2,   alone_i = (1/D) sum of c_t^2 over the terms of x_i only,
 *                        total_i = (1/D) sum of c_t^2 over the terms with x_i in them
 *
 * since the terms are orthonormal (surrogate.c). c from least squares.
 *
 * Standard errors: REPLICATES times as many samples are drawn from the samples with repetition, by
 * a generator with a fixed seed, the same terms are fitted to them, and the spread of the indices
 * is taken (bootstrap). The choice of terms is not repeated, since samples drawn twice would spoil
 * the leave-one-out error it goes by: what the choice leaves out is in `explained`, not in the
 * errors.
 *
 * The GNU Scientific Library works in memory of ours and on shapes checked beforehand, so that it
 * has nothing to report to its handler (see sobol.c).
 *
 * Source: indices, Sobol', Math. Comput. Simul. 55 (2001) 271; from a polynomial, Sudret, Reliab.
 * Eng. Syst. Saf. 93 (2008) 964; its bootstrap, Dubreuil et al., Reliab. Eng. Syst. Saf. 121 (2014)
 * 263 (all three from memory). Generator: splitmix64, Steele, Lea & Flood, OOPSLA 2014.
 * Not modelled here: interactions of three or more constants.
 */
#include "brinefront/band.h"
#include "rating/band/surrogate.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

enum { REPLICATES = 200, MOST_DIMENSIONS = 40 };

static uint64_t next_number(uint64_t *seed)
{
    *seed += 0x9E3779B97F4A7C15U;
    uint64_t z = *seed;
    z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9U;
    z = (z ^ (z >> 27)) * 0x94D049BB133111EBU;
    return z ^ (z >> 31);
}

static size_t draw(uint64_t *seed, size_t count)
{
    return (size_t)((double)(next_number(seed) >> 11) * 0x1.0p-53 * (double)count);
}

/* alone[d] and total[d] from c, whose first is the constant. */
static void indices_from(const bf__surrogate *surrogate, const double *c, size_t dimensions,
                         double *alone, double *total)
{
    double variance = 0.0;
    memset(alone, 0, dimensions * sizeof *alone);
    memset(total, 0, dimensions * sizeof *total);
    for (size_t t = 0; t < surrogate->terms; t++) {
        const bf__term *term = &surrogate->term[t];
        const double part = c[t + 1] * c[t + 1];
        variance += part;
        total[term->dimension[0]] += part;
        if (term->order[1] > 0) {
            total[term->dimension[1]] += part;
        } else {
            alone[term->dimension[0]] += part;
        }
    }
    for (size_t d = 0; d < dimensions; d++) {
        alone[d] /= variance;
        total[d] /= variance;
    }
}

/* What one fit works in. */
typedef struct fit_space {
    double *matrix, *value, *work, *coefficient;
    size_t *times; /* each sample was drawn */
} fit_space;

/* Fit to samples weighted by how often they were drawn; a sample drawn twice counts as two rows. */
static int fit(const bf__surrogate *surrogate, const double *value, fit_space *work)
{
    const size_t columns = surrogate->terms + 1;
    size_t rows = 0;
    for (size_t s = 0; s < surrogate->count; s++) {
        if (work->times[s] > 0) {
            const double weight = sqrt((double)work->times[s]);
            for (size_t c = 0; c < columns; c++) {
                work->matrix[rows * columns + c] = weight * surrogate->design[s * columns + c];
            }
            work->value[rows++] = weight * value[s];
        }
    }
    return rows < columns || bf__least_squares(rows, columns, work->matrix, work->value, work->work,
                                               work->coefficient) != 0;
}

/* Standard errors into `out`, which is still in the order of the dimensions. */
static void find_errors(const bf__surrogate *surrogate, const double *value, size_t dimensions,
                        fit_space *work, bf_sobol_index *out)
{
    uint64_t seed = 20;
    size_t fitted = 0;
    double alone[MOST_DIMENSIONS], total[MOST_DIMENSIONS];
    double mean[2][MOST_DIMENSIONS] = {{0}}, square[2][MOST_DIMENSIONS] = {{0}};
    for (int r = 0; r < REPLICATES; r++) {
        memset(work->times, 0, surrogate->count * sizeof *work->times);
        for (size_t s = 0; s < surrogate->count; s++) {
            work->times[draw(&seed, surrogate->count)]++;
        }
        if (fit(surrogate, value, work) != 0) {
            continue;
        }
        fitted++;
        indices_from(surrogate, work->coefficient, dimensions, alone, total);
        for (size_t d = 0; d < dimensions; d++) {
            const double *now[2] = {&alone[d], &total[d]};
            for (int k = 0; k < 2; k++) { /* Welford's running mean */
                double change = *now[k] - mean[k][d];
                mean[k][d] += change / (double)fitted;
                square[k][d] += change * (*now[k] - mean[k][d]);
            }
        }
    }
    for (size_t d = 0; d < dimensions; d++) {
        const double degrees = fitted > 1 ? (double)(fitted - 1) : (double)NAN;
        out[d].alone_error = sqrt(square[0][d] / degrees);
        out[d].total_error = sqrt(square[1][d] / degrees);
    }
}

static int by_total(const void *a, const void *b)
{
    const bf_sobol_index *one = a;
    const bf_sobol_index *other = b;
    if (one->total != other->total) {
        return one->total < other->total ? 1 : -1;
    }
    return one->uncertain < other->uncertain ? -1 : 1;
}

static bf_status compute(const bf__surrogate *surrogate, const double *value, size_t dimensions,
                         bf_sobol_index *out, bf_error *err)
{
    const size_t columns = surrogate->terms + 1;
    double alone[MOST_DIMENSIONS], total[MOST_DIMENSIONS];
    bf_status status = BF_OK;
    fit_space work = {.matrix = malloc(surrogate->count * columns * sizeof *work.matrix),
                      .value = malloc(surrogate->count * sizeof *work.value),
                      .work = malloc((surrogate->count + columns) * sizeof *work.work),
                      .coefficient = malloc(columns * sizeof *work.coefficient),
                      .times = malloc(surrogate->count * sizeof *work.times)};
    if (work.matrix == NULL || work.value == NULL || work.work == NULL ||
        work.coefficient == NULL || work.times == NULL) {
        status = bf_error_set(err, BF_E_MEMORY, "bf_indices_of", "no memory");
        goto done;
    }
    for (size_t s = 0; s < surrogate->count; s++) {
        work.times[s] = 1;
    }
    if (surrogate->terms == 0 || fit(surrogate, value, &work) != 0) {
        status = bf_error_set(err, BF_E_RANGE, "bf_indices_of",
                              "no polynomial of the %zu points has a part in the values; give "
                              "points that differ",
                              surrogate->count);
        goto done;
    }
    indices_from(surrogate, work.coefficient, dimensions, alone, total);
    for (size_t d = 0; d < dimensions; d++) {
        out[d] = (bf_sobol_index){.uncertain = d, .alone = alone[d], .total = total[d]};
    }
    find_errors(surrogate, value, dimensions, &work, out);
    qsort(out, dimensions, sizeof *out, by_total);
done:
    free(work.matrix);
    free(work.value);
    free(work.work);
    free(work.coefficient);
    free(work.times);
    return status;
}

static bf_status check_points(const double *position, const double *value, size_t count,
                              size_t dimensions, bf_error *err)
{
    const char *where = "bf_indices_of";
    if (count < BF_BAND_LEAST_SAMPLES || count > BF_BAND_MOST_SAMPLES) {
        return bf_error_set(err, BF_E_RANGE, where, "%zu values; accepted are %d to %d", count,
                            BF_BAND_LEAST_SAMPLES, BF_BAND_MOST_SAMPLES);
    }
    if (dimensions < 1 || dimensions > MOST_DIMENSIONS) {
        return bf_error_set(err, BF_E_RANGE, where, "%zu dimensions; accepted are 1 to %d",
                            dimensions, MOST_DIMENSIONS);
    }
    int differ = 0;
    for (size_t s = 0; s < count; s++) {
        if (!isfinite(value[s])) {
            return bf_error_set(err, BF_E_RANGE, where, "value %zu is %g; give finite ones", s + 1,
                                value[s]);
        }
        differ = differ || value[s] != value[0];
        for (size_t d = 0; d < dimensions; d++) {
            double x = position[s * dimensions + d];
            if (!(x >= 0.0 && x <= 1.0)) {
                return bf_error_set(err, BF_E_RANGE, where,
                                    "dimension %zu of point %zu is %g; points lie between 0 and 1",
                                    d + 1, s + 1, x);
            }
        }
    }
    return differ ? BF_OK
                  : bf_error_set(err, BF_E_RANGE, where,
                                 "all %zu values are %g; there is no variance to share out", count,
                                 value[0]);
}

bf_status bf_indices_of(const double *position, const double *value, size_t count,
                        size_t dimensions, bf_sobol_index *out, double *explained, bf_error *err)
{
    bf__surrogate surrogate = {0};
    bf_status status = check_points(position, value, count, dimensions, err);
    if (status == BF_OK) {
        status = bf__surrogate_create(position, value, count, dimensions, &surrogate, err);
    }
    if (status == BF_OK) {
        *explained = surrogate.explained;
        status = compute(&surrogate, value, dimensions, out, err);
    }
    bf__surrogate_free(&surrogate);
    return status;
}
